/* SPDX-License-Identifier: MIT */
/* Branches of discrete values: how they are told apart, who gets the next
 * evaluations, and that none is lost by bad luck. */
#include "search/branch.h"

#include <string.h>

#include "check_main.h"
#include "search/near.h"
#include "search/plan.h"
#include "search/search.h"

/* Two keys of 3 and 4 values, a number and a whole number beside them. */
static const bv_variable mixed[] = {
    {.name = "x", .lo = 0, .hi = 1},
    {.name = "part", .scale = BV_SCALE_CHOICE, .lo = 0, .hi = 2},
    {.name = "turns", .scale = BV_SCALE_WHOLE, .lo = 1, .hi = 9},
    {.name = "core", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = 3}};

static bv_problem mixed_problem(size_t variables) {
  return (bv_problem){.space = {mixed, variables}, .objectives = 2};
}

START_TEST(a_branch_is_its_choices_and_lists) {
  const bv_space space = {mixed, 4};
  bv_keys keys = bv_keys_make(&space);
  ck_assert_uint_eq(keys.branches, 12);
  for (size_t i = 0; i < keys.branches; i++) {
    double x[] = {0.5, 0, 7, 0};
    bv_keys_place(&keys, i, x);
    ck_assert_uint_eq(bv_keys_branch(&keys, x), i);
    ck_assert(x[0] == 0.5 && x[2] == 7);
  }
  const double one[] = {0, 0, 1, 0}, far[] = {0, 0, 1, 3},
               other[] = {0, 2, 1, 0};
  check_close(bv_keys_distance(&keys, bv_keys_branch(&keys, one),
                               bv_keys_branch(&keys, far)),
              0.75, 1e-12);
  check_close(bv_keys_distance(&keys, bv_keys_branch(&keys, one),
                               bv_keys_branch(&keys, other)),
              1, 1e-12);
}
END_TEST

START_TEST(a_list_too_long_makes_no_branches) {
  const bv_variable lists[] = {
      {.name = "a", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = 4999},
      {.name = "b", .scale = BV_SCALE_CHOICE, .lo = 0, .hi = 999},
      {.name = "c", .scale = BV_SCALE_CHOICE, .lo = 0, .hi = 2}};
  bv_space space = {lists, 3};
  ck_assert_uint_eq(bv_keys_make(&space).branches, 1000);
  space.count = 1;
  ck_assert_uint_eq(bv_keys_make(&space).branches, 1);
}
END_TEST

/* Branches beside a front of (1, 1), and what a branch's nth evaluation finds.
 */
typedef struct trial {
  bv_problem problem;
  bv_yardstick yardstick;
  bv_archive front;
  bv_branches branches;
} trial;
typedef struct finding {
  double objective, violation; /* the same of both objectives */
} finding;
typedef finding found_by(const double *x, size_t branch, double n);

static void trial_begin(trial *t) {
  *t = (trial){.problem = mixed_problem(4),
               .yardstick = {.range = {1, 1}, .reference = {2, 2}}};
  bv_archive_init(&t->front, &t->problem);
  bv_branches_init(&t->branches, &t->problem, 12000);
  const double best[] = {1, 1}, nothing[4] = {0};
  bv_archive_offer(&t->front, nothing, best, NULL, &t->yardstick);
}

/* Spends evaluations as they are granted. */
static void trial_spend(trial *t, found_by *find) {
  bv_branches *b = &t->branches;
  for (int i = 0; i < 12000; i++) {
    double x[] = {i * 1e-5, 0, 5, 0}, noise = 0.01 * (i % 7);
    size_t branch = bv_branches_choose(b);
    bv_keys_place(&b->keys, branch, x);
    finding found = find(x, branch, (double) ++b->list[branch].planned);
    const double f[] = {found.objective + noise, found.objective + noise};
    bv_branches_offer(b, 0, x, f, found.violation, BV_RIVAL_NEAREST);
    bv_branches_judge(b, x, f, found.violation, &t->front, &t->yardstick);
    /* Each is visited before any is visited twice. */
    if (i < 12)
      ck_assert_uint_eq(b->list[branch].planned, 1);
  }
}

static void trial_end(trial *t) {
  bv_branches_free(&t->branches);
  bv_archive_free(&t->front);
}

static finding worth_its_core(const double *x, size_t branch, double n) {
  (void) branch, (void) n;
  return (finding){1 + x[3], 0};
}

