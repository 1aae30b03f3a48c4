/* sim/store/write.c - what goes into a result file, group by group. docs/result-format.md is the contract: whoever
 * changes a name, a unit or a meaning here changes it there and raises STORE_FORMAT. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/c_locale.h"
#include "base/elementary.h"
#include "base/moist_air.h"
#include "base/status.h"
#include "run/run.h"
#include "store/collectors.h"
#include "store/groups.h"
#include "store/leaves.h"
#include "store/out.h"
#include "store/store.h"
#include "store/warn.h"
#include "tally/drift.h"

#define DEGREES_A_RADIAN (180.0 / BASE_PI)
#define UL_CM2_A_METRE 1e5 /* a layer of 1 m is 1e9 uL over 1e4 cm2 */

/* Shares with their standard errors: two datasets, the second with the ending _standard_error. */
static void put_estimates(store_out *out, const char *name, const char *dimensions, size_t n,
                          const tally_estimate *estimate, double factor, const char *units, const char *long_name)
{
    char error_name[64], error_long_name[256];
    double *value = store_out_memory(out, n, sizeof *value);
    if (!value)
        return;
    for (size_t i = 0; i < n; i++)
        value[i] = factor * estimate[i].share;
    store_out_put(out, name, dimensions, STORE_DOUBLE, value, units, long_name);
    for (size_t i = 0; i < n; i++)
        value[i] = factor * estimate[i].error;
    snprintf(error_name, sizeof error_name, "%s_standard_error", name);
    snprintf(error_long_name, sizeof error_long_name, "standard error of: %s", long_name);
    store_out_put(out, error_name, dimensions, STORE_DOUBLE, value, units, error_long_name);
    free(value);
}

static void put_number(store_out *out, const char *name, double value, const char *units, const char *long_name)
{
    store_out_put(out, name, "", STORE_DOUBLE, &value, units, long_name);
}

/* Middles of n bins. */
static void put_middles(store_out *out, const char *name, int n, double first, double step, const char *axis,
                        const char *long_name)
{
    double *middle = store_out_memory(out, (size_t)n, sizeof *middle);
    if (!middle)
        return;
    for (int i = 0; i < n; i++)
        middle[i] = first + (i + 0.5) * step;
    store_out_axis(out, name, STORE_DOUBLE, (hsize_t)n, middle, "m", axis, long_name);
    free(middle);
}

/* Whole numbers from first on. */
static void put_ordinals(store_out *out, const char *name, int64_t n, int32_t first, const char *long_name)
{
    int32_t *ordinal = store_out_memory(out, (size_t)n, sizeof *ordinal);
    if (!ordinal)
        return;
    for (int64_t i = 0; i < n; i++)
        ordinal[i] = (int32_t)i + first;
    store_out_axis(out, name, STORE_INT32, (hsize_t)n, ordinal, "1", NULL, long_name);
    free(ordinal);
}

static void write_root(store_out *out, const drupelet_result *result)
{
    char title[SCENARIO_TEXT + 64];
    const int32_t format = STORE_FORMAT;
    snprintf(title, sizeof title, "Where the spray went: %s", result->scenario->name);
    store_out_note(out, NULL, "Conventions", "drupelet-result-2");
    store_out_note(out, NULL, "title", title);
    store_out_note(out, NULL, "source", "drupelet, simulation of air-assisted orchard spraying");
    store_out_note_number(out, "format_number", H5T_NATIVE_INT32, &format);
    store_out_note(out, NULL, "program_version", drupelet_version());
    store_out_note_number(out, "seed", H5T_NATIVE_UINT64, &result->seed);
    store_out_note_number(out, "n_droplets", H5T_NATIVE_INT64, &result->n_droplets);
    store_out_note_number(out, "n_steps", H5T_NATIVE_INT64, &result->n_steps);
    if (result->aim.wanted) {
        const int32_t reached = result->aim.reached;
        store_out_note(out, NULL, "target", run_target_name(result->scenario->run.target));
        store_out_note_number(out, "target_error_percent", H5T_NATIVE_DOUBLE, &(double){100.0 * result->aim.asked});
        store_out_note_number(out, "target_error_found_percent", H5T_NATIVE_DOUBLE,
                              &(double){100.0 * result->aim.error});
        store_out_note_number(out, "target_reached", H5T_NATIVE_INT32, &reached);
    }
    const droplet_humidity *h = &result->humidity;
    store_out_note_number(out, "spray_vapour_g_m3", H5T_NATIVE_DOUBLE, &(double){1e3 * h->vapour_kg_m3});
    store_out_note_number(out, "spray_humidity_percent", H5T_NATIVE_DOUBLE, &(double){100.0 * h->relative_humidity});
    store_out_note_number(out, "spray_cooling_K", H5T_NATIVE_DOUBLE, &h->cooling_K);
    store_out_note_number(out, "spray_slower_drying_percent", H5T_NATIVE_DOUBLE, &(double){100.0 * h->slower});
    store_out_note(out, NULL, "caution", drupelet_caution());
    store_out_note(out, NULL, "frame", "x across the rows (row 1 at x = 0, the others at -x), y along the rows, z up");
    store_out_note(out, NULL, "errors",
                   "standard errors of the mean, from 32 independent batches of droplets; they cover the "
                   "sampling of droplets only, not what the model gets wrong");
}

