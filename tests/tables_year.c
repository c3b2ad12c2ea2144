/* Whole houses at rest as functions of table rows: pieces out of the middle of a large house unless they say walls,
 * wind at the cover. Names end in the preset that is meant, with _ for what is not a letter or digit. */
#include <math.h>
#include <string.h>

#include "pinery/steady.h"
#include "tables.h"

#define COVERS(X)                                                   \
    X(single_glass, "single glass")                                 \
    X(double_glass, "double glass")                                 \
    X(double_low_e_glass, "double low-e glass")                     \
    X(single_film, "single film")                                   \
    X(thermal_film, "thermal film")                                 \
    X(inflated_double_film, "inflated double film")                 \
    X(inflated_double_thermal_film, "inflated double thermal film") \
    X(structured_sheet_8_mm, "structured sheet 8 mm")               \
    X(structured_sheet_16_mm, "structured sheet 16 mm")

#define CLOTHS(X)                                       \
    X(energy_cloth, "energy cloth")                     \
    X(film_screen, "film screen")                       \
    X(metallised_night_cloth, "metallised night cloth") \
    X(half_metallised_cloth, "half metallised cloth")   \
    X(open_shade_cloth, "open shade cloth")             \
    X(blackout_cloth, "blackout cloth")

static pinery_house middle(const char *cover, bool crop) {
    pinery_house house;
    pinery_house_default(&house);
    pinery_cover_preset(cover, &house.cover, NULL);
    pinery_cover_preset(cover, &house.wall, NULL);
    house.walls = false;
    house.wind_factor = 1.0;
    house.pipe_lower.length = 6.0; /* that hold the air in any night */
    house.pipe_lower.max_power = house.boiler.max_power = 1000.0;
    if (!crop) { /* dry and sealed, as covers are measured */
        house.leakage = 0.0;
        house.crop.leaf_area = 0.01;
        house.crop.transpiration_factor = 0.0;
    }
    return house;
}

/* The house at rest, or all NaN. The sky is so many kelvin below the outside air. */
static pinery_steady night(const pinery_house *house, double outside, double wind, double sky_below, int cloths) {
    pinery_conditions conditions;
    pinery_steady steady;
    pinery_conditions_default(&conditions);
    conditions.outside = outside;
    conditions.wind = wind;
    conditions.sky = outside - sky_below;
    conditions.cloth_1 = cloths > 0;
    conditions.cloth_2 = cloths > 1;
    if (pinery_steady_solve(house, &conditions, &steady, NULL) || !steady.held)
        for (int i = 0; i < PINERY_N_STEADY_RESULTS; i++)
            steady.result[i] = NAN;
    return steady;
}

static double result(const pinery_house *house, const double *in, pinery_steady_result which) {
    pinery_steady steady = night(house, in[0], in[1], in[2], 0);
    return steady.result[which];
}

/* outside degC, wind m/s, sky below outside K: per m2 of cover dry and sealed; with crop, leaks and wet faces; the same
 * per m2 of floor; whether what goes through the wet cover alone is less than through the dry one; where a U-value, the
 * fourth input, lies between the two; and the dry cover beside dry single film. */
#define X(id, name)                                                          \
    static double dry_##id(const double *in) {                               \
        pinery_house house = middle(name, false);                            \
        return result(&house, in, PINERY_STEADY_U_tight);                    \
    }                                                                        \
    static double crop_##id(const double *in) {                              \
        pinery_house house = middle(name, true);                             \
        return result(&house, in, PINERY_STEADY_U_cover);                    \
    }                                                                        \
    static double floor_##id(const double *in) {                             \
        pinery_house house = middle(name, true);                             \
        return result(&house, in, PINERY_STEADY_U_floor);                    \
    }                                                                        \
    static double wet_below_dry_##id(const double *in) {                     \
        pinery_house wet = middle(name, true);                               \
        return dry_##id(in) - result(&wet, in, PINERY_STEADY_U_tight) > 0.0; \
    }                                                                        \
    static double dryness_##id(const double *in) {                           \
        pinery_house house = middle(name, true);                             \
        double wet = result(&house, in, PINERY_STEADY_U_tight);              \
        return (in[3] - wet) / (dry_##id(in) - wet);                         \
    }                                                                        \
    static double beside_film_##id(const double *in) {                       \
        return dry_##id(in) / dry_single_film(in);                           \
    }
static double dry_single_film(const double *in);
COVERS(X)
#undef X

/* law of heat loss to the wind, wind: U of dry glass over that at 10 mph. */
static double wind_effect(const double *in) {
    pinery_house house = middle("single glass", false);
    house.outside_convection = (int)in[0];
    return result(&house, (const double[]){0.0, in[1], 0.0}, PINERY_STEADY_U_tight) /
           result(&house, (const double[]){0.0, 4.4704, 0.0}, PINERY_STEADY_U_tight);
}

/* Two drives with that cloth under single or (double != 0) double glass, night of 0 degC, 4 m/s. */
static double heat_under(const char *cloth, bool two_panes, double sky_below, int drawn) {
    pinery_house house = middle(two_panes ? "double glass" : "single glass", true);
    house.drives = 2;
    for (int d = 0; d < 2; d++) {
        memset(&house.drive[d], 0, sizeof house.drive[d]);
        pinery_fields_default(&pinery_drive_fields, &house.drive[d]);
        pinery_cloth_preset(cloth, &house.drive[d].cloth[0], NULL);
    }
    return night(&house, 0.0, 4.0, sky_below, drawn).result[PINERY_STEADY_heat];
}

/* two panes 0/1, sky below outside K: saving in % by one cloth; by a second, of what one leaves; and what two leave
 * over what resistances in series, 1/U_n = 1/U_0 + n R, would. */
