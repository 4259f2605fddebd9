/* SPDX-License-Identifier: MIT */
#include "run/hooks.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/number.h"
#include "run/child.h"
#include "run/clock.h"
#include "run/interrupt.h"

/* Merged cells a round. */
enum { ROUND = 32 };

/* How often the parent looks at clock and signals while a hook runs, ms, and
 * how long the hook may go on once the run is to end, s. */
enum { GLANCE = 100, GRACE = 2 };

/* What hooks are asked, and what they answer. */
typedef struct request {
  bool is_round;
  bv_progress progress;
  size_t objective;
  double value, x[BV_SPACE_MOST];
} request;

typedef struct reply {
  bv_outcome outcome;
  bool stop;
  char message[4096];
} reply;

/* The process that runs them */

static void answer(bv_study *study, const request *asked, reply *made) {
  *made = (reply){0};
  made->outcome = asked->is_round
                      ? bv_study_on_round(study, &asked->progress, &made->stop)
                      : bv_study_on_best(study, asked->objective, asked->x,
                                         asked->value, &made->stop);
  if (made->outcome != BV_OUTCOME_EVALUATED)
    snprintf(made->message, sizeof made->message, "%s",
             bv_study_last_error(study));
}

static _Noreturn void live(bv_study *study, int channel) {
  request asked;
  reply made;
  while (recv(channel, &asked, sizeof asked, 0) == sizeof asked) {
    answer(study, &asked, &made);
    if (send(channel, &made, sizeof made, MSG_NOSIGNAL) != sizeof made)
      break;
  }
  _exit(EXIT_SUCCESS);
}

static bool start(bv_hooks *hooks, bv_study *study) {
  int ends[2];
  if (socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_CLOEXEC, 0, ends) != 0)
    return false;
  pid_t parent = getpid();
  hooks->process = fork();
  if (hooks->process == 0) {
    close(ends[0]);
    bv_child_settle(parent, hooks->memory_most);
    live(study, ends[1]);
  }
  close(ends[1]);
  hooks->channel = ends[0];
  if (hooks->process > 0)
    return true;
  close(ends[0]);
  hooks->process = 0;
  return false;
}

void bv_hooks_end(bv_hooks *hooks) {
  if (hooks->process > 0) {
    kill(hooks->process, SIGKILL);
    while (waitpid(hooks->process, NULL, 0) < 0 && errno == EINTR)
      continue;
    close(hooks->channel);
    hooks->process = 0;
  }
  bv_buffer_free(&hooks->failures);
}

/* Asking */

/* Waits for the answer as long as a hook may take. */
static bool await(const bv_hooks *hooks) {
  double end = bv_clock() + hooks->patience;
  bool asked = false;
  for (;;) {
    struct pollfd watched = {.fd = hooks->channel, .events = POLLIN};
    int ready = poll(&watched, 1, GLANCE);
    if (ready > 0 || (ready < 0 && errno != EINTR))
      return ready > 0;
    if (!asked && bv_interrupt_asked() != BV_OK) {
      asked = true;
      end = bv_smaller(end, bv_clock() + GRACE);
    }
    if (bv_clock() > end)
      return false;
  }
}

/* Gives what went wrong, NULL where there is an answer. */
static const char *exchange(const bv_hooks *hooks, const request *asked,
                            reply *made) {
  static const char died[] = "its process died";
  ssize_t put = send(hooks->channel, asked, sizeof *asked, MSG_NOSIGNAL);
  if (put != sizeof *asked)
    return died;
  if (!await(hooks))
    return "it took too long";
  return recv(hooks->channel, made, sizeof *made, 0) == sizeof *made ? NULL
                                                                     : died;
}

/* False where the hook asks for the end of the search. */
static bool ask(bv_hooks *hooks, bv_study *study, const request *asked) {
  reply made = {0};
  const char *trouble = NULL;
  if (hooks->over)
    return true;
  if (hooks->process == 0 && !start(hooks, study))
    trouble = strerror(errno);
  else
    trouble = exchange(hooks, asked, &made);
  hooks->over = trouble != NULL; /* then none is called any more */
  if (!trouble && made.outcome != BV_OUTCOME_EVALUATED)
    trouble = made.message;
  if (trouble)
    bv_buffer_print(&hooks->failures, "a hook of the script failed: %s\n",
                    trouble);
  return trouble || !made.stop;
}

static size_t best_on_front(const bv_search *search, size_t front,
                            size_t objective) {
  size_t best = 0;
  for (size_t i = 1; i < front; i++)
    if (bv_search_front(search, i).objectives[objective] <
        bv_search_front(search, best).objectives[objective])
      best = i;
  return best;
}

static bool ask_on_best(bv_hooks *hooks, bv_study *study,
                        const bv_search *search, size_t front, size_t i) {
  size_t width = bv_study_problem(study)->space.count;
  bv_point point = bv_search_front(search, best_on_front(search, front, i));
  request asked = {.objective = i, .value = point.objectives[i]};
  if (hooks->known[i] && asked.value >= hooks->best[i])
    return true;
  hooks->known[i] = true;
  hooks->best[i] = asked.value;
  memcpy(asked.x, point.x, width * sizeof *point.x);
  return ask(hooks, study, &asked);
}

static bool ask_on_round(bv_hooks *hooks, bv_study *study,
                         const bv_search_state *state) {
  request asked = {.is_round = true,
                   .progress = {.round = ++hooks->rounds,
                                .evaluations = state->evaluations,
                                .feasible = state->feasible,
                                .front = state->front,
                                .hypervolume = state->hypervolume}};
  return ask(hooks, study, &asked);
}

static bool end_round(bv_hooks *hooks, bv_study *study,
                      const bv_search *search) {
  if (!bv_study_has_hooks(study) || hooks->over)
    return true;
  bv_search_state state = bv_search_look(search);
  bool go_on = ask_on_round(hooks, study, &state);
  for (size_t i = 0; i < bv_study_problem(study)->objectives; i++)
    if (state.front > 0)
      go_on = ask_on_best(hooks, study, search, state.front, i) && go_on;
  hooks->asked_to_end = hooks->asked_to_end || !go_on;
  return go_on;
}

bool bv_hooks_call(bv_hooks *hooks, bv_study *study, const bv_search *search) {
  return ++hooks->merges % ROUND != 0 || end_round(hooks, study, search);
}

void bv_hooks_last(bv_hooks *hooks, bv_study *study, const bv_search *search) {
  if (hooks->merges % ROUND != 0 && !hooks->asked_to_end)
    end_round(hooks, study, search);
}

void bv_hooks_report(const bv_hooks *hooks, bv_buffer *text) {
  if (hooks->failures.text)
    bv_buffer_append(text, hooks->failures.text, hooks->failures.length);
}
