/* SPDX-License-Identifier: MIT */
#include "model/windingloss.h"

#include <math.h>
#include <stddef.h>

#include "base/constants.h"
#include "base/quadrature.h"

/* The two currents scaled to peak 1, seen through s/(s + rate): mean products
 * of the responses of primary (1) and secondary (2). Also used for sums over
 * modes. */
typedef struct products {
  double p11, p12, p22;
} products;

static void accumulate(products *sum, double factor, products term) {
  sum->p11 += factor * term.p11;
  sum->p12 += factor * term.p12;
  sum->p22 += factor * term.p22;
}

/* A response within an interval: level + decay e^(-rate t). */
typedef struct response {
  double level, decay;
} response;

/* Integral of the product of two responses over a time with
 * gone = 1 - e^(-rate time). */
static double overlap(response a, response b, double rate, double time,
                      double gone) {
  return a.level * b.level * time +
         (a.level * b.decay + a.decay * b.level) * gone / rate +
         a.decay * b.decay * gone * (2 - gone) / (2 * rate);
}

static void add_interval(products *sum, response one, response two, double rate,
                         double time, double gone) {
  sum->p11 += overlap(one, one, rate, time, gone);
  sum->p12 += overlap(one, two, rate, time, gone);
  sum->p22 += overlap(two, two, rate, time, gone);
}

/* The mean products of one mode, exactly: each response is a level while its
 * current ramps, jumps by one at turn-off and decays. */
static products mode_products(const bv_flyback_times *t, double rate) {
  double rest = fmax(t->period - t->rise - t->fall, 0);
  double gone1 = -expm1(-rate * t->rise), gone2 = -expm1(-rate * t->fall);
  double gone3 = -expm1(-rate * rest), gone = -expm1(-rate * t->period);
  double left1 = 1 - gone1, left2 = 1 - gone2, left3 = 1 - gone3;
  double level1 = 1 / (rate * t->rise), level2 = 1 / (rate * t->fall);
  /* Values at the period's start, from its periodicity. */
  double start1 = (level1 * gone1 - 1) * left2 * left3 / gone;
  double start2 = (left2 - level2 * gone2) * left3 / gone;
  double off1 = level1 * gone1 + start1 * left1 - 1;
  double off2 = start2 * left1 + 1;
  double rest2 = off2 * left2 - level2 * gone2;
  products sum = {0, 0, 0};
  add_interval(&sum, (response){level1, start1 - level1}, (response){0, start2},
               rate, t->rise, gone1);
  add_interval(&sum, (response){0, off1}, (response){-level2, off2 + level2},
               rate, t->fall, gone2);
  add_interval(&sum, (response){0, off1 * left2}, (response){0, rest2}, rate,
               rest, gone3);
  accumulate(&sum, 1 / t->period - 1, sum);
  return sum;
}

/* Modes of a round wire: poles at rate (zero of a Bessel function)²/tau, tau =
 * mu0 r²/rho. A mode has settled when `settling` time constants fit into both
 * ramps. With 6 and at most 8 modes one by one the factors are within 3e-4 of
 * those with 40 and 400, even for wire of ten skin depths. */
static const double settling = 6;
enum { MODES = 8 };

typedef struct modes {
  double zeros[MODES]; /* the first, as J0 and J1 of the C library have them */
  double powers[3];    /* sums of zero^-2, -4, -6 over all (Rayleigh) */
} modes;

/* Zeros of J1: skin effect, (z/2) I0/I1 = 1 + sum z²/(z² + zero²). */
static const modes skin_modes = {{3.8317059702075123, 7.0155866698156188,
                                  10.173468135062722, 13.323691936314223,
                                  16.470630050877633, 19.615858510468242,
                                  22.760084380592772, 25.903672087618382},
                                 {1.0 / 8, 1.0 / 192, 1.0 / 3072}};

/* Zeros of J0: proximity effect, z I1/I0 = sum 2 z²/(z² + zero²). */
static const modes proximity_modes = {{2.4048255576957728, 5.5200781102863106,
                                       8.6537279129110122, 11.791534439014282,
                                       14.930917708487786, 18.071063967910923,
                                       21.211636629879259, 24.352471530749303},
                                      {1.0 / 4, 1.0 / 32, 1.0 / 192}};

/* The sum of the products of all modes that settle within both ramps; powers
 * are their sums of rate^-1, -2, -3 and left3 tells whether the response still
 * lives when the dead time ends. */
