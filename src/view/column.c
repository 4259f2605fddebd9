/* SPDX-License-Identifier: MIT */
#include "view/column.h"

#include <math.h>
#include <string.h>

#include "base/utf8.h"
#include "table/unit.h"
#include "view/bound.h"

/* Digits of a number, and decimals beyond which a column is hard to read. */
enum { DIGITS = 3, DECIMALS_MOST = 6 };

/* From here on a number without an exponent is hard to read, too. */
static const double longest = 1e9;

/* Magnitudes of a column's finite numbers; lo is of those that aren't zero. */
typedef struct magnitudes {
  double lo, hi;
  bool all_whole;
} magnitudes;

static magnitudes span_of(const bv_front *front, size_t column,
                          bv_picked picked) {
  magnitudes span = {HUGE_VAL, 0, true};
  for (size_t i = 0; i < picked.count; i++) {
    double value = bv_front_value(front, picked.rows[i], column)->number;
    double size = fabs(value);
    if (!isfinite(value))
      continue;
    span.all_whole &= value == floor(value) && size < 1e9;
    span.hi = fmax(span.hi, size);
    if (size > 0)
      span.lo = fmin(span.lo, size);
  }
  return span;
}

/* Decimals of the smallest number so that it has DIGITS digits; none where all
 * are counts. */
static int decimals_for(magnitudes span, bv_shown_unit unit) {
  if (span.hi == 0 || (span.all_whole && !*unit.text))
    return 0;
  if (span.hi / span.lo > 1e3 || span.hi / unit.factor >= longest)
    return -1;
  int decimals = DIGITS - 1 - (int) floor(log10(span.lo / unit.factor) + 1e-9);
  return decimals < 0 ? 0 : decimals > DECIMALS_MOST ? -1 : decimals;
}

bv_shown_column bv_column_look(const bv_front *front, size_t column,
                               bv_picked picked) {
  const bv_column *about = &front->column[column];
  bv_shown_column shown = {.column = column, .factor = 1};
  if (about->is_text)
    return shown;
  magnitudes span = span_of(front, column, picked);
  const char *unit = about->unit ? about->unit : "";
  const char *si = *unit ? bv_unit_si(unit) : NULL;
  if (si)
    shown.factor = bv_unit_factor(unit, si);
  span.lo *= shown.factor;
  span.hi *= shown.factor;
  shown.unit = bv_number_unit(span.hi, si ? si : unit, DIGITS);
  shown.decimals = decimals_for(span, shown.unit);
  return shown;
}

static void append_text(bv_buffer *out, const char *text) {
  for (size_t left = strlen(text); left > 0;) {
    uint32_t point = 0;
    size_t used = bv_utf8_decode(text, left, &point);
    if (used == 0 || bv_utf8_is_control(point))
      bv_buffer_append(out, "?", 1);
    else
      bv_buffer_append(out, text, used);
    used = used ? used : 1;
    text += used;
    left -= used;
  }
}

void bv_column_append_cell(const bv_front *front, const bv_shown_column *shown,
                           size_t row, bv_buffer *out) {
  const bv_value *value = bv_front_value(front, row, shown->column);
  if (front->column[shown->column].is_text) {
    if (bv_front_tells_near(front, shown->column) && value->text &&
        bv_bound_append(out, value->text, false))
      return;
    append_text(out, value->text && *value->text ? value->text : "-");
    return;
  }
  double number = value->number * shown->factor;
  char text[BV_NUMBER_SIZE];
  if (shown->decimals < 0 || !isfinite(number))
    bv_buffer_print(out, "%s",
                    bv_number_text(text, number, shown->unit, DIGITS));
  else
    bv_buffer_print(out, "%.*f", shown->decimals,
                    number / shown->unit.factor + 0.0);
}

bv_status bv_column_find(const bv_front *front, const char *name,
                         size_t *column, bv_error *error) {
  *column = bv_front_find(front, name);
  if (*column < front->columns)
    return BV_OK;
  bv_nearest search = bv_nearest_begin(name);
  for (size_t c = 0; c < front->columns; c++)
    bv_nearest_offer(&search, front->column[c].name);
  return bv_fail(error, BV_USAGE,
                 "expected a column of the front, found '%s'%s%s%s", name,
                 search.best ? "; did you mean " : "",
                 search.best ? search.best : "", search.best ? "?" : "");
}
