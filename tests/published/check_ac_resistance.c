/* SPDX-License-Identifier: MIT */
/* Area 4: ac resistance of foils, round and stranded wire. */
#include "base/constants.h"
#include "model/acresistance.h"
#include "published.h"

static double dowell(const published_check *c) {
  return bv_ac_dowell(published_input(c, "delta"), published_input(c, "p"));
}

static double dowell_xi(const published_check *c) {
  return bv_ac_dowell(published_input(c, "xi"), published_input(c, "p"));
}

static double optimum(const published_check *c) {
  return bv_ac_optimum_phi(published_input(c, "p"));
}

/* Golden section: the phi at which phi G1(phi) times the falling dc resistance
 * 1/phi, that is G1, is least. */
static double single_layer_optimum(const published_check *c) {
  (void) c;
  const double ratio = (sqrt(5) - 1) / 2;
  double lo = 1, hi = 2.5;
  while (hi - lo > 1e-7) {
    double a = hi - ratio * (hi - lo), b = lo + ratio * (hi - lo);
    if (bv_ac_g1(a) < bv_ac_g1(b))
      hi = b;
    else
      lo = a;
  }
  return (lo + hi) / 2;
}

/* Eq. (10.87) from G1 and G2; must also be the Dowell form. */
static double g_form(const published_check *c) {
  double phi = published_input(c, "phi"), m = published_input(c, "M");
  double ratio =
      phi * (bv_ac_g1(phi) +
             2.0 / 3 * (m * m - 1) * (bv_ac_g1(phi) - 2 * bv_ac_g2(phi)));
  check_close(bv_ac_dowell(phi, m), ratio, 1e-12);
  return ratio;
}

static double layer(const published_check *c) {
  return bv_ac_layer(published_input(c, "phi"), published_input(c, "m"));
}

static double round_phi(const published_check *c) {
  double d = published_input(c, "d"), delta = published_input(c, "delta");
  double pitch = d / published_input_or(c, "n/l", 0);
  if (!isfinite(pitch))
    pitch = published_input(c, "pitch");
  return bv_ac_round_phi(d, pitch, delta);
}

/* The tables' argument is x = sqrt(2) r/delta, or r/delta itself. */
static double round_wire(const published_check *c) {
  double ratio = published_input_or(c, "delta", 0);
  if (ratio == 0)
    ratio = published_input(c, "x") / sqrt(2);
  return bv_ac_round_wire(ratio);
}

static const published_kind kinds[] = {
    {"Dowell factor", dowell, NULL},
    {"low-frequency series", dowell_xi, NULL},
    {"high-frequency asymptote", dowell_xi, NULL},
    {"optimum foil xi", optimum, NULL},
    {"foil thickness of least loss", single_layer_optimum, NULL},
    {"F_R by the G1,G2 form", g_form, NULL},
    {"single-layer loss factor", layer, NULL},
    {"xi of round wire", round_phi, NULL},
    {"single round wire", round_wire, NULL},
};

START_TEST(ac_resistance_is_as_published) {
  published_run("4", kinds, sizeof kinds / sizeof *kinds, 29);
}
END_TEST

/* C. R. Sullivan, "Optimal choice for number of strands in a litz-wire
 * transformer winding", IEEE Trans. Power Electron. 14(2), 1999, eq. (1), from
 * memory: FR = 1 + pi² w² mu0² N² n² d^6 k/(768 rho² b²), k = 1, for strands
 * thinner than the skin depth. */
START_TEST(stranded_wire_has_the_published_low_frequency_form) {
  const double rho = 2e-8, width = 20e-3, d = 0.05e-3, strands = 60;
  const double turns = 40, layers = 4, f = 100e3, w = 2 * BV_PI * f;
  double pitch = width / (turns / layers);
  double delta = sqrt(rho / (BV_PI * f * BV_MU0));
  double form =
      pow(BV_PI * w * BV_MU0 * turns * strands * d * d * d / width, 2);
  form /= 768 * rho * rho;
  double ours = bv_ac_stranded(d, strands, pitch, delta, layers) - 1;
  /* 1/(4 p² n) is the end of the first layers the form leaves out. */
  check_close(ours, form, 1e-3);
}
END_TEST

/* Ferreira's round wire and Dowell's square one differ at low frequency by 3/pi
 * exactly (many layers), the known few per cent. */
