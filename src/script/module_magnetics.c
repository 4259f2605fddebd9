/* SPDX-License-Identifier: MIT */
/* brimvolt.magnetics: cores, gaps, wires, windings and their losses, each
 * usable alone. */
#include "model/acresistance.h"
#include "model/capacitance.h"
#include "model/clamp.h"
#include "model/copper.h"
#include "model/core.h"
#include "model/coreloss.h"
#include "model/gap.h"
#include "model/leakage.h"
#include "model/sizing.h"
#include "model/thermal.h"
#include "model/wire.h"
#include "script/formula_rows.h"
#include "script/module.h"

/* What several formulas take. */
#define IN_AREA(i)                                                             \
  BV_IN(i, "area", "m2", 1e-9, 10, NEEDED, "cross-section of the core")
#define IN_INDUCTANCE(i)                                                       \
  BV_IN(i, "inductance", "H", 1e-12, 1e3, NEEDED, "inductance")
#define IN_CURRENT(i) BV_IN(i, "current", "A", 0, 1e6, NEEDED, "peak current")
#define IN_TURNS(i) BV_IN(i, "turns", "", 1e-3, 1e6, NEEDED, "turns")
#define IN_TEMPERATURE(i)                                                      \
  BV_IN(i, "temperature", "degC", -200, 500, 20, "temperature of the copper")
#define IN_STEINMETZ                                                           \
  BV_IN(0, "steinmetz_k", "", 0, HUGE_VAL, NEEDED,                             \
        "loss density in W/m3 at 1 Hz and 1 T"),                               \
      BV_IN(1, "steinmetz_alpha", "", 0.5, 3, NEEDED,                          \
            "exponent of the frequency"),                                      \
      BV_IN(2, "steinmetz_beta", "", 1, 4, NEEDED,                             \
            "exponent of the flux density")

IN(reluctance) = {
    BV_IN(0, "length", "m", 1e-9, 1e3, NEEDED, "length of the path"),
    IN_AREA(1),
    BV_IN(2, "permeability", "", 1, HUGE_VAL, 1, "relative permeability"),
};
OUT(reluctance, "1/H", "reluctance of the path");
COMPUTE(reluctance) {
  r->number = bv_gap_reluctance(a[0], a[1], a[2]);
}

IN(fringing_factor) = {
    BV_IN(0, "gap", "m", 0, 0.1, NEEDED, "length of the gap"),
    IN_AREA(1),
    BV_IN(2, "width", "m", 1e-6, 10, NEEDED, "width of the winding over it"),
};
OUT(fringing_factor, "", "factor on the inductance");
COMPUTE(fringing_factor) {
  r->number = bv_gap_fringing(a[0], a[1], a[2]);
}

#define IN_CORE                                                                \
  IN_AREA(2),                                                                  \
      BV_IN(3, "length", "m", 1e-6, 1e3, NEEDED, "length of the core"),        \
      BV_IN(4, "permeability", "", 1, HUGE_VAL, HUGE_VAL,                      \
            "relative, of the core without gap"),                              \
      BV_IN(5, "width", "m", 0, 10, 0,                                         \
            "width of the winding over the gap; 0: no fringing")

static bv_gap_core gap_core(const double *a) {
  return (bv_gap_core){
      .area = a[2], .length = a[3], .permeability = a[4], .width = a[5]};
}

IN(gap_length) = {IN_INDUCTANCE(0), IN_TURNS(1), IN_CORE};
OUT(gap_length, "m", "whole gap; negative: the core alone has less");
COMPUTE(gap_length) {
  bv_gap_core core = gap_core(a);
  r->number = bv_gap_length(&core, a[1], a[0]);
}

IN(gapped_inductance) = {
    BV_IN(0, "gap", "m", 0, 0.1, NEEDED, "length of the whole gap"),
    IN_TURNS(1), IN_CORE};
OUT(gapped_inductance, "H", "inductance with fringing");
COMPUTE(gapped_inductance) {
  bv_gap_core core = gap_core(a);
  r->number = bv_gap_inductance(&core, a[1], a[0]);
}

IN(flux_density) = {IN_INDUCTANCE(0), IN_CURRENT(1), IN_TURNS(2), IN_AREA(3)};
OUT(flux_density, "T", "flux density");
COMPUTE(flux_density) {
  r->number = bv_gap_flux_density(a[0], a[1], a[2], a[3]);
}

IN(turns_for_flux) = {
    IN_INDUCTANCE(0), IN_CURRENT(1),
    BV_IN(2, "flux_density", "T", 1e-6, 10, NEEDED, "flux density"),
    IN_AREA(3)};
