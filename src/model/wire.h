/* SPDX-License-Identifier: MIT */
/* Sizes of round winding wire: AWG (ASTM B258) and the overall diameters of
 * enamelled wire (IEC 60317-0-1). Every function is continuous and monotone in
 * the diameter, so a relaxed design may use wire between the catalogue's. */
#ifndef BV_MODEL_WIRE_H
#define BV_MODEL_WIRE_H

/* Thickness of the enamel: grades of IEC 60317. */
typedef enum bv_wire_grade { BV_GRADE_1 = 1, BV_GRADE_2 = 2 } bv_wire_grade;

/* Bare diameter, m, of an AWG number (0 for 1/0, -3 for 4/0; may be a
 * fraction): 0.127 mm * 92^((36 - n)/39), ASTM B258. */
double bv_wire_awg_diameter(double gauge);

/* The AWG number, a fraction, of a bare diameter in m: the inverse. */
double bv_wire_awg_gauge(double diameter);

/* Cross-section, m2, of round copper of a diameter in m, and its inverse. */
double bv_wire_area(double diameter);
double bv_wire_diameter(double area);

/* Largest overall diameter, m, of enamelled round copper wire of a nominal bare
 * diameter in m. Between the sizes of IEC 60317-0-1 (0.050 … 1.000 mm, values
 * from memory, see wire.c) the enamel is interpolated in log diameter; outside
 * it follows the power law of the last two sizes, which is a guess. */
double bv_wire_overall_diameter(double diameter, bv_wire_grade grade);

/* The bare diameter, m, whose overall diameter is the given one, m > 0. */
double bv_wire_bare_diameter(double overall, bv_wire_grade grade);

/* Outer diameter, m, of a bundle of strands >= 1 of an overall diameter in m:
 * d sqrt(strands / packing) with the packing 0.7 of served stranded wire
 * (common practice: 0.6 … 0.75), and d for a single strand; between one and
 * two strands linear. */
double bv_wire_bundle_diameter(double overall, double strands);

#endif
