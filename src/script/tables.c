/* SPDX-License-Identifier: MIT */
#include "script/tables.h"

#include <math.h>

#include "model/design.h"
#include "model/verify.h"
#include "model/ways.h"
#include "script/module.h"

static const bv_table tables[] = {
    {&bv_job_fields, "job_fields", "input of charger.job", true, false},
    {&bv_choice_fields, "choice_fields", "choice for charger.design", true,
     false},
    {&bv_design_fields, "design", "result of charger.design", false, true},
    {&bv_circuit_fields, "circuit_fields",
     "input of charger.ideal, envelope and cycles", true, false},
    {&bv_charge_fields, "charge",
     "result of charger.ideal, charger.envelope and charger.cycles", false,
     true},
    {&bv_verification_fields, "verification", "result of each row of a front",
     false, true},
    {&bv_tolerances_fields, "tolerance_fields", "tolerance for charger.corners",
     true, false},
    {&bv_ways_options_fields, "ways_options", "option for charger.ways", true,
     false},
    {&bv_way_cost_fields, "way_cost", "result of charger.ways", false, true},
    {&bv_core_fields, "core", "field of catalogue.cores", true, true},
    {&bv_wire_fields, "wire", "field of catalogue.wires", true, true},
    {&bv_material_fields, "material", "field of catalogue.materials", true,
     true},
    {&bv_switch_fields, "switch", "field of catalogue.switches", true, true},
    {&bv_diode_fields, "diode", "field of catalogue.diodes", true, true},
    {&bv_storage_fields, "storage", "field of catalogue.capacitors", true,
     true},
};

const bv_table *bv_table_at(unsigned i) {
  return i < sizeof tables / sizeof *tables ? &tables[i] : NULL;
}

#define PART(name, part, meaning)                                              \
  { "choice_fields", name, "brimvolt." part "|string", "", meaning, false }

static const bv_extra extras[] = {
    {"job_fields", "supply_voltage",
     "number|{ min: number?, nominal: number, max: number? }", "V",
     "supply voltage, or its range", true},
    {"choice_fields", "core", "brimvolt.core|string", "",
     "row of catalogue.cores or its name", true},
    PART("material", "material",
         "core material; left out: the first of the catalogue, a power ferrite "
         "of middling loss, fitted to open measured data"),
    PART("primary_wire", "wire", "wire of the primary; left out: what fits"),
    PART("secondary_wire", "wire",
         "wire of the secondary; left out: what fits"),
    PART("power_switch", "switch", "switch; left out: the first rated"),
    PART("diode", "diode", "diode; left out: the first rated"),
};

const bv_extra *bv_extra_at(unsigned i) {
  return i < sizeof extras / sizeof *extras ? &extras[i] : NULL;
}

static void print_number(bv_buffer *text, double value) {
  char number[BV_NUMBER_SIZE];
  bv_buffer_print(text, "%s", bv_format_number(number, value));
}

void bv_table_print_range(bv_buffer *text, const bv_field *field) {
  if (field->kind == BV_WORD) {
    for (int i = 0; field->words[i]; i++)
      bv_buffer_print(text, "%s%s", i ? ", " : ", one of ", field->words[i]);
    return;
  }
  if (field->kind == BV_FLAG) {
    bv_buffer_print(text, ", true or false");
    return;
  }
  if (field->kind == BV_WHOLE)
    bv_buffer_print(text, ", whole");
  if (isfinite(field->lo)) {
    bv_buffer_print(text, ", from ");
    print_number(text, field->lo);
  }
  if (isfinite(field->hi)) {
    bv_buffer_print(text, isfinite(field->lo) ? " to " : ", up to ");
    print_number(text, field->hi);
  }
}

void bv_table_print_default(bv_buffer *text, const bv_field *field) {
  if (isnan(field->fallback)) {
    bv_buffer_print(text, ", required");
  } else if (field->kind == BV_WORD) {
    bv_buffer_print(text, ", default %s", field->words[(int) field->fallback]);
  } else if (field->kind == BV_FLAG) {
    bv_buffer_print(text, ", default %s",
                    field->fallback != 0 ? "true" : "false");
  } else if (field->kind != BV_TEXT) {
    bv_buffer_print(text, ", default ");
    print_number(text, field->fallback);
  }
}
