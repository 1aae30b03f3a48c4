/* sim/run/emission.c - how droplets start: stratified, or plain.
 *
 * Every batch is a sample of the whole spray. Sizes and weights: allotment.c. All else that a droplet starts with comes
 * from scrambled Sobol' points (sequence.c), one for each droplet in order of size, with a scramble of its own for
 * every batch (A. B. Owen, Ann. Stat. 25 (1997) 1541, says what evenness takes from the variance). With run.sampling:
 * plain all is drawn for each droplet by itself, and all have one weight.
 *
 * Directions: sprayer/cone.c. Left out: breakup of the sheet (droplets start whole). */
#include "run/emission.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/random.h"
#include "base/status.h"
#include "run/capture.h"

/* Share of all flow that a spray carries, over all passes; fills its sources where room is given. */
static double list_sources(const sprayer_work *work, int i_spray, run_source *source, int *n)
{
    double flow = 0.0, all = 0.0;
    *n = 0;
    for (int p = 0; p < work->n_passes; p++)
        for (int k = 0; k < work->n_nozzles; k++) {
            const bool open =
                work->nozzle[k].nozzle->side == SCENARIO_LEFT ? work->pass[p].left_open : work->pass[p].right_open;
            if (!open || work->nozzle[k].flow_m3_s <= 0.0) /* shut or plugged */
                continue;
            all += work->nozzle[k].flow_m3_s;
            if (work->nozzle[k].i_spray != i_spray)
                continue;
            flow += work->nozzle[k].flow_m3_s;
            if (source)
                source[*n] = (run_source){p, k, flow};
            (*n)++;
        }
    for (int i = 0; source && i < *n; i++)
        source[i].share_up_to /= flow;
    return flow / all;
}

int64_t run_emission_fewest(const sprayer_work *work)
{
    int n_sources, n_sprays = 0;
    for (int i = 0; i < work->n_sprays; i++)
        n_sprays += list_sources(work, i, NULL, &n_sources) > 0.0;
    return (int64_t)n_sprays * TALLY_BATCHES;
}

drupelet_status run_emission_create(const drupelet_scenario *scenario, const sprayer_work *work,
                                    const run_round *round, uint64_t seed, run_emission **emission)
{
    double share[SCENARIO_NOZZLES] = {0.0};
    *emission = NULL;
    run_emission *e = calloc(1, sizeof *e);
    bool enough = e != NULL;
    if (enough) {
        e->scenario = scenario;
        e->work = work;
        e->seed = seed;
        e->plain = scenario->run.plain_sampling;
        if (scenario->run.transient_temperature) {
            const scenario_weather *w = &scenario->weather;
            const base_air air = base_moist_air(w->temperature_K, w->relative_humidity, w->pressure_Pa);
            e->excess_K =
                (float)droplet_first_excess_K(scenario->run.ventilation, scenario->liquid.temperature_K, &air);
        }
        e->first = round->first;
        e->per_batch = (round->n + TALLY_BATCHES - 1) / TALLY_BATCHES;
        e->sequence = e->plain ? NULL : malloc(sizeof *e->sequence);
        enough = e->plain || e->sequence;
    }
    if (enough && e->sequence)
        run_sequence_make(seed, (uint64_t)e->first, e->sequence);
    for (int i = 0; enough && i < work->n_sprays; i++) {
        share[i] = list_sources(work, i, NULL, &e->n_sources[i]);
        if (e->n_sources[i] == 0) /* all its nozzles are plugged, or shut on every pass */
            continue;
        e->source[i] = calloc((size_t)e->n_sources[i], sizeof *e->source[i]);
        enough = e->source[i] != NULL;
        if (enough)
            list_sources(work, i, e->source[i], &e->n_sources[i]);
    }
    drupelet_status status = enough ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the spray");
    if (enough)
        status = run_allotment_make(scenario, work, share, e->per_batch, round->weight / TALLY_BATCHES, &e->allotment);
    if (status.code == DRUPELET_OK)
        *emission = e;
    else
        run_emission_free(e);
    return status;
}

void run_emission_free(run_emission *e)
{
    if (!e)
        return;
    for (int i = 0; i < SCENARIO_NOZZLES; i++)
        free(e->source[i]);
    run_allotment_end(&e->allotment);
    free(e->sequence);
    free(e);
}

