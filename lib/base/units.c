/* Units at the edge.
 *
 *   inside = factor (value + offset)              for a level or a rate
 *   inside = factor value per_step / step         for a sum over a record of length `step`
 *
 * Factors are exact by definition (SI Brochure, 9th edition; NIST Special Publication 811, appendix B; a therm is 1e5
 * Btu of the International Table, 1055.05585262 J each) but for mmHg and inHg, from the same appendix, and the photons
 * of photosynthetic radiation: 4.57 umol per joule of sun and sky light between 400 and 700 nm (Thimijan and Heins
 * 1983, HortScience 18, 818-822). */
#include "base/units.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

static const struct pinery_base_unit units[] = {
    {PINERY_BASE_TEMPERATURE, "degC", 1.0, 0.0, 0.0},
    {PINERY_BASE_TEMPERATURE, "K", 1.0, -273.15, 0.0},
    {PINERY_BASE_TEMPERATURE, "degF", 1.0 / 1.8, -32.0, 0.0},
    {PINERY_BASE_PRESSURE, "Pa", 1.0, 0.0, 0.0},
    {PINERY_BASE_PRESSURE, "hPa", 100.0, 0.0, 0.0},
    {PINERY_BASE_PRESSURE, "mbar", 100.0, 0.0, 0.0},
    {PINERY_BASE_PRESSURE, "kPa", 1000.0, 0.0, 0.0},
    {PINERY_BASE_PRESSURE, "bar", 1e5, 0.0, 0.0},
    {PINERY_BASE_PRESSURE, "mmHg", 133.3224, 0.0, 0.0},
    {PINERY_BASE_PRESSURE, "inHg", 3386.389, 0.0, 0.0},
    {PINERY_BASE_FRACTION, "1", 1.0, 0.0, 0.0},
    {PINERY_BASE_FRACTION, "%", 0.01, 0.0, 0.0},
    {PINERY_BASE_FRACTION, "tenths", 0.1, 0.0, 0.0},
    {PINERY_BASE_FRACTION, "oktas", 0.125, 0.0, 0.0},
    {PINERY_BASE_RADIATION, "W/m2", 1.0, 0.0, 0.0},
    {PINERY_BASE_RADIATION, "kW/m2", 1000.0, 0.0, 0.0},
    {PINERY_BASE_RADIATION, "J/cm2", 1e4, 0.0, 1.0},
    {PINERY_BASE_RADIATION, "J/m2", 1.0, 0.0, 1.0},
    {PINERY_BASE_RADIATION, "kJ/m2", 1e3, 0.0, 1.0},
    {PINERY_BASE_RADIATION, "MJ/m2", 1e6, 0.0, 1.0},
    {PINERY_BASE_RADIATION, "Wh/m2", 3600.0, 0.0, 1.0},
    {PINERY_BASE_RADIATION, "kWh/m2", 3.6e6, 0.0, 1.0},
    {PINERY_BASE_PAR, "umol/m2/s", 1.0 / 4.57, 0.0, 0.0},
    {PINERY_BASE_PAR, "W/m2", 1.0, 0.0, 0.0},
    {PINERY_BASE_PAR, "mol/m2", 1e6 / 4.57, 0.0, 1.0},
    {PINERY_BASE_SPEED, "m/s", 1.0, 0.0, 0.0},
    {PINERY_BASE_SPEED, "km/h", 1.0 / 3.6, 0.0, 0.0},
    {PINERY_BASE_SPEED, "kn", 1852.0 / 3600.0, 0.0, 0.0},
    {PINERY_BASE_SPEED, "mph", 0.44704, 0.0, 0.0},
    {PINERY_BASE_RATE_OF_RAIN, "mm/h", 1.0, 0.0, 0.0},
    {PINERY_BASE_RATE_OF_RAIN, "mm", 1.0, 0.0, 3600.0},
    {PINERY_BASE_RATE_OF_RAIN, "in", 25.4, 0.0, 3600.0},
    {PINERY_BASE_ANGLE, "deg", 1.0, 0.0, 0.0},
    {PINERY_BASE_LENGTH, "m", 1.0, 0.0, 0.0},
    {PINERY_BASE_LENGTH, "ft", 0.3048, 0.0, 0.0},
    {PINERY_BASE_ENERGY, "J", 1.0, 0.0, 0.0},
    {PINERY_BASE_ENERGY, "MJ", 1e6, 0.0, 0.0},
    {PINERY_BASE_ENERGY, "GJ", 1e9, 0.0, 0.0},
    {PINERY_BASE_ENERGY, "kWh", 3.6e6, 0.0, 0.0},
    {PINERY_BASE_ENERGY, "MWh", 3.6e9, 0.0, 0.0},
    {PINERY_BASE_ENERGY, "therm", 105505585.262, 0.0, 0.0},
    {PINERY_BASE_TIME, "s", 1.0, 0.0, 0.0},
    {PINERY_BASE_TIME, "min", 60.0, 0.0, 0.0},
    {PINERY_BASE_TIME, "h", 3600.0, 0.0, 0.0},
};

