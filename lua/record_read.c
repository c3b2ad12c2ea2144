/* Tables read into structs made from field lists. */
#include <limits.h>
#include <math.h>
#include <string.h>

#include "record.h"

/* --- errors --- */

static int fail(lua_State *L, const char *where, const char *title, const char *text) {
    return pinery_lua_raise(L, where, lua_pushfstring(L, "%s: %s", title, text));
}

/* Letters to change to get from a to b; big when either is long. */
static int letters_apart(const char *a, const char *b) {
    enum { LONGEST = 40 };
    size_t n = strlen(b);
    if (strlen(a) > LONGEST || n > LONGEST) {
        return INT_MAX;
    }
    int row[LONGEST + 1];
    for (size_t j = 0; j <= n; j++) {
        row[j] = (int)j;
    }
    for (int i = 1; a[i - 1] != '\0'; i++) {
        int diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            int best = diagonal + (a[i - 1] != b[j - 1]);
            diagonal = row[j];
            best = row[j] + 1 < best ? row[j] + 1 : best;
            row[j] = row[j - 1] + 1 < best ? row[j - 1] + 1 : best;
        }
    }
    return row[n];
}

struct known {
    luaL_Buffer list;
    const char *key, *nearest;
    int best, n;
};

static void add_known(struct known *known, const char *name) {
    if (known->n++ > 0) {
        luaL_addstring(&known->list, ", ");
    }
    luaL_addstring(&known->list, name);
    int apart = letters_apart(known->key, name);
    if (apart < known->best) {
        known->best = apart;
        known->nearest = name;
    }
}

static int fail_unknown(lua_State *L, const struct pinery_lua_shape *shape, const char *key, const char *where) {
    struct known known = {.key = key, .best = INT_MAX};
    luaL_buffinit(L, &known.list);
    for (int i = 0; i < shape->fields->n; i++) {
        if (!pinery_lua_is_count(shape, &shape->fields->field[i])) {
            add_known(&known, shape->fields->field[i].name);
        }
    }
    for (int i = 0; i < shape->parts; i++) {
        add_known(&known, shape->part[i].key);
    }
    if (shape->calendar) {
        add_known(&known, "calendar");
    }
    char also[64];
    snprintf(also, sizeof also, "%s", shape->also ? shape->also : "");
    for (char *rest = NULL, *name = strtok_r(also, " ", &rest); name; name = strtok_r(NULL, " ", &rest)) {
        add_known(&known, name);
    }
    luaL_pushresult(&known.list);
    const char *list = lua_tostring(L, -1);
    bool near = known.nearest && known.best <= 1 + (int)strlen(key) / 4;
    const char *hint = near ? lua_pushfstring(L, " (did you mean %s?)", known.nearest) : "";
    return fail(L, where, shape->fields->title,
                lua_pushfstring(L, "unknown field %s%s; known are %s", key, hint, list));
}

static int fail_value(lua_State *L, const struct pinery_lua_shape *shape, const char *key, const char *wanted,
                      int value, const char *where) {
    return fail(L, where, shape->fields->title,
                lua_pushfstring(L, "%s is a %s, expected %s", key, luaL_typename(L, value), wanted));
}

/* --- reading --- */

static void set_count(const struct pinery_lua_part *part, void *record, int n) {
    if (pinery_lua_part_counted(part)) {
        memcpy((char *)record + part->count, &n, sizeof n);
    }
}

/* "wall.lua:12: drives[2]" for the second drive; the key alone is left out where the title of the record says it. */
static const char *path_to(lua_State *L, const char *where, const struct pinery_lua_part *part, int i) {
    if (part->most == 0 && strcmp(part->key, part->shape->fields->title) == 0) {
        return where;
    }
    const char *colon = where[0] != '\0' ? ": " : "";
    return part->most > 0 ? lua_pushfstring(L, "%s%s%s[%d]", where, colon, part->key, i + 1)
                          : lua_pushfstring(L, "%s%s%s", where, colon, part->key);
}

