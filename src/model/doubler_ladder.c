/* SPDX-License-Identifier: MIT */
#include "model/doubler_ladder.h"

#include <math.h>

/* Charge a cycle over the capacitance, V; NAN where that has no meaning. */
static double step(double stages, double current, double frequency,
                   double capacitance) {
  if (!(stages >= 1 && stages == floor(stages) && current >= 0 &&
        frequency > 0 && capacitance > 0))
    return (double) NAN;
  return current / (frequency * capacitance);
}

double bv_ladder_drop_factor(double k) {
  return k * (4 * k * k + 3 * k - 1) / 6;
}

double bv_ladder_drop(double k, double current, double frequency,
                      double capacitance) {
  return step(k, current, frequency, capacitance) * bv_ladder_drop_factor(k);
}

double bv_ladder_ripple(double k, double current, double frequency,
                        double capacitance) {
  return step(k, current, frequency, capacitance) * k * (k + 1) / 2;
}

double bv_ladder_output(double swing, double stages, double current,
                        double frequency, double capacitance) {
  double drop = bv_ladder_drop(stages, current, frequency, capacitance);
  double left = stages * swing - drop;
  return left < 0 ? 0 : left;
}

double bv_ladder_efficiency(double swing, double stages, double current,
                            double frequency, double capacitance) {
  double crest =
      bv_ladder_output(swing, stages, current, frequency, capacitance);
  double ripple = bv_ladder_ripple(stages, current, frequency, capacitance);
  double mean = crest - ripple / 2;
  return mean < 0 ? 0 : mean / (stages * swing);
}

double bv_ladder_best_stages(double swing, double current, double frequency,
                             double capacitance) {
  return sqrt(swing / (2 * step(1, current, frequency, capacitance)));
}

bv_circuit bv_ladder_as_doubler(const bv_circuit *circuit) {
  bv_circuit c = *circuit;
  if (c.rectifier != BV_LADDER)
    return c;
  double k = c.stages, square = k * k;
  c.rectifier = BV_DOUBLER;
  c.target_voltage /= k;
  c.start_voltage /= k;
  c.storage_capacitance *= square;
  if (k > 1)
    c.storage_capacitance += (2 * k - 1) * c.series_capacitance;
  c.capacitor_resistance /= square;
  c.bleeder_resistance /= square;
  c.series_capacitance *= square / bv_ladder_drop_factor(k);
  return c;
}
