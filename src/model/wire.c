/* SPDX-License-Identifier: MIT */
#include "model/wire.h"

#include <math.h>
#include <stddef.h>

#include "base/constants.h"

/* 92 = ratio of the diameters of AWG 0000 and 36, which are 39 sizes apart. */
static const double awg_smallest = 0.127e-3, awg_ratio = 92, awg_steps = 39;

double bv_wire_awg_diameter(double gauge) {
  return awg_smallest * pow(awg_ratio, (36 - gauge) / awg_steps);
}

double bv_wire_awg_gauge(double diameter) {
  return 36 - awg_steps * log(diameter / awg_smallest) / log(awg_ratio);
}

double bv_wire_area(double diameter) {
  return BV_PI / 4 * diameter * diameter;
}

double bv_wire_diameter(double area) {
  return sqrt(4 / BV_PI * area);
}

/* Nominal bare diameter and largest overall diameter of grades 1 and 2, mm.
 * IEC 60317-0-1:2013. The row of 0.100 mm, grade 1, was seen quoted; the rest
 * is from memory and should be compared with the standard before it is relied
 * on to better than 0.002 mm. */
typedef struct enamel_row {
  double bare, overall[2];
} enamel_row;

static const enamel_row enamel[] = {
    {0.050, {0.060, 0.066}}, {0.063, {0.076, 0.083}}, {0.080, {0.094, 0.101}},
    {0.090, {0.105, 0.113}}, {0.100, {0.117, 0.125}}, {0.112, {0.130, 0.139}},
    {0.125, {0.144, 0.154}}, {0.140, {0.160, 0.171}}, {0.160, {0.182, 0.194}},
    {0.180, {0.204, 0.217}}, {0.200, {0.226, 0.239}}, {0.224, {0.252, 0.266}},
    {0.250, {0.281, 0.297}}, {0.280, {0.312, 0.329}}, {0.315, {0.349, 0.367}},
    {0.355, {0.392, 0.411}}, {0.400, {0.439, 0.459}}, {0.450, {0.491, 0.513}},
    {0.500, {0.544, 0.566}}, {0.560, {0.606, 0.630}}, {0.630, {0.679, 0.704}},
    {0.710, {0.762, 0.789}}, {0.800, {0.855, 0.884}}, {0.900, {0.959, 0.989}},
    {1.000, {1.062, 1.094}}};
enum { ENAMEL_ROWS = sizeof enamel / sizeof *enamel };

/* The row that starts the interval in which value lies, by a column. */
static size_t enamel_interval(double value, size_t column) {
  size_t row = 0;
  while (row + 2 < ENAMEL_ROWS &&
         value >= (column == 0 ? enamel[row + 1].bare
                               : enamel[row + 1].overall[column - 1]))
    row++;
  return row;
}

/* Straight lines in log-log of overall over bare diameter: continuous,
 * monotone, and a power law beyond the ends. */
static double line(double x, double x0, double x1, double y0, double y1) {
  return y0 * pow(x / x0, log(y1 / y0) / log(x1 / x0));
}

double bv_wire_overall_diameter(double diameter, bv_wire_grade grade) {
  double mm = diameter * 1e3;
  const enamel_row *row = &enamel[enamel_interval(mm, 0)];
  size_t i = grade == BV_GRADE_2;
  return 1e-3 * line(mm, row[0].bare, row[1].bare, row[0].overall[i],
                     row[1].overall[i]);
}

double bv_wire_bare_diameter(double overall, bv_wire_grade grade) {
  double mm = overall * 1e3;
  size_t i = grade == BV_GRADE_2;
  const enamel_row *row = &enamel[enamel_interval(mm, i + 1)];
  return 1e-3 * line(mm, row[0].overall[i], row[1].overall[i], row[0].bare,
                     row[1].bare);
}

double bv_wire_bundle_diameter(double overall, double strands) {
  const double packing = 0.7;
  double two = sqrt(2 / packing);
  if (strands <= 2)
    return overall * (1 + (two - 1) * fmax(strands - 1, 0));
  return overall * sqrt(strands / packing);
}
