/* Bills worked by hand (all arithmetic beside the numbers), units of gas there and back, present values against printed
 * tables, break-even prices by putting them in. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "ledger/ledger.h"
#include "pinery/money.h"

static const double tight = 1e-12, m3 = 31.65e6, kWh = 3.6e6;

/* A year of hours. January (744 h) burns 0.01 m3/m2 each hour but 0.05 in its hour 10; the other 8016 h burn 0.001.
 * Lamps take 20 W/m2 from 0 to 8 h in January, fans 1 W/m2 always.
 *
 *   gas    743 x 0.01 + 0.05 + 8016 x 0.001 = 7.48 + 8.016 = 15.496 m3/m2
 *   lamps  31 x 8 h x 0.02 kW = 4.96 kWh/m2;  fans 8760 x 0.001 = 8.76;  together 13.72 kWh/m2
 *   light  0.5 mol/m2 an hour */
static pinery_ledger *year(double fan_kW, double gas_factor, bool keep_hours, int hours) {
    struct pinery_ledger_setup setup = {
        .interval_s = 3600.0, .intervals = hours, .keep_hours = keep_hours, .heating_value = m3};
    pinery_ledger *ledger;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, NULL), PINERY_OK);
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    for (int hour = 0; hour <= hours; hour++) {
        tick.time_s = 3600.0 * hour;
        pinery_ledger_tick(ledger, &tick);
        bool january = hour % 8760 < 744;
        tick.meter[PINERY_METER_gas] += gas_factor * m3 * (!january ? 0.001 : hour % 8760 == 10 ? 0.05 : 0.01);
        tick.meter[PINERY_METER_power_lamps] += january && hour % 24 < 8 ? 0.02 * kWh : 0.0;
        tick.meter[PINERY_METER_power_fan_through] += fan_kW * kWh;
        tick.meter[PINERY_METER_light_sun] += 0.5;
    }
    pinery_ledger_finish(ledger);
    return ledger;
}

static pinery_tariff prices(void) {
    pinery_tariff tariff;
    pinery_tariff_default(&tariff);
    strcpy(tariff.currency, "crown");
    tariff.gas_price = 0.40;
    tariff.gas_levy = 0.10;
    tariff.gas_capacity = 30.0;
    tariff.gas_standing = 1000.0;
    tariff.power_price = 0.15;
    tariff.power_levy = 0.02;
    tariff.power_peak = 2.0;
    tariff.power_capacity = 20.0;
    tariff.power_standing = 500.0;
    tariff.co2_price = 80.0;
    tariff.power_co2 = 0.3;
    return tariff;
}

static pinery_bill bill_of(const pinery_ledger *ledger, const pinery_tariff *tariff, const pinery_prices *gas,
                           const pinery_prices *power) {
    pinery_bill bill;
    pinery_error error;
    if (pinery_money_bill(ledger, tariff, gas, power, 5000.0, &bill, &error)) {
        fail_msg("%s", error.text);
    }
    return bill;
}

#define ITEM(bill, key) (bill).item[PINERY_BILL_##key]

