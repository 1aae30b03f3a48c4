/* tests/test_collectors.c - virtual collectors in runs: they agree with the accounts of ground and air at the same
 * place, change nothing else, miss no step however long, and mistakes in a scenario file are told. What they catch of a
 * known cloud is checked in sim/verify/collectors.c. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include <cmocka.h>

#include "check.h"
#include "droplet/droplet.h"
#include "run/run.h"
#include "run_case.h"
#include "scenario/read.h"
#include "store/store.h"
#include "verify/flight_box.h"

#define FEW 5000
#define WALL "apple-wall-full-leaf.yaml"
#define BARE_GROUND "orchard.grass_height=0 m"

/* ---- beside the other accounts ---- */

/* A dish on the ground that is as wide as a strip of the ground account holds the same droplets. */
static void a_dish_on_the_ground_holds_what_the_ground_does(void **state)
{
    (void)state;
    static const char *const set[4] = {
        BARE_GROUND, "collectors=[{name: strip, kind: dish, x: 5 m, width: 0.5 m},"
                     " {name: wide, kind: dish, distance: 10 m, width: 6 m}]"};
    run_case c = case_run(WALL, FEW, 2, set);
    const run_outcome *r = c.outcome;
    assert_true(r->collectors->collector[0].on_ground); /* no grass: the default */
    const double low_m[2] = {4.75, 8.75}, high_m[2] = {5.25, 14.75}; /* the treated area ends at 1.75 m */
    for (int i = 0; i < 2; i++) {
        const tally_estimate ground = tally_ground_of_rate(r->accounts, low_m[i], high_m[i]);
        const run_measured dish = run_measured_whole(r, i);
        assert_true(ground.share > 0.0);
        assert_close(dish.of[RUN_PERCENT_OF_RATE].share, 100.0 * ground.share, 1e-6, 0.0); /* float places at edges */
        assert_close(dish.of[RUN_PERCENT_OF_RATE].error, 100.0 * ground.error, 1e-6, 0.0);
        const double rate_uL_cm2 = 1e5 * r->sprayer.application_rate_m;
        assert_close(dish.of[RUN_CAUGHT].share, rate_uL_cm2 * ground.share, 1e-6, 0.0);
        assert_true(dish.of[RUN_LIQUID].share < dish.of[RUN_CAUGHT].share); /* some water has dried up */
        assert_true(isnan(dish.of[RUN_COVERAGE].share));
    }
    case_end(&c);
}

/* Over ground without grass what settles through 10 cm lands close by: sampled by time in the slab there, counted one
 * by one below. Both have errors, which share droplets: three of the counted one are allowed. */
static void a_dish_in_the_air_agrees_with_what_lands_below(void **state)
{
    (void)state;
    static const char *const set[4] = {
        BARE_GROUND, "collectors=[{name: low, kind: dish, distance: 12 m, width: 10 m, height: 0 m},"
                     " {name: high, kind: dish, distance: 12 m, width: 10 m, height: 0.1 m}]"};
    run_case c = case_run(WALL, 6 * FEW, 2, set);
    const run_measured low = run_measured_whole(c.outcome, 0), high = run_measured_whole(c.outcome, 1);
    print_message("landed %.4f +/- %.4f, 10 cm up %.4f +/- %.4f %% of the rate\n", low.of[RUN_PERCENT_OF_RATE].share,
                  low.of[RUN_PERCENT_OF_RATE].error, high.of[RUN_PERCENT_OF_RATE].share,
                  high.of[RUN_PERCENT_OF_RATE].error);
    assert_close(high.of[RUN_PERCENT_OF_RATE].share, low.of[RUN_PERCENT_OF_RATE].share, 0.0,
                 3.0 * low.of[RUN_PERCENT_OF_RATE].error);
    case_end(&c);
}

