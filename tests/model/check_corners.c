/* SPDX-License-Identifier: MIT */
/* Corners of a built design: the ends hold what lies inside. */
#include "check_main.h"
#include "model/design_support.h"
#include "model/verify.h"

static bv_tolerances usual(void) {
  bv_tolerances tolerances;
  bv_field_defaults(bv_tolerances_fields, &tolerances);
  return tolerances;
}

static void corners(const bv_job *job, const bv_choice *choice,
                    const bv_tolerances *tolerances, bv_corners *c) {
  bv_design_corners(job, choice, &shelf_open()->parts, BV_BUILDABLE, tolerances,
                    c);
}

static size_t place_of(const char *name) {
  const bv_field *field = bv_field_find(bv_design_fields, name);
  ck_assert_msg(field != NULL, "no result %s", name);
  return (size_t) (field - bv_design_fields.list);
}

START_TEST(no_tolerance_leaves_the_nominal_design) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances none = {.samples = 5, .seed = 1};
  job.supply_voltage = (bv_supply){24, 24, 24};
  bv_corners c;
  corners(&job, &choice, &none, &c);
  ck_assert_int_eq(c.worst.reason, BV_REASON_OK);
  ck_assert(c.corners == 1 && c.samples == 5);
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const bv_field *field = &bv_design_fields.list[i];
    if (field->kind != BV_NUMBER)
      continue;
    double nominal = bv_field_number(field, &c.nominal);
    double slack = 2e-3 * fabs(nominal) + 1e-12;
    if (strncmp(field->name, "sensed_error", 12) == 0)
      slack += 1e-5; /* drops and leakage, which nearly cancel */
    const bv_design *const ends[] = {&c.least, &c.greatest, &c.worst};
    for (size_t e = 0; isfinite(nominal) && e < 3; e++)
      ck_assert_msg(fabs(bv_field_number(field, ends[e]) - nominal) <= slack,
                    "%s: nominal %g, end %g", field->name, nominal,
                    bv_field_number(field, ends[e]));
  }
}
END_TEST

/* The worst of several corners is no design that a circuit could confirm. */
START_TEST(a_mixture_of_corners_is_not_simulated) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances some = {.capacitance = 0.1};
  bv_corners c;
  bv_verification v;
  corners(&job, &choice, &some, &c);
  const bv_design *const mixed[] = {&c.least, &c.greatest, &c.worst};
  for (size_t i = 0; i < 3; i++) {
    bv_design_verify(mixed[i], &v);
    ck_assert_str_eq(v.verification, "not simulated: of several corners");
  }
  bv_design_verify(&c.nominal, &v);
  ck_assert_str_eq(v.verification, "agrees");
}
END_TEST

/* A beacon's ends by what is known of each result. */
START_TEST(ends_are_where_the_trade_expects_them) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual();
  bv_corners c;
  corners(&job, &choice, &t, &c);
  ck_assert_int_eq(c.worst.reason, BV_REASON_OK);
  ck_assert(c.corners == 512 && c.samples == 32);
  /* Slowest: lowest supply, largest capacitor, lowest comparator level. */
  double slow = c.nominal.charge_time_low_supply * 1.1 / 0.95 * 1.01 * 1.01;
  check_close(c.worst.charge_time, slow, 0.07);
  ck_assert(c.exact[place_of("charge_time")]);
  /* Flux: most inductance and current, and the overshoot at the highest supply.
   */
  check_close(c.worst.flux_density, c.nominal.flux_density * 1.1 * 1.05, 0.01);
  ck_assert(c.worst.flux_margin < c.nominal.flux_margin - 0.1);
  ck_assert(c.exact[place_of("flux_margin")]);
  /* A clamp 5 % high; a charge that stops 1 % high. */
  double clamp = 0.05 * c.nominal.clamp_voltage;
  check_close(c.worst.switch_voltage, c.nominal.switch_voltage + clamp, 1e-9);
  check_close(c.worst.diode_voltage,
              c.nominal.diode_voltage + 0.01 * 1500 / choice.sections, 1e-9);
  check_close(c.worst.stored_energy, c.nominal.stored_energy, 1e-9);
  check_close(c.greatest.stored_energy,
              1.1 * 1.01 * 1.01 * c.nominal.stored_energy, 1e-9);
  ck_assert(c.exact[place_of("switch_voltage")]);
  ck_assert(c.exact[place_of("diode_voltage")]);
  ck_assert(c.worst.hot_spot_temperature >
            c.nominal.hot_spot_temperature + t.temperature);
  ck_assert(c.least.hot_spot_temperature <
            c.nominal.hot_spot_temperature - 0.9 * t.temperature);
  /* What was built stays. */
  check_close(c.least.primary_turns, c.greatest.primary_turns, 1e-12);
  check_close(c.least.gap_length, c.greatest.gap_length, 1e-12);
  ck_assert_str_eq(c.worst.primary_wire, c.nominal.primary_wire);
  ck_assert(c.greatest.sensed_error - c.least.sensed_error > 0.02);
}
END_TEST

