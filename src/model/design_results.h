/* SPDX-License-Identifier: MIT */
/* Every result of a design: one row gives its member, unit, which way it gets
 * worse (1: more is worse, -1: less is worse, 0: neither) and meaning. The
 * struct, its table of fields and everything printed from it follow. Included
 * by design.h, not alone.
 *
 * Unless a row says otherwise, electrical results hold at the nominal supply
 * and stresses at the highest. */
#ifndef BV_MODEL_DESIGN_RESULTS_H
#define BV_MODEL_DESIGN_RESULTS_H

#define BV_DESIGN_CHARGE(NUMBER, TEXT, LOSS)                                   \
  NUMBER(impossibility, "", 1,                                                 \
         "0: possible; else from 1 on how far beyond the reason's edge")       \
  NUMBER(charge_time, "s", 1,                                                  \
         "time to the target voltage at the nominal supply")                   \
  NUMBER(charge_time_low_supply, "s", 1,                                       \
         "time to the target voltage at the lowest supply")                    \
  NUMBER(charge_time_ideal, "s", 0,                                            \
         "time to the target without any loss, at the nominal supply")         \
  NUMBER(charge_duty, "", 1,                                                   \
         "charge time at the lowest supply and hold time over the "            \
         "shot period")                                                        \
  NUMBER(cycles, "", 0, "switching cycles to the target")                      \
  NUMBER(on_time_start, "s", 0, "on-time at 5 % of the target")                \
  NUMBER(off_time_start, "s", 0, "off-time at 5 % of the target")              \
  NUMBER(frequency_start, "Hz", 0, "switching frequency at 5 % of the target") \
  NUMBER(on_time_end, "s", 0, "on-time of the last cycle")                     \
  NUMBER(off_time_end, "s", 0, "off-time of the last cycle")                   \
  NUMBER(dead_time, "s", 0,                                                    \
         "half ring and turn-on delay between off-time and on-time")           \
  NUMBER(period_end, "s", 0, "period of the last cycle, dead time included")   \
  NUMBER(frequency_end, "Hz", 0, "switching frequency of the last cycle")      \
  NUMBER(frequency_highest, "Hz", 1,                                           \
         "switching frequency at the target and the highest supply")           \
  NUMBER(timed_out_at_start, "", 1,                                            \
         "1 where the off-time limit ends cycles at 5 % of the target")        \
  NUMBER(timed_out_cycles, "", 1, "cycles ended by the off-time limit")        \
  NUMBER(timed_out_until, "V", 1,                                              \
         "output voltage where the off-time limit stops acting")               \
  NUMBER(recharge_current_max, "A", 1,                                         \
         "largest recharge current of the doubler, at the primary")            \
  NUMBER(average_power, "W", -1, "stored energy over charge time")             \
  NUMBER(power_ratio, "", -1, "average power over the power at the target")    \
  NUMBER(supply_current, "A", 1, "mean supply current while charging")         \
  NUMBER(supply_current_end, "A", 1,                                           \
         "supply current at the target and the lowest supply, mean of a "      \
         "cycle: mostly the largest of a charge")                              \
  NUMBER(supply_power, "W", 1, "mean power from the supply at the shot rate")

#define BV_DESIGN_ENERGY(NUMBER, TEXT, LOSS)                                   \
  NUMBER(stored_energy, "J", 0, "energy the storage capacitor gains")          \
  NUMBER(supply_energy, "J", 1, "energy drawn from the supply for one charge") \
  NUMBER(residual_energy, "J", 0,                                              \
         "energy left in inductance, node and series capacitor")               \
  NUMBER(efficiency, "", -1, "stored energy over supply and gate energy")      \
  NUMBER(efficiency_power_stage, "", -1,                                       \
         "stored energy over supply energy less that lost in the core")        \
  NUMBER(loss_energy, "J", 1, "energy lost in one charge, all mechanisms")     \
  BV_LOSS_MAP(LOSS)                                                            \
  NUMBER(loss_power, "W", 1, "loss energy times shots a second")

