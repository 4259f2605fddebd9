/* SPDX-License-Identifier: MIT */
/* What a design tells about its windings, each against a sum of its own. */
#include "check_main.h"
#include "model/design_support.h"

/* Energy over V²/2 that plates hold between two layers, whose voltages go from
 * a to b and from c to d along them. */
static double between(double plates, double a, double b, double c, double d) {
  double from = a - c, to = b - d, middle = (from + to) / 2;
  return plates * (from * from + 4 * middle * middle + to * to) / 6;
}

/* A winding as a design tells of it. */
typedef struct coil {
  double turns, layers, length, overall, copper, turns_per_layer, width, tape;
} coil;

static double faces(const coil *x, double distance) {
  return 8.854188e-12 * 3.5 * x->length / x->turns * x->width / distance;
}

/* Layers back and forth, up to the whole voltage. */
static double folded(const coil *x, double layers) {
  double pitch = x->width / (x->turns_per_layer + 1), sum = 0;
  double copper = fmin(x->copper, x->overall), centres = x->overall + x->tape;
  double distance =
      fmax(centres - 1.15 * copper + 0.26 * pitch, centres - copper);
  for (int k = 1; k < layers; k++) /* the next goes back above this one */
    sum += between(faces(x, distance), (k - 1) / layers, k / layers,
                   (k + 1) / layers, k / layers);
  return sum;
}

#define COIL_OF(WINDING, D)                                                    \
  {                                                                            \
    (D).WINDING##_turns, (D).WINDING##_layers, (D).WINDING##_wire_length,      \
        (D).WINDING##_wire_outer,                                              \
        (D).WINDING##_wire_diameter *sqrt((D).WINDING##_strands),              \
        (D).WINDING##_turns_per_layer, (D).winding_width, (D).layer_insulation \
  }

/* Between primary and secondary, which swing alike: the primary's layer from a
 * to b, the secondary's from c to d; less than either at rest by what both have
 * in common. The layers may run the same way or against each other: the mean.
 */
static double shared(double plates, double a, double b, double c, double d) {
  double alike = between(plates, a, b, c, d);
  return (alike + between(plates, b, a, c, d)) / 2;
}

/* Everything about a winding holds energy: its own layers, what lies inside and
 * outside of it, the core about the outermost; summed layer by layer. The ends,
 * which are the switch and the diode, lie outside. */
static void check_node(bv_choice choice) {
  bv_job job = beacon_job();
  choice.sections = 1;
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  ck_assert_int_eq(d.reason, BV_REASON_OK);
  coil p = COIL_OF(primary, d), s = COIL_OF(secondary, d);
  double wall = d.barrier_thickness, n = d.turns_ratio_built;
  double core = wall + 3.5 * fmax(0, d.window_build - d.winding_build);
  double high = 1 - 1 / s.layers, top = 1 - 1 / p.layers, first = 1 / s.layers;
  double near = faces(&p, wall), far = faces(&s, wall);
  double secondary = folded(&s, s.layers) + between(far, 0, first, 0, 0);
  double primary = folded(&p, p.layers), less;
  if (choice.interleaved) {
    primary = folded(&p, p.layers / 2) / 2 + near / 2 +
              between(faces(&p, core) / 2, top, 1, 0, 0);
    secondary += between(far, high, 1, 0, 0);
    less = 0.25 + between(1, 0, n * first, 0, 0) -
           shared(1, 0.5, 0.5, 0, n * first) + 0.25 +
           between(1, n * high, n, 0, 0) - shared(1, 0.5, 0.5, n * high, n);
  } else {
    primary += between(near, top, 1, 0, 0);
    secondary += between(faces(&s, core) / 2, high, 1, 0, 0);
    less = between(1, top, 1, 0, 0) + between(1, 0, n * first, 0, 0) -
           shared(1, top, 1, 0, n * first);
  }
  check_close(d.winding_capacitance, secondary, 1e-3);
  check_close(d.winding_capacitance_reflected,
              primary + n * n * secondary - fmin(near, far) * less, 1e-3);
}

START_TEST(the_node_holds_what_lies_about_the_windings) {
  bv_choice choice = beacon_choice();
  check_node(choice);
  choice.turns_ratio = 8;
  check_node(choice);
  choice.turns_ratio = 2.5;
  check_node(choice);
  choice.interleaved = true;
  check_node(choice);
}
END_TEST

static const bv_wire *wire_called(const char *name) {
  const bv_rows *rows = &shelf_open()->wires;
  const bv_wire *list = rows->data;
  for (size_t i = 0; i < rows->count; i++)
    if (strcmp(list[i].name, name) == 0)
      return &list[i];
  ck_abort_msg("no wire %s", name);
}

/* A stacked or chambered secondary: what a section swings by at either flange,
 * in a layer of one of its chambers, both from 0. */
typedef struct pile {
  double layers, chambers, lowest; /* share of the sections on the barrier */
} pile;

