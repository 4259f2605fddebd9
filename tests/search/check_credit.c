/* SPDX-License-Identifier: MIT */
/* How the budget is shared: by what operators earned, and by whether the front
 * moves. */
#include "search/credit.h"

#include "check_main.h"
#include "search/drift.h"

enum { CELL = 20, CELLS = 1000 };

/* Cells of each operator where what each gains with one never changes. */
static void share_out(bv_credit *credit, const double *least,
                      const double *gain, size_t count, size_t *cells) {
  for (size_t i = 0; i < count; i++)
    cells[i] = 0;
  for (size_t n = 0; n < CELLS; n++) {
    size_t chosen = bv_credit_choose(credit, least, count);
    ck_assert_uint_lt(chosen, count);
    bv_credit_charge(credit, least, count, chosen, CELL);
    bv_credit_learn(credit, chosen, gain[chosen], CELL);
    cells[chosen]++;
  }
}

START_TEST(what_earns_gets_more_and_none_falls_below_its_floor) {
  bv_credit credit = {0};
  const double least[] = {0.05, 0.05, 0.05}, gain[] = {3, 1, 0};
  size_t cells[3];
  share_out(&credit, least, gain, 3, cells);
  ck_assert_msg(cells[0] > 2 * cells[1], "%zu, %zu", cells[0], cells[1]);
  ck_assert_msg(cells[1] > 2 * cells[2], "%zu, %zu", cells[1], cells[2]);
  /* What earns nothing gets its floor and not more, but for its first turn. */
  ck_assert_msg(cells[2] >= 48 && cells[2] <= 60, "%zu", cells[2]);
}
END_TEST

START_TEST(shares_follow_the_rates_of_gain) {
  bv_credit credit = {.gain = {0.3, 0.1}, .spent = {100, 100}};
  const double least[] = {0.1, 0.1};
  bv_credit_charge(&credit, least, 2, 0, 100);
  /* A tenth each, and the rest as three to one. */
  check_close(credit.due[0], 100 * (0.1 + 0.8 * 0.75) - 100, 1e-12);
  check_close(credit.due[1], 100 * (0.1 + 0.8 * 0.25), 1e-12);
}
END_TEST

START_TEST(what_earns_lately_takes_over) {
  bv_credit credit = {0};
  const double least[] = {0.05, 0.05};
  size_t cells[2];
  share_out(&credit, least, (const double[]){1, 0}, 2, cells);
  ck_assert_msg(cells[0] > 900, "%zu", cells[0]);
  share_out(&credit, least, (const double[]){0, 1}, 2, cells);
  ck_assert_msg(cells[1] > 800, "%zu", cells[1]);
}
END_TEST

/* Gains shrink by orders of magnitude in a search: an early one weighs no more
 * than a late one. */
START_TEST(a_gain_counts_by_what_was_gained_lately) {
  bv_credit early = {0}, late = {0};
  for (size_t n = 0; n < 5; n++) {
    bv_credit_learn(&early, 0, 1, CELL);
    bv_credit_learn(&late, 0, 1e-9, CELL);
  }
  check_close(late.gain[0], early.gain[0], 1e-9);
  bv_credit_learn(&early, 0, -1, CELL);
  ck_assert_double_lt(early.gain[0], late.gain[0]);
}
END_TEST

START_TEST(what_was_not_tried_counts_as_the_best) {
  bv_credit credit = {.gain = {0.4, 0.1}, .spent = {100, 100}};
  const double least[] = {0, 0, 0};
  bv_credit_charge(&credit, least, 3, 0, 90);
  /* Rates of 4 : 1 : 4. */
  check_close(credit.due[0], 90 * 4.0 / 9 - 90, 1e-12);
  check_close(credit.due[1], 90 * 1.0 / 9, 1e-12);
  check_close(credit.due[2], 90 * 4.0 / 9, 1e-12);
  ck_assert_uint_eq(bv_credit_choose(&credit, least, 3), 2);
}
END_TEST

START_TEST(squared_rates_share_more_unevenly) {
  bv_credit credit = {.gain = {0.4, 0.1}, .spent = {100, 100}, .squared = true};
  const double least[] = {0, 0, 0};
  bv_credit_charge(&credit, least, 3, 1, 99);
  /* Shares of 16 : 1, and of 16 for what was not tried. */
  check_close(credit.due[0], 99 * 16.0 / 33, 1e-12);
  check_close(credit.due[1], 99 * 1.0 / 33 - 99, 1e-12);
  check_close(credit.due[2], 99 * 16.0 / 33, 1e-12);
}
END_TEST

