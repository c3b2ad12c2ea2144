/* The field lists of the devices as data. */
#include "base/field.h"
#include "pinery/devices.h"

PINERY_FIELDS_DEFINE(pinery_duct_fields, "duct", pinery_duct, PINERY_DUCT_FIELDS);
PINERY_FIELDS_DEFINE(pinery_recovery_fields, "recovery", pinery_recovery, PINERY_RECOVERY_FIELDS);
PINERY_FIELDS_DEFINE(pinery_dehumidifier_fields, "dehumidifier", pinery_dehumidifier, PINERY_DEHUMIDIFIER_FIELDS);
PINERY_FIELDS_DEFINE(pinery_desiccant_fields, "desiccant", pinery_desiccant, PINERY_DESICCANT_FIELDS);
