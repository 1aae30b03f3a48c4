/* tests/test_sampling.c - stratified sampling says what plain sampling says, with smaller errors, and its books add up;
 * a run with a target stops when it may and says so. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "file_numbers.h"
#include "run/allotment.h"
#include "run/emission.h"
#include "run/rounds.h"
#include "run_case.h"
#include "tally/drift.h"

static const char *const WALL = "apple-wall-full-leaf.yaml", *const COARSE = "apple-wall-air-induction.yaml";
static const char *const SAMPLING[2] = {"run.sampling=plain", "run.sampling=stratified"};

/* ---- weights ---- */

/* Parts of every batch add up to the last one, each droplet's size lies in its piece of the spectrum, and no weight is
 * more than 2.3 times that of equal droplets or less than a thirtieth of the largest one. */
static void weights_add_up_and_are_bounded(void **state)
{
    (void)state;
    static const char *const file[] = {"apple-wall-full-leaf.yaml", "apple-wall-air-induction.yaml", "vineyard.yaml",
                                       "tall-globe-orchard.yaml"};
    static const int64_t COUNTS[] = {32, 2048, 20000, 3200000};
    for (size_t f = 0; f < sizeof file / sizeof file[0]; f++)
        for (size_t n = 0; n < sizeof COUNTS / sizeof COUNTS[0]; n++) {
            char path[1024];
            drupelet_scenario *s = NULL;
            sprayer_work work;
            run_emission *e = NULL;
            snprintf(path, sizeof path, "%s/%s", DRUPELET_SCENARIOS, file[f]);
            assert_int_equal(drupelet_scenario_read(path, NULL, 0, &s).code, DRUPELET_OK);
            assert_int_equal(sprayer_work_out(s, &work).code, DRUPELET_OK);
            if (COUNTS[n] < run_emission_fewest(&work)) {
                drupelet_scenario_free(s);
                continue;
            }
            const run_round round = {0, COUNTS[n], TALLY_PARTS};
            assert_int_equal(run_emission_create(s, &work, &round, 1, &e).code, DRUPELET_OK);
            int64_t sum = 0, least = INT64_MAX, most = 0;
            double smaller_m = 0.0;
            int i_spray = -1;
            for (int64_t i = 0; i < e->per_batch; i++) {
                const run_drawn low = run_allotment_draw(&e->allotment, i, 0.0);
                const run_drawn high = run_allotment_draw(&e->allotment, i, 1.0);
                assert_true(low.weight == high.weight && low.weight > 0 && low.diameter_m <= high.diameter_m);
                assert_true(low.diameter_m >= 0.999999 * smaller_m || low.i_spray > i_spray);
                i_spray = low.i_spray;
                smaller_m = high.diameter_m;
                sum += low.weight;
                least = low.weight < least ? low.weight : least;
                most = low.weight > most ? low.weight : most;
            }
            assert_true(sum == TALLY_PARTS / TALLY_BATCHES);
            const double equal = (double)sum / (double)e->per_batch;
            print_message("%s, %lld droplets: weights %.2f to %.2f of equal ones\n", file[f], (long long)COUNTS[n],
                          (double)least / equal, (double)most / equal);
            assert_true((double)most <= 2.3 * equal && 30.0 * (double)least >= (double)most);
            run_emission_free(e);
            drupelet_scenario_free(s);
        }
}

