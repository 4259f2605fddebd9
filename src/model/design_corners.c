/* SPDX-License-Identifier: MIT */
/* A built design at the corners of its tolerances.
 *
 * A full factorial of the ends. Where a result moves one way along each
 * tolerance, whatever way and whatever the others are, its ends over the whole
 * box are at corners. That is checked along each tolerance through the middle
 * and by a sample inside: a result that turns round there, or lies beyond the
 * corners, is not exact. A tolerance of zero halves the number of corners. */
#include <math.h>

#include "base/random.h"
#include "model/design_build.h"

/* What varies. */
enum {
  SUPPLY,
  INDUCTANCE,
  THRESHOLD,
  CAPACITANCE,
  DELAYS,
  AMBIENT,
  LEAKAGE,
  CLAMP,
  STOP,
  WINDING,
  FACTORS
};

/* A place within the tolerances: each factor -1 … 1. */
typedef struct place {
  double at[FACTORS];
} place;

typedef struct box {
  const bv_build *build;
  const bv_tolerances *tolerances;
} box;

static double in_range(const bv_supply *supply, double share) {
  return share < 0 ? supply->nominal + share * (supply->nominal - supply->min)
                   : supply->nominal + share * (supply->max - supply->nominal);
}

static void move_job(bv_job *job, const bv_tolerances *t, const place *where) {
  double supply = in_range(&job->supply_voltage, where->at[SUPPLY]);
  job->supply_voltage = (bv_supply){supply, supply, supply};
  double stop = 1 + where->at[STOP] * t->voltage_threshold;
  job->target_voltage *= stop;
  job->start_voltage *= stop;
  job->storage_capacitance *= 1 + where->at[CAPACITANCE] * t->capacitance;
  job->turn_off_delay *= 1 + where->at[DELAYS] * t->delays;
  job->turn_on_delay *= 1 + where->at[DELAYS] * t->delays;
  job->ambient_temperature += where->at[AMBIENT] * t->temperature;
}

/* The windings' capacitance, not that of the diodes beside it. */
static void move_winding(bv_build *build, double by) {
  double more = by * build->winding_reflected;
  build->winding_capacitance *= 1 + by;
  build->winding_reflected += more;
  build->node_winding += more;
  build->node_capacitance += more;
}

/* The parts as built in the circuit of a place. */
static bv_reason evaluate(const bv_build *nominal, const bv_tolerances *t,
                          const place *where, bv_design *design) {
  bv_build build = *nominal;
  bv_job job = *nominal->job;
  bv_choice choice = *nominal->choice;
  move_job(&job, t, where);
  choice.peak_current *= 1 + where->at[THRESHOLD] * t->sense_threshold;
  build.job = &job;
  build.choice = &choice;
  build.inductance *= 1 + where->at[INDUCTANCE] * t->inductance;
  build.leakage *= 1 + where->at[LEAKAGE] * t->leakage;
  build.clamp_voltage *= 1 + where->at[CLAMP] * t->clamp;
  move_winding(&build, where->at[WINDING] * t->winding_capacitance);
  build.temperature += where->at[AMBIENT] * t->temperature;
  build.switch_temperature += where->at[AMBIENT] * t->temperature;
  if (!(build.leakage < build.inductance))
    return BV_REASON_LEAKAGE_TOO_HIGH;
  bv_build_resistance(&build);
  bv_reason reason = bv_build_charge(&build);
  if (reason == BV_REASON_OK)
    bv_build_report(&build, design);
  return reason;
}

/* Widens the ends by a design; true where a result lay beyond them. */
static void widen(bv_corners *c, const bv_design *design, bool *beyond) {
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const bv_field *field = &bv_design_fields.list[i];
    if (field->kind != BV_NUMBER)
      continue;
    double value = bv_field_number(field, design);
    double least = bv_field_number(field, &c->least);
    double greatest = bv_field_number(field, &c->greatest);
    double slack = 1e-9 * (fabs(least) + fabs(greatest));
    beyond[i] = value < least - slack || value > greatest + slack;
    if (!(value >= least))
      bv_field_set_number(field, &c->least, value);
    if (!(value <= greatest))
      bv_field_set_number(field, &c->greatest, value);
  }
}