static void a_bill_by_hand(void **state) {
    (void)state;
    pinery_ledger *ledger = year(0.001, 1.0, true, 8760);
    pinery_tariff tariff = prices();
    pinery_bill bill = bill_of(ledger, &tariff, NULL, NULL);
    assert_true(bill.whole);
    assert_close(bill.years, 1.0, tight, 0.0);
    assert_close(bill.gas, 15.496, tight, 0.0);
    assert_close(bill.power, 13.72, tight, 0.0);
    assert_close(bill.gas_peak, 0.05, 1e-9, 0.0);
    assert_close(bill.power_peak, 0.021, 1e-9, 0.0);                           /* lamps and fans */
    assert_close(ITEM(bill, gas), 6.1984, tight, 0.0);                         /* 15.496 x 0.40 */
    assert_close(ITEM(bill, gas_levy), 1.5496, tight, 0.0);                    /* 15.496 x 0.10 */
    assert_close(ITEM(bill, gas_capacity), 1.5, 1e-9, 0.0);                    /* 0.05 x 30 */
    assert_close(ITEM(bill, gas_standing), 0.2, tight, 0.0);                   /* 1000 / 5000 m2 */
    assert_close(ITEM(bill, power), 2.058, tight, 0.0);                        /* 13.72 x 0.15 */
    assert_close(bill.use[PINERY_METER_power_lamps], 0.744, tight, 0.0);       /* 4.96 x 0.15 */
    assert_close(bill.use[PINERY_METER_power_fan_through], 1.314, tight, 0.0); /* 8.76 x 0.15 */
    assert_close(ITEM(bill, power_levy), 0.2744, tight, 0.0);                  /* 13.72 x 0.02 */
    assert_close(ITEM(bill, power_peak), 0.064, 1e-9, 0.0);                    /* 2 x (0.021 + 11 x 0.001) */
    assert_close(ITEM(bill, power_capacity), 0.42, 1e-9, 0.0);                 /* 20 x 0.021 */
    assert_close(ITEM(bill, power_standing), 0.1, tight, 0.0);                 /* 500 / 5000 */
    /* 15.496 m3 x 31.65 MJ = 490.4484 MJ; x 56.1 kg/GJ = 27.51415524 kg; x 80 / 1000 = 2.2011324192 */
    assert_close(bill.co2_gas, 27.51415524, tight, 0.0);
    assert_close(bill.co2_power, 4.116, tight, 0.0); /* 13.72 x 0.3 */
    assert_close(bill.co2, 31.63015524, tight, 0.0);
    assert_close(ITEM(bill, carbon), 2.2011324192, tight, 0.0);
    /* 6.1984 + 1.5496 + 1.5 + 0.2 + 2.058 + 0.2744 + 0.064 + 0.42 + 0.1 + 2.2011324192 */
    assert_close(bill.total, 14.5655324192, 1e-9, 0.0);

    /* What is booked is paid whatever is drawn. */
    tariff.gas_booked = 0.08;
    tariff.power_booked = 0.03;
    bill = bill_of(ledger, &tariff, NULL, NULL);
    assert_close(ITEM(bill, gas_capacity), 2.4, tight, 0.0);
    assert_close(ITEM(bill, power_capacity), 0.6, tight, 0.0);
    pinery_ledger_free(ledger);
}

/* 2 kg/m2 of pure carbon dioxide at 0.12 a kg; none is free of a price. Of gas for carbon dioxide, 3 m3/m2 at 0.40
 * heated nobody: part of the gas, no item of its own. */
static void carbon_dioxide_dosed(void **state) {
    (void)state;
    struct pinery_ledger_setup setup = {.interval_s = 3600.0, .intervals = 8760, .heating_value = m3};
    pinery_ledger *ledger;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, NULL), PINERY_OK);
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    for (int hour = 0; hour <= 8760; hour++) {
        tick.time_s = 3600.0 * hour;
        tick.meter[PINERY_METER_carbon_pure] = tick.meter[PINERY_METER_carbon_dosed] = 2.0 * hour / 8760.0;
        tick.meter[PINERY_METER_gas] = 10.0 * m3 * hour / 8760.0;
        tick.meter[PINERY_METER_gas_flue_only] = 3.0 * m3 * hour / 8760.0;
        pinery_ledger_tick(ledger, &tick);
    }
    pinery_ledger_finish(ledger);
    pinery_tariff tariff = prices();
    tariff.gas_capacity = tariff.power_capacity = tariff.power_peak = 0.0;
    pinery_bill bill;
    pinery_error error;
    assert_int_equal(pinery_money_bill(ledger, &tariff, NULL, NULL, 5000.0, &bill, &error), PINERY_BAD_INPUT);
    assert_non_null(strstr(error.text, "dosing_price is missing, and the run dosed 2 kg/m2"));
    tariff.dosing_price = 0.12;
    bill = bill_of(ledger, &tariff, NULL, NULL);
    assert_close(ITEM(bill, dosing), 0.24, tight, 0.0);
    assert_close(ITEM(bill, gas), 4.0, tight, 0.0);
    assert_close(bill.gas_dosing, 1.2, tight, 0.0);
    double sum = 0.0;
    for (int i = 0; i < PINERY_N_BILL_ITEMS; i++)
        sum += bill.item[i];
    assert_close(bill.total, sum, tight, 0.0);
    pinery_ledger_free(ledger);
}