static bool is_word(const char *words, const char *key) {
    size_t length = strlen(key);
    for (const char *word = words; word && *word; word += strspn(word, " ")) {
        size_t span = strcspn(word, " ");
        if (span == length && strncmp(word, key, span) == 0) {
            return true;
        }
        word += span;
    }
    return false;
}

static bool knows(const struct pinery_lua_shape *shape, const char *key) {
    const pinery_field *field = pinery_fields_find(shape->fields, key);
    if (field && !pinery_lua_is_count(shape, field)) {
        return true;
    }
    for (int i = 0; i < shape->parts; i++) {
        if (strcmp(shape->part[i].key, key) == 0) {
            return true;
        }
    }
    return (shape->calendar && strcmp(key, "calendar") == 0) || is_word(shape->also, key);
}

static void check_keys(lua_State *L, int table, const struct pinery_lua_shape *shape, const char *where) {
    for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1)) {
        if (lua_type(L, -2) == LUA_TSTRING) {
            if (!knows(shape, lua_tostring(L, -2))) {
                fail_unknown(L, shape, lua_tostring(L, -2), where);
            }
            continue;
        }
        bool positional = lua_isinteger(L, -2) && ((lua_tointeger(L, -2) == 1 && shape->preset) || shape->bases);
        if (!positional) {
            fail_unknown(L, shape, lua_pushfstring(L, "[%s]", luaL_tolstring(L, -2, NULL)), where);
        }
    }
}

static pinery_status preset(const char *kind, const char *name, void *record, pinery_error *error) {
#define X(key, word)                                       \
    if (strcmp(kind, word) == 0) {                         \
        return pinery_##key##_preset(name, record, error); \
    }
    PINERY_PRESET_KINDS(X)
#undef X
    return PINERY_BAD_INPUT; /* no shape has another kind */
}

static void read_preset(lua_State *L, int name, const struct pinery_lua_shape *shape, void *record, const char *where) {
    pinery_error error;
    if (preset(shape->preset, lua_tostring(L, name), record, &error) != PINERY_OK) {
        pinery_lua_raise(L, where, error.text);
    }
}

/* The value on top of the stack. */
static void read_field(lua_State *L, const struct pinery_lua_shape *shape, const pinery_field *field, void *record,
                       const char *where) {
    pinery_error error = {.status = PINERY_OK};
    pinery_status status = PINERY_OK;
    switch (lua_type(L, -1)) {
    case LUA_TNUMBER:
        if (pinery_lua_is_optional(field) && isnan(lua_tonumber(L, -1))) {
            fail(L, where, shape->fields->title, lua_pushfstring(L, "%s is not a number (NaN)", field->name));
        }
        status = pinery_fields_set_number(shape->fields, record, field->name, lua_tonumber(L, -1), where, &error);
        break;
    case LUA_TSTRING:
        if (strlen(lua_tostring(L, -1)) != lua_rawlen(L, -1)) {
            fail(L, where, shape->fields->title, lua_pushfstring(L, "%s has a zero byte in its text", field->name));
        }
        status = pinery_fields_set_text(shape->fields, record, field->name, lua_tostring(L, -1), where, &error);
        break;
    case LUA_TBOOLEAN:
        if (field->kind == PINERY_BOOL) {
            status = pinery_fields_set_number(shape->fields, record, field->name, lua_toboolean(L, -1), where, &error);
            break;
        }
        if (pinery_lua_is_optional(field) && !lua_toboolean(L, -1)) {
            status = pinery_fields_set_number(shape->fields, record, field->name, NAN, where, &error);
            break;
        }
        /* fall through */
    default: {
        bool text = field->kind == PINERY_TEXT || field->kind == PINERY_CHOICE;
        const char *gap = field->unit[0] != '\0' ? " in " : "";
        fail_value(L, shape, field->name,
                   field->kind == PINERY_BOOL ? "true or false"
                   : text                     ? "a text"
                                              : lua_pushfstring(L, "a number%s%s", gap, field->unit),
                   text || field->kind == PINERY_BOOL ? -1 : -2, where);
    }
    }
    if (status != PINERY_OK) {
        lua_pushstring(L, error.text);
        lua_error(L);
    }
}

