-- SPDX-License-Identifier: MIT
-- Four ways of charging on one job: at the boundary with constant peak current, at
-- a fixed frequency, between two current levels, with a constant output current.
--
-- Question: the harbour beacon charges at the boundary. Would another way, in the
-- same time and with the same parts, lose less or do with a smaller core?
--
-- Answer (3000 evaluations, seed 1, about 3 s on two cores): the boundary loses
-- 2.1 J, and nothing loses noticeably less. A constant output current saves 4 % of
-- it at best and needs 1.6 times the core, since it wastes power at the start.
-- Between two levels the charger does with 0.6 of the core, at twice the loss: it
-- switches with current at both edges and turns on against the whole node. A fixed
-- frequency (more RMS current) is beaten everywhere.
--
-- Run: brimvolt search scripts/12-ways.lua --evaluations 3000 --output front.csv
--      brimvolt point scripts/12-ways.lua way=fixed_frequency turns_ratio=20
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 21, nominal = 24, max = 29 },
  supply_resistance = 0.02,
  target_voltage = 1500,
  storage_capacitance = 33e-6,
  shots_per_second = 0.5,
  ambient_temperature = 40,
}
local core = catalogue.cores { name = "ETD34/17/11" }[1]

return {
  title = "Harbour beacon: ways of charging",
  variables = {
    way = space.choice { "boundary", "fixed_frequency", "two_levels", "constant_output_current" },
    turns_ratio = space.log(8, 40),
    peak_current = space.log(4, 20),
    max_frequency = space.log(20e3, 150e3),
  },
  results = {
    way = { meaning = "way of charging" },
    way_loss = { unit = "J", meaning = "loss of a charge this way" },
    way_core = { meaning = "core and window it needs, over those of the boundary" },
    way_peak = { unit = "A", meaning = "greatest primary current" },
    way_rms = { unit = "A", meaning = "primary current, RMS over the charge" },
    way_switching = { unit = "J", meaning = "overlap, node and recovery" },
  },
  evaluate = function(x)
    local choices = charger.choices(x)
    choices.core = core
    local design = charger.design(job, choices)
    local cost = charger.ways(design, { lower_share = 0.4 })[x.way]
    design.way = x.way
    if design.reason == "ok" and cost.reason ~= "ok" then
      return { reason = cost.reason } -- what makes this way impossible
    end
    design.way_loss, design.way_core = cost.loss_energy, cost.area_product
    design.way_peak, design.way_rms = cost.primary_current_max, cost.primary_rms
    design.way_switching = cost.switching_energy
    return design
  end,
  minimise = { "way_loss", "way_core" },
  limits = {
    charge_time = { max = 0.8 },
    switch_voltage_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    flux_margin = { min = 0.1 },
    window_fill = { max = 1 },
  },
}
