/* SPDX-License-Identifier: MIT */
/* What a study is inside src/script. Texts are strings of the Lua state,
 * anchored in registry[study], so that nothing has to be freed where an error
 * jumps. */
#ifndef BV_SCRIPT_STUDY_STATE_H
#define BV_SCRIPT_STUDY_STATE_H

#include "script/host.h"
#include "script/object.h"
#include "script/study.h"

enum {
  BV_NEEDED_MOST = BV_OBJECTIVES_MOST + BV_LIMITS_MOST,
  BV_DECLARED_MOST = 1000,
  BV_CASES_MOST = 100000,
  BV_STARTS_MOST = 10000
};

/* A result that an objective or a limit reads, and where it was found last. */
typedef struct bv_needed {
  const char *name;
  const char *role; /* "minimise", "limits" */
  bool is_objective;
  size_t line;     /* of the script, 0: not found */
  size_t variable; /* of this name, a number; BV_SPACE_MOST: none */
  const bv_object_type *type;
  const bv_field *field; /* of type; NULL: not among its fields */
} bv_needed;

/* One end of a limit: what the problem sees. */
typedef struct bv_end {
  size_t entry;  /* in study->limits */
  size_t needed; /* in study->needed */
  bool is_max;
  double bound, scale; /* NAN: by the function */
  int function;        /* registry reference, LUA_NOREF: a number */
  double found;        /* what the function gave last; NAN: nothing */
} bv_end;

struct bv_study {
  bv_host *host;
  const char *title;
  char digest[SHA256_DIGEST_STRING_LENGTH];

  bv_variable variables[BV_SPACE_MOST];
  int choices[BV_SPACE_MOST]; /* registry references of values, labels at [0] */
  bv_problem problem;

  bv_objective objectives[BV_OBJECTIVES_MOST];
  size_t objective_needed[BV_OBJECTIVES_MOST];
  bv_limit limits[BV_LIMITS_MOST];
  size_t limit_count;
  bv_end ends[BV_LIMITS_MOST]; /* problem.limits of them */
  bv_needed needed[BV_NEEDED_MOST];
  size_t needed_count;
  bool grades;  /* whether a limit is on impossibility, */
  size_t grade; /* in needed */

  int evaluate, on_round, on_best;        /* registry references */
  int order, results;                     /* of tables, LUA_NOREF: none */
  const char *declared[BV_DECLARED_MOST]; /* names in results, by letters */
  size_t declared_count;
  int anchor;   /* of a table text -> text */
  bool reading; /* the table that the script returned */
  int cases, case_names;
  size_t case_count, case_chosen;
  double *starts;
  size_t start_count;

  const char *lacking; /* result that the last evaluation lacked, NULL: none */
  bool verifies;       /* designs that are described */
  const char *const *arguments;
  size_t argument_count;
  uint64_t point_steps;
};

/* Keeps the string at index as long as the study and returns its text. */
const char *bv_study_keep(lua_State *L, bv_study *study, int index);

/* Raises where the key at index is no text, or none that can name a column:
 * letters, digits and _, at most 60, but not `row`. list is what it stands
 * in. */
void bv_study_check_name(lua_State *L, const bv_study *study, int index,
                         const char *list);

/* Raises where the string at index can't stand in one line of a front: where it
 * isn't UTF-8 or holds control characters. what tells whose it is. */
void bv_study_check_text(lua_State *L, const bv_study *study, int index,
                         const char *what, ...)
    __attribute__((format(printf, 4, 5)));

/* Raises an error that begins with the script's path; while the study is read,
 * also with the line of the entry that the message begins with. */
void bv_study_fail(lua_State *L, const bv_study *study, const char *format, ...)
    __attribute__((noreturn));

/* The same with the line of an entry that names a result, and the entry. */
void bv_study_fail_at(lua_State *L, const bv_study *study,
                      const bv_needed *needed, const char *format, ...)
    __attribute__((noreturn));

/* Raises where the value at index is no list: a table with no keys but 1, 2, …
 * what tells of what: "expected a list of WHAT". Returns its length. */
lua_Integer bv_study_check_list(lua_State *L, const bv_study *study, int index,
                                const char *name, const char *what);

/* Fills in the lines of needed. study_lines.c */
void bv_study_find_lines(bv_study *study);

/* The line of the script that the path at the head of a message stands in, as
 * in "limits.cost.max: …"; 0 where it isn't found. study_lines.c */
size_t bv_study_line_of(const bv_study *study, const char *message);

/* What a study's table may hold; texts are static. */
typedef struct bv_study_entry {
  const char *name, *type, *meaning; /* type as editors want it */
  const char *missing; /* told where it is left out; NULL: may be left out */
} bv_study_entry;

/* The i-th entry, or NULL after the last. */
const bv_study_entry *bv_study_entry_at(size_t i);

/* Reads the table that the script returned, at index, into study. Raises.
 * study_read.c */
void bv_study_read(lua_State *L, bv_study *study, int index);

/* Reads order, variables, start. Raises. study_space.c */
void bv_study_read_order(lua_State *L, bv_study *study, int index);
void bv_study_read_variables(lua_State *L, bv_study *study, int index);
void bv_study_read_start(lua_State *L, bv_study *study, int index);

/* Position of the variable called name, or the number of variables. */
size_t bv_study_variable(const bv_study *study, const char *name);

/* Position of a name in the study's `order` list, or a large number. */
size_t bv_study_rank(lua_State *L, const bv_study *study, const char *name);

/* Sorts names by the study's order, then by letters. */
void bv_study_sort(lua_State *L, const bv_study *study, const char **names,
                   size_t count);

/* Reads minimise, maximise, limits. Raises. study_aims.c */
void bv_study_read_minimise(lua_State *L, bv_study *study, int index);
void bv_study_read_maximise(lua_State *L, bv_study *study, int index);
void bv_study_read_limits(lua_State *L, bv_study *study, int index);

/* Gives each objective the unit and the meaning of its result.
 * study_describe.c */
void bv_study_word_objectives(lua_State *L, bv_study *study);

/* Calls evaluate for the point x and leaves its result, checked to be an object
 * or a table, at the top. Raises. study_evaluate.c */
void bv_study_push_result(lua_State *L, bv_study *study, const double *x);

/* Fills objectives and limits from the result at index. Raises; host->failure
 * tells how it counts. */
void bv_study_take(lua_State *L, bv_study *study, int index,
                   bv_evaluation *evaluation);

/* Runs body in a protected call as the evaluation of one point. */
bv_outcome bv_study_run(bv_study *study, lua_CFunction body, void *context,
                        bv_evaluation *evaluation);

/* bv_problem.evaluate; context is the study. */
bv_outcome bv_study_evaluate(void *context, bv_evaluation *evaluation);

/* Pushes the table of variables by name that evaluate sees at x. */
void bv_study_push_point(lua_State *L, const bv_study *study, const double *x);

#endif
