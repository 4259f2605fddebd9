/* SPDX-License-Identifier: MIT */
/* Manifests that no sweep has written: sound by their checks, yet refused. */
#include "run/manifest.h"

#include "check_main.h"
#include "temporary.h"

/* Writes a manifest of one or two lines and reads it. */
static bv_status pass_on(const char *key, const char *value, bool begins,
                         bv_manifest *found, bv_error *error) {
  char *folder = temporary_make();
  bv_manifest manifest = {0};
  bv_manifest_add(&manifest, "version", "1");
  if (begins)
    bv_manifest_add(&manifest, "case", "one");
  bv_manifest_add(&manifest, key, "%s", value);
  ck_assert_int_eq(bv_manifest_write(folder, &manifest, error), BV_OK);
  bv_status status = bv_manifest_read(folder, found, error);
  bv_manifest_free(&manifest);
  temporary_remove(folder);
  return status;
}

START_TEST(what_it_says_is_read) {
  bv_manifest found;
  bv_error error = {0};
  ck_assert_int_eq(pass_on("case", "two, or so", true, &found, &error), BV_OK);
  ck_assert_uint_eq(bv_manifest_cases(&found), 2);
  ck_assert_str_eq(bv_manifest_case(&found, 1), "two, or so");
  ck_assert_uint_eq(bv_manifest_slices(&found), 1);
  bv_manifest_free(&found);
}
END_TEST

START_TEST(what_no_sweep_writes_is_damage) {
  static const struct {
    const char *key, *value;
    bool begins; /* with a case */
  } rows[] = {
      {"case", "../one", true}, {"case", ".one", true},
      {"case", "", true},       {"case", "a/b", true},
      {"x", "", true},          {"title", "none", false},
      {"slices", "1", true},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bv_manifest found;
    bv_error error = {0};
    ck_assert_int_eq(
        pass_on(rows[i].key, rows[i].value, rows[i].begins, &found, &error),
        BV_BAD_DATA);
    ck_assert_ptr_nonnull(strstr(error.text, "/manifest: the manifest is "
                                             "damaged"));
    ck_assert_uint_eq(found.count, 0);
  }
}
END_TEST

int main(void) {
  const TTest *const tests[] = {what_it_says_is_read,
                                what_no_sweep_writes_is_damage, NULL};
  return check_main("sweep/manifest", tests);
}