static double at_start(const pile *p, int chamber, int layer) {
  return (chamber + (layer + layer % 2) / p->layers) / p->chambers;
}

static double at_end(const pile *p, int chamber, int layer) {
  return (chamber + (layer + 1 - layer % 2) / p->layers) / p->chambers;
}

/* A layer against another of the same chamber, or against what rests. */
static double facing(const pile *p, double plates, int chamber, int one,
                     int other) {
  bool rests = other < 0;
  return between(plates, at_start(p, chamber, one), at_end(p, chamber, one),
                 rests ? 0 : at_start(p, chamber, other),
                 rests ? 0 : at_end(p, chamber, other));
}

/* Over V²/2 of one section: its layers, walls, inside, outside and its share of
 * the insulation to the next, which swings alike. */
static double pile_energy(const bv_design *d, const pile *p, double width) {
  coil s = COIL_OF(secondary, *d);
  double pitch = width / p->chambers / (s.turns_per_layer + 1), sum = 0;
  double wall = d->barrier_thickness, height = s.overall * p->layers;
  double core = wall + 3.5 * fmax(0, d->window_build - d->winding_build);
  s.width = width;
  s.layers = p->layers;
  height += s.tape * (p->layers - 1);
  double copper = fmin(s.copper, s.overall);
  double less = 1.15 * copper - 0.26 * pitch, gap = d->section_insulation;
  double apart =
      faces(&s, fmax(s.overall + s.tape - less, s.overall + s.tape - copper));
  double piled =
      faces(&s, fmax(s.overall + gap - less, s.overall + gap - copper));
  int last = (int) p->layers - 1;
  for (int j = 0; j < p->chambers; j++) {
    for (int k = 0; k < last; k++)
      sum += facing(p, apart / p->chambers, j, k, k + 1);
    double inner = faces(&s, wall) / p->chambers * p->lowest;
    double outer = faces(&s, core) / 2 / p->chambers * p->lowest;
    sum += facing(p, inner, j, 0, -1) + facing(p, outer, j, last, -1);
  }
  s.width = height;
  sum += faces(&s, 1e-3) * (p->chambers - 1) / (p->chambers * p->chambers);
  return sum + (1 - p->lowest) * facing(p, piled, 0, last, 0);
}

static void check_pile(double sections, double chambers, double ratio) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  choice.sections = sections;
  choice.chambers = chambers;
  choice.turns_ratio = ratio;
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  ck_assert_int_eq(d.reason, BV_REASON_OK);
  pile p = {.lowest = fmin(1, chambers / sections),
            .chambers = fmax(1, floor(chambers / sections))};
  p.layers = d.secondary_layers / ceil(sections / chambers);
  double chamber = (d.winding_width - (chambers - 1) * 1e-3) / chambers;
  check_close(d.winding_capacitance,
              pile_energy(&d, &p, chamber * p.chambers) / sections, 2e-3);
}

START_TEST(sections_and_chambers_hold_what_lies_between) {
  check_pile(1, 4, 30);
  check_pile(1, 6, 15);
  check_pile(2, 1, 40);
  check_pile(3, 1, 25);
  check_pile(4, 1, 25);
  check_pile(2, 2, 30);
  check_pile(2, 4, 30);
  check_pile(4, 2, 30);
  check_pile(3, 2, 30);
  check_pile(2, 3, 30);
}
END_TEST

/* Height of so many layers of a winding. */
static double height_of(double layers, double overall, double tape) {
  return layers * overall + (layers - 1) * tape;
}

/* Sections can't be shared out in parts: of three in two chambers two lie above
 * each other, and two in three chambers have one each. */
START_TEST(sections_fill_whole_chambers) {
  static const double cases[][4] = {
      {3, 2, 2, 0}, {5, 3, 2, 0}, {2, 3, 1, 1}, {4, 4, 1, 0}};
  for (size_t i = 0; i < 4; i++) {
    double stacks = cases[i][2];
    bv_job job = beacon_job();
    bv_choice choice = beacon_choice();
    choice.sections = cases[i][0];
    choice.chambers = cases[i][1];
    bv_design d = design_make(&job, &choice, BV_BUILDABLE);
    ck_assert_int_eq(d.reason, BV_REASON_OK);
    ck_assert_double_eq(d.chambers_empty, cases[i][3]);
    double layers = d.secondary_layers / stacks;
    double fits = d.secondary_turns_per_layer;
    ck_assert_double_eq(layers, ceil(d.section_turns / fits - 1e-9));
    double tape = d.layer_insulation;
    double secondary =
        stacks * height_of(layers, d.secondary_wire_outer, tape) +
        (stacks - 1) * d.section_insulation;
    double primary = height_of(d.primary_layers, d.primary_wire_outer, tape);
    check_close(d.winding_build, primary + secondary + 2 * d.barrier_thickness,
                1e-9);
  }
}
END_TEST

/* Walls hold what stands over them by the same 5 kV/mm as tape: two sections of
 * 20 kV are 10 kV and the supply apart. */
