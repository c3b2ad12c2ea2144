/* A weather year day by day: temperature, sun, humidity, wind. */
#include <math.h>
#include <string.h>

#include "ledger/calendar.h"
#include "report/plot.h"
#include "report/text.h"

struct day {
    double low, high, mean, humidity, wind, global, diffuse; /* degC, Pa of vapour, m/s, MJ/m2 */
    int n;
};

static void data(FILE *script, const pinery_weather *weather) {
    const double *temperature = pinery_weather_values(weather, PINERY_WEATHER_temperature);
    const double *vapour = pinery_weather_values(weather, PINERY_WEATHER_vapour_pressure);
    const double *wind = pinery_weather_values(weather, PINERY_WEATHER_wind_speed);
    const double *global = pinery_weather_values(weather, PINERY_WEATHER_global);
    const double *diffuse = pinery_weather_values(weather, PINERY_WEATHER_diffuse);
    double step = pinery_weather_step_s(weather), start = pinery_weather_start_s(weather);
    int count = pinery_weather_count(weather);

    fputs("$days << PINERY_END\n", script);
    for (int i = 0; i < count;) {
        double number = floor((start + (i + 0.5) * step) / 86400.0);
        struct day day = {.low = INFINITY, .high = -INFINITY};
        for (; i < count && floor((start + (i + 0.5) * step) / 86400.0) == number; i++) {
            day.low = fmin(day.low, temperature[i]);
            day.high = fmax(day.high, temperature[i]);
            day.mean += temperature[i];
            day.humidity += vapour[i];
            day.wind += wind[i];
            day.global += 1e-6 * step * global[i];
            day.diffuse += 1e-6 * step * diffuse[i];
            day.n++;
        }
        fprintf(script, "%.0f %.6g %.6g %.6g %.6g %.6g %.6g %.6g\n", number + 1.0, day.low, day.high, day.mean / day.n,
                day.humidity / day.n, day.wind / day.n, day.global, day.diffuse);
    }
    fputs("PINERY_END\n", script);
}

/* Names of months at their middles, lines at their ends. */
static void months(FILE *script, const pinery_weather *weather, bool labels) {
    double start = pinery_weather_start_s(weather),
           end = start + pinery_weather_count(weather) * pinery_weather_step_s(weather);
    bool leap = end - start > 365.5 * 86400.0 && end - start < 366.5 * 86400.0;
    fprintf(script, "set xrange [%.10g:%.10g]\nset xtics scale 0 (", start / 86400.0 + 0.5, end / 86400.0 + 0.5);
    const char *before = "";
    for (double t = start; t < end - 1.0;) {
        double next = pinery_ledger_month_end_s(t, leap);
        fprintf(script, "%s'%s' %.10g", before,
                labels ? pinery_ledger_month_name(pinery_ledger_date(t, leap).month) : "",
                0.5 * (t + fmin(next, end)) / 86400.0 + 1.0);
        before = ", ";
        t = next;
    }
    fputs(")\n", script);
    int arrow = 1;
    for (double t = pinery_ledger_month_end_s(start, leap); t < end - 1.0; t = pinery_ledger_month_end_s(t, leap)) {
        fprintf(script, "set arrow %d from %.10g, graph 0 to %.10g, graph 1 nohead back ls 100\n", arrow++,
                t / 86400.0 + 0.5, t / 86400.0 + 0.5);
    }
}

pinery_status pinery_report_weather_figure(const pinery_weather *weather, const char *path, FILE *terminal,
                                           pinery_error *error) {
    struct pinery_report_plot plot = {.script = NULL};
    pinery_status status = pinery_report_plot_begin(&plot, 1100, 900, 60, path, terminal, error);
    if (status != PINERY_OK) {
        return status;
    }
    FILE *s = plot.script;
    data(s, weather);
    char title[256];
    const char *source = pinery_weather_source(weather), *slash = strrchr(source, '/');
    snprintf(title, sizeof title, "%s, %s", pinery_weather_site(weather)->name, slash != NULL ? slash + 1 : source);
    if (path == NULL) {
        fputs("set lmargin 8\nset rmargin 24\nset key outside right top\nset multiplot layout 3,1 title ", s);
        pinery_report_plot_text(s, title);
        fputc('\n', s);
        months(s, weather, true);
        fputs("unset arrow\n"
              "set title 'Temperature, degC'\nplot $days using 1:2 with lines title 'lowest', '' using 1:3 with lines "
              "title 'highest'\n"
              "set title 'Sun of the day, MJ/m2'\nset yrange [0:*]\nplot $days using 1:7 with lines title 'global', '' "
              "using 1:8 with lines title 'diffuse'\n"
              "set title 'Wind, m/s'\nplot $days using 1:6 with lines title 'mean'\nunset multiplot\n",
              s);
        return pinery_report_plot_end(&plot, error);
    }
    static const struct {
        const char *title, *unit, *range, *plot;
        double bottom, top;
    } panel[] = {
        {"Temperature: mean, and lowest to highest of the day", "°C", "[*:*]",
         "plot $days using 1:2:3 with filledcurves fs solid 0.35 noborder lc '" PINERY_SKY
         "' title 'low to high', '' using 1:4 with lines lw 1.8 lc '" PINERY_RED "' title 'mean'",
         0.66, 0.925},
        {"Sun of the day on the horizontal", "MJ/m²", "[0:*]",
         "plot $days using 1:7 with boxes fs solid 0.9 noborder lc '" PINERY_GOLD
         "' title 'global', '' using 1:8 with boxes fs solid 0.9 noborder lc '" PINERY_GREY "' title 'of it diffuse'",
         0.415, 0.605},
        {"Vapour pressure, mean of the day", "Pa", "[0:*]",
         "plot $days using 1:5 with lines lw 1.8 lc '" PINERY_BLUE "' title 'vapour'", 0.225, 0.36},
        {"Wind, mean of the day", "m/s", "[0:*]",
         "plot $days using 1:6 with lines lw 1.5 lc '" PINERY_GREEN "' title 'wind'", 0.05, 0.17},
    };
    const int n = (int)(sizeof panel / sizeof panel[0]);
    fputs("set lmargin at screen 0.07\nset rmargin at screen 0.86\nset key at screen 0.868, graph 1 left top Left "
          "reverse samplen 1.5 "
          "spacing 1.1\nset grid y ls 100\nset boxwidth 1\nset multiplot\nset label 2 ",
          s);
    pinery_report_plot_text(s, title);
    fprintf(s, " at screen 0.07, screen 0.975 left font ',13' textcolor '%s'\n", PINERY_INK);
    for (int i = 0; i < n; i++) {
        months(s, weather, i == n - 1);
        fprintf(s,
                "set yrange %s\nset bmargin at screen %g\nset tmargin at screen %g\nset ylabel '%s' offset 1\n"
                "set label 1 '%s' at graph 0, graph 1 left offset 0,0.6 textcolor '%s'\n%s\nunset label 2\n",
                panel[i].range, panel[i].bottom, panel[i].top, panel[i].unit, panel[i].title, PINERY_INK,
                panel[i].plot);
    }
    fputs("unset multiplot\n", s);
    return pinery_report_plot_end(&plot, error);
}
