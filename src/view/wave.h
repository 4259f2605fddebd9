/* SPDX-License-Identifier: MIT */
/* Waveforms of a charge: some cycles in full (the first, those around half the
 * target, the last) and the whole charge cycle by cycle, thinned. */
#ifndef BV_VIEW_WAVE_H
#define BV_VIEW_WAVE_H

#include "base/status.h"
#include "base/text.h"
#include "model/charge.h"
#include "view/svg.h"

typedef enum bv_wave_part {
  BV_WAVE_FIRST,
  BV_WAVE_MIDDLE,
  BV_WAVE_LAST,
  BV_WAVE_PART_COUNT
} bv_wave_part;

/* "first", "middle", "last", NULL at the end. */
extern const char *const bv_wave_part_words[];

/* An instant of a cycle shown in full. */
typedef struct bv_wave_point {
  int part;                 /* bv_wave_part */
  double cycle;             /* from 1 */
  double time;              /* s, from the start of the charge */
  double switch_voltage;    /* V */
  double primary_current;   /* A */
  double secondary_current; /* A */
  double output_voltage;    /* V */
} bv_wave_point;

/* One cycle of the whole charge. */
typedef struct bv_wave_moment {
  double cycle;          /* from 1 */
  double time;           /* s, its start */
  double output_voltage; /* V, at its start */
  double power;          /* W, into the storage capacitor */
  double frequency;      /* Hz */
  double primary_peak;   /* A */
  double secondary_peak; /* A */
} bv_wave_moment;

typedef struct bv_wave_plan {
  size_t cycles;  /* in each part, 1 … 1000 */
  size_t points;  /* in each step of a cycle, 1 … 1000 */
  size_t moments; /* about so many cycles of the whole charge, 2 … 100000 */
} bv_wave_plan;

/* Most cycles of a charge that is drawn: some ten seconds of work. */
#define BV_WAVE_CYCLES_MOST 2e7

/* 3 cycles, 24 points, 400 moments. */
bv_wave_plan bv_wave_defaults(void);

typedef struct bv_waveforms {
  bv_charge charge; /* the results of the whole */
  bv_wave_point *points;
  size_t point_count;
  bv_wave_moment *moments;
  size_t moment_count;
} bv_waveforms;

/* Runs a charge cycle by cycle. BV_BAD_DATA where the circuit can't reach its
 * target (the error gives the reason) or takes too many cycles, BV_INTERNAL
 * where memory ran out; *wave is empty then. */
bv_status bv_wave_make(const bv_circuit *circuit, const bv_wave_plan *plan,
                       bv_waveforms *wave, bv_error *error);
void bv_wave_free(bv_waveforms *wave);

/* Appends CSV files (RFC 4180, numbers that read back), of the parts from … to:
 * part, cycle, time_s,
 * switch_voltage_V, primary_current_A, secondary_current_A, output_voltage_V;
 * and cycle, time_s, output_voltage_V, power_W, frequency_Hz, primary_peak_A,
 * secondary_peak_A. */
void bv_wave_print_points(const bv_waveforms *wave, bv_wave_part from,
                          bv_wave_part to, bv_buffer *csv);
void bv_wave_print_moments(const bv_waveforms *wave, bv_buffer *csv);

/* Appends a chart of a part, time counted from its start, or panels of
 * the whole charge, `alone` as an SVG file. Nothing where the part is empty (a
 * charge of very few cycles). */
typedef struct bv_wave_picture {
  const char *id;
  double width, panel_height; /* px */
  bool alone;
} bv_wave_picture;

/* The panels of the whole charge, from above. */
typedef enum bv_wave_panel {
  BV_WAVE_VOLTAGE,
  BV_WAVE_POWER,
  BV_WAVE_FREQUENCY,
  BV_WAVE_PEAKS,
  BV_WAVE_PANEL_COUNT
} bv_wave_panel;

bool bv_wave_has(const bv_waveforms *wave, bv_wave_part part);
void bv_wave_draw_part(const bv_waveforms *wave, bv_wave_part part,
                       const bv_wave_picture *picture, bv_buffer *out);
void bv_wave_draw_charge(const bv_waveforms *wave, bv_wave_panel first,
                         bv_wave_panel last, const bv_wave_picture *picture,
                         bv_buffer *out);

#endif
