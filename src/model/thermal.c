/* SPDX-License-Identifier: MIT */
#include "model/thermal.h"

#include <math.h>

#include "base/constants.h"
#include "model/copper.h"
#include "model/coreloss.h"

static const double factor = 450, exponent = 0.826; /* W/cm2 to K */

double bv_thermal_rise(double power, double surface) {
  return factor * pow(power / (surface * 1e4), exponent);
}

double bv_thermal_power(double rise, double surface) {
  return surface * 1e4 * pow(rise / factor, 1 / exponent);
}

double bv_thermal_surface(double area_product) {
  return 40e-4 * sqrt(area_product * 1e8);
}

double bv_thermal_radiation(double emissivity, double surface_temperature,
                            double surroundings) {
  double hot = surface_temperature + BV_ZERO_CELSIUS;
  double cold = surroundings + BV_ZERO_CELSIUS;
  return emissivity * BV_STEFAN_BOLTZMANN * (pow(hot, 4) - pow(cold, 4));
}

double bv_thermal_adiabatic(double energy, double mass, double specific_heat) {
  return energy / (mass * specific_heat);
}

/* Of the core at a temperature, over that at the reference of its curve. */
static double core_share(const bv_thermal_load *load, double temperature) {
  const double *curve = load->core_curve;
  return bv_core_loss_temperature(curve[1], curve[2], curve[0],
                                  fmin(temperature, BV_FERRITE_HOTTEST));
}

/* Resistivity and core_share at the temperature of the load's losses. */
typedef struct references {
  double copper, core;
} references;

static double loss_at(const bv_thermal_load *load, references at,
                      double temperature) {
  return load->copper * (bv_copper_resistivity(temperature) / at.copper) +
         load->core * (core_share(load, temperature) / at.core);
}

/* Newton's method on T - ambient - rise(loss(T)), started cold: the rise is
 * concave in the loss and the loss nearly straight in T. */
double bv_thermal_balance(const bv_thermal_load *load) {
  references at = {bv_copper_resistivity(load->reference),
                   core_share(load, load->reference)};
  double temperature = load->ambient;
  for (int i = 0; i < 12; i++) {
    double loss = loss_at(load, at, temperature);
    double rise = bv_thermal_rise(loss, load->surface);
    double residual = temperature - load->ambient - rise;
    double more = loss_at(load, at, temperature + 1) - loss;
    double slope = 1 - exponent * rise / loss * more;
    if (!(slope > 0.05))
      slope = 0.05;
    double step = -residual / slope;
    temperature = fmin(temperature + step, BV_THERMAL_MOST);
    if (fabs(step) < 1e-9)
      break;
  }
  return temperature;
}

/* Of one pulse. */
static double warmed(double time, double constant) {
  return sqrt(tanh(time / constant));
}

double bv_thermal_pulse(double length, double period, double constant) {
  double whole = fmax(length, period), duty = length / whole;
  return duty + (1 - duty) * warmed(length + whole, constant) +
         warmed(length, constant) - warmed(whole, constant);
}

double bv_thermal_junction(double power_at_25, double coefficient,
                           double resistance, double ambient) {
  double cold = resistance * power_at_25;
  double slope = 1 - cold * coefficient;
  double top = ambient + cold * (1 - 25 * coefficient);
  if (!(slope > 0) || top / slope > BV_THERMAL_MOST)
    return BV_THERMAL_MOST;
  return top / slope;
}
