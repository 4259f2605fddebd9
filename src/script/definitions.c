/* SPDX-License-Identifier: MIT */
/* Definitions for editors, in the annotations of LuaLS: lib/definitions. */
#include <math.h>
#include <string.h>

#include "script/module.h"
#include "script/reference.h"
#include "script/study_state.h"
#include "script/tables.h"

static const char *type_of(const bv_field *field) {
  switch (field->kind) {
  case BV_TEXT:
  case BV_WORD:
    return "string";
  case BV_FLAG:
    return "boolean";
  case BV_WHOLE:
    return "integer";
  default:
    return "number";
  }
}

static void print_field(bv_buffer *text, const bv_field *field,
                        bool is_optional, bool is_input) {
  bv_buffer_print(text, "---@field %s%s ", field->name, is_optional ? "?" : "");
  if (field->kind == BV_WORD && is_input)
    for (int i = 0; field->words[i]; i++)
      bv_buffer_print(text, "%s\"%s\"", i ? "|" : "", field->words[i]);
  else
    bv_buffer_print(text, "%s",
                    is_input                  ? type_of(field)
                    : field->kind == BV_WHOLE ? "number"
                                              : type_of(field));
  bv_buffer_print(text, " %s%s%s%s", field->meaning, *field->unit ? " [" : "",
                  field->unit, *field->unit ? "]" : "");
  if (is_input)
    bv_table_print_range(text, field);
  bv_buffer_print(text, "\n");
}

/* Scripts may add results of their own to designs and charges. */
static bool is_open(const bv_table *table) {
  return !table->is_input;
}

static void print_class(bv_buffer *text, const bv_table *table) {
  bv_buffer_print(text, "\n---%s\n---@class brimvolt.%s\n", table->place,
                  table->class);
  if (is_open(table))
    bv_buffer_print(text, "---@field [string] number|string\n");
  const bv_extra *extra;
  for (unsigned i = 0; (extra = bv_extra_at(i)); i++)
    if (strcmp(extra->class, table->class) == 0)
      bv_buffer_print(text, "---@field %s%s %s %s\n", extra->name,
                      extra->is_required ? "" : "?", extra->type,
                      extra->meaning);
  for (size_t i = 0; i < table->fields->count; i++) {
    const bv_field *field = &table->fields->list[i];
    print_field(text, field, !table->is_object && !isnan(field->fallback),
                table->is_input);
  }
}

static const char other_classes[] =
    "\n---what a charger has to do\n"
    "---@class brimvolt.job: brimvolt.job_fields\n"
    "\n---what space.real and its like make\n"
    "---@class brimvolt.variable\n"
    "\n---@class brimvolt.limit\n"
    "---@field min? number|fun(results: table): number\n"
    "---@field max? number|fun(results: table): number\n"
    "---@field scale? number the violation that counts as 1\n"
    "\n---where a search stands\n"
    "---@class brimvolt.progress\n"
    "---@field round integer\n"
    "---@field evaluations integer\n"
    "---@field feasible integer\n"
    "---@field front integer points on the front\n"
    "---@field hypervolume number\n"
    "\n---when waveforms are wanted\n"
    "---@class brimvolt.trace_fields\n"
    "---@field from? number first cycle begins not before [s]\n"
    "---@field until? number last cycle begins before [s]\n"
    "---@field points? integer samples of each interval of a cycle\n"
    "\n---what a study returns\n"
    "---@class brimvolt.study\n";

static void print_types(bv_buffer *text, const char *file) {
  const bv_table *table;
  const bv_study_entry *entry;
  (void) file;
  bv_buffer_print(text, "---@meta\n-- Printed by the program; see "
                        "lib/reference.md.\n");
  for (unsigned i = 0; (table = bv_table_at(i)); i++)
    print_class(text, table);
  bv_buffer_print(text, "%s", other_classes);
  for (size_t i = 0; (entry = bv_study_entry_at(i)); i++)
    bv_buffer_print(text, "---@field %s%s %s %s\n", entry->name,
                    entry->missing ? "" : "?", entry->type, entry->meaning);
}

