/* The calendars of crops: plantings and empty weeks of every preset, heights, years of 365 and 366 days, and what a run
 * makes of them: no transpiration in an empty house. */
#include "year_case.h"

#include "pinery/ledger.h"
#include "sky/weather.h"
#include "year/model.h"

static pinery_error error;

static struct pinery_year_crop crop_on(const pinery_house *house, double days, double day) {
    struct pinery_year_crop now;
    pinery_year_crop_at(house, days, 86400.0 * (day - 1.0), &now);
    return now;
}

static pinery_house with(const char *crop) {
    pinery_house house = year_house_plain();
    if (pinery_crop_preset(crop, &house.crop, &error) || pinery_house_check(&house, &error))
        fail_msg("%s", error.text);
    return house;
}

/* Plantings a year, days empty, and leaf area when full grown. Cycles a year and weeks empty are common practice, no
 * source, but chrysanthemum, 4.5 to 5.5 crops a year, and lettuce under glass, 5 to 8 (handbooks, from memory). Leaf
 * area of full-grown crops, from memory, unverified: tomato 2.5 to 4 (Heuvelink 2005, Tomatoes), cucumber 3 to 4 and
 * sweet pepper 4 to 7 (trials under glass), chrysanthemum 4 to 6 at harvest (Carvalho 2003, thesis Wageningen),
 * rose 2.5 to 4, lettuce 3 to 6 at harvest; growers' orders of size for the rest. */
static const struct {
    const char *name;
    int plantings;
    double empty_least, empty_most, area_least, area_most;
} known[] = {
    {"tomato", 1, 10, 21, 2.5, 4},
    {"lit tomato, autumn planting", 1, 14, 28, 2.5, 4},
    {"cucumber, three plantings", 3, 30, 60, 3, 4},
    {"sweet pepper", 1, 20, 35, 4, 7},
    {"cut rose, year of planting", 1, 14, 28, 2.5, 4},
    {"gerbera, year of planting", 1, 10, 21, 2, 4},
    {"chrysanthemum, five plantings", 5, 20, 45, 4, 6},
    {"alstroemeria, year of planting", 1, 14, 28, 3, 5},
    {"lisianthus, three plantings", 3, 30, 50, 2.5, 5},
    {"pot plants, spring and autumn", 2, 80, 130, 2, 4},
    {"lettuce, six plantings", 6, 20, 40, 3, 6},
};

static void every_calendar(void **state) {
    (void)state;
    int n = 0;
    const char *name;
    for (int i = 0; (name = pinery_preset_name("crop", i)) != NULL; i++) {
        pinery_house house = with(name);
        if (house.crop.points == 0)
            continue;
        n++;
        const double days = 365;
        int plantings = 0, k = 0, of = (int)(sizeof known / sizeof *known);
        while (k < of && strcmp(known[k].name, name) != 0)
            k++;
        if (k == of)
            fail_msg("%s has a calendar and is not looked at here", name);
        double before = crop_on(&house, days, 1).area, empty = 0, most = 0;
        for (double day = 1; day < 366; day += 0.125) {
            struct pinery_year_crop now = crop_on(&house, days, day);
            empty += now.area == 0 ? 0.125 : 0;
            plantings += before == 0 && now.area > 0;
            most = fmax(most, now.area);
            before = now.area;
            assert_true(now.leaf[0] > 0 && now.leaf[1] > 0);
            assert_close(now.leaf[0] + now.leaf[1], fmax(now.area, 0.01), 1e-12, 0);
            assert_true(fabs(crop_on(&house, days, day + 1e-6).area - now.area) < 1e-4); /* no jump */
        }
        plantings += before == 0 && crop_on(&house, days, 1).area > 0; /* over the New Year */
        if (plantings != known[k].plantings)
            fail_msg("%s: %d plantings, expected %d", name, plantings, known[k].plantings);
        if (!(empty >= known[k].empty_least && empty <= known[k].empty_most))
            fail_msg("%s: %g days empty, expected %g .. %g", name, empty, known[k].empty_least, known[k].empty_most);
        if (!(most >= known[k].area_least && most <= known[k].area_most))
            fail_msg("%s: leaf area %g, expected %g .. %g", name, most, known[k].area_least, known[k].area_most);
    }
    assert_int_equal(n, (int)(sizeof known / sizeof *known));
}

