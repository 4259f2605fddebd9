/* SPDX-License-Identifier: MIT */
/* What a filter that kept every row, or none, compared with. */
#ifndef BV_CLI_KEPT_H
#define BV_CLI_KEPT_H

#include "table/front.h"

/* Appends a line: of each column that the expression names, from where to where
 * it goes in the file's unit, or which texts it has. Tables show other units,
 * and a filter that has nothing to do is mostly one in those. Nothing where no
 * column is named. */
void bv_kept_explain(const bv_front *front, const char *expression, size_t kept,
                     bv_buffer *text);

#endif
