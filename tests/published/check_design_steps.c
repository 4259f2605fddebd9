/* SPDX-License-Identifier: MIT */
/* Area 6: gap, flux and the textbook's design steps. Where a row gives only
 * what is asked, the problem's data are those of the worked examples of R. W.
 * Erickson, D. Maksimovic, Fundamentals of Power Electronics, 3rd ed. 2020,
 * sections 11.4.1, 11.4.2, 12.3.1 and 12.3.2; intermediate results come from
 * our functions, not from the book. */
#include "base/constants.h"
#include "model/core.h"
#include "model/gap.h"
#include "model/sizing.h"
#include "published.h"

static const double rho = 1.724e-8; /* ohm m, as the book has it */

/* Section 11.4.2: a flyback in continuous conduction. */
static const struct {
  double supply, ratio, duty, frequency, load, flux, loss, fill;
  double area, window, turn;
} fly = {200, 0.15, 0.4, 150e3, 5, 0.25, 1.5, 0.3, 1.09e-4, 0.476e-4, 6.6e-2};

typedef struct fly_state {
  double mean, ripple, peak, inductance, primary, secondary, total, turns;
} fly_state;

/* Ripple (half of peak to peak) 20 % of the mean magnetising current. */
static fly_state fly_solve(void) {
  fly_state s;
  s.mean = bv_sizing_magnetizing_current(fly.ratio, fly.load, fly.duty);
  s.ripple = 0.2 * s.mean;
  s.peak = s.mean + s.ripple;
  s.inductance =
      bv_sizing_inductance(fly.supply, fly.duty / fly.frequency, 2 * s.ripple);
  s.primary = bv_rms_ramp(s.mean - s.ripple, s.peak, fly.duty);
  s.secondary =
      bv_rms_ramp(s.peak, s.mean - s.ripple, 1 - fly.duty) / fly.ratio;
  s.total = s.primary + fly.ratio * s.secondary;
  s.turns = bv_gap_turns(s.inductance, s.peak, fly.flux, fly.area);
  return s;
}

static double fly_mean(const published_check *c) {
  return bv_sizing_magnetizing_current(published_input_or(c, "n1", fly.ratio),
                                       fly.load, fly.duty);
}

static double fly_primary(const published_check *c) {
  (void) c;
  return fly_solve().primary;
}

static double fly_secondary(const published_check *c) {
  (void) c;
  return fly_solve().secondary;
}

static double fly_kg(const published_check *c) {
  (void) c;
  fly_state s = fly_solve();
  return bv_sizing_kg(rho, s.inductance, s.peak, s.total, fly.flux, fly.loss,
                      fly.fill) /
         1e-10;
}

static double fly_gap(const published_check *c) {
  (void) c;
  fly_state s = fly_solve();
  bv_gap_core core = {fly.area, 0, (double) INFINITY, 0};
  return bv_gap_length(&core, s.turns, s.inductance) / 1e-3;
}

static double fly_primary_turns(const published_check *c) {
  (void) c;
  return fly_solve().turns;
}

static double fly_secondary_turns(const published_check *c) {
  (void) c;
  return fly_solve().turns * fly.ratio;
}

static double fly_share(const published_check *c) {
  (void) c;
  fly_state s = fly_solve();
  return bv_sizing_share(1, s.primary, 1, s.total);
}

static double fly_primary_area(const published_check *c) {
  (void) c;
  return bv_sizing_wire_area(fly_share(c), fly.fill, fly.window, 59) / 1e-4;
}

static double fly_secondary_area(const published_check *c) {
  (void) c;
  return bv_sizing_wire_area(1 - fly_share(c), fly.fill, fly.window, 9) / 1e-4;
}

/* The amplitude of n1 = 59: the volt-seconds of the on-time swing it twice. */
static double fly_flux(const published_check *c) {
  (void) c;
  return bv_sizing_turns(fly.supply * fly.duty / fly.frequency, 59, fly.area);
}

/* Section 11.4.1: a coupled inductor of two outputs, ripple 20 %. */
static const struct {
  double first, second, first_load, second_load, duty, frequency;
  double flux, fill, window, area;
} pair = {28, 12, 4, 2, 0.35, 200e3, 0.25, 0.4, 0.256e-4, 0.62e-4};

static double pair_current(const published_check *c) {
  (void) c;
  return pair.first_load + pair.second / pair.first * pair.second_load;
}

