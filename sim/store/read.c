/* sim/store/read.c - reads a result file back, and says in one line what is wrong with a file that is none.
 *
 * Shapes come from the file, so each is checked against the axes before anything is filled in. Left out: what neither
 * the picture nor a page shows. */
#define _POSIX_C_SOURCE 200809L
#include <errno.h>
#include <hdf5.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/status.h"
#include "store/quiet.h"
#include "store/store.h"

enum { MOST_DIMENSIONS = 4 };
#define MOST_NUMBERS ((hsize_t)1 << 30) /* of one dataset: more is no result but a damaged file */

typedef struct {
    hid_t file;
    const char *path;
    drupelet_status status;
} store_in;

static bool fine(const store_in *in)
{
    return in->status.code == DRUPELET_OK;
}

static void damaged(store_in *in, const char *name)
{
    if (fine(in))
        in->status =
            base_error(DRUPELET_SCENARIO, "%s: the result is damaged: '%s' cannot be read as expected", in->path, name);
}

static void no_memory(store_in *in)
{
    if (fine(in))
        in->status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", in->path);
}

/* Opens a dataset of a rank and tells its shape; an entry of shape that is not 0 is what must be found. Returns the
 * number of numbers in it, 0 after a failure. */
static size_t open_set(store_in *in, const char *name, int rank, hsize_t shape[], hid_t *set)
{
    hsize_t found[MOST_DIMENSIONS], n = 1;
    *set = -1;
    if (!fine(in))
        return 0;
    *set = H5Dopen2(in->file, name, H5P_DEFAULT);
    const hid_t space = *set >= 0 ? H5Dget_space(*set) : -1;
    bool good = space >= 0 && H5Sget_simple_extent_ndims(space) == rank
                && H5Sget_simple_extent_dims(space, found, NULL) == rank;
    for (int i = 0; i < rank && good; i++) {
        good = found[i] > 0 && found[i] <= MOST_NUMBERS / n && (shape[i] == 0 || shape[i] == found[i]);
        shape[i] = found[i];
        n *= found[i];
    }
    if (space >= 0)
        H5Sclose(space);
    if (good)
        return (size_t)n;
    damaged(in, name);
    if (*set >= 0)
        H5Dclose(*set);
    *set = -1;
    return 0;
}

