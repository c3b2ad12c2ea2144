/* What pinery.money is asked, for the files that read it and that answer it. */
#ifndef PINERY_LUA_MONEY_H
#define PINERY_LUA_MONEY_H

#include "binding.h"

/* All that is known of the question; the arrays live in userdata that stay on the stack. */
struct pinery_lua_bill {
    const char *where;
    int n, reference, names; /* names: stack index of name -> place */
    pinery_tariff tariff;
    pinery_prices gas, power;
    pinery_money_case *cases;
    struct pinery_lua_case **run;
    const char **name;
    double *light;
    pinery_invest *invest;
    int *draw_count;
    const double **draws;
};

/* Push the answer as a table, and above it as a page. */
void pinery_lua_bill_push(lua_State *L, const struct pinery_lua_bill *q);

#endif
