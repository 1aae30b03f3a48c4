/* tests/bench/flights.c - places that the kernel visits, and its loop without a run around it, for flights in calm air.
 */
#include "flights.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { WARM_STEPS = 400 }; /* the first droplets are all of one age */

bool bench_visits_make(int64_t n, yardstick_visits *v)
{
    n = n / DROPLET_LANES / YARDSTICK_LANES * DROPLET_LANES * YARDSTICK_LANES;
    *v = (yardstick_visits){n, malloc((size_t)n * sizeof *v->first), malloc((size_t)n * sizeof *v->x),
                            malloc((size_t)n * sizeof *v->y), malloc((size_t)n * sizeof *v->z)};
    return v->first && v->x && v->y && v->z;
}

/* Where the kernel reads the air in the step that comes: as far on as the velocity takes the droplet in half of it. */
static void note(const reference_air *air, const droplet_batch *b, int i, int64_t at, yardstick_visits *v)
{
    const double half_s = 0.5 * fmax((double)b->next_s[i], BENCH_SHORTEST_S);
    const double place_m[3] = {(double)b->x_m[i] + half_s * (double)b->u_m_s[i],
                               (double)b->y_m[i] + half_s * (double)b->v_m_s[i],
                               (double)b->z_m[i] + half_s * (double)b->w_m_s[i]};
    const reference_grid *grid;
    double cell[3];
    reference_locate(air, b->i_pass[i], place_m, (double)b->time_s[i] + half_s, &grid, cell);
    v->first[at] = (int32_t)grid->first;
    v->x[at] = (float)cell[0];
    v->y[at] = (float)cell[1];
    v->z[at] = (float)cell[2];
}

bool bench_note_visits(const reference_air *air, const droplet_batch *b, int64_t i_step, yardstick_visits *v)
{
    const int64_t first = (i_step - WARM_STEPS) * DROPLET_LANES;
    if (first >= v->n)
        return false;
    for (int i = 0; first >= 0 && i < DROPLET_LANES; i++)
        note(air, b, i, first + i, v);
    return true;
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
