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

double bv_random_normal(bv_random *random) {
  double radius = sqrt(-2 * log(1 - bv_random_unit(random)));
  return radius * cos(2 * 3.14159265358979323846 * bv_random_unit(random));
}
