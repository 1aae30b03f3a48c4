/* sim/run/flight.c - the loop over batches of lanes: fill, step, look at what was found, book, refill.
 *
 * A droplet's path depends on its own number alone, and the books are whole numbers: neither the number of threads nor
 * the lane it flies in changes the result. */
#include "run/flight.h"

#include <assert.h>
#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "droplet/lane.h"

/* Secondary droplets: a droplet that shatters flies on as two parcels where each holds at least this part of what the
 * nozzle gave it, else as one. What waits is flown before new droplets start, so that at most a lane's worth of
 * nozzle droplets is under way, each with at most SPLIT_PARTS parcels that wait: the stack cannot fill up. An eighth
 * costs a few percent of the run's time and splits nine of ten first shatterings. */
enum { SPLIT_PARTS = 8, STACK = DROPLET_LANES * SPLIT_PARTS };
/* A parcel's number: that of its nozzle droplet below, and one bit for each shattering that it began as the second of
 * two. The first of two keeps its number. */
enum { ORDINAL_BITS = 40, MOST_SPLITS = 64 - ORDINAL_BITS };
#include "droplet/spread.h"
#include "run/runoff.h"

enum { CHUNK = 256, LOOK_UP_EVERY = 64 }; /* droplets that a thread takes at a time; steps between calls of progress */

/* What the books know of a lane's droplet. */
typedef struct {
    run_start start;
    int size_bin, i_track, bounces, shatters, splits;
    int64_t parts; /* still in flight */
    int64_t stride, since; /* steps between recorded points, and since the last one */
} passenger;

/* A parcel of secondary droplets that has no lane yet. */
typedef struct {
    droplet_lane droplet;
    passenger passenger;
} waiting;

typedef struct {
    const run_flight_plan *plan;
    tally *accounts;      /* this thread's own, but for the voxels */
    int64_t *voxel;       /* shared */
    tally_collectors *collected; /* this thread's own; NULL without collectors */
    tally_leaves *leaves; /* shared */
    int n_tracks;
    tally_track *track;   /* shared; each droplet writes its own */
    droplet_batch batch;
    passenger lane[DROPLET_LANES];
    int n_waiting;
    waiting stack[STACK];
    int64_t next, end;    /* of the chunk in hand */
    int64_t n_steps;
    int in_flight;
} crew;

/* Which track droplet id fills, or -1: the tracks are spread evenly over every batch. */
static int track_of(const run_emission *e, int n_tracks, int64_t id)
{
    const int64_t each = n_tracks / TALLY_BATCHES, ordinal = id % e->per_batch, k = ordinal * each / e->per_batch;
    return (k * e->per_batch + each - 1) / each == ordinal ? (int)(id / e->per_batch * each + k) : -1;
}

static void record(crew *c, int i, bool last)
{
    passenger *p = &c->lane[i];
    tally_track *t = &c->track[p->i_track];
    const droplet_batch *b = &c->batch;
    if (!last && ++p->since < p->stride)
        return;
    p->since = 0;
    if (t->n_points == TALLY_TRACK_POINTS) { /* full: every second point goes */
        for (int k = 1; 2 * k < TALLY_TRACK_POINTS; k++)
            t->point[k] = t->point[2 * k];
        t->n_points = TALLY_TRACK_POINTS / 2;
        p->stride *= 2;
    }
    if (t->n_points > 0 && b->time_s[i] <= t->point[t->n_points - 1].time_s)
        t->n_points--; /* times rise strictly */
    const float speed_m_s = sqrtf(b->u_m_s[i] * b->u_m_s[i] + b->v_m_s[i] * b->v_m_s[i] + b->w_m_s[i] * b->w_m_s[i]);
    t->point[t->n_points++] =
        (tally_point){b->time_s[i], b->x_m[i], b->y_m[i], b->z_m[i], 1e6f * b->diameter_m[i], speed_m_s};
}