static void prices_by_month_and_hour(void **state) {
    (void)state;
    static double month[12], hour[8760];
    pinery_ledger *ledger = year(0.001, 1.0, true, 8760);
    pinery_tariff tariff = prices();
    for (int m = 0; m < 12; m++) {
        month[m] = m == 0 ? 0.50 : m == 11 ? 0.30 : 0.20;
    }
    for (int h = 0; h < 8760; h++) {
        hour[h] = h % 24 < 8 ? 0.05 : 0.25; /* cheap by night */
    }
    pinery_bill bill = bill_of(ledger, &tariff, &(pinery_prices){12, month}, &(pinery_prices){8760, hour});
    /* January 7.48 m3 x 0.50 = 3.74; December 744 h x 0.001 = 0.744 x 0.30 = 0.2232; the rest 8016 - 744 = 7272 h:
     * 7.272 x 0.20 = 1.4544. Sum 5.4176. */
    assert_close(ITEM(bill, gas), 5.4176, 1e-11, 0.0);
    assert_close(bill.gas_price, 5.4176 / 15.496, 1e-11, 0.0);
    /* Lamps burn in cheap hours alone: 4.96 x 0.05 = 0.248. Fans: a third of the hours at 0.05, two at 0.25:
     * 8.76 x (0.05 + 2 x 0.25) / 3 = 1.606. */
    assert_close(bill.use[PINERY_METER_power_lamps], 0.248, 1e-11, 0.0);
    assert_close(bill.use[PINERY_METER_power_fan_through], 1.606, 1e-11, 0.0);
    assert_close(ITEM(bill, power), 1.854, 1e-11, 0.0);

    /* The same price in every hour or month is that price. */
    for (int h = 0; h < 8760; h++) {
        hour[h] = 0.40;
    }
    double flat = ITEM(bill_of(ledger, &tariff, NULL, NULL), gas);
    assert_close(ITEM(bill_of(ledger, &tariff, &(pinery_prices){8760, hour}, NULL), gas), flat, 1e-12, 0.0);
    pinery_ledger_free(ledger);
}

static void two_years_cost_what_one_does(void **state) {
    (void)state;
    pinery_ledger *one = year(0.001, 1.0, true, 8760), *two = year(0.001, 1.0, true, 2 * 8760);
    pinery_tariff tariff = prices();
    pinery_bill a = bill_of(one, &tariff, NULL, NULL), b = bill_of(two, &tariff, NULL, NULL);
    assert_true(b.whole);
    for (int i = 0; i < PINERY_N_BILL_ITEMS; i++) {
        assert_close(b.item[i], a.item[i], 1e-9, 0.0);
    }
    assert_close(b.co2, a.co2, 1e-9, 0.0);
    pinery_ledger_free(two);

    /* Half of January: half of its month, 15.5/365 of what is charged a year, not whole. */
    pinery_ledger *half = year(0.001, 1.0, true, 372);
    b = bill_of(half, &tariff, NULL, NULL);
    assert_false(b.whole);
    assert_close(ITEM(b, power_peak), 2.0 * 0.021 * 0.5, 1e-9, 0.0);
    assert_close(ITEM(b, gas_standing), 0.2 * 15.5 / 365.0, tight, 0.0);
    pinery_ledger_free(half);
    pinery_ledger_free(one);
}

/* 35.17 MJ gross or 31.65 MJ net in a m3 of the gas that Dutch growers are billed in; 35.17 / 3.6 = 9.769 kWh, as
 * printed on bills (common practice, no source). 1 therm = 29.3071 kWh = 105.506 MJ (NIST SP 811, appendix B.8, for the
 * therm of the European Community). */
static void units_of_gas(void **state) {
    (void)state;
    pinery_tariff tariff = prices();
    static const double per_m3[] = {1.0,   31.65 / 3.6, 9.769,    31.65 / 3600, 9.769e-3,
                                    31.65, 35.17,       31.65e-3, 35.17e-3,     35.17 / 105.506};
    for (int unit = 0; unit < 10; unit++) {
        tariff.gas_unit = unit;
        assert_close(m3 / pinery_money_gas_unit(&tariff, m3, false), per_m3[unit], 1e-4, 0.0);
        /* The boiler stated on gross value: the same m3, the same units in it. */
        assert_close(1.1112 * m3 / pinery_money_gas_unit(&tariff, 1.1112 * m3, true), per_m3[unit], 1e-4, 0.0);
    }
    tariff.gas_unit = 9;
    assert_close(pinery_money_gas_unit(&tariff, m3, true) / kWh, 29.3071, 2e-6, 0.0);
}

