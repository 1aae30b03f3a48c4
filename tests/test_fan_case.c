/* tests/test_fan_case.c - which flow around the sprayer a scenario asks for: what outlets and intake bring to it, where
 * the machine stands, which passes share a flow; and a small one solved, kept and laid into the passes. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/air.h"
#include "air/fan_case.h"
#include "air/fan_keep.h"
#include "air/fan_state.h"
#include "air/outlets.h"
#include "base/between.h"
#include "base/elementary.h"
#include "check.h"

/* A scenario up to its wind. */
typedef struct {
    drupelet_scenario *scenario;
    orchard_canopy *canopy;
    air_ambient *ambient;
    sprayer_work work;
    air_fan_sharing sharing;
} block;

static void must(drupelet_status status)
{
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
}

static void open_block(block *b, const char *file, const char *const *set)
{
    char path[1024];
    int n = 0;
    while (set && set[n])
        n++;
    *b = (block){0};
    snprintf(path, sizeof path, "%s/%s", DRUPELET_SCENARIOS, file);
    must(drupelet_scenario_read(path, set, n, &b->scenario));
    must(orchard_create(b->scenario, &b->canopy));
    must(sprayer_work_out(b->scenario, &b->work));
    must(air_ambient_create(b->scenario, b->canopy, NULL, (air_watch){NULL, NULL}, &b->ambient));
    must(air_fan_share(b->scenario, b->canopy, b->ambient, &b->work, &b->sharing));
}

static void close_block(block *b)
{
    air_ambient_free(b->ambient);
    orchard_free(b->canopy);
    drupelet_scenario_free(b->scenario);
}

static air_fan_case case_of(const block *b, int i_flow)
{
    air_fan_case c;
    must(air_fan_case_of(b->scenario, b->canopy, b->ambient, &b->work, &b->sharing, i_flow, &c));
    return c;
}

/* Flow blown out, and its momentum relative to the sprayer. */
typedef struct {
    double out_m3_s, in_m3_s, momentum_m4_s2[3];
} flux;

static flux flux_of(const air_fan_case *c)
{
    flux f = {0};
    for (int i = 0; i < c->n_sources; i++) {
        const air_fan_source *s = &c->source[i];
        *(s->flow_m3_s > 0.0 ? &f.out_m3_s : &f.in_m3_s) += s->flow_m3_s;
        for (int d = 0; d < 3 && s->flow_m3_s > 0.0; d++)
            f.momentum_m4_s2[d] += s->flow_m3_s * (s->velocity_m_s[d] - (d == 1 ? c->travel_m_s : 0.0));
    }
    return f;
}

/* ---- sources ---- */

static const char *const ONE_SLOT[] = {"run.wind=profiles", "run.fan_air_cell=0.3 m",
                                       "sprayer.outlets=[{kind: slot, side: right, offset: 0.40 m, bottom: 0.45 m, "
                                       "top: 2.05 m, slot: 60 mm, tilt: 20 deg}]",
                                       NULL};
static const char *const ONE_ARC[] = {
    "run.wind=profiles", "run.fan_air_cell=0.3 m",
    "sprayer.outlets=[{kind: arc, side: right, centre_height: 0.95 m, radius: 0.45 m, from: -10 deg, to: 62 deg, slot: "
    "120 mm}]",
    NULL};
static const char *const ONE_SPOUT[] = {"run.wind=profiles", "run.fan_air_cell=0.3 m",
                                        "sprayer.outlets=[{kind: spout, side: right, offset: 0.5 m, height: 1.4 m, "
                                        "diameter: 300 mm, tilt: 30 deg, back: 25 "
                                        "deg}]",
                                        NULL};

/* The outlet's flow and its momentum, flow * speed * mean direction, whatever the cells are. */
static void assert_brings(const char *const *set, const double mean_direction[3])
{
    block b;
    open_block(&b, "apple-wall-full-leaf.yaml", set);
    const double flow_m3_s = b.work.fan_flow_m3_s, speed_m_s = b.work.outlet_speed_m_s[0];
    for (int i = 0; i < b.sharing.n_flows; i++) {
        int p = 0;
        while (b.sharing.flow_of_pass[p] != i)
            p++;
        air_fan_case c = case_of(&b, i);
        const flux f = flux_of(&c);
        const double outward = b.work.pass[p].heading; /* the right side faces +x where the sprayer drives along +y */
        assert_close(f.out_m3_s, flow_m3_s, 1e-9, 0.0);
        assert_close(f.in_m3_s, -flow_m3_s, 1e-9, 0.0);
        for (int d = 0; d < 3; d++)
            assert_close(f.momentum_m4_s2[d], (d == 0 ? outward : 1.0) * flow_m3_s * speed_m_s * mean_direction[d],
                         1e-9, 1e-9 * flow_m3_s * speed_m_s);
        air_fan_case_free(&c);
    }
    close_block(&b);
}

