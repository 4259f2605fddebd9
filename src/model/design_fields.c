/* SPDX-License-Identifier: MIT */
/* The tables of fields of job, choices, tolerances and results. */
#include <math.h>

#include "model/design.h"

#define NEEDED ((double) NAN)
#define TABLE(name, list)                                                      \
  const bv_fields name = {list, sizeof(list) / sizeof *(list)}

/* A table row of the struct type OWNER. */
#define ROW(kind, member, unit, lo, hi, fallback, words, meaning)              \
  {                                                                            \
#member, unit, meaning, kind, offsetof(OWNER, member), lo, hi, fallback,   \
        words                                                                  \
  }
#define VALUE(member, unit, lo, hi, fallback, meaning)                         \
  ROW(BV_NUMBER, member, unit, lo, hi, fallback, NULL, meaning)
#define COUNTED(member, lo, hi, fallback, meaning)                             \
  ROW(BV_WHOLE, member, "", lo, hi, fallback, NULL, meaning)
#define WORD(member, words, fallback, meaning)                                 \
  ROW(BV_WORD, member, "", 0, HUGE_VAL, fallback, words, meaning)

const char *const bv_insulation_words[] = {"functional", "basic", "reinforced",
                                           NULL};

#define OWNER bv_job
static const bv_field job_list[] = {
    VALUE(target_voltage, "V", 1, 1e5, NEEDED,
          "voltage to which the storage capacitor is charged"),
    VALUE(start_voltage, "V", 0, 1e5, 0, "voltage at which a charge starts"),
    VALUE(storage_capacitance, "F", 1e-12, 10, NEEDED,
          "capacitance of the storage capacitor"),
    VALUE(shots_per_second, "1/s", 0, 1e6, 0,
          "shots a second; 0: single shots far apart"),
    VALUE(hold_time, "s", 0, 1e6, 0, "time from the end of a charge to a shot"),
    VALUE(ambient_temperature, "degC", -60, 200, 25, "ambient temperature"),
    VALUE(hot_spot_limit, "degC", 0, 300, 120,
          "temperature the insulation stands; saturation is taken there"),
    VALUE(supply_resistance, "ohm", 0, 1e4, 0,
          "resistance of the supply and its wiring up to the input capacitor"),
    VALUE(capacitor_resistance, "ohm", 0, 1e6, 0,
          "series resistance of the storage capacitor"),
    VALUE(sense_voltage, "V", 1e-3, 5, 0.1,
          "threshold of the current comparator"),
    VALUE(turn_off_delay, "s", 0, 1e-4, 200e-9,
          "delay from the comparator to the switch's turn-off"),
    VALUE(turn_on_delay, "s", 0, 1e-4, 100e-9,
          "delay of turn-on after the half ring of the switch node"),
    VALUE(off_time_limit, "s", 1e-7, HUGE_VAL, HUGE_VAL,
          "longest off-time before the next turn-on; infinite: none"),
    VALUE(safe_voltage, "V", 1, 1e5, 60,
          "voltage below which the bleeder must bring the output"),
    VALUE(safe_time, "s", 1e-3, 1e6, 300,
          "time the bleeder may take to the safe voltage"),
    VALUE(voltage_derating, "", 0.1, 1, 0.8,
          "share of a part's rated voltage to be used"),
    VALUE(current_derating, "", 0.1, 1, 0.8,
          "share of a part's rated current to be used"),
    VALUE(sharing_derating, "", 0.1, 1, 0.9,
          "further share of the rated voltage left to diodes in series"),
    WORD(insulation, bv_insulation_words, BV_BASIC,
         "insulation between primary and secondary"),
    VALUE(transient_voltage, "V", 0, 1e5, 0,
          "impulse voltage that arrives from the supply's side"),
    COUNTED(pollution_degree, 1, 3, 2, "pollution degree (IEC 60664-1)"),
    COUNTED(material_group, 1, 3, 3,
            "group of the insulating material, 3: IIIa and IIIb (IEC 60664-1)"),
    VALUE(altitude, "m", 0, 20000, 2000, "altitude above sea level"),
    VALUE(layer_voltage_limit, "V", 1, HUGE_VAL, HUGE_VAL,
          "voltage between neighbouring layers that the secondary's wire is "
          "chosen to keep; infinite: any"),
};
#undef OWNER
TABLE(bv_job_fields, job_list);

