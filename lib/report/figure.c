/* A few days of a run, hour by hour, in panels on one time axis. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "ledger/calendar.h"
#include "report/plot.h"
#include "report/text.h"

/* Columns of the data, in the order they are written; x is the day of the year. Positions are in percent. */
enum column {
    X_START = 1, /* of the hour */
    X_MIDDLE,
    LOWER,
    UPPER,
    ROOF,
    OUTSIDE,
    HEATING,
    HUMID_LOWER,
    HUMID_UPPER,
    HUMID_ROOF,
    CLOTH_1,
    CLOTH_2,
    CLOTH_3,
    SLIT,
    VENT_LEE,
    VENT_WIND,
    LAMP,
    PIPE_LOWER,
    PIPE_UPPER,
    SUN
};

/* One row per hour, and the last hour's values again at its end, so that steps are drawn to the end of it. */
static void data(FILE *script, const pinery_ledger *ledger, int from, int to) {
    fputs("$hours << PINERY_END\n", script);
    for (int row = from; row <= to; row++) {
        int h = row < to ? row : to - 1;
        double start_s = pinery_ledger_hour_time_s(ledger, h) + (row < to ? 0.0 : 3600.0);
#define READ(key) pinery_ledger_hour_reading(ledger, h, PINERY_READING_##key)
        double slit = 0.0;
        for (int i = 0; i < 3; i++) {
            double drawn = pinery_ledger_hour_reading(ledger, h, (pinery_reading)(PINERY_READING_cloth_1 + i));
            double open = pinery_ledger_hour_reading(ledger, h, (pinery_reading)(PINERY_READING_slit_1 + i));
            slit = drawn > 0.5 && open > slit ? open : slit;
        }
        const double value[] = {1.0 + start_s / 86400.0,
                                row < to ? 1.0 + (start_s + 1800.0) / 86400.0 : NAN,
                                READ(air_lower),
                                READ(air_upper),
                                READ(air_roof),
                                READ(outside),
                                READ(heating),
                                READ(humidity_lower),
                                READ(humidity_upper),
                                READ(humidity_roof),
                                100.0 * READ(cloth_1),
                                100.0 * READ(cloth_2),
                                100.0 * READ(cloth_3),
                                100.0 * slit,
                                100.0 * READ(vent_lee),
                                100.0 * READ(vent_wind),
                                100.0 * READ(lamp_1),
                                pinery_ledger_hour_heat(ledger, h, PINERY_HEADING_heat_lower) / 3600.0,
                                pinery_ledger_hour_heat(ledger, h, PINERY_HEADING_heat_upper) / 3600.0,
                                READ(outside_global)};
#undef READ
        for (size_t i = 0; i < sizeof value / sizeof value[0]; i++) {
            fprintf(script, "%.8g ", value[i]);
        }
        fputc('\n', script);
    }
    fputs("PINERY_END\n", script);
}

static bool has(const pinery_ledger *ledger, pinery_result result) {
    return !isnan(pinery_ledger_result(ledger, result));
}

/* Dates at midnight, hours between them when there is room. */
static void tics(FILE *script, const pinery_ledger *ledger, double first_day, double days, bool labels, bool letters) {
    double every = letters ? 24.0 : days <= 2.0 ? 3.0 : days <= 5.0 ? 6.0 : days <= 10.0 ? 12.0 : 24.0;
    double date_every = days <= 16.0 ? 1.0 : ceil(days / 12.0);
    fputs("set xtics (", script);
    bool any = false;
    for (double hour = ceil((first_day - 1.0) * 24.0 / every) * every; hour <= (first_day - 1.0 + days) * 24.0 + 0.01;
         hour += every) {
        struct pinery_ledger_date date = pinery_ledger_date(hour * 3600.0, pinery_ledger_leap(ledger));
        char text[32] = "";
        if (labels && date.hour == 0) {
            if (fmod(floor(hour / 24.0 - first_day + 1.01), date_every) == 0.0) {
                snprintf(text, sizeof text, "%d %s", date.day, pinery_ledger_month_name(date.month));
            }
        } else if (labels && every <= 6.0) {
            snprintf(text, sizeof text, "%d h", date.hour);
        }
        fprintf(script, "%s'%s' %.10g", any ? ", " : "", text, 1.0 + hour / 24.0);
        any = true;
    }
    fputs(")\n", script);
}