/* Net flux past a line as high as the domain, and through the plane at its place. The line averages over 0.2 m. */
static void a_line_passes_what_the_plane_does(void **state)
{
    (void)state;
    static const char *const winds[] = {"weather.wind_angle=0 deg", "weather.wind_angle=60 deg",
                                        "weather.wind_angle=180 deg"};
    for (int w = 0; w < 3; w++) {
        const char *const set[4] = {
            winds[w], "collectors=[{name: near, kind: line, distance: 5 m, to: 20 m}, {name: far, kind: line,"
                      " distance: 50 m, to: 20 m, segment: 7 m}]"};
        run_case c = case_run(WALL, FEW, 2, set);
        const run_outcome *r = c.outcome;
        const double rate_uL_cm2 = 1e5 * r->sprayer.application_rate_m, treated_m = 28.0;
        for (int i = 0; i < 2; i++) {
            const int i_plane = i == 0 ? 0 : TALLY_PLANES - 1;
            const tally_estimate plane = tally_plane(r->accounts, i_plane, 0, r->accounts->shape.n_flux);
            const run_measured m = run_measured_whole(r, i);
            /* share of the output over the height, from a mean per area over the rate */
            const double share = m.of[RUN_NET].share / rate_uL_cm2 * 20.0 / treated_m;
            assert_true(plane.share > 0.01);
            assert_close(share, plane.share, 0.01, 0.1 * plane.error);
            assert_close(m.of[RUN_NET].error / rate_uL_cm2 * 20.0 / treated_m, plane.error, 0.1, 0.0);
            assert_true(m.of[RUN_PASSED].share >= m.of[RUN_NET].share);
            assert_true(m.of[RUN_CAUGHT].share < 1.2 * m.of[RUN_PASSED].share);
        }
        assert_int_equal(r->collectors->collector[0].n_pieces, 40);
        assert_int_equal(r->collectors->collector[1].n_pieces, 3);
        double sum = 0.0; /* the whole is the mean of equal pieces */
        for (int k = 0; k < 40; k++)
            sum += run_measured_piece(r, 0, k).of[RUN_CAUGHT].share / 40.0;
        assert_close(sum, run_measured_whole(r, 0).of[RUN_CAUGHT].share, 1e-9, 0.0);
        case_end(&c);
    }
}

/* ---- the rest of a run does not know of them ---- */

static const char EVERYWHERE[] =
    "collectors=[{name: a, kind: dish, distance: 3 m}, {name: b, kind: line, distance: 5 m, to: 6 m},"
    " {name: c, kind: card, row: 1, height: 2 m},"
    " {name: d, kind: card, row: 8, offset: 0.4 m, height: 1 m, angle: 30 deg, surface: plain}]";

static void collectors_change_nothing_else(void **state)
{
    (void)state;
    run_case with = case_run(WALL, FEW, 2, (const char *[4]){EVERYWHERE}), without = case_run(WALL, FEW, 2, NULL);
    const tally *a = with.outcome->accounts, *b = without.outcome->accounts;
    assert_null(b->caught);
    assert_int_equal(with.result->n_steps, without.result->n_steps);
    assert_memory_equal(a->fate, b->fate, TALLY_BATCHES * sizeof *a->fate);
    assert_memory_equal(a->water, b->water, TALLY_BATCHES * sizeof *a->water);
    assert_memory_equal(a->size_fate, b->size_fate, TALLY_BATCHES * sizeof *a->size_fate);
    assert_memory_equal(a->ground, b->ground, (size_t)(TALLY_BATCHES * a->shape.n_ground) * sizeof *a->ground);
    assert_memory_equal(a->flux, b->flux, (size_t)(TALLY_BATCHES * TALLY_PLANES * a->shape.n_flux) * sizeof *a->flux);
    assert_memory_equal(a->voxel, b->voxel, (size_t)a->shape.n_voxels * sizeof *a->voxel);
    assert_memory_equal(with.outcome->track, without.outcome->track,
                        (size_t)with.outcome->n_tracks * sizeof *with.outcome->track);
    case_end(&with);
    case_end(&without);
}