/* Fills lane i with the parcel that waits, else with the next droplet, or leaves it idle. */
static void fill(crew *c, int i, _Atomic int64_t *given)
{
    if (c->n_waiting > 0) {
        const waiting *w = &c->stack[--c->n_waiting];
        droplet_lane_put(&w->droplet, &c->batch, i);
        c->lane[i] = w->passenger;
        c->in_flight++;
        return;
    }
    const run_emission *e = c->plan->emission;
    const int64_t all = e->per_batch * TALLY_BATCHES;
    if (c->next == c->end) {
        c->next = atomic_fetch_add(given, CHUNK);
        c->next = c->next < all ? c->next : all;
        c->end = c->next + CHUNK < all ? c->next + CHUNK : all;
    }
    if (c->next == c->end) {
        c->batch.aloft[i] = 0.0f;
        return;
    }
    const int64_t id = c->next++;
    passenger *p = &c->lane[i];
    memset(p, 0, sizeof *p);
    p->start = run_emit(e, id, &c->batch, i);
    p->parts = p->start.parts;
    p->size_bin = tally_size_bin((double)c->batch.diameter_m[i]);
    p->i_track = track_of(e, c->n_tracks, id);
    p->stride = 1;
    c->in_flight++;
    c->accounts->emitted[p->start.i_batch][0] += p->parts;
    c->accounts->water_emitted[p->start.i_batch][0] += p->parts;
    if (p->i_track >= 0) {
        tally_track *t = &c->track[p->i_track];
        t->droplet = id;
        t->i_alley = e->work->pass[p->start.i_pass].i_alley;
        t->i_nozzle = p->start.i_nozzle;
        t->weight = (double)p->parts / (double)TALLY_PARTS;
        t->emitted_diameter_m = (double)c->batch.diameter_m[i];
        t->n_points = 0;
        c->batch.watched[i] = DROPLET_WATCHED;
        record(c, i, true);
    }
}

/* A lane that was never filled: a harmless droplet that stays where it is. */
static void park(droplet_batch *b)
{
    memset(b, 0, sizeof *b);
    for (int i = 0; i < DROPLET_LANES; i++) {
        b->diameter_m[i] = b->whole_m[i] = 1e-4f;
        b->density_kg_m3[i] = 1000.0f;
        b->z_m[i] = 1.0f;
        b->path_limit[i] = 1.0f;
    }
}

/* Water still in a droplet, over the water it had. */
static double wet_share(const crew *c, int i)
{
    const double left = (double)c->batch.diameter_m[i] / (double)c->batch.whole_m[i];
    const double stays = c->plan->emission->scenario->liquid.nonvolatile;
    return fmax(0.0, (left * left * left - stays) / (1.0 - stays));
}

/* Books what has evaporated since the last booking; before the droplet's amount changes or ends. */
static void book_vapour(crew *c, int i)
{
    const double stays = c->plan->emission->scenario->liquid.nonvolatile;
    c->accounts->evaporated[c->lane[i].start.i_batch][0] +=
        llround((double)c->batch.evaporated[i] / (1.0 - stays) * (double)c->lane[i].parts);
    c->batch.evaporated[i] = 0.0f;
}

/* Books parts of a lane's droplet to a fate, with the water in them. */
static void book(crew *c, int i, tally_fate fate, int64_t parts)
{
    tally *a = c->accounts;
    const passenger *p = &c->lane[i];
    a->fate[p->start.i_batch][fate] += parts;
    a->size_fate[p->start.i_batch][p->size_bin][fate] += parts;
    a->water[p->start.i_batch][fate] += llround(wet_share(c, i) * (double)parts);
}

static void book_leaf(crew *c, int i, int upper_side, int64_t parts)
{
    tally *a = c->accounts;
    const droplet_batch *b = &c->batch;
    const orchard_canopy *o = c->plan->canopy;
    const int i_batch = c->lane[i].start.i_batch, voxel = b->voxel[i];
    const int ix = voxel % o->nx, iz = voxel / (o->nx * o->ny) % o->nz, row = voxel / (o->nx * o->ny * o->nz);
    const int third = c->leaves->third[iz], side = tally_leaves_side(c->leaves, ix);
    a->leaf_side[i_batch][upper_side] += parts;
    a->row[((i_batch * o->n_rows + row) * TALLY_THIRDS + third) * TALLY_SIDES + side] += parts;
#pragma omp atomic
    c->voxel[voxel] += parts;
}

