/* SPDX-License-Identifier: MIT */
#include "model/doubler_ladder.h"
#include "script/charger_circuit.h"
#include "script/formula_rows.h"

IN(ladder) = {
    BV_IN_WHOLE(0, "stages", 1, 100, NEEDED, "doubler stages"),
    BV_IN(1, "swing", "V", 1e-3, 1e7, NEEDED, "of the source, peak to peak"),
    BV_IN(2, "frequency", "Hz", 1e-3, 1e9, NEEDED, "of the source"),
    BV_IN(3, "capacitance", "F", 1e-15, 1e3, NEEDED, "of each capacitor"),
    BV_IN(4, "output_current", "A", 0, 1e6, NEEDED, "of the load")};
static const bv_field ladder_out[] = {
    BV_OUT(BV_NUMBER, "output_voltage", "V", "at the crest, not below zero"),
    BV_OUT(BV_NUMBER, "drop", "V", "of the crest by the load, upper figure"),
    BV_OUT(BV_NUMBER, "ripple", "V", "peak to peak"),
    BV_OUT(BV_NUMBER, "efficiency", "",
           "lower figure; it falls with the stages"),
    BV_OUT(BV_NUMBER, "best_stages", "",
           "of the greatest output; infinite without load")};
COMPUTE(ladder) {
  r[0].number = bv_ladder_output(a[1], a[0], a[4], a[2], a[3]);
  r[1].number = bv_ladder_drop(a[0], a[4], a[2], a[3]);
  r[2].number = bv_ladder_ripple(a[0], a[4], a[2], a[3]);
  r[3].number = bv_ladder_efficiency(a[1], a[0], a[4], a[2], a[3]);
  r[4].number = bv_ladder_best_stages(a[1], a[4], a[2], a[3]);
}

const bv_formula bv_charger_ladder =
    FORMULA(ladder,
            "half-wave ladder of doubler stages in steady state, lower "
            "fidelity",
            "drop I/(f C) (2 k^3/3 + k^2/2 - k/6), ripple I/(f C) k (k + 1)/2 "
            "(Cockcroft, Walton, Proc. R. Soc. A 136, 1932)",
            "stages = 3, swing = 1000, frequency = 50e3, capacitance = 10e-9, "
            "output_current = 1e-3");
