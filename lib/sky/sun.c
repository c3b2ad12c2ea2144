/* Sun position.
 *
 * Earth's heliocentric longitude and latitude from the leading terms of VSOP87 (Bretagnon & Francou 1988, Astron.
 * Astrophys. 202:309; the list as in Meeus, Astronomical Algorithms, appendix III: every term of 1e-6 rad or more),
 * nutation by its four largest terms (Meeus ch. 22: 0.5 arc seconds), aberration, mean obliquity and sidereal time (IAU
 * 1980/1982, Meeus ch. 12, 22, 25). The terms left out add up to about 2e-6 rad root mean square, so the position is
 * good to about 3e-4 deg between 1950 and 2050; parallax in elevation is included, refraction is not. Terrestrial time
 * runs 67 s ahead of universal time here: the truth is 64 to 70 s between 2000 and 2030, and a second is worth 1e-5
 * deg. */
#include "sky/sun.h"

#include <math.h>

#define PI 3.14159265358979323846
#define RAD (PI / 180.0)
#define DAY_S 86400.0
#define TYPICAL_YEAR 2005
#define TERRESTRIAL_AHEAD_S 67.0

struct term {
    double amplitude, phase, frequency; /* 1e-8 rad, rad, rad per thousand years */
};

static const struct term longitude_0[] = {
    {175347046, 0, 0},           {3341656, 4.6692568, 6283.07585},
    {34894, 4.6261, 12566.1517}, {3497, 2.7441, 5753.3849},
    {3418, 2.8289, 3.5231},      {3136, 3.6277, 77713.7715},
    {2676, 4.4181, 7860.4194},   {2343, 6.1352, 3930.2097},
    {1324, 0.7425, 11506.7698},  {1273, 2.0371, 529.691},
    {1199, 1.1096, 1577.3435},   {990, 5.233, 5884.927},
    {902, 2.045, 26.298},        {857, 3.508, 398.149},
    {780, 1.179, 5223.694},      {753, 2.533, 5507.553},
    {505, 4.583, 18849.228},     {492, 4.205, 775.523},
    {357, 2.92, 0.067},          {317, 5.849, 11790.629},
    {284, 1.899, 796.298},       {271, 0.315, 10977.079},
    {243, 0.345, 5486.778},      {206, 4.806, 2544.314},
    {205, 1.869, 5573.143},      {202, 2.458, 6069.777},
    {156, 0.833, 213.299},       {132, 3.411, 2942.463},
    {126, 1.083, 20.775},        {115, 0.645, 0.98},
    {103, 0.636, 4694.003},      {102, 0.976, 15720.839},
    {102, 4.267, 7.114},
};
static const struct term longitude_1[] = {
    {628331966747, 0, 0}, {206059, 2.678235, 6283.07585}, {4303, 2.6351, 12566.1517}, {425, 1.59, 3.523}};
static const struct term longitude_2[] = {{52919, 0, 0}, {8720, 1.0721, 6283.0758}};
static const struct term latitude_0[] = {{280, 3.199, 84334.662}, {102, 5.422, 5507.553}};
static const struct term distance_0[] = {
    {100013989, 0, 0}, {1670700, 3.0984635, 6283.07585}, {13956, 3.05525, 12566.1517}, {3084, 5.1985, 77713.7715}};
static const struct term distance_1[] = {{103019, 1.10749, 6283.07585}};

#define SUM(terms, millennia) sum(terms, (int)(sizeof(terms) / sizeof(terms[0])), millennia)

static double sum(const struct term *term, int n, double millennia) {
    double total = 0;
    for (int i = 0; i < n; i++)
        total += term[i].amplitude * cos(term[i].phase + term[i].frequency * millennia);
    return 1e-8 * total;
}

/* Days from the epoch J2000 (1 January 2000, 12 h) to 1 January 00:00 of a year of the Gregorian calendar. */
static double days_to_year(int year) {
    int before = (year == 0 ? TYPICAL_YEAR : year) - 1;
    return 365.0 * before + before / 4 - before / 100 + before / 400 - 730119.5;
}

