/* SPDX-License-Identifier: MIT */
/* brimvolt submit: the batch script of a sweep for a Slurm cluster. */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "cli/command.h"
#include "cli/library.h"
#include "cli/open.h"
#include "cli/out.h"
#include "run/outlook.h"
#include "run/pool.h"

typedef struct submit_options {
  const char *output, *partition, *seed_designs;
  uint64_t slices, jobs, minutes, megabytes;
  uint64_t evaluations, seed, stagnation, rows; /* 0: as sweep has it */
} submit_options;

#define AT(member) offsetof(submit_options, member)
static const bv_option options_of_submit[] = {
    {"output", "DIR", "folder of the sweep, seen by every node", BV_OPTION_TEXT,
     AT(output), 0, 0, NULL},
    {"slices", "N", "tasks of the array (8)", BV_OPTION_WHOLE, AT(slices), 1,
     999999, NULL},
    {"jobs", "N", "processors of a task (1)", BV_OPTION_WHOLE, AT(jobs), 1,
     BV_POOL_JOBS_MOST, NULL},
    {"minutes", "N", "time limit of a task (480)", BV_OPTION_WHOLE, AT(minutes),
     1, 1e6, NULL},
    {"memory", "MB", "memory a processor (1024)", BV_OPTION_WHOLE,
     AT(megabytes), 1, 1e9, NULL},
    {"partition", "NAME", "partition of the cluster (its default)",
     BV_OPTION_TEXT, AT(partition), 0, 0, NULL},
    {"evaluations", "N", "as sweep has it", BV_OPTION_WHOLE, AT(evaluations), 1,
     1e12, NULL},
    {"stagnation", "N", "as sweep has it", BV_OPTION_WHOLE, AT(stagnation), 1,
     1e12, NULL},
    {"seed", "N", "as sweep has it", BV_OPTION_WHOLE, AT(seed), 0,
     9007199254740992.0, NULL},
    {"seed-designs", "FRONT.csv", "as sweep has it", BV_OPTION_TEXT,
     AT(seed_designs), 0, 0, NULL},
    {"rows", "N", "as sweep has it", BV_OPTION_WHOLE, AT(rows), 1, 1e9, NULL},
    {NULL, NULL, NULL, BV_OPTION_FLAG, 0, 0, 0, NULL}};
#undef AT

static void set_defaults(void *options) {
  *(submit_options *) options = (submit_options){.slices = 8,
                                                 .jobs = 1,
                                                 .minutes = 480,
                                                 .megabytes = 1024,
                                                 .seed = UINT64_MAX};
}

/* Lines of the script that are filled in: what begins like this gets an end. */
enum {
  ARRAY,
  PROCESSORS,
  MEMORY,
  TIME,
  PROGRAM,
  STUDY,
  OUTPUT,
  SLICES,
  OPTIONS,
  FILLINGS
};

static const char *const beginnings[FILLINGS] = {"#SBATCH --array=",
                                                 "#SBATCH --cpus-per-task=",
                                                 "#SBATCH --mem-per-cpu=",
                                                 "#SBATCH --time=",
                                                 "program=",
                                                 "study=",
                                                 "output=",
                                                 "slices=",
                                                 "options="};

static void append_option(const char *name, uint64_t value, bool given,
                          bv_buffer *text) {
  if (given)
    bv_buffer_print(text, "%s--%s %llu", text->length ? " " : "", name,
                    (unsigned long long) value);
}

/* The options are evaluated by the script's shell: quoted twice. */
static void fill_options(const submit_options *options, const bv_words *words,
                         bv_buffer *end) {
  bv_buffer text = {0};
  append_option("evaluations", options->evaluations, options->evaluations > 0,
                &text);
  append_option("stagnation", options->stagnation, options->stagnation > 0,
                &text);
  append_option("seed", options->seed, options->seed != UINT64_MAX, &text);
  append_option("rows", options->rows, options->rows > 0, &text);
  if (options->seed_designs) {
    bv_buffer_print(&text, "%s--seed-designs ", text.length ? " " : "");
    bv_buffer_append_word(&text, options->seed_designs);
  }
  if (words->argument_count > 0)
    bv_buffer_print(&text, "%s--", text.length ? " " : "");
  for (size_t i = 0; i < words->argument_count; i++) {
    bv_buffer_print(&text, " ");
    bv_buffer_append_word(&text, words->arguments[i]);
  }
  bv_buffer_append_word(end, text.length && !text.failed ? text.text : "");
  end->failed = end->failed || text.failed;
  bv_buffer_free(&text);
}

/* All slices, or those that a sweep which was begun still lacks: nothing where
 * it lacks none. */