/* Books the stains that droplets leave on a leaf. @param before parts that met it @param whole_m, arrives_m diameters
 * as they met it */
static void book_stains(crew *c, int i, const droplet_encounter *e, int64_t before, int64_t kept, double whole_m,
                        double arrives_m)
{
    const run_emission *emission = c->plan->emission;
    const droplet_targets *t = c->plan->targets;
    const orchard_canopy *o = c->plan->canopy;
    const passenger *p = &c->lane[i];
    const int voxel = c->batch.voxel[i], layer = voxel / (o->nx * o->ny); /* row and height */
    const sprayer_spray *spray = &emission->work->spray[emission->work->nozzle[p->start.i_nozzle].i_spray];
    const double liquid = cbrt(spray->droplet_density_kg_m3 / t->liquid.density_kg_m3); /* without the air in it */
    droplet_liquid with_air = t->liquid;
    with_air.density_kg_m3 = spray->droplet_density_kg_m3;
    const double spread = droplet_spread_factor(&t->side[e->upper_side], arrives_m, e->normal_speed_m_s, &with_air);
    const tally_mark mark = tally_mark_of(before, kept, liquid * whole_m, liquid * arrives_m, spread);
    tally_cell *cell = &c->leaves->cell[p->start.i_batch * tally_leaves_cells(c->leaves) + (int64_t)layer * o->nx
                                        + voxel % o->nx];
    tally_leaves_add(cell, e->upper_side, kept, &mark);
}

/* Books parts to the ground below, and says which ground that is. */
static tally_fate book_ground(crew *c, int i, int64_t parts)
{
    tally *a = c->accounts;
    const tally_shape *shape = &a->shape;
    const orchard_canopy *o = c->plan->canopy;
    const double x_m = (double)c->batch.x_m[i];
    tally_fate fate;
    if (x_m >= shape->edge_low_x_m && x_m < shape->edge_high_x_m) {
        const double off_m = fabs(x_m - floor(x_m / o->row_spacing_m + 0.5) * o->row_spacing_m);
        fate = off_m < 0.5 * c->plan->crown->width_m ? TALLY_GROUND_ROW : TALLY_GROUND_ALLEY;
    } else {
        fate = (x_m > shape->edge_low_x_m) == (shape->downwind > 0) ? TALLY_GROUND_DOWNWIND : TALLY_GROUND_UPWIND;
    }
    book(c, i, fate, parts);
    a->ground[c->lane[i].start.i_batch * shape->n_ground + tally_ground_bin(shape, x_m)] += parts;
    return fate;
}

static void book_crossings(crew *c, int i)
{
    tally *a = c->accounts;
    const tally_shape *shape = &a->shape;
    const droplet_batch *b = &c->batch;
    const int bin = (int)fmin(fmax((double)b->z_m[i] / TALLY_FLUX_STEP_M, 0.0), shape->n_flux - 1);
    for (int plane = 0; plane < TALLY_PLANES; plane++) {
        const float at = c->plan->setting->plane_x_m[plane];
        const int before = b->x_before_m[i] < at, after = b->x_m[i] < at;
        if (before != after)
            a->flux[(c->lane[i].start.i_batch * TALLY_PLANES + plane) * shape->n_flux + bin] +=
                (before ? 1 : -1) * shape->downwind * c->lane[i].parts;
    }
}

static tally_fate fate_of_leaver(const crew *c, int i)
{
    if (c->batch.z_m[i] > c->plan->setting->top_m)
        return TALLY_AIR_ABOVE;
    const bool high = c->batch.x_m[i] > c->plan->setting->high_x_m;
    return high == (c->accounts->shape.downwind > 0) ? TALLY_AIR_DOWNWIND : TALLY_AIR_UPWIND;
}

