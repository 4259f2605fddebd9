---@meta brimvolt.charger
-- Printed by the program; see lib/reference.md.

---jobs, the charge of a circuit, designs
local charger = {}

---what the charger has to do; job(job, fields) is a copy with changes
---@param fields brimvolt.job_fields
---@return brimvolt.job
function charger.job(fields) end

---the charge without any loss, in closed form
---@param circuit brimvolt.circuit_fields|brimvolt.design
---@return brimvolt.charge
function charger.ideal(circuit) end

---the charge with its losses, by the envelope over the output voltage
---@param circuit brimvolt.circuit_fields|brimvolt.design
---@return brimvolt.charge
function charger.envelope(circuit) end

---the charge cycle by cycle; with a trace also the waveforms, a table of lists time, switch_voltage, primary_current, secondary_current, output_voltage
---@param circuit brimvolt.circuit_fields|brimvolt.design
---@param options? { trace: boolean|brimvolt.trace_fields }
---@return brimvolt.charge, table?
function charger.cycles(circuit, options) end

---a design that can be wound and built, with all its results
---@param job brimvolt.job
---@param choices brimvolt.choice_fields
---@return brimvolt.design
function charger.design(job, choices) end

---a built design over the ends of the supply and of the tolerances and a seeded sample between them: each result as designed, its least, its greatest and its worse value; exact[name] tells whether the result goes one way along every tolerance, so that its ends are those of the box, or only the furthest that corners and samples met
---@param job brimvolt.job
---@param choices brimvolt.choice_fields
---@param tolerances? brimvolt.tolerance_fields
---@return { nominal: brimvolt.design, least: brimvolt.design, greatest: brimvolt.design, worst: brimvolt.design, exact: table<string, boolean>, corners: integer, samples: integer, evaluations: integer }
function charger.corners(job, choices, tolerances) end

---what other ways of charging cost in the time that boundary mode takes, with every loss of the circuit
---@param circuit brimvolt.circuit_fields|brimvolt.design
---@param options? brimvolt.ways_options
---@return { boundary: brimvolt.way_cost, fixed_frequency: brimvolt.way_cost, two_levels: brimvolt.way_cost, constant_output_current: brimvolt.way_cost }
function charger.ways(circuit, options) end

---the circuit of a design as a table, to be changed and evaluated again
---@param design brimvolt.design
---@return brimvolt.circuit_fields
function charger.circuit(design) end

---a design cycle by cycle, with charge_time_difference, loss_energy_difference and switch_voltage_difference, relative
---@param design brimvolt.design
---@return brimvolt.charge
function charger.verify(design) end

---the entries of x that are choices of a design, without variables of the study's own
---@param x table
---@return table
function charger.choices(x) end

---@class brimvolt.charger.ladder
---@field stages integer doubler stages, whole, from 1 to 100
---@field swing number of the source, peak to peak [V], from 0.001 to 10000000
---@field frequency number of the source [Hz], from 0.001 to 1000000000
---@field capacitance number of each capacitor [F], from 1e-15 to 1000
---@field output_current number of the load [A], from 0 to 1000000

---half-wave ladder of doubler stages in steady state, lower fidelity: drop I/(f C) (2 k^3/3 + k^2/2 - k/6), ripple I/(f C) k (k + 1)/2 (Cockcroft, Walton, Proc. R. Soc. A 136, 1932)
---@param a brimvolt.charger.ladder
---@return { output_voltage: number, drop: number, ripple: number, efficiency: number, best_stages: number }
function charger.ladder(a) end

return charger
