/* SPDX-License-Identifier: MIT */
/* Ways of charging, compared on one circuit without losses: what each asks of
 * time, RMS currents and switching. Lower fidelity than charge.h: no
 * resistance, drop, clamp or node acts back; many cycles are assumed.
 *
 * At the output V, y = n Vin/V, every cycle takes the current from i1 up to ip
 * in ton = L (ip - i1)/Vin and back in toff = n L (ip - i1)/V:
 *  boundary: i1 = 0, ip = Ip
 *  fixed frequency: the same, then a wait to the period 1/f; where the cycle is
 *    longer than that (low output) as boundary
 *  two levels: continuous between i1 and Ip
 *  constant output current: boundary with ip = Ip (V + n Vin)/(Vt + n Vin), so
 *    that the mean output current is Io = Vin Ip/(2 (Vt + n Vin)) throughout
 * Integrals over V of dt = C V T/E dV, E = L (ip^2 - i1^2)/2 a cycle, by
 * Gauss-Legendre quadrature. Turn-off takes (Vin + V/n) ip tfall/2, turn-on
 * with current (Vin + V/n) i1 tfall/2, upper figures. Source: energy balance
 * and textbook waveforms of the flyback converter; own derivation. */
#ifndef BV_MODEL_CHARGE_WAYS_H
#define BV_MODEL_CHARGE_WAYS_H

#include "model/circuit.h"

typedef enum bv_way {
  BV_WAY_BOUNDARY,
  BV_WAY_FIXED_FREQUENCY,
  BV_WAY_TWO_LEVELS,
  BV_WAY_CONSTANT_OUTPUT_CURRENT,
  BV_WAY_COUNT
} bv_way;

/* The words of bv_way, NULL at the end. */
extern const char *const bv_way_words[];

typedef struct bv_way_charge {
  double charge_time;               /* s */
  double cycles;                    /* 1 */
  double primary_current_squared;   /* A2 s */
  double secondary_current_squared; /* A2 s */
  double turn_off_energy;           /* J, overlap */
  double turn_on_energy; /* J, overlap; diode recovery comes on top */
  double primary_rms;    /* A, over the charge */
} bv_way_charge;

/* Charges from start to target voltage one way. frequency: Hz, > 0, for the
 * fixed frequency; lower: A, 0 to below the peak current, the lower of two
 * levels. False, and every result NAN, where the circuit isn't valid, isn't a
 * single rectifier or one of these is out of range. */
bool bv_charge_way(const bv_circuit *circuit, bv_way way, double frequency,
                   double lower, bv_way_charge *charge);

#endif
