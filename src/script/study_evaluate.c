/* SPDX-License-Identifier: MIT */
/* One evaluation: the point as a table, the script's function, its results as
 * objectives and limits. All of it runs in one protected call. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "model/charge.h"
#include "script/fields.h"
#include "script/study_state.h"
#include "script/types.h"

/* A limit that is infinitely far off counts as this. */
#define VIOLATION_MOST 1e6

void bv_study_push_point(lua_State *L, const bv_study *study, const double *x) {
  size_t count = study->problem.space.count;
  lua_createtable(L, 0, (int) count);
  for (size_t i = 0; i < count; i++) {
    switch (study->variables[i].scale) {
    case BV_SCALE_CHOICE:
    case BV_SCALE_ORDERED:
      lua_rawgeti(L, LUA_REGISTRYINDEX, study->choices[i]);
      lua_rawgeti(L, -1, (lua_Integer) x[i] + 1);
      lua_remove(L, -2);
      break;
    case BV_SCALE_WHOLE:
      lua_pushinteger(L, (lua_Integer) x[i]);
      break;
    default:
      lua_pushnumber(L, x[i]);
    }
    lua_setfield(L, -2, study->variables[i].name);
  }
}

/* Raises with the line of the function. */
static void refuse_result(lua_State *L, const bv_study *study) {
  lua_Debug function;
  const char *found = bv_fields_push_found(L, lua_gettop(L));
  const char *hint = lua_isnil(L, -2) ? " (no return?)" : "";
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->evaluate);
  lua_getinfo(L, ">S", &function);
  luaL_error(L,
             "%s:%d: evaluate: expected a design, a charge or a table of "
             "results, found %s%s",
             function.short_src, function.linedefined, found, hint);
}

void bv_study_push_result(lua_State *L, bv_study *study, const double *x) {
  lua_rawgeti(L, LUA_REGISTRYINDEX, study->evaluate);
  bv_study_push_point(L, study, x);
  if (study->case_count) {
    lua_rawgeti(L, LUA_REGISTRYINDEX, study->cases);
    lua_rawgeti(L, -1, (lua_Integer) study->case_chosen + 1);
    lua_remove(L, -2);
  }
  lua_call(L, study->case_count ? 2 : 1, 1);
  const bv_object *object = bv_object_any(L, -1);
  if (!lua_istable(L, -1) && (!object || !object->type->open))
    refuse_result(L, study);
}

/* Pushes the nearest name to a missing result, as "; did you mean …?". */
static const char *push_nearest(lua_State *L, int index, const char *name) {
  bv_nearest nearest = bv_nearest_begin(name);
  const bv_object *object = bv_object_any(L, index);
  for (size_t i = 0; object && i < object->type->fields->count; i++)
    bv_nearest_offer(&nearest, object->type->fields->list[i].name);
  if (object)
    bv_object_push_owns(L, index);
  else
    lua_pushvalue(L, index);
  if (lua_istable(L, -1))
    for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1))
      if (lua_type(L, -2) == LUA_TSTRING)
        bv_nearest_offer(&nearest, lua_tostring(L, -2));
  if (!nearest.best)
    return lua_pushliteral(L, "");
  return lua_pushfstring(L, "; did you mean \"%s\"?", nearest.best);
}

/* Pushes the `reason` of the result at index, or nil. */
static int push_reason(lua_State *L, int index) {
  const bv_object *object = bv_object_any(L, index);
  if (!object)
    return lua_getfield(L, index, "reason");
  const bv_field *field = bv_field_find(*object->type->fields, "reason");
  if (field)
    bv_fields_push(L, field, object->data);
  else
    lua_pushnil(L);
  return lua_type(L, -1);
}

/* Raises where the result at index has a reason that isn't "ok": what it lacks
 * is no slip of the script then. */