static void keep(const bv_design *design, double *values) {
  for (size_t i = 0; i < bv_design_fields.count; i++)
    values[i] = bv_field_number(&bv_design_fields.list[i], design);
}

/* The places of the factors that vary at all; returns how many. */
static size_t active_factors(const bv_job *job, const bv_tolerances *t,
                             size_t *which) {
  const double widths[FACTORS] = {job->supply_voltage.max -
                                      job->supply_voltage.min,
                                  t->inductance,
                                  t->sense_threshold,
                                  t->capacitance,
                                  t->delays,
                                  t->temperature,
                                  t->leakage,
                                  t->clamp,
                                  t->voltage_threshold,
                                  t->winding_capacitance};
  size_t count = 0;
  for (size_t i = 0; i < FACTORS; i++)
    if (widths[i] > 0)
      which[count++] = i;
  return count;
}

static place corner_place(const size_t *which, size_t factors, size_t corner) {
  place at = {{0}};
  for (size_t f = 0; f < factors; f++)
    at.at[which[f]] = corner >> f & 1 ? 1 : -1;
  return at;
}

static bv_reason visit_corners(const box *t, const size_t *which,
                               size_t factors, bv_corners *c) {
  bool beyond[BV_DESIGN_COUNT] = {false};
  for (size_t i = 0; i < BV_DESIGN_COUNT; i++)
    c->exact[i] = bv_design_fields.list[i].kind == BV_NUMBER;
  for (size_t i = 0; i < (size_t) 1 << factors; i++) {
    bv_design design;
    place at = corner_place(which, factors, i);
    bv_reason reason = evaluate(t->build, t->tolerances, &at, &design);
    if (reason != BV_REASON_OK)
      return reason;
    if (i == 0)
      c->least = c->greatest = design;
    else
      widen(c, &design, beyond);
    c->corners++;
  }
  return BV_REASON_OK;
}

/* Through the middle of the tolerances along one factor: a result that turns
 * round there is not exact at the ends. */
static bv_reason visit_axis(const box *t, size_t factor, const double *middle,
                            bv_corners *c) {
  bool beyond[BV_DESIGN_COUNT] = {false};
  double values[2][BV_DESIGN_COUNT] = {{0}};
  for (size_t side = 0; side < 2; side++) {
    bv_design design;
    place at = {{0}};
    at.at[factor] = side ? 1 : -1;
    bv_reason reason = evaluate(t->build, t->tolerances, &at, &design);
    if (reason != BV_REASON_OK)
      return reason;
    keep(&design, values[side]);
    widen(c, &design, beyond);
  }
  for (size_t i = 0; i < BV_DESIGN_COUNT; i++) {
    double slack = 1e-9 * (fabs(values[0][i]) + fabs(values[1][i]));
    double low = middle[i] - values[0][i], high = values[1][i] - middle[i];
    if ((low > slack && high < -slack) || (low < -slack && high > slack))
      c->exact[i] = false;
  }
  return BV_REASON_OK;
}

static bv_reason visit_axes(const box *t, const size_t *which, size_t factors,
                            bv_corners *c) {
  bv_design design;
  double middle[BV_DESIGN_COUNT] = {0};
  place at = {{0}};
  bv_reason reason = evaluate(t->build, t->tolerances, &at, &design);
  keep(&design, middle);
  for (size_t f = 0; reason == BV_REASON_OK && f < factors; f++)
    reason = visit_axis(t, which[f], middle, c);
  return reason;
}

static place sample_place(const bv_tolerances *tolerances, size_t number) {
  bv_random random = bv_random_keyed((uint64_t) tolerances->seed, 0, number);
  place at;
  for (size_t i = 0; i < FACTORS; i++)
    at.at[i] = 2 * bv_random_unit(&random) - 1;
  return at;
}

