/* SPDX-License-Identifier: MIT */
/* Jobs, choices and the shipped parts for tests of designs. */
#ifndef BV_TESTS_DESIGN_SUPPORT_H
#define BV_TESTS_DESIGN_SUPPORT_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "check_main.h"
#include "model/design.h"
#include "model/switch.h"
#include "table/catalogue.h"

typedef struct shelf {
  bv_rows cores, wires, materials, switches, diodes;
  bv_parts parts;
} shelf;

static inline bv_rows shelf_read(const char *name, bv_fields fields,
                                 size_t size) {
  char path[4096];
  const char *root = getenv("ROOT");
  snprintf(path, sizeof path, "%s/lib/catalogue/%s", root ? root : ".", name);
  bv_rows rows = {0};
  bv_error error;
  if (bv_catalogue_read(path, fields, size, &rows, &error) != BV_OK) {
    fprintf(stderr, "%s\n", error.text);
    exit(EXIT_FAILURE);
  }
  return rows;
}

/* The shipped catalogues, read once. */
static inline const shelf *shelf_open(void) {
  static shelf it;
  if (it.cores.data)
    return &it;
  it.cores = shelf_read("cores.csv", bv_core_fields, sizeof(bv_core));
  it.wires = shelf_read("wires.csv", bv_wire_fields, sizeof(bv_wire));
  it.materials =
      shelf_read("materials.csv", bv_material_fields, sizeof(bv_material));
  it.switches = shelf_read("switches.csv", bv_switch_fields, sizeof(bv_switch));
  it.diodes = shelf_read("diodes.csv", bv_diode_fields, sizeof(bv_diode));
  it.parts = (bv_parts){it.wires.data,      it.wires.count,   it.materials.data,
                        it.materials.count, it.switches.data, it.switches.count,
                        it.diodes.data,     it.diodes.count};
  return &it;
}

static inline const bv_core *shelf_core(const char *name) {
  const bv_rows *rows = &shelf_open()->cores;
  const bv_core *list = rows->data;
  for (size_t i = 0; i < rows->count; i++)
    if (strcmp(list[i].name, name) == 0)
      return &list[i];
  fprintf(stderr, "no core %s\n", name);
  exit(EXIT_FAILURE);
}

/* A harbour beacon: 24 V battery, 33 uF to 1.5 kV, a flash every 2 s. */
static inline bv_job beacon_job(void) {
  bv_job job;
  bv_field_defaults(bv_job_fields, &job);
  job.supply_voltage = (bv_supply){21, 24, 29};
  job.target_voltage = 1500;
  job.storage_capacitance = 33e-6;
  job.shots_per_second = 0.5;
  job.ambient_temperature = 55;
  job.supply_resistance = 0.02;
  job.capacitor_resistance = 0.05;
  job.pollution_degree = 1;
  return job;
}

static inline bv_choice beacon_choice(void) {
  bv_choice choice = {0};
  bv_field_defaults(bv_choice_fields, &choice);
  choice.turns_ratio = 25;
  choice.peak_current = 10;
  choice.max_frequency = 80e3;
  choice.sections = 2;
  choice.core = shelf_core("ETD34/17/11");
  return choice;
}

static inline double log_between(bv_random *random, double lo, double hi) {
  return lo * pow(hi / lo, bv_random_unit(random));
}

/* A job a charger may have: 5 … 400 V to 150 … 6000 V, 1 … 100 W. */
static inline bv_job random_job(bv_random *random) {
  bv_job job = beacon_job();
  double supply = log_between(random, 5, 400);
  job.supply_voltage = (bv_supply){0.85 * supply, supply, 1.2 * supply};
  job.target_voltage = log_between(random, 150, 6000);
  double energy = log_between(random, 0.3, 300);
  job.storage_capacitance =
      2 * energy / (job.target_voltage * job.target_voltage);
  job.shots_per_second = log_between(random, 0.3, 20) / energy;
  job.ambient_temperature = 25 + 30 * bv_random_unit(random);
  job.supply_resistance = 0.002 * supply / 24;
  return job;
}

/* Choices near what the job needs; power twice to five times the shots'. */
static inline bv_choice random_choice(bv_random *random, const bv_job *job) {
  const bv_rows *cores = &shelf_open()->cores;
  bv_choice choice = beacon_choice();
  double target = job->target_voltage, supply = job->supply_voltage.nominal;
  double energy = job->storage_capacitance * target * target / 2;
  double power = energy * job->shots_per_second * log_between(random, 2, 5);
  choice.turns_ratio = target / supply * log_between(random, 0.15, 1.5);
  choice.peak_current = power / supply * log_between(random, 4, 8);
  choice.max_frequency = log_between(random, 30e3, 200e3);
  choice.sections = 1 + (double) bv_random_below(random, 4);
  choice.interleaved = bv_random_below(random, 2) == 1;
  choice.chambers = 1 + (double) bv_random_below(random, 3);
  choice.clamp_ratio = 1.3 + bv_random_unit(random);
  const bv_core *list = cores->data;
  do
    choice.core = &list[bv_random_below(random, cores->count)];
  while (!(choice.core->winding_area > 1e-5));
  return choice;
}

static inline bv_design design_make(const bv_job *job, const bv_choice *choice,
                                    bv_precision precision) {
  bv_design design;
  bv_design_make(job, choice, &shelf_open()->parts, precision, &design);
  return design;
}

/* The clamp of a circuit, with what stands around it. */
static inline bv_clamp clamp_of_circuit(const bv_circuit *c) {
  double winding = fmin(c->node_capacitance_winding, c->node_capacitance);
  return (bv_clamp){c->leakage_inductance, c->clamp_voltage, winding,
                    c->supply_voltage};
}

static inline int by_value(const void *a, const void *b) {
  double x = *(const double *) a, y = *(const double *) b;
  return (x > y) - (x < y);
}

/* The value below which this share of the values lies. */
static inline double quantile(double *values, size_t count, double share) {
  ck_assert_msg(count > 20, "only %zu values", count);
  qsort(values, count, sizeof *values, by_value);
  return values[(size_t) (share * (double) (count - 1))];
}

/* Name, value and unit of every result, for a look. */
static inline void design_print(const bv_design *design) {
  for (size_t i = 0; i < bv_design_fields.count; i++) {
    const bv_field *field = &bv_design_fields.list[i];
    const char *text = bv_field_text(field, design);
    if (text)
      printf("%-32s %s\n", field->name, text);
    else
      printf("%-32s %.6g %s\n", field->name, bv_field_number(field, design),
             field->unit);
  }
}

#endif
