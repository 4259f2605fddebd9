/* SPDX-License-Identifier: MIT */
/* lib/reference.md. */
#include "script/reference.h"

#include <string.h>

#include "script/equations.h"
#include "script/module.h"
#include "script/study_state.h"
#include "script/tables.h"

static const char head[] =
    "# Reference of scripts\n\n"
    "Printed from the program's own tables; a test compares. How to write a "
    "study is told in [manual.md](manual.md).\n"
    "SI units everywhere, temperatures in degC.\n\n"
    "Every function checks what it is given: an unknown or missing name, a "
    "value of another type or out of its range raises an error that tells file "
    "and line, what was expected and what was found. An example of that stands "
    "under `raises`; tests run these examples as well as the others.\n";

/* A text in a cell: "|" would end it. */
static void print_cell(bv_buffer *text, const char *cell) {
  for (; *cell; cell++)
    bv_buffer_print(text, *cell == '|' ? "\\|" : "%c", *cell);
}

static void print_study(bv_buffer *text) {
  const bv_study_entry *entry;
  bv_buffer_print(text, "\n## The table a study returns\n\n"
                        "| name | type | meaning |\n|---|---|---|\n");
  for (size_t i = 0; (entry = bv_study_entry_at(i)); i++) {
    bv_buffer_print(text, "| `%s` | `", entry->name);
    print_cell(text, entry->type);
    bv_buffer_print(text, "` | %s%s |\n", entry->meaning,
                    entry->missing ? "; required" : "");
  }
}

static void print_function(bv_buffer *text, const char *module,
                           const bv_function *function) {
  bv_buffer_print(text, "\n### %s.%s(%s)\n\nGives `%s`: %s.\n", module,
                  function->name, function->parameters, function->returns,
                  function->meaning);
  bv_buffer_print(text, "\n    %s\n\nraises `%s`:\n\n    %s\n",
                  function->example, function->error, function->wrong);
}

static void print_argument(bv_buffer *text, const bv_field *field) {
  bv_buffer_print(text, "- takes `%s`%s%s: %s", field->name,
                  *field->unit ? " in " : "", field->unit, field->meaning);
  bv_table_print_range(text, field);
  bv_table_print_default(text, field);
  bv_buffer_print(text, "\n");
}

static void print_formula(bv_buffer *text, const char *module,
                          const bv_formula *formula) {
  bv_buffer_print(text, "\n### %s.%s{…}\n\n%s: %s\n\n", module, formula->name,
                  formula->meaning, formula->source);
  for (size_t i = 0; i < formula->arguments.count; i++)
    print_argument(text, &formula->arguments.list[i]);
  for (size_t i = 0; i < formula->results.count; i++) {
    const bv_field *field = &formula->results.list[i];
    bv_buffer_print(text, "- gives `%s`%s%s: %s\n", field->name,
                    *field->unit ? " in " : "", field->unit, field->meaning);
  }
  bv_buffer_print(text, "\n    %s.%s { %s }\n", module, formula->name,
                  formula->example);
}

static void print_module(bv_buffer *text, const bv_module *module) {
  bv_buffer_print(text, "\n## require \"brimvolt.%s\"\n\n%s.\n", module->name,
                  module->meaning);
  for (const bv_function *f = module->functions; f && f->name; f++)
    print_function(text, module->name, f);
  for (size_t i = 0; i < module->formula_count; i++)
    print_formula(text, module->name, &module->formulas[i]);
}

static void print_field(bv_buffer *text, const bv_table *table,
                        const bv_field *field) {
  const bv_equation *equation =
      table->is_input ? NULL : bv_equation_find(field->name);
  bv_buffer_print(text, "| `%s` | %s | ", field->name, field->unit);
  print_cell(text, field->meaning);
  if (table->is_input) {
    bv_table_print_range(text, field);
    bv_table_print_default(text, field);
  }
  if (equation) {
    bv_buffer_print(text, "; ");
    print_cell(text, equation->equation);
  }
  bv_buffer_print(text, " |\n");
}

static void print_extras(bv_buffer *text, const bv_table *table) {
  const bv_extra *extra;
  for (unsigned i = 0; (extra = bv_extra_at(i)); i++)
    if (strcmp(extra->class, table->class) == 0) {
      bv_buffer_print(text, "| `%s` | %s | %s: `", extra->name, extra->unit,
                      extra->meaning);
      print_cell(text, extra->type);
      bv_buffer_print(text, "`%s |\n", extra->is_required ? ", required" : "");
    }
}

static void print_table(bv_buffer *text, const bv_table *table) {
  bv_buffer_print(text,
                  "\n## brimvolt.%s: each %s\n\n| name | unit | meaning "
                  "|\n|---|---|---|\n",
                  table->class, table->place);
  print_extras(text, table);
  for (size_t i = 0; i < table->fields->count; i++)
    print_field(text, table, &table->fields->list[i]);
}

void bv_reference_print(bv_buffer *text) {
  const bv_table *table;
  bv_buffer_print(text, "%s", head);
  print_study(text);
  for (size_t i = 0; i < bv_module_count; i++)
    print_module(text, bv_modules[i]);
  for (unsigned i = 0; (table = bv_table_at(i)); i++)
    print_table(text, table);
}
