/* SPDX-License-Identifier: MIT */
/* The ladder as a rectifier, and sections with doublers. The ladder's envelope
 * is held against a charge of every capacitor through every diode, step by step
 * in time. */
#include <stdbool.h>
#include <string.h>

#include "charge_examples.h"
#include "check_main.h"
#include "model/charge.h"
#include "model/design_support.h"
#include "model/doubler_ladder.h"
#include "model/verify.h"

enum { STAGES_MOST = 4 };

/* A ladder on a winding: column 0 rises from the winding's end, column 1 from
 * ground, the storage capacitor across it. Diodes up lead from column 0 to
 * column 1, diodes down from there to the stage above. */
typedef struct ladder {
  const bv_circuit *c;
  int stages;
  double volts[2][STAGES_MOST + 1];
  double winding;                                      /* A, out of it */
  double open[STAGES_MOST + 1], shut[STAGES_MOST + 1]; /* V, where they begin */
  double time, cycles, supply;                         /* s, 1, J */
} ladder;

/* The winding's end above which a diode up, below which one down conducts. */
static void set_ends(ladder *x) {
  double column = 0;
  for (int j = 1; j <= x->stages; j++) {
    column -= x->volts[0][j];
    x->shut[j] = column - x->c->diode_drop;
    column += x->volts[1][j];
    x->open[j] = column + x->c->diode_drop;
  }
}

/* The end at which the diodes take the winding's current, which is piecewise
 * linear and rising in it: Newton steps. */
static double end_of(const ladder *x) {
  double r = x->c->diode_resistance, end = x->winding > 0 ? 1e6 : -1e6;
  for (int i = 0; i < 20; i++) {
    double over = -x->winding * r, slope = 0;
    for (int j = 1; j <= x->stages; j++) {
      if (end > x->open[j])
        over += end - x->open[j], slope++;
      if (end < x->shut[j])
        over += end - x->shut[j], slope++;
    }
    if (slope == 0 || fabs(over) < 1e-9)
      break;
    end -= over / slope;
  }
  return end;
}

static double output(const ladder *x) {
  double v = 0;
  for (int j = 1; j <= x->stages; j++)
    v += x->volts[1][j];
  return v;
}

/* Moves the charge of a time through diodes and capacitors. */
static void move(ladder *x, double end, double time) {
  double r = x->c->diode_resistance, share = time / x->c->series_capacitance;
  double c = x->c->storage_capacitance, first = 0, second = 0, down = 0;
  double gain[STAGES_MOST + 1], sum = 0;
  for (int j = x->stages; j >= 1; j--) {
    double up = fmax(0, end - x->open[j]) / r;
    second += up - down;
    down = fmax(0, x->shut[j] - end) / r;
    first += up - down;
    x->volts[0][j] -= share * first;
    sum += gain[j] = second;
  }
  double storage =
      x->stages > 1 ? c * sum / (x->c->series_capacitance + x->stages * c) : 0;
  for (int j = 1; j <= x->stages; j++)
    x->volts[1][j] +=
        x->stages > 1 ? share * (gain[j] - storage) : time / c * gain[j];
}

/* One step with the winding's voltage behind an inductance. */
static void advance(ladder *x, double source, double inductance, double time) {
  set_ends(x);
  double least = x->open[1], most = x->shut[1];
  for (int j = 2; j <= x->stages; j++) {
    least = fmin(least, x->open[j]);
    most = fmax(most, x->shut[j]);
  }
  x->time += time;
  if (x->winding == 0 && source <= least && source >= most)
    return;
  double before = x->winding, end = before == 0 ? source : end_of(x);
  if (before != 0)
    move(x, end, time);
  end = before == 0 ? fmax(fmin(source, least), most) : end;
  x->winding +=
      time / inductance * (source - end - x->c->secondary_resistance * before);
  if (before * x->winding < 0)
    x->winding = 0;
}

/* A cycle: magnetising current to the comparator level beside the recharge,
 * then back through the ladder. */
static void cycle(ladder *x, double step) {
  const bv_circuit *c = x->c;
  double n = c->turns_ratio, vin = c->supply_voltage, l = c->primary_inductance;
  x->winding = 0;
  for (double i = 0; i < c->peak_current; i += step * vin / l) {
    advance(x, -n * vin, n * n * c->leakage_inductance, step);
    x->supply += step * vin * (i - n * x->winding);
  }
  x->winding = c->peak_current / n * sqrt(1 - c->leakage_inductance / l);
  while (x->winding > 0 && output(x) < c->target_voltage)
    advance(x, 0, n * n * l, step);
  x->cycles++;
}

static ladder simulate(const bv_circuit *c) {
  ladder x = {.c = c, .stages = (int) c->stages};
  double step =
      fmin(5e-9, 0.2 * c->diode_resistance * c->series_capacitance / c->stages);
  while (output(&x) < c->target_voltage && x.cycles < 2000)
    cycle(&x, step);
  return x;
}

/* A ladder of some stages, alike but for them: the same reflected voltage and
 * the same recharge pulse. */