static void threads_do_not_change_what_is_caught(void **state)
{
    (void)state;
    run_case one = case_run(WALL, FEW, 1, (const char *[4]){EVERYWHERE}),
             three = case_run(WALL, FEW, 3, (const char *[4]){EVERYWHERE});
    const tally *a = one.outcome->accounts, *b = three.outcome->accounts;
    const size_t n = (size_t)TALLY_BATCHES * (size_t)a->shape.n_pieces * TALLY_CATCHES;
    int filled = 0;
    for (size_t i = 0; i < n; i++)
        filled += a->caught[i] != 0;
    assert_true(filled > 1000);
    assert_int_equal(a->shape.n_pieces, b->shape.n_pieces);
    assert_memory_equal(a->caught, b->caught, n * sizeof *a->caught);
    case_end(&one);
    case_end(&three);
}

/* docs/result-format.md and the sums, by python with xarray and h5py where one is there. */
static void other_readers_take(const char *path)
{
    char command[1024];
    snprintf(command, sizeof command,
             "IFS=:; for d in $PATH; do if [ -x \"$d/python3\" ] && \"$d/python3\" -c 'import xarray, h5py, netCDF4, "
             "h5netcdf' 2>/dev/null; then exec \"$d/python3\" '%s/tests/check_result.py' '%s' "
             "'%s/docs/result-format.md'; fi; done; exit 77",
             DRUPELET_SOURCE, path, DRUPELET_SOURCE);
    const int answer = system(command), code = WIFEXITED(answer) ? WEXITSTATUS(answer) : -1;
    if (code == 77)
        print_message("no python3 with xarray, h5py, netCDF4 and h5netcdf: this reader was not tried\n");
    else
        assert_int_equal(code, 0);
}

static void what_was_caught_is_read_back(void **state)
{
    (void)state;
    static const char path[] = "test_collectors.h5";
    run_case c = case_run(WALL, FEW, 2, (const char *[4]){EVERYWHERE});
    drupelet_result *s;
    assert_int_equal(drupelet_result_write(c.result, path, true).code, DRUPELET_OK);
    const drupelet_status status = store_read(path, &s);
    other_readers_take(path);
    remove(path);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    assert_int_equal(s->n_collectors, 4);
    assert_int_equal(s->n_collector_parts, 15);
    for (int i = 0; i < 4; i++) {
        const result_collector *k = &s->collector[i];
        const scenario_collector *as = c.outcome->collectors->collector[i].as;
        const run_measured m = run_measured_whole(c.outcome, i);
        assert_string_equal(k->name, as->name);
        assert_int_equal(k->kind, as->kind);
        assert_close(k->distance_m, tally_distance_m(&c.outcome->accounts->shape, as->x_m), 1e-12, 1e-12);
        assert_close(k->width_m, as->width_m, 1e-12, 0.0);
        assert_int_equal(k->n_parts, i == 1 ? 12 : 1);
        for (int q = 0; q < RUN_MEASURES; q++) {
            if (q == RUN_COVERAGE && i != 2) {
                assert_true(isnan(k->measured.of[q].share));
                continue;
            }
            assert_close(k->measured.of[q].share, m.of[q].share, 1e-12, 0.0);
            assert_close(k->measured.of[q].error, m.of[q].error, 1e-12, 0.0);
        }
    }
    const run_measured part = run_measured_piece(c.outcome, 1, 7);
    assert_close(s->collector_part[s->collector[1].first_part + 7].measured.of[RUN_NET].share, part.of[RUN_NET].share,
                 1e-12, 0.0);
    assert_close(s->collector_part[s->collector[1].first_part + 7].low_m, 3.5, 1e-12, 0.0);
    drupelet_result_free(s);
    case_end(&c);
}

/* ---- no step is missed, none is counted wrong ---- */

/* Accounts of a run that has emitted nothing. */
static tally *empty_accounts(int n_pieces)
{
    const tally_shape shape = {.n_rows = 1, .n_ground = 1, .n_flux = 1, .downwind = 1, .n_pieces = n_pieces};
    tally *accounts = NULL;
    assert_int_equal(tally_create(&shape, &accounts).code, DRUPELET_OK);
    accounts->to_emit = 0;
    return accounts;
}

