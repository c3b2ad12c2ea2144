/* The lists of a tariff and of an investment as data, and what a unit of gas holds. */
#include <string.h>

#include "base/field.h"
#include "base/units.h"
#include "pinery/money.h"

PINERY_FIELDS_DEFINE(pinery_tariff_fields, "tariff", pinery_tariff, PINERY_TARIFF_FIELDS);
PINERY_FIELDS_DEFINE(pinery_invest_fields, "invest", pinery_invest, PINERY_INVEST_FIELDS);

void pinery_tariff_default(pinery_tariff *tariff) {
    memset(tariff, 0, sizeof *tariff);
    pinery_fields_default(&pinery_tariff_fields, tariff);
}

void pinery_invest_default(pinery_invest *invest) {
    memset(invest, 0, sizeof *invest);
    pinery_fields_default(&pinery_invest_fields, invest);
}

void pinery_money_gas_unit_name(const pinery_tariff *tariff, pinery_text name) {
    if (!pinery_base_choice_name(PINERY_GAS_UNITS, tariff->gas_unit, name)) {
        name[0] = '\0';
    }
}

/* A m3 holds the heating value the boiler states. An energy on the other basis than the boiler's is brought to it by
 * the ratio of gross to net value; a therm of gas is a gross one, as gas is billed in them. */
double pinery_money_gas_unit(const pinery_tariff *tariff, double heating_value, bool gross) {
    pinery_text name;
    if (!pinery_base_choice_name(PINERY_GAS_UNITS, tariff->gas_unit, name)) {
        return NAN;
    }
    if (strcmp(name, "m3") == 0) {
        return heating_value;
    }
    char *basis = strchr(name, ' ');
    bool priced_gross = basis == NULL || strcmp(basis, " gross") == 0;
    if (basis != NULL) {
        *basis = '\0';
    }
    const struct pinery_base_unit *unit = pinery_base_unit_find(PINERY_BASE_ENERGY, name);
    double J = unit == NULL ? NAN : pinery_base_unit_in(unit, 1.0, 0.0);
    return gross == priced_gross ? J : gross ? J * tariff->gross_per_net : J / tariff->gross_per_net;
}