/* A price turned into another unit and currency, and what comes out turned back, is the same bill. */
static void there_and_back(void **state) {
    (void)state;
    pinery_ledger *ledger = year(0.001, 1.0, true, 8760);
    pinery_tariff in = prices();
    pinery_bill want = bill_of(ledger, &in, NULL, NULL);
    for (int unit = 0; unit < 10; unit++) {
        for (int mega = 0; mega < 2; mega++) {
            pinery_tariff other = prices();
            other.gas_unit = unit;
            double ratio = pinery_money_gas_unit(&other, m3, false) / m3, rate = 7.46, MWh = mega ? 1000.0 : 1.0;
            other.power_unit = mega;
            double *by_gas[] = {&other.gas_price, &other.gas_levy, &other.gas_capacity};
            double *by_power[] = {&other.power_price, &other.power_levy};
            double *plain[] = {&other.gas_price,    &other.gas_levy,      &other.gas_capacity, &other.power_price,
                               &other.power_levy,   &other.power_peak,    &other.co2_price,    &other.power_capacity,
                               &other.gas_standing, &other.power_standing};
            for (size_t i = 0; i < 3; i++) {
                *by_gas[i] *= ratio;
            }
            for (size_t i = 0; i < 2; i++) {
                *by_power[i] *= MWh;
            }
            for (size_t i = 0; i < sizeof plain / sizeof plain[0]; i++) {
                *plain[i] *= rate;
            }
            strcpy(other.show_currency, "crown");
            other.show_rate = 1.0 / rate;
            pinery_bill got = bill_of(ledger, &other, NULL, NULL);
            for (int i = 0; i < PINERY_N_BILL_ITEMS; i++) {
                assert_close(got.item[i], want.item[i], 1e-12, 0.0);
            }
            assert_close(got.total, want.total, 1e-12, 0.0);
            assert_close(got.co2, want.co2, 1e-12, 0.0);
            assert_close(got.gas * ratio, want.gas, 1e-12, 0.0);
        }
    }
    pinery_ledger_free(ledger);
}

/* Present worth of 1 a year at the end of each of n years, as any table of compound interest prints it (for instance
 * Brealey, Myers and Allen, Principles of Corporate Finance, appendix, table 3; to its three or four places). */
static void annuities(void **state) {
    (void)state;
    static const struct {
        double n, r, factor;
    } table[] = {{10, 0.08, 6.710}, {5, 0.10, 3.791}, {20, 0.05, 12.462},
                 {12, 0.10, 6.814}, {1, 0.07, 0.935}, {15, 0.03, 11.938}};
    pinery_invest invest;
    pinery_invest_default(&invest);
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        invest.life = table[i].n;
        invest.interest = table[i].r;
        assert_close(pinery_money_npv(&invest, 1.0), table[i].factor, 0.0, 5.1e-4);
    }
}

/* A worked example found in many texts (from memory, unverified): a new line of products costs 100 000 and brings
 * 30 000 a year less 20 000 of running cost for 12 years; at 10 % its net present value is -31 863. */
