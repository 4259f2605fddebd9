/* SPDX-License-Identifier: MIT */
#include "search/solver.h"

#include <math.h>
#include <string.h>

#include "base/number.h"

/* Steps of difference quotients, in units: of slopes, and of curvatures, which
 * drown in rounding and noise sooner. */
#define STEP 3e-3
#define STEP_CURVED 0.02

/* A single objective is gone down on to the bottom of curved valleys: it begins
 * with finer steps, and each further round makes them this much finer. */
#define STEP_OF_ONE 1e-3
#define REFINEMENT 0.03
#define STEP_LEAST 1e-6

/* What leads further, in scaled objectives, and evaluations in a row that don't
 * and end a solve. */
#define FURTHER 1e-3
enum { PATIENCE = 4 };

/* How far the model is trusted at first, in units; below and above which share
 * of what it promised it is trusted less and more. */
#define TRUST 0.25
#define POOR 0.25
#define GOOD 0.7

/* What NLopt is told where a point failed: worse than where it came from by
 * this much, in scaled objectives and limits. */
#define PENALTY 10.0

/* A place in units of all variables, and the values there: objectives, then
 * limits. */
typedef struct place {
  double unit[BV_SPACE_MOST], values[BV_ROWS_MOST];
} place;

typedef struct solve {
  bv_log *log;
  const bv_problem *problem;
  const bv_subproblem *sub;
  bv_slopes slopes;
  bool moves[BV_SPACE_MOST]; /* variables that may */
  size_t movable;
  place here;
  bool full;     /* the log is */
  bool led;      /* somewhere better than the start */
  double step;   /* of difference quotients */
  bool careful;  /* measure slopes wherever NLopt asks for them */
  bool measured; /* they are measured here */
} solve;

static double height_of(const solve *s, const double *values) {
  return bv_chebyshev_height(&s->sub->aim, values);
}

/* Evaluates a place; false where it failed or the log is full. */
static bool evaluate(solve *s, const double *unit, double *values) {
  const bv_problem *p = s->problem;
  double x[BV_SPACE_MOST];
  for (size_t i = 0; i < p->space.count; i++)
    x[i] = s->moves[i] ? bv_variable_decode(&p->space.variables[i], unit[i])
                       : s->sub->start[i];
  const double *record = bv_log_evaluate(s->log, x);
  s->full = !record;
  if (!record)
    return false;
  bv_record_view view = bv_record_look(p, record);
  if (view.outcome != BV_OUTCOME_EVALUATED)
    return false;
  memcpy(values, view.objectives, s->slopes.rows * sizeof *values);
  return true;
}

/* Measuring slopes */

/* Difference quotients of all rows here, along a variable; 0 where the other
 * place fails: then false. */
static bool quotients(solve *s, size_t variable, double step, double *slope) {
  place there = s->here;
  there.unit[variable] += step;
  bool good = evaluate(s, there.unit, there.values);
  for (size_t r = 0; r < s->slopes.rows; r++)
    slope[r] = good ? (there.values[r] - s->here.values[r]) / step : 0;
  return good;
}

/* From two quotients, by steps of different length or direction. */
static void curve(solve *s, size_t variable, const double *by, double step,
                  double other) {
  double of[BV_ROWS_MOST] = {0};
  bool good = quotients(s, variable, other, of);
  for (size_t r = 0; r < s->slopes.rows; r++)
    s->slopes.curvatures[r * s->slopes.variables + variable] =
        good ? 2 * (of[r] - by[r]) / (other - step) : 0;
}

/* Steps go towards the inside of the box. */
static void measure_along(solve *s, size_t variable, bool curved) {
  double unit = s->here.unit[variable], size = curved ? STEP_CURVED : s->step;
  double step = unit > 0.5 ? -size : size, by[BV_ROWS_MOST] = {0};
  bool good = quotients(s, variable, step, by);
  if (good && curved)
    curve(s, variable, by, step,
          unit < size || unit > 1 - size ? 2 * step : -step);
  for (size_t r = 0; r < s->slopes.rows; r++) {
    size_t at = r * s->slopes.variables + variable;
    s->slopes.matrix[at] =
        good ? by[r] - s->slopes.curvatures[at] * step / 2 : 0;
  }
}

