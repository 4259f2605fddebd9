/* SPDX-License-Identifier: MIT */
/* Parts by rating, turn-off, clamp, sensing, heat: each alone. */
#include "base/constants.h"
#include "check_main.h"
#include "model/clamp.h"
#include "model/rating.h"
#include "model/sensing.h"
#include "model/switch.h"
#include "model/thermal.h"

static const bv_stress stress = {.voltage = 480,
                                 .current = 4,
                                 .voltage_derating = 0.8,
                                 .current_derating = 0.8,
                                 .sharing = 0.9,
                                 .conduction = 5e-6};

START_TEST(margins_are_shares_of_the_derated_rating) {
  check_close(bv_margin(400, 1000, 0.8), 0.5, 1e-12);
  check_close(bv_margin(1600, 1000, 0.8), -1, 1e-12);
  ck_assert(bv_margin(800, 1000, 0.8) == 0);
}
END_TEST

START_TEST(a_switch_has_the_smaller_of_two_margins) {
  const bv_switch part = {.voltage_rating = 800,
                          .current_rating = 20,
                          .on_resistance = 0.1,
                          .gate_charge = 50e-9,
                          .gate_voltage = 10};
  bv_stress more = stress;
  check_close(bv_switch_margin(&part, &stress), 0.25, 1e-12);
  more.current = 15;
  check_close(bv_switch_margin(&part, &more), 1 - 15 / 16.0, 1e-9);
  /* A triangle of 4 A for 5 us in 1.5 times 0.1 ohm, and the gate. */
  check_close(bv_switch_loss(&part, &stress), 4.5e-6, 1e-9);
}
END_TEST

START_TEST(diodes_are_put_in_series) {
  bv_diode list[] = {{.voltage_rating = 300, .current_rating = 9},
                     {.voltage_rating = 350, .current_rating = 9},
                     {.voltage_rating = 600, .current_rating = 1},
                     {.voltage_rating = 340, .current_rating = 9}};
  double series = 0;
  /* 480 V: alone from 600 V on; two of 333.4 V (0.8, 0.9). */
  ck_assert(bv_diode_series(&list[0], &stress) == 3);
  ck_assert(bv_diode_series(&list[1], &stress) == 2);
  ck_assert(bv_diode_series(&list[2], &stress) == 1);
  ck_assert_ptr_eq(bv_diode_pick(list, 4, &stress, &series), &list[1]);
  ck_assert(series == 2);
  /* The least loss of the whole string. */
  list[0].forward_drop = 1, list[1].forward_drop = 3, list[3].forward_drop = 1;
  series = 0;
  ck_assert_ptr_eq(bv_diode_pick(list, 4, &stress, &series), &list[3]);
  list[0].forward_drop = 0.5, series = 0;
  ck_assert_ptr_eq(bv_diode_pick(list, 4, &stress, &series), &list[0]);
  ck_assert(series == 3);
  /* 1.5 V for 2 V, 4 A falling to zero in 5 us: 5 uJ saved. */
  bv_stress dear = stress;
  dear.worth = 4e-6, series = 0;
  ck_assert_ptr_eq(bv_diode_pick(list, 4, &dear, &series), &list[0]);
  dear.worth = 6e-6, series = 0;
  ck_assert_ptr_eq(bv_diode_pick(list, 4, &dear, &series), &list[3]);
  series = 4; /* a string that is given stays */
  ck_assert_ptr_eq(bv_diode_pick(list, 1, &stress, &series), &list[0]);
  ck_assert(series == 4);
  check_close(bv_diode_derating(&stress, 1), 0.8, 1e-12);
  check_close(bv_diode_derating(&stress, 2), 0.72, 1e-12);
}
END_TEST

/* The overlap of a falling current with the voltage it charges onto a
 * capacitance, by plain summation. */
static double summed_overlap(double voltage, double current, double fall,
                             double capacitance) {
  enum { STEPS = 200000 };
  double energy = 0, v = 0, dt = fall / STEPS;
  for (int k = 0; k < STEPS; k++) {
    double i = current * (1 - (k + 0.5) / STEPS);
    double next = fmin(v + (current - i) * dt / capacitance, voltage);
    energy += i * (v + next) / 2 * dt;
    v = next;
  }
  return energy;
}