OUT(turns_for_flux, "", "turns, a fraction");
COMPUTE(turns_for_flux) {
  r->number = bv_gap_turns(a[0], a[1], a[2], a[3]);
}

IN(gap_energy) = {
    BV_IN(0, "flux_density", "T", 0, 10, NEEDED, "flux density"), IN_AREA(1),
    BV_IN(2, "length", "m", 0, 1e3, NEEDED, "length of the path"),
    BV_IN(3, "permeability", "", 1, HUGE_VAL, 1, "relative; 1: a gap")};
OUT(gap_energy, "J", "energy in the path");
COMPUTE(gap_energy) {
  r->number = bv_gap_energy(a[0], a[1], a[2], a[3]);
}

IN(area_product) = {
    IN_INDUCTANCE(0),
    BV_IN(1, "peak_current", "A", 0, 1e6, NEEDED, "peak of the primary"),
    BV_IN(2, "rms_current", "A", 0, 1e6, NEEDED,
          "rms of the primary plus ratio times that of the secondary"),
    BV_IN(3, "flux_density", "T", 1e-6, 10, NEEDED, "peak flux density"),
    BV_IN(4, "current_density", "A/m2", 1, 1e9, 4e6, "in the copper"),
    BV_IN(5, "fill", "", 1e-3, 1, 0.4, "copper's share of the window")};
OUT(area_product, "m4", "core area times window area");
COMPUTE(area_product) {
  r->number = bv_core_area_product(a[0], a[1], a[2], a[3], a[4], a[5]);
}

static const char *const shapes[] = {"ring", "E", "ETD", "U", "pot", NULL};
#define IN_SIZE(i, name)                                                       \
  BV_IN(i, name, "m", 0, 10, 0, "dimension " name " of IEC 60205")
IN(effective_parameters) = {
    BV_IN_WORD(0, "shape", shapes, BV_CORE_ETD, "shape of the core"),
    IN_SIZE(1, "a"),
    IN_SIZE(2, "b"),
    IN_SIZE(3, "c"),
    IN_SIZE(4, "d"),
    IN_SIZE(5, "e"),
    IN_SIZE(6, "f"),
    IN_SIZE(7, "slot")};
static const bv_field effective_parameters_out[] = {
    BV_OUT(BV_NUMBER, "area", "m2", "effective area"),
    BV_OUT(BV_NUMBER, "length", "m", "effective length"),
    BV_OUT(BV_NUMBER, "volume", "m3", "effective volume")};
COMPUTE(effective_parameters) {
  bv_core_size size = {a[1], a[2], a[3], a[4], a[5], a[6], a[7]};
  bv_core_effective made;
  bv_core_effective_make((bv_core_shape) a[0], &size, &made);
  r[0].number = made.area;
  r[1].number = made.length;
  r[2].number = made.volume;
}

IN(saturation_flux_density) = {
    BV_IN(0, "at_25", "T", 0, 10, NEEDED, "at 25 degC"),
    BV_IN(1, "at_100", "T", 0, 10, NEEDED, "at 100 degC"),
    BV_IN(2, "temperature", "degC", -200, 500, NEEDED, "temperature wanted")};
OUT(saturation_flux_density, "T", "saturation flux density");
COMPUTE(saturation_flux_density) {
  r->number = bv_core_saturation(a[0], a[1], a[2]);
}

IN(copper_resistance) = {
    BV_IN(0, "length", "m", 0, 1e6, NEEDED, "length of the conductor"),
    BV_IN(1, "area", "m2", 1e-12, 1, NEEDED, "its cross-section"),
    IN_TEMPERATURE(2)};
OUT(copper_resistance, "ohm", "resistance to direct current");
COMPUTE(copper_resistance) {
  r->number = bv_copper_resistance(a[0], a[1], a[2]);
}

#define IN_FREQUENCY(i)                                                        \
  BV_IN(i, "frequency", "Hz", 1e-3, 1e10, NEEDED, "frequency")
IN(skin_depth) = {IN_FREQUENCY(0), IN_TEMPERATURE(1)};
OUT(skin_depth, "m", "depth at which the field has fallen to 1/e");
COMPUTE(skin_depth) {
  r->number = bv_copper_skin_depth(a[0], a[1]);
}

IN(wire_diameter) = {
    BV_IN(0, "gauge", "", -3, 60, NEEDED, "AWG number, -3 for 4/0")};
OUT(wire_diameter, "m", "bare diameter");
COMPUTE(wire_diameter) {
  r->number = bv_wire_awg_diameter(a[0]);
}

