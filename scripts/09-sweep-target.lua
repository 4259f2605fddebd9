-- SPDX-License-Identifier: MIT
-- A sweep: the same question for a row of target voltages.
--
-- Question: 37 J at 600 V to 3 kV, from a 24 V battery within 1.8 s. How do loss
-- and core grow with the voltage, when the capacitor shrinks to keep the energy?
--
-- Answer (20 000 evaluations a case, seed 1, about 10 s on two cores): with an
-- ETD49 from 1.1 J at 600 V over 1.5 J at 2 kV to 2.2 J at 3 kV. At 600 V an EFD20
-- of 1.5 cm3 will do; at 3 kV an ETD29 of 5.5 cm3 is the least and loses 7 J. No
-- two layers may see more than 500 V, so there it takes six sections on the largest
-- core, one winding of twelve layers on the least.
--
-- Run: brimvolt sweep scripts/09-sweep-target.lua --output sweep/
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local energy = 37

local cases = {}
for _, target in ipairs { 600, 1000, 1500, 2000, 3000 } do
  cases[#cases + 1] = {
    name = ("%d V"):format(target),
    job = charger.job {
      supply_voltage = { min = 21, nominal = 24, max = 29 },
      target_voltage = target,
      storage_capacitance = 2 * energy / target ^ 2,
      shots_per_second = 0.5,
      ambient_temperature = 55,
      layer_voltage_limit = 500,
    },
  }
end

return {
  title = "37 J at 600 V to 3 kV",
  cases = cases,
  variables = {
    core = space.ordered(catalogue.cores { family = { "ETD", "RM", "EFD" } }),
    turns_ratio = space.log(4, 100),
    peak_current = space.log(2, 20),
    max_frequency = space.log(20e3, 200e3),
    sections = space.whole(1, 6),
  },
  evaluate = function(x, case)
    return charger.design(case.job, x)
  end,
  minimise = { "loss_energy", "core_volume" },
  limits = {
    charge_time_low_supply = { max = 1.8 },
    switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    hot_spot_temperature = { max = 110 },
    window_fill = { max = 1 },
    layer_voltage = { max = 500 },
  },
}
