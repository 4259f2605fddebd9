/* SPDX-License-Identifier: MIT */
/* Stopping the charge by what the primary shows: during the off-time its
 * voltage is the output's, reflected. The threshold is set by the turns ratio
 * alone (plateau = target/ratio), so what lies between plateau and output makes
 * the charge stop early or late:
 *
 *   plateau = (V + Vd + R i)(1 - Llk/(2 L))/n
 *
 * with the drops Vd and resistance R of all sections, the secondary current i
 * where the plateau is read, and half of the leakage on the secondary's side
 * (the other half carries no current by then). From the circuit; the split of
 * the leakage is an assumption of the trade. The ring of the leakage at the
 * start of the plateau is left out: read after it. */
#ifndef BV_MODEL_SENSING_H
#define BV_MODEL_SENSING_H

typedef struct bv_sensing {
  double ratio;      /* all secondary turns over primary turns */
  double drop;       /* V, all diodes in the current's way */
  double resistance; /* ohm, secondary and diodes */
  double leakage;    /* leakage over primary inductance */
} bv_sensing;

/* Plateau above the supply, V, at an output in V and secondary current in A. */
double bv_sensing_plateau(const bv_sensing *sensing, double output,
                          double current);

/* Output, V, at which the plateau reaches target/ratio. */
double bv_sensing_stop(const bv_sensing *sensing, double target,
                       double current);

/* Rise of the output, V, by one more cycle of an energy in J at a voltage on a
 * capacitance in F: how finely a charge can be stopped. */
double bv_sensing_step(double energy, double capacitance, double voltage);

#endif
