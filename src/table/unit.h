/* SPDX-License-Identifier: MIT */
/* Units in column names: `effective_area_mm2` is the field effective_area, in
 * square millimetres. */
#ifndef BV_TABLE_UNIT_H
#define BV_TABLE_UNIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/field.h"
#include "base/text.h"

/* Finds the field and the factor to its SI unit that a column name stands for:
 * the bare name of a field without unit, or name_unit with the field's own unit
 * or a prefixed form of it. False where there is none. */
bool bv_unit_column(bv_fields fields, const char *column,
                    const bv_field **field, double *factor);

/* The factor from a unit as written ("mm2", "uF", "kHz", "kW/m3") to the SI
 * unit it belongs to ("m2", "F", "Hz", "W/m3"); 0 where it doesn't. SI prefixes
 * from f to T; u and the micro sign are alike. Blanks within the SI unit may be
 * left out where no prefix is used ("A2s" for "A2 s"). */
double bv_unit_factor(const char *written, const char *si);

/* value in a unit of that factor, as the SI number; correctly rounded for
 * prefixes below one, so that 97 mm2 is the same double as 97e-6. */
double bv_unit_scale(double value, double factor);

/* The SI unit that a unit as written belongs to, of those that charger results
 * have, or NULL. */
const char *bv_unit_si(const char *written);

/* Appends the column name of a quantity: name, or name_unit with the blanks of
 * the unit left out. unit may be NULL or "". */
void bv_unit_append_column(bv_buffer *buffer, const char *name,
                           const char *unit);

#endif
