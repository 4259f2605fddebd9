/* SPDX-License-Identifier: MIT */
#include "run/board.h"

#include <sys/mman.h>

/* Bytes of one slot's arrays, numbers first so that all stay aligned. */
static size_t slot_numbers(const bv_problem *problem) {
  return BV_CELL_DATA_MOST + BV_NOTE_MOST +
         BV_CELL_MOST * bv_record_size(problem) + problem->space.count;
}

static size_t slot_bytes(const bv_problem *problem) {
  return slot_numbers(problem) * sizeof(double) + BV_REPLY_MOST + 8;
}

static void lay_out(bv_slot *slot, const bv_problem *problem, char *memory) {
  double *numbers = (double *) (void *) memory;
  slot->cell.data = numbers;
  slot->cell.room = BV_CELL_DATA_MOST;
  slot->result.note = numbers += BV_CELL_DATA_MOST;
  slot->x = numbers += BV_NOTE_MOST;
  slot->result.records = numbers + problem->space.count;
  slot->reply = memory + slot_numbers(problem) * sizeof(double);
}

bv_board *bv_board_map(const bv_problem *problem, size_t room, size_t *size) {
  size_t each = slot_bytes(problem), head = (sizeof(bv_board) + 63) / 64 * 64;
  *size = head + room * each;
  char *memory = mmap(NULL, *size, PROT_READ | PROT_WRITE,
                      MAP_SHARED | MAP_ANONYMOUS | MAP_NORESERVE, -1, 0);
  if (memory == MAP_FAILED)
    return NULL;
  bv_board *board = (bv_board *) (void *) memory;
  board->room = room;
  for (size_t i = 0; i < room; i++)
    lay_out(&board->slots[i], problem, memory + head + i * each);
  return board;
}
