/* Reports of ledgers made by hand: what is written must be what the ledgers hold, and nothing a name contains may reach
 * a shell or gnuplot as a command. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include <cjson/cJSON.h>

#include "check.h"

#include "ledger/ledger.h"
#include "pinery/report.h"

#define READ(key) PINERY_READING_##key

/* Three January days by the hour with a day-night swing; `scale` multiplies the boiler's heat. */
static pinery_ledger *make(double scale, bool keep_hours, bool drives) {
    struct pinery_ledger_setup setup = {.start_s = 86400.0,
                                        .interval_s = 900.0,
                                        .intervals = 4 * 72,
                                        .keep_hours = keep_hours,
                                        .has_drive = {drives, drives, false},
                                        .has_lamp = true,
                                        .heating_value = 31.65e6};
    pinery_ledger *ledger = NULL;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, NULL), PINERY_OK);
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    for (long i = 0; i <= setup.intervals; i++) {
        tick.time_s = setup.start_s + (double)i * setup.interval_s;
        double hour = fmod(tick.time_s / 3600.0, 24.0), sun = 200.0 * fmax(0.0, sin((hour - 8.0) / 9.0 * 3.14159));
        sun = hour < 17.0 ? sun : 0.0;
        double *r = tick.reading;
        r[READ(air_lower)] = 17.0;
        r[READ(air_upper)] = r[READ(air_seen)] = 18.0 + sun / 100.0;
        r[READ(air_roof)] = 9.0;
        r[READ(heating)] = 17.0;
        r[READ(humidity_lower)] = r[READ(humidity_upper)] = 88.0 - sun / 20.0;
        r[READ(humidity_roof)] = 95.0;
        r[READ(outside)] = 2.0 + sun / 60.0;
        r[READ(outside_global)] = sun;
        r[READ(cloth_1)] = drives && sun == 0.0;
        r[READ(slit_1)] = drives ? 0.02 : 0.0;
        r[READ(lamp_1)] = hour < 8.0;
        pinery_ledger_tick(ledger, &tick);
        double q = scale * (60.0 + 0.1 * hour) * setup.interval_s;
        tick.heat[PINERY_HEADING_heat_lower] += q;
        tick.heat[PINERY_HEADING_cover_wind] += q;
        tick.water[PINERY_HEADING_water_supply] += 0.01;
        tick.water[PINERY_HEADING_vents] += 0.01;
        tick.meter[PINERY_METER_gas] += q / 0.95;
        tick.meter[PINERY_METER_light_sun] += sun * 1e-3;
    }
    pinery_ledger_finish(ledger);
    return ledger;
}

/* What a report wrote, in memory of the caller. */
static char *text_of(FILE *file) {
    long size = ftell(file);
    assert_true(size >= 0);
    char *text = malloc((size_t)size + 1);
    assert_non_null(text);
    rewind(file);
    assert_int_equal(fread(text, 1, (size_t)size, file), (size_t)size);
    text[size] = '\0';
    fclose(file);
    return text;
}

static FILE *paper(void) {
    FILE *file = tmpfile();
    assert_non_null(file);
    return file;
}

/* The text of row `label` after its label and unit. */
static const char *row_of(const char *text, const char *label) {
    const char *at = strstr(text, label);
    if (at == NULL) {
        fail_msg("no row \"%s\" in\n%s", label, text);
    }
    return at + strlen(label);
}

