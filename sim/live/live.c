/* sim/live/live.c - one simulation in pieces: opened, flown, added up, told. */
#include "live/live.h"

#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "live/tree.h"
#include "page/parts.h"
#include "result/result.h"
#include "scenario/read.h"
#include "tally/leaves.h"
#include "tally/ledger.h"

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the simulation");
}

static void end_round(live_run *live)
{
    run_emission_free(live->emission);
    live->emission = NULL;
}

/* All but the air, which the next scenario may share. */
static void close_scenario(live_run *live)
{
    end_round(live);
    run_ready_end(&live->ready);
    drupelet_scenario_free(live->scenario);
    live->scenario = NULL;
}

void live_close(live_run *live)
{
    close_scenario(live);
    air_field_free(live->air);
    live->air = NULL;
}

drupelet_status live_open(live_run *live, const char *tree, size_t n_bytes)
{
    scenario_node *root = NULL;
    close_scenario(live);
    drupelet_status status = live_tree(tree, n_bytes, &root);
    if (status.code == DRUPELET_OK) status = scenario_read_tree("scenario", root, "", 0, NULL, &live->scenario);
    scenario_node_free(root);
    if (status.code != DRUPELET_OK) return status;
    const drupelet_run_options options = {.n_threads = 1, .cache_folder = live->winds};
    const base_hash key = air_key(live->scenario);
    if (live->air && memcmp(&key, &live->air_key, sizeof key) != 0) {
        air_field_free(live->air);
        live->air = NULL;
    }
    status = run_make_ready(live->scenario, &options, live->air, &live->ready);
    if (live->ready.own) {
        live->air = live->ready.own;
        live->air_key = key;
        live->ready.own = NULL;
    }
    if (status.code == DRUPELET_OK)
        live->course = run_course_start(live->scenario, &live->ready.outcome->sprayer, live->ready.most,
                                        live->ready.outcome->accounts);
    else
        close_scenario(live);
    return status;
}

/* ---- flight ---- */

drupelet_status live_take_round(live_run *live, const run_round *round)
{
    const run_outcome *o = live->ready.outcome;
    end_round(live);
    live->round = *round;
    return run_emission_create(live->scenario, &o->sprayer, round, o->seed, &live->emission);
}

int live_next(live_run *live)
{
    run_round round;
    if (!run_course_next(&live->course, &round)) return 0;
    return live_take_round(live, &round).code == DRUPELET_OK ? 1 : -1;
}

int64_t live_per_batch(const live_run *live)
{
    return live->emission->per_batch;
}

drupelet_status live_fly(live_run *live, int64_t from, int64_t up_to, bool record)
{
    run_outcome *o = live->ready.outcome;
    run_flight_plan plan = run_ready_plan(&live->ready, NULL);
    int64_t steps = 0;
    plan.emission = live->emission;
    plan.from = from;
    plan.up_to = up_to;
    plan.n_expected = up_to;
    const int recorded = record ? run_course_tracks(&live->course, live->emission) : 0;
    o->n_tracks = recorded > o->n_tracks ? recorded : o->n_tracks;
    const drupelet_status status = run_fly(&plan, o->accounts, recorded, recorded > 0 ? o->track : NULL, &steps);
    o->n_steps += steps;
    return status;
}

void live_look(live_run *live)
{
    run_course_look(&live->course, &live->scenario->run, &live->round, live->ready.outcome->accounts);
    end_round(live);
}

/* ---- accounts ---- */

static int64_t account_numbers(const ledger_account *account, const tally *a)
{
    return (account->all_batches ? 1 : TALLY_BATCHES) * ledger_numbers(account, &a->shape);
}

/* Array number i of all that droplets fill, the steps first; false beyond the last. One of no numbers is NULL. */
static bool array_of(const live_run *live, int i, int64_t **number, int64_t *n)
{
    run_outcome *o = live->ready.outcome;
    *n = 1;
    *number = &o->n_steps;
    if (i > ledger_accounts) {
        *number = tally_leaves_array(o->accounts->leaves, i - 1 - ledger_accounts, n);
        return *number != NULL;
    }
    if (i > 0) {
        *number = ledger_values(&ledger[i - 1], o->accounts);
        *n = account_numbers(&ledger[i - 1], o->accounts);
    }
    return true;
}

