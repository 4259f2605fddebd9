/* SPDX-License-Identifier: MIT */
/* Feeds made-up texts to the filter of `table --keep` (`make fuzz`): what
 * parses is asked about rows of numbers, texts and empty cells. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "script/filter.h"

enum { COLUMNS = 3, ROWS = 3 };

static const char *const names[COLUMNS] = {"charge_time", "core", "cost"};
static const bv_filter_value rows[ROWS][COLUMNS] = {
    {{1.25, NULL}, {0, "ETD34"}, {(double) NAN, NULL}},
    {{-(double) INFINITY, NULL}, {0, ""}, {0, NULL}},
    {{1e308, NULL}, {0, "a\n\"b\" %s \xc3\xa9"}, {-0.5, NULL}}};

static void match(const char *expression) {
  bv_filter *filter;
  bv_status status = bv_filter_open(expression, names, COLUMNS, &filter, NULL);
  if (status != BV_OK && status != BV_USAGE)
    abort();
  for (int row = 0; status == BV_OK && row < ROWS; row++) {
    bool matches;
    bv_status found = bv_filter_match(filter, rows[row], &matches, NULL);
    if (found != BV_OK && found != BV_USAGE)
      abort();
  }
  bv_filter_close(filter);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
  char *text = malloc(length + 1);
  if (!text)
    return 0;
  memcpy(text, bytes, length);
  text[length] = '\0';
  match(text);
  free(text);
  return 0;
}