static void write_sizes(store_out *out, const tally *a)
{
    double middle[TALLY_SIZES], low[TALLY_SIZES], high[TALLY_SIZES];
    tally_estimate emitted[TALLY_SIZES];
    tally_estimate *by_size = store_out_memory(out, TALLY_SIZES * TALLY_FATES, sizeof *by_size);
    if (!by_size)
        return;
    for (int i = 0; i < TALLY_SIZES; i++) {
        low[i] = 1e6 * tally_size_edge_m(i);
        high[i] = 1e6 * tally_size_edge_m(i + 1);
        middle[i] = sqrt(low[i] * high[i]);
        emitted[i] = tally_size_emitted(a, i);
        for (int f = 0; f < TALLY_FATES; f++)
            by_size[i * TALLY_FATES + f] = tally_share(a, &a->size_fate[0][i][f], TALLY_SIZES * TALLY_FATES);
    }
    store_out_axis(out, "size", STORE_DOUBLE, TALLY_SIZES, middle, "um", NULL,
                   "emitted diameter, geometric middle of the bin (the outermost bins hold what lies beyond them too)");
    store_out_put(out, "size_low", "size", STORE_DOUBLE, low, "um", "lower edge of the size bin");
    store_out_put(out, "size_high", "size", STORE_DOUBLE, high, "um", "upper edge of the size bin");
    put_estimates(out, "emitted", "size", TALLY_SIZES, emitted, 1.0, "1",
                  "share of the output emitted in the size bin");
    put_estimates(out, "by_size", "size fate", TALLY_SIZES * TALLY_FATES, by_size, 1.0, "1",
                  "share of the output emitted in the size bin that met the fate");
    free(by_size);
}

static void write_fates(store_out *out, const tally *a)
{
    const char *name[TALLY_FATES], *label[TALLY_FATES];
    tally_estimate active[TALLY_FATES], water[TALLY_FATES];
    const tally_estimate evaporated = tally_evaporated(a);
    for (int f = 0; f < TALLY_FATES; f++) {
        name[f] = tally_fate_name((tally_fate)f);
        label[f] = tally_fate_label((tally_fate)f);
        active[f] = tally_share(a, &a->fate[0][f], TALLY_FATES);
        water[f] = tally_water(a, (tally_fate)f);
    }
    store_out_group(out, "fates", "where the active ingredient and the water went");
    store_out_axis(out, "fate", STORE_TEXT, TALLY_FATES, name, NULL, NULL, "fate");
    store_out_put(out, "label", "fate", STORE_TEXT, label, NULL, "fate in words");
    put_estimates(out, "active_ingredient", "fate", TALLY_FATES, active, 1.0, "1",
                  "share of the active ingredient emitted (share of the output)");
    put_estimates(out, "water", "fate", TALLY_FATES, water, 1.0, "1",
                  "water still in the droplets when they met the fate, share of the water emitted");
    put_estimates(out, "evaporated", "", 1, &evaporated, 1.0, "1", "water that evaporated, share of the water emitted");
    write_sizes(out, a);
}