/* Share of 20 ns in which 5 A reach 100 V. */
static double reach(double capacitance) {
  return sqrt(2 * capacitance * 100 / (5 * 20e-9));
}

START_TEST(overlap_share_is_the_integral) {
  const double capacitances[] = {1e-12, 1e-11, 1e-10, 1e-9, 1e-8};
  for (size_t k = 0; k < 5; k++) {
    double full = 100 * 5 * 20e-9 / 2;
    double share = bv_overlap_share(reach(capacitances[k]));
    check_close(share * full, summed_overlap(100, 5, 20e-9, capacitances[k]),
                1e-3);
  }
  check_close(bv_overlap_share(0), 1, 1e-12);
  /* A large capacitance: I² t²/(24 C). */
  check_close(bv_overlap_share(reach(1e-8)) * 100 * 5 * 20e-9 / 2,
              25 * 4e-16 / (24 * 1e-8), 1e-9);
}
END_TEST

/* Leakage whose current the clamp drives down against the reflected voltage, by
 * plain summation. */
START_TEST(clamp_takes_more_than_the_leakage_held) {
  double leakage = 0.5e-6, peak = 8, held = leakage * peak * peak / 2;
  bv_clamp clamp = {leakage, 90, 0, 24};
  bv_clamp_pulse pulse = bv_clamp_take(&clamp, peak, 60);
  check_close(pulse.energy, held * 3, 1e-12);
  check_close(pulse.time, leakage * peak / 30, 1e-12);
  /* Half: twice, 0.7: 3.3 times what the leakage held. */
  check_close(bv_clamp_take(&clamp, peak, 45).energy, 2 * held, 1e-12);
  check_close(bv_clamp_take(&clamp, peak, 63).energy, held / 0.3, 1e-12);
  ck_assert(isinf(bv_clamp_take(&clamp, peak, 90).energy));
  clamp.leakage = 0;
  ck_assert(bv_clamp_take(&clamp, peak, 90).energy == 0);
}
END_TEST

/* Clamp current by plain summation: the leakage's falls, what it gave up
 * carries the winding from minus the supply up to the reflected voltage. */
static bv_clamp_pulse summed_clamp(const bv_clamp *c, double peak,
                                   double reflected) {
  double winding = -c->supply, current = peak, dt = 1e-12;
  bv_clamp_pulse pulse = {0, 0};
  for (; current > 0; pulse.time += dt) {
    pulse.energy += c->level * current * dt;
    double slope = (c->level - winding) / c->leakage;
    winding += (peak - current) / c->capacitance * dt;
    winding = fmin(winding, reflected);
    current -= slope * dt;
  }
  return pulse;
}

/* Capacitances so small that the diodes conduct while the leakage still
 * carries current, and so large that they don't. */
START_TEST(clamp_takes_less_where_the_winding_lags) {
  const double capacitances[] = {1e-11, 1e-10, 1e-9, 1e-8, 1e-7};
  const double reflected[] = {-20, 10, 60, 85};
  double before = HUGE_VAL;
  for (size_t i = 0; i < 5; i++)
    for (size_t j = 0; j < 4; j++) {
      bv_clamp clamp = {0.5e-6, 90, capacitances[i], 24};
      bv_clamp_pulse pulse = bv_clamp_take(&clamp, 8, reflected[j]);
      bv_clamp_pulse sum = summed_clamp(&clamp, 8, reflected[j]);
      check_close(pulse.energy, sum.energy, 1e-3);
      check_close(pulse.time, sum.time, 1e-3);
      if (j == 3) {
        ck_assert(pulse.energy < before);
        before = pulse.energy;
      }
    }
  bv_clamp fixed = {0.5e-6, 90, 1, 24};
  check_close(bv_clamp_take(&fixed, 8, 60).energy,
              0.5e-6 * 64 * 90 / 2 / (90 + 24), 1e-6);
}
END_TEST

