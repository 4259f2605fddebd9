/* SPDX-License-Identifier: MIT */
/* The design: from a job and a designer's choices to a charger that can be
 * wound and built, with every result by name. */
#ifndef BV_MODEL_DESIGN_H
#define BV_MODEL_DESIGN_H

#include "base/field.h"
#include "model/charge.h"
#include "model/part.h"

/* A supply voltage and its range, V; 0 < min <= nominal <= max. */
typedef struct bv_supply {
  double min, nominal, max;
} bv_supply;

/* What stands between primary and secondary. */
typedef enum bv_insulation {
  BV_FUNCTIONAL, /* both sides share a ground nobody touches */
  BV_BASIC,
  BV_REINFORCED, /* the side of the supply may be touched */
  BV_INSULATION_COUNT
} bv_insulation;

/* The words of bv_insulation, NULL at the end. */
extern const char *const bv_insulation_words[];

/* What the charger has to do and what surrounds it. */
typedef struct bv_job {
  bv_supply supply_voltage;
  double target_voltage;      /* V */
  double start_voltage;       /* V */
  double storage_capacitance; /* F */
  double shots_per_second;    /* 1/s; 0: single shots far apart */
  double hold_time;           /* s, from the end of the charge to the shot */
  double ambient_temperature; /* degC */
  double hot_spot_limit;    /* degC, the insulation's; saturation is taken there
                             */
  double supply_resistance; /* ohm, up to the input capacitor */
  double capacitor_resistance; /* ohm, of the storage capacitor */
  double sense_voltage;        /* V, comparator threshold */
  double turn_off_delay;       /* s */
  double turn_on_delay;        /* s */
  double off_time_limit;       /* s, infinite: none */
  double safe_voltage;         /* V, to which the bleeder must discharge */
  double safe_time;            /* s, within which */
  double voltage_derating;     /* 1, used share of a rated voltage */
  double current_derating;     /* 1, used share of a rated current */
  double sharing_derating;     /* 1, further share left to diodes in series */
  int insulation;              /* bv_insulation */
  double transient_voltage;    /* V, impulses from the supply's side */
  double pollution_degree;     /* 1, 2, 3: IEC 60664-1 */
  double material_group;       /* 1, 2, 3: IEC 60664-1 (3: IIIa and IIIb) */
  double altitude;             /* m */
  double layer_voltage_limit;  /* V, that wire is chosen to keep between layers;
                                  infinite: any */
} bv_job;

/* Fields of bv_job but supply_voltage, which scripts give as a number or as
 * {min, nominal, max}. */
extern const bv_fields bv_job_fields;

/* The parts a design may pick from; lists owned by the caller. */
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

/* A designer's choices. A NULL part leaves the choice to the design, which
 * takes the one of least estimated loss among those rated for the job, else the
 * one that comes nearest (its margin is then negative); of materials the first.
 * Where a field says so, 0 leaves a number to the design. */
