/* SPDX-License-Identifier: MIT */
/* What a search tells: counts, the front in order, what failed. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/hypervolume.h"
#include "search/memory.h"
#include "search/plan.h"

static const char *const words[] = {
#define BV_STOP_WORD(code, word) word,
    BV_STOP_MAP(BV_STOP_WORD)
#undef BV_STOP_WORD
};

const char *bv_stop_word(bv_stop stop) {
  return stop < BV_STOP_COUNT ? words[stop] : "unknown";
}

static void choose_reference(const bv_search *s, double *reference) {
  double worst[BV_OBJECTIVES_MOST];
  size_t objectives = s->problem->objectives;
  bv_archive_worst(&s->front, worst);
  if (s->options.reference)
    memcpy(reference, s->options.reference, objectives * sizeof *reference);
  else
    bv_hypervolume_reference(s->front.best, worst, objectives, reference);
}

static void measure_front(const bv_search *s) {
  bv_search_cache *cache = s->cache;
  if (cache->volume_version == s->front.version)
    return;
  choose_reference(s, cache->reference);
  double *points = bv_archive_copy_objectives(&s->front);
  cache->volume = bv_hypervolume_told(points, s->front.count,
                                      s->problem->objectives, cache->reference);
  cache->volume_version = s->front.version;
  free(points);
}

bv_search_state bv_search_counts(const bv_search *s) {
  bv_search_state state = s->state;
  state.front = s->front.count;
  return state;
}

bv_search_state bv_search_look(const bv_search *s) {
  bv_search_state state = bv_search_counts(s);
  measure_front(s);
  state.hypervolume = s->cache->volume.value;
  state.is_estimate = s->cache->volume.is_estimate;
  for (size_t j = 0; j < s->problem->objectives; j++)
    state.reference[j] = s->cache->reference[j];
  return state;
}

static int by_objectives(const void *a, const void *b, void *context) {
  const bv_archive *front = context;
  const double *fa = bv_archive_objectives(front, *(const size_t *) a);
  const double *fb = bv_archive_objectives(front, *(const size_t *) b);
  for (size_t j = 0; j < front->problem->objectives; j++)
    if (fa[j] != fb[j])
      return fa[j] < fb[j] ? -1 : 1;
  return 0;
}

static void sort_front(const bv_search *s) {
  bv_search_cache *cache = s->cache;
  if (cache->order_version == s->front.version)
    return;
  while (cache->room < s->front.count)
    cache->order = bv_grow(cache->order, &cache->room, sizeof *cache->order);
  for (size_t i = 0; i < s->front.count; i++)
    cache->order[i] = s->front.live[i];
  bv_archive front = s->front;
  qsort_r(cache->order, front.count, sizeof *cache->order, by_objectives,
          &front);
  cache->order_version = front.version;
}

bv_point bv_search_front(const bv_search *s, size_t i) {
  sort_front(s);
  size_t slot = s->cache->order[i];
  return (bv_point){.x = bv_archive_x(&s->front, slot),
                    .objectives = bv_archive_objectives(&s->front, slot),
                    .limits = bv_archive_limits(&s->front, slot)};
}

size_t bv_search_nearest_count(const bv_search *s) {
  return s->nearest_count;
}

bv_point bv_search_nearest(const bv_search *s, size_t i) {
  const bv_problem *p = s->problem;
  const double *row =
      s->nearest + i * (1 + p->space.count + p->objectives + p->limits);
  const double *x = row + 1;
  return (bv_point){.x = x,
                    .objectives = x + p->space.count,
                    .limits = x + p->space.count + p->objectives,
                    .violation = row[0]};
}

size_t bv_search_beyond_count(const bv_search *s, size_t limit) {
  return s->beyond.count[limit];
}

bv_point bv_search_beyond(const bv_search *s, size_t limit, size_t i) {
  return (bv_point){.x = bv_beyond_x(&s->beyond, limit, i),
                    .objectives = bv_beyond_objectives(&s->beyond, limit, i),
                    .violation = bv_beyond_excess(&s->beyond, limit, i)};
}

const bv_failures *bv_search_failures(const bv_search *s) {
  return &s->failures;
}
