/* SPDX-License-Identifier: MIT */
#include "circuit_ode.h"

#include <arkode/arkode_erkstep.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <string.h>

#include "model/coreloss.h"

#define PI 3.14159265358979323846

/* Magnetising current seen at the primary, switch node, output, series
 * capacitor, current of the recharge loop; then integrals. */
enum state {
  I,
  NODE,
  OUT,
  SERIES,
  IR,
  SUPPLY,    /* J from the supply */
  PRIMARY,   /* J in the primary's resistance */
  SECONDARY, /* J in diodes and resistance behind the secondary */
  BLEEDER,   /* J */
  SWINGS,    /* slope of the current to the power of the core's alpha */
  STATES
};

typedef struct circuit {
  const bv_circuit *c;
  double rp, r, rs, drop, n, cs;
} circuit;

typedef enum phase {
  SURGE,    /* switch closed, first diode of the doubler: current rises */
  RECHARGE, /* and falls */
  ON,       /* switch closed */
  HOLD,     /* switch closed, turn-off delay */
  RISE,     /* all open, node rises */
  OFF,      /* output diode conducts */
  RING,     /* all open, node rings */
  BODY,     /* body diode conducts */
  CATCH     /* first diode of the doubler holds the node */
} phase;

/* What the supply gives, the primary's resistance takes and the bleeder takes,
 * by the current in the primary path. */
static void book(const circuit *x, double primary, const double *y, double *d) {
  double bleed =
      x->c->bleeder_resistance > 0 ? 1 / x->c->bleeder_resistance : 0;
  d[SUPPLY] = x->c->supply_voltage * primary;
  d[PRIMARY] = x->rp * primary * primary;
  d[BLEEDER] = y[OUT] * y[OUT] * bleed;
  d[OUT] -= y[OUT] * bleed / x->c->storage_capacitance;
}

static void closed(const circuit *x, bool recharge, const double *y,
                   double *d) {
  double n = x->n, primary = y[I] + (recharge ? n * y[IR] : 0);
  double v = x->c->supply_voltage - x->rp * primary;
  d[I] = v / x->c->primary_inductance;
  if (recharge) {
    d[IR] = (n * v - x->drop - x->rs * y[IR] - y[SERIES]) /
            (n * n * x->c->leakage_inductance);
    d[SERIES] = y[IR] / x->cs;
    d[SECONDARY] = x->drop * y[IR] + x->rs * y[IR] * y[IR];
  }
  book(x, primary, y, d);
}

static void open(const circuit *x, const double *y, double *d) {
  double v = x->c->supply_voltage - x->rp * y[I] - y[NODE];
  d[I] = v / x->c->primary_inductance;
  d[NODE] = y[I] / x->c->node_capacitance;
  book(x, y[I], y, d);
}

/* The node follows the output: a little of the magnetising current charges it,
 * the rest leaves through the secondary. */
static void off(const circuit *x, const double *y, double *d) {
  double n = x->n, inverse = 1 / x->c->storage_capacitance;
  if (x->cs > 0)
    inverse += 1 / x->cs;
  double follow = x->c->node_capacitance * inverse / n;
  double is = y[I] / (n + follow);
  double against = y[OUT] + x->drop - y[SERIES];
  d[I] = -(against + x->r * is) / (n * x->c->primary_inductance);
  d[NODE] = is * inverse / n;
  d[OUT] = is / x->c->storage_capacitance;
  if (x->cs > 0)
    d[SERIES] = -is / x->cs;
  d[SECONDARY] = x->drop * is + x->r * is * is;
  book(x, follow * is, y, d);
  d[PRIMARY] = 0; /* nor does that current's loss slow it */
}

static void body(const circuit *x, const double *y, double *d) {
  d[I] = (x->c->supply_voltage - x->rp * y[I]) / x->c->primary_inductance;
  book(x, y[I], y, d);
}

