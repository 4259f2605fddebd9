/* SPDX-License-Identifier: MIT */
/* Area 7 of checks.csv: closed forms of the boundary-mode charger. */
#include "model/charge.h"
#include "published.h"

/* The number after a word of the inputs, with its unit; "V" is found in "12 V,
 * V 1000 V" where a number follows. */
static double input(const published_check *check, const char *word,
                    const char *unit, double fallback) {
  const char *at = published_after(check->inputs, word);
  char *end = NULL;
  while (at != NULL && (strtod(at, &end), end == at))
    at = published_after(at, word);
  if (at == NULL)
    return fallback;
  ck_assert_msg(published_starts(end + 1, unit) || !*unit, "%s: '%s %s'",
                check->id, word, unit);
  return strtod(at, NULL);
}

static bv_circuit circuit_of(const published_check *check) {
  bv_circuit circuit;
  bv_field_defaults(bv_circuit_fields, &circuit);
  circuit.storage_capacitance = input(check, "C", "uF", 1) * 1e-6;
  circuit.target_voltage = input(check, "V", "V", (double) NAN);
  circuit.turns_ratio = input(check, "n", "", (double) NAN);
  circuit.supply_voltage = input(check, "Vin", "V", (double) NAN);
  circuit.peak_current = input(check, "Ip", "A", 1);
  circuit.primary_inductance = 10e-6; /* the time doesn't depend on it */
  return circuit;
}

/* "same, L 20 uH": the circuit of the row numbered one less, which is a time of
 * the same circuit; false where the file doesn't have that row. */
static bool same_circuit(const bv_csv *csv, const published_check *check,
                         bv_circuit *circuit) {
  char id[16];
  snprintf(id, sizeof id, "C07-%02d", atoi(check->id + 4) - 1);
  size_t row = published_find(csv, "id", id);
  if (row == 0)
    return false;
  published_check before = published_check_at(csv, row);
  if (!published_starts(before.quantity, "lossless charging time"))
    return false;
  *circuit = circuit_of(&before);
  circuit->primary_inductance = input(check, "L", "uH", (double) NAN) * 1e-6;
  return true;
}

static bool answer(const bv_csv *csv, const published_check *check,
                   bv_charge *charge) {
  bool same = published_starts(check->inputs, "same");
  bv_circuit circuit;
  if (same && !same_circuit(csv, check, &circuit))
    return false;
  if (!same)
    circuit = circuit_of(check);
  bv_charge_ideal(&circuit, charge);
  ck_assert_int_eq(charge->reason, BV_REASON_OK);
  return true;
}

/* Rows by the start of their quantity; why: no function of ours answers. */
static const struct {
  const char *quantity, *result, *why;
} kinds[] = {
    {"lossless charging time", "charge_time", NULL},
    {"number of cycles", "cycles", NULL},
    {"switch stress", "switch_voltage", NULL},
    {"diode reverse voltage", "diode_voltage", NULL},
    {"series capacitance", NULL, "sections' capacitors in series: arithmetic"},
    {"efficiency of RC charging", NULL, "not a way of charging modelled here"},
};

static size_t compare(const bv_csv *csv, size_t row) {
  published_check check = published_check_at(csv, row);
  for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
    bv_charge charge;
    if (!published_starts(check.quantity, kinds[i].quantity))
      continue;
    if (kinds[i].result == NULL || !answer(csv, &check, &charge))
      return 0;
    const bv_field *field = bv_field_find(bv_charge_fields, kinds[i].result);
    published_compare(&check, bv_field_number(field, &charge));
    return 1;
  }
  ck_abort_msg("%s: no function for '%s'", check.id, check.quantity);
  return 0;
}

START_TEST(every_row_of_area_7) {
  bv_csv csv = published_read("checks.csv");
  size_t compared = 0;
  for (size_t row = 1; row < csv.rows; row++)
    if (published_starts(published_text(&csv, row, "area"), "7 "))
      compared += compare(&csv, row);
  bv_csv_free(&csv);
  ck_assert_uint_ge(compared, 8);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {every_row_of_area_7, NULL};
  return check_main("published/charger", tests);
}
