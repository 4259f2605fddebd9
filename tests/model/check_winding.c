/* SPDX-License-Identifier: MIT */
#include "model/winding.h"

#include "base/constants.h"
#include "check_main.h"
#include "model/copper.h"
#include "model/core.h"
#include "model/wire.h"

/* A round bobbin: floor of 12 mm diameter, 6 mm high, 20 mm wide. */
static const bv_bobbin bobbin = {20e-3, 6e-3, BV_PI * 18e-3};

static bv_winding_plan plan_of(double turns, double diameter, bool whole) {
  return (bv_winding_plan){turns, diameter, 3e-3, 0.05e-3, 1, 1e-3, whole};
}

/* 14 mm between margins, 0.5 mm wire: 28 side by side, 27 turns and their lead;
 * 60 turns: 3 layers. Common practice: a helix of N turns crosses any line
 * along the axis N times and the line through both its leads N + 1 times. */
START_TEST(whole_turns_and_layers_are_counted) {
  bv_winding_plan plan = plan_of(60, 0.5e-3, true);
  bv_winding w = bv_winding_lay(&bobbin, &plan, 1e-3);
  ck_assert_double_eq(w.turns_per_layer, 27);
  ck_assert_double_eq(w.layers, 3);
  check_close(w.filled_layers, 60.0 / 27, 1e-12);
  check_close(w.pitch, 0.5e-3, 1e-12);
  check_close(w.outer, 1e-3 + 1.6e-3, 1e-12);
}
END_TEST

/* 14 mm hold n wires of 14/n mm whatever the division rounds to, one of them
 * the lead. */
START_TEST(wire_that_fits_exactly_fits) {
  for (int n = 2; n <= 200; n++) {
    bv_winding_plan plan = plan_of(n - 1, 14e-3 / n, true);
    bv_winding w = bv_winding_lay(&bobbin, &plan, 0);
    ck_assert_double_eq(w.turns_per_layer, n - 1);
    ck_assert_double_eq(w.layers, 1);
  }
}
END_TEST

/* The wire of a round bobbin, layer by layer. */
START_TEST(wire_length_is_the_sum_of_circles) {
  bv_winding_plan plan = plan_of(81, 0.5e-3, true);
  bv_winding w = bv_winding_lay(&bobbin, &plan, 1e-3);
  double length = 0;
  for (int layer = 0; layer < 3; layer++)
    length += 27 * BV_PI * (12e-3 + 2 * (1e-3 + 0.25e-3 + layer * 0.55e-3));
  check_close(w.length, length, 1e-12);
}
END_TEST

/* The same on an oblong bobbin with corners rounded by the build: each turn is
 * the floor's outline plus a full circle of its height. */
START_TEST(turns_of_an_oblong_bobbin_grow_like_circles) {
  double floor_length = 2 * (15e-3 + 10e-3);
  bv_bobbin oblong = {20e-3, 6e-3, floor_length + 2 * BV_PI * 3e-3};
  check_close(bv_winding_mean_turn(&oblong, 0, 2e-3),
              floor_length + 2 * BV_PI * 1e-3, 1e-12);
}
END_TEST

START_TEST(relaxed_is_continuous_and_never_more_than_whole) {
  double last = 0;
  for (double turns = 10; turns < 200; turns += 1) {
    bv_winding_plan relaxed = plan_of(turns, 0.37e-3, false);
    bv_winding_plan whole = plan_of(turns, 0.37e-3, true);
    bv_winding r = bv_winding_lay(&bobbin, &relaxed, 0);
    bv_winding w = bv_winding_lay(&bobbin, &whole, 0);
    check_close(r.turns_per_layer, 14 / 0.37 - 1, 1e-3);
    ck_assert_double_le(r.layers, w.layers);
    ck_assert_double_le(r.outer, w.outer);
    ck_assert_double_ge(r.outer, last);
    ck_assert_double_le(r.outer - (last > 0 ? last : r.outer), 0.02e-3);
    last = r.outer;
  }
}
END_TEST

START_TEST(chambers_share_turns_and_width) {
  bv_winding_plan plan = plan_of(100, 0.2e-3, true);
  plan.chambers = 4;
  bv_winding w = bv_winding_lay(&bobbin, &plan, 0);
  check_close(w.width, (14e-3 - 3e-3) / 4, 1e-12);
  ck_assert_double_eq(w.turns_per_layer, 12);
  ck_assert_double_eq(w.layers, 3); /* 25 turns a chamber */
}
END_TEST

