/* SPDX-License-Identifier: MIT */
#include "script/explain.h"

#include <math.h>
#include <string.h>

#include "model/design.h"
#include "script/equations.h"
#include "script/module.h"

/* Where names live. */
static const struct {
  const bv_fields *fields;
  const char *place;
  bool is_input;
} places[] = {
    {&bv_design_fields, "result of charger.design", false},
    {&bv_charge_fields,
     "result of charger.ideal, charger.envelope and charger.cycles", false},
    {&bv_job_fields, "input of charger.job", true},
    {&bv_choice_fields, "choice for charger.design", true},
    {&bv_circuit_fields, "input of charger.ideal, envelope and cycles", true},
    {&bv_tolerances_fields, "tolerance for charger.corners", true},
    {&bv_core_fields, "field of catalogue.cores", true},
    {&bv_wire_fields, "field of catalogue.wires", true},
    {&bv_material_fields, "field of catalogue.materials", true},
    {&bv_switch_fields, "field of catalogue.switches", true},
    {&bv_diode_fields, "field of catalogue.diodes", true},
    {&bv_storage_fields, "field of catalogue.capacitors", true},
};

enum { PLACES = sizeof places / sizeof *places };

static void print_number(bv_buffer *text, double value) {
  char number[BV_NUMBER_SIZE];
  bv_buffer_print(text, "%s", bv_format_number(number, value));
}

static void print_range(bv_buffer *text, const bv_field *field) {
  if (field->kind == BV_WORD) {
    for (int i = 0; field->words[i]; i++)
      bv_buffer_print(text, "%s%s", i ? ", " : ", one of ", field->words[i]);
    return;
  }
  if (isfinite(field->lo)) {
    bv_buffer_print(text, ", from ");
    print_number(text, field->lo);
  }
  if (isfinite(field->hi)) {
    bv_buffer_print(text, isfinite(field->lo) ? " to " : ", up to ");
    print_number(text, field->hi);
  }
}

static void print_default(bv_buffer *text, const bv_field *field) {
  if (isnan(field->fallback)) {
    bv_buffer_print(text, ", required");
  } else if (field->kind == BV_WORD) {
    bv_buffer_print(text, ", default %s", field->words[(int) field->fallback]);
  } else if (field->kind != BV_TEXT) {
    bv_buffer_print(text, ", default ");
    print_number(text, field->fallback);
  }
}

static void print_head(bv_buffer *text, const bv_field *field) {
  bv_buffer_print(text, "%s%s%s%s: %s\n", field->name, *field->unit ? " [" : "",
                  field->unit, *field->unit ? "]" : "", field->meaning);
}

static void print_place(bv_buffer *text, size_t i, const bv_field *field) {
  bv_buffer_print(text, "  %s", places[i].place);
  if (places[i].is_input) {
    print_range(text, field);
    print_default(text, field);
  }
  bv_buffer_print(text, "\n");
}

/* The fields called name; a line of meaning for each that differs. */
static bool explain_fields(const char *name, bv_buffer *text) {
  const char *said = NULL;
  for (size_t i = 0; i < PLACES; i++) {
    const bv_field *field = bv_field_find(*places[i].fields, name);
    if (!field)
      continue;
    if (!said || strcmp(said, field->meaning) != 0)
      print_head(text, field);
    said = field->meaning;
    print_place(text, i, field);
  }
  const bv_equation *known = bv_equation_find(name);
  if (said && known)
    bv_buffer_print(text, "  equation: %s\n", known->equation);
  return said != NULL;
}

static void explain_formula(const char *module, const bv_formula *formula,
                            bv_buffer *text) {
  bv_buffer_print(text, "%s.%s{…}: %s\n  equation: %s\n", module, formula->name,
                  formula->meaning, formula->source);
  for (size_t i = 0; i < formula->arguments.count; i++) {
    const bv_field *field = &formula->arguments.list[i];
    bv_buffer_print(text, "  takes ");
    bv_buffer_print(text, "%s%s%s%s: %s", field->name, *field->unit ? " [" : "",
                    field->unit, *field->unit ? "]" : "", field->meaning);
    print_range(text, field);
    print_default(text, field);
    bv_buffer_print(text, "\n");
  }
  for (size_t i = 0; i < formula->results.count; i++) {
    bv_buffer_print(text, "  gives ");
    print_head(text, &formula->results.list[i]);
  }
}

static bool explain_functions(const char *name, bv_buffer *text) {
  bool found = false;
  for (size_t i = 0; i < bv_module_count; i++) {
    const bv_module *module = bv_modules[i];
    for (const bv_function *f = module->functions; f && f->name; f++)
      if (strcmp(f->name, name) == 0) {
        bv_buffer_print(text, "%s.%s(%s): %s\n  %s\n", module->name, f->name,
                        f->parameters, f->returns, f->meaning);
        found = true;
      }
    for (size_t j = 0; j < module->formula_count; j++)
      if (strcmp(module->formulas[j].name, name) == 0) {
        explain_formula(module->name, &module->formulas[j], text);
        found = true;
      }
  }
  return found;
}

bool bv_explain(const char *name, bv_buffer *text) {
  bool field = explain_fields(name, text);
  return explain_functions(name, text) || field;
}

void bv_explain_each(void (*take)(const char *name, void *context),
                     void *context) {
  for (size_t i = 0; i < PLACES; i++)
    for (size_t j = 0; j < places[i].fields->count; j++)
      take(places[i].fields->list[j].name, context);
  for (size_t i = 0; i < bv_module_count; i++) {
    const bv_module *module = bv_modules[i];
    for (const bv_function *f = module->functions; f && f->name; f++)
      take(f->name, context);
    for (size_t j = 0; j < module->formula_count; j++)
      take(module->formulas[j].name, context);
  }
}

static void offer(const char *name, void *context) {
  bv_nearest_offer(context, name);
}

const char *bv_explain_nearest(const char *name) {
  bv_nearest nearest = bv_nearest_begin(name);
  bv_explain_each(offer, &nearest);
  return nearest.best;
}
