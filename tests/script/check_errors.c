/* SPDX-License-Identifier: MIT */
/* Studies that can't be opened: the words and the line of each message.
 * check_wrong_results.c has those that can't be evaluated. */
#include "script_test.h"

#include <limits.h>
#include <sys/stat.h>

/* A study that is right but for what a row changes. */
#define HEAD                                                                   \
  "local space = require 'brimvolt.space'\n"                                   \
  "local variables = { a = space.real(0, 1) }\n"                               \
  "local function evaluate(x) return { v = x.a } end\n"

typedef struct row {
  const char *script, *message; /* message: how it begins */
} row;

static void check_rows(const row *rows, size_t count, bv_status status) {
  for (size_t i = 0; i < count; i++) {
    bv_study_options options = script_options();
    bv_study *study;
    bv_error error = {0};
    script_write("study.lua", rows[i].script);
    ck_assert_int_eq(bv_study_open("study.lua", &options, &study, &error),
                     status);
    ck_assert_ptr_null(study);
    ck_assert_msg(
        strncmp(error.text, rows[i].message, strlen(rows[i].message)) == 0,
        "row %zu:\nexpected %s\nfound    %s", i, rows[i].message, error.text);
  }
}

#define CHECK_ROWS(rows)                                                       \
  check_rows(rows, sizeof rows / sizeof *rows, BV_BAD_DATA)

START_TEST(broken_scripts) {
  static const row rows[] = {
      {"return {", "study.lua:1: unexpected symbol near <eof>"},
      {"x = = 1", "study.lua:1: unexpected symbol near '='"},
      {"\n\nerror 'no luck'",
       "study.lua:3: no luck\n  study.lua:3 in the script"},
      {"local t\nreturn t.x",
       "study.lua:2: attempt to index a nil value (local 't')"},
      {"error({})", "study.lua: error object: a table value"},
      {"error(setmetatable({}, { __tostring = function() return 'mine' end }))",
       "study.lua: mine"},
      {"\033Lua", "study.lua: expected a Lua script, found a compiled chunk"},
      {"", "study.lua: expected the script to return a table, found nothing"},
      {"return 5", "study.lua: expected the script to return a table, found 5"},
      {"while true do end", "study.lua:1: stopped: too many steps"},
      {"local s = 'x' while true do s = s .. s end",
       "study.lua:1: stopped: out of memory (at most 64 MiB)"},
      {"local function f()\n  return 1 + f()\nend\nf()",
       "study.lua:2: expected at most 10000 calls within each other, found "
       "more (a recursion without end?)\n"
       "  study.lua:2 in f\n"
       "  …\n"
       "  study.lua:4 in the script"},
      {"error('\033[2J\ttab')", "study.lua:1: ?[2J\ttab"},
      {"\xEF\xBB\xBF#!/usr/bin/brimvolt\nerror 'x'", "study.lua:2: x"},
  };
  CHECK_ROWS(rows);
}
END_TEST

START_TEST(what_is_left_out_of_the_library) {
  static const row rows[] = {
      {"os.exit()",
       "study.lua:1: attempt to index a nil value (global 'os'); studies do "
       "without os: catalogue.rows reads a CSV file beside the script\n"},
      {"osx.exit()",
       "study.lua:1: attempt to index a nil value (global 'osx')\n"},
      {"io.open('x')",
       "study.lua:1: attempt to index a nil value (global 'io')"},
      {"load('x')", "study.lua:1: attempt to call a nil value (global 'load')"},
      {"dofile('x')",
       "study.lua:1: attempt to call a nil value (global 'dofile"},
      {"loadfile('x')",
       "study.lua:1: attempt to call a nil value (global 'loadf"},
      {"package.path = ''",
       "study.lua:1: attempt to index a nil value (global 'p"},
      {"debug.getinfo(1)",
       "study.lua:1: attempt to index a nil value (global 'd"},
      {"coroutine.wrap(print)",
       "study.lua:1: attempt to index a nil value (glo"},
      {"collectgarbage()",
       "study.lua:1: attempt to call a nil value (global 'co"},
      {"string.dump(print)",
       "study.lua:1: attempt to call a nil value (field 'd"},
      {"(''):dump()",
       "study.lua:1: attempt to call a nil value (method 'dump')"},
      {"math.randomseed(1)",
       "study.lua:1: math.randomseed: the numbers of a st"},
      {"getmetatable('').x = 1",
       "study.lua:1: attempt to index a boolean value"},
      {"setmetatable({}, { __gc = print })",
       "study.lua:1: setmetatable: __gc is not available to studies"},
  };
  CHECK_ROWS(rows);
}
END_TEST

