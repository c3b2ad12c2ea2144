/* The yearly bill of one run.
 *
 *   gas         = sum over the run of (price of the time x gas of the time)
 *   levies      = levy x all gas
 *   capacity    = charge a year x the highest hour of the run, or what is booked, x years
 *   month peaks = sum over months of (charge x highest hour of the month x share of the month in the run)
 *   standing    = charge a year / floor area x years
 *
 * and so for electricity, of what is bought: what an engine makes in an hour is first used in the house, the rest sold;
 * then all of it over the years of the run when these are whole. Prices by month take the totals of the months, prices
 * by hour those of the hours, so that the bill's quantities are the books' to the last joule. */
#include <math.h>
#include <string.h>

#include "base/error.h"
#include "ledger/calendar.h"
#include "pinery/money.h"

static const double J_per_kWh = 3.6e6;

/* What of a total is billed when. */
struct account {
    const pinery_ledger *ledger;
    const pinery_prices *prices; /* n is 0: one price */
    double price;                /* in the ledger's joules from here on */
    double per_unit;             /* J in a unit of the prices */
};

/* Meters that a ledger need not have. */
static double optional_meter(const pinery_ledger *ledger, const char *key, int hour) {
    for (int meter = 0; meter < PINERY_N_METERS; meter++) {
        if (strcmp(pinery_meter_name((pinery_meter)meter)->key, key) == 0) {
            return hour < 0 ? pinery_ledger_meter(ledger, (pinery_meter)meter)
                            : pinery_ledger_hour_meter(ledger, hour, (pinery_meter)meter);
        }
    }
    return 0.0;
}

static double made(const pinery_ledger *ledger, int hour) {
    return optional_meter(ledger, "electricity_made", hour);
}

static bool is_power(int meter) {
    return strncmp(pinery_meter_name((pinery_meter)meter)->key, "power_", 6) == 0;
}

static int hours_of_year(const pinery_ledger *ledger) {
    return pinery_ledger_leap(ledger) ? 8784 : 8760;
}

static double span_s(const pinery_ledger *ledger) {
    return pinery_ledger_end_s(ledger) - pinery_ledger_start_s(ledger);
}

/* The price of an hour of the run. */
static double price_at(const struct account *account, int hour) {
    double time = pinery_ledger_hour_time_s(account->ledger, hour);
    if (account->prices->n == 0) {
        return account->price;
    }
    return account->prices->n == 12
               ? account->prices->value[pinery_ledger_date(time, pinery_ledger_leap(account->ledger)).month]
               : account->prices->value[lround(time / 3600.0) % account->prices->n];
}

static double charge(const struct account *account, pinery_meter meter) {
    const pinery_ledger *ledger = account->ledger;
    double sum = 0.0;
    if (account->prices->n == 0) {
        return account->price * pinery_ledger_meter(ledger, meter) / account->per_unit;
    }
    if (account->prices->n == 12) {
        for (int month = 0; month < 12; month++) {
            if (pinery_ledger_month_hours(ledger, month) > 0.0) {
                sum += account->prices->value[month] * pinery_ledger_month_meter(ledger, month, meter);
            }
        }
        return sum / account->per_unit;
    }
    for (int hour = 0; hour < pinery_ledger_hours(ledger); hour++) {
        sum += price_at(account, hour) * pinery_ledger_hour_meter(ledger, hour, meter);
    }
    return sum / account->per_unit;
}

/* --- peaks --- */

static double hour_power(const pinery_ledger *ledger, int hour) {
    double sum = 0.0;
    for (int meter = 0; meter < PINERY_N_METERS; meter++) {
        sum += is_power(meter) ? pinery_ledger_hour_meter(ledger, hour, (pinery_meter)meter) : 0.0;
    }
    return sum;
}

struct peaks {
    double gas, power;   /* J/m2 in the highest hour of the run, power bought */
    double power_months; /* sum over the months of highest hour x share of the month in the run, J/m2 */
};