static void caught(const circuit *x, const double *y, double *d) {
  double is = -y[I] / x->n;
  d[I] = (y[SERIES] + x->drop + x->rs * is) / (x->n * x->c->primary_inductance);
  d[SERIES] = is / x->cs;
  d[SECONDARY] = x->drop * is + x->rs * is * is;
  book(x, 0, y, d);
}

typedef struct run {
  circuit x;
  phase phase;
  void *integrator;
  N_Vector state, weights;
  ode_charge *out;
  double time, tolerance;
  double lower;       /* A, current at which the off-time ends */
  bool conducts;      /* the diodes carry the current at turn-on */
  double core;        /* J, what it loses in the cycle, see cycle() */
  double least, most; /* A, of the cycle */
} run;

/* Crests lie inside these phases, those of the others at their ends. */
static void see_crest(run *r, double current) {
  if (r->phase != RISE && r->phase != RING)
    return;
  r->least = fmin(r->least, current);
  r->most = fmax(r->most, current);
}

static int slopes(double t, N_Vector state, N_Vector slope, void *data) {
  run *r = data;
  const double *y = N_VGetArrayPointer(state);
  double *d = N_VGetArrayPointer(slope);
  (void) t;
  for (int i = 0; i < STATES; i++)
    d[i] = 0;
  switch (r->phase) {
  case SURGE:
  case RECHARGE:
  case ON:
  case HOLD:
    closed(&r->x, r->phase <= RECHARGE, y, d);
    break;
  case RISE:
  case RING:
    open(&r->x, y, d);
    break;
  case OFF:
    off(&r->x, y, d);
    break;
  case BODY:
    body(&r->x, y, d);
    break;
  case CATCH:
    caught(&r->x, y, d);
    break;
  }
  d[SWINGS] = pow(fabs(d[I]), r->x.c->steinmetz_alpha);
  see_crest(r, y[I]);
  return 0;
}

/* Each falls through zero where its phase ends. */
static int ends(double t, N_Vector state, double *g, void *data) {
  const run *r = data;
  const circuit *x = &r->x;
  const double *y = N_VGetArrayPointer(state);
  double vin = x->c->supply_voltage;
  (void) t;
  double d[STATES] = {0};
  g[0] = g[1] = 1;
  switch (r->phase) {
  case SURGE:
    closed(x, true, y, d);
    g[0] = d[IR];
    break;
  case RECHARGE:
    g[0] = y[IR];
    break;
  case ON:
    g[0] = x->c->peak_current - y[I];
    break;
  case HOLD:
    break;
  case RISE:
    g[0] = vin + (y[OUT] + x->drop - y[SERIES]) / x->n - y[NODE];
    break;
  case OFF:
    g[0] = y[I] - r->lower;
    g[1] = x->c->target_voltage - y[OUT];
    break;
  case RING:
    g[0] = y[NODE];
    if (x->cs > 0)
      g[1] = y[SERIES] + x->drop - x->n * (vin - y[NODE]);
    break;
  case BODY:
  case CATCH:
    g[0] = -y[I];
    break;
  }
  return 0;
}

/* Runs a phase to its end or for the longest time: 0 by time, 1 or 2 by its
 * first or second end, -1 on failure. Counts the time. */
static int advance(run *r, phase now, double longest) {
  int found[2] = {0, 0}, down[2] = {-1, -1};
  double t = 0, stop = isinf(longest) ? 1e3 : longest;
  r->phase = now;
  if (!(longest > 0))
    return 0;
  if (ERKStepReInit(r->integrator, slopes, 0, r->state) != ARK_SUCCESS ||
      ERKStepRootInit(r->integrator, 2, ends) != ARK_SUCCESS ||
      ERKStepSetNoInactiveRootWarn(r->integrator) != ARK_SUCCESS ||
      ERKStepSetRootDirection(r->integrator, down) != ARK_SUCCESS ||
      ERKStepSetStopTime(r->integrator, stop) != ARK_SUCCESS)
    return -1;
  int status = ERKStepEvolve(r->integrator, stop, r->state, &t, ARK_NORMAL);
  r->time += t;
  if (status < 0)
    return -1;
  if (status != ARK_ROOT_RETURN)
    return 0;
  ERKStepGetRootInfo(r->integrator, found);
  return found[0] != 0 ? 1 : 2;
}

