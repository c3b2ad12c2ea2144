#include "report/text.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "base/error.h"

/* Rounded so that nothing prints as -0. */
static double rounded(double value, int decimals) {
    double scale = pow(10.0, decimals);
    double whole = round(value * scale);
    return whole == 0.0 ? 0.0 : value;
}

void pinery_report_number(FILE *out, int width, int decimals, double value) {
    if (!isfinite(value)) {
        fprintf(out, "%*s", width, isnan(value) ? "-" : "inf");
    } else if (decimals < 0) {
        fprintf(out, "%*.1e", width, value);
    } else {
        fprintf(out, "%*.*f", width, decimals, rounded(value, decimals));
    }
}

void pinery_report_change(FILE *out, int width, int decimals, double value) {
    if (!isfinite(value)) {
        fprintf(out, "%*s", width, "-");
    } else if (rounded(value, decimals) == 0.0) {
        fprintf(out, "%*.*f", width, decimals, 0.0);
    } else {
        fprintf(out, "%+*.*f", width, decimals, value);
    }
}

void pinery_report_source(FILE *out, const char *indent, const pinery_weather *weather) {
    if (weather != NULL) {
        fprintf(out, "%sweather: %s, %s (checksum %016llx)\n", indent, pinery_weather_site(weather)->name,
                pinery_weather_source(weather), pinery_weather_checksum(weather));
    }
}

void pinery_report_cautions(FILE *out) {
    fputs("Cautions\n"
          "  This is an estimate for comparing ways of growing, not a design certificate. Local building,\n"
          "  electrical, gas, fire, health and environmental codes, licensed engineers and the insurer decide.\n"
          "  Snow: park the cloths before it falls and heat under the roof; a warm roof is what melts it. Keep\n"
          "  the boiler and contract capacity of the house without screens, whatever peak is shown here.\n"
          "  Cloths, fans and ducts load the structure and are fuel in a fire: have both checked. Hours of high\n"
          "  humidity are exposure, not a forecast of disease.\n",
          out);
}

pinery_status pinery_report_done(FILE *out, pinery_error *error) {
    if (fflush(out) != 0 || ferror(out)) {
        return pinery_base_fail(error, PINERY_IO, "report: cannot be written: %s",
                                errno != 0 ? strerror(errno) : "the file is in error");
    }
    return pinery_base_ok(error);
}