static run_collectors *collectors_of(const char *list, run_case *c)
{
    char set[1024];
    snprintf(set, sizeof set, "collectors=%s", list);
    *c = case_run(WALL, 2000, 1, (const char *[4]){set, BARE_GROUND});
    return c->outcome->collectors;
}

static box_air windy_air(double z_m)
{
    return (box_air){.u_m_s = 4.0 + z_m, .sigma_m_s = 1.0, .time_scale_s = 0.5};
}

/* The kernel points at the steps that touch a slab, among them those that jump over it. Every step is also looked at
 * without its help: the accounts must be the same. */
static void the_kernel_finds_every_step_that_counts(void **state)
{
    (void)state;
    run_case c;
    const run_collectors *r = collectors_of(
        "[{name: a, kind: line, x: 12 m, to: 5 m}, {name: c, kind: dish, x: 7 m, width: 0.2 m, height: 1 m},"
        " {name: b, kind: card, x: 14 m, height: 3 m, angle: 130 deg, size: 50 cm},"
        " {name: d, kind: card, x: -8 m, height: 2 m, size: 30 cm}]",
        &c);
    tally *all = empty_accounts(r->n_pieces), *pointed = empty_accounts(r->n_pieces);
    flight_box box;
    static droplet_batch b;
    assert_int_equal(flight_box_open(&box, windy_air, 10.0, 0.5, 0.03, 0.5).code, DRUPELET_OK);
    static const char *const name[] = {"base", "v3", "v4"};
    for (int v = 0; v < 3; v++) {
        const droplet_flight flight = droplet_flight_named(name[v]);
        if (!flight)
            continue;
        run_collectors_watch(r, &box.setting);
        double longest_m = 0.0;
        int64_t looked = 0, steps = 0;
        for (int turn = 0; turn < 30; turn++) {
            flight_box_park(&b, (uint32_t)(turn * DROPLET_LANES));
            for (int i = 0; i < DROPLET_LANES; i++) {
                flight_box_place(&box, &b, i, -22.0 + 0.3 * i, 0.2 + 0.033 * i, 30e-6 + 5e-6 * i);
                b.u_m_s[i] += i % 3 == 0 ? 30.0f : i % 3 == 1 ? -20.0f : 0.0f;
                b.y_before_m[i] = b.z_before_m[i] = 1e30f; /* must be filled by the kernel */
            }
            for (int n = 0; n < 150; n++) {
                flight(&box.setting, &b);
                for (int i = 0; i < DROPLET_LANES; i++) {
                    if (b.aloft[i] == 0.0f)
                        continue;
                    steps++;
                    longest_m = fmax(longest_m, fabs((double)b.x_m[i] - (double)b.x_before_m[i]));
                    run_collect(r, all, i % TALLY_BATCHES, TALLY_PARTS / 4096, &b, i);
                    if (b.found[i] & DROPLET_COLLECT) {
                        looked++;
                        run_collect(r, pointed, i % TALLY_BATCHES, TALLY_PARTS / 4096, &b, i);
                    }
                    if (b.found[i] & (DROPLET_LANDED | DROPLET_LEFT))
                        b.aloft[i] = 0.0f;
                }
            }
        }
        print_message("%s: longest step %.2f m, %.1f %% of the steps looked at\n", name[v], longest_m,
                      100.0 * (double)looked / (double)steps);
        assert_true(longest_m > 0.5);        /* longer than a strip of gaps and than any slab */
        assert_true(looked < steps / 5);
    }
    const size_t n = (size_t)TALLY_BATCHES * (size_t)all->shape.n_pieces * TALLY_CATCHES;
    assert_memory_equal(all->caught, pointed->caught, n * sizeof *all->caught);
    for (int k = 0; k < r->n; k++) { /* and each of them saw something */
        int64_t amount = 0;
        for (int batch = 0; batch < TALLY_BATCHES; batch++)
            for (int p = 0; p < r->collector[k].n_pieces; p++)
                amount += all->caught[(batch * all->shape.n_pieces + r->collector[k].first_piece + p) * TALLY_CATCHES
                                      + TALLY_PASSED];
        assert_true(amount > 0);
    }
    flight_box_close(&box);
    tally_free(all);
    tally_free(pointed);
    case_end(&c);
}