START_TEST(wrong_tables) {
  static const row rows[] = {
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimize = { 'v' } }",
       "study.lua:5: minimize: unknown name; did you mean \"minimise\"?"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  goal = { 'v' } }",
       "study.lua:5: goal: unknown name; known are title, variables,"},
      {"return { 1 }",
       "study.lua: expected names in the study's table, found the key 1"},
      {"return { title = 5 }",
       "study.lua:1: title: expected a string, found 5"},
      {"return {}", "study.lua: variables is missing: expected a table of "
                    "space.real(lo, hi) and its like"},
      {HEAD "return { variables = variables }",
       "study.lua: evaluate is missing: expected a function of the variables"},
      {HEAD "return { variables = variables, evaluate = 3 }",
       "study.lua:4: evaluate: expected a function, found 3"},
      {HEAD "return { variables = variables, evaluate = evaluate }",
       "study.lua: expected an objective: minimise or maximise must name"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = {} }",
       "study.lua: expected an objective: minimise or maximise must name"},
      {HEAD "return { variables = {}, evaluate = evaluate }",
       "study.lua:4: variables: expected at least one, found none"},
      {"return { variables = { a = 5 } }",
       "study.lua:1: variables.a: expected space.real(lo, hi), log, whole, "
       "step, "
       "choice or ordered, found 5"},
      {"return { variables = { 5 } }",
       "study.lua:1: variables: expected names, found the key 1"},
      {"return { variables = { ['a b'] = 5 } }",
       "study.lua:1: variables: expected names of letters, digits and _ (at "
       "most "
       "60), found the text \"a b\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = 'v' }",
       "study.lua:5: minimise: expected a list of names of results, found the "
       "text \"v\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v', 7 } }",
       "study.lua:5: minimise[2]: expected the name of a result, found 7"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, maximise = { 'v' } }",
       "study.lua:5: maximise: \"v\" is named twice"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, cases = { { name = 'a/b' } } }",
       "study.lua:5: cases[1].name: expected 1 to 100 letters without \"/\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, start = { { b = 1 } } }",
       "study.lua:5: start[1]: no variable \"b\""},
      {"local space = require 'brimvolt.space'\n"
       "return { variables = { turns = space.real(0, 1) }, start = { { turn = "
       "1 } }, evaluate = print }",
       "study.lua:2: start[1]: no variable \"turn\"; did you mean \"turns\"?"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, start = { a = 1 } }",
       "study.lua:5: start: expected a list, found the key \"a\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v', first = 'w' } }",
       "study.lua:5: minimise: expected a list, found the key \"first\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  maximise = { [2] = 'v' } }",
       "study.lua:5: maximise: expected a list, found the key 2"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, order = { a = 1 } }",
       "study.lua:5: order: expected a list, found the key \"a\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, cases = { cold = { name = 'cold' } } }",
       "study.lua:5: cases: expected a list, found the key \"cold\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, start = { { a = 3 } } }",
       "study.lua:5: start[1].a: expected a number from 0.0 to 1.0, found 3"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, order = { 'a', 'vv' } }",
       "study.lua:5: order: \"vv\" is no variable, objective, limit or one of "
       "results; did you mean \"v\"?"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, order = { 'a', 'a' } }",
       "study.lua:5: order[2]: \"a\" was named before"},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, results = { ['v,w'] = {} } }",
       "study.lua:5: results: expected names of letters, digits and _ (at most "
       "60), found the text \"v,w\""},
      {HEAD "return { variables = variables, evaluate = evaluate,\n"
            "  minimise = { 'v' }, results = { v = { units = 'V' } } }",
       "study.lua:5: results.v: unknown name \"units\"; known are unit, "
       "meaning"},
  };
  CHECK_ROWS(rows);
}
END_TEST

