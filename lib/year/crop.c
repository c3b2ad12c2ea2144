/* The crop on a day: leaf area and height of its calendar, straight between two points, round the year of 365 or 366
 * days; and how the leaf area is split between lower and upper air.
 *
 * Leaves are spread evenly over the height where the calendar has one, so that the lower air has split height/height of
 * them; where it has none, `lower_share`. An empty house keeps a hundredth of a m2 of leaves that take up light and
 * heat but do not transpire, so that no division is by nothing. */
#include "year/model.h"

#include <math.h>

#include "crop/canopy.h"

static const double least = 0.01;

static bool has_heights(const pinery_crop *crop) {
    for (int i = 0; i < crop->points; i++)
        if (crop->calendar[i].height > 0.0)
            return true;
    return false;
}

static double split(const pinery_house *house, double height) {
    const double fewest = 0.02, most = 0.98; /* as lower_share */
    if (!has_heights(&house->crop))
        return house->crop.lower_share;
    return height * most > house->split_height ? fmax(fewest, house->split_height / height) : most;
}

void pinery_year_crop_at(const pinery_house *house, double year_days, double time_s, struct pinery_year_crop *now) {
    const pinery_crop *crop = &house->crop;
    double area = crop->leaf_area, height = 0.0;
    if (crop->points > 0) {
        double days = time_s / 86400.0; /* a run may go over the New Year, and its spin-up begin before it */
        double day = days - year_days * floor(days / year_days) + 1.0;
        const pinery_crop_point *point = crop->calendar;
        int n = crop->points, next = 0;
        while (next < n && point[next].day <= day)
            next++;
        const pinery_crop_point *a = &point[(next + n - 1) % n], *b = &point[next % n];
        double span = b->day - a->day + (b->day <= a->day ? year_days : 0.0);
        double into = day - a->day + (day < a->day ? year_days : 0.0);
        double share = n > 1 ? into / span : 0.0;
        area = a->leaf_area + (b->leaf_area - a->leaf_area) * share;
        height = a->height + (b->height - a->height) * share;
    }
    struct pinery_crop_leaf_area layer = pinery_crop_canopy_layers(area > least ? area : least, split(house, height));
    *now = (struct pinery_year_crop){.area = area, .height = height, .leaf = {layer.lower, layer.upper}};
}

double pinery_year_crop_bend(const pinery_house *house, double year_days, double time_s) {
    const pinery_crop *crop = &house->crop;
    double days = time_s / 86400.0, first = year_days * floor(days / year_days) - 1.0, next = INFINITY;
    if (crop->points < 2) /* a single point holds all year */
        return INFINITY;
    for (int i = 0; i < 2 * crop->points; i++) { /* this year's and the next one's */
        double at = first + crop->calendar[i % crop->points].day + (i < crop->points ? 0.0 : year_days);
        next = at > days && at < next ? at : next;
    }
    return 86400.0 * next;
}
