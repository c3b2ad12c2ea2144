/* From the columns a file has to the columns of a weather; what the file lacks is derived and remarked upon. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/psychro.h"
#include "base/error.h"
#include "sky/diffuse.h"
#include "sky/longwave.h"
#include "sky/read.h"
#include "sky/sun.h"

#define RAD (3.14159265358979323846 / 180.0)

/* Photons between 400 and 700 nm per joule of global radiation, umol/J: Meek et al. 1984, Agronomy Journal 76, 939
 * (from memory, unverified); with the 4.57 umol/J of base/units.c. */
#define PHOTONS_PER_JOULE 4.57
#define PHOTONS_PER_GLOBAL_JOULE 2.04

/* Air temperature below which precipitation is snow: half of it at 1.0 degC over the northern land (Jennings, Winchell,
 * Livneh and Molotch 2018, Nature Communications 9, 1148). */
#define SNOW_BELOW 1.0

#define UNKNOWN_WIND_DIRECTION 270.0 /* westerlies; common practice, no source */

pinery_status pinery_sky_fill_global(struct pinery_sky_raw *raw, pinery_error *error) {
    if (pinery_sky_raw_given(raw, PINERY_SKY_global)) {
        return PINERY_OK;
    }
    double *global = raw->value[PINERY_SKY_global];
    bool by_parts = pinery_sky_raw_given(raw, PINERY_SKY_beam_normal);
    pinery_status status = PINERY_OK;
    if (by_parts) {
        struct pinery_sky_track track;
        double offset_h = raw->utc ? 0.0 : raw->site.utc_offset_h, half = 0.5 * raw->step_s;
        status =
            pinery_sky_track_new(&track, &raw->site, offset_h, raw->start_s, raw->n * raw->step_s, raw->year, error);
        for (int i = 0; i < raw->n && status == PINERY_OK; i++) {
            double middle = i * raw->step_s + raw->centre_s, lit;
            double sine = pinery_sky_track_sine(&track, middle - half, middle + half, &lit);
            global[i] = raw->value[PINERY_SKY_diffuse][i] +
                        (lit > 0.0 ? raw->value[PINERY_SKY_beam_normal][i] * sine / lit : 0.0);
        }
        if (status != PINERY_OK) {
            return status;
        }
        pinery_sky_track_free(&track);
    } else {
        for (int i = 0; i < raw->n; i++) {
            global[i] = raw->value[PINERY_SKY_par][i] * PHOTONS_PER_JOULE / PHOTONS_PER_GLOBAL_JOULE;
        }
    }
    pinery_sky_raw_has(raw, PINERY_SKY_global, "global radiation (derived)", "W/m2", NAN);
    status = pinery_sky_weather_remark(raw->weather, "no global radiation: made from %s",
                                       by_parts ? "direct and diffuse radiation" : "PAR, 2.04 umol per joule");
    return status == PINERY_OK ? status : pinery_base_fail(error, status, "%s: no memory for a remark", raw->path);
}

static pinery_status derived(struct pinery_sky_raw *raw, pinery_weather_column column, const char *how) {
    raw->weather->filled[column] = raw->n;
    return pinery_sky_weather_remark(raw->weather, "no %s: %s", pinery_sky_column_name(column), how);
}

static void copy(struct pinery_sky_raw *raw, enum pinery_sky_given given, pinery_weather_column column) {
    memcpy(raw->weather->column[column], raw->value[given], (size_t)raw->n * sizeof(double));
    raw->weather->filled[column] = raw->filled[given];
}

/* Relative humidity over water, as meteorology has it at any temperature, is taken before vapour pressure and dew
 * point: below 0 degC a file's dew point may be meant over water or over ice. */
static pinery_status humidity(struct pinery_sky_raw *raw) {
    double *vapour = raw->weather->column[PINERY_WEATHER_vapour_pressure];
    enum pinery_sky_given from = pinery_sky_raw_given(raw, PINERY_SKY_relative_humidity) ? PINERY_SKY_relative_humidity
                                 : pinery_sky_raw_given(raw, PINERY_SKY_vapour_pressure) ? PINERY_SKY_vapour_pressure
                                                                                         : PINERY_SKY_dew_point;
    int above = 0, first = -1;
    for (int i = 0; i < raw->n; i++) {
        double saturated = pinery_air_saturation_water(raw->value[PINERY_SKY_temperature][i]);
        double value = raw->value[from][i];
        double e = from == PINERY_SKY_relative_humidity ? value * saturated
                   : from == PINERY_SKY_dew_point       ? pinery_air_saturation_water(value)
                                                        : value;
        if (e > saturated * 1.005) { /* more than rounding */
            first = above++ == 0 ? i : first;
        }
        vapour[i] = fmin(e, saturated);
    }
    raw->weather->filled[PINERY_WEATHER_vapour_pressure] = raw->filled[from];
    return above == 0
               ? PINERY_OK
               : pinery_sky_weather_remark(
                     raw->weather, "%s %d: %s = %.4g %s is above saturation; limited to it, there and in %d records",
                     raw->row, pinery_sky_raw_line(raw, first), raw->field[from].name,
                     pinery_sky_raw_shown(raw, first, from), raw->field[from].unit->name, above);
}

