/* SPDX-License-Identifier: MIT */
#include "model/design_echo.h"

#include <string.h>

#include "check_main.h"
#include "model/insulation.h"

/* A struct whose numbers are all different: value is `first`, first + 1, … */
static void number_fields(bv_fields fields, void *base, double first) {
  for (size_t i = 0; i < fields.count; i++)
    bv_field_set_number(&fields.list[i], base, first + (double) i);
}

static double result(const bv_design *design, const char *name) {
  const bv_field *field = bv_field_find(bv_design_fields, name);
  ck_assert_msg(field != NULL, "no result %s", name);
  return bv_field_number(field, design);
}

static void check_repeats(const char *member, double value,
                          const bv_design *design) {
  ck_assert_msg(result(design, member) == value, "%s: %g, not %g", member,
                result(design, member), value);
}

START_TEST(repeats_each_number_under_its_name) {
  bv_design design = {0};
  bv_job job = {.supply_voltage = {18, 24, 30}};
  bv_choice choice = {.chambers = 3, .layer_insulation = 50e-6};
  number_fields(bv_job_fields, &job, 1000);
  job.insulation = BV_REINFORCED;
  choice.interleaved = true;
#define FILL(name, unit, worse, meaning) design.circuit.name = value += 1;
#define NOTHING(...)
  double value = 0;
  BV_DESIGN_CIRCUIT(FILL, NOTHING, NOTHING)
  design.circuit.max_frequency = 123e3;
  bv_design_echo(&job, &choice, &design);
  value = 0;
#define CHECK(name, unit, worse, meaning)                                      \
  check_repeats(#name, value += 1, &design);
  BV_DESIGN_CIRCUIT(CHECK, NOTHING, NOTHING)
#define CHECK_JOB(name, unit, worse, meaning)                                  \
  check_repeats(#name, job.name, &design);
  BV_DESIGN_JOB(CHECK_JOB, NOTHING, NOTHING)
  check_repeats("chambers", 3, &design);
  check_repeats("interleaved", 1, &design);
  check_repeats("supply_voltage_min", 18, &design);
  check_repeats("supply_voltage_max", 30, &design);
  check_repeats("frequency_limit", 123e3, &design);
  check_repeats("safe_time_limit", job.safe_time, &design);
  ck_assert_str_eq(design.insulation, "reinforced");
}
END_TEST

START_TEST(tells_words_and_stands_wrong_ones) {
  bv_design design = {0};
  bv_job job = {.insulation = BV_FUNCTIONAL};
  bv_choice choice = {.rectifier = BV_DOUBLER};
  bv_design_echo(&job, &choice, &design);
  ck_assert_str_eq(design.rectifier, "doubler");
  ck_assert_str_eq(design.insulation, "functional");
  job.insulation = choice.rectifier = -1;
  bv_design_echo(&job, &choice, &design);
  ck_assert_str_eq(design.rectifier, "");
  job.insulation = choice.rectifier = 99;
  bv_design_echo(&job, &choice, &design);
  ck_assert_str_eq(design.insulation, "");
}
END_TEST

/* 1500 V for basic insulation at 250 V of mains, doubled where reinforced:
 * common practice (test voltages of mains equipment). */
START_TEST(the_insulation_test_is_that_of_practice) {
  check_close(bv_insulation_test(250, false), 1500, 1e-12);
  check_close(bv_insulation_test(250, true), 3000, 1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {repeats_each_number_under_its_name,
                                tells_words_and_stands_wrong_ones,
                                the_insulation_test_is_that_of_practice, NULL};
  return check_main("design_echo", tests);
}
