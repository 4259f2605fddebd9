---@meta brimvolt.space
-- Printed by the program; see lib/reference.md.

---the variables of a study
local space = {}

---any number from lo to hi, searched linearly
---@param lo number
---@param hi number
---@return brimvolt.variable
function space.real(lo, hi) end

---any number from lo > 0 to hi, searched by its logarithm: for what spans decades
---@param lo number
---@param hi number
---@return brimvolt.variable
function space.log(lo, hi) end

---whole numbers from lo to hi
---@param lo integer
---@param hi integer
---@return brimvolt.variable
function space.whole(lo, hi) end

---lo, lo + by, … up to hi
---@param lo number
---@param hi number
---@param by number
---@return brimvolt.variable
function space.step(lo, hi, by) end

---one of a list of texts, numbers, flags or parts
---@param choices any[]
---@return brimvolt.variable
function space.choice(choices) end

---one of a list in which neighbours are alike, as sizes of one family: the search may go step by step
---@param choices any[]
---@return brimvolt.variable
function space.ordered(choices) end

return space
