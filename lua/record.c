/* Structs made from field lists: their parts, their defaults, and written as tables. */
#include "record.h"

#include <math.h>
#include <string.h>

void *pinery_lua_part_item(const struct pinery_lua_part *part, const void *record, int i) {
    return (char *)(size_t)record + part->offset + (size_t)i * part->shape->fields->size;
}

bool pinery_lua_part_counted(const struct pinery_lua_part *part) {
    return part->most > 0 && part->count != PINERY_LUA_UNCOUNTED;
}

int pinery_lua_part_count(const struct pinery_lua_part *part, const void *record) {
    int n = part->most;
    if (pinery_lua_part_counted(part)) {
        memcpy(&n, (const char *)record + part->count, sizeof n);
    }
    return n;
}

bool pinery_lua_is_count(const struct pinery_lua_shape *shape, const pinery_field *field) {
    for (int i = 0; i < shape->parts; i++) {
        if (pinery_lua_part_counted(&shape->part[i]) && (size_t)shape->part[i].count == field->offset) {
            return true;
        }
    }
    return false;
}

bool pinery_lua_is_optional(const pinery_field *field) {
    return field->kind == PINERY_REAL && isnan(field->def);
}

void pinery_lua_record_default(const struct pinery_lua_shape *shape, void *record) {
    pinery_fields_default(shape->fields, record);
    for (int i = 0; i < shape->parts; i++) {
        const struct pinery_lua_part *part = &shape->part[i];
        for (int j = 0; j < (part->most > 0 ? part->most : 1); j++) {
            pinery_lua_record_default(part->shape, pinery_lua_part_item(part, record, j));
        }
    }
}

static void push_choice(lua_State *L, const char *choices, int i) {
    for (; i > 0 && *choices != '\0'; i--) {
        choices += strcspn(choices, "|");
        choices += *choices == '|';
    }
    lua_pushlstring(L, choices, strcspn(choices, "|"));
}

static void push_field(lua_State *L, const pinery_field *field, const void *record) {
    double value = pinery_field_number(field, record);
    switch (field->kind) {
    case PINERY_REAL:
        if (pinery_lua_is_optional(field) && isnan(value)) {
            lua_pushnil(L);
        } else {
            lua_pushnumber(L, value);
        }
        break;
    case PINERY_INT:
        lua_pushinteger(L, (lua_Integer)value);
        break;
    case PINERY_BOOL:
        lua_pushboolean(L, value != 0.0);
        break;
    case PINERY_CHOICE:
        push_choice(L, field->choices, (int)value);
        break;
    case PINERY_TEXT:
        lua_pushstring(L, (const char *)record + field->offset);
        break;
    }
}

static void push_part(lua_State *L, const struct pinery_lua_part *part, const void *record) {
    if (part->most == 0) {
        pinery_lua_record_push(L, part->shape, pinery_lua_part_item(part, record, 0));
        return;
    }
    int n = pinery_lua_part_count(part, record);
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        pinery_lua_record_push(L, part->shape, pinery_lua_part_item(part, record, i));
        lua_rawseti(L, -2, i + 1);
    }
}

static void push_calendar(lua_State *L, const pinery_crop *crop) {
    lua_createtable(L, 0, crop->points);
    for (int i = 0; i < crop->points; i++) {
        lua_pushnumber(L, crop->calendar[i].day);
        lua_pushnumber(L, crop->calendar[i].leaf_area);
        if (crop->calendar[i].height > 0.0) {
            lua_createtable(L, 1, 1);
            lua_insert(L, -2);
            lua_rawseti(L, -2, 1);
            lua_pushnumber(L, crop->calendar[i].height);
            lua_setfield(L, -2, "height");
        }
        lua_rawset(L, -3);
    }
}

void pinery_lua_record_push(lua_State *L, const struct pinery_lua_shape *shape, const void *record) {
    luaL_checkstack(L, 8, "a record is nested too deeply");
    lua_createtable(L, 0, shape->fields->n + shape->parts);
    for (int i = 0; i < shape->fields->n; i++) {
        const pinery_field *field = &shape->fields->field[i];
        if (!pinery_lua_is_count(shape, field)) {
            push_field(L, field, record);
            lua_setfield(L, -2, field->name);
        }
    }
    for (int i = 0; i < shape->parts; i++) {
        if (!shape->part[i].alias) {
            push_part(L, &shape->part[i], record);
            lua_setfield(L, -2, shape->part[i].key);
        }
    }
    if (shape->calendar) {
        push_calendar(L, record);
        lua_setfield(L, -2, "calendar");
    }
}

bool pinery_lua_record_get(lua_State *L, const struct pinery_lua_shape *shape, const void *record, const char *key) {
    const pinery_field *field = pinery_fields_find(shape->fields, key);
    if (field && !pinery_lua_is_count(shape, field)) {
        push_field(L, field, record);
        return true;
    }
    for (int i = 0; i < shape->parts; i++) {
        if (strcmp(shape->part[i].key, key) == 0) {
            push_part(L, &shape->part[i], record);
            return true;
        }
    }
    return false;
}