#define BV_DESIGN_CURRENT(NUMBER, TEXT, LOSS)                                  \
  NUMBER(primary_current_max, "A", 1,                                          \
         "largest primary current at the highest supply, delay "               \
         "overshoot included")                                                 \
  NUMBER(magnetising_current_max, "A", 1,                                      \
         "largest magnetising current at the highest supply: the primary's, "  \
         "and what a series capacitor adds in the first cycles")               \
  NUMBER(switch_current, "A", 1,                                               \
         "largest switch current: the primary's, and a recharge pulse on it")  \
  NUMBER(turn_on_spike, "A", 1,                                                \
         "largest current by which the windings' capacitance discharges "      \
         "through the leakage at turn-on, undamped: at the start of a charge") \
  NUMBER(turn_on_blanking, "s", 1,                                             \
         "half a period of that ring, for which the comparator has to be "     \
         "blind at least")                                                     \
  NUMBER(secondary_current_max, "A", 1, "largest secondary current")           \
  NUMBER(primary_current_rms, "A", 1, "primary current, rms over the charge")  \
  NUMBER(secondary_current_rms, "A", 1,                                        \
         "secondary current, rms over the charge")                             \
  NUMBER(primary_current_rms_heating, "A", 1,                                  \
         "primary current, rms over the shot period")                          \
  NUMBER(secondary_current_rms_heating, "A", 1,                                \
         "secondary current, rms over the shot period")                        \
  NUMBER(input_capacitor_current, "A", 1,                                      \
         "ripple current of the input capacitor, rms over the charge")         \
  NUMBER(input_capacitance, "F", 0,                                            \
         "input capacitance for a ripple of 2 % of the lowest supply at the "  \
         "start of a charge")

#define BV_DESIGN_MAGNETIC(NUMBER, TEXT, LOSS)                                 \
  TEXT(core, "core")                                                           \
  TEXT(material, "core material")                                              \
  NUMBER(core_volume, "m3", 1, "effective volume of the core")                 \
  NUMBER(core_mass, "kg", 1, "mass of the core set")                           \
  NUMBER(primary_inductance, "H", 0, "primary inductance, leakage included")   \
  NUMBER(inductance_factor, "H", 0,                                            \
         "inductance of one turn squared, as gapped")                          \
  NUMBER(gap_length, "m", 0, "whole air gap in the path of the flux")          \
  NUMBER(fringing_factor, "", 1,                                               \
         "increase of the inductance by fringing at the gap")                  \
  NUMBER(fringing_in_range, "", 0,                                             \
         "1 where the gap lies in the range of the fringing formula")          \
  NUMBER(flux_density, "T", 1,                                                 \
         "peak flux density at the real peak current and the effective area")  \
  NUMBER(flux_density_narrowest, "T", 1,                                       \
         "peak flux density in the narrowest section")                         \
  NUMBER(saturation_flux_density, "T", -1,                                     \
         "saturation flux density of the material at the hot spot")            \
  NUMBER(flux_margin, "", -1,                                                  \
         "share of the saturation flux density left in the narrowest section") \
  NUMBER(saturation_current, "A", -1,                                          \
         "primary current at which the narrowest section saturates")           \
  NUMBER(area_product, "m4", 0, "core area times winding area of the core")    \
  NUMBER(area_product_needed, "m4", 1,                                         \
         "area product the job needs at this flux, current density and fill")  \
  NUMBER(core_loss_density, "W/m3", 1,                                         \
         "core loss at the target while charging, by volume")                  \
  NUMBER(frequency_in_loss_data, "", 0,                                        \
         "1 where the frequencies from 5 % of the target to the end lie in "   \
         "the range of the loss data")

#define BV_DESIGN_TURNS(NUMBER, TEXT, LOSS)                                    \
  NUMBER(primary_turns, "", 0, "turns of the primary")                         \
  NUMBER(section_turns, "", 0, "turns of each secondary section")              \
  NUMBER(secondary_turns, "", 0, "turns of all secondary sections")            \
  NUMBER(                                                                      \
      turns_ratio_built, "", 0,                                                \
      "secondary turns over primary turns as wound: as near to turns_ratio "   \
      "as whole turns in well-filled layers come")

