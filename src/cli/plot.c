/* SPDX-License-Identifier: MIT */
/* brimvolt plot: a front as a picture for reports. */
#include "view/plot.h"

#include "cli/command.h"
#include "cli/out.h"

typedef struct plot_options {
  const char *x, *y, *by, *output;
} plot_options;

#define AT(member) offsetof(plot_options, member)
static const bv_option options_of_plot[] = {
    {"x", "NAME", "column from left to right (the first objective)",
     BV_OPTION_TEXT, AT(x), 0, 0, NULL},
    {"y", "NAME", "column from below to above (the second objective)",
     BV_OPTION_TEXT, AT(y), 0, 0, NULL},
    {"by", "NAME", "column that chooses the mark (the third objective)",
     BV_OPTION_TEXT, AT(by), 0, 0, NULL},
    {"output", "FILE.svg", "write here, in one step (standard output)",
     BV_OPTION_TEXT, AT(output), 0, 0, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  *(plot_options *) options = (plot_options){0};
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  const plot_options *options = given;
  bv_front front;
  bv_buffer svg = {0};
  bv_plot_options how = {options->x, options->y, options->by};
  bv_status status = bv_out_spare(options->output, words->words[0], error);
  if (status == BV_OK)
    status = bv_front_read(words->words[0], &front, error);
  if (status != BV_OK)
    return status;
  status = bv_plot_draw(&front, &how, &svg, error);
  if (status == BV_OK)
    status = bv_out_put(options->output, &svg, error);
  bv_buffer_free(&svg);
  bv_front_free(&front);
  return status;
}

const bv_command bv_plot_command = {
    .name = "plot",
    .takes = "FRONT.csv",
    .summary = "draw a front, one column against another, as SVG",
    .example = "brimvolt plot front.csv --x charge_time --y loss_energy "
               "--by core --output front.svg",
    .least = 1,
    .most = 1,
    .options = options_of_plot,
    .size = sizeof(plot_options),
    .defaults = set_defaults,
    .run = run};