static void comparison(void **state) {
    (void)state;
    pinery_ledger *a = make(1.0, false, false), *b = make(0.8, false, true), *c = make(0.5, false, true),
                  *d = make(1.0, false, false);
    pinery_report_entry run[] = {{.name = "no screen", .ledger = a},
                                 {.name = "one screen", .ledger = b},
                                 {.name = "half the heat", .ledger = c},
                                 {.name = "again", .ledger = d}};
    FILE *out = paper();
    assert_int_equal(pinery_report_compare(out, 2, run, 0, NULL), PINERY_OK);
    char *text = text_of(out);
    double values[4];
    assert_int_equal(sscanf(row_of(text, "  heat into pipes and coils"), " MJ/m2 %lf %lf %lf %lf", &values[0],
                            &values[1], &values[2], &values[3]),
                     4);
    double heat = pinery_ledger_result(a, PINERY_RESULT_heat_MJ_per_m2);
    assert_close(values[0], heat, 0.0, 0.051); /* one decimal */
    assert_close(values[1], 0.8 * heat, 0.0, 0.051);
    assert_close(values[2], -0.2 * heat, 0.0, 0.051);
    assert_close(values[3], -20.0, 0.0, 0.051);
    /* Nothing to measure in the first: a dash, and no difference. */
    char dash[4][8];
    assert_int_equal(
        sscanf(row_of(text, "  lowest drive drawn"), " h %7s %7s %7s %7s", dash[0], dash[1], dash[2], dash[3]), 4);
    assert_string_equal(dash[0], "-");
    assert_true(atof(dash[1]) > 30.0);
    assert_string_equal(dash[2], "-");
    assert_null(strstr(text, "third drive")); /* nobody has one */
    assert_non_null(strstr(text, "heat not accounted for"));
    assert_non_null(strstr(text, "water not accounted for"));
    assert_non_null(strstr(text, "a m3 of gas is 31.65 MJ, net value"));
    assert_non_null(strstr(text, "not a design certificate"));
    assert_non_null(strstr(text, "Snow"));
    free(text);

    /* Lines stay within 100 columns for two to four runs; the fourth is in a table of its own, and equal to the first.
     */
    for (int n = 1; n <= 4; n++) {
        out = paper();
        assert_int_equal(pinery_report_compare(out, n, run, 0, NULL), PINERY_OK);
        text = text_of(out);
        for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n")) {
            if (strlen(line) > 100) {
                fail_msg("%zu columns: %s", strlen(line), line);
            }
        }
        free(text);
    }
    pinery_report_entry same[] = {{.name = "a", .ledger = a}, {.name = "d", .ledger = d}};
    out = paper();
    assert_int_equal(pinery_report_compare(out, 2, same, 0, NULL), PINERY_OK);
    text = text_of(out);
    assert_int_equal(
        sscanf(row_of(text, "  gas"), " m3/m2 %lf %lf %lf %lf", &values[0], &values[1], &values[2], &values[3]), 4);
    assert_true(values[0] == values[1] && values[2] == 0.0 && values[3] == 0.0);
    assert_null(strstr(text, "-0.0 ")); /* a zero has no sign */
    free(text);
    pinery_error error;
    assert_int_equal(pinery_report_compare(stdout, 0, run, 0, &error), PINERY_BAD_INPUT);
    assert_int_equal(pinery_report_compare(stdout, 2, run, 2, &error), PINERY_BAD_INPUT);

    /* Against the second: the same difference, the other way round, of another whole. */
    out = paper();
    assert_int_equal(pinery_report_compare(out, 2, run, 1, NULL), PINERY_OK);
    text = text_of(out);
    assert_int_equal(sscanf(row_of(text, "  heat into pipes and coils"), " MJ/m2 %lf %lf %lf %lf", &values[0],
                            &values[1], &values[2], &values[3]),
                     4);
    assert_close(values[0], 0.8 * heat, 0.0, 0.051);
    assert_close(values[1], heat, 0.0, 0.051);
    assert_close(values[2], 0.2 * heat, 0.0, 0.051);
    assert_close(values[3], 25.0, 0.0, 0.051); /* of 80 % */
    assert_non_null(strstr(text, "A-B"));
    assert_non_null(strstr(text, "% of B"));
    free(text);
    pinery_ledger_free(a);
    pinery_ledger_free(b);
    pinery_ledger_free(c);
    pinery_ledger_free(d);
}

static void months_and_balance(void **state) {
    (void)state;
    pinery_ledger *ledger = make(1.0, false, true);
    pinery_report_entry run = {.name = "reference", .ledger = ledger};
    FILE *out = paper();
    assert_int_equal(pinery_report_months(out, &run, NULL), PINERY_OK);
    char *text = text_of(out);
    double days, gas, heat;
    assert_int_equal(sscanf(row_of(text, "Jan"), "%lf %lf %lf", &days, &gas, &heat), 3);
    assert_close(days, 3.0, 0.0, 1e-9);
    assert_close(gas, pinery_ledger_result(ledger, PINERY_RESULT_gas_m3_per_m2), 0.0, 0.0051);
    assert_close(heat, pinery_ledger_result(ledger, PINERY_RESULT_heat_MJ_per_m2), 0.0, 0.051);
    assert_null(strstr(text, "Feb"));
    free(text);

    out = paper();
    assert_int_equal(pinery_report_balance(out, &run, NULL), PINERY_OK);
    text = text_of(out);
    double in, percent;
    assert_int_equal(sscanf(row_of(text, "  boiler heat into the lower pipes"), "%lf %lf", &in, &percent), 2);
    assert_close(in, heat, 0.0, 0.051);
    assert_close(percent, 100.0, 0.0, 0.051);
    assert_non_null(strstr(text, "Not accounted for"));
    assert_null(strstr(text, "sun taken up by the cover")); /* moved nothing */
    free(text);
    pinery_ledger_free(ledger);
}