static const run_source *source_at(const run_emission *e, int i_spray, double share)
{
    int low = 0, high = e->n_sources[i_spray] - 1;
    while (low < high) {
        const int middle = (low + high) / 2;
        if (share < e->source[i_spray][middle].share_up_to)
            high = middle;
        else
            low = middle + 1;
    }
    return &e->source[i_spray][low];
}

run_start run_emit(const run_emission *e, int64_t i_droplet, droplet_batch *b, int i)
{
    const int64_t id = e->first + i_droplet;
    const int i_batch = (int)(i_droplet / e->per_batch);
    const int64_t ordinal = i_droplet % e->per_batch;
    uint32_t bits[12], point[RUN_COORDINATES];
    double normals[4];
    for (uint32_t block = 0; block < 3; block++)
        base_random_block(e->seed, BASE_STREAM_EMISSION, (uint64_t)id, block, bits + 4 * block);
    base_normal_pair(bits[8], bits[9], normals);
    base_normal_pair(bits[10], bits[11], normals + 2);
    run_drawn lot;
    if (e->plain) {
        const run_allotment *a = &e->allotment;
        lot = run_allotment_pick(a, base_uniform(bits[6]), base_uniform(bits[7]));
        lot.weight = a->batch_weight / e->per_batch + (ordinal < a->batch_weight % e->per_batch);
        for (int k = 0; k < RUN_COORDINATES; k++)
            point[k] = bits[k];
    } else {
        lot = run_allotment_draw(&e->allotment, ordinal, base_uniform(bits[6]));
        run_sequence_point(e->sequence, i_batch, (uint64_t)ordinal, point);
    }

    const run_source *source = source_at(e, lot.i_spray, base_uniform(point[RUN_AT_SOURCE]));
    const sprayer_nozzle *nozzle = &e->work->nozzle[source->i_nozzle];
    const sprayer_pass *pass = &e->work->pass[source->i_pass];
    const scenario_sprayer *sprayer = &e->scenario->sprayer;
    const double outward = (double)nozzle->nozzle->side * pass->heading; /* +1: towards +x */
    double direction[3];
    sprayer_spray_direction(nozzle, e->scenario->tip[nozzle->nozzle->i_tip].kind, base_uniform(point[RUN_AT_OFF_AXIS]),
                            base_uniform(point[RUN_AT_TURN]), direction);
    direction[0] *= outward;
    const double period_m = e->scenario->orchard.n_trees * e->scenario->orchard.tree_spacing_m;

    b->x_m[i] = (float)(pass->x_m + outward * nozzle->nozzle->offset_m + SPRAYER_BREAKUP_M * direction[0]);
    b->y_m[i] = (float)(-pass->heading * nozzle->nozzle->behind_m + SPRAYER_BREAKUP_M * direction[1]);
    b->z_m[i] = (float)(nozzle->nozzle->height_m + SPRAYER_BREAKUP_M * direction[2]);
    b->u_m_s[i] = (float)(nozzle->exit_speed_m_s * direction[0]);
    b->v_m_s[i] = (float)(nozzle->exit_speed_m_s * direction[1] + pass->heading * sprayer->travel_speed_m_s);
    b->w_m_s[i] = (float)(nozzle->exit_speed_m_s * direction[2]);
    b->eddy_x[i] = (float)normals[0];
    b->eddy_y[i] = (float)normals[1];
    b->eddy_z[i] = (float)normals[2];
    b->turbulent_u_m_s[i] = b->turbulent_v_m_s[i] = b->turbulent_w_m_s[i] = b->next_s[i] = 0.0f;
    b->diameter_m[i] = b->whole_m[i] = (float)lot.diameter_m;
    b->density_kg_m3[i] = (float)e->work->spray[lot.i_spray].droplet_density_kg_m3;
    b->excess_K[i] = e->excess_K;
    b->evaporated[i] = b->time_s[i] = b->path[i] = 0.0f;
    b->path_limit[i] =
        (float)(-base_log(base_uniform(point[RUN_AT_PATH])) * run_capture_share(e->plain, lot.weight, lot.weight));
    b->phase_m[i] = (float)(period_m * base_uniform(point[RUN_AT_PHASE]));
    b->aloft[i] = 1.0f;
    b->i_pass[i] = source->i_pass;
    b->id_low[i] = (uint32_t)(uint64_t)id;
    b->id_high[i] = (uint32_t)((uint64_t)id >> 32);
    b->step[i] = b->passed[i] = 0;
    b->watched[i] = 0;
    return (run_start){.i_batch = i_batch, .i_pass = source->i_pass, .i_nozzle = source->i_nozzle,
                       .weight = lot.weight};
}
