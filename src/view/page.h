/* SPDX-License-Identifier: MIT */
/* A front as one self-contained HTML page. */
#ifndef BV_VIEW_PAGE_H
#define BV_VIEW_PAGE_H

#include "base/status.h"
#include "base/text.h"
#include "table/front.h"

/* Appends the page: linked scatter, parallel axes, ranges, table, comparison
 * and room to the limits, all from the rows inside it, without a network. Its
 * content policy allows its own style and script and nothing else; the data
 * stand in a block of JSON with every digit, texts escaped. Columns that are
 * the same in all rows are written once. Designs near the front (NULL: none)
 * are marked in the scatter and listed. Page sources: page.html, page.css,
 * page.js beside this file. BV_INTERNAL: out of memory. */
bv_status bv_view_page(const bv_front *front, const bv_front *near,
                       bv_buffer *html, bv_error *error);

#endif
