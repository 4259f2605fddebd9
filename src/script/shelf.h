/* SPDX-License-Identifier: MIT */
/* The shelf: catalogue files a script has read, each once. */
#ifndef BV_SCRIPT_SHELF_H
#define BV_SCRIPT_SHELF_H

#include "model/design.h"
#include "script/host.h"
#include "script/object.h"
#include "table/catalogue.h"

/* The catalogues of the program, files lib/catalogue/NAME.csv. */
typedef struct bv_catalogue_kind {
  const char *name; /* "cores" */
  const bv_object_type *type;
  /* NULL: figures of a row aren't compared; see plausible.h. */
  bool (*plausible)(const void *row, char *why, size_t size);
} bv_catalogue_kind;

extern const bv_catalogue_kind bv_catalogue_kinds[];
extern const size_t bv_catalogue_kind_count;

/* The rows of a catalogue: those of the program, or those of the user's file
 * at a real path (NULL: the program's). Reads the file where it wasn't yet,
 * which adds it to the study's digest. Raises. The rows live as long as the
 * host. */
const bv_rows *bv_shelf_rows(lua_State *L, const bv_catalogue_kind *kind,
                             const char *path);

/* The row called name of the program's catalogue ("cores"), or NULL. Raises. */
const void *bv_shelf_find(lua_State *L, const char *catalogue,
                          const char *name);

/* The name of such a row that is nearest to another name, or NULL. Raises. */
const char *bv_shelf_nearest(lua_State *L, const char *catalogue,
                             const char *name);

/* What a design may pick from: the program's catalogues. Raises. */
const bv_parts *bv_shelf_parts(lua_State *L);

void bv_shelf_free(bv_shelf *shelf); /* NULL is allowed */

#endif
