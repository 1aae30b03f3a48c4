/* sim/store/read_paths.c - paths of droplets, the slice of the air and the virtual collectors of a result file. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "store/read.h"
#include "tally/tracks.h"

enum { MOST_SLICE = 1 << 14 }; /* places of the air's slice on an axis; choice: the largest domain has some thousand */

/* ---- collectors ---- */

/* The measures of n collectors or parts; each stands stride bytes behind the one before. */
static void read_measures(store_in *in, const char *before, const hsize_t n[1], run_measured *measured, size_t stride)
{
    tally_estimate *estimate = store_in_memory(in, (size_t)n[0], sizeof *estimate);
    for (int m = 0; m < RUN_MEASURES && store_in_fine(in); m++) {
        char name[STORE_IN_NAME];
        snprintf(name, sizeof name, "collectors/%s%s", before, run_measure_name((run_measure)m));
        store_read_estimates(in, name, 1, n, STORE_NET_OR_NONE, estimate);
        for (size_t i = 0; i < n[0] && store_in_fine(in); i++)
            ((run_measured *)(void *)((char *)measured + i * stride))->of[m] = estimate[i];
    }
    free(estimate);
}

/* Which parts are whose: those of one collector follow one another, and each has some. */
static void share_parts(store_in *in, store_result *r, size_t n_parts, const int32_t *of)
{
    for (size_t i = 0; i < n_parts && store_in_fine(in); i++) {
        const int32_t before = i > 0 ? of[i - 1] : 0;
        if (of[i] < before || of[i] > before + 1 || of[i] > r->n_collectors) {
            store_in_refuse(in, "collectors/part_collector", "collectors one after the other", "%d after %d", of[i],
                            before);
            return;
        }
        store_collector *c = &r->collector[of[i] - 1];
        c->first_part = c->n_parts++ == 0 ? (int)i : c->first_part;
    }
}

static void read_collector_places(store_in *in, store_result *r, hsize_t n[1])
{
    static const struct { const char *name; bool none; } REAL[6] = {
        {"collectors/x", false},   {"collectors/distance", false}, {"collectors/height", false},
        {"collectors/top", false}, {"collectors/width", false},    {"collectors/facing", true}};
    double *real[6] = {0};
    int32_t *kind = store_read_counts(in, "collectors/kind", n, 0, SCENARIO_CARD);
    for (int k = 0; k < 6; k++)
        real[k] = store_read_numbers(in, REAL[k].name, 1, n, REAL[k].none ? STORE_PLACE_OR_NONE : STORE_PLACE);
    const int most = store_in_size(in, "collectors/kind", n[0], SCENARIO_COLLECTORS);
    char **name = store_in_texts(in, "collectors/collector", 1, n, SCENARIO_COLLECTORS);
    r->collector = store_in_memory(in, (size_t)n[0], sizeof *r->collector);
    for (int i = 0; i < most && r->collector; i++)
        r->collector[i] = (store_collector){.name = name[i], .kind = (scenario_collector_kind)kind[i],
                                            .x_m = real[0][i], .distance_m = real[1][i], .height_m = real[2][i],
                                            .top_m = real[3][i], .width_m = real[4][i], .facing_deg = real[5][i]};
    r->n_collectors = r->collector ? most : 0;
    for (int i = 0; i < most && name && !r->collector; i++)
        free(name[i]);
    free(name);
    for (int k = 0; k < 6; k++)
        free(real[k]);
    free(kind);
}

void store_read_collectors(store_in *in, store_result *r)
{
    hsize_t n[1] = {0}, parts[1] = {0};
    if (!store_in_has(in, "collectors/collector"))
        return; /* a run without collectors, or a file from before there were any */
    read_collector_places(in, r, n);
    int32_t *of = store_read_counts(in, "collectors/part_collector", parts, 1, SCENARIO_COLLECTORS);
    double *low_m = store_read_numbers(in, "collectors/part_low", 1, parts, STORE_PLACE);
    double *high_m = store_read_numbers(in, "collectors/part_high", 1, parts, STORE_PLACE);
    r->collector_part = store_in_memory(in, (size_t)parts[0], sizeof *r->collector_part);
    if (r->collector_part) {
        r->n_collector_parts = (int)parts[0];
        share_parts(in, r, (size_t)parts[0], of);
        for (size_t i = 0; i < parts[0]; i++) {
            r->collector_part[i].low_m = low_m[i];
            r->collector_part[i].high_m = high_m[i];
        }
        read_measures(in, "", n, &r->collector[0].measured, sizeof *r->collector);
        read_measures(in, "part_", parts, &r->collector_part[0].measured, sizeof *r->collector_part);
    }
    free(high_m);
    free(low_m);
    free(of);
}

/* ---- paths ---- */

