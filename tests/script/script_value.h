/* SPDX-License-Identifier: MIT */
/* What Lua statements give that use the modules. */
#ifndef BV_TESTS_SCRIPT_VALUE_H
#define BV_TESTS_SCRIPT_VALUE_H

#include "script_test.h"

#define REQUIRES                                                               \
  "local charger, magnetics = require 'brimvolt.charger', "                    \
  "require 'brimvolt.magnetics'\n"                                             \
  "local insulation, catalogue = require 'brimvolt.insulation', "              \
  "require 'brimvolt.catalogue'\n"                                             \
  "local space, u = require 'brimvolt.space', require 'brimvolt.units' "       \
  "local units, cases = u, require 'brimvolt.cases'\n"

/* A study whose one result v is what the statements return. */
static inline double script_value(const char *statements) {
  char script[8000];
  double value = 0;
  snprintf(script, sizeof script,
           REQUIRES "local function run() %s end\nlocal value = run()\n"
                    "return { variables = { a = space.real(0, 1) },\n"
                    "  evaluate = function() return { v = value } end,\n"
                    "  minimise = { 'v' } }\n",
           statements);
  bv_study *study = script_open(script);
  bv_outcome outcome = script_evaluate(study, &value, NULL);
  ck_assert_msg(outcome == BV_OUTCOME_EVALUATED, "%s:\n%s", statements,
                bv_study_last_error(study));
  bv_study_close(study);
  return value;
}

#endif