/* The volume below a size is that of the spectrum, however many droplets there are. */
static void sizes_follow_the_spectrum(void **state)
{
    (void)state;
    char path[1024];
    drupelet_scenario *s = NULL;
    sprayer_work work;
    run_emission *e = NULL;
    snprintf(path, sizeof path, "%s/%s", DRUPELET_SCENARIOS, WALL);
    assert_int_equal(drupelet_scenario_read(path, NULL, 0, &s).code, DRUPELET_OK);
    assert_int_equal(sprayer_work_out(s, &work).code, DRUPELET_OK);
    const run_round round = {0, 32000, TALLY_PARTS};
    assert_int_equal(run_emission_create(s, &work, &round, 1, &e).code, DRUPELET_OK);
    const sprayer_spectrum *spectrum = &work.spray[0].spectrum;
    double sum = 0.0;
    for (int64_t i = 0; i < e->per_batch; i++) {
        const run_drawn lot = run_allotment_draw(&e->allotment, i, 1.0);
        sum += (double)lot.weight / (double)(TALLY_PARTS / TALLY_BATCHES);
        /* straight lines between the 17 quantiles of a cell: 1e-3 of the volume */
        assert_true(fabs(sprayer_spectrum_share_below(spectrum, lot.diameter_m) - sum) < 1e-3);
    }
    run_emission_free(e);
    drupelet_scenario_free(s);
}

/* ---- the same means ---- */

/* Plain and stratified runs of the same orchard, SEEDS of each, from the scenario to the file, and every number that
 * the file gives an error compared in standard errors of the difference: fates, sizes, outcomes, rows, sides, cover,
 * ground, air. Those errors are known from 31 SEEDS degrees of freedom, so the ratio is all but normal. Three
 * checks: fates, outcomes at leaves and wood, what evaporated and the numbers of drift are within 3.7 errors (25
 * numbers: 1 in 150 by chance), every number is within 5 (900 of them: 1 in 500), and the mean square of all is
 * below 1.5. (Numbers share droplets; some 100 independent ones would scatter by 0.14.) Power with 50000 droplets of
 * the wall: a bias of 3.5 % of the drift, 1.7 % of the deposit or 1.5 % of the water evaporated (5 errors) is found
 * with 90 %. scripts/sampling repeats the check with as many droplets as one likes. */
static void assert_same_means(const char *file, int64_t n_droplets)
{
    enum { SEEDS = 2 };
    static const char *const main_ones[] = {"fates/active_ingredient", "fates/outcome_share", "fates/impacts",
                                            "fates/evaporated", "ground/drift_sum"};
    file_numbers seen[2][SEEDS];
    for (int stratified = 0; stratified < 2; stratified++)
        for (int k = 0; k < SEEDS; k++) {
            char seed[32];
            snprintf(seed, sizeof seed, "run.seed=%d", 11 + k); /* the same trees in both */
            run_case c = case_run(file, n_droplets, 2, (const char *[4]){SAMPLING[stratified], seed});
            seen[stratified][k] = file_numbers_of(c.result);
            case_end(&c);
        }
    for (size_t i = 0; i < sizeof main_ones / sizeof main_ones[0]; i++) {
        const file_difference d = file_numbers_compare(SEEDS, seen[0], seen[1], main_ones[i]);
        print_message("%s, %s: %d numbers, the farthest %.1f errors apart\n", file, main_ones[i], d.n, d.farthest);
        assert_true(d.n > 0 && d.farthest < 3.7);
    }
    const file_difference all = file_numbers_compare(SEEDS, seen[0], seen[1], NULL);
    print_message("%s: %d numbers, mean square of the differences %.2f, the farthest %s with %.1f\n", file, all.n,
                  all.mean_square, all.name, all.farthest);
    assert_true(all.n > 300 && all.farthest < 5.0 && all.mean_square < 1.5);
    for (int k = 0; k < SEEDS; k++) {
        file_numbers_end(&seen[0][k]);
        file_numbers_end(&seen[1][k]);
    }
}

static void a_wall_of_apples_has_the_same_means(void **state)
{
    (void)state;
    assert_same_means(WALL, 50000);
}

/* Large droplets on leaves that are hard to wet: much bounces and shatters. */
static void coarse_droplets_on_hard_leaves_have_the_same_means(void **state)
{
    (void)state;
    assert_same_means(COARSE, 30000);
}

/* ---- smaller errors ---- */