static void read_points(store_in *in, store_result *r, hsize_t points[1])
{
    static const store_range size_um = {0.0, 1e6, false}, speed_m_s = {0.0, 1e4, false}, time_s = {0.0, 1e6, false};
    r->time_s = store_read_floats(in, "tracks/time", 1, points, time_s);
    r->track_x_m = store_read_floats(in, "tracks/x", 1, points, STORE_PLACE);
    r->track_y_m = store_read_floats(in, "tracks/y", 1, points, STORE_PLACE);
    r->track_z_m = store_read_floats(in, "tracks/z", 1, points, STORE_PLACE);
    r->diameter_um = store_read_floats(in, "tracks/diameter", 1, points, size_um);
    r->speed_m_s = store_read_floats(in, "tracks/speed", 1, points, speed_m_s);
    r->n_points = store_in_size(in, "tracks/time", points[0], (double)TALLY_TRACKS * TALLY_TRACK_POINTS);
}

/* Columns of the paths: whole numbers and real ones. */
enum { POINTS, ALLEY, NOZZLE, BOUNCES, SHATTERS, FATE, WHOLE };
enum { WEIGHT, DIAMETER, REBOUND, REAL };

static void fill_paths(store_in *in, store_result *r, const int64_t *droplet, int32_t *const whole[WHOLE],
                       double *const real[REAL])
{
    int64_t first = 0;
    for (int i = 0; i < r->n_tracks; i++) {
        r->track[i] = (store_track){.droplet = droplet[i], .first = first, .n_points = whole[POINTS][i],
                                    .alley = whole[ALLEY][i], .nozzle = whole[NOZZLE][i],
                                    .bounces = whole[BOUNCES][i], .shatters = whole[SHATTERS][i],
                                    .fate = (int8_t)whole[FATE][i], .weight = real[WEIGHT][i],
                                    .emitted_diameter_um = real[DIAMETER][i],
                                    .last_rebound_s = real[REBOUND] ? real[REBOUND][i] : NAN};
        first += whole[POINTS][i];
    }
    if (first != r->n_points)
        store_in_refuse(in, "tracks/row_size", "as many as tracks/time has", "%lld points together", (long long)first);
}

void store_read_tracks(store_in *in, store_result *r)
{
    static const struct { const char *name; int32_t most; } WHOLES[WHOLE] = {
        [POINTS] = {"tracks/row_size", TALLY_TRACK_POINTS}, [ALLEY] = {"tracks/alley", SCENARIO_ROWS},
        [NOZZLE] = {"tracks/nozzle", SCENARIO_NOZZLES},     [BOUNCES] = {"tracks/bounces", INT32_MAX},
        [SHATTERS] = {"tracks/shatters", INT32_MAX},        [FATE] = {"tracks/fate", TALLY_FATES - 1}};
    hsize_t n[1] = {0}, points[1] = {0};
    int32_t *whole[WHOLE] = {0};
    double *real[REAL] = {0};
    if (!store_in_has(in, "tracks/row_size"))
        return; /* a run without paths */
    for (int k = 0; k < WHOLE; k++)
        whole[k] = store_read_counts(in, WHOLES[k].name, n, k == NOZZLE, WHOLES[k].most);
    int64_t *droplet = store_in_take(in, "tracks/droplet", STORE_INT64, 1, n);
    real[WEIGHT] = store_read_numbers(in, "tracks/weight", 1, n, STORE_AMOUNT);
    real[DIAMETER] = store_read_numbers(in, "tracks/emitted_diameter", 1, n, STORE_AMOUNT);
    if (store_in_has(in, "tracks/last_rebound"))
        real[REBOUND] = store_read_numbers(in, "tracks/last_rebound", 1, n, STORE_AMOUNT_OR_NONE);
    read_points(in, r, points);
    r->n_tracks = store_in_size(in, "tracks/row_size", n[0], TALLY_TRACKS);
    r->track = store_in_memory(in, (size_t)n[0], sizeof *r->track);
    if (r->track)
        fill_paths(in, r, droplet, whole, real);
    free(droplet);
    for (int k = 0; k < REAL; k++)
        free(real[k]);
    for (int k = 0; k < WHOLE; k++)
        free(whole[k]);
}

/* ---- air ---- */

void store_read_air(store_in *in, store_result *r)
{
    static const store_range speed_m_s = {0.0, 1e4, false};
    hsize_t z[1] = {0}, x[1] = {0};
    if (!store_in_has(in, "air/air_speed"))
        return;
    r->air_z_m = store_read_axis(in, "air/z", z, MOST_SLICE);
    r->air_x_m = store_read_axis(in, "air/x", x, MOST_SLICE);
    hsize_t both[2] = {z[0], x[0]};
    r->air_speed_m_s = store_read_floats(in, "air/air_speed", 2, both, speed_m_s);
    r->air_nz = store_in_size(in, "air/z", z[0], MOST_SLICE);
    r->air_nx = store_in_size(in, "air/x", x[0], MOST_SLICE);
}
