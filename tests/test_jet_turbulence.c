/* tests/test_jet_turbulence.c - turbulence that jets and leaves feed to the dispersion, beside published values: energy
 * within 5 %, dissipation within a factor of two. */
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
#include "air/outlets.h"
#include "air_case.h"
#include "check.h"
#include "data_file.h"

enum { LINES = 21 };

static air_jet_surroundings open_air(const void *where, double x_m, double z_m)
{
    (void)where;
    (void)x_m;
    (void)z_m;
    return (air_jet_surroundings){0};
}

/* k and dissipation on the axis over Uc^2 and Uc^3 / b, from the grid, at some distances. */
static void check_axis(const char *what, bool round, double energy, double dissipation)
{
    static const double distance_m[] = {2.0, 3.0, 4.0};
    static air_jet_point line[LINES][AIR_JET_POINTS];
    const air_grid g = {
        .nx = 51, .ny = 41, .nz = 41, .x_first_m = 0.0, .y_first_m = -2.0, .dx_m = 0.1, .dy_m = 0.1, .dz_m = 0.1};
    air_excess jets;
    assert_int_equal(air_excess_create(&g, 0, &jets).code, DRUPELET_OK);
    int n_points[LINES];
    for (int l = 0; l < LINES; l++) {
        const air_jet_start start = {.z_m = round ? 2.0 : 1.0 + 0.1 * l,
                                     .direction = {1.0, 0.0, 0.0},
                                     .speed_m_s = 30.0,
                                     .slot_m = round ? 0.2 : 0.1,
                                     .round = round};
        n_points[l] = air_jet_follow(&start, open_air, NULL, 5.5, AIR_JET_WEAKEST_M_S, line[l]);
    }
    const drupelet_status status =
        round ? air_spout_add(&g, &jets, n_points[0], line[0], 0.2)
              : air_sheet_add(&g, &jets, LINES, (const air_jet_point(*)[AIR_JET_POINTS])line, n_points, 0.1);
    assert_int_equal(status.code, DRUPELET_OK);
    air_momentum_to_velocity(&jets, 0, jets.n_nodes);
    for (int i = 0; i < 3; i++) {
        const int ix = (int)lround(distance_m[i] / g.dx_m);
        const size_t n = air_node(&g, 20, ix, 20);
        const double u = (double)jets.u_m_s[n], b = (round ? 0.098 : 0.110) * distance_m[i]; /* published spreads */
        const double k = 1.5 * (double)jets.variance_m2_s2[n] / (u * u),
                     e = (double)jets.dissipation_m2_s3[n] * b / (u * u * u);
        print_message("%s, %.0f m: k %.4f Uc2, dissipation %.4f Uc3/b\n", what, distance_m[i], k, e);
        assert_close(k, energy, 0.05, 0.0);
        assert_between(e, dissipation / 2.0, dissipation * 2.0);
    }
    air_excess_free(&jets);
}

/* Energy on the axis over Uc^2, as measured. */
static double measured(const char *jet)
{
    verify_table *t = data_file_open("jet_axis_turbulence");
    double energy = NAN;
    for (int i = 0; i < verify_table_rows(t); i++)
        if (strcmp(verify_table_text(t, i, "jet"), jet) == 0)
            energy = 0.5 * (pow(verify_table_number(t, i, "along"), 2.0) + pow(verify_table_number(t, i, "across"), 2.0)
                            + pow(verify_table_number(t, i, "upright"), 2.0));
    verify_table_free(t);
    return energy;
}

/* Dissipation 0.012 to 0.025 (from the mixing length; memory). */
static void a_sheet_has_published_turbulence(void **state)
{
    (void)state;
    check_axis("sheet", false, measured("slot"), 0.0185);
}

/* Dissipation 0.015 to 0.018 (S. B. Pope, Turbulent Flows, 2000, section 5.3; memory). */
static void a_round_jet_has_published_turbulence(void **state)
{
    (void)state;
    check_axis("round jet", true, measured("round"), 0.0165);
}

/* Highest k over U^2 where the jet is strongest at a distance, and the rate there. */
static void in_the_jet(const air_case *c, double x_m, double *k, double *rate_1_s)
{
    double most = 0.0;
    for (double y = -1.0; y < 1.0; y += 0.05) {
        const air_state a = air_grid_at(c->field, &c->field->pass[4], x_m, y, 1.5);
        const double u2 = a.u_m_s * a.u_m_s + a.v_m_s * a.v_m_s + a.w_m_s * a.w_m_s;
        if (u2 > most) {
            most = u2;
            *k = 1.5 * a.sigma_m_s * a.sigma_m_s / u2;
            *rate_1_s = a.rate_1_s;
        }
    }
}

/* Deep in leaves k goes towards U^2 / 6.51 and turns over at the rate 6.51 Cd a U (C. Sanz, Boundary-Layer Met. 108
 * (2003) 191; memory): more energy and a shorter time than in the open jet at the same place. */
static void leaves_make_fine_turbulence(void **state)
{
    (void)state;
    static air_case c;
#define SLOT "sprayer.outlets=[{kind: slot, offset: 0.4 m, bottom: 0.5 m, top: 3 m, slot: 100 mm}]"
#define STILL "weather.wind_speed=0", "sprayer.travel_speed=0", SLOT
    const char *const open[] = {STILL, "canopy.leaf_area_index=0", "canopy.wood_area_index=0", NULL};
    const char *const leafy[] = {STILL, "canopy.leaf_area_index=4", NULL};
    double k_open = 0.0, rate_open = 0.0, k_leafy = 0.0, rate_leafy = 0.0;
    air_case_open(&c, "apple-wall-full-leaf.yaml", open);
    in_the_jet(&c, 1.8, &k_open, &rate_open);
    air_case_close(&c);
    air_case_open(&c, "apple-wall-full-leaf.yaml", leafy);
    in_the_jet(&c, 1.8, &k_leafy, &rate_leafy);
    air_case_close(&c);
    print_message("k/U2 %.3f open, %.3f in leaves (limit %.3f); rate %.1f and %.1f /s\n", k_open, k_leafy, 1.0 / 6.51,
                  rate_open, rate_leafy);
    assert_close(k_open, measured("slot"), 0.30, 0.0);
    assert_between(k_leafy, 1.2 * k_open, 1.1 / 6.51);
    assert_true(rate_leafy > 2.0 * rate_open);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sheet_has_published_turbulence),
        cmocka_unit_test(a_round_jet_has_published_turbulence),
        cmocka_unit_test(leaves_make_fine_turbulence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
