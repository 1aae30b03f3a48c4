/* tests/reference_run.c - emission, flight, encounters and books of a run, one droplet at a time. */
#include "reference_run.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "run/capture.h"

/* A droplet of the nozzle, and what it stands for. */
typedef struct {
    reference_droplet flies;
    int64_t started; /* weight at the nozzle, in parts */
    double weight;   /* still in flight */
    uint32_t passed; /* targets that it has met and passed */
} traveller;

static bool downwind_is_high(const flight_case *c)
{
    return cos(c->scenario->weather.wind_angle_rad) >= 0.0;
}

static double distance_m(const flight_case *c, double x_m)
{
    return downwind_is_high(c) ? x_m - c->reference.block_high_m : c->reference.block_low_m - x_m;
}

static tally_fate ground_at(const flight_case *c, double x_m)
{
    const reference_setting *s = &c->reference;
    if (x_m >= s->block_low_m && x_m < s->block_high_m) {
        const double off_m = fabs(x_m - floor(x_m / s->row_spacing_m + 0.5) * s->row_spacing_m);
        return off_m < 0.5 * c->scenario->canopy.width_m ? TALLY_GROUND_ROW : TALLY_GROUND_ALLEY;
    }
    return distance_m(c, x_m) > 0.0 ? TALLY_GROUND_DOWNWIND : TALLY_GROUND_UPWIND;
}

static void book(const flight_case *c, const traveller *t, tally_fate fate, double weight, double *sums)
{
    const bool far = fate == TALLY_AIR_DOWNWIND
                     || (fate == TALLY_GROUND_DOWNWIND && distance_m(c, t->flies.place_m[0]) >= 5.0);
    sums[fate] += weight;
    sums[REFERENCE_DRIFT_5_M] += far ? weight : 0.0;
}

static tally_fate fate_at(const flight_case *c, const traveller *t, droplet_target target)
{
    return target == DROPLET_ON_LEAF   ? TALLY_LEAF
           : target == DROPLET_ON_WOOD ? TALLY_WOOD
                                       : ground_at(c, t->flies.place_m[0]);
}

static double capture_share(const flight_case *c, const traveller *t)
{
    return run_capture_share(c->emission->plain, (int64_t)t->weight, t->started);
}

static void book_vapour(const flight_case *c, const traveller *t, double weight, double *sums)
{
    sums[REFERENCE_EVAPORATED] += t->flies.evaporated / (1.0 - c->scenario->liquid.nonvolatile) * weight;
}

/* A part of the droplets that it stands for meets the target and stays there (run/capture.h); the others fly the step
 * anew, as if the target were not there. @return false: all of it bounces or shatters, or it flies whole */
static bool part_stays(const flight_case *c, traveller *t, const reference_droplet *before, const droplet_batch *lane,
                       double *sums)
{
    reference_droplet *p = &t->flies;
    const double part = capture_share(c, t);
    if (part >= 1.0)
        return false;
    const droplet_encounter e = droplet_preview(&c->setting, &c->targets, lane, 0);
    const bool stays = e.target == DROPLET_ON_GRASS || e.outcome == DROPLET_ADHERES;
    if (!stays) {
        uint32_t bits[4];
        base_random_block(c->reference.seed, BASE_STREAM_CAPTURE, p->id, p->step + (t->passed << 24), bits);
        if (base_uniform(bits[0]) < part)
            return false;
    }
    if (stays) {
        book_vapour(c, t, part * t->weight, sums);
        book(c, t, fate_at(c, t, e.target), part * t->weight, sums);
        t->weight -= part * t->weight;
    }
    const double limit = p->path_limit + (double)e.path_limit * capture_share(c, t);
    *p = *before;
    p->path_limit = limit;
    t->passed++;
    return true;
}

