/* sim/run/run.c - from a scenario to a result: canopy, sprayer, air, droplets, books. */
#include "run/run.h"

#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>

#include "air/air.h"
#include "base/elementary.h"
#include "base/status.h"
#include "base/threads.h"
#include "droplet/encounter.h"
#include "droplet/kernel.h"
#include "run/flight.h"
#include "run/ready.h"
#include "scenario/keys.h"
#include "tally/drift.h"
#include "tally/leaves.h"

static tally_shape shape_of(const drupelet_scenario *scenario, const orchard_canopy *canopy, const sprayer_work *work)
{
    tally_shape s = {.n_rows = canopy->n_rows, .n_voxels = orchard_voxels(canopy)};
    s.treated_width_m = work->treated_width_m;
    s.no_rate = work->stands;
    s.n_passes = work->n_passes;
    s.edge_high_x_m = scenario_high_edge_x_m(&scenario->orchard);
    s.edge_low_x_m = scenario_low_edge_x_m(&scenario->orchard);
    s.domain_low_x_m = s.edge_low_x_m - scenario->run.open_ground_m;
    s.domain_high_x_m = s.edge_high_x_m + scenario->run.open_ground_m;
    s.downwind = base_cos(scenario->weather.wind_angle_rad) >= 0.0 ? 1 : -1;
    s.n_ground = (int)ceil((s.domain_high_x_m - s.domain_low_x_m) / TALLY_GROUND_STEP_M);
    s.n_flux = (int)ceil(scenario->run.domain_top_m / TALLY_FLUX_STEP_M);
    for (int p = 0; p < TALLY_PLANES; p++)
        s.plane_distance_m[p] = scenario_drift_numbers[scenario_drift_first(SCENARIO_DRIFT_AIRBORNE) + p].distance_m;
    return s;
}

drupelet_status run_accounts_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                    const sprayer_work *work, const run_collectors *collectors, tally **accounts)
{
    tally_shape shape = shape_of(scenario, canopy, work);
    shape.n_pieces = collectors ? collectors->n_pieces : 0;
    drupelet_status status = tally_create(&shape, accounts);
    if (status.code == DRUPELET_OK)
        status = run_leaves_create(scenario, canopy, work, *accounts);
    if (status.code != DRUPELET_OK) {
        tally_free(*accounts);
        *accounts = NULL;
    }
    return status;
}

/* Highest air speed that a place across the rows feels while the middle pass's sprayer goes by. */
static drupelet_status make_slice(const air_field *field, const sprayer_work *work, run_air_slice *slice)
{
    const int middle = work->n_passes / 2;
    const air_grid *g = &field->pass[middle];
    *slice = (run_air_slice){.nx = g->nx,
                             .nz = g->nz,
                             .x_first_m = work->pass[middle].x_m + g->x_first_m,
                             .dx_m = g->dx_m,
                             .z_first_m = 0.0,
                             .dz_m = g->dz_m};
    slice->speed_m_s = calloc((size_t)g->nx * (size_t)g->nz, sizeof *slice->speed_m_s);
    if (!slice->speed_m_s)
        return base_error(DRUPELET_MEMORY, "no memory for the slice of air");
#pragma omp taskgroup
    for (int k = 0; k < g->nz; k++)
#pragma omp task
        for (int i = 0; i < g->nx; i++)
            for (int j = 0; j < g->ny; j++) {
                const float *n = field->node + g->first + AIR_VALUES * (((int64_t)k * g->nx + i) * g->ny + j);
                const float speed = sqrtf(n[AIR_U] * n[AIR_U] + n[AIR_V] * n[AIR_V] + n[AIR_W] * n[AIR_W]);
                float *most = &slice->speed_m_s[k * g->nx + i];
                *most = speed > *most ? speed : *most;
            }
    return base_ok();
}

