/* SPDX-License-Identifier: MIT */
#include "run/probe.h"

#include "base/random.h"
#include "run/build.h"
#include "run/told.h"

enum { PROBES = 4 };

/* The key of the probe's random stream; cells have keys of their own. */
static const uint64_t stream = 0x70726f6265;

static bv_status choose(const bv_study *study, uint64_t seed, double *x,
                        bv_error *error) {
  bv_space space = bv_study_problem(study)->space;
  bv_random random = bv_random_keyed(seed, stream, 0);
  for (size_t i = space.count; i < PROBES * space.count; i++)
    x[i] = bv_variable_decode(&space.variables[i % space.count],
                              bv_random_unit(&random));
  return bv_study_parse_point(study, NULL, 0, x, error);
}

static bool can_be_evaluated(const bv_told *told) {
  return told->outcome == BV_OUTCOME_EVALUATED ||
         told->outcome == BV_OUTCOME_NOT_A_NUMBER;
}

/* Makes a front of them for once: what can't be written is told now. */
static bv_status try_front(const bv_study *study, const double *x,
                           const bv_told *told, bv_error *error) {
  size_t width = bv_study_problem(study)->space.count, count = 0;
  bv_candidate rows[PROBES];
  bv_front front;
  for (size_t i = 0; i < PROBES; i++)
    if (told[i].outcome == BV_OUTCOME_EVALUATED)
      rows[count++] = (bv_candidate){x + i * width, &told[i]};
  bv_status status = bv_front_build(study, rows, count, &front, error);
  if (status == BV_OK)
    bv_front_free(&front);
  return status;
}

bv_status bv_probe(const bv_study *study, bv_pool *pool, uint64_t seed,
                   bv_error *error) {
  double x[PROBES * BV_SPACE_MOST];
  bv_told *told;
  if (choose(study, seed, x, error) != BV_OK)
    return BV_BAD_DATA;
  if (bv_tell_all(pool, bv_study_problem(study), x, PROBES, &told, error) !=
      BV_OK)
    return BV_INTERNAL;
  bool good = false;
  for (size_t i = 0; i < PROBES; i++)
    good = good || can_be_evaluated(&told[i]);
  bv_status status =
      good ? try_front(study, x, told, error)
           : bv_fail(error, BV_BAD_DATA,
                     "%s: cannot evaluate any of %d points: %s",
                     bv_study_path(study), PROBES, told[0].message);
  bv_told_free_all(told, PROBES);
  return status;
}