START_TEST(evaluations_go_where_they_can_add) {
  trial t;
  trial_begin(&t);
  trial_spend(&t, worth_its_core);
  for (size_t part = 0; part < 3; part++) {
    const bv_branch *core = t.branches.list + 4 * part;
    ck_assert_uint_gt(core[0].planned, 2000);
    for (int k = 1; k < 4; k++) {
      check_close(core[k].deficit, k, 1e-9);
      ck_assert_uint_lt(core[k].planned, core[0].planned / 4);
      ck_assert_uint_ge(core[k].planned, 50);
    }
  }
  trial_end(&t);
}
END_TEST

static finding beyond_its_limits(const double *x, size_t branch, double n) {
  (void) x;
  return (finding){1, branch < 4 ? 0 : branch < 8 ? 50 / n : 0.5 + 1 / n};
}

/* Of two branches that break limits the one that nears them gets its share as
 * if it were on the front; the other is visited now and then. */
START_TEST(a_branch_that_nears_its_limits_is_searched) {
  trial t;
  trial_begin(&t);
  trial_spend(&t, beyond_its_limits);
  const bv_branch *list = t.branches.list;
  ck_assert_uint_gt(list[4].planned, list[0].planned / 2);
  ck_assert_uint_lt(list[8].planned, list[0].planned / 4);
  ck_assert_uint_ge(list[8].planned, 50);
  trial_end(&t);
}
END_TEST

START_TEST(a_pool_that_ended_begins_anew) {
  bv_problem problem = mixed_problem(4);
  bv_yardstick yardstick = {.range = {1, 1}, .reference = {2, 2}};
  bv_archive front;
  bv_branches b;
  bv_archive_init(&front, &problem);
  bv_branches_init(&b, &problem, 1000);
  bv_branch *first = &b.list[0];
  for (int i = 0; i < BV_POOL_SIZE; i++) {
    double x[] = {i * 1e-5, 0, 5, 0}, f[] = {1 + 1e-5 * i, 2};
    ck_assert_uint_eq(first->life, 0);
    bv_branches_offer(&b, 0, x, f, 0, BV_RIVAL_NEAREST);
    bv_branches_judge(&b, x, f, 0, &front, &yardstick);
  }
  ck_assert_uint_eq(first->life, 1);
  ck_assert_uint_eq(first->pool.count, 0);
  check_close(first->best.objectives[0], 1, 1e-12);
  /* What was planned before doesn't lead the new pool. */
  const double x[] = {0, 0, 5, 0}, f[] = {1, 2};
  bv_branches_offer(&b, 0, x, f, 0, BV_RIVAL_NEAREST);
  ck_assert_uint_eq(first->pool.count, 0);
  bv_branches_offer(&b, 1, x, f, 0, BV_RIVAL_NEAREST);
  ck_assert_uint_eq(first->pool.count, 1);
  bv_branches_free(&b);
  bv_archive_free(&front);
}
END_TEST

/* Twelve parts, each better than the one before at its best, but one: its
 * valley is so narrow that most of its points are far worse than any of the
 * others', and whole numbers inside break it up. Its best is 0.4 at `middle`,
 * that of the next smaller 1.65. */
enum { PARTS = 12, NARROW = 8, NUMBERS = 4 };
static const double narrow[NUMBERS] = {0.83, 0.17, 0.62, 0.11};
static const double wide[NUMBERS] = {0.21, 0.74, 0.23, 0.69};

static bv_outcome deceive(void *context, bv_evaluation *e) {
  (void) context;
  double square = 0, part = e->x[0];
  const double *middle = part == NARROW ? narrow : wide;
  for (size_t i = 0; i < NUMBERS; i++)
    square += pow(e->x[1 + i] - middle[i], 2);
  double apart = sqrt(square), broken = fabs(apart - round(10 * apart) / 10);
  e->objectives[1] = part;
  e->objectives[0] =
      part == NARROW ? 0.4 + 6 * apart + 10 * broken : 2 - 0.05 * part + apart;
  return BV_OUTCOME_EVALUATED;
}

/* A branch's best is its own, whoever found it: here each part on the front has
 * one point there. */
static void compare_best(const bv_search *s) {
  for (size_t i = 0; i < s->front.count; i++) {
    size_t slot = s->front.live[i];
    const bv_branch *own = &s->branches.list[s->front.branches.of[slot]];
    ck_assert(own->best.violation == 0);
    ck_assert_double_eq(own->best.objectives[0],
                        bv_archive_objectives(&s->front, slot)[0]);
  }
}

