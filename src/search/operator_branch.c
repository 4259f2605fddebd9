/* SPDX-License-Identifier: MIT */
/* branch: every branch of discrete values is searched by itself, by differences
 * within its own pool (R. Storn, K. Price, J. Global Optimization 11, 1997; led
 * by its better members after J. Zhang, A. Sanderson, "JADE", IEEE Trans. Evol.
 * Comput. 13(5), 2009). Numbers that a model makes whole inside, such as turns,
 * part its continuous variables into many small valleys: there a pool finds its
 * way and a local solve doesn't. Along ordered lists branches learn from those
 * beside them; a pool that begins anew learns from none, for what others know
 * led it to where it ended: every second one begins around what its branch has
 * on the front, as a better valley often lies near by, the others anywhere. A
 * cell holds its points, then for each the rival and the life of the pool. */
#include <math.h>
#include <string.h>

#include "search/plan.h"

/* Evaluations in a row for one branch; members a difference needs; branches
 * looked at for one that is alike; members of which the best leads. */
enum { BATCH = 5, MEMBERS_LEAST = 6, RIVALS = 8, LEADERS = 5 };

/* The largest share of the budget: the others fill the front between what this
 * one finds. */
#define SHARE_MOST 0.75

/* Share of the variables that a difference changes, of these differences those
 * that another variable lends, and of the children those that are led. */
#define CROSSING 0.9
#define LENT 0.25
#define LED 0.5

/* Share of the points that are taken from a branch alike: of a pool that fills
 * or of a branch that has no feasible point, which is in need of them, and of
 * any other, which they may lead out of a better valley of its own. */
#define TAKEN_IN_NEED 0.5
#define TAKEN 0.05

/* How far around a point a pool begins: deviations of every size between these,
 * in units. */
#define NEAREST 0.01
#define FARTHEST 0.3

typedef struct rival_of {
  double member, life; /* member < 0: the nearest */
} rival_of;

static bv_turn branch_turn(const bv_search *s) {
  return bv_plan_started(s) && s->branches.count > 1 ? BV_TURN_SHARE
                                                     : BV_TURN_NONE;
}

/* Half of its share where the pools can only just be filled. The more points a
 * branch has on the front beside the members of its pool, the less the pool
 * tells of it; those that have none are searched by their pools alone. */
static double branch_share(const bv_search *s) {
  double branches = (double) s->front.keys.branches;
  double standing = (double) s->front.branches.standing;
  double points = standing > 0 ? (double) s->front.count / standing : 0;
  double each = (double) s->options.evaluations / branches;
  double told = standing / branches * points / (BV_POOL_SIZE + points);
  return SHARE_MOST * each / (each + BV_POOL_SIZE) * (1 - told);
}

/* The pool of a branch alike: the nearest of a few; NULL where these have no
 * members. */
static const bv_population *pool_alike(const bv_branches *b, size_t branch,
                                       bv_random *random) {
  const bv_population *best = NULL;
  double least = HUGE_VAL;
  for (int i = 0; i < RIVALS; i++) {
    size_t other = bv_random_below(random, b->count);
    double distance = bv_keys_distance(&b->keys, branch, other);
    if (other == branch || b->list[other].pool.count == 0 || distance >= least)
      continue;
    least = distance;
    best = &b->list[other].pool;
  }
  return best;
}

/* The best of a few members. */
static size_t member(const bv_population *pool, bv_random *random, int of) {
  size_t best = bv_random_below(random, pool->count);
  while (--of > 0) {
    size_t k = bv_random_below(random, pool->count);
    if (bv_population_compare(pool, best, bv_population_objectives(pool, k),
                              pool->members[k].violation) > 0)
      best = k;
  }
  return best;
}

static void anywhere(const bv_space *space, bv_random *random, double *x) {
  for (size_t i = 0; i < space->count; i++)
    x[i] = bv_variable_decode(&space->variables[i], bv_random_unit(random));
}

/* Draws the numbers of x anew around a point's, but for those that would leave
 * their range. */
static void around(const bv_space *space, const double *units,
                   bv_random *random, double *x) {
  double size = NEAREST * pow(FARTHEST / NEAREST, bv_random_unit(random));
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    double unit = units[i] + size * bv_random_normal(random);
    if (v->scale != BV_SCALE_CHOICE && unit >= 0 && unit <= 1)
      x[i] = bv_variable_decode(v, unit);
  }
}

/* A point of a pool that begins. */
static void begin_pool(const bv_search *s, size_t number, bv_random *random,
                       double *x) {
  const bv_space *space = &s->problem->space;
  const bv_group *own = &s->front.branches.list[number];
  anywhere(space, random, x);
  if (s->branches.list[number].life % 2 == 0 || own->count == 0)
    return;
  size_t slot = own->slots[bv_random_below(random, own->count)];
  around(space, bv_archive_units(&s->front, slot), random, x);
}

/* A good member of a branch alike, some variables as in one's own pool where
 * that has members. False where there is no such branch. */
static bool take_over(const bv_branches *b, size_t branch, bv_random *random,
                      double *x) {
  const bv_population *own = &b->list[branch].pool;
  const bv_population *alike = pool_alike(b, branch, random);
  if (!alike)
    return false;
  size_t n = b->problem->space.count;
  memcpy(x, bv_population_x(alike, member(alike, random, 2)), n * sizeof *x);
  double kept = 0.5 * bv_random_unit(random);
  const double *a =
      own->count > 0 ? bv_population_x(own, member(own, random, 1)) : x;
  for (size_t i = 0; i < n; i++)
    x[i] = bv_random_chance(random, kept) ? a[i] : x[i];
  return true;
}

