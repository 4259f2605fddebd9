/* SPDX-License-Identifier: MIT */
#include "table/csvfile.h"

#include <csv.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/utf8.h"

/* A file being read; the libcsv callbacks get it. */
typedef struct csv_reader {
  bv_csv *csv;
  bv_error *error;
  bv_status status; /* the first failure stops the reading */
  size_t used;      /* bytes of csv->block */
  size_t count;     /* cells so far */
  size_t in_row;    /* cells of the row under way */
  size_t line;      /* where the row under way starts */
  size_t cell_room, line_room;
} csv_reader;

static const char *shown_path(const char *path) {
  return strcmp(path, "-") == 0 ? "standard input" : path;
}

/* Doubles the room of an array until it holds `needed` elements. */
static bool grow(void **array, size_t *room, size_t needed, size_t size) {
  if (needed <= *room)
    return true;
  size_t more = *room ? *room * 2 : 256;
  void *grown = realloc(*array, more * size);
  if (!grown)
    return false;
  *array = grown;
  *room = more;
  return true;
}

static void refuse(csv_reader *reader, const char *expected, size_t found) {
  reader->status = bv_fail(reader->error, BV_BAD_DATA,
                           "%s:%zu: row %zu: expected %s, found %zu",
                           shown_path(reader->csv->path), reader->line,
                           reader->csv->rows, expected, found);
}

static void exhausted(csv_reader *reader) {
  reader->status = bv_fail(reader->error, BV_INTERNAL, "%s: out of memory",
                           shown_path(reader->csv->path));
}

/* The block holds the whole file's bytes, which is room enough: each cell's
 * NUL stands in the place of its comma or line break. */
static void take_cell(void *text, size_t length, void *context) {
  csv_reader *reader = context;
  bv_csv *csv = reader->csv;
  if (reader->status != BV_OK)
    return;
  if (reader->count >= BV_CSV_CELLS_MOST) {
    refuse(reader, "fewer than 2^24 cells", reader->count + 1);
    return;
  }
  if (!grow((void **) &csv->cells, &reader->cell_room, reader->count + 1,
            sizeof *csv->cells)) {
    exhausted(reader);
    return;
  }
  char *copy = csv->block + reader->used;
  if (length > 0)
    memcpy(copy, text, length);
  copy[length] = '\0';
  reader->used += length + 1;
  csv->cells[reader->count++] = copy;
  reader->in_row++;
}

/* Spreadsheets of many countries write semicolons: a header of one cell that
 * holds some is no name. */
static bool has_commas(csv_reader *reader) {
  const bv_csv *csv = reader->csv;
  const char *other =
      reader->in_row == 1 ? strpbrk(csv->cells[0], ";\t") : NULL;
  if (csv->rows > 0 || !other)
    return true;
  reader->status =
      bv_fail(reader->error, BV_BAD_DATA,
              "%s:%zu: header: expected commas between cells, found %s",
              shown_path(csv->path), reader->line,
              *other == ';' ? "semicolons" : "tabs");
  return false;
}

static bool row_fits(csv_reader *reader) {
  bv_csv *csv = reader->csv;
  char expected[48];
  if (csv->rows == 0 && reader->in_row > BV_CSV_COLUMNS_MOST) {
    refuse(reader, "at most 4096 columns", reader->in_row);
  } else if (csv->rows > 0 && reader->in_row != csv->columns) {
    snprintf(expected, sizeof expected, "%zu cells", csv->columns);
    refuse(reader, expected, reader->in_row);
  }
  return reader->status == BV_OK;
}

static void take_row(int terminator, void *context) {
  (void) terminator;
  csv_reader *reader = context;
  bv_csv *csv = reader->csv;
  if (reader->status != BV_OK || !has_commas(reader) || !row_fits(reader))
    return;
  if (!grow((void **) &csv->lines, &reader->line_room, csv->rows + 1,
            sizeof *csv->lines)) {
    exhausted(reader);
    return;
  }
  csv->lines[csv->rows++] = reader->line;
  csv->columns = reader->in_row;
  reader->in_row = 0;
}

/* Blanks belong to their cell (RFC 4180, section 2, rule 4). */
static int no_space(unsigned char byte) {
  (void) byte;
  return 0;
}

/* Parses the bytes one line at a time, so that a row knows its line. */
static void parse(csv_reader *reader, const char *bytes, size_t length) {
  struct csv_parser parser;
  if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
    exhausted(reader);
    return;
  }
  csv_set_space_func(&parser, no_space);
  csv_set_blk_size(&parser, 4096);
  bool parsed = true;
  size_t line = 0;
  while (length > 0 && parsed && reader->status == BV_OK) {
    const char *end = memchr(bytes, '\n', length);
    size_t part = end ? (size_t) (end - bytes) + 1 : length;
    line++;
    if (!parser.quoted)
      reader->line = line;
    parsed =
        csv_parse(&parser, bytes, part, take_cell, take_row, reader) == part;
    bytes += part;
    length -= part;
  }
  if (parsed && reader->status == BV_OK)
    parsed = csv_fini(&parser, take_cell, take_row, reader) == 0;
  if (!parsed && reader->status == BV_OK)
    reader->status = bv_fail(
        reader->error,
        csv_error(&parser) == CSV_EPARSE ? BV_BAD_DATA : BV_INTERNAL,
        "%s:%zu: row %zu, column %zu: expected a cell as RFC 4180 has it, "
        "found a stray or unterminated quote",
        shown_path(reader->csv->path), reader->line, reader->csv->rows,
        reader->in_row + 1);
  csv_free(&parser);
}

