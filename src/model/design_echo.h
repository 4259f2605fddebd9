/* SPDX-License-Identifier: MIT */
/* Job, choices and circuit among the results. Private to src/model/design*.c.
 */
#ifndef BV_MODEL_DESIGN_ECHO_H
#define BV_MODEL_DESIGN_ECHO_H

#include "model/design.h"

/* Fills the results that repeat the job, the choices and design->circuit, which
 * must be filled. The last thing bv_design_make does. */
void bv_design_echo(const bv_job *job, const bv_choice *choice,
                    bv_design *design);

#endif
