/* SPDX-License-Identifier: MIT */
#include "view/wave.h"

#include "sample.h"
#include "table/csvfile.h"
#include "temporary.h"

static bv_waveforms make(const bv_circuit *circuit, bv_wave_plan plan) {
  bv_waveforms wave;
  bv_error error;
  ck_assert_msg(bv_wave_make(circuit, &plan, &wave, &error) == BV_OK, "%s",
                error.text);
  return wave;
}

/* Cycles of a part, and that time never runs back inside it. */
static size_t count_cycles(const bv_waveforms *wave, bv_wave_part part) {
  size_t cycles = 0;
  double last = -1, time = -1;
  for (size_t i = 0; i < wave->point_count; i++) {
    const bv_wave_point *p = &wave->points[i];
    if (p->part != (int) part)
      continue;
    ck_assert(p->time >= time);
    time = p->time;
    cycles += p->cycle != last;
    last = p->cycle;
  }
  return cycles;
}

START_TEST(shows_first_middle_and_last_cycles) {
  bv_design design = sample_design(1);
  bv_waveforms wave = make(&design.circuit, bv_wave_defaults());
  for (int part = 0; part < BV_WAVE_PART_COUNT; part++)
    ck_assert_uint_eq(count_cycles(&wave, (bv_wave_part) part), 3);
  const bv_wave_point *first = wave.points;
  const bv_wave_point *last = &wave.points[wave.point_count - 1];
  ck_assert(first->time == 0 && first->cycle == 1);
  ck_assert(first->output_voltage == 0 && first->primary_current == 0);
  ck_assert(last->cycle == wave.charge.cycles + 1);
  check_close(last->output_voltage, 1500, 1e-6);
  check_close(last->time, wave.charge.charge_time, 1e-9);
  double middle = 0;
  for (size_t i = 0; middle == 0; i++)
    if (wave.points[i].part == BV_WAVE_MIDDLE)
      middle = wave.points[i].output_voltage;
  check_close(middle, 750, 1e-3);
  bv_wave_free(&wave);
}
END_TEST

/* The charge that the drawn secondary current carries in a whole cycle is what
 * the storage capacitor gains; only the bleeder takes some of it. The drawn
 * primary current is highest where the model says. */
START_TEST(curves_carry_the_charge) {
  bv_design design = sample_design(1);
  bv_waveforms wave = make(&design.circuit, (bv_wave_plan){1, 400, 10});
  for (int part = 0; part < BV_WAVE_LAST; part++) {
    double charge = 0, peak = 0, from = -1, to = 0;
    for (size_t i = 1; i < wave.point_count; i++) {
      const bv_wave_point *a = &wave.points[i - 1], *b = &wave.points[i];
      if (a->part != part || b->part != part)
        continue;
      charge += (b->time - a->time) *
                (a->secondary_current + b->secondary_current) / 2;
      peak = fmax(peak, b->primary_current);
      from = from < 0 ? a->output_voltage : from;
      to = b->output_voltage;
    }
    check_close(charge, 33e-6 * (to - from), 1e-3);
    check_close(peak, wave.charge.primary_current_max, 1e-3);
  }
  bv_wave_free(&wave);
}
END_TEST

START_TEST(moments_agree_with_the_results) {
  bv_design design = sample_design(1);
  bv_waveforms wave = make(&design.circuit, (bv_wave_plan){1, 1, 400});
  ck_assert_uint_ge(wave.moment_count, 390);
  ck_assert_uint_le(wave.moment_count, 401);
  const bv_wave_moment *last = &wave.moments[wave.moment_count - 1];
  check_close(last->frequency, wave.charge.frequency_end, 2e-3);
  check_close(last->primary_peak, wave.charge.primary_current_max, 1e-6);
  double energy = 0, seconds = 0;
  for (size_t i = 0; i + 1 < wave.moment_count; i++) {
    const bv_wave_moment *m = &wave.moments[i];
    ck_assert(m[1].time > m->time && m[1].output_voltage > m->output_voltage);
    energy += m->power * (m[1].time - m->time);
    seconds += m[1].time - m->time;
  }
  check_close(seconds, wave.charge.charge_time, 4e-3);
  check_close(energy, wave.charge.stored_energy, 1e-2);
  bv_wave_free(&wave);
}
END_TEST

static bv_circuit small_circuit(double capacitance) {
  bv_design design = sample_design(0);
  design.circuit.storage_capacitance = capacitance;
  return design.circuit;
}

