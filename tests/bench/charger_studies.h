/* SPDX-License-Identifier: MIT */
/* Our own charger studies as problems with a best known front. */
#ifndef BV_TESTS_BENCH_CHARGER_STUDIES_H
#define BV_TESTS_BENCH_CHARGER_STUDIES_H

#include "script/study.h"
#include "search/problems.h"

/* The demo studies of scripts/, in reading order. */
enum { CHARGER_STUDIES = 3 };
extern const char *const charger_study_paths[CHARGER_STUDIES];

typedef struct charger_study {
  bv_study *study;
  test_problem problem; /* with reference point and best known volume */
  double *front;        /* that front: rows of x, then objectives */
  size_t count;
} charger_study;

/* Opens the i-th study. Its best known front is the union of long runs, 100
 * times the budget that the studies state; it is kept in the folder `cache`
 * and made anew where the study or the models have changed since. Exits with a
 * message where the study can't be read. */
charger_study charger_study_open(size_t i, const char *cache);
void charger_study_close(charger_study *study);

#endif
