/* sim/verify/crowns.c - light and sky inside our own crowns, by rays through their voxels, beside what was measured in
 * tart cherry trees.
 *
 * The trees are grown from a scenario: size and leaf area as of the felled trees of the measured block, all else by
 * default. A ray passes with exp(-(C G_l L + W / 2)): L and W the leaf and wood area that it meets, G_l the projection
 * of leaves, C canopy.clumping. Light: four fifths of it from a sun 65 deg high (July, about noon at 41
 * deg N; memory), from any azimuth, the rest from the whole sky; leaves scatter 0.15 of it, which counts as leaves
 * that dim it by sqrt(0.85) of their area (Goudriaan 1977; memory). Sky: the analyser's five rings and weights (memory)
 * and no scattering. Left out: single flecks of sun. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "drupelet/scenario.h"
#include "orchard/orchard.h"
#include "verify/checks.h"

/* Mean leaf area of the trees whose leaves were gathered in nets and from the floor: 54 m2 on 5 by 6 m (memory: usual
 * distances of tart cherry). */
static const char BLOCK[] =
    "orchard: {rows: 5, row_spacing: 6 m, tree_spacing: 5 m, trees: 4}\n"
    "canopy: {crown: globe, height: 4.8 m, base: 0.6 m, width: 6 m, leaf_area_index: 1.81, voxel: 0.25 m}\n"
    "tips: {cone: {kind: hollow_cone, size: 04}}\n"
    "sprayer:\n"
    "  travel_speed: 5 km/h\n"
    "  fan: {reference_speed: 500 rpm, reference_flow: 5 m3/s, reference_power: 12 kW}\n"
    "  outlets: [{kind: arc, centre_height: 1 m, radius: 0.5 m, from: 0 deg, to: 60 deg, slot: 150 mm}]\n"
    "  pressure: 8 bar\n"
    "  nozzles: [{tip: cone, offset: 0.5 m, height: 1.2 m, angle: 20 deg}]\n"
    "weather: {temperature: 15 degC, relative_humidity: 70 %, wind_speed: 2 m/s}\n";

enum {
    LEVELS = 2,
    POINTS = 8,
    SENSORS = 6,
    SUNS = 4,
    ROW_FIRST = 1,
    ROWS = 3,
    TREES = 4,
    VIEWS = 4,
    RINGS = 5,
    AZIMUTHS = 6
};
static const double LIGHT_HEIGHT_M[LEVELS] = {1.0, 1.9}; /* waist; arm's reach (choice) */
static const double SKY_HEIGHT_M[LEVELS] = {0.8, 1.6};   /* choice */
#define SENSOR_STEP_M 0.1                                /* along the meter (memory: six sensors on half a metre) */
#define OUTERMOST_M 0.3                                  /* of the sensors, from the crown's edge; choice */
#define OFF_TRUNK_M 0.7                                  /* of the analyser; choice */
#define VIEW_DEG 90.0 /* of the analyser, outward from the trunk: usual in single trees (memory), not told */
#define SUN_OFF_ZENITH_DEG 25.0
#define SUN_SHARE 0.8  /* of the light, on a clear day; memory */
#define DIMMED_BY 0.92 /* sqrt(0.85) */
#define FAR_M 60.0
/* Rings of the analyser: middle, weight in the index, weight in the sky fraction (memory) */
static const double RING_DEG[RINGS] = {7.0, 23.0, 38.0, 53.0, 68.0},
                    OF_INDEX[RINGS] = {0.034, 0.104, 0.160, 0.218, 0.494},
                    OF_SKY[RINGS] = {0.066, 0.189, 0.247, 0.249, 0.249};
#define RANGE_OF_FOUR 2.06 /* range of four normal numbers over their standard deviation (Tippett 1925; memory) */

typedef struct {
    double light[LEVELS][2], index[LEVELS], sky[LEVELS], unlike[LEVELS];
} seen; /* light: outer, centre */

