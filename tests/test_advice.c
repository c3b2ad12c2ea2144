/* A strategy looked at before it is run, through the library alone: what is told, of what, and nothing of what is fine.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"

#include "pinery.h"

static pinery_weather *weather;

static int open_weather(void **state) {
    (void)state;
    return pinery_weather_generate(PINERY_SOURCE_DIR "/weather/normals.csv", "Denver", 1, &weather, NULL) != PINERY_OK;
}

static int close_weather(void **state) {
    (void)state;
    pinery_weather_free(weather);
    return 0;
}

static pinery_watch *advise(const pinery_house *house, const pinery_strategy *strategy, double first_day, double days) {
    pinery_options options;
    pinery_options_default(&options);
    options.first_day = first_day;
    options.days = days;
    options.tolerance = 0.1;
    pinery_watch *watch = NULL;
    pinery_error error;
    if (pinery_advise(weather, house, strategy, &options, &watch, &error) != PINERY_OK) {
        fail_msg("%s", error.text);
    }
    return watch;
}

static void a_bare_house_is_silent(void **state) {
    (void)state;
    pinery_house house;
    pinery_strategy strategy;
    pinery_house_default(&house);
    pinery_strategy_default(&strategy);
    pinery_watch *watch = advise(&house, &strategy, 30.0, 2.0);
    assert_int_equal(pinery_watch_count(watch), 0);
    pinery_watch_free(watch);
}

static void rules_and_cautions(void **state) {
    (void)state;
    pinery_house house;
    pinery_strategy strategy;
    pinery_house_default(&house);
    pinery_strategy_default(&strategy);
    house.drives = 1;
    house.lamp[0].power = 60.0;
    house.fan_through.flow = 0.7;
    strategy.screen[0].open_in_snow = false;
    strategy.screen[0].slit_humidity_max = 0.2;
    strategy.screen[0].slit_humidity_start = 40.0;
    strategy.screen[0].slit_humidity_full = 60.0;
    strategy.fan_humidity_start = 40.0;
    strategy.fan_humidity_full = 60.0;
    pinery_watch *watch = advise(&house, &strategy, 30.0, 60.0);
    const pinery_warning_kind want[] = {PINERY_WARNING_cloth_in_snow, PINERY_WARNING_slit_against_fan,
                                        PINERY_WARNING_structure,     PINERY_WARNING_fire,
                                        PINERY_WARNING_power_failure, PINERY_WARNING_moving_parts,
                                        PINERY_WARNING_light_at_night};
    assert_int_equal(pinery_watch_count(watch), 7);
    for (int i = 0; i < 7; i++) {
        pinery_warning warning = pinery_watch_warning(watch, i);
        assert_int_equal(warning.kind, want[i]);
        assert_true(warning.is_warning == (i < 2));
        assert_true(strlen(warning.caution) > 40 && strlen(warning.title) > 5 && strlen(warning.rule) > 5);
    }
    pinery_warning snow = pinery_watch_warning(watch, 0), slit = pinery_watch_warning(watch, 1);
    assert_true(isnan(snow.hours)); /* the typical years hold no snow */
    assert_non_null(strstr(snow.rule, "screens[1] with open_in_snow = false"));
    assert_true(slit.hours > 50.0 && slit.hours < 60.0 * 24.0 && slit.error_h > 0.0);
    assert_close(slit.looked_d, 10.0, 0.0, 1e-6); /* two days in each of five parts */
    assert_true(slit.first_s >= 29.0 * 86400.0);
    pinery_watch_free(watch);
}

static void bad_input_is_told(void **state) {
    (void)state;
    pinery_house house;
    pinery_strategy strategy;
    pinery_options options;
    pinery_error error;
    pinery_watch *watch = NULL;
    pinery_house_default(&house);
    pinery_strategy_default(&strategy);
    pinery_options_default(&options);
    strategy.period[0].heating = 90.0;
    assert_int_equal(pinery_advise(weather, &house, &strategy, &options, &watch, &error), PINERY_BAD_INPUT);
    assert_null(watch);
    assert_non_null(strstr(error.text, "heating = 90"));
    pinery_watch_free(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_bare_house_is_silent), cmocka_unit_test(rules_and_cautions),
                                       cmocka_unit_test(bad_input_is_told)};
    return cmocka_run_group_tests(tests, open_weather, close_weather);
}
