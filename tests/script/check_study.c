/* SPDX-License-Identifier: MIT */
/* Studies that are right: what is read from them, evaluated and described. */
#include "script_test.h"

#include "base/random.h"

static const char PLAIN[] =
    "local space = require 'brimvolt.space'\n"
    "return {\n"
    "  title = 'A plain one',\n"
    "  order = { 'b', 'a' },\n"
    "  variables = { a = space.real(0, 2), b = space.log(1, 100),\n"
    "    c = space.whole(1, 5), d = space.step(0, 1, 0.25),\n"
    "    e = space.choice { 'left', 'right', 7, true } },\n"
    "  results = { cost = { unit = 'EUR', meaning = 'what it costs' } },\n"
    "  evaluate = function(x)\n"
    "    return { time = x.a + x.b, cost = x.c * x.d, kind = tostring(x.e),\n"
    "             charge_time = 3, gain = 4 }\n"
    "  end,\n"
    "  minimise = { 'time', 'cost' }, maximise = { 'gain' },\n"
    "  limits = { gain = { min = 2, max = 5 }, cost = { max = 0 } },\n"
    "}\n";

START_TEST(a_study_is_read_in_a_stated_order) {
  bv_study *study = script_open(PLAIN);
  const bv_space *space = &bv_study_problem(study)->space;
  static const char *const names[] = {"b", "a", "c", "d", "e"};
  ck_assert_uint_eq(space->count, 5);
  for (size_t i = 0; i < 5; i++)
    ck_assert_str_eq(space->variables[i].name, names[i]);
  ck_assert_int_eq(space->variables[0].scale, BV_SCALE_LOG);
  ck_assert_double_eq(space->variables[3].step, 0.25);
  ck_assert_str_eq(bv_study_choice(study, 4, 0), "left");
  ck_assert_str_eq(bv_study_choice(study, 4, 2), "7");
  ck_assert_str_eq(bv_study_choice(study, 4, 3), "true");
  ck_assert_ptr_null(bv_study_choice(study, 4, 4));
  ck_assert_ptr_null(bv_study_choice(study, 0, 0));
  ck_assert_str_eq(bv_study_title(study), "A plain one");
  size_t count;
  const bv_objective *objectives = bv_study_objectives(study, &count);
  ck_assert_uint_eq(count, 3);
  ck_assert_str_eq(objectives[2].name, "gain");
  ck_assert(objectives[2].maximise && !objectives[0].maximise);
  const bv_limit *limits = bv_study_limits(study, &count);
  ck_assert_uint_eq(count, 2);
  ck_assert_str_eq(limits[0].name, "cost");
  ck_assert_double_eq(limits[1].min, 2);
  ck_assert_uint_eq(bv_study_problem(study)->limits, 3);
  bv_study_close(study);
}
END_TEST

START_TEST(a_point_becomes_objectives_and_scaled_limits) {
  bv_study *study = script_open(PLAIN);
  double objectives[3], limits[3];
  bv_error error;
  double x[5];
  const char *point[] = {"a=1", "b=10", "c=4", "d=0.5", "e=right"};
  ck_assert_int_eq(bv_study_parse_point(study, point, 5, x, &error), BV_OK);
  ck_assert_double_eq(x[3], 0.5);
  bv_evaluation evaluation = {
      .x = x, .objectives = objectives, .limits = limits};
  ck_assert_int_eq(bv_study_problem(study)->evaluate(study, &evaluation),
                   BV_OUTCOME_EVALUATED);
  ck_assert_double_eq(objectives[0], 11);
  ck_assert_double_eq(objectives[1], 2);
  ck_assert_double_eq(objectives[2], -4);
  ck_assert_double_eq(limits[0], 2);               /* cost: (2 - 0) / 1 */
  ck_assert_double_eq(limits[1], -1);              /* gain: (2 - 4) / 2 */
  ck_assert_double_eq_tol(limits[2], -0.2, 1e-15); /* (4 - 5) / 5 */
  bv_study_close(study);
}
END_TEST