IN(wire_overall_diameter) = {
    BV_IN(0, "diameter", "m", 1e-6, 1e-2, NEEDED, "bare diameter"),
    BV_IN_WHOLE(1, "grade", 1, 2, 1, "grade of the enamel")};
OUT(wire_overall_diameter, "m", "largest overall diameter");
COMPUTE(wire_overall_diameter) {
  r->number =
      bv_wire_overall_diameter(a[0], a[1] < 2 ? BV_GRADE_1 : BV_GRADE_2);
}

IN(ac_resistance_factor) = {
    BV_IN(0, "diameter", "m", 1e-6, 1e-1, NEEDED, "bare, of one strand"),
    BV_IN(1, "strands", "", 1, 1e6, 1, "strands of the wire"),
    BV_IN(2, "pitch", "m", 1e-6, 1, NEEDED, "from turn to turn, whole wire"),
    BV_IN(3, "layers", "", 0.1, 1e3, 1, "layers of the winding"),
    IN_FREQUENCY(4),
    IN_TEMPERATURE(5)};
OUT(ac_resistance_factor, "", "ac over dc resistance for a sine");
COMPUTE(ac_resistance_factor) {
  double depth = bv_copper_skin_depth(a[4], a[5]);
  r->number = bv_ac_stranded(a[0], a[1], a[2], depth, a[3]);
}

IN(dowell_factor) = {
    BV_IN(0, "phi", "", 0, 1e3, NEEDED, "thickness over skin depth"),
    BV_IN(1, "layers", "", 0.1, 1e3, 1, "layers of foil")};
OUT(dowell_factor, "", "ac over dc resistance for a sine");
COMPUTE(dowell_factor) {
  r->number = bv_ac_dowell(a[0], a[1]);
}

IN(rms_of_ramp) = {
    BV_IN(0, "first", "A", -1e9, 1e9, 0, "value at the start of the pulse"),
    BV_IN(1, "last", "A", -1e9, 1e9, NEEDED, "value at its end"),
    BV_IN(2, "duty", "", 0, 1, NEEDED, "share of the period")};
OUT(rms_of_ramp, "A", "rms over the period");
COMPUTE(rms_of_ramp) {
  r->number = bv_rms_ramp(a[0], a[1], a[2]);
}

IN(leakage_inductance) = {
    BV_IN(0, "turns", "", 1e-3, 1e6, NEEDED, "of the winding it is seen from"),
    BV_IN(1, "mean_turn", "m", 1e-4, 100, NEEDED, "mean length of a turn"),
    BV_IN(2, "width", "m", 1e-4, 10, NEEDED, "common to both windings"),
    BV_IN(3, "copper", "m", 0, 1, NEEDED, "heights of all windings"),
    BV_IN(4, "space", "m", 0, 1, NEEDED, "insulation between windings"),
    BV_IN(5, "interfaces", "", 1, 10, 1, "1: P|S, 2: P/2|S|P/2")};
OUT(leakage_inductance, "H", "leakage seen from the winding");
COMPUTE(leakage_inductance) {
  bv_leakage_path path = {.turns = a[0],
                          .mean_turn = a[1],
                          .width = a[2],
                          .copper = a[3],
                          .space = a[4],
                          .interfaces = a[5]};
  r->number = bv_leakage(&path);
}

IN(plate_capacitance) = {
    BV_IN(0, "mean_turn", "m", 1e-4, 100, NEEDED, "mean length of a turn"),
    BV_IN(1, "width", "m", 1e-4, 10, NEEDED, "width of the layers"),
    BV_IN(2, "distance", "m", 1e-7, 1, NEEDED, "between the layers"),
    BV_IN(3, "permittivity", "", 1, 100, 3.5, "relative")};
OUT(plate_capacitance, "F", "capacitance of two layers as plates");
COMPUTE(plate_capacitance) {
  r->number = bv_capacitance_plates(a[0], a[1], a[2], a[3]);
}

static const char *const returns[] = {"folded", "led_back", NULL};
IN(winding_capacitance) = {
    BV_IN(0, "between_layers", "F", 0, 1, NEEDED, "of two neighbouring layers"),
    BV_IN(1, "layers", "", 1, 1e4, NEEDED, "layers of the winding"),
    BV_IN_WORD(2, "order", returns, BV_FOLDED, "how layers follow each other"),
    BV_IN(3, "chambers", "", 1, 100, 1, "axial chambers side by side")};
OUT(winding_capacitance, "F", "seen over the ends of the winding");
COMPUTE(winding_capacitance) {
  r->number = bv_capacitance_winding(a[0], a[1], (bv_layer_return) a[2], a[3]);
}

