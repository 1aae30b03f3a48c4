/* tests/test_jet_momentum.c - nothing that jets of fan air meet, one another, the ground, leaves, makes them gain
 * momentum. Fluxes are those of the finished grid: integral of u^2 over planes beside the sprayer, which stands
 * still in still air. Taking out the divergence costs a jet some 6 % of it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/jet.h"
#include "air/excess.h"
#include "air_case.h"
#include "base/random.h"
#include "check.h"

#define WALL "apple-wall-full-leaf.yaml"
/* The momentum that droplets bring along is another one (tests/test_spray_air.c). */
#define STILL "weather.wind_speed=0", "sprayer.travel_speed=0", "run.spray_air=no"
#define BARE "canopy.leaf_area_index=0", "canopy.wood_area_index=0"
#define ENTRAINED_M_S 0.3
enum { PASS = 4, PLANES = 10 };

/* Fluxes at 1.0 m, 1.5 m, ... from the centre line on the right. @return highest speed in the grid */
static double fluxes(const char *const *set, double flux[PLANES])
{
    static air_case c;
    air_case_open(&c, WALL, set);
    const air_grid *g = &c.field->pass[PASS];
    const float *node = c.field->node + g->first;
    double most = 0.0;
    for (int64_t i = 0; i < (int64_t)g->nx * g->ny * g->nz; i++)
        most = fmax(most, sqrt((double)(node[AIR_VALUES * i + AIR_U] * node[AIR_VALUES * i + AIR_U]
                                        + node[AIR_VALUES * i + AIR_V] * node[AIR_VALUES * i + AIR_V]
                                        + node[AIR_VALUES * i + AIR_W] * node[AIR_VALUES * i + AIR_W])));
    for (int p = 0; p < PLANES; p++)
        flux[p] = air_case_pass_flux(&c, PASS, c.work.pass[PASS].heading, 1.0 + 0.5 * p, ENTRAINED_M_S);
    air_case_close(&c);
    return most;
}

static void print_fluxes(const char *what, const double flux[PLANES])
{
    print_message("%s:", what);
    for (int p = 0; p < PLANES; p++)
        print_message(" %.2f", flux[p]);
    print_message(" m4/s2\n");
}

/* Prints, and asserts that the flux never grows on the way out, but for a hundredth of the first. */
static void assert_not_growing(const char *what, const double flux[PLANES])
{
    print_fluxes(what, flux);
    for (int p = 1; p < PLANES; p++)
        assert_true(flux[p] < flux[p - 1] + 0.01 * flux[0]);
}

#define SLOT(bottom, top, more) "{kind: slot, slot: 100 mm, offset: 0.4 m, bottom: " bottom ", top: " top more "}"
#define OUTLETS(list) "sprayer.outlets=[" list "]"
#define LOW SLOT("1 m", "2 m", "")
#define HIGH SLOT("1.3 m", "2.3 m", "")
#define ONE_FLOW "sprayer.fan.reference_flow=4 m3/s" /* 20 m/s from 1 m of slot each side */
#define TWO_FLOW "sprayer.fan.reference_flow=8 m3/s"
#define ONE_M4_S2 (20.0 * 20.0 * 0.1 * 1.0)

static void a_slot_keeps_its_own(void **state)
{
    (void)state;
    double flux[PLANES];
    const double most = fluxes((const char *const[]){STILL, BARE, ONE_FLOW, OUTLETS(LOW), NULL}, flux);
    assert_not_growing("slot of 40 m4/s2", flux);
    for (int p = 0; p < PLANES; p++)
        assert_between(flux[p] / ONE_M4_S2, 0.88, 1.01);
    assert_true(most < 20.0);
}

/* Adding velocities where they overlap would make 1.7 times the sum of this pair. */
static void overlapping_slots_have_the_sum_of_theirs(void **state)
{
    (void)state;
    double low[PLANES], high[PLANES], both[PLANES];
    fluxes((const char *const[]){STILL, BARE, ONE_FLOW, OUTLETS(LOW), NULL}, low);
    fluxes((const char *const[]){STILL, BARE, ONE_FLOW, OUTLETS(HIGH), NULL}, high);
    fluxes((const char *const[]){STILL, BARE, TWO_FLOW, OUTLETS(LOW "," HIGH), NULL}, both);
    assert_not_growing("two that overlap", both);
    for (int p = 0; p < PLANES; p++)
        assert_between(both[p] / (low[p] + high[p]), 0.95, 1.03);
}