/* Ends the lane's droplet with what is left of it, and takes in the next one. */
static void end(crew *c, int i, tally_fate fate, _Atomic int64_t *given)
{
    const passenger *p = &c->lane[i];
    if (p->i_track >= 0) {
        record(c, i, true);
        tally_track *t = &c->track[p->i_track];
        t->fate = fate;
        t->bounces = p->bounces;
        t->shatters = p->shatters;
    }
    c->n_steps += c->batch.step[i];
    c->in_flight--;
    fill(c, i, given);
}

/* Lets half of the parts of lane i wait as the second parcel of a splash. */
static void split(crew *c, int i, const droplet_encounter *e)
{
    passenger *p = &c->lane[i];
    const int64_t second = p->parts / 2;
    if (second * SPLIT_PARTS < p->start.parts || p->splits == MOST_SPLITS)
        return;
    assert(c->n_waiting < STACK);
    droplet_batch *b = &c->batch;
    waiting *w = &c->stack[c->n_waiting++];
    droplet_lane first;
    droplet_lane_take(b, i, &first);
    b->diameter_m[i] = e->second_diameter_m;
    b->whole_m[i] = e->second_whole_m;
    b->path_limit[i] = e->second_path_limit;
    b->u_m_s[i] = e->second_velocity_m_s[0];
    b->v_m_s[i] = e->second_velocity_m_s[1];
    b->w_m_s[i] = e->second_velocity_m_s[2];
    b->id_high[i] |= (uint32_t)1 << (ORDINAL_BITS - 32 + p->splits);
    b->step[i] = 0;
    b->watched[i] = 0;
    droplet_lane_take(b, i, &w->droplet);
    droplet_lane_put(&first, b, i);
    p->splits++;
    w->passenger = *p;
    w->passenger.parts = second;
    w->passenger.i_track = -1;
    p->parts -= second;
}

static void meet(crew *c, int i, _Atomic int64_t *given)
{
    passenger *p = &c->lane[i];
    const int64_t before = p->parts;
    const double whole_m = (double)c->batch.whole_m[i], arrives_m = (double)c->batch.diameter_m[i];
    book_vapour(c, i);
    const droplet_encounter e = droplet_meet(c->plan->setting, c->plan->targets, &c->batch, i);
    if (e.target == DROPLET_ON_GRASS) {
        const tally_fate fate = book_ground(c, i, before);
        end(c, i, fate, given);
        return;
    }
    const int64_t kept = e.kept >= 1.0 ? before : llround(e.kept * (double)before);
    c->accounts->impacts[p->start.i_batch][e.outcome] += before;
    p->bounces += e.outcome == DROPLET_BOUNCES;
    p->shatters += e.outcome == DROPLET_SHATTERS;
    if (kept > 0) {
        book(c, i, e.target == DROPLET_ON_LEAF ? TALLY_LEAF : TALLY_WOOD, kept);
        if (e.target == DROPLET_ON_LEAF) {
            book_leaf(c, i, e.upper_side, kept);
            book_stains(c, i, &e, before, kept, whole_m, arrives_m);
        }
        p->parts -= kept;
    }
    if (e.splashed && p->parts > 0)
        split(c, i, &e);
    if (p->parts == 0)
        end(c, i, e.target == DROPLET_ON_LEAF ? TALLY_LEAF : TALLY_WOOD, given);
}

