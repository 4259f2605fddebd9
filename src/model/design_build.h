/* SPDX-License-Identifier: MIT */
/* A design in the making: what the stages of bv_design_make hand on. Private to
 * src/model/design*.c. The stages in their order:
 *
 *   parts       core, material, switch, diodes; clamp level
 *   room        insulation, margins and the space left in the window
 *   turns       inductance, turns, windings, node capacitance: a fixed point
 *   gap         gap length, then the inductance it really gives
 *   resistance  of the windings, with eddy currents, at a temperature
 *   series      capacitor of a doubler
 *   insulation  what the ratio as wound asks for
 *   charge      envelopes, losses, temperatures
 *   report      every result by name */
#ifndef BV_MODEL_DESIGN_BUILD_H
#define BV_MODEL_DESIGN_BUILD_H

#include "model/clamp.h"
#include "model/coreloss.h"
#include "model/design.h"
#include "model/doubler_start.h"
#include "model/gap.h"
#include "model/insulation.h"
#include "model/leakage.h"
#include "model/rating.h"
#include "model/switch.h"
#include "model/thermal.h"
#include "model/winding.h"

/* Gaps are built in steps of this many m. */
#define BV_GAP_STEP 1e-5

/* One cycle near the end of a charge, by its closed form. */
typedef struct bv_end_cycle {
  double reflected; /* V */
  double peak;      /* A, primary, delay overshoot included */
  double start;     /* A, at turn-on: current that still returns */
  double on, off;   /* s */
  double dead;      /* s, voltage rise, half ring and turn-on delay */
  double period;    /* s */
} bv_end_cycle;

/* The catalogue's stranded wires with one diameter of strand. */
typedef struct bv_strand {
  double diameter;    /* m, bare, of a strand */
  double least, most; /* m, overall */
  double strands;     /* of the thickest */
} bv_strand;

/* Primary or secondary. */
typedef struct bv_side {
  double turns;         /* of one part (a half of an interleaved primary, a
                           section of the secondary) */
  double parts;         /* equal parts in all, wound in series */
  double stacks;        /* of them, above each other */
  bv_bobbin bobbin;     /* room of one part: width without margins */
  double chambers;      /* in which one part is spread */
  double wall;          /* m, between chambers */
  double gap;           /* m, insulation between stacked parts */
  double height;        /* m, to be used by the stacks and their gaps */
  const bv_wire *fixed; /* the designer's wire, or NULL */
  double layers;       /* of one part that a catalogue's wire must make, or 0 */
  int kind;            /* of relaxed wire, see design_wire.c; 0: not chosen */
  double share;        /* of the height that relaxed wire uses */
  const bv_wire *wire; /* from the catalogue, or NULL */
  double diameter;     /* m, bare, of a strand */
  double overall;      /* m, whole wire */
  double strands;
  bv_winding part;   /* how one part lies */
  double build;      /* m, of all stacks and their gaps */
  double length;     /* m, of the wire of all parts */
  double resistance; /* ohm, dc, at the temperature */
  double factor;     /* ac over dc */
} bv_side;

/* What stands between primary and secondary at the target and the highest
 * supply. */
typedef struct bv_insulation_needs {
  double working; /* V rms, between windings, ground and core */
  double peak;    /* V */
  double impulse; /* V, impulse or peak, the larger, as the clearance holds */
  bv_distance high_frequency; /* clearance; 0: not above 30 kHz */
  bv_distance clearance, creepage;
  bv_distance output; /* creepage at the output */
} bv_insulation_needs;

typedef struct bv_build {
  const bv_job *job;
  const bv_choice *choice;
  const bv_parts *parts;
  bool buildable;
  bool trials;     /* other windings than that of the fewest turns are tried */
  bool took_trial; /* one of them was taken */
  bool whole;      /* whole turns and catalogue wire from here on */

  const bv_core *core;
  const bv_material *material;
  const bv_switch *power_switch;
  const bv_diode *diode;
  bv_gap_core gap_core;
  bv_bobbin bobbin;
  double narrowest, surface, mass; /* of the core, estimates filled in */
  double solid_least, solid_most;  /* m, overall, of the catalogue's wires */
  bv_strand strand[4];             /* of its stranded wires */
  size_t strand_count;

  double series;        /* diodes at each position */
  double position_drop; /* V, of the diodes at one position */
  double clamp_voltage; /* V */
  double flux_limit;    /* T */
  double sense_resistance;
  double bleeder_resistance; /* ohm */

  double margin, width;      /* m, at each flange, between the margins */
  double barrier;            /* m, between primary and secondary */
  bv_insulation_needs needs; /* of the job and the ratio as wound */

  double ratio; /* total secondary turns : primary */
  double primary_turns, section_turns;
  double turns_factor; /* primary turns over those that flux needs, >= 1 */
  double inductance, gap;
  bv_steinmetz core_fit;      /* for the turns, warm */
  double core_ki, core_share; /* ki of it; 1, of a cycle's energy that the core
                                 loses at the end */
  bv_side primary, secondary;
  double leakage;
  double winding_capacitance; /* F, secondary's own, at its ends */
  double node_capacitance, node_winding, winding_reflected;
  double series_capacitance; /* as in bv_circuit */
  double series_share;       /* 1, of what bv_build_series would choose */
  double supply_share;       /* 1, of the supply's resistance that counts */

  double temperature;        /* degC, of copper and core in the models */
  double switch_temperature; /* degC, junction */
  bv_charge nominal, low, high;
  bool whole_high; /* high has the losses of a charge, not its end alone */
} bv_build;

