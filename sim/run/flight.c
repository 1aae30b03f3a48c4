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
#include "run/thread.h"
#include "run/capture.h"
#include "tally/budget.h"

enum { CHUNK = 256, LOOK_UP_EVERY = 64 }; /* droplets that a thread takes at a time; steps between calls of progress */

/* Which track a droplet of the round fills, or -1. One is taken out of each of equal groups of a batch's droplets,
 * which are in order of size; which one goes by the golden ratio, since every so-many-th of Sobol' points would not be
 * even. */
static int track_of(const run_emission *e, int n_tracks, int64_t id)
{
    if (n_tracks == 0)
        return -1;
    const int64_t each = n_tracks / TALLY_BATCHES, ordinal = id % e->per_batch, i_batch = id / e->per_batch;
    const int64_t k = ordinal * each / e->per_batch;
    const int64_t low = (k * e->per_batch + each - 1) / each, high = ((k + 1) * e->per_batch + each - 1) / each;
    const uint32_t turn = (uint32_t)(k + i_batch * each) * 2654435769u; /* 2^32 over the golden ratio */
    const int64_t chosen = low + (int64_t)((double)turn / 4294967296.0 * (double)(high - low));
    return ordinal == chosen ? (int)(i_batch * each + k) : -1;
}

static void record(run_thread *self, int i, bool last)
{
    run_passenger *p = &self->lane[i];
    tally_track *t = &self->track[p->i_track];
    const droplet_batch *b = &self->batch;
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
static void fill(run_thread *self, int i, _Atomic int64_t *given)
{
    if (self->n_waiting > 0) {
        const run_waiting *w = &self->stack[--self->n_waiting];
        droplet_lane_put(&w->droplet, &self->batch, i);
        self->lane[i] = w->passenger;
        self->in_flight++;
        return;
    }
    const run_emission *e = self->plan->emission;
    if (self->next == self->end) {
        const int64_t up_to = self->plan->up_to;
        self->next = atomic_fetch_add(given, CHUNK);
        self->next = self->next < up_to ? self->next : up_to;
        self->end = self->next + CHUNK < up_to ? self->next + CHUNK : up_to;
    }
    if (self->next == self->end) {
        self->batch.aloft[i] = 0.0f;
        return;
    }
    const int64_t id = self->next++;
    run_passenger *p = &self->lane[i];
    memset(p, 0, sizeof *p);
    p->start = run_emit(e, id, &self->batch, i);
    p->weight = p->start.weight;
    p->size_bin = tally_size_bin((double)self->batch.diameter_m[i]);
    p->i_class = tally_class((double)self->batch.diameter_m[i]);
    p->i_track = track_of(e, self->n_tracks, id);
    p->stride = 1;
    self->in_flight++;
    self->accounts->emitted[p->start.i_batch][0] += p->weight;
    self->accounts->water_emitted[p->start.i_batch][0] += p->weight;
    if (p->i_track >= 0) {
        tally_track *t = &self->track[p->i_track];
        t->droplet = e->first + id;
        t->i_alley = e->work->pass[p->start.i_pass].i_alley;
        t->i_nozzle = p->start.i_nozzle;
        t->weight = (double)p->weight / (double)TALLY_PARTS;
        t->emitted_diameter_m = (double)self->batch.diameter_m[i];
        t->n_points = 0;
        self->batch.watched[i] = DROPLET_WATCHED;
        record(self, i, true);
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

/* Ends the record of the lane's droplet, if there is one. */
static void end_record(run_thread *self, int i, tally_fate fate)
{
    run_passenger *p = &self->lane[i];
    if (p->i_track < 0)
        return;
    record(self, i, true);
    tally_track *t = &self->track[p->i_track];
    t->fate = fate;
    for (int o = 0; o < TALLY_OUTCOMES; o++)
        t->n_outcome[o] = p->n_outcome[o];
    p->i_track = -1;
    self->batch.watched[i] = 0;
}

/* Ends the lane's droplet with what is left of it, and takes in the next one. */
static void end(run_thread *self, int i, tally_fate fate, _Atomic int64_t *given)
{
    end_record(self, i, fate);
    self->n_steps += self->batch.step[i];
    self->in_flight--;
    fill(self, i, given);
}

/* Lets half of lane i's weight wait as the second parcel of a splash. */
static void split(run_thread *self, int i, const droplet_encounter *e)
{
    run_passenger *p = &self->lane[i];
    const int64_t second = p->weight / 2;
    if (second * RUN_SPLIT_PARCELS < p->start.weight || p->splits == RUN_MOST_SPLITS)
        return;
    assert(self->n_waiting < RUN_STACK);
    droplet_batch *b = &self->batch;
    run_waiting *w = &self->stack[self->n_waiting++];
    droplet_lane first;
    droplet_lane_take(b, i, &first);
    b->diameter_m[i] = e->second_diameter_m;
    b->whole_m[i] = e->second_whole_m;
    b->path_limit[i] =
        e->second_path_limit * (float)run_capture_share(self->plan->emission->plain, second, p->start.weight);
    b->u_m_s[i] = e->second_velocity_m_s[0];
    b->v_m_s[i] = e->second_velocity_m_s[1];
    b->w_m_s[i] = e->second_velocity_m_s[2];
    b->id_high[i] |= (uint32_t)1 << (RUN_ORDINAL_BITS - 32 + p->splits);
    b->step[i] = b->passed[i] = 0;
    b->watched[i] = 0;
    droplet_lane_take(b, i, &w->droplet);
    droplet_lane_put(&first, b, i);
    p->splits++;
    w->passenger = *p;
    w->passenger.weight = second;
    w->passenger.i_track = -1;
    p->weight -= second;
}

static void meet(run_thread *self, int i, _Atomic int64_t *given)
{
    run_passenger *p = &self->lane[i];
    tally_fate stayed = TALLY_LEAF;
    const run_captured captured = run_capture(self, i, &stayed);
    if (captured == RUN_FLIES_ON_UNSEEN)
        end_record(self, i, stayed);
    if (captured != RUN_MEETS_WHOLE) {
        droplet_step_back(&self->before, &self->batch, i);
        self->n_steps++; /* the one that was flown for nothing */
        return;
    }
    run_book_step(self, i, p->weight);
    if (p->i_track >= 0)
        record(self, i, true);
    const int64_t before = p->weight;
    const double whole_m = (double)self->batch.whole_m[i], arrives_m = (double)self->batch.diameter_m[i];
    run_book_vapour(self, i, before);
    self->batch.evaporated[i] = 0.0f;
    const droplet_encounter e = droplet_meet(self->plan->setting, self->plan->targets, &self->batch, i);
    const int64_t kept = e.kept >= 1.0 ? before : llround(e.kept * (double)before);
    const tally_fate fate = run_book_encounter(self, i, &e, before, kept, whole_m, arrives_m);
    if (p->i_track >= 0 && e.outcome != DROPLET_ADHERES)
        self->track[p->i_track].last_rebound_s = self->batch.time_s[i];
    p->n_outcome[e.outcome]++;
    if (p->i_track >= 0 && kept < before && run_capture_ends_path(self, i, (double)kept / (double)before))
        end_record(self, i, fate);
    p->weight -= kept;
    if (p->weight > 0)
        run_book_first_hit(self, i, &e);
    if (e.splashed && p->weight > 0)
        split(self, i, &e);
    if (p->weight == 0) {
        end(self, i, fate, given);
        return;
    }
    self->batch.path_limit[i] *= (float)run_capture_share(self->plan->emission->plain, p->weight, p->start.weight);
}

static void look_at(run_thread *self, int i, _Atomic int64_t *given)
{
    const int found = self->batch.found[i];
    const int over = found & (DROPLET_LANDED | DROPLET_LEFT | DROPLET_LATE);
    if (!over && found & DROPLET_HIT) {
        meet(self, i, given);
        return;
    }
    run_book_step(self, i, self->lane[i].weight);
    if (over) {
        run_book_vapour(self, i, self->lane[i].weight);
        tally_fate fate = TALLY_ALOFT;
        if (found & DROPLET_LANDED) {
            fate = run_book_landing(self, i, self->lane[i].weight);
        } else {
            fate = found & DROPLET_LEFT ? run_fate_of_leaver(self, i) : TALLY_ALOFT;
            run_book(self, i, fate, self->lane[i].weight);
        }
        end(self, i, fate, given);
    } else if (found & DROPLET_WATCHED) {
        record(self, i, false);
    }
}

/* One thread's share of the flight: chunks of the range until it is used up. */
static void fly(run_thread *self, _Atomic int64_t *given, _Atomic int *stop, int lead)
{
    const droplet_flight flight = droplet_flight_pick();
    const run_flight_plan *plan = self->plan;
    park(&self->batch);
    for (int i = 0; i < DROPLET_LANES; i++)
        fill(self, i, given);
    for (int64_t round = 0; self->in_flight > 0 && !atomic_load(stop); round++) {
        if (!plan->emission->plain)
            droplet_remember(&self->batch, &self->before);
        flight(plan->setting, &self->batch);
        for (int i = 0; i < DROPLET_LANES; i += 2) {
            uint64_t two; /* lanes at once: mostly there is nothing */
            memcpy(&two, &self->batch.found[i], sizeof two);
            for (int n = i; two && n < i + 2; n++)
                if (self->batch.found[n])
                    look_at(self, n, given);
        }
        if (lead && plan->progress && round % LOOK_UP_EVERY == 0) {
            const double flown = (double)(plan->emission->first + atomic_load(given));
            if (!plan->progress(fmin(1.0, flown / (double)plan->n_expected), plan->user))
                atomic_store(stop, 1);
        }
    }
}

drupelet_status run_fly(const run_flight_plan *plan, tally *accounts, int n_tracks, tally_track *track,
                        int64_t *n_steps)
{
    assert(0 <= plan->from && plan->from <= plan->up_to);
    assert(plan->up_to <= plan->emission->per_batch * TALLY_BATCHES);
    assert(plan->emission->first + plan->up_to <= (int64_t)1 << RUN_ORDINAL_BITS);
    _Atomic int64_t given = plan->from;
    _Atomic int stop = 0;
    drupelet_status status = base_ok();
    int64_t steps = 0;
    bool led = false;
#pragma omp parallel num_threads(plan->n_threads)
    {
        tally_shape shape = accounts->shape;
        tally *own = NULL;
        shape.n_voxels = 0; /* the voxels are shared */
        run_thread *self = aligned_alloc(64, (sizeof(run_thread) + 63) / 64 * 64);
        drupelet_status mine = tally_create(&shape, &own);
        if (!self && mine.code == DRUPELET_OK)
            mine = base_error(DRUPELET_MEMORY, "no memory for the droplets in flight");
        int lead = 0;
#pragma omp critical
        {
            lead = !led;
            led = true;
        }
        if (mine.code == DRUPELET_OK) {
            memset(self, 0, sizeof *self);
            self->plan = plan;
            self->accounts = own;
            self->voxel = accounts->voxel;
            self->leaves = accounts->leaves;
            self->n_tracks = n_tracks;
            self->track = track;
            fly(self, &given, &stop, lead);
        } else {
            atomic_store(&stop, 1);
        }
#pragma omp critical
        {
            if (mine.code == DRUPELET_OK) {
                tally_add(accounts, own);
                steps += self->n_steps;
            } else {
                status = mine;
            }
        }
        tally_free(own);
        free(self);
    }
    if (status.code == DRUPELET_OK && atomic_load(&stop))
        status = base_error(DRUPELET_STOPPED, "stopped before the end; no result was kept");
    *n_steps = steps;
    return status;
}