static void look_at(crew *c, int i, _Atomic int64_t *given)
{
    const int found = c->batch.found[i];
    if (found & DROPLET_CROSSED)
        book_crossings(c, i);
    if (found & DROPLET_COLLECT)
        run_collect(c->plan->collectors, c->collected, c->lane[i].start.i_batch, c->lane[i].parts, &c->batch, i);
    if (found & DROPLET_LANDED && c->collected)
        run_collect_landed(c->plan->collectors, c->collected, c->lane[i].start.i_batch, c->lane[i].parts, &c->batch, i);
    if (found & (DROPLET_LANDED | DROPLET_LEFT | DROPLET_LATE)) {
        book_vapour(c, i);
        tally_fate fate = TALLY_ALOFT;
        if (found & DROPLET_LANDED) {
            fate = book_ground(c, i, c->lane[i].parts);
        } else {
            fate = found & DROPLET_LEFT ? fate_of_leaver(c, i) : TALLY_ALOFT;
            book(c, i, fate, c->lane[i].parts);
        }
        end(c, i, fate, given);
    } else if (found & DROPLET_HIT) {
        if (c->lane[i].i_track >= 0)
            record(c, i, true);
        meet(c, i, given);
    } else if (found & DROPLET_WATCHED) {
        record(c, i, false);
    }
}

/* One thread's share of the flight. */
static void fly(crew *c, _Atomic int64_t *given, _Atomic int *stop, int lead)
{
    const droplet_flight flight = droplet_flight_pick();
    const run_flight_plan *plan = c->plan;
    park(&c->batch);
    for (int i = 0; i < DROPLET_LANES; i++)
        fill(c, i, given);
    for (int64_t round = 0; c->in_flight > 0 && !atomic_load(stop); round++) {
        flight(plan->setting, &c->batch);
        for (int i = 0; i < DROPLET_LANES; i++)
            if (c->batch.found[i])
                look_at(c, i, given);
        if (lead && plan->progress && round % LOOK_UP_EVERY == 0) {
            const double all = (double)(plan->emission->per_batch * TALLY_BATCHES);
            if (!plan->progress(fmin(1.0, (double)atomic_load(given) / all), plan->user))
                atomic_store(stop, 1);
        }
    }
}

drupelet_status run_fly(const run_flight_plan *plan, tally *accounts, int n_tracks, tally_track *track,
                        int64_t *n_steps)
{
    assert(plan->emission->per_batch * TALLY_BATCHES <= (int64_t)1 << ORDINAL_BITS);
    _Atomic int64_t given = 0;
    _Atomic int stop = 0;
    drupelet_status status = base_ok();
    int64_t steps = 0;
    bool led = false;
#pragma omp parallel num_threads(plan->n_threads)
    {
        tally_shape shape = accounts->shape;
        tally *own = NULL;
        tally_collectors *collected = NULL;
        shape.n_voxels = 0; /* the voxels are shared */
        crew *c = aligned_alloc(64, (sizeof(crew) + 63) / 64 * 64);
        drupelet_status mine = tally_create(&shape, &own);
        if (!c && mine.code == DRUPELET_OK)
            mine = base_error(DRUPELET_MEMORY, "no memory for the droplets in flight");
        if (plan->collected && mine.code == DRUPELET_OK)
            mine = tally_collectors_create(plan->collected->n_parts, &collected);
        int lead = 0;
#pragma omp critical
        {
            lead = !led;
            led = true;
        }
        if (mine.code == DRUPELET_OK) {
            memset(c, 0, sizeof *c);
            c->plan = plan;
            c->accounts = own;
            c->voxel = accounts->voxel;
            c->collected = collected;
            c->leaves = accounts->leaves;
            c->n_tracks = n_tracks;
            c->track = track;
            fly(c, &given, &stop, lead);
        } else {
            atomic_store(&stop, 1);
        }
#pragma omp critical
        {
            if (mine.code == DRUPELET_OK) {
                tally_add(accounts, own);
                if (collected)
                    tally_collectors_add(plan->collected, collected);
                steps += c->n_steps;
            } else {
                status = mine;
            }
        }
        tally_collectors_free(collected);
        tally_free(own);
        free(c);
    }
    if (status.code == DRUPELET_OK && atomic_load(&stop))
        status = base_error(DRUPELET_STOPPED, "stopped before the end; no result was kept");
    *n_steps = steps;
    return status;
}
