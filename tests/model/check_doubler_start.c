/* SPDX-License-Identifier: MIT */
/* The first cycles of a doubler, whose series capacitor is empty: what a design
 * says of them against a plain integration of the loop of leakage, capacitor
 * and both diodes. */
#include <math.h>

#include "check_main.h"
#include "model/design_support.h"

/* Leakage at the secondary; the current is that out of the winding. */
typedef struct circuit {
  double vin, n, l, leakage, series, storage, peak;
  double magnetising, current, capacitor, output;
  double most_magnetising, most_primary, most_capacitor;
  double most_charge; /* A s, through the primary in an on-time */
} circuit;

/* The winding's loop at a winding voltage, behind one inductance. */
static void loop(circuit *x, double winding, double inductance, double dt) {
  double joint = winding + x->capacitor, before = x->current;
  double drive = x->current > 0 || joint > x->output ? joint - x->output
                 : x->current < 0 || joint < 0       ? joint
                                                     : 0;
  x->current += drive / inductance * dt;
  if (before * x->current < 0)
    x->current = 0;
  x->capacitor -= x->current / x->series * dt;
  if (x->current > 0)
    x->output += x->current / x->storage * dt;
}

static void note(circuit *x, double primary) {
  x->most_magnetising = fmax(x->most_magnetising, x->magnetising);
  x->most_primary = fmax(x->most_primary, primary);
  x->most_capacitor = fmax(x->most_capacitor, x->capacitor);
}

/* The comparator is blind while the capacitor recharges. */
static void on(circuit *x, double dt) {
  double charge = 0;
  x->magnetising = x->current = 0;
  while (x->magnetising < x->peak) {
    x->magnetising += x->vin / x->l * dt;
    loop(x, -x->n * x->vin, x->leakage, dt);
    double primary = x->magnetising - x->n * x->current;
    note(x, primary);
    charge += primary * dt;
    x->most_charge = fmax(x->most_charge, charge);
  }
}

/* The primary is open, or its diode holds the winding where the capacitor
 * would pull the switch below zero. */
static void off(circuit *x, double dt) {
  double whole = x->n * x->n * x->l + x->leakage;
  x->current = x->magnetising / x->n;
  while (x->current > 0) {
    double across = (x->output - x->capacitor) * (1 - x->leakage / whole);
    if (across < -x->n * x->vin || x->magnetising < x->n * x->current) {
      x->magnetising += x->vin / x->l * dt;
      loop(x, -x->n * x->vin, x->leakage, dt);
    } else {
      loop(x, 0, whole, dt);
      x->magnetising = x->n * x->current;
    }
    note(x, 0);
  }
}

static void check_told(double seen, double told) {
  ck_assert_msg(seen < 1.1 * told && seen > 0.55 * told, "%g of %g", seen,
                told);
}

static circuit first_cycles(const bv_job *job, const bv_design *d,
                            double supply) {
  double n = d->turns_ratio_built;
  circuit x = {.vin = supply,
               .n = n,
               .l = d->primary_inductance - d->leakage_inductance,
               .leakage = n * n * d->leakage_inductance,
               .series = d->series_capacitance,
               .storage = job->storage_capacitance,
               .peak = d->primary_current_max};
  for (int k = 0; k < 20; k++) {
    on(&x, 1e-9);
    off(&x, 1e-9);
  }
  return x;
}

START_TEST(first_cycles_are_within_what_is_told) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  choice.sections = 1;
  choice.rectifier = BV_DOUBLER;
  const double ratios[] = {8, 12, 16};
  for (size_t i = 0; i < 3; i++) {
    choice.turns_ratio = ratios[i];
    bv_design d = design_make(&job, &choice, BV_BUILDABLE);
    ck_assert_int_eq(d.reason, BV_REASON_OK);
    circuit x = first_cycles(&job, &d, job.supply_voltage.max);
    check_told(x.most_magnetising, d.magnetising_current_max);
    check_told(x.most_primary, d.switch_current);
    check_told(x.most_capacitor, d.series_capacitor_voltage);
    double low = job.supply_voltage.min;
    check_told(first_cycles(&job, &d, low).most_charge,
               0.02 * low * d.input_capacitance);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {first_cycles_are_within_what_is_told, NULL};
  return check_main("doubler_start", tests);
}
