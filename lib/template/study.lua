-- A first study: change the job, then run
--
--     brimvolt search study.lua --output front.csv
--     brimvolt table front.csv --best 12
--
-- `brimvolt explain NAME` tells what a name means, lib/manual.md how to go on.
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"
local u = require "brimvolt.units"

-- What the charger has to do. SI units; temperatures in degC.
local job = charger.job {
  supply_voltage = { min = 21, nominal = 24, max = 29 },
  target_voltage = 1.5 * u.kV,
  storage_capacitance = 33 * u.uF,
  shots_per_second = 0.5,
  ambient_temperature = 40,
}

---@type brimvolt.study
local study = {
  title = "My first charger",

  -- What the search may vary, and how far. What is left out, as wires, switch,
  -- diodes and gap, is chosen by the design.
  variables = {
    core = space.ordered(catalogue.cores { family = { "ETD", "RM" } }),
    turns_ratio = space.log(8, 60),
    peak_current = space.log(2, 20),
    max_frequency = space.log(20 * u.kHz, 200 * u.kHz),
    sections = space.whole(1, 4),
  },

  -- From a point to its results, by name.
  evaluate = function(x)
    return charger.design(job, x)
  end,

  -- What is good: every result here is one axis of the front.
  minimise = { "charge_time", "loss_energy", "core_volume" },

  -- What is allowed. A margin is the share of a derated rating that is left.
  limits = {
    charge_time_low_supply = { max = 1.8 },
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

return study
