/* SPDX-License-Identifier: MIT */
/* The clamp that takes the leakage's current at turn-off, from zero volts at
 * the node until that current is gone. It conducts at once and holds the node
 * at its level above the supply; the winding, whose capacitance lies behind the
 * leakage, swings meanwhile from minus the supply toward that level, as far as
 * the reflected voltage, where the diodes conduct.
 *
 * With C -> 0 the winding is there at once and the energy is the usual
 * L I^2 Vcl/(2 (Vcl - Vr)): more than the leakage held, for the reflected
 * voltage helps the current along. With a large C it is L I^2 Vcl/(2 (Vcl +
 * Vin)). What the switch itself holds back of it is in switch.h. Source:
 * circuit theory, a resonant current and a straight fall. */
#ifndef BV_MODEL_CLAMP_H
#define BV_MODEL_CLAMP_H

typedef struct bv_clamp {
  double leakage;     /* H, at the primary, >= 0 */
  double level;       /* V above the supply, > 0 */
  double capacitance; /* F behind the leakage, seen at the primary, >= 0 */
  double supply;      /* V, >= 0 */
} bv_clamp;

typedef struct bv_clamp_pulse {
  double energy; /* J */
  double time;   /* s */
} bv_clamp_pulse;

/* What the clamp takes in a cycle of a peak current in A and a reflected
 * voltage in V; nothing without leakage, INFINITY where the level does not
 * exceed the reflected voltage. */
bv_clamp_pulse bv_clamp_take(const bv_clamp *clamp, double current,
                             double reflected);

/* What of it a current alone tells: the swing of the winding. */
typedef struct bv_clamp_swing {
  double current;       /* A */
  double full;          /* V, amplitude */
  double tau;           /* s, 1 rad */
  double most;          /* A, amplitude */
  double sine;          /* current over most */
  bv_clamp_pulse whole; /* where the diodes do not cut it short */
} bv_clamp_swing;

void bv_clamp_swing_make(const bv_clamp *clamp, double current,
                         bv_clamp_swing *swing);

/* The winding stays at a voltage by which the level is above it. */
static inline bv_clamp_pulse bv_clamp_straight(const bv_clamp *c,
                                               double current, double above) {
  double time = c->leakage * current / above;
  return (bv_clamp_pulse){c->level * current * time / 2, time};
}

/* A swing that the diodes cut short where the level is above the winding by a
 * voltage, after an angle of a sine: straight from there on. */
static inline bv_clamp_pulse bv_clamp_cut(const bv_clamp *c,
                                          const bv_clamp_swing *swing,
                                          double above, double angle,
                                          double sine) {
  bv_clamp_pulse rest =
      bv_clamp_straight(c, swing->current - swing->most * sine, above);
  double charge = swing->current * swing->tau * angle -
                  c->capacitance * (swing->full - above);
  return (bv_clamp_pulse){c->level * charge + rest.energy,
                          swing->tau * angle + rest.time};
}

/* bv_clamp_take for the current of a swing. */
bv_clamp_pulse bv_clamp_take_of(const bv_clamp *clamp,
                                const bv_clamp_swing *swing, double reflected);

#endif
