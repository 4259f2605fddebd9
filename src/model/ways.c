/* SPDX-License-Identifier: MIT */
#include "model/ways.h"

#include <math.h>

#include "base/quadrature.h"
#include "base/root.h"
#include "model/switch.h"

#define OPTION(name, unit, hi, fallback, meaning)                              \
  {                                                                            \
#name, unit, meaning, BV_NUMBER, offsetof(bv_ways_options, name), 0, hi,   \
        fallback, NULL                                                         \
  }

static const bv_field options_list[] = {
    OPTION(frequency, "Hz", 1e9, 0,
           "fixed frequency, 0: mean frequency of the boundary mode"),
    OPTION(lower_share, "", 0.99, 0.5,
           "lower of the two current levels over the upper one"),
    OPTION(recovery_time, "s", 1e-3, 0, "reverse recovery of the diode"),
};
const bv_fields bv_ways_options_fields = {
    options_list, sizeof options_list / sizeof *options_list};

#define COST(name, unit, meaning)                                              \
  BV_RESULT_FIELD(bv_way_cost, name, unit, meaning)

static const bv_field cost_list[] = {
    {"reason", "", "ok, or what makes this way impossible", BV_WORD,
     offsetof(bv_way_cost, reason), 0, BV_REASON_COUNT - 1, 0, bv_reason_words},
    COST(charge_time, "s", "time from start to target, the same for all ways"),
    COST(peak_current, "A", "greatest primary current"),
    COST(lower_current, "A", "primary current at turn-on"),
    COST(inductor_energy, "J", "energy in the inductance at the peak current"),
    COST(primary_rms, "A", "primary current, RMS over the charge"),
    COST(secondary_rms, "A", "secondary current, RMS over the charge"),
    COST(area_product, "",
         "core and window needed, over those of the boundary mode"),
    COST(cycles, "", "switching cycles to the target"),
    COST(frequency_start, "Hz", "switching frequency at 5 % of the target"),
    COST(frequency_end, "Hz", "switching frequency at the target"),
    COST(conduction_energy, "J", "loss in resistances and diode drops"),
    COST(overlap_energy, "J", "overlap of current and voltage at both edges"),
    COST(node_energy, "J", "node capacitance discharged at turn-on"),
    COST(recovery_energy, "J", "reverse recovery of the diodes"),
    COST(switching_energy, "J", "overlap, node and recovery"),
    COST(power_ratio, "", "average over final power into the storage"),
};
const bv_fields bv_way_cost_fields = {cost_list,
                                      sizeof cost_list / sizeof *cost_list};

/* One way at a peak current. */
typedef struct run {
  bv_circuit c; /* with the way's own peak current */
  bv_way way;
  double frequency, share, recovery;
} run;

static bool charge_by(const run *r, const bv_circuit *c, bv_way_charge *out) {
  return bv_charge_way(c, r->way, r->frequency, r->share * c->peak_current,
                       out);
}

/* The charge over a narrow width about an output: amounts a volt. */
static bv_way_charge slice(const run *r, double v, bv_circuit *c) {
  double width = 1e-5 * v, n_vin = r->c.turns_ratio * r->c.supply_voltage;
  bv_way_charge part;
  *c = r->c;
  c->start_voltage = v - width / 2;
  c->target_voltage = v + width / 2;
  if (r->way == BV_WAY_CONSTANT_OUTPUT_CURRENT)
    c->peak_current *=
        (c->target_voltage + n_vin) / (r->c.target_voltage + n_vin);
  (void) charge_by(r, c, &part);
  part.charge_time /= width;
  part.cycles /= width;
  return part;
}

static double frequency_at(const run *r, double v) {
  bv_circuit c;
  bv_way_charge part = slice(r, v, &c);
  return part.cycles / part.charge_time;
}

/* Square of the voltage at which the switch turns on. */
static double turn_on_square(const run *r, double v, double peak,
                             double period) {
  double vin = r->c.supply_voltage, vr = v / r->c.turns_ratio;
  double busy = r->c.primary_inductance * peak * (1 / vin + 1 / vr);
  if (r->share > 0)
    return (vin + vr) * (vin + vr);
  if (r->way == BV_WAY_FIXED_FREQUENCY && period > 1.0001 * busy)
    return vin * vin + fmin(vr, vin) * fmin(vr, vin) / 2;
  return vr < vin ? (vin - vr) * (vin - vr) : 0;
}

static void add_turn_ons(const run *r, double v, double width,
                         bv_way_cost *cost) {
  bv_circuit c;
  bv_way_charge part = slice(r, v, &c);
  double count = part.cycles * width, n = c.turns_ratio;
  double square =
      turn_on_square(r, v, c.peak_current, part.charge_time / part.cycles);
  cost->node_energy += count * c.node_capacitance * square / 2;
  cost->recovery_energy +=
      count * bv_recovery_energy(r->share * c.peak_current / n, r->recovery,
                                 v + n * c.supply_voltage);
}

