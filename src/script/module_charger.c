/* SPDX-License-Identifier: MIT */
/* brimvolt.charger: jobs, the charge of a circuit, designs. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "model/design.h"
#include "script/charger_circuit.h"
#include "script/fields.h"
#include "script/host.h"
#include "script/module.h"
#include "script/shelf.h"
#include "script/types.h"

#define NEEDED ((double) NAN)
#define SUPPLY(member, fallback, meaning)                                      \
  {                                                                            \
#member, "V", meaning, BV_NUMBER, offsetof(bv_supply, member), 0.1, 1e5,   \
        fallback, NULL                                                         \
  }

static const bv_field supply_list[] = {
    SUPPLY(min, 0, "lowest supply voltage; left out: the nominal"),
    SUPPLY(nominal, NEEDED, "supply voltage"),
    SUPPLY(max, 0, "highest supply voltage; left out: the nominal"),
};
static const bv_fields supply_fields = {supply_list, 3};

/* Reads {min, nominal, max} at index, or one number for all three. */
static void read_supply(lua_State *L, int index, bv_supply *supply) {
  static const char what[] = "charger.job: supply_voltage";
  bv_field_defaults(supply_fields, supply);
  if (lua_type(L, index) == LUA_TNUMBER) {
    bv_fields_set(L, index, &supply_list[1], supply, what);
  } else if (!lua_istable(L, index)) {
    luaL_error(L,
               "%s: expected a number of V or { min, nominal, max }, found %s",
               what, bv_fields_push_found(L, index));
  } else {
    bv_fields_push_positions(L, &supply_fields);
    bv_fields_read(L, index, lua_gettop(L), &supply_fields, supply, NULL, what);
    lua_pop(L, 1);
    bv_fields_require(L, supply_fields, supply, what);
  }
  if (supply->min == 0)
    supply->min = supply->nominal;
  if (supply->max == 0)
    supply->max = supply->nominal;
  if (supply->min > supply->nominal || supply->nominal > supply->max)
    luaL_error(L, "%s: expected min <= nominal <= max, found %f, %f and %f V",
               what, supply->min, supply->nominal, supply->max);
}

/* The parts among the choices of a design. */
static const struct {
  const char *name, *catalogue;
  const bv_object_type *type;
  size_t offset;
} part_choices[] = {
    {"core", "cores", &bv_core_type, offsetof(bv_choice, core)},
    {"material", "materials", &bv_material_type, offsetof(bv_choice, material)},
    {"primary_wire", "wires", &bv_wire_type, offsetof(bv_choice, primary_wire)},
    {"secondary_wire", "wires", &bv_wire_type,
     offsetof(bv_choice, secondary_wire)},
    {"power_switch", "switches", &bv_switch_type,
     offsetof(bv_choice, power_switch)},
    {"diode", "diodes", &bv_diode_type, offsetof(bv_choice, diode)},
};

enum { PART_CHOICES = sizeof part_choices / sizeof *part_choices };

static size_t find_part(const char *name) {
  size_t i = 0;
  while (i < PART_CHOICES && strcmp(part_choices[i].name, name) != 0)
    i++;
  return i;
}

static bool read_job_key(lua_State *L, const char *name, void *base) {
  if (bv_field_find(bv_choice_fields, name) || find_part(name) < PART_CHOICES)
    luaL_error(L, "charger.job: %s is a choice: give it to charger.design",
               name);
  if (strcmp(name, "supply_voltage") != 0)
    return false;
  read_supply(L, lua_gettop(L), &((bv_job *) base)->supply_voltage);
  return true;
}

static int charger_job(lua_State *L) {
  const bv_job *given = bv_object_test(L, 1, &bv_job_type);
  int table = given ? 2 : 1;
  lua_settop(L, table);
  bv_job *job = bv_object_push(L, &bv_job_type);
  if (given)
    *job = *given;
  else {
    bv_field_defaults(bv_job_fields, job);
    job->supply_voltage.nominal = NEEDED;
  }
  bv_fields_push_positions(L, &bv_job_fields);
  bv_fields_read(L, table, table + 2, &bv_job_fields, job, read_job_key,
                 "charger.job");
  bv_fields_require(L, bv_job_fields, job, "charger.job");
  if (isnan(job->supply_voltage.nominal))
    luaL_error(L, "charger.job: supply_voltage is missing: expected a number "
                  "of V or { min, nominal, max }");
  lua_settop(L, table + 1);
  return 1;
}

