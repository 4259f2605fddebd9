/* SPDX-License-Identifier: MIT */
/* What switch and clamp take at turn-off. */
#ifndef BV_MODEL_SWITCH_H
#define BV_MODEL_SWITCH_H

#include "model/clamp.h"
#include "model/ringing.h"

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
 * That holds where clamp or diodes conduct while the switch still does. Where
 * they do later, clamp and ring take what ringing.h says; from one to the other
 * by the angle, or the winding's voltage, up to a quarter beyond the fall's
 * end.
 *
 * Against the circuit summed in steps until the node reaches neither clamp nor
 * body diode any more: pulses of the clamp longer than the fall and no Cw,
 * overlap 1 %, clamp 0 to +5 %; pulses of three falls and more and Cw of 0.3 to
 * 10 C, overlap -9 to +3 %, both together a mean of 5 % off. Circuits of random
 * designs, Cw to hundreds of C and pulses down to a tenth of the fall: overlap
 * a mean of 2.3 % off (90 %: 5 %), both together 8 % (90 %: 23 %, most a factor
 * of 2.8), of a design's whole loss 0.7 % (90 %: 2 %, most 12 %). With three
 * times the C: overlap 1.2 %, both 16 % (most a factor of 20, where the summed
 * ring, which nothing damps, happens to leave nothing), of the whole loss 1 %.
 */
bv_turn_off bv_turn_off_take(const bv_clamp *clamp, double fall,
                             double capacitance, double current,
                             double reflected);

/* The same as if the switch carried current until the clamp or the diodes do:
 * sooner, both together a mean of 44 % off in random designs, for what hardly
 * depends on it. */
bv_turn_off bv_turn_off_rough(const bv_clamp *clamp, double fall,
                              double capacitance, double current,
                              double reflected);

/* The same for the current of a swing and ringing. */
bv_turn_off bv_turn_off_of(const bv_clamp *clamp, const bv_clamp_swing *swing,
                           const bv_ringing *ringing, double fall,
                           double capacitance, double reflected);

#endif
