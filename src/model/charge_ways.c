/* SPDX-License-Identifier: MIT */
#include "model/charge_ways.h"

#include <math.h>

#include "base/quadrature.h"

const char *const bv_way_words[] = {"boundary", "fixed_frequency", "two_levels",
                                    "constant_output_current", NULL};

enum { POINTS = 8 };

typedef struct setting {
  const bv_circuit *c;
  bv_way way;
  double frequency, lower;
} setting;

/* Adds the cycles that take the output across a width around v. */
static void add_point(const setting *s, double v, double width,
                      bv_way_charge *sum) {
  const bv_circuit *c = s->c;
  double n = c->turns_ratio, l = c->primary_inductance, vin = c->supply_voltage;
  double ip = c->peak_current, i1 = s->way == BV_WAY_TWO_LEVELS ? s->lower : 0;
  if (s->way == BV_WAY_CONSTANT_OUTPUT_CURRENT)
    ip *= (v + n * vin) / (c->target_voltage + n * vin);
  double on = l * (ip - i1) / vin, off = n * l * (ip - i1) / v;
  double period = on + off;
  if (s->way == BV_WAY_FIXED_FREQUENCY)
    period = fmax(period, 1 / s->frequency);
  double energy = l * (ip - i1) * (ip + i1) / 2;
  double cycles = c->storage_capacitance * v * width / energy;
  double square = (ip * ip + ip * i1 + i1 * i1) / 3;
  double overlap = (vin + v / n) * c->current_fall_time / 2;
  sum->charge_time += cycles * period;
  sum->cycles += cycles;
  sum->primary_current_squared += cycles * on * square;
  sum->secondary_current_squared += cycles * off * square / (n * n);
  sum->turn_off_energy += cycles * overlap * ip;
  sum->turn_on_energy += cycles * overlap * i1;
}

/* Where the fixed frequency begins to act, else the middle. */
static double corner(const setting *s) {
  const bv_circuit *c = s->c;
  double v0 = c->start_voltage, v1 = c->target_voltage;
  double amount = c->primary_inductance * c->peak_current;
  double off = 1 / s->frequency - amount / c->supply_voltage;
  double v = c->turns_ratio * amount / off;
  bool acts = s->way == BV_WAY_FIXED_FREQUENCY && v > v0 && v < v1;
  return acts ? v : (v0 + v1) / 2;
}

static void add_span(const setting *s, double lo, double hi,
                     bv_way_charge *sum) {
  bv_quadrature rule = bv_quadrature_rule(POINTS);
  double half = (hi - lo) / 2;
  for (size_t i = 0; i < rule.count; i++)
    add_point(s, lo + half * (1 + rule.nodes[i]), half * rule.weights[i], sum);
}

static bool in_range(const setting *s) {
  return bv_circuit_valid(s->c) && s->c->rectifier == BV_SINGLE &&
         (s->way != BV_WAY_FIXED_FREQUENCY ||
          (s->frequency > 0 && s->frequency < HUGE_VAL)) &&
         (s->way != BV_WAY_TWO_LEVELS ||
          (s->lower >= 0 && s->lower < s->c->peak_current));
}

bool bv_charge_way(const bv_circuit *circuit, bv_way way, double frequency,
                   double lower, bv_way_charge *charge) {
  setting s = {circuit, way, frequency, lower};
  double none = (double) NAN;
  *charge = (bv_way_charge){none, none, none, none, none, none, none};
  if (!in_range(&s))
    return false;
  *charge = (bv_way_charge){0};
  double middle = corner(&s);
  add_span(&s, circuit->start_voltage, middle, charge);
  add_span(&s, middle, circuit->target_voltage, charge);
  charge->primary_rms =
      sqrt(charge->primary_current_squared / charge->charge_time);
  return true;
}
