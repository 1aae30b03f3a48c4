/* sim/run/emission.c - stratified emission.
 *
 * Every batch is a sample of the whole spray: its droplets are dealt out to ranges of size of each spray, more to the
 * small sizes that drift, each droplet weighted so that the range's volume is met to the last part. Within a range,
 * pass and nozzle are spread evenly by flow, with a random place inside each step. Hollow cones: directions in the
 * outer part of the cone; flat fans: spread in the plane across the travel direction. Left out: the air that the spray
 * itself sets moving near the nozzle, breakup of the sheet (droplets start whole). */
#include "run/emission.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/random.h"
#include "base/status.h"

/* Choices: sizes near and below this are sampled more, larger ones less, within the two bounds. */
#define FAVOURED_M 150e-6
#define FAVOUR_LEAST 0.25
#define FAVOUR_MOST 6.0
#define FIRST_SHARE 1e-3          /* the outermost ranges hold the tails */
#define SMALLEST_M 2e-6
#define HOLLOW_SHARE 0.7          /* inner edge of a hollow cone's spray over its outer half angle; common practice */
#define FAN_THICKNESS_RAD 0.12    /* flat fan, half of its thickness; common practice */
#define BREAKUP_M 0.03            /* droplets start this far from the orifice; common practice */

static double favour(double diameter_m)
{
    return fmin(fmax(FAVOURED_M / diameter_m, FAVOUR_LEAST), FAVOUR_MOST);
}

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

/* Edges of the size ranges as shares of volume: equal steps of ln d between the tails. */
static void size_edges(const sprayer_spectrum *spectrum, double edge[RUN_STRATA_SIZES + 1])
{
    const double low = log(sprayer_spectrum_quantile_m(spectrum, FIRST_SHARE));
    const double high = log(sprayer_spectrum_quantile_m(spectrum, 1.0 - FIRST_SHARE));
    edge[0] = 0.0;
    edge[RUN_STRATA_SIZES] = 1.0;
    for (int i = 1; i < RUN_STRATA_SIZES; i++)
        edge[i] =
            sprayer_spectrum_share_below(spectrum, exp(low + (high - low) * (i - 1.0) / (RUN_STRATA_SIZES - 2.0)));
}

static void make_spray(run_emission *e, int i_spray, double share, double want[], double volume[])
{
    double edge[RUN_STRATA_SIZES + 1];
    const sprayer_spectrum *spectrum = &e->work->spray[i_spray].spectrum;
    size_edges(spectrum, edge);
    for (int i = 0; i < RUN_STRATA_SIZES; i++) {
        const double part = edge[i + 1] - edge[i];
        if (part <= 0.0) /* a measured table may leave gaps */
            continue;
        run_stratum *s = &e->stratum[e->n_strata];
        s->i_spray = i_spray;
        for (int q = 0; q < RUN_QUANTILES; q++) {
            const double at = edge[i] + part * fmin(fmax(q / (RUN_QUANTILES - 1.0), 1e-4), 1.0 - 1e-4);
            s->log_diameter[q] = log(fmax(sprayer_spectrum_quantile_m(spectrum, at), SMALLEST_M));
        }
        volume[e->n_strata] = share * part;
        want[e->n_strata] = share * part * favour(exp(s->log_diameter[RUN_QUANTILES / 2]));
        e->n_strata++;
    }
}

/* Deals a batch's droplets and parts out to the strata; both sums are exact. */
static void deal(run_emission *e, const double want[], const double volume[])
{
    const int64_t batch_parts = TALLY_PARTS / TALLY_BATCHES;
    double want_sum = 0.0, volume_sum = 0.0, want_up_to = 0.0, volume_up_to = 0.0;
    for (int i = 0; i < e->n_strata; i++) {
        want_sum += want[i];
        volume_sum += volume[i];
    }
    int64_t given = 0, parts_given = 0;
    for (int i = 0; i < e->n_strata; i++) { /* one for each, the rest by wish; running sums leave no remainder */
        want_up_to += want[i];
        volume_up_to += volume[i];
        const int64_t up_to = i + 1 < e->n_strata
                                  ? i + 1 + (int64_t)((double)(e->per_batch - e->n_strata) * want_up_to / want_sum)
                                  : e->per_batch;
        const int64_t parts_up_to =
            i + 1 < e->n_strata ? (int64_t)((double)batch_parts * (volume_up_to / volume_sum)) : batch_parts;
        e->stratum[i].first = given;
        e->stratum[i].n = up_to - given;
        e->stratum[i].parts = parts_up_to - parts_given;
        given = up_to;
        parts_given = parts_up_to;
    }
}