static products settled_products(const bv_flyback_times *t,
                                 const double *powers, double left3) {
  double ramp = 1 / t->rise, fall = 1 / t->fall;
  products sum = {powers[0] / 2 - ramp * ramp * powers[2],
                  -powers[0] / 2 + (ramp + fall) / 2 * powers[1] -
                      (1 + left3) / 2 * ramp * fall * powers[2],
                  powers[0] / 2 - fall * fall * powers[2]};
  accumulate(&sum, 1 / t->period - 1, sum);
  return sum;
}

/* Share of the energy of a jump that is left when it takes x time constants. */
static double jump_share(double x) {
  return x < 1e-3 ? 1 - x / 3 : 2 * (x + expm1(-x)) / (x * x);
}

/* What the sum over all modes of the jump's 1/(2 rate) loses because the jump
 * takes a time: three modes by themselves, the rest at their mean rate. */
static double jump_loss(const modes *m, double tau, double time) {
  double first = m->powers[0] * tau, second = m->powers[1] * tau * tau, sum = 0;
  if (!(time > 0))
    return 0;
  for (int n = 0; n < 3; n++) {
    double slow = tau / (m->zeros[n] * m->zeros[n]);
    sum += slow / 2 * (1 - jump_share(time / slow));
    first -= slow;
    second -= slow * slow;
  }
  return sum + first / 2 * (1 - jump_share(time * first / second));
}

/* Sum over all modes: one by one while they don't settle, the rest at once; a
 * jump loses so much. */
static products sum_modes(const bv_flyback_times *t, const modes *m, double tau,
                          double jump) {
  products sum = {0, 0, 0};
  double shortest = fmin(t->rise, t->fall), rest = t->period;
  double powers[3] = {m->powers[0] * tau, m->powers[1] * tau * tau,
                      m->powers[2] * tau * tau * tau};
  rest = fmax(rest - t->rise - t->fall, 0);
  double rate = 0;
  for (int n = 0; n < MODES; n++) {
    rate = m->zeros[n] * m->zeros[n] / tau;
    if (rate * shortest > settling)
      break;
    accumulate(&sum, 1, mode_products(t, rate));
    powers[0] -= 1 / rate;
    powers[1] -= 1 / (rate * rate);
    powers[2] -= 1 / (rate * rate * rate);
  }
  accumulate(&sum, 1, settled_products(t, powers, exp(-rate * rest)));
  double less = jump / t->period;
  accumulate(&sum, 1, (products){-less, less, -less});
  return sum;
}

/* An MMF as a combination of the two scaled currents. */
typedef struct mmf {
  double one, two;
} mmf;

static double product(const products *p, mmf a, mmf b) {
  return a.one * b.one * p->p11 + (a.one * b.two + a.two * b.one) * p->p12 +
         a.two * b.two * p->p22;
}

/* Mean of 4/(exp(4 pi x/w) - 1) from x = near to far, times the square of the
 * breadth over w: fields are told by those of a MMF over the breadth, but the
 * gap's bulge is as wide as the window allows. */
static double gap_field(const bv_eddy_stack *stack, double near, double far) {
  double width = stack->width;
  if (!(width > 0) || !(far > near))
    return 0;
  double scale = 4 * BV_PI / width;
  double rise = log1p(-exp(-scale * far)) - log1p(-exp(-scale * near));
  double share = stack->breadth > 0 ? stack->breadth / width : 1;
  return share * share * 4 * rise / (scale * (far - near));
}

/* Mean square MMF summed over the layers of a part that holds `share` of its
 * winding's turns, with the MMF `inner` at its inner face and its own current
 * `own`. Layer j of q sees inner - (j - 1/2)/q share own. */
static double part_field(const products *p, mmf inner, mmf own, double share,
                         double layers) {
  return layers * (product(p, inner, inner) - share * product(p, inner, own) +
                   share * share * product(p, own, own) *
                       (1.0 / 3 - 1 / (12 * layers * layers)));
}

/* A stranded wire as sqrt(strands) layers of strands; a part layer as one layer
 * of wider pitch. */
static bv_eddy_winding strand_layers(bv_eddy_winding w, double parts) {
  double layers = fmax(w.layers, parts), root = sqrt(w.strands);
  double pitch = w.pitch * layers / w.layers;
  return (bv_eddy_winding){w.diameter, 1, pitch / root, layers * root, w.build};
}

/* Where a part of a winding lies: share of the turns, MMF at inner face,
 * distance of that face from the centre leg. */
