/* tests/grown.c - see grown.h. */
#include "grown.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

orchard_canopy *grown(const drupelet_scenario *scenario)
{
    orchard_canopy *canopy = NULL;
    const drupelet_status status = orchard_create(scenario, &canopy);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return canopy;
}

int64_t grown_at(const orchard_canopy *c, int row, int iz, int iy, int ix)
{
    return (((int64_t)row * c->nz + iz) * c->ny + iy) * c->nx + ix;
}
