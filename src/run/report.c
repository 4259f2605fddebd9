/* SPDX-License-Identifier: MIT */
#include "run/report.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "run/ends.h"
#include "run/told.h"

/* Least-violating points shown; messages of a kind of failure; letters before a
 * message. */
enum { SHOWN_MOST = 5, GROUPS_SHOWN = 8, INDENT = 9 };

static void append_number(bv_buffer *text, double value) {
  char number[BV_NUMBER_SIZE];
  bv_buffer_print(text, "%s", bv_format_number(number, value));
}

static void append_assignment(const bv_study *study, size_t i, double value,
                              bv_buffer *text) {
  const char *label = bv_told_label(study, i, value);
  bv_buffer word = {0};
  bv_buffer_print(&word,
                  "%s=", bv_study_problem(study)->space.variables[i].name);
  if (label)
    bv_buffer_print(&word, "%s", label);
  else
    append_number(&word, value);
  bv_buffer_append_word(text, word.failed ? "" : word.text);
  bv_buffer_free(&word);
}

/* What a point depends on besides its variables. */
static void append_stage(const bv_study *study, bv_buffer *text) {
  uint64_t seed = bv_study_seed(study);
  const char *name = bv_study_case_chosen(study);
  if (*name) {
    bv_buffer_print(text, " --case ");
    bv_buffer_append_word(text, name);
  }
  if (seed != bv_study_defaults().seed)
    bv_buffer_print(text, " --seed %" PRIu64, seed);
}

void bv_report_command(const bv_study *study, const double *x,
                       bv_buffer *text) {
  size_t count;
  const char *const *arguments = bv_study_arguments(study, &count);
  bv_buffer_print(text, "brimvolt point ");
  bv_buffer_append_word(text, bv_study_path(study));
  append_stage(study, text);
  for (size_t i = 0; i < bv_study_problem(study)->space.count; i++) {
    bv_buffer_print(text, " ");
    append_assignment(study, i, x[i], text);
  }
  for (size_t i = 0; i < count; i++) {
    bv_buffer_print(text, i == 0 ? " -- " : " ");
    bv_buffer_append_word(text, arguments[i]);
  }
}

static const char *meaning_of(bv_outcome outcome) {
  static const char *const meanings[] = {
#define BV_OUTCOME_MEANING(code, word, meaning) meaning,
      BV_OUTCOME_MAP(BV_OUTCOME_MEANING)
#undef BV_OUTCOME_MEANING
  };
  return meanings[outcome];
}

/* Lines after the first stand under it. */
static void append_message(const char *message, bv_buffer *text) {
  for (; *message; message++)
    if (*message == '\n')
      bv_buffer_print(text, "\n%*s", INDENT, "");
    else
      bv_buffer_append(text, message, 1);
  bv_buffer_print(text, "\n");
}

/* The first point of a group is evaluated again for its message, unless that
 * cost a worker. */
static bv_status append_group(const bv_study *study, bv_pool *pool,
                              const bv_failures *failures,
                              const bv_failure *failure, bv_buffer *text,
                              bv_error *error) {
  const double *x =
      bv_failures_first(failures, (size_t) (failure - failures->group));
  bool is_lost = failure->outcome == BV_OUTCOME_TIMEOUT ||
                 failure->outcome == BV_OUTCOME_CRASH;
  bv_told *told = NULL;
  if (!is_lost &&
      bv_tell_all(pool, bv_study_problem(study), x, 1, &told, error) != BV_OK)
    return BV_INTERNAL;
  bv_buffer_print(text, "%*" PRIu64 "  ", INDENT - 2, failure->count);
  if (told) {
    append_message(*told->message ? told->message
                                  : "evaluated exactly, it does not fail",
                   text);
    bv_buffer_print(text, "%*s", INDENT, "");
  }
  bv_report_command(study, x, text);
  bv_buffer_print(text, "\n");
  bv_told_free_all(told, told ? 1 : 0);
  return BV_OK;
}

/* The group of a kind that comes next by count after `last` (NULL: the first):
 * it has fewer points, or as many and comes later. NULL where none does. */
static const bv_failure *next_group(const bv_failures *failures,
                                    bv_outcome kind, const bv_failure *last) {
  const bv_failure *best = NULL;
  for (size_t i = 0; i < failures->groups; i++) {
    const bv_failure *group = &failures->group[i];
    bool follows = !last || group->count < last->count ||
                   (group->count == last->count && group > last);
    if (group->outcome == kind && follows &&
        (!best || group->count > best->count))
      best = group;
  }
  return best;
}

