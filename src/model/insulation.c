/* SPDX-License-Identifier: MIT */
#include "model/insulation.h"

#include <math.h>
#include <stddef.h>

#define COUNT(list) (sizeof(list) / sizeof *(list))

/* A table's row: volts (or metres), distance in mm (or factor), source. */
typedef struct row {
  double at, value;
  bv_source source;
} row;

const char *bv_source_word(bv_source source) {
  static const char *const words[] = {"seen", "memory", "beyond"};
  return source < BV_SOURCE_COUNT ? words[source] : "";
}

static bv_distance interpolate(const row *table, size_t count, double at) {
  if (at <= table[0].at)
    return (bv_distance){table[0].value, table[0].source};
  const row *last = &table[count - 1];
  if (!(at <= last->at))
    return (bv_distance){last->value * at / last->at, BV_BEYOND};
  const row *upper = table + 1;
  while (at > upper->at)
    upper++;
  const row *lower = upper - 1;
  double share = (at - lower->at) / (upper->at - lower->at);
  bv_source source = lower->source > upper->source && share < 1 ? lower->source
                                                                : upper->source;
  return (bv_distance){lower->value + share * (upper->value - lower->value),
                       source};
}

static bv_distance in_metres(bv_distance distance) {
  distance.length *= 1e-3;
  return distance;
}

/* IEC 60664-1 F.2, mm by V. Rows seen: 1.5 … 6 kV in a published table, 8, 80
 * and 100 kV (case B also 10, 40, 50 kV) in a connector catalogue. */
static const row inhomogeneous[] = {
    {330, 0.01, BV_MEMORY},  {400, 0.02, BV_MEMORY},  {500, 0.04, BV_MEMORY},
    {600, 0.06, BV_MEMORY},  {800, 0.10, BV_MEMORY},  {1000, 0.15, BV_MEMORY},
    {1200, 0.25, BV_MEMORY}, {1500, 0.5, BV_SEEN},    {2000, 1.0, BV_SEEN},
    {2500, 1.5, BV_SEEN},    {3000, 2.0, BV_SEEN},    {4000, 3.0, BV_SEEN},
    {5000, 4.0, BV_SEEN},    {6000, 5.5, BV_SEEN},    {8000, 8.0, BV_SEEN},
    {10e3, 11.0, BV_MEMORY}, {12e3, 14.0, BV_MEMORY}, {15e3, 18.0, BV_MEMORY},
    {20e3, 25.0, BV_MEMORY}, {25e3, 33.0, BV_MEMORY}, {30e3, 40.0, BV_MEMORY},
    {40e3, 60.0, BV_MEMORY}, {50e3, 75.0, BV_MEMORY}, {60e3, 90.0, BV_MEMORY},
    {80e3, 130.0, BV_SEEN},  {100e3, 170.0, BV_SEEN},
};
static const row homogeneous[] = {
    {330, 0.01, BV_MEMORY}, {400, 0.02, BV_MEMORY},  {500, 0.04, BV_MEMORY},
    {600, 0.06, BV_MEMORY}, {800, 0.10, BV_MEMORY},  {1000, 0.15, BV_MEMORY},
    {1200, 0.2, BV_MEMORY}, {1500, 0.3, BV_MEMORY},  {2000, 0.45, BV_MEMORY},
    {2500, 0.6, BV_MEMORY}, {3000, 0.8, BV_MEMORY},  {4000, 1.2, BV_MEMORY},
    {5000, 1.5, BV_MEMORY}, {6000, 2.0, BV_MEMORY},  {8000, 3.0, BV_SEEN},
    {10e3, 3.5, BV_SEEN},   {12e3, 4.5, BV_MEMORY},  {15e3, 5.5, BV_MEMORY},
    {20e3, 8.0, BV_MEMORY}, {25e3, 10.0, BV_MEMORY}, {30e3, 12.5, BV_MEMORY},
    {40e3, 17.0, BV_SEEN},  {50e3, 22.0, BV_SEEN},   {60e3, 27.0, BV_MEMORY},
    {80e3, 35.0, BV_SEEN},  {100e3, 45.0, BV_SEEN},
};

/* The least clearance of a pollution degree, mm (same table; from memory). */
static double least_clearance(double pollution_degree) {
  return pollution_degree < 1.5 ? 0.01 : pollution_degree < 2.5 ? 0.2 : 0.8;
}

