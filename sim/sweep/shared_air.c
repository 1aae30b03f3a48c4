/* sim/sweep/shared_air.c - the making of an air that cases share. */
#include "sweep/shared_air.h"

#include <stdlib.h>

#include "base/status.h"

drupelet_status sweep_air_make(const drupelet_scenario *scenario, int n_threads, air_field **field)
{
    *field = NULL;
    orchard_canopy *canopy = NULL;
    sprayer_work *work = malloc(sizeof *work);
    drupelet_status status = work ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the sprayer");
    if (status.code == DRUPELET_OK) status = orchard_create(scenario, &canopy);
    if (status.code == DRUPELET_OK) status = sprayer_work_out(scenario, work);
    if (status.code == DRUPELET_OK) status = air_field_create(scenario, canopy, work, n_threads, field);
    orchard_free(canopy);
    free(work);
    return status;
}