static void outlets_bring_the_flow_and_momentum_of_the_scenario(void **state)
{
    (void)state;
    const double deg = BASE_PI / 180.0, arc = 72.0 * deg;
    assert_brings(ONE_SLOT, (const double[3]){cos(20.0 * deg), 0.0, sin(20.0 * deg)});
    assert_brings(ONE_ARC, (const double[3]){(sin(62.0 * deg) + sin(10.0 * deg)) / arc, 0.0,
                                             (cos(10.0 * deg) - cos(62.0 * deg)) / arc});
    assert_brings(ONE_SPOUT, (const double[3]){cos(30.0 * deg) * cos(25.0 * deg), -cos(30.0 * deg) * sin(25.0 * deg),
                                               sin(30.0 * deg)});
}

/* Air comes from cells at the outlet and goes into cells behind the machine; nothing of it lies in the machine. A
 * sprayer whose sides are alike has a case that is its own image, but for the wind. */
static void sources_lie_where_the_sprayer_has_them(void **state)
{
    (void)state;
    block b;
    open_block(&b, "apple-wall-full-leaf.yaml",
               (const char *const[]){"run.wind=profiles", "run.fan_air_cell=0.2 m", NULL});
    air_fan_case c = case_of(&b, 0);
    int n_in = 0, n_body = 0;
    for (int i = 0; i < c.n_sources; i++) {
        const air_fan_source *s = &c.source[i];
        const double y_m = 0.5 * (c.y_face_m[s->j] + c.y_face_m[s->j + 1]);
        assert_true(c.body[air_fan_cell(&c, s->i, s->j, s->k)] == 0);
        if (s->flow_m3_s < 0.0) {
            n_in++;
            assert_true(y_m < -0.25 && y_m > -0.5);
            continue;
        }
        /* the slot is 0.12 m wide, its radius 0.45 m */
        const double x_m[2] = {c.x_face_m[s->i], c.x_face_m[s->i + 1]},
                     z_m[2] = {c.z_face_m[s->k], c.z_face_m[s->k + 1]};
        double least = INFINITY, most = 0.0;
        for (int corner = 0; corner < 4; corner++) {
            const double r_m = base_hypot(x_m[corner % 2], z_m[corner / 2] - 0.95);
            least = fmin(least, r_m);
            most = fmax(most, r_m);
        }
        /* steps along the arc are on the faces that are nearest to it */
        const double size_m = fmax(x_m[1] - x_m[0], z_m[1] - z_m[0]);
        assert_true(least <= 0.45 + size_m && most >= 0.45 && fabs(y_m) < 0.06 + 0.05);
        assert_true(s->k_m2_s2 > 1.0 && s->epsilon_m2_s3 > 1.0);
    }
    assert_true(n_in > 4);
    for (int i = 0; i < c.nx; i++)
        for (int j = 0; j < c.ny; j++)
            for (int k = 0; k < c.nz; k++) {
                n_body += c.body[air_fan_cell(&c, i, j, k)];
                assert_int_equal(c.body[air_fan_cell(&c, i, j, k)], c.body[air_fan_cell(&c, c.nx - 1 - i, j, k)]);
            }
    assert_true(n_body > 100);
    const flux f = flux_of(&c);
    assert_close(f.momentum_m4_s2[0], 0.0, 0.0, 1e-9 * f.out_m3_s * b.work.outlet_speed_m_s[0]);
    for (int i = 0; i <= c.nx; i++)
        assert_close(c.x_face_m[i], -c.x_face_m[c.nx - i], 1e-12, 1e-12);
    air_fan_case_free(&c);
    close_block(&b);
}