/* The fields are written row by row, so that no second copy of them is needed. */
static void write_voxels(store_out *out, const drupelet_result *result)
{
    const orchard_canopy *c = result->canopy;
    const size_t n = (size_t)c->nz * (size_t)c->ny * (size_t)c->nx; /* of one row */
    const double emitted_m3 = result->sprayer.emitted_per_length_m2 * c->period_m;
    const double voxel_m3 = c->edge_m * c->edge_m * c->edge_y_m;
    store_out_put(out, "leaf_deposit", "row z y x", STORE_DOUBLE, NULL, "1",
                  "deposit on the leaves of a voxel, share of the output");
    store_out_put(
        out, "leaf_deposit_per_leaf_area", "row z y x", STORE_FLOAT, NULL, "uL/cm2",
        "volume of spray as emitted that the leaves of a voxel hold the active ingredient of, over their one-sided "
        "area; not a number where there are no leaves");
    store_out_put(out, "leaf_area_density", "row z y x", STORE_FLOAT, NULL, "m2/m3", "one-sided leaf area per volume");
    store_out_put(out, "wood_area_density", "row z y x", STORE_FLOAT, NULL, "m2/m3",
                  "half the wood's surface per volume");
    double *share = store_out_memory(out, n, sizeof *share);
    float *layer = store_out_memory(out, n, sizeof *layer);
    for (int r = 0; r < c->n_rows && share && layer; r++) {
        const int64_t *parts = result->accounts->voxel + (size_t)r * n;
        const float *density = c->leaf_area_density_1_m + (size_t)r * n;
        for (size_t i = 0; i < n; i++) {
            const double leaf_m2 = (double)density[i] * voxel_m3;
            share[i] = (double)parts[i] / (double)result->accounts->to_emit;
            layer[i] = leaf_m2 > 0.0 ? (float)(UL_CM2_A_METRE * share[i] * emitted_m3 / leaf_m2) : NAN;
        }
        store_out_part(out, "leaf_deposit", STORE_DOUBLE, (hsize_t)r, share);
        store_out_part(out, "leaf_deposit_per_leaf_area", STORE_FLOAT, (hsize_t)r, layer);
        store_out_part(out, "leaf_area_density", STORE_FLOAT, (hsize_t)r, density);
        store_out_part(out, "wood_area_density", STORE_FLOAT, (hsize_t)r, c->wood_area_density_1_m + (size_t)r * n);
    }
    free(layer);
    free(share);
}

static void write_canopy(store_out *out, const drupelet_result *result)
{
    static const char *const THIRD[TALLY_THIRDS] = {"bottom", "middle", "top"};
    static const char *const SIDE[TALLY_SIDES] = {"towards_minus_x", "towards_plus_x"};
    static const char *const LEAF_SIDE[2] = {"lower", "upper"};
    const tally *a = result->accounts;
    const orchard_canopy *c = result->canopy;
    store_out_group(out, "canopy", "leaves and what is on them");
    put_ordinals(out, "row", c->n_rows, 1, "row, counted from the one at x = 0");
    put_middles(out, "z", c->nz, 0.0, c->edge_m, "Z", "height of the voxel's middle above the ground");
    put_middles(out, "y", c->ny, 0.0, c->edge_y_m, "Y",
                "the voxel's middle along the row; the pattern repeats after the last");
    put_middles(out, "x", c->nx, -c->half_width_m, c->edge_m, "X", "the voxel's middle across, from the row line");
    double *row_x_m = store_out_memory(out, (size_t)c->n_rows, sizeof *row_x_m);
    if (row_x_m) {
        for (int r = 0; r < c->n_rows; r++)
            row_x_m[r] = r == 0 ? 0.0 : -r * c->row_spacing_m;
        store_out_put(out, "row_x", "row", STORE_DOUBLE, row_x_m, "m", "place of the row line across");
    }
    free(row_x_m);
    put_number(out, "voxel_edge", c->edge_m, "m", "edge of a voxel across the row and up");
    put_number(out, "voxel_edge_along", c->edge_y_m, "m", "edge of a voxel along the row");
    write_voxels(out, result);

    store_out_axis(out, "third", STORE_TEXT, TALLY_THIRDS, THIRD, NULL, NULL, "third of the crown's height");
    store_out_axis(out, "side", STORE_TEXT, TALLY_SIDES, SIDE, NULL, NULL, "half of the row");
    const size_t n = (size_t)c->n_rows * TALLY_THIRDS * TALLY_SIDES;
    tally_estimate *part = store_out_memory(out, n, sizeof *part);
    if (part) {
        for (size_t i = 0; i < n; i++)
            part[i] = tally_share(a, &a->row[i], (int64_t)n);
        put_estimates(out, "row_deposit", "row third side", n, part, 1.0, "1",
                      "deposit on leaves, share of the output");
    }
    free(part);
    const tally_estimate side[2] = {tally_share(a, &a->leaf_side[0][0], 2), tally_share(a, &a->leaf_side[0][1], 2)};
    store_out_axis(out, "leaf_side", STORE_TEXT, 2, LEAF_SIDE, NULL, NULL, "side of the leaf");
    put_estimates(out, "leaf_side_deposit", "leaf_side", 2, side, 1.0, "1", "deposit on leaves, share of the output");
    store_write_row_sums(out, result);
    store_write_leaves(out, result);
}