START_TEST(sensing_stops_where_the_plateau_says) {
  bv_sensing sensing = {20, 2, 50, 0.04};
  double target = 1000, current = 0.1;
  double stop = bv_sensing_stop(&sensing, target, current);
  check_close(bv_sensing_plateau(&sensing, stop, current), target / 20, 1e-12);
  bv_sensing ideal = {20, 0, 0, 0};
  check_close(bv_sensing_stop(&ideal, target, current), target, 1e-12);
  /* Drops stop the charge early, leakage late. */
  bv_sensing drops = {20, 2, 50, 0}, leaky = {20, 0, 0, 0.04};
  check_close(bv_sensing_stop(&drops, target, current), 993, 1e-12);
  check_close(bv_sensing_stop(&leaky, target, current), 1000 / 0.98, 1e-12);
  /* One more cycle: energy before and after. */
  double step = bv_sensing_step(1e-3, 33e-6, 1500);
  check_close(33e-6 / 2 * (pow(1500 + step, 2) - 1500.0 * 1500), 1e-3, 1e-6);
}
END_TEST

START_TEST(balance_is_where_loss_and_cooling_meet) {
  bv_thermal_load load = {.copper = 1.5,
                          .core = 0.8,
                          .reference = 60,
                          .core_curve = {100, -2e-3, 1e-4},
                          .surface = 50e-4,
                          .ambient = 40};
  double t = bv_thermal_balance(&load);
  double copper = 1.5 * (1 + 0.00393 * (t - 20)) / (1 + 0.00393 * 40);
  double rise = t - 100, cold = 60 - 100;
  double core = 0.8 * (1 - 2e-3 * rise + 1e-4 * rise * rise) /
                (1 - 2e-3 * cold + 1e-4 * cold * cold);
  check_close(t - 40, bv_thermal_rise(copper + core, 50e-4), 1e-6);
  load.copper = load.core = 0;
  check_close(bv_thermal_balance(&load), 40, 1e-12);
  load.copper = 500; /* runs away */
  check_close(bv_thermal_balance(&load), BV_THERMAL_MOST, 1e-12);
}
END_TEST

/* Rise at one end of a bar whose other end is kept cold, by a flux into it,
 * over that without end (Carslaw and Jaeger, the series for a slab). It begins
 * as the root of the time over 30 s. */
static double bar(double time) {
  double sum = 0, scaled = BV_PI / 4 * time / 30;
  for (int n = 1; n < 400; n += 2)
    sum += exp(-n * n * BV_PI * BV_PI / 4 * scaled) / (n * n);
  return 1 - 8 / (BV_PI * BV_PI) * sum;
}

START_TEST(pulses_heat_as_in_a_bar) {
  for (double time = 0.01; time < 100; time *= 2)
    check_close(bv_thermal_pulse(time, HUGE_VAL, 30), bar(time), 0.02);
  for (double period = 0.1; period < 100; period *= 3)
    for (double duty = 0.1; duty < 1; duty += 0.2) {
      double end = 0;
      for (int pulse = 0; pulse < 1 + 300 / period; pulse++) {
        double since = pulse * period;
        end += bar(since + duty * period) - bar(since);
      }
      check_close(bv_thermal_pulse(duty * period, period, 30), end, 0.06);
    }
  check_close(bv_thermal_pulse(2, 1, 30), 1, 1e-12);
}
END_TEST

START_TEST(junction_is_where_loss_and_cooling_meet) {
  double t = bv_thermal_junction(0.5, 0.007, 45, 50);
  check_close(t, 50 + 45 * 0.5 * (1 + 0.007 * (t - 25)), 1e-12);
  check_close(bv_thermal_junction(5, 0.01, 45, 50), BV_THERMAL_MOST, 1e-12);
  check_close(bv_thermal_power(bv_thermal_rise(3, 0.01), 0.01), 3, 1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {margins_are_shares_of_the_derated_rating,
                                a_switch_has_the_smaller_of_two_margins,
                                diodes_are_put_in_series,
                                overlap_share_is_the_integral,
                                clamp_takes_more_than_the_leakage_held,
                                clamp_takes_less_where_the_winding_lags,
                                sensing_stops_where_the_plateau_says,
                                balance_is_where_loss_and_cooling_meet,
                                pulses_heat_as_in_a_bar,
                                junction_is_where_loss_and_cooling_meet,
                                NULL};
  return check_main("stress", tests);
}
