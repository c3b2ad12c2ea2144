/* Houses and strategies as values of a script: made from a table, derived by another table, never changed. */
#include <string.h>

#include "binding.h"

struct kind {
    const char *type;
    const char *example;
    const struct pinery_lua_shape *shape;
    void (*fill)(void *record);
    pinery_status (*check)(const void *record, pinery_error *error);
};

static void fill_house(void *record) {
    pinery_house_default(record);
}

static pinery_status check_house(const void *record, pinery_error *error) {
    return pinery_house_check(record, error);
}

static void fill_strategy(void *record) {
    pinery_strategy_default(record);
}

static pinery_status check_strategy(const void *record, pinery_error *error) {
    return pinery_strategy_check(record, error);
}

static const struct kind house = {PINERY_LUA_HOUSE, "pinery.house { ... }", &pinery_lua_house_shape, fill_house,
                                  check_house};
static const struct kind strategy = {PINERY_LUA_STRATEGY, "pinery.strategy { ... }", &pinery_lua_strategy_shape,
                                     fill_strategy, check_strategy};

/* Push a handle; a strategy's one user value is its control function. */
static void *push(lua_State *L, const struct kind *kind) {
    void *record = lua_newuserdatauv(L, kind->shape->fields->size, 1);
    memset(record, 0, kind->shape->fields->size);
    luaL_setmetatable(L, kind->type);
    return record;
}

static void read_control(lua_State *L, int table, int value, const char *where) {
    lua_pushliteral(L, "control");
    int type = lua_rawget(L, table);
    if (type == LUA_TBOOLEAN && !lua_toboolean(L, -1)) {
        lua_pop(L, 1);
        lua_pushnil(L);
    } else if (type == LUA_TNIL) {
        lua_pop(L, 1);
        return;
    } else if (type != LUA_TFUNCTION) {
        pinery_lua_raise(L, where,
                         lua_pushfstring(L, "strategy: control is a %s, expected a function (seen, orders, run)",
                                         luaL_typename(L, -1)));
    }
    lua_setiuservalue(L, value, 1);
}

/* The blocks at [1], [2] ... may bring a control function as well; the last one named counts. */
static void read_controls(lua_State *L, int table, int value, const char *where) {
    for (int i = 1; lua_rawgeti(L, table, i) == LUA_TTABLE; i++) {
        read_control(L, lua_gettop(L), value, where);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    read_control(L, table, value, where);
}

static void read_over(lua_State *L, const struct kind *kind, int table, void *record, const char *where) {
    int value = lua_gettop(L);
    luaL_checkstack(L, 10, NULL);
    pinery_lua_record_read(L, table, kind->shape, record, where);
    if (kind == &strategy) {
        read_controls(L, table, value, where);
    }
    pinery_error error;
    if (kind->check(record, &error) != PINERY_OK) {
        pinery_lua_raise(L, where, error.text);
    }
}

static int make(lua_State *L, const struct kind *kind) {
    lua_settop(L, 1);
    const char *where = pinery_lua_where(L);
    void *record = push(L, kind);
    kind->fill(record);
    read_over(L, kind, 1, record, where);
    return 1;
}

static int derive(lua_State *L, const struct kind *kind) {
    const void *from = luaL_checkudata(L, 1, kind->type);
    lua_settop(L, 2);
    const char *where = pinery_lua_where(L);
    void *record = push(L, kind);
    memcpy(record, from, kind->shape->fields->size);
    lua_getiuservalue(L, 1, 1);
    lua_setiuservalue(L, -2, 1);
    read_over(L, kind, 2, record, where);
    return 1;
}

static int table(lua_State *L, const struct kind *kind) {
    pinery_lua_record_push(L, kind->shape, luaL_checkudata(L, 1, kind->type));
    if (lua_getiuservalue(L, 1, 1) == LUA_TFUNCTION) {
        lua_setfield(L, -2, "control");
    } else {
        lua_pop(L, 1);
    }
    return 1;
}

/* Upvalue 1 holds the methods. */
static int index(lua_State *L, const struct kind *kind) {
    const void *record = luaL_checkudata(L, 1, kind->type);
    const char *key = luaL_checkstring(L, 2);
    lua_settop(L, 2);
    if (lua_getfield(L, lua_upvalueindex(1), key) != LUA_TNIL) {
        return 1;
    }
    if (kind == &strategy && strcmp(key, "control") == 0) {
        lua_getiuservalue(L, 1, 1);
        return 1;
    }
    if (pinery_lua_record_get(L, kind->shape, record, key)) {
        return 1;
    }
    return luaL_error(L, "a %s has no field %s", kind->shape->fields->title, key);
}

static int text(lua_State *L, const struct kind *kind) {
    const char *name = luaL_checkudata(L, 1, kind->type); /* both lists begin with the name */
    lua_pushfstring(L, "%s%s%s", kind->shape->fields->title, name[0] != '\0' ? " " : "", name);
    return 1;
}

static int house_with(lua_State *L) {
    return derive(L, &house);
}

static int house_table(lua_State *L) {
    return table(L, &house);
}

static int house_index(lua_State *L) {
    return index(L, &house);
}

static int house_text(lua_State *L) {
    return text(L, &house);
}

static int strategy_with(lua_State *L) {
    return derive(L, &strategy);
}

static int strategy_table(lua_State *L) {
    return table(L, &strategy);
}

static int strategy_index(lua_State *L) {
    return index(L, &strategy);
}

static int strategy_text(lua_State *L) {
    return text(L, &strategy);
}

int pinery_lua_new_house(lua_State *L) {
    return make(L, &house);
}

int pinery_lua_new_strategy(lua_State *L) {
    return make(L, &strategy);
}

void pinery_lua_open_values(lua_State *L) {
    static const luaL_Reg house_methods[] = {
        {"with", house_with}, {"table", house_table}, {"__tostring", house_text}, {NULL, NULL}};
    static const luaL_Reg strategy_methods[] = {
        {"with", strategy_with}, {"table", strategy_table}, {"__tostring", strategy_text}, {NULL, NULL}};
    pinery_lua_type(L, PINERY_LUA_HOUSE, house_methods, house_index);
    pinery_lua_type(L, PINERY_LUA_STRATEGY, strategy_methods, strategy_index);
}

static const void *value_at(lua_State *L, int at, const struct kind *kind, const char *where) {
    at = lua_absindex(L, at);
    const void *record = luaL_testudata(L, at, kind->type);
    if (record) {
        return record;
    }
    bool bare = kind == &strategy && lua_isfunction(L, at);
    if (!bare && !lua_istable(L, at)) {
        pinery_lua_raise(L, where,
                         lua_pushfstring(L, "%s is %s, expected %s", kind->shape->fields->title,
                                         pinery_lua_given(L, at), kind->example));
    }
    void *made = push(L, kind);
    kind->fill(made);
    if (bare) {
        lua_pushvalue(L, at);
        lua_setiuservalue(L, -2, 1);
    } else {
        read_over(L, kind, at, made, where);
    }
    lua_replace(L, at);
    return made;
}

const pinery_house *pinery_lua_house(lua_State *L, int at, const char *where) {
    return value_at(L, at, &house, where);
}

const pinery_strategy *pinery_lua_strategy(lua_State *L, int at, const char *where) {
    return value_at(L, at, &strategy, where);
}

int pinery_lua_control(lua_State *L, int at) {
    return lua_getiuservalue(L, at, 1);
}