/* Outlets near the ground have small cells, which still stand clear of the ground's roughness. */
static void cells_stand_clear_of_the_ground(void **state)
{
    (void)state;
    block b;
    open_block(&b, "apple-wall-full-leaf.yaml",
               (const char *const[]){"run.wind=profiles",
                                     "sprayer.outlets=[{kind: spout, side: both, offset: 0.5 m, height: 0.4 m, "
                                     "diameter: 100 mm}]",
                                     "sprayer.fan.speed=150 rpm", NULL});
    air_fan_case c = case_of(&b, 0);
    assert_true(0.5 * c.z_face_m[1] >= 1.5 * c.roughness_m && c.roughness_m > 0.0);
    for (int k = 0; k < c.nz; k++)
        assert_true(c.z_face_m[k + 1] > c.z_face_m[k]);
    air_fan_case_free(&c);
    close_block(&b);
}

/* Air that is blown across the diagonal of the cells keeps its momentum as that along them does: r times the integral
 * of the squared speed along the travel, a little way out, in still air without trees. Steps of cells that are a
 * quarter of the arc's radius leave it uneven by a quarter, and its ends spread. Shared out by the length of arc in a
 * cell it kept 0.6 at 26 degrees and 0.2 at 52. */
static void outlets_keep_their_momentum_across_the_cells(void **state)
{
    (void)state;
    block b;
    open_block(&b, "apple-wall-full-leaf.yaml", ONE_ARC);
    air_fan_case c = case_of(&b, 1);
    const size_t section = (size_t)c.nx * (size_t)c.nz;
    for (size_t n = 0; n < section; n++) {
        c.u[n] = c.v[n] = c.w[n] = 0.0f;
        c.drag_1_m[n] = c.leaf_drag_1_m[n] = 0.0;
    }
    int p = 0;
    while (b.sharing.flow_of_pass[p] != 1)
        p++;
    const double arc_rad = 72.0 / 180.0 * BASE_PI, r_m = 0.75, outward = b.work.pass[p].heading;
    const double blown = b.work.fan_flow_m3_s * b.work.outlet_speed_m_s[0] / arc_rad; /* over an angle */
    air_fan_flow *f;
    must(fan_solve(&c, (fan_options){.still = 10.0, .most_rounds = 150}, 2, (air_watch){NULL, NULL}, &f));
    static const double degrees[] = {0.0, 13.0, 26.0, 40.0, 52.0};
    for (size_t d = 0; d < sizeof degrees / sizeof degrees[0]; d++) {
        const double angle = degrees[d] / 180.0 * BASE_PI, to[2] = {outward * base_cos(angle), base_sin(angle)};
        const double x_m = r_m * to[0], z_m = 0.95 + r_m * to[1];
        const int i = base_point_below(f->nx, f->x_m, x_m), k = base_point_below(f->nz, f->z_m, z_m);
        const double east = base_way_from(f->x_m, i, x_m), up = base_way_from(f->z_m, k, z_m);
        double sum = 0.0;
        for (int j = 0; j < f->ny; j++) {
            double speed = 0.0;
            for (int n = 0; n < 4; n++) {
                const size_t at = air_fan_cell(&c, i + n % 2, j, k + n / 2);
                const double share = (n % 2 ? east : 1.0 - east) * (n / 2 ? up : 1.0 - up);
                speed += share * ((double)f->u[at] * to[0] + (double)f->w[at] * to[1]);
            }
            sum += speed * fabs(speed) * (c.y_face_m[j + 1] - c.y_face_m[j]);
        }
        print_message("%2g degrees: %.3f\n", degrees[d], r_m * sum / blown);
        assert_between(r_m * sum / blown, 0.6, 1.3);
    }
    air_fan_flow_free(f);
    air_fan_case_free(&c);
    close_block(&b);
}

/* ---- surroundings ---- */

