/* SPDX-License-Identifier: MIT */
/* Hostile evaluations: each ends within the limits with its kind told, what it
 * took is given back, and a good point evaluates as before. Patterns that
 * backtrack without end can't be stopped from inside; the watchdog of the
 * worker does that. */
#include "script_test.h"

#include <time.h>

#include "model/design.h"

typedef struct row {
  const char *name, *body;
  bv_outcome outcome; /* BV_OUTCOME_EVALUATED: it must come to an end, well */
} row;

#define CORNERS(supply, tolerances)                                            \
  "local job = charger.job { supply_voltage = " supply ",\n"                   \
  "  target_voltage = 1500, storage_capacitance = 33e-6 }\n"                   \
  "local function corners() charger.corners(job, { turns_ratio = 15,\n"        \
  "  peak_current = 10, max_frequency = 1e5, core = 'ETD34/17/11' },\n"        \
  "  { " tolerances " }) end\n"

static const row rows[] = {
    {"plain loop", "while true do end", BV_OUTCOME_TIMEOUT},
    {"loop in pcall",
     "while true do pcall(function() while true do end end) end",
     BV_OUTCOME_TIMEOUT},
    {"pcall that goes on",
     "pcall(function() while true do end end)\n"
     "while true do end",
     BV_OUTCOME_TIMEOUT},
    {"pcall that hides",
     "pcall(function() while true do end end)\n"
     "return { v = 1 }",
     BV_OUTCOME_TIMEOUT},
    {"nested pcall", "local function f() pcall(f) while true do end end f()",
     BV_OUTCOME_TIMEOUT},
    {"xpcall handler loops",
     "xpcall(function() while true do end end,\n"
     "  function() while true do end end) return { v = 1 }",
     BV_OUTCOME_TIMEOUT},
    {"xpcall handler catches",
     "xpcall(function() while true do end end,\n"
     "  function(e) pcall(error) return e end) return { v = 1 }",
     BV_OUTCOME_TIMEOUT},
    {"handler of an error loops",
     "xpcall(error, function() while true do end end) return { v = 1 }",
     BV_OUTCOME_TIMEOUT},
    {"handlers raise for ever",
     "local function h() error('x') end\n"
     "for i = 1, 1e9 do xpcall(error, h) end",
     BV_OUTCOME_TIMEOUT},
    {"pcall of pcall", "for i = 1, 1e9 do pcall(pcall, pcall, error) end",
     BV_OUTCOME_TIMEOUT},
    {"close loops",
     "local x <close> = setmetatable({}, { __close = function()\n"
     "  while true do end end })\nreturn { v = 1 }",
     BV_OUTCOME_TIMEOUT},
    {"close loops while a loop is stopped",
     "local x <close> = setmetatable({}, { __close = function()\n"
     "  while true do end end })\nwhile true do end",
     BV_OUTCOME_TIMEOUT},
    {"close catches",
     "local function f() local x <close> = setmetatable({},\n"
     "  { __close = function() pcall(f) end })\n"
     "  while true do end end\npcall(f) return { v = 1 }",
     BV_OUTCOME_TIMEOUT},
    {"gc", "setmetatable({}, { __gc = function() while true do end end })",
     BV_OUTCOME_ERROR},
    {"gc set later",
     "for i = 1, 1000 do local m = {} setmetatable({}, m)\n"
     "  m.__gc = function() while true do end end end\n"
     "return { v = #string.rep('x', 1e6) }",
     BV_OUTCOME_EVALUATED},
    {"tostring of the error loops",
     "error(setmetatable({}, { __tostring = function() while true do end\n"
     "  end }))",
     BV_OUTCOME_TIMEOUT},
    {"tostring of the error raises",
     "error(setmetatable({}, { __tostring = function() error('x') end }))",
     BV_OUTCOME_ERROR},
    {"tostring of the error grows",
     "error(setmetatable({}, { __tostring = function() local s = 'x'\n"
     "  while true do s = s .. s end end }))",
     BV_OUTCOME_MEMORY},
    {"tostring gives no text",
     "error(setmetatable({}, { __tostring = function() return {} end }))",
     BV_OUTCOME_ERROR},
    {"name is no text", "error(setmetatable({}, { __name = {} }))",
     BV_OUTCOME_ERROR},
    {"nil error", "error(nil)", BV_OUTCOME_ERROR},
    {"huge message", "error(string.rep('x', 1e6))", BV_OUTCOME_ERROR},
    {"rep", "return { v = #string.rep('x', 1e9) }", BV_OUTCOME_TIMEOUT},
    {"rep of nothing", "return { v = #string.rep('', math.maxinteger) }",
     BV_OUTCOME_TIMEOUT},
    {"rep overflows", "return { v = #('xx'):rep(math.maxinteger) }",
     BV_OUTCOME_TIMEOUT},
    {"rep again and again", "while true do pcall(string.rep, 'x', 1e6) end",
     BV_OUTCOME_TIMEOUT},
    {"concat grows", "local s = 'x' while true do s = s .. s end",
     BV_OUTCOME_MEMORY},
    {"concat is caught",
     "while true do pcall(function() local s = 'x'\n"
     "  while true do s = s .. s end end) end",
     BV_OUTCOME_MEMORY},
    {"concat below the cap",
     "while true do local s = 'x' for i = 1, 22 do s = s .. s end end",
     BV_OUTCOME_TIMEOUT},
    {"table grows", "local t = {} while true do t[#t + 1] = {} end",
     BV_OUTCOME_TIMEOUT},
    {"gsub grows", "local s = 'xxxx' while true do s = s:gsub('x', 'xxxx') end",
     BV_OUTCOME_TIMEOUT},
    {"format grows",
     "local s = 'x' while true do s = string.format('%s%s', s, s) end",
     BV_OUTCOME_MEMORY},
    {"sort with a lying comparator",
     "local t = {} for i = 1, 1000 do t[i] = i end\n"
     "table.sort(t, function() return true end)",
     BV_OUTCOME_ERROR},
    {"sort with a loop",
     "table.sort({ 1, 2 }, function() while true do end end)",
     BV_OUTCOME_TIMEOUT},
    {"sort of a lying length",
     "table.sort(setmetatable({}, { __len = function() return 1e9 end,\n"
     "  __index = function() return 1 end }))",
     BV_OUTCOME_TIMEOUT},
    {"move", "table.move({}, 1, math.maxinteger - 1, 2)", BV_OUTCOME_TIMEOUT},
    {"insert into a lying length",
     "table.insert(setmetatable({}, { __len = function() return 1e15 end }),\n"
     "  1, 1)",
     BV_OUTCOME_TIMEOUT},
    {"remove from a lying length",
     "table.remove(setmetatable({}, { __len = function() return 1e15 end }),\n"
     "  1)",
     BV_OUTCOME_TIMEOUT},
    {"concat of a lying length",
     "local t = setmetatable({}, { __len = function() return 1e15 end,\n"
     "  __index = function() return '' end }) table.concat(t)",
     BV_OUTCOME_TIMEOUT},
    {"unpack", "return { v = select('#', table.unpack({}, 1, 1e9)) }",
     BV_OUTCOME_ERROR},
    {"deep recursion", "local function f() return 1 + f() end f()",
     BV_OUTCOME_ERROR},
    {"deep recursion that is caught without end",
     "local function f() return 1 + f() end while true do pcall(f) end",
     BV_OUTCOME_TIMEOUT},
    {"deep recursion that takes memory",
     "local function f(s) return f(s .. s) .. s end f('x')", BV_OUTCOME_MEMORY},
    {"recursion below the cap",
     "local function f(n) return n == 0 and 0 or 1 + f(n - 1) end\n"
     "return { v = f(9000) }",
     BV_OUTCOME_EVALUATED},
    {"deep recursion through pcall",
     "local function f() pcall(f) end f() return { v = 1 }",
     BV_OUTCOME_EVALUATED},
    {"deep recursion through gsub",
     "local function f() return (('x'):gsub('x', f)) end f()",
     BV_OUTCOME_ERROR},
    {"deep recursion of index",
     "local t = {} for i = 1, 1e5 do t = setmetatable({},\n"
     "  { __index = t }) end return { v = t.x }",
     BV_OUTCOME_ERROR},
    {"index of itself",
     "local t = {} setmetatable(t, { __index = t }) return { v = t.x }",
     BV_OUTCOME_ERROR},
    {"results that loop",
     "return setmetatable({}, { __index = function() while true do end\n"
     "  end })",
     BV_OUTCOME_TIMEOUT},
    {"pairs that loop",
     "for k in pairs(setmetatable({}, { __pairs = function()\n"
     "  return function() return 1 end end })) do end",
     BV_OUTCOME_TIMEOUT},
    {"methods of texts", "getmetatable('').__index = nil", BV_OUTCOME_ERROR},
    {"globals go",
     "local g = _G for k in pairs(g) do g[k] = nil end return { v = 1 }",
     BV_OUTCOME_EVALUATED},
    {"a list whose entries a function makes",
     "catalogue.cores {\n"
     "  family = setmetatable({}, { __index = tostring }) }\n"
     "return { v = 1 }",
     BV_OUTCOME_EVALUATED},
    {"sort of a list that is none",
     "table.sort(setmetatable({}, { __index = rawlen,\n"
     "  __len = function() return 2000000000 end }))",
     BV_OUTCOME_TIMEOUT},
    {"concat of a list that is none",
     "table.concat(setmetatable({}, { __index = rawlen,\n"
     "  __len = function() return math.maxinteger end }))",
     BV_OUTCOME_TIMEOUT},
    {"corners without end",
     CORNERS("{ min = 21, nominal = 24, max = 29 }",
             "samples = 10000") "while true do corners() end",
     BV_OUTCOME_TIMEOUT},
    {"corners of no tolerance cost two visits",
     CORNERS(
         "24",
         "inductance = 0, sense_threshold = 0, capacitance = 0,\n"
         "delays = 0, temperature = 0, leakage = 0, clamp = 0,\n"
         "voltage_threshold = 0, samples = 0") "for i = 1, 100 do corners() "
                                               "end return { v = 1 }",
     BV_OUTCOME_EVALUATED},
    {"corners within 4e6 steps of 5000", /* 2 + 512 + 19 + 266 visits */
     CORNERS("{ min = 21, nominal = 24, max = 29 }",
             "samples = 266") "corners() return { v = 1 }",
     BV_OUTCOME_EVALUATED},
    {"corners beyond them, axes and middle taken along",
     CORNERS("{ min = 21, nominal = 24, max = 29 }",
             "samples = 268") "corners() return { v = 1 }",
     BV_OUTCOME_TIMEOUT},
    {"prints without end", "while true do print(('x'):rep(1000)) end",
     BV_OUTCOME_TIMEOUT},
};

