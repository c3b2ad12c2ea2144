/* The orders as a control function sees and sets them. */
#include "views.h"

#include <math.h>
#include <string.h>

#define ORDERS "pinery.orders"
#define LIST "pinery.order list"
#define LAW "pinery.law"

enum order_kind { NUMBER, OPTIONAL, YES_NO, LAW_ORDER, LIST_ORDER };
enum list_kind { CLOTH, WHICH, SLIT, LAMP };

static const struct order {
    const char *name, *unit;
    enum order_kind kind;
    size_t offset; /* in the orders */
    double min, max;
    int size; /* of a list */
} orders[] = {
    {"heating", "degC", NUMBER, offsetof(pinery_orders, heating), -20, 60, 0},
    {"ventilation", "degC", NUMBER, offsetof(pinery_orders, ventilation), -20, 80, 0},
    {"hold_coldest", "", YES_NO, offsetof(pinery_orders, hold_coldest), 0, 1, 0},
    {"pipe_gain", "K/K", NUMBER, offsetof(pinery_orders, pipe_gain), 0.1, 100, 0},
    {"pipe_integral_time", "s", NUMBER, offsetof(pinery_orders, pipe_integral_time), 300, 86400, 0},
    {"upper_start", "", NUMBER, offsetof(pinery_orders, upper_start), 0, 1, 0},
    {"pipe_least", "degC", NUMBER, offsetof(pinery_orders, pipe_least), 0, 110, 0},
    {"pipe_most", "degC", NUMBER, offsetof(pinery_orders, pipe_most), 0, 110, 0},
    {"pipe_lower", "degC", OPTIONAL, offsetof(pinery_orders, pipe_lower), 0, 110, 0},
    {"pipe_upper", "degC", OPTIONAL, offsetof(pinery_orders, pipe_upper), 0, 110, 0},
    {"fan_circulation", "", NUMBER, offsetof(pinery_orders, fan_circulation), 0, 1, 0},
    {"cogeneration", "", NUMBER, offsetof(pinery_orders, source[PINERY_COGENERATION]), 0, 1, 0},
    {"bought_heat", "", NUMBER, offsetof(pinery_orders, source[PINERY_BOUGHT]), 0, 1, 0},
    {"heat_pump", "", NUMBER, offsetof(pinery_orders, source[PINERY_HEAT_PUMP]), 0, 1, 0},
    {"electric_boiler", "", NUMBER, offsetof(pinery_orders, source[PINERY_ELECTRIC]), 0, 1, 0},
    {"tank_fill", "", NUMBER, offsetof(pinery_orders, tank_fill), 0, 1, 0},
    {"carbon_target", "ppm", NUMBER, offsetof(pinery_orders, carbon_target), 0, 5000, 0},
    {"carbon_band", "ppm", NUMBER, offsetof(pinery_orders, carbon_band), 10, 2000, 0},
    {"vent_lee", "", LAW_ORDER, offsetof(pinery_orders, vent_lee), 0, 1, 0},
    {"vent_wind", "", LAW_ORDER, offsetof(pinery_orders, vent_wind), 0, 1, 0},
    {"fan_through", "", LAW_ORDER, offsetof(pinery_orders, fan_through), 0, 1, 0},
    {"duct", "", LAW_ORDER, offsetof(pinery_orders, drying[PINERY_DUCT]), 0, 1, 0},
    {"recovery", "", LAW_ORDER, offsetof(pinery_orders, drying[PINERY_RECOVERY]), 0, 1, 0},
    {"dehumidifier", "", LAW_ORDER, offsetof(pinery_orders, drying[PINERY_DEHUMIDIFIER]), 0, 1, 0},
    {"desiccant", "", LAW_ORDER, offsetof(pinery_orders, drying[PINERY_DESICCANT]), 0, 1, 0},
    {"cloth", "", LIST_ORDER, offsetof(pinery_orders, cloth), CLOTH, 0, PINERY_DRIVES},
    {"which", "", LIST_ORDER, offsetof(pinery_orders, which), WHICH, 0, PINERY_DRIVES},
    {"slit", "", LIST_ORDER, offsetof(pinery_orders, slit), SLIT, 0, PINERY_DRIVES},
    {"lamp", "", LIST_ORDER, offsetof(pinery_orders, lamp), LAMP, 0, PINERY_LAMPS},
};
enum { N_ORDERS = sizeof orders / sizeof *orders };

