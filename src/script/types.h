/* SPDX-License-Identifier: MIT */
/* The types of objects that models give to scripts. */
#ifndef BV_SCRIPT_TYPES_H
#define BV_SCRIPT_TYPES_H

#include "script/object.h"

extern const bv_object_type bv_job_type, bv_design_type, bv_charge_type,
    bv_way_cost_type;
extern const bv_object_type bv_core_type, bv_wire_type, bv_material_type,
    bv_switch_type, bv_diode_type, bv_storage_type;

#endif
