/* tests/test_jets.c - fan air: bending, and what the finished grid keeps of the decay. Free-jet laws: verify. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/air.h"
#include "air/cosine.h"
#include "air/jet.h"
#include "air/projection.h"
#include "air/wind.h"
#include "check.h"

static air_jet_surroundings still(const void *where, double x_m, double z_m)
{
    (void)x_m;
    (void)z_m;
    return *(const air_jet_surroundings *)where;
}

static const air_jet_point *at_distance(const air_jet_point *line, int n, double x_m)
{
    for (int i = 0; i < n; i++)
        if (line[i].x_m >= x_m)
            return &line[i];
    fail_msg("the line ends before %g m", x_m);
    return NULL;
}

/* Travel bends the sheet: never less than the entrained air alone does, at most about twice that (derived: slope =
 * (V / Uj)(c sqrt(x / h) - 1), c = 0.53 for C = 2.47 and S = 0.10, 0.578 for S = 0.11). */
static void travel_bends_the_sheet(void **state)
{
    (void)state;
    const air_jet_surroundings around = {.v_m_s = -1.39};
    const air_jet_start start = {.z_m = 100.0, .direction = {1.0, 0.0, 0.0}, .speed_m_s = 30.0, .slot_m = 0.10};
    static air_jet_point line[AIR_JET_POINTS];
    const int n = air_jet_follow(&start, still, &around, 6.0, AIR_JET_WEAKEST_M_S, line);
    for (double x_m = 1.5; x_m < 4.5; x_m += 0.5) {
        const air_jet_point *p = at_distance(line, n, x_m);
        const double least = 1.39 / 30.0 * (2.0 / 3.0 * 0.53 * pow(p->x_m, 1.5) / sqrt(0.10) - p->x_m);
        print_message("x %.2f m: bent by %.3f m, entrainment alone %.3f m\n", p->x_m, -p->y_m, least);
        assert_true(-p->y_m > least);
        assert_true(-p->y_m < 2.0 * least + 0.02);
    }
}

static void load_still(drupelet_scenario **scenario, const char *more)
{
    const char *set[] = {"weather.wind_speed=0.01 m/s", "canopy.leaf_area_index=0", "canopy.wood_area_index=0.0001",
                         more};
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set, more ? 4 : 3, scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
}

/* The finished grid in still air without trees: peak speed across the sheet, along the outward horizontal, against the
 * radial law. 10 %: projection, widening to the grid and the sheet's bend by the travel are all in it. */
static void finished_grid_keeps_the_decay(void **state)
{
    (void)state;
    drupelet_scenario *scenario = NULL;
    orchard_canopy *canopy = NULL;
    air_field *field = NULL;
    static sprayer_work work;
    load_still(&scenario, "run.air_cell=0.1 m");
    assert_int_equal(orchard_create(scenario, &canopy).code, DRUPELET_OK);
    assert_int_equal(sprayer_work_out(scenario, &work).code, DRUPELET_OK);
    assert_int_equal(air_field_create(scenario, canopy, &work, NULL, 2, &field).code, DRUPELET_OK);
    const air_grid *g = &field->pass[work.n_passes / 2];
    const scenario_outlet *outlet = &scenario->sprayer.outlet[0];
    const double r0 = outlet->radius_m, h = outlet->slot_m;
    for (double r = 1.6; r < 4.6; r += 0.5) {
        const double angle = 0.5 * (outlet->from_rad + outlet->to_rad); /* mid-sheet, away from its ends */
        double peak = 0.0;
        for (double y = -2.0; y < 0.6; y += 0.02) {
            const air_state a = air_grid_at(field, g, r * cos(angle), y, outlet->centre_height_m + r * sin(angle));
            peak = fmax(peak, sqrt(a.u_m_s * a.u_m_s + a.v_m_s * a.v_m_s + a.w_m_s * a.w_m_s));
        }
        const double law = work.outlet_speed_m_s[0] * fmin(1.0, sqrt(r0 * h / (1.50538 * 0.11 * r * (r - r0))));
        print_message("r %.1f m: peak %.2f m/s, radial law %.2f m/s\n", r, peak, law);
        if (outlet->centre_height_m + r * sin(angle) < (g->nz - 1) * g->dz_m - 1.2)
            assert_close(peak, law, 0.10, 0.0);
    }
    air_field_free(field);
    orchard_free(canopy);
    drupelet_scenario_free(scenario);
}

