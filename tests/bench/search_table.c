/* SPDX-License-Identifier: MIT */
/* The search beside general-purpose peers on published problems: hypervolume
 * and IGD+ of everything evaluated, at equal numbers of evaluations, as
 * Markdown tables. Usage: search_table [SEEDS [PROBLEM]] */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench/peers.h"
#include "bench/peers_agree.h"
#include "search/archive.h"
#include "search/front_volume.h"
#include "search/hypervolume.h"
#include "search/problems.h"

/* Of the search, and the next ones: no constant of it was chosen by these.
 * Where one is, let it be by others. */
enum { FIRST_SEED = 7000 };

enum { BUDGETS = 3, SEEDS_MOST = 31, CONTESTANTS = 8, REFERENCE_SET = 200 };
static const uint64_t budgets[BUDGETS] = {2000, 10000, 25000};

/* A front found: rows of objectives. */
typedef struct found {
  double *points;
  size_t count;
  double volume, distance; /* share of the true volume; IGD+ */
} found;

/* Contestant 0 is the search, the others are the peers. */
typedef struct contest {
  const test_problem *problem;
  size_t seeds;
  found results[CONTESTANTS][BUDGETS][SEEDS_MOST];
  bool took_part[CONTESTANTS];
  found all; /* the best known front, for IGD+ */
} contest;

/* Everything a peer evaluates, in an archive like the search's own. */
typedef struct record {
  const bv_problem *problem;
  bv_archive archive;
  bv_yardstick yardstick;
  uint64_t count;
  size_t budget;
  found *results[BUDGETS];
} record;

static void take_front(record *r) {
  found *f = r->results[r->budget++];
  f->count = r->archive.count;
  f->points = bv_archive_copy_objectives(&r->archive);
}

/* pagmo's numbers are all real: whole ones are rounded here. */
static void evaluate(void *context, const double *x, double *results) {
  record *r = context;
  const bv_problem *p = r->problem;
  double allowed[BV_SPACE_MOST];
  memcpy(allowed, x, p->space.count * sizeof *x);
  bv_space_snap(&p->space, allowed);
  bv_evaluation e = {
      .x = allowed, .objectives = results, .limits = results + p->objectives};
  p->evaluate(p->context, &e);
  bool feasible = true;
  for (size_t i = 0; i < p->limits; i++)
    feasible = feasible && e.limits[i] <= BV_LIMIT_TOLERANCE;
  if (feasible && r->budget < BUDGETS)
    bv_archive_offer(&r->archive, allowed, results, e.limits, &r->yardstick);
  r->count++;
  if (r->budget < BUDGETS && r->count == budgets[r->budget])
    take_front(r);
}

static void run_peer(contest *c, unsigned peer, size_t seed) {
  const bv_problem *p = &c->problem->problem;
  record r = {.problem = p};
  double lo[BV_SPACE_MOST], hi[BV_SPACE_MOST];
  peer_problem seen = {.lo = lo,
                       .hi = hi,
                       .variables = (unsigned) p->space.count,
                       .objectives = (unsigned) p->objectives,
                       .limits = (unsigned) p->limits,
                       .evaluate = evaluate,
                       .context = &r};
  c->took_part[1 + peer] = peer_suits(peer, &seen);
  if (!c->took_part[1 + peer])
    return;
  for (size_t i = 0; i < p->space.count; i++) {
    lo[i] = p->space.variables[i].lo;
    hi[i] = p->space.variables[i].hi;
  }
  for (size_t j = 0; j < p->objectives; j++)
    r.yardstick.range[j] = 1;
  for (size_t b = 0; b < BUDGETS; b++)
    r.results[b] = &c->results[1 + peer][b][seed];
  bv_archive_init(&r.archive, p);
  peer_run(peer, &seen, budgets[BUDGETS - 1], (unsigned) seed + 1);
  while (r.budget < BUDGETS)
    take_front(&r);
  bv_archive_free(&r.archive);
}