/* Numbers of a dataset into memory that is there. */
static void get(store_in *in, const char *name, hid_t type, int rank, const hsize_t expected[], void *values)
{
    hsize_t shape[MOST_DIMENSIONS] = {0};
    hid_t set;
    for (int i = 0; i < rank; i++)
        shape[i] = expected[i];
    if (open_set(in, name, rank, shape, &set) == 0)
        return;
    if (H5Dread(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0)
        damaged(in, name);
    H5Dclose(set);
}

/* Numbers of a dataset into new memory; shape as for open_set(). */
static void *take(store_in *in, const char *name, hid_t type, size_t size, int rank, hsize_t shape[])
{
    hid_t set;
    const size_t n = open_set(in, name, rank, shape, &set);
    if (n == 0)
        return NULL;
    void *values = malloc(n * size);
    if (!values)
        no_memory(in);
    else if (H5Dread(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0)
        damaged(in, name);
    H5Dclose(set);
    if (fine(in))
        return values;
    free(values);
    return NULL;
}

static double get_number(store_in *in, const char *name)
{
    double value = 0.0;
    get(in, name, H5T_NATIVE_DOUBLE, 0, NULL, &value);
    return value;
}

/* Shares and their standard errors. */
static void get_estimates(store_in *in, const char *name, int rank, const hsize_t shape[], double factor,
                          tally_estimate *estimate)
{
    char error_name[96];
    size_t n = 1;
    for (int i = 0; i < rank; i++)
        n *= (size_t)shape[i];
    double *value = malloc(n * sizeof *value);
    if (!value) {
        no_memory(in);
        return;
    }
    get(in, name, H5T_NATIVE_DOUBLE, rank, shape, value);
    for (size_t i = 0; i < n && fine(in); i++)
        estimate[i].share = factor * value[i];
    snprintf(error_name, sizeof error_name, "%s_standard_error", name);
    get(in, error_name, H5T_NATIVE_DOUBLE, rank, shape, value);
    for (size_t i = 0; i < n && fine(in); i++)
        estimate[i].error = factor * value[i];
    free(value);
}

/* Texts of a dataset, each in memory of its own. */
static void get_texts(store_in *in, const char *name, int rank, hsize_t n, char *text[])
{
    hid_t set;
    hsize_t shape[1] = {n};
    if (open_set(in, name, rank, shape, &set) == 0)
        return;
    const hid_t type = H5Dget_type(set), space = H5Dget_space(set), wanted = H5Tcopy(H5T_C_S1);
    char **read = calloc((size_t)n, sizeof *read);
    H5Tset_size(wanted, H5T_VARIABLE);
    H5Tset_cset(wanted, H5T_CSET_UTF8);
    if (!read) {
        no_memory(in);
    } else if (H5Tis_variable_str(type) <= 0 || H5Dread(set, wanted, H5S_ALL, H5S_ALL, H5P_DEFAULT, read) < 0) {
        damaged(in, name);
    } else {
        for (hsize_t i = 0; i < n && fine(in); i++) {
            text[i] = strdup(read[i] ? read[i] : "");
            if (!text[i])
                no_memory(in);
        }
        H5Dvlen_reclaim(wanted, space, H5P_DEFAULT, read);
    }
    free(read);
    H5Tclose(wanted);
    H5Sclose(space);
    H5Tclose(type);
    H5Dclose(set);
}

static char *get_text(store_in *in, const char *name)
{
    char *text = NULL;
    get_texts(in, name, 0, 1, &text);
    return text;
}

/* ---- attributes of the root ---- */

static bool root_number(const store_in *in, const char *name, hid_t type, void *value)
{
    const hid_t attribute = H5Aopen(in->file, name, H5P_DEFAULT);
    const hid_t space = attribute >= 0 ? H5Aget_space(attribute) : -1;
    const bool good = space >= 0 && H5Sget_simple_extent_npoints(space) == 1 && H5Aread(attribute, type, value) >= 0;
    if (space >= 0)
        H5Sclose(space);
    if (attribute >= 0)
        H5Aclose(attribute);
    return good;
}

static char *root_text(store_in *in, const char *name)
{
    char *text = NULL;
    const hid_t attribute = H5Aopen(in->file, name, H5P_DEFAULT), type = attribute >= 0 ? H5Aget_type(attribute) : -1;
    const hid_t space = attribute >= 0 ? H5Aget_space(attribute) : -1;
    if (type >= 0 && space >= 0 && H5Tget_class(type) == H5T_STRING && H5Tis_variable_str(type) == 0
        && H5Sget_simple_extent_npoints(space) == 1) {
        const size_t size = H5Tget_size(type);
        text = calloc(size + 1, 1);
        if (!text)
            no_memory(in);
        else if (H5Aread(attribute, type, text) < 0)
            damaged(in, name);
    } else {
        damaged(in, name);
    }
    if (space >= 0)
        H5Sclose(space);
    if (type >= 0)
        H5Tclose(type);
    if (attribute >= 0)
        H5Aclose(attribute);
    return text;
}

static void read_root(store_in *in, store_result *r)
{
    int32_t format = 0;
    char *conventions = NULL;
    if (!root_number(in, "format_number", H5T_NATIVE_INT32, &format) || H5Aexists(in->file, "Conventions") <= 0) {
        in->status = base_error(DRUPELET_SCENARIO, "%s: is no result of drupelet", in->path);
        return;
    }
    conventions = root_text(in, "Conventions");
    if (fine(in) && strncmp(conventions, "drupelet-result-", strlen("drupelet-result-")) != 0)
        in->status = base_error(DRUPELET_SCENARIO, "%s: is no result of drupelet", in->path);
    else if (fine(in) && format != STORE_FORMAT)
        in->status = base_error(DRUPELET_SCENARIO, "%s: is a result of format %d, and this program reads format %d",
                                in->path, format, STORE_FORMAT);
    free(conventions);
    if (!fine(in))
        return;
    if (!root_number(in, "seed", H5T_NATIVE_UINT64, &r->seed)
        || !root_number(in, "n_droplets", H5T_NATIVE_INT64, &r->n_droplets))
        damaged(in, "seed");
    r->version = root_text(in, "program_version");
    r->caution = root_text(in, "caution");
}

/* ---- groups ---- */

static void read_fates(store_in *in, store_result *r)
{
    const hsize_t fates[1] = {TALLY_FATES}, sizes[1] = {TALLY_SIZES}, both[2] = {TALLY_SIZES, TALLY_FATES};
    const hsize_t outcomes[2] = {TALLY_TARGETS, TALLY_OUTCOMES};
    get_estimates(in, "fates/active_ingredient", 1, fates, 1.0, r->fate);
    get_estimates(in, "fates/water", 1, fates, 1.0, r->water);
    get_estimates(in, "fates/evaporated", 0, NULL, 1.0, &r->evaporated);
    get(in, "fates/size_low", H5T_NATIVE_DOUBLE, 1, sizes, r->size_low_um);
    get(in, "fates/size_high", H5T_NATIVE_DOUBLE, 1, sizes, r->size_high_um);
    get_estimates(in, "fates/by_size", 2, both, 1.0, r->size_fate[0]);
    get_estimates(in, "fates/impacts", 2, outcomes, 1.0, r->impacts[0]);
    get_estimates(in, "fates/stayed", 2, outcomes, 1.0, r->stayed[0]);
}

static void read_canopy(store_in *in, store_result *r)
{
    hsize_t rows[1] = {0}, z[1] = {0}, y[1] = {0}, x[1] = {0};
    const hsize_t sides[1] = {2};
    double *row_x_m = take(in, "canopy/row_x", H5T_NATIVE_DOUBLE, sizeof *row_x_m, 1, rows);
    double *y_m = take(in, "canopy/y", H5T_NATIVE_DOUBLE, sizeof *y_m, 1, y);
    r->z_m = take(in, "canopy/z", H5T_NATIVE_DOUBLE, sizeof *r->z_m, 1, z);
    r->x_m = take(in, "canopy/x", H5T_NATIVE_DOUBLE, sizeof *r->x_m, 1, x);
    r->voxel_m = get_number(in, "canopy/voxel_edge");
    r->voxel_y_m = get_number(in, "canopy/voxel_edge_along");
    hsize_t field[4] = {rows[0], z[0], y[0], x[0]};
    r->leaf_deposit = take(in, "canopy/leaf_deposit", H5T_NATIVE_DOUBLE, sizeof *r->leaf_deposit, 4, field);
    r->leaf_area_density_1_m =
        take(in, "canopy/leaf_area_density", H5T_NATIVE_FLOAT, sizeof *r->leaf_area_density_1_m, 4, field);
    r->wood_area_density_1_m =
        take(in, "canopy/wood_area_density", H5T_NATIVE_FLOAT, sizeof *r->wood_area_density_1_m, 4, field);
    get_estimates(in, "canopy/leaf_side_deposit", 1, sides, 1.0, r->leaf_side);
    if (fine(in)) {
        const hsize_t parts[3] = {rows[0], TALLY_THIRDS, TALLY_SIDES};
        const size_t n_rows = (size_t)rows[0];
        tally_estimate(*part)[TALLY_THIRDS][TALLY_SIDES] = malloc(n_rows * sizeof *part);
        r->row = calloc(n_rows, sizeof *r->row);
        if (!r->row || !part)
            no_memory(in);
        else
            get_estimates(in, "canopy/row_deposit", 3, parts, 1.0, part[0][0]);
        for (size_t i = 0; i < n_rows && fine(in); i++) {
            r->row[i].x_m = row_x_m[i];
            memcpy(r->row[i].leaf, part[i], sizeof part[i]);
        }
        free(part);
    }
    r->n_rows = (int)rows[0];
    r->nz = (int)z[0];
    r->ny = (int)y[0];
    r->nx = (int)x[0];
    free(row_x_m);
    free(y_m);
}

/* Files from before there was a dataset are results, too: what it would hold is then unknown. */
static bool has(const store_in *in, const char *name)
{
    return fine(in) && H5Lexists(in->file, name, H5P_DEFAULT) > 0;
}

static void get_estimates_or_none(store_in *in, const char *name, int rank, const hsize_t shape[],
                                  tally_estimate *estimate)
{
    size_t n = 1;
    for (int i = 0; i < rank; i++)
        n *= (size_t)shape[i];
    if (has(in, name))
        get_estimates(in, name, rank, shape, 1.0, estimate);
    else
        for (size_t i = 0; i < n; i++)
            estimate[i] = (tally_estimate){NAN, NAN};
}

static void get_or_none(store_in *in, const char *name, int rank, hsize_t n, double *value)
{
    if (has(in, name))
        get(in, name, H5T_NATIVE_DOUBLE, rank, &n, value);
    else
        for (hsize_t i = 0; i < n; i++)
            value[i] = NAN;
}

static void read_groups(store_in *in, store_result *r)
{
    const hsize_t groups[1] = {TALLY_GROUPS}, sizes[1] = {TALLY_SIZES}, parts[2] = {TALLY_THIRDS, TALLY_SIDES};
    const hsize_t outcomes[2] = {TALLY_TARGETS, TALLY_OUTCOMES};
    const hsize_t by_size[3] = {TALLY_TARGETS, TALLY_SIZES, TALLY_OUTCOMES};
    get_estimates_or_none(in, "fates/together", 1, groups, r->together);
    get_estimates_or_none(in, "fates/emitted", 1, sizes, r->size_emitted);
    get_estimates_or_none(in, "fates/outcome_share", 2, outcomes, r->outcome_share[0]);
    get_estimates_or_none(in, "fates/outcome_by_size", 3, by_size, r->size_outcome[0][0]);
    get_or_none(in, "fates/settling_speed", 1, TALLY_SIZES, r->settling_m_s);
    get_or_none(in, "fates/lifetime", 1, TALLY_SIZES, r->lifetime_s);
    get_or_none(in, "fates/dry_after_fall", 1, TALLY_SIZES, r->dry_after_fall_m);
    get_estimates_or_none(in, "canopy/deposit_of_third", 2, parts, r->third[0]);
    get_or_none(in, "inputs/air_pressure", 0, 1, &r->air_pressure_hPa);
    get_or_none(in, "inputs/nonvolatile", 0, 1, &r->nonvolatile_percent);
    get_or_none(in, "inputs/fan_speed", 0, 1, &r->fan_speed_rpm);
}

/* What lies on the leaves of each row, by third, side of the row and side of the leaf. */
static void read_places(store_in *in, store_result *r)
{
    enum { CELLS = TALLY_THIRDS * TALLY_SIDES };
    const hsize_t n = (hsize_t)r->n_rows, rows[1] = {n}, halves[3] = {n, TALLY_THIRDS, TALLY_SIDES},
                  sides[4] = {n, TALLY_THIRDS, TALLY_SIDES, 2};
    tally_estimate *room = fine(in) ? malloc((size_t)n * CELLS * 2 * sizeof *room) : NULL;
    if (!room) {
        no_memory(in);
        return;
    }
    get_estimates_or_none(in, "canopy/deposit_of_row", 1, rows, room);
    for (size_t i = 0; i < n; i++)
        r->row[i].together = room[i];
    get_estimates_or_none(in, "canopy/coverage", 4, sides, room);
    for (size_t i = 0; i < n; i++)
        memcpy(r->row[i].cover_percent, room + i * CELLS * 2, sizeof r->row[i].cover_percent);
    get_estimates_or_none(in, "canopy/visible_droplet_density", 4, sides, room);
    for (size_t i = 0; i < n; i++)
        memcpy(r->row[i].droplets_1_cm2, room + i * CELLS * 2, sizeof r->row[i].droplets_1_cm2);
    get_estimates_or_none(in, "canopy/deposit_per_leaf_area", 3, halves, room);
    for (size_t i = 0; i < n; i++)
        memcpy(r->row[i].deposit_uL_cm2, room + i * CELLS, sizeof r->row[i].deposit_uL_cm2);
    free(room);
}

/* Files from before there were these datasets are results, too. */
static void read_leaves(store_in *in, store_result *r)
{
    const hsize_t sides[1] = {2};
    const tally_estimate unknown = {NAN, NAN};
    if (fine(in) && H5Lexists(in->file, "canopy/coverage_all", H5P_DEFAULT) > 0) {
        get_estimates(in, "canopy/coverage_all", 1, sides, 1.0, r->cover_percent);
        get_estimates(in, "canopy/visible_droplet_density_all", 1, sides, 1.0, r->droplets_1_cm2);
        get_estimates(in, "canopy/deposit_per_leaf_area_all", 0, NULL, 1.0, &r->deposit_uL_cm2);
        get_estimates(in, "canopy/run_off", 0, NULL, 1.0, &r->run_off);
        return;
    }
    for (int side = 0; side < 2; side++)
        r->cover_percent[side] = r->droplets_1_cm2[side] = unknown;
    r->deposit_uL_cm2 = r->run_off = unknown;
}

static void read_ground(store_in *in, store_result *r)
{
    hsize_t n[1] = {0};
    const hsize_t distances[1] = {TALLY_DISTANCES};
    r->ground_x_m = take(in, "ground/x", H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    r->ground_distance_m = take(in, "ground/distance", H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    r->ground_percent_of_rate = take(in, "ground/percent_of_rate", H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    r->ground_percent_of_rate_error =
        take(in, "ground/percent_of_rate_standard_error", H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    r->n_ground = (int)n[0];
    r->treated_low_x_m = get_number(in, "ground/treated_low_x");
    r->treated_high_x_m = get_number(in, "ground/treated_high_x");
    get(in, "ground/drift_distance", H5T_NATIVE_DOUBLE, 1, distances, r->drift_distance_m);
    get_estimates(in, "ground/drift_beyond", 1, distances, 1.0, r->drift_percent);
}

static void read_airborne(store_in *in, store_result *r)
{
    hsize_t n[1] = {0}, planes[1] = {TALLY_PLANES};
    r->flux_z_m = take(in, "airborne/z", H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    get(in, "airborne/plane", H5T_NATIVE_DOUBLE, 1, planes, r->plane_distance_m);
    hsize_t both[2] = {TALLY_PLANES, n[0]};
    r->flux_percent_per_m = take(in, "airborne/net_flux", H5T_NATIVE_DOUBLE, sizeof(double), 2, both);
    r->flux_percent_per_m_error =
        take(in, "airborne/net_flux_standard_error", H5T_NATIVE_DOUBLE, sizeof(double), 2, both);
    r->n_flux = (int)n[0];
    get_estimates_or_none(in, "airborne/net_flux_all_heights", 1, planes, r->flux_percent);
}

/* The measures of n collectors or parts; each stands stride bytes behind the one before. */
static void get_measures(store_in *in, const char *before, const hsize_t n[1], run_measured *measured, size_t stride)
{
    tally_estimate *estimate = fine(in) ? malloc((size_t)n[0] * sizeof *estimate) : NULL;
    if (!estimate) {
        no_memory(in);
        return;
    }
    for (int m = 0; m < RUN_MEASURES && fine(in); m++) {
        char name[64];
        snprintf(name, sizeof name, "collectors/%s%s", before, run_measure_name((run_measure)m));
        get_estimates(in, name, 1, n, 1.0, estimate);
        for (size_t i = 0; i < n[0] && fine(in); i++)
            ((run_measured *)(void *)((char *)measured + i * stride))->of[m] = estimate[i];
    }
    free(estimate);
}

static void read_collectors(store_in *in, store_result *r)
{
    hsize_t n[1] = {0}, parts[1] = {0};
    if (!fine(in) || H5Lexists(in->file, "collectors", H5P_DEFAULT) <= 0
        || H5Lexists(in->file, "collectors/collector", H5P_DEFAULT) <= 0)
        return; /* a run without collectors, or a file from before there were any */
    static const char *const REAL[6] = {"collectors/x",   "collectors/distance", "collectors/height",
                                        "collectors/top", "collectors/width",    "collectors/facing"};
    int8_t *kind = take(in, "collectors/kind", H5T_NATIVE_INT8, sizeof *kind, 1, n);
    double *real[6] = {0}, *end[2] = {0};
    for (int k = 0; k < 6; k++)
        real[k] = take(in, REAL[k], H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    int32_t *of = take(in, "collectors/part_collector", H5T_NATIVE_INT32, sizeof *of, 1, parts);
    end[0] = take(in, "collectors/part_low", H5T_NATIVE_DOUBLE, sizeof(double), 1, parts);
    end[1] = take(in, "collectors/part_high", H5T_NATIVE_DOUBLE, sizeof(double), 1, parts);
    r->collector = fine(in) ? calloc((size_t)n[0], sizeof *r->collector) : NULL;
    r->collector_part = fine(in) ? calloc((size_t)parts[0], sizeof *r->collector_part) : NULL;
    char **name = fine(in) ? calloc((size_t)n[0], sizeof *name) : NULL;
    if (!r->collector || !r->collector_part || !name) {
        no_memory(in);
    } else {
        r->n_collectors = (int)n[0];
        r->n_collector_parts = (int)parts[0];
        get_texts(in, "collectors/collector", 1, n[0], name);
        for (size_t i = 0; i < n[0]; i++)
            r->collector[i] = (store_collector){.name = name[i], .kind = (scenario_collector_kind)kind[i],
                                                .x_m = real[0][i], .distance_m = real[1][i], .height_m = real[2][i],
                                                .top_m = real[3][i], .width_m = real[4][i], .facing_deg = real[5][i]};
        for (size_t i = 0; i < parts[0] && fine(in); i++) { /* those of one collector follow one another */
            if (of[i] < 1 || of[i] > r->n_collectors || (i > 0 && of[i] < of[i - 1])) {
                damaged(in, "collectors/part_collector");
                break;
            }
            store_collector *c = &r->collector[of[i] - 1];
            c->first_part = c->n_parts++ == 0 ? (int)i : c->first_part;
            r->collector_part[i].low_m = end[0][i];
            r->collector_part[i].high_m = end[1][i];
        }
        get_measures(in, "", n, &r->collector[0].measured, sizeof *r->collector);
        get_measures(in, "part_", parts, &r->collector_part[0].measured, sizeof *r->collector_part);
    }
    free(name);
    free(end[1]);
    free(end[0]);
    free(of);
    for (int k = 0; k < 6; k++)
        free(real[k]);
    free(kind);
}

static void read_tracks(store_in *in, store_result *r)
{
    hsize_t n[1] = {0}, points[1] = {0};
    if (!fine(in) || H5Lexists(in->file, "tracks/row_size", H5P_DEFAULT) <= 0)
        return; /* a run without tracks */
    int32_t *count[5] = {0};
    static const char *const COUNT[5] = {"tracks/row_size", "tracks/alley", "tracks/nozzle", "tracks/bounces",
                                         "tracks/shatters"};
    for (int k = 0; k < 5; k++)
        count[k] = take(in, COUNT[k], H5T_NATIVE_INT32, sizeof(int32_t), 1, n);
    int64_t *droplet = take(in, "tracks/droplet", H5T_NATIVE_INT64, sizeof *droplet, 1, n);
    int8_t *fate = take(in, "tracks/fate", H5T_NATIVE_INT8, sizeof *fate, 1, n);
    double *weight = take(in, "tracks/weight", H5T_NATIVE_DOUBLE, sizeof *weight, 1, n);
    double *diameter = take(in, "tracks/emitted_diameter", H5T_NATIVE_DOUBLE, sizeof *diameter, 1, n);
    double *rebound = has(in, "tracks/last_rebound")
                          ? take(in, "tracks/last_rebound", H5T_NATIVE_DOUBLE, sizeof *rebound, 1, n) : NULL;
    r->time_s = take(in, "tracks/time", H5T_NATIVE_FLOAT, sizeof(float), 1, points);
    r->track_x_m = take(in, "tracks/x", H5T_NATIVE_FLOAT, sizeof(float), 1, points);
    r->track_y_m = take(in, "tracks/y", H5T_NATIVE_FLOAT, sizeof(float), 1, points);
    r->track_z_m = take(in, "tracks/z", H5T_NATIVE_FLOAT, sizeof(float), 1, points);
    r->diameter_um = take(in, "tracks/diameter", H5T_NATIVE_FLOAT, sizeof(float), 1, points);
    r->speed_m_s = take(in, "tracks/speed", H5T_NATIVE_FLOAT, sizeof(float), 1, points);
    r->track = fine(in) ? calloc((size_t)n[0], sizeof *r->track) : NULL;
    if (!r->track)
        no_memory(in);
    int64_t first = 0;
    for (size_t i = 0; i < n[0] && fine(in); i++) {
        r->track[i] = (store_track){.droplet = droplet[i], .first = first, .n_points = count[0][i],
                                    .alley = count[1][i], .nozzle = count[2][i], .bounces = count[3][i],
                                    .shatters = count[4][i], .fate = fate[i], .weight = weight[i],
                                    .emitted_diameter_um = diameter[i],
                                    .last_rebound_s = rebound ? rebound[i] : NAN};
        first += count[0][i];
        if (count[0][i] < 0 || first > (int64_t)points[0] || fate[i] < 0 || fate[i] >= TALLY_FATES)
            damaged(in, "tracks/row_size");
    }
    if (fine(in) && first != (int64_t)points[0])
        damaged(in, "tracks/row_size");
    r->n_tracks = (int)n[0];
    r->n_points = (int64_t)points[0];
    free(rebound);
    free(diameter);
    free(weight);
    free(fate);
    free(droplet);
    for (int k = 0; k < 5; k++)
        free(count[k]);
}

static void read_air(store_in *in, store_result *r)
{
    hsize_t z[1] = {0}, x[1] = {0};
    if (!fine(in) || H5Lexists(in->file, "air/air_speed", H5P_DEFAULT) <= 0)
        return;
    r->air_z_m = take(in, "air/z", H5T_NATIVE_DOUBLE, sizeof(double), 1, z);
    r->air_x_m = take(in, "air/x", H5T_NATIVE_DOUBLE, sizeof(double), 1, x);
    hsize_t both[2] = {z[0], x[0]};
    r->air_speed_m_s = take(in, "air/air_speed", H5T_NATIVE_FLOAT, sizeof(float), 2, both);
    r->air_nz = (int)z[0];
    r->air_nx = (int)x[0];
}

static void read_nozzles(store_in *in, store_result *r)
{
    hsize_t n[1] = {0};
    int32_t *side = take(in, "sprayer/nozzle_side", H5T_NATIVE_INT32, sizeof *side, 1, n);
    int32_t *spray = take(in, "sprayer/nozzle_spray", H5T_NATIVE_INT32, sizeof *spray, 1, n);
    static const char *const REAL[4] = {"sprayer/nozzle_offset", "sprayer/nozzle_height", "sprayer/nozzle_pressure",
                                        "sprayer/nozzle_flow"};
    double *real[4] = {0};
    for (int k = 0; k < 4; k++)
        real[k] = take(in, REAL[k], H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    r->nozzle = fine(in) ? calloc((size_t)n[0], sizeof *r->nozzle) : NULL;
    if (!r->nozzle)
        no_memory(in);
    for (size_t i = 0; i < n[0] && fine(in); i++) {
        r->nozzle[i] = (store_nozzle){.side = side[i], .spray = spray[i] - 1, .offset_m = real[0][i],
                                      .height_m = real[1][i], .pressure_bar = real[2][i], .flow_L_min = real[3][i]};
        if (spray[i] < 1 || spray[i] > r->n_sprays)
            damaged(in, "sprayer/nozzle_spray");
    }
    r->n_nozzles = (int)n[0];
    for (int k = 0; k < 4; k++)
        free(real[k]);
    free(spray);
    free(side);
}

static void read_sprays(store_in *in, store_result *r)
{
    hsize_t n[1] = {0};
    int8_t *assumed = take(in, "sprayer/assumed", H5T_NATIVE_INT8, sizeof *assumed, 1, n);
    static const char *const REAL[6] = {"sprayer/pressure", "sprayer/dv10", "sprayer/dv50", "sprayer/dv90",
                                        "sprayer/share_below_100_um", "sprayer/share_below_150_um"};
    double *real[6] = {0};
    for (int k = 0; k < 6; k++)
        real[k] = take(in, REAL[k], H5T_NATIVE_DOUBLE, sizeof(double), 1, n);
    r->spray = fine(in) ? calloc((size_t)n[0], sizeof *r->spray) : NULL;
    char **text = fine(in) ? calloc(2 * (size_t)n[0], sizeof *text) : NULL;
    if (!r->spray || !text) {
        no_memory(in);
    } else {
        r->n_sprays = (int)n[0];
        get_texts(in, "sprayer/tip", 1, n[0], text);
        get_texts(in, "sprayer/note", 1, n[0], text + n[0]);
        for (size_t i = 0; i < n[0]; i++)
            r->spray[i] = (store_spray){.tip = text[i], .note = text[n[0] + i], .assumed = assumed[i] != 0,
                                        .pressure_bar = real[0][i], .dv10_um = real[1][i], .dv50_um = real[2][i],
                                        .dv90_um = real[3][i], .share_below_100_um = real[4][i],
                                        .share_below_150_um = real[5][i]};
    }
    free(text);
    for (int k = 0; k < 6; k++)
        free(real[k]);
    free(assumed);
}

static void read_passes(store_in *in, store_result *r)
{
    hsize_t n[1] = {0};
    static const char *const COUNT[4] = {"sprayer/pass_alley", "sprayer/pass_heading", "sprayer/pass_left_open",
                                         "sprayer/pass_right_open"};
    int32_t *count[4] = {0};
    for (int k = 0; k < 4; k++)
        count[k] = take(in, COUNT[k], H5T_NATIVE_INT32, sizeof(int32_t), 1, n);
    double *x_m = take(in, "sprayer/pass_x", H5T_NATIVE_DOUBLE, sizeof *x_m, 1, n);
    r->pass = fine(in) ? calloc((size_t)n[0], sizeof *r->pass) : NULL;
    if (!r->pass)
        no_memory(in);
    for (size_t i = 0; i < n[0] && fine(in); i++)
        r->pass[i] = (store_pass){.x_m = x_m[i], .alley = count[0][i], .heading = count[1][i], .left_open = count[2][i],
                                  .right_open = count[3][i]};
    r->n_passes = (int)n[0];
    free(x_m);
    for (int k = 0; k < 4; k++)
        free(count[k]);
}

static void read_inputs(store_in *in, store_result *r)
{
    const struct { const char *name; double *value; } number[] = {
        {"sprayer/application_rate", &r->application_rate_L_ha},
        {"sprayer/emitted_per_100_m", &r->emitted_L_per_100_m},
        {"sprayer/fan_flow", &r->fan_flow_m3_s},
        {"sprayer/fan_power", &r->fan_power_kW},
        {"inputs/row_spacing", &r->row_spacing_m},
        {"inputs/tree_spacing", &r->tree_spacing_m},
        {"inputs/grass_height", &r->grass_height_m},
        {"inputs/canopy_height", &r->canopy_height_m},
        {"inputs/canopy_base", &r->canopy_base_m},
        {"inputs/canopy_width", &r->canopy_width_m},
        {"inputs/leaf_area_index", &r->leaf_area_index},
        {"inputs/travel_speed", &r->travel_speed_km_h},
        {"inputs/temperature", &r->temperature_degC},
        {"inputs/relative_humidity", &r->relative_humidity_percent},
        {"inputs/wind_speed", &r->wind_speed_m_s},
        {"inputs/wind_height", &r->wind_height_m},
        {"inputs/wind_angle", &r->wind_angle_deg},
        {"inputs/domain_top", &r->domain_top_m},
    };
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++)
        *number[i].value = get_number(in, number[i].name);
    r->name = get_text(in, "inputs/name");
    r->place = get_text(in, "inputs/place");
    r->scenario_text = get_text(in, "inputs/scenario");
    r->resolved = get_text(in, "inputs/resolved");
}

drupelet_status store_read(const char *path, store_result *result)
{
    *result = (store_result){0};
    if (access(path, R_OK) != 0)
        return base_error(DRUPELET_SCENARIO, "%s: cannot be read: %s", path, strerror(errno));
    const store_quiet before = store_quiet_begin();
    store_in in = {.path = path, .status = base_ok()};
    in.file = H5Fopen(path, H5F_ACC_RDONLY, H5P_DEFAULT);
    if (in.file < 0) {
        in.status = base_error(DRUPELET_SCENARIO, "%s: is no result of drupelet (not even HDF5)", path);
    } else {
        read_root(&in, result);
        read_fates(&in, result);
        read_canopy(&in, result);
        read_groups(&in, result);
        read_places(&in, result);
        read_leaves(&in, result);
        read_ground(&in, result);
        read_airborne(&in, result);
        read_collectors(&in, result);
        read_tracks(&in, result);
        read_air(&in, result);
        read_sprays(&in, result);
        read_nozzles(&in, result);
        read_passes(&in, result);
        read_inputs(&in, result);
        H5Fclose(in.file);
    }
    store_quiet_end(before);
    if (!fine(&in))
        store_free(result);
    return in.status;
}

void store_free(store_result *result)
{
    for (int i = 0; i < result->n_sprays; i++) {
        free(result->spray[i].tip);
        free(result->spray[i].note);
    }
    for (int i = 0; i < result->n_collectors; i++)
        free(result->collector[i].name);
    void *const owned[] = {result->name,
                           result->place,
                           result->version,
                           result->caution,
                           result->scenario_text,
                           result->resolved,
                           result->row,
                           result->x_m,
                           result->z_m,
                           result->leaf_deposit,
                           result->leaf_area_density_1_m,
                           result->wood_area_density_1_m,
                           result->ground_x_m,
                           result->ground_distance_m,
                           result->ground_percent_of_rate,
                           result->ground_percent_of_rate_error,
                           result->flux_z_m,
                           result->flux_percent_per_m,
                           result->flux_percent_per_m_error,
                           result->collector,
                           result->collector_part,
                           result->track,
                           result->time_s,
                           result->track_x_m,
                           result->track_y_m,
                           result->track_z_m,
                           result->diameter_um,
                           result->speed_m_s,
                           result->air_x_m,
                           result->air_z_m,
                           result->air_speed_m_s,
                           result->nozzle,
                           result->spray,
                           result->pass};
    for (size_t i = 0; i < sizeof owned / sizeof owned[0]; i++)
        free(owned[i]);
    *result = (store_result){0};
}
