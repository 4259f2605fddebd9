/* SPDX-License-Identifier: MIT */
#include "search/solver.h"

#include <math.h>
#include <nlopt.h>
#include <string.h>

/* NLopt's tolerances on units, and what it is told where a point failed: worse
 * than where it came from by this much, in scaled objectives and limits. */
#define X_TOLERANCE 1e-7
#define PENALTY 10.0

/* What a point must be better by to lead further, in scaled objectives, and
 * what a broken limit costs in them. */
#define FURTHER 1e-3
#define BROKEN 10.0

/* Each further round of a solve measures slopes by steps this much smaller. */
#define REFINEMENT 0.03
#define STEP_LEAST 1e-6

enum { ROWS_MOST = BV_OBJECTIVES_MOST + BV_LIMITS_MOST };

typedef struct solve {
  bv_log *log;
  const bv_problem *problem;
  const bv_subproblem *sub;
  size_t rows; /* objectives and limits */
  size_t free; /* variables that may move */
  size_t variable[BV_SPACE_MOST];
  bv_slopes slopes;           /* of every variable; at: where last evaluated */
  double x[BV_SPACE_MOST];    /* scratch; discrete values stay the start's */
  double unit[BV_SPACE_MOST]; /* free variables of the last call */
  double values[ROWS_MOST];   /* objectives and limits there, or penalties */
  bool called;
  double least;        /* height of the best point so far */
  size_t idle;         /* evaluations since */
  bool led;            /* it is better than the start */
  double step;         /* of difference quotients */
  bool careful;        /* measure slopes wherever NLopt asks for them */
  bool measured;       /* they are measured at `unit` */
  nlopt_opt optimizer; /* NULL outside nlopt_optimize */
} solve;

size_t bv_slopes_size(const bv_problem *p) {
  size_t rows = p->objectives + p->limits;
  return 1 + p->space.count + rows + rows * p->space.count;
}

bv_slopes bv_slopes_view(const bv_problem *p, double *numbers) {
  double *at = numbers + 1, *values = at + p->space.count;
  return (bv_slopes){.known = numbers,
                     .at = at,
                     .values = values,
                     .matrix = values + p->objectives + p->limits};
}

static double *slope(const solve *s, size_t row, size_t variable) {
  return &s->slopes.matrix[row * s->problem->space.count + variable];
}

/* Evaluates units of the free variables; false where the point failed or the
 * log is full (then the solver is stopped as well). */
static bool evaluate(solve *s, const double *unit, double *values) {
  const bv_problem *p = s->problem;
  for (size_t i = 0; i < s->free; i++)
    s->x[s->variable[i]] =
        bv_variable_decode(&p->space.variables[s->variable[i]], unit[i]);
  const double *record = bv_log_evaluate(s->log, s->x);
  if (!record) {
    if (s->optimizer)
      nlopt_force_stop(s->optimizer);
    return false;
  }
  bv_record_view view = bv_record_look(p, record);
  if (view.outcome != BV_OUTCOME_EVALUATED)
    return false;
  memcpy(values, view.objectives, s->rows * sizeof *values);
  return true;
}

/* Moves the place where the slopes hold. */
static void settle(solve *s, const double *unit, const double *values) {
  for (size_t i = 0; i < s->free; i++)
    s->slopes.at[s->variable[i]] = unit[i];
  memcpy(s->slopes.values, values, s->rows * sizeof *values);
}

/* Broyden's update: the least change of the slopes that explains the step from
 * where they held to here. */
static void update_slopes(solve *s, const double *unit, const double *values) {
  double step[BV_SPACE_MOST], square = 0;
  for (size_t i = 0; i < s->free; i++) {
    step[i] = unit[i] - s->slopes.at[s->variable[i]];
    square += step[i] * step[i];
  }
  for (size_t r = 0; r < s->rows && square > 0; r++) {
    double miss = values[r] - s->slopes.values[r];
    for (size_t i = 0; i < s->free; i++)
      miss -= *slope(s, r, s->variable[i]) * step[i];
    for (size_t i = 0; i < s->free; i++)
      *slope(s, r, s->variable[i]) += miss / square * step[i];
  }
  settle(s, unit, values);
}

/* Difference quotients at the start, each towards the inside of the box. A
 * variable whose point fails gets slopes of 0. */
static void measure_slopes(solve *s, const double *start,
                           const double *values) {
  double unit[BV_SPACE_MOST], moved[ROWS_MOST];
  memcpy(unit, start, s->free * sizeof *unit);
  for (size_t i = 0; i < s->free; i++) {
    double step = start[i] > 0.5 ? -s->step : s->step;
    unit[i] = start[i] + step;
    bool good = evaluate(s, unit, moved);
    unit[i] = start[i];
    for (size_t r = 0; r < s->rows; r++)
      *slope(s, r, s->variable[i]) = good ? (moved[r] - values[r]) / step : 0;
  }
  settle(s, start, values);
  *s->slopes.known = 1;
  s->measured = true;
}

