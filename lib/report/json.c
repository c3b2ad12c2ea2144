/* Runs as JSON, by cJSON, which writes what is not a number as null. */
#include <cjson/cJSON.h>

#include "base/error.h"
#include "ledger/calendar.h"
#include "report/text.h"

static void number(cJSON *object, const char *key, double value) {
    cJSON_AddNumberToObject(object, key, value);
}

static void add_headings(cJSON *run, const pinery_ledger *ledger) {
    cJSON *heat = cJSON_AddObjectToObject(run, "heat_by_heading_J_per_m2");
    cJSON *water = cJSON_AddObjectToObject(run, "water_by_heading_kg_per_m2");
    cJSON *meters = cJSON_AddObjectToObject(run, "meters");
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        const char *key = pinery_heading_name((pinery_heading)i)->key;
        number(heat, key, pinery_ledger_heat(ledger, (pinery_heading)i));
        if (pinery_heading_has_water((pinery_heading)i)) {
            number(water, key, pinery_ledger_water(ledger, (pinery_heading)i));
        }
    }
    number(heat, "stored", pinery_ledger_stored_heat(ledger));
    number(water, "stored", pinery_ledger_stored_water(ledger));
    for (int i = 0; i < PINERY_N_METERS; i++) {
        number(meters, pinery_meter_name((pinery_meter)i)->key, pinery_ledger_meter(ledger, (pinery_meter)i));
    }
}

static void add_months(cJSON *run, const pinery_ledger *ledger) {
    cJSON *months = cJSON_AddArrayToObject(run, "months");
    for (int m = 0; m < 12; m++) {
        if (!(pinery_ledger_month_hours(ledger, m) > 0.0)) {
            continue;
        }
        cJSON *month = cJSON_CreateObject();
        cJSON_AddItemToArray(months, month);
        cJSON_AddStringToObject(month, "month", pinery_ledger_month_name(m));
        number(month, "hours", pinery_ledger_month_hours(ledger, m));
        cJSON *means = cJSON_AddObjectToObject(month, "means");
        for (int i = 0; i < PINERY_N_READINGS; i++) {
            number(means, pinery_reading_name((pinery_reading)i)->key,
                   pinery_ledger_month_reading(ledger, m, (pinery_reading)i));
        }
        cJSON *heat = cJSON_AddObjectToObject(month, "heat_by_heading_J_per_m2");
        cJSON *water = cJSON_AddObjectToObject(month, "water_by_heading_kg_per_m2");
        cJSON *meters = cJSON_AddObjectToObject(month, "meters");
        for (int i = 0; i < PINERY_N_HEADINGS; i++) {
            const char *key = pinery_heading_name((pinery_heading)i)->key;
            number(heat, key, pinery_ledger_month_heat(ledger, m, (pinery_heading)i));
            if (pinery_heading_has_water((pinery_heading)i)) {
                number(water, key, pinery_ledger_month_water(ledger, m, (pinery_heading)i));
            }
        }
        for (int i = 0; i < PINERY_N_METERS; i++) {
            number(meters, pinery_meter_name((pinery_meter)i)->key,
                   pinery_ledger_month_meter(ledger, m, (pinery_meter)i));
        }
    }
}

static void add_cost(cJSON *run, const pinery_cost *cost) {
    number(run, "wall_s", cost->wall_s);
    number(run, "intervals", (double)cost->intervals);
    number(run, "steps", (double)cost->steps);
    number(run, "evaluations", (double)cost->evaluations);
    number(run, "jacobians", (double)cost->jacobians);
    number(run, "factorizations", (double)cost->factorizations);
    number(run, "error_test_failures", (double)cost->error_test_failures);
    number(run, "convergence_failures", (double)cost->convergence_failures);
    number(run, "restarts", (double)cost->restarts);
}

static void add_weather(cJSON *run, const pinery_weather *weather) {
    if (weather == NULL) {
        return;
    }
    char checksum[24];
    snprintf(checksum, sizeof checksum, "%016llx", pinery_weather_checksum(weather));
    cJSON *object = cJSON_AddObjectToObject(run, "weather");
    cJSON_AddStringToObject(object, "site", pinery_weather_site(weather)->name);
    cJSON_AddStringToObject(object, "source", pinery_weather_source(weather));
    cJSON_AddStringToObject(object, "checksum", checksum);
}

pinery_status pinery_report_json(FILE *out, int n, const pinery_report_entry run[], pinery_error *error) {
    cJSON *root = cJSON_CreateObject();
    cJSON_AddStringToObject(root, "pinery", PINERY_VERSION);
    cJSON *runs = cJSON_AddArrayToObject(root, "runs");
    for (int i = 0; i < n; i++) {
        cJSON *object = cJSON_CreateObject();
        cJSON_AddItemToArray(runs, object);
        cJSON_AddStringToObject(object, "name", run[i].name);
        number(object, "start_s", pinery_ledger_start_s(run[i].ledger));
        number(object, "end_s", pinery_ledger_end_s(run[i].ledger));
        number(object, "heating_value_MJ_per_m3", pinery_ledger_heating_value(run[i].ledger) / 1e6);
        cJSON_AddStringToObject(object, "heating_value", pinery_ledger_gross(run[i].ledger) ? "gross" : "net");
        for (int r = 0; r < PINERY_N_RESULTS; r++) {
            number(object, pinery_result_name((pinery_result)r)->key,
                   pinery_ledger_result(run[i].ledger, (pinery_result)r));
        }
        add_cost(object, &run[i].cost);
        add_weather(object, run[i].weather);
        add_headings(object, run[i].ledger);
        add_months(object, run[i].ledger);
    }
    char *text = cJSON_Print(root);
    cJSON_Delete(root);
    if (text == NULL) {
        return pinery_base_fail(error, PINERY_MEMORY, "report: no memory for the JSON text");
    }
    fputs(text, out);
    fputc('\n', out);
    cJSON_free(text);
    return pinery_report_done(out, error);
}
