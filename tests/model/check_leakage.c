/* SPDX-License-Identifier: MIT */
/* Leakage and winding capacitance against the energy of the field they stand
 * for, added up in thin slices. */
#include "model/leakage.h"

#include <stdbool.h>

#include "base/constants.h"
#include "check_main.h"
#include "model/capacitance.h"

static const double turns = 24, turn = 60e-3, width = 18e-3;

/* A piece of the build: height and what the MMF changes by in it. */
typedef struct piece {
  double height, change;
} piece;

/* Twice the energy of 1 A: mu0 MLT/b times the integral of MMF² over the
 * build. */
static double field_inductance(const piece *pieces, size_t count) {
  double mmf = 0, sum = 0;
  enum { SLICES = 4000 };
  for (size_t i = 0; i < count; i++)
    for (int k = 0; k < SLICES; k++) {
      double middle = mmf + pieces[i].change / SLICES / 2;
      sum += middle * middle * pieces[i].height / SLICES;
      mmf += pieces[i].change / SLICES;
    }
  return BV_MU0 * turn / width * sum;
}

START_TEST(leakage_is_the_energy_between_the_windings) {
  const piece plain[] = {{1e-3, 24}, {0.4e-3, 0}, {2e-3, -24}};
  bv_leakage_path path = {turns, turn, width, 3e-3, 0.4e-3, 1};
  check_close(bv_leakage(&path), field_inductance(plain, 3), 1e-6);
  const piece split[] = {
      {0.5e-3, 12}, {0.4e-3, 0}, {2e-3, -24}, {0.4e-3, 0}, {0.5e-3, 12}};
  path = (bv_leakage_path){turns, turn, width, 3e-3, 0.8e-3, 2};
  check_close(bv_leakage(&path), field_inductance(split, 5), 1e-6);
}
END_TEST

/* Bent field lines are longer, so there is less; with a thin build the same. */
START_TEST(bent_ends_lower_the_leakage) {
  bv_leakage_path path = {turns, turn, width, 3e-3, 0.4e-3, 1};
  double ratio = bv_leakage_rogowski(&path) / bv_leakage(&path);
  check_close(ratio, 1 - 3.4e-3 / (BV_PI * width), 1e-6);
  path.copper = path.space = 1e-6;
  check_close(bv_leakage_rogowski(&path), bv_leakage(&path), 1e-4);
}
END_TEST

enum { STEPS = 2000 };

/* Energy of the layers' voltage differences for 1 V over the winding. */
static double winding_energy(double between, int layers, bv_layer_return way) {
  double sum = 0, share = 1.0 / layers;
  for (int layer = 0; layer + 1 < layers; layer++)
    for (int k = 0; k < STEPS; k++) {
      double x = (k + 0.5) / STEPS;
      bool back = way == BV_FOLDED && layer % 2 == 1;
      double low = share * (layer + (back ? 1 - x : x));
      double high =
          share * (layer + 1 + (way == BV_FOLDED ? (back ? x : 1 - x) : x));
      sum += between / STEPS * (high - low) * (high - low);
    }
  return sum;
}

START_TEST(winding_capacitance_is_the_energy_between_layers) {
  for (int layers = 1; layers < 9; layers++)
    for (int way = BV_FOLDED; way <= BV_LED_BACK; way++) {
      double c =
          bv_capacitance_winding(50e-12, layers, (bv_layer_return) way, 1);
      double energy = winding_energy(50e-12, layers, (bv_layer_return) way);
      ck_assert_double_le(fabs(c - energy), 1e-6 * energy);
    }
}
END_TEST

/* Three chambers in series, each with a third of the width and the voltage. */
START_TEST(chambers_divide_the_capacitance) {
  double one = bv_capacitance_winding(50e-12 / 3, 5, BV_FOLDED, 1);
  check_close(bv_capacitance_winding(50e-12, 5, BV_FOLDED, 3), 3 * one / 9,
              1e-12);
}
END_TEST

/* Chambers follow each other, each wound from the floor up. */
START_TEST(capacitance_to_a_body_is_the_energy_of_the_outer_layers) {
  for (int layers = 1; layers < 9; layers++)
    for (int chambers = 1; chambers < 6; chambers++) {
      double first = 0, last = 0, share = 1.0 / layers;
      double part = 80e-12 / STEPS / chambers;
      for (int before = 0; before < chambers; before++)
        for (int k = 0; k < STEPS; k++) {
          double x = share * (k + 0.5) / STEPS;
          double low = (before + x) / chambers;
          double high = (before + 1 - x) / chambers;
          first += part * low * low;
          last += part * high * high;
        }
      check_close(bv_capacitance_first_layer(80e-12, layers, chambers), first,
                  1e-6);
      check_close(bv_capacitance_last_layer(80e-12, layers, chambers), last,
                  1e-6);
    }
}
END_TEST

/* Two sections, each begun at the same flange; their starts rest. Single layers
 * swing alike: the diode-split windings of picture tubes (facts of the trade).
 */
START_TEST(capacitance_of_sections_is_the_energy_of_their_difference) {
  ck_assert_double_lt(bv_capacitance_sections(80e-12, 1), 1e-18);
  ck_assert_double_lt(bv_capacitance_sections(80e-12, 0.3), 1e-18);
  for (int layers = 2; layers < 9; layers++) {
    double sum = 0, share = 1.0 / layers;
    for (int k = 0; k < STEPS; k++) {
      double x = (k + 0.5) / STEPS, up = layers % 2 ? x : 1 - x;
      double below = 1 - share + share * up, above = share * x;
      sum += 80e-12 / STEPS * (below - above) * (below - above);
    }
    check_close(bv_capacitance_sections(80e-12, layers), sum, 1e-6);
  }
}
END_TEST

/* Neighbouring chambers are everywhere one chamber's voltage apart. */
START_TEST(walls_hold_a_chambers_voltage) {
  check_close(bv_capacitance_walls(8e-12, 4), 3 * 8e-12 / 16, 1e-12);
  ck_assert_double_eq(bv_capacitance_walls(8e-12, 1), 0);
}
END_TEST

START_TEST(plates_are_plates) {
  /* 1 cm² at 0.1 mm of a dielectric of 3: 26.6 pF. */
  check_close(bv_capacitance_plates(10e-3, 10e-3, 0.1e-3, 3), 26.56e-12, 1e-3);
  check_close(bv_capacitance_distance(0.6e-3, 0.4e-3, 0.5e-3), 0.27e-3, 1e-9);
  ck_assert_double_ge(bv_capacitance_distance(0.5e-3, 0.45e-3, 0.46e-3),
                      0.05e-3);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      leakage_is_the_energy_between_the_windings,
      bent_ends_lower_the_leakage,
      winding_capacitance_is_the_energy_between_layers,
      chambers_divide_the_capacitance,
      capacitance_to_a_body_is_the_energy_of_the_outer_layers,
      capacitance_of_sections_is_the_energy_of_their_difference,
      walls_hold_a_chambers_voltage,
      plates_are_plates,
      NULL};
  return check_main("model/leakage", tests);
}
