-- SPDX-License-Identifier: MIT
-- A sweep over a product of lists: the harbour beacon for other batteries,
-- voltages and energies.
--
-- Question: 12, 24 or 48 V, 600 V to 2.5 kV, 5 to 80 J within 1.8 s: what does
-- each of 60 beacons cost in loss and core?
--
-- Answer (20 000 evaluations a case, seed 1, about two minutes on two cores): all
-- sixty can be built. From 24 V to 600 V, 5 J cost 0.10 J in the largest core
-- and fit in half a cm3, 80 J cost 2.9 J and need 3.3 cm3; at 2.5 kV it is
-- 0.14 J and 2.4 cm3, then 3.9 J and 7.6 cm3. results/beacon-sweep/index.csv
-- has the others.
--
-- Run: brimvolt sweep scripts/11-sweep-beacon.lua --output beacons
local cases = require "brimvolt.cases"
local catalogue = require "brimvolt.catalogue"
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"

local list = cases.product(
  { "supply", 12, 24, 48 },
  { "target", 600, 1000, 1500, 2500 },
  { "energy", 5, 10, 20, 40, 80 }
)

for _, case in ipairs(list) do
  case.job = charger.job {
    supply_voltage = {
      min = 0.88 * case.supply, nominal = case.supply, max = 1.2 * case.supply,
    },
    supply_resistance = 0.05 * (case.supply / 24) ^ 2,
    target_voltage = case.target,
    storage_capacitance = 2 * case.energy / case.target ^ 2,
    shots_per_second = 0.5,
    ambient_temperature = 55,
    layer_voltage_limit = 500,
  }
end

return {
  title = "Sixty beacons",
  cases = list,
  variables = {
    core = space.ordered(catalogue.cores { family = { "ETD", "RM", "EFD" } }),
    turns_ratio = space.log(4, 150),
    peak_current = space.log(1, 40),
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