START_TEST(wire_wider_than_the_bobbin_does_not_fit) {
  bv_winding_plan plan = plan_of(3, 15e-3, true);
  ck_assert(isinf(bv_winding_lay(&bobbin, &plan, 0).layers));
  plan = plan_of(3, 0.5e-3, false);
  plan.margin = 11e-3; /* nothing left between the margins */
  ck_assert(isinf(bv_winding_lay(&bobbin, &plan, 0).layers));
}
END_TEST

START_TEST(overall_diameter_is_monotone_and_has_an_inverse) {
  for (int grade = 1; grade <= 2; grade++) {
    double last = 0;
    for (double d = 0.02e-3; d < 3e-3; d *= 1.003) {
      double overall = bv_wire_overall_diameter(d, (bv_wire_grade) grade);
      ck_assert_double_gt(overall, d);
      ck_assert(last == 0 || (overall > last && overall < last * 1.005));
      check_close(bv_wire_bare_diameter(overall, (bv_wire_grade) grade), d,
                  1e-12);
      last = overall;
    }
  }
}
END_TEST

START_TEST(bundles_grow_without_a_jump) {
  ck_assert_double_eq(bv_wire_bundle_diameter(1e-4, 1), 1e-4);
  check_close(bv_wire_bundle_diameter(1e-4, 2 - 1e-9),
              bv_wire_bundle_diameter(1e-4, 2 + 1e-9), 1e-8);
  /* 70 strands of packing 0.7 fill a circle of a hundred. */
  check_close(bv_wire_bundle_diameter(1e-4, 70), 1e-3, 1e-12);
}
END_TEST

START_TEST(cores_that_cannot_be_are_refused) {
  const bv_core_size good = {32.1e-3, 16.2e-3, 9.2e-3, 11.5e-3,
                             23.3e-3, 9.2e-3,  0};
  bv_core_effective e;
  for (int shape = 0; shape < BV_CORE_SHAPE_COUNT; shape++) {
    bv_core_size size = good;
    size.a = -size.a;
    ck_assert(!bv_core_effective_make((bv_core_shape) shape, &size, &e));
    ck_assert(isnan(e.area) && isnan(e.length) && isnan(e.volume));
    size.a = (double) NAN;
    ck_assert(!bv_core_effective_make((bv_core_shape) shape, &size, &e));
  }
  bv_core_size leg = good, window = good, post = good;
  leg.f = leg.e;
  ck_assert(!bv_core_effective_make(BV_CORE_E, &leg, &e));
  window.d = window.b;
  ck_assert(!bv_core_effective_make(BV_CORE_U, &window, &e));
  post.c = 1.1 * post.e; /* deeper than the hollow is wide */
  ck_assert(!bv_core_effective_make(BV_CORE_ETD, &post, &e));
  ck_assert(!bv_core_effective_make(BV_CORE_SHAPE_COUNT, &good, &e));
  ck_assert(bv_core_effective_make(BV_CORE_E, &good, &e));
}
END_TEST

/* Two straight lines through known points; nothing left when very hot. */
START_TEST(saturation_falls_with_temperature) {
  check_close(bv_core_saturation(0.49, 0.39, 25), 0.49, 1e-12);
  check_close(bv_core_saturation(0.49, 0.39, 100), 0.39, 1e-12);
  check_close(bv_core_saturation(0.49, 0.39, 62.5), 0.44, 1e-12);
  ck_assert_double_eq(bv_core_saturation(0.49, 0.39, 500), 0);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {whole_turns_and_layers_are_counted,
                                wire_that_fits_exactly_fits,
                                wire_length_is_the_sum_of_circles,
                                turns_of_an_oblong_bobbin_grow_like_circles,
                                relaxed_is_continuous_and_never_more_than_whole,
                                chambers_share_turns_and_width,
                                wire_wider_than_the_bobbin_does_not_fit,
                                overall_diameter_is_monotone_and_has_an_inverse,
                                bundles_grow_without_a_jump,
                                cores_that_cannot_be_are_refused,
                                saturation_falls_with_temperature,
                                NULL};
  return check_main("model/winding", tests);
}
