/* A typical year made from monthly normals: read them, generate radiation first, since clear days shape everything
 * else, then temperature, humidity, infrared, wind and pressure; see the note at the head of each part.
 *
 * Instants are at the middle of the hour, where the hour's mean radiation belongs. The year has 365 days and no number.
 * The normals hold no precipitation: rain and snow are 0, and a remark says so. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"
#include "sky/generate.h"

static pinery_status fill(const struct pinery_sky_draft *draft, struct pinery_weather *weather, pinery_error *error) {
    static const struct {
        pinery_weather_column column;
        size_t offset;
    } parts[] = {
#define PART(column, member) {PINERY_WEATHER_##column, offsetof(struct pinery_sky_draft, member)}
        PART(temperature, temperature), PART(vapour_pressure, vapour_pressure), PART(pressure, pressure),
        PART(global, global),           PART(beam_normal, beam_normal),         PART(diffuse, diffuse),
        PART(infrared, infrared),       PART(wind_speed, wind_speed),           PART(wind_direction, wind_direction),
#undef PART
    };
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        memcpy(weather->column[parts[i].column], (const char *)draft + parts[i].offset,
               PINERY_SKY_HOURS * sizeof(double));
    for (int i = 0; i < PINERY_SKY_HOURS; i++)
        weather->column[PINERY_WEATHER_rain][i] = weather->column[PINERY_WEATHER_snow][i] = 0.0;
    weather->site = draft->normals.site;
    weather->step_s = 3600.0;
    weather->instant_s = 1800.0;
    weather->start_s = 0.0;
    weather->year = 0;
    weather->leap = false;
    snprintf(weather->source, sizeof weather->source, "typical year of %s, seed %u", draft->normals.site.name,
             draft->seed);
    if (pinery_sky_weather_remark(weather, "made from monthly normals, so a year that never was") != PINERY_OK ||
        pinery_sky_weather_remark(weather, "the normals hold no precipitation: rain and snow are 0") != PINERY_OK)
        return pinery_base_fail(error, PINERY_MEMORY, "no memory for the remarks of %s", weather->source);
    return pinery_sky_weather_finish(weather, error);
}

pinery_status pinery_weather_generate(const char *normals_path, const char *place, unsigned seed, pinery_weather **out,
                                      pinery_error *error) {
    *out = NULL;
    pinery_base_ok(error);
    struct pinery_weather *weather = pinery_sky_weather_new(PINERY_SKY_HOURS);
    struct pinery_sky_draft *draft = calloc(1, sizeof *draft);
    pinery_status status = PINERY_OK;
    if (!weather || !draft) {
        status = pinery_base_fail(error, PINERY_MEMORY, "no memory for a typical year of %s", place);
        goto out;
    }
    draft->seed = seed;
    status = pinery_sky_normals_read(normals_path, place, &draft->normals, error);
    if (status != PINERY_OK)
        goto out;
    status = pinery_sky_generate_radiation(draft, normals_path, error);
    if (status != PINERY_OK)
        goto out;
    pinery_sky_generate_temperature(draft);
    pinery_sky_generate_humidity(draft);
    pinery_sky_generate_infrared(draft);
    pinery_sky_generate_wind(draft);
    pinery_sky_generate_pressure(draft);
    status = fill(draft, weather, error);
    if (status != PINERY_OK)
        goto out;
    *out = weather;
    weather = NULL;
out:
    pinery_weather_free(weather);
    free(draft);
    return status;
}
