/* Gas and electricity by month, a bar for each run. */
#include <math.h>

#include "ledger/calendar.h"
#include "report/chart.h"

static double electricity(const pinery_ledger *ledger, int month) {
    return (pinery_ledger_month_meter(ledger, month, PINERY_METER_power_lamps) +
            pinery_ledger_month_meter(ledger, month, PINERY_METER_power_fan_through) +
            pinery_ledger_month_meter(ledger, month, PINERY_METER_power_fan_circulation) +
            pinery_ledger_month_meter(ledger, month, PINERY_METER_power_pumps)) /
           3.6e6;
}

/* The months in the order in which the run goes through them. */
static int month_at(const struct pinery_chart_ask *ask, int i) {
    const pinery_ledger *ledger = ask->run[0].ledger;
    return (pinery_ledger_date(pinery_ledger_start_s(ledger), pinery_ledger_leap(ledger)).month + i) % 12;
}

/* A row for each month of the run: its place, gas in m3/m2 of every run, electricity in kWh/m2 of every run. */
static int data(FILE *script, const struct pinery_chart_ask *ask, double *most) {
    int months = 0;
    fputs("$months << PINERY_END\n", script);
    for (int place = 0; place < 12; place++) {
        int m = month_at(ask, place);
        if (!(pinery_ledger_month_hours(ask->run[0].ledger, m) > 0.0)) {
            continue;
        }
        fprintf(script, "%d", ++months);
        for (int i = 0; i < ask->n; i++) {
            const pinery_ledger *ledger = ask->run[i].ledger;
            fprintf(script, " %.9g",
                    pinery_ledger_month_meter(ledger, m, PINERY_METER_gas) / pinery_ledger_heating_value(ledger));
        }
        for (int i = 0; i < ask->n; i++) {
            double value = electricity(ask->run[i].ledger, m);
            *most = value > *most ? value : *most;
            fprintf(script, " %.9g", value);
        }
        fprintf(script, " %s\n", pinery_ledger_month_name(m));
    }
    fputs("PINERY_END\n", script);
    return months;
}

static void bars(FILE *script, const struct pinery_chart_ask *ask, int first_column) {
    double width = 0.8 / ask->n;
    for (int i = 0; i < ask->n; i++) {
        fprintf(script, "%s$months using ($1%+.6g):%d with boxes lc '%s'", i > 0 ? ", " : "plot ",
                (i - 0.5 * (ask->n - 1)) * width, first_column + i, pinery_report_chart_colour(i));
        pinery_report_chart_title(script, ask->run[i].name);
    }
    fputc('\n', script);
}

pinery_status pinery_report_chart_months(const struct pinery_chart_ask *ask, pinery_error *error) {
    enum { HEIGHT = 400 };
    struct pinery_report_plot plot;
    pinery_status status = pinery_report_chart_begin(&plot, ask, HEIGHT, error);
    if (status != PINERY_OK) {
        return status;
    }
    double most = 0.0, top = pinery_report_chart_top(ask, HEIGHT), middle = 0.5 * (top + 0.08);
    int months = data(plot.script, ask, &most);
    fprintf(plot.script,
            "set boxwidth %.6g\nset xrange [0.4:%d.6]\nset xtics scale 0\nset yrange [0:*]\nset multiplot\n",
            0.8 / ask->n, months);
    fputs("set xtics ('' 1)\n", plot.script);
    pinery_report_chart_panel(plot.script, middle + 0.035, top, "gas, m³/m²");
    bars(plot.script, ask, 2);
    fputs("unset key\nset xtics (", plot.script);
    for (int i = 0, place = 0; i < 12; i++) {
        int m = month_at(ask, i);
        if (pinery_ledger_month_hours(ask->run[0].ledger, m) > 0.0) {
            fprintf(plot.script, "%s'%.*s' %d", place > 0 ? ", " : "", months > 6 ? 1 : 3, pinery_ledger_month_name(m),
                    place + 1);
            place++;
        }
    }
    fprintf(plot.script, ")\nset yrange [0:%s]\n", most > 0.0 ? "*" : "1");
    pinery_report_chart_panel(plot.script, 0.08, middle - 0.055, "electricity, kWh/m²");
    bars(plot.script, ask, 2 + ask->n);
    fputs("unset multiplot\n", plot.script);
    return pinery_report_plot_end(&plot, error);
}