/* Values told in place of a failed point's. */
static void penalise(solve *s) {
  for (size_t r = 0; r < s->rows; r++)
    s->values[r] =
        s->slopes.values[r] + (r < s->problem->objectives
                                   ? PENALTY / fmax(s->sub->weight[r], 1e-300)
                                   : PENALTY);
}

/* The scaled distance of one objective, and its slopes over the free variables.
 */
static double distance(const solve *s, size_t j, double *gradient, double by) {
  double weight = s->sub->weight[j];
  for (size_t i = 0; gradient && i < s->free; i++)
    gradient[i] += by * weight * *slope(s, j, s->variable[i]);
  return by * weight * (s->values[j] - s->sub->origin[j]);
}

/* The largest scaled distance of s->values. */
static double largest_distance(const solve *s) {
  double largest = -HUGE_VAL;
  for (size_t j = 0; j < s->problem->objectives; j++)
    largest = fmax(largest, distance(s, j, NULL, 1));
  return largest;
}

/* How high s->values lie: the subproblem's objective, and more where a limit is
 * broken. */
static double height_of_values(const solve *s) {
  double sum = 0, broken = BV_LIMIT_TOLERANCE;
  for (size_t j = 0; j < s->problem->objectives; j++)
    sum += distance(s, j, NULL, s->sub->rho);
  for (size_t r = s->problem->objectives; r < s->rows; r++)
    broken = fmax(broken, s->values[r]);
  return largest_distance(s) + sum + BROKEN * (broken - BV_LIMIT_TOLERANCE);
}

/* Where the slopes mislead, or the end is reached, a line search can go on and
 * on. */
static void lose_patience(solve *s, bool evaluated) {
  double height = evaluated ? height_of_values(s) : HUGE_VAL;
  if (height < s->least - FURTHER) {
    s->least = height;
    s->idle = 0;
    s->led = true;
  } else if (++s->idle == s->sub->patience && s->optimizer)
    nlopt_force_stop(s->optimizer);
}

/* Makes s->values, and the slopes where wanted, those of the point that NLopt
 * asks for. */
static void reach(solve *s, const double *unit, bool slopes_wanted) {
  if (!s->called || memcmp(s->unit, unit, s->free * sizeof *unit) != 0) {
    memcpy(s->unit, unit, s->free * sizeof *unit);
    s->called = true;
    s->measured = false;
    bool evaluated = evaluate(s, unit, s->values);
    if (evaluated)
      update_slopes(s, unit, s->values);
    else
      penalise(s);
    lose_patience(s, evaluated);
  }
  if (slopes_wanted && s->careful && !s->measured)
    measure_slopes(s, s->unit, s->values);
}

/* NLopt's objective: the height t (the last number) and the augmentation. */
static double height(unsigned n, const double *at, double *gradient,
                     void *context) {
  solve *s = context;
  reach(s, at, gradient != NULL);
  if (gradient) {
    memset(gradient, 0, n * sizeof *gradient);
    gradient[n - 1] = 1;
  }
  double sum = at[n - 1];
  for (size_t j = 0; j < s->problem->objectives; j++)
    sum += distance(s, j, gradient, s->sub->rho);
  return sum;
}

/* NLopt's constraints: each scaled distance below t, each limit below 0. */
static void constraints(unsigned m, double *result, unsigned n,
                        const double *at, double *gradient, void *context) {
  solve *s = context;
  reach(s, at, gradient != NULL);
  if (gradient)
    memset(gradient, 0, (size_t) m * n * sizeof *gradient);
  for (size_t r = 0; r < s->rows; r++) {
    double *row = gradient ? gradient + r * n : NULL;
    if (r < s->problem->objectives) {
      result[r] = distance(s, r, row, 1) - at[n - 1];
      if (row)
        row[n - 1] = -1;
      continue;
    }
    result[r] = s->values[r];
    for (size_t i = 0; row && i < s->free; i++)
      row[i] = *slope(s, r, s->variable[i]);
  }
}

static bv_solve_end end_of(nlopt_result result) {
  switch (result) {
  case NLOPT_SUCCESS:
  case NLOPT_STOPVAL_REACHED:
  case NLOPT_FTOL_REACHED:
  case NLOPT_XTOL_REACHED:
    return BV_SOLVE_CONVERGED;
  case NLOPT_FORCED_STOP:
  case NLOPT_MAXEVAL_REACHED:
  case NLOPT_MAXTIME_REACHED:
    return BV_SOLVE_CUT;
  case NLOPT_ROUNDOFF_LIMITED:
    return BV_SOLVE_ROUNDED;
  case NLOPT_FAILURE:
  case NLOPT_INVALID_ARGS:
  case NLOPT_OUT_OF_MEMORY:
  default:
    return BV_SOLVE_REFUSED;
  }
}