static void fill_lumpy(const air_grid *g, air_excess *e)
{
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++)
            for (int j = 0; j < g->ny; j++) {
                const double x = (i - g->nx / 2) * g->dx_m, y = (j - g->ny / 2) * g->dy_m, z = k * g->dz_m;
                e->u_m_s[air_node(g, k, i, j)] = (float)(5.0 * exp(-(x * x + 4.0 * y * y + (z - 2.0) * (z - 2.0))));
                e->w_m_s[air_node(g, k, i, j)] = (float)(2.0 * z * exp(-(x * x + y * y + z * z)));
            }
}

/* Over the inner nodes; faces carry the mean of their two nodes, so differences reach over two cells. */
static double divergence_rms_1_s(const air_grid *g, const air_excess *e)
{
    const size_t up = air_node(g, 1, 0, 0), east = air_node(g, 0, 1, 0);
    double sum = 0.0;
    int n = 0;
    for (int k = 1; k + 1 < g->nz; k++)
        for (int i = 1; i + 1 < g->nx; i++)
            for (int j = 1; j + 1 < g->ny; j++, n++) {
                const size_t at = air_node(g, k, i, j);
                const double d_1_s = (double)(e->u_m_s[at + east] - e->u_m_s[at - east]) / (2.0 * g->dx_m)
                                     + (double)(e->v_m_s[at + 1] - e->v_m_s[at - 1]) / (2.0 * g->dy_m)
                                     + (double)(e->w_m_s[at + up] - e->w_m_s[at - up]) / (2.0 * g->dz_m);
                sum += d_1_s * d_1_s;
            }
    return sqrt(sum / n);
}

/* The projection takes the divergence out of a smooth field, to second order in the cell. */
static void projection_removes_divergence(void **state)
{
    (void)state;
    double left[2];
    for (int fine = 0; fine < 2; fine++) {
        const int f = fine + 1;
        const air_grid g = {
            .nx = 24 * f + 1, .ny = 32 * f + 1, .nz = 20 * f + 1, .dx_m = 0.25 / f, .dy_m = 0.2 / f, .dz_m = 0.25 / f};
        air_excess e;
        air_projection *projection = NULL;
        assert_int_equal(air_projection_create(&g, &projection).code, DRUPELET_OK);
        assert_int_equal(air_excess_create(&g, air_projection_room(projection), &e).code, DRUPELET_OK);
        fill_lumpy(&g, &e);
        const double before = divergence_rms_1_s(&g, &e);
        air_project(projection, &e);
        left[fine] = divergence_rms_1_s(&g, &e) / before;
        air_projection_free(projection);
        air_excess_free(&e);
    }
    print_message("divergence left over: %.3f, at half the cell %.3f\n", left[0], left[1]);
    assert_true(left[0] < 0.2);
    assert_true(left[1] < 0.4 * left[0]); /* second order would be 0.25 */
}

enum { MOST = 76, WIDTH = AIR_COSINE_LANES };

