---@meta brimvolt.magnetics
-- Printed by the program; see lib/reference.md.

---cores, gaps, wires, windings and their losses, each alone
local magnetics = {}

---@class brimvolt.magnetics.reluctance
---@field length number length of the path [m], from 1e-09 to 1000
---@field area number cross-section of the core [m2], from 1e-09 to 10
---@field permeability? number relative permeability, from 1

---reluctance of a path: l/(mu0 mur A)
---@param a brimvolt.magnetics.reluctance
---@return number reluctance of the path, 1/H
function magnetics.reluctance(a) end

---@class brimvolt.magnetics.fringing_factor
---@field gap number length of the gap [m], from 0 to 0.1
---@field area number cross-section of the core [m2], from 1e-09 to 10
---@field width number width of the winding over it [m], from 1e-06 to 10

---increase of the inductance by fringing at a gap: 1 + lg/sqrt(A) ln(2 G/lg), McLyman, Transformer and Inductor Design Handbook, ch. 8
---@param a brimvolt.magnetics.fringing_factor
---@return number factor on the inductance
function magnetics.fringing_factor(a) end

---@class brimvolt.magnetics.gap_length
---@field inductance number inductance [H], from 1e-12 to 1000
---@field turns number turns, from 0.001 to 1000000
---@field area number cross-section of the core [m2], from 1e-09 to 10
---@field length number length of the core [m], from 1e-06 to 1000
---@field permeability? number relative, of the core without gap, from 1
---@field width? number width of the winding over the gap; 0: no fringing [m], from 0 to 10

---gap for an inductance, fringing included: N2/L = le/(mu0 mur A) + lg/(mu0 F A)
---@param a brimvolt.magnetics.gap_length
---@return number whole gap; negative: the core alone has less, m
function magnetics.gap_length(a) end

---@class brimvolt.magnetics.gapped_inductance
---@field gap number length of the whole gap [m], from 0 to 0.1
---@field turns number turns, from 0.001 to 1000000
---@field area number cross-section of the core [m2], from 1e-09 to 10
---@field length number length of the core [m], from 1e-06 to 1000
---@field permeability? number relative, of the core without gap, from 1
---@field width? number width of the winding over the gap; 0: no fringing [m], from 0 to 10

---inductance of turns on a gapped core: N2/L = le/(mu0 mur A) + lg/(mu0 F A)
---@param a brimvolt.magnetics.gapped_inductance
---@return number inductance with fringing, H
function magnetics.gapped_inductance(a) end

---@class brimvolt.magnetics.flux_density
---@field inductance number inductance [H], from 1e-12 to 1000
---@field current number peak current [A], from 0 to 1000000
---@field turns number turns, from 0.001 to 1000000
---@field area number cross-section of the core [m2], from 1e-09 to 10

---flux density of a current: L I/(N A)
---@param a brimvolt.magnetics.flux_density
---@return number flux density, T
function magnetics.flux_density(a) end

---@class brimvolt.magnetics.turns_for_flux
---@field inductance number inductance [H], from 1e-12 to 1000
---@field current number peak current [A], from 0 to 1000000
---@field flux_density number flux density [T], from 1e-06 to 10
---@field area number cross-section of the core [m2], from 1e-09 to 10

---turns for a flux density: L I/(B A)
---@param a brimvolt.magnetics.turns_for_flux
---@return number turns, a fraction
function magnetics.turns_for_flux(a) end

---@class brimvolt.magnetics.gap_energy
---@field flux_density number flux density [T], from 0 to 10
---@field area number cross-section of the core [m2], from 1e-09 to 10
---@field length number length of the path [m], from 0 to 1000
---@field permeability? number relative; 1: a gap, from 1

---energy in a part of the magnetic path: B2 A l/(2 mu0 mur)
---@param a brimvolt.magnetics.gap_energy
---@return number energy in the path, J
function magnetics.gap_energy(a) end

---@class brimvolt.magnetics.area_product
---@field inductance number inductance [H], from 1e-12 to 1000
---@field peak_current number peak of the primary [A], from 0 to 1000000
---@field rms_current number rms of the primary plus ratio times that of the secondary [A], from 0 to 1000000
---@field flux_density number peak flux density [T], from 1e-06 to 10
---@field current_density? number in the copper [A/m2], from 1 to 1000000000
---@field fill? number copper's share of the window, from 0.001 to 1

---area product that a coupled inductor needs: L Ipk Irms/(B J Ku)
---@param a brimvolt.magnetics.area_product
---@return number core area times window area, m4
function magnetics.area_product(a) end

