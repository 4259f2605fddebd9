/* SPDX-License-Identifier: MIT */
/* brimvolt.insulation: distances by the tables of the standards, and the safety
 * of the stored charge. */
#include "model/insulation.h"
#include "model/safety.h"
#include "script/formula_rows.h"
#include "script/module.h"

#define OUT_DISTANCE(name)                                                     \
  static const bv_field name##_out[] = {                                       \
      BV_OUT(BV_NUMBER, "length", "m", "distance"),                            \
      BV_OUT(BV_TEXT, "source", "",                                            \
             "seen in a publication, from memory, or beyond the table")}

#define IN_VOLTAGE(i, name, meaning)                                           \
  BV_IN(i, name, "V", 0, 1e6, NEEDED, meaning)
#define IN_POLLUTION(i)                                                        \
  BV_IN_WHOLE(i, "pollution_degree", 1, 3, 2, "pollution degree")
#define IN_CAPACITANCE(i)                                                      \
  BV_IN(i, "capacitance", "F", 1e-12, 100, NEEDED, "charged capacitance")
#define IN_SAFE(i) BV_IN(i, "safe", "V", 1e-3, 1e6, 60, "safe voltage")

static void answer_distance(bv_answer *r, bv_distance distance, double factor) {
  r[0].number = distance.length * factor;
  r[1].text = bv_source_word(distance.source);
}

IN(clearance) = {IN_VOLTAGE(0, "impulse", "impulse withstand voltage"),
                 IN_POLLUTION(1),
                 BV_IN_FLAG(2, "homogeneous", "case B, to be verified by test"),
                 BV_IN(3, "altitude", "m", 0, 20000, 2000, "above sea level")};
OUT_DISTANCE(clearance);
COMPUTE(clearance) {
  answer_distance(
      r,
      bv_clearance_impulse(a[0], a[1],
                           a[2] != 0 ? BV_HOMOGENEOUS : BV_INHOMOGENEOUS),
      bv_altitude_factor(a[3]));
}

IN(clearance_high_frequency) = {
    IN_VOLTAGE(0, "peak", "peak voltage above 30 kHz"), IN_POLLUTION(1)};
OUT_DISTANCE(clearance_high_frequency);
COMPUTE(clearance_high_frequency) {
  answer_distance(r, bv_clearance_high_frequency(a[0], a[1]), 1);
}

IN(clearance_secondary) = {IN_VOLTAGE(0, "peak", "peak voltage")};
OUT_DISTANCE(clearance_secondary);
COMPUTE(clearance_secondary) {
  answer_distance(r, bv_clearance_secondary(a[0]), 1);
}

IN(creepage) = {IN_VOLTAGE(0, "rms", "working voltage, rms"), IN_POLLUTION(1),
                BV_IN_WHOLE(2, "material_group", 1, 3, 3,
                            "group of the insulating material")};
OUT_DISTANCE(creepage);
COMPUTE(creepage) {
  answer_distance(r, bv_creepage(a[0], a[1], a[2]), 1);
}

IN(altitude_factor) = {
    BV_IN(0, "altitude", "m", 0, 20000, NEEDED, "above sea level")};
OUT(altitude_factor, "", "factor on clearances");
COMPUTE(altitude_factor) {
  r->number = bv_altitude_factor(a[0]);
}

IN(test_voltage) = {IN_VOLTAGE(0, "working", "working voltage, rms"),
                    BV_IN_FLAG(1, "reinforced", "reinforced insulation")};
OUT(test_voltage, "V", "rms, for a minute");
COMPUTE(test_voltage) {
  r->number = bv_insulation_test(a[0], a[1] != 0);
}

IN(breakdown_voltage) = {
    BV_IN(0, "gap", "m", 1e-3, 0.2, NEEDED, "gap in a uniform field")};
OUT(breakdown_voltage, "V", "of air at 1 atm and 20 degC");
COMPUTE(breakdown_voltage) {
  r->number = bv_breakdown_uniform(a[0]);
}

IN(stored_energy) = {IN_CAPACITANCE(0),
                     IN_VOLTAGE(1, "voltage", "its voltage")};
OUT(stored_energy, "J", "stored energy");
COMPUTE(stored_energy) {
  r->number = bv_stored_energy(a[0], a[1]);
}

IN(bleeder_resistance) = {
    IN_CAPACITANCE(0), IN_VOLTAGE(1, "voltage", "its voltage"), IN_SAFE(2),
    BV_IN(3, "time", "s", 1e-6, 1e9, NEEDED, "within which it is safe")};
OUT(bleeder_resistance, "ohm", "largest one; infinite: safe already");
COMPUTE(bleeder_resistance) {
  r->number = bv_bleeder_resistance(a[0], a[1], a[2], a[3]);
}

