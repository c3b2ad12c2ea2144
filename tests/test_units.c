/* Units at the edge: handbook values, spellings, and every unit there and back. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "check.h"

static double in(enum pinery_base_quantity quantity, const char *name, double value, double step_s) {
    const struct pinery_base_unit *unit = pinery_base_unit_find(quantity, name);
    assert_non_null(unit);
    return pinery_base_unit_in(unit, value, step_s);
}

/* NIST Special Publication 811 (2008), appendix B.8: the printed factors, to their printed digits. */
static void handbook_factors(void **state) {
    (void)state;
    assert_close(in(PINERY_BASE_SPEED, "kn", 1.0, 0.0), 0.5144444, 2e-7, 0.0);
    assert_close(in(PINERY_BASE_SPEED, "km/h", 1.0, 0.0), 0.2777778, 2e-7, 0.0);
    assert_close(in(PINERY_BASE_SPEED, "mph", 1.0, 0.0), 0.44704, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_PRESSURE, "mbar", 1.0, 0.0), 100.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_PRESSURE, "mmHg", 760.0, 0.0), 101325.0, 1e-6, 0.0); /* one atmosphere */
    assert_close(in(PINERY_BASE_PRESSURE, "inHg", 1.0, 0.0), 3386.389, 1e-7, 0.0);
    assert_close(in(PINERY_BASE_LENGTH, "ft", 1.0, 0.0), 0.3048, 1e-15, 0.0);
    /* Fixed points: water freezes at 32 degF = 0 degC and boils at 212 degF = 100 degC; -40 is the same on both. */
    assert_close(in(PINERY_BASE_TEMPERATURE, "degF", 32.0, 0.0), 0.0, 0.0, 1e-12);
    assert_close(in(PINERY_BASE_TEMPERATURE, "degF", 212.0, 0.0), 100.0, 1e-14, 0.0);
    assert_close(in(PINERY_BASE_TEMPERATURE, "degF", -40.0, 0.0), -40.0, 1e-14, 0.0);
    assert_close(in(PINERY_BASE_TEMPERATURE, "K", 273.15, 0.0), 0.0, 0.0, 1e-12);
}

static void sums_over_a_record(void **state) {
    (void)state;
    /* 1 J/cm2 in an hour is 10000 J/m2 / 3600 s; by arithmetic, as are the rest. */
    assert_close(in(PINERY_BASE_RADIATION, "J/cm2", 1.0, 3600.0), 10000.0 / 3600.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_RADIATION, "J/cm2", 1.0, 300.0), 10000.0 / 300.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_RADIATION, "kJ/m2", 3.6, 3600.0), 1.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_RADIATION, "MJ/m2", 0.9, 900.0), 1000.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_RADIATION, "Wh/m2", 250.0, 3600.0), 250.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_RATE_OF_RAIN, "mm", 0.2, 300.0), 2.4, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_RATE_OF_RAIN, "mm/h", 0.2, 300.0), 0.2, 1e-15, 0.0);
    /* FAO Irrigation and Drainage Paper 56 (1998), table 3: 1 J/(cm2 day) = 0.01 MJ/(m2 day), 1 W/m2 = 0.0864 of them.
     */
    assert_close(in(PINERY_BASE_RADIATION, "MJ/m2", 0.0864, 86400.0), 1.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_RADIATION, "J/cm2", 8.64, 86400.0), 1.0, 1e-15, 0.0);
    /* Thimijan and Heins (1983), table 3: sun and sky, 4.57 umol/(m2 s) for 1 W/m2. */
    assert_close(in(PINERY_BASE_PAR, "umol/m2/s", 4.57, 0.0), 1.0, 1e-15, 0.0);
    assert_close(in(PINERY_BASE_PAR, "mol/m2", 0.016452, 3600.0), 1.0, 1e-12, 0.0);
}

