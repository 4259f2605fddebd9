/* SPDX-License-Identifier: MIT */
#include "view/page.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "view/column.h"
#include "view/html.h"
#include "view/json.h"
#include "view/pick.h"

/* Made by the Makefile from the files of that name, indentation and one-line
 * comments left out. */
static const char template[] =
#include "view/page.html.inc"
    ;
static const char style[] =
#include "view/page.css.inc"
    ;
static const char script[] =
#include "view/page.js.inc"
    ;

static const char *const role_words[BV_ROLE_COUNT] = {
    "id", "variable", "minimise", "maximise", "result"};

/* What the writers of the page's parts share. */
typedef struct page_parts {
  const bv_front *front, *near; /* near: NULL where there is none */
  bv_picked rows;
  const bool *is_knee;
  bv_buffer *out;
} page_parts;

static void append_key(bv_buffer *json, const char *key) {
  bv_buffer_print(
      json, "%s\"%s\":", json->text[json->length - 1] == '{' ? "" : ",", key);
}

/* JSON has no infinity; 1e999 is a number that every reader rounds to it. */
static void append_value(const page_parts *page, size_t row, size_t column) {
  const bv_value *value = bv_front_value(page->front, row, column);
  if (page->front->column[column].is_text)
    bv_json_append_text(page->out, value->text);
  else if (isinf(value->number))
    bv_buffer_print(page->out, value->number < 0 ? "-1e999" : "1e999");
  else
    bv_json_append_number(page->out, value->number);
}

static bool same_value(const bv_value *a, const bv_value *b) {
  if (a->text || b->text)
    return a->text && b->text && strcmp(a->text, b->text) == 0;
  return a->number == b->number || (isnan(a->number) && isnan(b->number));
}

static bool all_same(const bv_front *front, size_t column) {
  for (size_t r = 1; r < front->rows; r++)
    if (!same_value(bv_front_value(front, 0, column),
                    bv_front_value(front, r, column)))
      return false;
  return front->rows > 0;
}

static void append_values(const page_parts *page, size_t column) {
  bv_buffer *json = page->out;
  if (all_same(page->front, column)) {
    append_key(json, "same");
    append_value(page, 0, column);
    return;
  }
  append_key(json, "values");
  bv_buffer_print(json, "[");
  for (size_t r = 0; r < page->front->rows; r++) {
    bv_buffer_print(json, "%s", r ? "," : "");
    append_value(page, r, column);
  }
  bv_buffer_print(json, "]");
}

/* How the column is shown: `size` of the unit shown in that of the file. */
static void append_look(const page_parts *page, size_t column) {
  bv_buffer *json = page->out, unit = {0};
  bv_shown_column shown = bv_column_look(page->front, column, page->rows);
  bv_buffer_append(&unit, "", 0);
  bv_number_typeset_unit(&unit, shown.unit.text);
  append_key(json, "unit");
  bv_json_append_text(json, unit.failed ? "" : unit.text);
  append_key(json, "size");
  bool is_text = page->front->column[column].is_text;
  bv_json_append_number(json, is_text ? 1 : shown.unit.factor / shown.factor);
  append_key(json, "decimals");
  bv_buffer_print(json, "%d", shown.decimals);
  json->failed |= unit.failed;
  bv_buffer_free(&unit);
}

static void append_column(const page_parts *page, size_t index) {
  const bv_column *column = &page->front->column[index];
  bv_buffer *json = page->out, header = {0};
  bv_front_append_header(column, &header);
  bv_buffer_print(json, "{");
  append_key(json, "name");
  bv_json_append_text(json, column->name);
  append_key(json, "header");
  bv_json_append_text(json, header.failed ? "" : header.text);
  append_key(json, "meaning");
  bv_json_append_text(json, column->meaning);
  append_key(json, "role");
  bv_json_append_text(json, role_words[column->role]);
  append_key(json, "text");
  bv_buffer_print(json, column->is_text ? "true" : "false");
  append_key(json, "min");
  bv_json_append_number(json, column->limit_min);
  append_key(json, "max");
  bv_json_append_number(json, column->limit_max);
  append_look(page, index);
  append_values(page, index);
  bv_buffer_print(json, "}");
  json->failed |= header.failed;
  bv_buffer_free(&header);
}

/* Of near designs what tells limit and gain, objectives, variables and limited
 * results are enough; the file has the rest. */
static bool is_told_of_near(const bv_front *near, size_t index) {
  const bv_column *column = &near->column[index];
  return column->role != BV_ROLE_RESULT || bv_front_tells_near(near, index) ||
         isfinite(column->limit_min) || isfinite(column->limit_max);
}

