/* SPDX-License-Identifier: MIT */
/* The inside of a search, shared by search.c and the operators. */
#ifndef BV_SEARCH_PLAN_H
#define BV_SEARCH_PLAN_H

#include "base/random.h"
#include "search/archive.h"
#include "search/beyond.h"
#include "search/branch.h"
#include "search/credit.h"
#include "search/drift.h"
#include "search/failures.h"
#include "search/handful.h"
#include "search/hopes.h"
#include "search/hypervolume.h"
#include "search/operator.h"
#include "search/outdone.h"
#include "search/population.h"
#include "search/seen.h"

/* Points of the first sample; points of a cell that evaluates a list. */
enum { BV_SAMPLE_SIZE = 40, BV_POPULATION_SIZE = 40, BV_LIST_SIZE = 20 };

/* Cells that may be out at once, whatever the number of workers. */
enum { BV_CELLS_AHEAD = 8 };

/* Least violating points kept. */
enum { BV_NEAREST_MOST = 10 };

/* What is worked out only when asked for. */
typedef struct bv_search_cache {
  size_t *order; /* slots of the front, sorted */
  size_t room;
  uint64_t order_version, volume_version; /* of the front; 0: never */
  double reference[BV_OBJECTIVES_MOST];
  bv_volume volume;
  bv_handful handful;
  const size_t *handful_from; /* the list it was drawn from; NULL: never … */
  uint64_t handful_for;       /* … and for which cell, numbered from 1 */
} bv_search_cache;

struct bv_search {
  const bv_problem *problem;
  bv_search_options options;
  size_t movable; /* continuous variables with room to move */
  double size;    /* of the space; INFINITY unless all is discrete */

  bv_archive front;
  bv_population population;
  bv_branches branches;
  bv_yardstick yardstick, extent; /* extent: ranges of the front alone */
  double sampled_lo[BV_OBJECTIVES_MOST], sampled_hi[BV_OBJECTIVES_MOST];

  bv_credit credit;
  bv_drift drift;
  bv_seen seen;
  double *slopes;              /* of the last local solve (bv_slopes_view) */
  bool curvatures_asked;       /* of one, and not in vain */
  double *sample;              /* the first sample, rows of x */
  size_t sample_rows, sampled; /* rows of it, and how many are planned */
  uint64_t sample_cells;       /* cells that hold it */
  uint64_t visits;             /* of the enumeration of a finite space */
  bv_hopes hopes;              /* of the last filling points */
  bv_outdone outdone;          /* by points of the front, lately */
  size_t anchors;              /* anchor solves planned */

  uint64_t planned;     /* cells */
  uint64_t promised;    /* evaluations of the cells that are out, at most */
  uint64_t window_end;  /* evaluations at which stagnation is judged next */
  double window_volume; /* hypervolume at its begin */
  double window_reference[BV_OBJECTIVES_MOST];
  bv_search_state state; /* of what is merged; hypervolume: see the cache */

  bv_beyond beyond; /* what a small change of a limit would admit */
  size_t nearest_count;
  double *nearest; /* rows: violation, x, objectives, limits */
  bv_failures failures;
  bv_search_cache *cache;
};

/* Room left for evaluations. */
uint64_t bv_budget_left(const bv_search *search);

/* Judges, after a merge, whether the search stops. */
void bv_budget_judge(bv_search *search);

/* Adds a point to a cell's list after snapping it, unless it was evaluated or
 * planned before. */
bool bv_plan_point(bv_search *search, bv_cell *cell, double *x);

/* Appends numbers to a cell's data. */
void bv_plan_numbers(bv_cell *cell, const double *numbers, size_t count);

/* A search past its first sample has something to vary. */
bool bv_plan_started(const bv_search *search);

/* A run of a cell that lists points. */
void bv_run_list(bv_log *log, const bv_cell *cell);

#endif
