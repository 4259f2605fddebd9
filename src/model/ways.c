/* SPDX-License-Identifier: MIT */
#include "model/ways.h"

#include <math.h>

#include "model/charge_result.h"
#include "model/doubler_ladder.h"

const char *const bv_way_words[] = {"boundary", "fixed_frequency", "two_levels",
                                    "constant_output_current", NULL};

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
    OPTION(rise_time, "s", 1e-3, 0,
           "rise of the switch's current at turn-on with current; 0: its fall "
           "time"),
};
const bv_fields bv_ways_options_fields = {
    options_list, sizeof options_list / sizeof *options_list};

#define COST(name, unit, meaning)                                              \
  BV_RESULT_FIELD(bv_way_cost, name, unit, meaning)

static const bv_field cost_list[] = {
    {"reason", "", "ok, or what makes this way impossible", BV_WORD,
     offsetof(bv_way_cost, reason), 0, BV_REASON_COUNT - 1, 0, bv_reason_words},
    COST(charge_time, "s", "time from start to target, the same for all ways"),
    COST(peak_current, "A", "comparator level, the greatest"),
    COST(lower_current, "A", "primary current at turn-on"),
    COST(primary_current_max, "A", "greatest primary current, with delay"),
    COST(inductor_energy, "J", "energy in the inductance at that current"),
    COST(primary_rms, "A", "primary current, RMS over the charge"),
    COST(secondary_rms, "A", "secondary current, RMS over the charge"),
    COST(area_product, "",
         "core and window needed, over those of the boundary mode"),
    COST(switch_voltage, "V", "switch stress: supply plus clamp or plateau"),
    COST(diode_voltage, "V", "reverse voltage of each diode position"),
    COST(cycles, "", "switching cycles to the target"),
    COST(frequency_start, "Hz", "switching frequency at 5 % of the target"),
    COST(frequency_end, "Hz", "switching frequency at the target"),
    COST(output_current_start, "A",
         "mean rectified current at 5 % of the target"),
    COST(output_current_end, "A", "mean rectified current at the target"),
    COST(conduction_energy, "J", "loss in resistances and diode drops"),
    COST(overlap_energy, "J", "overlap of current and voltage at both edges"),
    COST(node_energy, "J", "node capacitance discharged at turn-on"),
    COST(recovery_energy, "J", "reverse recovery of the diodes"),
    COST(switching_energy, "J", "overlap, node and recovery"),
    COST(clamp_energy, "J", "leakage energy taken by the clamp"),
    COST(gate_energy, "J", "gate drive"),
    COST(core_energy, "J", "magnetic core"),
    COST(bleeder_energy, "J", "bleeder during the charge"),
    COST(loss_energy, "J", "sum of the losses"),
    COST(supply_energy, "J", "drawn from the supply"),
    COST(residual_energy, "J",
         "left in inductance, switch node and series capacitor"),
    COST(efficiency, "", "stored energy over supply and gate energy"),
    COST(power_ratio, "", "average over final power into the storage"),
};
const bv_fields bv_way_cost_fields = {cost_list,
                                      sizeof cost_list / sizeof *cost_list};

/* An amount that goes about with a power of x > 0. */
typedef bv_reason measure(void *context, double x, double *amount);

/* Finds x with the wanted amount by the secant method on the logarithms, the
 * first step by an expected power, inside what is known to hold it; an amount
 * that jumps over the wanted one, as where the off-time limit begins to act,
 * leaves x at the jump. */
static bv_reason reach(measure *f, void *context, double wanted, double power,
                       double *x) {
  double last = 0, last_gap = 0, lo = -HUGE_VAL, hi = HUGE_VAL, at = log(*x);
  for (int i = 0; i < 80 && hi - lo > 1e-9; i++) {
    double amount, sign = copysign(1, power);
    bv_reason reason = f(context, exp(at), &amount);
    if (reason == BV_REASON_BAD_CIRCUIT && i > 0)
      return BV_REASON_TIME_UNREACHABLE; /* led out of a circuit's ranges */
    if (reason != BV_REASON_OK)
      return reason;
    double gap = log(wanted / amount), found = (last_gap - gap) / (at - last);
    *x = exp(at);
    if (fabs(gap) < 1e-8)
      return BV_REASON_OK;
    if (sign * gap > 0)
      lo = at;
    else
      hi = at;
    if (i > 0 && sign * found > 0.1)
      power = found;
    last = at;
    last_gap = gap;
    at += fmax(-0.7, fmin(0.7, gap / power));
    if (!(at > lo && at < hi) || (i > 12 && isfinite(hi - lo)))
      at = (lo + hi) / 2;
  }
  return hi - lo < 1e-9 ? BV_REASON_OK : BV_REASON_TIME_UNREACHABLE;
}

