---@meta brimvolt.cases
-- Printed by the program; see lib/reference.md.

---lists of cases for a sweep
local cases = {}

---cases for a sweep: lists of a name and its numbers or texts; a case for each combination of one value a list, the last list changing fastest, named "supply 12, target 600" and so on, with the values as fields
---@param ... any[]
---@return table[]
function cases.product(...) end

return cases
