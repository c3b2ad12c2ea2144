/* The sun's mean over an interval, the split and the tilted plane, against their definitions. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <time.h>

#include "check.h"
#include "sky/diffuse.h"
#include "sky/longwave.h"
#include "sky/sun.h"
#include "sky/tilt.h"

#define DEG (180.0 / 3.14159265358979323846)

static const struct {
    double latitude, longitude, utc;
} places[] = {{52.3, 4.77, 1}, {60.32, 24.97, 2}, {-33.0, 151.0, 10},
              {70.0, 25.0, 1}, {0.5, -80.0, -5},  {39.83, -104.65, -7}};
#define N_PLACES (int)(sizeof places / sizeof *places)

/* The closed form of the mean against instants 10 s apart. */
static void mean_of_an_hour_is_the_mean_of_instants(void **state) {
    (void)state;
    int sunlit_hours = 0, dark_hours = 0;
    for (int p = 0; p < N_PLACES; p++)
        for (int hour = 7; hour < 8760; hour += 61) {
            double start = 3600.0 * hour, elevation, azimuth, sine;
            bool sunlit = pinery_sky_sun_mean(places[p].latitude, places[p].longitude, places[p].utc, start, 3600, 0,
                                              &elevation, &azimuth, &sine);
            double sum = 0, up = 0, north = 0, east = 0;
            for (double s = 5; s < 3600; s += 10) {
                double e, a;
                pinery_sky_sun_position(places[p].latitude, places[p].longitude, places[p].utc, start + s, 0, &e, &a);
                double weight = fmax(0, sin(e / DEG));
                sum += weight;
                up += weight * sin(e / DEG);
                north += weight * cos(e / DEG) * cos(a / DEG);
                east += weight * cos(e / DEG) * sin(a / DEG);
            }
            assert_close(sine, sum / 360.0, 0, 1e-4);
            assert_int_equal(sunlit, sine > 0);
            if (sunlit && sine > 0.01) {
                sunlit_hours++;
                assert_close(remainder(azimuth - DEG * atan2(east, north), 360), 0, 0, 0.1);
                assert_close(elevation, DEG * atan2(up, hypot(north, east)), 0, 0.02);
            } else if (!sunlit) {
                dark_hours++;
                assert_true(elevation <= 0);
                assert_close(sine, 0, 0, 0);
            }
        }
    assert_true(sunlit_hours > 300 && dark_hours > 300);
}

static void sun_stands_where_almanacs_put_it(void **state) {
    (void)state;
    double elevation, azimuth, noon = 171.5 * 86400; /* 21 June */
    pinery_sky_sun_position(50, 0, 0, noon, 2005, &elevation, &azimuth);
    /* declination at the solstice, Astronomical Almanac (from memory, unverified); the sun is near the meridian */
    assert_close(elevation, 90 - 50 + 23.44, 0, 0.01);
    assert_close(azimuth, 180, 0, 1.5);
    assert_close(pinery_sky_orbit_at(0, 0, 354.8 * 86400, 2005).declination * DEG, -23.44, 0, 0.01);
    /* equation of time, Astronomical Almanac: +16.4 min on 3 November, -14.2 on 11 February (from memory, unverified)
     */
    assert_close(pinery_sky_orbit_at(0, 0, 306.5 * 86400, 2005).hour_angle * DEG * 4, 16.4, 0, 0.1);
    assert_close(pinery_sky_orbit_at(0, 0, 41.5 * 86400, 2005).hour_angle * DEG * 4, -14.2, 0, 0.1);
    /* perihelion early in January, 0.9833 AU, aphelion early in July, 1.0167 AU (from memory, unverified) */
    assert_close(pinery_sky_extraterrestrial_normal(2 * 86400.0), 1361 / (0.9833 * 0.9833), 2e-4, 0);
    assert_close(pinery_sky_extraterrestrial_normal(185 * 86400.0), 1361 / (1.0167 * 1.0167), 2e-4, 0);
}

static void sunrise_needs_a_sunrise(void **state) {
    (void)state;
    double rise, set;
    assert_false(pinery_sky_sunrise(70, 25, 1, 172 * 86400.0, 0, &rise, &set));
    assert_true(isnan(rise) && isnan(set));
    assert_false(pinery_sky_sunrise(70, 25, 1, 355 * 86400.0, 0, &rise, &set));
    assert_true(pinery_sky_sunrise(70, 25, 1, 80 * 86400.0, 0, &rise, &set));
    assert_between(set - rise, 12 * 3600.0, 13 * 3600.0); /* equinox, with refraction and the sun's radius */
    double elevation, azimuth;
    pinery_sky_sun_position(70, 25, 1, rise, 0, &elevation, &azimuth);
    assert_close(elevation, -0.8333, 0, 0.004); /* parallax */
}