#define BV_DESIGN_WINDING(NUMBER, TEXT, LOSS)                                  \
  TEXT(primary_wire, "wire of the primary")                                    \
  TEXT(secondary_wire, "wire of the secondary")                                \
  NUMBER(primary_wire_diameter, "m", 0,                                        \
         "copper diameter of one strand, primary")                             \
  NUMBER(primary_wire_outer, "m", 0, "overall diameter of the wire, primary")  \
  NUMBER(primary_strands, "", 0, "strands of the wire, primary")               \
  NUMBER(primary_turns_per_layer, "", 0,                                       \
         "turns that fit side by side in a layer and their lead, primary")     \
  NUMBER(primary_layers, "", 1, "layers of the primary")                       \
  NUMBER(primary_wire_length, "m", 1, "length of wire of the primary")         \
  NUMBER(primary_resistance_dc, "ohm", 1,                                      \
         "dc resistance of the primary at the hot spot")                       \
  NUMBER(primary_resistance_ac, "ohm", 1,                                      \
         "loss resistance of the primary for its rms current over the charge") \
  NUMBER(primary_resistance_factor, "", 1,                                     \
         "ac resistance over dc resistance, primary")                          \
  NUMBER(primary_current_density, "A/m2", 1,                                   \
         "rms current over the shot period by copper area, primary")           \
  NUMBER(secondary_wire_diameter, "m", 0,                                      \
         "copper diameter of one strand, secondary")                           \
  NUMBER(secondary_wire_outer, "m", 0,                                         \
         "overall diameter of the wire, secondary")                            \
  NUMBER(secondary_strands, "", 0, "strands of the wire, secondary")           \
  NUMBER(secondary_turns_per_layer, "", 0,                                     \
         "turns that fit side by side in a layer and their lead, secondary")   \
  NUMBER(secondary_layers, "", 1, "layers of the secondary, of each chamber")  \
  NUMBER(secondary_wire_length, "m", 1, "length of wire of the secondary")     \
  NUMBER(secondary_resistance_dc, "ohm", 1,                                    \
         "dc resistance of the secondary at the hot spot")                     \
  NUMBER(secondary_resistance_ac, "ohm", 1,                                    \
         "loss resistance of the secondary for its rms current over "          \
         "the charge")                                                         \
  NUMBER(secondary_resistance_factor, "", 1,                                   \
         "ac resistance over dc resistance, secondary")                        \
  NUMBER(secondary_current_density, "A/m2", 1,                                 \
         "rms current over the shot period by copper area, secondary")         \
  NUMBER(skin_depth, "m", 0, "skin depth of hot copper at the end frequency")  \
  NUMBER(copper_mass, "kg", 1, "mass of the copper")                           \
  NUMBER(chambers_empty, "", 1,                                                \
         "chambers that the sections, each whole, leave empty")                \
  NUMBER(winding_width, "m", 0, "width left between the margins")              \
  NUMBER(winding_build, "m", 1, "height of all windings and their insulation") \
  NUMBER(window_build, "m", 0, "height of the winding window")                 \
  NUMBER(window_fill, "", 1,                                                   \
         "share of the winding window taken; above 1 it does not fit")         \
  NUMBER(copper_fill, "", 0, "copper area over winding area")                  \
  NUMBER(margin, "m", 0, "free margin at each flange of the bobbin")           \
  NUMBER(barrier_thickness, "m", 0,                                            \
         "insulation between primary and secondary, and between the "          \
         "secondary and the core where it is the outermost")                   \
  NUMBER(section_insulation, "m", 0,                                           \
         "insulation between sections of the secondary")                       \
  NUMBER(layer_voltage, "V", 1,                                                \
         "largest voltage between neighbouring secondary layers")              \
  NUMBER(layer_field, "V/m", 1,                                                \
         "mean field in tape and enamel between secondary layers")             \
  NUMBER(                                                                      \
      layer_field_limit, "V/m", -1,                                            \
      "what IEC 60664-4 allows that tape and enamel above 30 kHz without a "   \
      "test for partial discharge, from memory")                               \
  NUMBER(turn_voltage, "V", 1, "largest voltage of one turn")                  \
  NUMBER(section_voltage, "V", 1, "output voltage of one secondary section")   \
  NUMBER(section_gap_voltage, "V", 1,                                          \
         "largest voltage between neighbouring secondary sections")            \
  NUMBER(leakage_inductance, "H", 1,                                           \
         "leakage inductance, seen at the primary")                            \
  NUMBER(leakage_ratio, "", 1, "leakage inductance over primary inductance")   \
  NUMBER(winding_capacitance, "F", 1,                                          \
         "self-capacitance of the whole secondary at its terminals")           \
  NUMBER(winding_capacitance_reflected, "F", 1,                                \
         "winding capacitances seen at the switch")                            \
  NUMBER(self_resonance, "Hz", -1,                                             \
         "resonance of the open windings with their capacitances, the starts " \
         "of all at rest")                                                     \
  NUMBER(node_capacitance, "F", 1,                                             \
         "capacitance at the switch: switch, windings and diodes")

