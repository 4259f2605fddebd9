-- SPDX-License-Identifier: MIT
-- Two stages: a coarse search on the closed form while the script loads, then
-- the fine one on whole designs, started from what the coarse one found.
--
-- Question: the pulsed-light steriliser has wide ranges, and most of them are
-- hopeless. Does a look at the ideal charge time and the area product find the
-- corner worth searching?
--
-- Answer (about 2 s on two cores): at small budgets. With 300 evaluations the
-- front covers some 5 % more than that of a search without the coarse stage
-- (-- plain), which needs twice as many for as much; from 5000 on both are alike.
-- It goes from an ETD59 that loses 0.20 J a shot to a PQ 35/35 that loses 1.2 J, an
-- E 42 of the same size 0.48 J, all at a turns ratio of about 4.
--
-- Run: brimvolt search scripts/08-two-stage.lua --output front.csv
--      brimvolt search scripts/08-two-stage.lua --output front.csv -- plain
local charger = require "brimvolt.charger"
local magnetics = require "brimvolt.magnetics"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 290, nominal = 325, max = 360 },
  target_voltage = 2000,
  storage_capacitance = 5e-6,
  shots_per_second = 20,
  ambient_temperature = 45,
}
local longest = 0.04

local cores = catalogue.cores { family = { "ETD", "PQ", "E" } }
local ranges = {
  turns_ratio = { 1, 100 }, peak_current = { 0.5, 60 }, max_frequency = { 10e3, 400e3 },
}

local function draw(range)
  return range[1] * (range[2] / range[1]) ^ math.random()
end

-- The inductance that reaches max_frequency at the target without losses.
local function closed_form(x)
  local supply, target = job.supply_voltage.nominal, job.target_voltage
  local ratio = x.turns_ratio * supply / target
  local inductance = supply / (x.max_frequency * x.peak_current * (1 + ratio))
  local charge = charger.ideal {
    supply_voltage = supply, target_voltage = target, storage_capacitance = job.storage_capacitance,
    primary_inductance = inductance, turns_ratio = x.turns_ratio, peak_current = x.peak_current,
  }
  local needed = magnetics.area_product {
    inductance = inductance, peak_current = x.peak_current,
    rms_current = x.peak_current * (1 + math.sqrt(2 * ratio)) / math.sqrt(3 * (1 + 2 * ratio)),
    flux_density = 0.15,
  }
  return charge, needed
end

local function smallest_core(needed)
  local best
  for _, core in ipairs(cores) do
    local has = core.effective_area * core.winding_area
    if has >= needed and (not best or core.effective_volume < best.effective_volume) then
      best = core
    end
  end
  return best
end

-- The best of many draws: charged in time, reflected voltage moderate, the core
-- small.
local function coarse(draws, keep)
  local found = {}
  for _ = 1, draws do
    local x = {}
    for _, name in ipairs { "turns_ratio", "peak_current", "max_frequency" } do
      x[name] = draw(ranges[name])
    end
    local charge, needed = closed_form(x)
    local core = smallest_core(needed)
    if core and charge.charge_time < 0.8 * longest and charge.switch_voltage < 700 then
      x.core = core
      found[#found + 1] = { x = x, size = core.effective_volume * charge.primary_current_max }
    end
  end
  table.sort(found, function(a, b) return a.size < b.size end)
  local starts = {}
  for i = 1, math.min(keep, #found) do
    starts[i] = found[i].x
  end
  return starts
end

return {
  title = "Pulsed-light steriliser in two stages",
  variables = {
    core = space.ordered(cores),
    turns_ratio = space.log(ranges.turns_ratio[1], ranges.turns_ratio[2]),
    peak_current = space.log(ranges.peak_current[1], ranges.peak_current[2]),
    max_frequency = space.log(ranges.max_frequency[1], ranges.max_frequency[2]),
    sections = space.whole(1, 4),
  },
  start = arg[1] ~= "plain" and coarse(5000, 20) or nil,
  evaluate = function(x)
    return charger.design(job, x)
  end,
  minimise = { "loss_energy", "core_volume" },
  limits = {
    charge_time_low_supply = { max = longest },
    switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    hot_spot_temperature = { max = 110 },
    window_fill = { max = 1 },
  },
}