static size_t line_of(const char *bytes, size_t offset) {
  size_t line = 1;
  for (size_t i = 0; i < offset; i++)
    line += bytes[i] == '\n';
  return line;
}

/* Not allowed besides most controls: a byte order mark that isn't the first. */
static bool is_allowed(uint32_t point) {
  bool is_layout = point == '\t' || point == '\r' || point == '\n';
  return is_layout || (!bv_utf8_is_control(point) && point != 0xfeff);
}

/* What a cell may not hold wherever it stands. */
static bv_status check_text(const char *path, const char *bytes, size_t length,
                            bv_error *error) {
  size_t at = 0;
  while (at < length) {
    uint32_t point;
    size_t used = bv_utf8_decode(bytes + at, length - at, &point);
    if (used == 0)
      return bv_fail(error, BV_BAD_DATA,
                     "%s:%zu: expected UTF-8, found byte 0x%02x",
                     shown_path(path), line_of(bytes, at),
                     (unsigned) (unsigned char) bytes[at]);
    if (!is_allowed(point))
      return bv_fail(error, BV_BAD_DATA,
                     "%s:%zu: expected text, found control character 0x%02x",
                     shown_path(path), line_of(bytes, at), (unsigned) point);
    at += used;
  }
  return BV_OK;
}

static bv_status check_header(const bv_csv *csv, bv_error *error) {
  if (csv->rows == 0)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a header row, found nothing",
                   shown_path(csv->path));
  for (size_t i = 0; i < csv->columns; i++) {
    if (!*csv->cells[i])
      return bv_fail(error, BV_BAD_DATA,
                     "%s:%zu: column %zu: expected a name, found nothing",
                     shown_path(csv->path), csv->lines[0], i + 1);
    for (size_t k = 0; k < i; k++)
      if (strcmp(csv->cells[i], csv->cells[k]) == 0)
        return bv_fail(error, BV_BAD_DATA,
                       "%s:%zu: columns %zu and %zu: expected different "
                       "names, found '%.60s' twice",
                       shown_path(csv->path), csv->lines[0], k + 1, i + 1,
                       csv->cells[i]);
  }
  return BV_OK;
}

static bv_status read_bytes(const char *bytes, size_t length, bv_csv *csv,
                            bv_error *error) {
  if (length >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0) {
    bytes += 3;
    length -= 3;
  }
  bv_status status = check_text(csv->path, bytes, length, error);
  if (status != BV_OK)
    return status;
  csv_reader reader = {.csv = csv, .error = error, .status = BV_OK, .line = 1};
  csv->block = malloc(length + 1);
  if (!csv->block)
    exhausted(&reader);
  else
    parse(&reader, bytes, length);
  return reader.status == BV_OK ? check_header(csv, error) : reader.status;
}

bv_status bv_csv_read(const char *path, bv_csv *csv, bv_error *error) {
  *csv = (bv_csv){.path = path};
  bv_buffer file;
  bv_status status = bv_file_read(path, BV_CSV_MOST, &file, error);
  if (status != BV_OK)
    return status;
  status = read_bytes(file.text, file.length, csv, error);
  bv_buffer_free(&file);
  if (status != BV_OK)
    bv_csv_free(csv);
  return status;
}

void bv_csv_free(bv_csv *csv) {
  free(csv->cells);
  free(csv->lines);
  free(csv->block);
  *csv = (bv_csv){0};
}

const char *bv_csv_cell(const bv_csv *csv, size_t row, size_t column) {
  return csv->cells[row * csv->columns + column];
}

bv_status bv_csv_fail(const bv_csv *csv, size_t row, size_t column,
                      bv_error *error, const char *format, ...) {
  char text[512];
  va_list arguments;
  va_start(arguments, format);
  vsnprintf(text, sizeof text, format, arguments);
  va_end(arguments);
  char where[32] = "header";
  if (row > 0)
    snprintf(where, sizeof where, "row %zu", row);
  return bv_fail(error, BV_BAD_DATA, "%s:%zu: %s, column %.60s: %s",
                 shown_path(csv->path), csv->lines[row], where,
                 bv_csv_cell(csv, 0, column), text);
}

void bv_csv_append(bv_buffer *buffer, const char *text, int first) {
  if (!first)
    bv_buffer_append(buffer, ",", 1);
  if (*text ? !strpbrk(text, ",\"\r\n") : !first) {
    bv_buffer_append(buffer, text, strlen(text));
    return;
  }
  bv_buffer_append(buffer, "\"", 1);
  for (const char *quote; (quote = strchr(text, '"')); text = quote + 1) {
    bv_buffer_append(buffer, text, (size_t) (quote - text));
    bv_buffer_append(buffer, "\"\"", 2);
  }
  bv_buffer_append(buffer, text, strlen(text));
  bv_buffer_append(buffer, "\"", 1);
}
