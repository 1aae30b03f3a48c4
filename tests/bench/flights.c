/* tests/bench/flights.c - the kernel's loop without a run around it: for the places that it visits, and for flights in
 * calm air. */
#include "flights.h"

#include <stdlib.h>
#include <string.h>

enum { WARM_ROUNDS = 400 };

/* Ends, or lets fly on, a lane that something was found about. @return false: the lane is free */
static bool goes_on(const flight_case *c, droplet_batch *b, int i)
{
    if (b->found[i] & (DROPLET_LANDED | DROPLET_LEFT | DROPLET_LATE))
        return false;
    if (!(b->found[i] & DROPLET_HIT))
        return true;
    const droplet_encounter e = droplet_meet(&c->setting, &c->targets, b, i);
    return e.target != DROPLET_ON_GRASS && e.kept < 1.0;
}

static void note(const flight_case *c, const droplet_batch *b, int64_t at, yardstick_visits *v)
{
    for (int i = 0; i < DROPLET_LANES; i++) {
        const double place_m[3] = {(double)b->x_m[i], (double)b->y_m[i], (double)b->z_m[i]};
        const reference_grid *grid;
        double cell[3];
        reference_locate(&c->reference.air, b->i_pass[i], place_m, (double)b->time_s[i], &grid, cell);
        v->first[at + i] = (int32_t)grid->first;
        v->x[at + i] = (float)cell[0];
        v->y[at + i] = (float)cell[1];
        v->z[at + i] = (float)cell[2];
    }
}

bool bench_record_visits(const flight_case *c, droplet_flight flight, int64_t n, yardstick_visits *v)
{
    const int64_t all = c->emission->per_batch * TALLY_BATCHES;
    droplet_batch *b = aligned_alloc(64, sizeof *b);
    int64_t id = 0;
    n = n / DROPLET_LANES / YARDSTICK_LANES * DROPLET_LANES * YARDSTICK_LANES;
    *v = (yardstick_visits){n, malloc((size_t)n * sizeof *v->first), malloc((size_t)n * sizeof *v->x),
                            malloc((size_t)n * sizeof *v->y), malloc((size_t)n * sizeof *v->z)};
    const bool ready = b && v->first && v->x && v->y && v->z;
    if (ready) {
        flight_case_park(b);
        for (int i = 0; i < DROPLET_LANES; i++)
            flight_case_emit(c, id++, false, b, i);
    }
    for (int64_t round = -WARM_ROUNDS; ready && round * DROPLET_LANES < n; round++) {
        if (round >= 0)
            note(c, b, round * DROPLET_LANES, v);
        flight(&c->setting, b);
        for (int i = 0; i < DROPLET_LANES; i++)
            if (b->found[i] && !goes_on(c, b, i))
                flight_case_emit(c, id++ % all, false, b, i);
    }
    free(b);
    return ready;
}

void bench_free_visits(yardstick_visits *v)
{
    free(v->first);
    free(v->x);
    free(v->y);
    free(v->z);
    memset(v, 0, sizeof *v);
}

yardstick_grids bench_grids(const reference_air *air)
{
    const reference_grid *g[2] = {&air->pass[0], &air->ambient};
    yardstick_grids grids = {.node = air->node, .far_first = (int32_t)air->ambient.first};
    for (int kind = 0; kind < 2; kind++) {
        grids.nx[kind] = g[kind]->nx;
        grids.ny[kind] = g[kind]->ny;
        grids.nz[kind] = g[kind]->nz;
    }
    return grids;
}

int64_t bench_id(const flight_case *c, int i, int n)
{
    return (int64_t)i * c->emission->per_batch * TALLY_BATCHES / n;
}

int64_t bench_fly_kernel(const flight_case *c, droplet_flight flight, int n, double time_s, bench_end *end)
{
    droplet_setting setting = c->setting;
    droplet_batch *b = aligned_alloc(64, sizeof *b);
    int64_t steps = 0;
    int next = 0, in_flight = 0, droplet[DROPLET_LANES];
    if (!b)
        return -1;
    setting.time_limit_s = (float)time_s;
    flight_case_park(b);
    for (; in_flight < DROPLET_LANES && next < n; in_flight++, next++) {
        flight_case_emit(c, bench_id(c, next, n), true, b, in_flight);
        droplet[in_flight] = next;
    }
    while (in_flight > 0) {
        flight(&setting, b);
        for (int i = 0; i < DROPLET_LANES; i++) {
            if (!b->found[i])
                continue;
            end[droplet[i]] = (bench_end){{(double)b->x_m[i], (double)b->y_m[i], (double)b->z_m[i]},
                                          (double)b->time_s[i]};
            steps += b->step[i];
            if (next < n) {
                flight_case_emit(c, bench_id(c, next, n), true, b, i);
                droplet[i] = next++;
            } else {
                b->aloft[i] = 0.0f;
                in_flight--;
            }
        }
    }
    free(b);
    return steps;
}