#define IN_BLEEDER(i)                                                          \
  BV_IN(i, "resistance", "ohm", 1e-3, 1e15, NEEDED, "bleeder")
IN(bleeder_time) = {IN_CAPACITANCE(0), IN_BLEEDER(1),
                    IN_VOLTAGE(2, "voltage", "voltage at the start"),
                    IN_SAFE(3)};
OUT(bleeder_time, "s", "to the safe voltage");
COMPUTE(bleeder_time) {
  r->number = bv_bleeder_time(a[0], a[1], a[2], a[3]);
}

IN(bleeder_voltage) = {IN_CAPACITANCE(0), IN_BLEEDER(1),
                       IN_VOLTAGE(2, "voltage", "voltage at the start"),
                       BV_IN(3, "time", "s", 0, 1e9, NEEDED, "after it")};
OUT(bleeder_voltage, "V", "left");
COMPUTE(bleeder_voltage) {
  r->number = bv_bleeder_voltage(a[0], a[1], a[2], a[3]);
}

IN(touch_capacitance) = {IN_VOLTAGE(0, "voltage", "voltage")};
OUT(touch_capacitance, "F", "largest that may be touched");
COMPUTE(touch_capacitance) {
  r->number = bv_touch_capacitance(a[0]);
}

IN(touch_allowed) = {IN_CAPACITANCE(0), IN_VOLTAGE(1, "voltage", "voltage")};
static const bv_field touch_allowed_out[] = {
    BV_OUT(BV_FLAG, "touch_allowed", "", "whether it may be touched")};
COMPUTE(touch_allowed) {
  r->number = bv_touch_allowed(a[0], a[1]);
}

IN(energy_class) = {BV_IN(0, "energy", "J", 0, 1e12, NEEDED, "stored energy"),
                    IN_VOLTAGE(1, "voltage", "voltage")};
static const bv_field energy_class_out[] = {
    BV_OUT(BV_TEXT, "energy_class", "", "a word for a page, no judgement")};
COMPUTE(energy_class) {
  r->text = bv_energy_class(a[0], a[1]);
}

static const bv_formula formulas[] = {
    FORMULA(clearance, "clearance by impulse voltage",
            "IEC 60664-1:2007 tables F.2 and A.2", "impulse = 2500"),
    FORMULA(clearance_high_frequency, "clearance for a peak above 30 kHz",
            "IEC 62368-1, from IEC 60664-4", "peak = 1500"),
    FORMULA(clearance_secondary, "clearance in a secondary circuit",
            "IEC 60950-1 table 2K", "peak = 400"),
    FORMULA(creepage, "creepage distance by working voltage",
            "IEC 60664-1:2007 table F.4", "rms = 900"),
    FORMULA(altitude_factor, "factor on clearances above 2000 m",
            "IEC 60664-1 table A.2", "altitude = 3000"),
    FORMULA(test_voltage, "test of the insulation of a wound part",
            "2 U + 1000 V, twice that for reinforced insulation (common "
            "practice; the product's standard decides)",
            "working = 900"),
    FORMULA(breakdown_voltage, "breakdown of air in a uniform field",
            "24.22 d + 6.08 sqrt(d) kV, d in cm (Kuffel, Zaengl, Kuffel, High "
            "Voltage Engineering)",
            "gap = 5e-3"),
    FORMULA(stored_energy, "energy of a charged capacitance", "C V2/2",
            "capacitance = 33e-6, voltage = 1500"),
    FORMULA(bleeder_resistance, "bleeder that makes a charge safe in time",
            "t/(C ln(V/Vsafe))",
            "capacitance = 33e-6, voltage = 1500, time = 60"),
    FORMULA(bleeder_time, "time to a safe voltage through a bleeder",
            "R C ln(V/Vsafe)",
            "capacitance = 33e-6, resistance = 1e6, voltage = 1500"),
    FORMULA(bleeder_voltage, "voltage left after a time through a bleeder",
            "V exp(-t/(R C))",
            "capacitance = 33e-6, resistance = 1e6, voltage = 1500, time = 10"),
    FORMULA(touch_capacitance, "largest capacitance that may be touched",
            "IEC 60335-1, 8.1.4", "voltage = 1500"),
    FORMULA(touch_allowed, "whether a charged capacitance may be touched",
            "IEC 60335-1, 8.1.4", "capacitance = 1e-9, voltage = 1500"),
    FORMULA(energy_class, "word for the hazard of a stored energy",
            "after the classes of DOE-HDBK-1092 and NFPA 70E article 360, from "
            "memory, with low confidence",
            "energy = 37, voltage = 1500"),
};

static const bv_function functions[] = {{0}};

const bv_module bv_module_insulation = {
    .name = "insulation",
    .meaning = "clearance, creepage, and the safety of the stored charge",
    .functions = functions,
    .formulas = formulas,
    .formula_count = sizeof formulas / sizeof *formulas};