static void run_search(contest *c, size_t seed) {
  c->took_part[0] = true;
  for (size_t b = 0; b < BUDGETS; b++) {
    bv_search_options options = bv_search_defaults();
    options.seed = FIRST_SEED + seed;
    options.evaluations = budgets[b];
    bv_search *s;
    bv_error error;
    if (bv_search_new(&c->problem->problem, &options, &s, &error)) {
      fprintf(stderr, "%s: %s\n", c->problem->name, error.text);
      exit(1);
    }
    bv_search_run(s);
    found *f = &c->results[0][b][seed];
    f->points = front_points(s, &c->problem->problem, &f->count);
    bv_search_free(s);
  }
}

static double apart(const double *a, const double *b, size_t m) {
  double sum = 0;
  for (size_t j = 0; j < m; j++)
    sum += (a[j] - b[j]) * (a[j] - b[j]);
  return sum;
}

/* At most `most` points, each the farthest from those before it. */
static found spread(const found *f, size_t m, size_t most) {
  found out = {.points = calloc(most * m, sizeof(double))};
  double *nearest = malloc((f->count + 1) * sizeof *nearest);
  for (size_t i = 0; i < f->count; i++)
    nearest[i] = HUGE_VAL;
  size_t next = 0;
  while (out.count < most && out.count < f->count) {
    memcpy(out.points + m * out.count++, f->points + m * next,
           m * sizeof(double));
    for (size_t i = 0; i < f->count; i++)
      nearest[i] =
          fmin(nearest[i], apart(f->points + m * i, f->points + m * next, m));
    for (size_t i = 0; i < f->count; i++)
      next = nearest[i] > nearest[next] ? i : next;
  }
  free(nearest);
  return out;
}

/* Beyond three objectives the exact volume of 300 points spread over the front
 * stands for it, for search and peers alike. */
static double measure(const contest *c, const found *f) {
  size_t m = c->problem->problem.objectives;
  const double *reference = c->problem->reference;
  if (m <= 3)
    return bv_hypervolume(f->points, f->count, m, reference);
  found few = spread(f, m, 300);
  double volume = bv_hypervolume(few.points, few.count, m, reference);
  free(few.points);
  return volume;
}

/* IGD+ (H. Ishibuchi, H. Masuda, Y. Tanigaki, Y. Nojima, EMO 2015): the mean
 * distance by which a front misses each point of a better one, in shares of the
 * box up to the hypervolume's reference. */
static double miss(const contest *c, const found *f) {
  size_t m = c->problem->problem.objectives;
  double sum = 0;
  for (size_t r = 0; r < c->all.count; r++) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < f->count; i++) {
      double square = 0;
      for (size_t j = 0; j < m; j++) {
        double d = fmax(f->points[i * m + j] - c->all.points[r * m + j], 0) /
                   fabs(c->problem->reference[j]);
        square += d * d;
      }
      least = fmin(least, square);
    }
    sum += sqrt(least);
  }
  return sum / (double) c->all.count;
}

/* The front of all fronts at the largest budget. */
static void join(contest *c) {
  const bv_problem *p = &c->problem->problem;
  bv_archive archive;
  bv_yardstick yardstick = {.range = {1, 1, 1, 1, 1, 1}};
  double x[BV_SPACE_MOST] = {0}, limits[BV_LIMITS_MOST] = {0};
  bv_archive_init(&archive, p);
  for (size_t k = 0; k < CONTESTANTS; k++)
    for (size_t s = 0; s < c->seeds; s++) {
      const found *f = &c->results[k][BUDGETS - 1][s];
      for (size_t i = 0; i < f->count; i++)
        bv_archive_offer(&archive, x, f->points + i * p->objectives, limits,
                         &yardstick);
    }
  found all = {.count = archive.count};
  all.points = bv_archive_copy_objectives(&archive);
  c->all = spread(&all, p->objectives, REFERENCE_SET);
  free(all.points);
  bv_archive_free(&archive);
}

static int rising(const void *a, const void *b) {
  double x = *(const double *) a, y = *(const double *) b;
  return (x > y) - (x < y);
}

typedef struct summary {
  double median, worst;
} summary;

