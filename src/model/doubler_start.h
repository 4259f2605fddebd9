/* SPDX-License-Identifier: MIT */
/* The first cycles of a doubler or a ladder, whose output and series capacitor
 * are empty: what parts and core see then, by energy and without damping. An
 * integration without damping stays below or at most a tenth above
 * (check_doubler_start.c). Source: circuit theory.
 *
 * In the on-time the capacitor is charged to its drive E = n Vin; what it rings
 * beyond, the output diode takes back. After turn-off all its energy goes into
 * the inductance on top of the peak, since the output holds nothing against it,
 * and from there into the capacitor the other way round, up to v = I sqrt(L/C).
 * The next recharge swings from -v to 2 E + v. */
#ifndef BV_MODEL_DOUBLER_START_H
#define BV_MODEL_DOUBLER_START_H

typedef struct bv_doubler_start {
  double magnetising; /* A, largest magnetising current, at the primary */
  double recharge;    /* A, largest recharge pulse, at the primary; it meets a
                         magnetising current of up to the peak */
  double charge;      /* A s, of that pulse, at the primary */
  double voltage;     /* V, of the series capacitors of all sections together */
} bv_doubler_start;

/* inductance, leakage: H, at the primary, > 0; capacitance: F, series
 * capacitors as one, seen at the whole secondary, 0: none, which leaves the
 * peak alone; ratio: secondary turns over primary turns; supply: V; peak: A. */
bv_doubler_start bv_doubler_start_of(double inductance, double leakage,
                                     double capacitance, double ratio,
                                     double supply, double peak);

#endif
