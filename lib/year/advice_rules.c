/* What was counted becomes warnings: which fields do it, for how long, and what to heed. */
#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "year/advice.h"

static const struct {
    const char *key;
    bool is_warning;
    const char *title, *caution;
} rows[] = {
#define X(key, warning, title, caution) {#key, warning, title, caution},
    PINERY_WARNINGS(X)
#undef X
};

/* Hours in a year that are worth a warning: a motor under way and pipes that cool down make some of each. (No source.)
 */
static const double least_hours[PINERY_N_WARNINGS] = {
    [PINERY_WARNING_lamps_under_cloth] = 5.0,
    [PINERY_WARNING_slit_against_fan] = 5.0,
    [PINERY_WARNING_heating_and_venting] = 50.0,
    [PINERY_WARNING_carbon_under_vents] = 20.0,
};

static void add(char *text, size_t size, const char *format, ...) PINERY_FORMAT(3, 4);

static void add(char *text, size_t size, const char *format, ...) {
    size_t n = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text + n, size - n, format, arguments);
    va_end(arguments);
}

static void lamps_rule(const pinery_watch *watch, int d, char *text, size_t size) {
    const pinery_screen *screen = &watch->strategy.screen[d];
    for (int g = 0; g < PINERY_LAMPS; g++) {
        const pinery_lighting *lighting = &watch->strategy.lighting[g];
        if (watch->house.lamp[g].power > 0.0 && lighting->use) {
            static const char *const of[] = {"", " after sunrise", " after sunset"};
            add(text, size, "lighting[%d] from = %g%s to = %g h%s with off_above_air = %g degC, ", g + 1,
                lighting->from, of[lighting->from_of], lighting->to, of[lighting->to_of], lighting->off_above_air);
        }
    }
    add(text, size, "under screens[%d] with slit_temperature_max = %g, slit_humidity_max = %g", d + 1,
        screen->slit_temperature_max, screen->slit_humidity_max);
    if (watch->house.fan_through.flow > 0.0) {
        add(text, size, ", fan_humidity_start = %g %%", watch->strategy.fan_humidity_start);
    }
}

static void both_rule(const pinery_screen *screen, int d, char *text, size_t size) {
    add(text, size, "screens[%d] with night_cloth = %d and day_cloth = %d:", d + 1, screen->night_cloth,
        screen->day_cloth);
    if (isfinite(screen->dark_from)) {
        add(text, size, " dark_from = %g, dark_until = %g h against", screen->dark_from, screen->dark_until);
    } else {
        add(text, size, " close_below_light = %g W/m2 against", screen->close_below_light);
    }
    add(text, size, " shade_above_light = %g, day_light = %g W/m2", screen->shade_above_light, screen->day_light);
}

/* What stands in a house, by name, where its size is above 0. */
struct part {
    const char *name;
    size_t size;
};

#define PART(name, member) \
    { name, offsetof(pinery_house, member) }
static const struct part moving[] = {PART("through-cloth fans", fan_through.flow),
                                     PART("circulation fans", fan_circulation.flow),
                                     PART("ducts", duct.flow),
                                     PART("ventilation with recovery", recovery.flow),
                                     {NULL, 0}};
static const struct part machines[] = {PART("dehumidifiers", dehumidifier.cooling),
                                       PART("brine", desiccant.flow),
                                       PART("a tank", tank.volume),
                                       PART("an engine", cogeneration.power),
                                       PART("bought heat", bought_heat.heat),
                                       PART("a heat pump", heat_pump.heat),
                                       PART("an electric boiler", electric_boiler.heat),
                                       {NULL, 0}};
#undef PART

/* Their names, with commas; how many there are. */
static int list(const struct part *part, const pinery_house *house, char *text, size_t size) {
    int n = 0;
    for (; part->name; part++) {
        double value;
        memcpy(&value, (const char *)house + part->size, sizeof value);
        if (value > 0.0) {
            add(text, size, "%s%s", n++ > 0 ? ", " : "", part->name);
        }
    }
    return n;
}

