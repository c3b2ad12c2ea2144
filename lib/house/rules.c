/* The rules a house must keep: every field in its range, and those that span fields. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "house/house.h"

/* Sums of decimal fractions may miss 1 by rounding. */
static const double one = 1.0 + 1e-12;

/* Each gives OK, or names the place, the fields, their values and what was expected. */

/* Every field of a record in its range; the error calls the record by its place in the house. */
static pinery_status check_fields(const pinery_fields *fields, const void *record, const char *where,
                                  pinery_error *error) {
    pinery_fields named = *fields;
    named.title = where;
    return pinery_fields_check(&named, record, "", error);
}

struct share {
    const char *name;
    double value;
};

/* Two or three shares of one whole; `takers` says of what. */
static pinery_status check_shares(const char *where, const char *whole, const struct share *share, int n,
                                  pinery_error *error) {
    double sum = 0.0;
    char text[256] = "";
    for (int i = 0; i < n; i++) {
        size_t used = strlen(text);
        snprintf(text + used, sizeof text - used, "%s%s = %g", i ? " + " : "", share[i].name, share[i].value);
        sum += share[i].value;
    }
    if (sum > one)
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: %s is %.6g; shares of %s, at most 1 together", where,
                                text, sum, whole);
    return PINERY_OK;
}
#define SHARES(where, whole, ...)                                   \
    check_shares(where, whole, (const struct share[]){__VA_ARGS__}, \
                 (int)(sizeof((const struct share[]){__VA_ARGS__}) / sizeof(struct share)), error)
#define OF(record, field) \
    { #field, (record)->field }

static pinery_status check_cover(const char *where, const pinery_cover *cover, pinery_error *error) {
    pinery_status status = check_fields(&pinery_cover_fields, cover, where, error);
    if (!status)
        status = SHARES(where, "the long wave on the outside face", OF(cover, emissivity_outside),
                        OF(cover, longwave_transmittance));
    if (!status)
        status = SHARES(where, "the long wave on the inside face", OF(cover, emissivity_inside),
                        OF(cover, longwave_transmittance));
    if (!status && cover->panes == 2)
        status = SHARES(where, "the long wave on a face in the gap", OF(cover, gap_emissivity),
                        OF(cover, longwave_transmittance));
    if (status || cover->optics == 0)
        return status;
    const struct share angle[] = {OF(cover, transmittance_0), OF(cover, transmittance_40), OF(cover, transmittance_55),
                                  OF(cover, transmittance_70), OF(cover, transmittance_80)};
    for (size_t i = 0; !status && i < sizeof angle / sizeof angle[0]; i++)
        status = SHARES(where, "the sun on the cover", angle[i], OF(cover, absorptance));
    return status;
}

static pinery_status check_cloth(const char *where, const pinery_cloth *cloth, pinery_error *error) {
    pinery_status status = check_fields(&pinery_cloth_fields, cloth, where, error);
    if (!status)
        status = SHARES(where, "the long wave on the upper face", OF(cloth, emissivity_up),
                        OF(cloth, longwave_transmittance));
    if (!status)
        status = SHARES(where, "the long wave on the lower face", OF(cloth, emissivity_down),
                        OF(cloth, longwave_transmittance));
    if (!status)
        status = SHARES(where, "the light on the upper face", OF(cloth, light_transmittance),
                        OF(cloth, light_reflectance_up));
    if (!status)
        status = SHARES(where, "the light on the lower face", OF(cloth, light_transmittance),
                        OF(cloth, light_reflectance_down));
    if (!status)
        status = SHARES(where, "the near infrared on the upper face", OF(cloth, nir_transmittance),
                        OF(cloth, nir_reflectance_up));
    if (!status)
        status = SHARES(where, "the near infrared on the lower face", OF(cloth, nir_transmittance),
                        OF(cloth, nir_reflectance_down));
    return status;
}

static pinery_status check_drives(const pinery_house *house, pinery_error *error) {
    if (house->drives < 0 || house->drives > PINERY_DRIVES)
        return pinery_base_fail(error, PINERY_BAD_INPUT, "house: %d drives; 0 .. %d are possible", house->drives,
                                PINERY_DRIVES);
    char where[64];
    for (int i = 0; i < house->drives; i++) {
        const pinery_drive *drive = &house->drive[i];
        snprintf(where, sizeof where, "house: drive %d", i + 1);
        pinery_status status = check_fields(&pinery_drive_fields, drive, where, error);
        if (status)
            return status;
        if (drive->height >= house->gutter_height)
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "%s: height = %g m is not below gutter_height = %g m, so that no roof air is left",
                                    where, drive->height, house->gutter_height);
        if (i > 0 && drive->height <= house->drive[i - 1].height)
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "%s: height = %g m is not above drive %d at %g m; drives are given lowest first",
                                    where, drive->height, i, house->drive[i - 1].height);
        if (drive->height <= house->split_height)
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "%s: height = %g m is not above split_height = %g m, so that no upper air is left",
                                    where, drive->height, house->split_height);
    }
    for (int i = 0; i < house->drives; i++) {
        const pinery_drive *drive = &house->drive[i];
        for (int k = 0; k < drive->cloths; k++) {
            snprintf(where, sizeof where, "house: drive %d: cloth %d", i + 1, k + 1);
            pinery_status status = check_cloth(where, &drive->cloth[k], error);
            if (status)
                return status;
        }
        if (drive->cloths == 2 && drive->cloth[0].name[0] != '\0' &&
            strcmp(drive->cloth[0].name, drive->cloth[1].name) == 0)
            return pinery_base_fail(
                error, PINERY_BAD_INPUT,
                "house: drive %d: both cloths are named \"%s\"; a drive with two has two different ones", i + 1,
                drive->cloth[0].name);
    }
    return PINERY_OK;
}

