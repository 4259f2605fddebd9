/* SPDX-License-Identifier: MIT */
/* What a script costs: the call of a Lua function of 6 variables with 3
 * objectives and 4 limits, named tables both ways, limits and hook on; and the
 * rate of charger.design through a script against the same in C. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/random.h"
#include "model/design.h"
#include "script/study.h"
#include "table/catalogue.h"

static const char arithmetic[] =
    "local space = require 'brimvolt.space'\n"
    "local v = {} for _, n in ipairs { 'a', 'b', 'c', 'd', 'e', 'f' } do\n"
    "  v[n] = space.real(0.5, 2) end\n"
    "return { variables = v, evaluate = function(x)\n"
    "  local p, q = x.a * x.b + x.c * x.d, x.e / x.f\n"
    "  local r = p * p + q * q + x.a * x.f - x.b * x.e\n"
    "  return { f = p + q * r, g = p * q - r, h = r / (1 + p),\n"
    "    k = x.a + x.b + x.c, l = x.d * x.e - p, m = q - x.f * x.a,\n"
    "    n = r * q + x.b } end,\n"
    "  minimise = { 'f', 'g', 'h' },\n"
    "  limits = { k = { max = 4 }, l = { max = 2 }, m = { max = 1 },\n"
    "    n = { max = 9 } } }\n";

static const char design[] =
    "local charger, space = require 'brimvolt.charger', "
    "require 'brimvolt.space'\n"
    "local catalogue = require 'brimvolt.catalogue'\n"
    "local job = charger.job { supply_voltage = { min = 21, nominal = 24,\n"
    "  max = 29 }, target_voltage = 1500, storage_capacitance = 33e-6,\n"
    "  shots_per_second = 0.5, ambient_temperature = 55 }\n"
    "return { variables = { turns_ratio = space.log(10, 40),\n"
    "  peak_current = space.log(3, 20), max_frequency = space.log(4e4, 2e5),\n"
    "  sections = space.whole(1, 6),\n"
    "  core = space.choice(catalogue.cores { family = 'ETD' }) },\n"
    "  evaluate = function(x) return charger.design(job, x) end,\n"
    "  minimise = { 'charge_time', 'loss_energy', 'core_volume' },\n"
    "  limits = { charge_time_low_supply = { max = 1.8 },\n"
    "    hot_spot_temperature = { max = 110 } } }\n";

static double now(void) {
  struct timespec time;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
  return (double) time.tv_sec + 1e-9 * (double) time.tv_nsec;
}

/* Every point of a bench, so that both sides see the same. */
enum { POINTS = 500 };
static double points[POINTS][BV_SPACE_MOST];

static void draw_points(const bv_space *space) {
  bv_random random = bv_random_keyed(1, 0, 0);
  for (size_t p = 0; p < POINTS; p++)
    for (size_t i = 0; i < space->count; i++)
      points[p][i] =
          bv_variable_decode(&space->variables[i], bv_random_unit(&random));
}

/* Seconds an evaluation takes in one round; *good counts the evaluated. */
static double time_round(const bv_problem *problem, bool relaxed,
                         size_t *good) {
  double objectives[BV_OBJECTIVES_MOST], limits[BV_LIMITS_MOST];
  double start = now();
  *good = 0;
  for (size_t p = 0; p < POINTS; p++) {
    bv_evaluation evaluation = {.x = points[p],
                                .relaxed = relaxed,
                                .objectives = objectives,
                                .limits = limits};
    *good += problem->evaluate(problem->context, &evaluation) ==
             BV_OUTCOME_EVALUATED;
  }
  return (now() - start) / POINTS;
}

/* The best round of each, taken in turns: what else runs meets both alike. */
typedef struct bench_pair {
  double lua, c;
  size_t lua_good, c_good;
} bench_pair;

static bench_pair time_both(const bv_problem *lua, const bv_problem *c,
                            bool relaxed) {
  bench_pair best = {(double) INFINITY, (double) INFINITY, 0, 0};
  for (int round = 0; round < 20; round++) {
    best.lua = fmin(best.lua, time_round(lua, relaxed, &best.lua_good));
    best.c = fmin(best.c, time_round(c, relaxed, &best.c_good));
  }
  return best;
}

static bv_study *open_study(const char *text) {
  char path[] = "/tmp/brimvolt-bench-XXXXXX";
  FILE *file = fdopen(mkstemp(path), "w");
  bv_study_options options = bv_study_defaults();
  bv_study *study;
  bv_error error;
  options.library = "lib";
  if (!file || fputs(text, file) < 0 || fclose(file) != 0 ||
      bv_study_open(path, &options, &study, &error) != BV_OK) {
    fprintf(stderr, "%s\n", file ? error.text : "cannot write");
    exit(EXIT_FAILURE);
  }
  remove(path);
  return study;
}

