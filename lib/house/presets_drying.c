/* What takes moisture out, and fans: generic units, to be replaced by the data sheet of the house's own. A unit serves
 * `area` m2; give the area it really has. Where a value is not said it is the field's default. */
#include "house/presets.h"

#define DUCT_PRINT "3500 m3/h for 450 m2, an upright duct with a fan, trade print"
#define HOSES "5 to 10 m3/(m2 h) by hoses under the gutters; " PINERY_FROM_MEMORY
#define FAN_POWER "0.15 to 0.25 W for a m3/h; " PINERY_FROM_MEMORY
#define ERP "least of plates and wheels sold in the EU since 2018, Regulation 1253/2014; " PINERY_FROM_MEMORY
#define UNIT_COIL "air of 3 to 6 kg/s for 100 kW; " PINERY_FROM_MEMORY
#define STATION "through-cloth fan of a station trial: 15 m3/(m2 h) at most, under 1 W/m2, trade print"
#define NURSERY "2 cfm/ft2 of circulation, 37 m3/(m2 h), US extension handbooks"

static const struct pinery_house_preset ducts[] = {
    {.name = "upright duct",
     .value = {{"flow", 3500.0 / 3600.0, DUCT_PRINT}, {"area", 450, DUCT_PRINT}, {"power", 600, FAN_POWER}}},
    {.name = "air handling unit with hoses",
     .value = {{"flow", 10000.0 / 3600.0, HOSES},
               {"area", 1400, HOSES},
               {"power", 2200, FAN_POWER},
               {"run_time", 120, PINERY_PRACTICE},
               {"coil_power", 90, "warms 7 m3/(m2 h) by 38 K, worked"}}},
};

static const struct pinery_house_preset recoveries[] = {
    {.name = "plate recovery",
     .value = {{"flow", 4000.0 / 3600.0, HOSES},
               {"area", 800, HOSES},
               {"power", 1600, "two fans; " FAN_POWER},
               {"sensible", 0.73, ERP},
               {"latent", 0, "plates let no vapour pass"}}},
    {.name = "wheel recovery",
     .like = "plate recovery",
     .value = {{"sensible", 0.75, "above the least, 0.73; " PINERY_FROM_MEMORY},
               {"latent", 0.5, "coated wheels 0.4 to 0.7; " PINERY_FROM_MEMORY},
               {"frost", -10, "a wheel that carries vapour freezes later; " PINERY_FROM_MEMORY}}},
};

static const struct pinery_house_preset dehumidifiers[] = {
    {.name = "small dehumidifier",
     .value = {{"cooling", 11000, "some 8 to 12 kg/h in a house at 20 degC and 80 %; " PINERY_FROM_MEMORY},
               {"area", 400, PINERY_PRACTICE},
               {"flow", 0.7, UNIT_COIL},
               {"fan_power", 350, FAN_POWER}}},
    {.name = "large dehumidifier",
     .value = {{"cooling", 50000, "some 40 kg/h in a house at 20 degC and 80 %; " PINERY_FROM_MEMORY},
               {"area", 1800, PINERY_PRACTICE},
               {"flow", 3.0, UNIT_COIL},
               {"fan_power", 1500, FAN_POWER},
               {"run_time", 180, PINERY_PRACTICE}}},
    {.name = "dehumidifier with heat to a tank",
     .like = "large dehumidifier",
     .value = {{"heat_to", 1, ""},
               {"warm_approach", 5, "plates between refrigerant and water; " PINERY_FROM_MEMORY},
               {"carnot", 0.5, "large compressors 0.45 to 0.6; " PINERY_FROM_MEMORY}}},
};

static const struct pinery_house_preset desiccants[] = {
    {.name = "brine unit",
     .value = {{"flow", 5000.0 / 3600.0, PINERY_FROM_MEMORY},
               {"area", 1000, PINERY_PRACTICE},
               {"power", 1000, FAN_POWER},
               {"equilibrium", 45, "brines in use 35 to 50 %; " PINERY_FROM_MEMORY}}},
};

static const struct pinery_house_preset fans[] = {
    {.name = "through-cloth fan",
     .value = {{"flow", 15.0 * 250.0 / 3600.0, STATION}, {"area", 250, STATION}, {"power", 240, STATION}}},
    {.name = "upright circulation fan",
     .value = {{"flow", 5000.0 / 3600.0, "hangs over the path, blows up or down; " PINERY_FROM_MEMORY},
               {"area", 300, PINERY_PRACTICE},
               {"power", 200, PINERY_FROM_MEMORY}}},
    {.name = "level circulation fan",
     .value = {{"flow", 37.0 * 200.0 / 3600.0, NURSERY}, {"area", 200, NURSERY}, {"power", 250, PINERY_FROM_MEMORY}}},
};

#define LIST(name, kind, list) \
    const struct pinery_house_presets name = {kind, list, (int)(sizeof list / sizeof list[0])}
LIST(pinery_house_ducts, "duct", ducts);
LIST(pinery_house_recoveries, "recovery", recoveries);
LIST(pinery_house_dehumidifiers, "dehumidifier", dehumidifiers);
LIST(pinery_house_desiccants, "desiccant", desiccants);
LIST(pinery_house_fans, "fan", fans);