static void measure(solve *s, bool curved) {
  memcpy(s->slopes.at, s->here.unit, s->slopes.variables * sizeof(double));
  memcpy(s->slopes.values, s->here.values, s->slopes.rows * sizeof(double));
  for (size_t i = 0; i < s->slopes.variables; i++)
    if (s->moves[i])
      measure_along(s, i, curved);
  *s->slopes.known = 1;
  s->measured = true;
}

/* Brings slopes that are known from elsewhere here. What stays as it is here
 * may have been something else there. */
static void bring_slopes(solve *s) {
  for (size_t i = 0; i < s->slopes.variables; i++)
    if (!s->moves[i])
      s->slopes.at[i] = s->here.unit[i];
  bv_slopes_explain(&s->slopes, s->here.unit, s->here.values);
  bv_slopes_move(&s->slopes, s->here.unit, s->here.values);
}

/* Several objectives */

/* The model as ground to go down on. */
typedef struct model {
  const bv_slopes *slopes;
  place there; /* last asked for */
} model;

static const double *model_values(bv_ground *g, const double *at, bool slopes) {
  model *m = g->context;
  (void) slopes;
  memcpy(m->there.unit, at, g->count * sizeof *at);
  for (size_t r = 0; r < m->slopes->rows; r++)
    m->there.values[r] = bv_slopes_value(m->slopes, r, at);
  return m->there.values;
}

static double model_slope(const bv_ground *g, size_t row, size_t variable) {
  const model *m = g->context;
  return bv_slopes_along(m->slopes, row, variable, m->there.unit);
}

/* Where the model is least within reach; the height there. */
static double foresee(const solve *s, double reach, double *unit) {
  size_t n = s->slopes.variables;
  double lo[BV_SPACE_MOST], hi[BV_SPACE_MOST];
  for (size_t i = 0; i < n; i++) {
    double free = s->moves[i] ? reach : 0;
    lo[i] = bv_larger(s->here.unit[i] - free, 0);
    hi[i] = bv_smaller(s->here.unit[i] + free, 1);
    lo[i] = bv_smaller(lo[i], s->here.unit[i]);
    hi[i] = bv_larger(hi[i], s->here.unit[i]);
  }
  model m = {.slopes = &s->slopes};
  bv_ground ground = {.count = n,
                      .lo = lo,
                      .hi = hi,
                      .values = model_values,
                      .slope = model_slope,
                      .context = &m,
                      .near = 1e-6,
                      .flat = 1e-5,
                      .loose = 1e-3,
                      .most = 100};
  memcpy(unit, s->here.unit, n * sizeof *unit);
  bv_chebyshev_descend(&s->sub->aim, &ground, unit);
  for (size_t i = 0; i < n; i++)
    unit[i] = bv_between(unit[i], lo[i], hi[i]);
  return height_of(s, model_values(&ground, unit, false));
}

static double way_to(const solve *s, const double *unit) {
  double way = 0;
  for (size_t i = 0; i < s->slopes.variables; i++)
    way = bv_larger(way, fabs(unit[i] - s->here.unit[i]));
  return way;
}

/* Goes from the best place so far to where the model is least, as far as it is
 * trusted, learns from what is there, and so on. */
static bv_solve_end approach(solve *s) {
  double reach = TRUST, height = height_of(s, s->here.values);
  for (int idle = 0; idle < PATIENCE;) {
    place next = s->here;
    double promised = height - foresee(s, reach, next.unit);
    double way = way_to(s, next.unit), gained = -HUGE_VAL;
    if (!(promised > FURTHER))
      return BV_SOLVE_CONVERGED;
    if (evaluate(s, next.unit, next.values)) {
      gained = height - height_of(s, next.values);
      bv_slopes_explain(&s->slopes, next.unit, next.values);
    } else if (s->full)
      return BV_SOLVE_CUT;
    if (gained < POOR * promised)
      reach = way / 2;
    else if (gained > GOOD * promised)
      reach = bv_larger(reach, 2 * way);
    if (gained > 0) {
      bv_slopes_move(&s->slopes, next.unit, next.values);
      s->here = next;
      height -= gained;
    }
    s->led = s->led || gained > FURTHER;
    idle = gained > FURTHER ? 0 : idle + 1;
  }
  return BV_SOLVE_CUT;
}

