/* SPDX-License-Identifier: MIT */
#include <math.h>

#include "base/constants.h"
#include "model/coreloss.h"
#include "model/cycle.h"

/* Peak current and on-time follow from the comparator level and the delay. */
static void set_primary(const bv_circuit *c, bv_stage *s) {
  s->vin = c->supply_voltage;
  s->l = c->primary_inductance;
  s->rp = c->supply_resistance + c->switch_resistance + c->primary_resistance +
          c->sense_resistance;
  s->ip = c->peak_current;
  s->delay = c->turn_off_delay;
  s->peak = bv_ramp_for(s->l, s->vin, s->rp, s->ip, s->delay).current;
  if (c->comparator_blanking < HUGE_VAL)
    s->least_on = c->comparator_blanking + s->delay;
  s->on_time = bv_ramp_to(s->l, s->vin, s->rp, 0, s->peak).time;
  s->clamp = (bv_clamp){
      c->leakage_inductance, c->clamp_voltage,
      bv_less(c->node_capacitance_winding, c->node_capacitance), s->vin};
  bv_clamp_swing_make(&s->clamp, s->peak, &s->swing);
  s->fall = c->current_fall_time;
  s->beside = bv_less(c->switch_capacitance, c->node_capacitance);
  bv_ringing_make(&s->clamp, s->fall, s->beside, s->peak, &s->ringing);
}

static void set_secondary(const bv_circuit *c, bv_stage *s) {
  double m = c->sections, diodes = m * c->diode_resistance;
  s->n = c->turns_ratio;
  s->sections = m;
  s->ls = s->n * s->n * s->l;
  s->per_n = 1 / s->n;
  s->per_l = 1 / s->l;
  s->diode = m * c->diode_drop;
  s->drop = s->diode;
  s->recovery = c->recovery_time;
  s->r = c->secondary_resistance + diodes + c->capacitor_resistance;
  s->c = c->storage_capacitance;
  s->per_c = 1 / s->c;
  s->bleed = c->bleeder_resistance > 0 ? 1 / c->bleeder_resistance : 0;
  s->target = c->target_voltage;
  s->limit = c->off_time_limit;
  s->period = 1 / c->max_frequency;
}

static void set_node(const bv_circuit *c, bv_stage *s) {
  s->csw = c->node_capacitance;
  s->dead = c->turn_on_delay;
  if (s->csw == 0)
    return;
  s->z = sqrt(s->l / s->csw);
  s->tau = sqrt(s->l * s->csw);
  s->y = 1 / s->z;
  s->rate = 1 / s->tau;
  s->dead += BV_PI * s->tau;
  s->wave = bv_damped_make(s->rp / (2 * s->l), s->rate * s->rate);
  s->ring = bv_ring_from_rest(s, s->dead);
  if (s->wave.w2 > 0)
    s->ring_low = exp(-BV_PI * s->wave.a / s->wave.w);
}

/* A quarter of the ring loses as a time at its full voltage, the mean of
 * |cos|^a of a quarter turn; cosine: its integral over a whole one. */
static void set_core_ring(bv_stage *s, double cosine) {
  double unit = s->on_time / (s->l * s->peak);
  double quarter = BV_PI / 2 * s->tau;
  double quarter_loss = s->tau * cosine / 4;
  s->core_ring =
      (bv_core_ring){.reverse = bv_fade(s->wave.a * quarter) * s->y / s->peak,
                     .slope = unit,
                     .supply = pow(s->vin * unit, s->alpha),
                     .quarter = quarter_loss / s->on_time,
                     .back = s->tau / (s->vin * s->on_time),
                     .rise = s->csw / (s->on_time * (1 + s->alpha)),
                     .drop = s->r * s->per_n * s->per_n / 2,
                     .slow = quarter_loss / (BV_PI / 2) / s->on_time,
                     .per_on = 1 / s->on_time,
                     .per_peak = 1 / s->peak};
}

/* The loss of a cycle of standard peak and on-time: volume ki dB^b ton^(1-a),
 * ki of coreloss.h with its powers drawn together. */
static void set_core(const bv_circuit *c, bv_stage *s) {
  s->alpha = c->steinmetz_alpha;
  s->beta = c->steinmetz_beta;
  if (!(c->core_volume > 0 && c->steinmetz_k > 0))
    return;
  double amplitude = s->l * s->peak / (c->primary_turns * c->core_area) / 2;
  double cosine = bv_core_loss_cosine(s->alpha);
  s->core = c->core_volume * 2 * c->steinmetz_k / cosine *
            pow(amplitude, s->beta) * pow(BV_PI * s->on_time, 1 - s->alpha);
  bv_power_make(s->alpha, &s->slopes);
  bv_power_make(s->beta - s->alpha, &s->swings);
  set_core_ring(s, cosine);
}

static bv_reason set_doubler(const bv_circuit *c, bv_stage *s) {
  double n2 = s->n * s->n, lr = n2 * s->clamp.leakage;
  s->cs = c->series_capacitance;
  if (!(s->cs > 0))
    return BV_REASON_BAD_CIRCUIT;
  s->rs = c->secondary_resistance + s->sections * c->diode_resistance;
  s->blanking = c->comparator_blanking;
  if (!bv_pulse_loop_make(lr, s->rs + n2 * s->rp, s->cs, &s->recharge))
    return BV_REASON_RECHARGE_OVERDAMPED;
  bv_doubler_prepare(s);
  return s->recharge.length < s->on_time ? BV_REASON_OK
                                         : BV_REASON_RECHARGE_TOO_LONG;
}

bv_reason bv_stage_make(const bv_circuit *circuit, bv_stage *stage) {
  *stage = (bv_stage){0};
  if (!bv_circuit_valid(circuit))
    return BV_REASON_BAD_CIRCUIT;
  if (circuit->rectifier == BV_LADDER && circuit->stages > 1)
    return BV_REASON_ENVELOPE_ONLY;
  set_primary(circuit, stage);
  if (stage->rp * stage->ip >= stage->vin)
    return BV_REASON_COMPARATOR_UNREACHABLE;
  if (circuit->off_time_limit <=
      circuit->turn_off_delay + circuit->turn_on_delay)
    return BV_REASON_OFF_LIMIT_SHORT;
  set_secondary(circuit, stage);
  set_node(circuit, stage);
  set_core(circuit, stage);
  if (!isfinite(stage->peak) || !isfinite(stage->on_time))
    return BV_REASON_BAD_CIRCUIT;
  bv_reason reason = circuit->rectifier == BV_SINGLE
                         ? BV_REASON_OK
                         : set_doubler(circuit, stage);
  double series = stage->cs > 0 ? 1 / stage->cs : 0;
  bv_off_loop_make(stage->ls, stage->r, series + 1 / stage->c, &stage->off);
  bv_off_loop_make(stage->ls, stage->r, series, &stage->held);
  bv_off_loop_make(stage->ls, stage->rs, series, &stage->caught);
  return reason;
}
