/* SPDX-License-Identifier: MIT */
/* Losses of the switch that depend on more than one part. */
#ifndef BV_MODEL_SWITCH_H
#define BV_MODEL_SWITCH_H

/* Share of the overlap V I tf/2 at turn-off that is left where a capacitance
 * (F) beside the switch takes over the current while it falls from I to 0 in
 * tf: with a = sqrt(2 C V/(I tf)), the share of tf in which the voltage reaches
 * V, it is 1 - 4a/3 + a²/2 up to a = 1, then 1/(6 a²) (the textbook's
 * I² tf²/(24 C)). From the integral of a current falling in a straight line
 * into a capacitance; voltage V, current A, fall time s, all > 0. */
double bv_overlap_share(double voltage, double current, double fall_time,
                        double capacitance);

#endif