START_TEST(round_and_foil_forms_agree_at_low_frequency) {
  const double d = 0.5e-3, pitch = 0.6e-3, delta = 5e-3, layers = 50;
  double foil = bv_ac_dowell(bv_ac_round_phi(d, pitch, delta), layers) - 1;
  double round = bv_ac_round(d, pitch, delta, layers) - 1;
  check_close(round / foil, 3 / BV_PI, 1e-3);
}
END_TEST

/* Kelvin functions of an order by their power series (M. Abramowitz, I. Stegun,
 * 9.9.9). */
static void kelvin(double x, int order, double *ber, double *bei) {
  *ber = *bei = 0;
  double term = pow(x / 2, order) / tgamma(order + 1);
  for (int k = 0; k < 60; k++) {
    double angle = (0.75 * order + 0.5 * k) * BV_PI;
    *ber += term * cos(angle);
    *bei += term * sin(angle);
    term *= x * x / 4 / ((k + 1.0) * (k + 1.0 + order));
  }
}

/* J. A. Ferreira, IEEE Trans. Power Electron. 9(1), 1994, for round wire of
 * gamma = sqrt(2) r/delta and porosity eta = sqrt(pi)/2 d/pitch, formula from
 * memory: FR = gamma/2 [(ber bei' - bei ber')/(ber'² + bei'²) - 2 pi eta²
 * (4(p² - 1)/3 + 1) (ber2 ber' + bei2 bei')/(ber² + bei²)]. */
static double ferreira(double gamma, double eta, double layers) {
  double ber, bei, ber1, bei1, ber2, bei2;
  kelvin(gamma, 0, &ber, &bei);
  kelvin(gamma, 1, &ber1, &bei1);
  kelvin(gamma, 2, &ber2, &bei2);
  double dber = (ber1 + bei1) / sqrt(2), dbei = (bei1 - ber1) / sqrt(2);
  double skin = (ber * dbei - bei * dber) / (dber * dber + dbei * dbei);
  double field = (ber2 * dber + bei2 * dbei) / (ber * ber + bei * bei);
  double stack = 4 * (layers * layers - 1) / 3 + 1;
  return gamma / 2 * (skin - 2 * BV_PI * eta * eta * stack * field);
}

START_TEST(round_wire_form_is_ferreiras) {
  const double d = 1e-3, pitch = 1.5e-3;
  for (double gamma = 0.5; gamma < 8; gamma += 0.5)
    for (int layers = 1; layers < 9; layers += 3)
      check_close(bv_ac_round(d, pitch, d / sqrt(2) / gamma, layers),
                  ferreira(gamma, sqrt(BV_PI) / 2 * d / pitch, layers), 1e-9);
}
END_TEST

/* Dowell's p layers are layers of Erickson's, one above the other. */
START_TEST(layers_add_up_to_the_winding) {
  for (double phi = 0.2; phi < 6; phi *= 1.5) {
    double sum = 0;
    for (int m = 1; m <= 7; m++)
      sum += bv_ac_layer(phi, m);
    check_close(sum / 7, bv_ac_dowell(phi, 7), 1e-12);
  }
}
END_TEST

START_TEST(thick_wire_follows_without_a_step) {
  check_close(bv_ac_round_wire(50 + 1e-9), bv_ac_round_wire(50 - 1e-9), 1e-9);
  check_close(bv_ac_round(1, 1.2, 0.5 / (50 + 1e-9), 3),
              bv_ac_round(1, 1.2, 0.5 / (50 - 1e-9), 3), 1e-9);
  /* (x + 1/2 + 3/(8 x))/2 for thick wire: a ring of one skin depth. */
  check_close(bv_ac_round_wire(1000), 500.25, 1e-6);
}
END_TEST

static double square_law(double skin_depth, const void *unit) {
  double x = *(const double *) unit / skin_depth;
  return 1 + x * x;
}

/* 1 A of dc and sines of 2 A and 1 A: 1 + 2 * 2 + 0.5 * 3 over 1 + 2 + 0.5. */
START_TEST(harmonics_are_weighted_by_their_squares) {
  const double amplitudes[] = {2, 1}, unit = 1e-3;
  check_close(bv_ac_harmonic_ratio(square_law, &unit, 1e-3, 1, amplitudes, 2),
              6.5 / 3.5, 1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      ac_resistance_is_as_published,
      stranded_wire_has_the_published_low_frequency_form,
      round_and_foil_forms_agree_at_low_frequency,
      round_wire_form_is_ferreiras,
      layers_add_up_to_the_winding,
      thick_wire_follows_without_a_step,
      harmonics_are_weighted_by_their_squares,
      NULL};
  return check_main("published/ac_resistance", tests);
}