static double passes(const drupelet_scenario *s, const orchard_canopy *c, const double at[3], double off_zenith_rad,
                     double azimuth_rad, double dimmed_by)
{
    const double sine = base_sin(off_zenith_rad);
    const double to[3] = {sine * base_cos(azimuth_rad), sine * base_sin(azimuth_rad), base_cos(off_zenith_rad)};
    const orchard_layers met = orchard_layers_along(c, at, to, FAR_M);
    const double leaves = s->canopy.clumping * droplet_leaf_projection(s->canopy.leaf_angle_ratio, off_zenith_rad);
    return base_exp(-dimmed_by * (leaves * met.leaf + 0.5 * met.wood));
}

/* A ring of the sky. @param from_deg, view_deg  first azimuth, and how many degrees of the ring are open */
static double ring(const drupelet_scenario *s, const orchard_canopy *c, const double at[3], int i, double dimmed_by,
                   double from_deg, double view_deg)
{
    double sum = 0.0;
    for (int k = 0; k < AZIMUTHS; k++)
        sum += passes(s, c, at, RING_DEG[i] * BASE_DEGREE, (from_deg + (k + 0.5) * view_deg / AZIMUTHS) * BASE_DEGREE,
                      dimmed_by);
    return sum / AZIMUTHS;
}

static double light_at(const drupelet_scenario *s, const orchard_canopy *c, const double at[3])
{
    double sun = 0.0, sky = 0.0;
    for (int k = 0; k < SUNS; k++)
        sun += passes(s, c, at, SUN_OFF_ZENITH_DEG * BASE_DEGREE, (k + 0.5) * 360.0 / SUNS * BASE_DEGREE, DIMMED_BY)
               / SUNS;
    for (int i = 0; i < RINGS; i++)
        sky += OF_SKY[i] * ring(s, c, at, i, DIMMED_BY, 0.0, 360.0);
    return SUN_SHARE * sun + (1.0 - SUN_SHARE) * sky;
}

/* Radius of the crown at a height. */
static double edge_m(const drupelet_scenario *s, double height_m)
{
    double r_m = 0.0;
    while (orchard_crown_density(&s->canopy, s->orchard.tree_spacing_m, r_m, 0.0, height_m) > 0.0)
        r_m += 0.01;
    return r_m;
}

/* Adds a tree's places at one height. */
static void see_tree(const drupelet_scenario *s, const orchard_canopy *c, int row, int tree, int level, seen *sum)
{
    const double x_m = -row * c->row_spacing_m, y_m = (tree + 0.5) * s->orchard.tree_spacing_m;
    const double z_m = LIGHT_HEIGHT_M[level], per_tree = 1.0 / (ROWS * TREES);
    const double outermost_m = edge_m(s, z_m) - OUTERMOST_M;
    for (int k = 0; k <= POINTS; k++) {
        const bool centre = k == POINTS;
        const double angle = k * 360.0 / POINTS * BASE_DEGREE;
        for (int i = 0; i < SENSORS; i++) {
            const double r_m = centre ? SENSOR_STEP_M * (i - 0.5 * (SENSORS - 1)) : outermost_m - SENSOR_STEP_M * i;
            const double at[3] = {x_m + r_m * base_cos(angle), y_m + r_m * base_sin(angle), z_m};
            sum->light[level][centre] += light_at(s, c, at) * per_tree / (centre ? SENSORS : SENSORS * POINTS);
        }
    }
    double sky[VIEWS], mean = 0.0, squares = 0.0;
    for (int k = 0; k < VIEWS; k++) {
        const double angle = k * 360.0 / VIEWS * BASE_DEGREE;
        const double at[3] = {x_m + OFF_TRUNK_M * base_cos(angle), y_m + OFF_TRUNK_M * base_sin(angle),
                              SKY_HEIGHT_M[level]};
        sky[k] = 0.0;
        for (int i = 0; i < RINGS; i++) {
            const double through = ring(s, c, at, i, 1.0, k * 360.0 / VIEWS - 0.5 * VIEW_DEG, VIEW_DEG);
            sky[k] += OF_SKY[i] * through;
            sum->index[level] -=
                2.0 * OF_INDEX[i] * base_log(through) * base_cos(RING_DEG[i] * BASE_DEGREE) * per_tree / VIEWS;
        }
        mean += sky[k] / VIEWS;
    }
    for (int k = 0; k < VIEWS; k++)
        squares += (sky[k] - mean) * (sky[k] - mean) / (VIEWS - 1);
    sum->sky[level] += mean * per_tree;
    sum->unlike[level] += sqrt(squares) / mean * per_tree;
}