static double *y_of(run *r) {
  return N_VGetArrayPointer(r->state);
}

/* The diodes take a charge to recover, at once, out of output and supply. */
static void recover(run *r) {
  const bv_circuit *c = r->x.c;
  double *y = y_of(r), vin = c->supply_voltage;
  double i = y[I] / r->x.n, t = c->recovery_time, n = r->x.n;
  double slope = (y[OUT] - y[SERIES] + n * vin) /
                 (n * n * fmax(c->leakage_inductance, 1e-30));
  double charge = t > 0 ? slope * t * t * (1 - exp(-i / (slope * t))) : 0;
  if (c->leakage_inductance == 0)
    charge = i * t;
  double before = c->storage_capacitance * y[OUT] * y[OUT] +
                  r->x.cs * y[SERIES] * y[SERIES];
  y[OUT] -= charge / c->storage_capacitance;
  if (r->x.cs > 0)
    y[SERIES] += charge / r->x.cs;
  y[SUPPLY] += r->x.n * charge * vin;
  double after = c->storage_capacitance * y[OUT] * y[OUT] +
                 r->x.cs * y[SERIES] * y[SERIES];
  r->out->loss_recovery += (before - after) / 2 + r->x.n * charge * vin;
}

/* What the flux of a cycle loses, by ki dB^(b-a) times the integral of the
 * slope to the power of a (iGSE, see coreloss.h). */
static double lost_in_core(run *r) {
  const bv_circuit *c = r->x.c;
  bv_steinmetz fit = {c->steinmetz_k, c->steinmetz_alpha, c->steinmetz_beta};
  double *y = y_of(r), per = c->primary_inductance;
  if (!(c->core_volume > 0))
    return 0;
  per /= c->primary_turns * c->core_area;
  double lost = c->core_volume * bv_core_loss_ki(&fit) *
                pow(per * (r->most - r->least), fit.beta - fit.alpha) *
                pow(per, fit.alpha) * y[SWINGS];
  y[SWINGS] = 0;
  return lost;
}

static int turn_on(run *r) {
  double *y = y_of(r);
  r->least = r->most = y[I];
  if (r->conducts)
    recover(r);
  r->out->loss_turn_on += r->x.c->node_capacitance * y[NODE] * y[NODE] / 2;
  y[NODE] = 0;
  bool pulse =
      r->x.cs > 0 && r->x.n * r->x.c->supply_voltage > y[SERIES] + r->x.drop;
  int status = pulse ? advance(r, SURGE, HUGE_VAL) : 0;
  double surge = r->x.n * y[IR];
  if (status > 0) {
    r->out->recharge_current_max = fmax(r->out->recharge_current_max, surge);
    status = advance(r, RECHARGE, HUGE_VAL);
  }
  y[IR] = 0;
  if (status >= 0 && y[I] < r->x.c->peak_current)
    status = advance(r, ON, HUGE_VAL);
  return status < 0 ? status : advance(r, HOLD, r->x.c->turn_off_delay);
}

/* What clamp, overlap and core take leaves the inductance at once. */
static void release(run *r) {
  const bv_circuit *c = r->x.c;
  double *y = y_of(r), i = y[I];
  r->most = fmax(r->most, i);
  double vr = (y[OUT] + r->x.drop - y[SERIES]) / r->x.n;
  double clamp = 0;
  if (c->leakage_inductance > 0)
    clamp = c->leakage_inductance * i * i * c->clamp_voltage /
            (2 * (c->clamp_voltage - vr));
  double overlap =
      fmax(0, c->supply_voltage + vr) * i * c->current_fall_time / 2;
  r->out->loss_clamp += clamp;
  r->out->loss_overlap += overlap;
  r->out->primary_current_max = fmax(r->out->primary_current_max, i);
  double taken = clamp + overlap + r->core;
  y[I] = sqrt(i * i - 2 * taken / c->primary_inductance);
  if (c->node_capacitance == 0)
    y[NODE] = c->supply_voltage + vr;
}