static nlopt_opt make_optimizer(solve *s) {
  unsigned n = (unsigned) s->free + 1;
  double lo[BV_SPACE_MOST + 1] = {0}, hi[BV_SPACE_MOST + 1];
  for (unsigned i = 0; i < n; i++)
    hi[i] = 1;
  lo[n - 1] = -HUGE_VAL;
  hi[n - 1] = HUGE_VAL;
  nlopt_opt optimizer = nlopt_create(NLOPT_LD_SLSQP, n);
  if (!optimizer)
    return NULL;
  double tolerances[ROWS_MOST] = {0};
  if (nlopt_set_lower_bounds(optimizer, lo) > 0 &&
      nlopt_set_upper_bounds(optimizer, hi) > 0 &&
      nlopt_set_min_objective(optimizer, height, s) > 0 &&
      nlopt_add_inequality_mconstraint(optimizer, (unsigned) s->rows,
                                       constraints, s, tolerances) > 0 &&
      nlopt_set_xtol_abs1(optimizer, X_TOLERANCE) > 0 &&
      /* A guard only: evaluations are counted by the log. */
      nlopt_set_maxeval(optimizer, 20 * BV_CELL_MOST) > 0)
    return optimizer;
  nlopt_destroy(optimizer);
  return NULL;
}

/* Solves from where `unit` is and leaves there where NLopt ended. */
static bv_solve_end optimize(solve *s, double *unit) {
  double at[BV_SPACE_MOST + 1], least;
  memcpy(at, unit, s->free * sizeof *at);
  at[s->free] = largest_distance(s);
  nlopt_opt optimizer = make_optimizer(s);
  if (!optimizer)
    return BV_SOLVE_REFUSED;
  s->optimizer = optimizer;
  nlopt_result result = nlopt_optimize(optimizer, at, &least);
  s->optimizer = NULL;
  nlopt_destroy(optimizer);
  memcpy(unit, at, s->free * sizeof *at);
  return end_of(result);
}

/* One solve from a point, with the slopes known or measured there. */
static bv_solve_end solve_from(solve *s, double *unit) {
  if (!evaluate(s, unit, s->values))
    return BV_SOLVE_POINTLESS;
  memcpy(s->unit, unit, s->free * sizeof *unit);
  s->called = true;
  s->measured = false;
  s->least = height_of_values(s);
  s->idle = 0;
  if (*s->slopes.known > 0)
    update_slopes(s, unit, s->values);
  else
    measure_slopes(s, unit, s->values);
  return optimize(s, unit);
}

/* Collects the variables that may move, and where they start. */
static void free_variables(solve *s, double *unit) {
  const bv_space *space = &s->problem->space;
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    if (bv_variable_is_discrete(v) || v->lo >= v->hi)
      continue;
    unit[s->free] = bv_variable_encode(v, s->x[i]);
    s->variable[s->free++] = i;
  }
}

bv_solve_end bv_solve(bv_log *log, const bv_subproblem *subproblem,
                      bv_slopes slopes) {
  const bv_problem *p = log->problem;
  solve s = {.log = log,
             .problem = p,
             .sub = subproblem,
             .rows = p->objectives + p->limits,
             .slopes = slopes,
             .step = subproblem->step};
  double unit[BV_SPACE_MOST] = {0}, before[BV_SPACE_MOST];
  memcpy(s.x, subproblem->start, p->space.count * sizeof *s.x);
  free_variables(&s, unit);
  if (s.free == 0)
    return BV_SOLVE_POINTLESS;
  bv_solve_end end;
  bool again;
  /* The best of a single objective is worth more rounds: where the first ended
   * on slopes grown stale, or too coarse for a curved valley, the next measures
   * finer ones at every step. */
  do {
    memcpy(before, unit, s.free * sizeof *unit);
    end = solve_from(&s, unit);
    again = p->objectives == 1 && log->next + 2 * s.free < log->most &&
            (end == BV_SOLVE_CONVERGED || end == BV_SOLVE_ROUNDED) &&
            memcmp(before, unit, s.free * sizeof *unit) != 0;
    if (again)
      *slopes.known = 0;
    s.careful = true;
    s.step = fmax(s.step * REFINEMENT, STEP_LEAST);
  } while (again);
  if (subproblem->patience > 0 && !s.led)
    *slopes.known = 0;
  return end;
}
