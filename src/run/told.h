/* SPDX-License-Identifier: MIT */
/* A point told in full: evaluated in a worker, shipped as bytes, read by the
 * parent. */
#ifndef BV_RUN_TOLD_H
#define BV_RUN_TOLD_H

#include "run/pool.h"
#include "script/study.h"

typedef struct bv_told {
  bv_outcome outcome; /* of the evaluation as the search sees it */
  double *objectives; /* as the search sees them; NAN where it failed */
  double *limits;
  double cause;     /* of a failure (search/problem.h) */
  double seconds;   /* the evaluation took; NAN where the worker was lost */
  char *message;    /* why it failed, "" where it didn't */
  bool lacks;       /* a result that an objective or limit asks for */
  bool untold;      /* the run was to end before it could be told */
  bv_record record; /* every result; empty where the script failed */
} bv_told;

/* A bv_describe whose context is the study: evaluates x exactly, as for a row
 * of a front. */
bv_outcome bv_tell(void *study, const double *x, bv_buffer *reply);

/* Takes the answer to a posted point apart. BV_INTERNAL: memory ran out, or the
 * reply was cut. */
bv_status bv_told_read(const bv_problem *problem, const bv_answer *answer,
                       bv_told *told, bv_error *error);
void bv_told_free(bv_told *told);
void bv_told_free_all(bv_told *told, size_t count); /* and the array */

/* Tells count points, x one after the other, in the workers of an idle pool;
 * gives a new array in the same order, NULL on failure. Once a run that was
 * asked to end is late (interrupt.h), the rest is untold: failed, all NAN. */
bv_status bv_tell_all(bv_pool *pool, const bv_problem *problem, const double *x,
                      size_t count, bv_told **told, bv_error *error);

/* The same in a pool made for it: each evaluation may take so many seconds. */
bv_status bv_tell_in_new_pool(bv_study *study, const double *x, size_t count,
                              double point_seconds, bv_told **told,
                              bv_error *error);

/* The result called name, or NULL. */
const bv_result *bv_told_find(const bv_told *told, const char *name);

/* The label that a choice's value stands for, or NULL for other variables. */
const char *bv_told_label(const bv_study *study, size_t variable, double value);

/* The largest scaled violation; 0 where every limit is met. */
double bv_told_violation(const bv_problem *problem, const bv_told *told);

#endif
