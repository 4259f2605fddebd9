/* SPDX-License-Identifier: MIT */
/* Areas 8 and 9: clearance, creepage, breakdown, limits of touch, discharge;
 * heat of wound parts. */
#include "model/insulation.h"
#include "model/safety.h"
#include "model/thermal.h"
#include "published.h"

static double leading_number(const published_check *c) {
  char *end;
  double value = strtod(c->inputs, &end);
  ck_assert_msg(end != c->inputs, "%s: no number leads '%s'", c->id, c->inputs);
  return value;
}

static double inhomogeneous(const published_check *c) {
  double volts = published_input(c, "impulse") * 1e3;
  return bv_clearance_impulse(volts, 1, BV_INHOMOGENEOUS).length * 1e3;
}

static double homogeneous(const published_check *c) {
  double volts = published_input(c, "impulse") * 1e3;
  return bv_clearance_impulse(volts, 1, BV_HOMOGENEOUS).length * 1e3;
}

/* The unit's text holds the values of groups I and II. */
static double creepage(const published_check *c) {
  double volts = leading_number(c), first, second;
  int found = sscanf(c->unit, "mm (III); I %lf; II %lf", &first, &second);
  ck_assert_msg(found == 2, "%s: unit '%s'", c->id, c->unit);
  check_close(bv_creepage(volts, 2, 1).length * 1e3, first, 1e-12);
  check_close(bv_creepage(volts, 2, 2).length * 1e3, second, 1e-12);
  return bv_creepage(volts, 2, 3).length * 1e3;
}

static double high_frequency(const published_check *c) {
  return bv_clearance_high_frequency(leading_number(c), 2).length * 1e3;
}

static double secondary_circuit(const published_check *c) {
  return bv_clearance_secondary(leading_number(c)).length * 1e3;
}

static double altitude(const published_check *c) {
  return bv_altitude_factor(leading_number(c));
}

static double paschen_field(const published_check *c) {
  double volts, micrometres;
  ck_assert(sscanf(c->inputs, "%lf V over %lf um", &volts, &micrometres) == 2);
  check_close(volts, BV_PASCHEN_VOLTAGE, 1e-12);
  return bv_mean_field(volts, micrometres * 1e-6) / 1e6;
}

static double paschen_voltage(const published_check *c) {
  (void) c;
  return BV_PASCHEN_VOLTAGE;
}

static double uniform_field(const published_check *c) {
  return bv_breakdown_uniform(leading_number(c) * 1e-2) / 1e3;
}

/* The energy that may be touched just above 15 kV. */
static double touch_energy(const published_check *c) {
  (void) c;
  double volts = 15001;
  return bv_stored_energy(bv_touch_capacitance(volts), volts) * 1e3;
}

static double touch_charge(const published_check *c) {
  (void) c;
  return bv_touch_capacitance(5e3) * 5e3 * 1e6;
}

static double touch_capacitance(const published_check *c) {
  (void) c;
  check_close(bv_touch_capacitance(42.5), bv_touch_capacitance(450), 1e-12);
  return bv_touch_capacitance(450) * 1e6;
}

static double touch_at(const published_check *c) {
  return bv_touch_capacitance(published_input(c, "charged to") * 1e3) * 1e9;
}

static double safe_level(const published_check *c) {
  (void) c;
  check_close(BV_SAFE_PEAK, 35, 1e-12);
  ck_assert_str_eq(bv_energy_class(1, BV_SAFE_DC), "safe");
  ck_assert_str_ne(bv_energy_class(1, BV_SAFE_DC + 0.1), "safe");
  return BV_SAFE_DC;
}

/* The energy at which the class above 400 V becomes hazardous, by bisection. */
static double hazardous_from(const published_check *c) {
  (void) c;
  double lo = 1, hi = 30;
  for (int i = 0; i < 60; i++) {
    double middle = (lo + hi) / 2;
    if (strcmp(bv_energy_class(middle, 401), "hazardous") == 0)
      hi = middle;
    else
      lo = middle;
  }
  ck_assert_str_eq(bv_energy_class(49.9, 401), "hazardous");
  ck_assert_str_eq(bv_energy_class(50, 401), "possibly lethal");
  return hi;
}

