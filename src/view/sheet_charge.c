/* SPDX-License-Identifier: MIT */
/* Blocks of the sheet that run the row's circuit: charge and corners. */
#include <math.h>

#include "view/sheet_block.h"
#include "view/wave.h"

bool bv_sheet_has_circuit(const bv_sheet *sheet) {
  return sheet->has_circuit;
}

/* The charge at about so many instants, evenly in output voltage. */
static void write_moments(const bv_sheet *sheet, const bv_waveforms *wave) {
  static const char *const head[] = {
      "Output", "Time", "Power", "Frequency", "Primary peak", "Secondary peak"};
  enum { ROWS = 8 };
  size_t i = 0;
  double target = sheet->circuit.target_voltage;
  bv_sheet_head(sheet, BV_DATA, head, 6);
  for (int row = 0; row < ROWS; row++) {
    double wanted = target * (row + 0.5) / ROWS;
    while (i + 1 < wave->moment_count &&
           wave->moments[i].output_voltage < wanted)
      i++;
    const bv_wave_moment *m = &wave->moments[i];
    bv_document_part(sheet->document);
    bv_sheet_cell_value(sheet, m->output_voltage, "V");
    bv_sheet_cell_value(sheet, m->time, "s");
    bv_sheet_cell_value(sheet, m->power, "W");
    bv_sheet_cell_value(sheet, m->frequency, "Hz");
    bv_sheet_cell_value(sheet, m->primary_peak, "A");
    bv_sheet_cell_value(sheet, m->secondary_peak, "A");
  }
  bv_document_end(sheet->document);
}

static void draw_charge(const bv_sheet *sheet, const bv_waveforms *wave) {
  static const bv_wave_picture left = {"voltage", 354, 46, false},
                               right = {"frequency", 354, 46, false};
  bv_buffer *out = sheet->document->out;
  bv_document_figure_begin(sheet->document);
  bv_wave_draw_charge(wave, BV_WAVE_VOLTAGE, BV_WAVE_POWER, &left, out);
  bv_wave_draw_charge(wave, BV_WAVE_FREQUENCY, BV_WAVE_PEAKS, &right, out);
  bv_document_figure_end(sheet->document);
}

static void write_sentence(const bv_sheet *sheet, const char *text) {
  bv_document_begin(sheet->document, BV_PARAGRAPH, 0);
  bv_document_part(sheet->document);
  bv_sheet_text(sheet, text);
  bv_document_end(sheet->document);
}

void bv_sheet_charge(const bv_sheet *sheet) {
  if (!sheet->has_wave) {
    write_sentence(sheet, sheet->wave_error.text);
    return;
  }
  if (sheet->document->html)
    draw_charge(sheet, &sheet->wave);
  if (sheet->wave.moment_count > 0)
    write_moments(sheet, &sheet->wave);
}

bool bv_sheet_has_cycles(const bv_sheet *sheet) {
  return sheet->has_wave && bv_wave_has(&sheet->wave, BV_WAVE_FIRST);
}

/* The cycle that starts at a point; gives the points it has. */
static size_t write_cycle(const bv_sheet *sheet, const bv_wave_point *start,
                          const bv_wave_point *end) {
  const bv_wave_point *p = start;
  double plateau = 0, primary = 0, secondary = 0;
  for (; p < end && p->cycle == start->cycle; p++) {
    plateau = fmax(plateau, p->switch_voltage);
    primary = fmax(primary, p->primary_current);
    secondary = fmax(secondary, p->secondary_current);
  }
  bv_document_part(sheet->document);
  bv_sheet_cell_value(sheet, start->cycle, "");
  bv_sheet_cell_value(sheet, start->output_voltage, "V");
  bv_sheet_cell_value(sheet, p[-1].time - start->time, "s");
  bv_sheet_cell_value(sheet, plateau, "V");
  bv_sheet_cell_value(sheet, primary, "A");
  bv_sheet_cell_value(sheet, secondary, "A");
  return (size_t) (p - start);
}

static void write_cycles(const bv_sheet *sheet) {
  static const char *const head[] = {"Cycle",        "Output",
                                     "Period",       "Switch plateau",
                                     "Primary peak", "Secondary peak"};
  const bv_waveforms *wave = &sheet->wave;
  bv_sheet_head(sheet, BV_TABLE, head, 6);
  for (size_t i = 0; i < wave->point_count;)
    if (wave->points[i].part == BV_WAVE_MIDDLE)
      i++;
    else
      i += write_cycle(sheet, &wave->points[i],
                       wave->points + wave->point_count);
  bv_document_end(sheet->document);
  write_sentence(sheet, "The last cycle is cut where the output reaches the "
                        "target. The spike of the leakage at turn-off comes on "
                        "top of the plateau.");
}