/* A single objective */

static bool is_here(const solve *s, const double *unit) {
  return memcmp(s->here.unit, unit, s->slopes.variables * sizeof *unit) == 0;
}

/* Values told in place of a failed point's. */
static void penalise(solve *s) {
  const bv_chebyshev *aim = &s->sub->aim;
  for (size_t r = 0; r < s->slopes.rows; r++)
    s->here.values[r] =
        s->slopes.values[r] + (r < aim->objectives
                                   ? PENALTY / fmax(aim->weight[r], 1e-300)
                                   : PENALTY);
}

static const double *true_values(bv_ground *g, const double *at, bool slopes) {
  solve *s = g->context;
  if (!is_here(s, at)) {
    memcpy(s->here.unit, at, g->count * sizeof *at);
    s->measured = false;
    if (evaluate(s, at, s->here.values))
      bring_slopes(s);
    else
      penalise(s);
  }
  if (slopes && s->careful && !s->measured)
    measure(s, false);
  g->stop = s->full;
  return s->here.values;
}

static double true_slope(const bv_ground *g, size_t row, size_t variable) {
  const solve *s = g->context;
  return s->slopes.matrix[row * s->slopes.variables + variable];
}

static bv_solve_end go_down(solve *s) {
  size_t n = s->slopes.variables;
  double lo[BV_SPACE_MOST], hi[BV_SPACE_MOST], at[BV_SPACE_MOST];
  memcpy(at, s->here.unit, n * sizeof *at);
  for (size_t i = 0; i < n; i++) {
    lo[i] = s->moves[i] ? 0 : at[i];
    hi[i] = s->moves[i] ? 1 : at[i];
  }
  bv_ground ground = {.count = n,
                      .lo = lo,
                      .hi = hi,
                      .values = true_values,
                      .slope = true_slope,
                      .context = s,
                      .near = 1e-7,
                      /* A guard only: evaluations are counted by the log. */
                      .most = 20 * BV_CELL_MOST};
  bv_solve_end end = bv_chebyshev_descend(&s->sub->aim, &ground, at);
  memcpy(s->here.unit, at, n * sizeof *at);
  return end;
}

/* The best of a single objective is worth more rounds: where the first ended on
 * slopes grown stale, or too coarse for a curved valley, the next measures
 * finer ones at every step. */
static bv_solve_end refine(solve *s) {
  for (;;) {
    place before = s->here;
    bv_solve_end end = go_down(s);
    bool ended = end != BV_SOLVE_CONVERGED && end != BV_SOLVE_ROUNDED;
    if (ended || is_here(s, before.unit) ||
        s->log->next + 2 * s->movable >= s->log->most ||
        !evaluate(s, s->here.unit, s->here.values))
      return end;
    s->careful = true;
    s->step = fmax(s->step * REFINEMENT, STEP_LEAST);
    measure(s, false);
  }
}

/* Which variables may move, and where all start. */
static void begin(solve *s) {
  const bv_space *space = &s->problem->space;
  for (size_t i = 0; i < space->count; i++) {
    const bv_variable *v = &space->variables[i];
    s->here.unit[i] = bv_variable_encode(v, s->sub->start[i]);
    s->moves[i] = !bv_variable_is_discrete(v) && v->lo < v->hi;
    s->movable += s->moves[i];
  }
}

bv_solve_end bv_solve(bv_log *log, const bv_subproblem *subproblem,
                      bv_slopes slopes) {
  solve s = {.log = log,
             .problem = log->problem,
             .sub = subproblem,
             .slopes = slopes,
             .step = log->problem->objectives == 1 ? STEP_OF_ONE : STEP};
  begin(&s);
  if (s.movable == 0 || !evaluate(&s, s.here.unit, s.here.values))
    return BV_SOLVE_POINTLESS;
  if (*slopes.known > 0)
    bring_slopes(&s);
  else
    measure(&s, subproblem->curved);
  if (log->problem->objectives == 1)
    return refine(&s);
  bv_solve_end end = approach(&s);
  /* Slopes that led no further are not worth handing on. */
  if (!s.led)
    *slopes.known = 0;
  return end;
}