static void rows_and_wind_are_those_of_the_scenario(void **state)
{
    (void)state;
    block b;
    open_block(&b, "apple-wall-full-leaf.yaml",
               (const char *const[]){"run.wind=profiles", "weather.wind_angle=30 deg", NULL});
    int p = 0;
    while (b.sharing.flow_of_pass[p] != 1) /* one pass, or several that share: alleys inside the block */
        p++;
    air_fan_case c = case_of(&b, 1);
    /* all drag of the row on either side is there: the integral over its section */
    double there = 0.0, wanted = 0.0;
    for (int i = 0; i < c.nx; i++)
        for (int k = 0; k < c.nz; k++)
            if (c.x_face_m[i] > 0.0 && c.x_face_m[i + 1] < b.scenario->orchard.row_spacing_m)
                there += (c.drag_1_m[i * c.nz + k] + c.leaf_drag_1_m[i * c.nz + k])
                         * (c.x_face_m[i + 1] - c.x_face_m[i]) * (c.z_face_m[k + 1] - c.z_face_m[k]);
    for (int v = 0; v < b.canopy->nx * b.canopy->nz; v++)
        wanted += b.canopy->drag_1_m[v] * b.canopy->edge_m * b.canopy->edge_m;
    assert_close(there, wanted, 1e-9, 0.0);
    /* far above the block the wind is that of the profile over open ground, turned into the sprayer's frame */
    double u_m_s, v_m_s;
    const int k = c.nz - 4, i = 3;
    const double x_m = 0.5 * (c.x_face_m[i] + c.x_face_m[i + 1]), z_m = 0.5 * (c.z_face_m[k] + c.z_face_m[k + 1]);
    air_ambient_level_wind(b.ambient, b.work.pass[p].x_m + x_m, z_m, &u_m_s, &v_m_s);
    assert_close((double)c.u[i * c.nz + k], u_m_s, 0.02, 0.0);
    assert_close((double)c.v[i * c.nz + k], b.work.pass[p].heading * v_m_s, 0.02, 0.0);
    assert_close(c.travel_m_s, b.scenario->sprayer.travel_speed_m_s, 0.0, 1e-12);
    air_fan_case_free(&c);
    close_block(&b);
}

/* ---- sharing ---- */

static void alleys_inside_the_block_share_a_flow(void **state)
{
    (void)state;
    block b;
    open_block(&b, "apple-wall-full-leaf.yaml", NULL);
    const int n = b.work.n_passes;
    assert_int_equal(n, 9);
    /* outermost alleys have a row on one side only; in the alley behind the first row the wind is faster than in the
     * others */
    assert_int_equal(b.sharing.n_flows, 4);
    for (int p = 1; p < n - 2; p++)
        assert_int_equal(b.sharing.flow_of_pass[p], 1);
    assert_int_equal(b.sharing.flow_of_pass[0], 0);
    assert_int_equal(b.sharing.flow_of_pass[n - 2], 2);
    assert_int_equal(b.sharing.flow_of_pass[n - 1], 3);
    close_block(&b);
    /* wind along the rows comes from ahead or from behind, as the sprayer turns */
    open_block(&b, "apple-wall-full-leaf.yaml", (const char *const[]){"weather.wind_angle=60 deg", NULL});
    for (int p = 2; p < n - 1; p++)
        assert_int_not_equal(b.sharing.flow_of_pass[p], b.sharing.flow_of_pass[p - 1]);
    close_block(&b);
    /* a sprayer that blows to one side: the other way round it is another flow */
    open_block(&b, "apple-wall-full-leaf.yaml", ONE_SLOT);
    for (int p = 2; p < n - 1; p++)
        assert_int_not_equal(b.sharing.flow_of_pass[p], b.sharing.flow_of_pass[p - 1]);
    close_block(&b);
    /* a fan that stands still blows nothing */
    open_block(&b, "apple-wall-full-leaf.yaml", (const char *const[]){"sprayer.fan.speed=0 rpm", NULL});
    assert_int_equal(b.sharing.n_flows, 0);
    for (int p = 0; p < n; p++)
        assert_int_equal(b.sharing.flow_of_pass[p], -1);
    close_block(&b);
}

/* ---- solved: two rows, one alley, coarse cells ---- */

#define SMALL                                                                                                          \
    "run.wind=profiles", "orchard.rows=2", "sprayer.alleys=[1]", "run.fan_air=resolved", "run.fan_air_cell=0.6 m",     \
        "run.air_cell=0.4 m", "run.spray_air=no"
static const char *const SOLVED[] = {SMALL, NULL};

static air_field *field_of(const block *b, const air_flow_store *store, int n_threads)
{
    air_field *field;
    must(air_field_create(b->scenario, b->canopy, &b->work, store, n_threads, &field));
    return field;
}

static void assert_same_air(const air_field *a, const air_field *b)
{
    assert_true(a->n_floats == b->n_floats);
    assert_memory_equal(a->node, b->node, (size_t)a->n_floats * sizeof *a->node);
}