---@class brimvolt.magnetics.effective_parameters
---@field shape? "ring"|"E"|"ETD"|"U"|"pot" shape of the core, one of ring, E, ETD, U, pot
---@field a? number dimension a of IEC 60205 [m], from 0 to 10
---@field b? number dimension b of IEC 60205 [m], from 0 to 10
---@field c? number dimension c of IEC 60205 [m], from 0 to 10
---@field d? number dimension d of IEC 60205 [m], from 0 to 10
---@field e? number dimension e of IEC 60205 [m], from 0 to 10
---@field f? number dimension f of IEC 60205 [m], from 0 to 10
---@field slot? number dimension slot of IEC 60205 [m], from 0 to 10

---effective parameters of a core from its dimensions: IEC 60205
---@param a brimvolt.magnetics.effective_parameters
---@return { area: number, length: number, volume: number }
function magnetics.effective_parameters(a) end

---@class brimvolt.magnetics.saturation_flux_density
---@field at_25 number at 25 degC [T], from 0 to 10
---@field at_100 number at 100 degC [T], from 0 to 10
---@field temperature number temperature wanted [degC], from -200 to 500

---saturation flux density at a temperature: straight line through 25 and 100 degC
---@param a brimvolt.magnetics.saturation_flux_density
---@return number saturation flux density, T
function magnetics.saturation_flux_density(a) end

---@class brimvolt.magnetics.copper_resistance
---@field length number length of the conductor [m], from 0 to 1000000
---@field area number its cross-section [m2], from 1e-12 to 1
---@field temperature? number temperature of the copper [degC], from -200 to 500

---resistance of a copper conductor: rho l/A, IEC 60028
---@param a brimvolt.magnetics.copper_resistance
---@return number resistance to direct current, ohm
function magnetics.copper_resistance(a) end

---@class brimvolt.magnetics.skin_depth
---@field frequency number frequency [Hz], from 0.001 to 10000000000
---@field temperature? number temperature of the copper [degC], from -200 to 500

---skin depth of copper: sqrt(rho/(pi f mu0))
---@param a brimvolt.magnetics.skin_depth
---@return number depth at which the field has fallen to 1/e, m
function magnetics.skin_depth(a) end

---@class brimvolt.magnetics.wire_diameter
---@field gauge number AWG number, -3 for 4/0, from -3 to 60

---bare diameter of an AWG number: 0.127 mm 92^((36 - n)/39), ASTM B258
---@param a brimvolt.magnetics.wire_diameter
---@return number bare diameter, m
function magnetics.wire_diameter(a) end

---@class brimvolt.magnetics.wire_overall_diameter
---@field diameter number bare diameter [m], from 1e-06 to 0.01
---@field grade? integer grade of the enamel, whole, from 1 to 2

---overall diameter of enamelled wire: IEC 60317-0-1, interpolated
---@param a brimvolt.magnetics.wire_overall_diameter
---@return number largest overall diameter, m
function magnetics.wire_overall_diameter(a) end

---@class brimvolt.magnetics.ac_resistance_factor
---@field diameter number bare, of one strand [m], from 1e-06 to 0.1
---@field strands? number strands of the wire, from 1 to 1000000
---@field pitch number from turn to turn, whole wire [m], from 1e-06 to 1
---@field layers? number layers of the winding, from 0.1 to 1000
---@field frequency number frequency [Hz], from 0.001 to 10000000000
---@field temperature? number temperature of the copper [degC], from -200 to 500

---ac over dc resistance of round or stranded wire in layers: J. A. Ferreira, IEEE Trans. Power Electron. 9(1), 1994
---@param a brimvolt.magnetics.ac_resistance_factor
---@return number ac over dc resistance for a sine
function magnetics.ac_resistance_factor(a) end

---@class brimvolt.magnetics.dowell_factor
---@field phi number thickness over skin depth, from 0 to 1000
---@field layers? number layers of foil, from 0.1 to 1000

---ac over dc resistance of layers of foil: P. L. Dowell, Proc. IEE 113(8), 1966
---@param a brimvolt.magnetics.dowell_factor
---@return number ac over dc resistance for a sine
function magnetics.dowell_factor(a) end

---@class brimvolt.magnetics.rms_of_ramp
---@field first? number value at the start of the pulse [A], from -1000000000 to 1000000000
---@field last number value at its end [A], from -1000000000 to 1000000000
---@field duty number share of the period, from 0 to 1

---rms of a pulse that goes straight from one value to another: sqrt(d (a2 + a b + b2)/3)
---@param a brimvolt.magnetics.rms_of_ramp
---@return number rms over the period, A
function magnetics.rms_of_ramp(a) end

---@class brimvolt.magnetics.leakage_inductance
---@field turns number of the winding it is seen from, from 0.001 to 1000000
---@field mean_turn number mean length of a turn [m], from 0.0001 to 100
---@field width number common to both windings [m], from 0.0001 to 10
---@field copper number heights of all windings [m], from 0 to 1
---@field space number insulation between windings [m], from 0 to 1
---@field interfaces? number 1: P|S, 2: P/2|S|P/2, from 1 to 10

