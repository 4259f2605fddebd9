/* SPDX-License-Identifier: MIT */
/* Hypervolumes, test functions and front ends as published (area 10). */
#include "base/random.h"
#include "published/published.h"
#include "search/hypervolume.h"
#include "search/problems.h"

/* Points "(a,b)" of a text, up to "ref"; the numbers of the reference after it.
 */
static size_t read_points(const char *inputs, double *points,
                          double *reference) {
  const char *end = strstr(inputs, "ref");
  size_t count = 0;
  ck_assert_ptr_nonnull(end);
  for (const char *at = inputs; (at = strchr(at, '(')) && at < end; at++)
    if (sscanf(at, "(%lf,%lf)", &points[2 * count], &points[2 * count + 1]) ==
        2)
      count++;
  ck_assert_int_eq(sscanf(end, "ref (%lf,%lf)", &reference[0], &reference[1]),
                   2);
  return count;
}

static double staircase(const published_check *check, double *points) {
  size_t n = 0;
  const char *at = strstr(check->inputs, "n = ");
  ck_assert(at && sscanf(at, "n = %zu", &n) == 1 && n > 0 && n <= 16);
  const double reference[] = {(double) n, (double) n};
  for (size_t i = 0; i < n; i++) {
    points[4 * i] = (double) (n - 1 - i);
    points[4 * i + 1] = points[4 * i + 2] = (double) i;
    points[4 * i + 3] = (double) (n - i);
  }
  return bv_hypervolume(points, 2 * n, 2, reference);
}

/* Shapes of the true fronts. */
static double zdt1(double f) {
  return 1 - sqrt(f);
}

static double zdt2(double f) {
  return 1 - f * f;
}

static double zdt3(double f) {
  return 1 - sqrt(f) - f * sin(10 * 3.14159265358979323846 * f);
}

/* n + 1 points of a front with f1 in [0, 1]. */
static double of_samples(double (*shape)(double), size_t n,
                         const double *reference) {
  double *points = malloc(2 * (n + 1) * sizeof *points);
  for (size_t i = 0; i <= n; i++) {
    points[2 * i] = (double) i / (double) n;
    points[2 * i + 1] = shape(points[2 * i]);
  }
  double volume = bv_hypervolume(points, n + 1, 2, reference);
  free(points);
  return volume;
}

static double hypervolume_of_points(const published_check *check) {
  double points[64], reference[2];
  if (published_starts(check->inputs, "staircase"))
    return staircase(check, points);
  size_t count = read_points(check->inputs, points, reference);
  return bv_hypervolume(points, count, 2, reference);
}

static double hypervolume_of_101_points(const published_check *check) {
  double points[2], reference[2];
  read_points(check->inputs, points, reference);
  bool first = published_starts(check->inputs, "ZDT1");
  return of_samples(first ? zdt1 : zdt2, 100, reference);
}

/* The volume that tests and bench divide by; points of the sphere stay below it
 * and come near. */
static double sphere(void) {
  enum { N = 300 };
  double *points = malloc(3 * N * N * sizeof *points);
  const double reference[] = {1.1, 1.1, 1.1}, pi = 3.14159265358979323846;
  for (size_t i = 0; i < N * N; i++) {
    double a = (double) (i / N) / (N - 1) * pi / 2;
    double b = (double) (i % N) / (N - 1) * pi / 2;
    points[3 * i] = cos(a) * cos(b);
    points[3 * i + 1] = cos(a) * sin(b);
    points[3 * i + 2] = sin(a);
  }
  double volume = bv_hypervolume(points, N * N, 3, reference);
  double whole = test_problem_find("DTLZ2")->volume;
  free(points);
  ck_assert_msg(volume < whole && volume > 0.995 * whole, "%g", volume);
  return whole;
}

static double hypervolume_of_front(const published_check *check) {
  double points[2], reference[2];
  read_points(check->inputs, points, reference);
  return of_samples(published_starts(check->inputs, "ZDT1") ? zdt1 : zdt3,
                    1000000, reference);
}

/* The second objective of a problem with every variable at a quarter. */
static double second_objective(const published_check *check) {
  char name[] = "ZDT1";
  name[3] = check->inputs[3];
  const bv_problem *problem = &test_problem_find(name)->problem;
  double x[30], objectives[2];
  for (size_t i = 0; i < 30; i++)
    x[i] = 0.25;
  problem->evaluate(NULL, &(bv_evaluation){.x = x, .objectives = objectives});
  check_close(objectives[0], published_input(check, "f1"), 1e-8);
  return objectives[1];
}

static void evaluate(const char *name, const double *x, double *objectives,
                     double *limits) {
  test_problem_find(name)->problem.evaluate(
      NULL,
      &(bv_evaluation){.x = x, .objectives = objectives, .limits = limits});
}