static void present_value(void **state) {
    (void)state;
    pinery_invest invest;
    pinery_invest_default(&invest);
    invest.price = 1e5;
    invest.maintenance = 2e4;
    invest.life = 12;
    invest.interest = 0.10;
    assert_close(pinery_money_npv(&invest, 3e4), -31863.09, 0.0, 0.02);
    assert_close(pinery_money_payback(&invest, 3e4), 10.0, tight, 0.0); /* 100 000 / 10 000 */
    assert_true(isinf(pinery_money_payback(&invest, 2e4)));

    /* Year by year, with growth and a rest. */
    invest.price_rise = 0.03;
    invest.residual = 7000.0;
    double sum = -1e5 + 7000.0 / pow(1.1, 12);
    for (int year = 1; year <= 12; year++) {
        sum += (3e4 * pow(1.03, year - 1) - 2e4) / pow(1.1, year);
    }
    assert_close(pinery_money_npv(&invest, 3e4), sum, 0.0, 1e-6);
    invest.interest = 0.03; /* growth as large as interest: 12 x 30 000 / 1.03 */
    sum = -1e5 + 7000.0 / pow(1.03, 12) + 12 * 3e4 / 1.03;
    for (int year = 1; year <= 12; year++) {
        sum -= 2e4 / pow(1.03, year);
    }
    assert_close(pinery_money_npv(&invest, 3e4), sum, 0.0, 1e-6);
    invest.interest = 0.0; /* no interest: what is added up */
    invest.price_rise = 0.0;
    assert_close(pinery_money_npv(&invest, 3e4), 12 * 1e4 - 1e5 + 7000.0, 0.0, 1e-6);

    double needed = pinery_money_saving_needed(&invest);
    assert_close(pinery_money_npv(&invest, needed), 0.0, 0.0, 1e-6);
    double draws[] = {needed - 1.0, needed + 1.0, needed - 2.0, needed + 2.0, needed + 3.0};
    assert_close(pinery_money_probability(&invest, 5, draws), 0.6, tight, 0.0);
    invest.life = NAN;
    assert_true(isnan(pinery_money_npv(&invest, 3e4)));
    assert_close(pinery_money_saving_needed(&invest), 2e4, tight, 0.0);
}

/* Less gas, more power, less light: "shut" against "open". */
static pinery_money_case shut(pinery_ledger *const ledgers[2], const pinery_tariff *tariff, double price,
                              const double draw[2], pinery_money_case *open) {
    const char *name[] = {"open", "shut"};
    double light[] = {4380.0, 4330.0}; /* 50 mol less */
    pinery_invest invest[2];
    int count[] = {0, 2};
    const double *draws[] = {NULL, draw};
    pinery_money_case cases[2];
    pinery_error error;
    for (int i = 0; i < 2; i++) {
        pinery_invest_default(&invest[i]);
        cases[i] = (pinery_money_case){.bill = bill_of(ledgers[i], tariff, NULL, NULL)};
    }
    invest[1] = (pinery_invest){.price = price, .maintenance = 0.05, .life = 10.0, .interest = 0.05};
    if (pinery_money_compare(2, cases, name, light, 0, tariff, invest, count, draws, &error)) {
        fail_msg("%s", error.text);
    }
    *open = cases[0];
    return cases[1];
}

static void a_case_against_a_reference(void **state) {
    (void)state;
    pinery_ledger *ledgers[2] = {year(0.001, 1.0, true, 8760), year(0.002, 0.75, true, 8760)};
    pinery_tariff tariff = prices();
    tariff.light_value = 0.01;
    pinery_money_case open, one = shut(ledgers, &tariff, 4.0, (double[]){0.1, 5.0}, &open);
    /* Gas a quarter less: (6.1984 + 1.5496 + 1.5 + 2.2011324192) / 4 = 2.8622831048. Power 8.76 kWh more:
     * 8.76 x 0.17 = 1.4892; each month's peak 0.001 kW more: 12 x 2 x 0.001 = 0.024; the year's 0.02. Light 0.5.
     * 2.8622831048 - 1.4892 - 0.024 - 0.02 - 0.5 = 0.8290831048, less 0.05 of maintenance. */
    const double saved = 0.7790831048;
    assert_close(one.saving, saved, 1e-8, 0.0);
    assert_close(ITEM(one.bill, light), 0.5, tight, 0.0);
    assert_close(one.saving_percent, 100.0 * saved / 14.5655324192, 1e-8, 0.0);
    assert_close(one.payback, 4.0 / saved, 1e-8, 0.0);
    /* 7.72173493 is the present worth of 1 a year for ten years at 5 % (printed as 7.722) */
    assert_close(one.npv, saved * 7.72173493 - 4.0, 1e-7, 0.0);
    assert_close(one.probability, 0.5, tight, 0.0); /* 0.1 does not pay, 5 does */
    assert_true(open.saving == 0.0 && open.saving_percent == 0.0 && isnan(open.npv));

    /* Each break-even value, put in, leaves nothing over. */
    const double draw[] = {0.1, 5.0};
    pinery_tariff even = tariff;
    even.gas_price = one.even_gas;
    assert_close(shut(ledgers, &even, 4.0, draw, &open).npv, 0.0, 0.0, 1e-9);
    even = tariff;
    even.power_price = one.even_power;
    assert_close(shut(ledgers, &even, 4.0, draw, &open).npv, 0.0, 0.0, 1e-9);
    even = tariff;
    even.light_value = one.even_light;
    assert_close(shut(ledgers, &even, 4.0, draw, &open).npv, 0.0, 0.0, 1e-9);
    assert_close(shut(ledgers, &tariff, one.even_invest, draw, &open).npv, 0.0, 0.0, 1e-9);

    /* In a currency of which 2 go to one, all money doubles and nothing else changes. */
    strcpy(tariff.show_currency, "shilling");
    tariff.show_rate = 2.0;
    pinery_money_case two = shut(ledgers, &tariff, 4.0, (double[]){0.2, 10.0}, &open);
    assert_close(two.saving, 2.0 * one.saving, tight, 0.0);
    assert_close(two.payback, one.payback, tight, 0.0);
    assert_close(two.npv, 2.0 * one.npv, tight, 0.0);
    assert_close(two.even_gas, 2.0 * one.even_gas, tight, 0.0);
    assert_close(two.even_power, 2.0 * one.even_power, tight, 0.0);
    assert_close(two.even_invest, 2.0 * one.even_invest, tight, 0.0);
    assert_close(two.even_light, 2.0 * one.even_light, tight, 0.0);
    assert_close(two.probability, 0.5, tight, 0.0);
    pinery_ledger_free(ledgers[0]);
    pinery_ledger_free(ledgers[1]);
}