void pinery_year_advice_rule(const pinery_watch *watch, pinery_warning_kind kind, int d, char *text, size_t size) {
    const pinery_strategy *strategy = &watch->strategy;
    const pinery_screen *screen = &strategy->screen[d];
    const pinery_house *house = &watch->house;
    text[0] = '\0';
    switch (kind) {
    case PINERY_WARNING_lamps_under_cloth:
        lamps_rule(watch, d, text, size);
        break;
    case PINERY_WARNING_cloth_in_snow:
        if (screen->open_in_snow && !watch->scripted) { /* the weather had no snow half an hour before */
            add(text, size, "screens[%d] with drawn = %g", d + 1, screen->drawn);
        } else {
            add(text, size, "screens[%d] with open_in_snow = %s", d + 1, screen->open_in_snow ? "true" : "false");
        }
        break;
    case PINERY_WARNING_slit_against_fan:
        add(text, size,
            "screens[%d] with slit_humidity_max = %g from %g %%, slit_temperature_max = %g, against fan_most = %g from "
            "fan_humidity_start = %g %%, fan_least = %g",
            d + 1, screen->slit_humidity_max, screen->slit_humidity_start, screen->slit_temperature_max,
            strategy->fan_most, strategy->fan_humidity_start, strategy->fan_least);
        break;
    case PINERY_WARNING_both_cloths:
        both_rule(screen, d, text, size);
        break;
    case PINERY_WARNING_heating_and_venting:
        add(text, size, "minimum_pipe = %g degC to minimum_pipe_light = %g W/m2, ", strategy->minimum_pipe,
            strategy->minimum_pipe_light);
        for (int i = 0; i < strategy->periods; i++) {
            add(text, size, "periods[%d] heating = %g ventilation = %g degC, ", i + 1, strategy->period[i].heating,
                strategy->period[i].ventilation);
        }
        add(text, size, "vent_band = %g K, vent_humidity_max = %g from %g %%", strategy->vent_band,
            strategy->vent_humidity_max, strategy->vent_humidity_start);
        break;
    case PINERY_WARNING_carbon_under_vents:
        add(text, size, "dosing target_open = %g ppm from open_at = %g, target = %g ppm", strategy->dosing.target_open,
            strategy->dosing.open_at, strategy->dosing.target);
        break;
    case PINERY_WARNING_structure:
        add(text, size, "%d %s", house->drives, house->drives == 1 ? "drive with a cloth" : "drives with cloths");
        add(text, size, "%s%s", house->fan_through.flow > 0.0 ? ", through-cloth fans" : "",
            house->fan_circulation.flow > 0.0 ? ", circulation fans" : "");
        add(text, size, "%s%s", house->duct.flow > 0.0 ? ", ducts" : "",
            house->recovery.flow > 0.0 ? ", ventilation with recovery" : "");
        break;
    case PINERY_WARNING_fire:
        add(text, size, "lamps above the crop and below %d %s", house->drives, house->drives == 1 ? "drive" : "drives");
        break;
    case PINERY_WARNING_carbon:
        add(text, size, "%s, up to %g kg/(m2 s)", house->carbon.source == 0 ? "flue gas" : "pure carbon dioxide",
            house->carbon.most);
        break;
    case PINERY_WARNING_power_failure:
        add(text, size, "through-cloth fans and %d %s", house->drives, house->drives == 1 ? "drive" : "drives");
        break;
    case PINERY_WARNING_light_at_night:
        add(text, size, "lamps above the crop");
        break;
    case PINERY_WARNING_people:
        add(text, size, "a cloth that lets less than 5 %% of the light through");
        break;
    default:
        list(kind == PINERY_WARNING_machines ? machines : moving, house, text, size);
    }
    if (rows[kind].is_warning && watch->scripted) {
        add(text, size, "; and the control function");
    }
}

void pinery_year_advice_fold(pinery_watch *watch) {
    for (int k = 0; k < PINERY_N_WARNINGS; k++) {
        for (int d = 0; d < PINERY_DRIVES; d++) {
            struct pinery_year_count *c = &watch->count[k][d];
            c->squares += c->spell * c->spell;
            c->spell = 0.0;
        }
    }
}