/* Droplets that may fly. Too few for the sprayer are refused before the air is made, which takes the time. */
static drupelet_status count_droplets(const drupelet_scenario *scenario, const drupelet_run_options *options,
                                      const sprayer_work *work, int64_t *most)
{
    const int64_t fewest = run_emission_fewest(work),
                  least = (int64_t)fmax((double)fewest, scenario_key_of("run.droplets")->low);
    char place[SCENARIO_AT + 16] = "droplets", why[96] = "";
    *most = options->n_droplets > 0 ? options->n_droplets : scenario->run.n_droplets;
    if (*most >= least)
        return base_ok();
    if (options->n_droplets <= 0)
        snprintf(place, sizeof place, "%srun.droplets", scenario->run.droplets_at);
    if (least == fewest)
        snprintf(why, sizeof why, " for this sprayer (one of each of %d sprays in each of %d batches)",
                 (int)(fewest / TALLY_BATCHES), TALLY_BATCHES);
    return base_error(DRUPELET_SCENARIO, "%s: found %lld, expected at least %lld%s", place, (long long)*most,
                      (long long)least, why);
}

/* All that droplets need, by one thread of a team; the others take its tasks. @param most out: droplets that may fly
 * @param own out: the air, unless there is
 * one already; targets are ready when the team parts */
static drupelet_status prepare(const drupelet_scenario *scenario, const drupelet_run_options *options,
                               const air_field *air, run_outcome *r, int64_t *most, air_field **own,
                               droplet_targets *targets)
{
    const air_watch watch = {options->progress, options->user};
    const air_flow_store store = {options->cache_folder, options->cache_bytes, options->cache_refused};
    drupelet_status status = sprayer_work_out(scenario, &r->sprayer);
    if (status.code == DRUPELET_OK)
        status = count_droplets(scenario, options, &r->sprayer, most);
    if (status.code == DRUPELET_OK)
        status = orchard_create(scenario, &r->canopy);
    if (status.code == DRUPELET_OK)
        droplet_humidity_estimate(scenario, &r->sprayer, &r->humidity);
#pragma omp task
    droplet_targets_make(scenario, r->seed, targets);
    if (status.code == DRUPELET_OK && !air)
        status = air_field_create_watched(scenario, r->canopy, &r->sprayer, &store, watch, own);
    if (status.code == DRUPELET_OK)
        status = make_slice(air ? air : *own, &r->sprayer, &r->slice);
    if (status.code == DRUPELET_OK && scenario->run.keep_wind)
        status = run_wind_section_make(scenario, air ? air : *own, &r->wind);
    for (int p = 0; p < r->sprayer.n_passes && status.code == DRUPELET_OK; p++)
        r->fan_flow_of_pass[p] = (air ? air : *own)->flow_of_pass[p] + 1;
    if (status.code == DRUPELET_OK)
        r->fan_unsure = (air ? air : *own)->fan_unsure;
    if (status.code == DRUPELET_OK && scenario->run.keep_fan_air)
        status = run_fan_box_make(air ? air : *own, &r->sprayer, &r->fan);
    return status;
}

/* What a flight reads in every step, and the tracks that it fills. */
static drupelet_status make_setting(const air_field *field, run_ready *ready)
{
    run_outcome *r = ready->outcome;
    const tally_shape *shape = &r->accounts->shape;
    double plane_x_m[DROPLET_PLANES];
    ready->setting = malloc(sizeof *ready->setting);
    r->track = calloc(TALLY_TRACKS, sizeof *r->track);
    if (!ready->setting || !r->track)
        return base_error(DRUPELET_MEMORY, "no memory for the droplets");
    for (int p = 0; p < DROPLET_PLANES; p++)
        plane_x_m[p] = tally_x_m(shape, shape->plane_distance_m[p]);
    droplet_setting_make(r->scenario, &r->sprayer, r->canopy, field, r->seed, plane_x_m, ready->setting);
    if (r->collectors)
        run_collectors_watch(r->collectors, ready->setting);
    for (int side = 0; side < 2; side++)
        r->accounts->leaves->spread[side] = ready->targets->spread[side].gentle;
    return base_ok();
}