static void a_year_of_hours_is_quick(void **state) {
    (void)state;
    clock_t began = clock();
    double sum = 0;
    for (int hour = 0; hour < 8760; hour++) {
        double elevation, azimuth, sine;
        pinery_sky_sun_mean(52, 5, 1, 3600.0 * hour, 3600, 0, &elevation, &azimuth, &sine);
        sum += sine;
    }
    double ms = 1e3 * (double)(clock() - began) / (double)CLOCKS_PER_SEC;
    print_message("sun of 8760 hours: %.1f ms\n", ms);
    assert_between(sum, 8760 * 0.15, 8760 * 0.25);
    assert_true(ms < 500); /* under sanitizers and valgrind too */
}

static void split_keeps_the_whole(void **state) {
    (void)state;
    double beam, diffuse;
    for (int model = 0; model < PINERY_SKY_DIFFUSE_N; model++)
        for (double sine = 0; sine <= 1; sine += 0.05)
            for (double global = 0; global <= 1100; global += 50) {
                pinery_sky_split((enum pinery_sky_diffuse_model)model, global, sine, 1361, &beam, &diffuse);
                assert_close(beam * sine + diffuse, global, 1e-12, 0);
                assert_true(beam >= 0 && beam <= 1361 && diffuse >= 0);
            }
    pinery_sky_split(PINERY_SKY_DIFFUSE_erbs, 500, 0.5, 1361, &beam, &diffuse);
    assert_close(diffuse / 500, pinery_sky_erbs(500 / (0.5 * 1361)), 1e-12, 0);
}

static void tilted_plane_knows_its_limits(void **state) {
    (void)state;
    struct pinery_sky_plane flat = {0, 77}, wall = {90, 180}, roof = {30, 180}, north = {90, 0};
    for (int m = 0; m < PINERY_SKY_TILT_N; m++) {
        enum pinery_sky_tilt_model model = (enum pinery_sky_tilt_model)m;
        struct pinery_sky_tilted on = pinery_sky_tilt(model, flat, 40, 150, 600, 120, 0.2, 1361);
        assert_close(on.beam, 600 * sin(40 / DEG), 1e-12, 0);
        assert_close(on.sky, 120, 1e-12, 0);
        assert_close(on.ground, 0, 0, 1e-12);
        on = pinery_sky_tilt(model, wall, -5, 150, 0, 120, 0.2, 1361);
        assert_close(on.sky, 60, 1e-12, 0); /* half the sky */
        assert_close(on.ground, 12, 1e-12, 0);
        assert_close(on.incidence, 0, 0, 0);
        on = pinery_sky_tilt(model, roof, 60, 180, 700, 100, 0.2, 1361); /* the sun square on */
        assert_close(on.incidence, 1, 1e-12, 0);
        assert_close(on.beam, 700, 1e-12, 0);
        on = pinery_sky_tilt(model, north, 60, 180, 700, 100, 0.2, 1361);
        assert_close(on.beam, 0, 0, 0);
    }
    /* Hay & Davies by hand: A = 700/1400, Rb = 1/sin 60 */
    struct pinery_sky_tilted on = pinery_sky_tilt(PINERY_SKY_TILT_hay_davies, roof, 60, 180, 700, 100, 0, 1400);
    assert_close(on.sky, 100 * (0.5 / sin(60 / DEG) + 0.5 * 0.5 * (1 + cos(30 / DEG))), 1e-12, 0);
}

static void cloud_turns_back(void **state) {
    (void)state;
    for (double cloud = 0; cloud <= 1; cloud += 0.1)
        assert_close(pinery_sky_cloud_of_infrared(12, 1100, pinery_sky_infrared(12, 1100, cloud)), cloud, 0, 1e-12);
    assert_close(pinery_sky_cloud_of_infrared(12, 1100, 100), 0, 0, 0);
    assert_close(pinery_sky_cloud_of_infrared(12, 1100, 600), 1, 0, 0);
    assert_true(isfinite(pinery_sky_infrared(-40, 0, 0)));
    assert_close(pinery_sky_cloud_of_clear_index(1.1), 0, 0, 0);
    assert_close(pinery_sky_cloud_of_clear_index(0.25), 1, 1e-12, 0); /* overcast passes a quarter */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mean_of_an_hour_is_the_mean_of_instants),
        cmocka_unit_test(sun_stands_where_almanacs_put_it),
        cmocka_unit_test(sunrise_needs_a_sunrise),
        cmocka_unit_test(a_year_of_hours_is_quick),
        cmocka_unit_test(split_keeps_the_whole),
        cmocka_unit_test(tilted_plane_knows_its_limits),
        cmocka_unit_test(cloud_turns_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