START_TEST(a_description_tells_units_and_meanings) {
  bv_study *study = script_open(PLAIN);
  bv_record record;
  bv_error error;
  double x[5], objectives[3], limits[3];
  bv_evaluation evaluation = {
      .x = x, .objectives = objectives, .limits = limits};
  ck_assert_int_eq(bv_study_parse_point(study, NULL, 0, x, &error), BV_OK);
  ck_assert_int_eq(bv_study_describe(study, &evaluation, &record, &error),
                   BV_OUTCOME_EVALUATED);
  ck_assert_double_eq(objectives[2], -4);
  ck_assert_double_eq(limits[1], -1);
  ck_assert_uint_eq(record.count, 5);
  ck_assert_str_eq(record.results[0].name, "charge_time"); /* the model's */
  ck_assert_str_eq(record.results[0].unit, "s");
  ck_assert_str_eq(record.results[1].name, "cost");
  ck_assert_str_eq(record.results[1].unit, "EUR");
  ck_assert_str_eq(record.results[1].meaning, "what it costs");
  ck_assert_str_eq(record.results[3].name, "kind");
  ck_assert(record.results[3].is_text);
  bv_record_free(&record);
  bv_study_close(study);
}
END_TEST

START_TEST(wrong_points_are_usage_errors) {
  static const struct {
    const char *assignment, *message;
  } rows[] = {
      {"turns=3", "no variable \"turns\"; known are b, a, c, d, e"},
      {"a", "expected NAME=VALUE, found \"a\""},
      {"a=5", "a: expected a number from 0 to 2, found \"5\""},
      {"a=x", "a: expected a number from 0 to 2, found \"x\""},
      {"a=nan", "a: expected a number from 0 to 2, found \"nan\""},
      {"c=1.5", "c: expected a whole number from 1 to 5, found \"1.5\""},
      {"d=0.6",
       "d: expected a number from 0 to 1 in steps of 0.25, found \"0.6\""},
      {"e=lfet", "e: expected one of the choices (\"left\", …), found "
                 "\"lfet\"; did you mean \"left\"?"},
      {"e=righ", "e: expected one of the choices (\"left\", …), found "
                 "\"righ\"; did you mean \"right\"?"},
  };
  bv_study *study = script_open(PLAIN);
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    double x[5];
    bv_error error;
    ck_assert_int_eq(
        bv_study_parse_point(study, &rows[i].assignment, 1, x, &error),
        BV_USAGE);
    ck_assert_str_eq(error.text, rows[i].message);
  }
  bv_study_close(study);
}
END_TEST

START_TEST(random_numbers_depend_on_seed_and_point_alone) {
  static const char text[] =
      "local space = require 'brimvolt.space'\n"
      "return { variables = { a = space.real(0, 1) },\n"
      "  evaluate = function(x) return { r = math.random(),\n"
      "    s = math.random(10) } end,\n"
      "  minimise = { 'r', 's' } }\n";
  double first[2], again[2], other[2];
  bv_study *study = script_open(text);
  ck_assert_int_eq(script_evaluate(study, first, NULL), BV_OUTCOME_EVALUATED);
  ck_assert_int_eq(script_evaluate(study, again, NULL), BV_OUTCOME_EVALUATED);
  bv_study_close(study);
  ck_assert_double_eq(first[0], again[0]);
  ck_assert_double_eq(first[1], again[1]);
  bv_study_options options = script_options();
  options.seed = 2;
  ck_assert_int_eq(bv_study_open("study.lua", &options, &study, NULL), BV_OK);
  ck_assert_int_eq(script_evaluate(study, other, NULL), BV_OUTCOME_EVALUATED);
  bv_study_close(study);
  ck_assert_double_ne(first[0], other[0]);
}
END_TEST