/* Raises for what is at the top of the stack in the place of a part. */
static void refuse_part(lua_State *L, const char *name, const char *catalogue) {
  int found = lua_gettop(L);
  const char *nearest =
      lua_type(L, found) == LUA_TSTRING
          ? bv_shelf_nearest(L, catalogue, lua_tostring(L, found))
          : NULL;
  luaL_error(L,
             "charger.design: %s: expected a row of catalogue.%s or its name, "
             "found %s%s%s%s",
             name, catalogue, bv_fields_push_found(L, found),
             nearest ? "; did you mean \"" : "", nearest ? nearest : "",
             nearest ? "\"?" : "");
}

/* Reads the part at the top of the stack: a catalogue row, or the name of one
 * in the program's catalogue. */
static bool read_part(lua_State *L, const char *name, void *base) {
  size_t i = find_part(name);
  if (bv_field_find(bv_job_fields, name) || strcmp(name, "supply_voltage") == 0)
    luaL_error(L,
               "charger.design: %s belongs to the job: give it to charger.job",
               name);
  if (i == PART_CHOICES)
    return false;
  const void *part = bv_object_test(L, -1, part_choices[i].type);
  if (!part && lua_type(L, -1) == LUA_TSTRING)
    part = bv_shelf_find(L, part_choices[i].catalogue, lua_tostring(L, -1));
  if (!part)
    refuse_part(L, name, part_choices[i].catalogue);
  memcpy((char *) base + part_choices[i].offset, &part, sizeof part);
  return true;
}

static const bv_job *check_job(lua_State *L, const char *what) {
  const bv_job *job = bv_object_test(L, 1, &bv_job_type);
  if (!job)
    luaL_error(L, "%s: expected a job (charger.job{…}) first, found %s", what,
               bv_fields_push_found(L, 1));
  return job;
}

static void read_choice(lua_State *L, int index, bv_choice *choice) {
  static const char what[] = "charger.design";
  memset(choice, 0, sizeof *choice);
  bv_field_defaults(bv_choice_fields, choice);
  bv_fields_push_positions(L, &bv_choice_fields);
  bv_fields_read(L, index, lua_gettop(L), &bv_choice_fields, choice, read_part,
                 what);
  lua_pop(L, 1);
  bv_fields_require(L, bv_choice_fields, choice, what);
  if (!choice->core)
    luaL_error(L,
               "%s: core is missing: expected a row of catalogue.cores or "
               "its name",
               what);
}

/* Relaxed where the evaluation under way allows it. */
static bv_precision precision(lua_State *L) {
  bv_evaluation *evaluation = bv_host_of(L)->evaluation;
  if (!evaluation || !evaluation->relaxed)
    return BV_BUILDABLE;
  evaluation->was_relaxed = true;
  return BV_RELAXED;
}

static int charger_design(lua_State *L) {
  const bv_job *job = check_job(L, "charger.design");
  bv_choice choice;
  read_choice(L, 2, &choice);
  bv_host_charge(L, BV_DESIGN_STEPS);
  bv_design_make(job, &choice, bv_shelf_parts(L), precision(L),
                 bv_object_push(L, &bv_design_type));
  return 1;
}

static void read_tolerances(lua_State *L, int index,
                            bv_tolerances *tolerances) {
  bv_field_defaults(bv_tolerances_fields, tolerances);
  if (lua_isnoneornil(L, index))
    return;
  bv_fields_push_positions(L, &bv_tolerances_fields);
  bv_fields_read(L, index, lua_gettop(L), &bv_tolerances_fields, tolerances,
                 NULL, "charger.corners");
  lua_pop(L, 1);
}

static void set_design(lua_State *L, const char *name,
                       const bv_design *design) {
  *(bv_design *) bv_object_push(L, &bv_design_type) = *design;
  lua_setfield(L, -2, name);
}

/* A table of names of results, each true or false. */
static void set_exact(lua_State *L, const bool *exact) {
  lua_createtable(L, 0, (int) bv_design_fields.count);
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const bv_field *field = &bv_design_fields.list[i];
    if (field->kind != BV_NUMBER)
      continue;
    lua_pushboolean(L, exact[i]);
    lua_setfield(L, -2, field->name);
  }
  lua_setfield(L, -2, "exact");
}

static void set_count(lua_State *L, const char *name, double count) {
  lua_pushinteger(L, (lua_Integer) count);
  lua_setfield(L, -2, name);
}