static double relative_variance(const run_case *c, scenario_target target)
{
    const tally_estimate e = run_target_share(c->outcome->accounts, target);
    return e.error * e.error / (e.share * e.share);
}

/* Measured over many seeds the gain is 5.5 in variance a droplet and 3.5 in variance times steps, both for the sum of
 * drift and for leaves (docs/theory.md). One pair of runs knows a ratio of variances to 36 %: half of the gain is asked
 * for. */
static void errors_are_smaller_for_the_same_work(void **state)
{
    (void)state;
    run_case plain = case_run(WALL, 20000, 2, (const char *[4]){"run.sampling=plain"});
    run_case stratified = case_run(WALL, 20000, 2, NULL);
    const int drift = SCENARIO_TARGET_DRIFT + scenario_drift_named("drift_sum_5_m");
    const scenario_target TARGET[] = {(scenario_target)drift, SCENARIO_TARGET_FATE /* leaves */};
    for (int i = 0; i < 2; i++) {
        const double gain = relative_variance(&plain, TARGET[i]) / relative_variance(&stratified, TARGET[i]);
        const double dearer = (double)stratified.result->n_steps / (double)plain.result->n_steps;
        print_message("%s: variance %.1f times smaller, at %.2f times the steps\n",
                      scenario_target_name((int)TARGET[i]), gain, dearer);
        assert_true(gain > 2.5 && gain / dearer > 1.8);
    }
    case_end(&plain);
    case_end(&stratified);
}

/* ---- tracks ---- */

/* A recorded droplet ends where the liquid does, not where the last part of its lane did: the paths' fates by weight
 * are those of plain sampling, and those of the accounts, within the error of so many. */
static void paths_end_like_droplets(void **state)
{
    (void)state;
    enum { RUNS = 3, DROPLETS = 6400 };
    double share[2][TALLY_FATES] = {{0.0}}, booked[TALLY_FATES] = {0.0};
    int n_splashed = 0, n_stayed = 0;
    for (int stratified = 0; stratified < 2; stratified++)
        for (int k = 0; k < RUNS; k++) {
            char seed[32];
            snprintf(seed, sizeof seed, "run.seed=%d", 3 + k);
            run_case c = case_run(WALL, DROPLETS, 2, (const char *[4]){SAMPLING[stratified], seed});
            const run_outcome *r = c.outcome;
            double all = 0.0;
            assert_int_equal(r->n_tracks, TALLY_TRACKS);
            for (int i = 0; i < r->n_tracks; i++)
                all += r->track[i].weight;
            /* about every third droplet: their weights are so much of the output */
            assert_true(fabs(all * DROPLETS / TALLY_TRACKS - 1.0) < 0.01);
            for (int i = 0; i < r->n_tracks; i++) {
                assert_true(r->track[i].n_points > 1);
                share[stratified][r->track[i].fate] += r->track[i].weight / all / RUNS;
                const tally_track *t = &r->track[i];
                n_splashed += t->n_outcome[DROPLET_SHATTERS] > 0;
                n_stayed += t->n_outcome[DROPLET_SHATTERS] > 0 && t->last_rebound_s == t->point[t->n_points - 1].time_s;
            }
            for (int f = 0; f < TALLY_FATES; f++)
                booked[f] += c.result->fate[f].share / (2 * RUNS);
            case_end(&c);
        }
    for (int f = 0; f < TALLY_FATES; f++) {
        const double p = 0.5 * (share[0][f] + share[1][f]);
        const double error = sqrt(2.0 * 1.2 * p * (1.0 - p) / (RUNS * TALLY_TRACKS)); /* weights differ a little */
        print_message("%s: %.4f of the paths plain, %.4f stratified; %.4f of the liquid\n", tally_fate_name(f),
                      share[0][f], share[1][f], booked[f]);
        assert_true(fabs(share[1][f] - share[0][f]) <= 4.0 * error);
        const double paths = 2.0 * RUNS * TALLY_TRACKS; /* of both; one more or less says nothing */
        assert_true(fabs(p - booked[f]) <= 4.0 * sqrt(1.2 * booked[f] / paths) + 2.0 / paths);
    }
    print_message("%d of %d paths with a splash end there\n", n_stayed, n_splashed);
    assert_true(n_splashed > 200 && n_stayed > n_splashed / 5 && n_stayed < n_splashed);
}

