/* SPDX-License-Identifier: MIT */
/* A study: a Lua script loaded and checked, ready to be searched. The only
 * header through which run/ and cli/ reach scripts; none of Lua shows. */
#ifndef BV_SCRIPT_STUDY_H
#define BV_SCRIPT_STUDY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "base/text.h"
#include "search/problem.h"

typedef struct bv_study bv_study;

typedef struct bv_study_options {
  const char *library;          /* folder lib/ of the installation */
  size_t memory_most;           /* bytes a Lua state may hold */
  uint64_t load_steps_most;     /* VM instructions while loading */
  uint64_t point_steps_most;    /* VM instructions one evaluation may take */
  uint64_t seed;                /* of the script's own random numbers */
  const char *const *arguments; /* `arg` of the script; NULL: none; they must
                                   outlive the study */
  size_t argument_count;
} bv_study_options;

/* 256 MiB, 5e8 steps to load and 1e9 a point, seed 1, no arguments; library
 * NULL: the caller sets it. */
bv_study_options bv_study_defaults(void);

/* Has every script of this process asked from time to time, while it runs,
 * whether it is late: then it ends as one that takes too many steps. NULL:
 * never.
 */
void bv_study_watch(bool (*is_late)(void));

/* Loads and checks the study at path. BV_NO_INPUT, or BV_BAD_DATA with
 * file:line or field path, what was expected and what was found. *study is NULL
 * on failure. */
bv_status bv_study_open(const char *path, const bv_study_options *options,
                        bv_study **study, bv_error *error);
void bv_study_close(bv_study *study); /* NULL is allowed */

/* The problem a search sees: evaluate calls the script's function. Valid as
 * long as the study. Evaluating may loop or die: call it in a worker. */
const bv_problem *bv_study_problem(const bv_study *study);

const char *bv_study_path(const bv_study *study);
const char *bv_study_title(const bv_study *study); /* "" where none */

/* SHA-256 of everything the study was made from: the script, modules of its
 * own, catalogues it read; lower-case hex, 64 letters. */
const char *bv_study_digest(const bv_study *study);

/* What it was opened with. */
uint64_t bv_study_seed(const bv_study *study);
const char *const *bv_study_arguments(const bv_study *study, size_t *count);

/* The label of a choice's index ("ETD34"), or NULL for other variables. */
const char *bv_study_choice(const bv_study *study, size_t variable,
                            size_t index);

/* Unit and meaning of a variable: what the study's `results` say of its name,
 * else what a design says of its choice; "" for none, and no unit where its
 * values are labels. Owned by the study. */
void bv_study_word_variable(const bv_study *study, size_t variable,
                            const char **unit, const char **meaning);

/* Reads "NAME=VALUE" texts into x, one value a variable of the problem's
 * space; variables left out take their middle. BV_USAGE for an unknown name
 * (nearest told), a value out of range, or a label that isn't a choice. */
bv_status bv_study_parse_point(const bv_study *study,
                               const char *const *assignments, size_t count,
                               double *x, bv_error *error);

/* Reads what a user or a front writes for one variable, a number or a choice's
 * label, into *value. BV_USAGE: it is neither; BV_BAD_DATA: the space doesn't
 * hold it (range, steps, labels). */
bv_status bv_study_parse_value(const bv_study *study, size_t variable,
                               const char *text, double *value,
                               bv_error *error);

typedef struct bv_objective {
  const char *name;
  const char *unit, *meaning; /* as its result has them (bv_result) */
  bool maximise;              /* the problem sees the negated value */
} bv_objective;

/* The names, of results and variables, that `results` gives unit and meaning
 * to. */
const char *const *bv_study_declared(const bv_study *study, size_t *count);

/* One entry a named limit; the problem has one scaled limit for each end that
 * isn't infinite, min before max, in the order of these entries. The scaled
 * violation of an end is (value - max) / scale or (min - value) / scale. The
 * scale is the bound's size, or that of the other end where it is 0, or 1. */
typedef struct bv_limit {
  const char *name;
  double min, max; /* infinite: no such end; NAN: a function of the results */
} bv_limit;

const bv_objective *bv_study_objectives(const bv_study *study, size_t *count);
const bv_limit *bv_study_limits(const bv_study *study, size_t *count);

/* The points to be evaluated first, count of them, one value a variable each:
 * the study's `start` list and what was added. NULL where there are none. */
const double *bv_study_starts(const bv_study *study, size_t *count);

/* Adds count allowed points to the starts, behind those of the script.
 * BV_INTERNAL: out of memory. */
bv_status bv_study_add_starts(bv_study *study, const double *x, size_t count,
                              bv_error *error);

/* Where a search stands, for the script's hook. */
typedef struct bv_progress {
  uint64_t round, evaluations, feasible;
  size_t front;       /* points on the front */
  double hypervolume; /* of the front */
} bv_progress;

/* The script's hooks, where it has them: on_round(progress) after each round,
 * on_best(name, x, value) where a point is the best so far in one objective; C
 * hands over the value as the problem sees it, the script gets its own sign.
 * They run in a process of their own, with the steps of one evaluation. Each
 * sets *stop where the hook returns false. A failed hook tells its message
 * through bv_study_last_error and isn't called again. */
bool bv_study_has_hooks(const bv_study *study);
bv_outcome bv_study_on_round(bv_study *study, const bv_progress *progress,
                             bool *stop);
bv_outcome bv_study_on_best(bv_study *study, size_t objective, const double *x,
                            double value, bool *stop);

/* The cases of a sweep (0 where the study has none). A case must be chosen
 * before evaluating a study that has cases; others ignore it. */
size_t bv_study_cases(const bv_study *study);
const char *bv_study_case_name(const bv_study *study, size_t index);
void bv_study_choose_case(bv_study *study, size_t index);
const char *bv_study_case_chosen(const bv_study *study); /* "" without cases */

/* One named result of an evaluation. */
typedef struct bv_result {
  const char *name, *unit, *meaning; /* owned by the study */
  bool is_text;
  double number;
  const char *text; /* owned by the record */
} bv_result;

/* Every result of one point, in a stated order: the model's own in the order of
 * its table, then the script's own. */
typedef struct bv_record {
  size_t count;
  bv_result *results;
  char *block; /* the texts */
} bv_record;

/* Evaluates a point as the problem does, in buildable precision, and tells
 * every result. Anything but BV_OUTCOME_EVALUATED fills error with the message
 * and leaves record empty. */
bv_outcome bv_study_describe(bv_study *study, bv_evaluation *evaluation,
                             bv_record *record, bv_error *error);
void bv_record_free(bv_record *record);

/* From now on describing a point whose result is a design also simulates its
 * charge cycle by cycle and adds the results of verify.h: for rows that go to a
 * front, since it takes milliseconds. Set it before workers are forked. */
void bv_study_verify_designs(bv_study *study);

/* The message of the last failed evaluation, "" where none: what the script
 * raised, with file:line and the script's own traceback. */
const char *bv_study_last_error(const bv_study *study);

/* The result that an objective or a limit asks for and the last evaluation
 * didn't give, "" where it gave all: a slip of the script, or what an
 * impossible point leaves out. */
const char *bv_study_lacking(const bv_study *study);

/* Bytes the Lua state holds now. */
size_t bv_study_memory(const bv_study *study);

#endif