#define OWNER bv_choice
static const bv_field choice_list[] = {
    VALUE(turns_ratio, "", 1e-2, 1e4, NEEDED,
          "turns of all secondary sections over primary turns"),
    VALUE(peak_current, "A", 1e-3, 1e4, NEEDED,
          "primary current at which the comparator ends the on-time"),
    VALUE(max_frequency, "Hz", 100, 1e7, NEEDED,
          "switching frequency at the target and the highest supply"),
    COUNTED(sections, 1, 12, 1,
            "secondary sections, each with its rectifier, outputs in series"),
    WORD(rectifier, bv_rectifier_words, BV_SINGLE,
         "rectifier circuit of each section"),
    COUNTED(stages, 1, 20, 1, "doubler stages of the ladder"),
    VALUE(
        flux_limit, "T", 0, 3, 0,
        "highest flux density; 0: 0.8 of saturation in the narrowest section"),
    COUNTED(primary_turns, 0, 1e4, 0,
            "turns of the primary, whatever flux they make; 0: of least loss "
            "within flux_limit"),
    VALUE(primary_share, "", 0, 0.99, 0,
          "share of the primary in the window; 0: least copper loss"),
    VALUE(window_use, "", 0.05, 1, 0.9,
          "share of the window's height that windings are made to take"),
    VALUE(clamp_ratio, "", 0, 100, 0,
          "clamp level over the reflected voltage at the target; 0: of least "
          "loss with the switch, 1.2 to 3"),
    VALUE(series_capacitance, "F", 0, 1, 0,
          "each capacitor of doubler or ladder; 0: from the recharge pulse"),
    ROW(BV_FLAG, interleaved, "", 0, 1, 0, NULL,
        "primary in two halves, one below and one above the secondary"),
    COUNTED(chambers, 1, 20, 1,
            "chambers of the bobbin that divide the secondary side by side"),
    VALUE(margin, "m", -1, 1, -1,
          "margin at each flange; negative: half the creepage distance"),
    VALUE(layer_insulation, "m", 0, 1e-2, 50e-6,
          "thickness of the insulation between layers"),
    COUNTED(series_diodes, 0, 100, 0,
            "diodes in series at each position; 0: as many as needed"),
};
#undef OWNER
TABLE(bv_choice_fields, choice_list);

#define OWNER bv_tolerances
static const bv_field tolerances_list[] = {
    VALUE(inductance, "", 0, 0.5, 0.1, "of the primary inductance, +-"),
    VALUE(sense_threshold, "", 0, 0.5, 0.05, "of the comparator level, +-"),
    VALUE(capacitance, "", 0, 0.5, 0.1, "of the storage capacitance, +-"),
    VALUE(delays, "", 0, 0.9, 0.3, "of turn-off and turn-on delay, +-"),
    VALUE(temperature, "K", 0, 100, 20, "of the ambient temperature, +-"),
    VALUE(leakage, "", 0, 0.9, 0.3, "of the leakage inductance, +-"),
    VALUE(clamp, "", 0, 0.5, 0.05, "of the clamp level above the supply, +-"),
    VALUE(voltage_threshold, "", 0, 0.5, 0.01,
          "of the voltage at which a charge stops, and the start with it, +-"),
    VALUE(winding_capacitance, "", 0, 0.9, 0,
          "of the windings' capacitance, known within a factor of 1.5, +-"),
    COUNTED(samples, 0, 1e5, 32, "size of the seeded sample"),
    COUNTED(seed, 0, 9e15, 1, "seed of the sample"),
};
#undef OWNER
TABLE(bv_tolerances_fields, tolerances_list);

#define OWNER bv_design
#define NUMBER(name, unit, worse, meaning)                                     \
  VALUE(name, unit, -HUGE_VAL, HUGE_VAL, NEEDED, meaning),
#define TEXT(name, meaning)                                                    \
  ROW(BV_TEXT, name, "", -HUGE_VAL, HUGE_VAL, NEEDED, NULL, meaning),
#define LOSS(mechanism, meaning)                                               \
  VALUE(loss_energy_##mechanism, "J", -HUGE_VAL, HUGE_VAL, NEEDED,             \
        "energy lost in one charge: " meaning),
static const bv_field design_list[] = {
    WORD(reason, bv_reason_words, BV_REASON_OK,
         "ok, or what makes the design impossible"),
    BV_DESIGN_MAP(NUMBER, TEXT, LOSS)};
TABLE(bv_design_fields, design_list);

#undef NUMBER
#undef TEXT
#undef LOSS
#define NUMBER(name, unit, worse, meaning) worse,
#define TEXT(name, meaning) 0,
#define LOSS(mechanism, meaning) 1,
const signed char bv_design_worse[] = {0, BV_DESIGN_MAP(NUMBER, TEXT, LOSS)};
