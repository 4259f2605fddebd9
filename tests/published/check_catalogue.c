/* SPDX-License-Identifier: MIT */
/* The shipped catalogues: that they read, their order, and their figures
 * against published ones. Data files name the source of each row. */
#include "table/catalogue.h"

#include "model/part.h"
#include "published.h"

/* Reads lib/catalogue/name.csv into rows of type; the test owns them. */
#define shipped(name, type)                                                    \
  read_shipped("lib/catalogue/" name ".csv", bv_##type##_fields,               \
               sizeof(bv_##type))

static bv_rows read_shipped(const char *name, bv_fields fields, size_t size) {
  const char *root = getenv("ROOT");
  char path[1024];
  bv_rows rows;
  bv_error error = {0};
  snprintf(path, sizeof path, "%s/%s", root ? root : ".", name);
  ck_assert_msg(bv_catalogue_read(path, fields, size, &rows, &error) == BV_OK,
                "%s", error.text);
  ck_assert_uint_ge(rows.count, 5);
  return rows;
}

static const bv_core *core_of(const bv_rows *rows, const char *name) {
  const bv_core *cores = rows->data;
  for (size_t i = 0; i < rows->count; i++)
    if (strcmp(cores[i].name, name) == 0)
      return &cores[i];
  ck_abort_msg("no core %s", name);
}

START_TEST(switches_and_diodes_rise_with_rating) {
  bv_rows rows = shipped("switches", switch);
  const bv_switch *s = rows.data;
  for (size_t i = 1; i < rows.count; i++)
    ck_assert_msg(s[i].voltage_rating > s[i - 1].voltage_rating ||
                      (s[i].voltage_rating == s[i - 1].voltage_rating &&
                       s[i].on_resistance < s[i - 1].on_resistance &&
                       s[i].current_rating > s[i - 1].current_rating &&
                       s[i].output_capacitance > s[i - 1].output_capacitance &&
                       s[i].gate_charge > s[i - 1].gate_charge),
                  "%s", s[i].name);
  ck_assert(s[0].voltage_rating <= 60);
  ck_assert(s[rows.count - 1].voltage_rating >= 1200);
  bv_catalogue_free(&rows);
  rows = shipped("diodes", diode);
  const bv_diode *d = rows.data;
  for (size_t i = 1; i < rows.count; i++)
    ck_assert_msg(d[i].voltage_rating > d[i - 1].voltage_rating ||
                      (d[i].voltage_rating == d[i - 1].voltage_rating &&
                       d[i].current_rating > d[i - 1].current_rating),
                  "%s", d[i].name);
  ck_assert(d[0].voltage_rating <= 400);
  ck_assert(d[rows.count - 1].voltage_rating >= 5000);
  bv_catalogue_free(&rows);
}
END_TEST

/* Common practice: film capacitors hold some 0.05 to 0.5 J/cm3, electrolytic
 * ones up to 2 J/cm3. */
START_TEST(capacitors_rise_and_hold_what_their_kind_holds) {
  bv_rows rows = shipped("capacitors", storage);
  const bv_storage *c = rows.data;
  for (size_t i = 0; i < rows.count; i++) {
    double energy =
        c[i].capacitance * c[i].voltage_rating * c[i].voltage_rating / 2;
    double most = strstr(c[i].name, "electrolytic") ? 2e6 : 0.5e6;
    ck_assert_msg(energy / c[i].volume > 0.05e6 && energy / c[i].volume < most,
                  "%s: %g J/m3", c[i].name, energy / c[i].volume);
    ck_assert_msg(i == 0 || c[i].voltage_rating > c[i - 1].voltage_rating ||
                      (c[i].voltage_rating == c[i - 1].voltage_rating &&
                       c[i].capacitance > c[i - 1].capacitance),
                  "%s", c[i].name);
  }
  bv_catalogue_free(&rows);
}
END_TEST

START_TEST(cores_rise_with_volume_and_are_consistent) {
  bv_rows rows = shipped("cores", core);
  const bv_core *c = rows.data;
  for (size_t i = 0; i < rows.count; i++) {
    ck_assert_msg(i == 0 || c[i].effective_volume >= c[i - 1].effective_volume,
                  "%s", c[i].name);
    /* IEC 60205: Ve = Ae le; published values are rounded. */
    check_close(c[i].effective_volume,
                c[i].effective_area * c[i].effective_length, 0.01);
    ck_assert_msg(c[i].minimum_area <= 1.001 * c[i].effective_area, "%s",
                  c[i].name);
    ck_assert_msg((c[i].winding_area > 0) == (c[i].mean_turn_length > 0), "%s",
                  c[i].name);
    /* Sintered MnZn ferrite has 4.7 … 4.9 g/cm3 (handbook value); effective
     * volumes leave out corners and parts of back walls. */
    double density = c[i].mass / c[i].effective_volume;
    ck_assert_msg(c[i].mass == 0 || (density > 4200 && density < 6600),
                  "%s: %g kg/m3", c[i].name, density);
    if (c[i].winding_width > 0)
      ck_assert_msg(c[i].winding_area / c[i].winding_width <
                        c[i].winding_width * 1.5,
                    "%s", c[i].name);
  }
  bv_catalogue_free(&rows);
}
END_TEST

static void check_quantity(const bv_core *core, const char *column,
                           double result, double published) {
  if (!isnan(published) || result != 0)
    ck_assert_msg(fabs(result - published) <= 1e-3 * published,
                  "%s %s: published %g, found %g", core->name, column,
                  published, result);
}

START_TEST(cores_are_those_of_the_data_file) {
  bv_rows rows = shipped("cores", core);
  bv_csv csv = published_read("cores.csv");
  for (size_t r = 1; r < csv.rows; r++) {
    const bv_core *core = core_of(&rows, published_text(&csv, r, "core"));
    check_quantity(core, "Ae", core->effective_area * 1e6,
                   published_number(&csv, r, "Ae_mm2"));
    check_quantity(core, "le", core->effective_length * 1e3,
                   published_number(&csv, r, "le_mm"));
    check_quantity(core, "Ve", core->effective_volume * 1e9,
                   published_number(&csv, r, "Ve_mm3"));
    check_quantity(core, "Amin", core->minimum_area * 1e6,
                   published_number(&csv, r, "Amin_mm2"));
    check_quantity(core, "winding area", core->winding_area * 1e6,
                   published_number(&csv, r, "winding_area_mm2"));
    check_quantity(core, "turn", core->mean_turn_length * 1e3,
                   published_number(&csv, r, "MLT_mm"));
  }
  bv_csv_free(&csv);
  bv_catalogue_free(&rows);
}
END_TEST

/* Names of the book that aren't a catalogue name once a blank is put in. */
static const char *const book_names[][2] = {
    {"704", "P 7/4"},         {"1107", "P 11/7"},
    {"1408", "P 14/8"},       {"2213", "P 22/13"},
    {"2616", "P 26/16"},      {"3622", "P 36/22"},
    {"4229", "P 42/29"},      {"ETD29", "ETD29/16/10"},
    {"ETD34", "ETD34/17/11"}, {"ETD44", "ETD44/22/15"},
    {"ETD49", "ETD49/25/16"}};

static const bv_core *core_of_book(const bv_rows *rows, const char *book) {
  for (size_t i = 0; i < sizeof book_names / sizeof *book_names; i++)
    if (strcmp(book_names[i][0], book) == 0)
      return core_of(rows, book_names[i][1]);
  char name[32];
  snprintf(name, sizeof name, "%.2s %s", book, book + 2);
  return core_of(rows, name);
}

/* Erickson and Maksimovic 2020, appendix B: the geometrical constant
 * Kg = Ac^2 WA / MLT of every core of the book. */
START_TEST(geometrical_constants_are_those_of_the_book) {
  bv_rows rows = shipped("cores", core);
  bv_csv csv = published_read("cores_textbook.csv");
  for (size_t r = 1; r < csv.rows; r++) {
    const bv_core *core = core_of_book(&rows, published_text(&csv, r, "core"));
    double constant = core->effective_area * core->effective_area *
                      core->winding_area / core->mean_turn_length * 1e10;
    check_close(constant, published_number(&csv, r, "Kg_cm5"), 0.04);
    check_close(core->effective_area * 1e4, published_number(&csv, r, "Ac_cm2"),
                0.02);
    check_close(core->effective_length * 1e2,
                published_number(&csv, r, "lm_cm"), 0.02);
    check_close(core->mean_turn_length * 1e2,
                published_number(&csv, r, "MLT_cm"), 0.02);
  }
  bv_csv_free(&csv);
  bv_catalogue_free(&rows);
}
END_TEST

/* C. W. T. McLyman, Transformer and Inductor Design Handbook, table of ETD
 * cores, surface areas in cm2; from memory. */
START_TEST(surfaces_are_near_the_handbook) {
  static const struct {
    const char *name;
    double area;
  } book[] = {{"ETD29/16/10", 42.5}, {"ETD34/17/11", 53.4},
              {"ETD39/20/13", 69.9}, {"ETD44/22/15", 87.9},
              {"ETD49/25/16", 107},  {"ETD54/28/19", 133},
              {"ETD59/31/22", 163}};
  bv_rows rows = shipped("cores", core);
  for (size_t i = 0; i < sizeof book / sizeof *book; i++)
    check_close(core_of(&rows, book[i].name)->surface_area * 1e4, book[i].area,
                0.05);
  bv_catalogue_free(&rows);
}
END_TEST

static const bv_wire *wire_of(const bv_rows *rows, const char *name) {
  const bv_wire *wires = rows->data;
  for (size_t i = 0; i < rows->count; i++)
    if (strcmp(wires[i].name, name) == 0)
      return &wires[i];
  return NULL;
}

static double copper(const bv_wire *wire) {
  return wire->strands * wire->bare_diameter * wire->bare_diameter;
}

START_TEST(wires_rise_and_have_room_for_their_copper) {
  bv_rows rows = shipped("wires", wire);
  const bv_wire *w = rows.data;
  for (size_t i = 0; i < rows.count; i++) {
    ck_assert_msg(i == 0 || copper(&w[i]) >= copper(&w[i - 1]), "%s",
                  w[i].name);
    /* Circles fill at most pi/sqrt(12) of a plane (Thue). */
    double share =
        copper(&w[i]) / w[i].insulated_diameter / w[i].insulated_diameter;
    ck_assert_msg(share < (w[i].strands > 1 ? 0.9069 : 1), "%s: %g", w[i].name,
                  share);
    ck_assert_msg(share > 0.3, "%s: %g", w[i].name, share);
  }
  bv_catalogue_free(&rows);
}
END_TEST

/* ASTM B258: 0.005 inch times 92^((36 - n) / 39). */
START_TEST(gauges_follow_their_formula) {
  bv_rows rows = shipped("wires", wire);
  double above = 1;
  for (int gauge = 10; gauge <= 44; gauge++) {
    char name[16];
    snprintf(name, sizeof name, "AWG %d", gauge);
    const bv_wire *wire = wire_of(&rows, name);
    ck_assert_msg(wire != NULL, "%s", name);
    check_close(wire->bare_diameter, 0.127e-3 * pow(92, (36 - gauge) / 39.0),
                5e-5);
    ck_assert_msg(wire->insulated_diameter < above, "%s", name);
    above = wire->insulated_diameter;
  }
  bv_catalogue_free(&rows);
}
END_TEST

START_TEST(wires_are_those_of_the_data_file) {
  bv_rows rows = shipped("wires", wire);
  bv_csv csv = published_read("wire.csv");
  for (size_t r = 1; r < csv.rows; r++) {
    const bv_wire *wire =
        wire_of(&rows, published_text(&csv, r, "designation"));
    ck_assert_msg(wire != NULL, "%s", published_text(&csv, r, "designation"));
    check_close(wire->bare_diameter * 1e3,
                published_number(&csv, r, "bare_diameter_mm"), 1e-4);
    double overall = published_number(&csv, r, "max_overall_grade2_mm");
    if (!isnan(overall))
      check_close(wire->insulated_diameter * 1e3, overall, 1e-4);
  }
  bv_csv_free(&csv);
  bv_catalogue_free(&rows);
}
END_TEST

static double steinmetz(const bv_material *m, double frequency, double flux,
                        double temperature) {
  double dt = temperature - m->reference_temperature;
  return m->steinmetz_k * pow(frequency, m->steinmetz_alpha) *
         pow(flux, m->steinmetz_beta) *
         (1 +
          dt * (m->loss_temperature_linear + dt * m->loss_temperature_square));
}

/* Loss of a triangle over that of a sine of its amplitude and frequency by the
 * improved generalised Steinmetz equation (K. Venkatachalam, C. R. Sullivan et
 * al., COMPEL 2002), with the mean of |cos|^alpha in gamma functions. */
static double triangle_ratio(double alpha, double duty) {
  double integral =
      2 * sqrt(acos(-1)) * tgamma((alpha + 1) / 2) / tgamma(alpha / 2 + 1);
  double steps = pow(duty, 1 - alpha) + pow(1 - duty, 1 - alpha);
  return pow(2, alpha) * steps / (pow(2 * acos(-1), alpha - 1) * integral);
}

static int by_size(const void *a, const void *b) {
  double x = *(const double *) a, y = *(const double *) b;
  return (x > y) - (x < y);
}

/* Errors of the law on one sample's rows, sorted; returns their number. */
static size_t errors_of(const bv_material *m, char sample, const bv_csv *csv,
                        double *errors, size_t room) {
  size_t count = 0;
  for (size_t r = 1; r < csv->rows; r++) {
    double flux = published_number(csv, r, "flux_density_amplitude_T");
    double duty = published_number(csv, r, "duty_rise");
    if (*published_text(csv, r, "sample") != sample || flux < 0.045 ||
        duty < 0.2 || duty > 0.8)
      continue;
    double loss = steinmetz(m, published_number(csv, r, "frequency_Hz"), flux,
                            published_number(csv, r, "temperature_C"));
    if (!isnan(duty))
      loss *= triangle_ratio(m->steinmetz_alpha, duty);
    ck_assert_uint_lt(count, room);
    errors[count++] =
        fabs(log(loss / published_number(csv, r, "loss_density_W_per_m3")));
  }
  qsort(errors, count, sizeof *errors, by_size);
  return count;
}

/* The measured losses of the open core-loss data (see loss_data.LICENSE.txt):
 * half of the rows within 20 %, nineteen of twenty within a factor of 1.8. A
 * law of five numbers does no better on data with relaxation, resonance and
 * bias in them. */
START_TEST(losses_are_near_the_measured_ones) {
  bv_rows rows = shipped("materials", material);
  bv_csv csv = published_read("loss_data.csv");
  const bv_material *m = rows.data;
  int samples = 0;
  for (size_t i = 0; i < rows.count; i++) {
    if (strncmp(m[i].name, "MnZn ", 5) != 0 || strlen(m[i].name) != 6)
      continue;
    double errors[100];
    size_t count = errors_of(&m[i], m[i].name[5], &csv, errors, 100);
    ck_assert_uint_ge(count, 25);
    ck_assert_msg(errors[count / 2] < log(1.2), "%s: median %g", m[i].name,
                  errors[count / 2]);
    ck_assert_msg(errors[count * 19 / 20] < log(1.8), "%s: 95 %%: %g",
                  m[i].name, errors[count * 19 / 20]);
    samples++;
  }
  ck_assert_int_eq(samples, 5);
  bv_csv_free(&csv);
  bv_catalogue_free(&rows);
}
END_TEST

/* In falling order of the loss at 100 kHz, 100 mT, and with a saturation that
 * falls with temperature, as that of every ferrite does. */
START_TEST(materials_rise_in_quality) {
  bv_rows rows = shipped("materials", material);
  const bv_material *m = rows.data;
  double above = HUGE_VAL;
  for (size_t i = 0; i < rows.count; i++) {
    double loss = steinmetz(&m[i], 1e5, 0.1, m[i].reference_temperature);
    ck_assert_msg(loss < above && loss > 20e3, "%s: %g", m[i].name, loss);
    ck_assert(m[i].saturation_flux_100 < m[i].saturation_flux_25);
    for (double t = 20; t <= 130; t += 10)
      ck_assert_msg(steinmetz(&m[i], 1e5, 0.1, t) > 0.4 * loss, "%s",
                    m[i].name);
    above = loss;
  }
  bv_catalogue_free(&rows);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {switches_and_diodes_rise_with_rating,
                                capacitors_rise_and_hold_what_their_kind_holds,
                                cores_rise_with_volume_and_are_consistent,
                                cores_are_those_of_the_data_file,
                                geometrical_constants_are_those_of_the_book,
                                surfaces_are_near_the_handbook,
                                wires_rise_and_have_room_for_their_copper,
                                gauges_follow_their_formula,
                                wires_are_those_of_the_data_file,
                                losses_are_near_the_measured_ones,
                                materials_rise_in_quality,
                                NULL};
  return check_main("published/catalogue", tests);
}
