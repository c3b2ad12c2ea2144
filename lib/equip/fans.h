/* Fans through the cloth and circulation fans. Formulas and sources are in fans.c. */
#ifndef PINERY_EQUIP_FANS_H
#define PINERY_EQUIP_FANS_H

struct pinery_equip_fan {
    double per_area; /* units per m2 of floor */
    double flow;     /* m3/s of one unit at full speed */
    double power;    /* electric W of one unit at full speed */
    double standby;  /* electric W of one unit standing still, 0 when switched off */
    double
        leaf_speed; /* m/s at the leaf per m3/(m2 s): 37 for circulation fans, less where the jet passes the crop by */
};

/* Per m2 of floor; all electric power ends as heat in the air that the fan moves. */
struct pinery_equip_fan_output {
    double flow;                     /* m3/(m2 s) */
    double power;                    /* W/m2 */
    double speed;                    /* of the air at the leaf, m/s */
    double d_flow, d_power, d_speed; /* per unit of fan speed */
};

/* speed: share of full speed, 0..1. */
struct pinery_equip_fan_output pinery_equip_fan_run(const struct pinery_equip_fan *fan, double speed);

#endif