/* A tower of two slots end to end is one slot of twice the height. */
static void stacked_slots_are_one(void **state)
{
    (void)state;
    double whole[PLANES], parts[PLANES];
    const char *const lower = SLOT("0.7 m", "1.7 m", ""), *const upper = SLOT("1.7 m", "2.7 m", "");
    char two[256];
    snprintf(two, sizeof two, OUTLETS("%s, %s"), lower, upper);
    fluxes((const char *const[]){STILL, BARE, TWO_FLOW, OUTLETS(SLOT("0.7 m", "2.7 m", "")), NULL}, whole);
    fluxes((const char *const[]){STILL, BARE, TWO_FLOW, two, NULL}, parts);
    for (int p = 0; p < PLANES; p++)
        assert_close(parts[p], whole[p], 0.02, 0.0);
}

/* Blown at the ground 40 deg downwards: what points down is lost there, the level part is left to run along it. Where
 * it lands the grid's columns hold lines of two directions and fall short by some 5 %. */
static void the_ground_gives_nothing_back(void **state)
{
    (void)state;
    double flux[PLANES];
    const char *const down = OUTLETS(SLOT("1 m", "2 m", ", tilt: -40 deg"));
    const double most = fluxes((const char *const[]){STILL, BARE, ONE_FLOW, down, NULL}, flux);
    print_fluxes("slot blown at the ground", flux);
    /* momentum across the rows: cos 40 for its direction, cos 40 for the slot seen obliquely */
    const double level = cos(40.0 * acos(-1.0) / 180.0);
    for (int p = 0; p < PLANES; p++)
        assert_between(flux[p] / (ONE_M4_S2 * level * level), 0.88, 1.02);
    assert_true(most < 20.0);
}

/* Leaves take exp(-Cd a L) of the momentum of a thin jet. 8 %: the grid's row has soft edges. */
static void a_dense_row_takes_its_share(void **state)
{
    (void)state;
    static air_case c;
    double open[PLANES], leafy[PLANES];
    const char *const slot = OUTLETS(LOW);
    const char *const dense[] = {STILL,
                                 "canopy.leaf_area_index=3",
                                 "canopy.wood_area_index=0.3",
                                 "canopy.gaps=0",
                                 "canopy.bough_variation=0 %",
                                 "canopy.tree_variation=0",
                                 "canopy.leaves_in_jet=rigid",
                                 ONE_FLOW,
                                 slot,
                                 NULL};
    const char *const wall[] = {
        STILL,    "canopy.leaf_area_index=10", "canopy.wood_area_index=2", "canopy.leaves_in_jet=rigid",
        ONE_FLOW, slot, NULL};
    fluxes((const char *const[]){STILL, BARE, ONE_FLOW, slot, NULL}, open);
    fluxes(dense, leafy);
    assert_not_growing("behind a dense row", leafy);
    air_case_open(&c, WALL, dense);
    double path = 0.0; /* Cd a L at 1.5 m */
    for (int i = 0; i < c.canopy->nx; i++)
        path += (double)c.canopy->drag_1_m[(int)(1.5 / c.canopy->edge_m) * c.canopy->nx + i] * c.canopy->edge_m;
    air_case_close(&c);
    print_message("left behind the row: %.4f, exp(-Cd a L) %.4f\n", leafy[3] / open[3], exp(-path));
    assert_close(leafy[3] / open[3], exp(-path), 0.08, 0.0); /* 2.5 m: behind the row that ends at 2.35 m */
    const double most = fluxes(wall, leafy);
    assert_not_growing("behind a wall of trunks and leaves", leafy);
    assert_true(leafy[3] < 0.06 * open[3]);
    assert_true(most < 20.0);
}

static air_jet_surroundings trunks_from_1_m(const void *where, double x_m, double z_m)
{
    (void)where;
    (void)z_m;
    return (air_jet_surroundings){.drag_1_m = x_m > 1.0 ? 1e3 : 0.0};
}

/* A solid wall of trunks stops a line at once, whatever its kind. */
static void a_solid_wall_stops_jets(void **state)
{
    (void)state;
    static air_jet_point line[AIR_JET_POINTS];
    for (int round = 0; round < 2; round++) {
        const air_jet_start start = {
            .z_m = 1.5, .direction = {1.0, 0.0, 0.0}, .speed_m_s = 40.0, .slot_m = 0.1, .round = round};
        const int n = air_jet_follow(&start, trunks_from_1_m, NULL, 10.0, AIR_JET_WEAKEST_M_S, line);
        for (int i = 0; i < n; i++)
            assert_true(line[i].excess[0] <= (i > 0 ? line[i - 1].excess[0] : 40.0) + 1e-9);
        print_message("%s ends %.2f m inside the wall\n", round ? "round jet" : "sheet", line[n - 1].x_m - 1.0);
        assert_true(line[n - 1].x_m < 1.2);
    }
}