/* More capacitance of the windings lowers their resonance by its root and makes
 * charges longer, which the corners tell where they are asked to. */
START_TEST(windings_may_hold_more_than_they_are_taken_for) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual();
  bv_corners without, with;
  corners(&job, &choice, &t, &without);
  t.winding_capacitance = 0.5;
  corners(&job, &choice, &t, &with);
  ck_assert(without.corners == 512 && with.corners == 1024);
  double nominal = with.nominal.self_resonance;
  check_close(with.least.self_resonance, nominal / sqrt(1.1 * 1.5), 1e-9);
  check_close(with.greatest.self_resonance, nominal / sqrt(0.9 * 0.5), 1e-9);
  check_close(with.greatest.winding_capacitance,
              1.5 * with.nominal.winding_capacitance, 1e-9);
  double more = 0.5 * with.nominal.winding_capacitance_reflected;
  check_close(with.greatest.node_capacitance,
              with.nominal.node_capacitance + more, 1e-9);
  ck_assert_double_gt(with.worst.charge_time,
                      1.005 * without.worst.charge_time);
}
END_TEST

/* The bleeder is a part as built: a capacitance 10 % above what it was made for
 * takes 10 % longer to the safe voltage (t = R C ln(Vt/Vsafe)), from a voltage
 * 1 % high a little more, and a job's limit on that time is then broken, as the
 * worst case has to tell. */
START_TEST(a_fixed_bleeder_takes_longer_with_more_capacitance) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual();
  bv_corners c;
  corners(&job, &choice, &t, &c);
  double ohms = 300 / (33e-6 * log(1500.0 / 60));
  check_close(c.nominal.bleeder_resistance, ohms, 1e-9);
  check_close(c.least.bleeder_resistance, ohms, 1e-9);
  check_close(c.greatest.bleeder_resistance, ohms, 1e-9);
  check_close(c.nominal.safe_time, 300, 1e-9);
  check_close(c.worst.safe_time, 330 * log(1515.0 / 60) / log(1500.0 / 60),
              1e-9);
  check_close(c.least.safe_time, 270 * log(1485.0 / 60) / log(1500.0 / 60),
              1e-9);
}
END_TEST

/* A result called exact holds many more places inside than were looked at; and
 * those that do turn round somewhere inside are found out. */
START_TEST(exact_ends_hold_every_place_inside) {
  bv_random random = bv_random_keyed(21, 0, 0);
  int exact = 0, turned = 0;
  for (int i = 0; i < 40; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_tolerances t = usual();
    static bv_corners few, many;
    t.samples = 0;
    corners(&job, &choice, &t, &few);
    t.samples = 300;
    corners(&job, &choice, &t, &many);
    if (many.worst.reason != BV_REASON_OK)
      continue;
    for (size_t f = 0; f < bv_design_fields.count; f++) {
      const bv_field *field = &bv_design_fields.list[f];
      if (field->kind != BV_NUMBER ||
          !isfinite(bv_field_number(field, &few.least)))
        continue;
      double least = bv_field_number(field, &few.least);
      double greatest = bv_field_number(field, &few.greatest);
      double slack = 1e-3 * (greatest - least) + 1e-6 * fabs(least) + 1e-12;
      bool held = bv_field_number(field, &many.least) >= least - slack &&
                  bv_field_number(field, &many.greatest) <= greatest + slack;
      ck_assert_msg(held || !many.exact[f], "%s: %g … %g, but inside %g … %g",
                    field->name, least, greatest,
                    bv_field_number(field, &many.least),
                    bv_field_number(field, &many.greatest));
      exact += many.exact[f];
      turned += !few.exact[f];
    }
  }
  ck_assert_msg(exact > 3000 && turned > 20, "%d exact, %d turned round", exact,
                turned);
}
END_TEST

START_TEST(a_seed_repeats_itself) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual();
  static bv_corners first, again;
  corners(&job, &choice, &t, &first);
  corners(&job, &choice, &t, &again);
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const bv_field *field = &bv_design_fields.list[i];
    if (field->kind == BV_NUMBER)
      ck_assert(bv_field_number(field, &first.least) ==
                bv_field_number(field, &again.least));
  }
}
END_TEST

/* A charge that makes up for what a bleeder took starts at a share of the
 * voltage at which the last one stopped, wherever that was: no stop lies below
 * the start, and all energies go with its square. */
