/* SPDX-License-Identifier: MIT */
/* What a design tells about itself, each against a derivation of its own. */
#include "check_main.h"
#include "model/design_support.h"
#include "model/insulation.h"

/* Charge above the mean of a cycle, the cycle taken from one rise of the
 * primary current through zero to the next. */
typedef struct ripple {
  double begun, time, current; /* of the cycle, of the last sample */
  double charge[4096], at[4096];
  size_t count;
  double most; /* C */
} ripple;

static void end_cycle(ripple *r, double time) {
  double total = 0, above = 0;
  for (size_t i = 0; i < r->count; i++)
    total += r->charge[i];
  double mean = total / (time - r->begun);
  for (size_t i = 0; i < r->count; i++)
    above += fmax(r->charge[i] - mean * r->at[i], 0);
  r->most = fmax(r->most, above);
}

static void note_ripple(const bv_sample *sample, void *context) {
  ripple *r = context;
  double step = sample->time - r->time;
  if (r->current <= 0 && sample->primary_current > 0) {
    if (r->count > 0)
      end_cycle(r, sample->time);
    r->begun = sample->time, r->count = 0;
  }
  if (step > 0 && r->count < 4096) {
    r->charge[r->count] = (r->current + sample->primary_current) / 2 * step;
    r->at[r->count++] = step;
  }
  r->time = sample->time, r->current = sample->primary_current;
}

/* The capacitor at the supply gives what lies above the mean of a cycle; most
 * of it in the first cycles, at the lowest supply. Summed from the simulated
 * waveform over the first part of the charge. */
START_TEST(input_capacitor_holds_the_first_cycles) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  bv_design d = design_make(&job, &choice, BV_BUILDABLE);
  static ripple r;
  bv_trace trace = {note_ripple, &r, 0, d.charge_time / 500, 200};
  bv_circuit circuit = d.circuit;
  bv_charge charge;
  circuit.supply_voltage = job.supply_voltage.min;
  bv_charge_cycles(&circuit, &trace, &charge);
  double needed = r.most / (0.02 * job.supply_voltage.min);
  check_close(d.input_capacitance, needed, 0.02);
}
END_TEST

/* IEC 60664-1 5.1.6, from memory: reinforced insulation holds 1.6 times the
 * voltage that basic insulation holds, and the clearance of F.2 for it. */
START_TEST(reinforced_insulation_tells_the_voltage_it_holds) {
  bv_job job = beacon_job();
  bv_choice choice = beacon_choice();
  job.transient_voltage = 6000;
  bv_design basic = design_make(&job, &choice, BV_BUILDABLE);
  check_close(basic.impulse_voltage, 6000, 1e-12);
  check_close(basic.clearance, 5.5e-3, 1e-12);
  job.insulation = BV_REINFORCED;
  bv_design reinforced = design_make(&job, &choice, BV_BUILDABLE);
  check_close(reinforced.impulse_voltage, 9600, 1e-12);
  check_close(
      reinforced.clearance,
      bv_clearance_impulse(reinforced.impulse_voltage, 1, BV_INHOMOGENEOUS)
          .length,
      1e-12);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      input_capacitor_holds_the_first_cycles,
      reinforced_insulation_tells_the_voltage_it_holds, NULL};
  return check_main("design_report", tests);
}
