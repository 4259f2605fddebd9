/* SPDX-License-Identifier: MIT */
/* Relaxed designs: converged, smooth, near what can be built. */
#include "base/constants.h"
#include "check_main.h"
#include "model/copper.h"
#include "model/design_support.h"

/* Relaxed wire fills what it may unless the catalogue's thinnest is too thick.
 */
START_TEST(relaxed_windings_keep_their_room) {
  bv_random random = bv_random_keyed(17, 0, 0);
  int made = 0, over = 0;
  for (int i = 0; i < 400; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_design d = design_make(&job, &choice, BV_RELAXED);
    if (d.reason != BV_REASON_OK || d.secondary_wire_outer < 0.07e-3 ||
        d.primary_wire_outer < 0.07e-3)
      continue;
    made++;
    over += d.window_fill > choice.window_use + 1e-9;
  }
  ck_assert_msg(made > 100 && over <= made / 50, "%d of %d too full", over,
                made);
}
END_TEST

/* Copper is taken at the temperature that its own loss makes. */
START_TEST(temperatures_have_converged) {
  bv_random random = bv_random_keyed(13, 0, 0);
  static double errors[600];
  size_t made = 0;
  for (int i = 0; i < 600; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_design d = design_make(&job, &choice, BV_RELAXED);
    double told = job.ambient_temperature + d.temperature_rise;
    if (d.reason != BV_REASON_OK || told > 180 || d.efficiency < 0.5 ||
        d.charge_duty > 1.5)
      continue;
    double area = d.secondary_strands * BV_PI / 4 * d.secondary_wire_diameter *
                  d.secondary_wire_diameter;
    double cold = bv_copper_resistance(d.secondary_wire_length, area, 20);
    double used =
        20 + (d.secondary_resistance_dc / cold - 1) / BV_COPPER_COEFFICIENT;
    errors[made++] = fabs(used - told) / d.temperature_rise;
  }
  double most = quantile(errors, made, 0.95), worst = errors[made - 1];
  ck_assert_msg(most < 0.07 && worst < 0.2,
                "difference over rise: 95 %% %g, worst %g", most, worst);
}
END_TEST

/* The frequency limit holds in the loss-aware charge at the highest supply,
 * node capacitance, windings and turns being those of the design itself. What
 * the leakage's ring takes, by its phase, the fixed point tells but roughly. */
START_TEST(the_fixed_point_meets_the_frequency) {
  bv_random random = bv_random_keyed(14, 0, 0);
  static double errors[1000];
  size_t made = 0;
  for (int i = 0; i < 800; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_design d = design_make(&job, &choice, BV_RELAXED);
    if (d.reason == BV_REASON_OK && d.gap_length > 0 && d.efficiency > 0.7)
      errors[made++] = fabs(d.frequency_highest / choice.max_frequency - 1);
  }
  double typical = quantile(errors, made, 0.5);
  double most = quantile(errors, made, 0.95);
  ck_assert_msg(typical < 4e-3 && most < 0.024, "median %g, 95 %% %g", typical,
                most);
}
END_TEST

typedef struct spread {
  double time[2000], loss[2000];
  size_t count;
} spread;

static void note_difference(spread *all, const bv_design *relaxed,
                            const bv_design *built) {
  all->time[all->count] = fabs(built->charge_time / relaxed->charge_time - 1);
  all->loss[all->count++] = fabs(built->loss_energy / relaxed->loss_energy - 1);
}

/* What is wound is near what was relaxed, of few turns as well: the choice
 * among whole turns and layers takes back what rounding loses, and more. The
 * worst differ by the
 * switch, chosen where the leakage's ring meets the diodes at another phase. */
START_TEST(built_designs_near_relaxed_ones) {
  static spread few, many;
  bv_random random = bv_random_keyed(15, 0, 0);
  for (int i = 0; i < 1200; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_design relaxed = design_make(&job, &choice, BV_RELAXED);
    bv_design built = design_make(&job, &choice, BV_BUILDABLE);
    if (relaxed.reason != BV_REASON_OK || built.reason != BV_REASON_OK ||
        built.window_fill > 1 || built.efficiency < 0.6)
      continue;
    if (built.primary_turns <= 6)
      note_difference(&few, &relaxed, &built);
    else if (built.primary_turns >= 20)
      note_difference(&many, &relaxed, &built);
  }
  double few_loss = quantile(few.loss, few.count, 0.5);
  double many_loss = quantile(many.loss, many.count, 0.5);
  double many_time = quantile(many.time, many.count, 0.5);
  double most_time = quantile(many.time, many.count, 0.9);
  ck_assert_msg(many_loss < 0.05 && few_loss < 0.05,
                "median difference of loss: %g few turns, %g many", few_loss,
                many_loss);
  ck_assert_msg(many_time < 0.015 && most_time < 0.1,
                "difference of charge time: median %g, 90 %% %g", many_time,
                most_time);
}
END_TEST

/* The choices that are real numbers, as places in the struct. */
static double *knob(bv_choice *choice, int which) {
  double *const knobs[] = {&choice->turns_ratio, &choice->peak_current,
                           &choice->max_frequency, &choice->clamp_ratio,
                           &choice->window_use};
  return knobs[which];
}

static double slope(const bv_job *job, bv_choice choice, int which,
                    const bv_field *result, double step) {
  double middle = *knob(&choice, which), ends[2];
  for (int side = 0; side < 2; side++) {
    *knob(&choice, which) = middle * (1 + (side ? step : -step));
    bv_design d = design_make(job, &choice, BV_RELAXED);
    ends[side] = log(bv_field_number(result, &d));
  }
  return (ends[1] - ends[0]) / (2 * step);
}

/* Slopes of relaxed results over two step sizes agree, but where a design
 * passes from one part or kind of wire to the next. */
START_TEST(relaxed_results_are_smooth) {
  const char *const names[] = {"charge_time", "loss_energy", "efficiency",
                               "leakage_inductance", "node_capacitance"};
  bv_random random = bv_random_keyed(16, 0, 0);
  static double errors[10000];
  size_t made = 0;
  for (int i = 0; i < 200; i++) {
    bv_job job = random_job(&random);
    bv_choice choice = random_choice(&random, &job);
    bv_design d = design_make(&job, &choice, BV_RELAXED);
    if (d.reason != BV_REASON_OK || d.efficiency < 0.6)
      continue;
    choice.power_switch = NULL;
    for (int which = 0; which < 5; which++)
      for (size_t n = 0; n < sizeof names / sizeof *names; n++) {
        const bv_field *result = bv_field_find(bv_design_fields, names[n]);
        double wide = slope(&job, choice, which, result, 2e-4);
        double narrow = slope(&job, choice, which, result, 1e-4);
        errors[made++] = fabs(wide - narrow) / (0.1 + fabs(narrow));
      }
  }
  double typical = quantile(errors, made, 0.5);
  double most = quantile(errors, made, 0.97);
  ck_assert_msg(typical < 1e-5 && most < 1e-2, "median %g, 97 %% %g", typical,
                most);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      relaxed_windings_keep_their_room,    temperatures_have_converged,
      the_fixed_point_meets_the_frequency, built_designs_near_relaxed_ones,
      relaxed_results_are_smooth,          NULL};
  return check_main("relaxed designs", tests);
}
