/* SPDX-License-Identifier: MIT */
/* One charge of the storage capacitor, at four levels of fidelity that share
 * one result. Plain functions: no allocation, no state, thread-safe. */
#ifndef BV_MODEL_CHARGE_H
#define BV_MODEL_CHARGE_H

#include "base/field.h"
#include "model/circuit.h"

/* Why a charge can't be: X(code, word, meaning). The word is what scripts and
 * files show in `reason`. */
#define BV_REASON_MAP(X)                                                       \
  X(OK, "ok", "the charge reaches its target")                                 \
  X(BAD_CIRCUIT, "bad_circuit",                                                \
    "a parameter is not a number or out of its range")                         \
  X(COMPARATOR_UNREACHABLE, "comparator_unreachable",                          \
    "resistance keeps the primary current below the comparator level")         \
  X(CLAMP_BELOW_REFLECTED, "clamp_below_reflected",                            \
    "the reflected voltage exceeds the clamp level")                           \
  X(STALL, "stall",                                                            \
    "node capacitance, clamp, overlap and core take a cycle's whole energy")   \
  X(BLEEDER_STALL, "bleeder_stall", "the bleeder takes the whole charge")      \
  X(RECOVERY_STALL, "recovery_stall",                                          \
    "recovery of the diodes takes back the whole charge of a cycle")           \
  X(OFF_LIMIT_SHORT, "off_limit_short",                                        \
    "the off-time limit is shorter than the delays")                           \
  X(RECHARGE_OVERDAMPED, "recharge_overdamped",                                \
    "the doubler's recharge pulse does not ring")                              \
  X(RECHARGE_TOO_LONG, "recharge_too_long",                                    \
    "the doubler's recharge pulse outlasts the on-time")                       \
  X(COMPARATOR_TRIP, "comparator_trip",                                        \
    "the doubler's recharge pulse trips a comparator that is not blanked")     \
  X(DOUBLER_START, "doubler_start",                                            \
    "the doubler's model does not describe this start")                        \
  X(TOO_MANY_CYCLES, "too_many_cycles",                                        \
    "the cycle limit of the simulator was reached")                            \
  X(ENVELOPE_ONLY, "envelope_only",                                            \
    "a ladder of several stages is described by the envelope alone")           \
  X(TIME_UNREACHABLE, "time_unreachable",                                      \
    "no peak current charges in the wanted time this way")                     \
  X(BAD_JOB, "bad_job", "a number of the job or the choices is out of range")  \
  X(CORE_CANNOT_BE_WOUND, "core_cannot_be_wound",                              \
    "the core has no winding window or no mean turn length")                   \
  X(NO_CORE, "no_core", "no core was chosen")                                  \
  X(NO_MATERIAL, "no_material", "there is no core material to pick from")      \
  X(NO_WIRE, "no_wire", "there is no wire to pick from")                       \
  X(NO_SWITCH, "no_switch", "there is no switch to pick from")                 \
  X(NO_DIODE, "no_diode", "there is no diode to pick from")                    \
  X(RATIO_TOO_HIGH, "ratio_too_high",                                          \
    "supply times turns ratio exceeds the doubler's output")                   \
  X(LEAKAGE_TOO_HIGH, "leakage_too_high",                                      \
    "the leakage inductance reaches the primary's own")                        \
  X(NO_INDUCTANCE, "no_inductance",                                            \
    "delays and node capacitance leave no time below the frequency limit")

typedef enum bv_reason {
#define BV_REASON_ENUM(code, word, meaning) BV_REASON_##code,
  BV_REASON_MAP(BV_REASON_ENUM)
#undef BV_REASON_ENUM
      BV_REASON_COUNT
} bv_reason;

/* NULL-terminated words, indexed by bv_reason. */
extern const char *const bv_reason_words[];

/* The one-line meaning of a reason; static text. */
const char *bv_reason_meaning(bv_reason reason);

/* The losses of a charge by mechanism: X(mechanism, meaning). */
#define BV_LOSS_MAP(X)                                                         \
  X(supply, "supply and wiring resistance")                                    \
  X(switch, "conduction of the switch")                                        \
  X(primary, "resistance of the primary winding")                              \
  X(sense, "current-sense resistor")                                           \
  X(secondary, "resistance of the secondary windings")                         \
  X(diode, "drop and resistance of the diodes")                                \
  X(capacitor, "resistance of the storage capacitor")                          \
  X(clamp, "leakage energy taken by the clamp and its ring")                   \
  X(overlap, "overlap of current and voltage at turn-off")                     \
  X(turn_on, "node capacitance discharged at turn-on")                         \
  X(recovery, "reverse recovery of diodes that conduct at turn-on")            \
  X(bleeder, "bleeder during the charge")                                      \
  X(gate, "gate drive")                                                        \
  X(core, "magnetic core")

/* Impossibility where no measure tells how far, and the most that is told. */
#define BV_IMPOSSIBLE 1e3

/* Impossibility by a measure that is 1 where a reason begins: 1 …
 * BV_IMPOSSIBLE. */
double bv_impossibility(double measure);

