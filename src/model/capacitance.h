/* SPDX-License-Identifier: MIT */
/* Self-capacitance of windings by geometry (E. C. Snelling, Soft Ferrites).
 * Energy of the layers' voltage differences, linear along each layer; field
 * straight between layers. Real windings lie within a factor of about 1.5. */
#ifndef BV_MODEL_CAPACITANCE_H
#define BV_MODEL_CAPACITANCE_H

/* How the layers of a winding follow each other. */
typedef enum bv_layer_return {
  BV_FOLDED,  /* back and forth: each layer starts where the last one ended */
  BV_LED_BACK /* each layer starts at the same side */
} bv_layer_return;

/* Capacitance, F, of two layers as plates: eps0 er MLT b/d, with the mean turn
 * and width in m. */
double bv_capacitance_plates(double mean_turn, double width, double distance,
                             double permittivity);

/* Distance, m, of plates that stand for two layers of round wire: between the
 * wire centres, less 1.15 bare diameters, plus 0.26 pitches (Snelling, from
 * memory); at least the insulation's own thickness centres - diameter. */
double bv_capacitance_distance(double centres, double diameter, double pitch);

/* Capacitance, F, seen over a winding's ends, from the capacitance of two
 * neighbouring layers (of the whole bobbin's width) and the layers p >= 1,
 * real: folded 4 C (p - 1)/(3 p²), led back C (p - 1)/p²; in s axial chambers
 * divided by s². */
double bv_capacitance_winding(double between_layers, double layers,
                              bv_layer_return way, double chambers);

/* Capacitance, F, seen over a winding's ends from its first layers to a body at
 * the potential of its start (core, screen or other winding), from the plates'
 * capacitance over all chambers. One chamber: C/(3 p²). Of s that follow each
 * other, each wound from the floor up, the first layer of the j-th goes from (j
 * - 1)/s to (j - 1)/s + 1/(s p) of the voltage. From the last layers, which end
 * at j/s: one chamber, C (1 - 1/p + 1/(3p²)). */
double bv_capacitance_first_layer(double plates, double layers,
                                  double chambers);
double bv_capacitance_last_layer(double plates, double layers, double chambers);

/* Mean voltage, as a share of the whole winding's, of its first and its last
 * layers over all chambers. */
double bv_capacitance_first_mean(double layers, double chambers);
double bv_capacitance_last_mean(double layers, double chambers);

/* Capacitance, F, seen over the ends of one of two sections alike, wound one
 * above the other, each from the same flange, whose starts rest: from the last
 * layer of one to the first of the other, by their plates' capacitance. Both
 * swing alike, so that single layers hold nothing, why windings of old had a
 * diode for every layer: C (1 - 1/p)², and C/(3 p²) more for even p, where the
 * two layers run against each other; smooth in between. */
double bv_capacitance_sections(double plates, double layers);

/* Capacitance, F, seen over a winding's ends from the walls between its s
 * chambers, by the plates' capacitance over one wall: C (s - 1)/s². */
double bv_capacitance_walls(double plates, double chambers);

#endif
