/* SPDX-License-Identifier: MIT */
/* tests/published/data/circuits.csv: circuits with the results of a switched
 * integration written apart from this project, and the tolerance of each. */
#ifndef BV_TESTS_CIRCUITS_H
#define BV_TESTS_CIRCUITS_H

#include "model/charge.h"
#include "published.h"
#include "table/unit.h"

/* The circuit of a row: a column a field of bv_circuit. */
static inline bv_circuit circuits_row(const bv_csv *csv, size_t row) {
  bv_circuit circuit;
  bv_field_defaults(bv_circuit_fields, &circuit);
  for (size_t i = 0; i < csv->columns; i++) {
    const bv_field *field;
    double factor, value;
    const char *text = bv_csv_cell(csv, row, i);
    if (!bv_unit_column(bv_circuit_fields, bv_csv_cell(csv, 0, i), &field,
                        &factor))
      continue;
    if (field->kind == BV_WORD)
      ck_assert(bv_field_set_text(field, &circuit, text));
    else if (bv_parse_number(text, &value))
      bv_field_set_number(field, &circuit, value * factor);
  }
  return circuit;
}

/* Relative tolerance for a result of the row, from the row's own columns where
 * it has one that applies. */
static inline double circuits_tolerance(const bv_csv *csv, size_t row,
                                        const char *name) {
  static const char *const rules[][2] = {
      {"charge_time", "tolerance_charge_time"},
      {"cycles", "tolerance_charge_time"},
      {"frequency_end", "tolerance_frequency_end"},
      {"period_end", "tolerance_frequency_end"},
      {"on_time_end", "tolerance_frequency_end"},
      {"off_time_end", "tolerance_frequency_end"},
      {"frequency_start", "tolerance_frequency_start"},
      {"supply_energy", "tolerance_supply_energy"},
      {"efficiency", "tolerance_supply_energy"},
      {"loss_energy", "tolerance_loss_of_itself"},
      {"primary_current_squared", "tolerance_loss_of_itself"},
      {"secondary_current_squared", "tolerance_loss_of_itself"},
      {"stored_energy", "tolerance_frequency_end"},
      {"primary_current_max", "tolerance_frequency_end"},
      {"switch_plateau", "tolerance_frequency_end"},
      {"switch_voltage", "tolerance_frequency_end"},
      {"diode_voltage", "tolerance_frequency_end"},
      {"recharge_current_max", "tolerance_charge_time"},
  };
  for (size_t i = 0; i < sizeof rules / sizeof *rules; i++)
    if (published_starts(name, rules[i][0]))
      return published_number(csv, row, rules[i][1]);
  return (double) NAN; /* single cycles at the start: compared elsewhere */
}

static inline double circuits_total_loss(const bv_csv *csv, size_t row) {
  double total = 0;
  for (size_t i = 0; i < csv->columns; i++)
    if (published_starts(bv_csv_cell(csv, 0, i), "expect_loss_energy_"))
      total += atof(bv_csv_cell(csv, row, i));
  return total;
}

/* A charge by a model. The file adds the core's loss after it, here it acts
 * back: all else is compared without. */
static inline void
circuits_charge(void (*model)(const bv_circuit *, bv_charge *),
                const bv_circuit *circuit, bv_charge *charge) {
  bv_circuit bare = *circuit;
  bv_charge with;
  bare.core_volume = 0;
  model(circuit, &with);
  model(&bare, charge);
  charge->loss_energy_core = with.loss_energy_core;
  charge->efficiency = charge->stored_energy /
                       (charge->supply_energy + charge->loss_energy_gate +
                        charge->loss_energy_core);
}

/* Compares every result of a row; a loss passes where it is near enough by
 * itself or by its share of the total. Returns how many were compared. */
static inline size_t circuits_compare(const bv_csv *csv, size_t row,
                                      const bv_charge *charge) {
  size_t compared = 0;
  double total = circuits_total_loss(csv, row) *
                 published_number(csv, row, "tolerance_loss_of_total");
  for (size_t i = 0; i < csv->columns; i++) {
    const bv_field *field;
    double factor;
    const char *column = bv_csv_cell(csv, 0, i);
    if (!published_starts(column, "expect_") ||
        !bv_unit_column(bv_charge_fields, column + 7, &field, &factor))
      continue;
    double tolerance = circuits_tolerance(csv, row, field->name);
    double expected = atof(bv_csv_cell(csv, row, i)) * factor;
    double found = bv_field_number(field, charge);
    double allowed = tolerance * fabs(expected);
    if (isnan(tolerance))
      continue;
    if (published_starts(field->name, "loss_energy"))
      allowed = fmax(allowed, total);
    ck_assert_msg(fabs(found - expected) <= allowed,
                  "%s %s: expected %.8g within %.3g, found %.8g",
                  bv_csv_cell(csv, row, 0), field->name, expected, allowed,
                  found);
    compared++;
  }
  return compared;
}

#endif