static double bleeder(const published_check *c) {
  double level, time;
  ck_assert(sscanf(c->quantity, "bleeder resistance to %lf V in %lf s", &level,
                   &time) == 2);
  double farads = published_input(c, "C") * 1e-6;
  double volts = published_input(c, "V0");
  double ohms = bv_bleeder_resistance(farads, volts, level, time);
  check_close(bv_bleeder_time(farads, ohms, volts, level), time, 1e-12);
  check_close(bv_bleeder_voltage(farads, ohms, volts, time), level, 1e-12);
  return ohms / 1e3;
}

static double capacitor_discharge(const published_check *c) {
  (void) c;
  check_close(bv_capacitor_discharge_time(1000), 180, 1e-12);
  check_close(bv_capacitor_discharge_time(1001), 600, 1e-12);
  return BV_CAPACITOR_SAFE;
}

static const published_kind insulation_kinds[] = {
    {"clearance, inhomogeneous", inhomogeneous, NULL},
    {"clearance, homogeneous", homogeneous, NULL},
    {"creepage distance, pollution degree 2", creepage, NULL},
    {"minimum clearance, basic insulation, PD2", high_frequency, NULL},
    {"secondary-circuit clearance", secondary_circuit, NULL},
    {"altitude correction", altitude, NULL},
    {"mean field at Paschen", paschen_field, NULL},
    {"Paschen minimum", paschen_voltage, NULL},
    {"uniform-field breakdown", uniform_field, NULL},
    {"accessible energy limit", touch_energy, NULL},
    {"accessible charge limit", touch_charge, NULL},
    {"accessible capacitance limit", touch_capacitance, NULL},
    {"largest capacitor allowed", touch_at, NULL},
    {"SELV d.c. limit", safe_level, NULL},
    {"capacitor thresholds", hazardous_from, NULL},
    {"bleeder resistance", bleeder, NULL},
    {"power-capacitor discharge", capacitor_discharge, NULL},
};

START_TEST(insulation_and_safety_are_as_published) {
  published_run("8", insulation_kinds,
                sizeof insulation_kinds / sizeof *insulation_kinds, 40);
}
END_TEST

static double natural_rise(const published_check *c) {
  return bv_thermal_rise(published_input(c, "psi"), 1e-4);
}

static double radiation(const published_check *c) {
  double emissivity, hot, cold;
  ck_assert(sscanf(c->inputs, "emissivity %lf, %lf C to %lf C", &emissivity,
                   &hot, &cold) == 3);
  return bv_thermal_radiation(emissivity, hot, cold);
}

static const published_kind thermal_kinds[] = {
    {"temperature rise", natural_rise, NULL},
    {"radiation heat flux", radiation, NULL},
};

START_TEST(heat_is_as_published) {
  published_run("9", thermal_kinds,
                sizeof thermal_kinds / sizeof *thermal_kinds, 4);
}
END_TEST

/* Thermal resistances of ETD cores, K/W (R. W. Erickson, D. Maksimovic, 3rd ed.
 * 2020, appendix B.4; from memory) with Ae WA of cores_textbook.csv: a sanity
 * range of 30 % for our surface and rise together at 40 K. */
START_TEST(core_resistances_are_near_the_textbook) {
  const struct {
    double area, window, resistance; /* cm2, cm2, K/W */
  } cores[] = {{0.97, 1.23, 19}, {1.74, 2.13, 12}, {2.11, 2.71, 11}};
  for (size_t i = 0; i < sizeof cores / sizeof *cores; i++) {
    double surface = bv_thermal_surface(cores[i].area * cores[i].window * 1e-8);
    double power = bv_thermal_power(40, surface);
    check_close(40 / power, cores[i].resistance, 0.30);
  }
}
END_TEST

