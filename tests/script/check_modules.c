/* SPDX-License-Identifier: MIT */
/* The modules: every example runs, catalogues and designs are read, and wrong
 * arguments are told. check_formulas.c has the formulas. */
#include "script/module.h"

#include "script_value.h"

START_TEST(every_example_runs) {
  char statements[4000];
  size_t run = 0;
  script_write("prices.csv", "name,price_EUR\nETD34/17/11,1.5\n");
  for (size_t i = 0; i < bv_module_count; i++) {
    const bv_module *module = bv_modules[i];
    for (const bv_function *f = module->functions; f && f->name; f++, run++) {
      snprintf(statements, sizeof statements,
               "local made = %s assert(made ~= nil) return 1", f->example);
      ck_assert_double_eq(script_value(statements), 1);
      snprintf(statements, sizeof statements,
               "local ok, message = pcall(function() local made = %s end) "
               "assert(not ok and message:sub(-#[[%s]]) == [[%s]], message) "
               "return 1",
               f->wrong, f->error, f->error);
      ck_assert_double_eq(script_value(statements), 1);
    }
    for (size_t j = 0; j < module->formula_count; j++, run++) {
      snprintf(statements, sizeof statements,
               "assert(%s.%s { %s } ~= nil) return 1", module->name,
               module->formulas[j].name, module->formulas[j].example);
      ck_assert_double_eq(script_value(statements), 1);
    }
  }
  ck_assert_uint_gt(run, 50);
}
END_TEST