/* The numbers of one kind by which drift is told, over an axis of their distances. */
static void write_drift(store_out *out, const tally *a, tally_drift_kind kind, const char *axis, const char *name,
                        const char *long_name)
{
    double distance_m[TALLY_DRIFT_NUMBERS];
    tally_estimate number[TALLY_DRIFT_NUMBERS];
    const int n = tally_drift_count(kind), first = tally_drift_first(kind);
    for (int i = 0; i < n; i++) {
        distance_m[i] = tally_drift_number_at(first + i)->distance_m;
        number[i] = tally_drift(a, first + i);
    }
    store_out_axis(out, axis, STORE_DOUBLE, (hsize_t)n, distance_m, "m", NULL, "distance downwind of the block");
    put_estimates(out, name, axis, (size_t)n, number, 100.0, "percent", long_name);
}

static void write_ground(store_out *out, const tally *a)
{
    const tally_shape *s = &a->shape;
    const size_t n = (size_t)s->n_ground;
    store_out_group(out, "ground", "deposit on the ground and drift");
    double *place_m = store_out_memory(out, 2 * n, sizeof *place_m);
    tally_estimate *of_rate = store_out_memory(out, n, sizeof *of_rate),
                   *of_output = store_out_memory(out, n, sizeof *of_output);
    if (place_m && of_rate && of_output) {
        for (int i = 0; i < s->n_ground; i++) {
            const double low_m = tally_ground_edge_x_m(s, i, 0), high_m = tally_ground_edge_x_m(s, i, 1);
            const double over = tally_rate_over_output(s, high_m - low_m);
            of_output[i] = tally_share(a, &a->ground[i], s->n_ground);
            of_rate[i] = (tally_estimate){of_output[i].share * over, of_output[i].error * over};
            place_m[i] = 0.5 * (low_m + high_m);
            place_m[n + (size_t)i] = tally_distance_m(s, place_m[i]);
        }
        store_out_axis(out, "x", STORE_DOUBLE, n, place_m, "m", "X", "middle of a strip of ground, across the rows");
        store_out_put(out, "distance", "x", STORE_DOUBLE, place_m + n, "m",
                      "distance downwind of the block; negative inside it and upwind");
        put_estimates(out, "percent_of_rate", "x", n, of_rate, 100.0, "percent",
                      "deposit per ground area over volume emitted per treated area (percent of the application rate)");
        put_estimates(out, "percent_of_output", "x", n, of_output, 100.0, "percent",
                      "deposit on the strip, percent of the output");
        store_out_note(out, "percent_of_rate", "coordinates", "distance");
        store_out_note(out, "percent_of_output", "coordinates", "distance");
    }
    free(of_output);
    free(of_rate);
    free(place_m);
    put_number(out, "strip_width", TALLY_GROUND_STEP_M, "m", "width of a strip (the last one ends with the domain)");
    put_number(out, "block_low_x", s->edge_low_x_m, "m", "edge of the block towards -x, half a row outside the trunks");
    put_number(out, "block_high_x", s->edge_high_x_m, "m",
               "edge of the block towards +x, half a row outside the trunks");
    put_number(out, "treated_width", s->treated_width_m, "m",
               "width of the treated ground, over which the application rate is reckoned");
    put_number(out, "downwind", s->downwind, "1", "sign of x downwind: 1 or -1");
    write_drift(out, a, TALLY_DRIFT_GROUND, "curve_distance", "curve",
                "deposit on the ground at the distance, mean over 1 m, percent of the application rate");
    write_drift(out, a, TALLY_DRIFT_SUM, "drift_distance", "drift_sum",
                "sum: on the ground beyond the distance or airborne out of the domain downwind, percent of the output");
}

static void write_airborne(store_out *out, const tally *a)
{
    const tally_shape *s = &a->shape;
    const size_t n = TALLY_PLANES * (size_t)s->n_flux;
    store_out_group(out, "airborne", "what goes through upright planes downwind of the block");
    store_out_axis(out, "plane", STORE_DOUBLE, TALLY_PLANES, s->plane_distance_m, "m", NULL,
                   "distance of the plane downwind of the block");
    put_middles(out, "z", s->n_flux, 0.0, TALLY_FLUX_STEP_M, "Z", "height of the bin's middle above the ground");
    tally_estimate *flux = store_out_memory(out, n, sizeof *flux);
    if (flux) {
        for (size_t i = 0; i < n; i++)
            flux[i] = tally_share(a, &a->flux[i], (int64_t)n);
        put_estimates(
            out, "net_flux", "plane z", n, flux, 100.0 / TALLY_FLUX_STEP_M, "percent/m",
            "active ingredient through the plane, downwind minus back, percent of the output per metre of height");
    }
    free(flux);
    tally_estimate all[TALLY_PLANES];
    for (int p = 0; p < TALLY_PLANES; p++)
        all[p] = tally_plane(a, p, 0, s->n_flux);
    put_estimates(out, "net_flux_all_heights", "plane", TALLY_PLANES, all, 100.0, "percent",
                  "active ingredient through the plane, downwind minus back, percent of the output");
}