/* The arithmetic of the script above. */
static bv_outcome evaluate_arithmetic(void *context, bv_evaluation *e) {
  const double *x = e->x;
  (void) context;
  double p = x[0] * x[1] + x[2] * x[3], q = x[4] / x[5];
  double r = p * p + q * q + x[0] * x[5] - x[1] * x[4];
  e->objectives[0] = p + q * r;
  e->objectives[1] = p * q - r;
  e->objectives[2] = r / (1 + p);
  e->limits[0] = (x[0] + x[1] + x[2] - 4) / 4;
  e->limits[1] = (x[3] * x[4] - p - 2) / 2;
  e->limits[2] = q - x[5] * x[0] - 1;
  e->limits[3] = (r * q + x[1] - 9) / 9;
  return BV_OUTCOME_EVALUATED;
}

static void bench_arithmetic(void) {
  bv_study *study = open_study(arithmetic);
  bv_problem direct = *bv_study_problem(study);
  draw_points(&direct.space);
  direct.evaluate = evaluate_arithmetic;
  bench_pair best = time_both(bv_study_problem(study), &direct, false);
  printf("call of a Lua objective: %.0f ns, in C %.1f ns, ratio %.0f "
         "(target: below 1000 ns)\n",
         1e9 * best.lua, 1e9 * best.c, best.lua / best.c);
  bv_study_close(study);
}

/* The design study in C. */
typedef struct bench_design {
  bv_job job;
  bv_parts parts;
  const bv_core *cores[64];
} bench_design;

static bv_outcome evaluate_design(void *context, bv_evaluation *e) {
  const bench_design *bench = context;
  bv_choice choice;
  bv_design made;
  choice = (bv_choice){0};
  bv_field_defaults(bv_choice_fields, &choice);
  choice.core = bench->cores[(size_t) e->x[0]];
  choice.max_frequency = e->x[1];
  choice.peak_current = e->x[2];
  choice.sections = e->x[3];
  choice.turns_ratio = e->x[4];
  bv_design_make(&bench->job, &choice, &bench->parts,
                 e->relaxed ? BV_RELAXED : BV_BUILDABLE, &made);
  e->objectives[0] = made.charge_time;
  e->objectives[1] = made.loss_energy;
  e->objectives[2] = made.core_volume;
  e->limits[0] = (made.charge_time_low_supply - 1.8) / 1.8;
  e->limits[1] = (made.hot_spot_temperature - 110) / 110;
  return made.reason == BV_REASON_OK ? BV_OUTCOME_EVALUATED
                                     : BV_OUTCOME_NOT_A_NUMBER;
}

static bv_rows read_rows(const char *path, const bv_fields *fields,
                         size_t size) {
  bv_rows rows;
  bv_error error;
  if (bv_catalogue_read(path, *fields, size, &rows, &error) != BV_OK) {
    fprintf(stderr, "%s\n", error.text);
    exit(EXIT_FAILURE);
  }
  return rows;
}

#define READ(name, type)                                                       \
  read_rows("lib/catalogue/" name ".csv", &bv_##type##_fields,                 \
            sizeof(bv_##type))

static void bench_designs(void) {
  bv_study *study = open_study(design);
  bv_problem direct = *bv_study_problem(study);
  bv_rows cores = READ("cores", core), wires = READ("wires", wire),
          materials = READ("materials", material),
          switches = READ("switches", switch), diodes = READ("diodes", diode);
  bench_design bench = {.parts = {wires.data, wires.count, materials.data,
                                  materials.count, switches.data,
                                  switches.count, diodes.data, diodes.count}};
  bv_field_defaults(bv_job_fields, &bench.job);
  bench.job.supply_voltage = (bv_supply){21, 24, 29};
  bench.job.target_voltage = 1500;
  bench.job.storage_capacitance = 33e-6;
  bench.job.shots_per_second = 0.5;
  bench.job.ambient_temperature = 55;
  size_t count = 0;
  for (size_t i = 0; i < cores.count; i++) {
    const bv_core *core = (const bv_core *) cores.data + i;
    if (strcmp(core->family, "ETD") == 0)
      bench.cores[count++] = core;
  }
  draw_points(&direct.space);
  direct.evaluate = evaluate_design;
  direct.context = &bench;
  for (int relaxed = 0; relaxed < 2; relaxed++) {
    bench_pair best = time_both(bv_study_problem(study), &direct, relaxed);
    printf("charger.design, %s: %.2f us, in C %.2f us, rate %.0f %% of C's "
           "(target: at least 80 %%); %zu and %zu evaluated\n",
           relaxed ? "relaxed" : "buildable", 1e6 * best.lua, 1e6 * best.c,
           100 * best.c / best.lua, best.lua_good, best.c_good);
  }
  bv_study_close(study);
}

int main(void) {
  bench_arithmetic();
  bench_designs();
  return 0;
}
