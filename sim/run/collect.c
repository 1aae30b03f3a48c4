/* sim/run/collect.c - catch of virtual collectors, sampled by the time that droplets spend close by.
 *
 * A collector does not touch the flight: no droplet is taken out or turned. It is sampled by a thin slab of air at its
 * place (over all of the row's length). A droplet that stands for a share of the output adds, for the time t that its
 * step spends in the slab of section A, share * t / A to the concentration summed over time, and that times the
 * collector's catch speed to the catch per area. This is the estimate by crossings of a plane with the weight
 * 1 / |normal speed|, averaged over the slab: unbiased for any direction, and bounded for droplets that graze the face
 * (t is at most the step), where the weight of a crossing is not. It works for wind along the rows as for wind across.
 *
 * What each kind catches of it: collector_kinds.c. Left out: what bounces or shatters off a collector, the collector's
 * own shelter and wake, air over the rim. */
#include "run/collect.h"

#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/droplet.h"

#define GAP_STRIP_M 0.25
#define GAP_SLACK_M 0.01 /* for single precision in the kernel */

/* ---- where they stand ---- */

static run_collector place(const drupelet_scenario *scenario, const scenario_collector *as)
{
    const run_collector_kind *kind = &run_collector_kinds[as->kind];
    run_collector c = {.as = as, .n_pieces = 1, .x_m = as->x_m, .z_m = as->height_m};
    base_sincos(isnan(as->facing_rad) ? 0.0 : as->facing_rad, &c.normal[1], &c.normal[0]);
    c.along[0] = -c.normal[1];
    c.along[1] = c.normal[0];
    c.low_m = -0.5 * kind->slab_m;
    c.high_m = 0.5 * kind->slab_m;
    c.from_m = -0.5 * as->width_m;
    c.to_m = 0.5 * as->width_m;
    if (as->top_m > as->height_m) {
        c.from_m = 0.0;
        c.to_m = as->top_m - as->height_m;
        c.n_pieces = (int)fmax(ceil(c.to_m / as->segment_m - 1e-9), 1.0);
    }
    if (kind->place)
        kind->place(scenario, &c);
    return c;
}

/* Range of a slab across the rows (0) or upwards (1). */
static void range_of(const run_collector *c, int axis, double range_m[2])
{
    const double at_m = axis ? c->z_m : c->x_m;
    range_m[0] = INFINITY;
    range_m[1] = -INFINITY;
    for (int corner = 0; corner < 4; corner++) {
        const double m = at_m + c->along[axis] * (corner & 1 ? c->to_m : c->from_m)
                         + c->normal[axis] * (corner & 2 ? c->high_m : c->low_m);
        range_m[0] = fmin(range_m[0], m);
        range_m[1] = fmax(range_m[1], m);
    }
}

static void measure_gaps(run_collectors *r)
{
    r->lowest_m = INFINITY;
    r->highest_m = -INFINITY;
    for (int g = 0; g < r->n_gaps; g++)
        r->gap_m[g] = INFINITY;
    for (int k = 0; k < r->n; k++) {
        const run_collector *c = &r->collector[k];
        double x_m[2], z_m[2];
        if (c->on_ground)
            continue;
        range_of(c, 0, x_m);
        range_of(c, 1, z_m);
        r->lowest_m = fmin(r->lowest_m, z_m[0] - GAP_SLACK_M);
        r->highest_m = fmax(r->highest_m, z_m[1] + GAP_SLACK_M);
        for (int g = 0; g < r->n_gaps; g++) {
            const double low_m = r->gap_first_x_m + g * GAP_STRIP_M, high_m = low_m + GAP_STRIP_M;
            const double gap_m = fmax(fmax(x_m[0] - high_m, low_m - x_m[1]) - GAP_SLACK_M, 0.0);
            r->gap_m[g] = fminf(r->gap_m[g], (float)gap_m);
        }
    }
}

