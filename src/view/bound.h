/* SPDX-License-Identifier: MIT */
/* Bounds as files tell them, "at most 2e-05 m3", as people read them: "at most
 * 20 cm3". */
#ifndef BV_VIEW_BOUND_H
#define BV_VIEW_BOUND_H

#include "base/text.h"

/* Reads "at most NUMBER UNIT" or "at least NUMBER UNIT", the unit SI, and
 * appends it in the unit that suits the number, with up to six digits, the unit
 * typeset (µF) or not (uF). False, and nothing appended, where the text is
 * another one or its unit is none that takes another form. */
bool bv_bound_append(bv_buffer *out, const char *text, bool typeset);

#endif
