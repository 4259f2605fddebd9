/* SPDX-License-Identifier: MIT */
/* Reads what a study wants: minimise, maximise, limits. */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "script/fields.h"
#include "script/study_state.h"

/* The position of a result among those the study reads, added where new. */
static size_t need(bv_study *study, const char *name, const char *role) {
  for (size_t i = 0; i < study->needed_count; i++)
    if (strcmp(study->needed[i].name, name) == 0)
      return i;
  size_t variable = bv_study_variable(study, name);
  bool is_number = variable < study->problem.space.count &&
                   study->variables[variable].scale <= BV_SCALE_STEP;
  study->needed[study->needed_count] =
      (bv_needed){.name = name,
                  .role = role,
                  .is_objective = strcmp(role, "limits") != 0,
                  .variable = is_number ? variable : BV_SPACE_MOST};
  return study->needed_count++;
}

static void add_objective(lua_State *L, bv_study *study, const char *list,
                          bool maximise) {
  bv_problem *problem = &study->problem;
  const char *name = bv_study_keep(L, study, lua_gettop(L));
  if (problem->objectives == BV_OBJECTIVES_MOST)
    bv_study_fail(L, study, "%s: expected at most %d objectives, found more",
                  list, BV_OBJECTIVES_MOST);
  for (size_t i = 0; i < problem->objectives; i++)
    if (strcmp(study->objectives[i].name, name) == 0)
      bv_study_fail(L, study, "%s: \"%s\" is named twice", list, name);
  study->objectives[problem->objectives] =
      (bv_objective){.name = name, .maximise = maximise};
  study->objective_needed[problem->objectives++] = need(study, name, list);
}

static void read_objectives(lua_State *L, bv_study *study, int index,
                            const char *list, bool maximise) {
  lua_Integer count =
      bv_study_check_list(L, study, index, list, "names of results");
  for (lua_Integer i = 1; i <= count; i++) {
    if (lua_rawgeti(L, index, i) != LUA_TSTRING)
      bv_study_fail(L, study, "%s[%I]: expected the name of a result, found %s",
                    list, (LUAI_UACINT) i,
                    bv_fields_push_found(L, lua_gettop(L)));
    add_objective(L, study, list, maximise);
    lua_pop(L, 1);
  }
}

void bv_study_read_minimise(lua_State *L, bv_study *study, int index) {
  read_objectives(L, study, index, "minimise", false);
}

void bv_study_read_maximise(lua_State *L, bv_study *study, int index) {
  read_objectives(L, study, index, "maximise", true);
}

/* Reads the end called key of the limit at index; false where it has none. */
static bool read_end(lua_State *L, bv_study *study, int index, const char *name,
                     const char *key, double *bound, int *function) {
  int type = lua_getfield(L, index, key);
  *function = LUA_NOREF;
  if (type == LUA_TNIL) {
    lua_pop(L, 1);
    return false;
  }
  if (type == LUA_TFUNCTION) {
    *bound = (double) NAN;
    *function = luaL_ref(L, LUA_REGISTRYINDEX);
    return true;
  }
  if (type != LUA_TNUMBER || isnan(lua_tonumber(L, -1)))
    bv_study_fail(L, study,
                  "limits.%s.%s: expected a number or a function of the "
                  "results, found %s",
                  name, key, bv_fields_push_found(L, lua_gettop(L)));
  *bound = lua_tonumber(L, -1);
  lua_pop(L, 1);
  return isfinite(*bound);
}

static void check_limit(lua_State *L, bv_study *study, int index,
                        const char *name) {
  if (!lua_istable(L, index))
    bv_study_fail(L, study, "limits.%s: expected { min = , max = }, found %s",
                  name, bv_fields_push_found(L, index));
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
    if (lua_type(L, -2) != LUA_TSTRING)
      bv_study_fail(L, study,
                    "limits.%s: expected min, max or scale, found the key %s",
                    name, bv_fields_push_found(L, lua_gettop(L) - 1));
    const char *key = lua_tostring(L, -2);
    if (strcmp(key, "min") != 0 && strcmp(key, "max") != 0 &&
        strcmp(key, "scale") != 0)
      bv_study_fail(L, study,
                    "limits.%s: unknown name \"%s\"; known are min, max, scale",
                    name, key);
  }
}

