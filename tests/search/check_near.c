/* SPDX-License-Identifier: MIT */
/* Neighbours and gaps on the front of two objectives against a look at all of
 * its points, while points come and drive others out; kin and handfuls with
 * three. */
#include "search/near.h"

#include <stdlib.h>
#include <string.h>

#include "check_main.h"
#include "search/problems.h"

enum { OFFERED = 3000, EVERY = 50, PICKED = 20 };

static const bv_yardstick measures = {.range = {1, 3}, .reference = {9, 9}};

/* Towards the end nearer to the line where both add up to 1. */
static void offer(bv_search *s, bv_random *random, size_t i) {
  const double x[2] = {1, 1}, limits[2] = {-1, -1};
  double t = bv_random_unit(random), off = bv_random_unit(random);
  double behind = off * 10 / (10 + (double) i);
  bv_archive_offer(&s->front, x, (double[]){t, 1 - t + behind}, limits,
                   &measures);
}

static int by_size(const void *a, const void *b) {
  double first = *(const double *) a, second = *(const double *) b;
  return (first > second) - (first < second);
}

static void compare_neighbours(const bv_search *s, bv_random *random) {
  static double all[OFFERED];
  size_t near[BV_NEAR_MOST], others = 0;
  size_t slot = s->front.live[bv_random_below(random, s->front.count)];
  for (size_t i = 0; i < s->front.count; i++)
    if (s->front.live[i] != slot)
      all[others++] = bv_near_distance(s, slot, s->front.live[i]);
  qsort(all, others, sizeof *all, by_size);
  size_t count = bv_near(s, slot, random, near, BV_NEAR_MOST);
  ck_assert_uint_eq(count, others < BV_NEAR_MOST ? others : BV_NEAR_MOST);
  for (size_t i = 0; i < count; i++)
    ck_assert_double_eq(bv_near_distance(s, slot, near[i]), all[i]);
}

static int by_first(const void *a, const void *b, void *front) {
  return by_size(bv_archive_objectives(front, *(const size_t *) a),
                 bv_archive_objectives(front, *(const size_t *) b));
}

static double largest_of_all(bv_search *s) {
  static size_t order[OFFERED];
  double largest = 0;
  for (size_t i = 0; i < s->front.count; i++)
    order[i] = s->front.live[i];
  qsort_r(order, s->front.count, sizeof *order, by_first, &s->front);
  for (size_t i = 1; i < s->front.count; i++) {
    const double *left = bv_archive_objectives(&s->front, order[i - 1]);
    const double *right = bv_archive_objectives(&s->front, order[i]);
    double volume = (right[0] - left[0]) * (left[1] - right[1]) /
                    (measures.range[0] * measures.range[1]);
    largest = fmax(largest, ldexp(volume, -(int) s->front.tries[order[i - 1]]));
  }
  return largest;
}

static void compare_gap(bv_search *s, bv_random *random) {
  bv_gap gap;
  ck_assert(bv_near_gap(s, random, &gap));
  check_close(gap.size, largest_of_all(s), 1e-12);
  s->front.tries[gap.slots[0]]++;
}

START_TEST(front_of_two_objectives_is_known_as_it_changes) {
  const bv_problem *problem = &test_problem_find("BNH")->problem;
  bv_search_options options = bv_search_defaults();
  bv_random random = bv_random_keyed(5, 0, 0);
  bv_search *s;
  bv_error error;
  ck_assert(bv_search_new(problem, &options, &s, &error) == BV_OK);
  s->yardstick = measures;
  for (size_t i = 0; i < OFFERED; i++) {
    offer(s, &random, i);
    for (int k = 0; s->front.count > 1 && i % EVERY == 0 && k < PICKED; k++) {
      compare_neighbours(s, &random);
      compare_gap(s, &random);
    }
  }
  ck_assert_uint_gt(s->front.staircase.blocks, 1);
  bv_search_free(s);
}
END_TEST

static const bv_variable sides[] = {{.name = "a", .lo = 0, .hi = 1},
                                    {.name = "b", .lo = 0, .hi = 1}};
static const bv_problem plane = {.space = {sides, 2}, .objectives = 3};

/* How many of the front are nearer to a slot than another one. */
static double rank_of(const bv_search *s, size_t slot, size_t other) {
  double distance = bv_near_distance(s, slot, other);
  size_t rank = 0;
  for (size_t i = 0; i < s->front.count; i++)
    rank += bv_near_distance(s, slot, s->front.live[i]) <= distance;
  return (double) rank - 1; /* without itself */
}

/* A search whose front is a plane of so many points. */
static bv_search *plane_of(size_t points, bv_random *random) {
  const bv_yardstick even = {.range = {1, 1, 1}, .reference = {9, 9, 9}};
  bv_search_options options = bv_search_defaults();
  bv_search *s;
  ck_assert(bv_search_new(&plane, &options, &s, NULL) == BV_OK);
  s->yardstick = even;
  for (size_t i = 0; i < points; i++) {
    double x[] = {bv_random_unit(random), bv_random_unit(random)};
    bv_archive_offer(&s->front, x, (double[]){x[0], x[1], 2 - x[0] - x[1]},
                     NULL, &even);
  }
  ck_assert_uint_eq(s->front.count, points);
  return s;
}

/* The mean rank of a point's kin, six of them, on a plane of so many points;
 * each is asked for while another cell is planned. */
