/* SPDX-License-Identifier: MIT */
/* What operators share that make new points from known ones by chance. Numbers
 * vary in units (0 … 1), discrete variables by levels. */
#ifndef BV_SEARCH_VARY_H
#define BV_SEARCH_VARY_H

#include "search/plan.h"

/* Makes one point. */
typedef void bv_maker(const bv_search *search, bv_random *random, double *x);

/* Fills a cell's list by a maker, which is asked a few times for each point, as
 * some are known already. False where it made no new point. */
bool bv_vary_list(bv_search *search, bv_random *random, bv_cell *cell,
                  bv_maker *make);

/* A value moved by a step in units, to the end of its range if it would pass
 * it: optima often lie there. */
double bv_vary_by(const bv_variable *variable, double value, double step);

/* Another level of a discrete variable: of a choice any, of an ordered one
 * mostly a near one. */
double bv_vary_level(const bv_variable *variable, double value,
                     bv_random *random);

/* a + length (b - c) in a random part of the variables, one at least: parts of
 * every size are equally likely on a logarithmic scale (R. Storn, K. Price, J.
 * Global Optimization 11, 1997). Discrete variables are a's or b's. x must be
 * none of them. */
void bv_vary_differ(const bv_space *space, bv_random *random, const double *a,
                    const double *b, const double *c, double length, double *x);

#endif
