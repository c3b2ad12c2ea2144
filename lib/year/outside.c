/* The weather at a moment, from smooth curves through the records: instants for air, sky and wind, hour means with
 * their integral kept for light. The curves of the present record are kept from one evaluation to the next. */
#include "air/psychro.h"
#include "sky/weather.h"
#include "year/model.h"

double pinery_year_record(const pinery_weather *weather, const double *values, long k) {
    long n = weather->n;
    if (k >= 0 && k < n)
        return values[k];
    if (pinery_weather_is_year(weather))
        k = ((k % n) + n) % n;
    else
        k = k < 0 ? 0 : k >= n ? n - 1 : k;
    return values[k];
}

static struct pinery_sky_cubic instants(const pinery_weather *weather, pinery_weather_column column, long k) {
    const double *v = weather->column[column];
    return pinery_sky_curve_instants(pinery_year_record(weather, v, k - 1), pinery_year_record(weather, v, k),
                                     pinery_year_record(weather, v, k + 1), pinery_year_record(weather, v, k + 2));
}

static struct pinery_sky_cubic means(const pinery_weather *weather, const double *v, long k) {
    return pinery_sky_curve_means(pinery_year_record(weather, v, k - 1), pinery_year_record(weather, v, k),
                                  pinery_year_record(weather, v, k + 1));
}

bool pinery_year_outside_at(const struct pinery_year_model *model, struct pinery_year_curves *curves, double time_s,
                            struct pinery_year_outside *out) {
    const pinery_weather *weather = model->weather;
    bool wraps = pinery_weather_is_year(weather);
    double since = time_s - weather->start_s;
    if (!wraps && (since < -1e-6 || since > weather->n * weather->step_s + 3600.0))
        return false;
    double in_means = since / weather->step_s, in_instants = (since - weather->instant_s) / weather->step_s;
    long mean = (long)floor(in_means), instant = (long)floor(in_instants);
    if (mean != curves->mean) {
        curves->mean = mean;
        curves->global = means(weather, weather->column[PINERY_WEATHER_global], mean);
        curves->beam = means(weather, model->light.beam, mean);
        curves->diffuse = means(weather, model->light.diffuse, mean);
        curves->cover = means(weather, model->light.cover, mean);
        curves->inner = means(weather, model->light.inner, mean);
        curves->wall = means(weather, model->light.wall, mean);
        curves->day = means(weather, model->light.day, mean);
    }
    if (instant != curves->instant) {
        curves->instant = instant;
        curves->temperature = instants(weather, PINERY_WEATHER_temperature, instant);
        curves->vapour_pressure = instants(weather, PINERY_WEATHER_vapour_pressure, instant);
        curves->infrared = instants(weather, PINERY_WEATHER_infrared, instant);
        curves->wind = instants(weather, PINERY_WEATHER_wind_speed, instant);
    }
    double m = in_means - (double)mean, s = in_instants - (double)instant;
    out->time_s = time_s;
    out->temperature = pinery_sky_cubic_at(&curves->temperature, s);
    out->vapour_pressure = pinery_sky_cubic_at(&curves->vapour_pressure, s);
    out->humidity_ratio = pinery_air_humidity_ratio(out->vapour_pressure, model->pressure);
    out->infrared = pinery_sky_cubic_at(&curves->infrared, s);
    out->wind_station = pinery_sky_cubic_at(&curves->wind, s);
    out->wind = out->wind_station * model->house.wind_factor;
    out->global = pinery_sky_cubic_at(&curves->global, m);
    out->beam = pinery_sky_cubic_at(&curves->beam, m);
    out->diffuse = pinery_sky_cubic_at(&curves->diffuse, m);
    out->cover_light = pinery_sky_cubic_at(&curves->cover, m);
    out->inner_light = pinery_sky_cubic_at(&curves->inner, m);
    out->wall_light = pinery_sky_cubic_at(&curves->wall, m);
    out->day = pinery_sky_cubic_at(&curves->day, m);
    out->sky = sqrt(sqrt(out->infrared / PINERY_HOUSE_STEFAN_BOLTZMANN)) - PINERY_AIR_ZERO_K;
    return true;
}
