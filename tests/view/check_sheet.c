/* SPDX-License-Identifier: MIT */
/* What a sheet says; check_sheet_numbers.c has what it shows. */
#include "golden.h"
#include "sheet_print.h"

/* A kept front, so that better models don't change the golden sheet. */
static bv_front kept_front(void) {
  char path[512];
  const char *root = getenv("ROOT"), *mode = getenv("BV_GOLDEN");
  snprintf(path, sizeof path, "%s/tests/view/golden/front.csv",
           root ? root : ".");
  bv_front front;
  bv_error error;
  if (mode && strcmp(mode, "front") == 0) {
    front = sample_front();
    ck_assert_int_eq(bv_front_write(&front, NULL, path, &error), BV_OK);
    bv_front_free(&front);
  }
  ck_assert_msg(bv_front_read(path, &front, &error) == BV_OK, "%s", error.text);
  return front;
}

/* Takes out the sections that the models make anew from the circuit; what they
 * show is checked by every_number_is_the_rows. */
static void cut_made(bv_buffer *text) {
  char *from = strstr(text->text, "Corners"),
       *to = strstr(text->text, "First on the bench");
  ck_assert(from && to && from < to);
  memmove(from, to, strlen(to) + 1);
  cut(text->text, "<figure>", "</figure>");
  text->length = strlen(text->text);
}

START_TEST(prints_the_golden_sheet) {
  bv_front front = kept_front();
  for (int html = 0; html < 2; html++) {
    bv_buffer out = print(&front, 1, html);
    cut_made(&out);
    golden_check(html ? "sheet.html" : "sheet.md", &out);
    bv_buffer_free(&out);
  }
  bv_front_free(&front);
}
END_TEST

/* A study may return numbers of its own only. */
START_TEST(sections_without_columns_are_named) {
  bv_front front;
  ck_assert_int_eq(bv_front_make(&front, 3, 1, NULL), BV_OK);
  sample_name(&front.column[0], "row", "", BV_ROLE_ID);
  sample_name(&front.column[1], "charge_time", "s", BV_ROLE_RESULT);
  sample_name(&front.column[2], "price", "", BV_ROLE_RESULT);
  for (size_t i = 0; i < 3; i++)
    front.values[i].number = 1;
  for (int html = 0; html < 2; html++) {
    bv_buffer text = print(&front, 0, html);
    check_has(&text, "the charged storage capacitor can kill");
    check_has(&text, "Discharge it through a resistor");
    check_has(&text, "Before touching: supply off and locked");
    check_has(&text, "Local codes and the product");
    check_has(&text, "What the models leave out");
    check_has(&text, "for them: Job, What the design does, Circuit, "
                     "Winding specification,");
    check_has(&text, "Corners, Charge, First and last cycles, Why this "
                     "design.");
    check_lacks(&text, "nan");
    if (!html)
      check_lacks(&text, "{");
    bv_buffer_free(&text);
  }
  bv_front_free(&front);
}
END_TEST

START_TEST(every_sheet_has_its_cautions) {
  bv_front front = sample_front();
  for (size_t i = 0; i < SAMPLE_ROWS; i++)
    for (int html = 0; html < 2; html++) {
      bv_buffer text = print(&front, i, html);
      check_has(&text, "High voltage: the charged storage capacitor can kill");
      check_has(&text, "discharge through a resistor on an insulated stick");
      check_has(&text, "Never rely on it alone");
      check_has(&text, "Local codes and the product");
      bv_buffer_free(&text);
    }
  bv_front_free(&front);
}
END_TEST

START_TEST(a_supply_of_one_voltage_is_told_once) {
  bv_front front = sample_front();
  double supply =
      bv_front_value(&front, 0, bv_front_find(&front, "supply_voltage"))
          ->number;
  bv_buffer range = print(&front, 0, false);
  check_has(&range, ", from ");
  set(&front, 0, "supply_voltage_min", supply);
  set(&front, 0, "supply_voltage_max", supply);
  bv_buffer one = print(&front, 0, false);
  char line[80];
  snprintf(line, sizeof line, "| Supply | %g V |", supply);
  check_has(&one, line);
  snprintf(line, sizeof line, " at %g V |", supply);
  check_has(&one, line);
  check_lacks(&one, " V, from ");
  bv_buffer_free(&range);
  bv_buffer_free(&one);
  bv_front_free(&front);
}
END_TEST

static void replace(char **text, const char *by) {
  free(*text);
  *text = strdup(by);
}

/* Names from files are shown as they are and do nothing. */
START_TEST(hostile_names_stay_texts) {
  static const char hostile[] =
      "</td><script>alert(1)</script>|[x](javascript:1)`*_#&\"'\n\x01";
  bv_front front = sample_front();
  replace(&front.origin.title, hostile);
  replace(&front.origin.study, hostile);
  replace(&bv_front_value(&front, 1, bv_front_find(&front, "material"))->text,
          hostile);
  replace(&sample_column(&front, "hot_spot_temperature")->name,
          "hot\" onload=<svg>");
  bv_buffer page = print(&front, 1, true), text = print(&front, 1, false);
  check_lacks(&page, "<script");
  check_lacks(&page, "\x01");
  check_lacks(&page, "onload=<");
  check_has(&page, "&lt;/td&gt;&lt;script&gt;alert(1)&lt;/script&gt;");
  check_lacks(&text, "<script");
  check_lacks(&text, "</td>");
  check_lacks(&text, "|[x]");
  check_lacks(&text, " [x](");
  check_has(&text, "\\|\\[x\\](javascript:1)\\`\\*\\_\\#&amp;");
  bv_buffer_free(&page);
  bv_buffer_free(&text);
  bv_front_free(&front);
}
END_TEST

