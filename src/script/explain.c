/* SPDX-License-Identifier: MIT */
#include "script/explain.h"

#include <string.h>

#include "script/equations.h"
#include "script/module.h"
#include "script/study_state.h"
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

/* The part of a name behind that of a module, "design" of "charger.design"; a
 * name without a dot is looked for in every module. NULL: of another one. */
static const char *name_within(const bv_module *module, const char *name) {
  size_t length = strlen(module->name);
  if (!strchr(name, '.'))
    return name;
  bool own = strncmp(name, module->name, length) == 0 && name[length] == '.';
  return own ? name + length + 1 : NULL;
}

static bool explain_functions(const char *whole, bv_buffer *text) {
  bool found = false;
  for (size_t i = 0; i < bv_module_count; i++) {
    const bv_module *module = bv_modules[i];
    const char *name = name_within(module, whole);
    if (!name)
      continue;
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

static void print_functions(const bv_module *module, bv_buffer *text) {
  const char *between = "  functions: ";
  for (const bv_function *f = module->functions; f && f->name; f++) {
    bv_buffer_print(text, "%s%s", between, f->name);
    between = ", ";
  }
  for (size_t i = 0; i < module->formula_count; i++) {
    bv_buffer_print(text, "%s%s", between, module->formulas[i].name);
    between = ", ";
  }
  if (*between == ',')
    bv_buffer_print(text, "\n");
}

static bool explain_module(const char *name, bv_buffer *text) {
  for (size_t i = 0; i < bv_module_count; i++)
    if (strcmp(bv_modules[i]->name, name) == 0) {
      bv_buffer_print(text, "require \"brimvolt.%s\": %s\n", name,
                      bv_modules[i]->meaning);
      print_functions(bv_modules[i], text);
      return true;
    }
  return false;
}

static bool explain_entry(const char *name, bv_buffer *text) {
  const bv_study_entry *entry;
  for (size_t i = 0; (entry = bv_study_entry_at(i)); i++)
    if (strcmp(entry->name, name) == 0) {
      bv_buffer_print(
          text, "%s: %s\n  entry of the table a study returns, %s%s\n", name,
          entry->meaning, entry->type, entry->missing ? ", required" : "");
      return true;
    }
  return false;
}

bool bv_explain(const char *name, bv_buffer *text) {
  static const char program[] = "brimvolt.";
  if (strncmp(name, program, strlen(program)) == 0)
    name += strlen(program);
  bool known = explain_entry(name, text);
  known = explain_module(name, text) || known;
  known = explain_fields(name, text) || known;
  return explain_functions(name, text) || known;
}

void bv_explain_each(void (*take)(const char *name, void *context),
                     void *context) {
  const bv_study_entry *entry;
  for (size_t i = 0; (entry = bv_study_entry_at(i)); i++)
    take(entry->name, context);
  const bv_table *table;
  for (unsigned i = 0; (table = bv_table_at(i)); i++)
    for (size_t j = 0; j < table->fields->count; j++)
      take(table->fields->list[j].name, context);
  for (size_t i = 0; i < bv_module_count; i++) {
    const bv_module *module = bv_modules[i];
    take(module->name, context);
    for (const bv_function *f = module->functions; f && f->name; f++)
      take(f->name, context);
    for (size_t j = 0; j < module->formula_count; j++)
      take(module->formulas[j].name, context);
  }
}

static void offer(const char *name, void *context) {
  bv_nearest_offer(context, name);
}

/* A slip in one part of "charger.design" is one in the other's reach, too. */
const char *bv_explain_nearest(const char *name) {
  const char *dot = strrchr(name, '.');
  bv_nearest nearest = bv_nearest_begin(dot ? dot + 1 : name);
  bv_explain_each(offer, &nearest);
  return nearest.best;
}
