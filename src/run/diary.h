/* SPDX-License-Identifier: MIT */
/* The diary of the case under way: a journal of its merged cells, from which a
 * search that was cut goes on (see replay.h).
 *
 *   TITLE                                       first line
 *   cell NUMBER IDENTITY COUNT NOTES SECONDS NUMBERS
 *   progress …                                  see bv_diary_tell
 *
 * IDENTITY is the CRC-32 of all that makes the cell what it is; NUMBERS are the
 * COUNT records and the NOTES of its result, 16 hexadecimal digits a number:
 * the bits of an IEEE 754 double. */
#ifndef BV_RUN_DIARY_H
#define BV_RUN_DIARY_H

#include "run/steer.h"

typedef struct bv_diary bv_diary;

/* Opens the diary at path for the search that `title` names (no newline in
 * it); one of another search, or none, is begun anew. A checkpoint every so
 * many seconds writes it and, unless the disk is too slow for that, syncs it.
 * BV_BAD_DATA: it is damaged; BV_NO_INPUT, BV_CANNOT_CREATE, BV_CANNOT_WRITE.
 * *diary is NULL on failure. */
bv_status bv_diary_open(const char *path, const char *title,
                        const bv_problem *problem, double interval,
                        bv_diary **diary, bv_error *error);
void bv_diary_close(bv_diary *diary); /* NULL is allowed */

/* Keeps and recalls for bv_steer; valid as long as the diary. Recalling is
 * BV_INTERNAL where a line isn't of the cell that is asked for. */
const bv_keeper *bv_diary_keeper(bv_diary *diary);

/* Seconds of search before this run, as kept. */
double bv_diary_seconds(const bv_diary *diary);

/* True where the next cell kept is followed by a checkpoint. */
bool bv_diary_is_due(const bv_diary *diary);

/* A line for whoever looks at the diary, kept with the next checkpoint. */
void bv_diary_tell(bv_diary *diary, const char *progress);

/* Has all on the disk now. */
bv_status bv_diary_sync(bv_diary *diary, bv_error *error);

#endif
