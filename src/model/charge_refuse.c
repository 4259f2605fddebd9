/* SPDX-License-Identifier: MIT */
/* How far a refused circuit is from one that works. The measures are those of
 * the refusing cycle at the target (cycle.h), without the turn-off's delay:
 * they grade, and change sign near where the model does. */
#include <math.h>

#include "base/constants.h"
#include "model/charge_result.h"
#include "model/coreloss.h"
#include "model/doubler_ladder.h"

static double primary_resistance(const bv_circuit *c) {
  return c->supply_resistance + c->switch_resistance + c->primary_resistance +
         c->sense_resistance;
}

static double reflected(const bv_circuit *c) {
  double wound = c->target_voltage + c->sections * c->diode_drop;
  double vr = wound / c->turns_ratio;
  return c->rectifier == BV_SINGLE ? vr : vr - c->supply_voltage;
}

static double comparator(const bv_circuit *c) {
  return primary_resistance(c) * c->peak_current / c->supply_voltage;
}

static double clamp(const bv_circuit *c) {
  return reflected(c) / c->clamp_voltage;
}

/* By a triangle of flux, below zero by the ring; what it takes, its fall has
 * less to lose (bv_core_taken). */
static double core(const bv_circuit *c, double vr) {
  bv_steinmetz fit = {c->steinmetz_k, c->steinmetz_alpha, c->steinmetz_beta};
  double reverse = vr * sqrt(c->node_capacitance / c->primary_inductance);
  double flux = c->primary_inductance * c->peak_current;
  if (!(c->core_volume > 0 && c->steinmetz_k > 0 && vr > 0))
    return 0;
  double swing = (flux + c->primary_inductance * reverse) /
                 (c->primary_turns * c->core_area);
  double ki = c->core_volume * bv_core_loss_ki(&fit);
  double on = flux / c->supply_voltage, off = flux / vr;
  double both = bv_core_loss_cycle(ki, &fit, swing, on, off);
  double fall = bv_core_loss_cycle(ki, &fit, swing, off, off) / 2;
  return both / (1 + fall / (flux * c->peak_current));
}

/* What node, clamp, overlap and core take of a cycle's energy. */
static double stall(const bv_circuit *c) {
  double vr = reflected(c), vin = c->supply_voltage, ip = c->peak_current;
  bv_clamp clamp = {c->leakage_inductance, c->clamp_voltage,
                    fmin(c->node_capacitance_winding, c->node_capacitance),
                    vin};
  double below = clamp.leakage > 0 ? fmin(vr, 0.999 * clamp.level) : vr;
  bv_turn_off off = bv_turn_off_take(
      &clamp, c->current_fall_time,
      fmin(c->switch_capacitance, c->node_capacitance), ip, below);
  double node = c->node_capacitance * (vr * vr - vin * vin);
  return (node + 2 * (off.overlap + off.clamp + core(c, vr))) /
         (c->primary_inductance * ip * ip);
}

/* The bleeder's power over that of the last cycle. */
static double bleeder(const bv_circuit *c) {
  double v = c->target_voltage, vin = c->supply_voltage;
  double share = vin / (vin + reflected(c));
  return v * v / c->bleeder_resistance /
         (vin * c->peak_current / 2 * (1 - share));
}

/* What recovery takes back over what a cycle passes on at the start, where the
 * off-time limit leaves the most current; resistances left out. */
static double recovery(const bv_circuit *c) {
  double against = c->start_voltage + c->sections * c->diode_drop;
  double fall = against * c->off_time_limit /
                (c->turns_ratio * c->primary_inductance * c->peak_current);
  double left = fmax(1 - fall, 0);
  double down = left * c->peak_current * c->leakage_inductance /
                (c->supply_voltage + c->start_voltage / c->turns_ratio);
  double back = bv_recovery_charge(left, c->recovery_time, down);
  return 2 * back / ((1 + left) * c->off_time_limit);
}

static double off_limit(const bv_circuit *c) {
  double delays = c->turn_off_delay + c->turn_on_delay;
  return delays / fmax(c->off_time_limit, 1e-3 * delays);
}

static double pulse_inductance(const bv_circuit *c) {
  return c->turns_ratio * c->turns_ratio * c->leakage_inductance;
}

static double pulse_damping(const bv_circuit *c) {
  double r = c->secondary_resistance + c->sections * c->diode_resistance +
             c->turns_ratio * c->turns_ratio * primary_resistance(c);
  return r * r * c->series_capacitance / (4 * pulse_inductance(c));
}

static double pulse_length(const bv_circuit *c) {
  double on = c->primary_inductance * c->peak_current / c->supply_voltage;
  return BV_PI * sqrt(pulse_inductance(c) * c->series_capacitance) / on;
}

/* The measure that is 1 where a reason begins, NULL where nothing grades it. */
static double (*measure_of(bv_reason reason))(const bv_circuit *) {
  switch (reason) {
  case BV_REASON_COMPARATOR_UNREACHABLE:
    return comparator;
  case BV_REASON_CLAMP_BELOW_REFLECTED:
    return clamp;
  case BV_REASON_STALL:
    return stall;
  case BV_REASON_BLEEDER_STALL:
    return bleeder;
  case BV_REASON_RECOVERY_STALL:
    return recovery;
  case BV_REASON_OFF_LIMIT_SHORT:
    return off_limit;
  case BV_REASON_RECHARGE_OVERDAMPED:
    return pulse_damping;
  case BV_REASON_RECHARGE_TOO_LONG:
    return pulse_length;
  default:
    return NULL;
  }
}

bv_reason bv_charge_stall(const bv_cycle *cycle) {
  bool passes = cycle->flow.output_charge > 0 && cycle->flow.bleeder > 0;
  return passes ? BV_REASON_BLEEDER_STALL : BV_REASON_RECOVERY_STALL;
}

double bv_impossibility(double measure) {
  if (!(measure <= BV_IMPOSSIBLE))
    return BV_IMPOSSIBLE;
  return fmax(1, measure);
}

double bv_charge_impossibility(const bv_circuit *circuit, bv_reason reason) {
  double (*measure)(const bv_circuit *) = measure_of(reason);
  bv_circuit c = bv_ladder_as_doubler(circuit);
  return bv_impossibility(measure ? measure(&c) : BV_IMPOSSIBLE);
}

void bv_charge_refuse(bv_charge *charge, const bv_circuit *circuit,
                      bv_reason reason) {
  bv_field_defaults(bv_charge_fields, charge);
  charge->reason = (int) reason;
  charge->impossibility = bv_charge_impossibility(circuit, reason);
}