enum { N_UNITS = sizeof units / sizeof units[0] };

/* Spellings brought to ours, longest first where one holds another. Bytes above 127 are UTF-8, then Latin-1. */
static const struct {
    const char *from, *to;
} spelling[] = {
    {"\xC2\xB0", "deg"}, {"\xB0", "deg"}, {"\xC2\xB2", "2"},     {"\xB2", "2"},   {"^", ""},         {"\xC2\xB5", "u"},
    {"\xCE\xBC", "u"},   {"\xB5", "u"},   {" m-2 s-1", "/m2/s"}, {" m-2", "/m2"}, {" cm-2", "/cm2"}, {" s-1", "/s"},
    {" h-1", "/h"},      {" ", ""},
};

/* Whole names that mean the same. */
static const struct {
    const char *from, *to;
} synonym[] = {
    {"C", "degC"},
    {"celsius", "degC"},
    {"F", "degF"},
    {"fahrenheit", "degF"},
    {"kelvin", "K"},
    {"mb", "mbar"},
    {"percent", "%"},
    {"-", "1"},
    {"okta", "oktas"},
    {"knots", "kn"},
    {"kt", "kn"},
    {"mi/h", "mph"},
    {"kph", "km/h"},
    {"degrees", "deg"},
    {"inch", "in"},
    {"umol/(m2s)", "umol/m2/s"},
    {"hour", "h"},
    {"minutes", "min"},
    {"seconds", "s"},
    {"metre", "m"},
    {"degreecelsius", "degC"},
    {"degree", "deg"},
};

/* Spell `name` our way in `text`; false when it is too long to be a unit. */
static bool respell(const char *name, char *text, size_t size) {
    size_t used = 0;
    while (*name == ' ') {
        name++;
    }
    while (*name != '\0') {
        size_t k = 0, n_spellings = sizeof spelling / sizeof spelling[0];
        while (k < n_spellings && strncmp(name, spelling[k].from, strlen(spelling[k].from)) != 0) {
            k++;
        }
        char same[2] = {*name, '\0'};
        const char *to = k < n_spellings ? spelling[k].to : same;
        name += k < n_spellings ? strlen(spelling[k].from) : 1;
        if (used + strlen(to) >= size) {
            return false;
        }
        memcpy(text + used, to, strlen(to));
        used += strlen(to);
    }
    text[used] = '\0';
    for (size_t k = 0; k < sizeof synonym / sizeof synonym[0]; k++) {
        bool letter = synonym[k].from[1] == '\0'; /* one letter means what it means only in its own case */
        if (letter ? strcmp(text, synonym[k].from) == 0 : pinery_base_same_word(text, synonym[k].from)) {
            snprintf(text, size, "%s", synonym[k].to);
            break;
        }
    }
    return true;
}

const struct pinery_base_unit *pinery_base_unit_find(enum pinery_base_quantity quantity, const char *name) {
    char text[32];
    if (!respell(name, text, sizeof text)) {
        return NULL;
    }
    /* Case matters between mJ and MJ but hardly elsewhere: the exact spelling first, then any case where it is one
     * unit. */
    for (int i = 0; i < N_UNITS; i++) {
        if (units[i].quantity == quantity && strcmp(units[i].name, text) == 0) {
            return &units[i];
        }
    }
    for (int i = 0; i < N_UNITS; i++) {
        if (units[i].quantity == quantity && text[0] != 'm' && pinery_base_same_word(units[i].name, text)) {
            return &units[i];
        }
    }
    return NULL;
}

double pinery_base_unit_in(const struct pinery_base_unit *unit, double value, double step_s) {
    double inside = unit->factor * (value + unit->offset);
    return unit->per_step > 0.0 ? inside * unit->per_step / step_s : inside;
}

double pinery_base_unit_out(const struct pinery_base_unit *unit, double value, double step_s) {
    double inside = unit->per_step > 0.0 ? value * step_s / unit->per_step : value;
    return inside / unit->factor - unit->offset;
}

void pinery_base_unit_names(enum pinery_base_quantity quantity, char *text, size_t size) {
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; i < N_UNITS && used < size; i++) {
        if (units[i].quantity == quantity) {
            int length = snprintf(text + used, size - used, "%s%s", used > 0 ? ", " : "", units[i].name);
            used += length > 0 ? (size_t)length : 0;
        }
    }
}
