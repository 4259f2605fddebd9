/* SPDX-License-Identifier: MIT */
/* CSV files (RFC 4180, UTF-8) as tables of texts. csvfile.c is the only file
 * that includes libcsv's header. */
#ifndef BV_TABLE_CSVFILE_H
#define BV_TABLE_CSVFILE_H

#include <stddef.h>

#include "base/status.h"
#include "base/text.h"

/* A table of texts: cells[row * columns + column]; row 0 is the header. All
 * texts live in one block that bv_csv_free releases. */
typedef struct bv_csv {
  size_t rows, columns;
  char **cells;
  size_t *lines;    /* line of the file where each row starts, from 1 */
  const char *path; /* for messages; as given, the caller keeps it alive */
  char *block;
} bv_csv;

/* Largest file read, bytes; most cells and most columns it may have. */
#define BV_CSV_MOST ((size_t) 256 << 20)
enum { BV_CSV_CELLS_MOST = 1 << 24, BV_CSV_COLUMNS_MOST = 4096 };

/* Reads a file ("-": standard input) whose rows all have as many cells as its
 * header, whose header cells are all different and not empty. Lines end in LF
 * or CRLF, empty lines don't count, a byte order mark is passed over. Refused
 * are bytes that aren't UTF-8, control characters but tab and line breaks, and
 * stray or unterminated quotes. BV_NO_INPUT, or BV_BAD_DATA with file, line and
 * what was found. */
bv_status bv_csv_read(const char *path, bv_csv *csv, bv_error *error);
void bv_csv_free(bv_csv *csv);

/* The cell of a row and column. */
const char *bv_csv_cell(const bv_csv *csv, size_t row, size_t column);

/* Fills error with file, line, column's name and a formatted text and returns
 * BV_BAD_DATA: for a cell that isn't what it should be. */
bv_status bv_csv_fail(const bv_csv *csv, size_t row, size_t column,
                      bv_error *error, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* Appends one cell to a line under way, quoted where RFC 4180 asks; `first`
 * leaves the comma out. An empty first cell is quoted, so that a row of one
 * empty cell isn't an empty line. */
void bv_csv_append(bv_buffer *buffer, const char *text, int first);

#endif
