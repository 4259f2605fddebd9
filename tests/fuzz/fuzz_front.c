/* SPDX-License-Identifier: MIT */
/* Feeds made-up files to the reader of fronts (`make fuzz`): what is read must
 * write and read back to the same bytes. */
#include <stdlib.h>
#include <string.h>

#include "fuzz/made_front.h"

static void check_round_trip(const bv_front *front) {
  bv_buffer first = {0}, second = {0};
  bv_front back;
  bv_front_print_csv(front, &first);
  if (made_front_again(&first, &back) != BV_OK)
    abort();
  bv_front_print_csv(&back, &second);
  if (second.length != first.length ||
      memcmp(first.text, second.text, first.length) != 0)
    abort();
  bv_front_free(&back);
  bv_buffer_free(&first);
  bv_buffer_free(&second);
}

/* A sidecar of what is read is written, too. */
static void check_schema(const bv_front *front) {
  bv_buffer json = {0};
  if (bv_front_print_schema(front, "f.csv", &json, NULL) != BV_OK)
    abort();
  bv_buffer_free(&json);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
  bv_front front;
  if (made_front_read(bytes, length, &front) != BV_OK)
    return 0;
  check_round_trip(&front);
  check_schema(&front);
  bv_front_free(&front);
  return 0;
}
