/* SPDX-License-Identifier: MIT */
/* One switching cycle of the charger, piecewise analytic.
 *
 * Steps (symbols: n turns ratio, L primary inductance, V output, Vr = (V +
 * drops - series capacitor)/n reflected voltage, Csw node capacitance, vd node
 * voltage, Rp all primary resistance, R all secondary resistance):
 *  1 turn-on: the switch takes Csw vd^2/2; where the diodes still conduct, they
 *    recover by a charge (bv_recovery_charge)
 *  2 on: L di/dt = Vin - Rp i up to the comparator level, then the turn-off
 *    delay longer
 *  3 lumped: clamp and overlap of turn-off (switch.h), and what the core loses
 *    in the cycle, out of L i^2/2
 *  4 rise: L and Csw ring from vd = 0 to Vin + Vr
 *  5 off: n^2 L dis/dt = -(V + Vd + R is), C dV/dt = is, to is = 0 or to the
 *    off-time limit, counted from the end of step 2: then the next cycle starts
 *    with vd = Vin + Vr and the current kept
 *  6 dead: for pi sqrt(L Csw) plus the turn-on delay (longer where the maximum
 *    frequency asks for it) L and Csw ring from vd = Vin + Vr; the body diode
 *    keeps vd >= 0
 * Damping by Rp is exact in steps 2 and 5 and in a ring that does not reach the
 * body diode; else the loss along the undamped ring is taken from its energy
 * (relative error of the ring's energy about (Rp/Z)^2). The bleeder acts
 * at the end of the cycle. Leakage and node do not ring together. Sources:
 * circuit theory; the cycle of a boundary-mode charger with constant peak
 * current, N. O. Sokal, R. Redl, IEEE Trans. Power Electron. 12(5), 1997. */
#ifndef BV_MODEL_CYCLE_H
#define BV_MODEL_CYCLE_H

#include <stdbool.h>

#include "model/charge.h"
#include "model/circuit.h"
#include "model/clamp.h"
#include "model/cycle_ramp.h"
#include "model/switch.h"

/* A ring of inductance and node from rest, a volt away from the supply. */
typedef struct bv_ring {
  double voltage; /* (vd - Vin)/from */
  double current; /* 1/ohm, -i/from */
  double square;  /* s/ohm2, integral of (i/from)^2 */
} bv_ring;

/* A loop of inductance, capacitance and resistance that rings for half a wave
 * until its diode stops it. */
typedef struct bv_pulse_loop {
  double length;      /* s, half a wave */
  double damping;     /* 1/s */
  double decay;       /* 1, second amplitude over the first */
  double early;       /* s, centre of the charge before half the length */
  double peak;        /* A a volt of amplitude */
  double peak_time;   /* s */
  double resistance;  /* ohm */
  double capacitance; /* F */
} bv_pulse_loop;

/* Fills the loop; false where it does not ring. */
bool bv_pulse_loop_make(double inductance, double resistance,
                        double capacitance, bv_pulse_loop *loop);

/* Inductance, resistance and capacitors that the secondary current flows
 * through. */
typedef struct bv_off_loop {
  double l, r, per_l; /* H, ohm, 1/H */
  double inverse, c;  /* 1/F, 0: the voltage stays; F */
  bv_damped wave;
} bv_off_loop;

/* Fills a loop. */
void bv_off_loop_make(double l, double r, double inverse, bv_off_loop *loop);

/* How a current through inductance and resistance answers to what it was and to
 * a voltage: at the end of a time keep i + push v, its mean likewise. */
typedef struct bv_response {
  double keep, push;           /* 1, 1/ohm */
  double mean_keep, mean_push; /* 1, 1/ohm */
} bv_response;

/* A power whose binomial series about one, to its sixth term, is at hand. */
enum { BV_POWER_TERMS = 6 };
typedef struct bv_power {
  double exponent, terms[BV_POWER_TERMS];
} bv_power;

/* Fills it. */
void bv_power_make(double exponent, bv_power *power);

/* What the loss of the core takes of a circuit: currents by the peak, times by
 * the standard on-time, slopes and losses by those of that on-time. */
