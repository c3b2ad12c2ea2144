/* Functions that the tables in tests/tables may name. Each tests/tables_ROOM.c defines one list, ended by a row of
 * zeros; add a new list to TABLE_LISTS and to nothing else. A list whose file is not there is left out. */
#ifndef PINERY_TESTS_TABLES_H
#define PINERY_TESTS_TABLES_H

struct table_function {
    const char *name;
    int n_in;
    double (*call)(const double *in);
};

#define TABLE_LISTS(X)    \
    X(tables_air)         \
    X(tables_sky)         \
    X(tables_house)       \
    X(tables_house_flows) \
    X(tables_crop)        \
    X(tables_equip)       \
    X(tables_year)

#define X(list) extern const struct table_function list[] __attribute__((weak));
TABLE_LISTS(X)
#undef X

#endif