static bv_circuit ladder_circuit(double stages) {
  bv_circuit c;
  bv_field_defaults(bv_circuit_fields, &c);
  c.supply_voltage = 24;
  c.target_voltage = 1500;
  c.storage_capacitance = 0.5e-6;
  c.turns_ratio = 12 / stages;
  c.peak_current = 10;
  c.primary_inductance = 20e-6;
  c.leakage_inductance = 0.2e-6;
  c.clamp_voltage = 1e5;
  c.rectifier = BV_LADDER;
  c.stages = stages;
  c.series_capacitance = 7e-9 * bv_ladder_drop_factor(stages);
  c.diode_drop = 1;
  c.diode_resistance = c.secondary_resistance = 20 / (stages * stages);
  return c;
}

/* One stage within 0.5 %; more within 6 %, all on the slow side since the
 * published drop is an upper figure. */
START_TEST(follows_a_charge_diode_by_diode) {
  for (double stages = 1; stages <= 3; stages++) {
    bv_circuit c = ladder_circuit(stages);
    bv_charge e;
    bv_charge_envelope(&c, &e);
    ck_assert_int_eq(e.reason, BV_REASON_OK);
    ladder x = simulate(&c);
    double more = stages == 1 ? 0.005 : 0.06;
    double late = e.charge_time / x.time - 1;
    ck_assert_msg(late > -0.002 && late < more, "%g stages: time %g", stages,
                  late);
    double dear = e.supply_energy / x.supply - 1;
    ck_assert_msg(dear > -0.002 && dear < more + 0.005, "%g stages: supply %g",
                  stages, dear);
  }
}
END_TEST

/* The first stage is the doubler: every result, in all fidelities. */
START_TEST(one_stage_is_the_doubler) {
  for (uint64_t i = 0; i < 20; i++) {
    bv_circuit c = charge_example_doubler(3, i, 1000);
    void (*const models[])(const bv_circuit *, bv_charge *) = {
        bv_charge_ideal, bv_charge_closed, bv_charge_envelope};
    for (int m = 0; m < 4; m++) {
      bv_charge a, b;
      for (int k = 0; k < 2; k++) {
        c.rectifier = k ? BV_LADDER : BV_DOUBLER;
        if (m < 3)
          models[m](&c, k ? &a : &b);
        else
          bv_charge_cycles(&c, NULL, k ? &a : &b);
      }
      for (size_t f = 0; f < bv_charge_fields.count; f++) {
        const bv_field *field = &bv_charge_fields.list[f];
        double x = bv_field_number(field, &a), y = bv_field_number(field, &b);
        ck_assert_msg(x == y || fabs(x - y) <= 1e-12 * fabs(y), "%s: %g, %g",
                      field->name, x, y);
      }
    }
  }
}
END_TEST

/* Ideal parts and a stiff ladder: V = k n (Vin + Vr), so that the switch sees
 * V/(k n), each diode V/k, and the charge takes the doubler's time. */
START_TEST(more_stages_share_the_output) {
  bv_circuit one = ladder_circuit(1);
  bv_charge a, b;
  one.start_voltage = 600;
  one.diode_drop = one.diode_resistance = one.secondary_resistance = 0;
  one.series_capacitance = 0;
  bv_charge_ideal(&one, &a);
  for (double k = 2; k <= 5; k++) {
    bv_circuit c = one;
    c.stages = k;
    c.turns_ratio /= k;
    bv_charge_ideal(&c, &b);
    check_close(b.charge_time, a.charge_time, 1e-12);
    check_close(b.switch_voltage, 1500 / (k * c.turns_ratio), 1e-12);
    check_close(b.diode_voltage, 1500 / k, 1e-12);
    check_close(b.stored_energy, a.stored_energy, 1e-12);
  }
}
END_TEST

/* At the same winding and parts the efficiency falls with the stages: 2 k
 * diodes pass every charge, and the ladder keeps energy. */
START_TEST(efficiency_falls_with_stages) {
  double last = 1;
  for (double k = 1; k <= 5; k++) {
    bv_circuit c = ladder_circuit(1);
    bv_charge e;
    c.stages = k;
    c.turns_ratio /= k;
    c.storage_capacitance = 20e-6;
    c.diode_resistance = c.secondary_resistance = 20 / (k * k);
    c.series_capacitance *= bv_ladder_drop_factor(k);
    c.diode_drop = 3;
    bv_charge_envelope(&c, &e);
    ck_assert_int_eq(e.reason, BV_REASON_OK);
    ck_assert_msg(e.efficiency < last - 1e-4, "%g stages: %g, before %g", k,
                  e.efficiency, last);
    last = e.efficiency;
  }
}
END_TEST

START_TEST(several_stages_have_no_cycles) {
  bv_circuit c = ladder_circuit(2);
  bv_charge charge;
  bv_charge_cycles(&c, NULL, &charge);
  ck_assert_str_eq(bv_reason_words[charge.reason], "envelope_only");
  ck_assert(isnan(charge.charge_time));
  c.stages = 1.5;
  bv_charge_envelope(&c, &charge);
  ck_assert_int_eq(charge.reason, BV_REASON_BAD_CIRCUIT);
  c.stages = 0;
  bv_charge_ideal(&c, &charge);
  ck_assert_int_eq(charge.reason, BV_REASON_BAD_CIRCUIT);
}
END_TEST

