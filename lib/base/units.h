/* Units at the edge: what a file's header says, to and from what the library keeps inside. */
#ifndef PINERY_BASE_UNITS_H
#define PINERY_BASE_UNITS_H

#include <stddef.h>

/* X(quantity, unit inside) */
#define PINERY_BASE_QUANTITIES(X)               \
    X(TEMPERATURE, "degC")                      \
    X(PRESSURE, "Pa")                           \
    X(FRACTION, "1")                            \
    X(RADIATION, "W/m2")                        \
    X(PAR, "W/m2") /* between 400 and 700 nm */ \
    X(SPEED, "m/s")                             \
    X(RATE_OF_RAIN, "mm/h")                     \
    X(ANGLE, "deg")                             \
    X(LENGTH, "m")                              \
    X(ENERGY, "J")                              \
    X(TIME, "s")

enum pinery_base_quantity {
#define X(quantity, unit) PINERY_BASE_##quantity,
    PINERY_BASE_QUANTITIES(X)
#undef X
};

struct pinery_base_unit {
    enum pinery_base_quantity quantity;
    const char *name;
    double factor, offset; /* inside = factor * (value + offset) */
    double per_step;       /* for a sum over a record: the seconds of the inside unit, 1 for W/m2 = J/(m2 s); else 0 */
};

/* The unit of that name, which may be spelled with degree signs, superscripts, "^2" or "m-2", or NULL. */
const struct pinery_base_unit *pinery_base_unit_find(enum pinery_base_quantity quantity, const char *name);

/* A value in `unit` brought to the inside unit, and back; step_s is the length of a record, for units that are sums. */
double pinery_base_unit_in(const struct pinery_base_unit *unit, double value, double step_s);
double pinery_base_unit_out(const struct pinery_base_unit *unit, double value, double step_s);

/* The names known for a quantity, "degC, K, degF". */
void pinery_base_unit_names(enum pinery_base_quantity quantity, char *text, size_t size);

#endif
