/* Points spread evenly over a cube, the same for the same seed.
 *
 * Sobol: Sobol's sequence from its first point on, by the GNU Scientific Library (Antonov and Saleev 1979), every input
 * shifted by random bits of its own (a digital shift, which keeps what makes the sequence even: of 2^m points, one
 * falls into each 1/2^m of every input). Latin hypercube (McKay, Beckman and Conover 1979): of n points, one at random
 * in each 1/n of every input, in random order. Random numbers are those of the Mersenne twister. */
#include "pinery/study.h"

#include <limits.h>

#include <gsl/gsl_qrng.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "base/error.h"
#include "study/gsl.h"

enum { BITS = 30 }; /* of a point of the library's sequence */

static const double steps = 1073741824.0; /* 2^BITS */

static pinery_status sobol(int n, int inputs, gsl_rng *random, double u[]) {
    gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)inputs);
    if (!sequence) {
        return PINERY_MEMORY;
    }
    unsigned long shift[PINERY_STUDY_INPUTS];
    for (int k = 0; k < inputs; k++) {
        shift[k] = gsl_rng_get(random) & ((1UL << BITS) - 1);
    }
    double point[PINERY_STUDY_INPUTS] = {0.0}; /* the first point is the corner, which the library leaves out */
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < inputs; k++) {
            unsigned long bits = (unsigned long)(point[k] * steps) ^ shift[k];
            u[(size_t)i * (size_t)inputs + (size_t)k] = ((double)bits + 0.5) / steps;
        }
        gsl_qrng_get(sequence, point);
    }
    gsl_qrng_free(sequence);
    return PINERY_OK;
}

static void latin(int n, int inputs, gsl_rng *random, double u[]) {
    size_t width = (size_t)inputs;
    for (size_t k = 0; k < width; k++) {
        for (size_t i = 0; i < (size_t)n; i++) {
            /* a shuffle as it is filled */
            size_t j = gsl_rng_uniform_int(random, i + 1);
            u[i * width + k] = u[j * width + k];
            u[j * width + k] = ((double)i + gsl_rng_uniform_pos(random)) / n;
        }
    }
}

pinery_status pinery_study_sample(pinery_study_sampling sampling, int n, int inputs, unsigned long seed, double u[],
                                  pinery_error *error) {
    if (n < 1 || n > PINERY_STUDY_DRAWS) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "sample: %d draws, expected 1 .. %d", n, PINERY_STUDY_DRAWS);
    }
    if (inputs < 1 || inputs > PINERY_STUDY_INPUTS) {
        return pinery_base_fail(error, PINERY_BAD_INPUT, "sample: %d inputs, expected 1 .. %d", inputs,
                                PINERY_STUDY_INPUTS);
    }
    gsl_error_handler_t *before = pinery_study_gsl_begin();
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    pinery_status status = PINERY_MEMORY;
    if (random) {
        gsl_rng_set(random, seed);
        status = PINERY_OK;
        if (sampling == PINERY_STUDY_LATIN) {
            latin(n, inputs, random, u);
        } else {
            status = sobol(n, inputs, random, u);
        }
        gsl_rng_free(random);
    }
    pinery_study_gsl_end(before);
    return status == PINERY_OK ? pinery_base_ok(error)
                               : pinery_base_fail(error, status, "sample: no memory for %d inputs", inputs);
}
