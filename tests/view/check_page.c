/* SPDX-License-Identifier: MIT */
#include "view/page.h"

#include <cjson/cJSON.h>

#include "view/html.h"
#include "view/sample_front.h"

static const char evil[] = "</script><script>alert(1)</script>{{data}}<!--";

static bv_buffer make_page(const bv_front *front) {
  bv_buffer html = {0};
  bv_error error = {0};
  ck_assert_msg(bv_view_page(front, NULL, &html, &error) == BV_OK, "%s",
                error.text);
  return html;
}

/* The text between two marks, freed by the caller. */
static char *between(const char *text, const char *open, const char *close) {
  const char *start = strstr(text, open);
  ck_assert_ptr_nonnull(start);
  start += strlen(open);
  const char *end = strstr(start, close);
  ck_assert_ptr_nonnull(end);
  return strndup(start, (size_t) (end - start));
}

static cJSON *data_of(const bv_buffer *html) {
  char *json = between(html->text, "id=\"front\">", "</script>");
  cJSON *data = cJSON_Parse(json);
  ck_assert_ptr_nonnull(data);
  free(json);
  return data;
}

static size_t count_of(const char *text, const char *wanted) {
  size_t count = 0;
  for (; (text = strstr(text, wanted)); text++)
    count++;
  return count;
}

static double value_of(const cJSON *column, int row) {
  const cJSON *values = cJSON_GetObjectItem(column, "values");
  const cJSON *item = values ? cJSON_GetArrayItem(values, row)
                             : cJSON_GetObjectItem(column, "same");
  return cJSON_IsNull(item) ? (double) NAN : item->valuedouble;
}

START_TEST(the_data_are_those_of_the_front) {
  bv_front front = sample_front();
  bv_front_value(&front, 1, 7)->number = -HUGE_VAL;
  bv_buffer html = make_page(&front);
  cJSON *data = data_of(&html);
  const cJSON *columns = cJSON_GetObjectItem(data, "columns");
  ck_assert_int_eq(cJSON_GetArraySize(columns), (int) front.columns);
  for (int c = 0; c < (int) front.columns; c++) {
    const cJSON *column = cJSON_GetArrayItem(columns, c);
    ck_assert_str_eq(cJSON_GetObjectItem(column, "name")->valuestring,
                     front.column[c].name);
    for (int r = 0; r < 4 && !front.column[c].is_text; r++) {
      double number = bv_front_value(&front, (size_t) r, (size_t) c)->number;
      double found = value_of(column, r);
      ck_assert(isnan(number) ? isnan(found) : number == found);
    }
  }
  const cJSON *volume = cJSON_GetArrayItem(columns, 5);
  ck_assert_str_eq(cJSON_GetObjectItem(volume, "header")->valuestring,
                   "core_volume_m3");
  check_close(cJSON_GetObjectItem(volume, "size")->valuedouble, 1e-6, 1e-12);
  const cJSON *heat = cJSON_GetArrayItem(columns, 7);
  ck_assert(cJSON_GetObjectItem(heat, "max")->valuedouble == 110);
  ck_assert(cJSON_IsNull(cJSON_GetObjectItem(heat, "min")));
  ck_assert_ptr_nonnull(
      cJSON_GetObjectItem(cJSON_GetArrayItem(columns, 6), "same"));
  ck_assert_int_eq(cJSON_GetArraySize(cJSON_GetObjectItem(data, "knees")), 2);
  cJSON_Delete(data);
  bv_buffer_free(&html);
  bv_front_free(&front);
}
END_TEST

START_TEST(hostile_texts_stay_texts) {
  bv_front front = sample_front();
  bv_buffer plain = make_page(&front);
  front.origin.title = strdup(evil);
  front.origin.study = strdup(evil);
  front.column[2].meaning = strdup(evil);
  free(front.column[8].name);
  front.column[8].name = strdup(evil);
  free(bv_front_value(&front, 0, 1)->text);
  bv_front_value(&front, 0, 1)->text = strdup(evil);
  bv_buffer html = make_page(&front);
  static const char *const marks[] = {"<script", "</script", "<!--", "<title"};
  for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
    ck_assert_msg(count_of(html.text, marks[i]) ==
                      count_of(plain.text, marks[i]),
                  "%s", marks[i]);
  cJSON *data = data_of(&html);
  const cJSON *core =
      cJSON_GetArrayItem(cJSON_GetObjectItem(data, "columns"), 1);
  ck_assert_str_eq(
      cJSON_GetArrayItem(cJSON_GetObjectItem(core, "values"), 0)->valuestring,
      evil);
  cJSON_Delete(data);
  bv_buffer_free(&html);
  bv_buffer_free(&plain);
  bv_front_free(&front);
}
END_TEST

START_TEST(the_policy_allows_this_script_and_style_alone) {
  bv_front front = sample_front();
  bv_buffer html = make_page(&front), expected = {0};
  char *policy =
      between(html.text, "Content-Security-Policy\" content=\"", "\"");
  char *script = between(html.text, "<script>", "</script>");
  char *style = between(html.text, "<style>", "</style>");
  bv_buffer_print(&expected, "default-src 'none'; script-src ");
  bv_html_hash(&expected, script);
  bv_buffer_print(&expected, "; style-src ");
  bv_html_hash(&expected, style);
  bv_buffer_print(&expected, "; base-uri 'none'; form-action 'none'");
  ck_assert_str_eq(policy, expected.text);
  ck_assert_uint_lt(strlen(script), 24000);
  ck_assert_uint_gt(strlen(script), 10000);
  ck_assert_ptr_null(strstr(html.text, "http:"));
  ck_assert_ptr_null(strstr(html.text, "https:"));
  free(policy);
  free(script);
  free(style);
  bv_buffer_free(&expected);
  bv_buffer_free(&html);
  bv_front_free(&front);
}
END_TEST

START_TEST(fronts_without_rows_make_a_page_too) {
  bv_front front;
  ck_assert_int_eq(bv_front_make(&front, 1, 0, NULL), BV_OK);
  sample_column(&front, 0, "row", "", BV_ROLE_ID);
  bv_buffer html = make_page(&front);
  cJSON *data = data_of(&html);
  ck_assert(cJSON_GetObjectItem(data, "count")->valuedouble == 0);
  cJSON_Delete(data);
  bv_buffer_free(&html);
  bv_front_free(&front);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {the_data_are_those_of_the_front,
                                hostile_texts_stay_texts,
                                the_policy_allows_this_script_and_style_alone,
                                fronts_without_rows_make_a_page_too, NULL};
  return check_main("view/page", tests);
}
