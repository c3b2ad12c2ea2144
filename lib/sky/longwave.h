/* Long-wave radiation from the sky. */
#ifndef PINERY_SKY_LONGWAVE_H
#define PINERY_SKY_LONGWAVE_H

/* X(name, doc): clear-sky emissivities by name, in the order of pinery_sky_clear_model. */
#define PINERY_SKY_CLEAR_MODELS(X)                                                                    \
    X(brutsaert, "Brutsaert 1975, Water Resour. Res. 11:742 (the default)")                           \
    X(swinbank, "Swinbank 1963, Q. J. R. Meteorol. Soc. 89:339, as sky temperature 0.0552 T^1.5")     \
    X(brunt, "Brunt 1932, Q. J. R. Meteorol. Soc. 58:389, 0.52 + 0.065 sqrt(e/hPa)")                  \
    X(idso_jackson, "Idso & Jackson 1969, J. Geophys. Res. 74:5397")                                  \
    X(berdahl_martin, "Berdahl & Martin 1984, Solar Energy 32:663, with the term of the hour")        \
    X(berdahl_fromberg, "Berdahl & Fromberg 1982, Solar Energy 29:299, night")                        \
    X(fao56, "Allen et al. 1998, FAO paper 56 eq. 39: its net loss read as a sky at air temperature") \
    X(clark_allen, "Clark & Allen 1978, 2nd National Passive Solar Conference 2:675")                 \
    X(idso, "Idso 1981, Water Resour. Res. 17:295, whole spectrum")

enum pinery_sky_clear_model {
#define X(name, doc) PINERY_SKY_CLEAR_##name,
    PINERY_SKY_CLEAR_MODELS(X)
#undef X
        PINERY_SKY_CLEAR_N
};

/* X(name, doc): what clouds add. */
#define PINERY_SKY_CLOUD_MODELS(X)                                                                 \
    X(unsworth_monteith, "Unsworth & Monteith 1975, Q. J. R. Meteorol. Soc. 101:13 (the default)") \
    X(walton, "Walton 1983, NBSSR 83-2655, a cubic in tenths, meant for clark_allen")

enum pinery_sky_cloud_model {
#define X(name, doc) PINERY_SKY_CLOUD_##name,
    PINERY_SKY_CLOUD_MODELS(X)
#undef X
        PINERY_SKY_CLOUD_N
};

/* Emissivity of the clear sky, 0 .. 1, by temperature and vapour pressure (Pa) at screen height and the hour of the day
 * (used by berdahl_martin alone). */
double pinery_sky_clear_emissivity(enum pinery_sky_clear_model model, double temperature_degC, double vapour_pressure,
                                   double hour);
/* The same under a cloud fraction of 0 .. 1. */
double pinery_sky_cloudy_emissivity(enum pinery_sky_cloud_model model, double clear_emissivity, double cloud_fraction);

/* Long-wave radiation from the sky on the horizontal, W/m2, by the two default models. */
double pinery_sky_infrared(double temperature_degC, double vapour_pressure, double cloud_fraction);
/* The cloud fraction at which pinery_sky_infrared gives this radiation, limited to 0 .. 1. */
double pinery_sky_cloud_of_infrared(double temperature_degC, double vapour_pressure, double infrared);
/* Temperature of a black sky that radiates this much, degC. */
double pinery_sky_temperature(double infrared);

/* Share of the sky covered by cloud from the clearness index of daylight: Kasten & Czeplak 1980, Solar Energy 24:177,
 * G/G_clear = 1 - 0.75 N^3.4 (from memory, unverified), with the clear-sky index given. */
double pinery_sky_cloud_of_clear_index(double clear_index);

#endif