drupelet_status run_emission_create(const drupelet_scenario *scenario, const sprayer_work *work, int64_t n_droplets,
                                    uint64_t seed, run_emission **emission)
{
    const int most = work->n_sprays * RUN_STRATA_SIZES;
    *emission = NULL;
    run_emission *e = calloc(1, sizeof *e);
    double *want = calloc((size_t)most, sizeof *want), *volume = calloc((size_t)most, sizeof *volume);
    bool enough = e && want && volume;
    if (enough) {
        e->scenario = scenario;
        e->work = work;
        e->seed = seed;
        if (scenario->run.transient_temperature) {
            const scenario_weather *w = &scenario->weather;
            const base_air air = base_moist_air(w->temperature_K, w->relative_humidity, w->pressure_Pa);
            e->excess_K =
                (float)droplet_first_excess_K(scenario->run.ventilation, scenario->liquid.temperature_K, &air);
        }
        e->per_batch = (n_droplets + TALLY_BATCHES - 1) / TALLY_BATCHES;
        e->stratum = calloc((size_t)most, sizeof *e->stratum);
        enough = e->stratum != NULL;
    }
    for (int i = 0; enough && i < work->n_sprays; i++) {
        const double share = list_sources(work, i, NULL, &e->n_sources[i]);
        if (e->n_sources[i] == 0) /* all its nozzles are plugged, or shut on every pass */
            continue;
        e->source[i] = calloc((size_t)e->n_sources[i], sizeof *e->source[i]);
        enough = e->source[i] != NULL;
        if (enough) {
            list_sources(work, i, e->source[i], &e->n_sources[i]);
            make_spray(e, i, share, want, volume);
        }
    }
    drupelet_status status = enough ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the spray");
    if (enough && e->per_batch < e->n_strata)
        status = base_error(DRUPELET_SCENARIO,
                            "run.droplets: found %lld, expected at least %lld for this sprayer (one for each of %d"
                            " size ranges in each of %d batches)",
                            (long long)n_droplets, (long long)e->n_strata * TALLY_BATCHES, e->n_strata, TALLY_BATCHES);
    if (status.code == DRUPELET_OK) {
        deal(e, want, volume);
        *emission = e;
    } else {
        run_emission_free(e);
    }
    free(volume);
    free(want);
    return status;
}

void run_emission_free(run_emission *e)
{
    if (!e)
        return;
    for (int i = 0; i < SCENARIO_NOZZLES; i++)
        free(e->source[i]);
    free(e->stratum);
    free(e);
}

