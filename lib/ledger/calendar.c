#include "ledger/calendar.h"

#include <math.h>

static const double day_s = 86400.0;
static const int first_day[2][13] = {{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365},
                                     {0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366}};

struct pinery_ledger_date pinery_ledger_date(double time_s, bool leap) {
    const int *first = first_day[leap];
    double t = floor(time_s + 1e-3); /* whole seconds; times are sums of intervals */
    double year = floor(t / (first[12] * day_s));
    t -= year * first[12] * day_s;
    int day = (int)(t / day_s), second = (int)(t - day * day_s), month = 0;
    while (day >= first[month + 1]) {
        month++;
    }
    return (struct pinery_ledger_date){.year = (int)year,
                                       .month = month,
                                       .day = day - first[month] + 1,
                                       .hour = second / 3600,
                                       .minute = second / 60 % 60};
}

double pinery_ledger_month_end_s(double time_s, bool leap) {
    struct pinery_ledger_date date = pinery_ledger_date(time_s, leap);
    const int *first = first_day[leap];
    return day_s * (date.year * (double)first[12] + first[date.month + 1]);
}

const char *pinery_ledger_month_name(int month) {
    static const char *const name[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return month >= 0 && month < 12 ? name[month] : "";
}
