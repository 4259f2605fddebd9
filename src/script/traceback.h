/* SPDX-License-Identifier: MIT */
/* What an error tells: the message and the script's own frames. */
#ifndef BV_SCRIPT_TRACEBACK_H
#define BV_SCRIPT_TRACEBACK_H

#include <lua.h>
#include <stddef.h>

#include "base/text.h"

/* The message handler of every call: turns the error object into a text and
 * adds a line for each Lua function under way, frames of the host left out. */
int bv_traceback_handler(lua_State *L);

/* The letter itself, or "?" for a control character that could drive a
 * terminal. */
char bv_traceback_letter(char letter);

/* Appends a text of the script, letter by letter as above. */
void bv_traceback_clean(bv_buffer *buffer, const char *text, size_t length);

#endif