static pinery_status check_pipe(const char *where, const pinery_pipe *pipe, pinery_error *error) {
    pinery_status status = check_fields(&pinery_pipe_fields, pipe, where, error);
    if (!status && pipe->wall >= 0.5 * pipe->diameter)
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "%s: wall = %g m leaves no bore in diameter = %g m; expected less than half of it",
                                where, pipe->wall, pipe->diameter);
    return status;
}

static pinery_status check_lamp(const char *where, const pinery_lamp *lamp, pinery_error *error) {
    pinery_status status = check_fields(&pinery_lamp_fields, lamp, where, error);
    if (!status)
        status =
            SHARES(where, "the lamp's power", OF(lamp, light_share), OF(lamp, nir_share), OF(lamp, longwave_share));
    if (status || lamp->power <= 0.0 || (lamp->light_share == 0.0 && lamp->photons == 0.0))
        return status;
    /* A joule is 3.34 umol at 400 nm and 5.85 umol at 700 nm (Planck); some room for far red in the count. */
    double per_joule = lamp->light_share > 0.0 ? lamp->photons / lamp->light_share : INFINITY;
    if (!(per_joule >= 3.5 && per_joule <= 6.5))
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "%s: photons = %g umol/J from light_share = %g is %.3g umol per joule of light; expected "
            "3.5 (blue) .. 6.5 (far red)",
            where, lamp->photons, lamp->light_share, per_joule);
    return PINERY_OK;
}

/* Points in order, within their ranges, with a height in all that have leaves or in none. */
static pinery_status check_calendar(const pinery_crop *crop, double gutter_height, pinery_error *error) {
    const pinery_field *area = pinery_fields_find(&pinery_crop_fields, "leaf_area");
    int tall = 0, leafy = 0;
    if (crop->points < 0 || crop->points > PINERY_CROP_POINTS)
        return pinery_base_fail(error, PINERY_BAD_INPUT, "house: crop: calendar has %d points; 0 .. %d are possible",
                                crop->points, PINERY_CROP_POINTS);
    for (int i = 0; i < crop->points; i++) {
        const pinery_crop_point *point = &crop->calendar[i];
        if (!(point->day >= 1.0 && point->day <= 366.0))
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "house: crop: calendar point %d: day = %g is outside 1 .. 366", i + 1, point->day);
        if (i > 0 && point->day <= crop->calendar[i - 1].day)
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "house: crop: calendar point %d: day = %g is not after day %g of the point before",
                                    i + 1, point->day, crop->calendar[i - 1].day);
        if (!(point->leaf_area >= 0.0 && point->leaf_area <= area->max))
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "house: crop: calendar point %d: leaf_area = %g m2/m2 is outside 0 .. %g m2/m2",
                                    i + 1, point->leaf_area, area->max);
        if (!(point->height >= 0.0 && point->height <= gutter_height))
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "house: crop: calendar point %d: height = %g m is outside 0 .. %g m, the gutter",
                                    i + 1, point->height, gutter_height);
        leafy += point->leaf_area > 0.0;
        tall += point->leaf_area > 0.0 && point->height > 0.0;
    }
    if (tall > 0 && tall < leafy)
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "house: crop: calendar: %d of %d points with leaves have a height; expected all or none", tall, leafy);
    return PINERY_OK;
}