START_TEST(pairs_goes_in_order) {
  static const char text[] =
      "local space = require 'brimvolt.space'\n"
      "local t, seen = { 'x', 'y', zeta = 1, alpha = 2, [2.5] = 3,\n"
      "  [math.maxinteger] = 4, mid = 5, gone = 6 }, {}\n"
      "for k, v in pairs(t) do\n"
      "  seen[#seen + 1] = tostring(k) .. '=' .. tostring(v)\n"
      "  if k == 'alpha' then t.gone = nil end\n"
      "end\n"
      "assert(table.concat(seen, ' ') == '1=x 2=y 2.5=3 ' ..\n"
      "  '9223372036854775807=4 alpha=2 mid=5 zeta=1',\n"
      "  table.concat(seen, ' '))\n"
      "return { variables = { a = space.real(0, 1) },\n"
      "  evaluate = function(x) return x end, minimise = { 'a' } }\n";
  bv_study_close(script_open(text));
}
END_TEST

/* Lua hashes texts with a seed of its own and tells addresses: both change from
 * run to run. */
START_TEST(next_follows_pairs_and_no_address_shows) {
  static const char text[] =
      "local space = require 'brimvolt.space'\n"
      "local t, seen = { 'x', zeta = 1, alpha = 2, [2.5] = 3, ['a\\0b'] = 4,\n"
      "  ['a\\0a'] = 5, a = 6, [print] = 7 }, {}\n"
      "for k, v in next, t do\n"
      "  seen[#seen + 1] = tostring(k) .. '=' .. v\n"
      "end\n"
      "local all = table.concat(seen, ' ')\n"
      "assert(all == '1=x 2.5=3 a=6 a\\0a=5 a\\0b=4 alpha=2 zeta=1 ' ..\n"
      "  'function=7', all)\n"
      "local i = 0\n"
      "for k, v in pairs(t) do\n"
      "  i = i + 1\n"
      "  assert(seen[i] == tostring(k) .. '=' .. v, seen[i])\n"
      "end\n"
      "assert(i == #seen and next({}) == nil and next(t) == 1)\n"
      "assert(next(t, 'a\\0a') == 'a\\0b' and next(t, 'zz') == print)\n"
      "assert(tostring {} == 'table' and tostring(nil) == 'nil')\n"
      "assert(('%s %5.1f %s'):format({}, 2, print) == 'table   2.0 function')\n"
      "assert(tostring(setmetatable({}, { __tostring = function()\n"
      "  return 'mine' end })) == 'mine')\n"
      "assert(not pcall(string.format, '%%%-5p', 'x'))\n"
      "assert(string.format('%%p') == '%p')\n"
      "return { variables = { a = space.real(0, 1) },\n"
      "  evaluate = function(x) return x end, minimise = { 'a' } }\n";
  bv_study_close(script_open(text));
}
END_TEST

START_TEST(a_digest_covers_script_and_modules) {
  static const char text[] =
      "local space, own = require 'brimvolt.space', require 'own.part'\n"
      "return { variables = { a = space.real(0, own) },\n"
      "  evaluate = function(x) return x end, minimise = { 'a' } }\n";
  char digest[65];
  ck_assert_int_eq(system("mkdir -p own"), 0);
  script_write("own/part.lua", "return 1\n");
  bv_study *study = script_open(text);
  snprintf(digest, sizeof digest, "%s", bv_study_digest(study));
  ck_assert_uint_eq(strlen(digest), 64);
  bv_study_close(study);
  study = script_open(text);
  ck_assert_str_eq(bv_study_digest(study), digest);
  bv_study_close(study);
  script_write("own/part.lua", "return 2\n");
  study = script_open(text);
  ck_assert_str_ne(bv_study_digest(study), digest);
  bv_study_close(study);
}
END_TEST