/* Checks job and choices and runs every stage but the report. */
bv_reason bv_build_make(const bv_job *job, const bv_choice *choice,
                        const bv_parts *parts, bv_precision precision,
                        bv_build *build);

/* How far a build that was refused is from one that isn't: see charge.h. */
double bv_build_impossibility(const bv_build *build, bv_reason reason);

/* The stages; each returns BV_REASON_OK or why the design is impossible. */
bv_reason bv_build_parts(bv_build *build);
bv_reason bv_build_ratings(bv_build *build); /* diodes, switch and clamp */
bv_reason bv_build_switch(bv_build *build, const bv_stress *stress);
void bv_build_room(bv_build *build);
bv_reason bv_build_turns(bv_build *build);
bv_reason bv_build_whole(bv_build *build); /* from relaxed turns */
void bv_build_resistance(bv_build *build);
void bv_build_series(bv_build *build); /* times series_share */
bv_reason bv_build_charge(bv_build *build);
void bv_build_report(const bv_build *build, bv_design *design);
void bv_build_report_stress(const bv_build *build, bv_design *design);

/* Those of the present ratio and clamp level. */
bv_insulation_needs bv_build_insulation(const bv_build *build);

/* Thickness of insulation for a voltage inside the winding, m. */
double bv_build_layer_of(double voltage);

/* Largest voltage across one section of the secondary, V: in the off-time at
 * the target or in the on-time at the highest supply. */
double bv_build_section_voltage(const bv_build *build);

/* Largest voltage between neighbouring layers of the secondary, V, of so many
 * in a chamber: those of a folded winding are two layers' voltage apart at
 * their open ends; one layer alone stands against its own leads. */
double bv_build_layer_voltage(const bv_build *build, double layers);

/* Largest voltage between neighbouring sections, V. Wound in one direction,
 * those of an even number of layers bring the end of one to the start of the
 * next, which stands on that one's output; of an odd number a little less. */
double bv_build_gap_voltage(const bv_build *build);

/* Height of the barriers in the window, m: between the windings and between the
 * secondary and the core; where the primary lies on both sides, two between. */
static inline double bv_build_barriers(const bv_build *build) {
  return 2 * build->barrier;
}

/* Lays both windings for the present turns, and what follows from geometry:
 * leakage and capacitances. */
void bv_build_windings(bv_build *build);

/* Chooses the wire of a side for the least estimated loss among those that fit,
 * and lays it; a frequency in Hz for the skin depth. A kind of relaxed wire
 * that was chosen stays. */
void bv_build_wire(const bv_build *build, bv_side *side, double frequency);

/* Least thickness of the walls between the chambers of a bobbin, m (common
 * practice). */
#define BV_CHAMBER_WALL 1e-3

/* The first cycles at a supply with a peak current. */
bv_doubler_start bv_build_start(const bv_build *build, double supply,
                                double peak);

/* What a capacitance at the node costs in a cycle, J/F: where the node rings
 * down by the reflected voltage only, the switch discharges it, (Vin - Vr)²/2,
 * the mean over cycles of equal energy; and what lifts it, Vr²/4 on average, is
 * lacking at the output, so that there are more cycles, each with its other
 * losses: about a tenth of what it brings. */
double bv_build_swing_cost(const bv_build *build);

/* Capacitance of a side by itself as the primary sees it, F. */
double bv_build_own_capacitance(const bv_build *build, const bv_side *side,
                                bool primary);

/* The leakage's path for a mean turn and a height of copper, both in m. */
bv_leakage_path bv_build_leakage_path(const bv_build *build, double mean_turn,
                                      double copper);

/* What the clamp takes at a supply, a reflected voltage and a current, were
 * the switch off at once; and with the switch, for any leakage in H. */
