/* Does it pay? Payments of a year fall at its end.
 *
 *   present value of a saving S that grows by g:  S (1 - q^n) / (r - g),  q = (1 + g) / (1 + r);  S n / (1 + r) when r
 * = g net present value = that - maintenance (1 - (1 + r)^-n) / r - price + residual (1 + r)^-n
 *
 * n years, interest r. Growing annuity: any text on corporate finance, Brealey, Myers and Allen, Principles of
 * Corporate Finance, chapter 2. With a life that is no whole number the formulas go on smoothly. */
#include <math.h>

#include "base/error.h"
#include "pinery/money.h"

/* Present value of 1 at the end of each of n years, the first 1 and then growing by g. */
static double annuity(double n, double r, double g) {
    double x = n * log1p((g - r) / (1.0 + r)); /* ln q^n */
    return fabs(r - g) < 1e-12 ? n / (1.0 + r) : -expm1(x) / (r - g);
}

/* Whether there is a life and an interest to reckon with. */
static bool reckons(const pinery_invest *invest) {
    return !isnan(invest->life) && !isnan(invest->interest);
}

double pinery_money_payback(const pinery_invest *invest, double saving) {
    double left = saving - invest->maintenance;
    return invest->price <= 0.0 ? (left >= 0.0 ? 0.0 : INFINITY) : left > 0.0 ? invest->price / left : INFINITY;
}

double pinery_money_npv(const pinery_invest *invest, double saving) {
    if (!reckons(invest)) {
        return NAN;
    }
    return saving * annuity(invest->life, invest->interest, invest->price_rise) -
           invest->maintenance * annuity(invest->life, invest->interest, 0.0) - invest->price +
           invest->residual * exp(-invest->life * log1p(invest->interest));
}

double pinery_money_probability(const pinery_invest *invest, int n, const double *saving) {
    if (!reckons(invest) || n < 1) {
        return NAN;
    }
    int pays = 0;
    for (int i = 0; i < n; i++) {
        pays += pinery_money_npv(invest, saving[i]) > 0.0;
    }
    return (double)pays / n;
}

double pinery_money_saving_needed(const pinery_invest *invest) {
    return reckons(invest)
               ? -pinery_money_npv(invest, 0.0) / annuity(invest->life, invest->interest, invest->price_rise)
               : invest->maintenance;
}

/* The part of the saving that goes with a price must become `wanted`; the price that makes it so. */
static double even(double price, double part, double wanted) {
    return part == 0.0 ? NAN : price * wanted / part;
}

static void against(pinery_money_case *one, const pinery_money_case *reference, double light_lost, double rate,
                    const pinery_tariff *tariff, const pinery_invest *invest, int draws, const double *draw) {
    pinery_bill *bill = &one->bill;
    const pinery_bill *was = &reference->bill;
    bill->item[PINERY_BILL_light] = rate * tariff->light_value * light_lost;
    bill->item[PINERY_BILL_maintenance] = invest->maintenance;
    double saving = was->total - bill->total - bill->item[PINERY_BILL_light]; /* totals still without these two */
    bill->total += bill->item[PINERY_BILL_light] + bill->item[PINERY_BILL_maintenance];
    one->saving = saving - invest->maintenance;
    one->saving_percent = was->total != 0.0 ? 100.0 * one->saving / fabs(was->total) : NAN;
    one->payback = pinery_money_payback(invest, saving);
    one->npv = pinery_money_npv(invest, saving);
    one->probability = draw != NULL ? pinery_money_probability(invest, draws, draw) : NAN;

    double needed = pinery_money_saving_needed(invest), missing = needed - saving;
    double gas = was->item[PINERY_BILL_gas] - bill->item[PINERY_BILL_gas];
    double power = was->item[PINERY_BILL_power] + was->item[PINERY_BILL_power_made] - bill->item[PINERY_BILL_power] -
                   bill->item[PINERY_BILL_power_made];
    one->even_gas = even(was->gas_price, gas, gas + missing);
    one->even_power = even(was->power_price, power, power + missing);
    one->even_invest = one->npv + invest->price;
    one->even_light = light_lost != 0.0 ? rate * tariff->light_value - missing / light_lost : NAN;
}

pinery_status pinery_money_compare(int n, pinery_money_case cases[], const char *const name[], const double light_mol[],
                                   int reference, const pinery_tariff *tariff, const pinery_invest invest[],
                                   const int draw_count[], const double *const draws[], pinery_error *error) {
    static const pinery_invest nothing = {.life = NAN, .interest = NAN};
    double rate = tariff->show_rate;
    for (int i = 0; i < n; i++) {
        pinery_status status = pinery_fields_check(&pinery_invest_fields, &invest[i], name[i], error);
        if (status != PINERY_OK) {
            return status;
        }
        if (i != reference && invest[i].price > 0.0 && !(cases[i].bill.whole && cases[reference].bill.whole)) {
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "money: the run %s is of %.4g years; what an investment brings wants a run of a "
                                    "year, or of several whole ones",
                                    name[i], cases[i].bill.years);
        }
        if (fabs(cases[i].bill.years - cases[reference].bill.years) > 1e-6) {
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "money: the run %s is of %.6g years and its reference %s of %.6g; expected the "
                                    "same span",
                                    name[i], cases[i].bill.years, name[reference], cases[reference].bill.years);
        }
    }
    for (int k = 0; k <= n; k++) { /* the reference last, since the others look at its bill */
        int i = k < n ? k : reference;
        if (k < n && k == reference) {
            continue;
        }
        pinery_invest shown = i == reference ? nothing : invest[i];
        shown.price *= rate;
        shown.maintenance *= rate;
        shown.residual *= rate;
        int count = draw_count != NULL ? draw_count[i] : 0;
        against(&cases[i], &cases[reference], light_mol[reference] - light_mol[i], rate, tariff, &shown, count,
                draws != NULL && i != reference ? draws[i] : NULL);
    }
    return pinery_base_ok(error);
}