static int charger_corners(lua_State *L) {
  const bv_job *job = check_job(L, "charger.corners");
  bv_choice choice;
  bv_tolerances tolerances;
  bv_corners corners;
  read_choice(L, 2, &choice);
  read_tolerances(L, 3, &tolerances);
  /* A visit takes half as long as the design. */
  bv_host_charge(L, BV_DESIGN_STEPS / 2 *
                        (2 + (int64_t) bv_corners_visits(job, &tolerances)));
  bv_design_corners(job, &choice, bv_shelf_parts(L), precision(L), &tolerances,
                    &corners);
  lua_createtable(L, 0, 8);
  set_design(L, "nominal", &corners.nominal);
  set_design(L, "least", &corners.least);
  set_design(L, "greatest", &corners.greatest);
  set_design(L, "worst", &corners.worst);
  set_exact(L, corners.exact);
  set_count(L, "corners", corners.corners);
  set_count(L, "samples", corners.samples);
  set_count(L, "evaluations", corners.corners + corners.samples);
  return 1;
}

static int charger_choices(lua_State *L) {
  if (!lua_istable(L, 1))
    luaL_error(L, "charger.choices: expected a table of variables, found %s",
               bv_fields_push_found(L, 1));
  lua_settop(L, 1);
  lua_newtable(L);
  bv_fields_push_positions(L, &bv_choice_fields);
  for (lua_pushnil(L); lua_next(L, 1);) {
    lua_pushvalue(L, -2);
    bool known = lua_rawget(L, 3) != LUA_TNIL;
    lua_pop(L, 1);
    for (size_t i = 0; i < PART_CHOICES && !known; i++)
      known = lua_type(L, -2) == LUA_TSTRING &&
              strcmp(part_choices[i].name, lua_tostring(L, -2)) == 0;
    lua_pushvalue(L, -2);
    lua_insert(L, -2);
    if (known)
      lua_rawset(L, 2);
    else
      lua_pop(L, 2);
  }
  lua_settop(L, 2);
  return 1;
}

static void prepare(lua_State *L) {
  (void) bv_shelf_parts(L);
}

