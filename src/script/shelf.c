/* SPDX-License-Identifier: MIT */
#include "script/shelf.h"

#include <stdlib.h>
#include <string.h>

#include "script/files.h"
#include "script/plausible.h"
#include "script/types.h"

/* A file that was read. */
typedef struct volume {
  const bv_catalogue_kind *kind;
  char *path;
  bv_rows rows;
  struct volume *next;
} volume;

struct bv_shelf {
  volume *first;
  bv_parts parts;
  bool parts_ready;
};

const bv_catalogue_kind bv_catalogue_kinds[] = {
    {"cores", &bv_core_type, bv_plausible_core},
    {"wires", &bv_wire_type, bv_plausible_wire},
    {"materials", &bv_material_type, bv_plausible_material},
    {"switches", &bv_switch_type, NULL},
    {"diodes", &bv_diode_type, NULL},
    {"capacitors", &bv_storage_type, NULL},
};
const size_t bv_catalogue_kind_count =
    sizeof bv_catalogue_kinds / sizeof *bv_catalogue_kinds;

static bv_shelf *shelf_of(lua_State *L) {
  bv_host *host = bv_host_of(L);
  if (!host->shelf)
    host->shelf = calloc(1, sizeof *host->shelf);
  host->free_shelf = bv_shelf_free;
  if (!host->shelf)
    luaL_error(L, "out of memory");
  return host->shelf;
}

static const void *row_at(const bv_rows *rows, size_t i) {
  return (const char *) rows->data + i * rows->size;
}

static const volume *find(const bv_shelf *shelf, const bv_catalogue_kind *kind,
                          const char *path) {
  for (const volume *each = shelf->first; each; each = each->next)
    if (each->kind == kind && strcmp(each->path, path) == 0)
      return each;
  return NULL;
}

/* Tells of the first row whose figures contradict each other. */
static bv_status check_rows(const volume *read, bv_error *error) {
  const bv_catalogue_kind *kind = read->kind;
  const bv_field *name = bv_field_find(*kind->type->fields, "name");
  char why[256];
  for (size_t i = 0; kind->plausible && i < read->rows.count; i++) {
    const void *row = row_at(&read->rows, i);
    if (!kind->plausible(row, why, sizeof why))
      return bv_fail(error, BV_BAD_DATA, "%s: row %zu, \"%s\": %s", read->path,
                     i + 1, bv_field_text(name, row), why);
  }
  return BV_OK;
}

static const volume *read(lua_State *L, bv_shelf *shelf,
                          const bv_catalogue_kind *kind, const char *path) {
  bv_files_digest(L, path);
  volume *made = calloc(1, sizeof *made);
  if (!made || !(made->path = strdup(path))) {
    free(made);
    luaL_error(L, "out of memory");
    return NULL;
  }
  bv_error error;
  made->kind = kind;
  if (bv_catalogue_read(path, *kind->type->fields, kind->type->size,
                        &made->rows, &error) != BV_OK ||
      check_rows(made, &error) != BV_OK) {
    bv_catalogue_free(&made->rows);
    free(made->path);
    free(made);
    luaL_error(L, "%s", error.text);
    return NULL;
  }
  made->next = shelf->first;
  shelf->first = made;
  return made;
}

const bv_rows *bv_shelf_rows(lua_State *L, const bv_catalogue_kind *kind,
                             const char *path) {
  bv_shelf *shelf = shelf_of(L);
  int top = lua_gettop(L);
  if (!path)
    path = lua_pushfstring(L, "%s/catalogue/%s.csv", bv_host_of(L)->library,
                           kind->name);
  const volume *found = find(shelf, kind, path);
  if (!found && !bv_host_of(L)->loading)
    luaL_error(L,
               "catalogue.%s: expected at the top of the script, found a "
               "first use in evaluate",
               kind->name);
  if (!found)
    found = read(L, shelf, kind, path);
  lua_settop(L, top);
  return &found->rows;
}

/* The program's rows of a catalogue, and the field of their names. */
static const bv_rows *named_rows(lua_State *L, const char *catalogue,
                                 const bv_field **name) {
  const bv_catalogue_kind *kind = bv_catalogue_kinds;
  while (strcmp(kind->name, catalogue) != 0)
    kind++;
  *name = bv_field_find(*kind->type->fields, "name");
  return bv_shelf_rows(L, kind, NULL);
}

const void *bv_shelf_find(lua_State *L, const char *catalogue,
                          const char *name) {
  const bv_field *field;
  const bv_rows *rows = named_rows(L, catalogue, &field);
  for (size_t i = 0; i < rows->count; i++)
    if (strcmp(bv_field_text(field, row_at(rows, i)), name) == 0)
      return row_at(rows, i);
  return NULL;
}

const char *bv_shelf_nearest(lua_State *L, const char *catalogue,
                             const char *name) {
  const bv_field *field;
  const bv_rows *rows = named_rows(L, catalogue, &field);
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < rows->count; i++)
    bv_nearest_offer(&nearest, bv_field_text(field, row_at(rows, i)));
  return nearest.best;
}

const bv_parts *bv_shelf_parts(lua_State *L) {
  bv_shelf *shelf = shelf_of(L);
  if (shelf->parts_ready)
    return &shelf->parts;
  (void) bv_shelf_rows(L, &bv_catalogue_kinds[0], NULL); /* for evaluate */
  const bv_rows *wires = bv_shelf_rows(L, &bv_catalogue_kinds[1], NULL);
  const bv_rows *materials = bv_shelf_rows(L, &bv_catalogue_kinds[2], NULL);
  const bv_rows *switches = bv_shelf_rows(L, &bv_catalogue_kinds[3], NULL);
  const bv_rows *diodes = bv_shelf_rows(L, &bv_catalogue_kinds[4], NULL);
  shelf->parts = (bv_parts){.wires = wires->data,
                            .wire_count = wires->count,
                            .materials = materials->data,
                            .material_count = materials->count,
                            .switches = switches->data,
                            .switch_count = switches->count,
                            .diodes = diodes->data,
                            .diode_count = diodes->count};
  shelf->parts_ready = true;
  return &shelf->parts;
}

void bv_shelf_free(bv_shelf *shelf) {
  if (!shelf)
    return;
  for (volume *each = shelf->first, *next; each; each = next) {
    next = each->next;
    bv_catalogue_free(&each->rows);
    free(each->path);
    free(each);
  }
  free(shelf);
}
