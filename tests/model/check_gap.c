/* SPDX-License-Identifier: MIT */
#include "model/gap.h"

#include "base/constants.h"
#include "base/random.h"
#include "check_main.h"

static const bv_gap_core core = {97e-6, 78.6e-3, 2000, 20e-3};

static double log_between(bv_random *random, double lo, double hi) {
  return lo * pow(hi / lo, bv_random_unit(random));
}

START_TEST(gap_and_inductance_are_inverse) {
  bv_random random = bv_random_keyed(1, 0, 0);
  for (int i = 0; i < 1000; i++) {
    bv_gap_core c = {
        log_between(&random, 10e-6, 1e-3), log_between(&random, 20e-3, 0.4),
        log_between(&random, 500, 5000), log_between(&random, 5e-3, 60e-3)};
    double turns = log_between(&random, 2, 100);
    double gap = log_between(&random, 1e-6, 2.2 * c.width);
    double inductance = bv_gap_inductance(&c, turns, gap);
    check_close(bv_gap_length(&c, turns, inductance), gap, 1e-9);
  }
}
END_TEST

START_TEST(fringing_makes_the_gap_longer_by_its_factor) {
  double plain = bv_gap_plain(&core, 20, 40e-6);
  double gap = bv_gap_length(&core, 20, 40e-6);
  double factor = bv_gap_fringing(gap, core.area, core.width);
  ck_assert_double_gt(factor, 1.1);
  check_close(gap, factor * plain, 1e-11);
}
END_TEST

/* A thin gap about a round leg drives flux in half circles of length pi r from
 * its upper to its lower side: permeance mu0 times the circumference times
 * ln(G/lg)/pi beside that of the gap, mu0 Ae/lg. */
START_TEST(fringing_is_near_the_flux_in_circles) {
  for (double area = 50e-6; area < 500e-6; area *= 1.5)
    for (double gap = 0.2e-3; bv_gap_fringing_valid(gap, area, 20e-3);
         gap *= 1.2) {
      double round = 2 * sqrt(BV_PI * area);
      double circles = 1 + round * log(20e-3 / gap) / BV_PI * gap / area;
      double factor = bv_gap_fringing(gap, area, 20e-3);
      check_close(factor - 1, circles - 1, 0.15);
      check_close(factor, circles, 0.05);
    }
}
END_TEST

START_TEST(an_inductance_above_the_ungapped_core_has_a_negative_gap) {
  double most = bv_gap_inductance(&core, 20, 0);
  ck_assert_double_lt(bv_gap_length(&core, 20, 1.01 * most), 0);
  ck_assert_double_gt(bv_gap_length(&core, 20, 0.99 * most), 0);
}
END_TEST

/* L I²/2 is the energy of the flux in core and gap. */
START_TEST(energy_is_where_the_flux_is) {
  bv_gap_core c = core;
  c.width = 0; /* no fringing: the gap's area is the core's */
  double turns = 25, current = 6, gap = 0.7e-3;
  double inductance = bv_gap_inductance(&c, turns, gap);
  double flux = bv_gap_flux_density(inductance, current, turns, c.area);
  double energy = bv_gap_energy(flux, c.area, c.length, c.permeability) +
                  bv_gap_energy(flux, c.area, gap, 1);
  check_close(energy, inductance * current * current / 2, 1e-12);
  check_close(bv_gap_turns(inductance, current, flux, c.area), turns, 1e-12);
}
END_TEST

START_TEST(the_trusted_range_ends_at_wide_gaps) {
  ck_assert(bv_gap_fringing_valid(0.5e-3, 97e-6, 20e-3));
  ck_assert(!bv_gap_fringing_valid(2.1e-3, 97e-6, 40e-3));
  ck_assert(!bv_gap_fringing_valid(0.5e-3, 97e-6, 4e-3));
  ck_assert(!bv_gap_fringing_valid((double) NAN, 97e-6, 20e-3));
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      gap_and_inductance_are_inverse,
      fringing_makes_the_gap_longer_by_its_factor,
      fringing_is_near_the_flux_in_circles,
      an_inductance_above_the_ungapped_core_has_a_negative_gap,
      energy_is_where_the_flux_is,
      the_trusted_range_ends_at_wide_gaps,
      NULL};
  return check_main("model/gap", tests);
}