static int dead_time(run *r, double end) {
  const bv_circuit *c = r->x.c;
  double *y = y_of(r);
  y[I] = 0;
  if (c->node_capacitance == 0) {
    y[NODE] = c->supply_voltage;
    r->time = end;
    return 0;
  }
  while (r->time < end) {
    int status = advance(r, RING, end - r->time);
    if (status <= 0)
      return status;
    if (status == 1)
      y[NODE] = 0;
    status = advance(r, status == 1 ? BODY : CATCH, end - r->time);
    if (status < 0)
      return status;
    if (status > 0)
      y[I] = 0;
    if (r->phase == CATCH)
      y[NODE] = c->supply_voltage - (y[SERIES] + r->x.drop) / r->x.n;
  }
  return 0;
}

/* One cycle; 1 where it reached the target. */
static int cycle_of(run *r) {
  const bv_circuit *c = r->x.c;
  double start = r->time, off_start;
  if (turn_on(r) < 0)
    return -1;
  release(r);
  off_start = r->time;
  double *y = y_of(r);
  double vr = (y[OUT] + r->x.drop - y[SERIES]) / r->x.n;
  if (c->supply_voltage + vr <= 0)
    y[NODE] = c->supply_voltage + vr; /* the diode conducts already */
  else if (c->node_capacitance > 0 && advance(r, RISE, HUGE_VAL) < 0)
    return -1;
  double limit =
      fmax(off_start + c->off_time_limit, start + 1 / c->max_frequency);
  int status = advance(r, OFF, limit - r->time);
  if (status == 2 || status < 0)
    return status < 0 ? -1 : 1;
  r->least = fmin(r->least, y[I]);
  r->out->cycles++;
  r->out->timed_out_cycles += status == 0;
  r->conducts = status == 0 || r->lower > 0;
  if (r->conducts)
    return 0;
  double half = PI * sqrt(c->primary_inductance * c->node_capacitance);
  return dead_time(
      r, fmax(r->time + half + c->turn_on_delay, start + 1 / c->max_frequency));
}

static void finish(run *r) {
  const bv_circuit *c = r->x.c;
  const double *y = y_of(r);
  double vin = c->supply_voltage, v = c->target_voltage, v0 = c->start_voltage;
  ode_charge *o = r->out;
  o->charge_time = r->time;
  o->supply_energy = y[SUPPLY];
  o->stored_energy = c->storage_capacitance * (v * v - v0 * v0) / 2;
  o->residual_energy =
      c->primary_inductance * y[I] * y[I] / 2 +
      c->node_capacitance * (y[NODE] * y[NODE] - vin * vin) / 2 +
      r->x.cs * y[SERIES] * y[SERIES] / 2;
  o->loss_primary = y[PRIMARY];
  o->loss_secondary = y[SECONDARY];
  o->loss_bleeder = y[BLEEDER];
}

/* Absolute tolerances: the relative one of each quantity's size. */
static void set_weights(run *r) {
  const bv_circuit *c = r->x.c;
  double energy =
      c->storage_capacitance * c->target_voltage * c->target_voltage;
  double cycle_energy =
      c->primary_inductance * c->peak_current * c->peak_current / 2;
  double *w = N_VGetArrayPointer(r->weights), size[STATES];
  size[I] = c->peak_current;
  size[NODE] = c->supply_voltage + c->target_voltage / c->turns_ratio;
  size[OUT] = cycle_energy / energy * c->target_voltage;
  size[SERIES] = c->target_voltage;
  size[IR] = c->peak_current / c->turns_ratio;
  for (int i = SUPPLY; i < SWINGS; i++)
    size[i] = cycle_energy;
  size[SWINGS] = 1e30; /* an integral that follows the others */
  for (int i = 0; i < STATES; i++)
    w[i] = r->tolerance * size[i];
}