START_TEST(cases_starts_and_hooks_reach_the_script) {
  bv_study *study = script_open(
      "local space = require 'brimvolt.space'\n"
      "return { variables = { a = space.real(0, 1),\n"
      "    k = space.choice { 'p', 'q' } },\n"
      "  evaluate = function(x, case) return { v = case.v + x.a } end,\n"
      "  minimise = { 'v' }, cases = { { name = 'one', v = 1 },\n"
      "    { name = 'two', v = 2 } },\n"
      "  start = { { a = 0.25, k = 'q' }, {} },\n"
      "  on_round = function(p) return p.round < 3 end,\n"
      "  on_best = function(name, x, value)\n"
      "    assert(name == 'v' and x.k == 'q' and value == 9) end }\n");
  double value;
  ck_assert_uint_eq(bv_study_cases(study), 2);
  ck_assert_str_eq(bv_study_case_name(study, 1), "two");
  bv_study_choose_case(study, 1);
  ck_assert_int_eq(script_evaluate(study, &value, NULL), BV_OUTCOME_EVALUATED);
  ck_assert_double_eq(value, 2.5);
  size_t count;
  const double *starts = bv_study_starts(study, &count);
  ck_assert_uint_eq(count, 2);
  ck_assert_double_eq(starts[0], 0.25);
  ck_assert_double_eq(starts[1], 1);
  ck_assert_double_eq(starts[2], 0.5);
  bool stop;
  bv_progress progress = {.round = 2};
  ck_assert(bv_study_has_hooks(study));
  ck_assert_int_eq(bv_study_on_round(study, &progress, &stop),
                   BV_OUTCOME_EVALUATED);
  ck_assert(!stop);
  progress.round = 3;
  ck_assert_int_eq(bv_study_on_round(study, &progress, &stop),
                   BV_OUTCOME_EVALUATED);
  ck_assert(stop);
  ck_assert_int_eq(bv_study_on_best(study, 0, starts, 9, &stop),
                   BV_OUTCOME_EVALUATED);
  ck_assert_int_eq(bv_study_on_best(study, 0, starts, 8, &stop),
                   BV_OUTCOME_ERROR);
  ck_assert_ptr_nonnull(strstr(bv_study_last_error(study), "study.lua:10 in"));
  bv_study_close(study);
}
END_TEST

START_TEST(a_limit_may_be_a_function_of_the_results) {
  bv_study *study = script_open(
      "local space = require 'brimvolt.space'\n"
      "return { variables = { a = space.real(0, 1) },\n"
      "  evaluate = function(x) return { v = 6, rating = 10 } end,\n"
      "  minimise = { 'v' },\n"
      "  limits = { v = { max = function(r) return 0.5 * r.rating end } } }\n");
  double value, limit;
  ck_assert_int_eq(script_evaluate(study, &value, &limit),
                   BV_OUTCOME_EVALUATED);
  ck_assert_double_eq_tol(limit, 0.2, 1e-15);
  bv_study_close(study);
}
END_TEST

START_TEST(variables_may_be_objectives_and_limits_infinite) {
  bv_study *study = script_open(
      "local space = require 'brimvolt.space'\n"
      "return { variables = { a = space.real(0, 1) },\n"
      "  evaluate = function(x) return { v = -1/0 } end,\n"
      "  minimise = { 'a' }, limits = { v = { min = 2, max = 3 } } }\n");
  double value, limits[2];
  ck_assert_int_eq(script_evaluate(study, &value, limits),
                   BV_OUTCOME_EVALUATED);
  ck_assert_double_eq(value, 0.5);
  ck_assert_double_eq(limits[0], 1e6);
  ck_assert_double_eq(limits[1], -1e6);
  bv_study_close(study);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_study_is_read_in_a_stated_order,
                                a_point_becomes_objectives_and_scaled_limits,
                                a_description_tells_units_and_meanings,
                                wrong_points_are_usage_errors,
                                random_numbers_depend_on_seed_and_point_alone,
                                pairs_goes_in_order,
                                next_follows_pairs_and_no_address_shows,
                                a_digest_covers_script_and_modules,
                                cases_starts_and_hooks_reach_the_script,
                                a_limit_may_be_a_function_of_the_results,
                                variables_may_be_objectives_and_limits_infinite,
                                NULL};
  script_enter();
  int code = check_main("study", tests);
  script_leave();
  return code;
}