static pinery_status pressure_wind_rain(struct pinery_sky_raw *raw) {
    struct pinery_weather *weather = raw->weather;
    pinery_status status = PINERY_OK;
    copy(raw, PINERY_SKY_temperature, PINERY_WEATHER_temperature);
    copy(raw, PINERY_SKY_wind_speed, PINERY_WEATHER_wind_speed);
    copy(raw, PINERY_SKY_pressure, PINERY_WEATHER_pressure);
    copy(raw, PINERY_SKY_wind_direction, PINERY_WEATHER_wind_direction);
    copy(raw, PINERY_SKY_rain, PINERY_WEATHER_rain);
    bool pressure = pinery_sky_raw_given(raw, PINERY_SKY_pressure);
    bool direction = pinery_sky_raw_given(raw, PINERY_SKY_wind_direction),
         rain = pinery_sky_raw_given(raw, PINERY_SKY_rain);
    double standard = pinery_air_standard_pressure(weather->site.elevation_m);
    for (int i = 0; i < raw->n; i++) {
        if (!pressure) {
            weather->column[PINERY_WEATHER_pressure][i] = standard;
        }
        double *degrees = &weather->column[PINERY_WEATHER_wind_direction][i];
        *degrees = direction ? (*degrees >= 360.0 ? *degrees - 360.0 : *degrees) : UNKNOWN_WIND_DIRECTION;
        double *water = &weather->column[PINERY_WEATHER_rain][i], *snow = &weather->column[PINERY_WEATHER_snow][i];
        *water = rain ? *water : 0.0;
        *snow = weather->column[PINERY_WEATHER_temperature][i] < SNOW_BELOW ? *water : 0.0;
        *water -= *snow;
    }
    if (!pressure) {
        status = derived(raw, PINERY_WEATHER_pressure, "standard atmosphere at the elevation");
    }
    if (!direction && status == PINERY_OK) {
        status = derived(raw, PINERY_WEATHER_wind_direction, "taken as west");
    }
    if (!rain && status == PINERY_OK) {
        status = derived(raw, PINERY_WEATHER_rain, "taken as none");
    }
    return status;
}

/* Direct and diffuse radiation. Direct is made so that  global = diffuse + direct sin(elevation)  holds with the
 * record's sun; what would exceed the sun above the atmosphere is diffuse. */
static pinery_status direct_and_diffuse(struct pinery_sky_raw *raw, const struct pinery_sky_track *track) {
    struct pinery_weather *weather = raw->weather;
    bool beam_given = pinery_sky_raw_given(raw, PINERY_SKY_beam_normal);
    bool diffuse_given = pinery_sky_raw_given(raw, PINERY_SKY_diffuse);
    copy(raw, PINERY_SKY_global, PINERY_WEATHER_global);
    copy(raw, PINERY_SKY_beam_normal, PINERY_WEATHER_beam_normal);
    copy(raw, PINERY_SKY_diffuse, PINERY_WEATHER_diffuse);
    double off = 0.0, sum = 0.0, worst = 0.0;
    int worst_at = 0;
    for (int i = 0; i < raw->n; i++) {
        double lit, start = i * raw->step_s;
        double mean_sine = pinery_sky_track_sine(track, start, start + raw->step_s, &lit) / raw->step_s;
        double sine = sin(RAD * weather->column[PINERY_WEATHER_sun_elevation][i]);
        double global = weather->column[PINERY_WEATHER_global][i];
        double *beam = &weather->column[PINERY_WEATHER_beam_normal][i];
        double *diffuse = &weather->column[PINERY_WEATHER_diffuse][i];
        if (!(mean_sine > 0.0) || !(sine > 0.0)) {
            *beam = 0.0;
            *diffuse = global; /* 0 but for the last sliver of sun */
            continue;
        }
        double above = pinery_sky_extraterrestrial_normal(weather->start_s + start);
        if (!diffuse_given) {
            double share = pinery_sky_erbs(global / (above * mean_sine));
            *diffuse = beam_given ? fmax(0.0, global - *beam * mean_sine * raw->step_s / lit) : share * global;
        }
        *diffuse = fmin(*diffuse, global);
        if (!beam_given) {
            *beam = (global - *diffuse) / sine;
            if (*beam > above) {
                *beam = above;
                *diffuse = global - above * sine;
            }
        }
        if (beam_given && diffuse_given) {
            double miss = fabs(global - *diffuse - *beam * mean_sine * raw->step_s / lit);
            off += miss;
            sum += global;
            worst_at = miss > worst ? i : worst_at;
            worst = fmax(worst, miss);
        }
    }
    pinery_status status = PINERY_OK;
    if (!diffuse_given) {
        status = derived(raw, PINERY_WEATHER_diffuse,
                         beam_given ? "global less direct radiation" : "by clearness, Erbs, Klein and Duffie 1982");
    }
    if (!beam_given && status == PINERY_OK) {
        status = derived(raw, PINERY_WEATHER_beam_normal, "from global less diffuse radiation");
    }
    if (off > 0.05 * sum && status == PINERY_OK) {
        status = pinery_sky_weather_remark(weather,
                                           "%s %d: warning: direct and diffuse radiation do not add up to global: "
                                           "apart by %.0f W/m2 near there and by %.1f %% "
                                           "of it over all records",
                                           raw->row, pinery_sky_raw_line(raw, worst_at), worst, 100.0 * off / sum);
    }
    return status;
}

