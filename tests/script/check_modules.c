/* SPDX-License-Identifier: MIT */
/* The modules: every example runs, every formula gives what its equation says,
 * and wrong arguments are told. */
#include "script_test.h"

#include "script/module.h"

#define REQUIRES                                                               \
  "local charger, magnetics = require 'brimvolt.charger', "                    \
  "require 'brimvolt.magnetics'\n"                                             \
  "local insulation, catalogue = require 'brimvolt.insulation', "              \
  "require 'brimvolt.catalogue'\n"                                             \
  "local space, u = require 'brimvolt.space', require 'brimvolt.units' "       \
  "local units, cases = u, require 'brimvolt.cases'\n"

/* A study whose one result v is what the statements return. */
static double value_of(const char *statements) {
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

START_TEST(every_example_runs) {
  char statements[4000];
  size_t run = 0;
  script_write("prices.csv", "name,price_EUR\nETD34/17/11,1.5\n");
  for (size_t i = 0; i < bv_module_count; i++) {
    const bv_module *module = bv_modules[i];
    for (const bv_function *f = module->functions; f && f->name; f++, run++) {
      snprintf(statements, sizeof statements,
               "local made = %s assert(made ~= nil) return 1", f->example);
      ck_assert_double_eq(value_of(statements), 1);
      snprintf(statements, sizeof statements,
               "local ok, message = pcall(function() local made = %s end) "
               "assert(not ok and message:sub(-#[[%s]]) == [[%s]], message) "
               "return 1",
               f->wrong, f->error, f->error);
      ck_assert_double_eq(value_of(statements), 1);
    }
    for (size_t j = 0; j < module->formula_count; j++, run++) {
      snprintf(statements, sizeof statements,
               "assert(%s.%s { %s } ~= nil) return 1", module->name,
               module->formulas[j].name, module->formulas[j].example);
      ck_assert_double_eq(value_of(statements), 1);
    }
  }
  ck_assert_uint_gt(run, 50);
}
END_TEST

/* Values worked out from the equations apart from the program. */
static const struct {
  const char *call;
  double value, tolerance;
} values[] = {
    {"charger.ladder { stages = 3, swing = 1000, frequency = 50e3, capacitance "
     "= 10e-9, output_current = 1e-3 }.output_voltage",
     2956, 1e-12},
    {"charger.ladder { stages = 3, swing = 1000, frequency = 50e3, capacitance "
     "= 10e-9, output_current = 1e-3 }.efficiency",
     2950.0 / 3000, 1e-12},
    {"charger.ways({ supply_voltage = 24, target_voltage = 1200, "
     "storage_capacitance = 10e-6, primary_inductance = 20e-6, turns_ratio = "
     "15, peak_current = 12 }, { lower_share = 0.2 }).two_levels.peak_current",
     10, 2e-3},
    {"charger.ways { supply_voltage = 24, target_voltage = 1200, "
     "storage_capacitance = 10e-6, primary_inductance = 20e-6, turns_ratio = "
     "15, peak_current = 12 }.constant_output_current.peak_current",
     19.5, 2e-3},
    {"magnetics.reluctance { length = 1e-3, area = 97e-6, permeability = 2 }",
     4101931.52075, 1e-09},
    {"magnetics.fringing_factor { gap = 0.5e-3, area = 97e-6, width = 21e-3 }",
     1.22494064226, 1e-09},
    {"magnetics.gap_length { inductance = 20e-6, turns = 12, area = 97e-6, "
     "length = 79e-3, permeability = 2000 }",
     0.000838135324185, 1e-09},
    {"magnetics.gapped_inductance { gap = 0.5e-3, turns = 12, area = 97e-6, "
     "length = 79e-3, permeability = 2000, width = 21e-3 }",
     3.92078876369e-05, 1e-09},
    {"magnetics.flux_density { inductance = 20e-6, current = 10, turns = 12, "
     "area = 97e-6 }",
     0.171821305842, 1e-09},
    {"magnetics.turns_for_flux { inductance = 20e-6, current = 10, "
     "flux_density = 0.2, area = 97e-6 }",
     10.3092783505, 1e-09},
    {"magnetics.gap_energy { flux_density = 0.2, area = 97e-6, length = 0.5e-3 "
     "}",
     0.000771901473575, 1e-09},
    {"magnetics.area_product { inductance = 20e-6, peak_current = 10, "
     "rms_current = 8, flux_density = 0.25, current_density = 5e6, fill = 0.3 "
     "}",
     4.26666666667e-09, 1e-09},
    {"magnetics.effective_parameters { shape = 'ring', a = 36e-3, b = 23e-3, c "
     "= 15e-3 }.area",
     9.58853387609e-05, 1e-06},
    {"magnetics.effective_parameters { shape = 'ring', a = 36e-3, b = 23e-3, c "
     "= 15e-3 }.length",
     0.0896476349606, 1e-06},
    {"magnetics.effective_parameters { shape = 'ring', a = 36e-3, b = 23e-3, c "
     "= 15e-3 }.volume",
     8.59589384731e-06, 1e-06},
    {"magnetics.saturation_flux_density { at_25 = 0.49, at_100 = 0.39, "
     "temperature = 85 }",
     0.41, 1e-09},
    {"magnetics.copper_resistance { length = 2, area = 0.5e-6, temperature = "
     "90 }",
     0.0879379310345, 1e-09},
    {"magnetics.skin_depth { frequency = 100e3, temperature = 80 }",
     0.0002323165931, 1e-09},
    {"magnetics.wire_diameter { gauge = 24 }", 0.000510559227063, 1e-09},
    {"magnetics.wire_overall_diameter { diameter = 0.5e-3, grade = 2 }",
     0.000566, 0.02},
    {"magnetics.dowell_factor { phi = 1, layers = 3 }", 1.93996469649, 1e-09},
    {"magnetics.rms_of_ramp { first = 2, last = 10, duty = 0.5 }",
     4.54606056566, 1e-09},
    {"magnetics.leakage_inductance { turns = 12, mean_turn = 60e-3, width = "
     "18e-3, copper = 4e-3, space = 0.4e-3, interfaces = 2 }",
     2.61380508921e-07, 1e-09},
    {"magnetics.plate_capacitance { mean_turn = 60e-3, width = 18e-3, distance "
     "= 0.3e-3 }",
     1.11562766441e-10, 1e-09},
    {"magnetics.winding_capacitance { between_layers = 110e-12, layers = 4, "
     "chambers = 2 }",
     6.875e-12, 1e-09},
    {"magnetics.winding_capacitance { between_layers = 110e-12, layers = 4, "
     "order = 'led_back' }",
     2.0625e-11, 1e-09},
    {"magnetics.core_loss_sine { steinmetz_k = 0.015, steinmetz_alpha = 1.85, "
     "steinmetz_beta = 2.37, frequency = 100e3, amplitude = 0.1 }",
     113786.636254, 1e-09},
    {"magnetics.core_loss_triangle { steinmetz_k = 0.015, steinmetz_alpha = "
     "1.85, steinmetz_beta = 2.37, frequency = 100e3, swing = 0.2, rise = 0.7 "
     "}",
     109926.057806, 1e-06},
    {"magnetics.temperature_rise { power = 2, surface = 5e-3 }", 31.5147645352,
     1e-09},
    {"magnetics.cooling_surface { area_product = 1.2e-8 }", 0.00438178046004,
     1e-09},
    {"magnetics.adiabatic_rise { energy = 10, mass = 0.02 }", 1.2987012987,
     1e-09},
    {"magnetics.clamp_energy { leakage = 0.3e-6, current = 10, clamp = 80, "
     "reflected = 50 }",
     4e-05, 1e-09},
    {"magnetics.clamp_energy { leakage = 0.3e-6, current = 10, clamp = 80, "
     "reflected = 50, capacitance = 1e-8, supply = 24 }",
     1.183060221496e-05, 1e-09},
    {"insulation.altitude_factor { altitude = 3000 }", 1.14, 1e-09},
    {"insulation.test_voltage { working = 900, reinforced = true }", 5600,
     1e-09},
    {"insulation.breakdown_voltage { gap = 5e-3 }", 16409.2092296, 1e-09},
    {"insulation.stored_energy { capacitance = 33e-6, voltage = 1500 }", 37.125,
     1e-09},
    {"insulation.bleeder_resistance { capacitance = 33e-6, voltage = 1500, "
     "time = 60 }",
     564849.940509, 1e-09},
    {"insulation.bleeder_time { capacitance = 33e-6, resistance = 1e6, voltage "
     "= 1500, safe = 50 }",
     112.239513595, 1e-09},
    {"insulation.bleeder_voltage { capacitance = 33e-6, resistance = 1e6, "
     "voltage = 1500, time = 10 }",
     1107.86507238, 1e-09},
    {"insulation.touch_capacitance { voltage = 1500 }", 3e-08, 1e-09},
    {"insulation.touch_allowed { capacitance = 1e-9, voltage = 1500 } and 1 or "
     "2",
     1, 1e-09},
    {"insulation.energy_class { energy = 37, voltage = 1500 } == 'hazardous' "
     "and 1 or 2",
     1, 1e-09},
    {"insulation.clearance { impulse = 2500 }.length", 0.0015, 1e-09},
    {"insulation.clearance { impulse = 2500, altitude = 3000 }.length", 0.00171,
     1e-09},
    {"insulation.creepage { rms = 1000 }.length", 0.01, 1e-09},
    {"insulation.creepage { rms = 1000, material_group = 1 }.length", 0.005,
     1e-09},
    {"#insulation.clearance_high_frequency { peak = 1500 }.source > 0 and 1 or "
     "2",
     1, 1e-09},
    {"#insulation.clearance_secondary { peak = 400 }.source > 0 and 1 or 2", 1,
     1e-09},
};

START_TEST(formulas_give_what_their_equations_say) {
  char statements[1000];
  for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
    snprintf(statements, sizeof statements, "return %s", values[i].call);
    double value = value_of(statements);
    ck_assert_msg(fabs(value / values[i].value - 1) <= values[i].tolerance,
                  "%s: expected %.10g, found %.10g", values[i].call,
                  values[i].value, value);
  }
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
      "return #catalogue.cores { family = 'none' } == 0 and 1 or 0",
      "local p = catalogue.rows('prices.csv')\n"
      "return #p == 1 and p[1].name == 'ETD34/17/11' and p[1].price_EUR == 1.5 "
      "and 1 or 0",
      "local c = catalogue.cores { family = 'ETD' }[1]\n"
      "return tostring(c) == c.name and 1 or 0",
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    ck_assert_msg(value_of(rows[i]) == 1, "%s", rows[i]);
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
    ck_assert_msg(value_of(rows[i]) == 1, "%s", rows[i]);
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
      {JOB "charger.design(job, { " CHOICES " }).charge_time = 5",
       "design.charge_time: the model computes it; give a result of your own "
       "another name"},
      {JOB "charger.design(job, { " CHOICES " }).mine = {}",
       "design.mine: expected a number or a text, found a table"},
      {JOB "job.target_voltage = 5",
       "job.target_voltage: expected no change, a job is fixed"},
      {"catalogue.cores { familly = 'ETD' }",
       "catalogue.cores: unknown field \"familly\"; did you mean \"family\"?"},
      {"catalogue.cores { family = 5 }",
       "catalogue.cores: family: expected a text or a list of them, found 5"},
      {"catalogue.cores(5)", "catalogue.cores: expected a table or a function "
                             "to filter by, found 5"},
      {"catalogue.cores { file = '../x.csv' }",
       "catalogue.cores: file: expected a file beside the script, found "
       "\"../x.csv\""},
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
                                formulas_give_what_their_equations_say,
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
