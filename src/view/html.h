/* SPDX-License-Identifier: MIT */
/* What every page and picture shares: escaped texts and the content policy. */
#ifndef BV_VIEW_HTML_H
#define BV_VIEW_HTML_H

#include "base/text.h"

/* Appends a text for element content or a quoted attribute of HTML or XML: & <
 * > " ' escaped, control characters (which XML forbids) as U+FFFD. */
void bv_html_escape(bv_buffer *out, const char *text);

/* Appends 'sha256-…', the source that a content policy allows for an inline
 * style or script of exactly this text (W3C Content Security Policy Level 3).
 */
void bv_html_hash(bv_buffer *out, const char *text);

#endif