START_TEST(a_start_near_the_target_moves_with_it) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual(), stop = {.voltage_threshold = 0.01};
  static bv_corners c;
  job.start_voltage = 0.995 * job.target_voltage;
  corners(&job, &choice, &t, &c);
  ck_assert_str_eq(bv_reason_words[c.worst.reason], "ok");
  corners(&job, &choice, &stop, &c);
  check_close(c.greatest.start_voltage, 1.01 * job.start_voltage, 1e-12);
  check_close(c.least.start_voltage, 0.99 * job.start_voltage, 1e-12);
  check_close(c.greatest.stored_energy, 1.01 * 1.01 * c.nominal.stored_energy,
              1e-9);
  check_close(c.greatest.supply_energy, 1.01 * 1.01 * c.nominal.supply_energy,
              0.01);
}
END_TEST

/* A clamp 5 % low must still lie above what a stop 1 % high reflects. */
START_TEST(a_clamp_needs_room_for_both_tolerances) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual();
  static bv_corners c;
  choice.clamp_ratio = 1.01 / 0.95 - 0.01;
  corners(&job, &choice, &t, &c);
  ck_assert_int_eq(c.nominal.reason, BV_REASON_OK);
  ck_assert_str_eq(bv_reason_words[c.worst.reason], "clamp_below_reflected");
  choice.clamp_ratio = 1.01 / 0.95 + 0.01;
  corners(&job, &choice, &t, &c);
  ck_assert_str_eq(bv_reason_words[c.worst.reason], "ok");
}
END_TEST

/* Insulation is laid out once, for the job's own voltages: the whole range of
 * the supply, the target and the clamp as chosen. */
START_TEST(insulation_needs_are_those_of_the_job) {
  static const char *const names[] = {
      "working_voltage",  "impulse_voltage",
      "clearance",        "clearance_high_frequency",
      "creepage",         "creepage_output",
      "test_voltage",     "margin",
      "barrier_thickness"};
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual();
  static bv_corners c;
  corners(&job, &choice, &t, &c);
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
    const bv_field *field = &bv_design_fields.list[place_of(names[i])];
    double nominal = bv_field_number(field, &c.nominal);
    ck_assert_msg(bv_field_number(field, &c.least) == nominal &&
                      bv_field_number(field, &c.greatest) == nominal,
                  "%s: %g … %g, nominal %g", names[i],
                  bv_field_number(field, &c.least),
                  bv_field_number(field, &c.greatest), nominal);
  }
}
END_TEST

START_TEST(an_impossible_corner_is_told) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_tolerances t = usual();
  static bv_corners c;
  job.supply_resistance = 1.4;
  t.sense_threshold = 0.5;
  corners(&job, &choice, &t, &c);
  ck_assert_int_eq(c.nominal.reason, BV_REASON_OK);
  ck_assert_str_eq(bv_reason_words[c.worst.reason], "comparator_unreachable");
  ck_assert(isnan(c.worst.charge_time) && isnan(c.greatest.charge_time));
  t.inductance = (double) NAN;
  corners(&job, &choice, &t, &c);
  ck_assert_str_eq(bv_reason_words[c.worst.reason], "bad_job");
}
END_TEST

/* Conduction heats a switch most at the lowest supply, turn-on at the highest:
 * no supply of the range makes it hotter than what is told. */
START_TEST(no_supply_makes_the_switch_hotter) {
  bv_random random = bv_random_keyed(47, 0, 0);
  bv_tolerances none = {.seed = 1};
  int made = 0;
  for (int i = 0; i < 150; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_corners c;
    corners(&job, &choice, &none, &c);
    if (c.worst.reason != BV_REASON_OK || c.nominal.switch_temperature > 200)
      continue;
    double told = c.nominal.switch_temperature - job.ambient_temperature;
    double most = c.greatest.switch_temperature - job.ambient_temperature;
    ck_assert_msg(most <= 1.03 * told + 1, "%g K told, up to %g", told, most);
    made++;
  }
  ck_assert_int_gt(made, 70);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      no_supply_makes_the_switch_hotter,
      no_tolerance_leaves_the_nominal_design,
      a_mixture_of_corners_is_not_simulated,
      ends_are_where_the_trade_expects_them,
      windings_may_hold_more_than_they_are_taken_for,
      a_fixed_bleeder_takes_longer_with_more_capacitance,
      exact_ends_hold_every_place_inside,
      a_seed_repeats_itself,
      a_start_near_the_target_moves_with_it,
      a_clamp_needs_room_for_both_tolerances,
      insulation_needs_are_those_of_the_job,
      an_impossible_corner_is_told,
      NULL};
  return check_main("corners", tests);
}
