/* The weather at a moment, from smooth curves through the records: instants for air, sky and wind, hour means with
 * their integral kept for light. The curves of the present record are kept from one evaluation to the next. */
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

/* Four records from the one before k on. */
static void around(const pinery_weather *weather, const double *values, long k, double record[4]) {
    bool within = k >= 1 && k + 2 < weather->n;
    for (int i = 0; i < 4; i++)
        record[i] = within ? values[k - 1 + i] : pinery_year_record(weather, values, k - 1 + i);
}

/* Instants and means side by side; what is behind the last mean is nothing. */
enum instant { TEMPERATURE, VAPOUR, INFRARED, WIND };
enum mean { GLOBAL, BEAM, DIFFUSE, COVER, INNER, WALL, DAY };

static void take_instants(const pinery_weather *weather, struct pinery_year_curves *curves, long k) {
    static const pinery_weather_column column[PINERY_YEAR_INSTANTS] = {
        [TEMPERATURE] = PINERY_WEATHER_temperature,
        [VAPOUR] = PINERY_WEATHER_vapour_pressure,
        [INFRARED] = PINERY_WEATHER_infrared,
        [WIND] = PINERY_WEATHER_wind_speed,
    };
    curves->instant = k;
    for (int i = 0; i < PINERY_YEAR_INSTANTS; i++) {
        double v[4];
        around(weather, weather->column[column[i]], k, v);
        struct pinery_sky_cubic cubic = pinery_sky_curve_instants(v[0], v[1], v[2], v[3]);
        curves->instants[0][i] = cubic.c0;
        curves->instants[1][i] = cubic.c1;
        curves->instants[2][i] = cubic.c2;
        curves->instants[3][i] = cubic.c3;
    }
}

static void take_means(const struct pinery_year_model *model, struct pinery_year_curves *curves, long k) {
    const pinery_weather *weather = model->weather;
    const struct pinery_year_light *light = &model->light;
    const double rad = 3.14159265358979323846 / 180.0;
    const double *values[] = {
        [GLOBAL] = weather->column[PINERY_WEATHER_global],
        [BEAM] = light->beam,
        [DIFFUSE] = light->diffuse,
        [COVER] = light->cover,
        [INNER] = light->inner,
        [WALL] = light->wall,
        [DAY] = light->day,
    };
    curves->mean = k;
    curves->sun_elevation = pinery_year_record(weather, weather->column[PINERY_WEATHER_sun_elevation], k) * rad;
    for (int i = 0; i <= DAY; i++) {
        double v[4];
        around(weather, values[i], k, v);
        struct pinery_sky_cubic parabola = pinery_sky_curve_means(v[0], v[1], v[2]);
        curves->means[0][i] = parabola.c0;
        curves->means[1][i] = parabola.c1;
        curves->means[2][i] = parabola.c2;
    }
}

/* The whole number at or below, of one that is small enough to be one. */
static long whole(double x) {
    long k = (long)x;
    return k - ((double)k > x);
}

bool pinery_year_outside_at(const struct pinery_year_model *model, struct pinery_year_curves *curves, double time_s,
                            struct pinery_year_outside *out) {
    const pinery_weather *weather = model->weather;
    double since = time_s - weather->start_s;
    if ((since < -1e-6 || since > weather->n * weather->step_s + 3600.0) && !pinery_weather_is_year(weather))
        return false;
    double in_means = since / weather->step_s, in_instants = (since - weather->instant_s) / weather->step_s;
    long mean = whole(in_means), instant = whole(in_instants);
    if (mean != curves->mean)
        take_means(model, curves, mean);
    if (instant != curves->instant)
        take_instants(weather, curves, instant);
    double m = in_means - (double)mean, s = in_instants - (double)instant;
    double means[PINERY_YEAR_MEANS], instants[PINERY_YEAR_INSTANTS];
    for (int i = 0; i < PINERY_YEAR_MEANS; i++)
        means[i] = curves->means[0][i] + m * (curves->means[1][i] + m * curves->means[2][i]);
    for (int i = 0; i < PINERY_YEAR_INSTANTS; i++)
        instants[i] = curves->instants[0][i] +
                      s * (curves->instants[1][i] + s * (curves->instants[2][i] + s * curves->instants[3][i]));
    out->time_s = time_s;
    out->temperature = instants[TEMPERATURE];
    out->vapour_pressure = instants[VAPOUR];
    out->infrared = instants[INFRARED];
    out->wind_station = instants[WIND];
    out->wind = out->wind_station * model->house.wind_factor;
    out->global = means[GLOBAL];
    out->beam = means[BEAM];
    out->diffuse = means[DIFFUSE];
    out->cover_light = means[COVER];
    out->inner_light = means[INNER];
    out->wall_light = means[WALL];
    out->day = means[DAY];
    return true;
}
