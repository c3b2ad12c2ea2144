/* Numbers of studies, for the Lua files of this folder. */
#include "binding.h"

enum { MOST_RUNS = 1 << PINERY_STUDY_PARTS };

/* shapley(parts, values of all 2^parts runs): shares, and by pair [i][j] with i < j what the two add together. */
static int shapley(lua_State *L) {
    int n = (int)luaL_checkinteger(L, 1);
    luaL_argcheck(L, n >= 1 && n <= PINERY_STUDY_PARTS, 1, "too many parts");
    luaL_checktype(L, 2, LUA_TTABLE);
    double value[MOST_RUNS], share[PINERY_STUDY_PARTS];
    for (int i = 0; i < 1 << n; i++) {
        lua_rawgeti(L, 2, i + 1);
        value[i] = lua_tonumber(L, -1);
        lua_pop(L, 1);
    }
    pinery_study_shapley(n, value, share);
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        lua_pushnumber(L, share[i]);
        lua_rawseti(L, -2, i + 1);
    }
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        lua_newtable(L);
        for (int j = i + 1; j < n; j++) {
            lua_pushnumber(L, pinery_study_interaction(n, value, i, j));
            lua_rawseti(L, -2, j + 1);
        }
        lua_rawseti(L, -2, i + 1);
    }
    return 2;
}

static void push_name(lua_State *L, int place, const pinery_name *name) {
    lua_createtable(L, 0, 2);
    lua_pushstring(L, name->key);
    lua_setfield(L, -2, "name");
    lua_pushstring(L, name->doc);
    lua_setfield(L, -2, "doc");
    lua_rawseti(L, -2, place);
}

/* paths(), ways(): by which heat leaves the house, and the room of the crop, { name =, doc = }, in order. */
static int paths(lua_State *L) {
    lua_createtable(L, PINERY_STUDY_N_PATHS, 0);
    for (int i = 0; i < PINERY_STUDY_N_PATHS; i++) {
        push_name(L, i + 1, pinery_study_path_name((pinery_study_path)i));
    }
    return 1;
}

static int ways(lua_State *L) {
    lua_createtable(L, PINERY_STUDY_N_WAYS, 0);
    for (int i = 0; i < PINERY_STUDY_N_WAYS; i++) {
        push_name(L, i + 1, pinery_study_way_name((pinery_study_way)i));
    }
    return 1;
}

/* rows(): the rows of a comparison, { name =, label =, group =, unit =, decimals = }. */
static int rows(lua_State *L) {
    int n;
    const pinery_report_row *row = pinery_report_rows(&n);
    lua_createtable(L, n, 0);
    for (int i = 0; i < n; i++) {
        const pinery_name *name = pinery_result_name(row[i].result);
        const char *const text[][2] = {
            {"name", name->key}, {"unit", name->unit}, {"label", row[i].label}, {"group", row[i].group}};
        lua_createtable(L, 0, 5);
        for (size_t j = 0; j < sizeof text / sizeof *text; j++) {
            lua_pushstring(L, text[j][1]);
            lua_setfield(L, -2, text[j][0]);
        }
        lua_pushinteger(L, row[i].decimals);
        lua_setfield(L, -2, "decimals");
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

void pinery_lua_push_inner(lua_State *L) {
    static const luaL_Reg functions[] = {{"batch", pinery_lua_batch},
                                         {"changes", pinery_lua_changes},
                                         {"shapley", shapley},
                                         {"paths", paths},
                                         {"ways", ways},
                                         {"rows", rows},
                                         {"sizing_figure", pinery_lua_sizing_figure},
                                         {NULL, NULL}};
    luaL_newlib(L, functions);
    pinery_lua_add_chance(L);
    lua_newtable(L); /* what a study is as text, by its kind */
    lua_setfield(L, -2, "text");
    lua_newtable(L); /* and as a figure */
    lua_setfield(L, -2, "figures");
}
