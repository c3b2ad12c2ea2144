/* The words that only look: weather, fields, presets, places. */
#include <string.h>
#include <unistd.h>

#include "command.h"

struct look {
    const char *file, *place, *figure, *kind;
    double seed;
    int status;
};

/* Run `body` in a fresh state with the module at slot 1 and `look` at slot 2. */
static int in_state(lua_CFunction body, struct look *look) {
    lua_State *L = pinery_command_state();
    if (!L) {
        return PINERY_COMMAND_FAILED;
    }
    lua_pushcfunction(L, body);
    lua_insert(L, 1);
    lua_pushlightuserdata(L, look);
    if (lua_pcall(L, 2, 0, 0) != LUA_OK) {
        look->status = pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
    }
    lua_close(L);
    return look->status;
}

static bool no_operand(const char *operand, const char *word) {
    if (operand) {
        fprintf(stderr, "pinery: %s takes nothing more, not %s; see pinery --help\n", word, operand);
    }
    return !operand;
}

static const struct pinery_command_option no_options[] = {{NULL, NULL, NULL}};

/* --- weather --- */

static int show_weather(lua_State *L) {
    struct look *look = lua_touserdata(L, 2);
    lua_getfield(L, 1, "weather");
    lua_createtable(L, 0, 2);
    if (look->file) {
        lua_pushstring(L, look->file);
        lua_setfield(L, -2, "file");
    } else {
        lua_pushstring(L, look->place);
        lua_setfield(L, -2, "typical");
        lua_pushinteger(L, (lua_Integer)look->seed);
        lua_setfield(L, -2, "seed");
    }
    lua_call(L, 1, 1);
    int weather = lua_gettop(L);
    if (!pinery_command_call(L, weather, "report", NULL)) {
        look->status = PINERY_COMMAND_FAILED;
        return 0;
    }
    pinery_command_print(L);
    bool letters = !look->figure && isatty(STDOUT_FILENO); /* someone is looking: draw the year in letters */
    if ((look->figure || letters) && !pinery_command_call(L, weather, "figure", look->figure)) {
        look->status = PINERY_COMMAND_FAILED;
    } else if (letters) {
        pinery_command_print(L);
    }
    return 0;
}

int pinery_command_weather(int argc, char **argv) {
    struct look look = {0};
    const char *seed = NULL;
    const struct pinery_command_option options[] = {{"--typical", &look.place, NULL},
                                                    {"--seed", &seed, NULL},
                                                    {"--figure", &look.figure, NULL},
                                                    {NULL, NULL, NULL}};
    if (!pinery_command_options(argc, argv, options, &look.file) ||
        !pinery_command_number("--seed", seed, 1, 0, 4294967295.0, &look.seed)) {
        return PINERY_COMMAND_MISUSED;
    }
    if (!look.file == !look.place || (look.file && seed)) {
        return pinery_command_say(PINERY_COMMAND_MISUSED,
                                  "expected pinery weather FILE, or pinery weather --typical PLACE [--seed N]");
    }
    if (look.file && access(look.file, R_OK) != 0) {
        fprintf(stderr, "pinery: %s cannot be read\n", look.file);
        return PINERY_COMMAND_MISUSED;
    }
    return in_state(show_weather, &look);
}

/* --- lists --- */

static int show_fields(lua_State *L) {
    lua_getfield(L, 1, "reference");
    lua_call(L, 0, 1);
    pinery_command_print(L);
    return 0;
}

int pinery_command_fields(int argc, char **argv) {
    const char *operand;
    if (!pinery_command_options(argc, argv, no_options, &operand) || !no_operand(operand, "fields")) {
        return PINERY_COMMAND_MISUSED;
    }
    return in_state(show_fields, &(struct look){0});
}

static void print_list(lua_State *L, const char *margin) {
    for (int i = 1; lua_rawgeti(L, -1, i) == LUA_TSTRING; i++) {
        printf("%s%s\n", margin, lua_tostring(L, -1));
        lua_pop(L, 1);
    }
    lua_pop(L, 2);
}

static const char *const kinds[] = {
#define X(key, kind) kind,
    PINERY_PRESET_KINDS(X)
#undef X
};
enum { N_KINDS = sizeof kinds / sizeof kinds[0] };

static int show_presets(lua_State *L) {
    struct look *look = lua_touserdata(L, 2);
    for (int i = 0; i < N_KINDS; i++) {
        if (look->kind && strcmp(look->kind, kinds[i]) != 0) {
            continue;
        }
        if (!look->kind) {
            printf("%s%s\n", i > 0 ? "\n" : "", kinds[i]);
        }
        lua_getfield(L, 1, "presets");
        lua_pushstring(L, kinds[i]);
        lua_call(L, 1, 1);
        print_list(L, look->kind ? "" : "  ");
    }
    return 0;
}

int pinery_command_presets(int argc, char **argv) {
    struct look look = {0};
    if (!pinery_command_options(argc, argv, no_options, &look.kind)) {
        return PINERY_COMMAND_MISUSED;
    }
    bool known = !look.kind;
    for (int i = 0; i < N_KINDS && look.kind; i++) {
        known = known || strcmp(look.kind, kinds[i]) == 0;
    }
    if (!known) {
        fprintf(stderr, "pinery: no presets of kind %s; known are", look.kind);
        for (int i = 0; i < N_KINDS; i++) {
            fprintf(stderr, "%s %s", i > 0 ? "," : "", kinds[i]);
        }
        fputc('\n', stderr);
        return PINERY_COMMAND_MISUSED;
    }
    return in_state(show_presets, &look);
}

static int show_places(lua_State *L) {
    lua_getfield(L, 1, "places");
    lua_call(L, 0, 1);
    print_list(L, "");
    return 0;
}

int pinery_command_places(int argc, char **argv) {
    const char *operand;
    if (!pinery_command_options(argc, argv, no_options, &operand) || !no_operand(operand, "places")) {
        return PINERY_COMMAND_MISUSED;
    }
    return in_state(show_places, &(struct look){0});
}