/* One value of every point of every path. */
typedef enum { POINT_TIME, POINT_X, POINT_Y, POINT_Z, POINT_DIAMETER, POINT_SPEED } point_value;

static float value_of(const tally_point *p, point_value which)
{
    switch (which) {
    case POINT_TIME: return p->time_s;
    case POINT_X: return p->x_m;
    case POINT_Y: return p->y_m;
    case POINT_Z: return p->z_m;
    case POINT_DIAMETER: return p->diameter_um;
    case POINT_SPEED: break;
    }
    return p->speed_m_s;
}

static void write_points(store_out *out, const drupelet_result *result, int64_t n_points)
{
    static const struct { const char *name, *units, *long_name; } column[] = {
        [POINT_TIME] = {"time", "s", "time since the droplet left the nozzle"},
        [POINT_X] = {"x", "m", "place across the rows"},
        [POINT_Y] = {"y", "m", "place along the rows, from where the sprayer stood when it let the droplet go"},
        [POINT_Z] = {"z", "m", "height above the ground"},
        [POINT_DIAMETER] = {"diameter", "um", "diameter at that time"},
        [POINT_SPEED] = {"speed", "m/s", "speed over the ground"},
    };
    put_ordinals(out, "point", n_points, 0, "point of a path; the paths follow one another");
    float *value = store_out_memory(out, (size_t)n_points, sizeof *value);
    for (int k = 0; k <= POINT_SPEED && value; k++) {
        int64_t n = 0;
        for (int i = 0; i < result->n_tracks; i++)
            for (int j = 0; j < result->track[i].n_points; j++)
                value[n++] = value_of(&result->track[i].point[j], (point_value)k);
        store_out_put(out, column[k].name, "point", STORE_FLOAT, value, column[k].units, column[k].long_name);
    }
    free(value);
}

static void write_tracks(store_out *out, const drupelet_result *result)
{
    const size_t n = (size_t)result->n_tracks;
    int64_t n_points = 0;
    store_out_group(out, "tracks",
                    "sampled paths of droplets: contiguous ragged arrays, row_size points for each track");
    for (int i = 0; i < result->n_tracks; i++)
        n_points += result->track[i].n_points;
    if (n_points == 0)
        return; /* an empty group: no dimension may be 0 long */
    put_ordinals(out, "track", result->n_tracks, 0, "path");
    void *memory = store_out_memory(out, n, 8);
    if (memory) {
        int64_t *whole = memory;
        int32_t *count = memory;
        double *real = memory;
        int8_t *flag = memory;
        const tally_track *t = result->track;
        for (size_t i = 0; i < n; i++)
            count[i] = t[i].n_points;
        store_out_put(out, "row_size", "track", STORE_INT32, count, "1", "number of points of the path");
        store_out_note(out, "row_size", "sample_dimension", "point");
        for (size_t i = 0; i < n; i++)
            whole[i] = t[i].droplet;
        store_out_put(out, "droplet", "track", STORE_INT64, whole, "1", "ordinal of the droplet in the run");
        for (size_t i = 0; i < n; i++)
            real[i] = t[i].weight;
        store_out_put(out, "weight", "track", STORE_DOUBLE, real, "1",
                      "share of the output that the droplet stood for at its release");
        for (size_t i = 0; i < n; i++)
            real[i] = 1e6 * t[i].emitted_diameter_m;
        store_out_put(out, "emitted_diameter", "track", STORE_DOUBLE, real, "um", "diameter as emitted");
        for (size_t i = 0; i < n; i++)
            flag[i] = (int8_t)t[i].fate;
        store_out_put(out, "fate", "track", STORE_INT8, flag, "1", "fate of the last of the droplet");
        char meanings[32 * TALLY_FATES] = "";
        for (int f = 0; f < TALLY_FATES; f++) {
            strcat(meanings, f > 0 ? " " : "");
            strcat(meanings, tally_fate_name((tally_fate)f));
        }
        store_out_flags(out, "fate", TALLY_FATES, meanings);
        for (size_t i = 0; i < n; i++)
            count[i] = t[i].i_alley;
        store_out_put(out, "alley", "track", STORE_INT32, count, "1",
                      "alley that it was sprayed from; 0 is outside row 1");
        for (size_t i = 0; i < n; i++)
            count[i] = t[i].i_nozzle + 1;
        store_out_put(out, "nozzle", "track", STORE_INT32, count, "1", "nozzle that it left, as in the group sprayer");
        for (size_t i = 0; i < n; i++)
            count[i] = t[i].bounces;
        store_out_put(out, "bounces", "track", STORE_INT32, count, "1", "number of times it bounced");
        for (size_t i = 0; i < n; i++)
            count[i] = t[i].shatters;
        store_out_put(out, "shatters", "track", STORE_INT32, count, "1", "number of times it shattered");
        for (size_t i = 0; i < n; i++)
            real[i] = t[i].bounces + t[i].shatters > 0 ? (double)t[i].last_rebound_s : NAN;
        store_out_put(out, "last_rebound", "track", STORE_DOUBLE, real, "s",
                      "time of the last bounce or shattering; not a number without any");
    }
    free(memory);
    write_points(out, result, n_points);
}