/* Cold, cached, and by one thread or two: the same bytes. What tips and liquid are does not matter to the flow. */
static void a_kept_flow_gives_the_same_air(void **state)
{
    (void)state;
    block b;
    char folder[] = "/tmp/drupelet-fan-XXXXXX", command[128];
    bool refused = false;
    assert_non_null(mkdtemp(folder));
    const air_flow_store store = {.folder = folder, .refused = &refused};
    open_block(&b, "apple-wall-full-leaf.yaml", SOLVED);
    air_field *alone = field_of(&b, NULL, 1), *cold = field_of(&b, &store, 2), *kept = field_of(&b, &store, 2);
    assert_int_equal(alone->n_flows, 1);
    assert_int_equal(alone->flow_of_pass[0], 0);
    assert_same_air(alone, cold);
    assert_same_air(alone, kept);
    assert_false(refused);
    close_block(&b);
    /* another tip at another pressure: one entry still */
    open_block(&b, "apple-wall-full-leaf.yaml",
               (const char *const[]){SMALL, "tips.fine cone.size=02", "sprayer.pressure=10 bar",
                                     "weather.relative_humidity=40 %", NULL});
    air_field *tip = field_of(&b, &store, 2);
    assert_same_air(alone, tip);
    close_block(&b);
    snprintf(command, sizeof command, "test $(ls %s/*.kept | wc -l) = 1", folder);
    assert_int_equal(system(command), 0);
    air_field_free(tip);
    air_field_free(kept);
    air_field_free(cold);
    air_field_free(alone);
    snprintf(command, sizeof command, "rm -rf %s", folder);
    assert_int_equal(system(command), 0);
}

/* Within the grid the air that is laid into a pass is free of divergence, as jets are: what flows out of a box of nodes
 * over what flows through it. And it is there: fast before the row, slower behind it, streaming back. */
static void the_flow_is_laid_into_the_pass(void **state)
{
    (void)state;
    block b;
    open_block(&b, "apple-wall-full-leaf.yaml", SOLVED);
    air_field *field = field_of(&b, NULL, 2);
    const air_grid *g = &field->pass[0];
    const double row_m = 0.5 * b.scenario->orchard.row_spacing_m, half_m = 0.5 * b.scenario->canopy.width_m;
    double before = 0.0, behind = 0.0, before_y = 0.0;
    for (double y_m = -4.0; y_m < 2.0; y_m += 0.1) {
        const air_state near_side = air_grid_at(field, g, row_m - half_m, y_m, 1.0);
        const air_state far_side = air_grid_at(field, g, row_m + half_m, y_m, 1.0);
        if (near_side.u_m_s > before) before_y = y_m;
        before = fmax(before, near_side.u_m_s);
        behind = fmax(behind, far_side.u_m_s);
    }
    assert_true(before > 3.0 && behind < 0.8 * before && behind > 0.1);
    assert_true(before_y < 0.3);
    close_block(&b);
    air_field_free(field);
}

/* Who asks the solver to stop is heard. */
static bool stop_at_once(double share_done, void *user)
{
    (void)share_done;
    ++*(int *)user;
    return false;
}

static void a_stop_is_heard_while_it_is_solved(void **state)
{
    (void)state;
    block b;
    int asked = 0;
    air_field *field = NULL;
    drupelet_status status = {0};
    open_block(&b, "apple-wall-full-leaf.yaml", SOLVED);
#pragma omp parallel num_threads(2)
#pragma omp master
    status = air_field_create_watched(b.scenario, b.canopy, &b.work, NULL, (air_watch){stop_at_once, &asked}, &field);
    assert_int_equal(status.code, DRUPELET_STOPPED);
    assert_null(field);
    assert_true(asked >= 1);
    close_block(&b);
}

static void cells_that_are_too_fine_are_refused(void **state)
{
    (void)state;
    block b;
    air_fan_case c;
    open_block(&b, "apple-wall-full-leaf.yaml",
               (const char *const[]){"run.wind=profiles", "run.fan_air_cell=0.05 m", NULL});
    const drupelet_status status = air_fan_case_of(b.scenario, b.canopy, b.ambient, &b.work, &b.sharing, 0, &c);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, "run.fan_air_cell: too fine"));
    air_fan_case_free(&c);
    close_block(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(outlets_bring_the_flow_and_momentum_of_the_scenario),
        cmocka_unit_test(sources_lie_where_the_sprayer_has_them),
        cmocka_unit_test(cells_stand_clear_of_the_ground),
        cmocka_unit_test(outlets_keep_their_momentum_across_the_cells),
        cmocka_unit_test(rows_and_wind_are_those_of_the_scenario),
        cmocka_unit_test(alleys_inside_the_block_share_a_flow),
        cmocka_unit_test(a_kept_flow_gives_the_same_air),
        cmocka_unit_test(the_flow_is_laid_into_the_pass),
        cmocka_unit_test(a_stop_is_heard_while_it_is_solved),
        cmocka_unit_test(cells_that_are_too_fine_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
