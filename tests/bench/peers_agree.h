/* SPDX-License-Identifier: MIT */
/* What we compute by ourselves beside pagmo's answer. */
#ifndef BV_TESTS_BENCH_PEERS_AGREE_H
#define BV_TESTS_BENCH_PEERS_AGREE_H

#include <stdbool.h>

/* Compares hypervolumes and non-dominated sorts of random sets and prints what
 * differs; false where anything does. */
bool peers_agree(void);

#endif