---leakage of two windings over each other: mu0 N2 MLT/(k2 b) (sum h/3 + sum c)
---@param a brimvolt.magnetics.leakage_inductance
---@return number leakage seen from the winding, H
function magnetics.leakage_inductance(a) end

---@class brimvolt.magnetics.plate_capacitance
---@field mean_turn number mean length of a turn [m], from 0.0001 to 100
---@field width number width of the layers [m], from 0.0001 to 10
---@field distance number between the layers [m], from 1e-07 to 1
---@field permittivity? number relative, from 1 to 100

---capacitance of two neighbouring layers: eps0 er MLT b/d
---@param a brimvolt.magnetics.plate_capacitance
---@return number capacitance of two layers as plates, F
function magnetics.plate_capacitance(a) end

---@class brimvolt.magnetics.winding_capacitance
---@field between_layers number of two neighbouring layers [F], from 0 to 1
---@field layers number layers of the winding, from 1 to 10000
---@field order? "folded"|"led_back" how layers follow each other, one of folded, led_back
---@field chambers? number axial chambers side by side, from 1 to 100

---self-capacitance of a winding in layers: folded 4 C (p - 1)/(3 p2), led back C (p - 1)/p2
---@param a brimvolt.magnetics.winding_capacitance
---@return number seen over the ends of the winding, F
function magnetics.winding_capacitance(a) end

---@class brimvolt.magnetics.core_loss_sine
---@field steinmetz_k number loss density in W/m3 at 1 Hz and 1 T, from 0
---@field steinmetz_alpha number exponent of the frequency, from 0.5 to 3
---@field steinmetz_beta number exponent of the flux density, from 1 to 4
---@field frequency number frequency [Hz], from 0.001 to 10000000000
---@field amplitude number half the swing [T], from 0 to 10

---core loss density of a sine: k f^alpha B^beta
---@param a brimvolt.magnetics.core_loss_sine
---@return number loss density, W/m3
function magnetics.core_loss_sine(a) end

---@class brimvolt.magnetics.core_loss_triangle
---@field steinmetz_k number loss density in W/m3 at 1 Hz and 1 T, from 0
---@field steinmetz_alpha number exponent of the frequency, from 0.5 to 3
---@field steinmetz_beta number exponent of the flux density, from 1 to 4
---@field frequency number frequency [Hz], from 0.001 to 10000000000
---@field swing number peak to peak [T], from 0 to 20
---@field rise? number rising share of the period, from 1e-06 to 0.999999

---core loss density of a triangle: iGSE: K. Venkatachalam and others, IEEE COMPEL 2002
---@param a brimvolt.magnetics.core_loss_triangle
---@return number loss density, W/m3
function magnetics.core_loss_triangle(a) end

---@class brimvolt.magnetics.temperature_rise
---@field power number given off [W], from 0 to 1000000
---@field surface number cooling surface [m2], from 1e-06 to 1000

---rise of a wound part in still air: 450 (W/cm2)^0.826, McLyman, ch. 6; +-30 %
---@param a brimvolt.magnetics.temperature_rise
---@return number over the ambient, K
function magnetics.temperature_rise(a) end

---@class brimvolt.magnetics.cooling_surface
---@field area_product number of the core [m4], from 1e-14 to 1

---cooling surface from the area product: 40 sqrt(area product in cm4) cm2, after McLyman, ch. 5
---@param a brimvolt.magnetics.cooling_surface
---@return number of the wound part, m2
function magnetics.cooling_surface(a) end

---@class brimvolt.magnetics.adiabatic_rise
---@field energy number that stays in the part [J], from 0 to 1000000000
---@field mass number of the part [kg], from 1e-09 to 1000000
---@field specific_heat? number copper: 385 [J/(kg K)], from 1 to 100000

---rise of a mass by an energy that stays in it: E/(m c)
---@param a brimvolt.magnetics.adiabatic_rise
---@return number without cooling, K
function magnetics.adiabatic_rise(a) end

---@class brimvolt.magnetics.clamp_energy
---@field leakage number leakage inductance [H], from 0 to 1
---@field current number peak current [A], from 0 to 1000000
---@field clamp number clamp level above the supply [V], from 0.001 to 1000000
---@field reflected number reflected output [V], from 0 to 1000000
---@field capacitance? number of windings and diodes behind the leakage, seen at the primary [F], from 0 to 1
---@field supply? number supply voltage, for the capacitance [V], from 0 to 1000000

---energy the clamp takes each cycle: L I2 Vcl/(2 (Vcl - Vr)) without capacitance; with it the winding swings from minus the supply toward the clamp level
---@param a brimvolt.magnetics.clamp_energy
---@return number taken each cycle; infinite: never ends, J
function magnetics.clamp_energy(a) end

return magnetics
