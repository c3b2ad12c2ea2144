/* Prints moist air as the library has it, over a grid of temperatures, humidities and pressures, for the scripts beside
 * this file to set against other libraries. */
#include <stdio.h>

#include "air/psychro.h"

int main(void) {
    static const double humidity[] = {0.1, 0.35, 0.6, 0.8, 0.95, 1.0}, pressure[] = {70e3, 89875, 101325, 104e3};
    puts("temperature,humidity,pressure,saturation,vapour,ratio,enthalpy,dew_point,wet_bulb,deficit,density");
    for (double t = -30; t <= 50; t += 2.5)
        for (size_t h = 0; h < sizeof humidity / sizeof *humidity; h++)
            for (size_t p = 0; p < sizeof pressure / sizeof *pressure; p++) {
                double e = pinery_air_vapour_pressure(t, humidity[h]), P = pressure[p];
                double ratio = pinery_air_humidity_ratio(e, P);
                double moist = pinery_air_dry_density(t, e, P) + pinery_air_absolute_humidity(t, e);
                printf("%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g\n", t, humidity[h], P,
                       pinery_air_saturation_pressure(t), e, ratio, pinery_air_enthalpy(t, ratio),
                       pinery_air_dew_point(e), pinery_air_wet_bulb(t, e, P), pinery_air_vapour_deficit(t, e), moist);
            }
    return 0;
}
