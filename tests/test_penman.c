/* The FAO-56 worked examples as wholes, and signs. Their intermediates are in tables/crop.txt. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "check.h"
#include "crop/penman.h"

static const double degree = 3.14159265358979323846 / 180;

/* The standard prints its answers to two or three digits. */
static void worked_examples(void **state) {
    (void)state;
    struct pinery_crop_reference bangkok =
        pinery_crop_penman_day((13 + 44 / 60.0) * degree, 2, 105, 34.8, 25.6, 2.85, 22.65, 2, 0.14);
    assert_close(bangkok.evaporation_mm, 5.72, 0.005, 0); /* example 17 */
    double wind = pinery_crop_penman_wind_2m(2.78, 10);
    struct pinery_crop_reference uccle =
        pinery_crop_penman_day((50 + 48 / 60.0) * degree, 100, 187, 21.5, 12.3, 1.409, 22.07, wind, 0);
    assert_close(uccle.evaporation_mm, 3.9, 0, 0.05); /* example 18, to its digits */
    struct pinery_crop_reference hour =
        pinery_crop_penman_hour((16 + 13 / 60.0) * degree, 16.25, 15, 8, 274, 14.5, 38, 0.52, 2.450, 0.8, 3.3);
    assert_close(hour.evaporation_mm, 0.63, 0, 0.005); /* example 19 */
    struct pinery_crop_reference night =
        pinery_crop_penman_hour((16 + 13 / 60.0) * degree, 16.25, 15, 8, 274, 2.5, 28, 0.90, 0, 0.8, 1.9);
    assert_close(night.evaporation_mm, 0.0, 0, 0.005);
}

static void an_energy_balance_of_its_own(void **state) {
    (void)state;
    for (int day = 1; day <= 365; day += 7) {
        struct pinery_crop_reference r = pinery_crop_penman_day(52 * degree, 0, day, 15, 5, 0.8, 3, 2, 0);
        assert_close(r.net_MJ, r.net_short_MJ - r.net_long_MJ, 1e-15, 0);
        assert_close(r.deficit_kPa, r.saturation_kPa - r.vapour_kPa, 1e-15, 0);
        assert_true(r.extraterrestrial_MJ > r.clear_sky_MJ && r.clear_sky_MJ > 0);
    }
}

/* The hours of a day add up to the day; beyond the polar circle the sun stays down, or up. */
static void hours_make_the_day(void **state) {
    (void)state;
    const double latitude[] = {-70, -35, 0, 16.2, 52, 75};
    for (size_t i = 0; i < sizeof latitude / sizeof *latitude; i++)
        for (int day = 10; day < 365; day += 31) {
            double sum = 0,
                   whole = pinery_crop_penman_day(latitude[i] * degree, 0, day, 20, 10, 1, 5, 2, 0).extraterrestrial_MJ;
            for (int k = 0; k < 24; k++)
                sum += pinery_crop_penman_hour(latitude[i] * degree, 0, 0, 0, day, k + 0.5, 15, 0.7, 0, 0.8, 2)
                           .extraterrestrial_MJ;
            /* the equation of time shifts the hours against midnight, which matters where the sun does not set */
            assert_close(sum, whole, 0.01, 1e-9);
        }
}

static void drier_and_windier_is_more(void **state) {
    (void)state;
    double base = pinery_crop_penman_day(0.9, 0, 187, 22, 12, 1.4, 20, 2, 0).evaporation_mm;
    assert_true(pinery_crop_penman_day(0.9, 0, 187, 22, 12, 1.0, 20, 2, 0).evaporation_mm > base);
    assert_true(pinery_crop_penman_day(0.9, 0, 187, 22, 12, 1.4, 25, 2, 0).evaporation_mm > base);
    assert_true(pinery_crop_penman_day(0.9, 0, 187, 22, 12, 1.4, 20, 2, 2).evaporation_mm < base);
    double moist = pinery_crop_penman_canopy(100, 3, 20, 2100, 101325, 200, 300, 145);
    assert_true(pinery_crop_penman_canopy(100, 3, 20, 1800, 101325, 200, 300, 145) > moist);
    assert_true(pinery_crop_penman_canopy(100, 3, 20, 2100, 101325, 200, 900, 145) < moist);
    assert_true(pinery_crop_penman_canopy(150, 3, 20, 2100, 101325, 200, 300, 145) > moist);
    /* no resistance of the stomata, saturated air: D/(D + gamma) of the radiation, the equilibrium rate */
    assert_close(pinery_crop_penman_canopy(100, 3, 20, 2338.8, 101325, 200, 0, 145), 100 * 145 / (145 + 65.5), 0.005,
                 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples),
        cmocka_unit_test(an_energy_balance_of_its_own),
        cmocka_unit_test(hours_make_the_day),
        cmocka_unit_test(drier_and_windier_is_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
