/* Day by hour: the lowest cloth, the lamps and the humidity of one run, a column for each day from midnight to
 * midnight. The colours of the humidity are steps of viridis (S. van der Walt and N. Smith, 2015). */
#include <math.h>

#include "report/chart.h"

struct map {
    const char *block, *label, *palette, *range, *tics;
};

/* The quantity of map 0, 1 or 2 in hour `h`, in percent. */
static double value(const pinery_ledger *ledger, int which, int h) {
#define READ(key) pinery_ledger_hour_reading(ledger, h, PINERY_READING_##key)
    switch (which) {
    case 0:
        return 100.0 * fmax(READ(cloth_1), fmax(READ(cloth_2), READ(cloth_3)));
    case 1:
        return 100.0 * fmax(READ(lamp_1), READ(lamp_2));
    default:
        return fmax(READ(humidity_lower), READ(humidity_upper));
    }
#undef READ
}

/* 24 rows, the first hour of the day first; what lies outside the run is left out. */
static void data(FILE *script, const pinery_ledger *ledger, int which, const char *block) {
    int hours = pinery_ledger_hours(ledger);
    long first = (long)floor(pinery_ledger_hour_time_s(ledger, 0) / 3600.0 + 1e-6);
    long days = (first + hours - 1) / 24 - first / 24 + 1;
    fprintf(script, "$%s << PINERY_END\n", block);
    for (long hour = 0; hour < 24; hour++) {
        for (long day = 0; day < days; day++) {
            long h = (first / 24 + day) * 24 + hour - first;
            if (h >= 0 && h < hours) {
                double seen = value(ledger, which, (int)h);
                fprintf(script, "%.4g ", fabs(seen) < 1e-3 ? 0.0 : seen);
            } else {
                fputs("NaN ", script);
            }
        }
        fputc('\n', script);
    }
    fputs("PINERY_END\n", script);
}

static bool moves(const pinery_ledger *ledger, int which) {
    for (int h = 0; h < pinery_ledger_hours(ledger); h++) {
        if (value(ledger, which, h) > 0.0) {
            return true;
        }
    }
    return false;
}

pinery_status pinery_report_chart_map(const struct pinery_chart_ask *ask, pinery_error *error) {
    static const struct map all[] = {
        {"cloth", "cloth drawn, %", "0 '#f2f3f5', 1 '#1f5fa8'", "[0:100]", "set cbtics 50"},
        {"lamps", "lamps, %", "0 '#f2f3f5', 1 '#b8860b'", "[0:100]", "set cbtics 50"},
        {"humidity", "relative humidity, %",
         "0 '#fde725', 1 '#7ad151', 2 '#22a884', 3 '#2a788e', 4 '#414487', 5 '#440154'", "[50:100]", "set cbtics 10"}};
    const pinery_ledger *ledger = ask->run[ask->one].ledger;
    pinery_status status = pinery_report_chart_needs_hours(ask, error);
    if (status != PINERY_OK) {
        return status;
    }
    int shown = 0;
    bool show[3];
    for (int i = 0; i < 3; i++) {
        show[i] = i == 2 || moves(ledger, i);
        shown += show[i];
    }
    struct pinery_report_plot plot;
    int height = 26 + 130 * shown;
    status = pinery_report_chart_begin(&plot, ask, height, error);
    if (status != PINERY_OK) {
        return status;
    }
    double first_day = floor(pinery_ledger_start_s(ledger) / 86400.0 + 1e-9), top = 1.0 - 24.0 / height;
    fputs("unset key\nunset grid\nset lmargin at screen 0.09\nset rmargin at screen 0.86\nset multiplot\nset yrange "
          "[24:0]\nset ytics 0,6,24\nset tics front\nset xtics scale 0.5\nset ytics scale 0.5\n",
          plot.script);
    for (int i = 0, place = 0; i < 3; i++) {
        if (!show[i]) {
            continue;
        }
        place++;
        data(plot.script, ledger, i, all[i].block);
        pinery_report_chart_month_tics(plot.script, ledger, place == shown);
        pinery_report_chart_panel(plot.script, top - 98.0 / height, top, all[i].label);
        fprintf(plot.script,
                "set palette defined (%s)\nset cbrange %s\n%s\nset colorbox user origin screen 0.88, screen %.4f size "
                "screen 0.02, screen %.4f\nplot $%s matrix using ($1+%.10g):($2+0.5):3 with image\n",
                all[i].palette, all[i].range, all[i].tics, top - 98.0 / height, 98.0 / height, all[i].block,
                first_day + 1.5);
        top -= 130.0 / height;
    }
    fputs("unset multiplot\n", plot.script);
    return pinery_report_plot_end(&plot, error);
}
