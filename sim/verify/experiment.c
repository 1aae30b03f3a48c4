/* sim/verify/experiment.c - flies the droplets of a check, portion by portion. */
#include "verify/experiment.h"

#include <stdlib.h>

#include "base/status.h"
#include "droplet/lane.h"

/* Turns a droplet back at the lid, or up from the floor where its own small fall took it. */
static void turn_back(const experiment *e, droplet_batch *b, int i)
{
    if ((double)b->z_m[i] > e->top_m) {
        b->z_m[i] = (float)(2.0 * e->top_m) - b->z_m[i];
        b->eddy_z[i] = -b->eddy_z[i];
        b->w_m_s[i] = -b->w_m_s[i];
        b->turbulent_w_m_s[i] = -b->turbulent_w_m_s[i];
        b->next_s[i] = 0.0f;
    }
    if ((double)b->z_m[i] < e->floor_m)
        b->z_m[i] = (float)(2.0 * e->floor_m) - b->z_m[i];
}

/* What a thread flies at once; which droplets these are does not depend on the number of threads. */
enum { PORTION_DROPLETS = 20 * DROPLET_LANES };

static void start(const experiment *e, const flight_box *box, const droplet_lane *empty, droplet_batch *b, int i,
                  int ordinal)
{
    droplet_lane_put(empty, b, i);
    b->id_low[i] = (uint32_t)ordinal;
    flight_box_place(box, b, i, 0.0, e->start_z_m(e, ordinal), e->diameter_m);
    b->w_m_s[i] -= (float)e->fall_m_s;
}

/* A lane whose droplet has ended takes the next one: slow droplets near the ground keep no other lane waiting. */
static void fly_portion(experiment *e, const flight_box *box, droplet_flight flight, droplet_batch *b, int first)
{
    const int total = e->batches * DROPLET_LANES, end = first + PORTION_DROPLETS;
    const int behind = end < total ? end : total;
    int next = first, in_flight = 0;
    droplet_lane empty;
    flight_box_park(b, 0);
    droplet_lane_take(b, 0, &empty);
    for (; in_flight < DROPLET_LANES && next < behind; in_flight++)
        start(e, box, &empty, b, in_flight, next++);
    while (in_flight > 0) {
        flight(&box->setting, b);
        for (int i = 0; i < DROPLET_LANES; i++) {
            if (b->aloft[i] == 0.0f)
                continue;
            if (e->lid)
                turn_back(e, b, i);
            if (e->each)
                e->each(e, b, i);
            const bool out = !e->lid && (b->found[i] & (DROPLET_LANDED | DROPLET_LEFT)) != 0;
            if (out || (double)b->time_s[i] > e->end_s) {
                if (e->look)
                    e->look(e, b, i);
                b->aloft[i] = 0.0f;
                if (next < behind)
                    start(e, box, &empty, b, i, next++);
                else
                    in_flight--;
            }
        }
    }
}

drupelet_status experiment_run(experiment *e, flight_box *box)
{
    const droplet_flight flight = droplet_flight_pick();
    const int portions = (e->batches * DROPLET_LANES + PORTION_DROPLETS - 1) / PORTION_DROPLETS;
    double *sums = calloc((size_t)portions * (size_t)e->n_sums, sizeof *sums);
    bool enough = sums != NULL;
#pragma omp parallel
    {
        droplet_batch *b = aligned_alloc(64, (sizeof *b + 63) / 64 * 64);
        experiment own = *e;
#pragma omp for schedule(dynamic, 1)
        for (int p = 0; p < portions; p++) {
            own.sum = sums + (int64_t)p * e->n_sums;
            if (b && sums)
                fly_portion(&own, box, flight, b, p * PORTION_DROPLETS);
        }
#pragma omp critical
        enough = enough && b;
        free(b);
    }
    for (int p = 0; enough && p < portions; p++) /* in their order: the same number for any threads */
        for (int k = 0; k < e->n_sums; k++)
            e->sum[k] += sums[(int64_t)p * e->n_sums + k];
    free(sums);
    return enough ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the dispersion checks");
}
