/* SPDX-License-Identifier: MIT */
/* Random streams keyed by numbers, so that a run repeats whatever the number
 * of workers: every stream is a function of its key alone.
 *
 * Generator: xoshiro256++ seeded through SplitMix64 (D. Blackman, S. Vigna,
 * "Scrambled linear pseudorandom number generators", ACM TOMS 47, 2021). */
#ifndef BV_BASE_RANDOM_H
#define BV_BASE_RANDOM_H

#include <stdint.h>

typedef struct bv_random {
  uint64_t state[4];
} bv_random;

/* The stream of a key: a seed and two counters (a round and a cell, say). */
bv_random bv_random_keyed(uint64_t seed, uint64_t first, uint64_t second);

/* The next 64 bits. */
uint64_t bv_random_bits(bv_random *random);

/* Uniform in [0, 1). */
double bv_random_unit(bv_random *random);

/* Uniform in 0 … count - 1; count >= 1. */
uint64_t bv_random_below(bv_random *random, uint64_t count);

/* Normal with mean 0 and deviation 1 (Box and Muller). */
double bv_random_normal(bv_random *random);

#endif