/* The scale a study gives to a limit, or 0. */
static double read_scale(lua_State *L, bv_study *study, int index,
                         const char *name) {
  int type = lua_getfield(L, index, "scale");
  double scale = type == LUA_TNUMBER ? lua_tonumber(L, -1) : (double) NAN;
  if (type != LUA_TNIL && !(scale > 0 && isfinite(scale)))
    bv_study_fail(L, study,
                  "limits.%s.scale: expected a number above 0, found "
                  "%s",
                  name, bv_fields_push_found(L, lua_gettop(L)));
  lua_pop(L, 1);
  return type == LUA_TNIL ? 0 : scale;
}

static double scale_of(double given, double bound, double other) {
  if (given > 0)
    return given;
  if (isnan(bound))
    return (double) NAN; /* by the bound's size at each point */
  if (bound != 0)
    return fabs(bound);
  return isfinite(other) && other != 0 ? fabs(other) : 1;
}

static void add_end(lua_State *L, bv_study *study, bv_end end) {
  if (study->problem.limits == BV_LIMITS_MOST)
    bv_study_fail(L, study, "limits: expected at most %d ends, found more",
                  BV_LIMITS_MOST);
  study->ends[study->problem.limits++] = end;
}

static void read_limit(lua_State *L, bv_study *study, int index,
                       const char *name) {
  double min = -(double) INFINITY, max = (double) INFINITY;
  int min_function, max_function;
  check_limit(L, study, index, name);
  bool has_min = read_end(L, study, index, name, "min", &min, &min_function);
  bool has_max = read_end(L, study, index, name, "max", &max, &max_function);
  double scale = read_scale(L, study, index, name);
  if (!has_min && !has_max)
    bv_study_fail(L, study,
                  "limits.%s: expected a finite min or max, found "
                  "neither",
                  name);
  if (min > max)
    bv_study_fail(L, study, "limits.%s: expected min <= max, found %f and %f",
                  name, min, max);
  bv_end end = {.entry = study->limit_count,
                .needed = need(study, name, "limits")};
  if (strcmp(name, "impossibility") == 0)
    study->grades = true, study->grade = end.needed;
  study->limits[study->limit_count++] = (bv_limit){name, min, max};
  end.bound = min, end.scale = scale_of(scale, min, max);
  end.function = min_function;
  if (has_min)
    add_end(L, study, end);
  end.bound = max, end.scale = scale_of(scale, max, min);
  end.function = max_function, end.is_max = true;
  if (has_max)
    add_end(L, study, end);
}

void bv_study_read_limits(lua_State *L, bv_study *study, int index) {
  if (!lua_istable(L, index))
    bv_study_fail(L, study,
                  "limits: expected a table of { min = , max = } by "
                  "names of results, found %s",
                  bv_fields_push_found(L, index));
  const char *names[BV_LIMITS_MOST];
  size_t count = 0;
  for (lua_pushnil(L); lua_next(L, index); lua_pop(L, 1)) {
    if (lua_type(L, -2) != LUA_TSTRING)
      bv_study_fail(L, study,
                    "limits: expected names of results, found the "
                    "key %s",
                    bv_fields_push_found(L, lua_gettop(L) - 1));
    if (count == BV_LIMITS_MOST)
      bv_study_fail(L, study, "limits: expected at most %d, found more",
                    BV_LIMITS_MOST);
    names[count++] = bv_study_keep(L, study, lua_gettop(L) - 1);
  }
  bv_study_sort(L, study, names, count);
  for (size_t i = 0; i < count; i++) {
    lua_getfield(L, index, names[i]);
    read_limit(L, study, index + 1, names[i]);
    lua_settop(L, index);
  }
}
