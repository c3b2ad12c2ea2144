/* Wind drawn along the house through slits, and the cold end it makes. Formulas and sources are in along.c. */
#ifndef PINERY_HOUSE_ALONG_H
#define PINERY_HOUSE_ALONG_H

#include "base/smooth.h"

/* Exchange between roof air and crop air that the wind drives [m3/(m2 floor s)]. */
struct pinery_house_along {
    double value;
    double d_open; /* per unit of open share */
};

/* wind [m/s]; pressure_difference: difference of the pressure coefficients of the two ends of the roof; leak_area:
 * leaks of the cover [m2 per m2 floor]; open: share of the plane that is slit or gap (0..1). */
struct pinery_house_along pinery_house_along_flow(double wind, double pressure_difference, double leak_area,
                                                  double open);

/* Its value alone, by the resistance 1/open^2 of what the plane leaves open. */
double pinery_house_along_through(double wind, double pressure_difference, double leak_area, double resistance);

/* Leak area of the cover [m2 per m2 floor] that passes the leakage [m3/(m2 floor s) per m/s] under that difference. */
double pinery_house_leak_area(double leakage, double pressure_difference);

/* Temperature of the crop air along the house. */
struct pinery_house_ends {
    double difference;                                     /* K, warm end minus cold end */
    double deficit;                                        /* K, mean minus cold end */
    double d_deficit_crop, d_deficit_roof, d_deficit_flow; /* per K, K, m3/(m2 s) */
};

/* flow: exchange as above [m3/(m2 s)]; T_crop: mean of the crop air; T_roof: air that falls in; conductance: from the
 * crop air to everything that warms it evenly along the house, pipes, canopy, floor, cloth [W/(m2 K)]; length, height
 * of the crop air [m]; mixing: speed of the air that wanders to and fro along the house [m/s], raised by circulation
 * fans. */
struct pinery_house_ends pinery_house_along_ends(double flow, double T_crop, double T_roof, double conductance,
                                                 double length, double height, double mixing);

#endif
