/* A weather in figures: its months and what was done to it while it was read. */
#include <math.h>

#include "ledger/calendar.h"
#include "report/text.h"

static const struct {
    const char *title, *unit;
    int width, decimals;
} column[] = {{"mean", "degC", 7, 1},     {"low", "degC", 7, 1},  {"high", "degC", 7, 1},
              {"humid.", "%", 8, 0},      {"vapour", "Pa", 8, 0}, {"global", "MJ/m2", 8, 0},
              {"diffuse", "MJ/m2", 9, 0}, {"wind", "m/s", 7, 1},  {"infrared", "W/m2", 10, 0}};

pinery_status pinery_report_weather(FILE *out, const pinery_weather *weather, pinery_error *error) {
    const int n = (int)(sizeof column / sizeof column[0]);
    const pinery_site *site = pinery_weather_site(weather);
    struct pinery_weather_month month[12];
    pinery_weather_months(weather, month);

    fprintf(out, "%s: latitude %.2f deg, longitude %.2f deg, UTC%+g h, %.0f m above the sea\n", site->name,
            site->latitude_deg, site->longitude_deg, site->utc_offset_h, site->elevation_m);
    fprintf(out, "%d records of %g s from %s (checksum %016llx)\n\n", pinery_weather_count(weather),
            pinery_weather_step_s(weather), pinery_weather_source(weather), pinery_weather_checksum(weather));
    fprintf(out, "%-5s", "");
    for (int i = 0; i < n; i++) {
        fprintf(out, "%*s", column[i].width, column[i].title);
    }
    fprintf(out, "\n%-5s", "");
    for (int i = 0; i < n; i++) {
        fprintf(out, "%*s", column[i].width, column[i].unit);
    }
    fputc('\n', out);
    for (int m = 0; m < 12; m++) {
        const double value[] = {month[m].temperature,
                                month[m].temperature_min_mean,
                                month[m].temperature_max_mean,
                                100.0 * month[m].relative_humidity,
                                month[m].vapour_pressure,
                                month[m].global_MJ_m2,
                                month[m].diffuse_MJ_m2,
                                month[m].wind,
                                month[m].infrared};
        fprintf(out, "%-5s", pinery_ledger_month_name(m));
        for (int i = 0; i < n; i++) {
            pinery_report_number(out, column[i].width, column[i].decimals, value[i]);
        }
        fputc('\n', out);
    }
    fputs("low and high: means of each day's lowest and highest\n", out);
    for (int i = 0; i < pinery_weather_remark_count(weather); i++) {
        fprintf(out, "%s- %s\n", i == 0 ? "\nRemarks\n" : "", pinery_weather_remark(weather, i));
    }
    return pinery_report_done(out, error);
}