static void find_narrow_part(bv_scale scale) {
  const bv_variable parts[] = {
      {.name = "part", .scale = scale, .lo = 0, .hi = PARTS - 1},
      {.name = "a", .lo = 0, .hi = 1},
      {.name = "b", .lo = 0, .hi = 1},
      {.name = "c", .lo = 0, .hi = 1},
      {.name = "d", .lo = 0, .hi = 1}};
  bv_problem problem = {
      .space = {parts, 1 + NUMBERS}, .objectives = 2, .evaluate = deceive};
  for (uint64_t seed = 1; seed <= 11; seed++) {
    bv_search_options options = bv_search_defaults();
    options.seed = seed;
    options.evaluations = 20000;
    bv_search *s;
    ck_assert_int_eq(bv_search_new(&problem, &options, &s, NULL), BV_OK);
    bv_search_run(s);
    const bv_point least = bv_search_front(s, 0);
    ck_assert_msg(least.x[0] == NARROW, "seed %d: part %g, %g", (int) seed,
                  least.x[0], least.objectives[0]);
    compare_best(s);
    bv_search_free(s);
  }
}

START_TEST(no_branch_is_lost_by_bad_luck) {
  find_narrow_part(BV_SCALE_CHOICE);
  find_narrow_part(BV_SCALE_ORDERED);
}
END_TEST

static bv_outcome two_sheets(void *context, bv_evaluation *e) {
  (void) context;
  e->objectives[0] = e->x[0] * e->x[0] + 0.1 * e->x[1];
  e->objectives[1] = pow(e->x[0] - 1, 2) + 0.1 * e->x[1];
  e->objectives[2] = -e->x[1];
  return BV_OUTCOME_EVALUATED;
}

static const bv_variable sheet_parts[] = {
    {.name = "x", .lo = -1, .hi = 2},
    {.name = "part", .scale = BV_SCALE_ORDERED, .lo = 0, .hi = 1}};
static const bv_problem sheets = {
    .space = {sheet_parts, 2}, .objectives = 3, .evaluate = two_sheets};

static bv_search *begin_sheets(void) {
  bv_search_options options = bv_search_defaults();
  bv_search *s;
  options.evaluations = 4000;
  ck_assert_int_eq(bv_search_new(&sheets, &options, &s, NULL), BV_OK);
  return s;
}

/* Of two parts with a curve of designs each, most evaluations go to the pools
 * while the front is small and to filling the curves once it is large. */
START_TEST(pools_give_way_to_a_full_front) {
  bv_search *s = begin_sheets();
  double most = 0.75 * 2000 / 2020;
  check_close(bv_operator_branch.share(s), most, 1e-12);
  bv_search_run(s);
  double points = (double) s->front.count / 2;
  ck_assert_uint_eq(s->front.branches.standing, 2);
  ck_assert_uint_gt(s->front.count, 1000);
  check_close(bv_operator_branch.share(s), most * 20 / (20 + points), 1e-12);
  /* What lies beside a point on the front is asked for on its own part. */
  bv_random random = bv_random_keyed(1, 2, 3);
  for (size_t i = 0; i < s->front.count; i++) {
    size_t near[6], slot = s->front.live[i];
    size_t count = bv_near(s, slot, &random, near, 6);
    ck_assert_uint_eq(count, 6);
    for (size_t k = 0; k < count; k++)
      ck_assert(bv_archive_x(&s->front, near[k])[1] ==
                bv_archive_x(&s->front, slot)[1]);
  }
  bv_search_free(s);
}
END_TEST

/* Of the points that both branches' pools begin with for another time, the part
 * that lies near the ends of x. */
static double near_ends(bv_search *s, uint64_t life) {
  bv_random random = bv_random_keyed(3, life, 0);
  size_t all = 0, near = 0;
  for (int i = 0; i < 50; i++) {
    bv_cell cell = {.most = BV_LIST_SIZE};
    for (size_t b = 0; b < s->branches.count; b++) {
      bv_branch *branch = &s->branches.list[b];
      bv_population_clear(&branch->pool);
      branch->life = life;
      branch->begun = branch->planned;
    }
    ck_assert(bv_operator_branch.plan(s, &random, &cell));
    for (uint32_t k = 0; k < cell.most; k++, all++)
      near += fabs(cell.data[(size_t) 2 * k] - 0.5) > 0.8 * 1.5;
    bv_cell_free(&cell);
  }
  return (double) near / (double) all;
}

/* The front's x lie between 0 and 1 of the range from -1 to 2: a fifth of what
 * is drawn anywhere lies near its ends, but next to nothing around the
 * front. */
START_TEST(every_second_pool_begins_around_the_front) {
  bv_search *s = begin_sheets();
  bv_search_run(s);
  for (uint64_t life = 1; life <= 4; life++)
    if (life % 2 == 0)
      check_close(near_ends(s, life), 0.2, 0.2);
    else
      ck_assert_double_lt(near_ends(s, life), 0.06);
  bv_search_free(s);
}
END_TEST

