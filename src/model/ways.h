/* SPDX-License-Identifier: MIT */
/* The ways of charging of charge_ways.h held against each other on one job: the
 * same circuit (supply, ratio, inductance, parts) in the same charge time.
 *
 * Each way but the boundary gets the peak current that charges in the time that
 * boundary mode takes with the circuit's own, so that what a way costs shows as
 * peak current (core), RMS current (copper), cycles and switching loss. The
 * voltages of switch and diode are the same for all. Without losses the time of
 * every way but the fixed frequency goes with 1/Ip; there Ip is found as a
 * root.
 *
 * Losses are those along the lossless currents; they do not act back:
 *  conduction (all primary resistance) int i1^2 + (secondary resistance, m
 *             diodes, capacitor) int i2^2 + m Vd C (Vt - V0)
 *  overlap    of charge_ways.h, at turn-off and, with current, at turn-on
 *  node       Csw vd^2/2 a cycle, vd = Vin - V/n in the valley, 0 from V = n
 *             Vin on; Vin + V/n with current; after a wait any phase of the
 *             ring: vd^2 = Vin^2 + min(V/n, Vin)^2/2 in the mean
 *  recovery   bv_recovery_energy of the lower level, at V + n Vin
 * Lower fidelity than bv_charge_envelope: clamp, gate, bleeder, core, delays
 * and the time of the half ring are left out. Sources: as charge_ways.h; common
 * practice for the upper figures of overlap and recovery. */
#ifndef BV_MODEL_WAYS_H
#define BV_MODEL_WAYS_H

#include "model/charge.h"
#include "model/charge_ways.h"

typedef struct bv_ways_options {
  double frequency;     /* Hz, of the fixed frequency; 0: boundary's mean */
  double lower_share;   /* 1, lower of the two levels over the upper, < 1 */
  double recovery_time; /* s, of the diode */
} bv_ways_options;

/* What one way costs. */
typedef struct bv_way_cost {
  int reason; /* bv_reason; the other fields are NAN unless BV_REASON_OK */
  double charge_time;       /* s, the same for all */
  double peak_current;      /* A, the greatest */
  double lower_current;     /* A, at turn-on */
  double inductor_energy;   /* J, at the peak current */
  double primary_rms;       /* A, over the charge */
  double secondary_rms;     /* A */
  double area_product;      /* 1, Ip (I1 + n I2) over that of the boundary */
  double cycles;            /* 1 */
  double frequency_start;   /* Hz, at 5 % of the target or the start */
  double frequency_end;     /* Hz, at the target */
  double conduction_energy; /* J, as the next four */
  double overlap_energy;    /* both edges */
  double node_energy;
  double recovery_energy;
  double switching_energy; /* sum of the last three */
  double power_ratio;      /* 1, average over final power */
} bv_way_cost;

extern const bv_fields bv_ways_options_fields, bv_way_cost_fields;

/* Fills BV_WAY_COUNT costs, by bv_way. BV_REASON_BAD_CIRCUIT in each where the
 * circuit isn't valid or isn't a single rectifier, and in that of a way whose
 * option is out of range or whose frequency gives fewer than 100 cycles. */
void bv_ways_compare(const bv_circuit *circuit, const bv_ways_options *options,
                     bv_way_cost *costs);

#endif
