/* SPDX-License-Identifier: MIT */
/* The charge models: time an evaluation, cycles a second, error of the envelope
 * against the simulator, ratio to the switched integration. All times are
 * processor time of one core. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "model/charge_examples.h"
#include "model/charge_result.h"
#include "model/circuit_ode.h"

enum { DESIGNS = 1000, SHOWN = 100 };

static double seconds(void) {
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double) t.tv_sec + 1e-9 * (double) t.tv_nsec;
}

static bv_circuit bare(const bv_circuit *from) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = from->supply_voltage;
  c.target_voltage = from->target_voltage;
  c.storage_capacitance = from->storage_capacitance;
  c.primary_inductance = from->primary_inductance;
  c.turns_ratio = from->turns_ratio;
  c.peak_current = from->peak_current;
  return c;
}

static bv_circuit lossy_example(uint64_t i, double cycles) {
  return charge_example(9, i, cycles);
}

static bv_circuit bare_example(uint64_t i, double cycles) {
  bv_circuit c = charge_example(9, i, cycles);
  return bare(&c);
}

static bv_circuit doubler_example(uint64_t i, double cycles) {
  return charge_example_doubler(9, i, cycles);
}

typedef bv_circuit example(uint64_t index, double cycles);
typedef void model(const bv_circuit *circuit, bv_charge *charge);

static void time_evaluation(const char *what, example *make, model *run) {
  double total = 0;
  size_t count = 0;
  for (uint64_t i = 0; i < SHOWN; i++) {
    bv_circuit c = make(i, 10000);
    bv_charge charge;
    double from = seconds();
    for (int k = 0; k < 50; k++, count++)
      run(&c, &charge);
    total += seconds() - from;
  }
  printf("%-40s %8.2f us\n", what, 1e6 * total / (double) count);
}

/* Processor time a cycle, s. */
static double time_cycles(const char *what, example *make, double cycles) {
  double total = 0, count = 0;
  for (uint64_t i = 0; i < 12; i++) {
    bv_circuit c = make(i, cycles);
    bv_charge charge;
    double from = seconds();
    bv_charge_cycles(&c, NULL, &charge);
    total += seconds() - from;
    count += charge.reason == BV_REASON_OK ? charge.cycles : 0;
  }
  printf("%-40s %8.2f M cycles/s  %6.1f ns a cycle\n", what,
         count / total / 1e6, 1e9 * total / count);
  return total / count;
}

static void time_million(void) {
  bv_circuit c = lossy_example(1, 1e6);
  bv_charge charge;
  double from = seconds();
  bv_charge_cycles(&c, NULL, &charge);
  printf("%-40s %8.3f s\n", "charge of a million lossy cycles",
         seconds() - from);
}

/* The same skipping, and how a charge of fewer differs from all in full. */
static void show_skipping(void) {
  bv_circuit c = lossy_example(1, 1e6);
  bv_charge full, skipped;
  double from = seconds();
  long run = bv_charge_cycles_skipping(&c, 1e-6, &skipped);
  printf("%-40s %8.6f s  %ld in full\n", "the same, skipping to 1e-6",
         seconds() - from, run);
  double time = 0, loss = 0, spent = 0;
  for (uint64_t i = 0; i < SHOWN; i++) {
    c = lossy_example(i, 1e4);
    bv_charge_cycles(&c, NULL, &full);
    from = seconds();
    bv_charge_cycles_skipping(&c, 1e-6, &skipped);
    spent += seconds() - from;
    time = fmax(time, fabs(skipped.charge_time / full.charge_time - 1));
    loss = fmax(loss, fabs(skipped.loss_energy / full.loss_energy - 1));
  }
  printf("%-40s %8.1f us  time to %.1e, losses to %.1e of all in full\n",
         "charge of 10000 cycles, skipping to 1e-6", 1e6 * spent / SHOWN, time,
         loss);
}