drupelet_status run_collectors_create(const drupelet_scenario *scenario, const sprayer_work *work,
                                      run_collectors **collectors)
{
    const scenario_weather *weather = &scenario->weather;
    const double low_m = scenario_low_edge_x_m(&scenario->orchard), high_m = scenario_high_edge_x_m(&scenario->orchard);
    *collectors = NULL;
    if (scenario->n_collectors == 0)
        return base_ok();
    run_collectors *r = calloc(1, sizeof *r);
    if (!r)
        return base_error(DRUPELET_MEMORY, "no memory for the collectors");
    r->air = base_moist_air(weather->temperature_K, weather->relative_humidity, weather->pressure_Pa);
    r->treated_m = work->treated_width_m;
    r->application_rate_m = work->application_rate_m;
    r->liquid_density_kg_m3 = scenario->liquid.density_kg_m3;
    r->downwind = base_cos(weather->wind_angle_rad) >= 0.0 ? 1 : -1; /* as in the accounts */
    r->n = scenario->n_collectors;
    for (int k = 0; k < r->n; k++) {
        r->collector[k] = place(scenario, &scenario->collector[k]);
        r->collector[k].first_piece = r->n_pieces;
        r->n_pieces += r->collector[k].n_pieces;
    }
    r->gap_first_x_m = low_m - scenario->run.open_ground_m;
    r->n_gaps = (int)ceil((high_m - low_m + 2.0 * scenario->run.open_ground_m) / GAP_STRIP_M);
    r->gap_m = calloc((size_t)r->n_gaps, sizeof *r->gap_m);
    if (!r->gap_m) {
        run_collectors_free(r);
        return base_error(DRUPELET_MEMORY, "no memory for the collectors");
    }
    measure_gaps(r);
    *collectors = r;
    return base_ok();
}

void run_collectors_free(run_collectors *collectors)
{
    if (!collectors)
        return;
    free(collectors->gap_m);
    free(collectors);
}

void run_collectors_watch(const run_collectors *r, droplet_setting *s)
{
    s->gap_m = r->gap_m;
    s->n_gaps = r->n_gaps;
    s->gap_first_x_m = (float)r->gap_first_x_m;
    s->per_gap = (float)(1.0 / GAP_STRIP_M);
    s->collector_low_m = (float)r->lowest_m;
    s->collector_high_m = (float)r->highest_m;
}

double run_collector_piece_height_m(const run_collector *c, int i_piece, int side)
{
    return c->as->height_m + (c->as->top_m - c->as->height_m) * (i_piece + side) / c->n_pieces;
}

/* ---- what they catch ---- */

static void put(const run_collectors *r, tally *accounts, int i_batch, int i_piece, const run_catch *c,
                const droplet_batch *b, int i)
{
    const double whole_m = (double)b->whole_m[i], left = (double)b->diameter_m[i] / whole_m;
    /* liquid in the droplet as emitted, the air in it left out */
    const double dense = (double)b->density_kg_m3[i] / r->liquid_density_kg_m3;
    const double volume_m3 = BASE_PI / 6.0 * whole_m * whole_m * whole_m * dense;
    const bool rated = isfinite(r->application_rate_m); /* a sprayer that stands has no rate */
    const double number_m2 = rated ? c->caught * r->application_rate_m / volume_m3 : 0.0;
    tally_collectors_put(accounts, i_batch, i_piece, TALLY_CAUGHT, c->caught);
    tally_collectors_put(accounts, i_batch, i_piece, TALLY_LIQUID, c->caught * left * left * left);
    tally_collectors_put(accounts, i_batch, i_piece, TALLY_PASSED, c->passed);
    tally_collectors_put(accounts, i_batch, i_piece, TALLY_NET, c->net);
    tally_collectors_put(accounts, i_batch, i_piece, TALLY_DROPLETS, 1e-4 * number_m2);
    tally_collectors_put(accounts, i_batch, i_piece, TALLY_STAINS,
                         number_m2 * droplet_stain_m2((double)b->diameter_m[i] * base_cbrt(dense)));
}