static void refuse(const pinery_ledger *ledger, pinery_tariff tariff, const pinery_prices *gas, const char *text) {
    pinery_bill bill;
    pinery_error error;
    assert_int_equal(pinery_money_bill(ledger, &tariff, gas, NULL, 5000.0, &bill, &error), PINERY_BAD_INPUT);
    if (strstr(error.text, text) == NULL) {
        fail_msg("\"%s\" does not hold \"%s\"", error.text, text);
    }
}

/* An engine that makes 3 W/m2 in every hour, where the ledger has a meter for it, and 10 MJ/m2 of bought heat.
 *
 * January: 248 h with lamps use 0.021 kW, 0.003 of it made: 0.744 kWh kept; the other 8760 - 248 = 8512 h use 0.001:
 * 8.512 kWh kept and 17.024 sold. Bought 13.72 - 9.256 = 4.464 kWh. */
static void an_engine_and_bought_heat(void **state) {
    (void)state;
    int made = -1, heat = -1;
    for (int meter = 0; meter < PINERY_N_METERS; meter++) {
        const char *key = pinery_meter_name((pinery_meter)meter)->key;
        made = strcmp(key, "electricity_made") == 0 ? meter : made;
        heat = strcmp(key, "heat_bought") == 0 ? meter : heat;
    }
    if (made < 0 || heat < 0) {
        print_message("the ledger has no meters for an engine and for bought heat: skipped\n");
        skip();
    }
    struct pinery_ledger_setup setup = {
        .interval_s = 3600.0, .intervals = 8760, .keep_hours = true, .heating_value = m3};
    pinery_ledger *ledger;
    assert_int_equal(pinery_ledger_create(&setup, &ledger, NULL), PINERY_OK);
    pinery_tick tick;
    memset(&tick, 0, sizeof tick);
    for (int hour = 0; hour <= 8760; hour++) {
        tick.time_s = 3600.0 * hour;
        pinery_ledger_tick(ledger, &tick);
        tick.meter[PINERY_METER_power_lamps] += hour < 744 && hour % 24 < 8 ? 0.02 * kWh : 0.0;
        tick.meter[PINERY_METER_power_fan_through] += 0.001 * kWh;
        tick.meter[made] += 0.003 * kWh;
        tick.meter[heat] += 1e7 / 8760.0;
    }
    pinery_ledger_finish(ledger);
    pinery_tariff tariff = prices();
    refuse(ledger, tariff, NULL, "heat_price is missing, and the run bought 10 MJ/m2");
    tariff.heat_price = 8.0;
    tariff.heat_co2 = 20.0;
    tariff.power_sold_price = 0.05;
    pinery_bill bill = bill_of(ledger, &tariff, NULL, NULL);
    assert_close(bill.power, 4.464, 1e-9, 0.0);
    assert_close(bill.power_made, 9.256, 1e-9, 0.0);
    assert_close(bill.power_sold, 17.024, 1e-9, 0.0);
    assert_close(ITEM(bill, power), 2.058, 1e-9, 0.0);         /* as if bought: 13.72 x 0.15 */
    assert_close(ITEM(bill, power_made), -1.3884, 1e-9, 0.0);  /* 9.256 x 0.15 */
    assert_close(ITEM(bill, power_sold), -0.8512, 1e-9, 0.0);  /* 17.024 x 0.05 */
    assert_close(ITEM(bill, power_levy), 0.08928, 1e-9, 0.0);  /* 4.464 x 0.02 */
    assert_close(ITEM(bill, power_capacity), 0.36, 1e-9, 0.0); /* (0.021 - 0.003) x 20 */
    assert_close(ITEM(bill, power_peak), 0.036, 1e-9, 0.0);    /* in January alone: 0.018 x 2 */
    assert_close(ITEM(bill, heat), 0.08, 1e-9, 0.0);           /* 0.01 GJ x 8 */
    assert_close(bill.co2_heat, 0.2, 1e-9, 0.0);
    assert_close(bill.co2_power, 1.3392, 1e-9, 0.0); /* 4.464 x 0.3 */
    assert_close(bill.power_price, 0.15, 1e-9, 0.0);
    tariff.power_sold_share = 0.5;
    assert_close(ITEM(bill_of(ledger, &tariff, NULL, NULL), power_sold), -1.2768, 1e-9, 0.0); /* 17.024 x 0.075 */
    pinery_ledger_free(ledger);
}

