/* SPDX-License-Identifier: MIT */
#include "script/module.h"

#include <string.h>

#include "base/text.h"

static const struct {
  const char *name;
  lua_CFunction open;
} modules[] = {
    {"brimvolt.charger", bv_module_charger},
    {"brimvolt.space", bv_module_space},
    {"brimvolt.catalogue", bv_module_catalogue},
    {"brimvolt.units", NULL}, /* written in Lua */
};

enum { MODULES = sizeof modules / sizeof *modules };

lua_CFunction bv_module_find(const char *name) {
  for (size_t i = 0; i < MODULES; i++)
    if (strcmp(modules[i].name, name) == 0)
      return modules[i].open;
  return NULL;
}

const char *bv_module_suggest(lua_State *L, const char *name) {
  bv_nearest nearest = bv_nearest_begin(name);
  for (size_t i = 0; i < MODULES; i++)
    bv_nearest_offer(&nearest, modules[i].name);
  if (!nearest.best)
    return lua_pushliteral(L, "");
  return lua_pushfstring(L, "; did you mean \"%s\"?", nearest.best);
}
