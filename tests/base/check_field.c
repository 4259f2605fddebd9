/* SPDX-License-Identifier: MIT */
#include "base/field.h"

#include <stddef.h>

#include "base/status.h"
#include "check_main.h"

typedef struct thing {
  double length, count;
  char name[BV_TEXT_SIZE];
  int shape;
  bool hollow;
} thing;

static const char *const shapes[] = {"round", "square", NULL};
static const double none = (double) NAN, endless = (double) INFINITY;

static bv_fields thing_fields(void) {
  static bv_field list[5];
  bv_field rows[] = {
      {"length", "m", "how long", BV_NUMBER, offsetof(thing, length), 0,
       endless, none, NULL},
      {"count", "", "how many", BV_WHOLE, offsetof(thing, count), 1, 9, 2,
       NULL},
      {"name", "", "label", BV_TEXT, offsetof(thing, name), 0, 0, none, NULL},
      {"shape", "", "form", BV_WORD, offsetof(thing, shape), 0, 1, 1, shapes},
      {"hollow", "", "empty inside", BV_FLAG, offsetof(thing, hollow), 0, 1, 0,
       NULL}};
  for (int i = 0; i < 5; i++)
    list[i] = rows[i];
  return (bv_fields){list, 5};
}

START_TEST(defaults_fill_every_kind) {
  bv_fields fields = thing_fields();
  thing it = {.hollow = true};
  bv_field_defaults(fields, &it);
  ck_assert(isnan(it.length));
  ck_assert_double_eq(it.count, 2);
  ck_assert_str_eq(it.name, "");
  ck_assert_int_eq(it.shape, 1);
  ck_assert(!it.hollow);
}
END_TEST

START_TEST(values_go_in_and_out_by_kind) {
  bv_fields fields = thing_fields();
  thing it;
  bv_field_defaults(fields, &it);
  bv_field_set_number(bv_field_find(fields, "length"), &it, 0.25);
  bv_field_set_number(bv_field_find(fields, "hollow"), &it, 1);
  ck_assert(bv_field_set_text(bv_field_find(fields, "name"), &it, "post"));
  ck_assert(bv_field_set_text(bv_field_find(fields, "shape"), &it, "round"));
  ck_assert(!bv_field_set_text(bv_field_find(fields, "shape"), &it, "oval"));
  ck_assert(!bv_field_set_text(bv_field_find(fields, "length"), &it, "1"));
  ck_assert_double_eq(it.length, 0.25);
  ck_assert(it.hollow);
  ck_assert_str_eq(bv_field_text(bv_field_find(fields, "shape"), &it), "round");
  ck_assert_double_eq(bv_field_number(bv_field_find(fields, "hollow"), &it), 1);
  ck_assert(isnan(bv_field_number(bv_field_find(fields, "name"), &it)));
}
END_TEST

START_TEST(one_number_out_of_range_is_enough) {
  const bv_field list[] = {
      {"a", "V", "", BV_NUMBER, 0, -1, 2, 0, NULL},
      {"b", "", "", BV_WHOLE, sizeof(double), 1, HUGE_VAL, 1, NULL}};
  const double good[][2] = {{-1, 1}, {2, 1e300}, {0, HUGE_VAL}};
  const double bad[][2] = {
      {-1.1, 1}, {2.1, 1}, {0, 0}, {(double) NAN, 1}, {0, (double) NAN}};
  for (size_t i = 0; i < 3; i++)
    ck_assert(bv_field_all_in_range((bv_fields){list, 2}, good[i]));
  for (size_t i = 0; i < 5; i++)
    ck_assert(!bv_field_all_in_range((bv_fields){list, 2}, bad[i]));
}
END_TEST

START_TEST(unknown_names_get_the_nearest) {
  bv_fields fields = thing_fields();
  ck_assert_ptr_null(bv_field_find(fields, "lenght"));
  ck_assert_str_eq(bv_field_nearest(fields, "lenght"), "length");
  ck_assert_ptr_null(bv_field_nearest(fields, "wavelength"));
}
END_TEST

START_TEST(errors_carry_where_and_why) {
  bv_error error;
  ck_assert_int_eq(bv_fail(&error, BV_BAD_DATA, "expected %d", 3), BV_BAD_DATA);
  ck_assert_int_eq(bv_fail_within(&error, "row %d", 7), BV_BAD_DATA);
  ck_assert_str_eq(error.text, "row 7: expected 3");
  ck_assert_int_eq(bv_status_exit_code(BV_BAD_DATA), 65);
  ck_assert_str_eq(bv_status_meaning(BV_NO_INPUT), "no such input");
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      defaults_fill_every_kind,          values_go_in_and_out_by_kind,
      one_number_out_of_range_is_enough, unknown_names_get_the_nearest,
      errors_carry_where_and_why,        NULL};
  return check_main("base/field", tests);
}