bv_distance bv_clearance_impulse(double impulse, double pollution_degree,
                                 bv_field_form form) {
  bv_distance distance =
      form == BV_HOMOGENEOUS
          ? interpolate(homogeneous, COUNT(homogeneous), impulse)
          : interpolate(inhomogeneous, COUNT(inhomogeneous), impulse);
  double least = least_clearance(pollution_degree);
  if (distance.length < least)
    distance = (bv_distance){least, BV_MEMORY};
  return in_metres(distance);
}

bv_distance bv_clearance_recurring(double peak, double pollution_degree) {
  /* mm by V peak, from memory. */
  static const row table[] = {
      {330, 0.01, BV_MEMORY},  {400, 0.02, BV_MEMORY},  {500, 0.04, BV_MEMORY},
      {600, 0.06, BV_MEMORY},  {800, 0.13, BV_MEMORY},  {1000, 0.26, BV_MEMORY},
      {1200, 0.42, BV_MEMORY}, {1500, 0.76, BV_MEMORY}, {2000, 1.27, BV_MEMORY},
      {2500, 1.8, BV_MEMORY},  {3000, 2.4, BV_MEMORY},  {4000, 3.8, BV_MEMORY},
      {5000, 5.7, BV_MEMORY},  {6000, 7.9, BV_MEMORY},  {8000, 11, BV_MEMORY},
      {10e3, 15.2, BV_MEMORY}, {12e3, 19, BV_MEMORY},   {15e3, 25, BV_MEMORY},
      {20e3, 34, BV_MEMORY},   {25e3, 44, BV_MEMORY},   {30e3, 55, BV_MEMORY},
      {40e3, 77, BV_MEMORY},   {50e3, 100, BV_MEMORY},
  };
  bv_distance distance = interpolate(table, COUNT(table), peak);
  distance.length = fmax(distance.length, least_clearance(pollution_degree));
  return in_metres(distance);
}

double bv_insulation_impulse(double impulse, double degree) {
  return degree > 1.5 ? 1.6 * impulse : impulse;
}

/* IEC 60664-1 F.4, mm by V rms; every row from memory. Columns: pollution
 * degree 1, then degree 2 in material groups I, II, III, then degree 3. */
static const struct {
  double rms, distance[7];
} creepage[] = {
    {10, {0.08, 0.4, 0.4, 0.4, 1, 1, 1}},
    {12.5, {0.09, 0.42, 0.42, 0.42, 1.05, 1.05, 1.05}},
    {16, {0.1, 0.45, 0.45, 0.45, 1.1, 1.1, 1.1}},
    {20, {0.11, 0.48, 0.48, 0.48, 1.2, 1.2, 1.2}},
    {25, {0.125, 0.5, 0.5, 0.5, 1.25, 1.25, 1.25}},
    {32, {0.14, 0.53, 0.53, 0.53, 1.3, 1.3, 1.3}},
    {40, {0.16, 0.56, 0.8, 1.1, 1.4, 1.6, 1.8}},
    {50, {0.18, 0.6, 0.85, 1.2, 1.5, 1.7, 1.9}},
    {63, {0.2, 0.63, 0.9, 1.25, 1.6, 1.8, 2}},
    {80, {0.22, 0.67, 0.95, 1.3, 1.7, 1.9, 2.1}},
    {100, {0.25, 0.71, 1, 1.4, 1.8, 2, 2.2}},
    {125, {0.28, 0.75, 1.05, 1.5, 1.9, 2.1, 2.4}},
    {160, {0.32, 0.8, 1.1, 1.6, 2, 2.2, 2.5}},
    {200, {0.42, 1, 1.4, 2, 2.5, 2.8, 3.2}},
    {250, {0.56, 1.25, 1.8, 2.5, 3.2, 3.6, 4}},
    {320, {0.75, 1.6, 2.2, 3.2, 4, 4.5, 5}},
    {400, {1, 2, 2.8, 4, 5, 5.6, 6.3}},
    {500, {1.3, 2.5, 3.6, 5, 6.3, 7.1, 8}},
    {630, {1.8, 3.2, 4.5, 6.3, 8, 9, 10}},
    {800, {2.4, 4, 5.6, 8, 10, 11, 12.5}},
    {1000, {3.2, 5, 7.1, 10, 12.5, 14, 16}},
    {1250, {4.2, 6.3, 9, 12.5, 16, 18, 20}},
    {1600, {5.6, 8, 11, 16, 20, 22, 25}},
    {2000, {7.5, 10, 14, 20, 25, 28, 32}},
    {2500, {10, 12.5, 18, 25, 32, 36, 40}},
    {3200, {12.5, 16, 22, 32, 40, 45, 50}},
    {4000, {16, 20, 28, 40, 50, 56, 63}},
    {5000, {20, 25, 36, 50, 63, 71, 80}},
    {6300, {25, 32, 45, 63, 80, 90, 100}},
    {8000, {32, 40, 56, 80, 100, 110, 125}},
    {10000, {40, 50, 71, 100, 125, 140, 160}},
};

