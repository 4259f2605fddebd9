-- A first study. Change it step by step; after each change
--
--     brimvolt check study.lua      says whether it holds together,
--     brimvolt search study.lua --output front.csv
--     brimvolt table front.csv --best 12
--
-- Every name used here is explained by `brimvolt explain NAME`.
local charger = require "brimvolt.charger"
local space = require "brimvolt.space"
local catalogue = require "brimvolt.catalogue"
local u = require "brimvolt.units"

-- What the charger has to do. SI units; `u` has multipliers.
local job = charger.job {
  supply_voltage = { min = 10.5, nominal = 12, max = 14.5 },
  target_voltage = 400,
  storage_capacitance = 100 * u.uF,
  shots_per_second = 0.2,
  ambient_temperature = 40,
}

return {
  title = "A first study: 12 V to 400 V, 8 J every 5 s",

  -- What may vary, and how far.
  variables = {
    turns_ratio = space.log(3, 40),
    peak_current = space.log(2, 20),
    max_frequency = space.log(30e3, 250e3),
    sections = space.whole(1, 3),
    core = space.choice(catalogue.cores { family = "EFD" }),
  },

  -- What a point means. The design has well over a hundred results; add your
  -- own: design.price = …
  evaluate = function(x)
    return charger.design(job, x)
  end,

  -- What is good: two to five results, each the smaller the better.
  -- `maximise` takes a list too.
  minimise = { "charge_time", "loss_energy", "core_volume" },

  -- What is allowed. A design outside a limit never stands on the front.
  limits = {
    charge_time_low_supply = { max = 4 },
    switch_voltage_margin = { min = 0 },
    diode_voltage_margin = { min = 0 },
    flux_margin = { min = 0.15 },
    window_fill = { max = 1 },
    hot_spot_temperature = { max = 110 },
  },
}
