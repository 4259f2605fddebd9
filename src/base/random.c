/* SPDX-License-Identifier: MIT */
#include "base/random.h"

#include <math.h>

static uint64_t split_mix(uint64_t *state) {
  uint64_t z = (*state += 0x9e3779b97f4a7c15u);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

bv_random bv_random_keyed(uint64_t seed, uint64_t first, uint64_t second) {
  /* Each part of the key is mixed before the next is added, so that
   * neighbouring counters share nothing. */
  uint64_t mixed = split_mix(&seed) ^ first;
  mixed = split_mix(&mixed) ^ second;
  bv_random random;
  for (int i = 0; i < 4; i++)
    random.state[i] = split_mix(&mixed);
  return random;
}

static uint64_t rotate(uint64_t x, int k) {
  return (x << k) | (x >> (64 - k));
}

uint64_t bv_random_bits(bv_random *random) {
  uint64_t *s = random->state;
  uint64_t result = rotate(s[0] + s[3], 23) + s[0];
  uint64_t t = s[1] << 17;
  s[2] ^= s[0];
  s[3] ^= s[1];
  s[1] ^= s[2];
  s[0] ^= s[3];
  s[2] ^= t;
  s[3] = rotate(s[3], 45);
  return result;
}

double bv_random_unit(bv_random *random) {
  return (double) (bv_random_bits(random) >> 11) * 0x1p-53;
}

uint64_t bv_random_below(bv_random *random, uint64_t count) {
  /* Rejecting the last, incomplete span keeps every value equally likely. It is
   * shorter than count, so that it is seldom worth a division to find it. */
  uint64_t bits = bv_random_bits(random);
  while (bits > UINT64_MAX - count && bits >= UINT64_MAX - UINT64_MAX % count)
    bits = bv_random_bits(random);
  return bits % count;
}

double bv_random_normal(bv_random *random) {
  double radius = sqrt(-2 * log(1 - bv_random_unit(random)));
  return radius * cos(2 * 3.14159265358979323846 * bv_random_unit(random));
}