static pinery_status check_crop(const pinery_crop *crop, double gutter_height, pinery_error *error) {
    pinery_status status = check_fields(&pinery_crop_fields, crop, "house: crop", error);
    if (status)
        return status;
    if (crop->leaf_light_reflectance + crop->leaf_light_transmittance > 0.999)
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "house: crop: leaf_light_reflectance = %g + leaf_light_transmittance = %g leaves a leaf "
            "nothing to take up; expected less than 1 together",
            crop->leaf_light_reflectance, crop->leaf_light_transmittance);
    if (crop->leaf_nir_reflectance + crop->leaf_nir_transmittance > 0.999)
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "house: crop: leaf_nir_reflectance = %g + leaf_nir_transmittance = %g leaves a leaf "
                                "nothing to take up; expected less than 1 together",
                                crop->leaf_nir_reflectance, crop->leaf_nir_transmittance);
    return check_calendar(crop, gutter_height, error);
}

/* The shell: what length, heights and vents must be to each other. */
static pinery_status check_shell(const pinery_house *house, pinery_error *error) {
    pinery_status status = check_fields(&pinery_house_fields, house, "house", error);
    if (status)
        return status;
    if (house->split_height >= house->gutter_height)
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "house: split_height = %g m is not below gutter_height = %g m, so that no upper air is left",
            house->split_height, house->gutter_height);
    if (house->span > house->width * one)
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "house: span = %g m is wider than width = %g m; expected one span at least",
                                house->span, house->width);
    const double radian = 0.017453292519943295, roof = 1.0 / cos(house->roof_slope * radian);
    if (2.0 * house->vent_area > roof * one)
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "house: vent_area = %g m2/m2 on both sides is more than the roof, %.3g m2/m2",
                                house->vent_area, roof);
    return PINERY_OK;
}

static pinery_status check_boiler(const pinery_boiler *boiler, pinery_error *error) {
    pinery_status status = check_fields(&pinery_boiler_fields, boiler, "house: boiler", error);
    if (!status && boiler->basis == 1 && boiler->efficiency > 1.0)
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "house: boiler: efficiency = %g on the gross heating value; more than 1 is possible on the "
            "net one only",
            boiler->efficiency);
    if (!status && boiler->condenser) {
        double most = boiler->basis == 0 ? 0.98 : 0.88; /* leaves flue gas of some 65 degC */
        if (boiler->efficiency > most)
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "house: boiler: efficiency = %g with condenser = true; expected that without a "
                                    "condenser, at most %g on this heating value",
                                    boiler->efficiency, most);
    }
    return status;
}

static pinery_status check_devices(const pinery_house *house, pinery_error *error) {
    pinery_status status = check_fields(&pinery_duct_fields, &house->duct, "house: duct", error);
    if (!status)
        status = check_fields(&pinery_recovery_fields, &house->recovery, "house: recovery", error);
    if (!status)
        status = check_fields(&pinery_dehumidifier_fields, &house->dehumidifier, "house: dehumidifier", error);
    if (!status)
        status = check_fields(&pinery_desiccant_fields, &house->desiccant, "house: desiccant", error);
    if (!status && house->recovery.latent > house->recovery.sensible)
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "house: recovery: latent = %g is above sensible = %g; what passes vapour passes as much "
            "heat at least",
            house->recovery.latent, house->recovery.sensible);
    return status;
}

