/* tests/test_fan_lay.c - a solved flow of the fan in the grid of a pass: a jet that is thinner than the way from node
 * to node keeps its momentum wherever the nodes lie, and a flow that changes slowly is what it is. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/fan_lay.h"
#include "base/elementary.h"
#include "check.h"

enum { NX = 12, NY = 161, NZ = 14, CELLS = NX * NY * NZ };
#define Y_STEP_M 0.025 /* as at outlets */
#define ROUGHNESS_M 0.01

typedef struct {
    double x_m[NX], y_m[NY], z_m[NZ];
    float u[CELLS], v[CELLS], w[CELLS], variance[CELLS], level_more[CELLS], dissipation[CELLS];
    air_fan_flow flow;
    fan_turbulence turbulence;
} given;

/* Air along x with a profile across the travel, 0 at the outer cells; its variance is a hundredth of u. */
static void blow(given *g, double (*speed_m_s)(double x_m, double y_m, double z_m))
{
    for (int i = 0; i < NX; i++)
        g->x_m[i] = -1.1 + 0.2 * i;
    for (int j = 0; j < NY; j++)
        g->y_m[j] = (j - NY / 2) * Y_STEP_M;
    for (int k = 0; k < NZ; k++)
        g->z_m[k] = 0.1 + 0.2 * k;
    memset(g->v, 0, sizeof g->v);
    memset(g->w, 0, sizeof g->w);
    memset(g->level_more, 0, sizeof g->level_more);
    memset(g->dissipation, 0, sizeof g->dissipation);
    for (int i = 0, at = 0; i < NX; i++)
        for (int j = 0; j < NY; j++)
            for (int k = 0; k < NZ; k++, at++) {
                g->u[at] = (float)speed_m_s(g->x_m[i], g->y_m[j], g->z_m[k]);
                g->variance[at] = 0.01f * g->u[at];
            }
    g->flow = (air_fan_flow){
        .nx = NX, .ny = NY, .nz = NZ, .x_m = g->x_m, .y_m = g->y_m, .z_m = g->z_m, .u = g->u, .v = g->v, .w = g->w};
    g->turbulence = (fan_turbulence){g->variance, g->level_more, g->dissipation};
}

static void lay(const given *g, double y_first_m, air_grid *grid, air_excess *e)
{
    *grid = (air_grid){
        .nx = 5, .ny = 16, .nz = 6, .x_first_m = -0.8, .y_first_m = y_first_m, .dx_m = 0.4, .dy_m = 0.2, .dz_m = 0.4};
    assert_ok(air_excess_create(grid, 0, e));
    assert_ok(air_excess_with_level(e));
    assert_ok(fan_lay(&g->flow, &g->turbulence, ROUGHNESS_M, grid, e));
}

#define JET_M_S 20.0
#define JET_WIDTH_M 0.04 /* where the speed has fallen to exp(-1/2) of its most; a fifth of the grid's cell */

static double thin_jet(double x_m, double y_m, double z_m)
{
    (void)x_m;
    (void)z_m;
    return JET_M_S * exp(-0.5 * y_m * y_m / (JET_WIDTH_M * JET_WIDTH_M));
}

static void a_thin_jet_keeps_its_momentum_at_any_place(void **state)
{
    given *g = *state;
    blow(g, thin_jet);
    const double momentum_m3_s2 = JET_M_S * JET_M_S * JET_WIDTH_M * sqrt(BASE_PI);
    for (int shift = 0; shift < 8; shift++) {
        air_grid grid;
        air_excess e;
        lay(g, -1.5 - 0.025 * shift, &grid, &e);
        double sum = 0.0, variance = 0.0;
        for (int j = 0; j < grid.ny; j++) {
            const size_t node = air_node(&grid, 3, 2, j);
            sum += grid.dy_m * (double)(e.u_m_s[node] * e.u_m_s[node]);
            variance += grid.dy_m * (double)e.variance_m2_s2[node];
            assert_true(e.v_m_s[node] == 0.0f && e.w_m_s[node] == 0.0f);
        }
        assert_close(sum, momentum_m3_s2, 0.01, 0.0);
        assert_close(variance, 0.01 * JET_M_S * JET_WIDTH_M * sqrt(2.0 * BASE_PI), 0.01, 0.0);
        air_excess_free(&e);
    }
}

static double slope(double x_m, double y_m, double z_m)
{
    return 10.0 + 0.1 * x_m + 0.2 * y_m + 0.1 * z_m;
}

static void slow_changes_stay_as_they_are(void **state)
{
    given *g = *state;
    blow(g, slope);
    air_grid grid;
    air_excess e;
    lay(g, -1.5, &grid, &e);
    for (int k = 0; k < grid.nz; k++)
        for (int i = 0; i < grid.nx; i++)
            for (int j = 0; j < grid.ny; j++) {
                const double x_m = grid.x_first_m + i * grid.dx_m, y_m = grid.y_first_m + j * grid.dy_m;
                const double here = k == 0 ? 0.0 : slope(x_m, y_m, k * grid.dz_m); /* 0 below the roughness */
                assert_close((double)e.u_m_s[air_node(&grid, k, i, j)], here, 1e-3, 0.0);
            }
    air_excess_free(&e);
}

static int make(void **state)
{
    *state = calloc(1, sizeof(given));
    return *state ? 0 : -1;
}

static int forget(void **state)
{
    free(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_thin_jet_keeps_its_momentum_at_any_place),
        cmocka_unit_test(slow_changes_stay_as_they_are),
    };
    return cmocka_run_group_tests(tests, make, forget);
}