static double json_number(const cJSON *object, const char *key) {
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);
    if (item == NULL) {
        fail_msg("no %s", key);
    }
    return cJSON_IsNull(item) ? NAN : item->valuedouble;
}

static void json(void **state) {
    (void)state;
    pinery_ledger *a = make(1.0, false, false), *b = make(0.7, false, true);
    pinery_report_entry run[] = {{.name = "a \"quoted\" name\n", .ledger = a, .cost = {.wall_s = 1.25, .steps = 123}},
                                 {.name = "b", .ledger = b}};
    FILE *out = paper();
    assert_int_equal(pinery_report_json(out, 2, run, NULL), PINERY_OK);
    char *text = text_of(out);
    cJSON *root = cJSON_Parse(text);
    assert_non_null(root);
    assert_true(cJSON_IsString(cJSON_GetObjectItem(root, "pinery")));
    cJSON *runs = cJSON_GetObjectItem(root, "runs");
    assert_int_equal(cJSON_GetArraySize(runs), 2);
    for (int i = 0; i < 2; i++) {
        const cJSON *object = cJSON_GetArrayItem(runs, i);
        assert_string_equal(cJSON_GetObjectItem(object, "name")->valuestring, run[i].name);
        for (int r = 0; r < PINERY_N_RESULTS; r++) {
            double want = pinery_ledger_result(run[i].ledger, (pinery_result)r);
            double got = json_number(object, pinery_result_name((pinery_result)r)->key);
            if (isnan(want)) {
                assert_true(isnan(got));
            } else {
                assert_close(got, want, 1e-14, 0.0);
            }
        }
        const cJSON *heat = cJSON_GetObjectItem(object, "heat_by_heading_J_per_m2");
        for (int h = 0; h < PINERY_N_HEADINGS; h++) {
            assert_close(json_number(heat, pinery_heading_name((pinery_heading)h)->key),
                         pinery_ledger_heat(run[i].ledger, (pinery_heading)h), 1e-14, 0.0);
        }
        const cJSON *month = cJSON_GetArrayItem(cJSON_GetObjectItem(object, "months"), 0);
        assert_string_equal(cJSON_GetObjectItem(month, "month")->valuestring, "Jan");
        assert_close(json_number(cJSON_GetObjectItem(month, "meters"), "gas"),
                     pinery_ledger_meter(run[i].ledger, PINERY_METER_gas), 1e-14, 0.0);
    }
    assert_close(json_number(cJSON_GetArrayItem(runs, 0), "wall_s"), 1.25, 0.0, 0.0);
    assert_close(json_number(cJSON_GetArrayItem(runs, 0), "steps"), 123.0, 0.0, 0.0);
    cJSON_Delete(root);
    free(text);
    pinery_ledger_free(a);
    pinery_ledger_free(b);
}

static void hours_csv(void **state) {
    (void)state;
    pinery_ledger *ledger = make(1.0, true, true);
    FILE *out = paper();
    assert_int_equal(pinery_report_hours_csv(out, ledger, NULL), PINERY_OK);
    char *text = text_of(out), *rest = text;
    char *line = strtok_r(rest, "\n", &rest);
    assert_int_equal(strncmp(line, "time [standard time],air_lower [degC],", 38), 0);
    int columns = 1;
    for (char *c = line; *c != '\0'; c++) {
        columns += *c == ',';
    }
    int waters = 0;
    for (int i = 0; i < PINERY_N_HEADINGS; i++) {
        waters += pinery_heading_has_water((pinery_heading)i);
    }
    assert_int_equal(columns, 1 + PINERY_N_READINGS + PINERY_N_HEADINGS + waters + PINERY_N_METERS);
    int hours = 0;
    while ((line = strtok_r(rest, "\n", &rest)) != NULL) {
        if (hours == 0) {
            assert_int_equal(strncmp(line, "0001-01-02T00:00,", 17), 0); /* the run begins on 2 January */
        }
        char *cell = strchr(line, ',');
        for (int i = 0; i < PINERY_N_READINGS; i++, cell = strchr(cell + 1, ',')) {
            assert_close(atof(cell + 1), pinery_ledger_hour_reading(ledger, hours, (pinery_reading)i), 1e-8, 1e-12);
        }
        for (int i = 0; i < PINERY_N_HEADINGS; i++, cell = strchr(cell + 1, ',')) {
            assert_close(atof(cell + 1), pinery_ledger_hour_heat(ledger, hours, (pinery_heading)i), 1e-8, 0.0);
        }
        hours++;
    }
    assert_int_equal(hours, 72);
    free(text);
    pinery_ledger_free(ledger);

    ledger = make(1.0, false, true);
    pinery_error error;
    out = paper();
    assert_int_equal(pinery_report_hours_csv(out, ledger, &error), PINERY_BAD_INPUT);
    assert_non_null(strstr(error.text, "keep_hours"));
    fclose(out);
    pinery_ledger_free(ledger);
}

