/* SPDX-License-Identifier: MIT */
/* carry: which points go to which branch, where it works, and what it finds
 * where numbers have to follow the choices. */
#include <math.h>

#include "search/front_volume.h"
#include "search/search_begun.h"
#include "search/search_run.h"

enum { CORES = 25, PARTS = 20, MANY = 40, CELLS = 400, SEEDS = 5 };

/* Evaluations that fill fewer than three pools of each branch. */
enum { FEW = CORES * PARTS * BV_POOL_SIZE };

static const bv_variable mixed[] = {
    {.name = "x", .lo = 0, .hi = 1},
    {.name = "y", .lo = 0, .hi = 1},
    {.name = "core", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = CORES - 1},
    {.name = "part", .scale = BV_SCALE_CHOICE, .lo = 0, .hi = PARTS - 1}};
static const bv_problem plain = {.space = {mixed, 4}, .objectives = 2};
static const bv_yardstick measures = {.range = {1, 1, 1},
                                      .reference = {9, 9, 9}};

static bv_search *begin(const bv_problem *p, uint64_t evaluations) {
  return begun(p, evaluations, &measures);
}

/* Two branches: one of many points, all x above 0.5, and one of a single point
 * at 0.25. */
static void offer_fronts(bv_search *s) {
  for (int i = 0; i < MANY; i++) {
    double along = (double) i / MANY;
    offer_point(s, (double[]){0.51 + along / 10, along, 12, 3},
                (double[]){along, 2 - along});
  }
  offer_point(s, (double[]){0.25, 0.5, 20, 5}, (double[]){2, 0.5});
}

/* What cells start from and aim at. */
typedef struct carried {
  double few, same, one, two, to_end; /* cells */
} carried;

static carried carry(void) {
  bv_search *s = begin(&plain, FEW);
  offer_fronts(s);
  bv_random random = bv_random_keyed(5, 0, 0);
  carried made = {0};
  for (int i = 0; i < CELLS; i++) {
    bv_cell cell = {.most = BV_CELL_MOST};
    ck_assert(bv_operator_carry.plan(s, &random, &cell));
    const double *x = cell.data, *origin = x + 4;
    bool few = x[0] == 0.25;
    ck_assert(few ? x[1] == 0.5 : x[0] == 0.51 + x[1] / 10);
    double changed = (x[2] != (few ? 20 : 12)) + (x[3] != (few ? 5 : 3));
    made.few += few;
    made.same += changed == 0;
    made.one += changed == 1;
    made.two += changed == 2;
    made.to_end += origin[0] > 1000 || origin[1] > 1000;
    if (origin[0] < 1000 && origin[1] < 1000)
      ck_assert(origin[0] == (few ? 2 : x[1]) &&
                origin[1] == (few ? 0.5 : 2 - x[1]));
    bv_cell_free(&cell);
  }
  bv_search_free(s);
  return made;
}

/* Half the time a second value changes; of these half are of the same variable,
 * and of an ordered one some go back. */
START_TEST(points_go_to_branches_beside_theirs) {
  carried made = carry();
  ck_assert_double_eq(made.same, 0);
  ck_assert_double_gt(made.two, 0.2 * CELLS);
  ck_assert_double_lt(made.two, 0.35 * CELLS);
  ck_assert_double_eq(made.one + made.two, CELLS);
}
END_TEST

START_TEST(a_branch_of_one_point_counts_as_one_of_many) {
  carried made = carry();
  ck_assert_double_gt(made.few, 0.4 * CELLS);
  ck_assert_double_lt(made.few, 0.6 * CELLS);
}
END_TEST

START_TEST(solves_go_past_the_point_or_to_an_end) {
  carried made = carry();
  ck_assert_double_gt(made.to_end, 0.2 * CELLS);
  ck_assert_double_lt(made.to_end, 0.4 * CELLS);
}
END_TEST

START_TEST(it_works_only_where_pools_cannot_be_filled) {
  bv_search *s = begin(&plain, FEW);
  ck_assert_int_eq(bv_operator_carry.turn(s), BV_TURN_NONE); /* no front */
  offer_fronts(s);
  ck_assert_int_eq(bv_operator_carry.turn(s), BV_TURN_SHARE);
  bv_search_free(s);
  s = begin(&plain, 3 * FEW);
  offer_fronts(s);
  ck_assert_int_eq(bv_operator_carry.turn(s), BV_TURN_NONE);
  bv_search_free(s);
}
END_TEST

