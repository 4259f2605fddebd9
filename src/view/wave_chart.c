/* SPDX-License-Identifier: MIT */
/* Charts of waveforms. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "view/number.h"
#include "view/wave.h"

enum {
  POINT_STRIDE = sizeof(bv_wave_point) / sizeof(double),
  MOMENT_STRIDE = sizeof(bv_wave_moment) / sizeof(double)
};

/* The points of a part: where they start and how many. */
static size_t find_part(const bv_waveforms *wave, bv_wave_part part,
                        size_t *count) {
  size_t first = 0;
  while (first < wave->point_count && wave->points[first].part != (int) part)
    first++;
  size_t end = first;
  while (end < wave->point_count && wave->points[end].part == (int) part)
    end++;
  *count = end - first;
  return first;
}

bool bv_wave_has(const bv_waveforms *wave, bv_wave_part part) {
  size_t count;
  find_part(wave, part, &count);
  return count > 0;
}

static void say(bv_buffer *text, const char *before, double value,
                const char *si) {
  bv_buffer_print(text, "%s ", before);
  bv_number_append(text, value, si, 4);
}

/* Title and description of a part: which cycles, between which outputs. */
static void describe_part(const bv_wave_point *points, size_t count,
                          const char *word, bv_buffer *title,
                          bv_buffer *description) {
  const bv_wave_point *last = &points[count - 1];
  double highest = 0, current = 0;
  for (size_t i = 0; i < count; i++) {
    highest = fmax(highest, points[i].switch_voltage);
    current = fmax(current, points[i].primary_current);
  }
  bv_buffer_print(title, "The %s cycles, %.0f to %.0f", word, points->cycle,
                  last->cycle);
  say(description, "From", points->time, "s");
  say(description, " to", last->time, "s");
  say(description, " after the start; output from", points->output_voltage,
      "V");
  say(description, " to", last->output_voltage, "V");
  say(description, ". The switch sees", highest, "V");
  say(description, ", the primary", current, "A");
  bv_buffer_print(description, " at most (the spike of the leakage up to the "
                               "clamp is not drawn).");
}

static bv_series series_of(const double *x, const double *y, size_t count,
                           size_t stride) {
  return (bv_series){"", x, y, count, false, stride, 0};
}

void bv_wave_draw_part(const bv_waveforms *wave, bv_wave_part part,
                       const bv_wave_picture *picture, bv_buffer *out) {
  size_t count, first = find_part(wave, part, &count);
  bv_wave_point *points = malloc((count + 1) * sizeof *points);
  out->failed = out->failed || !points;
  if (count == 0 || !points) {
    free(points);
    return;
  }
  memcpy(points, wave->points + first, count * sizeof *points);
  bv_buffer title = {0}, description = {0};
  describe_part(points, count, bv_wave_part_words[part], &title, &description);
  for (size_t i = count; i > 0; i--)
    points[i - 1].time -= points[0].time;
  char axis[64];
  snprintf(axis, sizeof axis, "time from the start of cycle %.0f",
           points->cycle);
  const double *time = &points->time;
  bv_series series[] = {
      series_of(time, &points->switch_voltage, count, POINT_STRIDE),
      series_of(time, &points->primary_current, count, POINT_STRIDE),
      series_of(time, &points->secondary_current, count, POINT_STRIDE)};
  bv_panel panels[] = {
      {{"switch voltage", "V", false, true}, &series[0], 1},
      {{"primary current", "A", false, true}, &series[1], 1},
      {{"secondary current", "A", false, true}, &series[2], 1}};
  bv_chart chart = {.id = picture->id,
                    .title = title.text ? title.text : "",
                    .description = description.text ? description.text : "",
                    .x = {axis, "s", false, true},
                    .panels = panels,
                    .count = 3,
                    .width = picture->width,
                    .panel_height = picture->panel_height};
  bv_svg_chart(out, &chart, picture->alone);
  bv_buffer_free(&title);
  bv_buffer_free(&description);
  free(points);
}

void bv_wave_draw_charge(const bv_waveforms *wave, bv_wave_panel first,
                         bv_wave_panel last, const bv_wave_picture *picture,
                         bv_buffer *out) {
  const bv_wave_moment *m = wave->moments;
  size_t count = wave->moment_count;
  if (count == 0)
    return;
  bv_series voltage =
      series_of(&m->time, &m->output_voltage, count, MOMENT_STRIDE);
  bv_series power = series_of(&m->time, &m->power, count, MOMENT_STRIDE);
  bv_series frequency =
      series_of(&m->time, &m->frequency, count, MOMENT_STRIDE);
  bv_series peaks[] = {
      {"primary", &m->time, &m->primary_peak, count, false, MOMENT_STRIDE, 0},
      {"secondary", &m->time, &m->secondary_peak, count, false, MOMENT_STRIDE,
       0}};
  bv_panel panels[] = {
      {{"output voltage", "V", false, true}, &voltage, 1},
      {{"power into the capacitor", "W", false, true}, &power, 1},
      {{"frequency", "Hz", false, true}, &frequency, 1},
      {{"peak current", "A", true, false}, peaks, 2}};
  bv_buffer description = {0};
  say(&description, "From", m[0].output_voltage, "V");
  say(&description, " to", m[count - 1].output_voltage, "V");
  say(&description, " in", wave->charge.charge_time, "s");
  say(&description, ", by", wave->charge.cycles, "");
  bv_buffer_print(&description, " cycles.");
  bv_chart chart = {.id = picture->id,
                    .title = "The whole charge",
                    .description = description.text ? description.text : "",
                    .x = {"time", "s", false, true},
                    .panels = panels + first,
                    .count = (size_t) (last - first) + 1,
                    .width = picture->width,
                    .panel_height = picture->panel_height};
  bv_svg_chart(out, &chart, picture->alone);
  bv_buffer_free(&description);
}
