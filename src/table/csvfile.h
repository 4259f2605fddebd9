/* SPDX-License-Identifier: MIT */
/* CSV files (RFC 4180, UTF-8) as tables of texts. csvfile.c is the only file
 * that includes libcsv's header. */
#ifndef BV_TABLE_CSVFILE_H
#define BV_TABLE_CSVFILE_H

#include <stddef.h>

#include "base/status.h"
#include "base/text.h"

/* A table of texts: cells[row * columns + column]; row 0 is the header. All
 * texts live in one block that csv_free releases. */
typedef struct bv_csv {
  size_t rows, columns;
  char **cells;
  size_t *lines; /* line of the file where each row starts, from 1 */
  char *block;
} bv_csv;

/* Largest file read, bytes. */
#define BV_CSV_MOST ((size_t) 256 << 20)

/* Reads a file ("-": standard input) whose rows all have as many cells as its
 * header. BV_NO_INPUT, or BV_BAD_DATA with file, row and what was found. */
bv_status bv_csv_read(const char *path, bv_csv *csv, bv_error *error);
void bv_csv_free(bv_csv *csv);

/* The cell of a row and column. */
const char *bv_csv_cell(const bv_csv *csv, size_t row, size_t column);

/* Appends one cell to a line under way, quoted where RFC 4180 asks; `first`
 * leaves the comma out. */
void bv_csv_append(bv_buffer *buffer, const char *text, int first);

#endif
