/* Gas added up at the end of each week, and what every run has used less or more than the reference by then. */
#include <math.h>
#include <stdlib.h>

#include "base/error.h"
#include "report/chart.h"

/* The lowest and highest of the differences that are drawn; 0 is among them. */
struct span {
    double low, high;
};

/* A row for the start, for the end of each week, and for the end of the run: day of the year, m3/m2 of every run, and
 * what each has above the reference. */
static bool data(FILE *script, const struct pinery_chart_ask *ask, struct span *span) {
    double *sum = calloc((size_t)ask->n, sizeof *sum);
    if (sum == NULL) {
        return false;
    }
    int hours = pinery_ledger_hours(ask->run[0].ledger);
    for (int i = 0; i < ask->n; i++) {
        int kept = pinery_ledger_hours(ask->run[i].ledger);
        hours = kept < hours ? kept : hours;
    }
    fputs("$weeks << PINERY_END\n", script);
    for (int h = 0; h <= hours; h++) {
        if (h % 168 == 0 || h == hours) {
            fprintf(script, "%.8g", 1.0 + pinery_ledger_start_s(ask->run[0].ledger) / 86400.0 + h / 24.0);
            for (int i = 0; i < ask->n; i++) {
                fprintf(script, " %.9g", sum[i]);
            }
            for (int i = 0; i < ask->n; i++) {
                double more = sum[i] - sum[ask->reference];
                fprintf(script, " %.9g", more);
                span->low = fmin(span->low, more);
                span->high = fmax(span->high, more);
            }
            fputc('\n', script);
        }
        for (int i = 0; i < ask->n && h < hours; i++) {
            const pinery_ledger *ledger = ask->run[i].ledger;
            sum[i] += pinery_ledger_hour_meter(ledger, h, PINERY_METER_gas) / pinery_ledger_heating_value(ledger);
        }
    }
    fputs("PINERY_END\n", script);
    free(sum);
    return true;
}

static void lines(FILE *script, const struct pinery_chart_ask *ask, int first_column) {
    for (int i = 0; i < ask->n; i++) {
        fprintf(script, "%s$weeks using 1:%d with lines lw 2 dt %d lc '%s'", i > 0 ? ", " : "plot ", first_column + i,
                i < 6 ? 1 : 2, pinery_report_chart_colour(i));
        pinery_report_chart_title(script, ask->run[i].name);
    }
    fputc('\n', script);
}

pinery_status pinery_report_chart_weeks(const struct pinery_chart_ask *ask, pinery_error *error) {
    enum { HEIGHT = 400 };
    struct pinery_report_plot plot;
    pinery_status status = pinery_report_chart_needs_hours(ask, error);
    status = status == PINERY_OK ? pinery_report_chart_begin(&plot, ask, HEIGHT, error) : status;
    if (status != PINERY_OK) {
        return status;
    }
    double top = pinery_report_chart_top(ask, HEIGHT), middle = ask->n > 1 ? 0.36 : 0.03;
    struct span span = {0.0, 0.0};
    if (!data(plot.script, ask, &span)) {
        fclose(plot.script);
        return pinery_base_fail(error, PINERY_MEMORY, "chart: no memory for the sums");
    }
    fputs("set multiplot\nset yrange [0:*]\n", plot.script);
    pinery_report_chart_month_tics(plot.script, ask->run[0].ledger, ask->n == 1);
    pinery_report_chart_panel(plot.script, middle + 0.05, top, "gas since the start, m³/m²");
    lines(plot.script, ask, 2);
    if (ask->n > 1) {
        fputs("unset key\nset yrange [*:*]\n", plot.script);
        if (span.high > span.low) {
            fprintf(plot.script, "set ytics %.6g\n", pinery_report_chart_step(span.high - span.low));
        }
        pinery_report_chart_month_tics(plot.script, ask->run[0].ledger, true);
        pinery_report_chart_panel(plot.script, 0.095, middle - 0.055, "less (−) or more than the reference, m³/m²");
        lines(plot.script, ask, 2 + ask->n);
    }
    fputs("unset multiplot\n", plot.script);
    return pinery_report_plot_end(&plot, error);
}
