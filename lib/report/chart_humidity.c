/* Hours over a relative humidity and under a vapour pressure deficit, by night and by day, from the same intervals as
 * the hours in the table. */
#include <math.h>

#include "report/chart.h"

/* Hours in the bins from `from` to before `to`. */
static double hours(const pinery_ledger *ledger, pinery_spread spread, bool night, int from, int to) {
    double sum = 0.0;
    for (int i = from; i < to; i++) {
        sum += pinery_ledger_spread_hours(ledger, spread, night, i);
    }
    return sum;
}

/* Rows "edge, then of each run hours of night and hours of day". */
static void data(FILE *script, const struct pinery_chart_ask *ask, pinery_spread spread, bool over, double from,
                 double to) {
    double width = pinery_spread_width(spread);
    int bins = pinery_ledger_spread_bins();
    fprintf(script, "$%s << PINERY_END\n", over ? "over" : "under");
    for (int bin = (int)round(from / width); bin <= (int)round(to / width); bin++) {
        fprintf(script, "%.8g", bin * width);
        for (int i = 0; i < ask->n; i++) {
            for (int day = 0; day < 2; day++) {
                fprintf(script, " %.9g",
                        hours(ask->run[i].ledger, spread, day == 0, over ? bin : 0, over ? bins : bin));
            }
        }
        fputc('\n', script);
    }
    fputs("PINERY_END\n", script);
}

static void lines(FILE *script, const struct pinery_chart_ask *ask, const char *block) {
    for (int i = 0; i < ask->n; i++) {
        fprintf(script, "%s$%s using 1:%d with lines lw 2 lc '%s'", i > 0 ? ", " : "plot ", block, 2 + 2 * i,
                pinery_report_chart_colour(i));
        pinery_report_chart_title(script, ask->run[i].name);
        fprintf(script, ", $%s using 1:%d with lines lw 1.6 dt (6,4) lc '%s' notitle", block, 3 + 2 * i,
                pinery_report_chart_colour(i));
    }
    fputc('\n', script);
}

static void limit(FILE *script, int number, double at) {
    fprintf(script, "set arrow %d from %.8g, graph 0 to %.8g, graph 1 nohead lc '%s' lw 0.8 dt 3\n", number, at, at,
            PINERY_GREY);
}

pinery_status pinery_report_chart_humidity(const struct pinery_chart_ask *ask, pinery_error *error) {
    enum { HEIGHT = 500 };
    struct pinery_report_plot plot;
    pinery_status status = pinery_report_chart_begin(&plot, ask, HEIGHT, error);
    if (status != PINERY_OK) {
        return status;
    }
    double top = pinery_report_chart_top(ask, HEIGHT), middle = 0.5 * (top + 0.12);
    data(plot.script, ask, PINERY_SPREAD_humidity, true, 50.0, 100.0);
    data(plot.script, ask, PINERY_SPREAD_vapour_deficit, false, 0.0, 1600.0);
    fprintf(plot.script, "set multiplot\nset yrange [0:*]\nset xlabel offset 0,0.4 textcolor '%s'\n", PINERY_INK);
    fputs("set xrange [50:100]\nset xtics 50,10,100\nset xlabel 'relative humidity, %'\n", plot.script);
    limit(plot.script, 1, 85.0);
    limit(plot.script, 2, 90.0);
    limit(plot.script, 3, 95.0);
    pinery_report_chart_panel(plot.script, middle + 0.08, top, "hours over it (line: night, dashes: day)");
    lines(plot.script, ask, "over");
    fputs("unset key\nset xrange [0:1600]\nset xtics 0,200,1600\nset xlabel 'vapour pressure deficit, Pa'\n"
          "unset arrow\n",
          plot.script);
    limit(plot.script, 1, 200.0);
    limit(plot.script, 2, 1400.0);
    pinery_report_chart_panel(plot.script, 0.115, middle - 0.09, "hours under it (line: night, dashes: day)");
    lines(plot.script, ask, "under");
    fputs("unset multiplot\n", plot.script);
    return pinery_report_plot_end(&plot, error);
}
