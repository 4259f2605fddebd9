/* SPDX-License-Identifier: MIT */
#include "run/idle.h"

#include <stdlib.h>
#include <string.h>

#include "base/random.h"

/* The key of these changes' random streams; cells have keys of their own. */
static const uint64_t stream = 0x69646c65;

/* Changes of a variable: one that counts for one kind of five alone is met by
 * all but one of a thousand; and from how many on silence tells something. */
enum { CHANGES_MOST = 32, CHANGES_LEAST = 4, DRAWS_MOST = 16 };

typedef struct bench {
  const bv_problem *problem;
  const double *x; /* points, */
  const bv_told *told;
  size_t *evaluated, count; /* and which of them could be evaluated */
  size_t changes;           /* a variable */
  double *changed; /* points: changes a variable, one after the other */
} bench;

static size_t base_of(const bench *b, size_t variable, size_t change) {
  return b->evaluated[(variable * b->changes + change) % b->count];
}

/* Another value than the point's, where there is one. */
static double other_value(const bv_variable *variable, double value,
                          bv_random *random) {
  double other = value;
  for (int i = 0; i < DRAWS_MOST && other == value; i++)
    other = bv_variable_decode(variable, bv_random_unit(random));
  return other;
}

static void change_all(const bench *b, uint64_t seed) {
  bv_space space = b->problem->space;
  double *at = b->changed;
  for (size_t k = 0; k < space.count; k++) {
    bv_random random = bv_random_keyed(seed, stream, k);
    for (size_t i = 0; i < b->changes; i++, at += space.count) {
      memcpy(at, b->x + base_of(b, k, i) * space.count,
             space.count * sizeof *at);
      at[k] = other_value(&space.variables[k], at[k], &random);
    }
  }
}

/* Both are numbers that compare, so that no bit pattern matters. */
static bool is_same(const bench *b, const bv_told *one, const bv_told *two) {
  for (size_t i = 0; i < b->problem->objectives; i++)
    if (one->objectives[i] != two->objectives[i])
      return false;
  for (size_t i = 0; i < b->problem->limits; i++)
    if (one->limits[i] != two->limits[i])
      return false;
  return true;
}

/* How often the variable was changed in vain; 0 once it wasn't. */
static size_t count_idle(const bench *b, size_t variable, const bv_told *told) {
  size_t width = b->problem->space.count, idle = 0;
  for (size_t i = 0; i < b->changes; i++) {
    size_t at = variable * b->changes + i, base = base_of(b, variable, i);
    bool moved =
        b->changed[at * width + variable] != b->x[base * width + variable];
    if (!moved || told[at].untold)
      continue;
    if (told[at].outcome != BV_OUTCOME_EVALUATED ||
        !is_same(b, &b->told[base], &told[at]))
      return 0;
    idle++;
  }
  return idle;
}

static bv_status try_changes(const bench *b, bv_pool *pool, bv_buffer *text,
                             bv_error *error) {
  bv_space space = b->problem->space;
  bv_told *told;
  size_t all = space.count * b->changes;
  bv_status status =
      bv_tell_all(pool, b->problem, b->changed, all, &told, error);
  if (status != BV_OK)
    return status;
  for (size_t k = 0; k < space.count; k++) {
    size_t idle = count_idle(b, k, told);
    if (idle >= CHANGES_LEAST)
      bv_buffer_print(text,
                      "variable %s changed no objective and no limit in %zu "
                      "tries: is it used, and its name right?\n",
                      space.variables[k].name, idle);
  }
  bv_told_free_all(told, all);
  return BV_OK;
}

static void find_evaluated(bench *b, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (b->told[i].outcome == BV_OUTCOME_EVALUATED)
      b->evaluated[b->count++] = i;
}

bv_status bv_idle_report(const bv_study *study, bv_pool *pool, uint64_t seed,
                         const double *x, const bv_told *told, size_t count,
                         bv_buffer *text, bv_error *error) {
  const bv_problem *problem = bv_study_problem(study);
  size_t width = problem->space.count, changes = count / width;
  bench b = {.problem = problem, .x = x, .told = told};
  b.changes = changes < CHANGES_MOST ? changes : CHANGES_MOST;
  b.evaluated = calloc(count + 1, sizeof *b.evaluated);
  b.changed = calloc(b.changes * width * width + 1, sizeof *b.changed);
  bv_status status = BV_OK;
  if (b.evaluated && b.changed) {
    find_evaluated(&b, count);
    if (b.count >= CHANGES_LEAST) {
      change_all(&b, seed);
      status = try_changes(&b, pool, text, error);
    }
  } else {
    status = bv_fail(error, BV_INTERNAL, "out of memory");
  }
  free(b.evaluated);
  free(b.changed);
  return status;
}