/* One way at a peak current. */
typedef struct run {
  bv_circuit c; /* with the way's own peak current */
  bv_lead *lead;
  double share, rise;
  double output_current; /* A, the constant one */
} run;

/* A doubler's recharge pulse has to end in the on-time here, too. */
static bv_reason lead_levels(const void *context, double output,
                             bv_stage *stage) {
  const run *r = context;
  (void) output;
  stage->lower = r->share * stage->ip;
  stage->rise = r->share > 0 ? r->rise : 0;
  double on =
      bv_ramp_to(stage->l, stage->vin, stage->rp, stage->lower, stage->peak)
          .time;
  return stage->recharge.length < on ? BV_REASON_OK
                                     : BV_REASON_RECHARGE_TOO_LONG;
}

/* The cycle at an output with a comparator level of its own. */
typedef struct trial {
  bv_circuit c;
  bv_stage stage;
  double output;
} trial;

static bv_reason output_current(void *context, double level, double *current) {
  trial *t = context;
  bv_cycle cycle;
  t->c.peak_current = level;
  bv_reason reason = bv_stage_make(&t->c, &t->stage);
  if (reason == BV_REASON_OK)
    reason = bv_cycle_at(&t->stage, t->output, &cycle);
  if (reason == BV_REASON_OK)
    *current = cycle.flow.output_charge / cycle.flow.time;
  return reason;
}

static bv_reason lead_current(const void *context, double output,
                              bv_stage *stage) {
  const run *r = context;
  trial t = {.c = bv_ladder_as_doubler(&r->c)};
  double target = t.c.target_voltage;
  double n_vin = r->c.turns_ratio * r->c.supply_voltage;
  t.output = fmax(output, 0.01 * target);
  double level = r->c.peak_current * (t.output + n_vin) / (target + n_vin);
  bv_reason reason = reach(output_current, &t, r->output_current, 1, &level);
  *stage = t.stage;
  return reason;
}

static run way_run(const bv_circuit *circuit, bv_way way,
                   const bv_ways_options *options) {
  static bv_lead *const leads[] = {NULL, NULL, lead_levels, lead_current};
  double rise = options->rise_time;
  run r = {.c = *circuit,
           .lead = leads[way],
           .share = way == BV_WAY_TWO_LEVELS ? options->lower_share : 0,
           .rise = rise > 0 ? rise : circuit->current_fall_time};
  if (way == BV_WAY_FIXED_FREQUENCY)
    r.c.max_frequency = options->frequency;
  return r;
}

static void charge_by(run *r, bv_charge *charge) {
  trial end = {.c = bv_ladder_as_doubler(&r->c)};
  end.output = end.c.target_voltage;
  if (r->lead == lead_current)
    (void) output_current(&end, r->c.peak_current, &r->output_current);
  bv_charge_envelope_led(&r->c, r->lead, r, charge);
}

/* Mean rectified current at an output, A; a ladder's is that of its doubler by
 * the stages. */
static double current_at(const run *r, double output) {
  bv_stage stage;
  bv_cycle cycle;
  bv_circuit c = bv_ladder_as_doubler(&r->c);
  double scale = c.target_voltage / r->c.target_voltage;
  output *= scale;
  bv_reason reason = bv_stage_make(&c, &stage);
  if (reason == BV_REASON_OK && r->lead)
    reason = r->lead(r, output, &stage);
  if (reason != BV_REASON_OK ||
      bv_cycle_at(&stage, output, &cycle) != BV_REASON_OK)
    return (double) NAN;
  return scale * cycle.flow.output_charge / cycle.flow.time;
}

static double conduction(const bv_charge *c) {
  return c->loss_energy_supply + c->loss_energy_switch +
         c->loss_energy_primary + c->loss_energy_sense +
         c->loss_energy_secondary + c->loss_energy_diode +
         c->loss_energy_capacitor;
}

