/* SPDX-License-Identifier: MIT */
/* Tolerances and rules of the bench without a source are common practice. */
#include "view/sheet_text.h"

#include "view/row.h"

#define HEADING(text)                                                          \
  { BV_SHEET_HEADING, NULL, text }
#define TEXT(when, text)                                                       \
  { BV_SHEET_TEXT, when, text }
#define CAUTION(text)                                                          \
  { BV_SHEET_CAUTION, NULL, text }
#define ITEM(when, text)                                                       \
  { BV_SHEET_ITEM, when, text }
#define STEP(when, text)                                                       \
  { BV_SHEET_STEP, when, text }
#define TABLE(text)                                                            \
  { BV_SHEET_TABLE, NULL, text }
#define ROW(text)                                                              \
  { BV_SHEET_ROW, NULL, text }
#define ROW_WHEN(when, text)                                                   \
  { BV_SHEET_ROW, when, text }
#define BLOCK(name)                                                            \
  { BV_SHEET_BLOCK, NULL, name }

const bv_sheet_line bv_sheet_lines[] = {
    CAUTION("High voltage: the charged storage capacitor can kill, also long "
            "after the supply is off. Discharge it through a resistor, short "
            "it and measure before anything is touched. See Cautions at the "
            "end."),

    TEXT(NULL, "The study does not allow this design: {near_limit} has to be "
               "{near_allowed}, here {near_needed}. All other limits are met."),

    {BV_SHEET_CAUTION, "verification=" BV_ROW_MIXED,
     "These results are of several corners, each its worse value there: no "
     "one charger has them all, and what follows, circuit, waveforms and tests "
     "on the bench, is a mixture. For a sheet to build from let the study "
     "return the nominal design, with the worst of what counts in it."},

    HEADING("Job"),
    TABLE("What|Value"),
    ROW_WHEN("supply_voltage_min<supply_voltage_max",
             "Supply|{supply_voltage}, from {supply_voltage_min} to "
             "{supply_voltage_max}"),
    ROW_WHEN("supply_voltage_min=supply_voltage_max",
             "Supply|{supply_voltage}"),
    ROW("Storage capacitor|{storage_capacitance}, charged to {target_voltage}: "
        "{stored_energy}"),
    ROW_WHEN("start_voltage>0", "Charge starts at|{start_voltage}"),
    ROW_WHEN("shots_per_second>0", "Shot rate|{shots_per_second}"),
    ROW_WHEN("hold_time>0",
             "Hold|{hold_time} from the end of a charge to the shot"),
    ROW_WHEN("!shots_per_second", "Shots|single, far apart"),
    ROW("Surroundings|ambient {ambient_temperature}, pollution degree "
        "{pollution_degree}, up to {altitude} above sea level"),
    ROW("Insulation, primary to secondary|{insulation}, material group "
        "{material_group} (IEC 60664-1)"),

    HEADING("What the design does"),
    TABLE("What|Value"),
    ROW_WHEN("supply_voltage_min<supply_voltage",
             "Charge time|{charge_time} at {supply_voltage}, "
             "{charge_time_low_supply} at {supply_voltage_min}"),
    ROW_WHEN("supply_voltage_min=supply_voltage",
             "Charge time|{charge_time} at {supply_voltage}"),
    ROW_WHEN("shots_per_second>0",
             "Share of the shot period|{charge_duty%} for charge and hold at "
             "the lowest supply"),
    ROW("Switching cycles|{cycles#}, from {frequency_start} at 5 % of the "
        "target to {frequency_end}; at most {frequency_highest}"),
    ROW("Power|{average_power} mean over the charge, supply current "
        "{supply_current}"),
    ROW("Supply at the end of a charge|{supply_current_end} at "
        "{supply_voltage_min}, mean of a cycle: for supply, wiring and fuse"),
    ROW("Efficiency|{efficiency%}: {supply_energy} drawn for {stored_energy} "
        "stored"),
    {BV_SHEET_CAUTION, "charge_duty>1",
     "Charge and hold at the lowest supply take {charge_duty%} of the shot "
     "period: this design does not keep up with the shots."},
    {BV_SHEET_CAUTION, "window_fill>1",
     "The windings take {window_fill%} of the window: they don't fit."},
    {BV_SHEET_CAUTION, "switch_voltage_margin<0",
     "The switch sees {switch_voltage}, more than its derated rating allows: "
     "this design is not to be built so."},
    {BV_SHEET_CAUTION, "switch_current_margin<0",
     "The switch carries {switch_current}, more than its derated rating "
     "allows: this design is not to be built so."},
    {BV_SHEET_CAUTION, "diode_voltage_margin<0",
     "A diode sees {diode_voltage_each}, more than its derated rating allows: "
     "this design is not to be built so."},
    {BV_SHEET_CAUTION, "diode_current_margin<0",
     "A diode carries {secondary_current_max}, more than its derated rating "
     "allows: this design is not to be built so."},
    {BV_SHEET_CAUTION, "flux_margin<0",
     "The core saturates: {flux_density_narrowest} in its narrowest section, "
     "of {saturation_flux_density}."},
    {BV_SHEET_CAUTION, "hot_spot_limit<hot_spot_temperature",
     "The wound part gets {hot_spot_temperature}, more than the insulation "
     "stands."},

    HEADING("Circuit"),
    TABLE("What|Value"),
    ROW_WHEN("rectifier=single",
             "Rectifier|one diode position a section, {sections} section(s), "
             "outputs in series"),
    ROW_WHEN(
        "sections>1",
        "Section outputs|each across a part of the storage capacitor, or a "
        "small film capacitor of its own, for {section_voltage}: it holds "
        "the next section's start at rest; the bleeder in equal parts across "
        "them keeps their voltages equal"),
    ROW_WHEN("series_diodes>1",
             "Diodes in series|{series_diodes} at each position, avalanche "
             "types of one batch; else a resistor across each that carries ten "
             "times the hot leakage. A capacitor across each would share "
             "steep slopes, too, but loads the switch node"),
    ROW_WHEN("rectifier=doubler",
             "Rectifier|half-wave doubler on each of {sections} section(s), "
             "outputs in series, series capacitor {series_capacitor_each} for "
             "{series_capacitor_voltage}"),
    ROW_WHEN("rectifier=ladder",
             "Rectifier|half-wave ladder of {stages} stage(s) on each of "
             "{sections} section(s), outputs in series, "
             "{series_capacitors} capacitor(s) {series_capacitor_each} for "
             "{series_capacitor_voltage}"),
    ROW_WHEN("rectifier=ladder",
             "Drop and ripple of the ladder|{ladder_drop} and {ladder_ripple} "
             "at the target (published formulas, upper figures)"),
    ROW_WHEN("recharge_current_max>0",
             "Recharge|pulse of up to {recharge_current_max} in the primary "
             "after turn-on: blank the comparator until it is over"),
    ROW("Coupled inductor|{primary_inductance} primary, turns ratio "
        "{turns_ratio_built} (all sections to primary), leakage "
        "{leakage_inductance}"),
    ROW("Comparator|trips at {peak_current}: {sense_voltage} across "
        "{sense_resistance}; turn-off follows after {turn_off_delay}"),
    ROW_WHEN(
        "turn_on_spike>0",
        "Comparator to be blind|{turn_on_blanking} after turn-on at least, "
        "better three times that: the windings' capacitance discharges "
        "through the leakage by up to {turn_on_spike}"),
    ROW_WHEN("comparator_blanking<1e3",
             "Comparator blind|{comparator_blanking} after turn-on"),
    ROW("Turn-on|{turn_on_delay} after the half ring of the switch node "
        "({dead_time} in all)"),
    ROW_WHEN("off_time_limit<1e9",
             "Off-time limit|{off_time_limit}: acts up to {timed_out_until} "
             "of output"),
    ROW_WHEN("frequency_limit<1e12", "Frequency limit|{frequency_limit}"),
    ROW("Clamp|{clamp_voltage} above the supply, {clamp_power} at the target "
        "with its ring"),
    ROW("Parts of the clamp|for {clamp_power_rating} behind a fast diode for "
        "{switch_voltage}: a suppressor that holds the level at "
        "{primary_current_max}, or {clamp_capacitance} with "
        "{clamp_resistance} across it, whose level is lower at less power. "
        "More than the clamp's own figure: that falls with the windings' "
        "capacitance and rises with the leakage, several times by what both "
        "are uncertain"),
    ROW("Switch node|{node_capacitance} in all, windings included"),
    ROW("Resistances modelled|supply {supply_resistance}, switch "
        "{switch_resistance}, primary {primary_resistance}, secondary "
        "{secondary_resistance}"),
    ROW("Input capacitor|{input_capacitance} or more at the switch: the first "
        "pulses of a charge then pull the lowest supply down by 2 %; ripple "
        "current {input_capacitor_current}"),
    ROW("Stop|primary plateau {sensed_voltage} above the supply, "
        "{sensed_window} long at the target; {sensed_error%} off when read as "
        "the current ends, {sensed_error_early%} when read early; a cycle adds "
        "{stop_step}"),
    ROW_WHEN("bleeder_resistance<1e12",
             "Bleeder|{bleeder_resistance}, {bleeder_power} at the target; to "
             "{safe_voltage} in {safe_time}: resistors in series whose voltage "
             "ratings, derated, add up to the target"),

    ROW_WHEN("hold_time>0",
             "Output at the shot|{voltage_at_shot} after the hold, if nothing "
             "tops it up"),

    HEADING("Winding specification"),
    TABLE("What|Value"),
    ROW("Core, material|{core}, {material}. A study that leaves the material "
        "out gets the catalogue's first, a power ferrite of middling loss, "
        "fitted to open measured data: another has losses of its own"),
    ROW("Gap|{gap_length} in the path of the flux. Ground into the centre leg: "
        "all of it there. Spacers between the halves: {gap_length/2} in the "
        "centre and in the outer legs. The inductance decides: {inductance_"
        "factor} a turn squared. Losses and resistances here hold for the "
        "ground gap; with spacers half of its field lies outside the windings, "
        "before the outer legs"),
    ROW("Primary|{primary_turns} turns in {primary_layers} layer(s), up to "
        "{primary_turns_per_layer} and the lead side by side"),
    ROW("Primary wire|{primary_wire}: copper {primary_wire_diameter}, strands "
        "{primary_strands}, overall {primary_wire_outer}, length "
        "{primary_wire_length} and leads"),
    ROW("Secondary|{sections} section(s) of {section_turns} turns: "
        "{secondary_turns} in all, {secondary_layers} layer(s) in each of "
        "{chambers} chamber(s), up to {secondary_turns_per_layer} and "
        "the lead side by side"),
    ROW("Secondary wire|{secondary_wire}: copper {secondary_wire_diameter}, "
        "strands {secondary_strands}, overall {secondary_wire_outer}, length "
        "{secondary_wire_length} and leads"),
    ROW("Room|{margin} free at each flange, {winding_width} wide between the "
        "margins; build {winding_build} of {window_build} "
        "({window_fill%})"),
    ROW("Mass|core {core_mass}, copper {copper_mass}"),
    TEXT("chambers_empty>0",
         "{sections} sections alike don't share out {chambers} chambers: "
         "{chambers_empty} stay(s) empty, which costs room and leakage."),
    STEP("!interleaved", "Primary next to the centre leg, start lead marked."),
    STEP("interleaved", "First half of the primary next to the centre leg, "
                        "of an odd number of turns the larger one, start lead "
                        "marked."),
    STEP("primary_turns>0",
         "Barrier of at least {barrier_thickness}, tape in whole layers over "
         "the whole width, folded up at the margins."),
    STEP("primary_turns>0",
         "Secondary, section after section from the same flange in the same "
         "direction, {layer_insulation} of tape between layers. All sections "
         "swing alike: one begun at the other flange holds more capacitance."),
    STEP("sections>1",
         "{section_insulation} of tape between sections, or a chamber wall as "
         "thick and at least of 1 mm."),
    STEP("interleaved", "Barrier {barrier_thickness} once more."),
    STEP("interleaved", "Second half of the primary in the same direction; "
                        "its start joins the end of the first half."),
    STEP("!interleaved", "Barrier of at least {barrier_thickness} over the "
                         "secondary too: ferrite conducts, and the core "
                         "counts as connected to the primary."),
    STEP(
        "primary_turns>0",
        "Spread the turns of a layer that they don't fill over the whole width "
        "between the margins: bunched, they leak more."),
    STEP("primary_turns>0",
         "Outer wrap; impregnate without voids; sleeve every secondary lead "
         "over its whole way through the margin."),
    TEXT("rectifier=single",
         "Dots mark the starts; all windings in one direction. Primary: start "
         "to the supply, end to the switch. Each section: start to its return "
         "(that of the lowest section is the output's return), end to the "
         "anode of its diode. With the dots exchanged on one side the diode "
         "conducts while the switch does: both fail."),
    TEXT("series_capacitor_voltage>0",
         "Dots mark the starts; all windings in one direction. Primary: start "
         "to the supply, end to the switch. Each section: start to its return "
         "(that of the lowest section is the output's return), end to its "
         "first series capacitor, whose other end is the joint of its first "
         "two diodes."),
    TABLE("Insulation between|Voltage|Solid|Clearance, creepage"),
    ROW("secondary and primary or core|{working_voltage} rms, "
        "{impulse_voltage} impulse or peak|{barrier_thickness}|{clearance}, "
        "{creepage}"),
    ROW_WHEN("sections>1",
             "sections|{section_gap_voltage}|{section_insulation}|margin "
             "{margin}"),
    ROW_WHEN(
        "secondary_layers>1",
        "secondary layers|{layer_voltage}|{layer_insulation}: {layer_field} "
        "in tape and enamel|margin "
        "{margin}"),
    ROW("turns|{turn_voltage}|enamel|not applicable"),
    ROW("output terminals|{target_voltage}|not applicable|creepage "
        "{creepage_output}"),
    TEXT("working_voltage>0",
         "Voltages hold for a common ground of supply, output and core; "
         "the peak has the highest supply added. From the secondary to "
         "the core the way leads over one margin and the flange: see "
         "that the bobbin's flange makes up for the other."),
    TEXT(NULL, "Distances by IEC 60664-1; rows of its tables: "
               "{insulation_source} (seen: read in a publication that quotes "
               "them; memory: from memory; beyond: outside the table). The "
               "insulation test, at mains frequency, is 2 U + 1000 V, twice "
               "that where reinforced (common practice). Whoever answers for "
               "the product checks them against its standard."),
    {BV_SHEET_CAUTION, "clearance_high_frequency>0",
     "The frequency passes 30 kHz, where IEC 60664-4 adds to part 1: consult "
     "it "
     "for clearance, creepage and solid insulation. The clearance above is at "
     "least {clearance_high_frequency}, by the table of IEC 62368-1 that "
     "follows "
     "it (rows: {high_frequency_source})."},
    {BV_SHEET_CAUTION, "clearance_high_frequency>0",
     "Part 4 allows solid insulation less field the thicker it is, between "
     "layers here {layer_field_limit} without a test for partial discharge "
     "(from memory); from 0.75 mm on 2 kV/mm. The barriers here are laid out "
     "for 5 kV/mm of the whole peak."},
    {BV_SHEET_CAUTION, "high_frequency_source=beyond",
     "That table ends at 2 kV peak, with distances that rise steeply: "
     "{clearance_high_frequency} is its last row and not enough. Part 4 and a "
     "test for partial discharge decide."},
    TABLE("Test of the wound part|Value|Limit"),
    ROW("primary inductance, secondary open|{primary_inductance}|±10 %"),
    ROW("leakage at the primary, every section shorted|{leakage_inductance}|"
        "up to 30 % more"),
    ROW("turns ratio, and the dots|{turns_ratio_built}|±1 %"),
    ROW("inductance with {magnetising_current_max} in the primary|at least 0.9 "
        "of "
        "the first|saturates at {saturation_current}"),
    ROW("resistance of primary, secondary at {hot_spot_temperature}|"
        "{primary_resistance_dc}, {secondary_resistance_dc}|±10 %; cold "
        "0.39 % less a kelvin"),
    ROW("self-resonance at the primary: nothing else connected but the starts "
        "of all sections and of the primary, joined|{self_resonance}|not below "
        "0.7 of it"),
    ROW("insulation, all secondary ends together to primary and core|"
        "{test_voltage} rms|one minute, no breakdown"),

    HEADING("Parts: stress, rating, share left after derating"),
    TABLE("Part|Stress|Rating|Left"),
    ROW("switch {power_switch}, voltage|{switch_voltage}|"
        "{switch_voltage_rating} times {voltage_derating}|"
        "{switch_voltage_margin%}"),
    ROW("switch, current|{switch_current}|derated by {current_derating}|"
        "{switch_current_margin%}"),
    ROW("diode {diode}, voltage: {series_diodes} in series, {diodes} in all|"
        "{diode_voltage_each} each|{diode_voltage_rating} times "
        "{voltage_derating}|{diode_voltage_margin%}"),
    ROW("diode, current|{secondary_current_max}|derated by "
        "{current_derating}|{diode_current_margin%}"),
    ROW("core, flux density in the narrowest section|"
        "{flux_density_narrowest}|saturates at {saturation_flux_density}|"
        "{flux_margin%}"),
    ROW("clamp and its ring|{clamp_power} at the target|{clamp_power_average} "
        "mean over the charge|"),
    ROW_WHEN("shots_per_second>0",
             "clamp and its ring at the shot rate|{clamp_power_heating}|mean "
             "over the shot period|"),
    ROW("sense resistor {sense_resistance}|{sense_power}|mean over the "
        "charge|"),
    ROW("winding currents, rms over the charge|{primary_current_rms}, "
        "{secondary_current_rms}|over the shot period "
        "{primary_current_density}, {secondary_current_density}|"),

    HEADING("Losses of one charge"),
    BLOCK("losses"),

    HEADING("Temperatures"),
    TABLE("Where|Value"),
    ROW("Hot spot of the wound part|{hot_spot_temperature}, allowed "
        "{hot_spot_limit}"),
    ROW("Rise at the shot rate|{temperature_rise} in still air by McLyman's "
        "formula, ±30 %: copper "
        "{copper_power}, core {core_power}, at the lowest or nominal supply, "
        "whichever heats more"),
    ROW("Rise in one charge|copper {single_shot_rise}, core "
        "{core_shot_rise}"),
    ROW("Junctions|switch {switch_temperature} at {switch_power}, diodes "
        "{diode_temperature} at {diode_power} each"),

    HEADING("Corners"),
    BLOCK("corners"),

    HEADING("Charge"),
    BLOCK("charge"),

    HEADING("First and last cycles"),
    BLOCK("cycles"),

    HEADING("First on the bench"),
    STEP(NULL, "Before any power: polarity by a short pulse at a tenth of the "
               "supply; bleeder and discharge stick in place; somebody else "
               "in the room."),
    STEP(NULL, "Supply with a current limit, output loaded by a capacitor "
               "small enough to be safe. Peak primary current {primary_"
               "current_max} at {supply_voltage_max}, ±10 %: more is delay, "
               "saturation or a wrong sense resistor."),
    STEP(NULL, "Switch node while off: plateau {switch_plateau} at "
               "{supply_voltage_max} and the target (±5 %), spike up to "
               "{switch_voltage}. Above: leakage or clamp."),
    STEP(NULL, "Frequency at {supply_voltage}: {frequency_start} at 5 % of "
               "the target, {frequency_end} at the target, ±15 %."),
    STEP(NULL, "On-time {on_time_end}, off-time {off_time_end} and wait "
               "{dead_time} in the last cycle, ±10 %."),
    STEP(NULL, "Charge time {charge_time} at {supply_voltage}, ±10 % after "
               "the real capacitance is put in: longer is node capacitance, "
               "supply resistance or early turn-on."),
    STEP(NULL, "Energy from the supply {supply_energy} a charge, ±10 %."),
    STEP("shots_per_second>0",
         "An hour at the shot rate: wound part below "
         "{hot_spot_temperature}, switch below {switch_temperature}."),
    STEP("bleeder_resistance<1e12",
         "From the target with the supply off: {safe_voltage} within "
         "{safe_time}, ±15 %."),

    HEADING("Why this design"),
    BLOCK("why"),

    HEADING("What the models leave out"),
    ITEM("!frequency_in_loss_data",
         "The core loss is carried on beyond its data: of {frequency_start} to "
         "{frequency_end} a part lies outside of them."),
    ITEM("!fringing_in_range", "The gap, {gap_length}, is longer than the "
                               "fringing formula is trusted for."),
    ITEM(NULL, "The course of the ring of leakage and node after turn-off, "
               "whose energy counts with the clamp's; the clamp's recovery; "
               "emissions."),
    ITEM(NULL, "The ring of diodes and secondary leakage at turn-on, which the "
               "diodes' derating has to hold: a node that is not yet at zero "
               "volts drives it."),
    ITEM(NULL, "Unequal sharing between sections and between diodes in "
               "series beyond the derating; reverse recovery outside the "
               "start of a charge."),
    ITEM(NULL, "Premagnetisation, temperature and size effects in the core "
               "loss beyond its data; the heat path from hot spot to "
               "surroundings beyond natural convection."),
    ITEM(NULL, "Capacitance of leads and mounting, some pF at every section's "
               "end, and to the core beyond half of the outermost layer."),
    ITEM("input_capacitor_current>0",
         "The input capacitor's own loss, by its series resistance and "
         "{input_capacitor_current}."),
    ITEM("leakage_inductance>0",
         "Losses and inductance of leads and terminations, some 10 nH a cm, "
         "which add to a leakage of {leakage_inductance}: keep the primary's "
         "short and side by side."),
    ITEM(NULL, "The winding losses hold the fringing field of the gap by a "
               "formula for a plane window: keep turns away from the gap."),
    ITEM(NULL, "Partial discharge, ageing of insulation and capacitor, "
               "vibration, moisture."),
    ITEM("series_capacitor_voltage>0",
         "The doubler is modelled more coarsely than the single rectifier."),
    ITEM("rectifier=ladder",
         "A ladder of several stages was not simulated cycle by cycle: its "
         "drop is that of the published formula, stray capacitance along it "
         "comes on top."),
    ITEM(NULL, "No result here was compared with hardware. Measure."),

    HEADING("Cautions"),
    CAUTION("The storage capacitor holds {stored_energy} at {target_voltage}: "
            "{energy_class}. A touch can stop a heart, a short throws molten "
            "metal."),
    CAUTION("With the output open the clamp lets the secondary reach "
            "{open_output_voltage}: never run without the storage capacitor."),
    {BV_SHEET_CAUTION, "bleeder_resistance<1e12",
     "The bleeder takes {safe_time} from the target to {safe_voltage}, if it "
     "is whole. Never rely on it alone."},
    CAUTION("Work behind a closed, interlocked cover; one hand; never alone. "
            "Before touching: supply off and locked, discharge through a "
            "resistor on an insulated stick, measure, then leave a short on "
            "the terminals. A capacitor recovers voltage by itself. Wear eye "
            "protection."),
    CAUTION("Insulation distances and tests here are a start for whoever is "
            "licensed to do such work. Local codes and the product's "
            "standards decide; a test with high voltage is dangerous itself."),
};

const size_t bv_sheet_line_count =
    sizeof bv_sheet_lines / sizeof *bv_sheet_lines;