START_TEST(chamber_walls_hold_the_voltage_between_sections) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  job.target_voltage = 20e3;
  job.storage_capacitance = 0.2e-6;
  job.supply_voltage = (bv_supply){300, 325, 380};
  choice.turns_ratio = 20;
  choice.max_frequency = 20e3;
  choice.sections = choice.chambers = 2;
  choice.margin = 0;
  choice.core = shelf_core("ETD59/31/22");
  const bv_wire *wire = shelf_open()->wires.data;
  while (strcmp(wire->name, "0.100 mm") != 0)
    wire++;
  choice.secondary_wire = wire;
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  ck_assert_str_eq(bv_reason_words[d.reason], "ok");
  double wall = (20e3 + d.turns_ratio_built * job.supply_voltage.max) / 2 / 5e6;
  double chamber = (d.winding_width - wall) / 2;
  ck_assert_double_gt(wall, 2e-3);
  check_close(d.section_insulation, wall, 1e-9);
  check_close(d.secondary_turns_per_layer,
              floor(chamber / d.secondary_wire_outer) - 1, 1e-12);
}
END_TEST

/* Sections of a layer each swing alike: they hold far less than one winding of
 * as many layers of the same wire. */
START_TEST(a_diode_for_every_layer_takes_the_capacitance) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  choice.turns_ratio = 22;
  choice.secondary_wire = wire_called("AWG 38");
  choice.sections = 2;
  bv_design split = design_make(&job, &choice, BV_BUILDABLE);
  choice.sections = 1;
  bv_design one = design_make(&job, &choice, BV_BUILDABLE);
  ck_assert_double_eq(split.secondary_layers, 2);
  ck_assert_double_eq(one.secondary_layers, 2);
  ck_assert_double_lt(split.winding_capacitance, one.winding_capacitance / 5);
}
END_TEST

/* No heat crosses the barrier within a charge, and copper that grows warm loses
 * more: small steps of the energy, each a little dearer. */
START_TEST(a_shot_heats_the_hotter_winding) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_wire thin = *(const bv_wire *) shelf_open()->wires.data;
  thin.bare_diameter = 0.05e-3;
  thin.insulated_diameter = 0.066e-3;
  thin.strands = 1;
  choice.secondary_wire = &thin;
  job.shots_per_second = 0;
  job.storage_capacitance = 100e-6;
  job.supply_voltage.min = job.supply_voltage.nominal;
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  double area = 3.14159265 / 4 * 0.05e-3 * 0.05e-3;
  double heat = d.secondary_wire_length * area * 8960 * 385, rise = 0;
  double start = 1 + 0.00393 * (job.ambient_temperature - 20);
  for (int k = 0; k < 1000; k++)
    rise +=
        d.loss_energy_secondary / 1000 / heat * (1 + 0.00393 * rise / start);
  ck_assert_double_gt(rise, 1.04 * d.loss_energy_secondary / heat);
  ck_assert_double_lt(d.loss_energy_primary, d.loss_energy_secondary);
  check_close(d.single_shot_rise, rise, 5e-3);
}
END_TEST

/* A switch far from its next shot is as warm as its charge makes it. */
START_TEST(a_long_charge_alone_heats_the_switch) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  job.shots_per_second = 0;
  job.storage_capacitance = 1e-3;
  job.supply_voltage.min = job.supply_voltage.nominal;
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  const bv_rows *rows = &shelf_open()->switches;
  const bv_switch *part = rows->data;
  while (strcmp(part->name, d.power_switch) != 0)
    part++;
  double loss = d.loss_energy_switch + d.loss_energy_overlap;
  double power = (loss + d.loss_energy_turn_on) / d.charge_time;
  double rise =
      part->thermal_resistance * power * sqrt(tanh(d.charge_time / 30));
  ck_assert_double_gt(rise, 3);
  check_close(d.switch_temperature - job.ambient_temperature, rise, 0.03);
  ck_assert(d.switch_power == 0 && d.temperature_rise == 0);
}
END_TEST

/* A doubler's first pulses are the largest that its diodes carry. */
START_TEST(the_recharge_is_a_secondary_current) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  choice.rectifier = BV_DOUBLER;
  choice.turns_ratio = 15;
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  ck_assert_int_eq(d.reason, BV_REASON_OK);
  ck_assert_double_gt(d.recharge_current_max, 2 * d.primary_current_max);
  double largest = fmax(d.recharge_current_max, d.magnetising_current_max);
  check_close(d.secondary_current_max, largest / d.turns_ratio_built, 1e-9);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_node_holds_what_lies_about_the_windings,
                                sections_and_chambers_hold_what_lies_between,
                                sections_fill_whole_chambers,
                                chamber_walls_hold_the_voltage_between_sections,
                                a_diode_for_every_layer_takes_the_capacitance,
                                a_shot_heats_the_hotter_winding,
                                a_long_charge_alone_heats_the_switch,
                                the_recharge_is_a_secondary_current,
                                NULL};
  return check_main("design_winding", tests);
}
