/* SPDX-License-Identifier: MIT */
#include "run/layout.h"

#include <stdlib.h>
#include <string.h>

static bool tells_the_row(const bv_column *column) {
  return column->role == BV_ROLE_ID ||
         (column->role == BV_ROLE_RESULT &&
          (strcmp(column->name, "case") == 0 ||
           strcmp(column->name, "case_row") == 0));
}

static const char *text_or_none(const char *text) {
  return text ? text : "";
}

bool bv_column_copy(const bv_column *column, bv_column *copy) {
  *copy = *column;
  copy->name = strdup(text_or_none(column->name));
  copy->unit = strdup(text_or_none(column->unit));
  copy->meaning = strdup(text_or_none(column->meaning));
  if (copy->name && copy->unit && copy->meaning)
    return true;
  bv_column_free(copy);
  return false;
}

bool bv_layout_of(const bv_front *front, bv_layout *layout, size_t *places) {
  *layout = (bv_layout){
      .columns = calloc(front->columns + 1, sizeof *layout->columns)};
  bool made = layout->columns != NULL;
  for (size_t i = 0; made && i < front->columns; i++) {
    if (tells_the_row(&front->column[i]))
      continue;
    made = bv_column_copy(&front->column[i], &layout->columns[layout->count]);
    places[layout->count] = i;
    layout->count += made;
  }
  if (!made)
    bv_layout_free(layout);
  return made;
}

void bv_layout_free(bv_layout *layout) {
  for (size_t i = 0; layout->columns && i < layout->count; i++)
    bv_column_free(&layout->columns[i]);
  free(layout->columns);
  *layout = (bv_layout){0};
}

static int compare_columns(const bv_column *a, const bv_column *b) {
  int name = strcmp(a->name, b->name);
  int unit = name ? name : strcmp(a->unit, b->unit);
  if (unit)
    return unit;
  if (a->role != b->role)
    return a->role < b->role ? -1 : 1;
  return (int) a->is_text - (int) b->is_text;
}

int bv_layout_compare(const bv_layout *a, const bv_layout *b) {
  int order = 0;
  if (a->count != b->count)
    return a->count > b->count ? -1 : 1;
  for (size_t i = 0; i < a->count && order == 0; i++)
    order = compare_columns(&a->columns[i], &b->columns[i]);
  return order;
}

size_t bv_layout_find(const bv_layout *layout, const bv_column *column) {
  size_t i = 0;
  while (i < layout->count &&
         (strcmp(layout->columns[i].name, column->name) != 0 ||
          strcmp(layout->columns[i].unit, column->unit) != 0))
    i++;
  return i;
}

bool bv_layout_join(bv_layout *layout, const bv_layout *more) {
  bv_column *columns =
      realloc(layout->columns,
              (layout->count + more->count + 1) * sizeof *layout->columns);
  if (!columns)
    return false;
  layout->columns = columns;
  for (size_t i = 0; i < more->count; i++) {
    size_t at = bv_layout_find(layout, &more->columns[i]);
    if (at < layout->count)
      columns[at].is_text = columns[at].is_text || more->columns[i].is_text;
    else if (bv_column_copy(&more->columns[i], &columns[at]))
      layout->count++;
    else
      return false;
  }
  return true;
}
