/* SPDX-License-Identifier: MIT */
/* Random realistic circuits for tests and benches of the charge models. */
#ifndef BV_TESTS_CHARGE_EXAMPLES_H
#define BV_TESTS_CHARGE_EXAMPLES_H

#include <stdint.h>

#include "model/circuit.h"

/* The circuit number `index` of a seed: supply 5 to 400 V, target 3 to 100
 * times that, all losses at a few percent each, about the wanted number of
 * cycles. Every third has 2 to 6 sections, every second an off-time limit. */
bv_circuit charge_example(uint64_t seed, uint64_t index, double cycles);

/* The same for a doubler whose recharge pulse rings and ends in the on-time. */
bv_circuit charge_example_doubler(uint64_t seed, uint64_t index, double cycles);

#endif
