/* SPDX-License-Identifier: MIT */
/* Catalogues: CSV files of parts, read into arrays of structs by their tables
 * of fields. */
#ifndef BV_TABLE_CATALOGUE_H
#define BV_TABLE_CATALOGUE_H

#include <stddef.h>

#include "base/field.h"
#include "base/status.h"

/* Rows of one kind of part: an array of count structs of size bytes each. */
typedef struct bv_rows {
  size_t count, size;
  void *data;
} bv_rows;

/* Most rows of a catalogue. */
enum { BV_CATALOGUE_MOST = 100000 };

/* Reads the catalogue at path into structs of `size` bytes described by fields.
 * Header cells are `name` or `name_unit` (see unit.h). BV_NO_INPUT;
 * BV_BAD_DATA with file, row and column for: an unknown or doubled column (with
 * the nearest known name), a required column left out, a cell that isn't a
 * number, is out of the field's range or is empty where the field is required,
 * two rows of one name, a name too long for its field or that begins like a
 * spreadsheet formula. A provenance may be longer than its field, which then
 * keeps the start. Infinite bounds of a field allow any number. */
bv_status bv_catalogue_read(const char *path, bv_fields fields, size_t size,
                            bv_rows *rows, bv_error *error);
void bv_catalogue_free(bv_rows *rows);

#endif
