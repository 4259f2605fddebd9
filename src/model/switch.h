/* SPDX-License-Identifier: MIT */
/* What switch and clamp take at turn-off. */
#ifndef BV_MODEL_SWITCH_H
#define BV_MODEL_SWITCH_H

#include "model/clamp.h"

/* Share of the overlap V I tf/2 at turn-off that is left where a capacitance C
 * beside the switch takes over the current while it falls from I to 0 in tf:
 * with a = sqrt(2 C V/(I tf)), the share of tf in which the voltage reaches V,
 * it is 1 - 4a/3 + a²/2 up to a = 1, then 1/(6 a²) (the textbook's
 * I² tf²/(24 C)). From the integral of a current falling in a straight line
 * into a capacitance; a >= 0. */
double bv_overlap_share(double a);

typedef struct bv_turn_off {
  double overlap; /* J, in the switch */
  double clamp;   /* J, in the clamp and in the ring after it */
} bv_turn_off;

/* Turn-off of a peak current I in A at a reflected voltage Vr in V, below the
 * clamp's level Vcl, with a fall time tf in s and a capacitance C in F of the
 * switch alone, Cw of the winding (clamp->capacitance); all >= 0, but Vr any.
 *
 * C = 0, not known: lumped, (Vin + Vr) I tf/2 and bv_clamp_take, each as if the
 * other were not. It is not the limit of a small C: where there is leakage, its
 * current counts in the switch and in the clamp. Kept for circuits that tell a
 * lumped node alone; the integrations that the models are checked against
 * (tests/published/check_circuits.c) are of that form.
 *
 * Else the leakage Llk drives the node up while the switch still carries
 * current, to the clamp's level or, of a slow fall, as far as the falling
 * current drives it: the overlap is V I tf/2 by its share, V = Vin + min(Vcl,
 * Vr + Llk I/tf), without leakage Vin + Vr, less where the fall ends before the
 * winding is up. In the rise Cw joins C with time, from nothing to all of it:
 * C counts as C/(1 - s + s/(1 + x²/12)), s = Cw/(C + Cw), x the angle of the
 * resonance of Llk with both in series, exact for small and large x; meanwhile
 * the leakage's current falls to I (1 - s a x²/(6 + x²)).
 *
 * The clamp gets what that current brings, by its power 1.5 (its energy goes
 * with the square, but the winding is then on its way and the pulse longer;
 * fitted), less the current of the switch, whose charge from a on is I tf
 * (1 - a)²/2, and less what lifts C from Vr to Vcl: C (Vcl -
 * Vr)² of Llk I². The last leaves C (Vcl - Vr)²/2 in C, which rings away:
 * both together take C (Vcl - Vr) Vr/2 from the loss, or where the clamp is not
 * reached all but the leakage's own energy.
 *
 * Against the circuit summed in steps until the winding is at its crest: pulses
 * of the clamp longer than the fall and no Cw, overlap 1 %, clamp -3 to +5 %;
 * pulses of three falls and more and Cw of 0.3 to 10 C, overlap -6 to +2 %,
 * overlap and clamp together -20 to +10 %. Circuits of random designs, Cw to
 * hundreds of C and pulses down to a tenth of the fall: overlap a mean of 11 %
 * off (90 %: 46 %, most a factor of 3.2), both together 32 % (90 %: a factor of
 * 2, most of 8: where C and Cw are near and ring with the leakage), of a
 * design's whole loss 0.9 % (90 %: 2 %, most 35 %). */
bv_turn_off bv_turn_off_take(const bv_clamp *clamp, double fall,
                             double capacitance, double current,
                             double reflected);

/* The same for the current of a swing. */
bv_turn_off bv_turn_off_of(const bv_clamp *clamp, const bv_clamp_swing *swing,
                           double fall, double capacitance, double reflected);

#endif