enum { ROWS = sizeof rows / sizeof *rows };

static void make_script(char *script, size_t room, const char *body) {
  snprintf(script, room,
           "local space = require 'brimvolt.space'\n"
           "local catalogue = require 'brimvolt.catalogue'\n"
           "local charger = require 'brimvolt.charger'\n"
           "local function bad(x)\n%s\nend\n"
           "return { variables = { a = space.real(0, 1) },\n"
           "  evaluate = function(x) if x.a > 0.75 then return { v = 2 } end\n"
           "    return bad(x) end,\n"
           "  minimise = { 'v' } }\n",
           body);
}

static bv_outcome evaluate_at(bv_study *study, double a) {
  double objective;
  bv_evaluation evaluation = {.x = &a, .objectives = &objective};
  return bv_study_problem(study)->evaluate(study, &evaluation);
}

static double seconds(void) {
  return (double) clock() / CLOCKS_PER_SEC;
}

START_TEST(a_hostile_evaluation_ends_within_the_limits) {
  const row *bad = &rows[_i];
  char script[2000];
  make_script(script, sizeof script, bad->body);
  bv_study *study = script_open(script);
  ck_assert_int_eq(evaluate_at(study, 1), BV_OUTCOME_EVALUATED);
  double start = seconds();
  bv_outcome outcome = evaluate_at(study, 0);
  double took = seconds() - start;
  ck_assert_msg(outcome == bad->outcome, "%s: expected %s, found %s: %s",
                bad->name, bv_outcome_word(bad->outcome),
                bv_outcome_word(outcome), bv_study_last_error(study));
  ck_assert_msg(took < 5, "%s took %g s", bad->name, took);
  ck_assert_msg(outcome == BV_OUTCOME_EVALUATED || *bv_study_last_error(study),
                "%s", bad->name);
  ck_assert_uint_lt(bv_study_memory(study), (size_t) 64 << 20);
  if (strcmp(bad->name, "globals go") != 0)
    ck_assert_int_eq(evaluate_at(study, 1), BV_OUTCOME_EVALUATED);
  bv_study_close(study);
}
END_TEST