static void every_unit_there_and_back(void **state) {
    (void)state;
    static const double steps[] = {60.0, 300.0, 900.0, 3600.0};
    static const double values[] = {-40.0, 0.0, 0.3, 17.25, 1013.25};
    int tried = 0;
    for (int quantity = 0; quantity <= PINERY_BASE_TIME; quantity++) {
        char names[256], *rest = names;
        pinery_base_unit_names((enum pinery_base_quantity)quantity, names, sizeof names);
        assert_true(names[0] != '\0');
        for (char *name = strtok_r(names, ",", &rest); name != NULL; name = strtok_r(NULL, ",", &rest)) {
            const struct pinery_base_unit *unit = pinery_base_unit_find((enum pinery_base_quantity)quantity, name);
            assert_non_null(unit);
            for (int s = 0; s < 4; s++) {
                for (int v = 0; v < 5; v++) {
                    double inside = pinery_base_unit_in(unit, values[v], steps[s]);
                    assert_close(pinery_base_unit_out(unit, inside, steps[s]), values[v], 1e-14, 1e-12);
                    tried++;
                }
            }
        }
    }
    assert_true(tried > 500);
}

static void spellings(void **state) {
    (void)state;
    static const struct {
        enum pinery_base_quantity quantity;
        const char *name, *want;
    } row[] = {
        {PINERY_BASE_TEMPERATURE,
         "\xC2\xB0"
         "C",
         "degC"},
        {PINERY_BASE_TEMPERATURE,
         "\xB0"
         "C",
         "degC"},
        {PINERY_BASE_TEMPERATURE, "C", "degC"},
        {PINERY_BASE_TEMPERATURE, "deg C", "degC"},
        {PINERY_BASE_TEMPERATURE,
         "\xC2\xB0"
         "F",
         "degF"},
        {PINERY_BASE_RADIATION, "W/m\xC2\xB2", "W/m2"},
        {PINERY_BASE_RADIATION, "W/m^2", "W/m2"},
        {PINERY_BASE_RADIATION, "W m-2", "W/m2"},
        {PINERY_BASE_RADIATION, "w/m2", "W/m2"},
        {PINERY_BASE_RADIATION, "J cm-2", "J/cm2"},
        {PINERY_BASE_PAR, "\xC2\xB5mol m-2 s-1", "umol/m2/s"},
        {PINERY_BASE_PAR, "\xCE\xBCmol/m\xC2\xB2/s", "umol/m2/s"},
        {PINERY_BASE_SPEED, "m s-1", "m/s"},
        {PINERY_BASE_SPEED, "knots", "kn"},
        {PINERY_BASE_PRESSURE, " mb ", "mbar"},
        {PINERY_BASE_PRESSURE, "HPA", "hPa"},
        {PINERY_BASE_FRACTION, "percent", "%"},
        {PINERY_BASE_ANGLE, "\xC2\xB0", "deg"},
    };
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        const struct pinery_base_unit *unit = pinery_base_unit_find(row[i].quantity, row[i].name);
        assert_non_null(unit);
        assert_string_equal(unit->name, row[i].want);
    }
}

static void what_is_not_a_unit(void **state) {
    (void)state;
    assert_null(pinery_base_unit_find(PINERY_BASE_TEMPERATURE, ""));
    assert_null(pinery_base_unit_find(PINERY_BASE_TEMPERATURE, "Pa"));
    assert_null(pinery_base_unit_find(PINERY_BASE_TEMPERATURE, "c"));
    assert_null(pinery_base_unit_find(PINERY_BASE_RADIATION, "mJ/m2")); /* a thousand million times less than MJ/m2 */
    assert_null(pinery_base_unit_find(PINERY_BASE_RADIATION, "lux"));
    assert_null(pinery_base_unit_find(PINERY_BASE_SPEED, "a name far too long to be the name of any unit at all"));
    char names[16];
    pinery_base_unit_names(PINERY_BASE_RADIATION, names, sizeof names); /* a short buffer is not overrun */
    assert_int_equal(strlen(names), 15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(handbook_factors),          cmocka_unit_test(sums_over_a_record),
        cmocka_unit_test(every_unit_there_and_back), cmocka_unit_test(spellings),
        cmocka_unit_test(what_is_not_a_unit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