static void append_near(const page_parts *page) {
  bv_buffer *json = page->out;
  const page_parts near = {
      .front = page->near,
      .rows = {page->rows.rows, page->near->rows},
      .out = json,
  };
  bv_buffer_print(json, ",\"near\":{\"count\":%zu,\"columns\":[",
                  page->near->rows);
  const char *comma = "\n";
  for (size_t c = 0; c < page->near->columns; c++)
    if (is_told_of_near(page->near, c)) {
      bv_buffer_print(json, "%s", comma);
      append_column(&near, c);
      comma = ",\n";
    }
  bv_buffer_print(json, "]}");
}

static void append_data(const page_parts *page) {
  bv_buffer *json = page->out;
  bv_buffer_print(json, "{\"count\":%zu,\"knees\":[", page->front->rows);
  const char *comma = "";
  for (size_t r = 0; r < page->front->rows; r++)
    if (page->is_knee[r]) {
      bv_buffer_print(json, "%s%zu", comma, r);
      comma = ",";
    }
  bv_buffer_print(json, "],\"columns\":[");
  for (size_t c = 0; c < page->front->columns; c++) {
    bv_buffer_print(json, c ? ",\n" : "\n");
    append_column(page, c);
  }
  bv_buffer_print(json, "]");
  if (page->near)
    append_near(page);
  bv_buffer_print(json, "}");
}

static void append_title(const page_parts *page) {
  const char *title = page->front->origin.title;
  bv_html_escape(page->out, title && *title ? title : "Front of designs");
}

static void append_known(bv_buffer *out, const char *name, const char *text) {
  if (!text || !*text)
    return;
  bv_buffer_print(out, "%s ", name);
  bv_html_escape(out, text);
  bv_buffer_print(out, ", ");
}

static void append_origin(const page_parts *page) {
  const bv_origin *origin = &page->front->origin;
  bv_buffer *out = page->out;
  append_known(out, "Study", origin->study);
  if (origin->evaluations > 0)
    bv_buffer_print(out, "seed %" PRIu64 ", %" PRIu64 " evaluations, ",
                    origin->seed, origin->evaluations);
  append_known(out, "ended by", origin->stop);
  append_known(out, "program version", origin->version);
  bv_buffer_print(out, "%zu rows, %zu columns.", page->front->rows,
                  page->front->columns);
}

static void append_policy(const page_parts *page) {
  bv_buffer_print(page->out, "default-src 'none'; script-src ");
  bv_html_hash(page->out, script);
  bv_buffer_print(page->out, "; style-src ");
  bv_html_hash(page->out, style);
  bv_buffer_print(page->out, "; base-uri 'none'; form-action 'none'");
}

static void append_style(const page_parts *page) {
  bv_buffer_append(page->out, style, sizeof style - 1);
}

static void append_script(const page_parts *page) {
  bv_buffer_append(page->out, script, sizeof script - 1);
}

/* The parts that the template names as {{part}}. */
static const struct {
  const char *name;
  void (*append)(const page_parts *page);
} parts[] = {{"policy", append_policy}, {"title", append_title},
             {"origin", append_origin}, {"style", append_style},
             {"script", append_script}, {"data", append_data}};

static void append_part(const page_parts *page, const char *name,
                        size_t length) {
  for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
    if (strlen(parts[i].name) == length &&
        memcmp(parts[i].name, name, length) == 0)
      parts[i].append(page);
}

static void append_page(const page_parts *page) {
  const char *rest = template;
  for (const char *open; (open = strstr(rest, "{{"));) {
    const char *name = open + 2, *close = strstr(name, "}}");
    bv_buffer_append(page->out, rest, (size_t) (open - rest));
    append_part(page, name, (size_t) (close - name));
    rest = close + 2;
  }
  bv_buffer_append(page->out, rest, strlen(rest));
}

static bv_status make_page(const bv_front *front, const bv_front *near,
                           size_t *rows, bool *is_knee, bv_buffer *html,
                           bv_error *error) {
  size_t count = near && near->rows > front->rows ? near->rows : front->rows;
  for (size_t r = 0; r < count; r++)
    rows[r] = r;
  bv_picked all = {rows, front->rows};
  bv_status status = bv_pick_knees(front, all, is_knee, error);
  if (status != BV_OK)
    return status;
  append_page(&(page_parts){front, near && near->rows ? near : NULL, all,
                            is_knee, html});
  return html->failed ? bv_fail(error, BV_INTERNAL, "out of memory") : BV_OK;
}

bv_status bv_view_page(const bv_front *front, const bv_front *near,
                       bv_buffer *html, bv_error *error) {
  size_t *rows =
      calloc(front->rows + (near ? near->rows : 0) + 1, sizeof *rows);
  bool *is_knee = calloc(front->rows + 1, sizeof *is_knee);
  bv_status status = rows && is_knee
                         ? make_page(front, near, rows, is_knee, html, error)
                         : bv_fail(error, BV_INTERNAL, "out of memory");
  free(rows);
  free(is_knee);
  return status;
}
