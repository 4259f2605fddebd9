-- SPDX-License-Identifier: MIT
-- Rectifiers side by side: one winding with one diode, a split secondary, a
-- half-wave doubler, a doubler on each section, a half-wave ladder.
--
-- Question: the lake sparker wants 10 uF at 3 kV from 48 V. Does it pay to split
-- the secondary, to double, or to stack stages?
--
-- Answer (20 000 evaluations, seed 5, about 5 s on two cores): one winding with
-- one diode serves most cores from 79 cm3 (1.7 J) to 5.5 cm3 (4.3 J); two or
-- three in series save up to a seventh on 52 cm3 and more. A split into two or four
-- saves up to a quarter of the loss from 24 cm3 on, at as many diodes.
-- Doublers and ladders are beaten everywhere: a doubler's first recharge pulses ask
-- for a large switch or a small series capacitor, and for diodes that bear them. On
-- the least core a doubler loses a fifth more.
--
-- Run: brimvolt search scripts/07-rectifiers.lua --seed 5 --output front.csv
--      brimvolt table front.csv --keep 'kind == "split"'
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 44, nominal = 48, max = 56 },
  supply_resistance = 0.01,
  target_voltage = 3000,
  storage_capacitance = 10e-6,
  shots_per_second = 0.5,
  ambient_temperature = 40,
  layer_voltage_limit = 800,
}

local kinds = {
  single = { sections = 1 },
  split = { rectifier = "single" },
  doubler = { sections = 1, rectifier = "doubler" },
  doublers = { rectifier = "doubler" }, -- one on each section
  ladder = { sections = 1, rectifier = "ladder" },
}

return {
  title = "Lake sparker: single, split, doubler, ladder",
  variables = {
    kind = space.choice { "single", "split", "doubler", "doublers", "ladder" },
    core = space.ordered(catalogue.cores { family = { "ETD", "E", "PQ" } }),
    turns_ratio = space.log(8, 100),
    peak_current = space.log(2, 40),
    max_frequency = space.log(20e3, 150e3),
    sections = space.whole(2, 6),
    stages = space.whole(2, 4),
    series_capacitance = space.log(0.3e-9, 30e-9),
  },
  results = { kind = { meaning = "kind of rectifier" } },
  evaluate = function(x)
    local choices = charger.choices(x)
    for name, value in pairs(kinds[x.kind]) do
      choices[name] = value
    end
    local design = charger.design(job, choices)
    design.kind = x.kind
    return design
  end,
  minimise = { "loss_energy", "core_volume", "diodes" },
  limits = {
    charge_time_low_supply = { max = 1.5 },
    switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    hot_spot_temperature = { max = 105 },
    window_fill = { max = 1 },
    layer_voltage = { max = 800 },
  },
}
