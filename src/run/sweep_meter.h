/* SPDX-License-Identifier: MIT */
/* Progress of a sweep on standard error: one line kept up to date on a
 * terminal, else a line a minute. */
#ifndef BV_RUN_SWEEP_METER_H
#define BV_RUN_SWEEP_METER_H

#include <stdbool.h>

#include "base/text.h"
#include "search/search.h"

typedef struct bv_sweep_meter {
  bool quiet, terminal, shown;
  size_t cases, settled;  /* of the slice */
  uint64_t budget;        /* evaluations a case */
  uint64_t evaluated;     /* by this run, in cases that are over */
  uint64_t recalled;      /* of the case under way, by earlier runs */
  uint64_t cell_recalled; /* evaluations, while replaying */
  double begun, next;     /* s, clock: of the run, of the next line */
  double synced;          /* s, clock of the last checkpoint */
} bv_sweep_meter;

/* Where a sweep stands, as progress lines of a diary have it too. */
typedef struct bv_standing {
  size_t cases, settled;
  uint64_t evaluations, feasible; /* of the case under way */
  double rate;                    /* evaluations/s, of the run */
  double hypervolume;
  double left; /* s */
} bv_standing;

bv_sweep_meter bv_sweep_meter_begin(bool quiet, uint64_t budget);

/* True where a line is due. */
bool bv_sweep_meter_is_due(const bv_sweep_meter *meter);

bv_standing bv_sweep_meter_read(const bv_sweep_meter *meter,
                                const bv_search *search);
void bv_sweep_meter_show(bv_sweep_meter *meter, const char *name,
                         const bv_standing *standing);

/* Takes the line off the terminal. */
void bv_sweep_meter_clear(bv_sweep_meter *meter);

void bv_standing_print(const bv_standing *standing, bv_buffer *text);
bool bv_standing_read(const char *text, bv_standing *standing);

/* Appends what to tell of a standing, but for the checkpoint. */
void bv_standing_tell(const bv_standing *standing, bv_buffer *text);

/* Appends a time in the unit that suits: 42 s, 12 min, 3.5 h. */
void bv_seconds_tell(double seconds, bv_buffer *text);

#endif
