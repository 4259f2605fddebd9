/* SPDX-License-Identifier: MIT */
/* Feeds made-up files to the reader of fronts (`make fuzz`): the bytes up to
 * the first "\1\2" are the CSV file, those after it the sidecar. What is read
 * must write and read back to the same bytes, and every view must take it. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "table/front.h"
#include "view/compare.h"
#include "view/page.h"
#include "view/plot.h"
#include "view/sheet.h"
#include "view/table.h"

static char folder[] = "/tmp/brimvolt-fuzz-XXXXXX";
static char csv_path[64], schema_path[80];

static void remove_folder(void) {
  unlink(csv_path);
  unlink(schema_path);
  rmdir(folder);
}

static void make_folder(void) {
  if (*csv_path)
    return;
  if (!mkdtemp(folder) || atexit(remove_folder) != 0)
    abort();
  snprintf(csv_path, sizeof csv_path, "%s/f.csv", folder);
  snprintf(schema_path, sizeof schema_path, "%s/f.schema.json", folder);
}

static void put(const char *path, const void *bytes, size_t length) {
  FILE *file = fopen(path, "wb");
  if (!file || fwrite(bytes, 1, length, file) != length || fclose(file))
    abort();
}

static void check_round_trip(const bv_front *front) {
  bv_buffer first = {0}, second = {0};
  bv_front back;
  bv_front_print_csv(front, &first);
  put(csv_path, first.text, first.length);
  if (bv_front_read(csv_path, &back, NULL) != BV_OK)
    abort();
  bv_front_print_csv(&back, &second);
  if (second.length != first.length ||
      memcmp(first.text, second.text, first.length) != 0)
    abort();
  bv_front_free(&back);
  bv_buffer_free(&first);
  bv_buffer_free(&second);
}

/* Sheet and plot; a plot may lack objectives. */
static void check_sheet(const bv_front *front) {
  bv_row row = {front, 0};
  bv_plot_options plot = {0};
  for (int html = 0; html < 2 && front->rows > 0; html++) {
    bv_sheet_options options = {.html = html};
    bv_buffer out = {0};
    if (bv_sheet_print(&row, &options, &out, NULL) != BV_OK)
      abort();
    bv_buffer_free(&out);
  }
  bv_buffer svg = {0};
  bv_status status = bv_plot_draw(front, &plot, &svg, NULL);
  if (status != BV_OK && status != BV_USAGE)
    abort();
  bv_buffer_free(&svg);
}

/* The first row beside itself and the last one. */
static void check_compare(const bv_front *front) {
  size_t rows[] = {0, front->rows - 1, 0};
  bv_buffer out = {0};
  if (front->rows == 0)
    return;
  if (bv_view_compare(front, (bv_picked){rows, 3}, 60, &out, NULL) != BV_OK)
    abort();
  bv_buffer_free(&out);
}

static void check_views(const bv_front *front) {
  for (int format = 0; format < BV_TABLE_FORMAT_COUNT; format++) {
    bv_table_options options = {
        .format = (bv_table_format) format, .width = 60, .best = 3};
    bv_buffer out = {0};
    if (bv_view_table(front, &options, &out, NULL) != BV_OK)
      abort();
    bv_buffer_free(&out);
  }
  bv_buffer html = {0};
  if (bv_view_page(front, front, &html, NULL) != BV_OK)
    abort();
  bv_buffer_free(&html);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
  const uint8_t *mark = memmem(bytes, length, "\1\2", 2);
  size_t cut = mark ? (size_t) (mark - bytes) : length;
  bv_front front;
  make_folder();
  put(csv_path, bytes, cut);
  unlink(schema_path);
  if (mark)
    put(schema_path, mark + 2, length - cut - 2);
  if (bv_front_read(csv_path, &front, NULL) != BV_OK)
    return 0;
  check_round_trip(&front);
  check_views(&front);
  check_compare(&front);
  check_sheet(&front);
  bv_front_free(&front);
  return 0;
}
