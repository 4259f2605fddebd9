/* SPDX-License-Identifier: MIT */
#include "model/sizing.h"

#include <math.h>

double bv_rms_ramp(double first, double last, double duty) {
  return sqrt(duty / 3 * (first * first + first * last + last * last));
}

double bv_sizing_magnetizing_current(double ratio, double output_current,
                                     double duty) {
  return ratio * output_current / (1 - duty);
}

double bv_sizing_inductance(double voltage, double time, double ripple) {
  return voltage * time / ripple;
}

double bv_sizing_kg(double resistivity, double inductance, double peak_current,
                    double total_rms, double flux_density, double copper_loss,
                    double fill) {
  double flux = inductance * peak_current * total_rms / flux_density;
  return resistivity * flux * flux / (copper_loss * fill);
}

double bv_sizing_share(double turns, double rms, double first_turns,
                       double total_rms) {
  return turns * rms / (first_turns * total_rms);
}

double bv_sizing_wire_area(double share, double fill, double window,
                           double turns) {
  return share * fill * window / turns;
}

double bv_sizing_kgfe(double resistivity, double volt_seconds, double total_rms,
                      double loss_constant, double beta, double total_loss,
                      double fill) {
  double product = volt_seconds * total_rms;
  return resistivity * product * product * pow(loss_constant, 2 / beta) /
         (4 * fill * pow(total_loss, (beta + 2) / beta));
}

double bv_sizing_flux(const bv_sizing_core *core, double resistivity,
                      double volt_seconds, double total_rms,
                      double loss_constant, double beta, double fill) {
  double product = volt_seconds * total_rms;
  double copper = resistivity * product * product / (2 * fill) *
                  core->mean_turn / (core->window * pow(core->area, 3));
  return pow(copper / (core->length * beta * loss_constant), 1 / (beta + 2));
}

double bv_sizing_turns(double volt_seconds, double flux, double area) {
  return volt_seconds / (2 * flux * area);
}

double bv_sizing_copper_loss(const bv_sizing_core *core, double resistivity,
                             double first_turns, double total_rms,
                             double fill) {
  double current = first_turns * total_rms;
  return resistivity * core->mean_turn * current * current /
         (core->window * fill);
}