static const bv_function functions[] = {
    {"job", charger_job, "fields: brimvolt.job_fields", "brimvolt.job",
     "what the charger has to do; job(job, fields) is a copy with changes",
     "charger.job { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6 }",
     "charger.job { supply_voltage = 24, target_voltage = -5, "
     "storage_capacitance = 33e-6 }",
     "charger.job: target_voltage: expected a number from 1 to 100000 V, found "
     "-5"},
    {"ideal", bv_charger_ideal,
     "circuit: brimvolt.circuit_fields|brimvolt.design", "brimvolt.charge",
     "the charge without any loss, in closed form",
     "charger.ideal { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6, primary_inductance = 20e-6, turns_ratio = "
     "20, peak_current = 10 }",
     "charger.ideal { supply_voltage = 24, target_voltage = 1500 }",
     "charger.ideal: storage_capacitance is missing: expected a number from "
     "1e-15 to 1000 F (storage capacitance)"},
    {"envelope", bv_charger_envelope,
     "circuit: brimvolt.circuit_fields|brimvolt.design", "brimvolt.charge",
     "the charge with its losses, by the envelope over the output voltage",
     "charger.envelope { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6, primary_inductance = 20e-6, turns_ratio = "
     "20, peak_current = 10, switch_resistance = 20e-3 }",
     "charger.envelope { suply_voltage = 24 }",
     "charger.envelope: unknown name \"suply_voltage\"; did you mean "
     "\"supply_voltage\"?"},
    {"cycles", bv_charger_cycles,
     "circuit: brimvolt.circuit_fields|brimvolt.design, options?: { trace: "
     "boolean|brimvolt.trace_fields }",
     "brimvolt.charge, table?",
     "the charge cycle by cycle; with a trace also the waveforms, a table of "
     "lists time, switch_voltage, primary_current, secondary_current, "
     "output_voltage",
     "charger.cycles { supply_voltage = 24, target_voltage = 300, "
     "storage_capacitance = 1e-6, primary_inductance = 20e-6, turns_ratio = "
     "10, peak_current = 10 }",
     "charger.cycles({ supply_voltage = 24, target_voltage = 300, "
     "storage_capacitance = 1e-6, primary_inductance = 20e-6, turns_ratio = "
     "10, peak_current = 10 }, { trace = 5 })",
     "charger.cycles: trace: expected true, false or { from, until, points }, "
     "found 5"},
    {"design", charger_design,
     "job: brimvolt.job, choices: brimvolt.choice_fields", "brimvolt.design",
     "a design that can be wound and built, with all its results",
     "charger.design(charger.job { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6 }, { turns_ratio = 20, peak_current = 10, "
     "max_frequency = 100e3, core = \"ETD34/17/11\" })",
     "charger.design(charger.job { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6 }, { turns_ratio = 20, peak_current = 10, "
     "max_frequency = 100e3, core = \"ETD34/17/12\" })",
     "charger.design: core: expected a row of catalogue.cores or its name, "
     "found the text \"ETD34/17/12\"; did you mean \"ETD34/17/11\"?"},
    {"corners", charger_corners,
     "job: brimvolt.job, choices: brimvolt.choice_fields, tolerances?: "
     "brimvolt.tolerance_fields",
     "{ nominal: brimvolt.design, least: brimvolt.design, greatest: "
     "brimvolt.design, worst: brimvolt.design, exact: table<string, boolean>, "
     "corners: integer, samples: integer, evaluations: integer }",
     "a built design over the ends of the supply and of the tolerances and a "
     "seeded sample between them: each result as designed, its least, its "
     "greatest and its worse value; exact[name] tells whether the result goes "
     "one way along every tolerance, so that its ends are those of the box, "
     "or only the furthest that corners and samples met",
     "charger.corners(charger.job { supply_voltage = 24, target_voltage = "
     "1500, storage_capacitance = 33e-6 }, { turns_ratio = 20, peak_current = "
     "10, max_frequency = 100e3, core = \"ETD34/17/11\" }, { samples = 4 "
     "}).worst",
     "charger.corners(charger.job { supply_voltage = 24, target_voltage = "
     "1500, storage_capacitance = 33e-6 }, { turns_ratio = 20, peak_current = "
     "10, max_frequency = 100e3, core = \"ETD34/17/11\" }, { samples = -1 })",
     "charger.corners: samples: expected a whole number from 0 to 100000, "
     "found -1"},
    {"ways", bv_charger_ways,
     "circuit: brimvolt.circuit_fields|brimvolt.design, options?: "
     "brimvolt.ways_options",
     "{ boundary: brimvolt.way_cost, fixed_frequency: brimvolt.way_cost, "
     "two_levels: brimvolt.way_cost, constant_output_current: "
     "brimvolt.way_cost }",
     "what other ways of charging cost in the time that boundary mode takes, "
     "with every loss of the circuit",
     "charger.ways({ supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6, primary_inductance = 20e-6, turns_ratio = "
     "20, peak_current = 10, current_fall_time = 30e-9 }, { lower_share = 0.4 "
     "}).two_levels",
     "charger.ways({ supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6, primary_inductance = 20e-6, turns_ratio = "
     "20, peak_current = 10 }, { lower_share = 2 })",
     "charger.ways: lower_share: expected a number from 0 to 0.99, found 2"},
    {"circuit", bv_charger_circuit, "design: brimvolt.design",
     "brimvolt.circuit_fields",
     "the circuit of a design as a table, to be changed and evaluated again",
     "charger.circuit(charger.design(charger.job { supply_voltage = 24, "
     "target_voltage = 1500, storage_capacitance = 33e-6 }, { turns_ratio = "
     "20, "
     "peak_current = 10, max_frequency = 100e3, core = \"ETD34/17/11\" }))",
     "charger.circuit {}", "charger.circuit: expected a design, found a table"},
    {"verify", bv_charger_verify, "design: brimvolt.design", "brimvolt.charge",
     "a design cycle by cycle, with charge_time_difference, "
     "loss_energy_difference and switch_voltage_difference, relative",
     "charger.verify(charger.design(charger.job { supply_voltage = 24, "
     "target_voltage = 300, storage_capacitance = 2e-6 }, { turns_ratio = 8, "
     "peak_current = 8, max_frequency = 100e3, core = \"ETD34/17/11\" }))",
     "charger.verify(5)", "charger.verify: expected a design, found 5"},
    {"choices", charger_choices, "x: table", "table",
     "the entries of x that are choices of a design, without variables of the "
     "study's own",
     "charger.choices { turns_ratio = 20, price = 3 }", "charger.choices(5)",
     "charger.choices: expected a table of variables, found 5"},
    {0}};

const bv_module bv_module_charger = {
    .name = "charger",
    .meaning = "jobs, the charge of a circuit, designs",
    .functions = functions,
    .formulas = &bv_charger_ladder,
    .formula_count = 1,
    .prepare = prepare};