typedef struct bv_core_ring {
  double per_peak, per_on; /* 1/A, 1/s */
  double reverse;          /* 1/V, current below zero, a volt reflected */
  double slope;            /* 1/V, of a volt at the inductance */
  double supply;           /* loss under the supply */
  double quarter; /* time at full voltage that loses as a quarter ring does */
  double slow;    /* and of an angle of one less than a quarter */
  double back; /* 1/V, time back along the supply, of the voltage beyond it */
  double rise; /* A/V, of the time of step 4 */
  double drop; /* V/A, secondary resistance at the primary, of a mean current */
} bv_core_ring;

/* Constants of a circuit that every cycle uses. */
typedef struct bv_stage {
  double vin, target, n, sections;
  double l, rp;               /* primary inductance and resistance */
  bv_off_loop off, held;      /* step 5; the same while the output stays */
  double ls, r, drop;         /* n^2 L, resistance and diode drop in step 5 */
  double c, bleed;            /* storage; 1/Rbleed */
  double per_n, per_l, per_c; /* 1/n, 1/L, 1/C: dividing takes its time */
  double ip, delay;           /* comparator level, turn-off delay */
  double peak;                /* current at the end of the delay from ip */
  double csw, z, tau;         /* node: capacitance, sqrt(L/Csw), sqrt(L Csw) */
  double y, rate;             /* 1/z, 1/tau */
  bv_damped wave;             /* of inductance and node */
  double dead;                /* step 6 */
  bv_ring ring;               /* over step 6, not caught by the body diode */
  double ring_low;            /* (Vin - lowest vd)/Vr */
  bv_clamp clamp;             /* with the leakage */
  bv_clamp_swing swing;       /* of it at the peak */
  bv_ringing ringing;         /* likewise */
  double fall;                /* current fall time */
  double beside;              /* F, of the switch alone, 0: not told */
  double limit, period;       /* off-time limit, shortest period */
  double lower;               /* two levels: A, primary, at the end of step 5 */
  double rise;                /* two levels: s, of the switch's current at
                                 turn-on */
  double recovery;            /* s, of the diodes */
  double on_time;             /* step 2 from zero current */
  double least_on;            /* s, comparator blind and the delay, or 0 */
  double cs;                  /* doubler: series capacitor, else 0 */
  double rs;                  /* doubler: secondary and first diode */
  bv_pulse_loop recharge;     /* doubler: pulse in the on-time */
  bv_response magnetise;      /* doubler: current beside the pulse */
  double found_of_none;       /* doubler: charge of a pulse over what it would
                                 be, did it not drop the supply in Rp */
  bv_off_loop caught;         /* doubler: into the series capacitor in step 6 */
  double blanking; /* doubler: of the comparator, infinite: the pulse */
  double diode;    /* drop of one diode */
  double core, alpha, beta; /* J, of the core at full swing and on-time */
  bv_core_ring core_ring;   /* of the core in step 6 */
  bv_power slopes, swings;  /* of the core: alpha and beta - alpha */
} bv_stage;

/* Amounts that add up over a charge. */
typedef struct bv_flow {
  double time, cycles, turn_ons, timed_out;
  double primary_charge, primary_square;   /* A s, A2 s */
  double output_charge, output_square;     /* into the storage capacitor */
  double recharge_charge, recharge_square; /* doubler, through its first diode;
                                              what recovery takes back, too */
  double clamp, overlap, turn_on, bleeder, core; /* J */
  double recovery;                               /* J */
} bv_flow;

/* What one cycle did. */
typedef struct bv_cycle {
  bv_flow flow;
  double on_time, rise_time, off_time, dead_time; /* s; off includes rise */
  double peak_current, low_current;               /* A */
  double recharge_peak;                           /* A, primary side */
  double pulse_charge;                            /* A s, of the recharge */
  double reflected;                               /* V, at turn-off */
} bv_cycle;

/* A ring from rest at a time, from which those at times nearby are expanded. */
typedef struct bv_ring_base {
  double time; /* s; 0: none yet */
  double voltage, current;
  double last; /* s, the time asked for last */
} bv_ring_base;

/* A power of a ratio, from which those of ratios nearby are expanded. */
typedef struct bv_power_base {
  double inverse; /* of the ratio, 0: none yet */
  double power;
} bv_power_base;

/* Swing of the flux and its slopes in the loss of the core. */
typedef struct bv_core_base {
  bv_power_base swing, fall, ring;
} bv_core_base;