static const run_stratum *stratum_of(const run_emission *e, int64_t ordinal)
{
    int low = 0, high = e->n_strata - 1;
    while (low < high) {
        const int middle = (low + high + 1) / 2;
        if (e->stratum[middle].first <= ordinal)
            low = middle;
        else
            high = middle - 1;
    }
    return &e->stratum[low];
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

/* Direction of a droplet off the nozzle's axis, over the ground before the sprayer's own motion is added; x is outward.
 */
static void spray_direction(const scenario_nozzle *nozzle, const sprayer_nozzle *work, scenario_tip_kind kind,
                            double u1, double u2, double direction[3])
{
    const double axis = nozzle->angle_rad, pi = acos(-1.0);
    double in_plane, along_y; /* angles off the axis: in the plane across the travel direction, and along it */
    if (kind == SCENARIO_FLAT_FAN || kind == SCENARIO_AIR_INDUCTION_FLAT_FAN) {
        in_plane = work->half_angle_rad * (2.0 * u1 - 1.0);
        along_y = FAN_THICKNESS_RAD * (2.0 * u2 - 1.0);
    } else {
        const double inner2 = HOLLOW_SHARE * HOLLOW_SHARE,
                     off = work->half_angle_rad * sqrt(inner2 + (1.0 - inner2) * u1);
        const double turn = 2.0 * pi * u2;
        const double forward = cos(off), side = sin(off) * cos(turn);
        direction[0] = forward * cos(axis) - side * sin(axis);
        direction[1] = sin(off) * sin(turn);
        direction[2] = forward * sin(axis) + side * cos(axis);
        return;
    }
    direction[0] = cos(along_y) * cos(axis + in_plane);
    direction[1] = sin(along_y);
    direction[2] = cos(along_y) * sin(axis + in_plane);
}

run_start run_emit(const run_emission *e, int64_t id, droplet_batch *b, int i)
{
    const int i_batch = (int)(id / e->per_batch);
    const int64_t ordinal = id % e->per_batch;
    const run_stratum *s = stratum_of(e, ordinal);
    const int64_t k = ordinal - s->first;
    uint32_t bits[12];
    double normals[4];
    for (uint32_t block = 0; block < 3; block++)
        base_random_block(e->seed, BASE_STREAM_EMISSION, (uint64_t)id, block, bits + 4 * block);
    base_normal_pair(bits[8], bits[9], normals);
    base_normal_pair(bits[10], bits[11], normals + 2);

    const run_source *source = source_at(e, s->i_spray, ((double)k + base_uniform(bits[0])) / (double)s->n);
    const sprayer_nozzle *nozzle = &e->work->nozzle[source->i_nozzle];
    const sprayer_pass *pass = &e->work->pass[source->i_pass];
    const double f = base_uniform(bits[1]) * (RUN_QUANTILES - 1);
    const int q = (int)f;
    const double d_m = exp(s->log_diameter[q] + (f - q) * (s->log_diameter[q + 1] - s->log_diameter[q]));

    const scenario_sprayer *sprayer = &e->scenario->sprayer;
    const double outward = (double)nozzle->nozzle->side * pass->heading; /* +1: towards +x */
    double direction[3];
    spray_direction(nozzle->nozzle, nozzle, e->scenario->tip[nozzle->nozzle->i_tip].kind, base_uniform(bits[2]),
                    base_uniform(bits[3]), direction);
    direction[0] *= outward;
    const double period_m = e->scenario->orchard.n_trees * e->scenario->orchard.tree_spacing_m;

    b->x_m[i] = (float)(pass->x_m + outward * nozzle->nozzle->offset_m + BREAKUP_M * direction[0]);
    b->y_m[i] = (float)(-pass->heading * nozzle->nozzle->behind_m + BREAKUP_M * direction[1]);
    b->z_m[i] = (float)(nozzle->nozzle->height_m + BREAKUP_M * direction[2]);
    b->u_m_s[i] = (float)(nozzle->exit_speed_m_s * direction[0]);
    b->v_m_s[i] = (float)(nozzle->exit_speed_m_s * direction[1] + pass->heading * sprayer->travel_speed_m_s);
    b->w_m_s[i] = (float)(nozzle->exit_speed_m_s * direction[2]);
    b->eddy_x[i] = (float)normals[0];
    b->eddy_y[i] = (float)normals[1];
    b->eddy_z[i] = (float)normals[2];
    b->tossed_u_m_s[i] = b->tossed_v_m_s[i] = b->tossed_w_m_s[i] = b->next_s[i] = 0.0f;
    b->diameter_m[i] = b->whole_m[i] = (float)d_m;
    b->density_kg_m3[i] = (float)e->work->spray[s->i_spray].droplet_density_kg_m3;
    b->excess_K[i] = e->excess_K;
    b->evaporated[i] = b->time_s[i] = b->path[i] = 0.0f;
    b->path_limit[i] = (float)-log(base_uniform(bits[4]));
    b->phase_m[i] = (float)(period_m * base_uniform(bits[5]));
    b->aloft[i] = 1.0f;
    b->i_pass[i] = source->i_pass;
    b->id_low[i] = (uint32_t)(uint64_t)id;
    b->id_high[i] = (uint32_t)((uint64_t)id >> 32);
    b->step[i] = 0;
    b->watched[i] = 0;
    return (run_start){.i_batch = i_batch, .i_pass = source->i_pass, .i_nozzle = source->i_nozzle,
                       .parts = s->parts / s->n + (k < s->parts % s->n)};
}
