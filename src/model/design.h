/* SPDX-License-Identifier: MIT */
/* The design: from a job and a designer's choices to a charger that can be
 * wound and built, with every result by name. */
#ifndef BV_MODEL_DESIGN_H
#define BV_MODEL_DESIGN_H

#include "base/field.h"
#include "model/charge.h"
#include "model/part.h"

/* A supply voltage and its range, V; min <= nominal <= max. */
typedef struct bv_supply {
  double min, nominal, max;
} bv_supply;

/* What the charger has to do and what surrounds it. */
typedef struct bv_job {
  bv_supply supply_voltage;
  double target_voltage;       /* V */
  double start_voltage;        /* V */
  double storage_capacitance;  /* F */
  double shots_per_second;     /* 1/s */
  double ambient_temperature;  /* degC */
  double supply_resistance;    /* ohm */
  double capacitor_resistance; /* ohm, of the storage capacitor */
  double sense_voltage;        /* V, comparator threshold */
  double turn_off_delay;       /* s */
  double turn_on_delay;        /* s */
  double off_time_limit;       /* s, infinite: none */
  double safe_voltage;         /* V, to which the bleeder must discharge */
  double safe_time;            /* s, within which */
  double voltage_derating;     /* 1, of part ratings */
  double pollution_degree;     /* 1, 2, 3: IEC 60664-1 */
  double material_group;       /* 1, 2, 3: IEC 60664-1 (3: IIIa and IIIb) */
  double altitude;             /* m */
} bv_job;

/* Fields of bv_job but supply_voltage, which scripts give as a number or as
 * {min, nominal, max}. */
extern const bv_fields bv_job_fields;

/* The parts a design may pick from; lists in rising order of price or size as
 * their file has them, owned by the caller. */
typedef struct bv_parts {
  const bv_wire *wires;
  size_t wire_count;
  const bv_material *materials;
  size_t material_count;
  const bv_switch *switches;
  size_t switch_count;
  const bv_diode *diodes;
  size_t diode_count;
} bv_parts;

/* A designer's choices. A NULL part or a NAN number leaves the choice to the
 * design: it then takes the first part that is rated for the job, or the
 * number its field documents. */
typedef struct bv_choice {
  double turns_ratio;   /* all sections : primary, > 0 */
  double peak_current;  /* A */
  double max_frequency; /* Hz, at the target and the highest supply */
  double sections;      /* whole, 1 … 12 */
  int rectifier;        /* bv_rectifier */
  double flux_limit;    /* T; NAN: 0.8 of saturation at the hot spot's limit */
  double primary_share; /* 1, of the window's build; NAN: equal loss density */
  double clamp_ratio;   /* 1, clamp over reflected voltage; NAN: 1.5 */
  double series_capacitance; /* F, doubler; NAN: from the recharge pulse */
  double interleaved;        /* 0: P|S, 1: P/2|S|P/2 */
  const bv_core *core;       /* required */
  const bv_material *material;
  const bv_wire *primary_wire, *secondary_wire;
  const bv_switch *power_switch;
  const bv_diode *diode;
} bv_choice;

/* The numbers and words of bv_choice (not its parts). */
extern const bv_fields bv_choice_fields;

/* Relaxed: turns, layers, wire and gap are real numbers, so that results are
 * smooth in the choices. Buildable: whole turns, catalogue wire, gap in steps
 * of 0.01 mm. */
typedef enum bv_precision { BV_RELAXED, BV_BUILDABLE } bv_precision;

/* Every result of a design; bv_design_fields names each with unit and
 * meaning. */
typedef struct bv_design bv_design;
extern const bv_fields bv_design_fields;

/* Makes the design. Always fills every field: where the design is impossible,
 * `reason` says why and the results that have no meaning are NAN. No
 * allocation; thread-safe. */
void bv_design_make(const bv_job *job, const bv_choice *choice,
                    const bv_parts *parts, bv_precision precision,
                    bv_design *design);

#include "model/design_results.h"

#endif
