/* Heat in the ground.
 *
 * Column: layers growing by a fixed factor, fine at the top where the day works, coarse below where the year does.
 *   Between centres G = lambda / distance; from the surface to the first centre and from the last to the bottom
 *   likewise.
 *
 * Slab: ISO 13370:2007, slab on ground, uninsulated edge:
 *   B' = A/(P/2),  dt = w + lambda (Rsi + Rf + Rse)
 *   U = 2 lambda/(pi B' + dt) ln(pi B'/dt + 1)    for dt < B'
 *   U = lambda/(0.457 B' + dt)                    for dt >= B'
 *
 * The two joined: a column with its bottom at the yearly mean of the outside air loses 1/R. A small house loses more,
 *   by its edge; the rest goes from the floor surface straight to the outside air, through the inside surface
 *   resistance that both share. A wide house loses less, because heat does not reach the depth at which the ground is
 *   as cold as the yearly mean; then the bottom gets a further resistance.
 *
 * Wave: semi-infinite solid with periodic surface temperature, Carslaw and Jaeger, Conduction of Heat in Solids, 2.6:
 *   T = mean + A e^(-z/d) cos(w (t - peak) - z/d),  d = (2 a/w)^(1/2). */
#include "house/ground.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

/* Factor f with first (1 + f + ... + f^(n-1)) = depth, by bisection: the sum rises with f. */
static double growth(int n, double depth, double first) {
    double low = 1.0, high = depth / first;
    for (int step = 0; step < 200; step++) {
        double f = 0.5 * (low + high), sum = 0.0;
        for (int i = 0; i < n; i++)
            sum = sum * f + 1.0;
        if (first * sum < depth)
            low = f;
        else
            high = f;
    }
    return 0.5 * (low + high);
}

void pinery_house_ground_layers(int n, double depth, double first, double conductivity, double heat_capacity,
                                struct pinery_house_ground *ground) {
    double factor = growth(n, depth, first), thickness = first, top = 0.0;
    ground->n = n;
    for (int i = 0; i < n; i++) {
        if (i == n - 1)
            thickness = depth - top; /* so that the sum is the depth to rounding */
        ground->thickness[i] = thickness;
        ground->centre[i] = top + 0.5 * thickness;
        ground->capacity[i] = heat_capacity * thickness;
        top += thickness;
        thickness *= factor;
    }
    ground->conductance[0] = conductivity / ground->centre[0];
    for (int i = 1; i < n; i++)
        ground->conductance[i] = conductivity / (ground->centre[i] - ground->centre[i - 1]);
    ground->conductance[n] = conductivity / (depth - ground->centre[n - 1]);
}

struct pinery_house_slab pinery_house_slab_loss(double area, double perimeter, double wall, double conductivity,
                                                double slab_resistance, double inside_resistance,
                                                double outside_resistance) {
    double B = area / (0.5 * perimeter);
    double dt = wall + conductivity * (inside_resistance + slab_resistance + outside_resistance);
    double U = dt < B ? 2.0 * conductivity / (pi * B + dt) * log(pi * B / dt + 1.0) : conductivity / (0.457 * B + dt);
    return (struct pinery_house_slab){B, dt, U};
}

struct pinery_house_ground_split pinery_house_ground_edge(double slab_coefficient, double column_resistance,
                                                          double inside_resistance) {
    struct pinery_house_ground_split split = {0.0, 0.0};
    double further = 1.0 / slab_coefficient - column_resistance;
    if (further >= 0.0)
        split.bottom = further;
    else /* both paths leave from the floor surface, behind the inside resistance */
        split.edge = 1.0 / (1.0 / slab_coefficient - inside_resistance) - 1.0 / (column_resistance - inside_resistance);
    return split;
}

double pinery_house_ground_damping_depth(double diffusivity, double period) {
    return sqrt(diffusivity * period / pi);
}

double pinery_house_ground_wave(double mean, double amplitude, double peak, double period, double depth,
                                double diffusivity, double time) {
    double z = depth / pinery_house_ground_damping_depth(diffusivity, period);
    return mean + amplitude * exp(-z) * cos(2.0 * pi * (time - peak) / period - z);
}