/* An objective that is a branch's own needs every branch. */
START_TEST(it_works_only_where_all_objectives_move) {
  bv_search *s = begin(&plain, FEW);
  for (int i = 0; i < MANY; i++)
    offer_point(s, (double[]){0.5, 0.5, 12, 3}, (double[]){1 - 0.01 * i, 1});
  ck_assert_uint_gt(s->front.count, 0);
  ck_assert_int_eq(bv_operator_carry.turn(s), BV_TURN_NONE);
  bv_search_free(s);
}
END_TEST

START_TEST(it_works_with_one_or_two_objectives) {
  for (size_t m = 1; m <= 3; m++) {
    const bv_problem p = {.space = {mixed, 4}, .objectives = m};
    bv_search *s = begin(&p, FEW);
    for (int i = 0; i < MANY; i++) {
      double f = 1 - 0.01 * i;
      offer_point(s, (double[]){0.5, 0.5, 12, 3}, (double[]){f, f, f});
    }
    ck_assert_int_eq(bv_operator_carry.turn(s),
                     m <= 2 ? BV_TURN_SHARE : BV_TURN_NONE);
    bv_search_free(s);
  }
}
END_TEST

START_TEST(it_works_only_where_there_are_branches_and_numbers) {
  const bv_problem numbers = {.space = {mixed, 2}, .objectives = 2};
  const bv_problem choices = {.space = {mixed + 2, 2}, .objectives = 2};
  bv_search *s = begin(&numbers, 50);
  for (int i = 0; i < MANY; i++)
    offer_point(s, (double[]){0.5, 0.5},
                (double[]){1 - 0.01 * i, 1 - 0.01 * i});
  ck_assert_int_eq(bv_operator_carry.turn(s), BV_TURN_NONE);
  bv_search_free(s);
  s = begin(&choices, 100);
  for (int i = 0; i < MANY; i++)
    offer_point(s, (double[]){2, 3}, (double[]){1 - 0.01 * i, 1 - 0.01 * i});
  ck_assert_int_eq(bv_operator_carry.turn(s), BV_TURN_NONE);
  bv_search_free(s);
}
END_TEST

/* What a part is worth: its place in the list tells nothing. */
static double worth(double part) {
  return fmod(7 * part + 3, PARTS) / (PARTS - 1);
}

/* The numbers that suit a core and a part lie where no other's do: within a
 * hundredth of their range. */
static bv_outcome follow(void *context, bv_evaluation *e) {
  (void) context;
  double u = e->x[2] / (CORES - 1), v = worth(e->x[3]);
  double dx = e->x[0] - (0.1 + 0.5 * u + 0.3 * v * v);
  double dy = e->x[1] - (0.9 - 0.6 * u * v - 0.2 * u);
  double off = dx * dx + dy * dy;
  e->objectives[0] = u + 0.4 * (1 - v) + off;
  e->objectives[1] = (1 - u) * (1 - u) + 0.3 * v + off;
  e->limits[0] = (off - 1e-4) / 0.1;
  return BV_OUTCOME_EVALUATED;
}

/* The hypervolume of what all branches have at best. */
static double best_volume(const double *reference) {
  double f[CORES * PARTS * 2], *at = f;
  for (int core = 0; core < CORES; core++)
    for (int part = 0; part < PARTS; part++, at += 2) {
      double u = (double) core / (CORES - 1), v = worth(part);
      at[0] = u + 0.4 * (1 - v);
      at[1] = (1 - u) * (1 - u) + 0.3 * v;
    }
  return bv_hypervolume(f, (size_t) CORES * PARTS, 2, reference);
}

/* Without it .93 are found. */
START_TEST(numbers_that_follow_the_choices_are_found) {
  test_problem p = {.problem = {.space = {mixed, 4},
                                .objectives = 2,
                                .limits = 1,
                                .evaluate = follow},
                    .reference = {1.5, 1.4}};
  double best = best_volume(p.reference), mean = 0;
  for (uint64_t seed = 1; seed <= SEEDS; seed++) {
    bv_search_options options = budget(FEW);
    options.seed = seed;
    bv_search *s = run(&p.problem, options);
    mean += front_volume(s, &p) / best / SEEDS;
    bv_search_free(s);
  }
  ck_assert_double_gt(mean, 0.96);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      points_go_to_branches_beside_theirs,
      a_branch_of_one_point_counts_as_one_of_many,
      solves_go_past_the_point_or_to_an_end,
      it_works_only_where_pools_cannot_be_filled,
      it_works_only_where_all_objectives_move,
      it_works_with_one_or_two_objectives,
      it_works_only_where_there_are_branches_and_numbers,
      numbers_that_follow_the_choices_are_found,
      NULL,
  };
  return check_main("search/carry", tests);
}