START_TEST(memory_returns_to_where_it_was) {
  char script[2000];
  make_script(script, sizeof script,
              "local s = 'x' while true do s = s .. s end");
  bv_study *study = script_open(script);
  ck_assert_int_eq(evaluate_at(study, 0), BV_OUTCOME_MEMORY);
  size_t after_one = bv_study_memory(study);
  for (int i = 0; i < 20; i++)
    ck_assert_int_eq(evaluate_at(study, 0), BV_OUTCOME_MEMORY);
  ck_assert_uint_lt(bv_study_memory(study), after_one + 100000);
  bv_study_close(study);
}
END_TEST

/* What a field allows must not be more than the usual limit of steps does. They
 * count before the walk, which is none here: the comparator is out of reach. */
START_TEST(the_largest_sample_fits_the_usual_limit) {
  bv_study_options options = script_options();
  const bv_field *samples = bv_field_find(bv_tolerances_fields, "samples");
  char script[2000], body[1000];
  bv_study *study;
  bv_error error = {0};
  options.point_steps_most = bv_study_defaults().point_steps_most;
  snprintf(body, sizeof body,
           CORNERS("{ min = 21, nominal = 24, max = 29 },\n"
                   "  supply_resistance = 100",
                   "samples = %.0f") "corners() return { v = 1 }",
           samples->hi);
  make_script(script, sizeof script, body);
  script_write("study.lua", script);
  ck_assert_int_eq(bv_study_open("study.lua", &options, &study, &error), BV_OK);
  bv_outcome outcome = evaluate_at(study, 0);
  ck_assert_msg(outcome == BV_OUTCOME_EVALUATED, "%s",
                bv_study_last_error(study));
  bv_study_close(study);
}
END_TEST