typedef struct part {
  double share;
  mmf inner;
  double near;
} part;

/* What the times of a cycle do not change. */
typedef struct winding {
  bv_eddy_winding wire; /* as layers of strands */
  mmf own;
  double tau;                     /* s, of the modes */
  double skin_jump, field_jump;   /* s, what a jump loses of their sums */
  double gap_share, gap_field[2]; /* of the part */
  part parts[2];
  size_t count;
} winding;

static void prepare(winding *w, const bv_eddy_stack *stack,
                    const bv_eddy_winding *whole, double commutation) {
  double tau =
      BV_MU0 * whole->diameter * whole->diameter / (4 * stack->resistivity);
  w->wire = strand_layers(*whole, (double) w->count);
  w->tau = tau;
  w->skin_jump = jump_loss(&skin_modes, tau, commutation);
  w->field_jump = jump_loss(&proximity_modes, tau, commutation);
  w->gap_share = stack->gap_share;
  for (size_t i = 0; i < w->count; i++) {
    const part *p = &w->parts[i];
    double far = p->near + whole->build * p->share;
    w->gap_field[i] = gap_field(stack, p->near, far);
  }
}

static double factor_of(const winding *w, const bv_flyback_times *t) {
  products skin = sum_modes(t, &skin_modes, w->tau, w->skin_jump);
  products field = sum_modes(t, &proximity_modes, w->tau, w->field_jump);
  double sum = 0, width = BV_PI * w->wire.diameter / w->wire.pitch;
  mmf own = w->own, gap = {w->gap_share, w->gap_share};
  for (size_t i = 0; i < w->count; i++) {
    const part *p = &w->parts[i];
    double layers = w->wire.layers * p->share;
    sum += part_field(&field, p->inner, own, p->share, layers) +
           layers * product(&field, gap, gap) * w->gap_field[i];
  }
  double extra =
      product(&skin, own, own) + 2 * width * width * w->wire.layers * sum;
  double square = (own.one * t->rise + own.two * t->fall) / (3 * t->period);
  return 1 + fmax(extra, 0) / square;
}

typedef struct windings {
  winding primary, secondary;
} windings;

/* From the centre leg outwards, each winding takes its own MMF away. */
static void prepare_both(windings *both, const bv_eddy_stack *stack,
                         double commutation) {
  double g = stack->gap_share, half = stack->interleaved ? 0.5 : 1;
  double middle = stack->floor + half * stack->primary.build + stack->barrier;
  double outer = middle + stack->secondary.build + stack->barrier;
  *both = (windings){.primary = {.own = {1, 0},
                                 .parts = {{half, {g, g}, stack->floor},
                                           {half, {g - half, g - 1}, outer}},
                                 .count = stack->interleaved ? 2 : 1},
                     .secondary = {.own = {0, 1},
                                   .parts = {{1, {g - half, g}, middle}},
                                   .count = 1}};
  prepare(&both->primary, stack, &stack->primary, commutation);
  prepare(&both->secondary, stack, &stack->secondary, commutation);
}

bv_eddy_factors bv_winding_eddy(const bv_eddy_stack *stack,
                                const bv_flyback_times *times) {
  windings both;
  prepare_both(&both, stack, times->commutation);
  return (bv_eddy_factors){factor_of(&both.primary, times),
                           factor_of(&both.secondary, times)};
}

/* Cycles come with weight 2 v dv of the voltage v. The primary loses the same
 * dc energy in each; the secondary's goes as its fall time, 1/v. */
bv_eddy_factors bv_winding_eddy_charge(const bv_eddy_stack *stack,
                                       const bv_flyback_charge *charge) {
  bv_quadrature rule = bv_quadrature_rule(2);
  windings both;
  prepare_both(&both, stack, charge->commutation);
  double half = (1 - charge->start) / 2, weights = 0;
  bv_eddy_factors mean = {0, 0};
  for (size_t i = 0; i < rule.count; i++) {
    double v = charge->start + half * (1 + rule.nodes[i]);
    double fall = charge->fall_end / v;
    bv_flyback_times times = {charge->rise, fall,
                              charge->rise + fall + charge->dead,
                              charge->commutation};
    mean.primary += rule.weights[i] * v * factor_of(&both.primary, &times);
    weights += rule.weights[i] * v;
    mean.secondary += rule.weights[i] / 2 * factor_of(&both.secondary, &times);
  }
  mean.primary /= weights;
  return mean;
}
