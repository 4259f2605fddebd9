/* SPDX-License-Identifier: MIT */
/* A quadratic model of all objectives and limits around a place, over the unit
 * interval of each variable: values, slopes, and how these change along each
 * variable alone. It lies in one row of numbers, so that solves can hand it on.
 */
#ifndef BV_SEARCH_SLOPES_H
#define BV_SEARCH_SLOPES_H

#include "search/problem.h"

/* Most objectives and limits together. */
enum { BV_ROWS_MOST = BV_OBJECTIVES_MOST + BV_LIMITS_MOST };

typedef struct bv_slopes {
  size_t variables, rows; /* rows: objectives, then limits */
  double *known;          /* 1 number: 0 where nothing but curvatures is */
  double *at;             /* a variable each: the place, in units */
  double *values;         /* a row each: there */
  double *matrix;         /* rows x variables: slopes there */
  double *curvatures;     /* rows x variables: anywhere; 0: not measured */
} bv_slopes;

/* How many numbers hold a problem's slopes, and how many of these come before
 * the curvatures. */
size_t bv_slopes_size(const bv_problem *problem);
size_t bv_slopes_size_flat(const bv_problem *problem);

bv_slopes bv_slopes_view(const bv_problem *problem, double *numbers);

/* The model's value of a row, and its slope along a variable, at a place. */
double bv_slopes_value(const bv_slopes *slopes, size_t row, const double *unit);
double bv_slopes_along(const bv_slopes *slopes, size_t row, size_t variable,
                       const double *unit);

/* Changes the slopes as little as explains the values found at a place (C.
 * Broyden, Math. Comp. 19, 1965). Where that is the model's own place, only its
 * values can be wrong. */
void bv_slopes_explain(const bv_slopes *slopes, const double *unit,
                       const double *values);

/* Makes a place and the values there the model's own. */
void bv_slopes_move(const bv_slopes *slopes, const double *unit,
                    const double *values);

#endif
