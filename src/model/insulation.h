/* SPDX-License-Identifier: MIT */
/* Insulation coordination: clearances and creepage distances from the tables of
 * the standards, interpolated in straight lines between rows. Every answer
 * tells where its rows come from: read in a publication that quotes the
 * standard ("seen"), or from memory. The standard itself, a licensed
 * practitioner and local code decide.
 *
 * Tables: IEC 60664-1:2007 F.2 (clearance by impulse voltage), F.7a (by peak
 * voltage that recurs), F.4 (creepage by rms voltage, the same rows as F.5 of
 * 2020), A.2 (altitude); IEC 62368-1
 * (clearance above 30 kHz, from IEC 60664-4 with 1.2); IEC 60950-1 2K
 * (clearance in secondary circuits). Outside a table: below its first row the
 * first row holds; above its last the distance grows with the last row's
 * distance per volt and the source says "beyond". */
#ifndef BV_MODEL_INSULATION_H
#define BV_MODEL_INSULATION_H

#include <stdbool.h>

typedef enum bv_source {
  BV_SEEN,   /* rows read in a publication */
  BV_MEMORY, /* rows from memory */
  BV_BEYOND, /* outside the table */
  BV_SOURCE_COUNT
} bv_source;

/* "seen", "memory" or "beyond"; static text. */
const char *bv_source_word(bv_source source);

typedef struct bv_distance {
  double length;    /* m */
  bv_source source; /* the weaker one of the rows used */
} bv_distance;

typedef enum bv_field_form { BV_INHOMOGENEOUS, BV_HOMOGENEOUS } bv_field_form;

/* Clearance up to 2000 m by impulse withstand voltage in V (IEC 60664-1 F.2,
 * case A inhomogeneous, case B homogeneous), pollution degree 1 … 3. Case B
 * must be verified by test. */
bv_distance bv_clearance_impulse(double impulse, double pollution_degree,
                                 bv_field_form form);

/* Impulse voltage that reinforced insulation must hold where basic insulation
 * holds `impulse` V: 1.6 times (IEC 60664-1 5.1.6, for voltages that are not of
 * the preferred series; from memory). degree 1: basic, 2: reinforced. */
double bv_insulation_impulse(double impulse, double degree);

/* Clearance up to 2000 m for a peak voltage in V that recurs all the time, in
 * an inhomogeneous field (IEC 60664-1 F.7a, case A; from memory). */
bv_distance bv_clearance_recurring(double peak, double pollution_degree);

/* Creepage distance by rms voltage in V, pollution degree 1 … 3 and material
 * group 1 … 3 (IEC 60664-1 F.4; 3 is IIIa and IIIb, IIIb not above 630 V). */
bv_distance bv_creepage(double rms, double pollution_degree,
                        double material_group);

/* Factor on clearances above 2000 m, 1 below; altitude in m (IEC 60664-1
 * A.2). */
double bv_altitude_factor(double altitude);

/* Above this frequency, Hz, IEC 60664-4 adds to part 1; and the peak voltage,
 * V, at which the table for it ends. */
#define BV_HIGH_FREQUENCY 30e3
#define BV_HIGH_FREQUENCY_PEAK 2000.0

/* Least clearance of basic insulation for a peak voltage in V whose fundamental
 * lies above 30 kHz, pollution degree 1 … 3 with the factors 0.8, 1, 1.4
 * (IEC 62368-1; the field's column identified from memory). */
bv_distance bv_clearance_high_frequency(double peak, double pollution_degree);

/* Peak field, V/m, of a voltage above 30 kHz that solid insulation of a
 * thickness in m may see without a test for partial discharge: 10 kV/mm up to
 * 0.03 mm, 2 kV/mm from 0.75 mm on, between them (0.25/d + 1.667) kV/mm, d in
 * mm (IEC 60664-4; from memory, where the ends of the curve agree). */
double bv_solid_field_high_frequency(double thickness);

/* Clearance in a secondary circuit, functional or basic, by peak voltage in V
 * (IEC 60950-1 2K). */
bv_distance bv_clearance_secondary(double peak);

/* Breakdown voltage, V, of air at 1 atm and 20 degC in a uniform field over a
 * gap of 0.1 … 20 cm given in m: 24.22 d + 6.08 sqrt(d) kV, d in cm (E. Kuffel,
 * W. S. Zaengl, J. Kuffel, High Voltage Engineering, 2nd ed.; from memory). */
double bv_breakdown_uniform(double gap);

/* Least breakdown voltage of an air gap at 1 atm (Paschen's minimum), V, and
 * the gap where it lies, m: below the voltage no gap breaks down. */
#define BV_PASCHEN_VOLTAGE 327.0
#define BV_PASCHEN_GAP 7.5e-6

/* Voltage, V rms at mains frequency for one minute, that tests the insulation
 * of a wound part with a working voltage in V rms: 2 U + 1000 V, for reinforced
 * insulation twice that (common practice, as in older product standards; the
 * product's own standard decides). */
double bv_insulation_test(double working, bool reinforced);

/* Mean field, V/m, of a voltage over a gap in m. */
double bv_mean_field(double voltage, double gap);

#endif
