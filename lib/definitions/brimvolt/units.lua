---@meta brimvolt.units
-- Printed by the program; see lib/reference.md.

---Multipliers to SI units.
---@type table<string, number>
local units = {}

return units