#define BV_DESIGN_STRESS(NUMBER, TEXT, LOSS)                                   \
  TEXT(power_switch, "switch")                                                 \
  TEXT(diode, "diode")                                                         \
  NUMBER(reflected_voltage, "V", 0,                                            \
         "output reflected to the primary at the target")                      \
  NUMBER(switch_plateau, "V", 1, "highest supply plus reflected voltage")      \
  NUMBER(switch_voltage, "V", 1,                                               \
         "peak switch voltage at the highest supply: supply plus clamp")       \
  NUMBER(switch_voltage_rating, "V", 0, "rated voltage of the switch")         \
  NUMBER(switch_voltage_margin, "", -1,                                        \
         "share of the derated switch voltage left; negative: overstressed")   \
  NUMBER(switch_current_margin, "", -1,                                        \
         "share of the derated switch current left; negative: overstressed")   \
  NUMBER(switch_temperature, "degC", 1,                                        \
         "junction temperature of the switch at the end of a charge at the "   \
         "shot rate, at the lowest, nominal or highest supply, the hottest")   \
  NUMBER(switch_power, "W", 1,                                                 \
         "mean loss in the switch at the shot rate and that supply")           \
  NUMBER(diode_voltage, "V", 1,                                                \
         "reverse voltage of each diode position at the highest supply")       \
  NUMBER(diode_voltage_each, "V", 1,                                           \
         "reverse voltage of each diode of a series string, sharing included") \
  NUMBER(diode_voltage_rating, "V", 0, "rated voltage of the diode")           \
  NUMBER(diode_voltage_margin, "", -1,                                         \
         "share of the derated diode voltage left; negative: overstressed")    \
  NUMBER(diode_current_margin, "", -1,                                         \
         "share of the derated diode current left; negative: overstressed")    \
  NUMBER(series_diodes, "", 1, "diodes in series at each position")            \
  NUMBER(diodes, "", 1, "diodes in all")                                       \
  NUMBER(diode_temperature, "degC", 1,                                         \
         "junction temperature of the diodes at the end of a charge at the "   \
         "shot rate")                                                          \
  NUMBER(diode_power, "W", 1, "mean loss in each diode at the shot rate")      \
  NUMBER(clamp_voltage, "V", 0, "clamp level above the supply")                \
  NUMBER(clamp_power, "W", 1,                                                  \
         "power in the clamp and its ring at the target while charging")       \
  NUMBER(clamp_power_average, "W", 1,                                          \
         "power in the clamp and its ring, mean over the charge")              \
  NUMBER(clamp_power_heating, "W", 1,                                          \
         "power in the clamp and its ring, mean over the shot period")         \
  NUMBER(                                                                      \
      clamp_power_rating, "W", 0,                                              \
      "power for which the clamp's parts are chosen: at the target and the "   \
      "highest supply, also where the leakage is 1.3 times and the "           \
      "windings' capacitance two thirds of what is told")                      \
  NUMBER(                                                                      \
      clamp_resistance, "ohm", 0,                                              \
      "resistor that with a capacitor holds the clamp at its level at that "   \
      "power; at less the level is lower")                                     \
  NUMBER(clamp_capacitance, "F", 0,                                            \
         "capacitor beside it, for a ripple of 5 % of the level")              \
  NUMBER(series_capacitance, "F", 0,                                           \
         "series capacitor of the doubler, each of the ladder, those of all "  \
         "sections in series; 0: none")                                        \
  NUMBER(series_capacitors, "", 1,                                             \
         "capacitors of doublers and ladders, the storage apart")              \
  NUMBER(series_capacitor_each, "F", 0, "each of them; 0: none")               \
  NUMBER(series_capacitor_voltage, "V", 1,                                     \
         "largest voltage of each, first cycles included; 0: none")            \
  NUMBER(ladder_drop, "V", 1,                                                  \
         "drop of doubler or ladder by its current at the target, published "  \
         "formula, upper figure")                                              \
  NUMBER(ladder_ripple, "V", 1,                                                \
         "ripple along doubler or ladder at the target, published formula")    \
  NUMBER(sense_resistance, "ohm", 0, "current-sense resistor")                 \
  NUMBER(sense_power, "W", 1,                                                  \
         "power in the sense resistor, mean over the charge")                  \
  NUMBER(gate_power, "W", 1, "gate-drive power at the end frequency")