/* Of rows at distances 0.001, 0.4 and 1 the first is the same trade. */
START_TEST(near_rows_are_others_that_trade_differently) {
  static const double times[] = {1.0, 1.001, 1.4, 2.0};
  bv_front front = sample_front();
  for (size_t i = 0; i < SAMPLE_ROWS; i++) {
    set(&front, i, "charge_time", times[i]);
    set(&front, i, "loss_energy", 3);
  }
  bv_buffer text = print(&front, 0, false);
  check_lacks(&text, "| row 2 |");
  const char *third =
      strstr(text.text, "| row 3 | charge\\_time 1.4 s (+40.0 %)");
  const char *fourth =
      strstr(text.text, "| row 4 | charge\\_time 2 s (+100 %)");
  ck_assert(third && fourth && third < fourth);
  bv_buffer_free(&text);
  for (size_t i = 0; i < SAMPLE_ROWS; i++)
    set(&front, i, "charge_time", 1);
  text = print(&front, 0, false);
  check_lacks(&text, "Near on the front");
  bv_buffer_free(&text);
  bv_front_free(&front);
}
END_TEST

START_TEST(a_design_near_the_front_says_what_it_misses) {
  static const char *const told[][2] = {{"near_limit", "hot_spot_temperature"},
                                        {"near_allowed", "at most 60 degC"},
                                        {"near_needed", "at most 61 degC"}};
  bv_front front = sample_front();
  ck_assert_int_eq(bv_front_insert(&front, 1, 3, NULL), BV_OK);
  for (size_t i = 0; i < 3; i++) {
    sample_name(&front.column[i + 1], told[i][0], "", BV_ROLE_RESULT);
    front.column[i + 1].is_text = true;
    bv_front_value(&front, 1, i + 1)->text = strdup(told[i][1]);
  }
  size_t heat = bv_front_find(&front, "hot_spot_temperature");
  front.column[heat].limit_max = bv_front_value(&front, 1, heat)->number - 1;
  for (int html = 0; html < 2; html++) {
    bv_buffer text = print(&front, 1, html);
    check_has(&text, "Design 2 near the front.");
    check_has(&text, html ? "allow this design: hot_spot_temperature has to be "
                            "at most 60 °C, here at most 61 °C."
                          : "allow this design: hot\\_spot\\_temperature has "
                            "to be at most 60 °C, here at most 61 °C.");
    check_has(&text, ", missed");
    check_lacks(&text, "Near on the front");
    bv_buffer_free(&text);
  }
  front.column[heat].limit_max += 1;
  bv_buffer met = print(&front, 1, false);
  check_lacks(&met, ", missed");
  check_has(&met, ", binds");
  bv_buffer_free(&met);
  bv_front_free(&front);
}
END_TEST

START_TEST(a_circuit_that_fails_is_told) {
  bv_front front = sample_front();
  size_t column = bv_front_find(&front, "clamp_voltage");
  bv_front_value(&front, 1, column)->number = 1;
  bv_buffer text = print(&front, 1, false);
  check_has(&text, "clamp\\_below\\_reflected");
  check_has(&text, "| nominal | the reflected voltage exceeds the clamp");
  bv_buffer_free(&text);
  bv_front_free(&front);
}
END_TEST

/* A front of a study without such a limit may hold what can't be wound or does
 * not keep up. */
START_TEST(what_does_not_fit_is_cautioned) {
  static const char *const told[][2] = {
      {"charge_duty", "does not keep up with the shots"},
      {"window_fill", "of the window: they"}};
  for (size_t i = 0; i < 2; i++)
    for (int beyond = 0; beyond < 2; beyond++) {
      bv_front front = sample_front();
      size_t column = bv_front_find(&front, told[i][0]);
      bv_front_value(&front, 1, column)->number = beyond ? 1.01 : 0.99;
      bv_buffer text = print(&front, 1, true);
      if (beyond)
        check_has(&text, told[i][1]);
      else
        check_lacks(&text, told[i][1]);
      bv_buffer_free(&text);
      bv_front_free(&front);
    }
}
END_TEST

START_TEST(the_page_forbids_everything_but_its_style) {
  bv_front front = sample_front();
  bv_buffer page = print(&front, 1, true);
  check_has(&page, "content=\"default-src 'none'; style-src 'sha256-");
  check_lacks(&page, "unsafe");
  check_lacks(&page, " style=");
  check_lacks(&page, "http:");
  check_lacks(&page, "https:");
  check_lacks(&page, "url(");
  check_lacks(&page, "@import");
  check_lacks(&page, "<script");
  check_lacks(&page, "<link");
  ck_assert_uint_lt(page.length, 300000);
  bv_buffer_free(&page);
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {prints_the_golden_sheet,
                                sections_without_columns_are_named,
                                every_sheet_has_its_cautions,
                                a_supply_of_one_voltage_is_told_once,
                                hostile_names_stay_texts,
                                near_rows_are_others_that_trade_differently,
                                a_design_near_the_front_says_what_it_misses,
                                a_circuit_that_fails_is_told,
                                what_does_not_fit_is_cautioned,
                                the_page_forbids_everything_but_its_style,
                                NULL};
  return check_main("sheet", tests);
}
