/* The boiler's heat in the hours of the run, from the highest down. The 24 highest hours stand each by itself, the rest
 * of a year as means of 24 hours, so that the area is the heat of the run and few points draw it. */
#include <math.h>
#include <stdlib.h>

#include "base/error.h"
#include "report/chart.h"

static int downward(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x < y) - (x > y);
}

/* `last` is moved up to the last hour with heat worth showing. Rows "hours before, mean W/m2 from there" of one run,
 * the last one closing the curve. */
static bool data(FILE *script, const pinery_ledger *ledger, int number, int *last) {
    int hours = pinery_ledger_hours(ledger);
    double *heat = malloc((size_t)hours * sizeof *heat);
    if (heat == NULL) {
        return false;
    }
    for (int h = 0; h < hours; h++) {
        heat[h] = (pinery_ledger_hour_heat(ledger, h, PINERY_HEADING_heat_lower) +
                   pinery_ledger_hour_heat(ledger, h, PINERY_HEADING_heat_upper)) /
                  3600.0;
    }
    qsort(heat, (size_t)hours, sizeof *heat, downward);
    int most = hours < 365 ? 1 : hours / 365;
    fprintf(script, "$duration%d << PINERY_END\n", number);
    for (int h = 0; h < hours;) {
        int width = h < 24 ? 1 : h + most <= hours ? most : hours - h;
        double sum = 0.0;
        for (int i = 0; i < width; i++) {
            sum += heat[h + i];
        }
        fprintf(script, "%d %.9g\n", h, sum / width);
        h += width;
    }
    for (int h = hours - 1; h > *last && heat[h] < 0.5; h--) {
        hours = h;
    }
    *last = hours > *last ? hours : *last;
    fprintf(script, "%d 0\nPINERY_END\n", pinery_ledger_hours(ledger));
    free(heat);
    return true;
}

pinery_status pinery_report_chart_duration(const struct pinery_chart_ask *ask, pinery_error *error) {
    enum { HEIGHT = 320 };
    struct pinery_report_plot plot;
    pinery_status status = pinery_report_chart_needs_hours(ask, error);
    status = status == PINERY_OK ? pinery_report_chart_begin(&plot, ask, HEIGHT, error) : status;
    if (status != PINERY_OK) {
        return status;
    }
    bool fits = true;
    int last = 0;
    for (int i = 0; i < ask->n; i++) {
        fits = fits && data(plot.script, ask->run[i].ledger, i + 1, &last);
    }
    if (!fits) {
        fclose(plot.script);
        return pinery_base_fail(error, PINERY_MEMORY, "chart: no memory to sort the hours");
    }
    fprintf(plot.script, "set yrange [0:*]\nset xrange [0:%d]\nset xlabel 'hours' offset 0,0.4 textcolor '%s'\n",
            last < 200 ? last : (last + 99) / 100 * 100, PINERY_INK);
    pinery_report_chart_panel(plot.script, 0.175, pinery_report_chart_top(ask, HEIGHT), "heat from the boiler, W/m²");
    for (int i = 0; i < ask->n; i++) {
        fprintf(plot.script, "%s$duration%d using 1:2 with steps lw 2 dt %d lc '%s'", i > 0 ? ", " : "plot ", i + 1,
                i < 6 ? 1 : 2, pinery_report_chart_colour(i));
        pinery_report_chart_title(plot.script, ask->run[i].name);
    }
    fputc('\n', plot.script);
    return pinery_report_plot_end(&plot, error);
}