/* At the lowest or the nominal supply, whichever heats more. */
#define BV_DESIGN_HEAT(NUMBER, TEXT, LOSS)                                     \
  NUMBER(hot_spot_temperature, "degC", 1,                                      \
         "winding and core at the shot rate in still air, adiabatic rise of "  \
         "one shot added; the rise +-30 %")                                    \
  NUMBER(temperature_rise, "K", 1,                                             \
         "mean rise of winding and core at the shot rate in still air, "       \
         "+-30 %; at the lowest or nominal supply, the hotter")                \
  NUMBER(copper_power, "W", 1,                                                 \
         "mean copper loss at the shot rate and that supply")                  \
  NUMBER(core_power, "W", 1,                                                   \
         "mean core loss at the shot rate and that supply")                    \
  NUMBER(surface_area, "m2", 0, "cooling surface of the wound part")           \
  NUMBER(single_shot_rise, "K", 1,                                             \
         "adiabatic rise of the hotter winding in one charge")                 \
  NUMBER(core_shot_rise, "K", 1, "adiabatic rise of the core in one charge")

#define BV_DESIGN_SAFETY(NUMBER, TEXT, LOSS)                                   \
  NUMBER(working_voltage, "V", 1,                                              \
         "rms voltage between the windings and against ground and core at "    \
         "the target")                                                         \
  NUMBER(impulse_voltage, "V", 1,                                              \
         "impulse or peak voltage the clearance has to hold, 1.6 times for "   \
         "reinforced insulation")                                              \
  NUMBER(clearance, "m", 1,                                                    \
         "clearance between primary and secondary (IEC 60664-1), at least "    \
         "that for high frequency")                                            \
  NUMBER(clearance_high_frequency, "m", 1,                                     \
         "clearance for a frequency above 30 kHz (IEC 62368-1, from "          \
         "IEC 60664-4), up to 2 kV peak; 0: not above 30 kHz")                 \
  TEXT(                                                                        \
      high_frequency_source,                                                   \
      "where the rows of that table come from; beyond: the peak passes 2 kV, " \
      "where its last row is the least")                                       \
  NUMBER(creepage, "m", 1,                                                     \
         "creepage distance between primary and secondary (IEC 60664-1)")      \
  NUMBER(creepage_output, "m", 1,                                              \
         "creepage distance at the output terminals (IEC 60664-1)")            \
  NUMBER(test_voltage, "V", 0,                                                 \
         "insulation test between primary and secondary, rms for a minute")    \
  TEXT(insulation_source, "where the rows of the insulation tables come from") \
  TEXT(energy_class, "hazard class of the stored energy")                      \
  NUMBER(bleeder_resistance, "ohm", 0, "bleeder across the storage capacitor") \
  NUMBER(bleeder_power, "W", 1, "power in the bleeder at the target")          \
  NUMBER(safe_time, "s", 1,                                                    \
         "time from the target to the safe voltage through the bleeder")       \
  NUMBER(voltage_at_shot, "V", -1,                                             \
         "output voltage left by the bleeder after the hold, if nothing tops " \
         "it up")                                                              \
  NUMBER(voltage_after_period, "V", 1,                                         \
         "output one shot period after a shot that did not fire")

#define BV_DESIGN_SENSING(NUMBER, TEXT, LOSS)                                  \
  NUMBER(sensed_voltage, "V", 0,                                               \
         "primary plateau above the supply at the target, current gone")       \
  NUMBER(sensed_error, "", 0,                                                  \
         "stop voltage less the target over it, plateau read as the "          \
         "current ends")                                                       \
  NUMBER(sensed_error_early, "", 0,                                            \
         "the same, plateau read just after the leakage's current is gone")    \
  NUMBER(sensed_window, "s", -1,                                               \
         "time of the plateau left when the leakage's current is "             \
         "gone, at the target")                                                \
  NUMBER(stop_step, "V", 1,                                                    \
         "rise of the output in the last cycle, by which a stop may "          \
         "come late")                                                          \
  NUMBER(open_output_voltage, "V", 1,                                          \
         "output voltage that the clamp allows when the output is open")

