/* Crops. Values that are not named here are the defaults of PINERY_CROP_FIELDS.
 *
 * Stomata: wide open 82 s/m for tomato, Stanghellini 1987, thesis Wageningen (number from memory). At night 500 to 2000
 * s/m for vegetables, 2000 to 5000 for foliage and flowers, 20 000 in one crop: Seginer, Kantz, Levav and Peiper 1990;
 * the place of a crop within its range has no source. Leaf area and width are growers' orders of size. */
#include "house/presets.h"

#define STANGHELLINI "Stanghellini 1987, tomato; " PINERY_FROM_MEMORY
#define OPEN "near Stanghellini's tomato; no better source, " PINERY_FROM_MEMORY
#define VEGETABLE "vegetables 500 to 2000 s/m, Seginer et al. 1990"
#define FLOWER "foliage and flowers 2000 to 5000 s/m, Seginer et al. 1990"
#define LIT "below Seginer's range for flowers: stomata of a crop lit 18 h a day close badly; " PINERY_FROM_MEMORY
#define SHADE "plants of the shade, 4 to 10 umol/(m2 s) in full light; " PINERY_FROM_MEMORY
#define SIZE PINERY_PRACTICE

static const struct pinery_house_preset crops[] = {
    /* Planted in the middle of December, topped in autumn, cleared at the end of November. */
    {.name = "tomato",
     .value = {{"leaf_area", 3.0, SIZE},
               {"lower_share", 0.35, SIZE},
               {"leaf_width", 0.05, SIZE},
               {"resistance_min", 82, STANGHELLINI},
               {"resistance_night", 1500, VEGETABLE}},
     .points = 7,
     .calendar = {{1, 0.5}, {45, 1.8}, {80, 3.0}, {300, 3.0}, {325, 2.0}, {334, 0.2}, {348, 0.2}}},
    {.name = "lit tomato", .like = "tomato", .value = {{"resistance_night", 1000, VEGETABLE}}, .points = 0},
    {.name = "cucumber",
     .value = {{"leaf_area", 3.2, SIZE},
               {"lower_share", 0.4, SIZE},
               {"leaf_width", 0.15, SIZE},
               {"resistance_min", 80, OPEN},
               {"resistance_night", 1000, VEGETABLE}}},
    /* Planted at the New Year, in the middle of May and in the middle of August, each full grown after five weeks, and
     * a week between two; cleared at the end of November. (Common practice, no source.) */
    {.name = "cucumber, three plantings",
     .like = "cucumber",
     .points = 13,
     .calendar = {{1, 0.3},
                  {36, 3.2},
                  {128, 3.2},
                  {130, 0.1},
                  {136, 0.3},
                  {171, 3.2},
                  {219, 3.2},
                  {221, 0.1},
                  {227, 0.3},
                  {262, 3.2},
                  {330, 2.5},
                  {334, 0.1},
                  {362, 0.1}}},
    /* Planted in the middle of December, cleared in the middle of November. */
    {.name = "sweet pepper",
     .value = {{"leaf_area", 5.0, SIZE},
               {"lower_share", 0.45, SIZE},
               {"leaf_width", 0.07, SIZE},
               {"resistance_min", 90, OPEN},
               {"resistance_night", 1500, VEGETABLE}},
     .points = 7,
     .calendar = {{1, 0.5}, {60, 2.0}, {120, 4.5}, {180, 5.5}, {310, 5.0}, {320, 0.2}, {348, 0.2}}},
    {.name = "cut rose",
     .value = {{"leaf_area", 3.0, SIZE},
               {"lower_share", 0.6, "bent layer below; " SIZE},
               {"leaf_width", 0.04, SIZE},
               {"resistance_min", 100, OPEN},
               {"resistance_night", 1500, LIT}}},
    {.name = "gerbera",
     .value = {{"leaf_area", 3.0, SIZE},
               {"lower_share", 0.8, SIZE},
               {"leaf_width", 0.08, SIZE},
               {"resistance_min", 100, OPEN},
               {"resistance_night", 2000, FLOWER}}},
    {.name = "chrysanthemum",
     .value = {{"leaf_area", 3.5, "mean of beds of all ages; " SIZE},
               {"lower_share", 0.8, SIZE},
               {"leaf_width", 0.05, SIZE},
               {"resistance_min", 100, OPEN},
               {"resistance_night", 2000, FLOWER}}},
    {.name = "alstroemeria",
     .value = {{"leaf_area", 4.0, SIZE},
               {"lower_share", 0.6, SIZE},
               {"leaf_width", 0.03, SIZE},
               {"resistance_min", 110, OPEN},
               {"resistance_night", 2000, FLOWER}}},
    {.name = "lisianthus",
     .value = {{"leaf_area", 2.5, "mean of beds of all ages; " SIZE},
               {"lower_share", 0.8, SIZE},
               {"leaf_width", 0.04, SIZE},
               {"resistance_min", 110, OPEN},
               {"resistance_night", 2500, FLOWER}}},
    {.name = "pot plants",
     .value = {{"leaf_area", 2.5, SIZE},
               {"lower_share", 0.6, "on tables; " SIZE},
               {"leaf_width", 0.06, SIZE},
               {"resistance_min", 200, PINERY_FROM_MEMORY},
               {"leaf_uptake", 0.4e-6, SHADE},
               {"resistance_night", 3000, FLOWER}}},
    /* Opens at night, but little; treated as nearly shut at all hours. */
    {.name = "pot orchid",
     .value = {{"leaf_area", 1.5, SIZE},
               {"lower_share", 0.6, "on tables; " SIZE},
               {"leaf_width", 0.08, SIZE},
               {"leaf_mass", 1.2, "thick leaves; " PINERY_FROM_MEMORY},
               {"resistance_min", 800, PINERY_FROM_MEMORY},
               {"leaf_uptake", 0.2e-6, SHADE},
               {"resistance_night", 1500, PINERY_FROM_MEMORY}}},
    {.name = "lettuce",
     .value = {{"leaf_area", 2.0, "mean of beds of all ages; " SIZE},
               {"lower_share", 0.95, SIZE},
               {"leaf_width", 0.10, SIZE},
               {"resistance_min", 100, OPEN},
               {"resistance_night", 1000, VEGETABLE}}},
    {.name = "pot herbs",
     .value = {{"leaf_area", 2.5, SIZE},
               {"lower_share", 0.8, "on tables; " SIZE},
               {"leaf_width", 0.03, SIZE},
               {"resistance_min", 100, OPEN},
               {"resistance_night", 1200, VEGETABLE}}},
};

const struct pinery_house_presets pinery_house_crops = {"crop", crops, (int)(sizeof crops / sizeof crops[0])};