/* Round spouts: U^2 pi d^2 / 4 of their own; level, and blown at the ground. */
static void spouts_keep_theirs(void **state)
{
    (void)state;
    double flux[PLANES];
    const double own = 60.0 * 60.0 * acos(-1.0) / 4.0 * 0.15 * 0.15; /* 63.6 m4/s2 */
    const char *const flow = "sprayer.fan.reference_flow=2.12058 m3/s";
    const char *const level = OUTLETS("{kind: spout, diameter: 150 mm, offset: 0.4 m, height: 2 m}");
    const char *const down = OUTLETS("{kind: spout, diameter: 150 mm, offset: 0.4 m, height: 1.2 m, tilt: -30 deg}");
    double most = fluxes((const char *const[]){STILL, BARE, flow, level, NULL}, flux);
    print_fluxes("spout of 63.6 m4/s2", flux);
    for (int p = 0; p < PLANES; p++)
        assert_between(flux[p] / own, 0.85, 1.02);
    assert_true(most < 60.0);
    most = fluxes((const char *const[]){STILL, BARE, flow, down, NULL}, flux);
    print_fluxes("spout blown at the ground", flux);
    for (int p = 0; p < PLANES; p++)
        assert_between(flux[p] / (own * cos(acos(-1.0) / 6.0)), 0.80, 1.03); /* the line has a kink where it lands */
    assert_true(most < 60.0);
}

/* The rule itself, for any jets: |E|^2 <= sum e^2; alone the same; along one another the sum; head on nothing. */
static void merging_gains_nothing(void **state)
{
    (void)state;
    const air_grid one = {.nx = 1, .ny = 1, .nz = 1};
    air_excess node;
    assert_int_equal(air_excess_create(&one, 0, &node).code, DRUPELET_OK);
    for (uint64_t i = 0; i < 2000; i++) {
        air_excess_clear(&node, 0, node.n_nodes);
        double sum = 0.0, e[3] = {0};
        const int n = 1 + (int)(i % 4);
        for (int jet = 0; jet < n; jet++) {
            uint32_t bits[4];
            base_random_block(5, BASE_STREAM_CHECK, i, (uint32_t)jet, bits);
            for (int c = 0; c < 3; c++) {
                e[c] = 40.0 * (base_uniform(bits[c]) - 0.5);
                sum += e[c] * e[c];
            }
            air_momentum_add(&node, 0, e[0], e[1], e[2]);
        }
        air_momentum_to_velocity(&node, 0, node.n_nodes);
        const double got[3] = {(double)node.u_m_s[0], (double)node.v_m_s[0], (double)node.w_m_s[0]};
        assert_true(got[0] * got[0] + got[1] * got[1] + got[2] * got[2] <= sum * (1.0 + 1e-5));
        if (n == 1)
            for (int c = 0; c < 3; c++)
                assert_close(got[c], e[c], 1e-5, 1e-5);
    }
    air_excess_clear(&node, 0, node.n_nodes);
    air_momentum_add(&node, 0, 3.0, 0.0, 0.0);
    air_momentum_add(&node, 0, 4.0, 0.0, 0.0);
    air_momentum_to_velocity(&node, 0, node.n_nodes);
    assert_close((double)node.u_m_s[0], 5.0, 1e-6, 0.0);
    air_excess_clear(&node, 0, node.n_nodes);
    air_momentum_add(&node, 0, 12.0, -3.0, 1.0);
    air_momentum_add(&node, 0, -12.0, 3.0, -1.0);
    air_momentum_to_velocity(&node, 0, node.n_nodes);
    assert_close((double)node.u_m_s[0], 0.0, 0.0, 1e-6);
    assert_close((double)node.v_m_s[0], 0.0, 0.0, 1e-6);
    assert_close((double)node.w_m_s[0], 0.0, 0.0, 1e-6);
    air_excess_free(&node);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_slot_keeps_its_own),        cmocka_unit_test(overlapping_slots_have_the_sum_of_theirs),
        cmocka_unit_test(stacked_slots_are_one),       cmocka_unit_test(the_ground_gives_nothing_back),
        cmocka_unit_test(a_dense_row_takes_its_share), cmocka_unit_test(a_solid_wall_stops_jets),
        cmocka_unit_test(spouts_keep_theirs),          cmocka_unit_test(merging_gains_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