static void draw_cycles(const bv_sheet *sheet) {
  static const bv_wave_picture first = {"first", 354, 34, false},
                               last = {"last", 354, 34, false};
  bv_buffer *out = sheet->document->out;
  bv_document_figure_begin(sheet->document);
  bv_wave_draw_part(&sheet->wave, BV_WAVE_FIRST, &first, out);
  bv_wave_draw_part(&sheet->wave, BV_WAVE_LAST, &last, out);
  bv_document_figure_end(sheet->document);
}

void bv_sheet_cycles(const bv_sheet *sheet) {
  if (sheet->document->html)
    draw_cycles(sheet);
  else
    write_cycles(sheet);
}

/* A corner: which supply (-1 lowest, 0 nominal, 1 highest) and factors. */
typedef struct corner {
  const char *name;
  int supply;
  double inductance, current, capacitance, leakage, clamp, target, winding;
} corner;

static const corner corners[] = {
    {"nominal", 0, 1, 1, 1, 1, 1, 1, 1},
    {"lowest supply", -1, 1, 1, 1, 1, 1, 1, 1},
    {"highest supply", 1, 1, 1, 1, 1, 1, 1, 1},
    {"inductance -10 %", 0, 0.9, 1, 1, 1, 1, 1, 1},
    {"inductance +10 %", 0, 1.1, 1, 1, 1, 1, 1, 1},
    {"comparator -5 %", 0, 1, 0.95, 1, 1, 1, 1, 1},
    {"comparator +5 %", 0, 1, 1.05, 1, 1, 1, 1, 1},
    {"storage capacitance +10 %", 0, 1, 1, 1.1, 1, 1, 1, 1},
    {"leakage +30 %", 0, 1, 1, 1, 1.3, 1, 1, 1},
    {"clamp +5 %, stop voltage +1 %", 0, 1, 1, 1, 1, 1.05, 1.01, 1},
    {"winding capacitance +50 %", 0, 1, 1, 1, 1, 1, 1, 1.5},
    {"slow: supply, comparator, clamp low; others high", -1, 1, 0.95, 1.1, 1.3,
     0.95, 1.01, 1},
    {"stress: supply, comparator, clamp, stop high; inductance low", 1, 0.9,
     1.05, 1, 1, 1.05, 1.01, 1},
};

static bool make_corner(const bv_sheet *sheet, const corner *c,
                        bv_circuit *circuit) {
  *circuit = sheet->circuit;
  double supply = bv_row_number(
      sheet->row, c->supply < 0 ? "supply_voltage_min" : "supply_voltage_max");
  if (c->supply != 0)
    circuit->supply_voltage = supply;
  circuit->primary_inductance *= c->inductance;
  circuit->peak_current *= c->current;
  circuit->storage_capacitance *= c->capacitance;
  circuit->leakage_inductance *= c->leakage;
  circuit->clamp_voltage *= c->clamp;
  circuit->target_voltage *= c->target;
  if (c->winding == 1)
    return !isnan(circuit->supply_voltage);
  double more = (c->winding - 1) *
                bv_row_number(sheet->row, "winding_capacitance_reflected");
  circuit->node_capacitance += more;
  circuit->node_capacitance_winding += more;
  return !isnan(more);
}

static void write_corner(const bv_sheet *sheet, const corner *c) {
  bv_circuit circuit;
  bv_charge charge;
  if (!make_corner(sheet, c, &circuit))
    return;
  bv_charge_envelope(&circuit, &charge);
  bv_document_part(sheet->document);
  bv_sheet_cell(sheet, c->name);
  if (charge.reason != BV_REASON_OK) {
    bv_sheet_cell(sheet, bv_reason_meaning((bv_reason) charge.reason));
    for (int i = 0; i < 5; i++)
      bv_sheet_cell(sheet, "");
    return;
  }
  bv_sheet_cell_value(sheet, charge.charge_time, "s");
  bv_sheet_cell_value(sheet, charge.primary_current_max, "A");
  bv_sheet_cell_value(sheet, charge.frequency_end, "Hz");
  bv_sheet_cell_value(sheet, charge.switch_voltage, "V");
  bv_sheet_cell_value(sheet, charge.diode_voltage, "V");
  bv_document_cell(sheet->document);
  bv_sheet_percent(sheet, charge.efficiency);
}

void bv_sheet_corners(const bv_sheet *sheet) {
  static const char *const head[] = {"Corner",    "Charge time", "Primary peak",
                                     "Frequency", "Switch",      "Diode",
                                     "Efficiency"};
  bv_sheet_head(sheet, BV_TABLE, head, 7);
  for (size_t i = 0; i < sizeof corners / sizeof *corners; i++)
    write_corner(sheet, &corners[i]);
  bv_document_end(sheet->document);
  write_sentence(sheet, "The built parts stay as they are; the circuit is "
                        "evaluated by the loss-aware envelope at the "
                        "resistances of the hot design. The frequency is that "
                        "at the target.");
}