struct curve {
    int column;
    const char *title, *colour, *style; /* style: gnuplot's "with ..." */
    bool shown;
};

struct panel {
    const char *title, *unit;
    double share;      /* of the height */
    const char *range; /* y range */
    const struct curve *curve;
    int curves;
};

static void draw(FILE *script, const struct panel *panel, double bottom, double top, bool letters) {
    fprintf(script, "set yrange %s\n", panel->range);
    if (!letters) {
        fprintf(script, "set bmargin at screen %.4f\nset tmargin at screen %.4f\n", bottom, top);
        fprintf(script, "set ylabel '%s' offset 1 textcolor '%s'\n", panel->unit, PINERY_INK);
        fprintf(script, "set label 1 '%s' at graph 0, graph 1 left offset 0,0.6 textcolor '%s'\n", panel->title,
                PINERY_INK);
    } else {
        fprintf(script, "set title '%s, %s'\n", panel->title, panel->unit);
    }
    const char *before = "plot ";
    for (int i = 0; i < panel->curves; i++) {
        const struct curve *c = &panel->curve[i];
        if (!c->shown) {
            continue;
        }
        if (letters) {
            fprintf(script, "%s$hours using %d:%d with lines title '%s'", before, X_MIDDLE, c->column, c->title);
        } else {
            /* Steps and their fill begin at the start of the hour, the rest stands at its middle. */
            bool steps = strncmp(c->style, "steps", 5) == 0 || strncmp(c->style, "fillsteps", 9) == 0;
            fprintf(script, "%s$hours using %d:%d with %s lc '%s' title '%s'", before, steps ? X_START : X_MIDDLE,
                    c->column, c->style, c->colour, c->title);
        }
        before = ", ";
    }
    fputc('\n', script);
}

#define THIN "lines lw 1.3 dt 2"
#define LINE "lines lw 2"
#define BAND "fillsteps fs transparent solid 0.35 noborder"
#define EDGE "steps lw 2"

