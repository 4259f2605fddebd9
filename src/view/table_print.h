/* SPDX-License-Identifier: MIT */
/* A table ready to be printed: inner header of the terminal table. */
#ifndef BV_VIEW_TABLE_PRINT_H
#define BV_VIEW_TABLE_PRINT_H

#include "view/column.h"

typedef struct bv_table_view {
  const bv_front *front;
  bv_picked rows;           /* in the order shown */
  bv_shown_column *columns; /* in the order shown */
  size_t column_count;
  const bool *is_knee; /* by row of the front */
  size_t kept;         /* rows of the front that the filter kept */
  size_t width;        /* of the terminal; 0: no limit */
} bv_table_view;

void bv_table_print_text(const bv_table_view *view, bv_buffer *out);
void bv_table_print_markdown(const bv_table_view *view, bv_buffer *out);
void bv_table_print_csv(const bv_table_view *view, bv_buffer *out);
void bv_table_print_json(const bv_table_view *view, bv_buffer *out);

#endif