/* What a row of a front needs besides to stand alone: circuit and job, so that
 * waveforms and sheet are made from the row. Each group repeats members of one
 * struct under their own names; design_echo.c fills them. Members of bv_circuit
 * that are results above are not repeated. */
#define BV_DESIGN_CIRCUIT(NUMBER, TEXT, LOSS)                                  \
  NUMBER(supply_voltage, "V", 0, "nominal supply voltage")                     \
  NUMBER(target_voltage, "V", 0,                                               \
         "voltage to which the storage capacitor is charged")                  \
  NUMBER(start_voltage, "V", 0, "voltage at which a charge starts")            \
  NUMBER(storage_capacitance, "F", 0, "capacitance of the storage capacitor")  \
  NUMBER(peak_current, "A", 0,                                                 \
         "primary current at which the comparator trips")                      \
  NUMBER(sections, "", 0, "secondary sections, outputs in series")             \
  NUMBER(stages, "", 0, "doubler stages of the ladder; 1: no ladder")          \
  NUMBER(supply_resistance, "ohm", 0,                                          \
         "resistance of supply and wiring, less for the steady current that "  \
         "the input capacitor leaves it")                                      \
  NUMBER(node_capacitance_winding, "F", 0,                                     \
         "part of the node capacitance behind the leakage")                    \
  NUMBER(switch_capacitance, "F", 0,                                           \
         "part of the node capacitance in the switch itself")                  \
  NUMBER(switch_resistance, "ohm", 0, "on-resistance of the hot switch")       \
  NUMBER(primary_resistance, "ohm", 0,                                         \
         "resistance of the primary in the circuit")                           \
  NUMBER(secondary_resistance, "ohm", 0,                                       \
         "resistance of all secondary sections in the circuit")                \
  NUMBER(diode_drop, "V", 0,                                                   \
         "forward threshold of the diodes at one position")                    \
  NUMBER(diode_resistance, "ohm", 0,                                           \
         "forward resistance of the diodes at one position")                   \
  NUMBER(capacitor_resistance, "ohm", 0,                                       \
         "resistance of the storage capacitor")                                \
  NUMBER(turn_off_delay, "s", 0, "delay from the comparator to turn-off")      \
  NUMBER(turn_on_delay, "s", 0, "delay of turn-on after the half ring")        \
  NUMBER(off_time_limit, "s", 0, "longest off-time; infinite: none")           \
  NUMBER(current_fall_time, "s", 0, "fall time of the switch current")         \
  NUMBER(recovery_time, "s", 0, "reverse recovery of the diodes")              \
  NUMBER(gate_charge, "C", 0, "gate charge of the switch")                     \
  NUMBER(gate_voltage, "V", 0, "gate drive voltage")                           \
  NUMBER(core_area, "m2", 0, "effective area of the core")                     \
  NUMBER(steinmetz_k, "W/m3", 0,                                               \
         "Steinmetz coefficient at 1 Hz and 1 T, hot core")                    \
  NUMBER(steinmetz_alpha, "", 0, "Steinmetz exponent of frequency")            \
  NUMBER(steinmetz_beta, "", 0, "Steinmetz exponent of flux density")          \
  NUMBER(comparator_blanking, "s", 0,                                          \
         "time from turn-on in which the comparator is blind; infinite: "      \
         "until a doubler's recharge has ended")

#define BV_DESIGN_JOB(NUMBER, TEXT, LOSS)                                      \
  NUMBER(shots_per_second, "1/s", 0,                                           \
         "shots a second; 0: single shots far apart")                          \
  NUMBER(hold_time, "s", 0, "time from the end of a charge to the shot")       \
  NUMBER(ambient_temperature, "degC", 0, "ambient temperature")                \
  NUMBER(hot_spot_limit, "degC", 0, "temperature the insulation stands")       \
  NUMBER(sense_voltage, "V", 0, "threshold of the current comparator")         \
  NUMBER(safe_voltage, "V", 0, "voltage to which the bleeder must discharge")  \
  NUMBER(voltage_derating, "", 0, "share of a rated voltage to be used")       \
  NUMBER(current_derating, "", 0, "share of a rated current to be used")       \
  NUMBER(sharing_derating, "", 0, "further share left to diodes in series")    \
  NUMBER(transient_voltage, "V", 0, "impulse from the side of the supply")     \
  NUMBER(pollution_degree, "", 0, "pollution degree (IEC 60664-1)")            \
  NUMBER(material_group, "", 0,                                                \
         "group of the insulating material (IEC 60664-1)")                     \
  NUMBER(altitude, "m", 0, "altitude above sea level")

