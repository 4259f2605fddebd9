/* SPDX-License-Identifier: MIT */
/* The reference of what scripts see and the definitions for editors (LuaLS),
 * both printed from the tables that the program itself reads by. */
#ifndef BV_SCRIPT_REFERENCE_H
#define BV_SCRIPT_REFERENCE_H

#include "base/text.h"

/* Appends lib/reference.md. */
void bv_reference_print(bv_buffer *text);

/* A file of definitions: its path below lib/definitions/brimvolt/, and what
 * prints it. */
typedef struct bv_definitions {
  const char *file;
  void (*print)(bv_buffer *text, const char *file);
} bv_definitions;

/* The i-th file, or NULL after the last. */
const bv_definitions *bv_definitions_at(unsigned i);

#endif
