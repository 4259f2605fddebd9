/* SPDX-License-Identifier: MIT */
/* What every charger has to keep and a study forgot to limit: ratings of the
 * parts, saturation, room for the windings, time for the shots. */
#ifndef BV_RUN_UNLIMITED_H
#define BV_RUN_UNLIMITED_H

#include "script/study.h"
#include "table/front.h"

/* Appends a line for each such result that some of the designs break, and that
 * neither the study's limits nor its objectives name. */
void bv_unlimited_report(const bv_study *study, const bv_front *designs,
                         bv_buffer *text);

#endif