/* Books what stays on the target; what is left flies on. */
static void meet(const flight_case *c, traveller *t, const reference_droplet *before, droplet_batch *lane,
                 double *sums)
{
    reference_droplet *p = &t->flies;
    reference_to_lane(p, lane, 0);
    lane->passed[0] = t->passed;
    if (part_stays(c, t, before, lane, sums))
        return;
    book_vapour(c, t, t->weight, sums);
    p->evaporated = 0.0;
    const droplet_encounter e = droplet_meet(&c->setting, &c->targets, lane, 0);
    const double kept = e.target == DROPLET_ON_GRASS ? 1.0 : e.kept;
    book(c, t, fate_at(c, t, e.target), kept * t->weight, sums);
    t->weight = kept < 1.0 ? (1.0 - kept) * t->weight : 0.0;
    const reference_droplet after = reference_of_lane(lane, 0);
    memcpy(p->velocity_m_s, after.velocity_m_s, sizeof p->velocity_m_s);
    memset(p->turbulent_m_s, 0, sizeof p->turbulent_m_s);
    p->next_s = after.next_s;
    p->diameter_m = after.diameter_m;
    p->whole_m = after.whole_m;
    p->path = after.path;
    p->path_limit = after.path_limit * capture_share(c, t);
}

/* @return steps flown */
static int64_t fly(const flight_case *c, traveller *t, droplet_batch *lane, double *sums)
{
    reference_droplet *p = &t->flies;
    while (t->weight > 0.0) {
        const reference_droplet before = *p;
        double normal[3];
        reference_normals(&c->reference, p, normal);
        const int found = reference_step(&c->reference, p, normal, INFINITY);
        if (!found)
            continue;
        if (found & (DROPLET_LANDED | DROPLET_LEFT | DROPLET_LATE))
            book_vapour(c, t, t->weight, sums);
        if (found & DROPLET_LANDED) {
            book(c, t, ground_at(c, p->place_m[0]), t->weight, sums);
            break;
        }
        if (found & (DROPLET_LEFT | DROPLET_LATE)) {
            const bool high = p->place_m[0] > c->reference.high_x_m;
            book(c, t, !(found & DROPLET_LEFT)                       ? TALLY_ALOFT
                       : p->place_m[2] > c->reference.top_m          ? TALLY_AIR_ABOVE
                       : high == downwind_is_high(c)                 ? TALLY_AIR_DOWNWIND
                                                                     : TALLY_AIR_UPWIND,
                 t->weight, sums);
            break;
        }
        meet(c, t, &before, lane, sums);
    }
    return p->step + t->passed; /* those flown again were flown, too */
}

void reference_fly_all(const flight_case *c, int n_threads, reference_fates *fates)
{
    int64_t n_steps = 0;
    memset(fates, 0, sizeof *fates);
#pragma omp parallel num_threads(n_threads) reduction(+ : n_steps)
    {
        droplet_batch *lane = aligned_alloc(64, sizeof *lane);
        if (!lane)
            abort();
        flight_case_park(lane);
#pragma omp for schedule(dynamic)
        for (int b = 0; b < TALLY_BATCHES; b++) { /* a batch is one thread's: its sum has one order */
            double emitted = 0.0;
            for (int64_t k = 0; k < c->emission->per_batch; k++) {
                const run_start start = flight_case_emit(c, b * c->emission->per_batch + k, false, lane, 0);
                traveller t = {reference_of_lane(lane, 0), start.weight, (double)start.weight, 0};
                emitted += (double)start.weight;
                n_steps += fly(c, &t, lane, fates->share[b]);
            }
            for (int i = 0; i < REFERENCE_SHARES; i++)
                fates->share[b][i] /= emitted;
        }
        free(lane);
    }
    fates->n_steps = n_steps;
}

tally_estimate reference_share(const reference_fates *fates, int i_share)
{
    double sum = 0.0, sum2 = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++)
        sum += fates->share[b][i_share];
    const double mean = sum / TALLY_BATCHES;
    for (int b = 0; b < TALLY_BATCHES; b++)
        sum2 += pow(fates->share[b][i_share] - mean, 2.0);
    return (tally_estimate){mean, sqrt(sum2 / TALLY_BATCHES / (TALLY_BATCHES - 1))};
}
