/* The coldest day of all runs, in panels on one time axis: a quantity a panel, a colour a run. */
#include <math.h>

#include "base/error.h"
#include "ledger/calendar.h"
#include "report/chart.h"

int pinery_report_coldest_day(const pinery_ledger *ledger) {
    int hours = pinery_ledger_hours(ledger), coldest = -1;
    double least = INFINITY;
    for (int h = 0; h + 24 <= hours; h++) {
        if (fmod(floor(pinery_ledger_hour_time_s(ledger, h) / 3600.0 + 1e-6), 24.0) != 0.0) {
            continue;
        }
        double sum = 0.0;
        for (int i = 0; i < 24; i++) {
            sum += pinery_ledger_hour_reading(ledger, h + i, PINERY_READING_outside);
        }
        if (sum < least) {
            least = sum;
            coldest = h;
        }
    }
    return coldest;
}

enum { AIR, ROOF, HUMIDITY, CLOTH, SLIT, VENT, LAMP, FAN, HEAT, N_COLUMNS };

static double look(const pinery_ledger *l, int h, int column) {
#define READ(key) pinery_ledger_hour_reading(l, h, PINERY_READING_##key)
    switch (column) {
    case AIR:
        return READ(air_upper);
    case ROOF:
        return READ(air_roof);
    case HUMIDITY:
        return fmax(READ(humidity_lower), READ(humidity_upper));
    case CLOTH:
        return 100.0 * fmax(READ(cloth_1), fmax(READ(cloth_2), READ(cloth_3)));
    case SLIT:
        return 100.0 * fmax(READ(slit_1), fmax(READ(slit_2), READ(slit_3)));
    case VENT:
        return 100.0 * READ(vent_lee);
    case LAMP:
        return 100.0 * READ(lamp_1);
    case FAN:
        return 100.0 * READ(fan_through);
    default:
        return (pinery_ledger_hour_heat(l, h, PINERY_HEADING_heat_lower) +
                pinery_ledger_hour_heat(l, h, PINERY_HEADING_heat_upper)) /
               3600.0;
    }
#undef READ
}

/* Rows "hour of the day, outside, sun, then the columns of every run"; the last hour again at its end. */
static void data(FILE *script, const struct pinery_chart_ask *ask, int from) {
    fputs("$day << PINERY_END\n", script);
    for (int row = 0; row <= 24; row++) {
        int h = from + (row < 24 ? row : 23);
        const pinery_ledger *first = ask->run[0].ledger;
        fprintf(script, "%d %.6g %.6g", row, pinery_ledger_hour_reading(first, h, PINERY_READING_outside),
                pinery_ledger_hour_reading(first, h, PINERY_READING_outside_global));
        for (int i = 0; i < ask->n; i++) {
            for (int c = 0; c < N_COLUMNS; c++) {
                double value = look(ask->run[i].ledger, h, c);
                fprintf(script, " %.6g", fabs(value) < 1e-6 ? 0.0 : value);
            }
        }
        fputc('\n', script);
    }
    fputs("PINERY_END\n", script);
}

struct panel {
    const char *label, *range;
    double step;             /* of the numbers at its side; 0: what suits */
    int line, dashed, under; /* columns, -1: none; a column of the weather, drawn in grey */
};

static bool any(const struct pinery_chart_ask *ask, int from, int column) {
    for (int i = 0; i < ask->n && column >= 0; i++) {
        for (int h = from; h < from + 24; h++) {
            if (look(ask->run[i].ledger, h, column) > 0.05) {
                return true;
            }
        }
    }
    return false;
}

/* Three or four steps reach the highest value. */
static double step_of(const struct pinery_chart_ask *ask, int from, const struct panel *panel) {
    double most = 1.0;
    for (int h = from; h < from + 24; h++) {
        for (int i = 0; i < ask->n; i++) {
            most = fmax(most, look(ask->run[i].ledger, h, panel->line));
        }
        if (panel->under > 0) {
            most = fmax(most, pinery_ledger_hour_reading(ask->run[0].ledger, h, PINERY_READING_outside_global));
        }
    }
    return pinery_report_chart_step(most);
}

