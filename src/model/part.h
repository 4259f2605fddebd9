/* SPDX-License-Identifier: MIT */
/* Parts: the data of a core, wire, material, switch, diode or storage
 * capacitor as a catalogue row gives them. Each struct has a table of fields
 * from which catalogue files and Lua tables are read. SI units. */
#ifndef BV_MODEL_PART_H
#define BV_MODEL_PART_H

#include "base/field.h"

/* Optional figures are 0 where the catalogue has none; the design then takes
 * the estimate the field names. */
typedef struct bv_core {
  char name[BV_TEXT_SIZE];
  char family[BV_TEXT_SIZE];
  double effective_area;   /* m2 */
  double effective_length; /* m */
  double effective_volume; /* m3 */
  double minimum_area;     /* m2; 0: effective_area */
  double winding_area;     /* m2, of the bobbin; 0: can't be wound */
  double winding_width;    /* m, between the flanges; 0: from winding_area */
  double mean_turn_length; /* m; 0: can't be wound */
  double surface_area;     /* m2, of the wound part; 0: from area product */
  double mass;             /* kg, core set; 0: from the volume */
  char provenance[BV_TEXT_SIZE];
} bv_core;

typedef struct bv_wire {
  char name[BV_TEXT_SIZE];
  double bare_diameter;      /* m, of one strand */
  double insulated_diameter; /* m, largest overall diameter, whole wire */
  double strands;            /* 1: solid */
  char provenance[BV_TEXT_SIZE];
} bv_wire;

typedef struct bv_material {
  char name[BV_TEXT_SIZE];
  double steinmetz_k; /* W/m3 at 1 Hz, 1 T, at reference_temperature */
  double steinmetz_alpha;
  double steinmetz_beta;
  double reference_temperature;   /* degC of the loss data */
  double loss_temperature_linear; /* 1/K: factor 1 + l dT + q dT2 on the loss */
  double loss_temperature_square; /* 1/K2 */
  double saturation_flux_25;      /* T at 25 degC */
  double saturation_flux_100;     /* T at 100 degC */
  double relative_permeability;   /* initial, 25 degC */
  double lowest_frequency, highest_frequency; /* Hz, of the loss data */
  char provenance[BV_TEXT_SIZE];
} bv_material;

typedef struct bv_switch {
  char name[BV_TEXT_SIZE];
  double voltage_rating;         /* V */
  double current_rating;         /* A, pulsed at the duty of a charger */
  double on_resistance;          /* ohm at 25 degC junction */
  double resistance_coefficient; /* 1/K on on_resistance */
  double output_capacitance;     /* F, energy-related, at 80 % of rating */
  double gate_charge;            /* C */
  double gate_voltage;           /* V */
  double current_fall_time;      /* s */
  double thermal_resistance;     /* K/W, junction to ambient as mounted */
  char provenance[BV_TEXT_SIZE];
} bv_switch;

typedef struct bv_diode {
  char name[BV_TEXT_SIZE];
  double voltage_rating;     /* V, repetitive peak reverse */
  double current_rating;     /* A, repetitive peak forward */
  double forward_drop;       /* V, threshold at 25 degC */
  double dynamic_resistance; /* ohm */
  double capacitance;        /* F, charge-related, at half the rating */
  double recovery_time;      /* s */
  double thermal_resistance; /* K/W, junction to ambient as mounted */
  char provenance[BV_TEXT_SIZE];
} bv_diode;

typedef struct bv_storage {
  char name[BV_TEXT_SIZE];
  double capacitance;       /* F */
  double voltage_rating;    /* V */
  double series_resistance; /* ohm */
  double volume;            /* m3 */
  char provenance[BV_TEXT_SIZE];
} bv_storage;

extern const bv_fields bv_core_fields, bv_wire_fields, bv_material_fields,
    bv_switch_fields, bv_diode_fields, bv_storage_fields;

#endif
