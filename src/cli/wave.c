/* SPDX-License-Identifier: MIT */
/* brimvolt wave: waveforms of one row of a front. */
#include "view/wave.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "cli/command.h"
#include "cli/out.h"
#include "view/row.h"

typedef struct wave_options {
  const char *row, *output;
  int format, show;
  uint64_t cycles, points;
} wave_options;

/* Of all cycles in each step: a hundred megabytes of text. */
enum { POINTS_MOST = 100000 };

enum { FORMAT_BY_NAME, FORMAT_CSV, FORMAT_SVG };
static const char *const formats[] = {"name", "csv", "svg", NULL};

enum {
  SHOW_BY_FORMAT = -1, /* no word: none was given */
  SHOW_CYCLES,
  SHOW_FIRST,
  SHOW_MIDDLE,
  SHOW_LAST,
  SHOW_CHARGE
};
static const char *const shows[] = {"cycles", "first",  "middle",
                                    "last",   "charge", NULL};

#define AT(member) offsetof(wave_options, member)
static const bv_option options_of_wave[] = {
    {"row", "ID", "the row of the front", BV_OPTION_TEXT, AT(row), 0, 0, NULL},
    {"output", "FILE", "write here, in one step (standard output)",
     BV_OPTION_TEXT, AT(output), 0, 0, NULL},
    {"show", "WORD",
     "cycles: the next three; first, middle, last; charge: the whole (charge "
     "for svg, else cycles)",
     BV_OPTION_WORD, AT(show), 0, 0, shows},
    {"format", "WORD", "csv, svg, or name: svg where FILE ends in .svg (name)",
     BV_OPTION_WORD, AT(format), 0, 0, formats},
    {"cycles", "N", "cycles in each of first, middle and last (3)",
     BV_OPTION_WHOLE, AT(cycles), 1, 1000, NULL},
    {"points", "N", "points in each step of a cycle (24)", BV_OPTION_WHOLE,
     AT(points), 1, 1000, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  bv_wave_plan plan = bv_wave_defaults();
  *(wave_options *) options = (wave_options){
      .show = SHOW_BY_FORMAT, .cycles = plan.cycles, .points = plan.points};
}

static bool wants_svg(const wave_options *options) {
  const char *end = options->output ? strrchr(options->output, '.') : NULL;
  if (options->format != FORMAT_BY_NAME)
    return options->format == FORMAT_SVG;
  return end && strcasecmp(end, ".svg") == 0;
}

static void print_csv(const bv_waveforms *wave, int show, bv_buffer *text) {
  bv_wave_part part = (bv_wave_part) (show - SHOW_FIRST);
  if (show == SHOW_CHARGE)
    bv_wave_print_moments(wave, text);
  else if (show == SHOW_CYCLES)
    bv_wave_print_points(wave, BV_WAVE_FIRST, BV_WAVE_LAST, text);
  else
    bv_wave_print_points(wave, part, part, text);
}

static bv_status draw(const bv_waveforms *wave, int show, bv_buffer *text,
                      bv_error *error) {
  bv_wave_picture picture = {"wave", 720, 110, true};
  bv_wave_part part = (bv_wave_part) (show - SHOW_FIRST);
  if (show == SHOW_CYCLES)
    return bv_fail(error, BV_USAGE,
                   "wave: expected --show first, middle, last or charge for a "
                   "picture");
  if (show == SHOW_CHARGE)
    bv_wave_draw_charge(wave, BV_WAVE_VOLTAGE, BV_WAVE_PEAKS, &picture, text);
  else
    bv_wave_draw_part(wave, part, &picture, text);
  if (text->length == 0 && !text->failed)
    return bv_fail(error, BV_BAD_DATA,
                   "the charge takes so few cycles (%.0f) that there is "
                   "nothing to draw",
                   wave->charge.cycles);
  return BV_OK;
}

static bv_status show_wave(const bv_circuit *circuit,
                           const wave_options *options, bv_error *error) {
  bv_waveforms wave;
  bv_buffer text = {0};
  bv_wave_plan plan = bv_wave_defaults();
  plan.cycles = (size_t) options->cycles;
  plan.points = (size_t) options->points;
  bv_status status = bv_wave_make(circuit, &plan, &wave, error);
  if (status != BV_OK)
    return status;
  bool svg = wants_svg(options);
  int show = options->show;
  if (show == SHOW_BY_FORMAT)
    show = svg ? SHOW_CHARGE : SHOW_CYCLES;
  if (svg)
    status = draw(&wave, show, &text, error);
  else
    print_csv(&wave, show, &text);
  if (status == BV_OK)
    status = bv_out_put(options->output, &text, error);
  bv_buffer_free(&text);
  bv_wave_free(&wave);
  return status;
}

/* The circuit of the row; what the front leaves out is told. */
static bv_status read_circuit(const char *path, const char *id,
                              bv_circuit *circuit, bv_error *error) {
  bv_front front;
  bv_row row;
  bv_buffer left_out = {0};
  bv_status status = bv_front_read(path, &front, error);
  if (status != BV_OK)
    return status;
  status = bv_row_find(&front, id, &row, error);
  if (status == BV_OK)
    status = bv_row_circuit(&row, circuit, &left_out, error);
  if (status == BV_OK && left_out.length)
    fprintf(stderr, "%s lacks %s: zero or none is taken\n", path,
            left_out.text);
  if (status == BV_OK && bv_row_is_mixed(&row))
    fprintf(stderr,
            "the results of row %s are of several corners: no one charger has "
            "these waveforms\n",
            id);
  bv_buffer_free(&left_out);
  bv_front_free(&front);
  return status;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const wave_options *options = given;
  bv_circuit circuit;
  if (!options->row)
    return bv_fail(error, BV_USAGE, "wave: expected --row ID");
  unsigned long long points = options->cycles;
  points *= options->points;
  if (points > POINTS_MOST)
    return bv_fail(error, BV_USAGE,
                   "wave: --cycles times --points: expected at most %d, found "
                   "%llu",
                   POINTS_MOST, points);
  bv_status status = bv_out_spare(options->output, words->words[0], error);
  if (status == BV_OK)
    status = read_circuit(words->words[0], options->row, &circuit, error);
  return status == BV_OK ? show_wave(&circuit, options, error) : status;
}

const bv_command bv_wave_command = {
    .name = "wave",
    .takes = "FRONT.csv",
    .summary = "write the waveforms of one design, cycle by cycle",
    .example = "brimvolt wave front.csv --row 17 --output wave.csv",
    .least = 1,
    .most = 1,
    .options = options_of_wave,
    .size = sizeof(wave_options),
    .defaults = set_defaults,
    .run = run};
