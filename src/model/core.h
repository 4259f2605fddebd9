/* SPDX-License-Identifier: MIT */
/* Cores: effective parameters from dimensions (IEC 60205), saturation, and the
 * size constants by which a core is chosen (R. W. Erickson, D. Maksimovic,
 * Fundamentals of Power Electronics, 3rd ed. 2020, chapters 11, 12 and
 * appendix B, for Kg and Kgfe). */
#ifndef BV_MODEL_CORE_H
#define BV_MODEL_CORE_H

#include <stdbool.h>

typedef enum bv_core_shape {
  BV_CORE_RING, /* outer diameter a, inner b, height c */
  BV_CORE_E,    /* pair: width a, height of a half b, depth c, window's height
                   in a half d, window's outer width e, centre leg f */
  BV_CORE_ETD,  /* pair, round centre leg of diameter f, legs hollowed to the
                   diameter e; else as E */
  BV_CORE_U,    /* pair: width a, height of a half b, depth c, window's height
                   in a half d, window's width e */
  BV_CORE_POT,  /* pair: outer diameter a, of the winding space b, of the centre
                   post c, of its hole d, total height e, of the winding space
                   f, width of a slot; two slots */
  BV_CORE_SHAPE_COUNT
} bv_core_shape;

/* Dimensions in m in the order of IEC 60205; those a shape doesn't have are
 * not read. */
typedef struct bv_core_size {
  double a, b, c, d, e, f, slot;
} bv_core_size;

typedef struct bv_core_effective {
  double area;   /* m2 */
  double length; /* m */
  double volume; /* m3 */
} bv_core_effective;

/* Effective parameters C1²/C2 … of a closed core without gap. Within 3 % of
 * published catalogue values for the shapes above. False, and NAN inside, where
 * the dimensions don't make a core. */
bool bv_core_effective_make(bv_core_shape shape, const bv_core_size *size,
                            bv_core_effective *effective);

/* Saturation flux density, T, at a temperature in degC: the line through the
 * values at 25 and 100 degC, never below zero. */
double bv_core_saturation(double at_25, double at_100, double temperature);

/* Area product, m4, that a flyback needs: L Ipk Irms/(B J Ku), where Irms is
 * the primary's plus the secondary's times the turns ratio, J the current
 * density in A/m2 and Ku the copper's share of the window. */
double bv_core_area_product(double inductance, double peak_current,
                            double rms_current, double flux_density,
                            double current_density, double fill);

/* Kg, m5, of a core: Ac² WA/MLT. */
double bv_core_kg(double area, double window, double mean_turn);

/* Kgfe, m^(5 - 6/beta), of a core with magnetic path length, for a core loss
 * proportional to B^beta: WA Ac^(2(1 - 1/beta)) u(beta)/(MLT lm^(2/beta)). */
double bv_core_kgfe(double area, double window, double mean_turn, double length,
                    double beta);

/* u(beta) in Kgfe. */
double bv_core_kgfe_u(double beta);

#endif