static void check_list(lua_State *L, int list, const struct pinery_lua_shape *shape, const struct pinery_lua_part *part,
                       const char *where) {
    for (lua_pushnil(L); lua_next(L, list); lua_pop(L, 1)) {
        if (lua_isinteger(L, -2) && lua_tointeger(L, -2) >= 1 && lua_tointeger(L, -2) <= part->most) {
            continue;
        }
        const char *key = luaL_tolstring(L, -2, NULL);
        fail(L, where, shape->fields->title,
             lua_pushfstring(L, "%s is a list of at most %d, { { ... } }, and has no place for [%s]", part->key,
                             part->most, key));
    }
}

static void read_list(lua_State *L, int list, const struct pinery_lua_shape *shape, const struct pinery_lua_part *part,
                      void *record, const char *where) {
    if (!lua_istable(L, list)) {
        fail_value(L, shape, part->key, lua_pushfstring(L, "a list of at most %d, { { ... } }", part->most), list,
                   where);
    }
    check_list(L, list, shape, part, where);
    int n = pinery_lua_part_count(part, record);
    bool removed[32] = {false};
    for (int i = 0; i < part->most; i++) {
        const char *path = path_to(L, where, part, i);
        int type = lua_rawgeti(L, list, i + 1);
        void *item = pinery_lua_part_item(part, record, i);
        if (type == LUA_TBOOLEAN && !lua_toboolean(L, -1) && part->removable && i < n) {
            removed[i] = true;
        } else if (type != LUA_TNIL) {
            if (i > n) {
                fail(L, where, shape->fields->title,
                     lua_pushfstring(L, "%s has [%d] but no [%d]", part->key, i + 1, n + 1));
            }
            if (i == n) {
                pinery_lua_record_default(part->shape, item);
                n++;
            }
            pinery_lua_record_read(L, -1, part->shape, item, path);
        }
        lua_pop(L, 2);
    }
    for (int i = n - 1; i >= 0; i--) {
        if (removed[i] && pinery_lua_part_counted(part)) {
            memmove(pinery_lua_part_item(part, record, i), pinery_lua_part_item(part, record, i + 1),
                    (size_t)(n - 1 - i) * part->shape->fields->size);
            n--;
        } else if (removed[i]) {
            pinery_lua_record_default(part->shape, pinery_lua_part_item(part, record, i));
        }
    }
    set_count(part, record, n);
}

static void read_part(lua_State *L, const struct pinery_lua_shape *shape, const struct pinery_lua_part *part,
                      void *record, const char *where) {
    int value = lua_gettop(L);
    if (part->most > 0) {
        read_list(L, value, shape, part, record, where);
    } else if (part->removable && lua_isboolean(L, value) && !lua_toboolean(L, value)) {
        pinery_lua_record_default(part->shape, pinery_lua_part_item(part, record, 0));
    } else {
        pinery_lua_record_read(L, value, part->shape, pinery_lua_part_item(part, record, 0),
                               path_to(L, where, part, 0));
    }
    lua_settop(L, value);
}

/* 0.8, or { 0.8, height = 0.4 }, on the top of the stack; false for anything else. */
static bool read_point(lua_State *L, pinery_crop_point *point) {
    if (lua_type(L, -1) == LUA_TNUMBER) {
        point->leaf_area = lua_tonumber(L, -1);
        return true;
    }
    if (!lua_istable(L, -1)) {
        return false;
    }
    bool area = lua_rawgeti(L, -1, 1) == LUA_TNUMBER;
    point->leaf_area = lua_tonumber(L, -1);
    lua_pop(L, 1);
    lua_pushliteral(L, "height");
    bool height = lua_rawget(L, -2) == LUA_TNUMBER;
    point->height = lua_tonumber(L, -1);
    lua_pop(L, 1);
    int n = 0;
    for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
        n++;
    }
    return area && height && n == 2;
}

