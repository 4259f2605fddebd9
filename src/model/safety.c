/* SPDX-License-Identifier: MIT */
#include "model/safety.h"

#include <math.h>

double bv_stored_energy(double capacitance, double voltage) {
  return 0.5 * capacitance * voltage * voltage;
}

double bv_bleeder_resistance(double capacitance, double voltage, double safe,
                             double time) {
  if (voltage <= safe)
    return HUGE_VAL;
  return time / (capacitance * log(voltage / safe));
}

double bv_bleeder_time(double capacitance, double resistance, double voltage,
                       double safe) {
  return voltage <= safe ? 0 : resistance * capacitance * log(voltage / safe);
}

double bv_bleeder_voltage(double capacitance, double resistance, double voltage,
                          double time) {
  return voltage * exp(-time / (resistance * capacitance));
}

double bv_capacitor_discharge_time(double voltage) {
  return voltage <= 1000 ? 180 : 600;
}

double bv_touch_capacitance(double voltage) {
  if (voltage <= 42.4)
    return HUGE_VAL;
  if (voltage <= 450)
    return BV_TOUCH_CAPACITANCE;
  if (voltage <= 15e3)
    return BV_TOUCH_CHARGE / voltage;
  return 2 * BV_TOUCH_ENERGY / (voltage * voltage);
}

bool bv_touch_allowed(double capacitance, double voltage) {
  return capacitance <= bv_touch_capacitance(voltage);
}

const char *bv_energy_class(double energy, double voltage) {
  if (voltage <= BV_SAFE_DC)
    return "safe";
  if (voltage < 400)
    return energy < 1 ? "startle" : energy < 100 ? "shock" : "hazardous";
  return energy < 0.25 ? "startle"
         : energy < 10 ? "shock"
         : energy < 50 ? "hazardous"
                       : "possibly lethal";
}