/* Part of a step, 0 to 1, that a coordinate spends between two limits; false where it does not. */
static bool clip(double start_m, double move_m, double low_m, double high_m, double within[2])
{
    if (move_m == 0.0)
        return start_m >= low_m && start_m < high_m;
    const double a = (low_m - start_m) / move_m, c = (high_m - start_m) / move_m;
    within[0] = fmax(within[0], fmin(a, c));
    within[1] = fmin(within[1], fmax(a, c));
    return within[0] < within[1];
}

static void pass_by(const run_collectors *r, tally *accounts, const run_collector *c, const run_passage *p,
                    int i_batch, double share, const droplet_batch *b, int i)
{
    const double dx = p->from[0] - c->x_m, dz = p->from[2] - c->z_m;
    const double at_m = dx * c->along[0] + dz * c->along[1], off_m = dx * c->normal[0] + dz * c->normal[1];
    const double along_m = p->move[0] * c->along[0] + p->move[2] * c->along[1];
    const double across_m = p->move[0] * c->normal[0] + p->move[2] * c->normal[1];
    double inside[2] = {0.0, 1.0};
    if (!clip(off_m, across_m, c->low_m, c->high_m, inside) || !clip(at_m, along_m, c->from_m, c->to_m, inside))
        return;
    run_catch whole = {.net = -across_m, .passed = fmax(-across_m, 0.0)}; /* the normal points out of the front */
    run_collector_kinds[c->as->kind].catches(r, c, p, &whole);
    const double piece_m = (c->to_m - c->from_m) / c->n_pieces;
    const double over = share * r->treated_m / (piece_m * (c->high_m - c->low_m));
    for (int k = 0; k < c->n_pieces; k++) {
        double within[2] = {inside[0], inside[1]};
        const double low_m = c->from_m + k * piece_m;
        if (!clip(at_m, along_m, low_m, low_m + piece_m, within))
            continue;
        const double f = over * (within[1] - within[0]);
        const run_catch catch = {f * whole.caught, f * whole.passed, f * whole.net};
        put(r, accounts, i_batch, c->first_piece + k, &catch, b, i);
    }
}

void run_collect(const run_collectors *r, tally *accounts, int i_batch, int64_t weight,
                 const droplet_batch *b, int i)
{
    run_passage p = {
        .from = {(double)b->x_before_m[i], (double)b->y_before_m[i], (double)b->z_before_m[i]},
        .move = {(double)b->x_m[i] - (double)b->x_before_m[i], (double)b->y_m[i] - (double)b->y_before_m[i],
                 (double)b->z_m[i] - (double)b->z_before_m[i]},
        .air = {(double)b->air_u_m_s[i], (double)b->air_v_m_s[i], (double)b->air_w_m_s[i]},
        .step_s = (double)b->step_s[i],
        .diameter_m = (double)b->diameter_m[i],
        .density_kg_m3 = (double)b->density_kg_m3[i]};
    droplet_own_slip(b, i, p.slip);
    for (int k = 0; k < 2; k++)
        p.motion[k] = p.air[k] + p.slip[k];
    const double share = (double)weight / (double)TALLY_PARTS;
    for (int k = 0; k < r->n; k++)
        if (!r->collector[k].on_ground)
            pass_by(r, accounts, &r->collector[k], &p, i_batch, share, b, i);
}

void run_collect_landed(const run_collectors *r, tally *accounts, int i_batch, int64_t weight,
                        const droplet_batch *b, int i)
{
    const double share = (double)weight / (double)TALLY_PARTS;
    for (int k = 0; k < r->n; k++) {
        const run_collector *c = &r->collector[k];
        if (!c->on_ground || fabs((double)b->x_m[i] - c->x_m) > 0.5 * c->as->width_m)
            continue;
        const double caught = share * r->treated_m / c->as->width_m;
        const run_catch catch = {caught, caught, caught};
        put(r, accounts, i_batch, c->first_piece, &catch, b, i);
    }
}
