/* Money and carbon of finished runs: what each costs in a year under a tariff, what is saved against a reference, and
 * when an investment pays back. Everything is per m2 of floor and year unless it says otherwise; a price is in the
 * tariff's currency, and what comes out in the currency it is shown in. */
#ifndef PINERY_MONEY_H
#define PINERY_MONEY_H

#include "pinery/field.h"
#include "pinery/ledger.h"

#ifdef __cplusplus
extern "C" {
#endif

#define PINERY_GAS_UNITS "m3|kWh net|kWh gross|MWh net|MWh gross|MJ net|MJ gross|GJ net|GJ gross|therm"

/* There is no default price and no default factor but the two that name their source. */
#define PINERY_TARIFF_FIELDS(X)                                                                                     \
    X(TEXT, currency, "", 0, 0, 0, "", "name of the money that every price is in; must be given")                   \
    X(TEXT, show_currency, "", 0, 0, 0, "", "name of the money that results are in; not given: the same")           \
    X(REAL, show_rate, "", 1, 1e-9, 1e9, "", "units of that money for one of `currency`")                           \
    X(CHOICE, gas_unit, "", 0, 0, 9, PINERY_GAS_UNITS, "that gas is priced in; m3 at the boiler's heating value")   \
    X(REAL, gas_price, "/gas unit", NAN, -1e6, 1e6, "", "(optional) the gas itself; may be by month or hour")       \
    X(REAL, gas_levy, "/gas unit", 0, -1e6, 1e6, "", "taxes and levies on each unit")                               \
    X(REAL, gas_capacity, "/(gas unit/h) a", 0, 0, 1e9, "", "a year, for the highest hour or what is booked")       \
    X(REAL, gas_booked, "gas unit/(h m2)", NAN, 0, 1e3, "", "(optional) capacity that is booked and paid for")      \
    X(REAL, gas_standing, "/a", 0, 0, 1e9, "", "a year, for the connection")                                        \
    X(CHOICE, power_unit, "", 0, 0, 1, "kWh|MWh", "that electricity is priced in")                                  \
    X(REAL, power_price, "/power unit", NAN, -1e6, 1e6, "", "(optional) the power; may be by month or hour")        \
    X(REAL, power_levy, "/power unit", 0, -1e6, 1e6, "", "taxes, levies and transport on each unit")                \
    X(REAL, power_peak, "/kW month", 0, 0, 1e6, "", "for the highest hour of each month")                           \
    X(REAL, power_capacity, "/kW a", 0, 0, 1e6, "", "a year, for the highest hour or what is booked")               \
    X(REAL, power_booked, "kW/m2", NAN, 0, 10, "", "(optional) capacity that is booked and paid for")               \
    X(REAL, power_sold_price, "/power unit", 0, -1e6, 1e6, "", "paid for what an engine makes beyond what is used") \
    X(REAL, power_sold_share, "", NAN, 0, 2, "", "(optional) of the power price of the hour, in place of that")     \
    X(REAL, power_standing, "/a", 0, 0, 1e9, "", "a year, for the connection")                                      \
    X(REAL, heat_price, "/GJ", NAN, 0, 1e6, "", "(optional) of heat bought from outside; wanted where some is")     \
    X(REAL, heat_co2, "kg/GJ", NAN, 0, 200, "", "(optional) of that heat, as its seller states")                    \
    X(REAL, dosing_price, "/kg", NAN, 0, 1e6, "", "(optional) of pure carbon dioxide dosed; wanted where some is")  \
    X(REAL, area, "m2", NAN, 1, 1e8, "", "(optional) floor that shares the standing charges")                       \
    X(REAL, light_value, "/mol", 0, 0, 1e3, "", "worth of a mol of light at the crop, less or more than before")    \
    X(REAL, co2_price, "/t", 0, 0, 1e6, "", "paid for the carbon dioxide of the gas")                               \
    X(REAL, gas_co2, "kg/GJ", 56.1, 0, 200, "", "of gas, net value; 56.1: IPCC 2006, vol. 2, table 2.2")            \
    X(REAL, power_co2, "kg/kWh", NAN, 0, 5, "", "(optional) of the electricity; differs by place and year")         \
    X(REAL, gross_per_net, "", 1.1112, 1, 1.3, "", "gross over net value of the gas; 1.1112: 35.17/31.65 MJ/m3")

typedef struct pinery_tariff {
    PINERY_TARIFF_FIELDS(PINERY_MEMBER)
} pinery_tariff;

/* What a case costs more to have than the reference. Money comes in and goes out at the end of each year. */
#define PINERY_INVEST_FIELDS(X)                                                                          \
    X(REAL, price, "/m2", 0, 0, 1e6, "", "of buying it, per m2 of floor")                                \
    X(REAL, maintenance, "/m2 a", 0, 0, 1e6, "", "of keeping it")                                        \
    X(REAL, life, "a", NAN, 0.5, 100, "", "(optional) years it lasts; wanted for the net present value") \
    X(REAL, interest, "1/a", NAN, -0.5, 1, "", "(optional) wanted for the net present value")            \
    X(REAL, price_rise, "1/a", 0, -0.5, 0.5, "", "yearly growth of what is saved, after the first year") \
    X(REAL, residual, "/m2", 0, 0, 1e6, "", "what it is worth at the end of its life")

typedef struct pinery_invest {
    PINERY_INVEST_FIELDS(PINERY_MEMBER)
} pinery_invest;

PINERY_API extern const pinery_fields pinery_tariff_fields, pinery_invest_fields;

PINERY_API void pinery_tariff_default(pinery_tariff *tariff);
PINERY_API void pinery_invest_default(pinery_invest *invest);

/* Prices that change, in the unit of the tariff, not owned: n is 12 (January first), or 8760 or 8784 (hours of the year
 * in standard time, from 1 January 00:00; as many as the year of the run has). Used in place of the tariff's one price;
 * hours want a run that kept its hours. */
typedef struct pinery_prices {
    int n;
    const double *value;
} pinery_prices;

/* X(key, doc): what a bill is made of. The total is their sum. */
#define PINERY_BILL_ITEMS(X)                   \
    X(gas, "gas")                              \
    X(gas_levy, "levies on gas")               \
    X(gas_capacity, "gas capacity")            \
    X(gas_standing, "gas connection")          \
    X(heat, "heat bought")                     \
    X(carbon, "carbon dioxide of the gas")     \
    X(dosing, "pure carbon dioxide")           \
    X(power, "electricity")                    \
    X(power_made, "less: made and used")       \
    X(power_sold, "less: sold")                \
    X(power_levy, "levies on electricity")     \
    X(power_peak, "power peaks of the months") \
    X(power_capacity, "power capacity")        \
    X(power_standing, "power connection")      \
    X(light, "light lost to the crop")         \
    X(maintenance, "maintenance")

typedef enum pinery_bill_item {
#define X(key, doc) PINERY_BILL_##key,
    PINERY_BILL_ITEMS(X)
#undef X
        PINERY_N_BILL_ITEMS
} pinery_bill_item;

/* Key and doc; the unit is "". */
PINERY_API const pinery_name *pinery_bill_name(pinery_bill_item item);

typedef struct pinery_bill {
    double years;                     /* of the run; what follows is divided by them when `whole` */
    bool whole;                       /* a whole number of years, to a hundredth; else it is all of the run */
    double item[PINERY_N_BILL_ITEMS]; /* money/m2; light and maintenance are 0 until there is a reference */
    double use[PINERY_N_METERS]; /* money/m2 for the power of each electric meter as if bought; `power` is the sum */
    double gas_dosing; /* money/m2, in the gas: what was burnt for carbon dioxide and heated nobody, commodity alone */
    double total;
    double gas, power;             /* bought, tariff's gas units/m2, kWh/m2 */
    double power_made, power_sold; /* kWh/m2 of an engine that the house uses, and the rest */
    double gas_peak, power_peak;   /* highest hour, gas units/(h m2) and kW/m2; NaN when no hours were kept */
    double gas_price, power_price; /* paid on average, money per gas unit and per kWh, commodity alone */
    double co2_gas, co2_power, co2_heat, co2; /* kg/m2; NaN, and not in the sum, what the tariff has no factor for */
} pinery_bill;

/* The bill of one run. `gas` and `power` may be NULL. `area` spreads standing charges when the tariff names none. */
PINERY_API pinery_status pinery_money_bill(const pinery_ledger *ledger, const pinery_tariff *tariff,
                                           const pinery_prices *gas, const pinery_prices *power, double area,
                                           pinery_bill *bill, pinery_error *error);

/* Joules, on the basis of the ledger's boiler, in one gas unit of the tariff. */
PINERY_API double pinery_money_gas_unit(const pinery_tariff *tariff, double heating_value, bool gross);

/* What that unit is called. */
PINERY_API void pinery_money_gas_unit_name(const pinery_tariff *tariff, pinery_text name);

/* `saving` is per m2 and year before maintenance. Simple payback in years: infinite when it never does. Net present
 * value: NaN without life or interest. Probability: the share of n savings with a net present value above 0. */
PINERY_API double pinery_money_payback(const pinery_invest *invest, double saving);
PINERY_API double pinery_money_npv(const pinery_invest *invest, double saving);
PINERY_API double pinery_money_probability(const pinery_invest *invest, int n, const double *saving);
/* The saving at which the net present value is 0; without life or interest, that which pays maintenance. */
PINERY_API double pinery_money_saving_needed(const pinery_invest *invest);

/* A case against the reference. */
typedef struct pinery_money_case {
    pinery_bill bill;      /* with its light and maintenance */
    double saving;         /* total of the reference less total of the case, maintenance counted */
    double saving_percent; /* of the total of the reference */
    double payback, npv, probability;
    /* The value at which the net present value is 0 (or, without life or interest, what is saved just pays the
     * maintenance), all else as it is: of the average price of gas and of power that the reference pays, commodity
     * alone; of the investment; of the light. NaN where nothing would do. */
    double even_gas, even_power, even_invest, even_light;
} pinery_money_case;

/* Fill light, maintenance and all else that wants a reference, in each case whose bill is there. light_mol: at the
 * crop, per m2 and year. draws[i] of length draw_count[i] may be NULL: probability is then NaN. The case of the
 * reference itself has no investment. Money in bills and draws is in the currency shown, prices in invest in that of
 * the tariff. BAD_INPUT: an investment of a run that is not of whole years. */
PINERY_API pinery_status pinery_money_compare(int n, pinery_money_case cases[], const char *const name[],
                                              const double light_mol[], int reference, const pinery_tariff *tariff,
                                              const pinery_invest invest[], const int draw_count[],
                                              const double *const draws[], pinery_error *error);

#ifdef __cplusplus
}
#endif
#endif
