/* SPDX-License-Identifier: MIT */
#include "script/charger_circuit.h"

#include <lauxlib.h>
#include <math.h>

#include "model/design.h"
#include "model/ways.h"
#include "script/fields.h"
#include "script/formula.h"
#include "script/host.h"
#include "script/types.h"

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

int bv_charger_ideal(lua_State *L) {
  bv_circuit circuit;
  read_circuit(L, 1, &circuit, "charger.ideal");
  bv_charge_ideal(&circuit, bv_object_push(L, &bv_charge_type));
  return 1;
}

int bv_charger_envelope(lua_State *L) {
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
  } else if (!lua_isnil(L, -1) && !lua_isboolean(L, -1)) {
    luaL_error(L,
               "charger.cycles: trace: expected true, false or { from, until, "
               "points }, found %s",
               bv_fields_push_found(L, lua_gettop(L)));
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

int bv_charger_cycles(lua_State *L) {
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
  bv_host_charge(L, BV_CYCLES_STEPS);
  bv_charge_cycles(&circuit, traced ? &trace : NULL, charge);
  lua_settop(L, traced ? 4 : 3);
  return traced ? 2 : 1;
}

static void read_ways_options(lua_State *L, int index,
                              bv_ways_options *options) {
  bv_field_defaults(bv_ways_options_fields, options);
  if (lua_isnoneornil(L, index))
    return;
  bv_fields_push_positions(L, &bv_ways_options_fields);
  bv_fields_read(L, index, lua_gettop(L), &bv_ways_options_fields, options,
                 NULL, "charger.ways");
  lua_pop(L, 1);
}

int bv_charger_ways(lua_State *L) {
  bv_circuit circuit;
  bv_ways_options options;
  bv_way_cost costs[BV_WAY_COUNT];
  read_circuit(L, 1, &circuit, "charger.ways");
  read_ways_options(L, 2, &options);
  bv_ways_compare(&circuit, &options, costs);
  lua_createtable(L, 0, BV_WAY_COUNT);
  for (int way = 0; way < BV_WAY_COUNT; way++) {
    *(bv_way_cost *) bv_object_push(L, &bv_way_cost_type) = costs[way];
    lua_setfield(L, -2, bv_way_words[way]);
  }
  return 1;
}

static const bv_design *check_design(lua_State *L, const char *what) {
  const bv_design *design = bv_object_test(L, 1, &bv_design_type);
  if (!design)
    luaL_error(L, "%s: expected a design, found %s", what,
               bv_fields_push_found(L, 1));
  return design;
}

/* Adds how far a result of the simulator lies from the design's, relative. */
static void add_difference(lua_State *L, const char *name, double simulated,
                           double designed) {
  lua_pushnumber(L, simulated / designed - 1);
  lua_setfield(L, -2, name);
}

int bv_charger_verify(lua_State *L) {
  const bv_design *design = check_design(L, "charger.verify");
  bv_charge *charge = bv_object_push(L, &bv_charge_type);
  bv_host_charge(L, BV_CYCLES_STEPS);
  bv_charge_cycles(&design->circuit, NULL, charge);
  add_difference(L, "charge_time_difference", charge->charge_time,
                 design->charge_time);
  add_difference(L, "loss_energy_difference", charge->loss_energy,
                 design->loss_energy);
  add_difference(L, "switch_voltage_difference", charge->switch_voltage,
                 design->circuit.supply_voltage + design->clamp_voltage);
  return 1;
}

int bv_charger_circuit(lua_State *L) {
  const bv_design *design = check_design(L, "charger.circuit");
  lua_createtable(L, 0, (int) bv_circuit_fields.count);
  for (size_t i = 0; i < bv_circuit_fields.count; i++) {
    const bv_field *field = &bv_circuit_fields.list[i];
    bv_fields_push(L, field, &design->circuit);
    lua_setfield(L, -2, field->name);
  }
  return 1;
}
