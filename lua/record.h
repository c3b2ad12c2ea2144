/* Parts of a record in memory, for the reader and the writer of records. */
#ifndef PINERY_LUA_RECORD_H
#define PINERY_LUA_RECORD_H

#include "binding.h"

/* Item i, from 0, of the part of a record. */
void *pinery_lua_part_item(const struct pinery_lua_part *part, const void *record, int i);
/* Whether the record counts the items of the list. */
bool pinery_lua_part_counted(const struct pinery_lua_part *part);
/* Items in the list now. */
int pinery_lua_part_count(const struct pinery_lua_part *part, const void *record);
/* Whether the member only counts the items of a list; it is written by the length of the list. */
bool pinery_lua_is_count(const struct pinery_lua_shape *shape, const pinery_field *field);
/* Whether the number may be left out, NaN. */
bool pinery_lua_is_optional(const pinery_field *field);

#endif
