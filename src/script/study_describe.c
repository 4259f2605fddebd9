/* SPDX-License-Identifier: MIT */
/* Every result of one point. The protected part makes a list of Lua values;
 * only then is memory taken that an error would lose. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "model/design.h"
#include "model/verify.h"
#include "script/fields.h"
#include "script/study_state.h"
#include "script/types.h"
#include "table/front.h"

/* More results than this are a slip. */
enum { RESULTS_MOST = 1000 };

/* What a description gathers: names in order, values in the Lua table `values`
 * at stack index. */
typedef struct gathering {
  bv_study *study;
  size_t count;
  bv_result results[RESULTS_MOST];
} gathering;

/* Where names of a plain table get their meaning: the models' own tables. */
static const bv_field *find_known(const char *name) {
  const bv_fields tables[] = {bv_design_fields, bv_charge_fields,
                              bv_verification_fields};
  const bv_field *field = NULL;
  for (size_t i = 0; !field && i < sizeof tables / sizeof *tables; i++)
    field = bv_field_find(tables[i], name);
  return field;
}

/* Where variables get theirs: a design's choices come first. */
static const bv_field *find_choice(const char *name) {
  const bv_field *field = bv_field_find(bv_choice_fields, name);
  return field ? field : find_known(name);
}

/* The text `key` of what the study's `results` tell about name, or NULL. Kept
 * by the study's table of results. */
static const char *declared(lua_State *L, const bv_study *study,
                            const char *name, const char *key) {
  if (study->results == LUA_NOREF)
    return NULL;
  const char *text = NULL;
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->results);
  if (lua_getfield(L, -1, name) == LUA_TTABLE) {
    lua_getfield(L, -1, key);
    text = lua_tostring(L, -1);
    lua_pop(L, 1);
  }
  lua_pop(L, 2);
  return text;
}

/* The study's own word for a result, else the model's that knows the name. */
static const char *unit_of(lua_State *L, const bv_study *study,
                           const char *name, const bv_field *known) {
  const char *unit = declared(L, study, name, "unit");
  return unit ? unit : known ? known->unit : "";
}

static const char *meaning_of(lua_State *L, const bv_study *study,
                              const char *name, const bv_field *known) {
  const char *meaning = declared(L, study, name, "meaning");
  return meaning ? meaning : known ? known->meaning : "";
}

void bv_study_word_variable(const bv_study *study, size_t variable,
                            const char **unit, const char **meaning) {
  lua_State *L = study->host->lua;
  const char *name = study->variables[variable].name;
  const bv_field *known = find_choice(name);
  bool is_text = bv_study_choice(study, variable, 0) != NULL;
  *unit = is_text ? "" : unit_of(L, study, name, known);
  *meaning = meaning_of(L, study, name, known);
}

void bv_study_word_objectives(lua_State *L, bv_study *study) {
  for (size_t i = 0; i < study->problem.objectives; i++) {
    bv_objective *objective = &study->objectives[i];
    size_t variable = study->needed[study->objective_needed[i]].variable;
    const bv_field *known = variable < BV_SPACE_MOST
                                ? find_choice(objective->name)
                                : find_known(objective->name);
    objective->unit = unit_of(L, study, objective->name, known);
    objective->meaning = meaning_of(L, study, objective->name, known);
  }
}

/* Pops the value at the top into a result called name (kept by the study). */
static void add(lua_State *L, gathering *all, const char *name,
                const bv_field *known) {
  int value = lua_gettop(L);
  if (all->count == RESULTS_MOST)
    bv_study_fail(L, all->study,
                  "evaluate: expected at most %d results, found "
                  "more",
                  RESULTS_MOST);
  bv_result *made = &all->results[all->count++];
  *made = (bv_result){.name = name,
                      .unit = unit_of(L, all->study, name, known),
                      .meaning = meaning_of(L, all->study, name, known),
                      .number = (double) NAN};
  if (lua_type(L, value) == LUA_TSTRING) {
    bv_study_check_text(L, all->study, value, "evaluate: result \"%s\"", name);
    made->is_text = true;
    made->text = bv_study_keep(L, all->study, value);
  } else if (lua_type(L, value) == LUA_TNUMBER)
    made->number = lua_tonumber(L, value);
  else if (lua_isboolean(L, value))
    made->number = lua_toboolean(L, value);
  else
    bv_study_fail(L, all->study,
                  "evaluate: result \"%s\": expected a number "
                  "or a text, found %s",
                  name, bv_fields_push_found(L, value));
  lua_settop(L, value - 1);
}

/* Adds the entries of the table at index that are no result of a model, in the
 * study's order, then by name. */
static void add_own(lua_State *L, gathering *all, int index) {
  const char *names[RESULTS_MOST];
  size_t count = 0;
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
    bv_study_check_name(L, all->study, lua_gettop(L) - 1, "evaluate");
    if (count == RESULTS_MOST)
      bv_study_fail(L, all->study,
                    "evaluate: expected at most %d results, found more",
                    RESULTS_MOST);
    if (!find_known(lua_tostring(L, -2)))
      names[count++] = bv_study_keep(L, all->study, lua_gettop(L) - 1);
  }
  bv_study_sort(L, all->study, names, count);
  for (size_t i = 0; i < count; i++) {
    lua_getfield(L, index, names[i]);
    add(L, all, names[i], NULL);
  }
}