/* One "---@param" a parameter of "a: number, b?: string"; commas inside
 * brackets don't separate. Returns the names as a list. */
static void print_parameters(bv_buffer *text, const char *parameters,
                             bv_buffer *names) {
  while (*parameters) {
    size_t colon = strcspn(parameters, ":"), end = colon;
    for (int depth = 0; parameters[end] && (depth || parameters[end] != ',');
         end++)
      depth += (strchr("({[", parameters[end]) != NULL) -
               (strchr(")}]", parameters[end]) != NULL);
    bv_buffer_print(text, "---@param %.*s %.*s\n", (int) colon, parameters,
                    (int) (end - colon - 2), parameters + colon + 2);
    bool optional = parameters[colon - 1] == '?';
    bv_buffer_print(names, "%s%.*s", names->length ? ", " : "",
                    (int) colon - optional, parameters);
    parameters += end + (parameters[end] == ',' ? 2 : 0);
  }
}

static void print_function(bv_buffer *text, const char *module,
                           const bv_function *function) {
  bv_buffer names = {0};
  bv_buffer_print(text, "\n---%s\n", function->meaning);
  print_parameters(text, function->parameters, &names);
  bv_buffer_print(text, "---@return %s\nfunction %s.%s(%s) end\n",
                  function->returns, module, function->name,
                  names.text ? names.text : "");
  bv_buffer_free(&names);
}

static void print_formula(bv_buffer *text, const char *module,
                          const bv_formula *formula) {
  bv_buffer_print(text, "\n---@class brimvolt.%s.%s\n", module, formula->name);
  for (size_t i = 0; i < formula->arguments.count; i++)
    print_field(text, &formula->arguments.list[i],
                !isnan(formula->arguments.list[i].fallback), true);
  bv_buffer_print(text, "\n---%s: %s\n---@param a brimvolt.%s.%s\n---@return ",
                  formula->meaning, formula->source, module, formula->name);
  const bv_field *results = formula->results.list;
  if (formula->results.count == 1) {
    bv_buffer_print(text, "%s %s%s%s", type_of(results), results->meaning,
                    *results->unit ? ", " : "", results->unit);
  } else {
    for (size_t i = 0; i < formula->results.count; i++)
      bv_buffer_print(text, "%s%s: %s", i ? ", " : "{ ", results[i].name,
                      type_of(&results[i]));
    bv_buffer_print(text, " }");
  }
  bv_buffer_print(text, "\nfunction %s.%s(a) end\n", module, formula->name);
}

static void print_module(bv_buffer *text, const char *file) {
  for (size_t i = 0; i < bv_module_count; i++) {
    const bv_module *module = bv_modules[i];
    size_t length = strlen(module->name);
    if (strncmp(file, module->name, length) != 0 || file[length] != '.')
      continue;
    bv_buffer_print(text,
                    "---@meta brimvolt.%s\n-- Printed by the program; see "
                    "lib/reference.md.\n\n---%s\nlocal %s = {}\n",
                    module->name, module->meaning, module->name);
    for (const bv_function *f = module->functions; f && f->name; f++)
      print_function(text, module->name, f);
    for (size_t j = 0; j < module->formula_count; j++)
      print_formula(text, module->name, &module->formulas[j]);
    bv_buffer_print(text, "\nreturn %s\n", module->name);
  }
}

static void print_units(bv_buffer *text, const char *file) {
  (void) file;
  bv_buffer_print(text,
                  "---@meta brimvolt.units\n-- Printed by the program; see "
                  "lib/reference.md.\n\n---Multipliers to SI units.\n"
                  "---@type table<string, number>\nlocal units = {}\n\n"
                  "return units\n");
}

static const bv_definitions files[] = {
    {"types.lua", print_types},      {"charger.lua", print_module},
    {"magnetics.lua", print_module}, {"insulation.lua", print_module},
    {"catalogue.lua", print_module}, {"space.lua", print_module},
    {"cases.lua", print_module},     {"units.lua", print_units}};

const bv_definitions *bv_definitions_at(unsigned i) {
  return i < sizeof files / sizeof *files ? &files[i] : NULL;
}
