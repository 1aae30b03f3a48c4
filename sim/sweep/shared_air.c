/* sim/sweep/shared_air.c - the key of an air, and its making.
 *
 * The air is made of orchard, canopy, passes, outlets, fan, wind, stability and grid (air/field.c, air/outlets.c,
 * air/wind.c). The key is a hash of the scenario's bytes after everything else was blanked; a member that is added to
 * the scenario one day counts until somebody adds it here. tests/test_sweep_air.c holds each blanked value against the
 * air. */
#include "sweep/shared_air.h"

#include <stdlib.h>
#include <string.h>

#include "base/status.h"

static int sides_that_spray(const drupelet_scenario *s)
{
    int sides = 0;
    for (int i = 0; i < s->sprayer.n_nozzles; i++)
        if (!s->sprayer.nozzle[i].plugged)
            sides |= s->sprayer.nozzle[i].side == SCENARIO_LEFT ? 1 : 2;
    return sides;
}

void sweep_air_only(const drupelet_scenario *scenario, drupelet_scenario *s)
{
    memcpy(s, scenario, sizeof *s); /* with what lies between members: it is 0 from the start */
    memset(s->name, 0, sizeof s->name);
    memset(s->place, 0, sizeof s->place);
    s->text = s->resolved = NULL;
    s->canopy.measured = NULL;
    s->canopy.leaf_width_m = s->canopy.leaf_angle_ratio = s->canopy.clumping = 0.0;
    s->canopy.wet_share = s->canopy.retention_m = s->canopy.wood_diameter_m = 0.0;
    s->canopy.upper_side = s->canopy.lower_side = SCENARIO_EASY;
    memset(s->canopy.leaf_surface, 0, sizeof s->canopy.leaf_surface);
    s->orchard.grass_blade_width_m = 0.0;
    s->sprayer.tank_m3 = s->sprayer.fan_reference_power_W = 0.0;
    s->sprayer.n_nozzles = sides_that_spray(scenario); /* a pass on which nothing sprays is none */
    memset(s->sprayer.nozzle, 0, sizeof s->sprayer.nozzle);
    s->n_tips = 0;
    memset(s->tip, 0, sizeof s->tip);
    memset(&s->liquid, 0, sizeof s->liquid);
    s->weather.temperature_K = s->weather.relative_humidity = s->weather.pressure_Pa = 0.0;
    s->run.n_droplets = 0;
    memset(s->run.droplets_at, 0, sizeof s->run.droplets_at);
    s->run.target_error = 0.0;
    s->run.target = (scenario_target)0;
    s->run.plain_sampling = false;
    s->run.time_limit_s = s->run.step_scale = 0.0;
    s->run.ventilation = SCENARIO_RANZ_MARSHALL;
    s->run.transient_temperature = s->run.spray_humidity = false;
    s->n_collectors = 0;
    memset(s->collector, 0, sizeof s->collector);
}

sweep_identity sweep_air_key(const drupelet_scenario *scenario)
{
    sweep_identity key = {{0, 0}};
    drupelet_scenario *rest = malloc(sizeof *rest);
    if (!rest) /* an air of its own: slower, not wrong */
        return sweep_hash(key, scenario->resolved, strlen(scenario->resolved));
    sweep_air_only(scenario, rest);
    key = sweep_hash(key, rest, sizeof *rest);
    free(rest);
    const scenario_measured_canopy *m = scenario->canopy.measured;
    if (m) {
        const size_t n = (size_t)scenario_measured_voxels(m) * sizeof(float);
        const int32_t shape[4] = {m->n_rows, m->nx, m->ny, m->nz};
        const double edges[2] = {m->edge_m, m->length_m};
        key = sweep_hash(key, shape, sizeof shape);
        key = sweep_hash(key, edges, sizeof edges);
        key = sweep_hash(key, m->leaf_area_density_1_m, n);
        if (m->wood_area_density_1_m)
            key = sweep_hash(key, m->wood_area_density_1_m, n);
    }
    return key;
}

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
