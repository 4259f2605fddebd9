/* SPDX-License-Identifier: MIT */
/* Feeds made-up fronts to the views (`make fuzz`): each must take them. */
#include <stdlib.h>

#include "fuzz/made_front.h"
#include "view/compare.h"
#include "view/page.h"
#include "view/plot.h"
#include "view/sheet.h"
#include "view/table.h"

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
  bv_front front;
  if (made_front_read(bytes, length, &front) != BV_OK)
    return 0;
  check_views(&front);
  check_compare(&front);
  check_sheet(&front);
  bv_front_free(&front);
  return 0;
}
