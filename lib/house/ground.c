/* Heat in the ground.
 *
 * Column: layer i is first (1 + b i)^1.6 thick, fine at the top where the day works, coarse below where the year does.
 *   The first layer stands for the surface: it holds heat that a surface would not, which makes up for the coarseness
 *   below it, so there is a best thickness for a number of layers, 1.62 m/n^2. Against the exact solid (4 m of clay,
 * the complex flux for a wave at the surface; sand and rock are better): 9 layers are 3.9 % out for a day, 1.0 % for
 * five, 0.5 % for a month and for a year; 16 layers 1.0, 0.3, 0.2 and 0.2 %. Layers that grow by a fixed factor from
 * 0.02 m, 9 of them, are 9.7, 3.7, 1.4 and 1.9 % out, and 16 of them 11.5 % for the day. Between centres G = lambda /
 * distance; from the surface to the first centre and from the last to the bottom likewise.
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

static const double grading = 1.6;

/* b with first sum (1 + b i)^grading = depth, by bisection: the sum rises with b. */
static double growth(int n, double depth, double first) {
    double low = 0.0, high = depth / first;
    for (int step = 0; step < 200; step++) {
        double b = 0.5 * (low + high), sum = 0.0;
        for (int i = 0; i < n; i++)
            sum += pow(1.0 + b * i, grading);
        if (first * sum < depth)
            low = b;
        else
            high = b;
    }
    return 0.5 * (low + high);
}

double pinery_house_ground_first(int n) {
    return 1.62 / (n * n);
}

void pinery_house_ground_layers(int n, double depth, double first, double conductivity, double heat_capacity,
                                struct pinery_house_ground *ground) {
    double b = growth(n, depth, first), top = 0.0;
    ground->n = n;
    for (int i = 0; i < n; i++) { /* the last so that the sum is the depth to rounding */
        double thickness = i < n - 1 ? first * pow(1.0 + b * i, grading) : depth - top;
        ground->thickness[i] = thickness;
        ground->centre[i] = top + 0.5 * thickness;
        ground->capacity[i] = heat_capacity * thickness;
        top += thickness;
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