START_TEST(a_charge_of_few_cycles_has_few_parts) {
  bv_circuit circuit = small_circuit(2e-9);
  bv_waveforms wave = make(&circuit, bv_wave_defaults());
  ck_assert(wave.charge.cycles >= 1 && wave.charge.cycles < 9);
  size_t shown = 0;
  for (int part = 0; part < BV_WAVE_PART_COUNT; part++)
    shown += count_cycles(&wave, (bv_wave_part) part);
  ck_assert_uint_eq(shown, (size_t) wave.charge.cycles + 1);
  ck_assert(bv_wave_has(&wave, BV_WAVE_FIRST));
  bv_wave_picture picture = {"few", 354, 60, true};
  bv_buffer out = {0};
  for (int part = 0; part < BV_WAVE_PART_COUNT; part++)
    bv_wave_draw_part(&wave, (bv_wave_part) part, &picture, &out);
  bv_wave_draw_charge(&wave, BV_WAVE_VOLTAGE, BV_WAVE_PEAKS, &picture, &out);
  ck_assert(!out.failed);
  bv_buffer_free(&out);
  bv_wave_free(&wave);
}
END_TEST

START_TEST(an_impossible_charge_tells_why) {
  bv_circuit circuit = small_circuit(1e-6);
  circuit.clamp_voltage = 1;
  bv_waveforms wave;
  bv_error error;
  bv_wave_plan plan = bv_wave_defaults();
  ck_assert_int_eq(bv_wave_make(&circuit, &plan, &wave, &error), BV_BAD_DATA);
  ck_assert_msg(strstr(error.text, "clamp_below_reflected") != NULL, "%s",
                error.text);
  ck_assert(wave.points == NULL && wave.moments == NULL);
}
END_TEST

START_TEST(an_endless_charge_is_refused_at_once) {
  bv_circuit circuit = small_circuit(1);
  circuit.primary_inductance /= 100;
  circuit.leakage_inductance /= 100;
  circuit.node_capacitance = 0;
  circuit.turn_off_delay = circuit.turn_on_delay = 0;
  circuit.current_fall_time = 0; /* so small a cycle has nothing to lose */
  bv_waveforms wave;
  bv_error error;
  bv_wave_plan plan = bv_wave_defaults();
  ck_assert_int_eq(bv_wave_make(&circuit, &plan, &wave, &error), BV_BAD_DATA);
  ck_assert_msg(strstr(error.text, "too many cycles to be drawn") != NULL, "%s",
                error.text);
}
END_TEST

static bv_csv read_back(const bv_buffer *text, const char *folder) {
  bv_csv csv;
  bv_error error;
  char *path = temporary_write(folder, "wave.csv", text->text, text->length);
  ck_assert_msg(bv_csv_read(path, &csv, &error) == BV_OK, "%s", error.text);
  free(path);
  return csv;
}

static double number_at(const bv_csv *csv, size_t row, size_t column) {
  double number;
  ck_assert(bv_parse_number(bv_csv_cell(csv, row, column), &number));
  return number;
}

START_TEST(files_read_back_exactly) {
  bv_design design = sample_design(1);
  bv_waveforms wave = make(&design.circuit, bv_wave_defaults());
  char *folder = temporary_make();
  bv_buffer points = {0}, moments = {0};
  bv_wave_print_points(&wave, BV_WAVE_FIRST, BV_WAVE_LAST, &points);
  bv_wave_print_moments(&wave, &moments);
  ck_assert_int_eq(strncmp(points.text,
                           "part,cycle,time_s,switch_voltage_V,primary_"
                           "current_A,secondary_current_A,output_voltage_V\n"
                           "first,1,0,0,0,",
                           96),
                   0);
  bv_csv csv = read_back(&points, folder);
  ck_assert_uint_eq(csv.rows, wave.point_count + 1);
  for (size_t i = 0; i < wave.point_count; i++) {
    ck_assert_str_eq(bv_csv_cell(&csv, i + 1, 0),
                     bv_wave_part_words[wave.points[i].part]);
    ck_assert(number_at(&csv, i + 1, 2) == wave.points[i].time);
    ck_assert(number_at(&csv, i + 1, 6) == wave.points[i].output_voltage);
  }
  bv_csv_free(&csv);
  csv = read_back(&moments, folder);
  ck_assert_uint_eq(csv.rows, wave.moment_count + 1);
  ck_assert(number_at(&csv, 7, 3) == wave.moments[6].power);
  bv_csv_free(&csv);
  bv_buffer_free(&points);
  bv_buffer_free(&moments);
  bv_wave_free(&wave);
  temporary_remove(folder);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {shows_first_middle_and_last_cycles,
                                curves_carry_the_charge,
                                moments_agree_with_the_results,
                                a_charge_of_few_cycles_has_few_parts,
                                an_impossible_charge_tells_why,
                                an_endless_charge_is_refused_at_once,
                                files_read_back_exactly,
                                NULL};
  return check_main("wave", tests);
}