/* Raise: the value at `index` is no number within min and max. */
static void refuse(lua_State *L, int index, const char *name, double min, double max, const char *unit) {
    const char *gap = unit[0] != '\0' ? " " : "";
    char range[96], text[48];
    snprintf(range, sizeof range, "%.10g .. %.10g%s%s", min, max, gap, unit);
    if (lua_type(L, index) != LUA_TNUMBER) {
        luaL_error(L, "orders.%s is a %s, expected a number in %s", name, luaL_typename(L, index), range);
    }
    double value = lua_tonumber(L, index);
    snprintf(text, sizeof text, "%.10g", isnan(value) ? NAN : value); /* not "-nan" */
    luaL_error(L, "orders.%s = %s%s%s is outside %s", name, text, gap, unit, range);
}

/* The number at `index`, within min and max, or raise. */
static double checked(lua_State *L, int index, const char *name, double min, double max, const char *unit) {
    double value = lua_type(L, index) == LUA_TNUMBER ? lua_tonumber(L, index) : (double)NAN;
    if (!(value >= min && value <= max)) {
        refuse(L, index, name, min, max, unit);
    }
    return value;
}

/* --- laws --- */

static const struct law_field {
    const char *name, *unit;
    size_t offset;
    double min, max, scale; /* what a script says times scale is what the law holds */
} law_fields[] = {
    {"low", "", offsetof(pinery_law, low), 0, 1, 1},
    {"high", "", offsetof(pinery_law, high), 0, 1, 1},
    {"by_temperature", "", offsetof(pinery_law, by_temperature), 0, 1, 1},
    {"temperature_start", "degC", offsetof(pinery_law, temperature_start), -60, 100, 1},
    {"temperature_full", "degC", offsetof(pinery_law, temperature_full), -60, 100, 1},
    {"by_humidity", "", offsetof(pinery_law, by_humidity), 0, 1, 1},
    {"humidity_start", "%", offsetof(pinery_law, humidity_start), 0, 100, 0.01},
    {"humidity_full", "%", offsetof(pinery_law, humidity_full), 0, 100, 0.01},
};
enum { N_LAW_FIELDS = sizeof law_fields / sizeof *law_fields };

static const struct law_field *law_field(lua_State *L, int key) {
    const char *name = lua_type(L, key) == LUA_TSTRING ? lua_tostring(L, key) : "";
    for (int i = 0; i < N_LAW_FIELDS; i++) {
        if (strcmp(law_fields[i].name, name) == 0) {
            return &law_fields[i];
        }
    }
    luaL_error(L,
               "a law has no field %s; known are low, high, by_temperature, temperature_start, temperature_full, "
               "by_humidity, humidity_start, humidity_full",
               luaL_tolstring(L, key, NULL));
    return NULL;
}

static void set_law_field(lua_State *L, pinery_law *law, int key, int value) {
    const struct law_field *field = law_field(L, key);
    double number = checked(L, value, field->name, field->min, field->max, field->unit) * field->scale;
    memcpy((char *)law + field->offset, &number, sizeof number);
}

/* A number is a fixed position, a table a law of which the fields left out are 0 and `high` is 1. */
static void set_law(lua_State *L, pinery_law *law, int value, const char *name) {
    pinery_law made = {.high = 1};
    if (lua_istable(L, value)) {
        value = lua_absindex(L, value);
        for (lua_pushnil(L); lua_next(L, value); lua_pop(L, 1)) {
            set_law_field(L, &made, -2, -1);
        }
        if (made.by_temperature > 0 && !(made.temperature_full > made.temperature_start)) {
            luaL_error(L, "orders.%s: temperature_full must be above temperature_start", name);
        }
        if (made.by_humidity > 0 && !(made.humidity_full > made.humidity_start)) {
            luaL_error(L, "orders.%s: humidity_full must be above humidity_start", name);
        }
    } else if (luaL_testudata(L, value, LAW)) {
        struct pinery_lua_view *from = lua_touserdata(L, value);
        memcpy(&made, (char *)&from->scene->orders + from->what, sizeof made);
    } else {
        made.low = checked(L, value, name, 0, 1, "");
    }
    *law = made;
}

