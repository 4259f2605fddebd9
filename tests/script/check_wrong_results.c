/* SPDX-License-Identifier: MIT */
/* Points that can't be evaluated: the words and the line of each message. */
#include "script_test.h"

START_TEST(wrong_evaluations) {
#define EVALUATE(body, more)                                                   \
  "local space = require 'brimvolt.space'\n"                                   \
  "return { variables = { a = space.real(0, 1) },\n"                           \
  "  evaluate = function(x)\n" body "\n  end,\n  minimise = { 'cost' } " more  \
  "}"
  static const struct {
    const char *script, *message;
    bv_outcome outcome;
  } rows[] = {
      {EVALUATE("error 'no'", ""), "study.lua:4: no\n  study.lua:4 in evaluate",
       BV_OUTCOME_ERROR},
      {EVALUATE("local function f() error 'no' end\n  f() return {}", ""),
       "study.lua:4: no\n  study.lua:4 in f\n  study.lua:5 in evaluate",
       BV_OUTCOME_ERROR},
      {EVALUATE("table.sort({ 1, 2 }, function() error 'no' end)", ""),
       "study.lua:4: no\n  study.lua:4 in a function\n  study.lua:4 in "
       "evaluate",
       BV_OUTCOME_ERROR},
      {EVALUATE("return x.b.c", ""),
       "study.lua:4: attempt to index a nil value (field 'b')",
       BV_OUTCOME_ERROR},
      {EVALUATE("return 5", ""),
       "study.lua:3: evaluate: expected a design, a "
       "charge or a table of results, found 5",
       BV_OUTCOME_ERROR},
      {EVALUATE("", ""),
       "study.lua:3: evaluate: expected a design, a charge or a "
       "table of results, found nothing",
       BV_OUTCOME_ERROR},
      {EVALUATE("return { costs = 1 }", ""),
       "study.lua:6: minimise: evaluate gave no result \"cost\"; did you mean "
       "\"costs\"?",
       BV_OUTCOME_ERROR},
      {EVALUATE("return { cost = 1 }", ", limits = { rise = { max = 1 } }"),
       "study.lua:6: limits: evaluate gave no result \"rise\"",
       BV_OUTCOME_ERROR},
      {EVALUATE("return { cost = 'x' }", ""),
       "study.lua:6: minimise: result \"cost\": expected a number, found the "
       "text "
       "\"x\"",
       BV_OUTCOME_ERROR},
      {EVALUATE("return { cost = 0/0 }", ""),
       "study.lua:6: minimise: result \"cost\": expected a finite number, "
       "found nan",
       BV_OUTCOME_NOT_A_NUMBER},
      {EVALUATE("return { cost = -1/0 }", ""),
       "study.lua:6: minimise: result \"cost\": expected a finite number, "
       "found -inf",
       BV_OUTCOME_NOT_A_NUMBER},
      {EVALUATE("return { reason = 'too dear', cost = 0/0 }", ""),
       "study.lua: impossible: too dear", BV_OUTCOME_NOT_A_NUMBER},
      {EVALUATE("return { reason = 'too dear', cost = 1 }", ""),
       "study.lua: impossible: too dear", BV_OUTCOME_NOT_A_NUMBER},
      {EVALUATE("return { reason = 'stall' }", ""),
       "study.lua: impossible: stall (node capacitance, ",
       BV_OUTCOME_NOT_A_NUMBER},
      {EVALUATE("return { reason = 'ok' }", ""),
       "study.lua:6: minimise: evaluate gave no result \"cost\"",
       BV_OUTCOME_ERROR},
      {EVALUATE("while true do end", ""),
       "study.lua:4: stopped: too many steps (an endless loop?)",
       BV_OUTCOME_TIMEOUT},
      {EVALUATE("local s = 'x' while true do s = s .. s end", ""),
       "study.lua:4: stopped: out of memory (at most 64 MiB)",
       BV_OUTCOME_MEMORY},
      {EVALUATE("local cost = 1", ""),
       "study.lua:3: evaluate: expected a design, a charge or a table of "
       "results, found nothing (no return?)",
       BV_OUTCOME_ERROR},
      {EVALUATE("return 5", ""),
       "study.lua:3: evaluate: expected a design, a charge or a table of "
       "results, found 5",
       BV_OUTCOME_ERROR},
      {EVALUATE("return { cost = 1 }",
                ", limits = { cost = { max = function() return 0/0 end } }"),
       "study.lua: limits.cost.max: expected the function to return a finite "
       "number, found ",
       BV_OUTCOME_ERROR},
      {EVALUATE("require 'brimvolt.units'", ""),
       "study.lua:4: require \"brimvolt.units\": expected at the top of the "
       "script, found in evaluate",
       BV_OUTCOME_ERROR},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_study *study = script_open(rows[i].script);
    double objective, limit;
    bv_outcome outcome = script_evaluate(study, &objective, &limit);
    const char *text = bv_study_last_error(study);
    ck_assert_msg(strncmp(text, rows[i].message, strlen(rows[i].message)) == 0,
                  "row %zu:\nexpected %s\nfound    %s", i, rows[i].message,
                  text);
    ck_assert_int_eq(outcome, rows[i].outcome);
    bv_study_close(study);
  }
}
END_TEST

START_TEST(wrong_results_of_a_description) {
  static const struct {
    const char *script, *message;
  } rows[] = {
      {EVALUATE("return { cost = 1, extra = {} }", ""),
       "study.lua: evaluate: result \"extra\": expected a number or a text, "
       "found a table"},
      {EVALUATE("return { cost = 1, note = 'a\\27[1m' }", ""),
       "study.lua: evaluate: result \"note\": expected UTF-8 without control "
       "characters, found 0x1b at byte 2"},
      {EVALUATE("return { cost = 1, row = 1 }", ""),
       "study.lua: evaluate: expected another name than \"row\""},
      {EVALUATE("return { cost = 1, ['a,b'] = 1 }", ""),
       "study.lua: evaluate: expected names of letters, digits and _ (at most "
       "60), found the text \"a,b\""},
      {EVALUATE("return { cost = 1, 2 }", ""),
       "study.lua: evaluate: expected names, found the key 1"},
      {EVALUATE("local t = { cost = 1 } for i = 1, 2000 do t['n' .. i] = i end "
                "return t",
                ""),
       "study.lua: evaluate: expected at most 1000 results, found more"},
      {EVALUATE("error 'no'", ""), "study.lua:4: no"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_study *study = script_open(rows[i].script);
    bv_record record;
    bv_error error = {0};
    double x = 0.5, objective, limit;
    bv_evaluation evaluation = {
        .x = &x, .objectives = &objective, .limits = &limit};
    ck_assert_int_eq(bv_study_describe(study, &evaluation, &record, &error),
                     BV_OUTCOME_ERROR);
    ck_assert_uint_eq(record.count, 0);
    ck_assert_msg(
        strncmp(error.text, rows[i].message, strlen(rows[i].message)) == 0,
        "row %zu:\nexpected %s\nfound    %s", i, rows[i].message, error.text);
    bv_study_close(study);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {wrong_evaluations,
                                wrong_results_of_a_description, NULL};
  script_enter();
  int code = check_main("wrong_results", tests);
  script_leave();
  return code;
}