int64_t live_numbers(const live_run *live)
{
    int64_t all = 0, n, *array;
    for (int i = 0; array_of(live, i, &array, &n); i++)
        all += n;
    return all;
}

void live_give(live_run *live, int64_t *number)
{
    int64_t n, *array;
    for (int i = 0; array_of(live, i, &array, &n); i++, number += n) {
        if (n == 0) continue;
        memcpy(number, array, (size_t)n * sizeof *number);
        memset(array, 0, (size_t)n * sizeof *array);
    }
}

void live_add(live_run *live, const int64_t *number)
{
    int64_t n, *array;
    for (int i = 0; array_of(live, i, &array, &n); i++, number += n)
        for (int64_t k = 0; k < n; k++)
            array[k] = tally_sum(array[k], number[k]);
}

/* ---- telling ---- */

/* The outcome so far, with accounts of its own, since dripping moves what lies on leaves. All else is borrowed. */
static drupelet_status outcome_so_far(const live_run *live, run_outcome **so_far)
{
    const run_outcome *o = live->ready.outcome;
    *so_far = malloc(sizeof **so_far);
    if (!*so_far) return no_memory();
    **so_far = *o;
    (*so_far)->n_droplets = live->course.flown;
    (*so_far)->aim = live->course.aim;
    drupelet_status status =
        run_accounts_create(live->scenario, o->canopy, &o->sprayer, o->collectors, &(*so_far)->accounts);
    if (status.code == DRUPELET_OK) {
        tally *a = (*so_far)->accounts;
        tally_add(a, o->accounts);
        a->to_emit = o->accounts->to_emit;
        memcpy(a->leaves->spread, o->accounts->leaves->spread, sizeof a->leaves->spread);
        status = run_off(live->scenario, o->canopy, a);
    }
    return status;
}

static void give_back(run_outcome *so_far)
{
    so_far->collectors = NULL;
    so_far->slice.speed_m_s = NULL;
    so_far->wind = (run_wind_section){0};
    so_far->fan = (run_fan_box){0};
    so_far->track = NULL;
    so_far->canopy = NULL;
}

/* A droplet's weight is a share of all that has flown, as run_rounds() has it. Keeps the former ones. */
static drupelet_status weigh_tracks(run_outcome *o, double before[TALLY_TRACKS])
{
    if (!before) return no_memory();
    const double by = o->accounts->to_emit > 0 ? (double)TALLY_PARTS / (double)o->accounts->to_emit : 1.0;
    for (int i = 0; i < o->n_tracks; i++) {
        before[i] = o->track[i].weight;
        o->track[i].weight *= by;
    }
    return base_ok();
}

drupelet_status live_tell(live_run *live, FILE *to, bool at_end, bool paths)
{
    run_outcome *so_far = NULL;
    drupelet_result *result = NULL;
    double *weight = malloc(TALLY_TRACKS * sizeof *weight);
    drupelet_status status = outcome_so_far(live, &so_far);
    if (status.code == DRUPELET_OK && at_end) status = tally_check(so_far->accounts);
    if (status.code == DRUPELET_OK) status = weigh_tracks(so_far, weight);
    if (status.code != DRUPELET_OK) {
        if (so_far) give_back(so_far);
        run_outcome_free(so_far);
        free(weight);
        return status;
    }
    status = result_of_run(so_far, false, &result);
    if (status.code == DRUPELET_OK) {
        base_json json = {.to = to};
        base_json_open(&json, NULL, '{');
        status = page_result(&json, NULL, result, paths);
        base_json_close(&json, '}');
        give_back(so_far);
        for (int i = 0; i < live->ready.outcome->n_tracks; i++)
            live->ready.outcome->track[i].weight = weight[i];
    } else { /* it has ended the outcome, with all that was borrowed */
        give_back(live->ready.outcome);
        close_scenario(live);
    }
    drupelet_result_free(result);
    free(weight);
    return status;
}