static summary summarise(const contest *c, size_t contestant, size_t budget,
                         bool by_volume) {
  double values[SEEDS_MOST];
  for (size_t s = 0; s < c->seeds; s++) {
    const found *f = &c->results[contestant][budget][s];
    values[s] = by_volume ? f->volume : f->distance;
  }
  qsort(values, c->seeds, sizeof *values, rising);
  return (summary){values[c->seeds / 2], values[by_volume ? 0 : c->seeds - 1]};
}

/* The peer with the best median. */
static size_t best_peer(const contest *c, size_t budget, bool by_volume) {
  size_t best = 1;
  for (size_t k = 2; k < CONTESTANTS; k++) {
    if (!c->took_part[k])
      continue;
    double ours = summarise(c, k, budget, by_volume).median;
    double known = summarise(c, best, budget, by_volume).median;
    if (by_volume ? ours > known : ours < known)
      best = k;
  }
  return best;
}

static void print_row(const contest *c, bool by_volume, size_t *medians,
                      size_t *worsts) {
  printf("| %s |", c->problem->name);
  for (size_t b = 0; b < BUDGETS; b++) {
    size_t peer = best_peer(c, b, by_volume);
    summary theirs = summarise(c, peer, b, by_volume);
    summary ours = summarise(c, 0, b, by_volume);
    const char *format =
        by_volume ? " %.4f %s | %.4f (%.4f) |" : " %.2e %s | %.2e (%.2e) |";
    printf(format, theirs.median, peer_names[peer - 1], ours.median,
           ours.worst);
    double sign = by_volume ? 1 : -1;
    *medians += sign * (ours.median - theirs.median) >= 0;
    *worsts += sign * (ours.worst - theirs.median) >= 0;
  }
  printf("\n");
  fflush(stdout);
}

static void print_head(const char *title) {
  printf("\n%s\n\n| problem |", title);
  for (size_t b = 0; b < BUDGETS; b++)
    printf(" %d best peer | search |", (int) budgets[b]);
  printf("\n|---|");
  for (size_t b = 0; b < BUDGETS; b++)
    printf("---|---|");
  printf("\n");
}

static void run(contest *c) {
  for (size_t s = 0; s < c->seeds; s++) {
    run_search(c, s);
    for (unsigned peer = 0; peer < peer_count; peer++)
      run_peer(c, peer, s);
  }
  join(c);
  for (size_t k = 0; k < CONTESTANTS; k++)
    for (size_t b = 0; b < BUDGETS && c->took_part[k]; b++)
      for (size_t s = 0; s < c->seeds; s++) {
        found *f = &c->results[k][b][s];
        f->volume = measure(c, f) / c->problem->volume;
        f->distance = f->count ? miss(c, f) : HUGE_VAL;
        free(f->points);
        f->points = NULL;
      }
  free(c->all.points);
}

int main(int argc, char **argv) {
  size_t seeds = argc > 1 ? strtoul(argv[1], NULL, 10) : 11, count = 0;
  if (seeds < 1 || seeds > SEEDS_MOST) {
    fprintf(stderr, "expected 1 … %d seeds, found %s\n", SEEDS_MOST, argv[1]);
    return 64;
  }
  if (!peers_agree())
    return 1;
  contest *contests = calloc(test_problem_count(), sizeof *contests);
  size_t medians = 0, worsts = 0;
  print_head("Hypervolume, share of the true or best known; median (worst)");
  for (size_t i = 0; i < test_problem_count(); i++) {
    const test_problem *p = test_problem_at(i);
    if (argc > 2 && strcmp(argv[2], p->name))
      continue;
    contest *c = &contests[count++];
    c->problem = p;
    c->seeds = seeds;
    run(c);
    print_row(c, true, &medians, &worsts);
  }
  printf("\nMedian at least the best peer's: %zu of %zu; worst seed at least "
         "the best peer's median: %zu.\n",
         medians, BUDGETS * count, worsts);
  medians = worsts = 0;
  print_head("IGD+; median (worst)");
  for (size_t i = 0; i < count; i++)
    print_row(&contests[i], false, &medians, &worsts);
  printf("\nMedian at most the best peer's: %zu of %zu; worst seed at most the "
         "best peer's median: %zu.\n",
         medians, BUDGETS * count, worsts);
  free(contests);
  return 0;
}
