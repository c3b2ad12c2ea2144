/* Distributions of uncertain inputs: the value below which a share u of the chance lies. Those of the normal and the
 * lognormal are the GNU Scientific Library's; what is cut off at either end leaves its chance to the rest. */
#include "pinery/study.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#include "base/error.h"

static double triangular(double a, double mode, double b, double u) {
    double low = (mode - a) / (b - a);
    return u < low ? a + sqrt(u * (b - a) * (mode - a)) : b - sqrt((1.0 - u) * (b - a) * (b - mode));
}

static double triangular_below(double a, double mode, double b, double x) {
    if (x <= a || x >= b) {
        return x <= a ? 0.0 : 1.0;
    }
    return x < mode ? (x - a) * (x - a) / ((b - a) * (mode - a)) : 1.0 - (b - x) * (b - x) / ((b - a) * (b - mode));
}

static double below(const pinery_study_chance *c, double x) {
    switch (c->kind) {
    case PINERY_STUDY_UNIFORM:
        return x <= c->a ? 0.0 : x >= c->b ? 1.0 : (x - c->a) / (c->b - c->a);
    case PINERY_STUDY_TRIANGULAR:
        return triangular_below(c->a, c->b, c->c, x);
    case PINERY_STUDY_NORMAL:
        return gsl_cdf_gaussian_P(x - c->a, c->b);
    case PINERY_STUDY_LOGNORMAL:
        return x > 0.0 ? gsl_cdf_lognormal_P(x, log(c->a), log(c->b)) : 0.0;
    }
    return NAN;
}

double pinery_study_quantile(const pinery_study_chance *c, double u) {
    double low = isfinite(c->from) ? below(c, c->from) : 0.0, high = isfinite(c->to) ? below(c, c->to) : 1.0, x = NAN;
    double v = low + u * (high - low);
    switch (c->kind) {
    case PINERY_STUDY_UNIFORM:
        x = c->a + v * (c->b - c->a);
        break;
    case PINERY_STUDY_TRIANGULAR:
        x = triangular(c->a, c->b, c->c, v);
        break;
    case PINERY_STUDY_NORMAL:
        x = c->a + gsl_cdf_gaussian_Pinv(v, c->b);
        break;
    case PINERY_STUDY_LOGNORMAL:
        x = gsl_cdf_lognormal_Pinv(v, log(c->a), log(c->b));
        break;
    }
    return fmin(fmax(x, c->from), c->to); /* rounding at the ends */
}

pinery_status pinery_study_chance_check(const pinery_study_chance *c, const char *name, pinery_error *error) {
    bool fine = isfinite(c->a) && isfinite(c->b);
    switch (c->kind) {
    case PINERY_STUDY_UNIFORM:
        if (!(fine && c->a < c->b)) {
            return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: uniform from %g to %g, expected a lower and a higher",
                                    name, c->a, c->b);
        }
        break;
    case PINERY_STUDY_TRIANGULAR:
        if (!(fine && isfinite(c->c) && c->a <= c->b && c->b <= c->c && c->a < c->c)) {
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "%s: triangular %g, %g, %g, expected the lowest, the likeliest and the highest",
                                    name, c->a, c->b, c->c);
        }
        break;
    case PINERY_STUDY_NORMAL:
        if (!(fine && c->b > 0.0)) {
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "%s: normal %g, %g, expected a mean and a standard deviation over 0", name, c->a,
                                    c->b);
        }
        break;
    case PINERY_STUDY_LOGNORMAL:
        if (!(fine && c->a > 0.0 && c->b > 1.0)) {
            return pinery_base_fail(error, PINERY_BAD_INPUT,
                                    "%s: lognormal %g, %g, expected a median over 0 and a factor over 1", name, c->a,
                                    c->b);
        }
        break;
    }
    if (!(c->from < c->to && below(c, c->to) - below(c, c->from) > 1e-9)) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "%s: from %g to %g leaves nothing of the distribution", name,
                                c->from, c->to);
    }
    return pinery_base_ok(error);
}