static double bnh_end(const published_check *check) {
  double f[2], g[2];
  (void) check;
  evaluate("BNH", (double[]){0, 0}, f, g);
  ck_assert(f[0] == 0 && f[1] == 50 && g[0] <= 0 && g[1] <= 0);
  evaluate("BNH", (double[]){5, 3}, f, g);
  ck_assert(f[1] == 4 && g[0] <= 0 && g[1] <= 0);
  return f[0];
}

/* The front as published: x1 = x2 up to 3, then x2 = 3. */
static double bnh_volume(const published_check *check) {
  enum { N = 400000 };
  double *points = malloc(2 * N * sizeof *points), unused[2], reference[2],
         g[2];
  read_points(check->inputs, unused, reference);
  for (size_t i = 0; i < N; i++) {
    double t = 5.0 * (double) i / (N - 1);
    evaluate("BNH", (double[]){t, fmin(t, 3)}, points + 2 * i, g);
  }
  double volume = bv_hypervolume(points, N, 2, reference);
  free(points);
  return volume;
}

/* The largest x2 with both limits met on x1 = -2.5. */
static double srn_end(const published_check *check) {
  double lo = 2.5, hi = 20, f[2], g[2];
  (void) check;
  while (hi - lo > 1e-9) {
    double x[] = {-2.5, (lo + hi) / 2};
    evaluate("SRN", x, f, g);
    if (g[0] <= 0 && g[1] <= 1e-12)
      lo = x[1];
    else
      hi = x[1];
  }
  return lo;
}

static double tnk_diagonal(const published_check *check) {
  double lo = 0.1, hi = 1, f[2], g[2];
  (void) check;
  while (hi - lo > 1e-9) {
    double x[] = {(lo + hi) / 2, (lo + hi) / 2};
    evaluate("TNK", x, f, g);
    if (g[0] > 0)
      lo = x[0];
    else
      hi = x[0];
  }
  return lo;
}

static double beam_deflection(const published_check *check) {
  double f[2], g[4];
  (void) check;
  evaluate("Welded beam", (double[]){1, 1, 10, 5}, f, g);
  return f[1];
}

static double hypervolume_of_whole_front(const published_check *check) {
  return published_starts(check->inputs, "DTLZ2") ? sphere()
                                                  : hypervolume_of_front(check);
}

START_TEST(values_of_area_10) {
  static const published_kind kinds[] = {
      {.quantity = "hypervolume of the whole true front",
       .result = hypervolume_of_whole_front},
      {.quantity = "hypervolume of 101", .result = hypervolume_of_101_points},
      {.quantity = "hypervolume", .result = hypervolume_of_points},
      {.quantity = "objective f2", .result = second_objective},
      {.quantity = "BNH front end", .result = bnh_end},
      {.quantity = "BNH whole-front", .result = bnh_volume},
      {.quantity = "SRN front", .result = srn_end},
      {.quantity = "TNK boundary", .result = tnk_diagonal},
      {.quantity = "welded beam minimum", .result = beam_deflection},
  };
  published_run("10", kinds, sizeof kinds / sizeof *kinds, 17);
}
END_TEST

/* The front of DTLZ2 is a piece of the unit sphere, so that it leaves of the
 * box up to the reference all but a piece of the unit ball. The ball's volume:
 * NIST Digital Library of Mathematical Functions, 5.19.4. */
static double left_by_ball(size_t m) {
  double half = 0.5 * (double) m, pi = 3.14159265358979323846;
  double ball = pow(pi, half) / tgamma(half + 1);
  return pow(1.1, (double) m) - ball * pow(0.5, (double) m);
}

/* Points of the front as the problem gives them, x from chance. */
static double of_sphere_points(const test_problem *t, size_t count) {
  size_t m = t->problem.objectives, n = t->problem.space.count;
  double points[5 * 200], x[BV_SPACE_MOST];
  bv_random random = bv_random_keyed(5, m, 0);
  for (size_t i = 0; i < count; i++) {
    double square = 0, *f = points + i * m;
    for (size_t k = 0; k < n; k++)
      x[k] = k < m - 1 ? bv_random_unit(&random) : 0.5;
    evaluate(t->name, x, f, NULL);
    for (size_t j = 0; j < m; j++)
      square += f[j] * f[j];
    check_close(square, 1, 1e-12);
  }
  return bv_hypervolume(points, count, m, t->reference);
}

START_TEST(spheres_of_four_and_five_objectives) {
  static const char *const names[] = {"DTLZ2-4", "DTLZ2-5"};
  for (size_t i = 0; i < 2; i++) {
    const test_problem *t = test_problem_find(names[i]);
    ck_assert_uint_eq(t->problem.objectives, 4 + i);
    check_close(t->volume, left_by_ball(4 + i), 1e-7);
    double few = of_sphere_points(t, 50), more = of_sphere_points(t, 200);
    ck_assert_msg(0.5 * t->volume < few && few < more && more < t->volume,
                  "%s: %g, %g", t->name, few, more);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {values_of_area_10,
                                spheres_of_four_and_five_objectives, NULL};
  return check_main("published/multiobjective", tests);
}
