/* SPDX-License-Identifier: MIT */
#include "fuzz/made_front.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[] = "/tmp/brimvolt-fuzz-XXXXXX";
static char csv_path[64], schema_path[80];

static void remove_folder(void) {
  unlink(csv_path);
  unlink(schema_path);
  rmdir(folder);
}

static void make_folder(void) {
  if (*csv_path)
    return;
  if (!mkdtemp(folder) || atexit(remove_folder) != 0)
    abort();
  snprintf(csv_path, sizeof csv_path, "%s/f.csv", folder);
  snprintf(schema_path, sizeof schema_path, "%s/f.schema.json", folder);
}

static void put(const char *path, const void *bytes, size_t length) {
  FILE *file = fopen(path, "wb");
  if (!file || fwrite(bytes, 1, length, file) != length || fclose(file))
    abort();
}

bv_status made_front_read(const uint8_t *bytes, size_t length,
                          bv_front *front) {
  const uint8_t *mark = memmem(bytes, length, "\1\2", 2);
  size_t cut = mark ? (size_t) (mark - bytes) : length;
  make_folder();
  put(csv_path, bytes, cut);
  unlink(schema_path);
  if (mark)
    put(schema_path, mark + 2, length - cut - 2);
  return bv_front_read(csv_path, front, NULL);
}

bv_status made_front_again(const bv_buffer *csv, bv_front *front) {
  put(csv_path, csv->text, csv->length);
  return bv_front_read(csv_path, front, NULL);
}