static pinery_law *law_of(struct pinery_lua_view *v) {
    return (pinery_law *)(void *)((char *)&v->scene->orders + v->what);
}

static int law_get(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, LAW);
    const struct law_field *field = law_field(L, 2);
    double value;
    memcpy(&value, (const char *)law_of(v) + field->offset, sizeof value);
    lua_pushnumber(L, value / field->scale);
    return 1;
}

static int law_set(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, LAW);
    set_law_field(L, law_of(v), 2, 3);
    return 0;
}

/* --- lists --- */

/* Place of the item at the key in stack slot 2, from 0. */
static int item(lua_State *L, struct pinery_lua_view *v) {
    const struct order *order = &orders[v->what];
    const pinery_house *house = v->scene->house;
    int n = v->index == LAMP ? order->size : house->drives;
    int whole;
    lua_Integer i = lua_tointegerx(L, 2, &whole);
    if (!whole || i < 1 || i > n) {
        luaL_error(L, "orders.%s has no [%s]; the house has %d %s", order->name, luaL_tolstring(L, 2, NULL), n,
                   v->index == LAMP ? "lamp groups"
                   : n == 1         ? "drive"
                                    : "drives");
    }
    return (int)i - 1;
}

static int list_get(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, LIST);
    int i = item(L, v);
    pinery_orders *o = &v->scene->orders;
    switch (v->index) {
    case CLOTH:
        lua_pushnumber(L, o->cloth[i]);
        break;
    case WHICH:
        lua_pushinteger(L, o->which[i] + 1);
        break;
    case LAMP:
        lua_pushnumber(L, o->lamp[i]);
        break;
    default: /* the law views lie in the second user value */
        lua_getiuservalue(L, 1, 2);
        lua_rawgeti(L, -1, i + 1);
    }
    return 1;
}

static int list_set(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, LIST);
    int i = item(L, v);
    pinery_orders *o = &v->scene->orders;
    switch (v->index) {
    case CLOTH:
        o->cloth[i] = checked(L, 3, "cloth", 0, 1, "");
        break;
    case WHICH: {
        int cloths = v->scene->house->drive[i].cloths;
        double which = checked(L, 3, "which", 1, cloths, "");
        if (which != floor(which)) {
            return luaL_error(L, "orders.which = %f is not the number of a cloth", which);
        }
        o->which[i] = (int)which - 1;
        break;
    }
    case LAMP:
        o->lamp[i] = checked(L, 3, "lamp", 0, 1, "");
        break;
    default:
        set_law(L, &o->slit[i], 3, "slit");
    }
    return 0;
}

static int list_length(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, LIST);
    lua_pushinteger(L, v->index == LAMP ? orders[v->what].size : v->scene->house->drives);
    return 1;
}

/* --- orders --- */

/* Upvalue 1: name -> place in `orders`. */
static const struct order *order_at(lua_State *L, int *place) {
    lua_pushvalue(L, 2);
    if (lua_rawget(L, lua_upvalueindex(1)) != LUA_TNUMBER) {
        luaL_Buffer list;
        luaL_buffinit(L, &list);
        for (int i = 0; i < N_ORDERS; i++) {
            luaL_addstring(&list, i > 0 ? ", " : "");
            luaL_addstring(&list, orders[i].name);
        }
        luaL_pushresult(&list);
        const char *known = lua_tostring(L, -1);
        luaL_error(L, "orders has no field %s; known are %s", luaL_tolstring(L, 2, NULL), known);
    }
    *place = (int)lua_tointeger(L, -1);
    lua_pop(L, 1);
    return &orders[*place];
}

/* orders:because "text": what is ordered from here on is ordered for that reason. */
static int because(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view(L, ORDERS);
    pinery_run_because(v->scene->run, &v->scene->orders, luaL_checkstring(L, 2));
    return 0;
}