/* The same while the script is loaded. */
START_TEST(a_hostile_script_is_refused) {
  const row *bad = &rows[_i];
  bv_study_options options = script_options();
  bv_study *study;
  bv_error error = {0};
  script_write("study.lua", bad->body);
  ck_assert_int_eq(bv_study_open("study.lua", &options, &study, &error),
                   BV_BAD_DATA);
  ck_assert_msg(strncmp(error.text, "study.lua:", 10) == 0, "%s", error.text);
}
END_TEST

START_TEST(the_environment_changes_nothing) {
  char script[2000];
  script_write("planted.lua", "return 1");
  ck_assert_int_eq(system("mkdir -p elsewhere && mv planted.lua elsewhere/"),
                   0);
  setenv("LUA_INIT", "error 'LUA_INIT'", 1);
  setenv("LUA_PATH", "elsewhere/?.lua", 1);
  setenv("LUA_CPATH", "elsewhere/?.so", 1);
  make_script(script, sizeof script, "return { v = 1 }");
  bv_study *study = script_open(script);
  ck_assert_int_eq(evaluate_at(study, 0), BV_OUTCOME_EVALUATED);
  bv_study_close(study);
  bv_study_options options = script_options();
  bv_error error;
  script_write("study.lua", "require 'planted'");
  ck_assert_int_eq(bv_study_open("study.lua", &options, &study, &error),
                   BV_BAD_DATA);
  ck_assert_ptr_nonnull(strstr(error.text, "no file \"planted.lua\""));
}
END_TEST

int main(void) {
  script_enter();
  script_need(freopen("/dev/null", "w", stderr) != NULL, "/dev/null");
  Suite *suite = suite_create("hostile");
  TCase *tcase = tcase_create("all");
  tcase_set_timeout(tcase, 20);
  tcase_add_loop_test(tcase, a_hostile_evaluation_ends_within_the_limits, 0,
                      ROWS);
  tcase_add_loop_test(tcase, a_hostile_script_is_refused, 0, ROWS);
  tcase_add_test(tcase, memory_returns_to_where_it_was);
  tcase_add_test(tcase, the_largest_sample_fits_the_usual_limit);
  tcase_add_test(tcase, the_environment_changes_nothing);
  suite_add_tcase(suite, tcase);
  SRunner *runner = srunner_create(suite);
  srunner_run_all(runner, CK_NORMAL);
  int failed = srunner_ntests_failed(runner);
  srunner_free(runner);
  script_leave();
  return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
