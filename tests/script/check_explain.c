/* SPDX-License-Identifier: MIT */
#include "script/explain.h"

#include "check_main.h"
#include "model/design.h"
#include "script/equations.h"

static void expect(const char *name, const char *begins, const char *contains) {
  bv_buffer text = {0};
  ck_assert_msg(bv_explain(name, &text), "%s", name);
  ck_assert_msg(strncmp(text.text, begins, strlen(begins)) == 0, "%s",
                text.text);
  ck_assert_msg(strstr(text.text, contains) != NULL, "%s", text.text);
  bv_buffer_free(&text);
}

START_TEST(names_are_explained) {
  expect("charge_time",
         "charge_time [s]: time to the target voltage at the nominal supply\n"
         "  result of charger.design\n",
         "  equation: without losses C Vt (Vt + 2 n Vin)/(Ip Vin);");
  expect("storage_capacitance", "storage_capacitance [F]: ",
         "  input of charger.job, from 1e-12 to 10, required\n");
  expect("rectifier", "rectifier: ",
         "  choice for charger.design, one of single, doubler, ladder, "
         "default single\n");
  expect("skin_depth", "skin_depth [m]: ",
         "magnetics.skin_depth{…}: skin depth of copper\n"
         "  equation: sqrt(rho/(pi f mu0))\n"
         "  takes frequency [Hz]: frequency, from 0.001 to 10000000000, "
         "required\n");
  expect("log", "space.log(lo: number, hi: number): brimvolt.variable\n",
         "decades");
}
END_TEST

START_TEST(unknown_names_get_the_nearest) {
  bv_buffer text = {0};
  ck_assert(!bv_explain("chrage_time", &text));
  ck_assert_uint_eq(text.length, 0);
  ck_assert_str_eq(bv_explain_nearest("chrage_time"), "charge_time");
  ck_assert_ptr_null(bv_explain_nearest("zzzzzz"));
}
END_TEST

static void check_one(const char *name, void *context) {
  bv_buffer text = {0};
  ck_assert_msg(bv_explain(name, &text) && text.length > 10, "%s", name);
  bv_buffer_free(&text);
  ++*(int *) context;
}

START_TEST(every_name_is_explained) {
  int count = 0;
  bv_explain_each(check_one, &count);
  ck_assert_int_gt(count, 300);
}
END_TEST

START_TEST(equations_belong_to_results) {
  const bv_equation *equation;
  for (unsigned i = 0; (equation = bv_equation_at(i)); i++)
    ck_assert_msg(bv_field_find(bv_design_fields, equation->name) ||
                      bv_field_find(bv_charge_fields, equation->name),
                  "%s", equation->name);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      names_are_explained, unknown_names_get_the_nearest,
      every_name_is_explained, equations_belong_to_results, NULL};
  return check_main("explain", tests);
}