static bv_status fill_array(const submit_options *options, bv_buffer *end,
                            bv_error *error) {
  bv_outlook outlook;
  bv_status status = bv_outlook_make(options->output, &outlook, error);
  if (status == BV_NO_INPUT) {
    bv_buffer_print(end, "0-%llu", (unsigned long long) options->slices - 1);
    return BV_OK;
  }
  if (status != BV_OK)
    return status;
  size_t slices = outlook.slices;
  bv_outlook_missing(&outlook, end);
  bv_outlook_free(&outlook);
  if (slices != options->slices)
    return bv_fail(error, BV_USAGE,
                   "--slices: expected %zu as the sweep in %s has them, found "
                   "%llu",
                   slices, options->output,
                   (unsigned long long) options->slices);
  return BV_OK;
}

static void append_program(bv_buffer *end) {
  char path[PATH_MAX];
  ssize_t length = readlink("/proc/self/exe", path, sizeof path - 1);
  path[length > 0 ? length : 0] = '\0';
  bv_buffer_append_word(end, length > 0 ? path : "brimvolt");
}

static bv_status fill_in(const submit_options *options, const bv_words *words,
                         bv_buffer *ends, bv_error *error) {
  bv_buffer_print(&ends[PROCESSORS], "%llu",
                  (unsigned long long) options->jobs);
  bv_buffer_print(&ends[MEMORY], "%lluM",
                  (unsigned long long) options->megabytes);
  bv_buffer_print(&ends[TIME], "%llu", (unsigned long long) options->minutes);
  if (options->partition)
    bv_buffer_print(&ends[TIME], "\n#SBATCH --partition=%s",
                    options->partition);
  append_program(&ends[PROGRAM]);
  bv_buffer_append_word(&ends[STUDY], words->words[0]);
  bv_buffer_append_word(&ends[OUTPUT], options->output);
  bv_buffer_print(&ends[SLICES], "%llu", (unsigned long long) options->slices);
  fill_options(options, words, &ends[OPTIONS]);
  return fill_array(options, &ends[ARRAY], error);
}

/* The filling of a line, or FILLINGS. */
static size_t filling_of(const char *line) {
  size_t i = 0;
  while (i < FILLINGS &&
         strncmp(line, beginnings[i], strlen(beginnings[i])) != 0)
    i++;
  return i;
}

static void print_script(const char *script, const bv_buffer *ends,
                         bv_buffer *text) {
  while (*script) {
    size_t length = strcspn(script, "\n"), i = filling_of(script);
    if (i < FILLINGS)
      bv_buffer_print(text, "%s%s\n", beginnings[i], ends[i].text);
    else
      bv_buffer_print(text, "%.*s\n", (int) length, script);
    script += length + (script[length] == '\n');
  }
}

static bv_status check_study(const submit_options *options,
                             const bv_words *words, bv_error *error) {
  bv_study *study;
  if (!options->output || !*options->output)
    return bv_fail(error, BV_USAGE, "submit: expected --output DIR");
  if (options->partition && strpbrk(options->partition, " \t\n"))
    return bv_fail(error, BV_USAGE, "--partition: expected a name, found '%s'",
                   options->partition);
  bv_status status = bv_open_study(words, 1, BV_POINT_SECONDS, &study, error);
  if (status != BV_OK)
    return status;
  size_t cases = bv_study_cases(study);
  bv_study_close(study);
  if (cases == 0)
    return bv_fail(error, BV_BAD_DATA, "%s: cases: expected a list, found none",
                   words->words[0]);
  if (options->slices > cases)
    return bv_fail(error, BV_USAGE,
                   "--slices: expected at most %zu, as many as the study has "
                   "cases, found %llu",
                   cases, (unsigned long long) options->slices);
  return BV_OK;
}

static bv_status run(const void *given, const bv_words *words,
                     bv_error *error) {
  char path[PATH_MAX - 32], file[PATH_MAX];
  bv_buffer script = {0}, text = {0}, ends[FILLINGS] = {{0}};
  bv_status status = check_study(given, words, error);
  if (status == BV_OK)
    status = bv_library_find(path, sizeof path, error);
  if (status == BV_OK) {
    snprintf(file, sizeof file, "%s/../scripts/sweep.sbatch", path);
    status = bv_file_read(file, 1 << 20, &script, error);
  }
  if (status == BV_OK)
    status = fill_in(given, words, ends, error);
  if (status == BV_OK && ends[ARRAY].length == 0) {
    fprintf(stderr, "no slice is missing: all are done or under way\n");
  } else if (status == BV_OK) {
    print_script(script.text, ends, &text);
    status = bv_out_write(&text, error);
  }
  for (size_t i = 0; i < FILLINGS; i++)
    bv_buffer_free(&ends[i]);
  bv_buffer_free(&script);
  bv_buffer_free(&text);
  return status;
}

const bv_command bv_submit_command = {
    .name = "submit",
    .takes = "STUDY.lua",
    .summary =
        "print the batch script of a sweep for a Slurm cluster\n"
        "The script runs a slice a task; for a sweep that was begun, those "
        "that are missing.\nNothing is submitted: save it and call sbatch.",
    .example = "brimvolt submit night.lua --output night --slices 8 "
               ">night.sbatch",
    .least = 1,
    .most = 1,
    .options = options_of_submit,
    .size = sizeof(submit_options),
    .defaults = set_defaults,
    .run = run};