typedef struct bv_choice {
  double turns_ratio;   /* all sections : primary, > 0 */
  double peak_current;  /* A */
  double max_frequency; /* Hz, at the target and the highest supply */
  double sections;      /* whole, 1 … 12 */
  int rectifier;        /* bv_rectifier */
  double stages;        /* whole, of the ladder */
  double flux_limit;    /* T at effective_area; 0: 0.8 of saturation at the hot
                         * spot's limit, in the narrowest section */
  double primary_turns; /* whole; 0: of least loss within the flux limit */
  double primary_share; /* 1, of the window's build; 0: least copper loss */
  double window_use;    /* 1, of the window's build that windings may take */
  double clamp_ratio;   /* 1, clamp over reflected voltage; 0: of least loss */
  double series_capacitance; /* F, each of doubler or ladder; 0: from the
                                recharge pulse */
  bool interleaved;          /* P/2|S|P/2 instead of P|S */
  double chambers;           /* whole, of the bobbin, side by side */
  double margin; /* m, at each flange; negative: half the creepage distance */
  double layer_insulation; /* m, tape between layers */
  double series_diodes;    /* whole, a section; 0: as many as needed */
  const bv_core *core;     /* required */
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

/* Which way a result gets worse, one entry a field of bv_design_fields: 1 where
 * more is worse, -1 where less is worse, 0 where neither. */
extern const signed char bv_design_worse[];

/* Makes the design. Always fills every field: where the design is impossible,
 * `reason` says why, `impossibility` how far it is from a possible one, and the
 * other results are NAN. No
 * allocation; thread-safe. */
void bv_design_make(const bv_job *job, const bv_choice *choice,
                    const bv_parts *parts, bv_precision precision,
                    bv_design *design);

/* Tolerances of what was built and of what surrounds it. A start moves along
 * with the stop: it is the share of it that bleeder or load left of the charge
 * before; one that something else holds is off by that much. A clamp_ratio up
 * to (1 + voltage_threshold)/(1 - clamp), by default 1.06, is refused at a
 * corner.
 *
 * The windings' capacitance is known within a factor of 1.5. Half more of it
 * makes random designs of more than 0.7 efficiency 3 % slower at the median and
 * 12 % at 90 of 100, where the other tolerances together make 35 and 49 %; of a
 * hundred one stalls. It doubles the corners and is left out unless asked for.
 */
typedef struct bv_tolerances {
  double inductance;          /* 1, +- of the primary inductance */
  double sense_threshold;     /* 1, +- of the comparator level */
  double capacitance;         /* 1, +- of the storage capacitance */
  double delays;              /* 1, +- of turn-off and turn-on delay */
  double temperature;         /* K, +- of the ambient temperature */
  double leakage;             /* 1, +- of the leakage inductance */
  double clamp;               /* 1, +- of the clamp level above the supply */
  double voltage_threshold;   /* 1, +- of the stop threshold */
  double winding_capacitance; /* 1, +- of the windings' capacitance */
  double samples;             /* whole, of the seeded sample */
  double seed;                /* whole, of the sample */
} bv_tolerances;

extern const bv_fields bv_tolerances_fields;

/* One built design over its corners: see struct bv_corners below. */
typedef struct bv_corners bv_corners;

/* Evaluates the design that bv_design_make gives at every combination of the
 * ends of the supply range and of the tolerances, 1024 corners or half of them
 * for each that is zero; then at the middle, at its ends along each of these
 * and at a seeded sample inside. The parts as
 * built stay, the circuit around them changes. Insulation stays, too: margins
 * and barrier are built for the job's target, its whole range of supply and the
 * clamp as chosen, and what is asked of them is told for that. For a design
 * that is to hold a stop that errs, raise the target. No allocation. */
void bv_design_corners(const bv_job *job, const bv_choice *choice,
                       const bv_parts *parts, bv_precision precision,
                       const bv_tolerances *tolerances, bv_corners *corners);

/* How often that evaluates the parts as built, at most; tolerances in range. */
double bv_corners_visits(const bv_job *job, const bv_tolerances *tolerances);

#include "model/design_results.h"

/* Result by result over all corners and samples. Where one of them is
 * impossible, least, greatest and worst have its `reason`, impossibility 1
 * where the nominal design is possible, and no other numbers. Texts are those
 * of the nominal design. */
struct bv_corners {
  bv_design nominal;         /* as bv_design_make gives it */
  bv_design least, greatest; /* of each result */
  bv_design worst; /* by bv_design_worse; nominal where it tells neither */
  /* By index in bv_design_fields: the result goes one way along every
   * tolerance and no sample lies outside the corners, so its ends are exact.
   * Elsewhere they are those of corners and samples. */
  bool exact[BV_DESIGN_COUNT];
  double corners, samples; /* looked at, besides the axes and the nominal */
};

#endif
