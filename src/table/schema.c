/* SPDX-License-Identifier: MIT */
/* The sidecar: Frictionless Table Schema (specs.frictionlessdata.io), with
 * `unit`, `role` and `limits` of each field and how the front was made as
 * custom properties, which the specification allows. Numbers are written with
 * all their digits; the seed has 64 bits, more than a JSON reader may keep of a
 * number, and so is a text of digits. */
#include "table/schema.h"

#include <cjson/cJSON.h>
#include <errno.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/utf8.h"
#include "table/csvfile.h"

static const char *const role_words[BV_ROLE_COUNT] = {
    "id", "variable", "minimise", "maximise", "result"};

/* The texts of an origin by their keys, for both ways. */
static const struct {
  const char *key;
  size_t offset;
} origin_texts[] = {{"title", offsetof(bv_origin, title)},
                    {"study", offsetof(bv_origin, study)},
                    {"case", offsetof(bv_origin, case_name)},
                    {"version", offsetof(bv_origin, version)},
                    {"digest", offsetof(bv_origin, digest)},
                    {"stop", offsetof(bv_origin, stop)},
                    {"seed_designs", offsetof(bv_origin, seed_designs)}};

enum { ORIGIN_TEXTS = sizeof origin_texts / sizeof *origin_texts };

static char **origin_text(bv_origin *origin, size_t index) {
  return (char **) (void *) ((char *) origin + origin_texts[index].offset);
}

/* cJSON's own printing may lose the last digit. */
static void add_number(cJSON *object, const char *key, double value) {
  char text[BV_NUMBER_SIZE];
  if (isfinite(value))
    cJSON_AddRawToObject(object, key, bv_format_number(text, value));
}

/* Adds a text; a byte that is no UTF-8, as file names may have, becomes the
 * replacement character. */
static void add_text(cJSON *object, const char *key, const char *text) {
  static const char replacement[] = "\xef\xbf\xbd";
  bv_buffer valid = {0};
  if (!text || !*text)
    return;
  for (size_t left = strlen(text); left > 0;) {
    size_t good = bv_utf8_valid(text, left), bad = good < left;
    bv_buffer_append(&valid, text, good);
    bv_buffer_append(&valid, replacement, bad * strlen(replacement));
    text += good + bad;
    left -= good + bad;
  }
  if (!valid.failed)
    cJSON_AddStringToObject(object, key, valid.text);
  bv_buffer_free(&valid);
}

static void add_field(cJSON *fields, const bv_column *column) {
  cJSON *field = cJSON_CreateObject();
  bv_buffer header = {0};
  bv_front_append_header(column, &header);
  if (!header.failed)
    cJSON_AddStringToObject(field, "name", header.text);
  bv_buffer_free(&header);
  add_text(field, "title", column->name);
  cJSON_AddStringToObject(field, "type", column->is_text ? "string" : "number");
  add_text(field, "description", column->meaning);
  add_text(field, "unit", column->unit);
  cJSON_AddStringToObject(field, "role", role_words[column->role]);
  if (isfinite(column->limit_min) || isfinite(column->limit_max)) {
    cJSON *limits = cJSON_AddObjectToObject(field, "limits");
    add_number(limits, "min", column->limit_min);
    add_number(limits, "max", column->limit_max);
  }
  cJSON_AddItemToArray(fields, field);
}

static void add_origin(cJSON *schema, const bv_origin *origin) {
  cJSON *made = cJSON_AddObjectToObject(schema, "origin");
  bv_origin copy = *origin;
  for (size_t i = 0; i < ORIGIN_TEXTS; i++)
    add_text(made, origin_texts[i].key, *origin_text(&copy, i));
  char seed[24];
  snprintf(seed, sizeof seed, "%" PRIu64, origin->seed);
  cJSON_AddStringToObject(made, "seed", seed);
  if (origin->evaluations > 0)
    add_number(made, "evaluations", (double) origin->evaluations);
  add_number(made, "hypervolume", origin->hypervolume);
  if (origin->is_estimate)
    cJSON_AddTrueToObject(made, "hypervolume_is_estimate");
  if (origin->reference_count == 0)
    return;
  cJSON *reference = cJSON_AddArrayToObject(made, "reference_point");
  for (size_t i = 0; i < origin->reference_count; i++) {
    char text[BV_NUMBER_SIZE];
    bv_format_number(text, origin->reference[i]);
    cJSON_AddItemToArray(
        reference,
        cJSON_CreateRaw(isfinite(origin->reference[i]) ? text : "null"));
  }
}

