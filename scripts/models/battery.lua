-- SPDX-License-Identifier: MIT
-- A battery of lead cells by a model of one's own: open-circuit voltage and
-- resistance by state of charge. Straight lines after common practice: 1.95 V a
-- cell empty, 2.13 V full; the resistance doubles from full to empty and grows
-- by 0.6 % for each degree below 25 degC.
local battery = {}

function battery.open_voltage(cells, charge)
  return cells * (1.95 + 0.18 * charge)
end

-- capacity in ampere hours; about 0.1 ohm Ah a cell when full.
function battery.resistance(cells, capacity, charge, temperature)
  local cold = 1 + 0.006 * math.max(0, 25 - temperature)
  return cells * 0.1 / capacity * (2 - charge) * cold
end

-- Shots from one charge of the battery down to a state of charge.
function battery.shots(cells, capacity, lowest, energy)
  local mean = battery.open_voltage(cells, (1 + lowest) / 2)
  return (1 - lowest) * capacity * 3600 * mean / energy
end

return battery
