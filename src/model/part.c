/* SPDX-License-Identifier: MIT */
#include "model/part.h"

#include <math.h>

#define NEEDED ((double) NAN)
#define COUNT(list) (sizeof(list) / sizeof *(list))

/* A table row of the struct type OWNER. */
#define ROW(kind, member, unit, lo, hi, fallback, meaning)                     \
  {                                                                            \
#member, unit, meaning, kind, offsetof(OWNER, member), lo, hi, fallback,   \
        NULL                                                                   \
  }
#define TEXT(member, meaning)                                                  \
  ROW(BV_TEXT, member, "", -HUGE_VAL, HUGE_VAL, 0, meaning)
#define NUMBER(member, unit, lo, hi, fallback, meaning)                        \
  ROW(BV_NUMBER, member, unit, lo, hi, fallback, meaning)
#define WHOLE(member, lo, hi, fallback, meaning)                               \
  ROW(BV_WHOLE, member, "", lo, hi, fallback, meaning)
#define NAME(meaning)                                                          \
  ROW(BV_TEXT, name, "", -HUGE_VAL, HUGE_VAL, NEEDED, meaning)
#define PROVENANCE TEXT(provenance, "where the figures come from")

#define OWNER bv_core
static const bv_field core_list[] = {
    NAME("name of the core"),
    TEXT(family, "family of shapes it belongs to"),
    NUMBER(effective_area, "m2", 1e-7, 1e-1, NEEDED,
           "effective cross-section (IEC 60205)"),
    NUMBER(effective_length, "m", 1e-3, 10, NEEDED,
           "effective magnetic path length (IEC 60205)"),
    NUMBER(effective_volume, "m3", 1e-10, 1e-1, NEEDED,
           "effective volume (IEC 60205)"),
    NUMBER(minimum_area, "m2", 0, 1e-1, 0,
           "narrowest cross-section; 0: the effective one"),
    NUMBER(winding_area, "m2", 0, 1e-1, 0,
           "winding window of the bobbin; 0: no bobbin, cannot be wound"),
    NUMBER(winding_width, "m", 0, 1, 0,
           "winding width between the flanges; 0: from the winding area"),
    NUMBER(mean_turn_length, "m", 0, 10, 0,
           "mean length of a turn; 0: no bobbin, cannot be wound"),
    NUMBER(surface_area, "m2", 0, 10, 0,
           "cooling surface of the wound part; 0: from the area product"),
    NUMBER(mass, "kg", 0, 1000, 0, "mass of the core set; 0: from the volume"),
    PROVENANCE,
};
#undef OWNER

#define OWNER bv_wire
static const bv_field wire_list[] = {
    NAME("name of the wire"),
    NUMBER(bare_diameter, "m", 1e-6, 2e-2, NEEDED,
           "nominal copper diameter of one strand"),
    NUMBER(insulated_diameter, "m", 1e-6, 5e-2, NEEDED,
           "largest overall diameter of the whole wire"),
    WHOLE(strands, 1, 1e5, 1, "insulated strands in parallel; 1: solid wire"),
    PROVENANCE,
};
#undef OWNER

