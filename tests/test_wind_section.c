/* tests/test_wind_section.c - the wind across the rows that a result keeps where it is asked to. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "air_case.h"
#include "check.h"
#include "run/wind_section.h"
#include "run_case.h"

enum { MOST_ACROSS = 400, MOST_UP = 80 }; /* as docs/result-format.md says */

/* At every point the numbers of the air that droplets read there. */
static void assert_of_the_air(const air_case *c, const run_wind_section *s)
{
    const air_grid *g = &c->field->ambient;
    for (int k = 0; k < s->nz; k++)
        for (int i = 0; i < s->nx; i++) {
            const air_state a = air_grid_at(c->field, g, s->x_m[i], 0.0, s->z_m[k]);
            const size_t at = (size_t)k * (size_t)s->nx + (size_t)i;
            /* the place in the grid is rounded, and so is what lies between two nodes */
            const double little = 1e-5;
            assert_close((double)s->value[RUN_WIND_ACROSS][at], a.u_m_s, little, little);
            assert_close((double)s->value[RUN_WIND_ALONG][at], a.v_m_s, little, little);
            assert_close((double)s->value[RUN_WIND_UP][at], a.w_m_s, little, little);
            assert_close((double)s->value[RUN_WIND_SIGMA_UP][at], a.sigma_m_s, little, little);
            assert_close((double)s->value[RUN_WIND_SIGMA_LEVEL][at], a.sigma_level_m_s, little, little);
            assert_close(1.0 / (double)s->value[RUN_WIND_TIME_SCALE][at], a.rate_1_s, little, little);
        }
}

static void check_section(const char *file, const char *const *set)
{
    air_case c;
    run_wind_section s = {0};
    air_case_open(&c, file, set);
    const air_grid *g = &c.field->ambient;
    assert_int_equal(run_wind_section_make(c.scenario, c.field, &s).code, DRUPELET_OK);
    assert_true(s.nx > 1 && s.nx <= MOST_ACROSS && s.nz > 1 && s.nz <= MOST_UP);
    assert_close(s.x_m[0], g->x_first_m, 1e-12, 0.0);
    assert_close(s.x_m[s.nx - 1], air_grid_x_m(g, g->nx - 1), 1e-12, 0.0);
    assert_true(s.z_m[0] == 0.0);
    assert_close(s.z_m[s.nz - 1], (g->nz - 1) * g->dz_m, 1e-12, 0.0);
    for (int i = 1; i < s.nx; i++)
        assert_true(s.x_m[i] > s.x_m[i - 1]);
    for (int k = 1; k < s.nz; k++)
        assert_true(s.z_m[k] > s.z_m[k - 1]);
    assert_of_the_air(&c, &s);
    run_wind_section_drop(&s);
    assert_true(s.nx == 0 && !s.x_m && !s.value[0]);
    run_wind_section_drop(&s); /* harmless */
    air_case_close(&c);
}

static void it_is_the_wind_of_the_air(void **state)
{
    (void)state;
    static const char *const coarse[] = {"run.air_cell=0.5 m", "run.wind=profiles", NULL};
    check_section("apple-wall-full-leaf.yaml", coarse);
}

/* Where the wind is computed the grid is finer in and near the block. */
static void it_is_the_computed_wind_too(void **state)
{
    (void)state;
    static const char *const computed[] = {"run.air_cell=0.5 m", "run.wind=computed", "weather.wind_angle=150 deg",
                                           NULL};
    check_section("apple-wall-full-leaf.yaml", computed);
}

/* The largest domain has more nodes than are kept. */
static void a_large_domain_is_thinned(void **state)
{
    (void)state;
    static const char *const large[] = {"run.air_cell=0.5 m", "run.open_ground=1000 m", "run.domain_top=100 m",
                                        "weather.wind_angle=160 deg", NULL};
    check_section("apple-wall-full-leaf.yaml", large);
}

/* In the block and near it no node is left out, where so many may be kept. */
static void near_the_block_it_is_close(void **state)
{
    (void)state;
    static const char *const coarse[] = {"run.air_cell=0.5 m", NULL};
    air_case c;
    run_wind_section s = {0};
    air_case_open(&c, "apple-wall-full-leaf.yaml", coarse);
    assert_int_equal(run_wind_section_make(c.scenario, c.field, &s).code, DRUPELET_OK);
    const double low_m = scenario_low_edge_x_m(&c.scenario->orchard),
                 high_m = scenario_high_edge_x_m(&c.scenario->orchard);
    double near_m = 0.0, far_m = 0.0;
    for (int i = 1; i < s.nx; i++) {
        const double step_m = s.x_m[i] - s.x_m[i - 1];
        if (s.x_m[i - 1] > low_m && s.x_m[i] < high_m)
            near_m = fmax(near_m, step_m);
        else
            far_m = fmax(far_m, step_m);
    }
    const air_grid *g = &c.field->ambient;
    double own_m = 0.0;
    for (int i = 1; i < g->nx; i++)
        if (air_grid_x_m(g, i - 1) > low_m && air_grid_x_m(g, i) < high_m)
            own_m = fmax(own_m, air_grid_x_m(g, i) - air_grid_x_m(g, i - 1));
    assert_close(near_m, own_m, 1e-9, 0.0);
    assert_true(far_m > near_m);
    run_wind_section_drop(&s);
    air_case_close(&c);
}

static void a_run_keeps_it_only_when_asked(void **state)
{
    (void)state;
    run_case without =
        case_run("apple-wall-full-leaf.yaml", 2000, 2, (const char *const[4]){"run.air_cell=0.5 m", NULL, NULL, NULL});
    run_case with = case_run("apple-wall-full-leaf.yaml", 2000, 2,
                             (const char *const[4]){"run.air_cell=0.5 m", "run.keep_wind=yes", NULL, NULL});
    assert_true(without.result->wind_nx == 0 && without.result->wind_nz == 0 && !without.result->wind_x_m);
    const drupelet_result *r = with.result;
    assert_true(r->wind_nx > 100 && r->wind_nz > 50);
    /* high above the block, where no tree slows it, it is faster than the wind at its lower height */
    assert_true((double)r->wind_value[RUN_WIND_ACROSS][(r->wind_nz - 1) * r->wind_nx] > r->wind_speed_m_s);
    /* it makes no droplet fly otherwise */
    assert_true(without.result->fate[TALLY_LEAF].share == r->fate[TALLY_LEAF].share);
    case_end(&without);
    case_end(&with);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_is_the_wind_of_the_air),
        cmocka_unit_test(it_is_the_computed_wind_too),
        cmocka_unit_test(a_large_domain_is_thinned),
        cmocka_unit_test(near_the_block_it_is_close),
        cmocka_unit_test(a_run_keeps_it_only_when_asked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
