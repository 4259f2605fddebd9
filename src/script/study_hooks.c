/* SPDX-License-Identifier: MIT */
/* The script's hooks. */
#include "script/study_state.h"

/* What a hook is called with. */
typedef struct call {
  bv_study *study;
  const bv_progress *progress;
  size_t objective;
  const double *x;
  double value;
  bool stop;
} call;

/* True where the hook, called with what is on the stack, asks to stop. */
static bool run(lua_State *L, int arguments) {
  lua_call(L, arguments, 1);
  return lua_isboolean(L, -1) && !lua_toboolean(L, -1);
}

static void set_number(lua_State *L, const char *name, double value) {
  lua_pushnumber(L, value);
  lua_setfield(L, -2, name);
}

static void set_count(lua_State *L, const char *name, uint64_t value) {
  lua_pushinteger(L, (lua_Integer) value);
  lua_setfield(L, -2, name);
}

static int call_round(lua_State *L) {
  call *made = lua_touserdata(L, 1);
  const bv_progress *progress = made->progress;
  lua_rawgeti(L, LUA_REGISTRYINDEX, made->study->on_round);
  lua_createtable(L, 0, 5);
  set_count(L, "round", progress->round);
  set_count(L, "evaluations", progress->evaluations);
  set_count(L, "feasible", progress->feasible);
  set_count(L, "front", progress->front);
  set_number(L, "hypervolume", progress->hypervolume);
  made->stop = run(L, 1);
  return 0;
}

static int call_best(lua_State *L) {
  call *made = lua_touserdata(L, 1);
  bv_objective objective = made->study->objectives[made->objective];
  lua_rawgeti(L, LUA_REGISTRYINDEX, made->study->on_best);
  lua_pushstring(L, objective.name);
  bv_study_push_point(L, made->study, made->x);
  lua_pushnumber(L, objective.maximise ? -made->value : made->value);
  made->stop = run(L, 3);
  return 0;
}

bool bv_study_has_hooks(const bv_study *study) {
  return study->on_round != LUA_NOREF || study->on_best != LUA_NOREF;
}

/* A hook that failed once isn't called again. */
static bv_outcome finish(bv_outcome outcome, int *hook) {
  if (outcome != BV_OUTCOME_EVALUATED)
    *hook = LUA_NOREF;
  return outcome;
}

bv_outcome bv_study_on_round(bv_study *study, const bv_progress *progress,
                             bool *stop) {
  call made = {.study = study, .progress = progress};
  *stop = false;
  if (study->on_round == LUA_NOREF)
    return BV_OUTCOME_EVALUATED;
  bv_outcome outcome =
      bv_host_call(study->host, call_round, &made, study->point_steps);
  *stop = made.stop;
  return finish(outcome, &study->on_round);
}

bv_outcome bv_study_on_best(bv_study *study, size_t objective, const double *x,
                            double value, bool *stop) {
  call made = {.study = study, .objective = objective, .x = x, .value = value};
  *stop = false;
  if (study->on_best == LUA_NOREF)
    return BV_OUTCOME_EVALUATED;
  bv_outcome outcome =
      bv_host_call(study->host, call_best, &made, study->point_steps);
  *stop = made.stop;
  return finish(outcome, &study->on_best);
}