START_TEST(wrong_limits) {
#define LIMIT(text)                                                            \
  HEAD "return { variables = variables, evaluate = evaluate,\n"                \
       "  minimise = { 'v' }, limits = " text " }"
  static const row rows[] = {
      {LIMIT("5"),
       "study.lua:5: limits: expected a table of { min = , max = } "},
      {LIMIT("{ v = 5 }"),
       "study.lua:5: limits.v: expected { min = , max = }, found 5"},
      {LIMIT("{ v = { maximum = 5 } }"),
       "study.lua:5: limits.v: unknown name \"maximum\"; known are min, max, "
       "scale"},
      {LIMIT("{ v = { 1 } }"),
       "study.lua:5: limits.v: expected min, max or scale, found the key 1"},
      {LIMIT("{ v = { max = '5' } }"),
       "study.lua:5: limits.v.max: expected a number or a function of the "
       "results, found the text \"5\""},
      {LIMIT("{ v = { max = 0/0 } }"),
       "study.lua:5: limits.v.max: expected a number or a function of the "
       "results, found nan"},
      {LIMIT("{ v = { min = 3, max = 2 } }"),
       "study.lua:5: limits.v: expected min <= max, found 3.0 and 2.0"},
      {LIMIT("{ v = {} }"),
       "study.lua:5: limits.v: expected a finite min or max, found neither"},
      {LIMIT("{ v = { max = 1, scale = 0 } }"),
       "study.lua:5: limits.v.scale: expected a number above 0, found 0"},
  };
  CHECK_ROWS(rows);
}
END_TEST

/* What no CSV file or sidecar could hold is told before anything is searched.
 */
START_TEST(texts_that_no_front_can_hold) {
#define STUDY(more)                                                            \
  HEAD "return { variables = variables, evaluate = evaluate, minimise = { "    \
       "'v' }, " more " }"
  static const row rows[] = {
      {STUDY("title = 'caf\\xe9 1'"),
       "study.lua:4: title: expected UTF-8 without control characters, found "
       "0xe9 at byte 4"},
      {STUDY("title = 'two\\nlines'"),
       "study.lua:4: title: expected UTF-8 without control characters, found "
       "0x0a at byte 4"},
      {STUDY("results = { v = { unit = '\\xb5H' } }"),
       "study.lua:4: results.v.unit: expected UTF-8 without control "
       "characters, "
       "found 0xb5 at byte 1"},
      {STUDY("results = { v = { meaning = 'a\\0' } }"),
       "study.lua:4: results.v.meaning: expected UTF-8 without control "
       "characters, found 0x00 at byte 2"},
      {STUDY("cases = { { name = 'n\\xffo' } }"),
       "study.lua:4: cases[1].name: expected UTF-8 without control characters, "
       "found 0xff at byte 2"},
      {"local space = require 'brimvolt.space'\n"
       "return { variables = { a = space.choice { 'b', 'c\\27' } } }",
       "study.lua:2: variables.a: choice 2: expected UTF-8 without control "
       "characters, found 0x1b at byte 2"},
      {STUDY("results = { row = { unit = 'm' } }"),
       "study.lua:4: results: expected another name than \"row\", which "
       "numbers "
       "the rows of a front"},
      {"local space = require 'brimvolt.space'\n"
       "return { variables = { row = space.real(0, 1) } }",
       "study.lua:2: variables: expected another name than \"row\""},
  };
  CHECK_ROWS(rows);
}
END_TEST

START_TEST(wrong_variables) {
#define SPACE(text)                                                            \
  "local space = require 'brimvolt.space'\nreturn { variables = { a = "        \
  "space." text " } }"
  static const row rows[] = {
      {SPACE("real(2, 1)"),
       "study.lua:2: space.real: expected lo <= hi, found 2 and 1"},
      {SPACE("real(0/0, 1)"),
       "study.lua:2: space.real: lo: expected a finite number, found nan"},
      {SPACE("real(0, math.huge)"),
       "study.lua:2: space.real: hi: expected a finite number, found inf"},
      {SPACE("real(-1e308, 1e308)"),
       "study.lua:2: space.real: expected a range whose width is a number, "
       "found -1e+308 and 1e+308"},
      {SPACE("log(1e-200, 1e200)"),
       "study.lua:2: space.log: expected a range whose width is a number, "
       "found 1e-200 and 1e+200"},
      {SPACE("real('0', 1)"), "study.lua:2: space.real: lo: expected a finite "
                              "number, found the text \"0\""},
      {SPACE("real(0)"),
       "study.lua:2: space.real: hi: expected a finite number, found nothing"},
      {SPACE("log(0, 1)"),
       "study.lua:2: space.log: lo: expected a number above 0, found 0"},
      {SPACE("whole(0.5, 2)"),
       "study.lua:2: space.whole: lo: expected a finite "
       "whole number, found 0.5"},
      {SPACE("step(0, 1, 0)"),
       "study.lua:2: space.step: by: expected a number above 0, found 0"},
      {SPACE("step(0, 1, 1e-9)"),
       "study.lua:2: space.step: expected at most 1000000 values, found more"},
      {SPACE("step(0, 1, 1e-6)"),
       "study.lua:2: space.step: expected at most 1000000 values, found more"},
      {SPACE("whole(0, 1e6)"),
       "study.lua:2: space.whole: expected at most 1000000 values, found more"},
      {SPACE("choice { 1, 0/0 }"),
       "study.lua:2: space.choice: expected texts, numbers, true, false or "
       "parts, found nan"},
      {SPACE("choice {}"), "study.lua:2: space.choice: expected a list of 1 to "
                           "10000 choices, found an empty list"},
      {SPACE("choice 'x'"),
       "study.lua:2: space.choice: expected a list of 1 to "
       "10000 choices, found the text \"x\""},
      {SPACE("choice { 'x', 'x' }"),
       "study.lua:2: space.choice: expected different choices, found \"x\" "
       "twice"},
      {SPACE("choice { {} }"), "study.lua:2: space.choice: expected texts, "
                               "numbers, true, false or parts, found a table"},
  };
  CHECK_ROWS(rows);
}
END_TEST