#define OWNER bv_material
static const bv_field material_list[] = {
    NAME("name of the core material"),
    NUMBER(steinmetz_k, "", 0, HUGE_VAL, NEEDED,
           "Steinmetz factor: loss density in W/m3 at 1 Hz and 1 T"),
    NUMBER(steinmetz_alpha, "", 0.5, 3, NEEDED,
           "Steinmetz exponent of the frequency"),
    NUMBER(steinmetz_beta, "", 1, 4, NEEDED,
           "Steinmetz exponent of the flux density"),
    NUMBER(reference_temperature, "degC", -60, 300, 100,
           "temperature of the loss data"),
    NUMBER(loss_temperature_linear, "1/K", -1, 1, 0,
           "linear change of the loss from the reference temperature"),
    NUMBER(loss_temperature_square, "1/K2", 0, 1, 0,
           "quadratic change of the loss from the reference temperature"),
    NUMBER(saturation_flux_25, "T", 0.01, 3, NEEDED,
           "saturation flux density at 25 degC"),
    NUMBER(saturation_flux_100, "T", 0.01, 3, NEEDED,
           "saturation flux density at 100 degC"),
    NUMBER(relative_permeability, "", 1, 1e6, NEEDED,
           "initial relative permeability at 25 degC"),
    NUMBER(lowest_frequency, "Hz", 0, 1e9, 0,
           "lowest frequency of the loss data"),
    NUMBER(highest_frequency, "Hz", 0, HUGE_VAL, HUGE_VAL,
           "highest frequency of the loss data"),
    PROVENANCE,
};
#undef OWNER

#define OWNER bv_switch
static const bv_field switch_list[] = {
    NAME("name of the switch"),
    NUMBER(voltage_rating, "V", 1, 1e5, NEEDED, "rated blocking voltage"),
    NUMBER(current_rating, "A", 0.01, 1e5, NEEDED,
           "rated peak current at the duty of a charger"),
    NUMBER(on_resistance, "ohm", 0, 1e4, NEEDED,
           "on resistance at 25 degC junction"),
    NUMBER(resistance_coefficient, "1/K", 0, 0.1, 0.007,
           "relative change of the on resistance with temperature"),
    NUMBER(output_capacitance, "F", 0, 1e-6, NEEDED,
           "output capacitance, energy-related at 0.8 of the rated voltage"),
    NUMBER(gate_charge, "C", 0, 1e-3, NEEDED, "total gate charge"),
    NUMBER(gate_voltage, "V", 0, 100, 10, "gate drive voltage"),
    NUMBER(current_fall_time, "s", 0, 1e-4, NEEDED,
           "fall time of the current at turn-off"),
    NUMBER(thermal_resistance, "K/W", 0, 1e4, NEEDED,
           "junction to ambient as mounted"),
    PROVENANCE,
};
#undef OWNER

#define OWNER bv_diode
static const bv_field diode_list[] = {
    NAME("name of the diode"),
    NUMBER(voltage_rating, "V", 1, 1e6, NEEDED,
           "rated repetitive peak reverse voltage"),
    NUMBER(current_rating, "A", 1e-4, 1e5, NEEDED,
           "rated repetitive peak forward current"),
    NUMBER(forward_drop, "V", 0, 100, NEEDED, "threshold drop at 25 degC"),
    NUMBER(dynamic_resistance, "ohm", 0, 1e5, 0,
           "slope of the forward characteristic"),
    NUMBER(capacitance, "F", 0, 1e-6, 0,
           "capacitance, charge-related at half the rated voltage"),
    NUMBER(recovery_time, "s", 0, 1e-2, 0, "reverse recovery time"),
    NUMBER(thermal_resistance, "K/W", 0, 1e4, NEEDED,
           "junction to ambient as mounted"),
    PROVENANCE,
};
#undef OWNER

#define OWNER bv_storage
static const bv_field storage_list[] = {
    NAME("name of the storage capacitor"),
    NUMBER(capacitance, "F", 1e-12, 1e3, NEEDED, "capacitance"),
    NUMBER(voltage_rating, "V", 1, 1e6, NEEDED, "rated voltage"),
    NUMBER(series_resistance, "ohm", 0, 1e6, 0, "equivalent series resistance"),
    NUMBER(volume, "m3", 0, 1e3, 0, "volume of the case; 0: not known"),
    PROVENANCE,
};
#undef OWNER

#define TABLE(type)                                                            \
  const bv_fields bv_##type##_fields = {type##_list, COUNT(type##_list)}
TABLE(core);
TABLE(wire);
TABLE(material);
TABLE(switch);
TABLE(diode);
TABLE(storage);