/* By hand: half way between two points; over the New Year; the year of 366 days has a last day of its own. */
static void between_points(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    house.crop.points = 2;
    house.crop.calendar[0] = (pinery_crop_point){11, 1, 0};
    house.crop.calendar[1] = (pinery_crop_point){361, 3, 0};
    assert_close(crop_on(&house, 365, 186).area, 2, 1e-12, 0);
    assert_close(crop_on(&house, 365, 1).area, 3 - 2 * 5.0 / 15, 1e-12, 0);
    assert_close(crop_on(&house, 366, 1).area, 3 - 2 * 6.0 / 16, 1e-12, 0);
    assert_close(crop_on(&house, 366, 366).area, 3 - 2 * 5.0 / 16, 1e-12, 0);
    assert_close(crop_on(&house, 366, 366.999).area, crop_on(&house, 366, 1).area, 1e-4, 0);
    assert_close(crop_on(&house, 366, 60).area, crop_on(&house, 365, 60).area, 1e-12, 0);
    assert_close(crop_on(&house, 365, -4).area, crop_on(&house, 365, 361).area, 1e-12, 0); /* spin-up before the year */
    assert_close(crop_on(&house, 366, 366 + 186).area, 2, 1e-12, 0);                       /* the year after */
}

static double bend_after(const pinery_house *house, double days, double day) {
    return pinery_year_crop_bend(house, days, 86400.0 * (day - 1.0)) / 86400.0 + 1.0;
}

/* The calendar's next point, this year or the next. */
static void bends(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    house.crop.points = 0;
    assert_true(isinf(bend_after(&house, 365, 1)));
    house.crop.points = 1;
    house.crop.calendar[0] = (pinery_crop_point){1, 2, 0};
    assert_true(isinf(bend_after(&house, 365, 1)));
    house.crop.points = 3;
    house.crop.calendar[0] = (pinery_crop_point){10, 2, 0};
    house.crop.calendar[1] = (pinery_crop_point){60, 3, 0};
    house.crop.calendar[2] = (pinery_crop_point){300, 1, 0};
    assert_close(bend_after(&house, 365, 1), 10, 0, 0);
    assert_close(bend_after(&house, 365, 10), 60, 0, 0); /* one that is reached is behind */
    assert_close(bend_after(&house, 365, 59.99), 60, 0, 0);
    assert_close(bend_after(&house, 365, 301), 365 + 10, 0, 0);
    assert_close(bend_after(&house, 366, 301), 366 + 10, 0, 0);
    assert_close(bend_after(&house, 365, -70), 300 - 365, 0, 0); /* spin-up before the year */
    assert_close(bend_after(&house, 366, 366 + 20), 366 + 60, 0, 0);
}

