/* SPDX-License-Identifier: MIT */
/* Ideal closed forms of the boundary-mode charger with constant peak current.
 *
 * With y = n Vin/V a cycle takes ton = L Ip/Vin and toff = n L Ip/V. Single
 * rectifier: t = C [(Vt^2 - V0^2) + 2 n Vin (Vt - V0)]/(Ip Vin), N = C (Vt^2 -
 * V0^2)/(L Ip^2) (N. O. Sokal, R. Redl, IEEE Trans. Power Electron. 12(5),
 * 1997). The first cycles are arcs of L and C, so that a charge from zero is
 * shorter by 0.587 n sqrt(L C): left out here. Split secondary: the same, the
 * diode sees its section's share.
 *
 * Half-wave doubler, series capacitor recharged to n Vin in each on-time,
 * large: t = C (Vt^2 - V0^2)/(Vin Ip), N = C [(Vt - n Vin)^2 - (V0 - n
 * Vin)^2]/(L Ip^2) for V0 >= n Vin. Finite Cs: U = n Vin - V, Vz = Ip
 * sqrt(L/Cs), charge a cycle Q = Cs (U + sqrt(U^2 + Vz^2)), toff = n sqrt(L Cs)
 * atan2(Vz, -U), and the recharge loses Q^2/(2 Cs) a cycle, booked as loss of
 * the secondary. Both from the energy balance of the circuit; lower fidelity.
 */
#include <math.h>

#include "base/quadrature.h"
#include "model/charge_result.h"
#include "model/doubler_ladder.h"

typedef struct ideal {
  double vin, n, l, c, ip, cs, v0, vt;
} ideal;

static ideal ideal_of(const bv_circuit *c) {
  return (ideal){c->supply_voltage,     c->turns_ratio,
                 c->primary_inductance, c->storage_capacitance,
                 c->peak_current,       c->series_capacitance,
                 c->start_voltage,      c->target_voltage};
}

/* Q for U of either sign without loss of digits. */
static double doubler_charge(const ideal *x, double v) {
  double u = x->n * x->vin - v, vz2 = x->ip * x->ip * x->l / x->cs;
  double root = sqrt(u * u + vz2);
  return x->cs * (u > 0 ? u + root : vz2 / (root - u));
}

/* Off-time of the cycle at an output voltage. */
static double off_time(const ideal *x, bool doubler, double v) {
  double u = v - (doubler ? x->n * x->vin : 0);
  if (doubler && x->cs > 0)
    return x->n * sqrt(x->l * x->cs) * atan2(x->ip * sqrt(x->l / x->cs), u);
  return x->n * x->l * x->ip / u;
}

static bv_flow single(const ideal *x) {
  double dv = x->vt - x->v0, dv2 = dv * (x->vt + x->v0),
         ton = x->l * x->ip / x->vin;
  double cycles = x->c * dv2 / (x->l * x->ip * x->ip);
  return (bv_flow){.time =
                       x->c * (dv2 + 2 * x->n * x->vin * dv) / (x->ip * x->vin),
                   .cycles = cycles,
                   .primary_charge = x->c * dv2 / (2 * x->vin),
                   .primary_square = cycles * x->ip * x->ip * ton / 3,
                   .output_square = 2 * x->c * x->ip * dv / (3 * x->n)};
}

/* V0 >= n Vin: N = integral of 2 C (V - n Vin)/(L Ip^2) dV. */
static bv_flow doubler_large(const ideal *x) {
  double dv = x->vt - x->v0, dv2 = dv * (x->vt + x->v0),
         ton = x->l * x->ip / x->vin;
  double cycles =
      x->c * (dv2 - 2 * x->n * x->vin * dv) / (x->l * x->ip * x->ip);
  return (bv_flow){.time = x->c * dv2 / (x->vin * x->ip),
                   .cycles = cycles,
                   .primary_charge = x->c * dv2 / (2 * x->vin),
                   .primary_square = cycles * x->ip * x->ip * ton / 3,
                   .output_square = 2 * x->c * x->ip * dv / (3 * x->n)};
}

static void doubler_segment(const ideal *x, double lo, double hi,
                            bv_flow *sums) {
  bv_quadrature rule = bv_quadrature_rule(8);
  double ton = x->l * x->ip / x->vin, is = x->ip / x->n;
  for (size_t i = 0; i < rule.count; i++) {
    double half = (hi - lo) / 2, v = (lo + hi) / 2 + half * rule.nodes[i];
    double q = doubler_charge(x, v), toff = off_time(x, true, v);
    double u = v - x->n * x->vin, ratio = x->cs / (x->n * x->n * x->l);
    bv_flow flow = {.time = ton + toff,
                    .cycles = 1,
                    .primary_charge = x->ip * ton / 2 + x->n * q,
                    .primary_square = x->ip * x->ip * ton / 3,
                    .output_square =
                        ((is * is + u * u * ratio) * toff - is * u * x->cs) / 2,
                    .recharge_charge = q * q / (2 * x->cs)};
    bv_flow_add(sums, x->c * half * rule.weights[i] / q, &flow);
  }
}