/* Both pools, filled long ago: of the first part's with x from 0 to 1, of the
 * other's with x beyond 1.8; what the first part's best breaks. */
static void fill_pools(bv_search *s, bv_random *random, double violation) {
  for (size_t part = 0; part < 2; part++) {
    bv_branch *branch = &s->branches.list[part];
    bv_population_clear(&branch->pool);
    for (int i = 0; i < BV_POOL_SIZE; i++) {
      double unit = bv_random_unit(random);
      const double x[] = {part == 0 ? unit : 1.8 + 0.2 * unit, (double) part};
      const double f[] = {unit, 1 - unit, 0};
      bv_branches_offer(&s->branches, 0, x, f, 0, BV_RIVAL_NEAREST);
    }
    branch->planned = 1000;
    branch->best.violation = part == 0 ? violation : 0;
  }
}

/* The part of the first part's points that are taken from the other. */
static double taken_over(double violation) {
  bv_search *s = begin_sheets();
  bv_random random = bv_random_keyed(5, 0, 0);
  size_t own = 0, taken = 0;
  for (int i = 0; i < 100; i++) {
    bv_cell cell = {.most = BV_LIST_SIZE};
    fill_pools(s, &random, violation);
    ck_assert(bv_operator_branch.plan(s, &random, &cell));
    for (uint32_t k = 0; k < cell.most; k++) {
      const double *x = cell.data + (size_t) 2 * k;
      own += x[1] == 0;
      taken += x[1] == 0 && x[0] > 1.8;
    }
    bv_cell_free(&cell);
  }
  bv_search_free(s);
  ck_assert_uint_gt(own, 500);
  return (double) taken / (double) own;
}

/* What is taken from a branch alike is so in three quarters of its variables.
 */
START_TEST(a_branch_in_need_learns_most_from_others) {
  check_close(taken_over(0.1), 0.5 * 0.75, 0.2);
  ck_assert_double_lt(taken_over(0), 0.08);
}
END_TEST

/* Parts with an easy front each, and one behind a rugged valley whose front is
 * better. */
enum { MANY = 30, RUGGED = 4 };

static bv_outcome hide(void *context, bv_evaluation *e) {
  const size_t *good = context;
  bool is_good = e->x[0] == (double) *good;
  double above = is_good ? 0 : 0.3 + 0.002 * e->x[0];
  for (size_t i = 0; i < RUGGED; i++) {
    double y = e->x[2 + i] - (is_good ? 0.37 : 0.5);
    above += is_good ? 9 * y * y + 0.1 * (1 - cos(30 * y)) : y * y;
  }
  e->objectives[0] = e->x[1] + above;
  e->objectives[1] = pow(1 - e->x[1], 2) + above;
  return BV_OUTCOME_EVALUATED;
}

static bool is_found(size_t good, uint64_t seed) {
  bv_variable v[2 + RUGGED] = {
      {.name = "part", .scale = BV_SCALE_CHOICE, .lo = 0, .hi = MANY - 1}};
  for (size_t i = 1; i < 2 + RUGGED; i++)
    v[i] = (bv_variable){.name = "x", .lo = 0, .hi = 1};
  bv_problem problem = {.space = {v, 2 + RUGGED},
                        .objectives = 2,
                        .evaluate = hide,
                        .context = &good};
  bv_search_options options = bv_search_defaults();
  bv_search *s;
  options.seed = seed;
  ck_assert_int_eq(bv_search_new(&problem, &options, &s, NULL), BV_OK);
  bv_search_run(s);
  bool found = bv_search_front(s, 0).x[0] == (double) good;
  bv_search_free(s);
  return found;
}

/* Two parts that fill the front by thousands leave the pools of the others what
 * these need. */
START_TEST(a_full_front_starves_no_branch) {
  int found = 0;
  for (uint64_t seed = 1; seed <= 5; seed++)
    for (size_t good = 0; good < MANY; good += MANY / 2 - 1)
      found += is_found(good, seed);
  ck_assert_int_ge(found, 13);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_branch_is_its_choices_and_lists,
                                a_list_too_long_makes_no_branches,
                                evaluations_go_where_they_can_add,
                                a_branch_that_nears_its_limits_is_searched,
                                a_pool_that_ended_begins_anew,
                                no_branch_is_lost_by_bad_luck,
                                pools_give_way_to_a_full_front,
                                every_second_pool_begins_around_the_front,
                                a_branch_in_need_learns_most_from_others,
                                a_full_front_starves_no_branch,
                                NULL};
  return check_main("search/branch", tests);
}