#define X(id, name)                                                                                                 \
    static double saving_##id(const double *in) {                                                                   \
        return 100.0 - 100.0 * heat_under(name, in[0] != 0.0, in[1], 1) / heat_under(name, in[0] != 0.0, in[1], 0); \
    }                                                                                                               \
    static double second_##id(const double *in) {                                                                   \
        return 100.0 - 100.0 * heat_under(name, in[0] != 0.0, in[1], 2) / heat_under(name, in[0] != 0.0, in[1], 1); \
    }                                                                                                               \
    static double beside_series_##id(const double *in) {                                                            \
        double none = heat_under(name, in[0] != 0.0, in[1], 0), one = heat_under(name, in[0] != 0.0, in[1], 1);     \
        return heat_under(name, in[0] != 0.0, in[1], 2) * (2.0 / one - 1.0 / none);                                 \
    }
CLOTHS(X)
#undef X

/* sky below outside K: what an energy cloth and a half metallised one leave together, over what the rule of series
 * makes of each alone. */
static double both_cloths(const double *in) {
    pinery_house house = middle("single glass", true);
    double heat[4];
    house.drives = 2;
    for (int d = 0; d < 2; d++) {
        memset(&house.drive[d], 0, sizeof house.drive[d]);
        pinery_fields_default(&pinery_drive_fields, &house.drive[d]);
        pinery_cloth_preset(d ? "half metallised cloth" : "energy cloth", &house.drive[d].cloth[0], NULL);
    }
    for (int i = 0; i < 4; i++) {
        pinery_conditions conditions;
        pinery_steady steady;
        pinery_conditions_default(&conditions);
        conditions.sky = -in[0];
        conditions.cloth_1 = i & 1;
        conditions.cloth_2 = i >> 1;
        if (pinery_steady_solve(&house, &conditions, &steady, NULL))
            return NAN;
        heat[i] = steady.result[PINERY_STEADY_heat];
    }
    double series = 1.0 / (1.0 / heat[1] + 1.0 / heat[2] - 1.0 / heat[0]);
    return heat[3] / series;
}

/* Leakage such that so many volumes an hour are renewed. */
static pinery_steady renewed(pinery_house *house, double outside, double wind, double sky_below, double per_hour) {
    pinery_steady steady = night(house, outside, wind, sky_below, 0);
    for (int i = 0; i < 20; i++) {
        house->leakage *= per_hour / steady.result[PINERY_STEADY_air_change];
        steady = night(house, outside, wind, sky_below, 0);
    }
    return steady;
}

/* A round-roofed house of 30 by 100 ft and 30 000 cubic ft, 60 degF inside, 0 degF outside, one air change an hour,
 * under inflated film: as a single ridge of that volume. */
static pinery_steady hoop_house(const double *in) {
    pinery_house house = middle("inflated double film", true);
    house.walls = true;
    house.crop.transpiration_factor = in[1];
    house.length = 30.48;
    house.width = house.span = 9.144;
    house.roof_slope = 25.0;
    house.gutter_height = 3.048 - 0.25 * 9.144 * tan(25.0 * 3.14159265358979323846 / 180.0);
    house.leakage = 1e-4;
    return renewed(&house, -17.78, 4.0, in[0], 1.0);
}

/* sky below outside K, transpiration factor: share of the heat that air takes with it, %; U per m2 of floor. */
static double hoop_house_air_share(const double *in) {
    pinery_steady steady = hoop_house(in);
    return 100.0 * (steady.result[PINERY_STEADY_out_air] + steady.result[PINERY_STEADY_out_vapour]) /
           steady.result[PINERY_STEADY_heat];
}

static double hoop_house_U_floor(const double *in) {
    return hoop_house(in).result[PINERY_STEADY_U_floor];
}

/* air changes an hour: sensible heat W per m3 of house, kelvin and change an hour. */
static double air_factor(const double *in) {
    pinery_house house = middle("single glass", true);
    pinery_steady steady = renewed(&house, 0.0, 4.0, 10.0, in[0]);
    double height = house.gutter_height + 0.25 * house.span * tan(house.roof_slope * 3.14159265358979323846 / 180.0);
    double above = steady.reading[PINERY_READING_air_roof]; /* leaks are all in the roof here */
    return steady.result[PINERY_STEADY_out_air] / (height * above * steady.result[PINERY_STEADY_air_change]);
}

/* gutter height m: air changes an hour per m/s of wind, of the default leakage. */
static double leak_per_wind(const double *in) {
    pinery_house house = middle("single glass", true);
    house.gutter_height = in[0];
    return night(&house, 0.0, 4.0, 10.0, 0).result[PINERY_STEADY_air_change] / 4.0;
}

#define X(id, name)                                                                        \
    {"dry_" #id, 3, dry_##id}, {"crop_" #id, 3, crop_##id}, {"floor_" #id, 3, floor_##id}, \
        {"wet_below_dry_" #id, 3, wet_below_dry_##id}, {"dryness_" #id, 4, dryness_##id},  \
        {"beside_film_" #id, 3, beside_film_##id},
#define Y(id, name) \
    {"saving_" #id, 2, saving_##id}, {"second_" #id, 2, second_##id}, {"beside_series_" #id, 2, beside_series_##id},
const struct table_function tables_year[] = {COVERS(X) CLOTHS(Y){"wind_effect", 2, wind_effect},
                                             {"both_cloths_beside_series", 1, both_cloths},
                                             {"hoop_house_air_share", 2, hoop_house_air_share},
                                             {"hoop_house_U_floor", 2, hoop_house_U_floor},
                                             {"air_factor", 1, air_factor},
                                             {"leak_per_wind", 1, leak_per_wind},
                                             {NULL, 0, NULL}};
#undef X
#undef Y
