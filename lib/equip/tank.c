/* Buffer tank as one store of heat between an empty and a full mean temperature.
 *
 * Heat held: volume, 985 kg/m3 and 4180 J/(kg K) at the middle of its range (steam tables). A layered tank keeps hot
 * water over the return water with a thin border between them, so that it gives water of `hot` until it is nearly
 * empty: it can give while its mean is over `cold`. A mixed tank has one temperature: it can give while that is over
 * what is asked. The power it can take or give falls to nothing over the last 5 % of its range, which stands for the
 * border's thickness (common practice, no source).
 *
 * Loss: an upright cylinder as high as it is wide, area 5.536 V^(2/3), through insulation of 0.04 W/(m K) (mineral
 * wool, EN ISO 10456 range 0.035 .. 0.045) and 0.13 m2 K/W of air (ISO 6946). */
#include "equip/tank.h"

#include <math.h>

static const double density = 985.0, heat = 4180.0, wool = 0.04, air = 0.13;
static const double border = 0.05;

double pinery_equip_tank_capacity(const pinery_tank *tank) {
    return tank->volume * density * heat;
}

double pinery_equip_tank_loss(const pinery_tank *tank, double floor) {
    double area = 5.536 * pow(tank->volume * floor, 2.0 / 3.0);
    return area / (tank->insulation / wool + air) / floor;
}

double pinery_equip_tank_room(const pinery_tank *tank, double T_mean, double *slope) {
    double range = border * (tank->hot - tank->cold);
    double share = pinery_base_ramp((tank->hot - T_mean) / range, slope);
    *slope /= -range;
    return share;
}

struct pinery_pair pinery_equip_tank_ready(const pinery_tank *tank, double T_mean, double T_asked) {
    double range = border * (tank->hot - tank->cold), slope;
    double least = tank->kind == 0 ? tank->cold : T_asked;
    double share = pinery_base_ramp((T_mean - least) / range, &slope);
    return (struct pinery_pair){share, slope / range, tank->kind == 0 ? 0.0 : -slope / range};
}