bv_clamp_pulse bv_build_clamp(const bv_build *build, double supply,
                              double reflected, double current);
bv_turn_off bv_build_turn_off(const bv_build *build, double leakage,
                              double supply, double reflected, double current);

/* The same by the form without the ring, which is smooth in the leakage. */
bv_turn_off bv_build_turn_off_rough(const bv_build *build, double leakage,
                                    double supply, double reflected,
                                    double current);

/* The cycle at an output voltage of the present build with an inductance in H
 * at a supply. */
bv_end_cycle bv_build_cycle(const bv_build *build, double supply,
                            double inductance, double output);

/* The present inductance, H, one step nearer to the one whose last cycle at the
 * highest supply lasts 1/max_frequency. */
double bv_build_better_inductance(const bv_build *build, double inductance);

/* Flux density over its limit, with what the delay adds to the peak current. */
double bv_build_flux_use(const bv_build *build);

/* The core's share of a cycle's energy for the present windings. */
void bv_build_core_share(bv_build *build);

/* The gap for the present turns and inductance, and the inductance it gives. */
void bv_build_gap(bv_build *build);

/* The circuit of the build at a supply, for charge.h. */
void bv_build_circuit(const bv_build *build, double supply,
                      bv_circuit *circuit);

/* The charge at the nominal supply with the windings that a build has now; the
 * build stays as it is. */
bv_reason bv_build_try_charge(const bv_build *build, bv_charge *charge);

/* The core's loss at its present temperature. */
bv_steinmetz bv_build_core_fit(const bv_build *build);

/* The mean losses of a charge at the shot rate, and the switch's junction
 * temperature that they make, degC. */
bv_thermal_load bv_build_load(const bv_build *build, const bv_charge *charge);
double bv_build_junction(const bv_build *build, const bv_charge *charge);

/* Charges a second that would heat a semiconductor all the time as it is heated
 * at the end of a charge: the shot rate where shots are close, more where a
 * charge takes long and shots are far apart. */
double bv_build_pace(const bv_build *build, const bv_charge *charge);

/* What charges at the lowest, the nominal and, where it may heat the switch
 * most (else NULL), the highest supply make of the temperatures: the hotter one
 * of the first two for the wound part, the hottest for the switch. */
typedef struct bv_heat {
  const bv_charge *wound_charge, *switch_charge; /* of these, the hottest */
  double wound, junction;                        /* degC */
} bv_heat;

bv_heat bv_build_heat(const bv_build *build, const bv_charge *low,
                      const bv_charge *nominal, const bv_charge *high);

/* Resistance of the switch at its present temperature, ohm. */
double bv_build_switch_resistance(const bv_build *build);

/* Doubler stages of each section; 0: a single rectifier. */
static inline double bv_build_stages(const bv_build *build) {
  const bv_choice *choice = build->choice;
  if (choice->rectifier == BV_LADDER)
    return choice->stages;
  return choice->rectifier == BV_DOUBLER;
}

/* Output voltage by the one that the winding makes: the stages, at least 1. */
static inline double bv_build_multiple(const bv_build *build) {
  double stages = bv_build_stages(build);
  return stages > 1 ? stages : 1;
}

/* Output voltage reflected to the primary at a supply, V. */
static inline double bv_build_reflected(const bv_build *build, double supply,
                                        double output) {
  double drops = build->choice->sections * build->position_drop;
  double wound = output / bv_build_multiple(build) + drops;
  double reflected = wound / build->ratio;
  return bv_build_stages(build) > 0 ? reflected - supply : reflected;
}

/* Reflected voltage that stands for a whole charge where parts are ranked: at
 * the nominal supply and 0.7 of the target, half of its energy. */
static inline double bv_build_midway(const bv_build *build) {
  const bv_job *job = build->job;
  return bv_build_reflected(build, job->supply_voltage.nominal,
                            0.7 * job->target_voltage);
}

/* Mean over a charge from 0 V of the time in which the secondary of an
 * inductance times peak current in V s conducts: every cycle brings the same
 * energy, so that the mean of 1/v is 2 over the target's. */
static inline double bv_build_mean_off(const bv_build *build, double linkage) {
  double supply = build->job->supply_voltage.nominal;
  double reflected =
      bv_build_reflected(build, supply, build->job->target_voltage);
  double recharge = bv_build_stages(build) > 0 ? linkage / supply : 0;
  return reflected > 0 ? 2 * linkage / reflected + recharge : recharge;
}

static inline double bv_least(double a, double b) {
  return a < b ? a : b;
}
static inline double bv_most(double a, double b) {
  return a > b ? a : b;
}

#endif
