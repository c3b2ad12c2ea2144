/* What the views of one control instant share. */
#ifndef PINERY_LUA_VIEWS_H
#define PINERY_LUA_VIEWS_H

#include "binding.h"

/* Every view is {scene, what it looks at}; its first user value keeps the scene alive. */
struct pinery_lua_view {
    struct pinery_lua_scene *scene;
    int what;
    int index;
};

/* The view that is the first argument, or raise when its control instant is over. */
struct pinery_lua_view *pinery_lua_view(lua_State *L, const char *type);

/* The same in the function of an event below, sooner: by the metatable that it holds. */
struct pinery_lua_view *pinery_lua_view_here(lua_State *L, const char *type);

/* Push a view of the scene at stack slot `scene`. */
void pinery_lua_view_push(lua_State *L, int scene, const char *type, int what, int index);

/* Give the metatable of a type an event that has a table name -> place in `names` and the metatable as upvalues. */
void pinery_lua_view_event(lua_State *L, const char *type, const char *event, lua_CFunction function,
                           const char *const names[], int n);

/* Push the view of the orders, with those of its laws and lists. */
void pinery_lua_orders_push(lua_State *L, int scene);
void pinery_lua_open_orders(lua_State *L);

#endif