/* Where a cycle starts: just before turn-on. */
typedef struct bv_state {
  double current; /* A, magnetising */
  double node;    /* V */
  double output;  /* V */
  double series;  /* V, doubler */
  bool averaged;  /* a long wait ends at any phase of the ring: the mean */
  bool conducts;  /* the diodes carry the current */
  bv_ring_base fall, rest; /* of the cycle before, at the catch and after it */
  bv_core_base core;       /* of a cycle before */
} bv_state;

/* The state before the first cycle, at an output. */
static inline bv_state bv_state_start(const bv_stage *stage, double output) {
  return (bv_state){.node = stage->vin, .output = output};
}

/* Checks the circuit and fills the constants. */
bv_reason bv_stage_make(const bv_circuit *circuit, bv_stage *stage);

/* The cycle that repeats itself while the output stays at a voltage. */
bv_reason bv_cycle_at(const bv_stage *stage, double output, bv_cycle *cycle);

/* The same, sooner for a doubler where `off` comes from an output nearby: how
 * far off the first guess was there, V, 0 where unknown. Set for the next. */
bv_reason bv_cycle_near(const bv_stage *stage, double output, double *off,
                        bv_cycle *cycle);

/* The same at up to BV_CYCLE_EACH_MOST outputs, but for rounding: those of most
 * single rectifiers are taken side by side (cycle_lanes.h), which is sooner
 * than one by one. `off` may be NULL. `done`: how many there are before the
 * first that does not exist, whose reason is returned. */
enum { BV_CYCLE_EACH_MOST = 24 };
bv_reason bv_cycle_each(const bv_stage *stage, size_t count,
                        const double *outputs, double *off, bv_cycle *cycles,
                        size_t *done);

/* Off-time of that cycle if it were not limited, s; NAN where there is none. */
double bv_cycle_off_time(const bv_stage *stage, double output);

/* One cycle from state, which moves to the start of the next. `done` where the
 * output reached the target: the cycle ends there, inside step 5. */
bv_reason bv_cycle_next(const bv_stage *stage, bv_state *state, bv_cycle *cycle,
                        bool *done);

/* Steps 3 and 4 of a cycle. */
typedef struct bv_release {
  double peak;                 /* A, at turn-off; 0: unknown */
  double current, settled;     /* A; V, reflected at the end of step 5 */
  double rise, charge, square; /* s, A s, A2 s, primary */
  double clamp, overlap, core; /* J */
} bv_release;

/* Those of the first cycles from an output, side by side. They depend on the
 * output by the reflected voltage alone, little as long as that is far below
 * the supply: it is guessed by the energy of the inductance, and step 5 then
 * taken as it is. Unknown where unusual, and for a doubler. */
enum { BV_FIRST_CYCLES = 4 };
void bv_cycle_first(const bv_stage *stage, double output,
                    bv_release first[BV_FIRST_CYCLES]);

/* bv_cycle_next with steps 3 and 4 as told where its peak is that told. */
bv_reason bv_cycle_next_told(const bv_stage *stage, const bv_release *told,
                             bv_state *state, bv_cycle *cycle, bool *done);

/* sum += weight * flow, member by member. */
void bv_flow_add(bv_flow *restrict sum, double weight,
                 const bv_flow *restrict flow);

/* A cycle in which nothing was done yet but a time, s, of step 2. */
void bv_cycle_clear(bv_cycle *cycle, double on_time);

/* The steps, for cycle.c. Each adds to cycle and moves state. */

/* What step 3 takes of a current at a reflected voltage. */
bv_turn_off bv_cycle_turn_off(const bv_stage *stage, double current,
                              double reflected);

/* Steps 3 and 4 at the reflected voltage; settled: what it becomes until the
 * end of step 5, which differs for a doubler. */
bv_reason bv_cycle_release(const bv_stage *stage, double reflected,
                           double settled, bv_state *state, bv_cycle *cycle);

/* Step 6 for a time; level: how far below the supply the node is caught. */
void bv_cycle_dead(const bv_stage *stage, double reflected, double level,
                   double time, bv_state *state, bv_cycle *cycle);

/* Step 6 where a time longer than the half ring ends at any phase of the ring:
 * the means of energy and charge over the phases, each as long as it lasts. */
