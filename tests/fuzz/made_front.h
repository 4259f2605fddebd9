/* SPDX-License-Identifier: MIT */
/* Fronts from made-up bytes: those up to the first "\1\2" are the CSV file,
 * those after it the sidecar. */
#ifndef BV_TESTS_MADE_FRONT_H
#define BV_TESTS_MADE_FRONT_H

#include <stdint.h>

#include "table/front.h"

/* Reads the bytes as a front; BV_OK or what the reader answers. */
bv_status made_front_read(const uint8_t *bytes, size_t length, bv_front *front);

/* Reads a text as the CSV file of a front, with the sidecar of the last one. */
bv_status made_front_again(const bv_buffer *csv, bv_front *front);

#endif