/* Enough panels for the corners at V = n Vin and where a wait begins. */
static void integrate_turn_ons(const run *r, bv_way_cost *cost) {
  enum { PANELS = 16, POINTS = 4 };
  bv_quadrature rule = bv_quadrature_rule(POINTS);
  double half = (r->c.target_voltage - r->c.start_voltage) / PANELS / 2;
  for (int p = 0; p < PANELS; p++)
    for (size_t i = 0; i < rule.count; i++)
      add_turn_ons(r, r->c.start_voltage + half * (2 * p + 1 + rule.nodes[i]),
                   half * rule.weights[i], cost);
}

static double conduction(const bv_circuit *c, const bv_way_charge *w) {
  double primary = c->supply_resistance + c->switch_resistance +
                   c->primary_resistance + c->sense_resistance;
  double secondary = c->secondary_resistance +
                     c->sections * c->diode_resistance +
                     c->capacitor_resistance;
  double charge =
      c->storage_capacitance * (c->target_voltage - c->start_voltage);
  return primary * w->primary_current_squared +
         secondary * w->secondary_current_squared +
         c->sections * c->diode_drop * charge;
}

/* Mean power over that at the target, which is C V dV/dt. */
static double power_ratio(const run *r, double time) {
  bv_circuit c;
  double v0 = r->c.start_voltage, v1 = r->c.target_voltage;
  bv_way_charge end = slice(r, v1, &c);
  return (v1 * v1 - v0 * v0) / (2 * time) * end.charge_time / v1;
}

static void settle(const run *r, bv_way_cost *cost) {
  const bv_circuit *c = &r->c;
  bv_way_charge w;
  if (!charge_by(r, c, &w))
    return;
  double ip = c->peak_current;
  double early = fmax(0.05 * c->target_voltage, c->start_voltage);
  *cost = (bv_way_cost){.reason = BV_REASON_OK,
                        .charge_time = w.charge_time,
                        .peak_current = ip,
                        .lower_current = r->share * ip,
                        .inductor_energy = c->primary_inductance * ip * ip / 2,
                        .primary_rms = w.primary_rms,
                        .secondary_rms =
                            sqrt(w.secondary_current_squared / w.charge_time),
                        .cycles = w.cycles,
                        .frequency_start = frequency_at(r, early),
                        .frequency_end = frequency_at(r, c->target_voltage),
                        .conduction_energy = conduction(c, &w),
                        .overlap_energy = w.turn_off_energy + w.turn_on_energy,
                        .power_ratio = power_ratio(r, w.charge_time)};
  cost->area_product =
      ip * (w.primary_rms + c->turns_ratio * cost->secondary_rms);
  integrate_turn_ons(r, cost);
  cost->switching_energy =
      cost->overlap_energy + cost->node_energy + cost->recovery_energy;
}

/* For the root: how much longer than the wanted time, relative. */
typedef struct wanted {
  const run *r;
  double time;
} wanted;

static double lateness(double factor, const void *context) {
  const wanted *x = context;
  bv_circuit c = x->r->c;
  bv_way_charge w;
  c.peak_current *= factor;
  return charge_by(x->r, &c, &w) ? w.charge_time / x->time - 1 : (double) NAN;
}

/* The factor on the peak current that charges in time, NAN where there is none.
 * With m = cycles of the boundary over those of the frequency, a factor
 * 2 (1 + sqrt(m)) takes at most 3/4 of the time. */
static double factor_for(const run *r, const bv_way_charge *boundary) {
  wanted x = {r, boundary->charge_time};
  double late = lateness(1, &x), factor = (double) NAN;
  if (r->way != BV_WAY_FIXED_FREQUENCY)
    return 1 + late;
  double count = r->frequency * x.time;
  if (count >= 100 &&
      !bv_root_find(lateness, &x, 1, 2 + 2 * sqrt(boundary->cycles / count),
                    1e-12, &factor))
    factor = 1; /* a frequency too high to act: late by rounding alone */
  return factor;
}

static void compare_one(run *r, const bv_way_charge *boundary,
                        bv_way_cost *cost) {
  bv_field_defaults(bv_way_cost_fields, cost);
  cost->reason = BV_REASON_BAD_CIRCUIT;
  r->c.peak_current *= factor_for(r, boundary);
  settle(r, cost);
}

void bv_ways_compare(const bv_circuit *circuit, const bv_ways_options *options,
                     bv_way_cost *costs) {
  bv_way_charge boundary;
  (void) bv_charge_way(circuit, BV_WAY_BOUNDARY, 0, 0, &boundary);
  double mean = boundary.cycles / boundary.charge_time;
  for (int way = 0; way < BV_WAY_COUNT; way++) {
    bool two = way == BV_WAY_TWO_LEVELS;
    run r = {.c = *circuit,
             .way = (bv_way) way,
             .frequency = options->frequency > 0 ? options->frequency : mean,
             .share = two ? options->lower_share : 0,
             .recovery = options->recovery_time};
    compare_one(&r, &boundary, &costs[way]);
  }
  double base = costs[BV_WAY_BOUNDARY].area_product;
  for (int way = 0; way < BV_WAY_COUNT; way++)
    costs[way].area_product /= base;
}
