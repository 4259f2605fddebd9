/* SPDX-License-Identifier: MIT */
/* A selection against the definitions of rank and crowding (Deb and others
 * 2002), worked out member by member. */
#include "search/population.h"

#include <stdlib.h>

#include "base/random.h"
#include "check_main.h"

/* Members, and rounds: every so many begin anew, or replace a member. */
enum { MOST = 4, OFFERED = 60, KEPT = 40 };
enum { ROUNDS = 50, CLEARED = 10, REPLACED = 3 };

static const bv_variable one[] = {{.name = "x", .lo = 0, .hi = OFFERED}};

typedef struct offer {
  double objectives[MOST], violation, crowding;
  size_t rank;
} offer;

static bool dominates(const offer *a, const offer *b, size_t m) {
  if (a->violation != b->violation)
    return a->violation < b->violation;
  bool better = false;
  for (size_t j = 0; j < m; j++) {
    if (a->objectives[j] > b->objectives[j])
      return false;
    better = better || a->objectives[j] < b->objectives[j];
  }
  return better;
}

/* Front after front is taken off. */
static void rank_all(offer *all, size_t m) {
  for (size_t i = 0; i < OFFERED; i++)
    all[i].rank = OFFERED;
  for (size_t rank = 0, ranked = 0; ranked < OFFERED; rank++)
    for (size_t i = 0; i < OFFERED; i++) {
      bool is_dominated = false;
      for (size_t k = 0; k < OFFERED; k++)
        is_dominated = is_dominated ||
                       (all[k].rank >= rank && dominates(&all[k], &all[i], m));
      if (all[i].rank == OFFERED && !is_dominated) {
        all[i].rank = rank;
        ranked++;
      }
    }
}

/* From the next better of a front to the next worse, in spans of the front. */
static double crowding_along(const offer *all, size_t i, size_t j) {
  double lo = HUGE_VAL, hi = -HUGE_VAL, below = -HUGE_VAL, above = HUGE_VAL;
  double own = all[i].objectives[j];
  for (size_t k = 0; k < OFFERED; k++) {
    double f = all[k].objectives[j];
    if (all[k].rank != all[i].rank)
      continue;
    lo = fmin(lo, f);
    hi = fmax(hi, f);
    below = f < own ? fmax(below, f) : below;
    above = f > own ? fmin(above, f) : above;
  }
  return own == lo || own == hi ? HUGE_VAL : (above - below) / (hi - lo);
}

/* Near a plane, so that fronts are long. */
static void draw(bv_random *random, size_t m, double broken, offer *next) {
  double sum = 0;
  for (size_t j = 0; j < m; j++)
    sum += next->objectives[j] = bv_random_unit(random);
  for (size_t j = 0; j < m; j++)
    next->objectives[j] /= 0.1 * sum + 0.9;
  next->violation =
      bv_random_unit(random) < broken ? bv_random_unit(random) : 0;
}

static void judge(offer *all, size_t m) {
  rank_all(all, m);
  for (size_t i = 0; i < OFFERED; i++) {
    all[i].crowding = 0;
    for (size_t j = 0; j < m; j++)
      all[i].crowding += crowding_along(all, i, j);
  }
}

static void compare(const bv_population *p, const offer *all) {
  bool kept[OFFERED] = {false};
  size_t last = p->members[KEPT - 1].rank;
  double least = HUGE_VAL;
  ck_assert_uint_eq(p->count, KEPT);
  for (size_t i = 0; i < KEPT; i++) {
    const offer *known = &all[(size_t) *bv_population_x(p, i)];
    ck_assert(!kept[known - all]);
    kept[known - all] = true;
    ck_assert_uint_eq(p->members[i].rank, known->rank);
    ck_assert_uint_le(i > 0 ? p->members[i - 1].rank : 0, known->rank);
    ck_assert(p->members[i].crowding == known->crowding ||
              fabs(p->members[i].crowding - known->crowding) < 1e-12);
    least = known->rank == last ? fmin(least, known->crowding) : least;
  }
  for (size_t i = 0; i < OFFERED; i++)
    ck_assert(kept[i] || all[i].rank > last ||
              (all[i].rank == last && all[i].crowding <= least));
}

static void offer_again(bv_population *p, bv_random *random, double broken,
                        offer *all) {
  bool kept[OFFERED] = {false};
  for (size_t i = 0; i < p->count; i++)
    kept[(size_t) *bv_population_x(p, i)] = true;
  for (size_t i = 0; i < OFFERED; i++) {
    double x = (double) i;
    if (kept[i])
      continue;
    draw(random, p->problem->objectives, broken, &all[i]);
    bv_population_offer(p, &x, all[i].objectives, all[i].violation);
  }
}

static void replace_one(bv_population *p, bv_random *random, double broken,
                        offer *all) {
  size_t i = bv_random_below(random, p->count);
  double x = *bv_population_x(p, i);
  offer *other = &all[(size_t) x];
  draw(random, p->problem->objectives, broken, other);
  bv_population_replace(p, i, &x, other->objectives, other->violation);
}

static void select_at_random(size_t m, double broken) {
  bv_problem problem = {.space = {one, 1}, .objectives = m};
  offer all[OFFERED];
  bv_random random = bv_random_keyed(7, m, (uint64_t) (10 * broken));
  bv_population p;
  bv_population_init(&p, &problem, KEPT);
  for (int round = 0; round < ROUNDS; round++) {
    if (round % CLEARED == 0)
      bv_population_clear(&p);
    offer_again(&p, &random, broken, all);
    if (round % REPLACED == 0)
      replace_one(&p, &random, broken, all);
    judge(all, m);
    bv_population_select(&p);
    compare(&p, all);
  }
  bv_population_free(&p);
}

START_TEST(those_of_least_rank_and_then_the_least_crowded_stay) {
  for (size_t m = 1; m <= MOST; m++) {
    select_at_random(m, 0);
    select_at_random(m, 0.3);
    select_at_random(m, 1);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      those_of_least_rank_and_then_the_least_crowded_stay, NULL};
  return check_main("search/population", tests);
}