/* Rules of the tables themselves. */
START_TEST(distances_interpolate_and_tell_their_source) {
  check_close(bv_clearance_impulse(5500, 1, BV_INHOMOGENEOUS).length, 4.75e-3,
              1e-12);
  check_close(bv_creepage(1125, 2, 3).length, 11.25e-3, 1e-12);
  check_close(bv_creepage(5, 1, 1).length, 0.08e-3, 1e-12);
  check_close(bv_altitude_factor(0), 1, 1e-12);
  /* Polluted air asks for more than dry air at the lowest voltages. */
  check_close(bv_clearance_impulse(330, 1, BV_INHOMOGENEOUS).length, 0.01e-3,
              1e-12);
  check_close(bv_clearance_impulse(330, 2, BV_INHOMOGENEOUS).length, 0.2e-3,
              1e-12);
  check_close(bv_clearance_impulse(330, 3, BV_INHOMOGENEOUS).length, 0.8e-3,
              1e-12);
  ck_assert_int_eq(bv_clearance_impulse(4000, 1, BV_INHOMOGENEOUS).source,
                   BV_SEEN);
  ck_assert_int_eq(bv_clearance_impulse(9e3, 1, BV_INHOMOGENEOUS).source,
                   BV_MEMORY);
  ck_assert_int_eq(bv_clearance_impulse(2e5, 1, BV_INHOMOGENEOUS).source,
                   BV_BEYOND);
  ck_assert_int_eq(bv_creepage(500, 2, 3).source, BV_MEMORY);
  ck_assert_int_eq(bv_creepage(2e4, 2, 3).source, BV_BEYOND);
  check_close(bv_creepage(2e4, 2, 3).length, 0.2, 1e-12);
}
END_TEST

/* IEC 60664-4, from memory: 10 kV/mm of a thin film, 2 kV/mm of a thick wall,
 * and the voltage that it may hold always grows with the thickness. */
START_TEST(solid_insulation_bears_less_field_the_thicker_it_is) {
  check_close(bv_solid_field_high_frequency(0.01e-3), 10e6, 1e-6);
  check_close(bv_solid_field_high_frequency(0.03e-3), 10e6, 1e-6);
  check_close(bv_solid_field_high_frequency(0.1e-3), 4.167e6, 1e-4);
  check_close(bv_solid_field_high_frequency(0.75e-3), 2e6, 1e-6);
  check_close(bv_solid_field_high_frequency(5e-3), 2e6, 1e-6);
  double field = HUGE_VAL, voltage = 0;
  for (double mm = 1e-2; mm < 2; mm *= 1.05) {
    double now = bv_solid_field_high_frequency(mm * 1e-3);
    ck_assert(now <= field && now * mm > voltage);
    field = now;
    voltage = now * mm;
  }
}
END_TEST

/* More voltage, pollution, or height never needs less distance. */
START_TEST(distances_never_fall) {
  double before[4] = {0, 0, 0, 0};
  for (double volts = 10; volts < 2e5; volts *= 1.003) {
    for (int degree = 1; degree <= 3; degree++) {
      double now = bv_clearance_impulse(volts, degree, BV_INHOMOGENEOUS).length;
      ck_assert(now >= before[degree]);
      before[degree] = now;
      ck_assert(now >=
                bv_clearance_impulse(volts, degree, BV_HOMOGENEOUS).length);
      ck_assert(bv_creepage(volts, degree, 3).length >=
                bv_creepage(volts, degree, 1).length);
    }
    ck_assert(bv_creepage(volts, 2, 1).length >=
              bv_creepage(volts, 1, 1).length);
    ck_assert(bv_creepage(volts, 3, 3).length >=
              bv_creepage(volts, 2, 3).length);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      insulation_and_safety_are_as_published,
      heat_is_as_published,
      core_resistances_are_near_the_textbook,
      distances_interpolate_and_tell_their_source,
      solid_insulation_bears_less_field_the_thicker_it_is,
      distances_never_fall,
      NULL};
  return check_main("published/insulation", tests);
}