/* Leaves evenly over the height, the lower air up to 1.2 m: 40 % of 3 m, and nearly all of what is lower than that. */
static void height_splits_the_leaves(void **state) {
    (void)state;
    pinery_house house = year_house_plain();
    assert_close(house.split_height, 1.2, 0, 0);
    house.crop.points = 2;
    house.crop.calendar[0] = (pinery_crop_point){1, 2, 3};
    house.crop.calendar[1] = (pinery_crop_point){183, 2, 1};
    struct pinery_year_crop tall = crop_on(&house, 365, 1), low = crop_on(&house, 365, 183);
    assert_close(tall.leaf[0], 0.4 * 2, 1e-12, 0);
    assert_close(low.leaf[0], 0.98 * 2, 1e-12, 0);
    house.crop.calendar[0].height = house.crop.calendar[1].height = 0;
    assert_close(crop_on(&house, 365, 1).leaf[0], house.crop.lower_share * 2, 1e-12, 0);
    house.crop.calendar[1].height = 1;
    assert_int_equal(pinery_house_check(&house, &error), PINERY_BAD_INPUT);
    assert_string_equal(error.text,
                        "house: crop: calendar: 1 of 2 points with leaves have a height; expected all or none");
    house.crop.calendar[0].leaf_area = 0; /* an empty house has no height */
    assert_int_equal(pinery_house_check(&house, &error), PINERY_OK);
    house.crop.calendar[1].height = 9;
    assert_int_equal(pinery_house_check(&house, &error), PINERY_BAD_INPUT);
}

struct hours {
    int n;
    double water[400], area[400], over_85, closure_heat, closure_water, growth;
};

static void run_hours(const pinery_house *house, double first_day, double days, struct hours *hours) {
    pinery_weather *weather = year_weather("Denver");
    pinery_options options = year_span(first_day, days);
    options.keep_hours = true;
    pinery_strategy strategy;
    pinery_strategy_default(&strategy);
    pinery_run *run = NULL;
    if (pinery_run_create(weather, house, &strategy, &options, &run, &error) || pinery_run_all(run, &error))
        fail_msg("%s", error.text);
    const pinery_ledger *ledger = pinery_run_ledger(run);
    hours->n = pinery_ledger_hours(ledger);
    for (int i = 0; i < hours->n; i++) {
        hours->water[i] = pinery_ledger_hour_water(ledger, i, PINERY_HEADING_transpiration);
        hours->area[i] = pinery_ledger_hour_reading(ledger, i, PINERY_READING_leaf_area);
    }
    hours->over_85 = pinery_ledger_result(ledger, PINERY_RESULT_hours_humidity_over_85);
    hours->growth = pinery_ledger_result(ledger, PINERY_RESULT_growth_index);
    hours->closure_heat = pinery_ledger_result(ledger, PINERY_RESULT_closure_heat);
    hours->closure_water = pinery_ledger_result(ledger, PINERY_RESULT_closure_water);
    pinery_run_free(run);
    pinery_weather_free(weather);
}

/* A week between two plantings of chrysanthemum, days 67 to 73: it transpires before, not at all in it, and a little
 * after, when it is planted; the books close. Nobody stands in the damp while it is empty. */
static void empty_weeks_do_not_transpire(void **state) {
    (void)state;
    pinery_house house = with("chrysanthemum, five plantings");
    struct hours h;
    run_hours(&house, 64, 13, &h);
    assert_int_equal(h.n, 13 * 24);
    double before = 0, after = 0;
    int empty = 0;
    for (int i = 0; i < h.n; i++) {
        double day = 64 + i / 24.0;
        if (h.area[i] == 0) {
            assert_close(h.water[i], 0, 0, 1e-12); /* of some 0.1 kg */
            empty++;
        }
        before += day < 66 ? h.water[i] : 0;
        after += day >= 75 ? h.water[i] : 0;
    }
    assert_int_equal(empty, 6 * 24);
    assert_true(before > 1 && after > 0 && after < 0.5 * before);
    assert_true(fabs(h.closure_heat) < 1e-9 && fabs(h.closure_water) < 1e-9);

    house.crop.points = 1; /* empty throughout */
    house.crop.calendar[0] = (pinery_crop_point){1, 0, 0};
    run_hours(&house, 64, 2, &h);
    for (int i = 0; i < h.n; i++)
        assert_true(h.water[i] == 0);
    assert_true(h.over_85 == 0 && h.growth == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_calendar), cmocka_unit_test(between_points),
                                       cmocka_unit_test(bends), cmocka_unit_test(height_splits_the_leaves),
                                       cmocka_unit_test(empty_weeks_do_not_transpire)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