static pinery_status check_sources(const pinery_house *house, pinery_error *error) {
    pinery_status status = check_fields(&pinery_tank_fields, &house->tank, "house: tank", error);
    if (!status)
        status = check_fields(&pinery_cogeneration_fields, &house->cogeneration, "house: cogeneration", error);
    if (!status)
        status = check_fields(&pinery_bought_fields, &house->bought_heat, "house: bought_heat", error);
    if (!status)
        status = check_fields(&pinery_heat_pump_fields, &house->heat_pump, "house: heat_pump", error);
    if (!status)
        status = check_fields(&pinery_electric_fields, &house->electric_boiler, "house: electric_boiler", error);
    if (!status)
        status = check_fields(&pinery_carbon_fields, &house->carbon, "house: carbon", error);
    if (!status)
        status = check_fields(&pinery_contract_fields, &house->contract, "house: contract", error);
    if (!status && house->contract.shed && isnan(house->contract.power))
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "house: contract: shed = true, but power is not given; expected the most that may be "
                                "drawn, in W/m2");
    if (!status && house->carbon.most > 0.0 && !house->carbon.balance)
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "house: carbon: most = %g kg/(m2 s) is dosed where balance is false; expected true",
                                house->carbon.most);
    if (!status && house->dehumidifier.cooling > 0.0 && house->dehumidifier.heat_to == 1 && !(house->tank.volume > 0.0))
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "house: dehumidifier: heat_to = tank, but tank: volume = %g m3/m2; expected more than 0",
            house->tank.volume);
    if (!status && house->tank.hot < house->tank.cold + 10.0)
        return pinery_base_fail(
            error, PINERY_BAD_INPUT,
            "house: tank: hot = %g degC is less than 10 K over cold = %g degC, so that it holds nothing",
            house->tank.hot, house->tank.cold);
    if (!status)
        status = SHARES("house: cogeneration", "the heat in the gas", OF(&house->cogeneration, electric),
                        OF(&house->cogeneration, heat));
    return status;
}

/* Everything, on a house whose open fields are filled. */
static pinery_status check_resolved(const pinery_house *house, pinery_error *error) {
    pinery_status status = check_shell(house, error);
    if (!status)
        status = check_cover("house: cover", &house->cover, error);
    if (!status && house->inner_wall_share > 0.0 && !house->walls)
        return pinery_base_fail(error, PINERY_BAD_INPUT,
                                "house: inner_wall_share = %g of no walls; expected walls = true with it, or 0",
                                house->inner_wall_share);
    if (!status && house->walls)
        status = check_cover("house: wall", &house->wall, error);
    if (!status)
        status = check_drives(house, error);
    if (!status)
        status = check_pipe("house: pipe_lower", &house->pipe_lower, error);
    if (!status)
        status = check_pipe("house: pipe_upper", &house->pipe_upper, error);
    for (int i = 0; !status && i < PINERY_LAMPS; i++) {
        char where[32];
        snprintf(where, sizeof where, "house: lamp %d", i + 1);
        status = check_lamp(where, &house->lamp[i], error);
    }
    if (!status)
        status = check_fields(&pinery_fan_fields, &house->fan_through, "house: fan_through", error);
    if (!status)
        status = check_fields(&pinery_fan_fields, &house->fan_circulation, "house: fan_circulation", error);
    if (!status)
        status = check_devices(house, error);
    if (!status)
        status = check_sources(house, error);
    if (!status)
        status = check_boiler(&house->boiler, error);
    if (!status)
        status = check_crop(&house->crop, house->gutter_height, error);
    return status;
}

pinery_status pinery_house_check(const pinery_house *house, pinery_error *error) {
    if (house->drives < 0 || house->drives > PINERY_DRIVES) /* before resolving walks over them */
        return check_drives(house, error);
    pinery_house copy = *house;
    pinery_house_resolve(&copy);
    pinery_status status = check_resolved(&copy, error);
    return status ? status : pinery_base_ok(error);
}
