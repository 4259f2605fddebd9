/* SPDX-License-Identifier: MIT */
/* Areas 3 and 5: core loss; and the measured losses of loss_data.csv. */
#include "base/constants.h"
#include "model/coreloss.h"
#include "published.h"

static double textbook_steinmetz(const published_check *c) {
  bv_steinmetz fit = {published_input(c, "Kc"), published_input(c, "alpha"),
                      published_input(c, "beta")};
  /* "…, 100 kHz, 0.1 T amplitude" */
  const char *comma = strchr(c->inputs, ',');
  double kilohertz, amplitude;
  ck_assert(comma &&
            sscanf(comma, ", %lf kHz, %lf T", &kilohertz, &amplitude) == 2);
  return bv_core_loss_sine(&fit, kilohertz * 1e3, amplitude) / 1e3;
}

static double permeability(const published_check *c) {
  const char *at = published_after(c->inputs, "mu");
  double real, imaginary;
  ck_assert(at && sscanf(at, "%lf - j%lf", &real, &imaginary) == 2);
  return bv_core_loss_permeability(published_input(c, "f"),
                                   published_input(c, "B"), real, imaginary) /
         1e3;
}

static const char *const classes = "a class of the standard, in the catalogue";

static const published_kind material_kinds[] = {
    {"Steinmetz loss", textbook_steinmetz, NULL},
    {"sinusoidal loss density", permeability, NULL},
    {"performance factor", NULL, classes},
    {"minimum amplitude permeability", NULL, classes},
    {"flux density of the PW", NULL, classes},
    {"loss limit of class", NULL, classes},
    {"B at H", NULL, "a catalogue's value, not a function"},
};

START_TEST(material_losses_are_as_published) {
  published_run("3", material_kinds,
                sizeof material_kinds / sizeof *material_kinds, 6);
}
END_TEST

static double triangle(const published_check *c) {
  bv_steinmetz fit = {3, published_input_or(c, "alpha", 2),
                      published_input_or(c, "beta", 2)};
  return bv_core_loss_triangle(&fit, 80e3, 2 * 0.1, published_input(c, "D")) /
         bv_core_loss_sine(&fit, 80e3, 0.1);
}

/* Against the gamma function of the C library. */
START_TEST(cosine_integral_meets_the_gamma_function) {
  for (double alpha = -0.5; alpha <= 5; alpha += 0.01) {
    double gamma =
        2 * sqrt(BV_PI) * tgamma((alpha + 1) / 2) / tgamma(alpha / 2 + 1);
    check_close(bv_core_loss_cosine(alpha), gamma, 5e-12);
  }
}
END_TEST

static double cosine(const published_check *c) {
  return bv_core_loss_cosine(published_input(c, "alpha"));
}

static const published_kind waveform_kinds[] = {
    {"loss ratio triangle/sine", triangle, NULL},
    {"limit alpha=beta=2", triangle, NULL},
    {"integral of |cos|^alpha", cosine, NULL},
};

START_TEST(triangle_losses_are_as_published) {
  published_run("5", waveform_kinds,
                sizeof waveform_kinds / sizeof *waveform_kinds, 7);
}
END_TEST

/* The general form on the corners of a triangle; a flat part adds no loss. */
START_TEST(corners_of_a_triangle_give_its_loss) {
  const bv_steinmetz fit = {0.4, 1.6, 2.5};
  const double times[] = {0, 3e-6, 4e-6, 9e-6, 10e-6};
  const double flux[] = {0.05, 0.25, 0.25, 0.05, 0.05};
  double density = bv_core_loss_linear(&fit, times, flux, 5);
  double ki = bv_core_loss_ki(&fit);
  check_close(density, bv_core_loss_cycle(ki, &fit, 0.2, 3e-6, 5e-6), 1e-12);
  const double two[] = {0, 3e-6, 10e-6}, back[] = {-0.1, 0.1, -0.1};
  check_close(bv_core_loss_linear(&fit, two, back, 3) / 10e-6,
              bv_core_loss_triangle(&fit, 100e3, 0.2, 0.3), 1e-12);
}
END_TEST

START_TEST(temperature_law_is_a_parabola_about_the_reference) {
  check_close(bv_core_loss_temperature(-2e-3, 8e-5, 100, 100), 1, 1e-12);
  check_close(bv_core_loss_temperature(-2e-3, 8e-5, 100, 50), 1.3, 1e-12);
  check_close(bv_core_loss_temperature(2e-2, 0, 100, 0), 0.1, 1e-12);
}
END_TEST

/* Cycle by cycle: a charge at constant peak current, whose off-time falls as
 * the voltage rises; each cycle adds the same energy. */
START_TEST(mean_cycle_of_a_charge_is_the_mean_over_its_cycles) {
  const bv_steinmetz fit = {0.4, 1.6, 2.5};
  const double rise = 5e-6, fall_end = 2e-6, start = 0.3;
  double ki = bv_core_loss_ki(&fit), sum = 0;
  enum { CYCLES = 20000 };
  for (int i = 0; i < CYCLES; i++) {
    double square = start * start + (1 - start * start) * (i + 0.5) / CYCLES;
    sum += bv_core_loss_cycle(ki, &fit, 0.25, rise, fall_end / sqrt(square));
  }
  check_close(bv_core_loss_charge(ki, &fit, 0.25, rise, fall_end, start),
              sum / CYCLES, 1e-6);
}
END_TEST

