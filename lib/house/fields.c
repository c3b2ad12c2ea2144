/* The field lists of the house as data, the default house, and what is filled in where a field was left open. */
#include <math.h>
#include <string.h>

#include "base/field.h"
#include "house/house.h"

PINERY_FIELDS_DEFINE(pinery_cover_fields, "cover", pinery_cover, PINERY_COVER_FIELDS);
PINERY_FIELDS_DEFINE(pinery_cloth_fields, "cloth", pinery_cloth, PINERY_CLOTH_FIELDS);
PINERY_FIELDS_DEFINE(pinery_drive_fields, "drive", pinery_drive, PINERY_DRIVE_FIELDS);
PINERY_FIELDS_DEFINE(pinery_pipe_fields, "pipe", pinery_pipe, PINERY_PIPE_FIELDS);
PINERY_FIELDS_DEFINE(pinery_lamp_fields, "lamp", pinery_lamp, PINERY_LAMP_FIELDS);
PINERY_FIELDS_DEFINE(pinery_fan_fields, "fan", pinery_fan, PINERY_FAN_FIELDS);
PINERY_FIELDS_DEFINE(pinery_boiler_fields, "boiler", pinery_boiler, PINERY_BOILER_FIELDS);
PINERY_FIELDS_DEFINE(pinery_house_fields, "house", pinery_house, PINERY_HOUSE_FIELDS);
PINERY_FIELDS_DEFINE(pinery_crop_fields, "crop", pinery_crop, PINERY_CROP_FIELDS);

void pinery_house_default(pinery_house *house) {
    memset(house, 0, sizeof *house);
    pinery_fields_default(&pinery_house_fields, house);
    pinery_fields_default(&pinery_cover_fields, &house->cover);
    pinery_fields_default(&pinery_cover_fields, &house->wall);
    strcpy(house->cover.name, "low-iron glass");
    strcpy(house->wall.name, "low-iron glass");
    for (int i = 0; i < PINERY_DRIVES; i++) {
        pinery_fields_default(&pinery_drive_fields, &house->drive[i]);
        pinery_fields_default(&pinery_cloth_fields, &house->drive[i].cloth[0]);
        pinery_fields_default(&pinery_cloth_fields, &house->drive[i].cloth[1]);
    }
    pinery_fields_default(&pinery_pipe_fields, &house->pipe_lower);
    pinery_fields_default(&pinery_pipe_fields, &house->pipe_upper);
    /* A single-glass house loses about 7 W/(m2 K), 200 W/m2 at 28 K; a 51 mm pipe at 70 degC gives 110 W/m (the pipe
     * formula of lib/equip). */
    house->pipe_lower.length = 2.0;
    for (int i = 0; i < PINERY_LAMPS; i++)
        pinery_fields_default(&pinery_lamp_fields, &house->lamp[i]);
    pinery_fields_default(&pinery_fan_fields, &house->fan_through);
    pinery_fields_default(&pinery_fan_fields, &house->fan_circulation);
    pinery_fields_default(&pinery_duct_fields, &house->duct);
    pinery_fields_default(&pinery_recovery_fields, &house->recovery);
    pinery_fields_default(&pinery_dehumidifier_fields, &house->dehumidifier);
    pinery_fields_default(&pinery_desiccant_fields, &house->desiccant);
    pinery_fields_default(&pinery_tank_fields, &house->tank);
    pinery_fields_default(&pinery_cogeneration_fields, &house->cogeneration);
    pinery_fields_default(&pinery_bought_fields, &house->bought_heat);
    pinery_fields_default(&pinery_heat_pump_fields, &house->heat_pump);
    pinery_fields_default(&pinery_electric_fields, &house->electric_boiler);
    pinery_fields_default(&pinery_carbon_fields, &house->carbon);
    pinery_fields_default(&pinery_boiler_fields, &house->boiler);
    pinery_fields_default(&pinery_contract_fields, &house->contract);
    pinery_fields_default(&pinery_crop_fields, &house->crop);
    strcpy(house->crop.name, "crop");
}

/* m2; a film that lets no air pass, small enough to mean nothing and large enough to divide by. */
static const double tight = 1e-18;

void pinery_house_resolve(pinery_house *house) {
    for (int i = 0; i < house->drives; i++) {
        pinery_drive *drive = &house->drive[i];
        if (isnan(drive->height))
            drive->height = house->gutter_height - PINERY_HOUSE_DRIVE_STEP * (house->drives - i);
        for (int k = 0; k < 2; k++) {
            pinery_cloth *cloth = &drive->cloth[k];
            if (cloth->permeability < tight)
                cloth->permeability = tight;
            if (isnan(cloth->nir_transmittance))
                cloth->nir_transmittance = cloth->light_transmittance;
            if (isnan(cloth->nir_reflectance_up))
                cloth->nir_reflectance_up = cloth->light_reflectance_up;
            if (isnan(cloth->nir_reflectance_down))
                cloth->nir_reflectance_down = cloth->light_reflectance_down;
        }
    }
}