static cJSON *make_schema(const bv_front *front, const char *csv_name) {
  cJSON *schema = cJSON_CreateObject();
  add_text(schema, "path", csv_name);
  cJSON *fields = cJSON_AddArrayToObject(schema, "fields");
  for (size_t i = 0; i < front->columns; i++)
    add_field(fields, &front->column[i]);
  cJSON *missing = cJSON_AddArrayToObject(schema, "missingValues");
  cJSON_AddItemToArray(missing, cJSON_CreateString(""));
  for (size_t i = 0; i < front->columns; i++)
    if (front->column[i].role == BV_ROLE_ID)
      cJSON_AddStringToObject(schema, "primaryKey", front->column[i].name);
  add_origin(schema, &front->origin);
  return schema;
}

bv_status bv_front_print_schema(const bv_front *front, const char *csv_name,
                                bv_buffer *json, bv_error *error) {
  cJSON *schema = make_schema(front, csv_name);
  char *text = cJSON_Print(schema);
  cJSON_Delete(schema);
  if (text)
    bv_buffer_print(json, "%s\n", text);
  cJSON_free(text);
  if (!text || json->failed)
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", csv_name);
  return BV_OK;
}

static const char *text_of(const cJSON *object, const char *key) {
  return cJSON_GetStringValue(cJSON_GetObjectItemCaseSensitive(object, key));
}

/* fallback where there is no such number. */
static double number_of(const cJSON *object, const char *key, double fallback) {
  const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);
  return cJSON_IsNumber(item) ? item->valuedouble : fallback;
}

/* Replaces an owned text by a copy; false where memory ran out. */
static bool keep_text(char **place, const char *text) {
  if (!text)
    return true;
  free(*place);
  *place = strdup(text);
  return *place != NULL;
}

static bool read_role(const char *word, bv_role *role) {
  for (int i = 0; word && i < BV_ROLE_COUNT; i++)
    if (strcmp(word, role_words[i]) == 0) {
      *role = (bv_role) i;
      return true;
    }
  return word == NULL;
}

/* The column of that header cell that no field has claimed yet. */
static bv_column *find_column(const bv_front *front, const bool *known,
                              const char *name) {
  for (size_t i = 0; i < front->columns; i++)
    if (!known[i] && strcmp(front->column[i].name, name) == 0)
      return &front->column[i];
  return NULL;
}

/* Fills a column from its field; false where memory ran out. */
static bool fill_column(const cJSON *field, bv_column *column) {
  const char *type = text_of(field, "type");
  const cJSON *limits = cJSON_GetObjectItemCaseSensitive(field, "limits");
  column->is_text = type && strcmp(type, "string") == 0;
  column->limit_min = number_of(limits, "min", -HUGE_VAL);
  column->limit_max = number_of(limits, "max", HUGE_VAL);
  return keep_text(&column->unit, text_of(field, "unit")) &&
         keep_text(&column->meaning, text_of(field, "description")) &&
         keep_text(&column->name, text_of(field, "title"));
}

/* Title and unit must give the header cell again, or names would no longer be
 * those of the file. */
static bool makes_header(const bv_column *column, const char *name) {
  bv_buffer header = {0};
  bv_front_append_header(column, &header);
  bool same = !header.failed && strcmp(header.text, name) == 0;
  bv_buffer_free(&header);
  return same;
}

static bv_status read_field(const cJSON *field, const char *path, size_t number,
                            bv_front *front, bool *known, bv_error *error) {
  const char *name = text_of(field, "name");
  if (!name)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: field %zu: expected a name, found none", path, number);
  bv_column *column = find_column(front, known, name);
  if (!column || !text_of(field, "title"))
    return BV_OK;
  known[column - front->column] = true;
  if (!read_role(text_of(field, "role"), &column->role))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: field %zu: expected a role such as result or minimise, "
                   "found '%.40s'",
                   path, number, text_of(field, "role"));
  if (!fill_column(field, column))
    return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  if (!makes_header(column, name))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: field %zu: expected a title and a unit that make "
                   "'%.40s', found '%.40s' and '%.20s'",
                   path, number, name, column->name,
                   column->unit ? column->unit : "");
  return BV_OK;
}