static void panels(FILE *script, const pinery_report_entry *run, double first_day, double days, bool letters) {
    const pinery_ledger *l = run->ledger;
    bool drive_1 = has(l, PINERY_RESULT_screen_1_hours), drive_2 = has(l, PINERY_RESULT_screen_2_hours),
         drive_3 = has(l, PINERY_RESULT_screen_3_hours), drives = drive_1 || drive_2 || drive_3;
    bool upper = pinery_ledger_heat(l, PINERY_HEADING_heat_upper) != 0.0;
    const struct curve air[] = {{HEATING, "heating asked", PINERY_GREY, "steps lw 1.5", true},
                                {LOWER, "lower air", PINERY_RED, LINE, true},
                                {UPPER, "upper air", PINERY_ORANGE, LINE, true},
                                {ROOF, "under cover", PINERY_SKY, LINE, drives},
                                {OUTSIDE, "outside", PINERY_INK, THIN, true}};
    const struct curve humid[] = {{HUMID_LOWER, "lower air", PINERY_RED, LINE, true},
                                  {HUMID_UPPER, "upper air", PINERY_ORANGE, LINE, true},
                                  {HUMID_ROOF, "under cover", PINERY_SKY, LINE, drives}};
    const struct curve cloth[] = {{CLOTH_1, "lowest cloth", PINERY_BLUE, BAND, drive_1},
                                  {CLOTH_2, "second cloth", PINERY_GREEN, EDGE, drive_2},
                                  {CLOTH_3, "third cloth", PINERY_GREY, EDGE, drive_3},
                                  {SLIT, "slit", PINERY_RED, EDGE, drives}};
    const struct curve open[] = {{LAMP, "lamps", PINERY_GOLD, BAND, has(l, PINERY_RESULT_lamp_hours)},
                                 {VENT_LEE, "vents, lee", PINERY_BLUE, EDGE, true},
                                 {VENT_WIND, "vents, wind", PINERY_SKY, EDGE, true}};
    const struct curve pipe[] = {{PIPE_LOWER, "lower pipes", PINERY_RED, EDGE, true},
                                 {PIPE_UPPER, "upper pipes", PINERY_ORANGE, EDGE, upper}};
    const struct curve sun[] = {{SUN, "global", PINERY_GOLD, BAND, true}};
#define PANEL(title, unit, share, range, c) \
    { title, unit, share, range, c, (int)(sizeof c / sizeof c[0]) }
    const struct panel all[] = {PANEL("Temperature", "°C", 3.0, "[*:*]", air),
                                PANEL("Relative humidity", "%", 2.0, "[*:*]", humid),
                                PANEL("Cloths", "% drawn", 1.2, "[0:105]", cloth),
                                PANEL("Vents and lamps", "%", 1.2, "[0:105]", open),
                                PANEL("Heat from the boiler", "W/m²", 1.6, "[0:*]", pipe),
                                PANEL("Sun", "W/m²", 1.2, "[0:*]", sun)};
#undef PANEL
    enum { N = (int)(sizeof all / sizeof all[0]) };
    const double above = 0.945, below = 0.045, gap = 0.032;
    double shares = 0.0;
    int shown = 0;
    for (int i = 0; i < N; i++) {
        if (all[i].curve != cloth || drives) {
            shares += all[i].share;
            shown++;
        }
    }
    double scale = (above - below - gap * (shown - 1)) / shares, top = above;
    fprintf(script, "set xrange [%.10g:%.10g]\n", first_day, first_day + days);
    fprintf(script, letters ? "set multiplot layout %d,1\n" : "set multiplot\n", shown);
    for (int i = 0; i < N; i++) {
        if (all[i].curve == cloth && !drives) {
            continue;
        }
        double bottom = top - scale * all[i].share;
        tics(script, l, first_day, days, letters || i == N - 1, letters);
        if (i == 0 && !letters) {
            fputs("set label 2 ", script);
            pinery_report_plot_text(script, run->name);
            fprintf(script, " at screen 0.07, screen 0.982 left font ',14' textcolor '%s'\n", PINERY_INK);
        }
        draw(script, &all[i], bottom, top, letters);
        fputs("unset label 2\n", script);
        top = bottom - gap;
    }
    fputs("unset multiplot\n", script);
}

pinery_status pinery_report_figure(const pinery_report_entry *run, double first_day, double days, const char *path,
                                   FILE *terminal, pinery_error *error) {
    const pinery_ledger *ledger = run->ledger;
    int hours = pinery_ledger_hours(ledger);
    if (hours == 0) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "figure: this run kept no hours; run it with keep_hours = true for an hour or longer");
    }
    double start = (first_day - 1.0) * 86400.0 - pinery_ledger_start_s(ledger);
    int from = (int)fmax(-1.0, fmin(floor(start / 3600.0 + 1e-6), hours));
    int count = days > 0.0 && days < 1e5 ? (int)ceil(days * 24.0 - 1e-6) : 0;
    if (!(days > 0.0) || !isfinite(first_day) || from < 0 || count < 1 || count > hours - from) {
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "figure: first_day = %.10g d and days = %.10g d are outside the run, which goes from day "
            "%.10g for %.10g d",
            first_day, days, 1.0 + pinery_ledger_start_s(ledger) / 86400.0, hours / 24.0);
    }
    struct pinery_report_plot plot = {.script = NULL};
    pinery_status status = pinery_report_plot_begin(&plot, 1100, 1200, 90, path, terminal, error);
    if (status != PINERY_OK) {
        return status;
    }
    bool letters = path == NULL;
    data(plot.script, ledger, from, from + count);
    if (!letters) {
        fputs("set lmargin at screen 0.07\nset rmargin at screen 0.86\nset key at screen 0.868, graph 1 left top Left "
              "reverse "
              "samplen 1.5 spacing 1.1 noenhanced\nset grid x y ls 100\nset style fill transparent solid 0.35\n",
              plot.script);
    } else {
        fputs("set lmargin 8\nset rmargin 24\nset key outside right top\n", plot.script);
    }
    panels(plot.script, run, first_day, days, letters);
    return pinery_report_plot_end(&plot, error);
}