/* From the rival's unit a part of the way to a's, and on by a difference. What
 * leaves its range lands between its end and the rival's. */
static double moved(double rival, double part, double a, double difference,
                    bv_random *random) {
  double unit = rival + part * (a - rival) + difference;
  double end = unit < 0 ? 0 : 1;
  if (unit < 0 || unit > 1)
    unit = end + (rival - end) * bv_random_unit(random);
  return unit;
}

/* The variable that lends its difference to another. */
static size_t lender(const bv_space *space, bv_random *random, size_t to) {
  if (!bv_random_chance(random, LENT))
    return to;
  size_t other = bv_random_below(random, space->count);
  return bv_variable_is_discrete(&space->variables[other]) ? to : other;
}

static void differ(const bv_population *pool, size_t rival, bv_random *random,
                   double *x) {
  const bv_space *space = &pool->problem->space;
  bool led = bv_random_chance(random, LED);
  size_t a = member(pool, random, led ? LEADERS : 1);
  size_t b = member(pool, random, 1), c = member(pool, random, 1);
  const double *own = bv_population_units(pool, rival);
  const double *ua = bv_population_units(pool, a);
  const double *ub = bv_population_units(pool, b);
  const double *uc = bv_population_units(pool, c);
  double length = 0.4 + 0.5 * bv_random_unit(random);
  size_t sure = bv_random_below(random, space->count);
  memcpy(x, bv_population_x(pool, rival), space->count * sizeof *x);
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (i != sure && !bv_random_chance(random, CROSSING))
      continue;
    size_t from = lender(space, random, i);
    if (v->scale == BV_SCALE_CHOICE)
      x[i] = bv_population_x(pool, bv_random_chance(random, 0.5) ? a : b)[i];
    else
      x[i] =
          bv_variable_decode(v, moved(own[i], led ? length : 1, ua[i],
                                      length * (ub[from] - uc[from]), random));
  }
}

/* Makes a point of a branch; returns its rival in the pool. */
static rival_of make_point(bv_search *s, bv_random *random, size_t number,
                           double *x) {
  bv_branch *branch = &s->branches.list[number];
  const bv_population *pool = &branch->pool;
  uint64_t turn = branch->planned++;
  bool young =
      pool->count < MEMBERS_LEAST || turn < branch->begun + BV_POOL_SIZE;
  rival_of r = {.member = -1, .life = (double) branch->life};
  bool in_need = young || branch->best.violation > 0;
  bool learns = branch->life == 0 &&
                bv_random_chance(random, in_need ? TAKEN_IN_NEED : TAKEN);
  if (learns && take_over(&s->branches, number, random, x))
    return r;
  if (young) {
    begin_pool(s, number, random, x);
    return r;
  }
  size_t place = turn % pool->count;
  differ(pool, place, random, x);
  r.member = (double) place;
  return r;
}

/* Plans a batch of points of one branch; returns how many. */
static size_t plan_batch(bv_search *s, bv_random *random, bv_cell *cell,
                         rival_of *rivals) {
  size_t number = bv_branches_choose(&s->branches), count = 0;
  double x[BV_SPACE_MOST];
  for (int i = 0; i < BATCH; i++) {
    rivals[count] = make_point(s, random, number, x);
    bv_keys_place(&s->branches.keys, number, x);
    count += bv_plan_point(s, cell, x);
  }
  return count;
}

static bool branch_plan(bv_search *s, bv_random *random, bv_cell *cell) {
  rival_of rivals[BV_LIST_SIZE + BATCH];
  size_t room = cell->most < BV_LIST_SIZE ? cell->most : BV_LIST_SIZE;
  size_t count = 0;
  for (int tries = 0; tries < BV_LIST_SIZE && count + BATCH <= room; tries++)
    count += plan_batch(s, random, cell, rivals + count);
  for (size_t i = 0; i < count; i++)
    bv_plan_numbers(cell, (double[]){rivals[i].member, rivals[i].life}, 2);
  if (count > 0)
    cell->most = (uint32_t) count;
  return count > 0;
}

static void branch_run(bv_log *log, const bv_cell *cell) {
  size_t n = log->problem->space.count;
  for (size_t i = 0; i < cell->most; i++)
    bv_log_evaluate(log, cell->data + i * n);
}

static void branch_learn(bv_search *s, const bv_cell *cell,
                         const bv_cell_result *result, double gain) {
  (void) gain;
  const bv_problem *p = s->problem;
  const double *rivals = cell->data + cell->most * p->space.count;
  for (size_t i = 0; i < result->count; i++, rivals += 2) {
    bv_record_view view =
        bv_record_look(p, result->records + i * bv_record_size(p));
    if (view.outcome != BV_OUTCOME_EVALUATED)
      continue;
    double violation = bv_violation_sum(p, view.limits);
    bv_branches_offer(&s->branches, (uint64_t) rivals[1], view.x,
                      view.objectives, violation,
                      rivals[0] < 0 ? BV_RIVAL_NEAREST : (size_t) rivals[0]);
  }
}

const bv_operator bv_operator_branch = {.name = "branch",
                                        .share = branch_share,
                                        .turn = branch_turn,
                                        .plan = branch_plan,
                                        .run = branch_run,
                                        .learn = branch_learn};
