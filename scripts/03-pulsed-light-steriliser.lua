-- SPDX-License-Identifier: MIT
-- Pulsed-light steriliser: a xenon lamp above a conveyor, many flashes a
-- second, fed from rectified mains.
--
-- Question: 20 uF to 1 kV (10 J), twelve times a second, from 260 to 375 V
-- with reinforced insulation. 120 W of stored energy leave little time to cool
-- and 81 ms to charge: what power is lost in which core?
--
-- Answer (20 000 evaluations, seed 1, about 3 s on two cores): 2.1 W in a PQ
-- 50/50 (98.2 % efficient), 2.7 W in a PQ 40/40, 5.0 W in a PQ 32/30 whose hot
-- spot comes to 100 degC. 2.4 to 3.2 A and a ratio of 2.1 whatever the core, two
-- sections, the primary in two halves around them, a 1200 V switch.
--
-- Run: brimvolt search scripts/03-pulsed-light-steriliser.lua --output front.csv
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 260, nominal = 325, max = 375 },
  supply_resistance = 0.5,
  target_voltage = 1000,
  storage_capacitance = 20e-6,
  capacitor_resistance = 0.01,
  shots_per_second = 12,
  hold_time = 2e-3,
  ambient_temperature = 45,
  layer_voltage_limit = 500,
  insulation = "reinforced",
  transient_voltage = 2500,
}

return {
  title = "Pulsed-light steriliser, rectified mains to 1 kV, 12 shots a second",
  order = { "core", "turns_ratio", "peak_current", "max_frequency", "sections", "interleaved" },
  variables = {
    turns_ratio = space.log(1, 12),
    peak_current = space.log(0.8, 10),
    max_frequency = space.log(30e3, 200e3),
    sections = space.whole(1, 3),
    interleaved = space.choice { false, true },
    core = space.ordered(catalogue.cores { family = "PQ" }),
  },
  evaluate = function(x)
    return charger.design(job, x)
  end,
  minimise = { "loss_power", "core_volume" },
  limits = {
    charge_duty = { max = 0.9 },
    switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    diode_current_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    hot_spot_temperature = { max = 110 },
    window_fill = { max = 1 },
    layer_voltage = { max = 500 },
  },
}