static int by_value(const void *a, const void *b) {
  double x = *(const double *) a, y = *(const double *) b;
  return (x > y) - (x < y);
}

static void print_spread(const char *what, double *errors, size_t count) {
  qsort(errors, count, sizeof *errors, by_value);
  printf("  %-38s median %.1e  90 %% %.1e  99 %% %.1e  most %.1e\n", what,
         errors[count / 2], errors[count * 9 / 10], errors[count * 99 / 100],
         errors[count - 1]);
}

/* Relative differences of a model from the simulator over many designs. */
static void show_errors(const char *title, example *make, double cycles,
                        size_t designs, model *run) {
  static double time[DESIGNS], supply[DESIGNS], loss[DESIGNS];
  size_t count = 0;
  for (uint64_t i = 0; i < designs; i++) {
    bv_circuit c = make(1000 + i, cycles);
    bv_charge a, b;
    run(&c, &a);
    bv_charge_cycles(&c, NULL, &b);
    if (a.reason != BV_REASON_OK || b.reason != BV_REASON_OK)
      continue;
    time[count] = fabs(a.charge_time / b.charge_time - 1);
    supply[count] = fabs(a.supply_energy / b.supply_energy - 1);
    loss[count++] = fabs(a.loss_energy / b.loss_energy - 1);
  }
  printf("%s, %zu designs of about %g cycles\n", title, count, cycles);
  print_spread("charge time", time, count);
  print_spread("supply energy", supply, count);
  print_spread("sum of losses", loss, count);
}

static void show_convergence(void) {
  static double errors[SHOWN];
  printf("envelope by quadrature points a segment, against 16\n");
  for (size_t points = 2; points <= 12; points += points < 8 ? 2 : 4) {
    for (uint64_t i = 0; i < SHOWN; i++) {
      bv_circuit c = lossy_example(i, 10000);
      bv_charge a, b;
      bv_charge_envelope_by(&c, points, &a);
      bv_charge_envelope_by(&c, 16, &b);
      errors[i] = fabs(a.charge_time / b.charge_time - 1);
    }
    char what[16];
    snprintf(what, sizeof what, "%zu points", points);
    print_spread(what, errors, SHOWN);
  }
}

static void show_ratio(double cycle) {
  double total = 0, count = 0;
  for (uint64_t i = 0; i < 12; i++) {
    bv_circuit c = lossy_example(i, 200);
    ode_charge ode;
    double from = seconds();
    if (ode_charge_run(&c, 1e-9, 5000, &ode))
      count += ode.cycles;
    total += seconds() - from;
  }
  printf("%-40s %8.1f us a cycle, %.0f times the simulator's\n",
         "switched integration, tolerance 1e-9", 1e6 * total / count,
         total / count / cycle);
}

int main(void) {
  time_evaluation("ideal closed form", lossy_example, bv_charge_ideal);
  time_evaluation("closed form with losses", lossy_example, bv_charge_closed);
  time_evaluation("envelope, circuit without losses", bare_example,
                  bv_charge_envelope);
  time_evaluation("envelope, every loss", lossy_example, bv_charge_envelope);
  time_evaluation("envelope, doubler", doubler_example, bv_charge_envelope);
  time_cycles("simulator, circuit without losses", bare_example, 2e5);
  double cycle = time_cycles("simulator, every loss", lossy_example, 1e5);
  time_cycles("simulator, doubler", doubler_example, 2e4);
  time_million();
  show_skipping();
  show_ratio(cycle);
  show_errors("envelope against simulator", lossy_example, 3000, DESIGNS,
              bv_charge_envelope);
  show_errors("envelope against simulator", lossy_example, 300, DESIGNS,
              bv_charge_envelope);
  show_errors("doubler's envelope against simulator", doubler_example, 3000,
              SHOWN, bv_charge_envelope);
  show_errors("closed form against simulator", lossy_example, 3000, SHOWN,
              bv_charge_closed);
  show_convergence();
  return 0;
}
