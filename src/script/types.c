/* SPDX-License-Identifier: MIT */
#include "script/types.h"

#include <string.h>

#include "model/design.h"
#include "model/ways.h"

/* supply_voltage is no field of a job: scripts see a table of its range. */
static bool push_supply(lua_State *L, const void *data, const char *name) {
  const bv_job *job = data;
  if (strcmp(name, "supply_voltage") != 0)
    return false;
  lua_createtable(L, 0, 3);
  lua_pushnumber(L, job->supply_voltage.min);
  lua_setfield(L, -2, "min");
  lua_pushnumber(L, job->supply_voltage.nominal);
  lua_setfield(L, -2, "nominal");
  lua_pushnumber(L, job->supply_voltage.max);
  lua_setfield(L, -2, "max");
  return true;
}

const bv_object_type bv_job_type = {.name = "job",
                                    .fields = &bv_job_fields,
                                    .size = sizeof(bv_job),
                                    .extra = push_supply};
const bv_object_type bv_design_type = {.name = "design",
                                       .fields = &bv_design_fields,
                                       .size = sizeof(bv_design),
                                       .open = true};
const bv_object_type bv_charge_type = {.name = "charge",
                                       .fields = &bv_charge_fields,
                                       .size = sizeof(bv_charge),
                                       .open = true};
const bv_object_type bv_way_cost_type = {.name = "way_cost",
                                         .fields = &bv_way_cost_fields,
                                         .size = sizeof(bv_way_cost)};

#define PART(type)                                                             \
  const bv_object_type bv_##type##_type = {                                    \
      .name = #type, .fields = &bv_##type##_fields, .size = sizeof(bv_##type)}
PART(core);
PART(wire);
PART(material);
PART(switch);
PART(diode);
PART(storage);