static bv_reason visit_samples(const box *t, bv_corners *c) {
  bool beyond[BV_DESIGN_COUNT] = {false};
  size_t count = (size_t) t->tolerances->samples;
  for (size_t n = 0; n < count; n++) {
    bv_design design;
    place at = sample_place(t->tolerances, n);
    bv_reason reason = evaluate(t->build, t->tolerances, &at, &design);
    if (reason != BV_REASON_OK)
      return reason;
    widen(c, &design, beyond);
    for (size_t i = 0; i < BV_DESIGN_COUNT; i++)
      c->exact[i] = c->exact[i] && !beyond[i];
    c->samples++;
  }
  return BV_REASON_OK;
}

/* Each place tells by how much its own stop voltage errs; the threshold's
 * tolerance, by which that voltage was moved there, adds. */
static void widen_stop(const bv_tolerances *t, bv_corners *c) {
  c->least.sensed_error -= t->voltage_threshold;
  c->greatest.sensed_error += t->voltage_threshold;
  c->least.sensed_error_early -= t->voltage_threshold;
  c->greatest.sensed_error_early += t->voltage_threshold;
}

static void take_worst(bv_corners *c) {
  c->worst = c->nominal;
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const bv_field *field = &bv_design_fields.list[i];
    if (field->kind != BV_NUMBER || bv_design_worse[i] == 0)
      continue;
    const bv_design *from = bv_design_worse[i] > 0 ? &c->greatest : &c->least;
    bv_field_set_number(field, &c->worst, bv_field_number(field, from));
  }
}

static void refuse(bv_corners *c, bv_reason reason) {
  bv_field_defaults(bv_design_fields, &c->worst);
  c->worst.reason = (int) reason;
  c->worst.impossibility =
      c->nominal.reason == BV_REASON_OK ? 1 : c->nominal.impossibility;
  c->least = c->greatest = c->worst;
}

static bv_reason visit(const bv_build *build, const bv_tolerances *tolerances,
                       bv_corners *c) {
  box t = {build, tolerances};
  bool beyond[BV_DESIGN_COUNT] = {false};
  size_t which[FACTORS],
      factors = active_factors(build->job, tolerances, which);
  bv_reason reason = visit_corners(&t, which, factors, c);
  if (reason == BV_REASON_OK)
    reason = visit_axes(&t, which, factors, c);
  if (reason == BV_REASON_OK)
    reason = visit_samples(&t, c);
  if (reason != BV_REASON_OK)
    return reason;
  widen(c, &c->nominal, beyond);
  widen_stop(tolerances, c);
  take_worst(c);
  if (c->corners > 1)
    c->least.mixed = c->greatest.mixed = c->worst.mixed = true;
  return BV_REASON_OK;
}

double bv_corners_visits(const bv_job *job, const bv_tolerances *tolerances) {
  size_t which[FACTORS], factors = active_factors(job, tolerances, which);
  return (double) (((size_t) 1 << factors) + 1 + 2 * factors) +
         tolerances->samples;
}

void bv_design_corners(const bv_job *job, const bv_choice *choice,
                       const bv_parts *parts, bv_precision precision,
                       const bv_tolerances *tolerances, bv_corners *corners) {
  bv_build build = {0};
  *corners = (bv_corners){0};
  bv_field_defaults(bv_design_fields, &corners->nominal);
  bv_reason reason = BV_REASON_BAD_JOB;
  if (bv_field_all_in_range(bv_tolerances_fields, tolerances))
    reason = bv_build_make(job, choice, parts, precision, &build);
  corners->nominal.reason = (int) reason;
  if (reason == BV_REASON_OK) {
    bv_build_report(&build, &corners->nominal);
    reason = visit(&build, tolerances, corners);
  } else {
    corners->nominal.impossibility = bv_build_impossibility(&build, reason);
  }
  if (reason != BV_REASON_OK)
    refuse(corners, reason);
}