START_TEST(catalogues_are_filtered) {
  script_write("prices.csv", "name,price_EUR\nETD34/17/11,1.5\n");
  static const char *const rows[] = {
      "local n = 0 for _, c in ipairs(catalogue.cores { family = 'ETD' }) do\n"
      "  assert(c.family == 'ETD') n = n + 1 end return n > 3 and 1 or 0",
      "local all, some = catalogue.switches(),\n"
      "  catalogue.switches(function(s) return s.voltage_rating >= 150 end)\n"
      "return #some > 0 and #some < #all and 1 or 0",
      "local two = catalogue.cores { family = { 'ETD', 'RM' } }\n"
      "return #two > #catalogue.cores { family = 'ETD' } and 1 or 0",
      "local one = catalogue.cores { family = 'ETD',\n"
      "  keep = function(c) return c.effective_area > 1.7e-4 end }\n"
      "for _, c in ipairs(one) do assert(c.effective_area > 1.7e-4) end\n"
      "return #one > 0 and 1 or 0",
      "return #catalogue.wires { strands = 7777 } == 0 and 1 or 0",
      "local p = catalogue.rows('prices.csv')\n"
      "return #p == 1 and p[1].name == 'ETD34/17/11' and p[1].price_EUR == 1.5 "
      "and 1 or 0",
      "local c = catalogue.cores { family = 'ETD' }[1]\n"
      "return tostring(c) == c.name and 1 or 0",
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    ck_assert_msg(script_value(rows[i]) == 1, "%s", rows[i]);
}
END_TEST

START_TEST(a_catalogue_of_ones_own_is_read) {
  script_write("mine.csv",
               "name,effective_area_mm2,effective_length_mm,"
               "effective_volume_mm3\nlarge,100,80,8000\nsmall,50,60,3000\n");
  bv_study *study = script_open(
      "local space = require 'brimvolt.space'\n"
      "local catalogue = require 'brimvolt.catalogue'\n"
      "return { variables = { core = space.ordered(\n"
      "    catalogue.cores { file = 'mine.csv' }) },\n"
      "  evaluate = function(x) return { v = x.core.effective_area } end,\n"
      "  minimise = { 'v' } }\n");
  double objective, x = 1;
  bv_evaluation evaluation = {.x = &x, .objectives = &objective};
  ck_assert_str_eq(bv_study_choice(study, 0, 1), "small");
  ck_assert_int_eq(bv_study_problem(study)->evaluate(study, &evaluation),
                   BV_OUTCOME_EVALUATED);
  check_close(objective, 50e-6, 1e-12);
  char digest[65];
  snprintf(digest, sizeof digest, "%s", bv_study_digest(study));
  bv_study_close(study);
  script_write("mine.csv",
               "name,effective_area_mm2,effective_length_mm,"
               "effective_volume_mm3\nlarge,101,80,8000\nsmall,50,60,3000\n");
  bv_study_options options = script_options();
  ck_assert_int_eq(bv_study_open("study.lua", &options, &study, NULL), BV_OK);
  ck_assert_str_ne(bv_study_digest(study), digest);
  bv_study_close(study);
}
END_TEST

#define JOB                                                                    \
  "local job = charger.job { supply_voltage = { min = 21, nominal = 24, max "  \
  "= 29 }, target_voltage = 1500, storage_capacitance = 33 * u.uF }\n"
#define CHOICES                                                                \
  "turns_ratio = 20, peak_current = 8, max_frequency = 100e3, core = "         \
  "'ETD34/17/11'"

START_TEST(designs_are_read_by_name_and_may_be_added_to) {
  static const char *const rows[] = {
      JOB "local d = charger.design(job, { " CHOICES " })\n"
          "local ways = charger.ways(d)\n"
          "local two = ways.two_levels\n"
          "return two.reason == 'ok' and two.area_product < 1 and "
          "ways.boundary.peak_current == charger.circuit(d).peak_current "
          "and 1 or 0",
      JOB "return job.supply_voltage.max == 29 and job.target_voltage == 1500 "
          "and job.ambient_temperature == 25 and 1 or 0",
      JOB "local hot = charger.job(job, { ambient_temperature = 70 })\n"
          "return hot.ambient_temperature == 70 and hot.target_voltage == 1500 "
          "and job.ambient_temperature == 25 and 1 or 0",
      JOB "local d = charger.design(job, { " CHOICES " })\n"
          "d.cost, d.label = d.core_volume * 1e5, 'x'\n"
          "local seen = 0 for k in pairs(d) do seen = seen + 1 end\n"
          "return d.reason == 'ok' and d.charge_time > 0 and d.cost > 0 and "
          "d.label == 'x' and seen > 100 and 1 or 0",
      JOB "local d = charger.design(job, { " CHOICES " })\n"
          "local e = charger.envelope(d)\n"
          "local c = charger.circuit(d)\n"
          "assert(charger.envelope(c).charge_time == e.charge_time)\n"
          "c.supply_voltage = 21\n"
          "assert(charger.envelope(c).charge_time > 1.05 * e.charge_time)\n"
          "return e.charge_time == d.charge_time and 1 or 0",
      JOB "local x = { " CHOICES " }\n"
          "local c = charger.corners(job, x, { inductance = 0.2 })\n"
          "local d = charger.design(job, x)\n"
          "assert(c.nominal.charge_time == d.charge_time)\n"
          "assert(c.corners == 512 and c.samples == 32)\n"
          "assert(c.evaluations == 544)\n"
          "assert(c.exact.charge_time == true and c.exact.core == nil)\n"
          "return c.worst.charge_time > d.charge_time and c.least.charge_time "
          "< d.charge_time and c.worst.efficiency < d.efficiency and 1 or 0",
      JOB
      "local c = charger.corners(job, { " CHOICES " }, { inductance = 0.5, "
      "sense_threshold = 0.5, leakage = 0.9, temperature = 60 })\n"
      "local exact, turned = 0, 0\n"
      "for name, is in pairs(c.exact) do\n"
      "  assert(type(c.worst[name]) == 'number' and type(is) == 'boolean')\n"
      "  if is then exact = exact + 1 else turned = turned + 1 end\n"
      "end\n"
      "return exact > 150 and turned > 0 and not c.exact.loss_energy_primary "
      "and 1 or 0",
      JOB "local c = charger.verify(charger.design(job, { " CHOICES " }))\n"
          "return math.abs(c.charge_time_difference) < 0.01 and "
          "math.abs(c.loss_energy_difference) < 0.02 and "
          "math.abs(c.switch_voltage_difference) < 1e-6 and 1 or 0",
      "local circuit = { supply_voltage = 24, target_voltage = 300,\n"
      "  storage_capacitance = 1e-6, primary_inductance = 20e-6,\n"
      "  turns_ratio = 10, peak_current = 10 }\n"
      "local c, t = charger.cycles(circuit, { trace = { points = 4 } })\n"
      "local n, peak = #t.time, 0\n"
      "for i = 2, n do assert(t.time[i] - t.time[i - 1] > -1e-15)\n"
      "  peak = math.max(peak, t.primary_current[i]) end\n"
      "assert(math.abs(t.output_voltage[n] - 300) < 6)\n"
      "return peak <= 10 and peak > 7.4 and math.abs(c.charge_time /\n"
      "  charger.ideal(circuit).charge_time - 1) < 0.05 and 1 or 0",
      JOB "local x = { turns_ratio = 20, peak_current = 8, max_frequency = "
          "100e3, core = 'ETD34/17/11', price = 5 }\n"
          "local picked = charger.choices(x)\n"
          "return picked.price == nil and picked.core == x.core and x.price == "
          "5 and charger.design(job, picked).reason == 'ok' and 1 or 0",
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    ck_assert_msg(script_value(rows[i]) == 1, "%s", rows[i]);
}
END_TEST

START_TEST(a_relaxed_evaluation_is_told) {
  bv_study *study = script_open(
      REQUIRES JOB
      "return { variables = { turns_ratio = space.real(10, 30) },\n"
      "  evaluate = function(x) return charger.design(job, { turns_ratio =\n"
      "    x.turns_ratio, peak_current = 8, max_frequency = 100e3,\n"
      "    core = 'ETD34/17/11' }) end,\n"
      "  minimise = { 'section_turns' } }\n");
  double turns[2], x = 17.3;
  for (int relaxed = 0; relaxed < 2; relaxed++) {
    bv_evaluation evaluation = {
        .x = &x, .relaxed = relaxed, .objectives = &turns[relaxed]};
    ck_assert_int_eq(bv_study_problem(study)->evaluate(study, &evaluation),
                     BV_OUTCOME_EVALUATED);
    ck_assert_int_eq(evaluation.was_relaxed, relaxed);
  }
  ck_assert_double_eq(turns[0], floor(turns[0]));
  ck_assert_double_ne(turns[1], floor(turns[1]));
  bv_study_close(study);
}
END_TEST

START_TEST(wrong_arguments_are_told) {
  static const struct {
    const char *statements, *message;
  } rows[] = {
      {"charger.job(5)", "charger.job: expected a table of names, found 5"},
      {"charger.job { target_volts = 5 }",
       "charger.job: unknown name \"target_volts\"; did you mean "
       "\"target_voltage\"?"},
      {"charger.job { target_voltage = 600, rectifier = 'doubler' }",
       "charger.job: rectifier is a choice: give it to charger.design"},
      {"charger.job { core = 'ETD49' }",
       "charger.job: core is a choice: give it to charger.design"},
      {"charger.design(charger.job { supply_voltage = 24, target_voltage = "
       "600, "
       "storage_capacitance = 1e-4 }, { target_voltage = 600 })",
       "charger.design: target_voltage belongs to the job: give it to "
       "charger.job"},
      {"charger.design(charger.job { supply_voltage = 24, target_voltage = "
       "600, "
       "storage_capacitance = 1e-4 }, { supply_voltage = 24 })",
       "charger.design: supply_voltage belongs to the job: give it to "
       "charger.job"},
      {"charger.job { target_voltage = 'x' }",
       "charger.job: target_voltage: expected a number from 1 to 100000 V, "
       "found the text \"x\""},
      {"charger.job { target_voltage = -5 }",
       "charger.job: target_voltage: expected a number from 1 to 100000 V, "
       "found -5"},
      {"charger.job { target_voltage = 0/0 }",
       "charger.job: target_voltage: expected a number from 1 to 100000 V, "
       "found nan"},
      {"charger.job { target_voltage = 5 }",
       "charger.job: storage_capacitance is missing: expected a number from "
       "1e-12 to 10 F (capacitance of the storage capacitor)"},
      {"charger.job { target_voltage = 5, storage_capacitance = 1e-6 }",
       "charger.job: supply_voltage is missing: expected a number of V or { "
       "min, nominal, max }"},
      {"charger.job { supply_voltage = { min = 30, nominal = 24 } }",
       "charger.job: supply_voltage: expected min <= nominal <= max, found "
       "30.0, 24.0 and 24.0 V"},
      {"charger.job { supply_voltage = '24 V' }",
       "charger.job: supply_voltage: expected a number of V or { min, nominal, "
       "max }, found the text \"24 V\""},
      {"charger.job { supply_voltage = { typ = 24 } }",
       "charger.job: supply_voltage: unknown name \"typ\"; known are min, "
       "nominal, max"},
      {"charger.job { supply_voltage = { min = 24 } }",
       "charger.job: supply_voltage: nominal is missing: expected a number "
       "from "
       "0.1 to 100000 V (supply voltage)"},
      {"charger.job { insulation = 'double' }",
       "charger.job: insulation: expected one of \"functional\", \"basic\", "
       "\"reinforced\", found the text \"double\""},
      {"charger.job { pollution_degree = 1.5 }",
       "charger.job: pollution_degree: expected a whole number from 1 to 3, "
       "found 1.5"},
      {"charger.design({}, {})", "charger.design: expected a job "
                                 "(charger.job{…}) first, found a table"},
      {JOB "charger.design(job, { peak_current = 5, max_frequency = 1e5 })",
       "charger.design: turns_ratio is missing: expected a number from 0.01 to "
       "10000 (turns of all secondary sections over primary turns)"},
      {JOB "charger.design(job, { turns_ratio = 5, peak_current = 5, "
           "max_frequency = 1e5 })",
       "charger.design: core is missing: expected a row of catalogue.cores or "
       "its name"},
      {JOB "charger.design(job, { " CHOICES ", diode = 7 })",
       "charger.design: diode: expected a row of catalogue.diodes or its name, "
       "found 7"},
      {JOB "charger.design(job, { core = 'ETD0' })",
       "charger.design: core: expected a row of catalogue.cores or its name, "
       "found the text \"ETD0\""},
      {JOB "charger.design(job, { interleaved = 1 })",
       "charger.design: interleaved: expected true or false, found 1"},
      {JOB "charger.corners(job, { " CHOICES " }, { inductance = 2 })",
       "charger.corners: inductance: expected a number from 0 to 0.5, found 2"},
      {JOB "charger.design(job, { [1] = 1 })",
       "charger.design: expected names, found the key 1"},
      {JOB "return charger.design(job, { " CHOICES " }).charge_tim",
       "design has no field \"charge_tim\"; did you mean \"charge_time\"?"},
      {JOB "return charger.design(job, { " CHOICES " }).output_rms",
       "design has no field \"output_rms\"; \"brimvolt explain --list\" has "
       "every name\n"},
      {JOB "charger.design(job, { " CHOICES " }).charge_time = 5",
       "design.charge_time: the model computes it; give a result of your own "
       "another name"},
      {JOB "charger.design(job, { " CHOICES " }).mine = {}",
       "design.mine: expected a number, a text or a flag, found a table"},
      {JOB "job.target_voltage = 5",
       "job.target_voltage: expected no change, a job is fixed; "
       "charger.job(job, { … }) is a copy with changes"},
      {"catalogue.cores { familly = 'ETD' }",
       "catalogue.cores: unknown field \"familly\"; did you mean \"family\"?"},
      {"catalogue.cores { family = 5 }",
       "catalogue.cores: family: expected a text or a list of them, found 5"},
      {"catalogue.cores(5)", "catalogue.cores: expected a table or a function "
                             "to filter by, found 5"},
      {"catalogue.cores { file = '../x.csv' }",
       "catalogue.cores: file: expected a file beside the script, found "
       "\"../x.csv\""},
      {"catalogue.cores { family = 'Rm' }",
       "catalogue.cores: family: no row has \"Rm\"; did you mean \"RM\"?"},
      {"catalogue.cores { family = { 'ETD', 'ETDD' } }",
       "catalogue.cores: family: no row has \"ETDD\"; did you mean \"ETD\"?"},
      {"catalogue.coers()",
       "catalogue: no function \"coers\"; did you mean \"cores\"?"},
      {"catalogue.thyristors()",
       "catalogue: no function \"thyristors\"; known are cores, wires, "
       "materials, switches, diodes, capacitors, rows"},
      {"catalogue.cores { file = 'none.csv' }",
       "catalogue.cores: file: no file \"none.csv\" beside the script"},
      {"catalogue.cores { keep = 5 }",
       "catalogue.cores: keep: expected a function, found 5"},
      {"magnetics.skin_depth { frequenzy = 5 }",
       "magnetics.skin_depth: unknown name \"frequenzy\"; did you mean "
       "\"frequency\"?"},
      {"magnetics.skin_depth {}",
       "magnetics.skin_depth: frequency is missing: expected a number from "
       "0.001 to 10000000000 Hz (frequency)"},
      {"magnetics.skin_depth(5)",
       "magnetics.skin_depth: expected a table of names, found 5"},
      {"charger.ideal { turns_ratio = 5 }",
       "charger.ideal: supply_voltage is missing: expected a number"},
      {"return u.feet", "units: no unit \"feet\""},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_study_options options = script_options();
    bv_study *study;
    bv_error error = {0};
    char script[4000], expected[1000];
    snprintf(script, sizeof script, REQUIRES "%s", rows[i].statements);
    script_write("study.lua", script);
    int line = 4 + (strstr(rows[i].statements, "\n") != NULL);
    snprintf(expected, sizeof expected, "study.lua:%d: %s", line,
             rows[i].message);
    ck_assert_int_eq(bv_study_open("study.lua", &options, &study, &error),
                     BV_BAD_DATA);
    ck_assert_msg(strncmp(error.text, expected, strlen(expected)) == 0,
                  "row %zu:\nexpected %s\nfound    %s", i, expected,
                  error.text);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {every_example_runs,
                                catalogues_are_filtered,
                                a_catalogue_of_ones_own_is_read,
                                designs_are_read_by_name_and_may_be_added_to,
                                a_relaxed_evaluation_is_told,
                                wrong_arguments_are_told,
                                NULL};
  script_enter();
  int code = check_main("modules", tests);
  script_leave();
  return code;
}