/* Standard error of a sum over spells taken as a sample, scaled to the whole, in hours. */
static double error_h(const pinery_watch *watch, const struct pinery_year_count *c, double scale) {
    double n = watch->spells;
    if (n < 2.0 || scale <= 1.0 + 1e-9) {
        return 0.0;
    }
    double variance = (c->squares - c->seconds * c->seconds / n) / (n - 1.0);
    return scale * sqrt(n * fmax(0.0, variance)) / 3600.0;
}

static void tell(pinery_watch *watch, pinery_warning_kind kind, int d, double hours, double looked_d, double first_s) {
    pinery_warning *warning = &watch->warning[watch->n++];
    *warning = (pinery_warning){.kind = kind,
                                .is_warning = rows[kind].is_warning,
                                .key = rows[kind].key,
                                .title = rows[kind].title,
                                .caution = rows[kind].caution,
                                .hours = hours,
                                .days = watch->options.days,
                                .looked_d = looked_d,
                                .first_s = first_s};
    if (rows[kind].is_warning && looked_d > 0.0) {
        warning->error_h = error_h(watch, &watch->count[kind][d], watch->options.days / looked_d);
    }
    pinery_year_advice_rule(watch, kind, d, warning->rule, sizeof warning->rule);
}

/* Whether a cloth of the house is a blackout: less than 5 % of the light passes it. */
static bool has_blackout(const pinery_house *house) {
    for (int d = 0; d < house->drives; d++) {
        for (int c = 0; c < house->drive[d].cloths; c++) {
            if (house->drive[d].cloth[c].light_transmittance < 0.05) {
                return true;
            }
        }
    }
    return false;
}

/* What stands in the house brings its cautions. */
static void cautions(pinery_watch *watch) {
    const pinery_house *house = &watch->house;
    char names[400] = "";
    bool lamps = false, fans = house->fan_through.flow > 0.0, cloths = house->drives > 0;
    for (int g = 0; g < PINERY_LAMPS; g++) {
        lamps = lamps || (house->lamp[g].power > 0.0 && house->lamp[g].place == 0);
    }
    bool moves = list(moving, house, names, sizeof names) > 0, runs = list(machines, house, names, sizeof names) > 0;
    const struct {
        bool is;
        pinery_warning_kind kind;
    } row[] = {{cloths || moves, PINERY_WARNING_structure},
               {cloths && lamps, PINERY_WARNING_fire},
               {house->carbon.most > 0.0, PINERY_WARNING_carbon},
               {cloths && fans, PINERY_WARNING_power_failure},
               {moves, PINERY_WARNING_moving_parts},
               {runs, PINERY_WARNING_machines},
               {lamps, PINERY_WARNING_light_at_night},
               {has_blackout(house), PINERY_WARNING_people}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        if (row[i].is) {
            tell(watch, row[i].kind, 0, NAN, NAN, NAN);
        }
    }
}

void pinery_watch_finish(pinery_watch *watch) {
    pinery_year_advice_fold(watch);
    double days = watch->options.days, looked_d = watch->looked_s / 86400.0;
    watch->n = 0;
    for (int k = 0; k < PINERY_N_WARNINGS; k++) {
        bool walked = !watch->scripted && (k == PINERY_WARNING_cloth_in_snow || k == PINERY_WARNING_both_cloths);
        double of_d = walked ? days : looked_d;
        for (int d = 0; d < PINERY_DRIVES && rows[k].is_warning; d++) {
            const struct pinery_year_count *count = &watch->count[k][d];
            double hours = of_d > 0.0 ? count->seconds / 3600.0 * days / of_d : 0.0;
            const pinery_screen *screen = &watch->strategy.screen[d];
            if (k == PINERY_WARNING_cloth_in_snow && walked && !watch->has_snow && d < watch->house.drives &&
                screen->use && !screen->open_in_snow) { /* the weather cannot say when */
                tell(watch, (pinery_warning_kind)k, d, NAN, NAN, NAN);
            }
            if (count->seconds > 0.0 && hours >= least_hours[k] * fmin(days, 365.0) / 365.0) {
                tell(watch, (pinery_warning_kind)k, d, hours, of_d, count->first_s);
            }
        }
    }
    cautions(watch);
}