static bv_status append_kind(const bv_study *study, bv_pool *pool,
                             const bv_failures *failures, bv_outcome kind,
                             bv_buffer *text, bv_error *error) {
  uint64_t left = failures->outcomes[kind];
  const bv_failure *group = NULL;
  bv_status status = BV_OK;
  bv_buffer_print(text, "%" PRIu64 " point%s failed: %s (%s)\n", left,
                  left == 1 ? "" : "s", meaning_of(kind),
                  bv_outcome_word(kind));
  for (int i = 0; i < GROUPS_SHOWN && status == BV_OK; i++) {
    group = next_group(failures, kind, group);
    if (!group)
      break;
    left -= group->count;
    status = append_group(study, pool, failures, group, text, error);
  }
  if (left > 0)
    bv_buffer_print(text, "%*" PRIu64 "  with other messages\n", INDENT - 2,
                    left);
  return status;
}

bv_status bv_report_failures(const bv_study *study, bv_pool *pool,
                             const bv_failures *failures, bv_buffer *text,
                             bv_error *error) {
  bv_status status = BV_OK;
  for (bv_outcome kind = 0; kind < BV_OUTCOME_COUNT && status == BV_OK; kind++)
    if (failures->outcomes[kind] > 0)
      status = append_kind(study, pool, failures, kind, text, error);
  return status;
}

static void append_breach(const bv_told *told, const bv_limit_end *given,
                          double violation, bv_buffer *text) {
  bv_limit_end resolved = *given, *end = &resolved;
  const bv_result *result = bv_told_find(told, end->name);
  bv_ends_resolve(end, told);
  const char *unit = result && result->unit ? result->unit : "";
  bv_buffer_print(text, "     %s ", end->name);
  if (result)
    bv_buffer_print(text, "%.4g%s%s, ", result->number, *unit ? " " : "", unit);
  bv_buffer_print(text, "allowed ");
  bv_ends_print(end, unit, text);
  bv_buffer_print(text, " (off by %.3g of it)\n", violation);
}

static void append_point(const bv_study *study, size_t number, const double *x,
                         const bv_told *told, const bv_limit_end *ends,
                         size_t *breaches, bv_buffer *text) {
  const bv_problem *problem = bv_study_problem(study);
  bv_buffer_print(text, "  %zu. ", number);
  bv_report_command(study, x, text);
  bv_buffer_print(text, "\n");
  for (size_t i = 0; i < problem->limits; i++)
    if (told->limits[i] > BV_LIMIT_TOLERANCE) {
      append_breach(told, &ends[i], told->limits[i], text);
      breaches[i]++;
    }
}

static void append_binding(const bv_problem *problem, const bv_limit_end *ends,
                           const size_t *breaches, size_t points,
                           bv_buffer *text) {
  bv_buffer_print(text, "limits that bind:");
  const char *comma = "";
  for (size_t i = 0; i < problem->limits; i++)
    if (breaches[i] > 0) {
      bv_buffer_print(text, "%s %s (%s, at %zu of %zu points)", comma,
                      ends[i].name, ends[i].is_max ? "max" : "min", breaches[i],
                      points);
      comma = ",";
    }
  bv_buffer_print(text, "\n");
}

/* Copies the least-violating points one after the other; gives how many. */
static size_t nearest(const bv_search *search, size_t width, double *x) {
  size_t count = bv_search_nearest_count(search);
  count = count < SHOWN_MOST ? count : SHOWN_MOST;
  for (size_t i = 0; i < count; i++)
    memcpy(x + i * width, bv_search_nearest(search, i).x, width * sizeof *x);
  return count;
}

bv_status bv_report_infeasible(const bv_study *study, bv_pool *pool,
                               const bv_search *search, bv_buffer *text,
                               bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  double x[SHOWN_MOST * BV_SPACE_MOST];
  bv_limit_end ends[BV_LIMITS_MOST + 1];
  size_t breaches[BV_LIMITS_MOST] = {0};
  size_t width = problem->space.count, count = nearest(search, width, x);
  bv_told *told;
  if (count == 0 || bv_ends_list(study, ends) != problem->limits)
    return BV_OK;
  if (bv_tell_all(pool, problem, x, count, &told, error) != BV_OK)
    return BV_INTERNAL;
  bv_buffer_print(text, "least-violating points:\n");
  for (size_t i = 0; i < count; i++)
    append_point(study, i + 1, x + i * width, &told[i], ends, breaches, text);
  append_binding(problem, ends, breaches, count, text);
  bv_told_free_all(told, count);
  return BV_OK;
}

void bv_report_absent(const bv_study *study, const bv_front *designs,
                      bv_buffer *text) {
  size_t count;
  const char *const *names = bv_study_declared(study, &count);
  for (size_t i = 0; i < count && designs->rows > 0; i++) {
    if (bv_front_find(designs, names[i]) < designs->columns)
      continue;
    bv_nearest nearest = bv_nearest_begin(names[i]);
    for (size_t c = 0; c < designs->columns; c++)
      bv_nearest_offer(&nearest, designs->column[c].name);
    bv_buffer_print(text, "results: no design has \"%s\"%s%s%s\n", names[i],
                    nearest.best ? "; did you mean \"" : "",
                    nearest.best ? nearest.best : "",
                    nearest.best ? "\"?" : "");
  }
}
