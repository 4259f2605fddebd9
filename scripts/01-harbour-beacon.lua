-- Harbour beacon: a flash lamp on a buoy, fed from a 24 V battery.
-- (question and answer follow from the run)
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"

local job = charger.job {
  supply_voltage = { min = 21, nominal = 24, max = 29 },
  supply_resistance = 0.03,
  target_voltage = 1500,
  storage_capacitance = 33e-6,
  capacitor_resistance = 0.01,
  shots_per_second = 0.5,
  hold_time = 0.05,
  ambient_temperature = 55,
}

return {
  title = "Harbour beacon, 24 V battery to 1.5 kV",
  variables = {
    turns_ratio = space.log(8, 60),
    peak_current = space.log(3, 20),
    max_frequency = space.log(25e3, 200e3),
    sections = space.whole(1, 4),
    clamp_ratio = space.real(1.3, 2.5),
    core = space.ordered(catalogue.cores { family = "ETD" }),
  },
  evaluate = function(x)
    return charger.design(job, x)
  end,
  minimise = { "charge_time", "loss_energy", "core_volume" },
  limits = {
    charge_time_low_supply = { max = 1.8 },
    switch_voltage_margin = { min = 0 },
    switch_current_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    diode_current_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    hot_spot_temperature = { max = 110 },
    window_fill = { max = 1 },
  },
}
