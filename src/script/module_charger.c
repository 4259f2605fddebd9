/* SPDX-License-Identifier: MIT */
/* brimvolt.charger: jobs, the charge of a circuit, designs. */
#include <lauxlib.h>
#include <math.h>
#include <string.h>

#include "model/charge.h"
#include "model/design.h"
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
  if (lua_isnumber(L, index)) {
    bv_fields_set(L, index, &supply_list[1], supply, what);
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

static bool read_job_key(lua_State *L, const char *name, void *base) {
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

/* The circuit at index: a table of its fields, or that of a design. */
static void read_circuit(lua_State *L, int index, bv_circuit *circuit,
                         const char *what) {
  const bv_design *design = bv_object_test(L, index, &bv_design_type);
  if (design) {
    *circuit = design->circuit;
    return;
  }
  bv_field_defaults(bv_circuit_fields, circuit);
  bv_fields_push_positions(L, &bv_circuit_fields);
  bv_fields_read(L, index, lua_gettop(L), &bv_circuit_fields, circuit, NULL,
                 what);
  lua_pop(L, 1);
  bv_fields_require(L, bv_circuit_fields, circuit, what);
}

static int charger_ideal(lua_State *L) {
  bv_circuit circuit;
  read_circuit(L, 1, &circuit, "charger.ideal");
  bv_charge_ideal(&circuit, bv_object_push(L, &bv_charge_type));
  return 1;
}

static int charger_envelope(lua_State *L) {
  bv_circuit circuit;
  read_circuit(L, 1, &circuit, "charger.envelope");
  bv_charge_envelope(&circuit, bv_object_push(L, &bv_charge_type));
  return 1;
}

/* Columns of waveforms at the stack index `table`, filled sample by sample. */
typedef struct tracing {
  lua_State *L;
  int table;
  lua_Integer count;
} tracing;

enum { SAMPLES_MOST = 1000000, SAMPLE_COLUMNS = 5 };

static const char *const sample_names[SAMPLE_COLUMNS] = {
    "time", "switch_voltage", "primary_current", "secondary_current",
    "output_voltage"};

static void take_sample(const bv_sample *sample, void *context) {
  tracing *to = context;
  const double values[SAMPLE_COLUMNS] = {
      sample->time, sample->switch_voltage, sample->primary_current,
      sample->secondary_current, sample->output_voltage};
  if (++to->count > SAMPLES_MOST)
    luaL_error(to->L,
               "charger.cycles: trace: expected at most %d samples, "
               "found more; narrow from and until",
               SAMPLES_MOST);
  for (int i = 0; i < SAMPLE_COLUMNS; i++) {
    lua_pushnumber(to->L, values[i]);
    lua_rawseti(to->L, to->table + 1 + i, to->count);
  }
}

#define TRACE(i, name, lo, hi, fallback, meaning)                              \
  BV_ARGUMENT(i, BV_NUMBER, name, "s", lo, hi, fallback, NULL, meaning)
static const bv_field trace_list[] = {
    TRACE(0, "from", 0, HUGE_VAL, 0, "first cycle begins not before"),
    TRACE(1, "until", 0, HUGE_VAL, HUGE_VAL, "last cycle begins before"),
    BV_ARGUMENT(2, BV_WHOLE, "points", "", 1, 1000, 8, NULL,
                "samples of each interval of a cycle")};
static const bv_fields trace_fields = {trace_list, 3};

/* Reads { trace = true | { from, until, points } } at index; false: none. */
static bool read_trace(lua_State *L, int index, bv_trace *trace) {
  double numbers[3];
  bv_field_defaults(trace_fields, numbers);
  if (lua_isnoneornil(L, index))
    return false;
  luaL_checktype(L, index, LUA_TTABLE);
  lua_getfield(L, index, "trace");
  if (lua_istable(L, -1)) {
    bv_fields_push_positions(L, &trace_fields);
    bv_fields_read(L, lua_gettop(L) - 1, lua_gettop(L), &trace_fields, numbers,
                   NULL, "charger.cycles: trace");
  } else if (!lua_toboolean(L, -1)) {
    return false;
  }
  *trace = (bv_trace){.sample = take_sample,
                      .from = numbers[0],
                      .until = numbers[1],
                      .points = (int) numbers[2]};
  return true;
}

/* Pushes a table of columns, then each column. */
static int push_columns(lua_State *L) {
  lua_createtable(L, 0, SAMPLE_COLUMNS);
  int table = lua_gettop(L);
  for (int i = 0; i < SAMPLE_COLUMNS; i++) {
    lua_newtable(L);
    lua_pushvalue(L, -1);
    lua_setfield(L, table, sample_names[i]);
  }
  return table;
}

static int charger_cycles(lua_State *L) {
  bv_circuit circuit;
  bv_trace trace;
  read_circuit(L, 1, &circuit, "charger.cycles");
  bool traced = read_trace(L, 2, &trace);
  lua_settop(L, 2);
  bv_charge *charge = bv_object_push(L, &bv_charge_type);
  tracing to = {.L = L};
  if (traced) {
    to.table = push_columns(L);
    trace.context = &to;
  }
  bv_charge_cycles(&circuit, traced ? &trace : NULL, charge);
  lua_settop(L, traced ? 4 : 3);
  return traced ? 2 : 1;
}

/* Adds how far a result of the simulator lies from the design's, relative. */
static void add_difference(lua_State *L, const char *name, double simulated,
                           double designed) {
  lua_pushnumber(L, simulated / designed - 1);
  lua_setfield(L, -2, name);
}

static int charger_verify(lua_State *L) {
  const bv_design *design = bv_object_test(L, 1, &bv_design_type);
  if (!design)
    return luaL_error(L, "charger.verify: expected a design, found %s",
                      bv_fields_push_found(L, 1));
  bv_charge *charge = bv_object_push(L, &bv_charge_type);
  bv_charge_cycles(&design->circuit, NULL, charge);
  add_difference(L, "charge_time_difference", charge->charge_time,
                 design->charge_time);
  add_difference(L, "loss_energy_difference", charge->loss_energy,
                 design->loss_energy);
  add_difference(L, "switch_voltage_difference", charge->switch_voltage,
                 design->circuit.supply_voltage + design->clamp_voltage);
  return 1;
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

/* Reads the part at the top of the stack: a catalogue row, or the name of one
 * in the program's catalogue. */
static bool read_part(lua_State *L, const char *name, void *base) {
  size_t i = 0;
  while (i < PART_CHOICES && strcmp(part_choices[i].name, name) != 0)
    i++;
  if (i == PART_CHOICES)
    return false;
  const void *part = bv_object_test(L, -1, part_choices[i].type);
  if (!part && lua_type(L, -1) == LUA_TSTRING)
    part = bv_shelf_find(L, part_choices[i].catalogue, lua_tostring(L, -1));
  if (!part)
    luaL_error(L,
               "charger.design: %s: expected a row of catalogue.%s or its "
               "name, found %s",
               name, part_choices[i].catalogue,
               bv_fields_push_found(L, lua_gettop(L)));
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
  bv_design_make(job, &choice, bv_shelf_parts(L), precision(L),
                 bv_object_push(L, &bv_design_type));
  return 1;
}

static int charger_choices(lua_State *L) {
  luaL_checktype(L, 1, LUA_TTABLE);
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
     "storage_capacitance = 33e-6 }"},
    {"ideal", charger_ideal, "circuit: brimvolt.circuit_fields|brimvolt.design",
     "brimvolt.charge", "the charge without any loss, in closed form",
     "charger.ideal { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6, primary_inductance = 20e-6, turns_ratio = "
     "20, peak_current = 10 }"},
    {"envelope", charger_envelope,
     "circuit: brimvolt.circuit_fields|brimvolt.design", "brimvolt.charge",
     "the charge with its losses, by the envelope over the output voltage",
     "charger.envelope { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6, primary_inductance = 20e-6, turns_ratio = "
     "20, peak_current = 10, switch_resistance = 20e-3 }"},
    {"cycles", charger_cycles,
     "circuit: brimvolt.circuit_fields|brimvolt.design, options?: { trace: "
     "boolean|brimvolt.trace_fields }",
     "brimvolt.charge, table?",
     "the charge cycle by cycle; with a trace also the waveforms, a table of "
     "lists time, switch_voltage, primary_current, secondary_current, "
     "output_voltage",
     "charger.cycles { supply_voltage = 24, target_voltage = 300, "
     "storage_capacitance = 1e-6, primary_inductance = 20e-6, turns_ratio = "
     "10, peak_current = 10 }"},
    {"design", charger_design,
     "job: brimvolt.job, choices: brimvolt.choice_fields", "brimvolt.design",
     "a design that can be wound and built, with all its results",
     "charger.design(charger.job { supply_voltage = 24, target_voltage = 1500, "
     "storage_capacitance = 33e-6 }, { turns_ratio = 20, peak_current = 10, "
     "max_frequency = 100e3, core = \"ETD34/17/11\" })"},
    {"verify", charger_verify, "design: brimvolt.design", "brimvolt.charge",
     "a design cycle by cycle, with charge_time_difference, "
     "loss_energy_difference and switch_voltage_difference, relative",
     "charger.verify(charger.design(charger.job { supply_voltage = 24, "
     "target_voltage = 300, storage_capacitance = 2e-6 }, { turns_ratio = 8, "
     "peak_current = 8, max_frequency = 100e3, core = \"ETD34/17/11\" }))"},
    {"choices", charger_choices, "x: table", "table",
     "the entries of x that are choices of a design, without variables of the "
     "study's own",
     "charger.choices { turns_ratio = 20, price = 3 }"},
    {0}};

const bv_module bv_module_charger = {
    .name = "charger",
    .meaning = "jobs, the charge of a circuit, designs",
    .functions = functions,
    .prepare = prepare};
