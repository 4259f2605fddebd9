/* SPDX-License-Identifier: MIT */
#ifndef BV_TESTS_SEARCH_FRONT_VOLUME_H
#define BV_TESTS_SEARCH_FRONT_VOLUME_H

#include "search/problems.h"
#include "search/search.h"

/* The objectives of a search's front, rows; *count of them; freed by the
 * caller. */
double *front_points(const bv_search *search, const bv_problem *problem,
                     size_t *count);

/* The hypervolume of a search's front up to the problem's reference. */
double front_volume(const bv_search *search, const test_problem *problem);

#endif
