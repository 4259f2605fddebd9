/* SPDX-License-Identifier: MIT */
/* The folder of a sweep, and the manifest that says what sweep it is:
 *
 *   DIR/manifest               a journal of lines "KEY VALUE": version, study
 *                              (digest), seed, budgets, slices, objectives, and
 *                              a line `case NAME` a case, in their order
 *   DIR/slices/I-of-N.entries  a journal: a line a finished case (entry.h)
 *   DIR/slices/I-of-N.diary    the case under way (diary.h)
 *   DIR/slices/I-of-N.lock     who works on the slice (lock.h)
 *   DIR/cases/NAME.csv         the front of a case, its sidecar beside it
 *   DIR/cases/NAME.near.csv    what is near it (near.h), where there is any
 *   DIR/index.csv, front.csv   what merge makes of all cases */
#ifndef BV_RUN_MANIFEST_H
#define BV_RUN_MANIFEST_H

#include <stddef.h>

#include "base/status.h"
#include "base/text.h"

/* Room for the path of a file in the folder. */
enum { BV_PATH_SIZE = 4096 };

/* Prints a path (BV_PATH_SIZE bytes). BV_CANNOT_CREATE: too long. */
bv_status bv_path_print(char *path, bv_error *error, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The path of a slice's file: "entries", "diary" or "lock". */
bv_status bv_path_of_slice(char *path, const char *folder, size_t slice,
                           size_t slices, const char *kind, bv_error *error);

/* Lines of text; start from {0}. */
typedef struct bv_manifest {
  size_t count, room, failed;
  char **lines;      /* "KEY VALUE" */
  size_t first_case; /* the lines from here on are the cases */
} bv_manifest;

/* Adds a line; out of memory is remembered and told by bv_manifest_write. */
void bv_manifest_add(bv_manifest *manifest, const char *key, const char *format,
                     ...) __attribute__((format(printf, 3, 4)));
void bv_manifest_free(bv_manifest *manifest);

/* The value of the first line of that key, "" where there is none. */
const char *bv_manifest_value(const bv_manifest *manifest, const char *key);

size_t bv_manifest_cases(const bv_manifest *manifest);
const char *bv_manifest_case(const bv_manifest *manifest, size_t index);
size_t bv_manifest_slices(const bv_manifest *manifest); /* at least 1 */

enum { BV_SLICES_MOST = 999999 };

/* How many of so many cases belong to a slice. */
size_t bv_slice_cases(size_t cases, size_t slice, size_t slices);

/* Reads the manifest of a folder. BV_NO_INPUT: it has none. BV_BAD_DATA: it is
 * damaged. */
bv_status bv_manifest_read(const char *folder, bv_manifest *manifest,
                           bv_error *error);
bv_status bv_manifest_write(const char *folder, const bv_manifest *manifest,
                            bv_error *error);

/* BV_BAD_DATA where two manifests differ; tells the first difference. */
bv_status bv_manifest_compare(const bv_manifest *there, const bv_manifest *here,
                              bv_error *error);

#endif
