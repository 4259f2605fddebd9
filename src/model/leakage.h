/* SPDX-License-Identifier: MIT */
/* Leakage inductance of concentric windings by geometry (E. C. Snelling, Soft
 * Ferrites; C. W. T. McLyman, Transformer and Inductor Design Handbook). The
 * field is taken as straight over the common width; a real winding with
 * margins, leads and partial layers has more (10 … 30 %, common practice). */
#ifndef BV_MODEL_LEAKAGE_H
#define BV_MODEL_LEAKAGE_H

typedef struct bv_leakage_path {
  double turns;      /* of the winding from which the leakage is seen */
  double mean_turn;  /* m, of all windings together */
  double width;      /* m, common to both windings (margins taken off) */
  double copper;     /* m, heights of all winding parts together */
  double space;      /* m, of the insulation between windings, all together */
  double interfaces; /* 1: P|S, 2: P/2|S|P/2 */
} bv_leakage_path;

/* mu0 N² MLT/(k² b) (sum h/3 + sum c), H. */
double bv_leakage(const bv_leakage_path *path);

/* The same with the field's ends bent: width replaced by b/(1 - (1 -
 * exp(-pi b/s))/(pi b/s)), s the whole radial build (W. Rogowski's factor, as
 * quoted in transformer handbooks; from memory). */
double bv_leakage_rogowski(const bv_leakage_path *path);

#endif