/* How far a circuit refused for a reason is from one that works: 1 at the edge,
 * then what it asks for over what there is (primary drop over supply, reflected
 * voltage over clamp, energy lost over energy of a cycle, …). A grade to search
 * by, not a result to build on. */
double bv_charge_impossibility(const bv_circuit *circuit, bv_reason reason);

typedef struct bv_charge {
  int reason; /* bv_reason; the other fields are NAN unless BV_REASON_OK */
  double impossibility;       /* 1; 0: possible, else bv_charge_impossibility */
  double charge_time;         /* s */
  double cycles;              /* switching cycles to the target */
  double on_time_start;       /* s, at 5 % of the target */
  double off_time_start;      /* s, at 5 % of the target */
  double frequency_start;     /* Hz, at 5 % of the target */
  double on_time_end;         /* s, last cycle */
  double off_time_end;        /* s, last cycle */
  double period_end;          /* s, last cycle, dead time included */
  double frequency_end;       /* Hz */
  double timed_out_at_start;  /* 1: the off-time limit acts at 5 % */
  double timed_out_cycles;    /* cycles ended by the off-time limit */
  double timed_out_until;     /* V, output where the limit stops acting */
  double primary_current_max; /* A, overshoot by delay included */
  double recharge_current_max;      /* A, doubler, primary side */
  double switch_plateau;            /* V, supply plus reflected, at the end */
  double switch_voltage;            /* V, supply plus clamp or plateau */
  double diode_voltage;             /* V, reverse, each diode position */
  double core_power_end;            /* W, of the core in the last cycle */
  double supply_current_end;        /* A, mean of the last cycle */
  double primary_current_squared;   /* A2 s, integral over the charge */
  double secondary_current_squared; /* A2 s */
  double supply_energy;             /* J, drawn from the supply */
  double stored_energy;             /* J, gained by the storage capacitor */
  double residual_energy; /* J, left in inductance, node, series capacitor */
#define BV_LOSS_MEMBER(mechanism, meaning) double loss_energy_##mechanism;
  BV_LOSS_MAP(BV_LOSS_MEMBER) /* J, each */
#undef BV_LOSS_MEMBER
  double loss_energy;            /* J, sum of the mechanisms */
  double efficiency_power_stage; /* 1, gate and core left out of the input */
  double efficiency;             /* 1, gate drive added to the input */
  double average_power;          /* W, stored energy over charge time */
  double power_ratio;            /* 1, average over final power */
} bv_charge;

/* The fields of bv_charge in the order of the struct. */
extern const bv_fields bv_charge_fields;

/* The ideal closed forms: every loss, delay and capacitance is ignored.
 * Valid for many cycles (error about 1/cycles). Doubler: from V0 >= n Vin; from
 * zero by the finite series capacitor. */
void bv_charge_ideal(const bv_circuit *circuit, bv_charge *charge);

/* The closed form with losses: smooth in every parameter, for screening. Error
 * of the charge time on random designs of 80 % efficiency and more: median
 * 0.5 %, in 90 of 100 below 5 %, a few 20 %; more below. Off-time limit and
 * maximum frequency are left out. A doubler goes to the envelope. */
void bv_charge_closed(const bv_circuit *circuit, bv_charge *charge);

/* The loss-aware envelope: the cycle at each output voltage in closed form,
 * integrated over the voltage by Gauss-Legendre quadrature. */
void bv_charge_envelope(const bv_circuit *circuit, bv_charge *charge);

/* Most cycles the simulator runs, some ten seconds, and most of those that it
 * runs in full where it skips: BV_REASON_TOO_MANY_CYCLES. */
enum { BV_CYCLES_MOST = 50000000, BV_CYCLES_MOST_IN_FULL = 5000000 };

/* Waveforms at one instant. */
typedef struct bv_sample {
  double time;              /* s from the start of the charge */
  double switch_voltage;    /* V */
  double primary_current;   /* A, in the primary winding */
  double secondary_current; /* A, out of the secondary winding */
  double output_voltage;    /* V */
} bv_sample;

/* Where to and when waveforms are wanted: `points` samples a step of each cycle
 * that begins from `from` to `until`, s. */
typedef struct bv_trace {
  void (*sample)(const bv_sample *sample, void *context);
  void *context;
  double from, until;
  int points; /* >= 1 */
} bv_trace;

/* Cycle by cycle to the target: every interval of every cycle in closed form
 * (cycle.h). Results at 5 % of the target are taken between the two whole
 * cycles around it, `cycles` counts those completed before the target. trace
 * may be NULL. */
void bv_charge_cycles(const bv_circuit *circuit, const bv_trace *trace,
                      bv_charge *charge);

/* The same with many alike cycles at once (cycle_skip.h), all for a doubler in
 * full. A relative tolerance, 1e-9 … 1e-3 and never less than 1e-13 times the
 * cycles, bounds the difference from every cycle in full of time, cycles and
 * energies, measured at 1e-6 over 600 designs: time 2.4e-7, any loss 3.5e-6.
 * Returns how many were run in full, 0 for a refusal. */
long bv_charge_cycles_skipping(const bv_circuit *circuit, double tolerance,
                               bv_charge *charge);

#endif
