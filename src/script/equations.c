/* SPDX-License-Identifier: MIT */
#include "script/equations.h"

#include <string.h>

/* Symbols: Vin supply, Vt target, V output, n turns ratio, L primary
 * inductance, Llk its leakage, Ip peak current, C storage capacitance, x = n
 * Vin/Vt, Vr reflected and Vcl clamp voltage, Csw capacitance at the switch. */
static const bv_equation equations[] = {
    {"charge_time",
     "without losses C Vt (Vt + 2 n Vin)/(Ip Vin); with them the integral of "
     "dE/P over the output voltage, by Gauss-Legendre quadrature"},
    {"charge_time_ideal", "C Vt (Vt + 2 n Vin)/(Ip Vin)"},
    {"charge_duty", "(charge_time_low_supply + hold_time) shots_per_second"},
    {"cycles", "without losses C Vt²/(L Ip²)"},
    {"on_time_end", "without losses L Ip/Vin"},
    {"off_time_end", "without losses n L Ip/Vt"},
    {"dead_time", "pi sqrt(L Csw) + turn_on_delay"},
    {"frequency_end", "1/(on_time_end + off_time_end + dead time)"},
    {"power_ratio", "without losses (1 + x)/(1 + 2 x)"},
    {"average_power", "stored_energy/charge_time"},
    {"stored_energy", "C (Vt² - V0²)/2"},
    {"efficiency", "stored_energy/(supply_energy + gate energy)"},
    {"loss_energy", "the sum of loss_energy_supply … loss_energy_core"},
    {"loss_energy_clamp", "Llk Ip² Vcl/(2 (Vcl - Vr)) a cycle, less what the "
                          "windings' capacitance delays and takes and the "
                          "switch still carries; the ring that is left after "
                          "it included"},
    {"loss_energy_overlap",
     "(Vin + V) Ip tf/2 a cycle, V = min(Vcl, Vr + Llk Ip/tf), less what the "
     "switch's own capacitance Coss and in part the windings' take over, down "
     "to Ip² tf²/(24 Coss) and less; (Vin + Vr) Ip tf/2 where Coss is not "
     "told"},
    {"loss_energy_turn_on", "Csw v²/2 a cycle, v the voltage at turn-on"},
    {"loss_energy_recovery",
     "i trr (1 - exp(-T/trr)) trr/T (V + n Vin) a cycle that begins with i in "
     "the diodes, T = n2 Llk i/(V + n Vin)"},
    {"loss_energy_gate", "gate charge times gate voltage a cycle"},
    {"loss_energy_core",
     "iGSE (K. Venkatachalam and others, IEEE COMPEL 2002): ki B^beta "
     "(ton^(1-alpha) + toff^(1-alpha)) a cycle and volume"},
    {"primary_current_max", "Ip + (Vin - R Ip) turn_off_delay/L"},
    {"primary_current_rms", "without losses Ip/sqrt(3 (1 + 2 x))"},
    {"secondary_current_rms", "without losses (Ip/n) sqrt(2 x/(3 (1 + 2 x)))"},
    {"switch_plateau",
     "Vin + Vr, Vr = (Vt + diode drops)/n; doubler, ladder: Vt/(n stages)"},
    {"switch_voltage", "Vin + Vcl, or the plateau without leakage"},
    {"diode_voltage",
     "(Vt + n Vin)/sections; doubler, ladder: Vt/(stages sections)"},
    {"ladder_drop", "I/(f C) (2 k³/3 + k²/2 - k/6), k stages"},
    {"ladder_ripple", "I/(f C) k (k + 1)/2, k stages"},
    {"impossibility",
     "1 at the edge, then primary drop over supply, reflected voltage over "
     "clamp, lost over gained energy of a cycle, … by the reason"},
    {"flux_density", "L Ipk/(N Ae)"},
    {"gap_length", "mu0 F N² Ae/L - le/mur, F = 1 + lg/sqrt(Ae) ln(2 G/lg) "
                   "(McLyman, Transformer and Inductor Design Handbook)"},
    {"area_product_needed", "L Ipk (Iprms + n Isrms)/(B J Ku)"},
    {"leakage_inductance",
     "mu0 N² MLT/(k² b) (sum h/3 + sum c) (E. C. Snelling, Soft Ferrites)"},
    {"winding_capacitance",
     "folded layers 4 C (p - 1)/(3 p²) (E. C. Snelling, Soft Ferrites)"},
    {"skin_depth", "sqrt(rho/(pi f mu0))"},
    {"temperature_rise",
     "450 (W/cm²)^0.826 (McLyman, ch. 6; from memory), +-30 %"},
    {"single_shot_rise",
     "(exp(a E/(m c)) - 1)/a of the copper, 385 J/(kg K), a = 0.00393/K of its "
     "resistance where the charge begins"},
    {"core_shot_rise", "E/(m c) of the core, 750 J/(kg K)"},
    {"clearance",
     "IEC 60664-1:2007 tables F.2 and F.7a, altitude by table A.2"},
    {"creepage", "IEC 60664-1:2007 table F.4"},
    {"bleeder_resistance", "t/(C ln(Vt/Vsafe))"},
    {"safe_time", "R C ln(Vt/Vsafe)"},
    {"switch_voltage_margin", "1 - stress/(derating rating)"},
    {"switch_current_margin", "1 - stress/(derating rating)"},
    {"diode_voltage_margin", "1 - stress/(derating rating)"},
    {"diode_current_margin", "1 - stress/(derating rating)"},
};

enum { EQUATIONS = sizeof equations / sizeof *equations };

const bv_equation *bv_equation_at(unsigned i) {
  return i < EQUATIONS ? &equations[i] : NULL;
}

const bv_equation *bv_equation_find(const char *name) {
  for (unsigned i = 0; i < EQUATIONS; i++)
    if (strcmp(equations[i].name, name) == 0)
      return &equations[i];
  return NULL;
}
