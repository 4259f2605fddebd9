-- SPDX-License-Identifier: MIT
-- Parts from a catalogue of one's own: what lies in the store.
--
-- Question: the store holds four cores and three switches, listed in
-- own-cores.csv and own-switches.csv beside this script. Which of them make a
-- beacon charger, and how fast is the best of each?
--
-- Answer (20 000 evaluations, seed 1, about 2 s on two cores): all four, with the
-- large switch. Store D, the pot core, is the fastest by a hair (0.27 s), store C
-- loses least (1.9 J); store A is the lightest and loses nearly twice as much.
--
-- Run: brimvolt search scripts/06-own-catalogue.lua --output front.csv
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 21, nominal = 24, max = 29 },
  target_voltage = 1500,
  storage_capacitance = 33e-6,
  shots_per_second = 0.5,
  ambient_temperature = 55,
}

return {
  title = "Harbour beacon from the store",
  variables = {
    core = space.ordered(catalogue.cores { file = "own-cores.csv" }),
    power_switch = space.choice(catalogue.switches {
      file = "own-switches.csv",
      keep = function(switch) return switch.voltage_rating >= 100 end,
    }),
    turns_ratio = space.log(8, 60),
    peak_current = space.log(2, 20),
    max_frequency = space.log(20e3, 200e3),
    sections = space.whole(1, 4),
  },
  evaluate = function(x)
    return charger.design(job, x)
  end,
  minimise = { "charge_time", "loss_energy", "core_mass" },
  limits = {
    charge_time_low_supply = { max = 1.8 },
    switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    hot_spot_temperature = { max = 110 },
    window_fill = { max = 1 },
  },
}
