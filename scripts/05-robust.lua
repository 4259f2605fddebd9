-- SPDX-License-Identifier: MIT
-- A robust front: designs judged by the worst of their corners.
--
-- Question: which beacon chargers keep their time and temperature when the
-- battery is low, the housing hot, the inductance 10 % off and the comparator
-- 5 % off, and what does that cost against the nominal design?
--
-- Answer (20 000 evaluations, seed 1, about 7 s on two cores): a knee is an
-- ETD44 at 20 A that charges in 0.40 s and loses 2.2 J in its worst corner,
-- against 0.36 s and 2.0 J at the nominal supply: the corners cost about 13 %
-- in time, 8 % in loss and 5 % in flux density.
--
-- Here the corners are walked by the script, to show how. charger.corners walks
-- all of them, 512 and a sample, in about 10 ms a design.
--
-- Run: brimvolt search scripts/05-robust.lua --output front.csv
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

-- The built parts stay, the circuit around them changes.
local function corners(design)
  local circuit = charger.circuit(design)
  local inductance, level = circuit.primary_inductance, circuit.peak_current
  local worst = { charge_time = 0, loss_energy = 0, peak = 0 }
  for _, supply in ipairs { 21, 29 } do
    for _, off in ipairs { -1, 1 } do
      circuit.supply_voltage = supply
      circuit.primary_inductance = inductance * (1 + 0.10 * off)
      circuit.peak_current = level * (1 - 0.05 * off)
      local charge = charger.envelope(circuit)
      if charge.reason ~= "ok" then
        return nil, charge.reason
      end
      worst.charge_time = math.max(worst.charge_time, charge.charge_time)
      worst.loss_energy = math.max(worst.loss_energy, charge.loss_energy)
      worst.peak = math.max(worst.peak, charge.primary_current_max * circuit.primary_inductance)
    end
  end
  return worst
end

return {
  title = "Harbour beacon over its corners",
  variables = {
    core = space.ordered(catalogue.cores { family = { "ETD", "RM", "EFD" } }),
    turns_ratio = space.log(8, 60),
    peak_current = space.log(2, 20),
    max_frequency = space.log(20e3, 200e3),
    sections = space.whole(1, 4),
  },
  results = {
    worst_charge_time = { unit = "s", meaning = "charge time in the worst corner" },
    worst_loss_energy = { unit = "J", meaning = "loss of a charge in the worst corner" },
    worst_flux_density = { unit = "T", meaning = "flux density in the worst corner, narrowest section" },
  },
  evaluate = function(x)
    local design = charger.design(job, x)
    if design.reason ~= "ok" then
      return design
    end
    local worst, reason = corners(design)
    if not worst then
      return { reason = reason }
    end
    design.worst_charge_time = worst.charge_time
    design.worst_loss_energy = worst.loss_energy
    design.worst_flux_density = design.flux_density_narrowest
      * worst.peak / (design.primary_inductance * design.primary_current_max)
    return design
  end,
  minimise = { "worst_charge_time", "worst_loss_energy", "core_volume" },
  limits = {
    worst_charge_time = { max = 1.8 },
    worst_flux_density = { max = function(r) return 0.85 * r.saturation_flux_density end },
    switch_voltage_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    hot_spot_temperature = { max = 110 },
    window_fill = { max = 1 },
    layer_voltage = { max = 500 },
  },
}
