/* Glass, glazing and radiation shields as functions of table rows: the house's list of functions. */
#include "house/glass.h"
#include "house/glazing.h"
#include "house/longwave.h"
#include "house/shortwave.h"
#include "tables.h"

#define DEG (3.14159265358979323846 / 180)

/* in: refractive index, extinction 1/m, thickness mm, panes, angle deg */
static struct pinery_house_split glass(const double *in) {
    struct pinery_house_glass g = {in[0], in[1], in[2] / 1000, (int)in[3]};
    return pinery_house_glass_split(&g, in[4] * DEG);
}

static double glass_transmit(const double *in) {
    return glass(in).transmit;
}

static double glass_reflect(const double *in) {
    return glass(in).reflect;
}

static double glass_absorb(const double *in) {
    struct pinery_house_split s = glass(in);
    return s.absorb[0] + s.absorb[1];
}

static double glass_isotropic(const double *in) {
    struct pinery_house_glass g = {in[0], in[1], in[2] / 1000, (int)in[3]};
    struct pinery_house_optics optics;
    pinery_house_optics_glass(&g, &optics);
    return optics.diffuse.transmit;
}

/* in: gap mm, slope deg; air at 283 K, 15 K difference */
static double gap_nusselt(const double *in) {
    return pinery_house_gap_nusselt(&pinery_house_gas_air, in[0] / 1000, 9.85, 15, in[1]);
}

static double gap_gas(const double *in) {
    return pinery_house_gas_conductance(&pinery_house_gas_air, in[0] / 1000, 9.85, 15, in[1]);
}

/* in: emissivity of both faces; radiation alone: the whole less the gas */
static double gap_radiation(const double *in) {
    return pinery_house_gap_conductance(0.012, in[0], in[0], 9.85, 15, 90) -
           pinery_house_gas_conductance(&pinery_house_gas_air, 0.012, 9.85, 15, 90);
}

/* in: pane mm, gap mm (0: one pane), slope deg, inside resistance m2 K/W, outside coefficient W/(m2 K) */
static double glazing_u(const double *in) {
    return pinery_house_glazing_u(&pinery_house_gas_air, in[0] / 1000, in[1] / 1000, 0.837, 0.837, in[2], in[3], in[4]);
}

/* in: number of shields (0 to 2), emissivity of their faces. Flow between black plates over the open flow; the shields'
 * own powers by elimination in the network of factors. */
static double shields(const double *in) {
    int n = (int)in[0] + 2;
    struct pinery_house_lw_layer layer[4];
    double f[16];
    for (int i = 0; i < n; i++)
        layer[i] = (struct pinery_house_lw_layer){in[1], in[1], 0};
    layer[0] = layer[n - 1] = (struct pinery_house_lw_layer){1, 1, 0};
    pinery_house_longwave_factors(n, layer, f);
    /* Star to mesh: taking a floating node out joins its neighbours. */
    for (int k = 1; k < n - 1; k++) {
        double all = 0;
        for (int j = 0; j < n; j++)
            all += j < 1 || j > k ? f[k * n + j] : 0;
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++)
                if (i != j && (i < 1 || i > k) && (j < 1 || j > k))
                    f[i * n + j] += f[i * n + k] * f[k * n + j] / all;
    }
    return f[n - 1];
}

/* in: elevation deg */
static double leaf_extinction(const double *in) {
    return pinery_house_beam_extinction(in[0] * DEG);
}

const struct table_function tables_house[] = {
    {"glass_transmit", 5, glass_transmit},
    {"glass_reflect", 5, glass_reflect},
    {"glass_absorb", 5, glass_absorb},
    {"glass_isotropic", 4, glass_isotropic},
    {"gap_nusselt", 2, gap_nusselt},
    {"gap_gas", 2, gap_gas},
    {"gap_radiation", 1, gap_radiation},
    {"glazing_u", 5, glazing_u},
    {"shields", 2, shields},
    {"leaf_extinction", 1, leaf_extinction},
    {0, 0, 0},
};
