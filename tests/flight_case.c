/* tests/flight_case.c - canopy, sprayer, air, emission and settings of a scenario, without a run. */
#include "flight_case.h"

#include <omp.h>
#include <string.h>

#include "base/status.h"

#define CALM_SIGMA_M_S 1e-6f
#define CALM_RATE_1_S 1e-9f

/* In place, so that the kernel and the reference read the same. */
static void still_the_turbulence(air_field *field)
{
    for (int64_t n = 0; n + AIR_VALUES <= field->n_floats; n += AIR_VALUES) {
        field->node[n + AIR_SIGMA] = field->node[n + AIR_SIGMA_LEVEL] = CALM_SIGMA_M_S;
        field->node[n + AIR_RATE] = CALM_RATE_1_S;
    }
}

drupelet_status flight_case_open(const char *path, const char *const set[4], int64_t n_droplets, bool calm,
                                 flight_case *c)
{
    const run_round all = {0, n_droplets, TALLY_PARTS};
    int n = 0;
    while (n < 4 && set && set[n])
        n++;
    memset(c, 0, sizeof *c);
    drupelet_status status = drupelet_scenario_read(path, set, n, &c->scenario);
    if (status.code == DRUPELET_OK)
        status = orchard_create(c->scenario, &c->canopy);
    if (status.code == DRUPELET_OK)
        status = sprayer_work_out(c->scenario, &c->work);
    if (status.code == DRUPELET_OK)
        status = air_field_create(c->scenario, c->canopy, &c->work, NULL, omp_get_max_threads(), &c->field);
    if (status.code == DRUPELET_OK)
        status = run_emission_create(c->scenario, &c->work, &all, c->scenario->run.seed, &c->emission);
    if (status.code != DRUPELET_OK)
        return status;
    if (calm)
        still_the_turbulence(c->field);
    droplet_setting_make(c->scenario, &c->work, c->canopy, c->field, c->scenario->run.seed, NULL, &c->setting);
    droplet_targets_make(c->scenario, c->scenario->run.seed, &c->targets);
    if (!reference_setting_make(c->scenario, &c->work, c->canopy, c->field, &c->setting, &c->reference))
        return base_error(DRUPELET_MEMORY, "no memory for the reference's air");
    c->reference.turbulent = !calm;
    return status;
}

void flight_case_close(flight_case *c)
{
    reference_setting_free(&c->reference);
    run_emission_free(c->emission);
    air_field_free(c->field);
    orchard_free(c->canopy);
    drupelet_scenario_free(c->scenario);
    memset(c, 0, sizeof *c);
}

run_start flight_case_emit(const flight_case *c, int64_t id, bool calm, droplet_batch *b, int i)
{
    const run_start start = run_emit(c->emission, id, b, i);
    if (calm) {
        b->eddy_x[i] = b->eddy_y[i] = b->eddy_z[i] = 0.0f;
        b->path_limit[i] = 1e30f;
    }
    return start;
}

void flight_case_park(droplet_batch *b)
{
    memset(b, 0, sizeof *b);
    for (int i = 0; i < DROPLET_LANES; i++) {
        b->diameter_m[i] = b->whole_m[i] = 1e-4f;
        b->density_kg_m3[i] = 1000.0f;
        b->z_m[i] = 1.0f;
        b->path_limit[i] = 1.0f;
    }
}