static double kin_rank(size_t points) {
  bv_random random = bv_random_keyed(7, 0, 0);
  bv_search *s = plane_of(points, &random);
  double sum = 0;
  size_t kin[6];
  for (; s->planned < 200; s->planned++) {
    size_t slot = s->front.live[bv_random_below(&random, points)];
    ck_assert_uint_eq(bv_near_kin(s, slot, &random, kin, 6), 6);
    for (size_t i = 0; i < 6; i++)
      sum += rank_of(s, slot, kin[i]) / 6 / 200;
  }
  bv_search_free(s);
  return sum;
}

/* On a plane those most alike in x are the nearest too. The j-th nearest of a
 * handful of h is on average the j (n + 1) / (h + 1)-th of all n; roughly, for
 * alike isn't measured as near is. */
START_TEST(kin_are_drawn_from_more_the_larger_the_front_is) {
  check_close(kin_rank(600), 3.5 * 601 / 65, 0.25);
  check_close(kin_rank(2000), 3.5 * 2001 / 129, 0.25);
  check_close(kin_rank(8000), 3.5 * 8001 / 257, 0.25);
}
END_TEST

/* How often each of a front's slots is in a handful, one or none; all told. */
static size_t count_slots(const bv_handful *h, const bv_search *s) {
  static size_t times[OFFERED];
  size_t all = 0;
  memset(times, 0, sizeof times);
  for (size_t i = 0; i < h->layers * BV_HANDFUL_LAYER; i++) {
    if (isinf(h->objectives[0][i]))
      continue;
    ck_assert_uint_lt(h->slots[i], s->front.count);
    ck_assert_uint_eq(times[h->slots[i]]++, 0);
    all++;
  }
  return all;
}

/* How many points of a layer come from the first half of what it is drawn from,
 * here the slots in order. */
static size_t in_first_half(const bv_handful *h, size_t layer, size_t held) {
  size_t count = 0;
  for (size_t i = 0; i < BV_HANDFUL_LAYER; i++)
    count += h->slots[layer * BV_HANDFUL_LAYER + i] < held / 2;
  return count;
}

START_TEST(handful_holds_each_slot_once_and_from_everywhere) {
  static const size_t fronts[] = {2, 63, 64, 65, 130, 1000, 2999};
  const double range[] = {1, 2, 3};
  bv_random random = bv_random_keyed(9, 0, 0);
  for (size_t k = 0; k < sizeof fronts / sizeof *fronts; k++) {
    size_t held = fronts[k], most = held <= 64 ? 1 : held / 64;
    bv_search *s = plane_of(held, &random);
    for (size_t layers = 1; layers <= most && layers <= 4; layers++) {
      bv_handful h;
      bv_handful_draw(&h, &s->front, s->front.live, held, range, layers,
                      &random);
      ck_assert_uint_eq(count_slots(&h, s), held < 64 ? held : 64 * layers);
      for (size_t layer = 0; held > 64 && layer < layers; layer++)
        ck_assert_int_le(abs((int) in_first_half(&h, layer, held) - 32), 1);
    }
    bv_search_free(s);
  }
}
END_TEST

START_TEST(distances_in_a_handful_are_those_of_its_slots) {
  bv_random random = bv_random_keyed(11, 0, 0);
  bv_search *s = plane_of(500, &random);
  bv_handful h;
  double distances[BV_HANDFUL_LAYER];
  memcpy(s->yardstick.range, (double[]){1, 2, 3}, 3 * sizeof(double));
  bv_handful_draw(&h, &s->front, s->front.live, 500, s->yardstick.range, 4,
                  &random);
  for (size_t slot = 0; slot < 500; slot += 50)
    for (size_t layer = 0; layer < 4; layer++) {
      bv_handful_distances(&h, 3, layer, bv_archive_objectives(&s->front, slot),
                           s->yardstick.range, distances);
      for (size_t i = 0; i < BV_HANDFUL_LAYER; i++)
        ck_assert_double_eq_tol(
            distances[i],
            bv_near_distance(s, slot, h.slots[layer * BV_HANDFUL_LAYER + i]),
            1e-15);
    }
  bv_search_free(s);
}
END_TEST

START_TEST(who_asks_for_one_cell_gets_the_same_neighbours) {
  bv_random random = bv_random_keyed(13, 0, 0);
  bv_search *s = plane_of(2000, &random);
  size_t same = 0, other = 0, a[6], b[6], c[6];
  for (size_t slot = 0; slot < 200; slot++) {
    ck_assert_uint_eq(bv_near(s, slot, &random, a, 6), 6);
    ck_assert_uint_eq(bv_near(s, slot, &random, b, 6), 6);
    s->planned++;
    ck_assert_uint_eq(bv_near(s, slot, &random, c, 6), 6);
    same += memcmp(a, b, sizeof a) == 0;
    other += memcmp(a, c, sizeof a) != 0;
    for (size_t i = 0; i < 6; i++)
      ck_assert_uint_ne(a[i], slot);
    for (size_t i = 1; i < 6; i++)
      ck_assert_double_le(bv_near_distance(s, slot, a[i - 1]),
                          bv_near_distance(s, slot, a[i]));
  }
  ck_assert_uint_eq(same, 200);
  ck_assert_uint_gt(other, 190);
  bv_search_free(s);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      front_of_two_objectives_is_known_as_it_changes,
      kin_are_drawn_from_more_the_larger_the_front_is,
      handful_holds_each_slot_once_and_from_everywhere,
      distances_in_a_handful_are_those_of_its_slots,
      who_asks_for_one_cell_gets_the_same_neighbours,
      NULL};
  return check_main("search/near", tests);
}
