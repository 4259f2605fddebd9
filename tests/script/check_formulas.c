/* SPDX-License-Identifier: MIT */
/* Every formula gives what its equation says. */
#include "script_value.h"

/* Values worked out from the equations apart from the program. */
static const struct {
  const char *call;
  double value, tolerance;
} values[] = {
    {"charger.ladder { stages = 3, swing = 1000, frequency = 50e3, capacitance "
     "= 10e-9, output_current = 1e-3 }.output_voltage",
     2956, 1e-12},
    {"charger.ladder { stages = 3, swing = 1000, frequency = 50e3, capacitance "
     "= 10e-9, output_current = 1e-3 }.efficiency",
     2950.0 / 3000, 1e-12},
    {"charger.ways({ supply_voltage = 24, target_voltage = 1200, "
     "storage_capacitance = 10e-6, primary_inductance = 20e-6, turns_ratio = "
     "15, peak_current = 12 }, { lower_share = 0.2 }).two_levels.peak_current",
     10, 2e-3},
    {"charger.ways { supply_voltage = 24, target_voltage = 1200, "
     "storage_capacitance = 10e-6, primary_inductance = 20e-6, turns_ratio = "
     "15, peak_current = 12 }.constant_output_current.peak_current",
     19.5, 2e-3},
    {"magnetics.reluctance { length = 1e-3, area = 97e-6, permeability = 2 }",
     4101931.52075, 1e-09},
    {"magnetics.fringing_factor { gap = 0.5e-3, area = 97e-6, width = 21e-3 }",
     1.22494064226, 1e-09},
    {"magnetics.gap_length { inductance = 20e-6, turns = 12, area = 97e-6, "
     "length = 79e-3, permeability = 2000 }",
     0.000838135324185, 1e-09},
    {"magnetics.gapped_inductance { gap = 0.5e-3, turns = 12, area = 97e-6, "
     "length = 79e-3, permeability = 2000, width = 21e-3 }",
     3.92078876369e-05, 1e-09},
    {"magnetics.flux_density { inductance = 20e-6, current = 10, turns = 12, "
     "area = 97e-6 }",
     0.171821305842, 1e-09},
    {"magnetics.turns_for_flux { inductance = 20e-6, current = 10, "
     "flux_density = 0.2, area = 97e-6 }",
     10.3092783505, 1e-09},
    {"magnetics.gap_energy { flux_density = 0.2, area = 97e-6, length = 0.5e-3 "
     "}",
     0.000771901473575, 1e-09},
    {"magnetics.area_product { inductance = 20e-6, peak_current = 10, "
     "rms_current = 8, flux_density = 0.25, current_density = 5e6, fill = 0.3 "
     "}",
     4.26666666667e-09, 1e-09},
    {"magnetics.effective_parameters { shape = 'ring', a = 36e-3, b = 23e-3, c "
     "= 15e-3 }.area",
     9.58853387609e-05, 1e-06},
    {"magnetics.effective_parameters { shape = 'ring', a = 36e-3, b = 23e-3, c "
     "= 15e-3 }.length",
     0.0896476349606, 1e-06},
    {"magnetics.effective_parameters { shape = 'ring', a = 36e-3, b = 23e-3, c "
     "= 15e-3 }.volume",
     8.59589384731e-06, 1e-06},
    {"magnetics.saturation_flux_density { at_25 = 0.49, at_100 = 0.39, "
     "temperature = 85 }",
     0.41, 1e-09},
    {"magnetics.copper_resistance { length = 2, area = 0.5e-6, temperature = "
     "90 }",
     0.0879379310345, 1e-09},
    {"magnetics.skin_depth { frequency = 100e3, temperature = 80 }",
     0.0002323165931, 1e-09},
    {"magnetics.wire_diameter { gauge = 24 }", 0.000510559227063, 1e-09},
    {"magnetics.wire_overall_diameter { diameter = 0.5e-3, grade = 2 }",
     0.000566, 0.02},
    {"magnetics.dowell_factor { phi = 1, layers = 3 }", 1.93996469649, 1e-09},
    {"magnetics.rms_of_ramp { first = 2, last = 10, duty = 0.5 }",
     4.54606056566, 1e-09},
    {"magnetics.leakage_inductance { turns = 12, mean_turn = 60e-3, width = "
     "18e-3, copper = 4e-3, space = 0.4e-3, interfaces = 2 }",
     2.61380508921e-07, 1e-09},
    {"magnetics.plate_capacitance { mean_turn = 60e-3, width = 18e-3, distance "
     "= 0.3e-3 }",
     1.11562766441e-10, 1e-09},
    {"magnetics.winding_capacitance { between_layers = 110e-12, layers = 4, "
     "chambers = 2 }",
     6.875e-12, 1e-09},
    {"magnetics.winding_capacitance { between_layers = 110e-12, layers = 4, "
     "order = 'led_back' }",
     2.0625e-11, 1e-09},
    {"magnetics.core_loss_sine { steinmetz_k = 0.015, steinmetz_alpha = 1.85, "
     "steinmetz_beta = 2.37, frequency = 100e3, amplitude = 0.1 }",
     113786.636254, 1e-09},
    {"magnetics.core_loss_triangle { steinmetz_k = 0.015, steinmetz_alpha = "
     "1.85, steinmetz_beta = 2.37, frequency = 100e3, swing = 0.2, rise = 0.7 "
     "}",
     109926.057806, 1e-06},
    {"magnetics.temperature_rise { power = 2, surface = 5e-3 }", 31.5147645352,
     1e-09},
    {"magnetics.cooling_surface { area_product = 1.2e-8 }", 0.00438178046004,
     1e-09},
    {"magnetics.adiabatic_rise { energy = 10, mass = 0.02 }", 1.2987012987,
     1e-09},
    {"magnetics.clamp_energy { leakage = 0.3e-6, current = 10, clamp = 80, "
     "reflected = 50 }",
     4e-05, 1e-09},
    {"magnetics.clamp_energy { leakage = 0.3e-6, current = 10, clamp = 80, "
     "reflected = 50, capacitance = 1e-8, supply = 24 }",
     1.183060221496e-05, 1e-09},
    {"insulation.altitude_factor { altitude = 3000 }", 1.14, 1e-09},
    {"insulation.test_voltage { working = 900, reinforced = true }", 5600,
     1e-09},
    {"insulation.breakdown_voltage { gap = 5e-3 }", 16409.2092296, 1e-09},
    {"insulation.stored_energy { capacitance = 33e-6, voltage = 1500 }", 37.125,
     1e-09},
    {"insulation.bleeder_resistance { capacitance = 33e-6, voltage = 1500, "
     "time = 60 }",
     564849.940509, 1e-09},
    {"insulation.bleeder_time { capacitance = 33e-6, resistance = 1e6, voltage "
     "= 1500, safe = 50 }",
     112.239513595, 1e-09},
    {"insulation.bleeder_voltage { capacitance = 33e-6, resistance = 1e6, "
     "voltage = 1500, time = 10 }",
     1107.86507238, 1e-09},
    {"insulation.touch_capacitance { voltage = 1500 }", 3e-08, 1e-09},
    {"insulation.touch_allowed { capacitance = 1e-9, voltage = 1500 } and 1 or "
     "2",
     1, 1e-09},
    {"insulation.energy_class { energy = 37, voltage = 1500 } == 'hazardous' "
     "and 1 or 2",
     1, 1e-09},
    {"insulation.clearance { impulse = 2500 }.length", 0.0015, 1e-09},
    {"insulation.clearance { impulse = 2500, altitude = 3000 }.length", 0.00171,
     1e-09},
    {"insulation.creepage { rms = 1000 }.length", 0.01, 1e-09},
    {"insulation.creepage { rms = 1000, material_group = 1 }.length", 0.005,
     1e-09},
    {"#insulation.clearance_high_frequency { peak = 1500 }.source > 0 and 1 or "
     "2",
     1, 1e-09},
    {"#insulation.clearance_secondary { peak = 400 }.source > 0 and 1 or 2", 1,
     1e-09},
};

START_TEST(formulas_give_what_their_equations_say) {
  char statements[1000];
  for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
    snprintf(statements, sizeof statements, "return %s", values[i].call);
    double value = script_value(statements);
    ck_assert_msg(fabs(value / values[i].value - 1) <= values[i].tolerance,
                  "%s: expected %.10g, found %.10g", values[i].call,
                  values[i].value, value);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {formulas_give_what_their_equations_say, NULL};
  script_enter();
  int code = check_main("formulas", tests);
  script_leave();
  return code;
}