/* Least squares of ln P = c0 + alpha ln f + beta ln B + c3 t + c4 t², t =
 * (T - 60)/40, over a sample's sine rows, by normal equations. */
enum { TERMS = 5 };

static void regressors(const bv_csv *csv, size_t row, double *x) {
  double t = (published_number(csv, row, "temperature_C") - 60) / 40;
  x[0] = 1;
  x[1] = log(published_number(csv, row, "frequency_Hz"));
  x[2] = log(published_number(csv, row, "flux_density_amplitude_T"));
  x[3] = t;
  x[4] = t * t;
}

static double measured(const bv_csv *csv, size_t row) {
  return published_number(csv, row, "loss_density_W_per_m3");
}

static bool is_row(const bv_csv *csv, size_t row, const char *sample,
                   const char *waveform) {
  return strcmp(published_text(csv, row, "sample"), sample) == 0 &&
         strcmp(published_text(csv, row, "waveform"), waveform) == 0;
}

static void eliminate(double m[TERMS][TERMS + 1]) {
  for (int i = 0; i < TERMS; i++)
    for (int row = 0; row < TERMS; row++) {
      double factor = row == i ? 0 : m[row][i] / m[i][i];
      for (int j = 0; j <= TERMS; j++)
        m[row][j] -= factor * m[i][j];
    }
}

static size_t fit_sines(const bv_csv *csv, const char *sample, double *c) {
  double m[TERMS][TERMS + 1] = {{0}};
  size_t rows = 0;
  for (size_t row = 1; row < csv->rows; row++) {
    if (!is_row(csv, row, sample, "sine"))
      continue;
    double x[TERMS + 1];
    regressors(csv, row, x);
    x[TERMS] = log(measured(csv, row));
    for (int i = 0; i < TERMS; i++)
      for (int j = 0; j <= TERMS; j++)
        m[i][j] += x[i] * x[j];
    rows++;
  }
  eliminate(m);
  for (int i = 0; i < TERMS; i++)
    c[i] = m[i][TERMS] / m[i][i];
  return rows;
}

static double predict(const bv_csv *csv, size_t row, const double *c) {
  double x[TERMS];
  regressors(csv, row, x);
  bv_steinmetz fit = {exp(c[0] + c[3] * x[3] + c[4] * x[4]), c[1], c[2]};
  return bv_core_loss_triangle(
      &fit, published_number(csv, row, "frequency_Hz"),
      2 * published_number(csv, row, "flux_density_amplitude_T"),
      published_number(csv, row, "duty_rise"));
}

static int rising(const void *a, const void *b) {
  double x = *(const double *) a, y = *(const double *) b;
  return (x > y) - (x < y);
}

/* Fitted to the sine rows of a sample (50 … 200 kHz, 0.01 … 0.25 T, 25 … 90
 * degC), iGSE predicts its triangular rows of 0.3 <= D <= 0.7. Measured on the
 * rows here: sample B median error 10 %, largest 32 %, C 8 % and 21 %. The
 * largest are at 159 and 200 kHz and above 0.15 T, where a single power law
 * bends away from the sines too. The other samples are less of a power law. */
START_TEST(measured_triangles_follow_from_measured_sines) {
  static const char *const samples[] = {"B", "C"};
  bv_csv csv = published_read("loss_data.csv");
  for (int s = 0; s < 2; s++) {
    double c[TERMS], errors[256];
    size_t count = 0;
    ck_assert_uint_ge(fit_sines(&csv, samples[s], c), 27);
    for (size_t row = 1; row < csv.rows && count < 256; row++) {
      if (!is_row(&csv, row, samples[s], "triangular"))
        continue;
      double duty = published_number(&csv, row, "duty_rise");
      if (duty < 0.3 - 1e-9 || duty > 0.7 + 1e-9)
        continue;
      double ratio = predict(&csv, row, c) / measured(&csv, row);
      ck_assert_msg(fabs(ratio - 1) < 0.35, "%s, row %zu: ratio %g", samples[s],
                    row, ratio);
      errors[count++] = fabs(ratio - 1);
    }
    ck_assert_uint_ge(count, 11);
    qsort(errors, count, sizeof *errors, rising);
    ck_assert_msg(errors[count / 2] < 0.12, "%s: median error %g", samples[s],
                  errors[count / 2]);
  }
  bv_csv_free(&csv);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      material_losses_are_as_published,
      triangle_losses_are_as_published,
      corners_of_a_triangle_give_its_loss,
      temperature_law_is_a_parabola_about_the_reference,
      mean_cycle_of_a_charge_is_the_mean_over_its_cycles,
      measured_triangles_follow_from_measured_sines,
      cosine_integral_meets_the_gamma_function,
      NULL};
  return check_main("published/core_loss", tests);
}
