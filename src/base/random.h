/* SPDX-License-Identifier: MIT */
/* Random streams keyed by numbers, so that a run repeats whatever the number
 * of workers: every stream is a function of its key alone.
 *
 * Generator: xoshiro256++ seeded through SplitMix64 (D. Blackman, S. Vigna,
 * "Scrambled linear pseudorandom number generators", ACM TOMS 47, 2021). */
#ifndef BV_BASE_RANDOM_H
#define BV_BASE_RANDOM_H

#include <stdbool.h>
#include <stdint.h>

typedef struct bv_random {
  uint64_t state[4];
} bv_random;

/* The stream of a key: a seed and two counters (a round and a cell, say). */
bv_random bv_random_keyed(uint64_t seed, uint64_t first, uint64_t second);

static inline uint64_t bv_random_rotate(uint64_t x, int k) {
  return (x << k) | (x >> (64 - k));
}

/* The next 64 bits. */
static inline uint64_t bv_random_bits(bv_random *random) {
  uint64_t *s = random->state;
  uint64_t result = bv_random_rotate(s[0] + s[3], 23) + s[0];
  uint64_t t = s[1] << 17;
  s[2] ^= s[0];
  s[3] ^= s[1];
  s[1] ^= s[2];
  s[0] ^= s[3];
  s[2] ^= t;
  s[3] = bv_random_rotate(s[3], 45);
  return result;
}

/* Uniform in [0, 1). */
static inline double bv_random_unit(bv_random *random) {
  return (double) (bv_random_bits(random) >> 11) * 0x1p-53;
}

/* True so often: never at 0, always at 1. */
static inline bool bv_random_chance(bv_random *random, double probability) {
  return bv_random_unit(random) < probability;
}

/* Uniform in 0 … count - 1; 0 for a count of 0. Rejecting the last, incomplete
 * span keeps every value equally likely. It is shorter than count, so that it
 * is seldom worth a division to find it. */
static inline uint64_t bv_random_below(bv_random *random, uint64_t count) {
  uint64_t bits = bv_random_bits(random);
  while (bits > UINT64_MAX - count && bits >= UINT64_MAX - UINT64_MAX % count)
    bits = bv_random_bits(random);
  return count > 0 ? bits % count : 0;
}

/* Normal with mean 0 and deviation 1 (Box and Muller). */
double bv_random_normal(bv_random *random);

#endif