START_TEST(wrong_requires) {
  static const row rows[] = {
      {"require 'brimvolt.chager'", "study.lua:1: require: no module "
                                    "\"brimvolt.chager\"; did you mean "
                                    "\"brimvolt.charger\"?"},
      {"require 'nothing'", "study.lua:1: require \"nothing\": no file "
                            "\"nothing.lua\" beside the script"},
      {"require '../x'", "study.lua:1: require: expected a module name like"},
      {"require '..x'", "study.lua:1: require: expected a module name like"},
      {"require '/etc/passwd'", "study.lua:1: require: expected a module name"},
      {"require 'a..b'", "study.lua:1: require: expected a module name like"},
      {"require ''", "study.lua:1: require: expected a module name like"},
      {"require 'outside'", "study.lua:1: require \"outside\": "
                            "\"outside.lua\" leads out of the script's folder"},
      {"require 'linked.units'", "study.lua:1: require \"linked.units\": "
                                 "\"linked/units.lua\" leads "
                                 "out of the script's folder"},
      {"require 'brimvolt.catalogue'.rows 'outside.csv'",
       "study.lua:1: catalogue.rows: \"outside.csv\" leads out of the script's "
       "folder"},
      {"require 'loop'",
       "study.lua: loop.lua:1: require \"loop\": the module requires "},
      {"require 'folder'", "study.lua:1: /tmp/brimvolt-script-"},
      {"require 'bytes'",
       "study.lua:1: bytes.lua: expected a Lua script, found a compiled"},
  };
  char library[PATH_MAX + 16];
  snprintf(library, sizeof library, "%s/brimvolt", script_library);
  ck_assert_int_eq(symlink("/etc/hostname", "outside.lua"), 0);
  ck_assert_int_eq(symlink("/etc/hostname", "outside.csv"), 0);
  ck_assert_int_eq(symlink(library, "linked"), 0);
  ck_assert_int_eq(mkdir("folder.lua", 0777), 0);
  script_write("bytes.lua", "\033Lua");
  script_write("loop.lua", "require 'loop'");
  CHECK_ROWS(rows);
}
END_TEST

START_TEST(scripts_that_are_no_file) {
  static const struct {
    const char *path, *message;
  } rows[] = {
      {"missing.lua", "missing.lua: No such file or directory"},
      {"folder", "folder: expected a file, found a folder"},
      {"pipe", "pipe: expected a file, found something else"},
      {"/dev/zero", "/dev/zero: expected a file, found something else"},
  };
  mkdir("folder", 0777);
  mkfifo("pipe", 0600);
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_study_options options = script_options();
    bv_study *study;
    bv_error error = {0};
    ck_assert_int_eq(bv_study_open(rows[i].path, &options, &study, &error),
                     BV_NO_INPUT);
    ck_assert_str_eq(error.text, rows[i].message);
  }
  ck_assert_int_eq(system("head -c 5000000 /dev/zero > huge.lua"), 0);
  bv_study_options options = script_options();
  bv_study *study;
  bv_error error;
  ck_assert_int_eq(bv_study_open("huge.lua", &options, &study, &error),
                   BV_BAD_DATA);
  ck_assert_str_eq(error.text,
                   "huge.lua: expected at most 4194304 bytes, found more");
}
END_TEST

int main(void) {
  const TTest *const tests[] = {broken_scripts,
                                what_is_left_out_of_the_library,
                                wrong_tables,
                                texts_that_no_front_can_hold,
                                wrong_limits,
                                wrong_variables,
                                wrong_requires,
                                scripts_that_are_no_file,
                                NULL};
  script_enter();
  int code = check_main("errors", tests);
  script_leave();
  return code;
}
