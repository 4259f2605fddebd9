/* SPDX-License-Identifier: MIT */
/* A diary that was cut or damaged anywhere: the sweep goes on to the bytes of a
 * run that was never cut, or it is refused; never anything else. */
#include <limits.h>
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "check_main.h"
#include "run/sweep.h"
#include "temporary.h"

static const char script[] =
    "local space = require 'brimvolt.space'\n"
    "return { variables = { a = space.real(0, 1), b = space.real(0, 1) },\n"
    "  evaluate = function(x, case)\n"
    "    return { f = x.a * case.p + x.b ^ 2, g = (1 - x.a) ^ 2 + x.b }\n"
    "  end, minimise = { 'f', 'g' }, cases = { { name = 'one', p = 2 } } }\n";

enum { EVALUATIONS = 400, KEPT = 6000 /* bytes of diary before the kill */ };

static char *folder, *study_path, *front_path, *diary_path;
static bv_buffer uncut; /* the front of a run that wasn't cut */

static bv_study *open_study(void) {
  static char library[PATH_MAX];
  bv_error error;
  bv_study *study;
  bv_study_options options = bv_study_defaults();
  ck_assert_ptr_nonnull(realpath("lib", library));
  options.library = library;
  ck_assert_msg(bv_study_open(study_path, &options, &study, &error) == BV_OK,
                "%s", error.text);
  return study;
}

static bv_status sweep(bv_study *study, bv_error *error) {
  bv_sweep_options options = bv_sweep_defaults();
  options.folder = folder;
  options.checkpoint = 0;
  options.drive.quiet = true;
  options.drive.jobs = 1;
  options.drive.search.evaluations = EVALUATIONS;
  return bv_sweep(study, &options, error);
}

static off_t size_of(const char *path) {
  struct stat about;
  return stat(path, &about) == 0 ? about.st_size : 0;
}

/* Begins the sweep in a child, which is killed when its diary is long enough;
 * gives the diary. */
static bv_buffer cut_diary(bv_study *study) {
  bv_error error;
  bv_buffer diary;
  pid_t pid = fork();
  if (pid == 0) {
    (void) sweep(study, &error);
    _exit(0);
  }
  while (size_of(diary_path) < KEPT && kill(pid, 0) == 0 &&
         waitpid(pid, NULL, WNOHANG) == 0)
    usleep(200);
  kill(pid, SIGKILL);
  waitpid(pid, NULL, 0);
  ck_assert(bv_file_read(diary_path, 1 << 24, &diary, &error) == BV_OK);
  ck_assert_uint_ge(diary.length, KEPT);
  return diary;
}

static void forget(void) {
  char command[512];
  snprintf(command, sizeof command,
           "rm -rf '%s/cases' '%s/slices' '%s/manifest'", folder, folder,
           folder);
  ck_assert_int_eq(system(command), 0);
}

/* The diary's last two lines begin here. */
static size_t last_two(const bv_buffer *diary) {
  size_t at = diary->length - 1;
  for (int lines = 0; at > 0 && lines < 2; at--)
    lines += diary->text[at - 1] == '\n';
  return at;
}

/* Goes on from a diary; true where it was refused. */
static bool is_refused(bv_study *study, const char *diary, size_t length) {
  bv_error error;
  char entries[512];
  bv_buffer front;
  snprintf(entries, sizeof entries, "%s/slices/0-of-1.entries", folder);
  unlink(entries);
  unlink(front_path);
  ck_assert(bv_file_replace(diary_path, diary, length, &error) == BV_OK);
  bv_status status = sweep(study, &error);
  if (status == BV_BAD_DATA)
    return true;
  ck_assert_msg(status == BV_OK, "%s", error.text);
  ck_assert(bv_file_read(front_path, 1 << 24, &front, &error) == BV_OK);
  ck_assert_uint_eq(front.length, uncut.length);
  ck_assert_mem_eq(front.text, uncut.text, uncut.length);
  bv_buffer_free(&front);
  return false;
}

static bv_study *enter(bv_buffer *diary) {
  bv_error error;
  folder = temporary_make();
  study_path = temporary_write(folder, "s.lua", script, strlen(script));
  front_path = temporary_path(folder, "cases/one.csv");
  diary_path = temporary_path(folder, "slices/0-of-1.diary");
  bv_study *study = open_study();
  ck_assert_msg(sweep(study, &error) == BV_OK, "%s", error.text);
  ck_assert(bv_file_read(front_path, 1 << 24, &uncut, &error) == BV_OK);
  forget();
  *diary = cut_diary(study);
  return study;
}

static void leave(bv_study *study, bv_buffer *diary) {
  bv_study_close(study);
  bv_buffer_free(diary);
  bv_buffer_free(&uncut);
  free(study_path);
  free(front_path);
  free(diary_path);
  temporary_remove(folder);
}

/* Every place is tried where BV_SOAK is set, which takes a quarter of an hour.
 */
static bool is_soak(void) {
  return getenv("BV_SOAK") != NULL;
}

static size_t stride(size_t places) {
  return is_soak() || places < 25 ? 1 : places / 25;
}

/* What is told of a soak. */
static void tell(const char *what, size_t places, size_t refused) {
  if (is_soak())
    printf("%s at each of %zu places: %zu refused, %zu gone on with to the "
           "same bytes\n",
           what, places, refused, places - refused);
}

START_TEST(a_diary_cut_in_its_last_lines_is_gone_on_with) {
  bv_buffer diary;
  bv_study *study = enter(&diary);
  size_t first = last_two(&diary), step = stride(diary.length - first);
  for (size_t cut = first; cut <= diary.length; cut += step)
    ck_assert(!is_refused(study, diary.text, cut));
  tell("diary cut", diary.length - first + 1, 0);
  leave(study, &diary);
}
END_TEST

START_TEST(a_flipped_byte_of_a_diary_is_never_believed) {
  bv_buffer diary;
  bv_study *study = enter(&diary);
  size_t refused = 0, gone_on = 0, step = stride(diary.length);
  for (size_t at = 0; at < diary.length; at += step) {
    diary.text[at] = (char) ~diary.text[at];
    if (is_refused(study, diary.text, diary.length))
      refused++;
    else
      gone_on++;
    diary.text[at] = (char) ~diary.text[at];
  }
  ck_assert_uint_gt(refused, 0);
  ck_assert_uint_gt(gone_on, 0);
  tell("byte of a diary flipped", diary.length, refused);
  leave(study, &diary);
}
END_TEST

int main(void) {
  const TTest *const tests[] = {a_diary_cut_in_its_last_lines_is_gone_on_with,
                                a_flipped_byte_of_a_diary_is_never_believed,
                                NULL};
  return check_main_within("damage", tests, is_soak() ? 3600 : 120);
}