IN(core_loss_sine) = {
    IN_STEINMETZ, IN_FREQUENCY(3),
    BV_IN(4, "amplitude", "T", 0, 10, NEEDED, "half the swing")};
OUT(core_loss_sine, "W/m3", "loss density");
COMPUTE(core_loss_sine) {
  bv_steinmetz fit = {a[0], a[1], a[2]};
  r->number = bv_core_loss_sine(&fit, a[3], a[4]);
}

IN(core_loss_triangle) = {
    IN_STEINMETZ, IN_FREQUENCY(3),
    BV_IN(4, "swing", "T", 0, 20, NEEDED, "peak to peak"),
    BV_IN(5, "rise", "", 1e-6, 0.999999, 0.5, "rising share of the period")};
OUT(core_loss_triangle, "W/m3", "loss density");
COMPUTE(core_loss_triangle) {
  bv_steinmetz fit = {a[0], a[1], a[2]};
  r->number = bv_core_loss_triangle(&fit, a[3], a[4], a[5]);
}

IN(temperature_rise) = {
    BV_IN(0, "power", "W", 0, 1e6, NEEDED, "given off"),
    BV_IN(1, "surface", "m2", 1e-6, 1e3, NEEDED, "cooling surface")};
OUT(temperature_rise, "K", "over the ambient");
COMPUTE(temperature_rise) {
  r->number = bv_thermal_rise(a[0], a[1]);
}

IN(cooling_surface) = {
    BV_IN(0, "area_product", "m4", 1e-14, 1, NEEDED, "of the core")};
OUT(cooling_surface, "m2", "of the wound part");
COMPUTE(cooling_surface) {
  r->number = bv_thermal_surface(a[0]);
}

IN(adiabatic_rise) = {
    BV_IN(0, "energy", "J", 0, 1e9, NEEDED, "that stays in the part"),
    BV_IN(1, "mass", "kg", 1e-9, 1e6, NEEDED, "of the part"),
    BV_IN(2, "specific_heat", "J/(kg K)", 1, 1e5, 385, "copper: 385")};
OUT(adiabatic_rise, "K", "without cooling");
COMPUTE(adiabatic_rise) {
  r->number = bv_thermal_adiabatic(a[0], a[1], a[2]);
}

IN(clamp_energy) = {
    BV_IN(0, "leakage", "H", 0, 1, NEEDED, "leakage inductance"),
    IN_CURRENT(1),
    BV_IN(2, "clamp", "V", 1e-3, 1e6, NEEDED, "clamp level above the supply"),
    BV_IN(3, "reflected", "V", 0, 1e6, NEEDED, "reflected output"),
    BV_IN(4, "capacitance", "F", 0, 1, 0,
          "of windings and diodes behind the leakage, seen at the primary"),
    BV_IN(5, "supply", "V", 0, 1e6, 0, "supply voltage, for the capacitance")};
OUT(clamp_energy, "J", "taken each cycle; infinite: never ends");
COMPUTE(clamp_energy) {
  bv_clamp clamp = {a[0], a[2], a[4], a[5]};
  r->number = bv_clamp_take(&clamp, a[1], a[3]).energy;
}

