/* label: long
 * Every real weather file there is drives a plain house through a whole year, and the books close. The files are not
 * part of the project: set PINERY_REAL_DATA to a folder that has them in weather/. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>

#include "year_case.h"

static const char *folder(void) {
    const char *given = getenv("PINERY_REAL_DATA");
    return given ? given : PINERY_SOURCE_DIR "/../shared";
}

static bool weather_file(const char *name) {
    const char *end = strrchr(name, '.');
    return end && (!strcmp(end, ".epw") || !strcmp(end, ".CSV") || !strcmp(end, ".json")) &&
           strncmp(name, "monthly", 7);
}

static void a_year(const char *path) {
    pinery_error error = {0};
    pinery_weather *weather = NULL;
    pinery_run *run = NULL;
    pinery_house house = year_house_plain();
    pinery_strategy strategy;
    pinery_options options;
    pinery_strategy_default(&strategy);
    pinery_options_default(&options);
    if (pinery_weather_read(path, &weather, &error) ||
        pinery_run_create(weather, &house, &strategy, &options, &run, &error) || pinery_run_all(run, &error))
        fail_msg("%s: %s", path, error.text);
    const pinery_ledger *ledger = pinery_run_ledger(run);
    assert_close(pinery_ledger_result(ledger, PINERY_RESULT_closure_heat), 0.0, 0.0, 1e-9);
    assert_close(pinery_ledger_result(ledger, PINERY_RESULT_closure_water), 0.0, 0.0, 1e-9);
    /* a glass house at 18 degC with one cloth, from the Mediterranean to Canada: 5 to 60 m3/m2 (common practice, no
     * source) */
    assert_between(pinery_ledger_result(ledger, PINERY_RESULT_gas_m3_per_m2), 5.0, 60.0);
    pinery_run_free(run);
    pinery_weather_free(weather);
}

static void every_file_runs_a_year(void **state) {
    char where[512], path[1024];
    int files = 0;
    (void)state;
    snprintf(where, sizeof where, "%s/weather", folder());
    DIR *dir = opendir(where);
    if (!dir) {
        print_message("no real weather in %s\n", where);
        skip();
    }
    for (struct dirent *entry; (entry = readdir(dir));) {
        if (!weather_file(entry->d_name))
            continue;
        snprintf(path, sizeof path, "%s/%s", where, entry->d_name);
        a_year(path);
        files++;
    }
    closedir(dir);
    assert_true(files > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_file_runs_a_year)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
