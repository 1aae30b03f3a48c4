/* sim/run/fan_box.c - the air around the sprayer on the middle pass as droplets meet it, for a result that is to keep
 * it: nodes of the pass's grid, and fewer of a fine one; those in line with the outlets are always among them. */
#include "run/fan_box.h"

#include <math.h>
#include <stdlib.h>

#include "base/status.h"

#define MOST_NODES 4e5 /* choice: 8 MB before compression */

/* How many nodes of an axis are kept from the first one on, each so many after the one before. */
static int kept(int n, int first, int each)
{
    return (n - 1 - first) / each + 1;
}

/* The first along the travel, so that the one nearest to the outlets is kept. */
static int first_along(const air_grid *g, int each)
{
    return (int)lround(-g->y_first_m / g->dy_m) % each;
}

static bool make_room(run_fan_box *b)
{
    const size_t n = (size_t)b->nx * (size_t)b->ny * (size_t)b->nz;
    b->x_m = malloc((size_t)b->nx * sizeof *b->x_m);
    b->y_m = malloc((size_t)b->ny * sizeof *b->y_m);
    b->z_m = malloc((size_t)b->nz * sizeof *b->z_m);
    bool there = b->x_m && b->y_m && b->z_m;
    for (int v = 0; v < RUN_FAN_VALUES; v++)
        there = (b->value[v] = malloc(n * sizeof *b->value[v])) && there;
    return there;
}

static void copy(const air_field *field, const air_grid *g, int each, int each_along, run_fan_box *b)
{
    const int first_j = first_along(g, each_along);
    static const int FROM[RUN_FAN_VALUES] = {AIR_U, AIR_V, AIR_W, AIR_SIGMA, AIR_SIGMA_LEVEL};
    for (int i = 0; i < b->nx; i++)
        b->x_m[i] = b->sprayer_x_m + air_grid_x_m(g, i * each);
    for (int j = 0; j < b->ny; j++)
        b->y_m[j] = g->y_first_m + (first_j + j * each_along) * g->dy_m;
    for (int k = 0; k < b->nz; k++)
        b->z_m[k] = k * each * g->dz_m;
    size_t to = 0;
    for (int k = 0; k < b->nz; k++)
        for (int j = 0; j < b->ny; j++)
            for (int i = 0; i < b->nx; i++, to++) {
                const int64_t line = ((int64_t)k * each * g->nx + (int64_t)i * each) * g->ny;
                const int64_t node = line + first_j + (int64_t)j * each_along;
                const float *air = field->node + g->first + AIR_VALUES * node;
                for (int v = 0; v < RUN_FAN_VALUES; v++)
                    b->value[v][to] = air[FROM[v]];
            }
}

drupelet_status run_fan_box_make(const air_field *field, const sprayer_work *work, run_fan_box *b)
{
    const int middle = work->n_passes / 2;
    const air_grid *g = &field->pass[middle];
    const int along = (int)lround(g->dx_m / g->dy_m); /* that many along the travel are as far as one across */
    int each = 1, each_along = 1;
    *b = (run_fan_box){.sprayer_x_m = work->pass[middle].x_m};
    for (;;) {
        b->nx = kept(g->nx, 0, each);
        b->ny = kept(g->ny, first_along(g, each_along), each_along);
        b->nz = kept(g->nz, 0, each);
        if ((double)b->nx * b->ny * b->nz <= MOST_NODES) break;
        if (each_along < each * along)
            each_along = each * along;
        else
            each_along = ++each;
    }
    if (!make_room(b)) {
        run_fan_box_drop(b);
        return base_error(DRUPELET_MEMORY, "no memory for the fan air of the result");
    }
    copy(field, g, each, each_along, b);
    return base_ok();
}

void run_fan_box_drop(run_fan_box *b)
{
    free(b->x_m);
    free(b->y_m);
    free(b->z_m);
    for (int v = 0; v < RUN_FAN_VALUES; v++)
        free(b->value[v]);
    *b = (run_fan_box){0};
}