static double caught_by(const tally *t, int part, tally_catch which)
{
    const double units = which == TALLY_DROPLETS ? 0x1p32 : 0x1p46;
    return (double)t->caught[part * TALLY_CATCHES + (int)which] / units;
}

/* One step along the rows, as wind along the rows makes them: it passes a line though it hardly moves across. A step
 * that ends in the slab counts with the part inside. */
static void steps_along_the_rows_pass_a_line(void **state)
{
    (void)state;
    run_case c;
    const run_collectors *r = collectors_of("[{name: a, kind: line, x: 12 m, to: 4 m, segment: 2 m}]", &c);
    tally *t = empty_accounts(r->n_pieces);
    static droplet_batch b;
    b.diameter_m[0] = b.whole_m[0] = 200e-6f;
    b.density_kg_m3[0] = 998.2f;
    b.x_before_m[0] = b.x_m[0] = 12.0f;
    b.z_before_m[0] = b.z_m[0] = 1.0f;
    b.y_m[0] = 0.8f;
    b.v_m_s[0] = b.air_v_m_s[0] = 8.0f;
    b.step_s[0] = 0.1f;
    run_collect(r, t, 0, TALLY_PARTS / 64, &b, 0);
    const double per_area = 1.0 / 64.0 * 28.0 / (0.2 * 2.0); /* share, treated width, slab */
    assert_close(caught_by(t, 0, TALLY_PASSED), per_area * 0.8, 1e-6, 0.0);
    assert_close(caught_by(t, 0, TALLY_NET), 0.0, 0.0, 1e-12);
    const double e = droplet_line_efficiency(200e-6, (double)998.2f, 0.002, 8.0, &r->air);
    assert_close(caught_by(t, 0, TALLY_CAUGHT), per_area * 0.8 * e, 1e-6, 0.0);
    assert_true(caught_by(t, 1, TALLY_PASSED) == 0.0);
    b.x_before_m[0] = 11.0f; /* 1 m across, the last tenth of it in the slab; rising through both pieces there */
    b.z_before_m[0] = -8.0f;
    b.z_m[0] = 3.0f - 1e-3f;
    run_collect(r, t, 0, TALLY_PARTS / 64, &b, 0);
    assert_close(caught_by(t, 0, TALLY_NET) + caught_by(t, 1, TALLY_NET), per_area * 0.1, 1e-4, 0.0);
    tally_free(t);
    case_end(&c);
}

/* Still air and a droplet that flies by its own momentum: the line takes all in its way. Droplets below K = 1/8 go
 * round it. */
static void a_line_takes_what_flies_straight_and_leaves_what_follows_the_air(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.5, 101325.0);
    const double still[2] = {0.0, 0.0}, fast[2] = {6.0, 8.0}, slow[2] = {0.3, 0.0};
    assert_close(droplet_line_catch_m_s(300e-6, 1000.0, 0.002, still, fast, &air), 10.0 * (1.0 + 0.15), 1e-9, 0.0);
    assert_close(droplet_line_catch_m_s(5e-6, 1000.0, 0.002, slow, slow, &air), 0.0, 0.0, 1e-12);
}

static void full_accounts_are_an_error(void **state)
{
    (void)state;
    tally *a = empty_accounts(2);
    tally_collectors_put(a, 3, 1, TALLY_NET, -2.0);
    tally_collectors_put(a, 3, 1, TALLY_CAUGHT, 2.0);
    assert_int_equal(tally_check(a).code, DRUPELET_OK);
    for (int i = 0; i < 3; i++) /* the account stays full */
        tally_collectors_put(a, 3, 1, TALLY_DROPLETS, 1e9);
    assert_int_equal(tally_check(a).code, DRUPELET_BALANCE);
    tally_free(a);
    a = empty_accounts(1);
    tally_collectors_put(a, 0, 0, TALLY_PASSED, -1e-3);
    assert_int_equal(tally_check(a).code, DRUPELET_BALANCE);
    tally_free(a);
}

/* ---- scenario files ---- */

