#include "report/text.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"

/* The number as text, without the sign of a zero. */
static void put(FILE *out, int width, int decimals, double value, bool sign) {
    char text[400];
    snprintf(text, sizeof text, sign ? "%+.*f" : "%.*f", decimals, value);
    if (strtod(text, NULL) == 0.0) {
        snprintf(text, sizeof text, "%.*f", decimals, 0.0);
    }
    fprintf(out, "%*s", width, text);
}

void pinery_report_number(FILE *out, int width, int decimals, double value) {
    if (!isfinite(value)) {
        fprintf(out, "%*s", width, isnan(value) ? "-" : "inf");
    } else if (decimals < 0) {
        fprintf(out, "%*.1e", width, value);
    } else {
        put(out, width, decimals, value, false);
    }
}

void pinery_report_change(FILE *out, int width, int decimals, double value) {
    if (!isfinite(value)) {
        fprintf(out, "%*s", width, "-");
    } else {
        put(out, width, decimals, value, true);
    }
}

const char *pinery_report_letter(int i, char text[16]) {
    if (i < 26) {
        text[0] = (char)('A' + i);
        text[1] = '\0';
    } else {
        snprintf(text, 16, "%d", i + 1);
    }
    return text;
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
          "  humidity are exposure, not a forecast of disease; the growth index answers to light alone and is\n"
          "  no forecast of yield.\n",
          out);
}

pinery_status pinery_report_done(FILE *out, pinery_error *error) {
    if (fflush(out) != 0 || ferror(out)) {
        return pinery_base_fail(error, PINERY_IO, "report: cannot be written: %s",
                                errno != 0 ? strerror(errno) : "the file is in error");
    }
    return pinery_base_ok(error);
}