static void write_air(store_out *out, const run_air_slice *slice)
{
    store_out_group(out, "air", "coarse slice of the air across the rows");
    if (slice->nx <= 0 || slice->nz <= 0)
        return;
    put_middles(out, "z", slice->nz, slice->z_first_m - 0.5 * slice->dz_m, slice->dz_m, "Z", "height above the ground");
    put_middles(out, "x", slice->nx, slice->x_first_m - 0.5 * slice->dx_m, slice->dx_m, "X", "place across the rows");
    store_out_put(out, "air_speed", "z x", STORE_FLOAT, slice->speed_m_s, "m/s",
                  "highest air speed over the ground that a place feels while the sprayer passes");
}

static void write_nozzles(store_out *out, const sprayer_work *work)
{
    int32_t side[SCENARIO_NOZZLES], spray[SCENARIO_NOZZLES];
    double offset[SCENARIO_NOZZLES], height[SCENARIO_NOZZLES], angle[SCENARIO_NOZZLES], pressure[SCENARIO_NOZZLES],
        flow[SCENARIO_NOZZLES], speed[SCENARIO_NOZZLES];
    for (int i = 0; i < work->n_nozzles; i++) {
        const sprayer_nozzle *n = &work->nozzle[i];
        side[i] = n->nozzle->side;
        spray[i] = n->i_spray + 1;
        offset[i] = n->nozzle->offset_m;
        height[i] = n->nozzle->height_m;
        angle[i] = DEGREES_A_RADIAN * n->nozzle->angle_rad;
        pressure[i] = 1e-5 * n->nozzle->pressure_Pa;
        flow[i] = 6e4 * n->flow_m3_s;
        speed[i] = n->exit_speed_m_s;
    }
    put_ordinals(out, "nozzle", work->n_nozzles, 1, "nozzle, in the order of the scenario");
    store_out_put(out, "nozzle_side", "nozzle", STORE_INT32, side, "1", "side as the driver sees it: -1 left, 1 right");
    store_out_put(out, "nozzle_spray", "nozzle", STORE_INT32, spray, "1",
                  "spray that the nozzle gives, as in the axis spray");
    store_out_put(out, "nozzle_offset", "nozzle", STORE_DOUBLE, offset, "m", "outward from the sprayer's centre line");
    store_out_put(out, "nozzle_height", "nozzle", STORE_DOUBLE, height, "m", "height above the ground");
    store_out_put(out, "nozzle_angle", "nozzle", STORE_DOUBLE, angle, "degree",
                  "direction above the outward horizontal");
    store_out_put(out, "nozzle_pressure", "nozzle", STORE_DOUBLE, pressure, "bar", "pressure at the nozzle");
    store_out_put(out, "nozzle_flow", "nozzle", STORE_DOUBLE, flow, "L/min", "flow of the nozzle");
    store_out_put(out, "nozzle_exit_speed", "nozzle", STORE_DOUBLE, speed, "m/s", "speed at which the liquid leaves");
}

