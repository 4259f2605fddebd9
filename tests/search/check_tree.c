/* SPDX-License-Identifier: MIT */
/* The tree with points that come in order: it stays shallow, and tells what a
 * walk through all points tells. */
#include "search/tree.h"

#include <pthread.h>
#include <stdlib.h>

#include "base/random.h"
#include "check_main.h"

enum { COUNT = 40000, M = 3, STACK = 256 * 1024 };

static double point[COUNT][M];

/* Along a line in order, close to it in one more objective; later ones nearer
 * to the origin by `drift` a step, which drives others out. */
static void draw(double drift) {
  bv_random random = bv_random_keyed(3, 0, 0);
  for (size_t i = 0; i < COUNT; i++) {
    double t = (double) i / COUNT, noise = 1e-6 * bv_random_unit(&random);
    double near = drift * (double) (i % 100);
    point[i][0] = t - near;
    point[i][1] = 1 - t - near;
    point[i][2] = noise - near;
  }
}

static bool covers(const double *a, const double *b) {
  return a[0] <= b[0] && a[1] <= b[1] && a[2] <= b[2];
}

/* Which points stand after each was offered, those near in order looked at. */
static size_t mark_standing(bool *stands, size_t reach) {
  size_t count = 0;
  for (size_t i = 0; i < COUNT; i++) {
    size_t from = i < reach ? 0 : i - reach, to = i + reach;
    stands[i] = true;
    for (size_t k = from; k < to && k < COUNT && stands[i]; k++)
      stands[i] = k == i || !covers(point[k], point[i]);
    count += stands[i];
  }
  return count;
}

static void compare(const bv_tree *tree, const bool *stands, size_t at) {
  const double scale[M] = {1, 1, 1};
  double p[M], least = HUGE_VAL;
  for (size_t j = 0; j < M; j++)
    p[j] = point[at][j] - 0.01;
  for (size_t i = 0; i < COUNT; i++) {
    double lead = -HUGE_VAL;
    for (size_t j = 0; j < M; j++)
      lead = fmax(lead, point[i][j] - p[j]);
    least = stands[i] ? fmin(least, lead) : least;
  }
  check_close(bv_tree_lead(tree, p, scale), least, 1e-12);
}

static void *grow_in_order(void *drift) {
  static bool stands[COUNT];
  static size_t removed[COUNT + 1];
  const double scale[M] = {1, 1, 1}, best[M] = {-9, -9, -9};
  bv_tree tree = {.objectives = M};
  size_t count;
  draw(*(double *) drift);
  for (size_t i = 0; i < COUNT; i++)
    if (bv_tree_lead(&tree, point[i], scale) > 0)
      bv_tree_insert(&tree, point[i], i, removed, &count);
  size_t standing = mark_standing(stands, 200);
  ck_assert_uint_eq(tree.count, standing);
  for (size_t at = 0; at < COUNT; at += COUNT / 50)
    compare(&tree, stands, at);
  bv_tree_insert(&tree, best, COUNT, removed, &count);
  ck_assert_uint_eq(count, standing);
  for (size_t i = 0; i < count; i++) {
    ck_assert(stands[removed[i]]);
    stands[removed[i]] = false;
  }
  ck_assert_uint_eq(tree.count, 1);
  bv_tree_free(&tree);
  return NULL;
}

/* On a small stack, which a branch of thousands of nodes would overflow. */
static void try(double drift) {
  pthread_attr_t attributes;
  pthread_t thread;
  pthread_attr_init(&attributes);
  ck_assert_int_eq(pthread_attr_setstacksize(&attributes, STACK), 0);
  ck_assert_int_eq(pthread_create(&thread, &attributes, grow_in_order, &drift),
                   0);
  pthread_join(thread, NULL);
  pthread_attr_destroy(&attributes);
}

START_TEST(points_in_order_make_no_long_branch) {
  try(0);
}
END_TEST

START_TEST(points_that_drive_others_out_in_order_are_counted) {
  try(1e-5);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      points_in_order_make_no_long_branch,
      points_that_drive_others_out_in_order_are_counted, NULL};
  return check_main("search/tree", tests);
}