static void refuse_impossible(lua_State *L, const bv_study *study, int index) {
  if (push_reason(L, index) != LUA_TSTRING ||
      strcmp(lua_tostring(L, -1), "ok") == 0) {
    lua_pop(L, 1);
    return;
  }
  const char *reason = lua_tostring(L, -1), *meaning = NULL;
  for (int i = 0; i < BV_REASON_COUNT; i++)
    if (strcmp(bv_reason_words[i], reason) == 0)
      meaning = bv_reason_meaning((bv_reason) i);
  study->host->failure = BV_OUTCOME_NOT_A_NUMBER;
  bv_study_fail(L, study, "impossible: %s%s%s%s", reason, meaning ? " (" : "",
                meaning ? meaning : "", meaning ? ")" : "");
}

/* Raises for the value at the top, which should have been a number. */
static void refuse(lua_State *L, bv_study *study, int index,
                   const bv_needed *needed) {
  if (lua_isnil(L, -1))
    study->lacking = needed->name;
  refuse_impossible(L, study, index);
  if (lua_isnil(L, -1))
    bv_study_fail_at(L, study, needed, "evaluate gave no result \"%s\"%s",
                     needed->name, push_nearest(L, index, needed->name));
  bv_study_fail_at(L, study, needed,
                   "result \"%s\": expected a number, found %s", needed->name,
                   bv_fields_push_found(L, lua_gettop(L)));
}

/* Pops the number at the top; nothing there may be a variable's own name. */
static double take_number(lua_State *L, bv_study *study, int index,
                          const bv_needed *needed, const double *x) {
  bool is_variable = lua_isnil(L, -1) && needed->variable < BV_SPACE_MOST;
  if (lua_type(L, -1) != LUA_TNUMBER && !is_variable)
    refuse(L, study, index, needed);
  double value = is_variable ? x[needed->variable] : lua_tonumber(L, -1);
  lua_pop(L, 1);
  return value;
}

static double read_needed(lua_State *L, bv_study *study, int index,
                          bv_needed *needed, const double *x) {
  bv_object *object = bv_object_any(L, index);
  if (!object) {
    lua_getfield(L, index, needed->name);
    return take_number(L, study, index, needed, x);
  }
  if (needed->type != object->type) {
    needed->type = object->type;
    needed->field = bv_field_find(*object->type->fields, needed->name);
  }
  if (!needed->field) {
    bv_object_push_own(L, index, needed->name);
    return take_number(L, study, index, needed, x);
  }
  if (needed->field->kind == BV_TEXT || needed->field->kind == BV_WORD) {
    bv_fields_push(L, needed->field, object->data);
    refuse(L, study, index, needed);
  }
  return bv_field_number(needed->field, object->data);
}

/* An objective must be finite, a limit may be infinite. */
static void check_finite(lua_State *L, const bv_study *study, int index,
                         const bv_needed *needed, double value) {
  if (isfinite(value) || (isinf(value) && !needed->is_objective))
    return;
  refuse_impossible(L, study, index);
  study->host->failure = BV_OUTCOME_NOT_A_NUMBER;
  lua_pushnumber(L, value);
  bv_study_fail_at(L, study, needed,
                   "result \"%s\": expected a finite number, found %s",
                   needed->name, bv_fields_push_found(L, lua_gettop(L)));
}

/* The bound that a function of the results gives. */
static double call_bound(lua_State *L, const bv_study *study, int index,
                         const bv_end *end) {
  lua_rawgeti(L, LUA_REGISTRYINDEX, end->function);
  lua_pushvalue(L, index);
  lua_call(L, 1, 1);
  double bound =
      lua_type(L, -1) == LUA_TNUMBER ? lua_tonumber(L, -1) : (double) NAN;
  if (!isfinite(bound))
    refuse_impossible(L, study, index);
  if (!isfinite(bound))
    bv_study_fail(L, study,
                  "limits.%s.%s: expected the function to return a "
                  "finite number, found %s",
                  study->limits[end->entry].name, end->is_max ? "max" : "min",
                  bv_fields_push_found(L, lua_gettop(L)));
  lua_pop(L, 1);
  return bound;
}

