/* SPDX-License-Identifier: MIT */
#include "script/filter.h"

#include "check_main.h"

static const char *const names[] = {"charge_time", "core", "cost"};
static const bv_filter_value values[] = {
    {1.25, NULL}, {0, "ETD34"}, {(double) NAN, NULL}};

START_TEST(expressions_are_evaluated_on_a_row) {
  static const struct {
    const char *expression;
    bool matches;
  } rows[] = {
      {"charge_time < 1.5", true},
      {"charge_time<1.5", true},
      {"charge_time > 1.5", false},
      {"core == 'ETD34'", true},
      {"core ~= \"ETD34\"", false},
      {"core:find('ETD') and charge_time <= 1.25", true},
      {"math.abs(charge_time - 1.25) < 1e-9", true},
      {"cost < 5", false},
      {"cost >= 5", false},
      {"not (charge_time < 1) and true", true},
      {"core == 'a name, cost2'", false},
      {"charge_time == 125e-2", true},
      {"charge_time < 2 and core:find('ETD')", true},
      {"charge_time < 2 and core:find('RM')", false},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_filter *filter;
    bv_error error = {0};
    bool matches;
    ck_assert_msg(
        bv_filter_open(rows[i].expression, names, 3, &filter, &error) == BV_OK,
        "%s", error.text);
    ck_assert_int_eq(bv_filter_match(filter, values, &matches, &error), BV_OK);
    ck_assert_msg(matches == rows[i].matches, "%s", rows[i].expression);
    bv_filter_close(filter);
  }
}
END_TEST

START_TEST(wrong_expressions_are_usage_errors) {
  static const struct {
    const char *expression, *message;
  } rows[] = {
      {"charg_time < 1", "filter 'charg_time < 1': no column \"charg_time\"; "
                         "did you mean \"charge_time\"?"},
      {"x < 1", "filter 'x < 1': no column \"x\""},
      {"charge_time <", "filter 'charge_time <': filter:1: unexpected symbol "
                        "near <eof>"},
      {"charge_time, cost", "filter 'charge_time, cost': expected one "
                            "expression such as charge_time < 1.5"},
      {"charge_time = 1", "filter 'charge_time = 1': filter:1: <eof> expected "
                          "near '='"},
      {"charge_time", "filter 'charge_time': expected a comparison such as "
                      "charge_time < 1.5, found a name alone"},
      {"os.exit()", "filter 'os.exit()': no column \"os\""},
      {"", "filter '': expected one expression such as charge_time < 1.5"},
      {"core < 1", "filter 'core < 1': filter:1: attempt to compare string "
                   "with number"},
      {"(function() while true do end end)()",
       "filter '(function() while true do end end)()': no column \"function\""},
      {"('x'):rep(1e9)",
       "filter '('x'):rep(1e9)': filter:1: stopped: too many steps"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_filter *filter;
    bv_error error = {0};
    bool matches;
    bv_status status =
        bv_filter_open(rows[i].expression, names, 3, &filter, &error);
    if (status == BV_OK)
      status = bv_filter_match(filter, values, &matches, &error);
    ck_assert_int_eq(status, BV_USAGE);
    ck_assert_msg(
        strncmp(error.text, rows[i].message, strlen(rows[i].message)) == 0,
        "expected %s\nfound %s", rows[i].message, error.text);
    bv_filter_close(filter);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {expressions_are_evaluated_on_a_row,
                                wrong_expressions_are_usage_errors, NULL};
  return check_main("filter", tests);
}
