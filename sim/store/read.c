/* sim/store/read.c - reads a result file back, and says in one line what is wrong with a file that is none.
 *
 * Shapes come from the file, so each is checked against the axes before anything is filled in, and each number against
 * what a run can make. Left out: what neither the picture nor a page shows. */
#include "store/read.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/status.h"

enum { MOST_STRIPS = 1 << 16 }; /* of ground or height; choice: the largest domain has some thousand */

/* ---- numbers in their ranges ---- */

static size_t product(int rank, const hsize_t shape[])
{
    size_t n = 1;
    for (int i = 0; i < rank; i++)
        n *= (size_t)shape[i];
    return n;
}

void store_read_estimates(store_in *in, const char *name, int rank, const hsize_t shape[], store_range range,
                          tally_estimate *estimate)
{
    char error_name[STORE_IN_NAME];
    const size_t n = product(rank, shape);
    double *value = store_in_memory(in, n, sizeof *value);
    if (!value)
        return;
    store_in_get(in, name, STORE_DOUBLE, rank, shape, value);
    store_in_check(in, name, n, value, range);
    for (size_t i = 0; i < n && store_in_fine(in); i++)
        estimate[i].share = value[i];
    snprintf(error_name, sizeof error_name, "%s_standard_error", name);
    store_in_get(in, error_name, STORE_DOUBLE, rank, shape, value);
    store_in_check(in, error_name, n, value, (store_range){0.0, range.high, range.nan_too});
    for (size_t i = 0; i < n && store_in_fine(in); i++)
        estimate[i].error = value[i];
    free(value);
}

void store_read_estimates_or_none(store_in *in, const char *name, int rank, const hsize_t shape[], store_range range,
                                  tally_estimate *estimate)
{
    const size_t n = product(rank, shape);
    if (store_in_has(in, name))
        store_read_estimates(in, name, rank, shape, range, estimate);
    else
        for (size_t i = 0; i < n; i++)
            estimate[i] = (tally_estimate){NAN, NAN};
}

static void read_or_none(store_in *in, const char *name, hsize_t n, store_range range, double *value)
{
    if (store_in_has(in, name)) {
        store_in_get(in, name, STORE_DOUBLE, 1, &n, value);
        store_in_check(in, name, (size_t)n, value, range);
    } else {
        for (hsize_t i = 0; i < n; i++)
            value[i] = NAN;
    }
}

double *store_read_numbers(store_in *in, const char *name, int rank, hsize_t shape[], store_range range)
{
    double *value = store_in_take(in, name, STORE_DOUBLE, rank, shape);
    if (value)
        store_in_check(in, name, product(rank, shape), value, range);
    return value;
}

float *store_read_floats(store_in *in, const char *name, int rank, hsize_t shape[], store_range range)
{
    float *value = store_in_take(in, name, STORE_FLOAT, rank, shape);
    if (value)
        store_in_check_floats(in, name, product(rank, shape), value, range);
    return value;
}

int32_t *store_read_counts(store_in *in, const char *name, hsize_t n[1], int32_t low, int32_t high)
{
    int32_t *value = store_in_take(in, name, STORE_INT32, 1, n);
    if (value)
        store_in_check_counts(in, name, (size_t)n[0], value, low, high);
    return value;
}

double *store_read_axis(store_in *in, const char *name, hsize_t n[1], double most)
{
    double *value = store_in_take(in, name, STORE_DOUBLE, 1, n);
    store_in_size(in, name, n[0], most);
    if (value)
        store_in_check_axis(in, name, (size_t)n[0], value, STORE_PLACE);
    return value;
}

/* ---- groups ---- */

static void read_root(store_in *in, store_result *r)
{
    int64_t format;
    store_in_note_whole(in, "format_number", &format);
    if (store_in_fine(in) && format != STORE_FORMAT)
        in->status = base_error(DRUPELET_SCENARIO, "%s: is a result of format %lld, and this program reads format %d",
                                in->path, (long long)format, STORE_FORMAT);
    store_in_note_unsigned(in, "seed", &r->seed);
    store_in_note_whole(in, "n_droplets", &r->n_droplets);
    if (store_in_fine(in) && r->n_droplets < 1)
        store_in_refuse(in, "n_droplets", "1 or more", "%lld", (long long)r->n_droplets);
    r->version = store_in_note(in, NULL, "program_version");
    r->caution = store_in_note(in, NULL, "caution");
}

static void read_sizes(store_in *in, store_result *r)
{
    const hsize_t sizes[1] = {TALLY_SIZES}, fates[2] = {TALLY_SIZES, TALLY_FATES},
                  outcomes[3] = {TALLY_TARGETS, TALLY_SIZES, TALLY_OUTCOMES};
    store_in_get(in, "fates/size_low", STORE_DOUBLE, 1, sizes, r->size_low_um);
    store_in_check_axis(in, "fates/size_low", TALLY_SIZES, r->size_low_um, STORE_AMOUNT);
    store_in_get(in, "fates/size_high", STORE_DOUBLE, 1, sizes, r->size_high_um);
    store_in_check_axis(in, "fates/size_high", TALLY_SIZES, r->size_high_um, STORE_AMOUNT);
    store_read_estimates(in, "fates/by_size", 2, fates, STORE_SHARE, r->size_fate[0]);
    store_read_estimates_or_none(in, "fates/emitted", 1, sizes, STORE_SHARE, r->size_emitted);
    store_read_estimates_or_none(in, "fates/outcome_by_size", 3, outcomes, STORE_SHARE_OR_NONE,
                                 r->size_outcome[0][0]);
    read_or_none(in, "fates/settling_speed", TALLY_SIZES, STORE_AMOUNT_OR_NONE, r->settling_m_s);
    read_or_none(in, "fates/lifetime", TALLY_SIZES, STORE_AMOUNT_OR_NONE, r->lifetime_s);
    read_or_none(in, "fates/dry_after_fall", TALLY_SIZES, STORE_AMOUNT_OR_NONE, r->dry_after_fall_m);
}