static double violation(lua_State *L, const bv_study *study, int index,
                        bv_end *end, double value) {
  double bound = end->bound, scale = end->scale;
  if (end->function != LUA_NOREF)
    bound = end->found = call_bound(L, study, index, end);
  if (isnan(scale))
    scale = bound != 0 ? fabs(bound) : 1;
  double by = (end->is_max ? value - bound : bound - value) / scale;
  return fmax(-VIOLATION_MOST, fmin(VIOLATION_MOST, by));
}

/* A study that limits impossibility takes an impossible result as one that
 * breaks this limit by as much as it is told, and not as a failure. What is no
 * number counts as 0 in an objective, in a limit as broken by so much that what
 * is possible comes first. */
static bool is_graded(const bv_study *study, const double *values) {
  double impossibility = values[study->grade];
  return study->grades && isfinite(impossibility) && impossibility > 0;
}

void bv_study_take(lua_State *L, bv_study *study, int index,
                   bv_evaluation *evaluation) {
  double values[BV_NEEDED_MOST] = {0};
  for (size_t i = 0; i < study->needed_count; i++)
    values[i] = read_needed(L, study, index, &study->needed[i], evaluation->x);
  bool graded = is_graded(study, values);
  if (!graded)
    refuse_impossible(L, study, index);
  for (size_t i = 0; i < study->needed_count; i++)
    if (!graded || !isnan(values[i]))
      check_finite(L, study, index, &study->needed[i], values[i]);
  for (size_t i = 0; i < study->problem.objectives; i++) {
    double value = values[study->objective_needed[i]];
    value = isnan(value) ? 0 : value;
    evaluation->objectives[i] = study->objectives[i].maximise ? -value : value;
  }
  for (size_t i = 0; i < study->problem.limits; i++) {
    double value = values[study->ends[i].needed];
    study->ends[i].found = (double) NAN;
    evaluation->limits[i] =
        isnan(value) ? BV_IMPOSSIBLE
                     : violation(L, study, index, &study->ends[i], value);
  }
}

static int evaluate(lua_State *L) {
  bv_study *study = lua_touserdata(L, 1);
  bv_evaluation *evaluation = study->host->evaluation;
  bv_study_push_result(L, study, evaluation->x);
  bv_study_take(L, study, 2, evaluation);
  return 0;
}

/* The length of a number that begins at text and isn't part of a name or the
 * line after a file ("study.lua:7:"); 0: none does. */
static size_t number_length(const char *text, char before) {
  bool is_line = before == ':', in_name = isalnum((unsigned char) before) ||
                                          before == '_' || before == '.';
  size_t sign = *text == '-';
  if (is_line || in_name || !isdigit((unsigned char) text[sign]))
    return 0;
  return sign + strspn(text + sign, "0123456789.e+-");
}

/* A number for each message, the numbers in it left out: points that fail alike
 * differ in those. FNV-1a (datatracker.ietf.org/doc/draft-eastlake-fnv), cut to
 * what a double holds. */
static double cause_of(const bv_buffer *message) {
  const char *text = message->length ? message->text : "";
  uint64_t hash = 0xcbf29ce484222325;
  for (char before = ' '; *text; before = *text++) {
    text += number_length(text, before);
    hash = (hash ^ (unsigned char) *text) * 0x100000001b3;
    if (!*text)
      break;
  }
  return (double) (hash >> 11);
}

bv_outcome bv_study_run(bv_study *study, lua_CFunction body, void *context,
                        bv_evaluation *evaluation) {
  bv_host *host = study->host;
  evaluation->was_relaxed = false;
  host->evaluation = evaluation;
  host->point = evaluation->x;
  host->point_size = study->problem.space.count;
  host->random_ready = false;
  study->lacking = NULL;
  bv_outcome outcome = bv_host_call(host, body, context, study->point_steps);
  if (outcome != BV_OUTCOME_EVALUATED)
    evaluation->cause = cause_of(&host->message);
  host->evaluation = NULL;
  host->point = NULL;
  host->random_ready = false;
  return outcome;
}

bv_outcome bv_study_evaluate(void *context, bv_evaluation *evaluation) {
  return bv_study_run(context, evaluate, context, evaluation);
}

const char *bv_study_last_error(const bv_study *study) {
  return study->host->message.length ? study->host->message.text : "";
}