/* The small scenario with collectors behind it; they start in line 32. */
static drupelet_status read_with(const char *collectors, drupelet_scenario **scenario)
{
    char text[8192] = "";
    FILE *file = fopen(DRUPELET_TEST_DATA "/scenario-small.yaml", "rb");
    assert_non_null(file);
    const size_t n = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[n] = '\0';
    int lines = 0;
    for (const char *c = text; *c; c++)
        lines += *c == '\n';
    for (; lines < 30; lines++)
        strcat(text, "\n");
    assert_int_equal(lines, 30);
    assert_true(n + strlen(collectors) + 64 < sizeof text);
    strcat(text, "collectors:\n");
    strcat(text, collectors);
    return scenario_read_text("block.yaml", text, strlen(text), NULL, 0, scenario);
}

static void bad_collectors_are_told_with_line_and_column(void **state)
{
    (void)state;
    static const struct { const char *collectors, *message; } bad[] = {
        {"  - {kind: dish, distance: 3 m}\n",
         "block.yaml:32:5: collectors.0.name: found nothing, expected a text on one line, shorter than 128 bytes"},
        {"  - {name: a, kind: bowl, distance: 3 m}\n",
         "block.yaml:32:21: collectors.0.kind: found bowl, expected dish, line"},
        {"  - {name: a, kind: dish}\n",
         "block.yaml:32:5: collectors.0.distance: found nothing, expected a length from -1000 m to 1000 m"},
        {"  - {name: a, kind: dish, distance: 3 m, x: 5 m}\n",
         "block.yaml:32:42: collectors.0.x: found this key, expected one of distance, x and row"},
        {"  - {name: a, kind: dish, distance: 3 m, row: 1}\n",
         "block.yaml:32:42: collectors.0.row: found this key, expected one of distance, x and row"},
        {"  - {name: a, kind: dish, distance: 3 m, offset: 1 m}\n",
         "block.yaml:32:42: collectors.0.offset: found this key, expected offset with row only"},
        {"  - {name: a, kind: dish, distance: 300 m}\n",
         "block.yaml:32:37: collectors.0.distance: found 300 m, expected a place inside the simulated space, x from "},
        {"  - {name: a, kind: dish, row: 60}\n",
         "block.yaml:32:32: collectors.0.row: found 60, expected at most orchard.rows, "},
        {"  - {name: a, kind: dish, distance: 3 m}\n  - {name: a, kind: dish, distance: 5 m}\n",
         "block.yaml:33:12: collectors.1.name: found a, expected a name that no other collector has"},
        {"  - {name: a, kind: dish, distance: 3 m, diameter: 2 mm}\n",
         "block.yaml:32:42: collectors.0.diameter: found this key, expected height and width for a dish"},
        {"  - {name: a, kind: line, distance: 3 m}\n",
         "block.yaml:32:5: collectors.0.to: found nothing, expected a length from 0.1 m to 100 m"},
        {"  - {name: a, kind: line, distance: 3 m, from: 2 m, to: 1 m}\n",
         "block.yaml:32:57: collectors.0.to: found 1 m, expected more than from, 2 m"},
        {"  - {name: a, kind: line, distance: 3 m, to: 90 m}\n",
         "block.yaml:32:46: collectors.0.to: found 90 m, expected at most run.domain_top, 20 m"},
        {"  - {name: a, kind: card, distance: 3 m}\n",
         "block.yaml:32:5: collectors.0.height: found nothing, expected a length from 0 m to 100 m"},
        {"  - {name: a, kind: card, row: 1, height: 1 m, angle: 30 deg, facing: up}\n",
         "block.yaml:32:63: collectors.0.facing: found this key, expected either facing or angle, not both"},
        {"  - {name: a, kind: card, row: 1, height: 1 m, facing: north}\n",
         "block.yaml:32:56: collectors.0.facing: found north, expected up, down, towards_plus_x or towards_minus_x"},
        {"  - {name: a, kind: card, row: 1, height: 1 m, hight: 1 m}\n",
         "block.yaml:32:48: collectors.0.hight: found an unknown key, expected height"},
        {"  dish: 3\n",
         "block.yaml:32:3: collectors: found a group of keys, expected a list of collectors, 0 to 64 entries"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        drupelet_scenario *s = NULL;
        const drupelet_status status = read_with(bad[i].collectors, &s);
        assert_null(s);
        assert_int_equal(status.code, DRUPELET_SCENARIO);
        if (strncmp(status.message, bad[i].message, strlen(bad[i].message)) != 0)
            fail_msg("'%s', expected '%s'", status.message, bad[i].message);
    }
}

static void collectors_are_placed_and_have_their_defaults(void **state)
{
    (void)state;
    drupelet_scenario *s = NULL;
    const drupelet_status status =
        read_with("  - {name: d, kind: dish, distance: 30 m}\n"
                  "  - {name: e, kind: dish, x: 0 m, height: 20 cm, width: 1 ft}\n"
                  "  - {name: l, kind: line, distance: 5 m, to: 3 m}\n"
                  "  - {name: c, kind: card, row: 1, offset: -30 cm, height: 2 m, facing: towards_minus_x}\n"
                  "  - {name: k, kind: card, row: 1, height: 2 m, angle: -45 deg, surface: plain, catch: all,"
                  " size: 5 cm}\n",
                  &s);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    const double edge_m = scenario_high_edge_x_m(&s->orchard), pi = acos(-1.0);
    const scenario_collector *c = s->collector;
    assert_int_equal(s->n_collectors, 5);
    assert_close(c[0].x_m, edge_m + 30.0, 1e-12, 0.0);
    assert_close(c[0].height_m, s->orchard.grass_height_m, 1e-12, 0.0);
    assert_close(c[0].width_m, 3.0, 1e-12, 0.0); /* a tenth of the distance */
    assert_close(c[0].facing_rad, 0.5 * pi, 1e-12, 0.0);
    assert_close(c[1].width_m, 0.3048, 1e-12, 0.0);
    assert_close(c[1].height_m, 0.2, 1e-12, 0.0);
    assert_close(c[2].height_m, 0.0, 0.0, 1e-12);
    assert_close(c[2].top_m, 3.0, 1e-12, 0.0);
    assert_close(c[2].width_m, 0.002, 1e-12, 0.0);
    assert_close(c[2].segment_m, 0.5, 1e-12, 0.0);
    assert_close(c[3].x_m, -0.3, 1e-12, 0.0);
    assert_close(c[3].facing_rad, pi, 1e-12, 0.0);
    assert_close(c[3].width_m, 0.076, 1e-12, 0.0);
    assert_true(c[3].leaf_like && c[3].water_sensitive);
    assert_close(c[4].facing_rad, -0.25 * pi, 1e-12, 0.0);
    assert_false(c[4].leaf_like || c[4].water_sensitive);
    assert_non_null(strstr(s->resolved, "collectors.0.width: 3 m (default)\n"));
    assert_non_null(strstr(s->resolved, "collectors.3.x: -0.3 m (from the row)\n"));
    drupelet_scenario_free(s);
    assert_int_equal(read_with("  []\n", &s).code, DRUPELET_OK);
    assert_int_equal(s->n_collectors, 0);
    drupelet_scenario_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dish_on_the_ground_holds_what_the_ground_does),
        cmocka_unit_test(a_dish_in_the_air_agrees_with_what_lands_below),
        cmocka_unit_test(a_line_passes_what_the_plane_does),
        cmocka_unit_test(collectors_change_nothing_else),
        cmocka_unit_test(threads_do_not_change_what_is_caught),
        cmocka_unit_test(what_was_caught_is_read_back),
        cmocka_unit_test(the_kernel_finds_every_step_that_counts),
        cmocka_unit_test(steps_along_the_rows_pass_a_line),
        cmocka_unit_test(a_line_takes_what_flies_straight_and_leaves_what_follows_the_air),
        cmocka_unit_test(full_accounts_are_an_error),
        cmocka_unit_test(bad_collectors_are_told_with_line_and_column),
        cmocka_unit_test(collectors_are_placed_and_have_their_defaults),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
