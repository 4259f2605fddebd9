/* SPDX-License-Identifier: MIT */
/* Units in column names: `effective_area_mm2` is the field effective_area, in
 * square millimetres. */
#ifndef BV_TABLE_UNIT_H
#define BV_TABLE_UNIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/field.h"

/* Finds the field and the factor to its SI unit that a column name stands for:
 * the bare name of a field without unit, or name_unit with the field's own unit
 * or a prefixed form of it. False where there is none. */
bool bv_unit_column(bv_fields fields, const char *column,
                    const bv_field **field, double *factor);

/* The factor from a unit as written ("mm2", "uF", "kHz") to the SI unit it
 * belongs to ("m2", "F", "Hz"); 0 where it doesn't. */
double bv_unit_factor(const char *written, const char *si);

#endif
