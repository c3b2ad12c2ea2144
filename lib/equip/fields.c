/* The field lists of the devices and the sources of heat as data. */
#include "base/field.h"
#include "pinery/devices.h"
#include "pinery/energy.h"

PINERY_FIELDS_DEFINE(pinery_duct_fields, "duct", pinery_duct, PINERY_DUCT_FIELDS);
PINERY_FIELDS_DEFINE(pinery_recovery_fields, "recovery", pinery_recovery, PINERY_RECOVERY_FIELDS);
PINERY_FIELDS_DEFINE(pinery_dehumidifier_fields, "dehumidifier", pinery_dehumidifier, PINERY_DEHUMIDIFIER_FIELDS);
PINERY_FIELDS_DEFINE(pinery_desiccant_fields, "desiccant", pinery_desiccant, PINERY_DESICCANT_FIELDS);
PINERY_FIELDS_DEFINE(pinery_tank_fields, "tank", pinery_tank, PINERY_TANK_FIELDS);
PINERY_FIELDS_DEFINE(pinery_cogeneration_fields, "cogeneration", pinery_cogeneration, PINERY_COGENERATION_FIELDS);
PINERY_FIELDS_DEFINE(pinery_heat_pump_fields, "heat pump", pinery_heat_pump, PINERY_HEAT_PUMP_FIELDS);
PINERY_FIELDS_DEFINE(pinery_electric_fields, "electric boiler", pinery_electric, PINERY_ELECTRIC_FIELDS);
PINERY_FIELDS_DEFINE(pinery_bought_fields, "bought heat", pinery_bought, PINERY_BOUGHT_FIELDS);
PINERY_FIELDS_DEFINE(pinery_contract_fields, "contract", pinery_contract, PINERY_CONTRACT_FIELDS);
PINERY_FIELDS_DEFINE(pinery_carbon_fields, "carbon", pinery_carbon, PINERY_CARBON_FIELDS);
