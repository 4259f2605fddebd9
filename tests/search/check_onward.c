/* SPDX-License-Identifier: MIT */
/* What the front has left behind, and going on in the direction away from it.
 */
#include "check_main.h"
#include "search/plan.h"

enum { DRIVEN = 3 * BV_OUTDONE + 7 };

static const bv_variable two[] = {{.name = "x", .lo = -1, .hi = 1},
                                  {.name = "y", .lo = 0, .hi = 2}};
static const bv_problem problem = {.space = {two, 2}, .objectives = 2};
static const bv_yardstick measures = {.range = {1, 1}, .reference = {9, 9}};

static bv_search *new_search(const bv_problem *p) {
  bv_search_options options = bv_search_defaults();
  bv_search *s;
  ck_assert_int_eq(bv_search_new(p, &options, &s, NULL), BV_OK);
  return s;
}

static void offer(bv_search *s, double x, double y, double f, double g) {
  bv_archive_offer(&s->front, (double[]){x, y}, (double[]){f, g, f}, NULL,
                   &measures);
  bv_outdone_add(&s->outdone, &s->front);
}

START_TEST(the_last_that_were_driven_off_are_kept) {
  bv_search *s = new_search(&problem);
  offer(s, 0, 0, 1, 1);
  offer(s, 1, 1, 2, 2); /* beaten: drives none off */
  offer(s, 1, 1, 2, 0.5);
  ck_assert_uint_eq(bv_outdone_held(&s->outdone), 0);
  offer(s, 0.5, 1, 0.9, 0.4); /* drives both off */
  ck_assert_uint_eq(bv_outdone_held(&s->outdone), 2);
  for (int i = 1; i <= DRIVEN; i++)
    offer(s, (double) i / DRIVEN, 0, 0.8 - 1e-4 * i, 0.3);
  ck_assert_uint_eq(bv_outdone_held(&s->outdone), BV_OUTDONE);
  double least = 1;
  for (size_t i = 0; i < BV_OUTDONE; i++)
    least = fmin(least, bv_outdone_units(&s->outdone, i)[0]);
  /* The last one of all still leads. */
  check_close(least, (1 + (double) (DRIVEN - BV_OUTDONE) / DRIVEN) / 2, 1e-12);
  bv_search_free(s);
}
END_TEST

/* A step of any length on the line from what was left behind, cut at the ends
 * of the ranges. */
static void check_step(const double *x) {
  double ux = (x[0] + 1) / 2, uy = x[1] / 2;
  double length = (0.6 - uy) / 0.2;
  ck_assert_double_ge(uy, 0);
  ck_assert(uy == 0 || length > 0);
  check_close(ux, uy > 0 ? fmin(0.5 + 0.1 * length, 1) : ux, 1e-9);
  ck_assert_double_gt(ux, 0.5);
}

START_TEST(steps_lead_away_from_what_was_left_behind) {
  bv_search *s = new_search(&problem);
  bv_cell cell = {.most = BV_LIST_SIZE};
  bv_random random = bv_random_keyed(2, 0, 0);
  offer(s, -0.2, 1.6, 1, 1); /* in units 0.4, 0.8 */
  offer(s, 0, 1.2, 0.5, 0.5);
  ck_assert(bv_operator_onward.plan(s, &random, &cell));
  ck_assert_uint_eq(cell.length, (size_t) 2 * BV_LIST_SIZE);
  for (size_t i = 0; i < cell.length; i += 2)
    check_step(cell.data + i);
  bv_cell_free(&cell);
  bv_search_free(s);
}
END_TEST

static bv_turn turn_with(size_t objectives, int driven_off) {
  bv_problem p = problem;
  p.objectives = objectives;
  bv_search *s = new_search(&p);
  s->sampled = s->sample_rows;
  s->state.cells = s->sample_cells;
  for (int i = 0; i <= driven_off; i++)
    offer(s, 0, 1.0 / (1 + i), 1.0 / (1 + i), 1.0 / (1 + i));
  bv_turn turn = bv_operator_onward.turn(s);
  bv_search_free(s);
  return turn;
}

START_TEST(it_waits_for_enough_left_behind) {
  ck_assert_int_eq(turn_with(2, 49), BV_TURN_NONE);
  ck_assert_int_eq(turn_with(2, 50), BV_TURN_SHARE);
  ck_assert_int_eq(turn_with(1, 50), BV_TURN_SHARE);
  ck_assert_int_eq(turn_with(3, 50), BV_TURN_NONE);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      the_last_that_were_driven_off_are_kept,
      steps_lead_away_from_what_was_left_behind,
      it_waits_for_enough_left_behind,
      NULL,
  };
  return check_main("search/onward", tests);
}