static bool read_seed(const char *text, uint64_t *seed) {
  if (!text)
    return true;
  char *end;
  errno = 0;
  *seed = strtoull(text, &end, 10);
  return *text >= '0' && *text <= '9' && *end == '\0' && errno == 0;
}

static void read_reference(const cJSON *list, bv_origin *origin) {
  const size_t most = sizeof origin->reference / sizeof *origin->reference;
  const cJSON *item;
  cJSON_ArrayForEach(item, list) {
    if (origin->reference_count == most)
      return;
    origin->reference[origin->reference_count++] =
        cJSON_IsNumber(item) ? item->valuedouble : (double) NAN;
  }
}

static bv_status read_origin(const cJSON *made, const char *path,
                             bv_origin *origin, bv_error *error) {
  for (size_t i = 0; i < ORIGIN_TEXTS; i++)
    if (!keep_text(origin_text(origin, i), text_of(made, origin_texts[i].key)))
      return bv_fail(error, BV_INTERNAL, "%s: out of memory", path);
  const char *seed = text_of(made, "seed");
  if (!read_seed(seed, &origin->seed))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: seed: expected a whole number as a text, found '%.40s'",
                   path, seed);
  double evaluations = number_of(made, "evaluations", 0);
  if (!(evaluations >= 0 && evaluations <= 0x1p53))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: evaluations: expected 0 … 2^53, found %g", path,
                   evaluations);
  origin->evaluations = (uint64_t) evaluations;
  origin->hypervolume = number_of(made, "hypervolume", (double) NAN);
  origin->is_estimate = cJSON_IsTrue(
      cJSON_GetObjectItemCaseSensitive(made, "hypervolume_is_estimate"));
  read_reference(cJSON_GetObjectItemCaseSensitive(made, "reference_point"),
                 origin);
  return BV_OK;
}

static bv_status read_schema(const cJSON *schema, const char *path,
                             bv_front *front, bool *known, bv_error *error) {
  const cJSON *fields = cJSON_GetObjectItemCaseSensitive(schema, "fields");
  if (!cJSON_IsArray(fields))
    return bv_fail(error, BV_BAD_DATA,
                   "%s: expected a Table Schema with a list 'fields'", path);
  size_t number = 0;
  const cJSON *field;
  cJSON_ArrayForEach(field, fields) {
    if (++number > BV_CSV_COLUMNS_MOST)
      break;
    bv_status status = read_field(field, path, number, front, known, error);
    if (status != BV_OK)
      return status;
  }
  return read_origin(cJSON_GetObjectItemCaseSensitive(schema, "origin"), path,
                     &front->origin, error);
}

static bv_status parse_schema(const bv_buffer *file, const char *path,
                              cJSON **schema, bv_error *error) {
  size_t valid = bv_utf8_valid(file->text, file->length);
  if (valid < file->length)
    return bv_fail(error, BV_BAD_DATA, "%s: byte %zu: expected UTF-8", path,
                   valid + 1);
  const char *end = file->text;
  *schema = cJSON_ParseWithLengthOpts(file->text, file->length + 1, &end, 1);
  if (!*schema)
    return bv_fail(error, BV_BAD_DATA,
                   "%s: byte %zu: expected JSON, found "
                   "'%.20s'",
                   path, (size_t) (end - file->text) + 1, end);
  return BV_OK;
}

bv_status bv_schema_read(const char *path, bv_front *front, bool *known,
                         bv_error *error) {
  bv_buffer file;
  bv_status status = bv_file_read(path, BV_SCHEMA_MOST, &file, error);
  if (status != BV_OK)
    return status;
  cJSON *schema = NULL;
  status = parse_schema(&file, path, &schema, error);
  if (status == BV_OK)
    status = read_schema(schema, path, front, known, error);
  cJSON_Delete(schema);
  bv_buffer_free(&file);
  return status;
}