/* Adds what the table at index holds of a model's results, in their order. */
static void add_known(lua_State *L, gathering *all, int index, bv_fields fields,
                      const bv_fields *but) {
  for (size_t i = 0; i < fields.count; i++) {
    if (but && bv_field_find(*but, fields.list[i].name))
      continue;
    if (lua_getfield(L, index, fields.list[i].name) == LUA_TNIL)
      lua_pop(L, 1);
    else
      add(L, all, fields.list[i].name, &fields.list[i]);
  }
}

static void add_fields(lua_State *L, gathering *all, bv_fields fields,
                       const void *data) {
  for (size_t i = 0; i < fields.count; i++) {
    bv_fields_push(L, &fields.list[i], data);
    add(L, all, fields.list[i].name, &fields.list[i]);
  }
}

static void add_object(lua_State *L, gathering *all, int index) {
  const bv_object *object = bv_object_any(L, index);
  add_fields(L, all, *object->type->fields, object->data);
  if (all->study->verifies && object->type == &bv_design_type) {
    bv_verification verification;
    bv_design_verify(object->data, &verification);
    add_fields(L, all, bv_verification_fields, &verification);
  }
  if (bv_object_push_owns(L, index) == LUA_TTABLE)
    add_own(L, all, lua_gettop(L));
}

static bool is_gathered(const gathering *all, const char *name) {
  for (size_t i = 0; i < all->count; i++)
    if (strcmp(all->results[i].name, name) == 0)
      return true;
  return false;
}

/* Adds the variables that count as results: an objective or a limit names them,
 * and evaluate gave none of the name. */
static void add_variables(lua_State *L, gathering *all, const double *x) {
  for (size_t i = 0; i < all->study->needed_count; i++) {
    const bv_needed *needed = &all->study->needed[i];
    if (needed->variable == BV_SPACE_MOST || is_gathered(all, needed->name))
      continue;
    lua_pushnumber(L, x[needed->variable]);
    add(L, all, needed->name, find_choice(needed->name));
  }
}

static const char *gathered_unit(const gathering *all, const char *name) {
  for (size_t i = 0; i < all->count; i++)
    if (strcmp(all->results[i].name, name) == 0)
      return all->results[i].unit;
  return "";
}

/* Adds the bounds that functions of the script gave, so that who reads a front
 * sees what was allowed. */
static void add_bounds(lua_State *L, gathering *all) {
  bv_study *study = all->study;
  for (size_t i = 0; i < study->problem.limits; i++) {
    const bv_end *end = &study->ends[i];
    const char *of = study->limits[end->entry].name;
    if (end->function == LUA_NOREF)
      continue;
    lua_pushfstring(L, BV_BOUND_PREFIX "%s_%s", end->is_max ? "max" : "min",
                    of);
    lua_pushfstring(L, "%s that the script allows of %s",
                    end->is_max ? "the most" : "the least", of);
    bv_result bound = {.name = bv_study_keep(L, study, lua_gettop(L) - 1),
                       .meaning = bv_study_keep(L, study, lua_gettop(L)),
                       .unit = gathered_unit(all, of),
                       .number = end->found};
    lua_pop(L, 2);
    if (all->count < RESULTS_MOST && !is_gathered(all, bound.name))
      all->results[all->count++] = bound;
  }
}

static int describe(lua_State *L) {
  gathering *all = lua_touserdata(L, 1);
  bv_study *study = all->study;
  bv_evaluation *evaluation = study->host->evaluation;
  bv_study_push_result(L, study, evaluation->x);
  bv_study_take(L, study, 2, evaluation);
  if (lua_istable(L, 2)) {
    add_known(L, all, 2, bv_design_fields, NULL);
    add_known(L, all, 2, bv_charge_fields, &bv_design_fields);
    add_own(L, all, 2);
  } else {
    add_object(L, all, 2);
  }
  add_variables(L, all, evaluation->x);
  add_bounds(L, all);
  return 0;
}

/* Moves what was gathered into a record of its own. */
static bool fill(const gathering *all, bv_record *record) {
  size_t bytes = 1;
  for (size_t i = 0; i < all->count; i++)
    bytes += all->results[i].is_text ? strlen(all->results[i].text) + 1 : 0;
  record->results = calloc(all->count + 1, sizeof *record->results);
  record->block = malloc(bytes);
  if (!record->results || !record->block) {
    bv_record_free(record);
    return false;
  }
  char *at = record->block;
  for (size_t i = 0; i < all->count; i++) {
    record->results[i] = all->results[i];
    if (!all->results[i].is_text)
      continue;
    size_t length = strlen(all->results[i].text) + 1;
    record->results[i].text = memcpy(at, all->results[i].text, length);
    at += length;
  }
  record->count = all->count;
  return true;
}

void bv_study_verify_designs(bv_study *study) {
  study->verifies = true;
}

bv_outcome bv_study_describe(bv_study *study, bv_evaluation *evaluation,
                             bv_record *record, bv_error *error) {
  *record = (bv_record){0};
  gathering *all = calloc(1, sizeof *all);
  if (!all) {
    bv_fail(error, BV_INTERNAL, "out of memory");
    return BV_OUTCOME_MEMORY;
  }
  all->study = study;
  bv_outcome outcome = bv_study_run(study, describe, all, evaluation);
  if (outcome != BV_OUTCOME_EVALUATED)
    bv_fail(error, BV_BAD_DATA, "%s", bv_study_last_error(study));
  else if (!fill(all, record))
    outcome = BV_OUTCOME_MEMORY;
  free(all);
  return outcome;
}

void bv_record_free(bv_record *record) {
  free(record->results);
  free(record->block);
  *record = (bv_record){0};
}
