/* SPDX-License-Identifier: MIT */
/* Whether the figures of a part agree with each other: each of them may lie in
 * its range and still have another unit than its column says. */
#ifndef BV_SCRIPT_PLAUSIBLE_H
#define BV_SCRIPT_PLAUSIBLE_H

#include <stdbool.h>
#include <stddef.h>

/* False where they don't; why (of size bytes) then tells what was expected and
 * what was found. Sources and bounds stand beside each. */
bool bv_plausible_core(const void *core, char *why, size_t size);
bool bv_plausible_wire(const void *wire, char *why, size_t size);
bool bv_plausible_material(const void *material, char *why, size_t size);

#endif
