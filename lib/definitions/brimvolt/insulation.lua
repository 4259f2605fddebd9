---@meta brimvolt.insulation
-- Printed by the program; see lib/reference.md.

---clearance, creepage, and the safety of the stored charge
local insulation = {}

---@class brimvolt.insulation.clearance
---@field impulse number impulse withstand voltage [V], from 0 to 1000000
---@field pollution_degree? integer pollution degree, whole, from 1 to 3
---@field homogeneous? boolean case B, to be verified by test, true or false
---@field altitude? number above sea level [m], from 0 to 20000

---clearance by impulse voltage: IEC 60664-1:2007 tables F.2 and A.2
---@param a brimvolt.insulation.clearance
---@return { length: number, source: string }
function insulation.clearance(a) end

---@class brimvolt.insulation.clearance_high_frequency
---@field peak number peak voltage above 30 kHz [V], from 0 to 1000000
---@field pollution_degree? integer pollution degree, whole, from 1 to 3

---clearance for a peak above 30 kHz: IEC 62368-1, from IEC 60664-4
---@param a brimvolt.insulation.clearance_high_frequency
---@return { length: number, source: string }
function insulation.clearance_high_frequency(a) end

---@class brimvolt.insulation.clearance_secondary
---@field peak number peak voltage [V], from 0 to 1000000

---clearance in a secondary circuit: IEC 60950-1 table 2K
---@param a brimvolt.insulation.clearance_secondary
---@return { length: number, source: string }
function insulation.clearance_secondary(a) end

---@class brimvolt.insulation.creepage
---@field rms number working voltage, rms [V], from 0 to 1000000
---@field pollution_degree? integer pollution degree, whole, from 1 to 3
---@field material_group? integer group of the insulating material, whole, from 1 to 3

---creepage distance by working voltage: IEC 60664-1:2007 table F.4
---@param a brimvolt.insulation.creepage
---@return { length: number, source: string }
function insulation.creepage(a) end

---@class brimvolt.insulation.altitude_factor
---@field altitude number above sea level [m], from 0 to 20000

---factor on clearances above 2000 m: IEC 60664-1 table A.2
---@param a brimvolt.insulation.altitude_factor
---@return number factor on clearances
function insulation.altitude_factor(a) end

---@class brimvolt.insulation.test_voltage
---@field working number working voltage, rms [V], from 0 to 1000000
---@field reinforced? boolean reinforced insulation, true or false

---test of the insulation of a wound part: 2 U + 1000 V, twice that for reinforced insulation (common practice; the product's standard decides)
---@param a brimvolt.insulation.test_voltage
---@return number rms, for a minute, V
function insulation.test_voltage(a) end

---@class brimvolt.insulation.breakdown_voltage
---@field gap number gap in a uniform field [m], from 0.001 to 0.2

---breakdown of air in a uniform field: 24.22 d + 6.08 sqrt(d) kV, d in cm (Kuffel, Zaengl, Kuffel, High Voltage Engineering)
---@param a brimvolt.insulation.breakdown_voltage
---@return number of air at 1 atm and 20 degC, V
function insulation.breakdown_voltage(a) end

---@class brimvolt.insulation.stored_energy
---@field capacitance number charged capacitance [F], from 1e-12 to 100
---@field voltage number its voltage [V], from 0 to 1000000

---energy of a charged capacitance: C V2/2
---@param a brimvolt.insulation.stored_energy
---@return number stored energy, J
function insulation.stored_energy(a) end

---@class brimvolt.insulation.bleeder_resistance
---@field capacitance number charged capacitance [F], from 1e-12 to 100
---@field voltage number its voltage [V], from 0 to 1000000
---@field safe? number safe voltage [V], from 0.001 to 1000000
---@field time number within which it is safe [s], from 1e-06 to 1000000000

---bleeder that makes a charge safe in time: t/(C ln(V/Vsafe))
---@param a brimvolt.insulation.bleeder_resistance
---@return number largest one; infinite: safe already, ohm
function insulation.bleeder_resistance(a) end

---@class brimvolt.insulation.bleeder_time
---@field capacitance number charged capacitance [F], from 1e-12 to 100
---@field resistance number bleeder [ohm], from 0.001 to 1e+15
---@field voltage number voltage at the start [V], from 0 to 1000000
---@field safe? number safe voltage [V], from 0.001 to 1000000

---time to a safe voltage through a bleeder: R C ln(V/Vsafe)
---@param a brimvolt.insulation.bleeder_time
---@return number to the safe voltage, s
function insulation.bleeder_time(a) end

---@class brimvolt.insulation.bleeder_voltage
---@field capacitance number charged capacitance [F], from 1e-12 to 100
---@field resistance number bleeder [ohm], from 0.001 to 1e+15
---@field voltage number voltage at the start [V], from 0 to 1000000
---@field time number after it [s], from 0 to 1000000000

---voltage left after a time through a bleeder: V exp(-t/(R C))
---@param a brimvolt.insulation.bleeder_voltage
---@return number left, V
function insulation.bleeder_voltage(a) end

---@class brimvolt.insulation.touch_capacitance
---@field voltage number voltage [V], from 0 to 1000000

---largest capacitance that may be touched: IEC 60335-1, 8.1.4
---@param a brimvolt.insulation.touch_capacitance
---@return number largest that may be touched, F
function insulation.touch_capacitance(a) end

---@class brimvolt.insulation.touch_allowed
---@field capacitance number charged capacitance [F], from 1e-12 to 100
---@field voltage number voltage [V], from 0 to 1000000

---whether a charged capacitance may be touched: IEC 60335-1, 8.1.4
---@param a brimvolt.insulation.touch_allowed
---@return boolean whether it may be touched
function insulation.touch_allowed(a) end

---@class brimvolt.insulation.energy_class
---@field energy number stored energy [J], from 0 to 1000000000000
---@field voltage number voltage [V], from 0 to 1000000

---word for the hazard of a stored energy: after the classes of DOE-HDBK-1092 and NFPA 70E article 360, from memory, with low confidence
---@param a brimvolt.insulation.energy_class
---@return string a word for a page, no judgement
function insulation.energy_class(a) end

return insulation