static void read_fates(store_in *in, store_result *r)
{
    const hsize_t fates[1] = {TALLY_FATES}, outcomes[2] = {TALLY_TARGETS, TALLY_OUTCOMES}, groups[1] = {TALLY_GROUPS};
    store_read_estimates(in, "fates/active_ingredient", 1, fates, STORE_SHARE, r->fate);
    store_read_estimates(in, "fates/water", 1, fates, STORE_SHARE, r->water);
    store_read_estimates(in, "fates/evaporated", 0, NULL, STORE_SHARE, &r->evaporated);
    store_read_estimates(in, "fates/impacts", 2, outcomes, STORE_AMOUNT, r->impacts[0]);
    store_read_estimates(in, "fates/stayed", 2, outcomes, STORE_SHARE, r->stayed[0]);
    store_read_estimates_or_none(in, "fates/together", 1, groups, STORE_SHARE, r->together);
    store_read_estimates_or_none(in, "fates/outcome_share", 2, outcomes, STORE_SHARE_OR_NONE, r->outcome_share[0]);
    read_sizes(in, r);
}

static void read_ground(store_in *in, store_result *r)
{
    hsize_t n[1] = {0};
    const hsize_t curve[1] = {SCENARIO_CURVE}, sums[1] = {SCENARIO_SUMS};
    r->ground_x_m = store_read_axis(in, "ground/x", n, MOST_STRIPS);
    r->ground_distance_m = store_read_axis(in, "ground/distance", n, MOST_STRIPS);
    r->ground_percent_of_rate = store_read_numbers(in, "ground/percent_of_rate", 1, n, STORE_AMOUNT_OR_NONE);
    r->ground_percent_of_rate_error =
        store_read_numbers(in, "ground/percent_of_rate_standard_error", 1, n, STORE_AMOUNT_OR_NONE);
    r->n_ground = store_in_size(in, "ground/x", n[0], MOST_STRIPS);
    r->block_low_x_m = store_in_number(in, "ground/block_low_x", STORE_PLACE);
    r->block_high_x_m = store_in_number(in, "ground/block_high_x", STORE_PLACE);
    if (store_in_fine(in) && !(r->block_high_x_m > r->block_low_x_m))
        store_in_refuse(in, "ground/block_high_x", "a place beyond block_low_x", "%g", r->block_high_x_m);
    r->treated_width_m = store_in_number(in, "ground/treated_width", STORE_PLACE);
    if (store_in_fine(in) && !(r->treated_width_m > 0.0))
        store_in_refuse(in, "ground/treated_width", "a width above 0", "%g", r->treated_width_m);
    store_in_get(in, "ground/curve_distance", STORE_DOUBLE, 1, curve, r->curve_distance_m);
    store_in_check_axis(in, "ground/curve_distance", SCENARIO_CURVE, r->curve_distance_m, STORE_PLACE);
    store_read_estimates(in, "ground/curve", 1, curve, STORE_AMOUNT_OR_NONE, r->curve_percent);
    store_in_get(in, "ground/drift_distance", STORE_DOUBLE, 1, sums, r->drift_distance_m);
    store_in_check_axis(in, "ground/drift_distance", SCENARIO_SUMS, r->drift_distance_m, STORE_PLACE);
    store_read_estimates(in, "ground/drift_sum", 1, sums, STORE_PERCENT_OR_NONE, r->drift_sum_percent);
}

static void read_airborne(store_in *in, store_result *r)
{
    hsize_t n[1] = {0};
    const hsize_t planes[1] = {TALLY_PLANES};
    r->flux_z_m = store_read_axis(in, "airborne/z", n, MOST_STRIPS);
    store_in_get(in, "airborne/plane", STORE_DOUBLE, 1, planes, r->plane_distance_m);
    store_in_check_axis(in, "airborne/plane", TALLY_PLANES, r->plane_distance_m, STORE_PLACE);
    hsize_t both[2] = {TALLY_PLANES, n[0]};
    r->flux_percent_per_m = store_read_numbers(in, "airborne/net_flux", 2, both, STORE_NET_OR_NONE);
    r->flux_percent_per_m_error =
        store_read_numbers(in, "airborne/net_flux_standard_error", 2, both, STORE_AMOUNT_OR_NONE);
    r->n_flux = store_in_size(in, "airborne/z", n[0], MOST_STRIPS);
    store_read_estimates(in, "airborne/net_flux_all_heights", 1, planes, STORE_NET_OR_NONE, r->flux_percent);
}

drupelet_status store_read(const char *path, store_result *result)
{
    store_in in;
    *result = (store_result){0};
    store_in_open(path, STORE_IN_RESULT, &in);
    read_root(&in, result);
    read_fates(&in, result);
    store_read_canopy(&in, result);
    read_ground(&in, result);
    read_airborne(&in, result);
    store_read_collectors(&in, result);
    store_read_tracks(&in, result);
    store_read_air(&in, result);
    store_read_sprayer(&in, result);
    store_read_inputs(&in, result);
    store_read_warnings(&in, result);
    store_in_close(&in);
    if (!store_in_fine(&in))
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
    for (int i = 0; i < result->n_warnings; i++) {
        free(result->warning[i].name);
        free(result->warning[i].sentence);
        free(result->warning[i].found);
        free(result->warning[i].bound);
    }
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
                           result->pass,
                           result->warning};
    for (size_t i = 0; i < sizeof owned / sizeof owned[0]; i++)
        free(owned[i]);
    *result = (store_result){0};
}
