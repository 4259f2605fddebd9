/* SPDX-License-Identifier: MIT */
/* Filters: a Lua expression over the columns of a row, as `charge_time < 1.5
 * and core ~= "ETD29"`. Sees the names, `math` and the methods of texts,
 * nothing else; runs under limits of memory and steps. */
#ifndef BV_SCRIPT_FILTER_H
#define BV_SCRIPT_FILTER_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"

typedef struct bv_filter bv_filter;

/* A cell: a number (NAN where empty: every comparison but ~= is false), or a
 * text where text isn't NULL. */
typedef struct bv_filter_value {
  double number;
  const char *text;
} bv_filter_value;

/* Makes a filter over rows of count cells called names. BV_USAGE: the
 * expression doesn't parse, or names what no column is (nearest told). *filter
 * is NULL on failure. */
bv_status bv_filter_open(const char *expression, const char *const *names,
                         size_t count, bv_filter **filter, bv_error *error);
void bv_filter_close(bv_filter *filter); /* NULL is allowed */

/* Whether a row passes: the expression is neither false nor nil. BV_USAGE: it
 * raises an error or hits a limit. */
bv_status bv_filter_match(bv_filter *filter, const bv_filter_value *values,
                          bool *matches, bv_error *error);

#endif
