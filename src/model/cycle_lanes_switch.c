/* SPDX-License-Identifier: MIT */
/* Step 3 for many outputs. */
#include <math.h>

#include "model/cycle_lanes.h"
#include "model/lanes.h"
#include "model/switch_joint.h"

/* What the clamp alone takes where the winding has no capacitance, or nothing
 * without leakage. */
static void take_straight(const bv_stage *s, bv_lanes *restrict x) {
  bv_clamp c = s->clamp;
  for (size_t i = 0; i < 4 * x->fours; i++)
    x->clamp[i] =
        bv_clamp_straight(&c, s->peak, c.level - x->reflected[i]).energy;
}

/* And where it swings: as far as the clamp's pulse lasts, or as the diodes let
 * it. */
static void take_swing(const bv_stage *s, bv_lanes *restrict x) {
  bv_clamp c = s->clamp;
  bv_clamp_swing swing = s->swing;
  double sine2 = swing.sine * swing.sine, per_full = 1 / swing.full;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    double above = c.level - x->reflected[i], cosine = above * per_full;
    double cosine2 = cosine * cosine, sine = sqrt(1 - cosine2);
    double angle = bv_lane_arc(sine, cosine);
    double cut = bv_clamp_cut(&c, &swing, above, angle, sine).energy;
    x->clamp[i] = sine2 + cosine2 <= 1 ? swing.whole.energy : cut;
  }
}

/* What then counts for nothing. */
static void take_none(bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++)
    x->clamp[i] = 0;
}

static void overlap(const bv_stage *s, bv_lanes *restrict x) {
  double whole = s->peak * s->fall / 2;
  for (size_t i = 0; i < 4 * x->fours; i++)
    x->overlap[i] = (s->vin + x->reflected[i]) * whole;
}

/* Each with the other. */
static void join(const bv_stage *s, bv_lanes *restrict x) {
  bv_clamp c = s->clamp;
  bv_joint j = bv_joint_of(&c, s->fall, s->beside);
  double fall = s->fall, beside = s->beside, peak = s->peak;
  for (size_t i = 0; i < 4 * x->fours; i++) {
    bv_turn_off off =
        bv_joint_take(&c, &j, fall, beside, peak, x->reflected[i], x->clamp[i]);
    x->clamp[i] = off.clamp;
    x->overlap[i] = off.overlap;
  }
}

/* What rings once the switch's current is gone. */
static void ring_freely(const bv_stage *s, bv_lanes *restrict x) {
  bv_clamp c = s->clamp;
  bv_ringing r = s->ringing;
  for (size_t i = 0; i < 4 * x->fours; i++)
    x->clamp[i] = bv_ringing_mix(&c, &r, x->reflected[i], x->clamp[i]);
}

static void one_by_one(const bv_stage *s, bv_lanes *restrict x) {
  for (size_t i = 0; i < 4 * x->fours; i++) {
    bv_turn_off off = bv_cycle_turn_off(s, s->peak, x->reflected[i]);
    x->clamp[i] = off.clamp;
    x->overlap[i] = off.overlap;
  }
}

BV_WIDE void bv_lanes_turn_off(const bv_stage *s, bv_lanes *restrict x) {
  bool usual = s->beside == 0 || (s->clamp.leakage > 0 && s->fall > 0);
  if (!usual) {
    one_by_one(s, x);
    return;
  }
  overlap(s, x);
  if (bv_ringing_alone(&s->ringing, s->vin))
    take_none(x);
  else if (s->clamp.leakage > 0 && s->clamp.capacitance > 0)
    take_swing(s, x);
  else
    take_straight(s, x);
  if (s->beside > 0)
    join(s, x);
  if (s->ringing.share > 0)
    ring_freely(s, x);
}