#define CORE_EXAMPLE "area = 97e-6, length = 79e-3"
static const bv_formula formulas[] = {
    FORMULA(reluctance, "reluctance of a path", "l/(mu0 mur A)",
            "length = 1e-3, area = 97e-6"),
    FORMULA(fringing_factor, "increase of the inductance by fringing at a gap",
            "1 + lg/sqrt(A) ln(2 G/lg), McLyman, Transformer and Inductor "
            "Design Handbook, ch. 8",
            "gap = 0.5e-3, area = 97e-6, width = 21e-3"),
    FORMULA(gap_length, "gap for an inductance, fringing included",
            "N2/L = le/(mu0 mur A) + lg/(mu0 F A)",
            "inductance = 20e-6, turns = 12, width = 21e-3, " CORE_EXAMPLE),
    FORMULA(gapped_inductance, "inductance of turns on a gapped core",
            "N2/L = le/(mu0 mur A) + lg/(mu0 F A)",
            "gap = 0.5e-3, turns = 12, width = 21e-3, " CORE_EXAMPLE),
    FORMULA(flux_density, "flux density of a current", "L I/(N A)",
            "inductance = 20e-6, current = 10, turns = 12, area = 97e-6"),
    FORMULA(turns_for_flux, "turns for a flux density", "L I/(B A)",
            "inductance = 20e-6, current = 10, flux_density = 0.2, area = "
            "97e-6"),
    FORMULA(gap_energy, "energy in a part of the magnetic path",
            "B2 A l/(2 mu0 mur)",
            "flux_density = 0.2, area = 97e-6, length = 0.5e-3"),
    FORMULA(area_product, "area product that a coupled inductor needs",
            "L Ipk Irms/(B J Ku)",
            "inductance = 20e-6, peak_current = 10, rms_current = 8, "
            "flux_density = 0.25"),
    FORMULA(effective_parameters,
            "effective parameters of a core from its "
            "dimensions",
            "IEC 60205", "shape = 'ring', a = 36e-3, b = 23e-3, c = 15e-3"),
    FORMULA(saturation_flux_density, "saturation flux density at a temperature",
            "straight line through 25 and 100 degC",
            "at_25 = 0.49, at_100 = 0.39, temperature = 120"),
    FORMULA(copper_resistance, "resistance of a copper conductor",
            "rho l/A, IEC 60028",
            "length = 2, area = 0.5e-6, temperature = 90"),
    FORMULA(skin_depth, "skin depth of copper", "sqrt(rho/(pi f mu0))",
            "frequency = 100e3"),
    FORMULA(wire_diameter, "bare diameter of an AWG number",
            "0.127 mm 92^((36 - n)/39), ASTM B258", "gauge = 24"),
    FORMULA(wire_overall_diameter, "overall diameter of enamelled wire",
            "IEC 60317-0-1, interpolated", "diameter = 0.5e-3"),
    FORMULA(ac_resistance_factor,
            "ac over dc resistance of round or stranded "
            "wire in layers",
            "J. A. Ferreira, IEEE Trans. Power Electron. 9(1), 1994",
            "diameter = 0.5e-3, pitch = 0.6e-3, layers = 3, frequency = 100e3"),
    FORMULA(dowell_factor, "ac over dc resistance of layers of foil",
            "P. L. Dowell, Proc. IEE 113(8), 1966", "phi = 1, layers = 3"),
    FORMULA(rms_of_ramp,
            "rms of a pulse that goes straight from one value to "
            "another",
            "sqrt(d (a2 + a b + b2)/3)", "last = 10, duty = 0.5"),
    FORMULA(leakage_inductance, "leakage of two windings over each other",
            "mu0 N2 MLT/(k2 b) (sum h/3 + sum c)",
            "turns = 12, mean_turn = 60e-3, width = 18e-3, copper = 4e-3, "
            "space = 0.4e-3"),
    FORMULA(plate_capacitance, "capacitance of two neighbouring layers",
            "eps0 er MLT b/d",
            "mean_turn = 60e-3, width = 18e-3, distance = 0.3e-3"),
    FORMULA(winding_capacitance, "self-capacitance of a winding in layers",
            "folded 4 C (p - 1)/(3 p2), led back C (p - 1)/p2",
            "between_layers = 110e-12, layers = 4"),
    FORMULA(core_loss_sine, "core loss density of a sine", "k f^alpha B^beta",
            "steinmetz_k = 0.015, steinmetz_alpha = 1.85, steinmetz_beta = "
            "2.37, frequency = 100e3, amplitude = 0.1"),
    FORMULA(core_loss_triangle, "core loss density of a triangle",
            "iGSE: K. Venkatachalam and others, IEEE COMPEL 2002",
            "steinmetz_k = 0.015, steinmetz_alpha = 1.85, steinmetz_beta = "
            "2.37, frequency = 100e3, swing = 0.2, rise = 0.7"),
    FORMULA(temperature_rise, "rise of a wound part in still air",
            "450 (W/cm2)^0.826, McLyman, ch. 6; +-30 %",
            "power = 2, surface = 5e-3"),
    FORMULA(cooling_surface, "cooling surface from the area product",
            "40 sqrt(area product in cm4) cm2, after McLyman, ch. 5",
            "area_product = 1.2e-8"),
    FORMULA(adiabatic_rise, "rise of a mass by an energy that stays in it",
            "E/(m c)", "energy = 10, mass = 0.02"),
    FORMULA(clamp_energy, "energy the clamp takes each cycle",
            "L I2 Vcl/(2 (Vcl - Vr)) without capacitance; with it the winding "
            "swings from minus the supply toward the clamp level",
            "leakage = 0.3e-6, current = 10, clamp = 80, reflected = 50"),
};

static const bv_function functions[] = {{0}};

const bv_module bv_module_magnetics = {
    .name = "magnetics",
    .meaning = "cores, gaps, wires, windings and their losses, each alone",
    .functions = functions,
    .formulas = formulas,
    .formula_count = sizeof formulas / sizeof *formulas};