/* Of the rows of a table with a word in a column, and another in another: mean, least and most of a number. */
typedef struct {
    double mean, least, most;
} spread;

static spread spread_of(const verify_table *t, const char *level_column, const char *level, const char *place,
                        const char *column)
{
    spread of = {0.0, INFINITY, -INFINITY};
    int n = 0;
    for (int i = 0; i < verify_table_rows(t); i++) {
        if (strcmp(verify_table_text(t, i, level_column), level) != 0
            || (place && strcmp(verify_table_text(t, i, "place"), place) != 0))
            continue;
        const double value = verify_table_number(t, i, column);
        of = (spread){of.mean + value, fmin(of.least, value), fmax(of.most, value)};
        n++;
    }
    of.mean /= n;
    return of;
}

/* Mean over trees of how much a tree's readings of the sky differ, over their mean. */
static double measured_unlike(const verify_table *t, const char *level)
{
    double sum = 0.0;
    int n = 0;
    for (int i = 0; i < verify_table_rows(t); i++)
        if (strcmp(verify_table_text(t, i, "level"), level) == 0) {
            sum += (verify_table_number(t, i, "sky_most") - verify_table_number(t, i, "sky_least")) / RANGE_OF_FOUR
                   / verify_table_number(t, i, "sky");
            n++;
        }
    return sum / n;
}

static void compare(verify_list *list, const verify_table *light, const verify_table *sky, const seen *ours)
{
    static const char *const level[LEVELS] = {"low", "mid"}, *const place[2] = {"outer", "centre"};
    for (int k = 0; k < LEVELS; k++) {
        verify_compare(list, "crowns.index", spread_of(sky, "level", level[k], NULL, "effective_plant_area_index").mean,
                       ours->index[k], "effective plant area index, %s", level[k]);
        verify_compare(list, "crowns.sky", spread_of(sky, "level", level[k], NULL, "sky").mean, ours->sky[k],
                       "sky fraction, %s", level[k]);
        verify_compare(list, "crowns.unlike", measured_unlike(sky, level[k]), ours->unlike[k],
                       "the same within a tree, deviation/mean, %s", level[k]);
    }
    for (int p = 0; p < 2; p++)
        for (int k = 0; k < LEVELS; k++) {
            const spread blocks = spread_of(light, "height", level[k], place[p], "light");
            char what[64];
            verify_compare(list, "crowns.light", blocks.mean, ours->light[k][p], "light, %s %s, mean of blocks",
                           place[p], level[k]);
            snprintf(what, sizeof what, "light, %s %s, a block", place[p], level[k]);
            verify_compare_range(list, "crowns.light_of_block", blocks.least, blocks.most, ours->light[k][p], what);
        }
}

drupelet_status verify_crowns(verify_list *list)
{
    verify_table *light = NULL, *sky = NULL;
    drupelet_scenario *s = NULL;
    orchard_canopy *c = NULL;
    drupelet_status status = drupelet_scenario_read_text("tart cherries", BLOCK, sizeof BLOCK - 1, NULL, 0, &s);
    if (status.code == DRUPELET_OK) status = orchard_create(s, &c);
    if (status.code == DRUPELET_OK) status = verify_table_open("crown_light", &light);
    if (status.code == DRUPELET_OK) status = verify_table_open("crown_sky", &sky);
    if (status.code == DRUPELET_OK) {
        seen sum = {0};
        for (int i = 0; i < ROWS * TREES * LEVELS; i++)
            see_tree(s, c, ROW_FIRST + i / LEVELS / TREES, i / LEVELS % TREES, i % LEVELS, &sum);
        compare(list, light, sky, &sum);
    }
    verify_table_free(sky);
    verify_table_free(light);
    orchard_free(c);
    drupelet_scenario_free(s);
    return status;
}
