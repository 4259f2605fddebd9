/* SPDX-License-Identifier: MIT */
/* Golden texts: what a view makes is compared byte by byte with a kept file in
 * tests/view/golden. With BV_GOLDEN=write in the environment the file is
 * written instead: look at the difference before it is committed. */
#ifndef BV_TESTS_VIEW_GOLDEN_H
#define BV_TESTS_VIEW_GOLDEN_H

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"

static inline void golden_check(const char *name, const bv_buffer *made) {
  char path[512];
  const char *root = getenv("ROOT"), *mode = getenv("BV_GOLDEN");
  snprintf(path, sizeof path, "%s/tests/view/golden/%s", root ? root : ".",
           name);
  bv_error error;
  ck_assert(!made->failed);
  if (mode && strcmp(mode, "write") == 0)
    ck_assert_int_eq(bv_file_replace(path, made->text, made->length, &error),
                     BV_OK);
  bv_buffer kept = {0};
  bv_status status = bv_file_read(path, (size_t) 16 << 20, &kept, &error);
  ck_assert_msg(status == BV_OK, "%s", error.text);
  size_t same = 0;
  while (same < kept.length && same < made->length &&
         kept.text[same] == made->text[same])
    same++;
  ck_assert_msg(same == kept.length && same == made->length,
                "%s differs at byte %zu: kept \"%.60s\", made \"%.60s\"", name,
                same, kept.text + same, made->text + same);
  bv_buffer_free(&kept);
}

#endif
