/* SPDX-License-Identifier: MIT */
#include "view/wave.h"

#include <math.h>
#include <stdlib.h>

#include "base/field.h"
#include "model/cycle_trace.h"
#include "table/unit.h"

const char *const bv_wave_part_words[] = {"first", "middle", "last", NULL};

bv_wave_plan bv_wave_defaults(void) {
  return (bv_wave_plan){3, 24, 400};
}

/* A cycle to be shown, from where it starts. */
typedef struct shown {
  bv_state state;
  bv_cycle cycle;
  double number, time;
} shown;

/* A charge while it runs. */
typedef struct run {
  const bv_circuit *circuit;
  const bv_wave_plan *plan;
  bv_stage stage;
  bv_state state;
  double time, number; /* of the next cycle; its number from 1 */
  double next_moment;
  size_t middle; /* cycles of the middle part so far */
  shown *last;   /* the last ones not shown yet, a ring */
  size_t last_count;
  size_t point_room, moment_room;
  bv_wave_part part; /* being traced */
  bv_waveforms *wave;
  bool failed; /* memory ran out */
} run;

/* Room for one more of count things of size bytes; NULL where there is none. */
static void *grow(run *r, void *things, size_t count, size_t *room,
                  size_t size) {
  if (count < *room)
    return things;
  size_t more = *room ? 2 * *room : 256;
  void *grown = r->failed ? NULL : realloc(things, more * size);
  r->failed = r->failed || !grown;
  *room = grown ? more : *room;
  return grown ? grown : things;
}

static void add_point(const bv_sample *sample, void *context) {
  run *r = context;
  bv_waveforms *wave = r->wave;
  wave->points = grow(r, wave->points, wave->point_count, &r->point_room,
                      sizeof *wave->points);
  /* A cycle ends and the next starts at the same time but for a rounding. */
  double before =
      wave->point_count ? wave->points[wave->point_count - 1].time : 0;
  if (!r->failed)
    wave->points[wave->point_count++] =
        (bv_wave_point){(int) r->part,
                        r->number,
                        fmax(sample->time, before),
                        sample->switch_voltage,
                        sample->primary_current,
                        sample->secondary_current + 0.0, /* never -0 */
                        sample->output_voltage};
}

static void show(run *r, bv_wave_part part, const shown *cycle) {
  bv_trace trace = {add_point, r, 0, HUGE_VAL, (int) r->plan->points};
  r->part = part;
  r->number = cycle->number;
  bv_cycle_trace(&r->stage, &cycle->state, &cycle->cycle, cycle->time, &trace);
}

/* Secondary current when it takes over from the primary. */
static double secondary_peak(const bv_stage *s, const bv_cycle *cycle) {
  bv_state state = {.current = cycle->peak_current};
  bv_cycle again = {0};
  bv_cycle_release(s, cycle->reflected, cycle->reflected, &state, &again);
  return state.current / s->n;
}

static void add_moment(run *r, const shown *cycle) {
  bv_waveforms *wave = r->wave;
  wave->moments = grow(r, wave->moments, wave->moment_count, &r->moment_room,
                       sizeof *wave->moments);
  if (r->failed)
    return;
  double period = cycle->cycle.flow.time, before = cycle->state.output;
  double gained = r->circuit->storage_capacitance / 2 *
                  (r->state.output * r->state.output - before * before);
  wave->moments[wave->moment_count++] =
      (bv_wave_moment){cycle->number,
                       cycle->time,
                       before,
                       gained / period,
                       1 / period,
                       cycle->cycle.peak_current,
                       secondary_peak(&r->stage, &cycle->cycle)};
}

/* Keeps a cycle that may turn out to be one of the last. */
static void keep_last(run *r, const shown *cycle) {
  r->last[r->last_count++ % r->plan->cycles] = *cycle;
}

/* Puts a finished cycle where it is wanted. */
static void place(run *r, const shown *cycle) {
  double half = (r->circuit->start_voltage + r->circuit->target_voltage) / 2;
  if (cycle->number <= (double) r->plan->cycles) {
    show(r, BV_WAVE_FIRST, cycle);
  } else if (cycle->state.output >= half && r->middle < r->plan->cycles) {
    r->middle++;
    show(r, BV_WAVE_MIDDLE, cycle);
  } else {
    keep_last(r, cycle);
  }
}

static void show_last(run *r) {
  size_t cycles = r->plan->cycles;
  size_t first = r->last_count > cycles ? r->last_count - cycles : 0;
  for (size_t i = first; i < r->last_count; i++)
    show(r, BV_WAVE_LAST, &r->last[i % cycles]);
}

/* The target is known to be reached: bv_charge_cycles came first. The last
 * cycle is cut where the target is met and has no period of its own. */
static void run_cycles(run *r) {
  double step = r->wave->charge.charge_time / (double) r->plan->moments;
  bool done = false;
  for (double number = 1; !done && !r->failed; number++) {
    shown cycle = {.state = r->state, .number = number, .time = r->time};
    if (bv_cycle_next(&r->stage, &r->state, &cycle.cycle, &done) !=
        BV_REASON_OK)
      return;
    place(r, &cycle);
    if (!done && r->time >= r->next_moment) {
      add_moment(r, &cycle);
      r->next_moment += step * ceil((r->time - r->next_moment) / step + 1e-9);
    }
    r->time += cycle.cycle.flow.time;
  }
  show_last(r);
}

