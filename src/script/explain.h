/* SPDX-License-Identifier: MIT */
/* What a name means: every input and result of the models, every formula,
 * function, module and entry of a study, from the tables beside their structs.
 */
#ifndef BV_SCRIPT_EXPLAIN_H
#define BV_SCRIPT_EXPLAIN_H

#include <stdbool.h>

#include "base/text.h"

/* Appends what is known of a name ("charge_time", "skin_depth", "charger",
 * "charger.design", "limits", all also behind "brimvolt."): meaning, unit,
 * equation and source where known, and each place it is used with range and
 * default. False, and nothing appended, where the name is unknown. */
bool bv_explain(const char *name, bv_buffer *text);

/* The known name nearest to a mistyped one, or NULL. */
const char *bv_explain_nearest(const char *name);

/* Calls take(name, context) for every name that bv_explain knows, in the order
 * of the tables; a name of several tables comes once a table. */
void bv_explain_each(void (*take)(const char *name, void *context),
                     void *context);

#endif
