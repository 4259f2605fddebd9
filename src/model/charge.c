/* SPDX-License-Identifier: MIT */
#include "model/charge.h"

#include <math.h>

const char *const bv_reason_words[] = {
#define BV_REASON_WORD(code, word, meaning) word,
    BV_REASON_MAP(BV_REASON_WORD)
#undef BV_REASON_WORD
        NULL};

static const char *const meanings[] = {
#define BV_REASON_MEANING(code, word, meaning) meaning,
    BV_REASON_MAP(BV_REASON_MEANING)
#undef BV_REASON_MEANING
};

const char *bv_reason_meaning(bv_reason reason) {
  return reason < BV_REASON_COUNT ? meanings[reason] : "unknown reason";
}

#define RESULT(name, unit, meaning)                                            \
  BV_RESULT_FIELD(bv_charge, name, unit, meaning)

static const bv_field fields[] = {
    {"reason", "", "ok, or what makes the charge impossible", BV_WORD,
     offsetof(bv_charge, reason), 0, BV_REASON_COUNT - 1, 0, bv_reason_words},
    RESULT(impossibility, "",
           "0: possible; else from 1 on how far beyond the reason's edge"),
    RESULT(charge_time, "s", "time from start to target voltage"),
    RESULT(cycles, "", "switching cycles to the target"),
    RESULT(on_time_start, "s", "on-time at 5 % of the target"),
    RESULT(off_time_start, "s", "off-time at 5 % of the target"),
    RESULT(frequency_start, "Hz", "switching frequency at 5 % of the target"),
    RESULT(on_time_end, "s", "on-time of the last cycle"),
    RESULT(off_time_end, "s", "off-time of the last cycle"),
    RESULT(period_end, "s", "period of the last cycle, dead time included"),
    RESULT(frequency_end, "Hz", "switching frequency of the last cycle"),
    RESULT(timed_out_at_start, "",
           "1 where the off-time limit acts at 5 % of the target"),
    RESULT(timed_out_cycles, "", "cycles ended by the off-time limit"),
    RESULT(timed_out_until, "V", "output where the off-time limit stops"),
    RESULT(primary_current_max, "A", "highest magnetising current, with delay"),
    RESULT(recharge_current_max, "A",
           "highest current of the doubler's recharge, primary side"),
    RESULT(switch_plateau, "V", "supply plus reflected voltage at the end"),
    RESULT(switch_voltage, "V", "switch stress: supply plus clamp or plateau"),
    RESULT(diode_voltage, "V", "reverse voltage of each diode position"),
    RESULT(core_power_end, "W", "core loss in the last cycle, by its period"),
    RESULT(supply_current_end, "A", "supply current, mean of the last cycle"),
    RESULT(primary_current_squared, "A2 s", "integral over the charge"),
    RESULT(secondary_current_squared, "A2 s", "integral over the charge"),
    RESULT(supply_energy, "J", "drawn from the supply"),
    RESULT(stored_energy, "J", "gained by the storage capacitor"),
    RESULT(residual_energy, "J",
           "left in inductance, switch node and series capacitor"),
#define LOSS(mechanism, meaning) RESULT(loss_energy_##mechanism, "J", meaning),
    BV_LOSS_MAP(LOSS)
#undef LOSS
        RESULT(loss_energy, "J", "sum of the losses"),
    RESULT(efficiency_power_stage, "",
           "gate drive and core left out of the input"),
    RESULT(efficiency, "", "gate drive added to the input"),
    RESULT(average_power, "W", "stored energy over charge time"),
    RESULT(power_ratio, "", "average power over power at the end"),
};

const bv_fields bv_charge_fields = {fields, sizeof fields / sizeof *fields};