static struct peaks find_peaks(const pinery_ledger *ledger) {
    struct peaks peaks = {0};
    bool leap = pinery_ledger_leap(ledger);
    double month_peak = 0.0, month_hours = 0.0;
    int n = pinery_ledger_hours(ledger);
    for (int hour = 0; hour < n; hour++) {
        double time = pinery_ledger_hour_time_s(ledger, hour),
               power = fmax(hour_power(ledger, hour) - made(ledger, hour), 0.0);
        peaks.gas = fmax(peaks.gas, pinery_ledger_hour_meter(ledger, hour, PINERY_METER_gas));
        peaks.power = fmax(peaks.power, power);
        month_peak = fmax(month_peak, power);
        month_hours += 1.0;
        struct pinery_ledger_date date = pinery_ledger_date(time, leap);
        double begin = time - 3600.0 * (24.0 * (date.day - 1) + date.hour), end = pinery_ledger_month_end_s(time, leap);
        if (hour + 1 == n || time + 3600.0 > end - 1.0) {
            peaks.power_months += month_peak * month_hours * 3600.0 / (end - begin);
            month_peak = month_hours = 0.0;
        }
    }
    return peaks;
}

/* --- what is wanted of the input --- */

static pinery_status check_prices(const pinery_ledger *ledger, const char *what, double price,
                                  const pinery_prices *prices, bool used, pinery_error *error) {
    int hours = hours_of_year(ledger);
    if (prices->n == 0) {
        return !used || isfinite(price) ? PINERY_OK
                                        : pinery_base_fail(error, PINERY_BAD_INPUT,
                                                           "tariff: %s_price is missing, expected a number, or a list "
                                                           "of 12 by month or of %d by hour of the year",
                                                           what, hours);
    }
    if (prices->n != 12 && prices->n != hours) {
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "tariff: %s_price has %d values, expected 12, by month, or %d, by hour of the year",
                                what, prices->n, hours);
    }
    for (int i = 0; i < prices->n; i++) {
        if (!isfinite(prices->value[i])) {
            return pinery_base_fail(error, PINERY_BAD_INPUT, "tariff: %s_price[%d] = %g, expected a number", what,
                                    i + 1, prices->value[i]);
        }
    }
    return PINERY_OK;
}

/* Hours that cover the whole run. */
static bool has_hours(const pinery_ledger *ledger) {
    return pinery_ledger_hours(ledger) > 0 && span_s(ledger) - 3600.0 * pinery_ledger_hours(ledger) < 1.0;
}

static pinery_status check(const pinery_ledger *ledger, const pinery_tariff *tariff, const pinery_prices *gas,
                           const pinery_prices *power, double area, pinery_error *error) {
    pinery_status status = pinery_fields_check(&pinery_tariff_fields, tariff, "", error);
    if (status == PINERY_OK && tariff->currency[0] == '\0') {
        status = pinery_base_fail(error, PINERY_BAD_INPUT,
                                  "tariff: currency is missing, expected the name of the money that the prices are in");
    }
    if (status == PINERY_OK && tariff->show_rate != 1.0 && tariff->show_currency[0] == '\0') {
        status = pinery_base_fail(error, PINERY_BAD_INPUT,
                                  "tariff: show_rate = %.10g without show_currency, expected the name of that money",
                                  tariff->show_rate);
    }
    status = status ? status : check_prices(ledger, "gas", tariff->gas_price, gas, true, error);
    status = status ? status : check_prices(ledger, "power", tariff->power_price, power, true, error);
    if (status == PINERY_OK && !(area > 0.0) && (tariff->gas_standing > 0.0 || tariff->power_standing > 0.0)) {
        status = pinery_base_fail(error, PINERY_BAD_INPUT,
                                  "tariff: standing charges want the floor that shares them, area in m2");
    }
    double heat = optional_meter(ledger, "heat_bought", -1);
    if (status == PINERY_OK && heat > 0.0 && isnan(tariff->heat_price)) {
        status = pinery_base_fail(error, PINERY_BAD_INPUT,
                                  "tariff: heat_price is missing, and the run bought %.4g MJ/m2 of heat; expected its "
                                  "price per GJ",
                                  heat / 1e6);
    }
    double dosed = pinery_ledger_meter(ledger, PINERY_METER_carbon_pure);
    if (status == PINERY_OK && dosed > 0.0 && isnan(tariff->dosing_price)) {
        status = pinery_base_fail(error, PINERY_BAD_INPUT,
                                  "tariff: dosing_price is missing, and the run dosed %.4g kg/m2 of pure carbon "
                                  "dioxide; expected its price per kg",
                                  dosed);
    }
    const struct {
        const char *field;
        bool wants;
    } by_hour[] = {{"gas_price by hour", gas->n > 12},
                   {"power_price by hour", power->n > 12},
                   {"gas_capacity without gas_booked", tariff->gas_capacity > 0.0 && isnan(tariff->gas_booked)},
                   {"power_capacity without power_booked", tariff->power_capacity > 0.0 && isnan(tariff->power_booked)},
                   {"power_peak", tariff->power_peak > 0.0},
                   {"what an engine makes", made(ledger, -1) > 0.0}};
    for (size_t i = 0; i < sizeof by_hour / sizeof by_hour[0] && status == PINERY_OK; i++) {
        if (by_hour[i].wants && !has_hours(ledger)) {
            status = pinery_base_fail(error, PINERY_BAD_INPUT,
                                      "tariff: %s wants the hourly series, and the run kept %d h of %.10g h; run with "
                                      "keep_hours and for whole hours",
                                      by_hour[i].field, pinery_ledger_hours(ledger), span_s(ledger) / 3600.0);
        }
    }
    return status;
}

