/* SPDX-License-Identifier: MIT */
#include "script/study.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "script/loader.h"
#include "script/sandbox.h"
#include "script/study_state.h"

bv_study_options bv_study_defaults(void) {
  return (bv_study_options){.memory_most = (size_t) 256 << 20,
                            .load_steps_most = 500000000,
                            .point_steps_most = 1000000000,
                            .seed = 1};
}

void bv_study_watch(bool (*is_late)(void)) {
  bv_host_is_late = is_late;
}

static void push_arguments(lua_State *L, const bv_study *study) {
  lua_createtable(L, (int) study->argument_count, 0);
  for (size_t i = 0; i < study->argument_count; i++) {
    lua_pushstring(L, study->arguments[i]);
    lua_rawseti(L, -2, (lua_Integer) i + 1);
  }
}

/* Runs the script and reads what it returns. */
static int load(lua_State *L) {
  bv_study *study = lua_touserdata(L, 1);
  bv_host *host = study->host;
  lua_newtable(L);
  study->anchor = luaL_ref(L, LUA_REGISTRYINDEX);
  bv_sandbox_open(L);
  push_arguments(L, study);
  lua_setglobal(L, "arg");
  host->loading = true;
  bv_loader_push_chunk(L, host->script, host->script);
  host->missing = false;
  lua_call(L, 0, 1);
  host->loading = false;
  bv_study_read(L, study, lua_gettop(L));
  return 0;
}

/* The real folder of a script; "" where there is none. */
static char *folder_of(const char *path) {
  char folder[PATH_MAX], real[PATH_MAX];
  snprintf(folder, sizeof folder, "%s", path);
  char *slash = strrchr(folder, '/');
  if (slash)
    slash[slash == folder ? 1 : 0] = '\0';
  return strdup(realpath(slash ? folder : ".", real) ? real : "");
}

static bv_study *make(const char *path, const bv_study_options *options) {
  bv_study *study = calloc(1, sizeof *study);
  if (!study)
    return NULL;
  study->title = "";
  study->point_steps = options->point_steps_most;
  study->arguments = options->arguments;
  study->argument_count = options->argument_count;
  study->host = bv_host_new(options->memory_most);
  if (study->host) {
    study->host->script = strdup(path);
    study->host->folder = folder_of(path);
    study->host->library = strdup(options->library ? options->library : "");
    study->host->seed = options->seed;
  }
  if (study->host && study->host->script && study->host->folder &&
      study->host->library)
    return study;
  bv_study_close(study);
  return NULL;
}

bv_status bv_study_open(const char *path, const bv_study_options *options,
                        bv_study **study, bv_error *error) {
  *study = NULL;
  bv_study *made = make(path, options);
  if (!made)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  bv_host *host = made->host;
  bv_outcome outcome = bv_host_call(host, load, made, options->load_steps_most);
  if (outcome != BV_OUTCOME_EVALUATED) {
    bv_status status = host->missing ? BV_NO_INPUT : BV_BAD_DATA;
    bool named = strstr(host->message.text, path) == host->message.text;
    bv_fail(error, status, "%s%s%s", named ? "" : path, named ? "" : ": ",
            host->message.text);
    bv_study_close(made);
    return status;
  }
  SHA256End(&host->digest, made->digest);
  *study = made;
  return BV_OK;
}

void bv_study_close(bv_study *study) {
  if (!study)
    return;
  bv_host_free(study->host);
  free(study->starts);
  free(study);
}

const bv_problem *bv_study_problem(const bv_study *study) {
  return &study->problem;
}

const char *bv_study_path(const bv_study *study) {
  return study->host->script;
}

const char *bv_study_title(const bv_study *study) {
  return study->title;
}

const char *bv_study_digest(const bv_study *study) {
  return study->digest;
}

const bv_objective *bv_study_objectives(const bv_study *study, size_t *count) {
  *count = study->problem.objectives;
  return study->objectives;
}

const char *const *bv_study_declared(const bv_study *study, size_t *count) {
  *count = study->declared_count;
  return study->declared;
}

const bv_limit *bv_study_limits(const bv_study *study, size_t *count) {
  *count = study->limit_count;
  return study->limits;
}

const double *bv_study_starts(const bv_study *study, size_t *count) {
  *count = study->start_count;
  return study->starts;
}

uint64_t bv_study_seed(const bv_study *study) {
  return study->host->seed;
}

const char *const *bv_study_arguments(const bv_study *study, size_t *count) {
  *count = study->argument_count;
  return study->arguments;
}

bv_status bv_study_add_starts(bv_study *study, const double *x, size_t count,
                              bv_error *error) {
  size_t width = study->problem.space.count, had = study->start_count;
  double *starts =
      realloc(study->starts, (had + count + 1) * width * sizeof *starts);
  if (!starts)
    return bv_fail(error, BV_INTERNAL, "out of memory for the start designs");
  memcpy(starts + had * width, x, count * width * sizeof *starts);
  study->starts = starts;
  study->start_count = had + count;
  return BV_OK;
}

const char *bv_study_lacking(const bv_study *study) {
  return study->lacking ? study->lacking : "";
}

size_t bv_study_memory(const bv_study *study) {
  return study->host->memory;
}