void bv_cycle_idle(const bv_stage *stage, double reflected, double level,
                   double time, bv_state *state, bv_cycle *cycle);

/* Integral of i^2 of a ring from rest that has come to x = (vd - Vin)/from and
 * y = z i/from, over from^2: of the energy that it has lost, or undamped. */
static inline double bv_ring_square(const bv_stage *s, double time, double x,
                                    double y) {
  double lost = s->csw / (2 * s->rp) * (1 - x * x - y * y);
  double even = (time - s->tau * x * y) * s->y * s->y / 2;
  return s->rp * time > 1e-6 * s->l ? lost : even;
}

/* A ring from rest for a time, damped by Rp. */
bv_ring bv_ring_from_rest(const bv_stage *stage, double time);

/* What the secondary current did in a time, s. */
typedef struct bv_off {
  double time, current, charge, square; /* A secondary, A s, A2 s */
} bv_off;

/* Time to zero current where the voltage does not stay; u: voltage against the
 * current, V, i: A. NAN where an overdamped loop never comes to zero. */
double bv_off_time(const bv_off_loop *loop, double u, double i);

/* To zero current, then. */
bv_off bv_off_full(const bv_off_loop *loop, double u, double i);

/* For a time before the current's zero. */
bv_off bv_off_for(const bv_off_loop *loop, double u, double i, double time);

/* Loss of the core in a cycle, J, as far as turn-off tells it: on-time and peak
 * current, the square of the current left by clamp and overlap, A2, and the
 * reflected voltage at the beginning and at the end of step 5. */
double bv_cycle_core(const bv_stage *stage, const bv_cycle *cycle, double left2,
                     double reflected, double settled, bv_core_base *base);

/* Two levels: time of step 5 down to the lower one, 0 where a primary current
 * is not above it. */
double bv_cycle_fall_time(const bv_stage *stage, const bv_off_loop *loop,
                          double u, double current);

/* Charge that a diode gives back, C, where its current in A falls to zero along
 * a straight line in a time, s (0: at once), by the carriers' lifetime in s: of
 * what it holds, I tau, the rest recombines on the way; I tau (1 - exp(-T/tau))
 * tau/T. From the charge-control equation, P. O. Lauritzen, C. L. Ma, IEEE
 * Trans. Power Electron. 6(2), 1991. The recovery time of data sheets, taken
 * with a step to twice the current, is about the lifetime (within a third by
 * the same equation). */
double bv_recovery_charge(double current, double lifetime, double down);

/* Overlap and recovery where the switch takes a current over from the diodes.
 */
void bv_cycle_take_over(const bv_stage *stage, bv_state *state,
                        bv_cycle *cycle);

/* Until a charge below that of bv_off_full has passed. */
bv_off bv_off_charge(const bv_off_loop *loop, double u, double i, double charge,
                     double longest);

/* Step 6 for a time, caught by whichever diode comes first. */
void bv_cycle_rest(const bv_stage *stage, double reflected, double time,
                   bv_state *state, bv_cycle *cycle);

/* Doubler: magnetising current beside a recharge pulse of a charge, from a
 * current for a time; the pulse's current in the secondary after a time. */
bv_ramp bv_doubler_magnetise(const bv_stage *stage, double charge,
                             double current, double time);
double bv_doubler_pulse(const bv_stage *stage, double charge, double time);

/* Doubler: fills the stage's constants of the pulse. */
void bv_doubler_prepare(bv_stage *stage);

/* Doubler: about the series capacitor's voltage at turn-off of a cycle that
 * repeats itself at an output, V; slope: of what a turn adds to that voltage,
 * in the voltage. */
double bv_doubler_guess(const bv_stage *stage, double output, double *slope);

/* Doubler: the recharge pulse at turn-on, magnetising current included. */
bv_reason bv_doubler_recharge(const bv_stage *stage, bv_state *state,
                              bv_cycle *cycle);

/* Doubler: the first diode holds the node at Vin - level in step 6 and the
 * current goes into the series capacitor, to zero or for the longest time.
 * Returns the time taken. */
double bv_doubler_catch(const bv_stage *stage, double level, double longest,
                        bv_state *state, bv_cycle *cycle);

#endif