bv_distance bv_creepage(double rms, double pollution_degree,
                        double material_group) {
  size_t group = material_group < 1.5 ? 0 : material_group < 2.5 ? 1 : 2;
  size_t column = pollution_degree < 1.5   ? 0
                  : pollution_degree < 2.5 ? 1 + group
                                           : 4 + group;
  size_t upper = 1;
  while (upper < COUNT(creepage) - 1 && rms > creepage[upper].rms)
    upper++;
  row pair[2];
  for (size_t i = 0; i < 2; i++)
    pair[i] = (row){creepage[upper - 1 + i].rms,
                    creepage[upper - 1 + i].distance[column], BV_MEMORY};
  return in_metres(interpolate(pair, 2, rms));
}

/* IEC 60664-1 A.2, from memory. */
double bv_altitude_factor(double altitude) {
  static const row factors[] = {
      {2000, 1, BV_MEMORY},     {3000, 1.14, BV_MEMORY},
      {4000, 1.29, BV_MEMORY},  {5000, 1.48, BV_MEMORY},
      {6000, 1.70, BV_MEMORY},  {7000, 1.95, BV_MEMORY},
      {8000, 2.25, BV_MEMORY},  {9000, 2.62, BV_MEMORY},
      {10000, 3.02, BV_MEMORY}, {15000, 6.67, BV_MEMORY},
      {20000, 14.5, BV_MEMORY},
  };
  return interpolate(factors, COUNT(factors), altitude).length;
}

bv_distance bv_clearance_high_frequency(double peak, double pollution_degree) {
  /* mm by V peak; 600, 1200 and 1800 V from memory. */
  static const row table[] = {
      {600, 0.07, BV_MEMORY},  {800, 0.22, BV_SEEN},  {1000, 0.6, BV_SEEN},
      {1200, 1.68, BV_MEMORY}, {1400, 2.82, BV_SEEN}, {1600, 4.8, BV_SEEN},
      {1800, 8.04, BV_MEMORY}, {2000, 13.2, BV_SEEN},
  };
  bv_distance distance = interpolate(table, COUNT(table), peak);
  distance.length *= pollution_degree < 1.5   ? 0.8
                     : pollution_degree < 2.5 ? 1
                                              : 1.4;
  return in_metres(distance);
}

double bv_solid_field_high_frequency(double thickness) {
  double within = fmin(fmax(thickness * 1e3, 0.03), 0.75); /* mm */
  return (0.25 / within + 5.0 / 3) * 1e6;
}

bv_distance bv_clearance_secondary(double peak) {
  /* mm by V peak; 2.8 and 14 kV from memory. */
  static const row table[] = {
      {1400, 4.2, BV_SEEN},  {2800, 8.4, BV_MEMORY}, {7000, 17.5, BV_SEEN},
      {9800, 25, BV_SEEN},   {14000, 37, BV_MEMORY}, {28000, 80, BV_SEEN},
      {42000, 130, BV_SEEN},
  };
  return in_metres(interpolate(table, COUNT(table), peak));
}

double bv_breakdown_uniform(double gap) {
  double centimetres = gap * 100;
  return 1e3 * (24.22 * centimetres + 6.08 * sqrt(centimetres));
}

double bv_insulation_test(double working, bool reinforced) {
  return (reinforced ? 2 : 1) * (2 * working + 1000);
}

double bv_mean_field(double voltage, double gap) {
  return voltage / gap;
}