static void write_sprays(store_out *out, const drupelet_scenario *scenario, const sprayer_work *work)
{
    const char *tip[SCENARIO_NOZZLES], *note[SCENARIO_NOZZLES];
    double pressure[SCENARIO_NOZZLES], quantile[3][SCENARIO_NOZZLES], below[2][SCENARIO_NOZZLES];
    int8_t assumed[SCENARIO_NOZZLES];
    for (int i = 0; i < work->n_sprays; i++) {
        const sprayer_spray *s = &work->spray[i];
        tip[i] = scenario->tip[s->i_tip].name;
        note[i] = s->note;
        pressure[i] = 1e-5 * s->pressure_Pa;
        quantile[0][i] = 1e6 * s->dv10_m;
        quantile[1][i] = 1e6 * s->dv50_m;
        quantile[2][i] = 1e6 * s->dv90_m;
        below[0][i] = s->share_below_100_um;
        below[1][i] = s->share_below_150_um;
        assumed[i] = s->assumed;
    }
    put_ordinals(out, "spray", work->n_sprays, 1, "spray: a tip at a pressure");
    store_out_put(out, "tip", "spray", STORE_TEXT, tip, NULL, "tip, as the scenario calls it");
    store_out_put(out, "note", "spray", STORE_TEXT, note, NULL, "where the droplet spectrum comes from");
    store_out_put(out, "assumed", "spray", STORE_INT8, assumed, "1", "is the droplet spectrum an assumption?");
    store_out_flags(out, "assumed", 2, "measured assumed");
    store_out_put(out, "pressure", "spray", STORE_DOUBLE, pressure, "bar", "pressure at the nozzle");
    store_out_put(out, "dv10", "spray", STORE_DOUBLE, quantile[0], "um",
                  "a tenth of the volume is in droplets below this diameter");
    store_out_put(out, "dv50", "spray", STORE_DOUBLE, quantile[1], "um",
                  "half of the volume is in droplets below this diameter");
    store_out_put(out, "dv90", "spray", STORE_DOUBLE, quantile[2], "um",
                  "nine tenths of the volume are in droplets below this diameter");
    store_out_put(out, "share_below_100_um", "spray", STORE_DOUBLE, below[0], "1",
                  "share of the volume in droplets below 100 um");
    store_out_put(out, "share_below_150_um", "spray", STORE_DOUBLE, below[1], "1",
                  "share of the volume in droplets below 150 um");
}

static void write_sprayer(store_out *out, const drupelet_scenario *scenario, const sprayer_work *work)
{
    int32_t alley[SCENARIO_ROWS + 1], heading[SCENARIO_ROWS + 1], left[SCENARIO_ROWS + 1], right[SCENARIO_ROWS + 1];
    int32_t left_air[SCENARIO_ROWS + 1], right_air[SCENARIO_ROWS + 1];
    double x_m[SCENARIO_ROWS + 1], flow[SCENARIO_ROWS + 1];
    store_out_group(out, "sprayer", "what left the sprayer");
    put_number(out, "application_rate", 1e7 * work->application_rate_m, "L/ha",
               "volume emitted per treated area; not a number where the sprayer stands still");
    put_number(out, "emitted_per_100_m", 1e5 * work->emitted_per_length_m2, "L",
               "volume emitted by all passes over 100 m of row length; not a number where the sprayer stands still");
    put_number(out, "fan_flow", work->fan_flow_m3_s, "m3/s", "air flow of the fan");
    put_number(out, "fan_power", 1e-3 * work->fan_power_W, "kW", "shaft power of the fan");
    write_nozzles(out, work);
    write_sprays(out, scenario, work);
    for (int i = 0; i < work->n_passes; i++) {
        const sprayer_pass *p = &work->pass[i];
        alley[i] = p->i_alley;
        heading[i] = p->heading;
        left[i] = p->left_open;
        right[i] = p->right_open;
        left_air[i] = p->left_air;
        right_air[i] = p->right_air;
        x_m[i] = p->x_m;
        flow[i] = 6e4 * p->flow_m3_s;
    }
    put_ordinals(out, "pass", work->n_passes, 1, "pass of the sprayer through the block");
    store_out_put(out, "pass_alley", "pass", STORE_INT32, alley, "1", "alley that it drives; 0 is outside row 1");
    store_out_put(out, "pass_x", "pass", STORE_DOUBLE, x_m, "m", "place of the sprayer's centre line across");
    store_out_put(out, "pass_heading", "pass", STORE_INT32, heading, "1",
                  "direction of travel: 1 along +y, -1 along -y");
    store_out_put(out, "pass_left_open", "pass", STORE_INT32, left, "1", "do the left nozzles spray?");
    store_out_put(out, "pass_right_open", "pass", STORE_INT32, right, "1", "do the right nozzles spray?");
    store_out_put(out, "pass_left_air", "pass", STORE_INT32, left_air, "1", "do the left air outlets blow?");
    store_out_put(out, "pass_right_air", "pass", STORE_INT32, right_air, "1", "do the right air outlets blow?");
    store_out_put(out, "pass_flow", "pass", STORE_DOUBLE, flow, "L/min", "flow of all open nozzles");
}

