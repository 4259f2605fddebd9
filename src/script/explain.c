/* SPDX-License-Identifier: MIT */
#include "script/explain.h"

#include <string.h>

#include "script/equations.h"
#include "script/module.h"
#include "script/tables.h"

static void print_head(bv_buffer *text, const bv_field *field) {
  bv_buffer_print(text, "%s%s%s%s: %s\n", field->name, *field->unit ? " [" : "",
                  field->unit, *field->unit ? "]" : "", field->meaning);
}

static void print_place(bv_buffer *text, const bv_table *table,
                        const bv_field *field) {
  bv_buffer_print(text, "  %s", table->place);
  if (table->is_input) {
    bv_table_print_range(text, field);
    bv_table_print_default(text, field);
  }
  bv_buffer_print(text, "\n");
}

/* The fields called name; a line of meaning for each that differs. */
static bool explain_fields(const char *name, bv_buffer *text) {
  const char *said = NULL;
  const bv_table *table;
  for (unsigned i = 0; (table = bv_table_at(i)); i++) {
    const bv_field *field = bv_field_find(*table->fields, name);
    if (!field)
      continue;
    if (!said || strcmp(said, field->meaning) != 0)
      print_head(text, field);
    said = field->meaning;
    print_place(text, table, field);
  }
  const bv_extra *extra;
  for (unsigned i = 0; (extra = bv_extra_at(i)); i++)
    if (strcmp(extra->name, name) == 0) {
      bv_buffer_print(text, "%s in %s: %s, %s%s\n", name, extra->class,
                      extra->type, extra->meaning,
                      extra->is_required ? ", required" : "");
      said = extra->meaning;
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
    bv_table_print_range(text, field);
    bv_table_print_default(text, field);
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
        bv_buffer_print(text, "%s.%s(%s): %s\n  %s\n  such as %s\n",
                        module->name, f->name, f->parameters, f->returns,
                        f->meaning, f->example);
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
  const bv_table *table;
  for (unsigned i = 0; (table = bv_table_at(i)); i++)
    for (size_t j = 0; j < table->fields->count; j++)
      take(table->fields->list[j].name, context);
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