static void set_losses(const bv_charge *charge, bv_way_cost *cost) {
  cost->conduction_energy = conduction(charge);
  cost->overlap_energy = charge->loss_energy_overlap;
  cost->node_energy = charge->loss_energy_turn_on;
  cost->recovery_energy = charge->loss_energy_recovery;
  cost->switching_energy =
      cost->overlap_energy + cost->node_energy + cost->recovery_energy;
  cost->clamp_energy = charge->loss_energy_clamp;
  cost->gate_energy = charge->loss_energy_gate;
  cost->core_energy = charge->loss_energy_core;
  cost->bleeder_energy = charge->loss_energy_bleeder;
  cost->loss_energy = charge->loss_energy;
  cost->supply_energy = charge->supply_energy;
  cost->residual_energy = charge->residual_energy;
  cost->efficiency = charge->efficiency;
  cost->power_ratio = charge->power_ratio;
}

static void set_currents(const run *r, const bv_charge *charge,
                         bv_way_cost *cost) {
  const bv_circuit *c = &r->c;
  double time = charge->charge_time, most = charge->primary_current_max;
  double early = fmax(0.05 * c->target_voltage, c->start_voltage);
  cost->peak_current = c->peak_current;
  cost->lower_current = r->share * c->peak_current;
  cost->primary_current_max = most;
  cost->inductor_energy = c->primary_inductance * most * most / 2;
  cost->primary_rms = sqrt(charge->primary_current_squared / time);
  cost->secondary_rms = sqrt(charge->secondary_current_squared / time);
  cost->area_product =
      most * (cost->primary_rms + c->turns_ratio * cost->secondary_rms);
  cost->output_current_start = current_at(r, early);
  cost->output_current_end = current_at(r, c->target_voltage);
}

static void settle(run *r, bv_way_cost *cost) {
  bv_charge charge;
  bv_field_defaults(bv_way_cost_fields, cost);
  charge_by(r, &charge);
  cost->reason = charge.reason;
  if (charge.reason != BV_REASON_OK)
    return;
  cost->charge_time = charge.charge_time;
  cost->switch_voltage = charge.switch_voltage;
  cost->diode_voltage = charge.diode_voltage;
  cost->cycles = charge.cycles;
  cost->frequency_start = charge.frequency_start;
  cost->frequency_end = charge.frequency_end;
  set_currents(r, &charge, cost);
  set_losses(&charge, cost);
}

static bv_reason charge_time(void *context, double level, double *time) {
  run *r = context;
  bv_charge charge;
  r->c.peak_current = level;
  charge_by(r, &charge);
  *time = charge.charge_time;
  return (bv_reason) charge.reason;
}

static void refuse(bv_reason reason, bv_way_cost *cost) {
  bv_field_defaults(bv_way_cost_fields, cost);
  cost->reason = (int) reason;
}

void bv_way_charge(const bv_circuit *circuit, bv_way way,
                   const bv_ways_options *options, bv_way_cost *cost) {
  run r = way_run(circuit, way, options);
  if (bv_field_all_in_range(bv_ways_options_fields, options))
    settle(&r, cost);
  else
    refuse(BV_REASON_BAD_CIRCUIT, cost);
}

/* A way in the time of the boundary's charge. */
static void compare_one(const bv_circuit *circuit, bv_way way,
                        const bv_ways_options *options,
                        const bv_way_cost *boundary, bv_way_cost *cost) {
  run r = way_run(circuit, way, options);
  double level = circuit->peak_current, time = boundary->charge_time;
  bool few = way == BV_WAY_FIXED_FREQUENCY && options->frequency * time < 100;
  bv_reason reason =
      few ? BV_REASON_BAD_CIRCUIT : reach(charge_time, &r, time, -1, &level);
  if (reason == BV_REASON_OK)
    settle(&r, cost);
  else
    refuse(reason, cost);
  cost->area_product /= boundary->area_product;
}

void bv_ways_compare(const bv_circuit *circuit, const bv_ways_options *options,
                     bv_way_cost *costs) {
  bv_ways_options usual = *options;
  bv_way_cost *boundary = &costs[BV_WAY_BOUNDARY];
  bv_way_charge(circuit, BV_WAY_BOUNDARY, options, boundary);
  if (!(usual.frequency > 0))
    usual.frequency = boundary->cycles / boundary->charge_time;
  for (int way = 1; way < BV_WAY_COUNT; way++)
    if (boundary->reason == BV_REASON_OK)
      compare_one(circuit, (bv_way) way, &usual, boundary, &costs[way]);
    else
      costs[way] = *boundary;
  boundary->area_product /= boundary->area_product;
}