static void refusals(void **state) {
    (void)state;
    pinery_ledger *ledger = year(0.001, 1.0, false, 8760);
    pinery_tariff tariff = prices();
    refuse(ledger, tariff, NULL, "gas_capacity without gas_booked wants the hourly series");
    tariff.gas_capacity = tariff.power_capacity = 0.0;
    refuse(ledger, tariff, NULL, "power_peak wants the hourly series");
    tariff.power_peak = 0.0;
    static const double hourly[8760], eleven[12] = {[3] = NAN};
    refuse(ledger, tariff, &(pinery_prices){8760, hourly}, "gas_price by hour wants the hourly series");
    refuse(ledger, tariff, &(pinery_prices){8784, hourly}, "8784 values, expected 12, by month, or 8760");
    refuse(ledger, tariff, &(pinery_prices){12, eleven}, "gas_price[4]");
    tariff.gas_price = NAN;
    refuse(ledger, tariff, NULL, "gas_price is missing");
    tariff.currency[0] = '\0';
    refuse(ledger, tariff, NULL, "currency is missing");
    tariff.gas_levy = 1e9;
    refuse(ledger, tariff, NULL, "gas_levy = 1000000000");
    tariff = prices();
    tariff.show_rate = 2.0;
    refuse(ledger, tariff, NULL, "show_rate = 2 without show_currency");
    pinery_ledger_free(ledger);

    ledger = year(0.001, 1.0, true, 240);
    tariff = prices();
    pinery_money_case cases[2] = {{.bill = bill_of(ledger, &tariff, NULL, NULL)},
                                  {.bill = bill_of(ledger, &tariff, NULL, NULL)}};
    pinery_invest invest[2];
    pinery_invest_default(&invest[0]);
    pinery_invest_default(&invest[1]);
    invest[1].price = 1.0;
    const char *name[] = {"a", "b"};
    const double light[] = {1.0, 1.0};
    pinery_error error;
    assert_int_equal(pinery_money_compare(2, cases, name, light, 0, &tariff, invest, NULL, NULL, &error),
                     PINERY_BAD_INPUT);
    assert_non_null(strstr(error.text, "wants a run of a year"));
    pinery_ledger_free(ledger);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bill_by_hand),
        cmocka_unit_test(carbon_dioxide_dosed),
        cmocka_unit_test(prices_by_month_and_hour),
        cmocka_unit_test(two_years_cost_what_one_does),
        cmocka_unit_test(units_of_gas),
        cmocka_unit_test(there_and_back),
        cmocka_unit_test(annuities),
        cmocka_unit_test(present_value),
        cmocka_unit_test(a_case_against_a_reference),
        cmocka_unit_test(an_engine_and_bought_heat),
        cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
