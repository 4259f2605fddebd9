-- SPDX-License-Identifier: MIT
-- An objective of one's own: what the harbour beacon's charger costs.
--
-- Question: the 33 uF, 1.5 kV charger of 01-harbour-beacon is to be made in a
-- small series. What does a shorter charge cost, with the core, the copper, the
-- switch and the diodes at the prices of prices.csv beside this script?
--
-- Answer (20 000 evaluations, about 4 s on two cores; the prices are invented):
-- the cheapest, 4.3 EUR, charges in 1.06 s at 4.9 A with a switch of 120 mohm.
-- 0.25 s cost 1.3 EUR more: 18 A and a switch of 40 mohm. The switch is a variable
-- here: of those that bear the stress a design takes the one that loses least, and
-- that is seldom the cheapest.
--
-- Run: brimvolt search scripts/04-own-cost.lua --output front.csv
-- Seeds find cheapest ones from 4.3 to 4.7 EUR: prices jump from part to part.
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 21, nominal = 24, max = 29 },
  supply_resistance = 0.05,
  target_voltage = 1500,
  storage_capacitance = 33e-6,
  shots_per_second = 0.5,
  ambient_temperature = 55,
  layer_voltage_limit = 500,
}

-- What a part costs: a base, and so much a unit of what it is bought by.
local price = {}
for _, row in ipairs(catalogue.rows "prices.csv") do
  price[row.part] = row
end

local function part_cost(name, amount)
  return price[name].base + price[name].each * amount
end

local function cost(design)
  return part_cost("core", design.core_mass)
    + part_cost("copper", design.copper_mass)
    + part_cost("winding", design.primary_turns + design.secondary_turns)
    + part_cost("switch", design.switch_voltage_rating / design.switch_resistance)
    + design.diodes * part_cost("diode", design.diode_voltage_rating)
end

return {
  title = "Harbour beacon by price",
  variables = {
    core = space.ordered(catalogue.cores { family = { "ETD", "RM", "EFD", "E" } }),
    turns_ratio = space.log(8, 60),
    peak_current = space.log(2, 20),
    max_frequency = space.log(20e3, 200e3),
    sections = space.whole(1, 4),
    power_switch = space.choice(catalogue.switches(function(part)
      return part.voltage_rating <= 300
    end)),
  },
  results = { cost = { unit = "EUR", meaning = "price of the parts and of the winding" } },
  evaluate = function(x)
    local design = charger.design(job, x)
    design.cost = cost(design)
    return design
  end,
  minimise = { "charge_time", "cost" },
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
