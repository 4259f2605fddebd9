/* SPDX-License-Identifier: MIT */
/* Fronts: the table of designs a search found, as a CSV file, with its sidecar
 * (Frictionless Table Schema) that gives units, meanings and how it was made.
 */
#ifndef BV_TABLE_FRONT_H
#define BV_TABLE_FRONT_H

#include <stdint.h>

#include "base/field.h"
#include "base/status.h"
#include "base/text.h"

typedef enum bv_role {
  BV_ROLE_ID, /* the column `row` */
  BV_ROLE_VARIABLE,
  BV_ROLE_MINIMISE, /* an objective, smaller is better */
  BV_ROLE_MAXIMISE, /* an objective, larger is better */
  BV_ROLE_RESULT,
  BV_ROLE_COUNT
} bv_role;

/* A column; texts are owned by the front. The header cell is name, or name_unit
 * where there is a unit. */
typedef struct bv_column {
  char *name, *unit, *meaning;
  bv_role role;
  bool is_text;                /* values are texts, else numbers */
  double limit_min, limit_max; /* limits of the study; infinite: none */
} bv_column;

typedef struct bv_value {
  double number; /* where the column isn't text; NAN is an empty cell */
  char *text;    /* where it is; owned by the front, NULL is an empty cell */
} bv_value;

/* How the front was made; texts owned by the front, NULL where unknown. */
typedef struct bv_origin {
  char *title, *study;    /* title of the study, file name of the script */
  char *case_name;        /* of a study that has cases */
  char *version, *digest; /* of the program; SHA-256 of the script, hex */
  char *stop;             /* why the search ended, a bv_stop word */
  char *seed_designs;     /* SHA-256 of those that an earlier front gave, hex */
  uint64_t seed, evaluations; /* 0 evaluations: unknown */
  double hypervolume;         /* NAN: unknown */
  bool is_estimate;           /* that is, from a sample */
  size_t reference_count;
  double reference[8]; /* in the order of the objectives, as minimised */
} bv_origin;

typedef struct bv_front {
  size_t columns, rows;
  bv_column *column;
  bv_value *values; /* values[row * columns + column] */
  bv_origin origin;
} bv_front;

/* Makes the texts of the CSV file and of the sidecar (buffers freed by the
 * caller). */
void bv_front_print_csv(const bv_front *front, bv_buffer *csv);
bv_status bv_front_print_schema(const bv_front *front, const char *csv_name,
                                bv_buffer *json, bv_error *error);

/* Writes the front to path and its sidecar beside it, and near designs (NULL or
 * without rows: there are none, and those of an earlier front are taken away)
 * with their sidecar to bv_front_near_path. Each file is written in one step,
 * once all are on the disk. */
bv_status bv_front_write(const bv_front *front, const bv_front *near,
                         const char *path, bv_error *error);

/* Reads a front; its sidecar, where there is one, gives units and roles to the
 * columns it knows by their header cells. The other columns have what the
 * header tells: known unit suffixes are split off, `row` is the id, other roles
 * are RESULT, and a column is a text where a cell of it is no number.
 * BV_NO_INPUT; BV_BAD_DATA with file, line and column. */
bv_status bv_front_read(const char *path, bv_front *front, bv_error *error);
void bv_front_free(bv_front *front);

/* The texts of one, not itself. */
void bv_column_free(bv_column *column);
void bv_origin_free(bv_origin *origin);

/* The sidecar's path of a front: FRONT.csv -> FRONT.schema.json; freed by the
 * caller, NULL where memory ran out. */
char *bv_front_schema_path(const char *path);

/* The path of a front's near designs, which miss one limit each:
 * FRONT.csv -> FRONT.near.csv; freed by the caller, NULL where memory ran out.
 */
char *bv_front_near_path(const char *path);

/* Reads the designs near a front that was read from path. BV_NO_INPUT: there
 * are none. BV_BAD_DATA: as bv_front_read, or they are of another search. */
bv_status bv_front_read_near(const bv_front *front, const char *path,
                             bv_front *near, bv_error *error);

/* The columns of near designs that tell what of the limit and what is gained
 * begin with the prefix (run/near.h); true where a front has them. */
#define BV_NEAR_PREFIX "near_"
bool bv_front_is_near(const bv_front *front);

/* What a script computes as the bound of a limit is a column of its own:
 * limit_max_NAME or limit_min_NAME. The column of a limited one that holds its
 * bound; front->columns where there is none. */
#define BV_BOUND_PREFIX "limit_"
size_t bv_front_find_bound(const bv_front *front, const char *name,
                           bool is_max);
bool bv_front_tells_near(const bv_front *front, size_t column);

/* Makes a front of that many columns and rows with nothing in them: names NULL,
 * roles BV_ROLE_RESULT, no limits, values NAN. BV_INTERNAL where memory ran
 * out. */
bv_status bv_front_make(bv_front *front, size_t columns, size_t rows,
                        bv_error *error);

/* Puts empty columns before that of an index, as bv_front_make has them.
 * BV_INTERNAL where memory ran out. */
bv_status bv_front_insert(bv_front *front, size_t index, size_t count,
                          bv_error *error);

/* The value of a row and column. */
bv_value *bv_front_value(const bv_front *front, size_t row, size_t column);

/* The id of a row: its number in the id column, or its place from 1 where the
 * front has none. */
double bv_front_id(const bv_front *front, size_t row);

/* The row of that id, or front->rows. */
size_t bv_front_find_row(const bv_front *front, double id);

/* Appends one cell to a line of CSV under way, as bv_csv_append does; infinite
 * numbers as INF and -INF, as Table Schema has them. */
void bv_front_append_cell(const bv_front *front, size_t row, size_t column,
                          int first, bv_buffer *csv);

/* Appends the column's header cell. */
void bv_front_append_header(const bv_column *column, bv_buffer *out);

/* The column called name (with or without its unit), or front->columns. */
size_t bv_front_find(const bv_front *front, const char *name);

#endif