/* Cloud of each day from its clearness against a cloudless sky of Haurwitz 1945 (J. Meteorology 2, 154); a day without
 * sun has that of the day before. */
static void cloud_by_clearness(struct pinery_sky_raw *raw, const struct pinery_sky_track *track) {
    int day = (int)(86400.0 / raw->step_s), first_end = day - (int)(fmod(raw->start_s, 86400.0) / raw->step_s);
    double cloud = 0.5;
    for (int from = 0, to = first_end; from < raw->n; from = to, to += day) {
        to = to < raw->n ? to : raw->n;
        double sum = 0.0, clear = 0.0;
        for (int i = from; i < to; i++) {
            double sine = pinery_sky_track_sine(track, i * raw->step_s, (i + 1) * raw->step_s, NULL) / raw->step_s;
            if (sine > 0.0) {
                sum += raw->value[PINERY_SKY_global][i];
                clear += 1098.0 * sine * exp(-0.057 / sine);
            }
        }
        if (clear > 0.0) {
            cloud = pinery_sky_cloud_of_clear_index(fmin(sum / clear, 1.0));
        }
        for (int i = from; i < to; i++) {
            raw->value[PINERY_SKY_cloud][i] = cloud;
        }
    }
}

static pinery_status infrared(struct pinery_sky_raw *raw, const struct pinery_sky_track *track) {
    struct pinery_weather *weather = raw->weather;
    if (pinery_sky_raw_given(raw, PINERY_SKY_infrared)) {
        copy(raw, PINERY_SKY_infrared, PINERY_WEATHER_infrared);
        return PINERY_OK;
    }
    bool cloud = pinery_sky_raw_given(raw, PINERY_SKY_cloud);
    if (!cloud) {
        cloud_by_clearness(raw, track);
    }
    for (int i = 0; i < raw->n; i++) {
        weather->column[PINERY_WEATHER_infrared][i] =
            pinery_sky_infrared(weather->column[PINERY_WEATHER_temperature][i],
                                weather->column[PINERY_WEATHER_vapour_pressure][i], raw->value[PINERY_SKY_cloud][i]);
    }
    return derived(raw, PINERY_WEATHER_infrared,
                   cloud ? "by temperature, humidity and cloud"
                         : "by temperature, humidity and the clearness of the day");
}

pinery_status pinery_sky_fill_weather(struct pinery_sky_raw *raw, pinery_error *error) {
    struct pinery_sky_track track;
    pinery_status status = pinery_sky_track_new(&track, &raw->site, raw->site.utc_offset_h, raw->start_s,
                                                raw->n * raw->step_s, raw->year, error);
    if (status != PINERY_OK) {
        return status;
    }
    pinery_sky_weather_sun(raw->weather);
    status = humidity(raw);
    if (status == PINERY_OK) {
        status = pressure_wind_rain(raw);
    }
    if (status == PINERY_OK) {
        status = direct_and_diffuse(raw, &track);
    }
    if (status == PINERY_OK) {
        status = infrared(raw, &track);
    }
    pinery_sky_track_free(&track);
    return status == PINERY_OK ? status : pinery_base_fail(error, status, "%s: no memory for a remark", raw->path);
}
