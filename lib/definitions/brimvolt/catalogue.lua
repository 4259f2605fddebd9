---@meta brimvolt.catalogue
-- Printed by the program; see lib/reference.md.

---parts, one object a row. A filter is a function of a row, or a table of fields that must equal a value or one of a list; in the table `file` names the user's own CSV beside the script and `keep` is a function of a row
local catalogue = {}

---rows of lib/catalogue/cores.csv that pass the filter
---@param filter? table|fun(row: brimvolt.core): boolean
---@return brimvolt.core[]
function catalogue.cores(filter) end

---rows of lib/catalogue/wires.csv that pass the filter
---@param filter? table|fun(row: brimvolt.wire): boolean
---@return brimvolt.wire[]
function catalogue.wires(filter) end

---rows of lib/catalogue/materials.csv that pass the filter
---@param filter? table|fun(row: brimvolt.material): boolean
---@return brimvolt.material[]
function catalogue.materials(filter) end

---rows of lib/catalogue/switches.csv that pass the filter
---@param filter? table|fun(row: brimvolt.switch): boolean
---@return brimvolt.switch[]
function catalogue.switches(filter) end

---rows of lib/catalogue/diodes.csv that pass the filter
---@param filter? table|fun(row: brimvolt.diode): boolean
---@return brimvolt.diode[]
function catalogue.diodes(filter) end

---rows of lib/catalogue/capacitors.csv that pass the filter
---@param filter? table|fun(row: brimvolt.storage): boolean
---@return brimvolt.storage[]
function catalogue.capacitors(filter) end

---rows of any CSV file beside the script, each a table by the header's names; cells that are numbers become numbers
---@param file string
---@return table[]
function catalogue.rows(file) end

return catalogue