/* After the stop the flux comes down all the same. */
static void come_to_rest(run *r) {
  const bv_circuit *c = r->x.c;
  double half = PI * sqrt(c->primary_inductance * c->node_capacitance);
  r->least = fmin(r->least, 0);
  if (advance(r, OFF, HUGE_VAL) > 0)
    dead_time(r, r->time + half + c->turn_on_delay);
}

/* One cycle, again and again until what the core was taken to lose in it is
 * what it loses. */
static int cycle(run *r) {
  double before[STATES], *y = y_of(r), lost = r->core;
  ode_charge out = *r->out;
  run start = *r;
  int status = 0;
  memcpy(before, y, sizeof before);
  for (int i = 0; i == 0 || (i < 20 && fabs(lost - r->core) > 1e-4 * lost);
       i++) {
    start.core = lost;
    *r = start;
    *r->out = out;
    memcpy(y, before, sizeof before);
    status = cycle_of(r);
    if (status < 0)
      return status;
    if (status > 0) {
      finish(r);
      come_to_rest(r);
    }
    lost = lost_in_core(r);
  }
  r->out->loss_core += lost;
  return status;
}

static bool prepare(run *r, SUNContext context) {
  r->state = N_VNew_Serial(STATES, context);
  r->weights = N_VNew_Serial(STATES, context);
  N_VConst(0, r->state);
  y_of(r)[NODE] = r->x.c->supply_voltage;
  y_of(r)[OUT] = r->x.c->start_voltage;
  set_weights(r);
  r->integrator = ERKStepCreate(slopes, 0, r->state, context);
  return r->integrator != NULL &&
         ERKStepSetTableNum(r->integrator, ARKODE_DORMAND_PRINCE_7_4_5) ==
             ARK_SUCCESS &&
         ERKStepSVtolerances(r->integrator, r->tolerance, r->weights) ==
             ARK_SUCCESS &&
         ERKStepSetUserData(r->integrator, r) == ARK_SUCCESS &&
         ERKStepSetMaxNumSteps(r->integrator, 100000) == ARK_SUCCESS;
}

static circuit circuit_of(const bv_circuit *c) {
  circuit x = {.c = c, .n = c->turns_ratio};
  double diodes = c->sections * c->diode_resistance;
  x.rp = c->supply_resistance + c->switch_resistance + c->primary_resistance +
         c->sense_resistance;
  x.rs = c->secondary_resistance + diodes;
  x.r = x.rs + c->capacitor_resistance;
  x.drop = c->sections * c->diode_drop;
  x.cs = c->rectifier == BV_DOUBLER ? c->series_capacitance : 0;
  return x;
}

bool ode_charge_run(const bv_circuit *c, double tolerance, double most,
                    ode_charge *result) {
  return ode_charge_levels(c, 0, tolerance, most, result);
}

bool ode_charge_levels(const bv_circuit *c, double lower, double tolerance,
                       double most, ode_charge *result) {
  SUNContext context;
  if (SUNContext_Create(NULL, &context) != 0)
    return false;
  *result = (ode_charge){0};
  run r = {.x = circuit_of(c),
           .out = result,
           .tolerance = tolerance,
           .lower = lower};
  int status = prepare(&r, context) ? 0 : -1;
  while (status == 0 && result->cycles < most)
    status = cycle(&r);
  ERKStepFree(&r.integrator);
  N_VDestroy(r.state);
  N_VDestroy(r.weights);
  SUNContext_Free(&context);
  return status == 1;
}
