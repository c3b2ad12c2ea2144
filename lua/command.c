/* pinery WORD ...: which word it is, and what all of them share. */
#include "command.h"

#include <errno.h>
#include <lualib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char help[] =
    "pinery SCENARIO.lua or pinery run SCENARIO.lua   run what a scenario compares, print it side by side\n"
    "    --json FILE         write the results as JSON\n"
    "    --summary FILE      write the results as CSV\n"
    "    --input FILE        write house, strategy, options and weather as a scenario that gives the same to the last "
    "bit\n"
    "    --csv FOLDER        write the hours of every run, FOLDER/NAME.csv\n"
    "    --netcdf FOLDER     write the hours of every run as NetCDF, FOLDER/NAME.nc\n"
    "    --months            print the months of every run\n"
    "    --balance           print heat and water of every run by heading\n"
    "    --page FILE         write it all as one HTML page, the answer first, for a browser, a phone and print\n"
    "    --figures FOLDER    the figures of that page as SVG, PNG and PDF\n"
    "    --causes            print which rule moved what in some days, and on what values\n"
    "    --figure FILE       draw some days of every run (.svg, .png or .pdf)\n"
    "    --from DAY --days N the days drawn or told; the first two days when left out\n"
    "    --limit SECONDS     time the scenario's own lines may take, runs not counted; 60\n"
    "    --quiet             print no report and no progress\n"
    "pinery night SCENARIO.lua                        its houses at rest in one night, cloths parked and drawn, unrun\n"
    "    --air T --outside T --wind V --cloud N --sky T    18, 0 degC, 4 m/s, 0 (clear), and the sky's that follows\n"
    "pinery check SCENARIO.lua                        look for rules that contradict each other or are dangerous,\n"
    "                        before anything is run\n"
    "pinery weather FILE                              look at a weather file\n"
    "pinery weather --typical PLACE [--seed N]        look at a typical year\n"
    "    --figure FILE       draw the year (.svg, .png or .pdf)\n"
    "pinery fields           every field of a scenario and every name of a result, as a page\n"
    "pinery presets [KIND]   names of materials, crops, units and plants\n"
    "pinery places           places that have a typical year\n"
    "pinery --version, pinery --help\n"
    "\n"
    "Files named in a scenario are looked for from the scenario's folder. PINERY_DATA names the folder that holds\n"
    "weather/normals.csv when it is not the installed one.\n"
    "Exit status: 0 done, 1 something failed, 2 called wrongly, 3 a check has warnings.\n";

int pinery_command_say(int status, const char *text) {
    fprintf(stderr, "pinery: %s\n", text);
    return status;
}

static bool misused(const char *text, const char *what) {
    fprintf(stderr, "pinery: %s %s; see pinery --help\n", text, what);
    return false;
}

bool pinery_command_options(int argc, char **argv, const struct pinery_command_option option[], const char **operand) {
    *operand = NULL;
    for (int i = 0; i < argc; i++) {
        if (argv[i][0] != '-' || argv[i][1] == '\0') {
            if (*operand) {
                return misused("one too many:", argv[i]);
            }
            *operand = argv[i];
            continue;
        }
        const struct pinery_command_option *found = option;
        while (found->name && strcmp(found->name, argv[i]) != 0) {
            found++;
        }
        if (!found->name) {
            return misused("unknown option", argv[i]);
        }
        if (found->given) {
            *found->given = true;
        } else if (i + 1 == argc) {
            return misused("a value is missing after", argv[i]);
        } else {
            *found->value = argv[++i];
        }
    }
    return true;
}

bool pinery_command_number(const char *name, const char *text, double otherwise, double min, double max,
                           double *value) {
    *value = otherwise;
    if (!text) {
        return true;
    }
    char *end;
    *value = strtod(text, &end);
    if (end == text || *end != '\0' || !(*value >= min && *value <= max)) {
        fprintf(stderr, "pinery: %s %s is not a number in %.10g .. %.10g\n", name, text, min, max);
        return false;
    }
    return true;
}

static int open_all(lua_State *L) {
    luaL_openlibs(L);
    luaL_requiref(L, "pinery", luaopen_pinery, 0);
    return 1;
}

lua_State *pinery_command_state(void) {
    lua_State *L = luaL_newstate();
    if (L) {
        lua_pushcfunction(L, open_all);
        if (lua_pcall(L, 0, 1, 0) != LUA_OK) {
            pinery_command_say(PINERY_COMMAND_FAILED, lua_tostring(L, -1));
            lua_close(L);
            L = NULL;
        }
    } else {
        pinery_command_say(PINERY_COMMAND_FAILED, "memory ran out");
    }
    return L;
}

void pinery_command_print(lua_State *L) {
    size_t length;
    const char *text = lua_tolstring(L, -1, &length);
    if (text) {
        fwrite(text, 1, length, stdout);
    }
    lua_pop(L, 1);
}

bool pinery_command_call(lua_State *L, int object, const char *method, const char *argument) {
    object = lua_absindex(L, object);
    lua_getfield(L, object, method);
    lua_pushvalue(L, object);
    if (argument) {
        lua_pushstring(L, argument);
    }
    int status = lua_pcall(L, argument ? 2 : 1, 2, 0);
    if (status != LUA_OK || lua_isnil(L, -2)) {
        pinery_command_say(PINERY_COMMAND_FAILED, luaL_tolstring(L, -1, NULL));
        return false;
    }
    lua_pop(L, 1);
    return true;
}

static bool is_scenario(const char *name) {
    size_t length = strlen(name);
    return length > 4 && strcmp(name + length - 4, ".lua") == 0;
}

static int dispatch(int argc, char **argv) {
    static const struct {
        const char *word;
        int (*run)(int argc, char **argv);
    } words[] = {{"run", pinery_command_run},       {"check", pinery_command_check},
                 {"night", pinery_command_night},   {"weather", pinery_command_weather},
                 {"fields", pinery_command_fields}, {"presets", pinery_command_presets},
                 {"places", pinery_command_places}};
    if (argc < 2) {
        fputs(help, stderr);
        return PINERY_COMMAND_MISUSED;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "--version") == 0) {
        fputs(argv[1][2] == 'h' ? help : "pinery " PINERY_VERSION "\n", stdout);
        return PINERY_COMMAND_FINE;
    }
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(words[i].word, argv[1]) == 0) {
            return words[i].run(argc - 2, argv + 2);
        }
    }
    if (is_scenario(argv[1])) {
        return pinery_command_run(argc - 1, argv + 1);
    }
    misused(argv[1][0] == '-' ? "unknown option" : "unknown word", argv[1]);
    return PINERY_COMMAND_MISUSED;
}

int main(int argc, char **argv) {
    int status = dispatch(argc, argv);
    if ((fflush(stdout) != 0 || ferror(stdout)) && status == PINERY_COMMAND_FINE) {
        return pinery_command_say(PINERY_COMMAND_FAILED, "the output cannot be written");
    }
    return status;
}