static int orders_get(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view_here(L, ORDERS);
    if (lua_type(L, 2) == LUA_TSTRING && strcmp(lua_tostring(L, 2), "because") == 0) {
        lua_pushcfunction(L, because);
        return 1;
    }
    int place;
    const struct order *order = order_at(L, &place);
    const char *at = (const char *)&v->scene->orders + order->offset;
    if (order->kind == NUMBER || order->kind == OPTIONAL) {
        double value;
        memcpy(&value, at, sizeof value);
        if (order->kind == OPTIONAL && isnan(value)) {
            lua_pushnil(L);
        } else {
            lua_pushnumber(L, value);
        }
    } else if (order->kind == YES_NO) {
        lua_pushboolean(L, v->scene->orders.hold_coldest);
    } else {
        lua_getiuservalue(L, 1, 2);
        lua_rawgeti(L, -1, place + 1);
    }
    return 1;
}

static int orders_set(lua_State *L) {
    struct pinery_lua_view *v = pinery_lua_view_here(L, ORDERS);
    int place;
    const struct order *order = order_at(L, &place);
    char *at = (char *)&v->scene->orders + order->offset;
    switch (order->kind) {
    case OPTIONAL:
    case NUMBER: {
        double value = order->kind == OPTIONAL && lua_isnil(L, 3)
                           ? (double)NAN
                           : checked(L, 3, order->name, order->min, order->max, order->unit);
        memcpy(at, &value, sizeof value);
        break;
    }
    case YES_NO:
        if (!lua_isboolean(L, 3)) {
            return luaL_error(L, "orders.%s is a %s, expected true or false", order->name, luaL_typename(L, 3));
        }
        v->scene->orders.hold_coldest = lua_toboolean(L, 3);
        break;
    case LAW_ORDER: {
        pinery_law law;
        set_law(L, &law, 3, order->name);
        memcpy(at, &law, sizeof law);
        break;
    }
    case LIST_ORDER:
        return luaL_error(L, "orders.%s is a list: set orders.%s[1]", order->name, order->name);
    }
    return 0;
}

static void push_law_view(lua_State *L, int scene, size_t offset) {
    pinery_lua_view_push(L, scene, LAW, (int)offset, 0);
}

static void push_list_view(lua_State *L, int scene, int place) {
    int kind = (int)orders[place].min;
    pinery_lua_view_push(L, scene, LIST, place, kind);
    if (kind == SLIT) {
        lua_createtable(L, PINERY_DRIVES, 0);
        for (int i = 0; i < PINERY_DRIVES; i++) {
            push_law_view(L, scene, orders[place].offset + (size_t)i * sizeof(pinery_law));
            lua_rawseti(L, -2, i + 1);
        }
        lua_setiuservalue(L, -2, 2);
    }
}

void pinery_lua_orders_push(lua_State *L, int scene) {
    pinery_lua_view_push(L, scene, ORDERS, 0, 0);
    lua_createtable(L, N_ORDERS, 0);
    for (int i = 0; i < N_ORDERS; i++) {
        if (orders[i].kind == LAW_ORDER) {
            push_law_view(L, scene, orders[i].offset);
        } else if (orders[i].kind == LIST_ORDER) {
            push_list_view(L, scene, i);
        } else {
            lua_pushboolean(L, false);
        }
        lua_rawseti(L, -2, i + 1);
    }
    lua_setiuservalue(L, -2, 2);
}

void pinery_lua_open_orders(lua_State *L) {
    static const luaL_Reg none[] = {{NULL, NULL}};
    static const luaL_Reg list[] = {{"__newindex", list_set}, {"__len", list_length}, {NULL, NULL}};
    static const luaL_Reg law[] = {{"__newindex", law_set}, {NULL, NULL}};
    const char *names[N_ORDERS];
    for (int i = 0; i < N_ORDERS; i++) {
        names[i] = orders[i].name;
    }
    pinery_lua_type(L, ORDERS, none, NULL);
    pinery_lua_view_event(L, ORDERS, "__index", orders_get, names, N_ORDERS);
    pinery_lua_view_event(L, ORDERS, "__newindex", orders_set, names, N_ORDERS);
    pinery_lua_type(L, LIST, list, list_get);
    pinery_lua_type(L, LAW, law, law_get);
}
