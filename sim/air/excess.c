/* sim/air/excess.c - room for what the jets of a pass add to the ambient. */
#include "air/excess.h"

#include <stdlib.h>
#include <string.h>

#include "base/large_memory.h"
#include "base/status.h"

enum { ARRAYS = 6 };

drupelet_status air_excess_create(const air_grid *grid, air_excess *e)
{
    const size_t n = (size_t)grid->nx * (size_t)grid->ny * (size_t)grid->nz;
    float *all = base_large_alloc(ARRAYS * n * sizeof *all);
    *e = (air_excess){0};
    if (!all)
        return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    *e = (air_excess){n, all, all + n, all + 2 * n, all + 3 * n, all + 4 * n, all + 5 * n};
    air_excess_clear(e, 0, n);
    return base_ok();
}

void air_excess_clear(air_excess *e, size_t first, size_t n)
{
    for (int a = 0; a < ARRAYS; a++)
        memset(e->u_m_s + (size_t)a * e->n_nodes + first, 0, n * sizeof *e->u_m_s); /* the others follow it */
}

void air_excess_free(air_excess *e)
{
    free(e->u_m_s);
    *e = (air_excess){0};
}
