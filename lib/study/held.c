/* What should be about equal before two ways of growing are compared for energy, and how near "equal" is.
 *
 * The sizes are our choice. Temperature: the trade counts about 3 m3 of gas a year for one kelvin in the mean (common
 * practice, no source), so 0.1 K stands for 0.3 m3. Light: one per cent of light counts as one per cent of yield
 * (common practice, no source). Humidity: 1 % is less than what sensors in a house tell apart (2 to 3 %, common
 * practice, no source). Hours: 1 % of the run, 88 h of a year. */
#include "pinery/study.h"

#include <math.h>

static const pinery_study_outcome outcomes[] = {
    {PINERY_RESULT_mean_air_degC, 0.1, 0.0, 0.0},
    {PINERY_RESULT_light_mol_per_m2, 0.0, 0.01, 0.0},
    {PINERY_RESULT_lamp_hours, 0.0, 0.01, 0.0},
    {PINERY_RESULT_mean_humidity_pct, 1.0, 0.0, 0.0},
    {PINERY_RESULT_hours_humidity_over_85, 0.0, 0.0, 0.01},
    {PINERY_RESULT_hours_humidity_over_90, 0.0, 0.0, 0.01},
    {PINERY_RESULT_hours_humidity_over_95, 0.0, 0.0, 0.01},
    {PINERY_RESULT_hours_vapour_deficit_over_1400, 0.0, 0.0, 0.01},
    {PINERY_RESULT_hours_dew_margin_under_1, 0.0, 0.0, 0.01},
    {PINERY_RESULT_hours_crop_wet, 0.0, 0.0, 0.01},
    {PINERY_RESULT_transpiration_kg_per_m2, 0.0, 0.02, 0.0},
    {PINERY_RESULT_lower_minus_upper_K, 0.2, 0.0, 0.0},
    {PINERY_RESULT_end_to_end_mean_K, 0.2, 0.0, 0.0},
};

const pinery_study_outcome *pinery_study_outcomes(int *n) {
    *n = (int)(sizeof outcomes / sizeof outcomes[0]);
    return outcomes;
}

double pinery_study_tolerance(const pinery_study_outcome *outcome, double reference, double hours) {
    return outcome->absolute + outcome->share * fabs(reference) + outcome->per_hour * hours;
}

bool pinery_study_held(const pinery_study_outcome *outcome, double reference, double value, double hours) {
    if (isnan(reference) || isnan(value)) {
        return isnan(reference) && isnan(value);
    }
    return fabs(value - reference) <= pinery_study_tolerance(outcome, reference, hours);
}
