/* What runs cost against one of them, and whether the difference pays, in plain text. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/error.h"
#include "report/text.h"

enum { label_width = 26, value_width = 10, at_a_time = 3 };

struct page {
    FILE *out;
    const pinery_report_money_page *m;
    const char *money; /* its name */
    pinery_text gas_unit;
};

static char letter(int i) {
    return (char)(i < 26 ? 'A' + i : '?');
}

/* The cases of a stretch of columns: the reference, then up to three others. */
static int columns(const struct page *p, int from, int column[at_a_time]) {
    int n = 0;
    for (int i = from; i < p->m->n && n < at_a_time; i++) {
        if (i != p->m->reference) {
            column[n++] = i;
        }
    }
    return n;
}

enum { GAS_DOSING = PINERY_N_BILL_ITEMS + 1 }; /* no item of its own */

static double item_of(const pinery_money_case *one, int item) {
    return item == GAS_DOSING           ? one->bill.gas_dosing
           : item < PINERY_N_BILL_ITEMS ? one->bill.item[item]
                                        : one->bill.total;
}

static void head(const struct page *p, const int column[], int n) {
    fprintf(p->out, "\n%*s%*c", 2 + label_width, "", value_width, letter(p->m->reference));
    for (int i = 0; i < n; i++) {
        char saved[8];
        snprintf(saved, sizeof saved, "%c-%c", letter(p->m->reference), letter(column[i]));
        fprintf(p->out, "%*c%*s", value_width, letter(column[i]), value_width, saved);
    }
    fputc('\n', p->out);
}

static void row(const struct page *p, const char *label, int item, const int column[], int n) {
    double first = item_of(&p->m->cases[p->m->reference], item);
    bool shown = item == PINERY_N_BILL_ITEMS || first != 0.0;
    for (int i = 0; i < n; i++) {
        shown = shown || item_of(&p->m->cases[column[i]], item) != 0.0;
    }
    if (!shown) {
        return;
    }
    fprintf(p->out, "  %-*s", label_width, label);
    pinery_report_number(p->out, value_width, 2, first);
    for (int i = 0; i < n; i++) {
        double value = item_of(&p->m->cases[column[i]], item);
        pinery_report_number(p->out, value_width, 2, value);
        pinery_report_change(p->out, value_width, 2, first - value);
    }
    fputc('\n', p->out);
}

static void carbon_row(const struct page *p, const char *label, size_t offset, const int column[], int n) {
#define AT(i) (*(const double *)(const void *)((const char *)&p->m->cases[i].bill + offset))
    double first = AT(p->m->reference);
    if (isnan(first)) {
        return;
    }
    fprintf(p->out, "  %-*s", label_width, label);
    pinery_report_number(p->out, value_width, 1, first);
    for (int i = 0; i < n; i++) {
        pinery_report_number(p->out, value_width, 1, AT(column[i]));
        pinery_report_change(p->out, value_width, 1, first - AT(column[i]));
    }
    fputc('\n', p->out);
#undef AT
}

static void carbon_rows(const struct page *p, const int column[], int n) {
    const pinery_tariff *tariff = p->m->tariff;
    fprintf(p->out, "Carbon dioxide, kg/m2: gas %.4g kg/GJ net%s", tariff->gas_co2,
            tariff->gas_co2 == 56.1 ? " (IPCC 2006)" : "");
    if (isnan(tariff->power_co2)) {
        fputs("; of electricity nothing is counted: no factor is given\n", p->out);
    } else {
        fprintf(p->out, ", electricity %.4g kg/kWh (as given)\n", tariff->power_co2);
    }
    carbon_row(p, "from gas", offsetof(pinery_bill, co2_gas), column, n);
    carbon_row(p, "from electricity bought", offsetof(pinery_bill, co2_power), column, n);
    carbon_row(p, "from heat bought", offsetof(pinery_bill, co2_heat), column, n);
    carbon_row(p, "all", offsetof(pinery_bill, co2), column, n);
}

/* "gas is above 0.31 EUR/m3 (now 0.45)", on a line of its own; not below 0, where nobody looks for a price. */
static void even(const struct page *p, const char *what, double value, double now, const char *unit, bool *any) {
    if (!(value > 0.0) || isinf(value)) {
        return;
    }
    fprintf(p->out, "%s     %s %.4g %s/%s", *any ? ",\n" : "   it just pays, all else as it is, when\n", what, value,
            p->money, unit);
    if (isfinite(now)) {
        fprintf(p->out, " (now %.4g)", now);
    }
    *any = true;
}