/* What a droplet passes leaves no trace: one that meets no leaf or wood with all that it stands for flies the same
 * steps whether there are eight times as many leaves to pass or not (clumping counts in the encounters alone). */
static void a_target_that_is_passed_changes_no_flight(void **state)
{
    (void)state;
    run_case c[2];
    for (int k = 0; k < 2; k++)
        c[k] = case_run(
            WALL, 3 * TALLY_TRACKS, 2,
            (const char *[4]){k ? "canopy.clumping=0.8" : "canopy.clumping=0.1", "orchard.grass_leaf_area_index=0"});
    int n = 0;
    double passed = 0.0;
    for (int i = 0; i < TALLY_TRACKS; i++) {
        const tally_track *few = &c[0].outcome->track[i], *many = &c[1].outcome->track[i];
        bool free_way = true;
        for (int k = 0; k < 2; k++) {
            const tally_track *t = k ? many : few;
            free_way = free_way && t->fate > TALLY_WOOD;
            for (int o = DROPLET_ADHERES + 1; o < DROPLET_OUTCOMES; o++)
                free_way = free_way && t->n_outcome[o] == 0;
        }
        if (!free_way) continue;
        assert_true(few->droplet == many->droplet && few->fate == many->fate && few->n_points == many->n_points);
        assert_memory_equal(few->point, many->point, (size_t)few->n_points * sizeof few->point[0]);
        n++;
        passed += many->fate >= TALLY_AIR_DOWNWIND && many->point[0].x_m < -4.0f; /* from the third alley on, a row */
    }
    print_message("%d paths, %.0f of them through a row and out\n", n, passed);
    assert_true(n > 300 && passed > 50.0);
    case_end(&c[0]);
    case_end(&c[1]);
}

/* Which alley and nozzle a path comes from follows the flow also where every eighth droplet is recorded: chi squared of
 * 126 sources with 2048 paths. Paths are more even than by chance, so only much is wrong. */
static void paths_come_from_everywhere(void **state)
{
    (void)state;
    run_case c = case_run(WALL, 8 * TALLY_TRACKS, 2, NULL);
    const run_outcome *r = c.outcome;
    const sprayer_work *work = &r->sprayer;
    int found[SCENARIO_ROWS + 1][SCENARIO_NOZZLES] = {{0}}, n = 0;
    double squares = 0.0, all = 0.0;
    for (int i = 0; i < r->n_tracks; i++)
        found[r->track[i].i_alley][r->track[i].i_nozzle]++;
    for (int p = 0; p < work->n_passes; p++)
        all += work->pass[p].flow_m3_s;
    for (int p = 0; p < work->n_passes; p++)
        for (int k = 0; k < work->n_nozzles; k++) {
            const bool open =
                work->nozzle[k].nozzle->side == SCENARIO_LEFT ? work->pass[p].left_open : work->pass[p].right_open;
            if (!open) continue;
            const double expected = r->n_tracks * work->nozzle[k].flow_m3_s / all;
            const double off = found[work->pass[p].i_alley][k] - expected;
            squares += off * off / expected;
            n++;
        }
    print_message("%d sources: chi squared %.0f\n", n, squares);
    assert_true(n > 100 && squares < n + 4.0 * sqrt(2.0 * n));
    case_end(&c);
}

/* ---- rounds ---- */