static double distance_at(double millennia) {
    return SUM(distance_0, millennia) + millennia * SUM(distance_1, millennia);
}

struct pinery_sky_orbit pinery_sky_orbit_at(double longitude_deg, double utc_offset_h, double time_s, int year) {
    double universal = days_to_year(year) + (time_s - 3600.0 * utc_offset_h) / DAY_S;
    double century = (universal + TERRESTRIAL_AHEAD_S / DAY_S) / 36525.0;
    double t = 0.1 * century;
    double distance = distance_at(t);

    /* nutation and obliquity */
    double node = RAD * (125.04452 - 1934.136261 * century);
    double sun = 2 * RAD * (280.4665 + 36000.7698 * century);
    double moon = 2 * RAD * (218.3165 + 481267.8813 * century);
    double nutation = RAD / 3600.0 * (-17.20 * sin(node) - 1.32 * sin(sun) - 0.23 * sin(moon) + 0.21 * sin(2 * node));
    double obliquity =
        RAD / 3600.0 *
        (84381.448 - 46.8150 * century + 9.20 * cos(node) + 0.57 * cos(sun) + 0.10 * cos(moon) - 0.09 * cos(2 * node));

    double heliocentric = SUM(longitude_0, t) + t * (SUM(longitude_1, t) + t * SUM(longitude_2, t));
    double aberration = -20.4898 / 3600.0 * RAD / distance;
    double lambda = heliocentric + PI + nutation + aberration;
    double beta = -SUM(latitude_0, t);

    double ascension = atan2(sin(lambda) * cos(obliquity) - tan(beta) * sin(obliquity), cos(lambda));
    double sidereal_deg = 280.46061837 + 360.98564736629 * universal + 0.000387933 * century * century;
    double hour_angle = RAD * (sidereal_deg + longitude_deg) + nutation * cos(obliquity) - ascension;

    struct pinery_sky_orbit orbit;
    orbit.declination = asin(sin(beta) * cos(obliquity) + cos(beta) * sin(obliquity) * sin(lambda));
    orbit.hour_angle = remainder(hour_angle, 2 * PI);
    orbit.distance = distance;
    return orbit;
}

/* Azimuth of a direction given by its parts to the east and to the north. */
static double azimuth_of(double east, double north) {
    double azimuth = atan2(east, north) / RAD;
    return azimuth < 0 ? azimuth + 360.0 : azimuth;
}

void pinery_sky_sun_position(double latitude_deg, double longitude_deg, double utc_offset_h, double time_s, int year,
                             double *elevation_deg, double *azimuth_deg) {
    struct pinery_sky_orbit orbit = pinery_sky_orbit_at(longitude_deg, utc_offset_h, time_s, year);
    double sin_lat = sin(RAD * latitude_deg), cos_lat = cos(RAD * latitude_deg);
    double sin_dec = sin(orbit.declination), cos_dec = cos(orbit.declination);
    double up = sin_lat * sin_dec + cos_lat * cos_dec * cos(orbit.hour_angle);
    double east = -cos_dec * sin(orbit.hour_angle);
    double north = cos_lat * sin_dec - sin_lat * cos_dec * cos(orbit.hour_angle);
    double across = hypot(east, north);
    double parallax_deg = 8.794 / 3600.0 / orbit.distance * across; /* seen from the surface, not from the centre */
    *elevation_deg = atan2(up, across) / RAD - parallax_deg;
    *azimuth_deg = azimuth_of(east, north);
}