static bv_flow doubler_finite(const ideal *x) {
  double level = x->n * x->vin, width = 2 * x->ip * sqrt(x->l / x->cs);
  double ends[] = {level - width, level, level + width, x->vt};
  double lo = x->v0;
  bv_flow sums = {0};
  for (size_t i = 0; i < sizeof ends / sizeof *ends; i++)
    if (ends[i] > lo) {
      doubler_segment(x, lo, fmin(ends[i], x->vt), &sums);
      lo = fmin(ends[i], x->vt);
    }
  return sums;
}

static void set_times(const ideal *x, bool doubler, bv_charge *out) {
  double ton = x->l * x->ip / x->vin;
  out->on_time_start = out->on_time_end = ton;
  out->off_time_start = off_time(x, doubler, fmax(x->v0, 0.05 * x->vt));
  out->off_time_end = off_time(x, doubler, x->vt);
  out->frequency_start = 1 / (ton + out->off_time_start);
  out->period_end = ton + out->off_time_end;
  out->frequency_end = 1 / out->period_end;
  out->timed_out_at_start = out->timed_out_until = 0;
  out->core_power_end = 0;
}

static void set_stresses(const bv_circuit *c, const ideal *x, bool doubler,
                         bv_charge *out) {
  out->primary_current_max = x->ip;
  out->recharge_current_max =
      doubler ? x->n * x->vin * sqrt(x->cs / c->leakage_inductance) : 0;
  out->switch_plateau = x->vt / x->n + (doubler ? 0 : x->vin);
  out->switch_voltage = out->switch_plateau;
  out->diode_voltage = (x->vt + (doubler ? 0 : x->n * x->vin)) / c->sections;
}

/* The circuit without what the ideal model leaves out. */
static bv_circuit without_losses(const bv_circuit *circuit) {
  bv_circuit bare = *circuit;
  bare.supply_resistance = bare.switch_resistance = bare.primary_resistance = 0;
  bare.sense_resistance = bare.secondary_resistance = 0;
  bare.diode_drop = bare.diode_resistance = bare.capacitor_resistance = 0;
  bare.gate_charge = 0;
  return bare;
}

static double final_power(const ideal *x, bool doubler) {
  if (!doubler)
    return x->vin * x->ip / (2 * (1 + x->n * x->vin / x->vt));
  if (x->cs == 0)
    return x->vin * x->ip / 2;
  return x->vt * doubler_charge(x, x->vt) /
         (x->l * x->ip / x->vin + off_time(x, true, x->vt));
}

static void charge_one(const bv_circuit *circuit, bv_charge *charge) {
  bool doubler = circuit->rectifier == BV_DOUBLER;
  ideal x = ideal_of(circuit);
  if (!bv_circuit_valid(circuit)) {
    bv_charge_refuse(charge, circuit, BV_REASON_BAD_CIRCUIT);
    return;
  }
  if (doubler && x.cs == 0 && x.v0 < x.n * x.vin) {
    bv_charge_refuse(charge, circuit, BV_REASON_DOUBLER_START);
    return;
  }
  bv_flow sums = !doubler   ? single(&x)
                 : x.cs > 0 ? doubler_finite(&x)
                            : doubler_large(&x);
  double recharge_loss = sums.recharge_charge;
  sums.recharge_charge = 0;
  bv_circuit bare = without_losses(circuit);
  bv_charge_settle(&bare, &sums, charge);
  charge->loss_energy_secondary = charge->loss_energy = recharge_loss;
  charge->residual_energy = 0;
  set_times(&x, doubler, charge);
  set_stresses(circuit, &x, doubler, charge);
  double power = final_power(&x, doubler);
  charge->power_ratio = charge->average_power / power;
  charge->supply_current_end = power / x.vin;
}

void bv_charge_ideal(const bv_circuit *circuit, bv_charge *charge) {
  bv_circuit doubler = bv_ladder_as_doubler(circuit);
  charge_one(&doubler, charge);
  if (circuit->rectifier == BV_LADDER)
    bv_charge_of_ladder(circuit, &doubler, charge);
}
