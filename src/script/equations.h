/* SPDX-License-Identifier: MIT */
/* Equations of the main results in one line each, with source. */
#ifndef BV_SCRIPT_EQUATIONS_H
#define BV_SCRIPT_EQUATIONS_H

typedef struct bv_equation {
  const char *name, *equation;
} bv_equation;

/* The equation of a result, or NULL. */
const bv_equation *bv_equation_find(const char *name);

/* The i-th equation, or NULL after the last. */
const bv_equation *bv_equation_at(unsigned i);

#endif