static void write_inputs(store_out *out, const drupelet_scenario *s)
{
    const struct { const char *name, *units, *long_name; double value;
    } number[] = {
        {"row_spacing", "m", "distance between rows", s->orchard.row_spacing_m},
        {"tree_spacing", "m", "distance between trees in the row", s->orchard.tree_spacing_m},
        {"grass_height", "m", "height of the grass", s->orchard.grass_height_m},
        {"canopy_height", "m", "top of the crown", s->canopy.height_m},
        {"canopy_base", "m", "lowest leaves", s->canopy.base_m},
        {"canopy_width", "m", "width of the crown across the row", s->canopy.width_m},
        {"leaf_area_index", "m2/m2", "one-sided leaf area per orchard area", s->canopy.leaf_area_index},
        {"travel_speed", "km/h", "travel speed", 3.6 * s->sprayer.travel_speed_m_s},
        {"temperature", "degC", "air temperature", s->weather.temperature_K - BASE_ZERO_CELSIUS_K},
        {"relative_humidity", "percent", "relative humidity", 100.0 * s->weather.relative_humidity},
        {"wind_speed", "m/s", "wind speed over the open ground", s->weather.wind_speed_m_s},
        {"wind_height", "m", "height of the wind speed", s->weather.wind_height_m},
        {"wind_angle", "degree", "direction of the wind: 0 along +x, 90 along +y",
         DEGREES_A_RADIAN * s->weather.wind_angle_rad},
        {"air_pressure", "hPa", "pressure of the air", 1e-2 * s->weather.pressure_Pa},
        {"nonvolatile", "percent", "share of the liquid's volume that does not evaporate",
         100.0 * s->liquid.nonvolatile},
        {"fan_speed", "rpm", "speed of the fan", s->sprayer.fan_rpm},
        {"domain_top", "m", "height at which the simulation ends", s->run.domain_top_m},
    };
    const char *name = s->name, *place = s->place, *text = s->text ? s->text : "",
               *resolved = s->resolved ? s->resolved : "";
    store_out_group(out, "inputs", "what was simulated");
    store_out_put(out, "name", "", STORE_TEXT, &name, NULL, "name of the scenario");
    store_out_put(out, "place", "", STORE_TEXT, &place, NULL, "place of the scenario");
    store_out_put(out, "scenario", "", STORE_TEXT, &text, NULL, "scenario as read");
    store_out_put(out, "resolved", "", STORE_TEXT, &resolved, NULL,
                  "every value that was used, one a line, defaults marked");
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++)
        put_number(out, number[i].name, number[i].value, number[i].units, number[i].long_name);
}

static void write_all(store_out *out, const drupelet_result *result, const store_falls *falls)
{
    write_root(out, result);
    write_fates(out, result->accounts);
    store_write_groups(out, result, falls);
    write_tracks(out, result); /* most to pack, so early */
    write_canopy(out, result);
    write_ground(out, result->accounts);
    write_airborne(out, result->accounts);
    store_write_collectors(out, result);
    write_air(out, &result->slice);
    write_sprayer(out, result->scenario, &result->sprayer);
    write_inputs(out, result->scenario);
    store_write_warnings(out, result);
}

static drupelet_status write_file(const drupelet_result *result, const char *path, bool overwrite)
{
    store_draft draft;
    store_out out;
    void *image;
    size_t n;
    drupelet_status status = store_draft_begin(path, overwrite, &draft);
    if (status.code != DRUPELET_OK)
        return status;
#pragma omp parallel num_threads(result->n_threads > 1 ? result->n_threads : 1)
#pragma omp master /* the others have tasks to do */
    {
        store_falls falls;
        store_work_out_falls(result, &falls);
        store_out_create(draft.draft, draft.path, &out);
        write_all(&out, result, &falls);
        status = store_out_close(&out, &image, &n);
    }
    if (status.code == DRUPELET_OK)
        status = store_draft_fill(&draft, image, n);
    free(image);
    if (status.code == DRUPELET_OK)
        return store_draft_keep(&draft);
    store_draft_drop(&draft);
    return status;
}

drupelet_status drupelet_result_write(const drupelet_result *result, const char *path, bool overwrite)
{
    void *former_locale;
    drupelet_status status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK) status = write_file(result, path, overwrite);
    base_c_locale_leave(former_locale);
    return status;
}