/* The results of the whole charge; refused where it can't be run. */
static bv_status run_charge(const bv_circuit *circuit, bv_charge *charge,
                            bv_error *error) {
  bv_charge_envelope(circuit, charge);
  if (charge->reason == BV_REASON_OK && charge->cycles > BV_WAVE_CYCLES_MOST)
    return bv_fail(error, BV_BAD_DATA,
                   "the charge takes too many cycles to be drawn: %.3g",
                   charge->cycles);
  if (charge->reason == BV_REASON_OK)
    bv_charge_cycles(circuit, NULL, charge);
  if (charge->reason == BV_REASON_OK)
    return BV_OK;
  return bv_fail(error, BV_BAD_DATA, "the charge %s: %s (%s)",
                 charge->reason == BV_REASON_ENVELOPE_ONLY
                     ? "has no cycles to be drawn"
                     : "is impossible",
                 bv_reason_meaning((bv_reason) charge->reason),
                 bv_reason_words[charge->reason]);
}

bv_status bv_wave_make(const bv_circuit *circuit, const bv_wave_plan *plan,
                       bv_waveforms *wave, bv_error *error) {
  *wave = (bv_waveforms){0};
  bv_status status = run_charge(circuit, &wave->charge, error);
  if (status != BV_OK)
    return status;
  run r = {.circuit = circuit, .plan = plan, .wave = wave};
  r.last = calloc(plan->cycles, sizeof *r.last);
  r.failed = !r.last;
  bv_stage_make(circuit, &r.stage);
  r.state = (bv_state){.node = circuit->supply_voltage,
                       .output = circuit->start_voltage};
  run_cycles(&r);
  free(r.last);
  if (!r.failed)
    return BV_OK;
  bv_wave_free(wave);
  return bv_fail(error, BV_INTERNAL, "out of memory for the waveforms");
}

void bv_wave_free(bv_waveforms *wave) {
  free(wave->points);
  free(wave->moments);
  *wave = (bv_waveforms){0};
}

#define NUMBER(type, member, unit)                                             \
  { #member, unit, "", BV_NUMBER, offsetof(type, member), 0, 0, 0, NULL }

static const bv_field point_list[] = {
    {"part", "", "", BV_WORD, offsetof(bv_wave_point, part), 0, 0, 0,
     bv_wave_part_words},
    NUMBER(bv_wave_point, cycle, ""),
    NUMBER(bv_wave_point, time, "s"),
    NUMBER(bv_wave_point, switch_voltage, "V"),
    NUMBER(bv_wave_point, primary_current, "A"),
    NUMBER(bv_wave_point, secondary_current, "A"),
    NUMBER(bv_wave_point, output_voltage, "V"),
};

static const bv_field moment_list[] = {
    NUMBER(bv_wave_moment, cycle, ""),
    NUMBER(bv_wave_moment, time, "s"),
    NUMBER(bv_wave_moment, output_voltage, "V"),
    NUMBER(bv_wave_moment, power, "W"),
    NUMBER(bv_wave_moment, frequency, "Hz"),
    NUMBER(bv_wave_moment, primary_peak, "A"),
    NUMBER(bv_wave_moment, secondary_peak, "A"),
};

static void print_header(bv_fields fields, bv_buffer *csv) {
  for (size_t i = 0; i < fields.count; i++) {
    bv_buffer_print(csv, "%s", i ? "," : "");
    bv_unit_append_column(csv, fields.list[i].name, fields.list[i].unit);
  }
  bv_buffer_print(csv, "\n");
}

static void print_row(bv_fields fields, const void *base, bv_buffer *csv) {
  for (size_t i = 0; i < fields.count; i++) {
    char number[BV_NUMBER_SIZE];
    const char *text = bv_field_text(&fields.list[i], base);
    if (!text)
      text = bv_format_number(number, bv_field_number(&fields.list[i], base));
    bv_buffer_print(csv, "%s%s", i ? "," : "", text);
  }
  bv_buffer_print(csv, "\n");
}

void bv_wave_print_points(const bv_waveforms *wave, bv_wave_part from,
                          bv_wave_part to, bv_buffer *csv) {
  bv_fields fields = {point_list, sizeof point_list / sizeof *point_list};
  print_header(fields, csv);
  for (size_t i = 0; i < wave->point_count; i++)
    if (wave->points[i].part >= (int) from && wave->points[i].part <= (int) to)
      print_row(fields, &wave->points[i], csv);
}

void bv_wave_print_moments(const bv_waveforms *wave, bv_buffer *csv) {
  bv_fields fields = {moment_list, sizeof moment_list / sizeof *moment_list};
  print_header(fields, csv);
  for (size_t i = 0; i < wave->moment_count; i++)
    print_row(fields, &wave->moments[i], csv);
}