/* --- the bill --- */

static void set(pinery_bill *bill, pinery_bill_item item, double money) {
    bill->item[item] = money;
    bill->total += money;
}

/* What an engine makes is first used in the house, hour by hour; the rest is sold. */
static void engine(const pinery_ledger *ledger, const pinery_tariff *tariff, const struct account *power, double rate,
                   pinery_bill *bill) {
    if (!(made(ledger, -1) > 0.0)) {
        return;
    }
    double kept = 0.0, earned = 0.0; /* money */
    for (int hour = 0; hour < pinery_ledger_hours(ledger); hour++) {
        double makes = made(ledger, hour), own = fmin(makes, hour_power(ledger, hour)), price = price_at(power, hour);
        double sells = isnan(tariff->power_sold_share) ? tariff->power_sold_price : tariff->power_sold_share * price;
        kept += price * own / power->per_unit;
        earned += sells * (makes - own) / power->per_unit;
        bill->power_made += own / J_per_kWh;
        bill->power_sold += (makes - own) / J_per_kWh;
    }
    bill->power -= bill->power_made;
    set(bill, PINERY_BILL_power_made, -rate * kept);
    set(bill, PINERY_BILL_power_sold, -rate * earned);
}

static void commodities(const pinery_ledger *ledger, const pinery_tariff *tariff, const struct account *gas,
                        const struct account *power, double rate, pinery_bill *bill) {
    double money = 0.0, J = 0.0;
    for (int meter = 0; meter < PINERY_N_METERS; meter++) {
        if (is_power(meter)) {
            bill->use[meter] = rate * charge(power, (pinery_meter)meter);
            money += bill->use[meter];
            J += pinery_ledger_meter(ledger, (pinery_meter)meter);
        }
    }
    bill->power = J / J_per_kWh;
    bill->gas = pinery_ledger_meter(ledger, PINERY_METER_gas) / gas->per_unit;
    set(bill, PINERY_BILL_power, money);
    set(bill, PINERY_BILL_gas, rate * charge(gas, PINERY_METER_gas));
    bill->gas_dosing = rate * charge(gas, PINERY_METER_gas_flue_only);
    bill->gas_price = bill->gas > 0.0 ? bill->item[PINERY_BILL_gas] / bill->gas : rate * gas->price;
    engine(ledger, tariff, power, rate, bill);
    double bought = bill->item[PINERY_BILL_power] + bill->item[PINERY_BILL_power_made];
    bill->power_price = bill->power > 0.0 ? bought / bill->power : rate * power->price * J_per_kWh / power->per_unit;
}

static void carbon(const pinery_ledger *ledger, const pinery_tariff *tariff, double rate, pinery_bill *bill) {
    double GJ = 1e-9 * pinery_ledger_meter(ledger, PINERY_METER_gas);
    double net_GJ = pinery_ledger_gross(ledger) ? GJ / tariff->gross_per_net : GJ;
    bill->co2_gas = tariff->gas_co2 * net_GJ;
    bill->co2_power = tariff->power_co2 * bill->power;
    double heat_GJ = 1e-9 * optional_meter(ledger, "heat_bought", -1);
    bill->co2_heat = tariff->heat_co2 * heat_GJ;
    bill->co2 = bill->co2_gas + (isnan(bill->co2_power) ? 0.0 : bill->co2_power) +
                (isnan(bill->co2_heat) ? 0.0 : bill->co2_heat);
    set(bill, PINERY_BILL_heat, heat_GJ > 0.0 ? rate * tariff->heat_price * heat_GJ : 0.0);
    double dosed = pinery_ledger_meter(ledger, PINERY_METER_carbon_pure);
    set(bill, PINERY_BILL_dosing, dosed > 0.0 ? rate * tariff->dosing_price * dosed : 0.0);
    set(bill, PINERY_BILL_carbon, rate * tariff->co2_price * bill->co2_gas / 1000.0);
}

