/* The command: its words, and what they share. Exit status 0, 1 when something failed, 2 when it was called wrongly, 3
 * when a check has warnings. */
#ifndef PINERY_LUA_COMMAND_H
#define PINERY_LUA_COMMAND_H

#include "binding.h"

enum { PINERY_COMMAND_FINE = 0, PINERY_COMMAND_FAILED = 1, PINERY_COMMAND_MISUSED = 2, PINERY_COMMAND_WARNED = 3 };

/* One option of a word: a switch, or with a value. */
struct pinery_command_option {
    const char *name;   /* "--json" */
    const char **value; /* where its value goes, or NULL */
    bool *given;        /* set for a switch, or NULL */
};

/* Read options and at most one file or name; false: what is wrong was said on stderr. */
bool pinery_command_options(int argc, char **argv, const struct pinery_command_option option[], const char **operand);

/* The number in `text`, or `otherwise` when it is NULL; false: what is wrong was said on stderr. */
bool pinery_command_number(const char *name, const char *text, double otherwise, double min, double max, double *value);

/* Say "pinery: text" on stderr and give `status` back. */
int pinery_command_say(int status, const char *text);

/* A state with the standard libraries and the module, which is left on the stack; NULL when memory ran out. */
lua_State *pinery_command_state(void);

/* Write the text on top of the stack to stdout and pop it. */
void pinery_command_print(lua_State *L);

/* Call object:method(argument), argument being NULL or a text; the first result is left on the stack. False: said. */
bool pinery_command_call(lua_State *L, int object, const char *method, const char *argument);

/* Run the lines of a scenario, for at most `limit_s` besides its runs; what it returns is left on the stack. False:
 * said, and the exit status is in *failed. */
bool pinery_command_lines(lua_State *L, const char *file, double limit_s, int *failed);

/* What a scenario returned stands from slot 2 to `last`: which of it a page is made of, the first comparison or else
 * the first study, 0 for none; and that page, with all tables among the rest in it, as `file`. False: said. */
bool pinery_command_is_study(lua_State *L, int at);
int pinery_command_page_of(lua_State *L, int last);
bool pinery_command_page(lua_State *L, int at, int last, const char *file);

int pinery_command_run(int argc, char **argv);
int pinery_command_check(int argc, char **argv);
int pinery_command_night(int argc, char **argv);
int pinery_command_weather(int argc, char **argv);
int pinery_command_fields(int argc, char **argv);
int pinery_command_presets(int argc, char **argv);
int pinery_command_places(int argc, char **argv);

#endif