/* { [15] = 0.8, [90] = { 3, height = 2 } }: leaf area, and height, by day of the year. */
static void read_calendar(lua_State *L, const struct pinery_lua_shape *shape, pinery_crop *crop, const char *where) {
    int table = lua_gettop(L);
    const char *expected = "leaf areas by day of the year, { [1] = 0.5, [90] = { 3, height = 2 } }";
    if (!lua_istable(L, table)) {
        fail_value(L, shape, "calendar", expected, table, where);
    }
    pinery_crop_point point[PINERY_CROP_POINTS] = {{0}};
    int n = 0;
    for (lua_pushnil(L); lua_next(L, table); lua_pop(L, 1)) {
        pinery_crop_point one = {0};
        if (lua_type(L, -2) != LUA_TNUMBER || !read_point(L, &one)) {
            fail(L, where, shape->fields->title, lua_pushfstring(L, "calendar: expected %s", expected));
        }
        if (n == PINERY_CROP_POINTS) {
            fail(L, where, shape->fields->title,
                 lua_pushfstring(L, "calendar has more than %d points", PINERY_CROP_POINTS));
        }
        one.day = lua_tonumber(L, -2);
        int i = n++;
        for (; i > 0 && point[i - 1].day > one.day; i--) {
            point[i] = point[i - 1];
        }
        point[i] = one;
    }
    memcpy(crop->calendar, point, sizeof point);
    crop->points = n;
}

static int get_raw(lua_State *L, int table, const char *key) {
    lua_pushstring(L, key);
    return lua_rawget(L, table);
}

void pinery_lua_record_read(lua_State *L, int index, const struct pinery_lua_shape *shape, void *record,
                            const char *where) {
    index = lua_absindex(L, index);
    luaL_checkstack(L, 20, "a table is nested too deeply");
    int top = lua_gettop(L);
    if (shape->preset && lua_type(L, index) == LUA_TSTRING) {
        read_preset(L, index, shape, record, where);
        return;
    }
    if (!lua_istable(L, index)) {
        fail(L, where, shape->fields->title,
             lua_pushfstring(L, "expected a table%s, got a %s",
                             shape->preset                           ? " or the name of a preset"
                             : shape->fields == &pinery_drive_fields ? ", { cloth = ... }"
                                                                     : "",
                             luaL_typename(L, index)));
    }
    check_keys(L, index, shape, where);
    if (shape->preset && lua_rawgeti(L, index, 1) != LUA_TNIL) {
        if (lua_type(L, -1) != LUA_TSTRING) {
            fail_value(L, shape, "[1]", "the name of a preset", -1, where);
        }
        read_preset(L, -1, shape, record, where);
    }
    for (int i = 1; shape->bases && lua_rawgeti(L, index, i) != LUA_TNIL; i++) {
        pinery_lua_record_read(L, -1, shape, record, where);
        lua_settop(L, top);
    }
    lua_settop(L, top);
    for (int i = 0; i < shape->fields->n; i++) {
        const pinery_field *field = &shape->fields->field[i];
        if (!pinery_lua_is_count(shape, field) && get_raw(L, index, field->name) != LUA_TNIL) {
            read_field(L, shape, field, record, where);
        }
        lua_settop(L, top);
    }
    for (int i = 0; i < shape->parts; i++) {
        if (get_raw(L, index, shape->part[i].key) != LUA_TNIL) {
            read_part(L, shape, &shape->part[i], record, where);
        }
        lua_settop(L, top);
    }
    if (shape->calendar && get_raw(L, index, "calendar") != LUA_TNIL) {
        read_calendar(L, shape, record, where);
    }
    lua_settop(L, top);
}
