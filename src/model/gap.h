/* SPDX-License-Identifier: MIT */
/* The air gap: inductance, gap length, fringing and flux of a gapped core.
 *
 * Reluctance network: core le/(mu0 mur Ae) in series with the gap
 * lg/(mu0 F Ae). The fringing factor F is McLyman's (Transformer and Inductor
 * Design Handbook, ch. 8), for one gap in the centre leg under a winding of
 * width G. SI units; mur may be INFINITY (the core's reluctance left out). */
#ifndef BV_MODEL_GAP_H
#define BV_MODEL_GAP_H

#include <stdbool.h>

/* Reluctance, 1/H, of a path of length m, cross-section m2 and relative
 * permeability. */
double bv_gap_reluctance(double length, double area, double permeability);

/* Fringing factor 1 + lg/sqrt(Ae) ln(2 G/lg), at least 1; gap, area in m2 and
 * width of the winding over the gap in m. For a round leg F - 1 is within 15 %
 * of what the flux in circles about a thin gap gives (a test), so F within 5 %
 * where bv_gap_fringing_valid says so; not compared with hardware. */
double bv_gap_fringing(double gap, double area, double width);

/* Whether a gap lies where bv_gap_fringing is trusted: lg <= 0.2 sqrt(Ae) and
 * lg <= 0.1 G (limits of common practice, not of the source). */
bool bv_gap_fringing_valid(double gap, double area, double width);

/* The other textbook rule: area (a + lg)(b + lg) over a b of a rectangular leg
 * of a by b m. */
double bv_gap_fringing_enlarged(double gap, double a, double b);

/* A core to be gapped. */
typedef struct bv_gap_core {
  double area;         /* m2, Ae */
  double length;       /* m, le */
  double permeability; /* relative, of the core without gap; INFINITY */
  double width;        /* m, winding over the gap; 0: no fringing */
} bv_gap_core;

/* Gap length, m, for an inductance in H with real or whole turns, without
 * fringing: mu0 N² Ae/L - le/mur. Negative where even the core without gap has
 * less than L. */
double bv_gap_plain(const bv_gap_core *core, double turns, double inductance);

/* Gap length with fringing: lg = F(lg) times bv_gap_plain, the fixed point
 * solved to 1e-12. As bv_gap_plain where that is not positive. */
double bv_gap_length(const bv_gap_core *core, double turns, double inductance);

/* Inductance, H, of turns on a core with a gap >= 0, fringing included. The
 * inverse of bv_gap_length. */
double bv_gap_inductance(const bv_gap_core *core, double turns, double gap);

/* Flux density, T, of a current in an inductance: L I/(N A). */
double bv_gap_flux_density(double inductance, double current, double turns,
                           double area);

/* Turns for a flux density in T at a current: L I/(B A). */
double bv_gap_turns(double inductance, double current, double flux_density,
                    double area);

/* Energy, J, in a part of the path (gap: permeability 1) that carries a flux
 * density in T: B² A l/(2 mu0 mur). */
double bv_gap_energy(double flux_density, double area, double length,
                     double permeability);

#endif
