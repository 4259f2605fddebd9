/* SPDX-License-Identifier: MIT */
#include "model/circuit.h"

#include <math.h>

const char *const bv_rectifier_words[] = {"single", "doubler", "ladder", NULL};

#define REQUIRED ((double) NAN)
#define NONE HUGE_VAL

/* Limits are wide: they keep nonsense out, not unusual circuits. */
#define NUMBER(name, unit, lo, hi, fallback, meaning)                          \
  {                                                                            \
#name, unit, meaning, BV_NUMBER, offsetof(bv_circuit, name), lo, hi,       \
        fallback, NULL                                                         \
  }
#define LOSS(name, unit, hi, meaning) NUMBER(name, unit, 0, hi, 0, meaning)

static const bv_field fields[] = {
    NUMBER(supply_voltage, "V", 1e-3, 1e6, REQUIRED, "supply voltage"),
    NUMBER(target_voltage, "V", 1e-3, 1e7, REQUIRED,
           "voltage of the storage capacitor at the end of the charge"),
    NUMBER(start_voltage, "V", 0, 1e7, 0,
           "voltage of the storage capacitor at the start, below the target"),
    NUMBER(storage_capacitance, "F", 1e-15, 1e3, REQUIRED,
           "storage capacitance"),
    NUMBER(primary_inductance, "H", 1e-12, 1e3, REQUIRED,
           "primary inductance, leakage included"),
    NUMBER(turns_ratio, "", 1e-4, 1e5, REQUIRED,
           "turns of all secondary sections together over primary turns"),
    NUMBER(peak_current, "A", 1e-6, 1e6, REQUIRED,
           "primary current at which the comparator ends the on-time"),
    {"sections", "", "secondary sections with a diode each, in series",
     BV_WHOLE, offsetof(bv_circuit, sections), 1, 1000, 1, NULL},
    {"rectifier", "", "rectifier circuit", BV_WORD,
     offsetof(bv_circuit, rectifier), 0, BV_RECTIFIER_COUNT - 1, 0,
     bv_rectifier_words},
    {"stages", "", "doubler stages of the ladder", BV_WHOLE,
     offsetof(bv_circuit, stages), 1, 100, 1, NULL},
    NUMBER(series_capacitance, "F", 0, 1e3, 0,
           "series capacitor of the doubler, each of the ladder, those of all "
           "sections in series; 0: so large that it does not matter (ideal "
           "model only)"),
    LOSS(supply_resistance, "ohm", 1e6, "resistance of supply and wiring"),
    LOSS(switch_resistance, "ohm", 1e6, "on-resistance of the switch"),
    LOSS(primary_resistance, "ohm", 1e6, "resistance of the primary winding"),
    LOSS(sense_resistance, "ohm", 1e6, "current-sense resistor"),
    LOSS(secondary_resistance, "ohm", 1e9,
         "resistance of all secondary sections together"),
    LOSS(diode_drop, "V", 1e5, "forward threshold of each diode"),
    LOSS(diode_resistance, "ohm", 1e9, "forward resistance of each diode"),
    LOSS(capacitor_resistance, "ohm", 1e9,
         "series resistance of the storage capacitor"),
    NUMBER(bleeder_resistance, "ohm", 0, NONE, NONE,
           "bleeder across the storage capacitor, 0 or infinite: none"),
    LOSS(leakage_inductance, "H", 1e3, "leakage inductance at the primary"),
    LOSS(clamp_voltage, "V", 1e7,
         "clamp level above the supply, needed where there is leakage"),
    LOSS(node_capacitance, "F", 1,
         "capacitance at the switch, reflected winding included"),
    LOSS(node_capacitance_winding, "F", 1,
         "its part behind the leakage: windings and diodes, at most all of it"),
    LOSS(switch_capacitance, "F", 1,
         "its part in the switch itself, which takes the falling current over; "
         "0: not told, clamp and overlap each as if the other were not"),
    LOSS(turn_off_delay, "s", 1e3, "delay from the comparator to switch off"),
    LOSS(turn_on_delay, "s", 1e3, "delay of turn-on after the half ring"),
    NUMBER(off_time_limit, "s", 0, NONE, NONE,
           "longest off-time, then the switch turns on; infinite: none"),
    NUMBER(max_frequency, "Hz", 1e-3, NONE, NONE,
           "largest switching frequency, infinite: none"),
    LOSS(current_fall_time, "s", 1e3, "fall time of the switch current"),
    LOSS(gate_charge, "C", 1, "gate charge of the switch"),
    LOSS(gate_voltage, "V", 1e4, "gate drive voltage"),
    LOSS(core_volume, "m3", 1e3, "effective volume of the core, 0: no loss"),
    LOSS(core_area, "m2", 1e3, "effective area of the core"),
    LOSS(primary_turns, "", 1e6, "primary turns"),
    LOSS(steinmetz_k, "", 1e30, "Steinmetz coefficient, W/m3 at 1 Hz and 1 T"),
    NUMBER(steinmetz_alpha, "", 0, 5, 0, "Steinmetz exponent of frequency"),
    NUMBER(steinmetz_beta, "", 0, 5, 0, "Steinmetz exponent of flux density"),
    LOSS(recovery_time, "s", 1e3,
         "reverse recovery of the diodes, where they conduct at turn-on"),
    NUMBER(comparator_blanking, "s", 0, NONE, NONE,
           "time from turn-on in which the comparator is blind; infinite: "
           "until a doubler's recharge has ended"),
};

const bv_fields bv_circuit_fields = {fields, sizeof fields / sizeof *fields};

static bool fits_together(const bv_circuit *c) {
  bool core = c->core_volume > 0 && c->steinmetz_k > 0;
  return c->start_voltage < c->target_voltage &&
         c->leakage_inductance < c->primary_inductance &&
         c->sections == floor(c->sections) && c->stages == floor(c->stages) &&
         (!core || (c->core_area > 0 && c->primary_turns > 0));
}

bool bv_circuit_valid(const bv_circuit *circuit) {
  return bv_field_all_in_range(bv_circuit_fields, circuit) &&
         fits_together(circuit);
}
