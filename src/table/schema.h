/* SPDX-License-Identifier: MIT */
/* The sidecar of a front, read back: inner header of table/. */
#ifndef BV_TABLE_SCHEMA_H
#define BV_TABLE_SCHEMA_H

#include "table/front.h"

/* Largest sidecar read, bytes. */
#define BV_SCHEMA_MOST ((size_t) 16 << 20)

/* Fills names, units, meanings, roles, limits and origin of a front whose
 * columns have their header cells as names and RESULT as roles. known[column]
 * becomes true where the sidecar knows the column. BV_NO_INPUT where there is
 * no file at path, BV_BAD_DATA where it is no Table Schema. */
bv_status bv_schema_read(const char *path, bv_front *front, bool *known,
                         bv_error *error);

#endif
