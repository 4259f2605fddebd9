/* SPDX-License-Identifier: MIT */
#include "model/design_echo.h"

/* The word of an index, "" where it is none. */
static const char *word_of(const char *const *words, int index) {
  for (int i = 0; words[i]; i++)
    if (i == index)
      return words[i];
  return "";
}

#define NOTHING(...)
#define FROM_CIRCUIT(name, unit, worse, meaning)                               \
  design->name = design->circuit.name;
#define FROM_JOB(name, unit, worse, meaning) design->name = job->name;
#define FROM_CHOICE(name, unit, worse, meaning) design->name = choice->name;

void bv_design_echo(const bv_job *job, const bv_choice *choice,
                    bv_design *design) {
  BV_DESIGN_CIRCUIT(FROM_CIRCUIT, NOTHING, NOTHING)
  BV_DESIGN_JOB(FROM_JOB, NOTHING, NOTHING)
  BV_DESIGN_CHOICE(FROM_CHOICE, NOTHING, NOTHING)
  design->supply_voltage_min = job->supply_voltage.min;
  design->supply_voltage_max = job->supply_voltage.max;
  design->safe_time_limit = job->safe_time;
  design->frequency_limit = design->circuit.max_frequency;
  bv_field_copy_text(design->rectifier,
                     word_of(bv_rectifier_words, choice->rectifier));
  bv_field_copy_text(design->insulation,
                     word_of(bv_insulation_words, job->insulation));
}