static void counts_grow_in_fixed_steps(void **state)
{
    (void)state;
    assert_true(run_first_count(32, 1000000) == 2048);
    assert_true(run_first_count(3200, 1000000) == 12800);
    assert_true(run_first_count(32, 1024) == 1024);
    /* twice the error wanted: four times the droplets */
    assert_true(run_next_count(32, 1000000, 2048, 0.04, 0.02) == 8192);
    /* hardly more than wanted: a round that is worth its while, on the grid of fourth roots of 2 */
    assert_true(run_next_count(32, 1000000, 2048, 0.0201, 0.02) == 2912);
    assert_true(run_next_count(32, 1000000, 2048, INFINITY, 0.02) == 4096);
    assert_true(run_next_count(32, 3200, 2048, INFINITY, 0.02) == 3200);
    assert_true(run_next_count(32, 100000, 2048, 0.5, 0.02) == 100000);
    for (double error = 0.0201; error < 0.2; error *= 1.07) {
        const int64_t n = run_next_count(32, 10000000, 2048, error, 0.02);
        const double step = log2((double)n / 2048.0) * 4.0;
        assert_true(n % TALLY_BATCHES == 0 && (double)n >= 2048.0 * pow(error / 0.02, 2.0) && n > 2048);
        assert_true(step - floor(step + 1e-9) < 0.08); /* whole batches */
    }
}

static void a_target_ends_the_run(void **state)
{
    (void)state;
    run_case c = case_run(WALL, 0, 2, (const char *[4]){"run.target_error=2%", "run.target=drift_sum_5_m"});
    const run_outcome *r = c.outcome;
    const tally_estimate drift = tally_drift_sum(r->accounts, 5.0);
    print_message("%lld droplets, %d rounds: %.4f +/- %.4f\n", (long long)r->n_droplets, r->aim.n_rounds, drift.share,
                  drift.error);
    assert_true(r->aim.wanted && r->aim.reached && drift.error <= 0.02 * drift.share);
    assert_true(r->n_droplets < 20000 && fabs(r->aim.error - drift.error / drift.share) < 1e-12);
    double all = 0.0, weights = 0.0;
    for (int f = 0; f < TALLY_FATES; f++)
        all += tally_share(r->accounts, &r->accounts->fate[0][f], TALLY_FATES).share;
    assert_true(fabs(all - 1.0) < 1e-9);
    int64_t voxels = 0, leaves = 0;
    for (int64_t v = 0; v < r->accounts->shape.n_voxels; v++)
        voxels += r->accounts->voxel[v];
    for (int b = 0; b < TALLY_BATCHES; b++)
        leaves += r->accounts->fate[b][TALLY_LEAF];
    assert_true(voxels == leaves && r->accounts->to_emit < TALLY_PARTS);
    /* recorded are the droplets of the first round, 2048 */
    for (int i = 0; i < r->n_tracks; i++)
        weights += r->track[i].weight;
    assert_true(r->n_tracks == 2048 && fabs(weights * (double)r->n_droplets / 2048.0 - 1.0) < 0.01);
    case_end(&c);
}

/* The same as that many droplets at once would say, within the errors. */
static void rounds_have_the_means_of_one_round(void **state)
{
    (void)state;
    run_case rounds = case_run(WALL, 0, 2, (const char *[4]){"run.target_error=0.9%", "run.target=drift_sum_10_m"});
    run_case once = case_run(WALL, 40000, 2, (const char *[4]){"run.seed=1"});
    assert_true(rounds.outcome->aim.n_rounds > 1);
    file_numbers a = file_numbers_of(rounds.result), b = file_numbers_of(once.result);
    const file_difference all = file_numbers_compare(1, &a, &b, NULL);
    print_message("%d numbers, mean square of the differences %.2f, the farthest %s with %.1f\n", all.n,
                  all.mean_square, all.name, all.farthest);
    assert_true(all.n > 300 && all.farthest < 5.0 && all.mean_square < 1.5);
    file_numbers_end(&a);
    file_numbers_end(&b);
    case_end(&rounds);
    case_end(&once);
}

