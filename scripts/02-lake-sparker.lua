-- Sparker source for lake-bed survey
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 44, nominal = 48, max = 56 },
  supply_resistance = 0.01,
  target_voltage = 4000,
  storage_capacitance = 44e-6,
  capacitor_resistance = 0.01,
  shots_per_second = 0.25,
  hold_time = 0.2,
  ambient_temperature = 40,
  altitude = 2000,
}

return {
  title = "Lake sparker, 48 V battery to 4 kV, 350 J",
  order = { "core", "turns_ratio", "peak_current", "max_frequency", "sections", "clamp_ratio" },
  variables = {
    turns_ratio = space.log(10, 100),
    peak_current = space.log(10, 80),
    max_frequency = space.log(15e3, 120e3),
    sections = space.whole(1, 8),
    clamp_ratio = space.real(1.3, 2.5),
    core = space.ordered(catalogue.cores(function(core)
      return core.effective_volume > 10e-6 and core.family ~= "ring" and core.family ~= "U"
    end)),
  },
  evaluate = function(x)
    return charger.design(job, x)
  end,
  minimise = { "loss_energy", "core_volume" },
  limits = {
    charge_time_low_supply = { max = 3.6 },
    switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    diode_current_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    hot_spot_temperature = { max = 105 },
    window_fill = { max = 1 },
  },
}