bool pinery_sky_sun_mean(double latitude_deg, double longitude_deg, double utc_offset_h, double start_s,
                         double length_s, int year, double *elevation_deg, double *azimuth_deg,
                         double *sin_elevation_mean) {
    /* declination and equation of time of mid-interval hold for the whole of it */
    struct pinery_sky_orbit orbit = pinery_sky_orbit_at(longitude_deg, utc_offset_h, start_s + 0.5 * length_s, year);
    double sin_lat = sin(RAD * latitude_deg), cos_lat = cos(RAD * latitude_deg);
    double sin_dec = sin(orbit.declination), cos_dec = cos(orbit.declination);
    double half = PI * length_s / DAY_S;
    double begin = orbit.hour_angle - half, end = orbit.hour_angle + half;

    /* up = a + b cos h, north = c - d cos h, east = -cos_dec sin h */
    double a = sin_lat * sin_dec, b = cos_lat * cos_dec, c = cos_lat * sin_dec, d = sin_lat * cos_dec;
    double sunset = a >= b ? PI : a <= -b ? 0.0 : acos(-a / b);

    double sum_up = 0, up = 0, north = 0, east = 0;
    for (int turn = -1; turn <= 1; turn++) {
        double from = fmax(begin, 2 * PI * turn - sunset), to = fmin(end, 2 * PI * turn + sunset);
        if (from >= to)
            continue;
        double h = to - from;
        double sin_from = sin(from), cos_from = cos(from), sin_to = sin(to), cos_to = cos(to);
        double cosines = sin_to - sin_from;                                 /* integral of cos h */
        double sines = cos_from - cos_to;                                   /* of sin h */
        double squares = 0.5 * (h + sin_to * cos_to - sin_from * cos_from); /* of cos^2 h */
        double products = 0.5 * (sin_to * sin_to - sin_from * sin_from);    /* of sin h cos h */
        sum_up += a * h + b * cosines;
        up += a * a * h + 2 * a * b * cosines + b * b * squares;
        north += a * c * h + (b * c - a * d) * cosines - b * d * squares;
        east -= cos_dec * (a * sines + b * products);
    }
    /* a sliver of sun below rounding is night */
    if (!(sum_up > 1e-12 * half)) {
        double cos_h = cos(orbit.hour_angle);
        east = -cos_dec * sin(orbit.hour_angle);
        north = c - d * cos_h;
        *elevation_deg = fmin(0.0, atan2(a + b * cos_h, hypot(east, north)) / RAD);
        *azimuth_deg = azimuth_of(east, north);
        *sin_elevation_mean = 0.0;
        return false;
    }
    *elevation_deg = atan2(up, hypot(east, north)) / RAD;
    *azimuth_deg = azimuth_of(east, north);
    *sin_elevation_mean = sum_up / (2 * half);
    return true;
}

double pinery_sky_extraterrestrial_normal(double time_s) {
    double distance = distance_at((days_to_year(0) + time_s / DAY_S) / 365250.0);
    return PINERY_SKY_SOLAR_CONSTANT / (distance * distance);
}

/* The instant of the day at which the sun's centre passes -0.8333 deg, before (side -1) or after (+1) noon;
 * a round leaves some thousandths of its step, but where the sun hardly rises or sets. */
static bool passage(double latitude_deg, double longitude_deg, double utc_offset_h, double noon_s, int year, int side,
                    double *time_s) {
    double when = noon_s, lat = RAD * latitude_deg;
    for (int i = 0; i < 5; i++) {
        struct pinery_sky_orbit orbit = pinery_sky_orbit_at(longitude_deg, utc_offset_h, when, year);
        double cosine = (sin(-0.8333 * RAD) - sin(lat) * sin(orbit.declination)) / (cos(lat) * cos(orbit.declination));
        if (!(fabs(cosine) <= 1))
            return false;
        double step = remainder(side * acos(cosine) - orbit.hour_angle, 2 * PI) * DAY_S / (2 * PI);
        when += step;
        if (fabs(step) < 1.0)
            break;
    }
    *time_s = when;
    return true;
}

bool pinery_sky_sunrise(double latitude_deg, double longitude_deg, double utc_offset_h, double day_start_s, int year,
                        double *rise_s, double *set_s) {
    double midday_s = day_start_s + 0.5 * DAY_S;
    struct pinery_sky_orbit orbit = pinery_sky_orbit_at(longitude_deg, utc_offset_h, midday_s, year);
    double noon_s = midday_s - orbit.hour_angle * DAY_S / (2 * PI);
    if (passage(latitude_deg, longitude_deg, utc_offset_h, noon_s, year, -1, rise_s) &&
        passage(latitude_deg, longitude_deg, utc_offset_h, noon_s, year, 1, set_s))
        return true;
    *rise_s = *set_s = NAN;
    return false;
}