static void droplets_may_run_out_first(void **state)
{
    (void)state;
    run_case c = case_run(WALL, 4000, 2, (const char *[4]){"run.target_error=0.5%"});
    assert_true(c.outcome->aim.wanted && !c.outcome->aim.reached && c.result->n_droplets == 4000);
    assert_true(c.outcome->aim.error > 0.005 && c.outcome->accounts->to_emit > TALLY_PARTS - 1000000);
    case_end(&c);
    /* nothing gets there at all: no error, no end but the droplets */
    c = case_run(WALL, 3200, 2, (const char *[4]){"run.target_error=5%", "run.target=aloft"});
    assert_true(!c.outcome->aim.reached && c.result->n_droplets == 3200 && isinf(c.outcome->aim.error));
    case_end(&c);
}

static bool count_calls(double share_done, void *user)
{
    (void)share_done;
    ++*(int *)user;
    return true;
}

/* The air takes the time of a short run: who asks for too few droplets is told so before it is made. */
static void too_few_droplets_are_refused_before_the_air_is_made(void **state)
{
    (void)state;
    drupelet_scenario *scenario;
    drupelet_result *result;
    int calls = 0;
    drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", NULL, 0, &scenario);
    assert_int_equal(status.code, DRUPELET_OK);
    const drupelet_run_options options = {.n_droplets = 64, .n_threads = 1, .progress = count_calls, .user = &calls};
    status = drupelet_run(scenario, &options, &result);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_string_equal(status.message, "droplets: found 64, expected at least 1000");
    assert_null(result);
    assert_int_equal(calls, 0);
    drupelet_scenario_free(scenario);
}

static void threads_do_not_change_a_run_with_a_target(void **state)
{
    (void)state;
    static const char *const set[4] = {"run.target_error=2.2%"};
    run_case one = case_run(WALL, 0, 1, set);
    for (int threads = 2; threads <= 3; threads++) {
        run_case more = case_run(WALL, 0, threads, set);
        const tally *a = one.outcome->accounts, *b = more.outcome->accounts;
        assert_true(one.result->n_droplets == more.result->n_droplets && one.result->n_steps == more.result->n_steps);
        assert_memory_equal(a->fate, b->fate, TALLY_BATCHES * sizeof *a->fate);
        assert_memory_equal(a->water, b->water, TALLY_BATCHES * sizeof *a->water);
        assert_memory_equal(a->size_fate, b->size_fate, TALLY_BATCHES * sizeof *a->size_fate);
        assert_memory_equal(a->voxel, b->voxel, (size_t)a->shape.n_voxels * sizeof *a->voxel);
        assert_memory_equal(one.outcome->track, more.outcome->track, TALLY_TRACKS * sizeof *more.outcome->track);
        case_end(&more);
    }
    case_end(&one);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weights_add_up_and_are_bounded),
        cmocka_unit_test(sizes_follow_the_spectrum),
        cmocka_unit_test(a_wall_of_apples_has_the_same_means),
        cmocka_unit_test(coarse_droplets_on_hard_leaves_have_the_same_means),
        cmocka_unit_test(errors_are_smaller_for_the_same_work),
        cmocka_unit_test(paths_end_like_droplets),
        cmocka_unit_test(a_target_that_is_passed_changes_no_flight),
        cmocka_unit_test(paths_come_from_everywhere),
        cmocka_unit_test(counts_grow_in_fixed_steps),
        cmocka_unit_test(a_target_ends_the_run),
        cmocka_unit_test(rounds_have_the_means_of_one_round),
        cmocka_unit_test(droplets_may_run_out_first),
        cmocka_unit_test(too_few_droplets_are_refused_before_the_air_is_made),
        cmocka_unit_test(threads_do_not_change_a_run_with_a_target),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
