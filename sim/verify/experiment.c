/* sim/verify/experiment.c - flies the droplets of a check, batch by batch. */
#include "verify/experiment.h"

#include <stdlib.h>

#include "base/status.h"

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

static void fly_batch(experiment *e, flight_box *box, droplet_flight flight, droplet_batch *b, int batch)
{
    flight_box_park(b, (uint32_t)(batch * DROPLET_LANES));
    for (int i = 0; i < DROPLET_LANES; i++) {
        flight_box_place(box, b, i, 0.0, e->start_z_m(e, batch * DROPLET_LANES + i), e->diameter_m);
        b->w_m_s[i] -= (float)e->fall_m_s;
    }
    for (int in_flight = DROPLET_LANES; in_flight > 0;) {
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
                in_flight--;
            }
        }
    }
}

drupelet_status experiment_run(experiment *e, flight_box *box)
{
    const droplet_flight flight = droplet_flight_pick();
    double *sums = calloc((size_t)e->batches * (size_t)e->n_sums, sizeof *sums);
    bool enough = sums != NULL;
#pragma omp parallel
    {
        droplet_batch *b = aligned_alloc(64, (sizeof *b + 63) / 64 * 64);
        experiment own = *e;
#pragma omp for schedule(dynamic, 1)
        for (int batch = 0; batch < e->batches; batch++) {
            own.sum = sums + (int64_t)batch * e->n_sums;
            if (b && sums)
                fly_batch(&own, box, flight, b, batch);
        }
#pragma omp critical
        enough = enough && b;
        free(b);
    }
    for (int batch = 0; enough && batch < e->batches; batch++) /* in their order: the same number for any threads */
        for (int k = 0; k < e->n_sums; k++)
            e->sum[k] += sums[(int64_t)batch * e->n_sums + k];
    free(sums);
    return enough ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the dispersion checks");
}