static double pair_inductance_si(void) {
  return bv_sizing_inductance(pair.first, (1 - pair.duty) / pair.frequency,
                              2 * 0.2 * pair_current(NULL));
}

static double pair_inductance(const published_check *c) {
  (void) c;
  return pair_inductance_si() / 1e-6;
}

static double pair_turns(const published_check *c) {
  return bv_gap_turns(pair_inductance_si(), 1.2 * pair_current(c), pair.flux,
                      pair.area);
}

static double pair_gap(const published_check *c) {
  bv_gap_core core = {pair.area, 0, (double) INFINITY, 0};
  return bv_gap_length(&core, pair_turns(c), pair_inductance_si()) / 1e-3;
}

/* 17 turns on the first winding were chosen. */
static double pair_area(const published_check *c, double turns, double load) {
  double share = bv_sizing_share(turns, load, 17, pair_current(c));
  return bv_sizing_wire_area(share, pair.fill, pair.window, turns) / 1e-4;
}

static double pair_first_area(const published_check *c) {
  return pair_area(c, 17, pair.first_load);
}

static double pair_second_area(const published_check *c) {
  return pair_area(c, 17 * pair.second / pair.first, pair.second_load);
}

/* Section 12.3.1: a transformer of 62.5 V us and 8 A in all on a pot core; the
 * book's loss constants are in W/cm3. */
static const bv_sizing_core pot = {0.635e-4, 3.15e-2, 0.297e-4, 4.42e-2};

static double pot_flux(const published_check *c) {
  (void) c;
  return bv_sizing_flux(&pot, rho, 62.5e-6, 8, 24.7e6, 2.6, 0.5);
}

static double pot_turns(const published_check *c) {
  return bv_sizing_turns(62.5e-6, pot_flux(c), pot.area);
}

/* Section 12.3.2: a full-bridge transformer of 110:5:5:15:15 turns. */
static const bv_sizing_core bridge = {1.27e-4, 7.7e-2, 1.1e-4, 8.5e-2};
static const double bridge_duty = 0.75, bridge_fill = 0.25;

static double bridge_volt_seconds(const published_check *c) {
  (void) c;
  return bridge_duty / 150e3 * 160 / 1e-6;
}

/* Of two switching periods a half of a secondary carries the load for D Ts,
 * half of it for 2 (1 - D) Ts and nothing while the other half conducts. */
static double bridge_rms(double load) {
  double full = bv_rms_ramp(load, load, bridge_duty / 2);
  double half = bv_rms_ramp(load / 2, load / 2, 1 - bridge_duty);
  return sqrt(full * full + half * half);
}

static double bridge_5(const published_check *c) {
  (void) c;
  return bridge_rms(100);
}

static double bridge_15(const published_check *c) {
  (void) c;
  return bridge_rms(15);
}

static double bridge_total(void) {
  double load = 100 * 5.0 / 110 + 15 * 15.0 / 110;
  return bv_rms_ramp(load, load, bridge_duty) +
         2 * 5.0 / 110 * bridge_rms(100) + 2 * 15.0 / 110 * bridge_rms(15);
}

static double bridge_kgfe(const published_check *c) {
  (void) c;
  return bv_sizing_kgfe(rho, 800e-6, bridge_total(), 7.6e6, 2.6, 4,
                        bridge_fill) *
         pow(100, 5 - 6 / 2.6);
}

static double bridge_flux(const published_check *c) {
  (void) c;
  return bv_sizing_turns(800e-6, 22, bridge.area);
}

static double bridge_copper(const published_check *c) {
  (void) c;
  return bv_sizing_copper_loss(&bridge, rho,
                               bv_sizing_turns(800e-6, 0.143, bridge.area),
                               bridge_total(), bridge_fill);
}

static double bridge_optimum(const published_check *c) {
  (void) c;
  return bv_sizing_flux(&bridge, rho, 800e-6, bridge_total(), 7.6e6, 2.6,
                        bridge_fill);
}

static double kgfe_u(const published_check *c) {
  return bv_core_kgfe_u(published_input(c, "beta"));
}

/* The lecture problem: 0.4 mWb, core of 1 cm2 by 20 cm, mu 1000 mu0, gap of
 * 3 mm with 1.5 cm2, 1000 turns. */
static double lecture_core(void) {
  return bv_gap_reluctance(0.2, 1e-4, 1000);
}