static void curves(FILE *script, const struct pinery_chart_ask *ask, const struct panel *panel, bool dashed) {
    const char *before = "plot ";
    if (panel->under > 0) {
        fprintf(script, "%s$day using ($1+0.5):%d with lines lw 1.6 lc '%s' notitle", before, panel->under,
                PINERY_GREY);
        before = ", ";
    }
    for (int i = 0; i < ask->n; i++) {
        int column = 4 + i * N_COLUMNS;
        bool steps = panel->line >= CLOTH;
        fprintf(script, "%s$day using %s:%d with %s lw 2 lc '%s'", before, steps ? "1" : "($1+0.5)",
                column + panel->line, steps ? "steps" : "lines", pinery_report_chart_colour(i));
        pinery_report_chart_title(script, ask->run[i].name);
        if (dashed) {
            fprintf(script, ", $day using %s:%d with %s lw 1.6 dt (5,3) lc '%s' notitle", steps ? "1" : "($1+0.5)",
                    column + panel->dashed, steps ? "steps" : "lines", pinery_report_chart_colour(i));
        }
        before = ", ";
    }
    fputc('\n', script);
}

pinery_status pinery_report_chart_day(const struct pinery_chart_ask *ask, pinery_error *error) {
    static const struct panel all[] = {
        {"air, °C (dashes: under the cover, grey: outside)", "[*:*]", 10, AIR, ROOF, 2},
        {"relative humidity, %", "[*:100]", 20, HUMIDITY, -1, 0},
        {"cloth drawn, % (dashes: slit)", "[0:105]", 50, CLOTH, SLIT, 0},
        {"vents, lee, % open", "[0:*]", 0, VENT, -1, 0},
        {"lamps, % (dashes: through-cloth fans)", "[0:105]", 50, LAMP, FAN, 0},
        {"heat from the boiler, W/m² (grey: sun)", "[0:*]", 0, HEAT, -1, 3},
    };
    enum { N = (int)(sizeof all / sizeof all[0]) };
    pinery_status status = pinery_report_chart_needs_hours(ask, error);
    if (status != PINERY_OK) {
        return status;
    }
    int from = pinery_report_coldest_day(ask->run[0].ledger), shown = 0;
    bool show[N];
    for (int i = 0; i < ask->n; i++) {
        from = pinery_ledger_hours(ask->run[i].ledger) < from + 24 ? -1 : from;
    }
    if (from < 0) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "chart: no whole day, midnight to midnight, is in all runs");
    }
    for (int i = 0; i < N; i++) {
        show[i] = i < 2 || all[i].line == HEAT || any(ask, from, all[i].line) || any(ask, from, all[i].dashed);
        shown += show[i];
    }
    struct pinery_report_plot plot;
    int height = 64 + 114 * shown;
    status = pinery_report_chart_begin(&plot, ask, height, error);
    if (status != PINERY_OK) {
        return status;
    }
    data(plot.script, ask, from);
    double top = pinery_report_chart_top(ask, height), step = (top - 28.0 / height) / shown;
    fputs("set multiplot\nset xrange [0:24]\nset xtics 0,3,24 format ''\n", plot.script);
    for (int i = 0, place = 0; i < N; i++) {
        if (!show[i]) {
            continue;
        }
        place++;
        fprintf(plot.script, "set yrange %s\nset ytics %.6g\n", all[i].range,
                all[i].step > 0.0 ? all[i].step : step_of(ask, from, &all[i]));
        if (place == shown) {
            fputs("set xtics format '%g h'\n", plot.script);
        }
        pinery_report_chart_panel(plot.script, top - step + 30.0 / height, top, all[i].label);
        curves(plot.script, ask, &all[i], any(ask, from, all[i].dashed));
        fputs("unset key\n", plot.script);
        top -= step;
    }
    fputs("unset multiplot\n", plot.script);
    return pinery_report_plot_end(&plot, error);
}