static void by_year(pinery_bill *bill) {
    double years = round(bill->years);
    bill->whole = years >= 1.0 && fabs(bill->years - years) < 0.01;
    if (!bill->whole || years < 2.0) {
        return;
    }
    double *each[] = {&bill->gas_dosing, &bill->total,   &bill->gas,       &bill->power,    &bill->power_made,
                      &bill->power_sold, &bill->co2_gas, &bill->co2_power, &bill->co2_heat, &bill->co2};
    for (size_t i = 0; i < sizeof each / sizeof each[0]; i++) {
        *each[i] /= years;
    }
    for (int i = 0; i < PINERY_N_BILL_ITEMS; i++) {
        bill->item[i] /= years;
    }
    for (int i = 0; i < PINERY_N_METERS; i++) {
        bill->use[i] /= years;
    }
}

pinery_status pinery_money_bill(const pinery_ledger *ledger, const pinery_tariff *tariff, const pinery_prices *gas,
                                const pinery_prices *power, double area, pinery_bill *bill, pinery_error *error) {
    static const pinery_prices none = {0};
    gas = gas != NULL ? gas : &none;
    power = power != NULL ? power : &none;
    area = isnan(tariff->area) ? area : tariff->area;
    memset(bill, 0, sizeof *bill);
    pinery_status status = check(ledger, tariff, gas, power, area, error);
    if (status != PINERY_OK) {
        return status;
    }
    double rate = tariff->show_rate;
    double gas_J = pinery_money_gas_unit(tariff, pinery_ledger_heating_value(ledger), pinery_ledger_gross(ledger));
    double power_J = tariff->power_unit == 0 ? J_per_kWh : 1000.0 * J_per_kWh;
    struct account gas_account = {ledger, gas, tariff->gas_price, gas_J};
    struct account power_account = {ledger, power, tariff->power_price, power_J};
    bill->years = span_s(ledger) / (3600.0 * hours_of_year(ledger));
    bill->gas_peak = bill->power_peak = NAN;
    commodities(ledger, tariff, &gas_account, &power_account, rate, bill);
    carbon(ledger, tariff, rate, bill);
    set(bill, PINERY_BILL_gas_levy, rate * tariff->gas_levy * bill->gas);
    set(bill, PINERY_BILL_power_levy, rate * tariff->power_levy * bill->power * J_per_kWh / power_J);
    if (has_hours(ledger)) {
        struct peaks peaks = find_peaks(ledger);
        bill->gas_peak = peaks.gas / gas_J;
        bill->power_peak = peaks.power / J_per_kWh;
        set(bill, PINERY_BILL_power_peak, rate * tariff->power_peak * peaks.power_months / J_per_kWh);
    }
    double gas_hour = isnan(tariff->gas_booked) ? bill->gas_peak : tariff->gas_booked;
    double power_hour = isnan(tariff->power_booked) ? bill->power_peak : tariff->power_booked;
    double yearly = rate * bill->years;
    set(bill, PINERY_BILL_gas_capacity, tariff->gas_capacity > 0.0 ? yearly * tariff->gas_capacity * gas_hour : 0.0);
    set(bill, PINERY_BILL_power_capacity,
        tariff->power_capacity > 0.0 ? yearly * tariff->power_capacity * power_hour : 0.0);
    set(bill, PINERY_BILL_gas_standing, tariff->gas_standing > 0.0 ? yearly * tariff->gas_standing / area : 0.0);
    set(bill, PINERY_BILL_power_standing, tariff->power_standing > 0.0 ? yearly * tariff->power_standing / area : 0.0);
    by_year(bill);
    return pinery_base_ok(error);
}

static const pinery_name items[] = {
#define X(key, doc) {#key, "", doc},
    PINERY_BILL_ITEMS(X)
#undef X
};

const pinery_name *pinery_bill_name(pinery_bill_item item) {
    return item < PINERY_N_BILL_ITEMS ? &items[item] : NULL;
}