static double lecture_gap(const published_check *c) {
  (void) c;
  return bv_gap_reluctance(3e-3, 1.5e-4, 1);
}

static double lecture_current(const published_check *c) {
  return 0.4e-3 * (lecture_core() + lecture_gap(c)) / 1000;
}

/* The whole by our gapped core, whose "fringing" makes 1 cm2 of 1.5 cm2. */
static double lecture_inductance(const published_check *c) {
  (void) c;
  bv_gap_core core = {1e-4, 0.2, 1000, 0};
  return bv_gap_inductance(&core, 1000, 3e-3 / 1.5) / 1e-3;
}

static double lecture_core_energy(const published_check *c) {
  (void) c;
  return bv_gap_energy(0.4e-3 / 1e-4, 1e-4, 0.2, 1000);
}

static double lecture_gap_energy(const published_check *c) {
  (void) c;
  return bv_gap_energy(0.4e-3 / 1.5e-4, 1.5e-4, 3e-3, 1);
}

static double fringing(const published_check *c) {
  return bv_gap_fringing(published_input(c, "lg") * 1e-2,
                         published_input(c, "Ac") * 1e-4,
                         published_input(c, "G") * 1e-2);
}

static double enlarged(const published_check *c) {
  double side = published_input(c, "b");
  return bv_gap_fringing_enlarged(published_input(c, "lg"), side, side);
}

static double gapped_inductance(const published_check *c) {
  bv_gap_core core = {published_input(c, "Ac") * 1e-4, 0, (double) INFINITY, 0};
  return bv_gap_inductance(&core, published_input(c, "N"),
                           published_input(c, "lg") * 1e-3) /
         1e-3;
}

static double ripple_inductance(const published_check *c) {
  return bv_sizing_inductance(published_input(c, "at"),
                              published_input(c, "over") * 1e-6,
                              published_input(c, "ripple")) /
         1e-3;
}

static const published_kind kinds[] = {
    {"magnetizing current", fly_mean, NULL},
    {"primary rms current", fly_primary, NULL},
    {"secondary rms current", fly_secondary, NULL},
    {"required Kg", fly_kg, NULL},
    {"air gap length", fly_gap, NULL},
    {"secondary turns before", fly_secondary_turns, NULL},
    {"window allocation alpha1", fly_share, NULL},
    {"primary wire area", fly_primary_area, NULL},
    {"secondary wire area", fly_secondary_area, NULL},
    {"peak ac flux density", fly_flux, NULL},
    {"coupled inductor magnetizing current", pair_current, NULL},
    {"coupled inductor magnetizing inductance", pair_inductance, NULL},
    {"coupled inductor gap", pair_gap, NULL},
    {"coupled inductor turns", pair_turns, NULL},
    {"coupled inductor wire area 1", pair_first_area, NULL},
    {"coupled inductor wire area 2", pair_second_area, NULL},
    {"optimum ac flux", pot_flux, NULL},
    {"primary turns before rounding (5", pot_turns, NULL},
    {"primary turns before rounding", fly_primary_turns, NULL},
    {"full-bridge transformer: volt-seconds", bridge_volt_seconds, NULL},
    {"full-bridge transformer: 5 V", bridge_5, NULL},
    {"full-bridge transformer: 15 V", bridge_15, NULL},
    {"full-bridge transformer: Kgfe", bridge_kgfe, NULL},
    {"full-bridge transformer: ac flux", bridge_flux, NULL},
    {"full-bridge transformer: copper loss", bridge_copper, NULL},
    {"full-bridge transformer: optimum", bridge_optimum, NULL},
    {"u(beta)", kgfe_u, NULL},
    {"gap reluctance", lecture_gap, NULL},
    {"winding current", lecture_current, NULL},
    {"inductance with gap", gapped_inductance, NULL},
    {"inductance", lecture_inductance, NULL},
    {"energy in core", lecture_core_energy, NULL},
    {"energy in gap", lecture_gap_energy, NULL},
    {"fringing flux factor", fringing, NULL},
    {"fringing by enlarged area", enlarged, NULL},
    {"primary inductance", ripple_inductance, NULL},
};

START_TEST(design_steps_are_as_published) {
  published_run("6", kinds, sizeof kinds / sizeof *kinds, 32);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {design_steps_are_as_published, NULL};
  return check_main("published/design_steps", tests);
}