/* The rows of the transposed matrix give the same bits, and come back. */
static void rows_are_columns(const air_cosine *c, float (*in)[WIDTH], float (*out)[WIDTH])
{
    enum { ROW = 80, WAVES = 96 };
    static float turned[WIDTH][ROW], folded[WIDTH * WAVES], waves[WIDTH * WAVES], back[WIDTH][ROW];
    for (int v = 0; v < WIDTH; v++)
        for (int i = 0; i < c->n; i++)
            turned[v][i] = in[i][v];
    assert_true(air_cosine_waves(c) <= WAVES);
    air_cosine_forward_rows(c, WIDTH, ROW, turned[0], folded, waves);
    air_cosine_back_rows(c, WIDTH, ROW, waves, folded, back[0]);
    for (int v = 0; v < WIDTH; v++)
        for (int m = 0; m < c->n; m++) {
            const float wave = waves[v * air_cosine_waves(c) + m / 2 + (m % 2 ? c->even_row : 0)];
            assert_true(wave == out[m][v]);
            assert_close((double)back[v][m], (double)in[m][v], 0.0, 1e-5);
        }
}

/* Against the sum that defines the transform, in double precision; and there and back is where one was. */
static void cosine_transform_is_what_it_says(void **state)
{
    (void)state;
    const double pi = acos(-1.0);
    static float in[MOST][WIDTH], folded[MOST][WIDTH], out[MOST][WIDTH], back[MOST][WIDTH];
    static const int length[] = {1, 2, 3, 8, 17, 71, MOST};
    for (size_t t = 0; t < sizeof length / sizeof length[0]; t++) {
        const int n = length[t];
        air_cosine c;
        assert_int_equal(air_cosine_create(n, &c).code, DRUPELET_OK);
        for (int i = 0; i < n; i++)
            for (int v = 0; v < WIDTH; v++)
                in[i][v] = folded[i][v] = (float)sin(1.0 + i * 1.7 + v * 0.3);
        air_cosine_forward(&c, WIDTH, folded[0], out[0]);
        air_cosine_back(&c, WIDTH, out[0], back[0]);
        for (int m = 0; m < n; m++)
            for (int v = 0; v < WIDTH; v++) {
                double sum = 0.0;
                for (int i = 0; i < n; i++)
                    sum += sqrt((m > 0 ? 2.0 : 1.0) / n) * cos(pi * m * (i + 0.5) / n) * (double)in[i][v];
                assert_close((double)out[m][v], sum, 0.0, 1e-5); /* rounding of 76 sums of size 1 */
                assert_close((double)back[m][v], (double)in[m][v], 0.0, 1e-5);
            }
        rows_are_columns(&c, in, out);
        air_cosine_free(&c);
    }
}

typedef struct { int asked, stops_at; } patience;

static bool goes_on(double share_done, void *user)
{
    patience *p = user;
    assert_true(share_done == 0.0);
    return ++p->asked != p->stops_at;
}

/* Nine passes: the second question ends it, nothing is left, and nobody is asked again. */
static void making_air_can_be_stopped(void **state)
{
    (void)state;
    drupelet_scenario *scenario = NULL;
    orchard_canopy *canopy = NULL;
    air_field *field = NULL;
    static sprayer_work work;
    load_still(&scenario, "run.wind=profiles"); /* or it asks while it solves for the wind, too */
    assert_int_equal(orchard_create(scenario, &canopy).code, DRUPELET_OK);
    assert_int_equal(sprayer_work_out(scenario, &work).code, DRUPELET_OK);
    patience p = {0, 2};
    assert_int_equal(air_field_create_watched(scenario, canopy, &work, NULL, (air_watch){goes_on, &p}, &field).code,
                     DRUPELET_STOPPED);
    assert_null(field);
    assert_int_equal(p.asked, 2);
    p = (patience){0, -1};
    assert_int_equal(air_field_create_watched(scenario, canopy, &work, NULL, (air_watch){goes_on, &p}, &field).code,
                     DRUPELET_OK);
    assert_int_equal(p.asked, work.n_passes);
    air_field_free(field);
    orchard_free(canopy);
    drupelet_scenario_free(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(travel_bends_the_sheet),
        cmocka_unit_test(finished_grid_keeps_the_decay),
        cmocka_unit_test(projection_removes_divergence),
        cmocka_unit_test(cosine_transform_is_what_it_says),
        cmocka_unit_test(making_air_can_be_stopped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