#define BV_DESIGN_CHOICE(NUMBER, TEXT, LOSS)                                   \
  NUMBER(interleaved, "", 0,                                                   \
         "1: the secondary lies between two halves of the primary")            \
  NUMBER(chambers, "", 0, "chambers of the bobbin that divide the secondary")  \
  NUMBER(layer_insulation, "m", 0, "thickness of the insulation between layers")

/* Those whose own name would mean something else here; max_frequency is a
 * choice of the design that its circuit does not have. */
#define BV_DESIGN_RENAMED(NUMBER, TEXT, LOSS)                                  \
  TEXT(rectifier, "rectifier circuit")                                         \
  TEXT(insulation, "insulation between primary and secondary")                 \
  NUMBER(supply_voltage_min, "V", 0, "lowest supply voltage")                  \
  NUMBER(supply_voltage_max, "V", 0, "highest supply voltage")                 \
  NUMBER(frequency_limit, "Hz", 0,                                             \
         "switching frequency the controller holds; infinite: none")           \
  NUMBER(safe_time_limit, "s", 0,                                              \
         "time the bleeder may take to the safe voltage")

#define BV_DESIGN_MAP(NUMBER, TEXT, LOSS)                                      \
  BV_DESIGN_CHARGE(NUMBER, TEXT, LOSS)                                         \
  BV_DESIGN_ENERGY(NUMBER, TEXT, LOSS)                                         \
  BV_DESIGN_CURRENT(NUMBER, TEXT, LOSS)                                        \
  BV_DESIGN_MAGNETIC(NUMBER, TEXT, LOSS)                                       \
  BV_DESIGN_TURNS(NUMBER, TEXT, LOSS)                                          \
  BV_DESIGN_WINDING(NUMBER, TEXT, LOSS)                                        \
  BV_DESIGN_STRESS(NUMBER, TEXT, LOSS)                                         \
  BV_DESIGN_HEAT(NUMBER, TEXT, LOSS)                                           \
  BV_DESIGN_SAFETY(NUMBER, TEXT, LOSS)                                         \
  BV_DESIGN_SENSING(NUMBER, TEXT, LOSS)                                        \
  BV_DESIGN_CIRCUIT(NUMBER, TEXT, LOSS)                                        \
  BV_DESIGN_JOB(NUMBER, TEXT, LOSS)                                            \
  BV_DESIGN_CHOICE(NUMBER, TEXT, LOSS)                                         \
  BV_DESIGN_RENAMED(NUMBER, TEXT, LOSS)

/* The count of bv_design_fields: one byte for reason and each row. */
struct bv_design_tally {
  char reason;
#define BV_DESIGN_NUMBER(name, unit, worse, meaning) char name;
#define BV_DESIGN_TEXT(name, meaning) char name;
#define BV_DESIGN_LOSS(mechanism, meaning) char loss_energy_##mechanism;
  BV_DESIGN_MAP(BV_DESIGN_NUMBER, BV_DESIGN_TEXT, BV_DESIGN_LOSS)
#undef BV_DESIGN_NUMBER
#undef BV_DESIGN_TEXT
#undef BV_DESIGN_LOSS
};
enum { BV_DESIGN_COUNT = sizeof(struct bv_design_tally) };

struct bv_design {
  int reason; /* bv_reason */
#define BV_DESIGN_NUMBER(name, unit, worse, meaning) double name;
#define BV_DESIGN_TEXT(name, meaning) char name[BV_TEXT_SIZE];
#define BV_DESIGN_LOSS(mechanism, meaning) double loss_energy_##mechanism;
  BV_DESIGN_MAP(BV_DESIGN_NUMBER, BV_DESIGN_TEXT, BV_DESIGN_LOSS)
#undef BV_DESIGN_NUMBER
#undef BV_DESIGN_TEXT
#undef BV_DESIGN_LOSS
  /* What the simulators of charge.h take, at the nominal supply; its members
   * are among the fields one by one. */
  bv_circuit circuit;
  bool mixed; /* of several corners: no one circuit has these results */
};

#endif