START_TEST(what_cannot_work_gets_nothing) {
  bv_credit credit = {.gain = {0.4, 0.1}, .spent = {100, 100}};
  const double least[] = {-1, 0.05, -1};
  ck_assert_uint_eq(bv_credit_choose(&credit, least, 3), 1);
  bv_credit_charge(&credit, least, 3, 1, 50);
  ck_assert(credit.due[0] == 0 && credit.due[2] == 0);
  check_close(credit.due[1] + 1, 1, 1e-12);
  ck_assert_uint_eq(bv_credit_choose(&credit, (const double[]){-1, -1, -1}, 3),
                    3);
}
END_TEST

/* An operator that waited long catches up, but not for ever. */
START_TEST(arrears_are_bounded) {
  bv_credit credit = {.gain = {0.1, 0.1}, .spent = {100, 100}};
  const double least[] = {0.05, 0.05};
  for (size_t n = 0; n < 10000; n++)
    bv_credit_charge(&credit, least, 2, 0, CELL);
  check_close(credit.due[1], 1200, 1e-12);
}
END_TEST

/* A front of 100 points, each of them ahead of what it replaced by `lead`
 * ranges for every 500 evaluations. */
static double share_with_lead(double lead) {
  bv_archive front = {.count = 100};
  bv_drift drift = {0};
  for (uint64_t n = 0; n <= 3000; n += 20) {
    front.advance = 100 * lead * (double) n / 500;
    bv_drift_watch(&drift, &front, n);
  }
  return drift.share;
}

START_TEST(a_front_that_moves_is_sought_on) {
  ck_assert_double_eq(share_with_lead(0), 0);
  check_close(share_with_lead(0.025), 0.5, 0.05);
  ck_assert_double_eq(share_with_lead(0.06), 1);
  ck_assert_double_eq(share_with_lead(10), 1);
}
END_TEST

START_TEST(the_way_to_the_first_front_does_not_count) {
  bv_archive front = {.count = 10};
  bv_drift drift = {0};
  front.advance = 100;
  bv_drift_watch(&drift, &front, 500);
  ck_assert_double_eq(drift.share, 0);
  front.advance = 110;
  bv_drift_watch(&drift, &front, 900);
  ck_assert_double_eq(drift.share, 0); /* the stretch isn't over */
  bv_drift_watch(&drift, &front, 1000);
  ck_assert_double_eq(drift.share, 1);
  bv_drift_watch(&drift, &front, 1500);
  ck_assert_double_eq(drift.share, 0); /* it stands still again */
}
END_TEST

static const bv_variable one[] = {{.name = "x", .lo = 0, .hi = 1}};

/* A line of points from (at, at + 1) to (at + 1, at), `count` of them, offered
 * to the archive itself. */
static void offer_line(bv_archive *front, double at, size_t count) {
  const bv_yardstick yardstick = {.range = {1, 1}, .reference = {9, 9}};
  for (size_t i = 0; i < count; i++) {
    double t = ((double) i + 0.5) / (double) count;
    bv_archive_offer(front, &t, (const double[]){at + t, at + 1 - t}, NULL,
                     &yardstick);
  }
}

START_TEST(filling_a_front_is_no_move_and_passing_it_is) {
  const bv_problem problem = {.space = {one, 1}, .objectives = 2};
  bv_archive front;
  bv_drift drift = {0};
  bv_archive_init(&front, &problem);
  offer_line(&front, 5, 20);
  bv_drift_watch(&drift, &front, 500);
  offer_line(&front, 5, 33); /* between those of before: nothing is passed */
  bv_drift_watch(&drift, &front, 1000);
  ck_assert_msg(drift.share < 0.1, "%g", drift.share);
  offer_line(&front, 4, 33); /* a whole range ahead */
  bv_drift_watch(&drift, &front, 1500);
  ck_assert_double_eq(drift.share, 1);
  bv_archive_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      what_earns_gets_more_and_none_falls_below_its_floor,
      shares_follow_the_rates_of_gain,
      what_earns_lately_takes_over,
      a_gain_counts_by_what_was_gained_lately,
      what_was_not_tried_counts_as_the_best,
      squared_rates_share_more_unevenly,
      what_cannot_work_gets_nothing,
      arrears_are_bounded,
      a_front_that_moves_is_sought_on,
      the_way_to_the_first_front_does_not_count,
      filling_a_front_is_no_move_and_passing_it_is,
      NULL};
  return check_main("search/credit", tests);
}
