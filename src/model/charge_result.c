/* SPDX-License-Identifier: MIT */
#include "model/charge_result.h"

#include <math.h>

static void set_losses(const bv_circuit *c, const bv_flow *f, bv_charge *out) {
  double secondary = f->output_square + f->recharge_square;
  out->loss_energy_supply = c->supply_resistance * f->primary_square;
  out->loss_energy_switch = c->switch_resistance * f->primary_square;
  out->loss_energy_primary = c->primary_resistance * f->primary_square;
  out->loss_energy_sense = c->sense_resistance * f->primary_square;
  out->loss_energy_secondary = c->secondary_resistance * secondary;
  out->loss_energy_diode =
      c->sections * (c->diode_resistance * secondary +
                     c->diode_drop * (f->output_charge + f->recharge_charge));
  out->loss_energy_capacitor = c->capacitor_resistance * f->output_square;
  out->loss_energy_clamp = f->clamp;
  out->loss_energy_overlap = f->overlap;
  out->loss_energy_turn_on = f->turn_on;
  out->loss_energy_recovery = f->recovery;
  out->loss_energy_bleeder = f->bleeder;
  out->loss_energy_gate = f->turn_ons * c->gate_charge * c->gate_voltage;
  out->loss_energy_core = f->core;
  out->loss_energy = 0;
#define ADD(mechanism, meaning)                                                \
  out->loss_energy += out->loss_energy_##mechanism;
  BV_LOSS_MAP(ADD)
#undef ADD
}

void bv_charge_settle(const bv_circuit *c, const bv_flow *sums,
                      bv_charge *out) {
  double v0 = c->start_voltage, v1 = c->target_voltage;
  out->reason = BV_REASON_OK;
  out->impossibility = 0;
  out->charge_time = sums->time;
  out->cycles = sums->cycles;
  out->timed_out_cycles = sums->timed_out;
  out->primary_current_squared = sums->primary_square;
  out->secondary_current_squared = sums->output_square + sums->recharge_square;
  out->supply_energy = c->supply_voltage * sums->primary_charge;
  out->stored_energy = c->storage_capacitance * (v1 - v0) * (v1 + v0) / 2;
  set_losses(c, sums, out);
  out->efficiency_power_stage =
      out->stored_energy / (out->supply_energy - out->loss_energy_core);
  out->efficiency =
      out->stored_energy / (out->supply_energy + out->loss_energy_gate);
  out->average_power = out->stored_energy / out->charge_time;
}

void bv_charge_set_start(bv_charge *charge, const bv_cycle *cycle) {
  charge->on_time_start = cycle->on_time;
  charge->off_time_start = cycle->off_time;
  charge->frequency_start = 1 / cycle->flow.time;
  charge->timed_out_at_start = cycle->flow.timed_out;
}

double bv_charge_power(const bv_cycle *cycle, double output) {
  const bv_flow *flow = &cycle->flow;
  return (output * flow->output_charge - flow->bleeder) / flow->time;
}

void bv_charge_set_end(const bv_circuit *c, bv_charge *out,
                       const bv_cycle *cycle) {
  double vin = c->supply_voltage, v = c->target_voltage, m = c->sections;
  out->on_time_end = cycle->on_time;
  out->off_time_end = cycle->off_time;
  out->period_end = cycle->flow.time;
  out->frequency_end = 1 / cycle->flow.time;
  out->core_power_end = cycle->flow.core / cycle->flow.time;
  out->supply_current_end = cycle->flow.primary_charge / cycle->flow.time;
  out->switch_plateau = vin + cycle->reflected;
  out->switch_voltage =
      c->leakage_inductance > 0 ? vin + c->clamp_voltage : out->switch_plateau;
  out->diode_voltage = c->rectifier == BV_SINGLE
                           ? (v + c->turns_ratio * vin) / m
                           : v / m + c->diode_drop;
}

void bv_charge_of_ladder(const bv_circuit *ladder, const bv_circuit *doubler,
                         bv_charge *charge) {
  double k = ladder->target_voltage / doubler->target_voltage;
  double share =
      k * k * ladder->storage_capacitance / doubler->storage_capacitance;
  charge->timed_out_until *= k;
  charge->residual_energy += (1 - share) * charge->stored_energy;
  charge->stored_energy *= share;
  charge->efficiency *= share;
  charge->efficiency_power_stage *= share;
  charge->average_power *= share;
}
