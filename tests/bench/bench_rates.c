/* SPDX-License-Identifier: MIT */
/* Rates: the bare models in C, and what worker processes add to a search. */
#include <math.h>
#include <stdio.h>

#include "base/random.h"
#include "model/charge.h"
#include "model/design_support.h"
#include "run/clock.h"
#include "run/steer.h"

enum { POINTS = 512, SEARCH = 50000 };

/* Seconds to measure for. */
static const double enough = 0.5;

static double between(bv_random *random, double lo, double hi) {
  return lo * pow(hi / lo, bv_random_unit(random));
}

/* Choices over the ranges of the harbour beacon study. */
static void make_choices(bv_choice *choices) {
  bv_random random = bv_random_keyed(1, 0, 0);
  static const char *const cores[] = {"EFD30/15/9", "ETD29/16/10",
                                      "ETD34/17/11", "ETD44/22/15"};
  for (size_t i = 0; i < POINTS; i++) {
    choices[i] = beacon_choice();
    choices[i].turns_ratio = between(&random, 8, 60);
    choices[i].peak_current = between(&random, 2, 20);
    choices[i].max_frequency = between(&random, 20e3, 200e3);
    choices[i].sections = 1 + (double) bv_random_below(&random, 4);
    choices[i].core = shelf_core(cores[bv_random_below(&random, 4)]);
  }
}

static void report(const char *what, size_t count, double seconds) {
  printf("%-44s %9.0f/s  %8.2f us\n", what, (double) count / seconds,
         1e6 * seconds / (double) count);
}

static void measure_designs(const char *what, bv_precision precision) {
  static bv_choice choices[POINTS];
  bv_job job = beacon_job();
  bv_design design;
  make_choices(choices);
  size_t count = 0;
  double started = bv_clock(), passed = 0;
  for (; passed < enough; passed = bv_clock() - started)
    for (size_t i = 0; i < POINTS; i++, count++)
      bv_design_make(&job, &choices[i], &shelf_open()->parts, precision,
                     &design);
  report(what, count, passed);
}

static void measure_charge(const char *what,
                           void (*model)(const bv_circuit *, bv_charge *)) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_design design;
  bv_charge charge;
  bv_design_make(&job, &choice, &shelf_open()->parts, BV_BUILDABLE, &design);
  size_t count = 0;
  double started = bv_clock(), passed = 0;
  for (; passed < enough; passed = bv_clock() - started)
    for (size_t i = 0; i < POINTS; i++, count++)
      model(&design.circuit, &charge);
  report(what, count, passed);
}

static bv_outcome evaluate(void *context, bv_evaluation *evaluation) {
  (void) context;
  double a = evaluation->x[0], b = evaluation->x[1];
  evaluation->was_relaxed = false;
  evaluation->objectives[0] = a + b * b;
  evaluation->objectives[1] = (1 - a) * (1 - a) + b;
  return BV_OUTCOME_EVALUATED;
}

/* Seconds of one search; workers 0: in this process. */
static double search_seconds(size_t workers) {
  static const bv_variable variables[] = {{"a", BV_SCALE_REAL, 0, 1, 0},
                                          {"b", BV_SCALE_REAL, 0, 1, 0}};
  bv_problem problem = {
      .space = {variables, 2}, .objectives = 2, .evaluate = evaluate};
  bv_search_options options = bv_search_defaults();
  bv_steering steering = {.seconds = HUGE_VAL};
  bv_pool_options workers_of = bv_pool_defaults();
  bv_search *search;
  bv_pool *pool = NULL;
  options.evaluations = SEARCH;
  workers_of.jobs = workers;
  if (bv_search_new(&problem, &options, &search, NULL) != BV_OK)
    exit(EXIT_FAILURE);
  double started = bv_clock();
  if (workers == 0)
    bv_search_run(search);
  else if (bv_pool_new(&problem, &workers_of, &pool, NULL) != BV_OK ||
           bv_steer(search, pool, &steering, NULL) != BV_OK)
    exit(EXIT_FAILURE);
  double seconds = bv_clock() - started;
  bv_pool_free(pool);
  bv_search_free(search);
  return seconds;
}

int main(void) {
  measure_charge("charge, ideal closed form", bv_charge_ideal);
  measure_charge("charge, envelope with losses", bv_charge_envelope);
  measure_designs("design, relaxed", BV_RELAXED);
  measure_designs("design, buildable", BV_BUILDABLE);
  double here = search_seconds(0), one = search_seconds(1);
  report("search of two curves, in one process", SEARCH, here);
  report("search of two curves, through one worker", SEARCH, one);
  printf("%-44s %21.2f us\n", "  added by the worker, an evaluation",
         1e6 * (one - here) / SEARCH);
  return EXIT_SUCCESS;
}
