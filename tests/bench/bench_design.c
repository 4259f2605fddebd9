/* SPDX-License-Identifier: MIT */
/* Time of a design, of its parts of the work, and of its corners. */
#include <time.h>

#include "model/design_support.h"
#include "model/verify.h"

static double seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double) now.tv_sec + 1e-9 * (double) now.tv_nsec;
}

/* Microseconds a design, over turns ratios about the beacon's. */
static double designs(bv_precision precision, int count) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  const bv_parts *parts = &shelf_open()->parts;
  bv_design design;
  double start = seconds();
  for (int i = 0; i < count; i++) {
    choice.turns_ratio = 20 + 10.0 * i / count;
    bv_design_make(&job, &choice, parts, precision, &design);
  }
  return (seconds() - start) / count * 1e6;
}

/* Microseconds to hold a buildable design against the simulator. */
static double verifications(int count, double *cycles) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_design design;
  bv_verification verification;
  bv_design_make(&job, &choice, &shelf_open()->parts, BV_BUILDABLE, &design);
  double start = seconds();
  for (int i = 0; i < count; i++)
    bv_design_verify(&design, &verification);
  *cycles = design.cycles;
  return (seconds() - start) / count * 1e6;
}

static double corners(int count, double *places) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  const bv_parts *parts = &shelf_open()->parts;
  static bv_corners c;
  bv_tolerances tolerances;
  bv_field_defaults(bv_tolerances_fields, &tolerances);
  double start = seconds();
  for (int i = 0; i < count; i++)
    bv_design_corners(&job, &choice, parts, BV_BUILDABLE, &tolerances, &c);
  *places = bv_corners_visits(&job, &tolerances);
  return (seconds() - start) / count * 1e6;
}

int main(void) {
  double places, cycles;
  designs(BV_RELAXED, 1000);
  double relaxed = designs(BV_RELAXED, 20000);
  double built = designs(BV_BUILDABLE, 10000);
  double verified = verifications(200, &cycles);
  double all = corners(100, &places);
  printf("relaxed design           %8.2f us\n", relaxed);
  printf("buildable design         %8.2f us\n", built);
  printf("verification             %8.1f us, a charge of %.0f cycles\n",
         verified, cycles);
  printf("corners, %.0f places     %8.1f us\n", places, all);
  printf("32 corners over a design %8.1f relaxed, %.1f buildable\n",
         all / places * 32 / relaxed, all / places * 32 / built);
  return 0;
}