drupelet_status run_make_ready(const drupelet_scenario *scenario, const drupelet_run_options *given,
                               const air_field *air, run_ready *ready)
{
    const drupelet_run_options options = given ? *given : (drupelet_run_options){0};
    run_outcome *r = calloc(1, sizeof *r);
    *ready = (run_ready){.outcome = r, .targets = malloc(sizeof *ready->targets)};
    if (!r || !ready->targets)
        return base_error(DRUPELET_MEMORY, "no memory for the droplets");
    r->scenario = scenario;
    r->n_threads = options.n_threads > 0 ? options.n_threads : omp_get_max_threads();
    r->seed = options.seed_given ? options.seed : scenario->run.seed;
    drupelet_status status = base_threads_check(r->n_threads);
    if (status.code != DRUPELET_OK)
        return status;
    /* The solver of the fan's air has loops of its own threads inside this team, of which one works meanwhile. */
    const int levels = omp_get_max_active_levels();
    if (scenario->run.resolved_fan_air && !air)
        omp_set_max_active_levels(omp_get_active_level() + 2);
#pragma omp parallel num_threads(r->n_threads)
#pragma omp master
    status = prepare(scenario, &options, air, r, &ready->most, &ready->own, ready->targets);
    omp_set_max_active_levels(levels);
    if (status.code == DRUPELET_OK)
        status = run_collectors_create(scenario, &r->sprayer, &r->collectors);
    if (status.code == DRUPELET_OK)
        status = run_accounts_create(scenario, r->canopy, &r->sprayer, r->collectors, &r->accounts);
    return status.code == DRUPELET_OK ? make_setting(air ? air : ready->own, ready) : status;
}

run_flight_plan run_ready_plan(const run_ready *ready, const drupelet_run_options *options)
{
    const run_outcome *r = ready->outcome;
    return (run_flight_plan){.setting = ready->setting,
                             .targets = ready->targets,
                             .canopy = r->canopy,
                             .crown = &r->scenario->canopy,
                             .collectors = r->collectors,
                             .n_threads = r->n_threads,
                             .progress = options ? options->progress : NULL,
                             .user = options ? options->user : NULL};
}

void run_ready_end(run_ready *ready)
{
    air_field_free(ready->own);
    free(ready->setting);
    free(ready->targets);
    run_outcome_free(ready->outcome);
    *ready = (run_ready){0};
}

drupelet_status run_in_air(const drupelet_scenario *scenario, const drupelet_run_options *options, const air_field *air,
                           run_outcome **result)
{
    run_ready ready;
    *result = NULL;
    drupelet_status status = run_make_ready(scenario, options, air, &ready);
    run_outcome *r = ready.outcome;
    if (status.code == DRUPELET_OK) {
        const run_flight_plan plan = run_ready_plan(&ready, options);
        status = run_rounds(&plan, scenario, &r->sprayer, r->seed, ready.most, r->accounts, r->track, &r->n_tracks,
                            &r->n_droplets, &r->n_steps, &r->aim);
    }
    if (status.code == DRUPELET_OK)
        status = run_off(scenario, r->canopy, r->accounts);
    if (status.code == DRUPELET_OK)
        status = tally_check(r->accounts);
    if (status.code == DRUPELET_OK) {
        *result = r;
        ready.outcome = NULL;
    }
    run_ready_end(&ready);
    return status;
}

void run_outcome_free(run_outcome *outcome)
{
    if (!outcome)
        return;
    run_collectors_free(outcome->collectors);
    free(outcome->slice.speed_m_s);
    run_wind_section_drop(&outcome->wind);
    run_fan_box_drop(&outcome->fan);
    free(outcome->track);
    tally_free(outcome->accounts);
    orchard_free(outcome->canopy);
    free(outcome);
}
