/* sim/run/rounds.c - rounds of droplets, and when to stop.
 *
 * Every round is a sample of the whole spray in 32 batches, and stands for its share of the most droplets that may
 * fly. The error is looked at after fixed counts only, so that the result depends on seed and scenario alone. After
 * the first look the error, which falls with the root of the number, says which count should do; looking seldom, and
 * at counts that do not follow how the error happens to wander, keeps the effect of stopping at a lucky moment small
 * (measured in docs/speed.md). */
#include "run/rounds.h"

#include <assert.h>
#include <math.h>

#include "base/elementary.h"
#include "base/status.h"
#include "tally/drift.h"

/* Choices. */
enum { FIRST_COUNT = 2048, FIRST_FEWEST = 4 };    /* at least, and of the fewest droplets possible */
#define GRID_STEP 1.189207115002721               /* fourth root of 2: counts at which a run may stop */
#define LEAST_STEP 1.2                            /* a smaller round is not worth its while */
#define FIRST_LOOK 0.8 /* few droplets may miss what is rare and counts much: the error then looks too small */

tally_estimate run_target_share(const tally *a, scenario_target target)
{
    tally_parts parts; /* without the factor to percent of the rate, which leaves the relative error as it is */
    tally_target_parts(a, target, &parts);
    return tally_parts_share(&parts, 1.0);
}

static int64_t whole_batches(double n, int64_t most)
{
    const double batches = ceil(n / TALLY_BATCHES * (1.0 - 1e-12));
    return batches * TALLY_BATCHES < (double)most ? (int64_t)batches * TALLY_BATCHES : most;
}

int64_t run_first_count(int64_t fewest, int64_t most)
{
    return whole_batches(fmax(FIRST_COUNT, FIRST_FEWEST * (double)fewest), most);
}

int64_t run_next_count(int64_t fewest, int64_t most, int64_t n, double error, double asked)
{
    const double first = (double)run_first_count(fewest, most), ratio = error / asked;
    const double wanted = fmin((double)n * fmax(LEAST_STEP, ratio * ratio), (double)most);
    if (!(wanted < (double)most)) {
        /* not known at all, or out of reach as it seems: go on by doubling, for it may seem wrong */
        return isfinite(error) ? most : whole_batches(2.0 * (double)n, most);
    }
    const double step = ceil(base_log(wanted / first) / base_log(GRID_STEP) - 1e-9);
    const int64_t count = whole_batches(first * base_pow(GRID_STEP, step), most);
    return count > n ? count : most;
}

run_course run_course_start(const drupelet_scenario *scenario, const sprayer_work *work, int64_t most, tally *accounts)
{
    const scenario_run *run = &scenario->run;
    run_course c = {.fewest = run_emission_fewest(work)};
    assert(most >= c.fewest); /* run_in_air() has refused fewer */
    c.all = (most + TALLY_BATCHES - 1) / TALLY_BATCHES * TALLY_BATCHES;
    c.up_to = run->target_error > 0.0 ? run_first_count(c.fewest, c.all) : c.all;
    c.aim = (run_aim){.wanted = run->target_error > 0.0, .asked = run->target_error, .error = INFINITY};
    accounts->to_emit = 0;
    return c;
}

bool run_course_next(const run_course *c, run_round *round)
{
    const int64_t n = c->up_to - c->flown;
    const double share = (double)n / (double)c->all;
    *round = (run_round){c->flown, n, n == c->all ? TALLY_PARTS : (int64_t)(share * (double)TALLY_PARTS)};
    return n > 0;
}

void run_course_look(run_course *c, const scenario_run *run, const run_round *round, tally *accounts)
{
    run_aim *aim = &c->aim;
    accounts->to_emit += round->weight / TALLY_BATCHES * TALLY_BATCHES;
    c->flown = c->up_to;
    aim->n_rounds++;
    if (!aim->wanted)
        return;
    aim->share = run_target_share(accounts, run->target);
    aim->error = aim->share.share > 0.0 ? aim->share.error / aim->share.share : INFINITY;
    aim->reached = aim->error <= aim->asked;
    if (!aim->reached || (aim->n_rounds == 1 && aim->error > FIRST_LOOK * aim->asked))
        c->up_to = run_next_count(c->fewest, c->all, c->flown, aim->error, aim->asked);
}

int run_course_tracks(const run_course *c, const run_emission *emission)
{
    const int64_t each = TALLY_TRACKS / TALLY_BATCHES;
    if (c->flown > 0)
        return 0;
    return (int)((emission->per_batch < each ? emission->per_batch : each) * TALLY_BATCHES);
}

drupelet_status run_rounds(const run_flight_plan *given, const drupelet_scenario *scenario, const sprayer_work *work,
                           uint64_t seed, int64_t most, tally *accounts, tally_track *track, int *n_tracks,
                           int64_t *n_droplets, int64_t *n_steps, run_aim *aim)
{
    run_course course = run_course_start(scenario, work, most, accounts);
    run_round round;
    drupelet_status status = base_ok();
    *n_tracks = 0;
    *n_steps = 0;
    while (run_course_next(&course, &round) && status.code == DRUPELET_OK) {
        run_flight_plan plan = *given;
        run_emission *emission = NULL;
        int64_t steps = 0;
        status = run_emission_create(scenario, work, &round, seed, &emission);
        if (status.code != DRUPELET_OK)
            break;
        plan.emission = emission;
        plan.from = 0;
        plan.up_to = emission->per_batch * TALLY_BATCHES;
        plan.n_expected = course.up_to;
        const int recorded = run_course_tracks(&course, emission);
        *n_tracks += recorded;
        status = run_fly(&plan, accounts, recorded, recorded > 0 ? track : NULL, &steps);
        run_emission_free(emission);
        *n_steps += steps;
        if (status.code == DRUPELET_OK)
            run_course_look(&course, &scenario->run, &round, accounts);
    }
    for (int i = 0; i < *n_tracks && accounts->to_emit > 0; i++) /* of what flew in the end */
        track[i].weight *= (double)TALLY_PARTS / (double)accounts->to_emit;
    *n_droplets = course.flown;
    *aim = course.aim;
    return status;
}