/* m sections with a doubler each, series capacitors and parts added up, are one
 * doubler; each diode sees its section's share alone. */
START_TEST(sections_of_doublers_are_one_doubler) {
  for (uint64_t i = 0; i < 20; i++) {
    bv_circuit one = charge_example_doubler(4, i, 2000), many;
    bv_charge a, b;
    many = one;
    many.sections = 3;
    many.diode_drop /= 3;
    many.diode_resistance /= 3;
    bv_charge_cycles(&one, NULL, &a);
    bv_charge_cycles(&many, NULL, &b);
    ck_assert_int_eq(b.reason, a.reason);
    if (a.reason != BV_REASON_OK)
      continue;
    check_close(b.charge_time, a.charge_time, 1e-12);
    check_close(b.loss_energy, a.loss_energy, 1e-12);
    check_close(b.switch_voltage, a.switch_voltage, 1e-12);
    check_close(b.diode_voltage, a.diode_voltage / 3, 1e-12);
  }
}
END_TEST

static bv_design made(bv_choice choice) {
  bv_job job = beacon_job();
  bv_design d;
  job.target_voltage = 3000;
  job.storage_capacitance = 8e-6;
  bv_design_make(&job, &choice, &shelf_open()->parts, BV_RELAXED, &d);
  ck_assert_str_eq(bv_reason_words[d.reason], "ok");
  return d;
}

static bv_choice multiplying(int rectifier, double ratio) {
  bv_choice choice = beacon_choice();
  choice.rectifier = rectifier;
  choice.turns_ratio = ratio;
  choice.sections = 1;
  choice.stages = 1;
  choice.series_diodes = 1;
  return choice;
}

/* As rectifiers of a design: one stage is the doubler; more need less of the
 * winding's insulation, more parts, and say that nobody verified them. */
START_TEST(designs_with_ladders) {
  bv_choice choice = multiplying(BV_DOUBLER, 20);
  bv_design doubler = made(choice);
  choice.rectifier = BV_LADDER;
  bv_design one = made(choice);
  check_close(one.charge_time, doubler.charge_time, 1e-12);
  check_close(one.loss_energy, doubler.loss_energy, 1e-12);
  check_close(one.diodes, 2, 1e-12);
  check_close(one.series_capacitors, 1, 1e-12);
  check_close(one.ladder_drop, one.ladder_ripple, 1e-12);
  ck_assert_str_eq(one.rectifier, "ladder");
  choice.turns_ratio = 20.0 / 3;
  choice.stages = 3;
  bv_design three = made(choice);
  check_close(three.diodes, 6, 1e-12);
  check_close(three.series_capacitors, 6, 1e-12);
  check_close(three.series_capacitor_voltage, 1000, 1e-12);
  check_close(three.diode_voltage, 1000, 0.01);
  check_close(three.switch_plateau, 150, 0.02);
  check_close(three.ladder_drop / three.ladder_ripple, 22.0 / 6, 1e-12);
  ck_assert_double_lt(three.working_voltage, one.working_voltage / 2);
  ck_assert_double_lt(three.creepage, one.creepage);
  bv_verification v;
  bv_design_verify(&three, &v);
  ck_assert_str_eq(v.verification, "not simulated: ladder, lower fidelity");
  ck_assert(isnan(v.charge_time_cycles));
  bv_design_verify(&one, &v);
  ck_assert_msg(strncmp(v.verification, "not", 3) != 0, "%s", v.verification);
}
END_TEST

/* A split secondary whose sections carry a doubler each. */
START_TEST(designs_with_doublers_on_sections) {
  bv_choice choice = multiplying(BV_DOUBLER, 12);
  choice.core = shelf_core("ETD49/25/16");
  bv_design one = made(choice);
  choice.sections = 3;
  choice.chambers = 3;
  bv_design three = made(choice);
  check_close(three.diodes, 6, 1e-12);
  check_close(three.series_capacitors, 3, 1e-12);
  check_close(three.series_capacitor_each, 3 * three.series_capacitance, 1e-12);
  check_close(three.diode_voltage, one.diode_voltage / 3, 0.01);
  check_close(three.switch_plateau, one.switch_plateau, 0.01);
  bv_verification v;
  bv_design_verify(&three, &v);
  ck_assert(fabs(v.charge_time_difference) < 0.01);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {follows_a_charge_diode_by_diode,
                                one_stage_is_the_doubler,
                                more_stages_share_the_output,
                                efficiency_falls_with_stages,
                                several_stages_have_no_cycles,
                                sections_of_doublers_are_one_doubler,
                                designs_with_ladders,
                                designs_with_doublers_on_sections,
                                NULL};
  return check_main("model/ladder_rectifier", tests);
}
