/* SPDX-License-Identifier: MIT */
/* The electrical circuit of a charger: what the three fidelities of charge.h
 * take. A loss left out is zero. */
#ifndef BV_MODEL_CIRCUIT_H
#define BV_MODEL_CIRCUIT_H

#include <stdbool.h>

#include "base/field.h"

typedef enum bv_rectifier {
  BV_SINGLE,  /* one diode a section, outputs of the sections in series */
  BV_DOUBLER, /* half-wave doubler with a series capacitor, one a section */
  BV_LADDER,  /* half-wave ladder of doubler stages, one a section */
  BV_RECTIFIER_COUNT
} bv_rectifier;

typedef struct bv_circuit {
  double supply_voltage;      /* V */
  double target_voltage;      /* V, of the storage capacitor */
  double start_voltage;       /* V */
  double storage_capacitance; /* F */
  double primary_inductance;  /* H, leakage included */
  double turns_ratio;         /* all sections together : primary */
  double peak_current;        /* A, comparator level */
  double sections;            /* whole number >= 1 */
  int rectifier;              /* bv_rectifier */
  double stages;              /* ladder: whole number >= 1 */
  double series_capacitance;  /* F, doubler, ladder */
  double supply_resistance;   /* ohm, as the next five */
  double switch_resistance;
  double primary_resistance;
  double sense_resistance;
  double secondary_resistance; /* all sections */
  double diode_drop;           /* V, each diode */
  double diode_resistance;     /* ohm, each diode */
  double capacitor_resistance; /* ohm */
  double bleeder_resistance;   /* ohm, 0 or infinite: none */
  double leakage_inductance;   /* H, seen at the primary */
  double clamp_voltage;        /* V above the supply, needed with leakage */
  double node_capacitance;     /* F at the switch, reflected winding included */
  double node_capacitance_winding; /* F, at most all of it behind the leakage */
  double switch_capacitance;       /* F, its part of the switch; 0: not told */
  double turn_off_delay;           /* s, comparator to switch off */
  double turn_on_delay;            /* s, after the half ring */
  double off_time_limit;           /* s, infinite: none */
  double max_frequency;            /* Hz, infinite: none */
  double current_fall_time;        /* s */
  double gate_charge;              /* C */
  double gate_voltage;             /* V */
  double core_volume;              /* m3, as the next five for the core loss */
  double core_area;                /* m2 */
  double primary_turns;
  double steinmetz_k; /* W/m3 at 1 Hz, 1 T */
  double steinmetz_alpha;
  double steinmetz_beta;
  double recovery_time;       /* s, of the diodes */
  double comparator_blanking; /* s after turn-on, infinite: see the field */
} bv_circuit;

/* The fields of bv_circuit, with ranges and defaults. */
extern const bv_fields bv_circuit_fields;

/* The words of bv_rectifier, NULL at the end. */
extern const char *const bv_rectifier_words[];

/* Whether every number is in the range of its field and they fit together:
 * start below target, leakage below the inductance, a core loss with area and
 * turns. The models refuse another circuit with BV_REASON_BAD_CIRCUIT. */
bool bv_circuit_valid(const bv_circuit *circuit);

#endif