/* --- figures --- */

static bool have_gnuplot(void) {
    if (system("gnuplot --version >/dev/null 2>&1") == 0) {
        return true;
    }
    print_message("gnuplot is not installed: figures are not looked at\n");
    return false;
}

static long size_of(const char *path, char head[9]) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    memset(head, 0, 9);
    assert_true(fread(head, 1, 8, file) > 0);
    fseek(file, 0, SEEK_END);
    long size = ftell(file);
    fclose(file);
    return size;
}

static void figures(void **state) {
    (void)state;
    if (!have_gnuplot()) {
        skip();
    }
    char folder[] = "/tmp/test-report-XXXXXX", path[64], trap[64], name[256], head[9];
    assert_non_null(mkdtemp(folder));
    snprintf(trap, sizeof trap, "%s/trap", folder);
    /* If any of this were taken as a command, the trap would be there afterwards. */
    snprintf(name, sizeof name, "it's `touch %s` \"$(touch %s)\"'\nsystem('touch %s') %%s \\", trap, trap, trap);
    pinery_ledger *ledger = make(1.0, true, true);
    pinery_report_entry run = {.name = name, .ledger = ledger};
    pinery_error error;

    snprintf(path, sizeof path, "%s/a b.png", folder);
    if (pinery_report_figure(&run, 2.0, 2.0, path, NULL, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    assert_true(size_of(path, head) > 10000);
    assert_memory_equal(head, "\x89PNG\r\n\x1a\n", 8);
    unlink(path);

    snprintf(path, sizeof path, "%s/a.svg", folder);
    if (pinery_report_figure(&run, 2.5, 2.5, path, NULL, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    assert_true(size_of(path, head) > 10000);
    assert_memory_equal(head, "<?xml", 5);
    unlink(path);

    snprintf(path, sizeof path, "%s/a.pdf", folder);
    if (pinery_report_figure(&run, 2.0, 2.0, path, NULL, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    assert_true(size_of(path, head) > 5000);
    assert_memory_equal(head, "%PDF-", 5);
    unlink(path);

    FILE *out = paper();
    if (pinery_report_figure(&run, 3.0, 1.0, NULL, out, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    char *text = text_of(out);
    assert_non_null(strstr(text, "Temperature"));
    assert_non_null(strstr(text, "3 Jan"));
    free(text);
    assert_int_equal(access(trap, F_OK), -1);

    assert_int_equal(pinery_report_figure(&run, 1.0, 1.0, path, NULL, &error), PINERY_BAD_INPUT);
    assert_non_null(strstr(error.text, "from day 2 for 3 d"));
    assert_int_equal(pinery_report_figure(&run, 4.0, 2.0, path, NULL, &error), PINERY_BAD_INPUT);
    assert_int_equal(pinery_report_figure(&run, NAN, 2.0, path, NULL, &error), PINERY_BAD_INPUT);
    assert_int_equal(pinery_report_figure(&run, 2.0, 1.0, "/tmp/x.gif", NULL, &error), PINERY_BAD_INPUT);
    assert_non_null(strstr(error.text, ".svg, .png, .pdf"));
    snprintf(path, sizeof path, "%s/none/a.png", folder);
    assert_int_equal(pinery_report_figure(&run, 2.0, 1.0, path, NULL, &error), PINERY_IO);
    assert_non_null(strstr(error.text, path));

    /* Without gnuplot the error says so. */
    char *kept = strdup(getenv("PATH"));
    assert_non_null(kept);
    setenv("PATH", folder, 1);
    snprintf(path, sizeof path, "%s/a.png", folder);
    assert_int_equal(pinery_report_figure(&run, 2.0, 1.0, path, NULL, &error), PINERY_IO);
    setenv("PATH", kept, 1);
    free(kept);
    assert_non_null(strstr(error.text, "gnuplot is not found"));
    pinery_ledger_free(ledger);
    assert_int_equal(rmdir(folder), 0); /* nothing was left behind */
}

static void weather(void **state) {
    (void)state;
    pinery_weather *year = NULL;
    pinery_error error;
    if (pinery_weather_generate(PINERY_SOURCE_DIR "/weather/normals.csv", "Amsterdam", 1, &year, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    FILE *out = paper();
    assert_int_equal(pinery_report_weather(out, year, NULL), PINERY_OK);
    char *text = text_of(out);
    struct pinery_weather_month month[12];
    pinery_weather_months(year, month);
    double mean, low, high;
    assert_int_equal(sscanf(row_of(text, "Jul"), "%lf %lf %lf", &mean, &low, &high), 3);
    assert_close(mean, month[6].temperature, 0.0, 0.051);
    assert_close(low, month[6].temperature_min_mean, 0.0, 0.051);
    assert_close(high, month[6].temperature_max_mean, 0.0, 0.051);
    char checksum[24];
    snprintf(checksum, sizeof checksum, "%016llx", pinery_weather_checksum(year));
    assert_non_null(strstr(text, checksum));
    for (int i = 0; i < pinery_weather_remark_count(year); i++) {
        assert_non_null(strstr(text, pinery_weather_remark(year, i)));
    }
    free(text);
    if (have_gnuplot()) {
        char folder[] = "/tmp/test-report-XXXXXX", path[64], head[9];
        assert_non_null(mkdtemp(folder));
        snprintf(path, sizeof path, "%s/year.png", folder);
        if (pinery_report_weather_figure(year, path, NULL, &error) != PINERY_OK) {
            fail_msg("%s", error.text);
        }
        assert_true(size_of(path, head) > 10000);
        unlink(path);
        rmdir(folder);
        out = paper();
        assert_int_equal(pinery_report_weather_figure(year, NULL, out, &error), PINERY_OK);
        text = text_of(out);
        assert_non_null(strstr(text, "Jul"));
        free(text);
    }
    pinery_weather_free(year);
}

static void no_hours_no_netcdf(void **state) {
    (void)state;
    pinery_ledger *ledger = make(1.0, false, false);
    pinery_report_entry run = {.name = "no hours", .ledger = ledger};
    pinery_error error;
    FILE *out = paper();
    assert_int_equal(pinery_report_hours_netcdf(out, &run, &error), PINERY_BAD_INPUT);
    assert_non_null(strstr(error.text, "keep_hours = true"));
    assert_int_equal(pinery_report_csv(out, 0, &run, &error), PINERY_BAD_INPUT);
    char *text = text_of(out);
    assert_string_equal(text, "");
    free(text);
    pinery_ledger_free(ledger);
}

static void a_full_disk_is_reported(void **state) {
    (void)state;
    FILE *full = fopen("/dev/full", "w");
    if (full == NULL) {
        print_message("no /dev/full: not tried\n");
        skip();
    }
    pinery_ledger *ledger = make(1.0, true, true);
    pinery_report_entry run = {.name = "a", .ledger = ledger};
    pinery_error error;
    assert_int_equal(pinery_report_compare(full, 1, &run, 0, &error), PINERY_IO);
    assert_int_equal(pinery_report_hours_csv(full, ledger, &error), PINERY_IO);
    assert_int_equal(pinery_report_json(full, 1, &run, &error), PINERY_IO);
    assert_int_equal(pinery_report_csv(full, 1, &run, &error), PINERY_IO);
    assert_int_equal(pinery_report_hours_netcdf(full, &run, &error), PINERY_IO);
    assert_true(strlen(error.text) > 0);
    fclose(full);
    pinery_ledger_free(ledger);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(comparison),
        cmocka_unit_test(months_and_balance),
        cmocka_unit_test(json),
        cmocka_unit_test(hours_csv),
        cmocka_unit_test(figures),
        cmocka_unit_test(weather),
        cmocka_unit_test(no_hours_no_netcdf),
        cmocka_unit_test(a_full_disk_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