static void verdict(const struct page *p, int i) {
    const pinery_report_money_page *m = p->m;
    const pinery_money_case *one = &m->cases[i];
    const pinery_invest *invest = &m->invest[i];
    double rate = m->tariff->show_rate;
    const char *span = one->bill.whole ? " a year" : "";
    fprintf(p->out, "\n%c  %s: %s %.2f %s/m2%s, %.1f %% of all that is paid in %c\n", letter(i), m->name[i],
            one->saving >= 0.0 ? "saves" : "costs more by", fabs(one->saving), p->money, span,
            fabs(one->saving_percent), letter(m->reference));
    double gas = m->cases[m->reference].bill.gas - one->bill.gas, of = m->cases[m->reference].bill.gas;
    fprintf(p->out, "   gas %s by %.4g %s/m2, %.1f %% of the gas of %c in the run; power %s by %.4g kWh/m2\n",
            gas >= 0.0 ? "falls" : "rises", fabs(gas), p->gas_unit, of > 0.0 ? 100.0 * fabs(gas) / of : NAN,
            letter(m->reference), one->bill.power >= m->cases[m->reference].bill.power ? "rises" : "falls",
            fabs(one->bill.power - m->cases[m->reference].bill.power));
    if (invest->price > 0.0) {
        fprintf(p->out, "   costs %.4g %s/m2 to buy and %.4g a year to keep; ", rate * invest->price, p->money,
                rate * invest->maintenance);
        if (isfinite(one->payback)) {
            fprintf(p->out, "pays back in %.1f years, interest not counted\n", one->payback);
        } else {
            fputs("never pays back\n", p->out);
        }
    }
    if (isfinite(one->npv)) {
        fprintf(p->out, "   net present value over %.4g years at %.4g %%: %+.2f %s/m2", invest->life,
                100.0 * invest->interest, one->npv, p->money);
        if (isfinite(one->probability)) {
            fprintf(p->out, "; above 0 in %.0f %% of %d draws", 100.0 * one->probability, m->draws[i]);
        }
        fputc('\n', p->out);
    }
    bool any = false;
    const pinery_bill *was = &m->cases[m->reference].bill;
    even(p, "gas costs", one->even_gas, was->gas_price, p->gas_unit, &any);
    even(p, "power costs", one->even_power, was->power_price, "kWh", &any);
    even(p, "buying it costs", one->even_invest, invest->price > 0.0 ? rate * invest->price : NAN, "m2", &any);
    even(p, "light is worth", one->even_light, rate * m->tariff->light_value, "mol", &any);
    fputs(any ? "\n" : "", p->out);
}

pinery_status pinery_report_money(FILE *out, const pinery_report_money_page *m, pinery_error *error) {
    struct page page = {.out = out, .m = m}, *p = &page;
    if (m->n < 1 || m->reference < 0 || m->reference >= m->n) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "report: reference %d of %d cases", m->reference, m->n);
    }
    p->money = m->tariff->show_currency[0] != '\0' ? m->tariff->show_currency : m->tariff->currency;
    pinery_money_gas_unit_name(m->tariff, p->gas_unit);
    const pinery_bill *was = &m->cases[m->reference].bill;
    fprintf(out, "Money and carbon, %s per m2 of floor%s, against %c\n", p->money, was->whole ? " and year" : "",
            letter(m->reference));
    for (int i = 0; i < m->n; i++) {
        fprintf(out, "  %c  %s%s\n", letter(i), m->name[i], i == m->reference ? " (the reference)" : "");
    }
    if (!was->whole) {
        fprintf(out, "  of a run of %.1f days, not of a year\n", 365.0 * was->years);
    }
    if (p->money != m->tariff->currency) {
        fprintf(out, "  prices are given in %s; 1 is %.6g %s\n", m->tariff->currency, m->tariff->show_rate, p->money);
    }
    fprintf(out, "  %c buys %.5g %s of gas at %.4g on average, and %.5g kWh of power at %.4g\n", letter(m->reference),
            was->gas, p->gas_unit, was->gas_price, was->power, was->power_price);
    if (isfinite(was->gas_peak)) {
        fprintf(out, "    highest hours: gas %.4g %s/ha, power %.4g kW/ha\n", 1e4 * was->gas_peak, p->gas_unit,
                1e4 * was->power_peak);
    }
    int last = m->n == 1 || (m->n == 2 && m->reference == 1) ? 1 : m->n;
    for (int from = 0; from < last;) {
        int column[at_a_time], n = columns(p, from, column);
        if (n == 0 && from > 0) {
            break;
        }
        head(p, column, n);
        for (int item = 0; item < PINERY_N_BILL_ITEMS; item++) {
            row(p, pinery_bill_name((pinery_bill_item)item)->doc, item, column, n);
            if (item == PINERY_BILL_gas) {
                row(p, "  of it for CO2 alone", GAS_DOSING, column, n);
            }
        }
        row(p, "all", PINERY_N_BILL_ITEMS, column, n);
        carbon_rows(p, column, n);
        from = n > 0 ? column[n - 1] + 1 : last;
    }
    for (int i = 0; i < m->n; i++) {
        if (i != m->reference) {
            verdict(p, i);
        }
    }
    fputs(
        "\nA capacity is paid for the highest hour unless it is booked; a lower peak is no reason to book less or to\n"
        "shrink the boiler: keep what the house without cloths needs, for snow.\n",
        out);
    pinery_report_cautions(out);
    return pinery_report_done(out, error);
}
