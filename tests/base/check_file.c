/* SPDX-License-Identifier: MIT */
#include "base/file.h"

#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "check_main.h"

static char folder[] = "/tmp/brimvolt-file-XXXXXX";

static const char *in_folder(const char *name) {
  static char path[256];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  return path;
}

static void make_folder(void) {
  strcpy(folder + strlen(folder) - 6, "XXXXXX");
  ck_assert_ptr_nonnull(mkdtemp(folder));
}

START_TEST(a_file_is_replaced_whole) {
  make_folder();
  bv_error error;
  bv_buffer buffer;
  const char *path = in_folder("front.csv");
  ck_assert_int_eq(bv_file_replace(path, "old", 3, &error), BV_OK);
  ck_assert_int_eq(bv_file_replace(path, "newer\0x", 7, &error), BV_OK);
  ck_assert_int_eq(bv_file_read(path, 100, &buffer, &error), BV_OK);
  ck_assert_uint_eq(buffer.length, 7);
  ck_assert_mem_eq(buffer.text, "newer\0x", 8);
  bv_buffer_free(&buffer);
  unlink(path);
  ck_assert_int_eq(rmdir(folder), 0); /* no temporary file was left */
}
END_TEST

static void assert_holds(const char *path, const char *text) {
  bv_buffer buffer;
  ck_assert_int_eq(bv_file_read(path, 100, &buffer, NULL), BV_OK);
  ck_assert_str_eq(buffer.text, text);
  bv_buffer_free(&buffer);
}

START_TEST(a_staged_file_takes_its_place_only_when_committed) {
  make_folder();
  bv_staged staged;
  const char *path = in_folder("front.csv");
  ck_assert_int_eq(bv_file_replace(path, "old", 3, NULL), BV_OK);
  ck_assert_int_eq(bv_file_stage(path, "new", 3, &staged, NULL), BV_OK);
  assert_holds(path, "old");
  bv_file_discard(&staged);
  ck_assert_int_eq(bv_file_stage(path, "newer", 5, &staged, NULL), BV_OK);
  ck_assert_uint_eq(bv_file_staged(staged.temporary), strlen(path));
  ck_assert_int_eq(bv_file_commit(&staged, NULL), BV_OK);
  assert_holds(path, "newer");
  unlink(path);
  ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

START_TEST(only_a_staged_file_counts_as_one) {
  static const char *const others[] = {
      "",      "front.csv",    "front.csv.backup",     "front.csv.part",
      ".part", ".abcdef.part", "front.csvxabcdef.part"};
  for (size_t i = 0; i < sizeof others / sizeof *others; i++)
    ck_assert_uint_eq(bv_file_staged(others[i]), 0);
  ck_assert_uint_eq(bv_file_staged("front.csv.a1B2c3.part"), 9);
}
END_TEST

START_TEST(a_pipe_is_not_replaced_by_a_file) {
  make_folder();
  bv_error error;
  const char *path = in_folder("pipe");
  ck_assert_int_eq(mkfifo(path, 0600), 0);
  ck_assert_int_eq(bv_file_replace(path, "a", 1, &error), BV_CANNOT_CREATE);
  ck_assert_ptr_nonnull(strstr(error.text, "expected a file"));
  unlink(path);
  ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

static void assert_mode(const char *path, mode_t mode) {
  struct stat about;
  ck_assert_int_eq(lstat(path, &about), 0);
  ck_assert_int_eq(about.st_mode & 07777, mode);
}

START_TEST(a_file_keeps_its_mode_and_its_link) {
  make_folder();
  char file[300], link_path[300];
  strcpy(file, in_folder("real.csv"));
  strcpy(link_path, in_folder("link.csv"));
  mode_t mask = umask(027);
  ck_assert_int_eq(bv_file_replace(file, "1", 1, NULL), BV_OK);
  umask(mask);
  assert_mode(file, 0640);
  ck_assert_int_eq(chmod(file, 0604), 0);
  ck_assert_int_eq(symlink("real.csv", link_path), 0);
  ck_assert_int_eq(bv_file_replace(link_path, "22", 2, NULL), BV_OK);
  assert_mode(file, 0604);
  assert_holds(file, "22");
  struct stat about;
  ck_assert_int_eq(lstat(link_path, &about), 0);
  ck_assert(S_ISLNK(about.st_mode));
  unlink(file);
  ck_assert_int_eq(bv_file_replace(link_path, "3", 1, NULL), BV_CANNOT_CREATE);
  unlink(link_path);
  ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

START_TEST(what_cannot_be_written_tells_why) {
  bv_error error;
  ck_assert_int_eq(bv_file_replace("/dev/null/x", "a", 1, &error),
                   BV_CANNOT_CREATE);
  ck_assert_ptr_nonnull(strstr(error.text, "/dev/null/x"));
  ck_assert_int_eq(bv_folder_make("/dev/null/x", &error), BV_CANNOT_CREATE);
  ck_assert_int_eq(bv_folder_make("", &error), BV_CANNOT_CREATE);
  ck_assert_ptr_nonnull(strstr(error.text, "found nothing"));
}
END_TEST

START_TEST(what_is_no_file_is_refused) {
  make_folder();
  bv_error error;
  bv_buffer buffer;
  ck_assert_int_eq(bv_file_read(in_folder("none"), 9, &buffer, &error),
                   BV_NO_INPUT);
  ck_assert_int_eq(bv_file_read(folder, 9, &buffer, &error), BV_NO_INPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "a folder"));
  const char *pipe_path = in_folder("pipe");
  ck_assert_int_eq(mkfifo(pipe_path, 0600), 0);
  ck_assert_int_eq(bv_file_read(pipe_path, 9, &buffer, &error), BV_NO_INPUT);
  unlink(pipe_path);
  const char *long_path = in_folder("long");
  ck_assert_int_eq(bv_file_replace(long_path, "0123456789", 10, &error), BV_OK);
  ck_assert_int_eq(bv_file_read(long_path, 9, &buffer, &error), BV_BAD_DATA);
  ck_assert_ptr_null(buffer.text);
  unlink(long_path);
  rmdir(folder);
}
END_TEST

START_TEST(folders_are_made_with_those_above) {
  make_folder();
  bv_error error;
  ck_assert_int_eq(bv_folder_make(in_folder("a/b/c"), &error), BV_OK);
  ck_assert_int_eq(bv_folder_make(in_folder("a/b/c"), &error), BV_OK);
  struct stat about;
  ck_assert_int_eq(stat(in_folder("a/b/c"), &about), 0);
  ck_assert(S_ISDIR(about.st_mode));
  rmdir(in_folder("a/b/c"));
  rmdir(in_folder("a/b"));
  rmdir(in_folder("a"));
  rmdir(folder);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {
      a_file_is_replaced_whole,
      a_staged_file_takes_its_place_only_when_committed,
      only_a_staged_file_counts_as_one,
      a_pipe_is_not_replaced_by_a_file,
      a_file_keeps_its_mode_and_its_link,
      what_cannot_be_written_tells_why,
      what_is_no_file_is_refused,
      folders_are_made_with_those_above,
      NULL};
  return check_main("base/file", tests);
}
