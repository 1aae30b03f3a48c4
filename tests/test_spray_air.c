/* tests/test_spray_air.c - the air that the droplets of nozzles set moving: published numbers, and that nothing of the
 * droplets' momentum is lost or made on the way to the grid and the run. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

#include "air/spray_air.h"
#include "air_case.h"
#include "check.h"
#include "data_file.h"
#include "run_case.h"

#define WALL "apple-wall-full-leaf.yaml"
#define STILL "weather.wind_speed=0", "sprayer.travel_speed=0", "sprayer.fan.speed=0"
#define BARE "canopy.leaf_area_index=0", "canopy.wood_area_index=0"
#define ONE_NOZZLE(angle) "sprayer.nozzles=[{side: both, tip: fine cone, offset: 0.5 m, height: 2 m, angle: " angle "}]"

static void it_agrees_with_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_spray_air);
}

static air_spray_surroundings as_given(const void *where, const double place_m[3])
{
    (void)place_m;
    return *(const air_spray_surroundings *)where;
}

/* What the nozzle's droplets have on them where they start, over the density of air, along the cone's axis. */
static double start_m4_s2(const air_spray *s)
{
    double along = 0.0;
    for (int r = 0; r < AIR_SPRAY_RAYS; r++)
        along += s->direction[r][0] / AIR_SPRAY_RAYS;
    return along * s->mass_flow_kg_s * s->exit_speed_m_s / s->air_density_kg_m3;
}

static air_spray spray_of(const char *const *set)
{
    static air_case c;
    air_spray s;
    air_case_open(&c, WALL, set);
    assert_true(air_spray_of(c.scenario, &c.work, 0, &s));
    air_case_close(&c);
    return s;
}

/* Sum over the rays at their end, across. */
static double gained_m4_s2(const air_spray *s, const air_spray_surroundings *around)
{
    double sum = 0.0;
    for (int r = 0; r < AIR_SPRAY_RAYS; r++) {
        air_spray_point point[AIR_SPRAY_POINTS];
        const int n = air_spray_follow(s, r, 1, as_given, around, point);
        sum += point[n - 1].flux_m4_s2[0];
    }
    return sum;
}

/* 5 %, in fan air 10 %: what droplets still have on them where the ray ends, since its air is slow. */
static void the_air_gains_what_droplets_lose(void **state)
{
    (void)state;
    const air_spray s = spray_of((const char *const[]){STILL, BARE, ONE_NOZZLE("0 deg"), NULL});
    const air_spray_surroundings still = {{0.0, 0.0, 0.0}, 0.0}, fan = {{20.0, 0.0, 0.0}, 0.0},
                                 leaves = {{0.0, 0.0, 0.0}, 0.5};
    const double all = start_m4_s2(&s), of_20_m_s = all
                                                    * (1.0
                                                       - 20.0 / s.exit_speed_m_s * s.exit_speed_m_s * s.mass_flow_kg_s
                                                             / s.air_density_kg_m3 / all);
    print_message("momentum of the droplets %.4f m4/s2; still air gains %.4f, air of 20 m/s %.4f of %.4f\n", all,
                  gained_m4_s2(&s, &still), gained_m4_s2(&s, &fan), of_20_m_s);
    assert_between(gained_m4_s2(&s, &still) / all, 0.95, 1.0);
    assert_close(gained_m4_s2(&s, &fan), of_20_m_s, 0.10, 0.0);
    assert_true(gained_m4_s2(&s, &leaves) < 0.8 * all);
}

/* Droplets slower than the fan's air take momentum from it. */
static void slow_droplets_slow_the_air(void **state)
{
    (void)state;
    const air_spray s = spray_of(
        (const char *const[]){STILL, BARE, ONE_NOZZLE("0 deg"),
                              "tips.fine cone={kind: air_induction_hollow_cone, size: 01, cone_angle: 80 deg}", NULL});
    const air_spray_surroundings fan = {{30.0, 0.0, 0.0}, 0.0};
    assert_true(s.exit_speed_m_s < 20.0);
    assert_true(gained_m4_s2(&s, &fan) < 0.0);
}

static air_jet_surroundings still_air(const void *where, double x_m, double z_m)
{
    (void)where;
    (void)x_m;
    (void)z_m;
    return (air_jet_surroundings){0};
}

/* Flux of momentum through the plane at a distance across of velocities that have just been laid into a grid. */
static double laid_flux(const air_grid *g, const air_excess *e, double x_m)
{
    const int i = (int)lround((x_m - g->x_first_m) / g->dx_m);
    double sum = 0.0;
    for (int k = 0; k < g->nz; k++)
        for (int j = 0; j < g->ny; j++) {
            const size_t n = air_node(g, k, i, j);
            const double u = (double)e->u_m_s[n];
            sum += u * fabs(u) * g->dy_m * g->dz_m;
        }
    return sum;
}

/* Laid into grids of three cells; then what is left of it in the finished air. 5 %: the air moves in the direction of
 * its momentum, and the ray in that of the droplets, which is some degrees off. Taking out the divergence of a wide
 * hollow cone, whose inside has to be fed from in front, costs more than that of a sheet of fan air. */
static void the_grid_holds_it(void **state)
{
    (void)state;
    static air_case c;
    air_case_open(&c, WALL, (const char *const[]){STILL, BARE, ONE_NOZZLE("0 deg"), NULL});
    air_spray s;
    assert_true(air_spray_of(c.scenario, &c.work, 0, &s));
    const double all = 2.0 * start_m4_s2(&s); /* on both sides */
    for (int i = 0; i < 3; i++) {
        const double cell_m = 0.1 * (1 << i);
        const air_grid g = {.nx = 2 * (int)(4.0 / cell_m) + 1,
                            .ny = (int)(8.0 / cell_m),
                            .nz = (int)(5.0 / cell_m),
                            .x_first_m = -(int)(4.0 / cell_m) * cell_m,
                            .y_first_m = -4.0,
                            .dx_m = cell_m,
                            .dy_m = cell_m,
                            .dz_m = cell_m};
        air_excess e;
        assert_int_equal(air_excess_create(&g, 0, &e).code, DRUPELET_OK);
        assert_int_equal(air_spray_add(c.scenario, &c.work, &c.work.pass[4], still_air, NULL, &g, &e).code,
                         DRUPELET_OK);
        const double laid = (laid_flux(&g, &e, 1.6) - laid_flux(&g, &e, -1.6)) / all;
        print_message("cells of %.1f m: laid %.3f of the droplets' momentum\n", cell_m, laid);
        assert_close(laid, 1.0, 0.05, 0.0);
        air_excess_free(&e);
    }
    const int side = c.work.pass[4].heading;
    for (int i = 0; i < 3; i++) {
        const double left = air_case_pass_flux(&c, 4, side, 1.1 + 0.2 * i, 0.1) / (0.5 * all);
        print_message("%.1f m from the nozzle: %.3f of it in the finished air\n", 0.6 + 0.2 * i, left);
        assert_between(left, 0.6, 1.0);
    }
    air_case_close(&c);
}

/* With the fan off droplets fly farther in the air that they move, and more reach the trees. */
static double on_trees(const tally *a, int b)
{
    return (double)(a->fate[b][TALLY_LEAF] + a->fate[b][TALLY_WOOD]) / (double)a->emitted[b][0];
}

static void without_a_fan_more_reaches_the_trees(void **state)
{
    (void)state;
    run_case with = case_run(WALL, 6400, 2, (const char *const[4]){"sprayer.fan.speed=0", "run.wind=profiles"}),
             without = case_run(WALL, 6400, 2,
                                (const char *const[4]){"sprayer.fan.speed=0", "run.wind=profiles", "run.spray_air=no"});
    assert_true(case_difference_in_errors(&without, &with, on_trees) > 4.0);
    case_end(&with);
    case_end(&without);
}

static void without_the_key_there_is_none(void **state)
{
    (void)state;
    static air_case c;
    air_case_open(&c, WALL, (const char *const[]){STILL, BARE, "run.spray_air=no", NULL});
    const air_grid *g = &c.field->pass[4];
    const float *node = c.field->node + g->first;
    for (int64_t n = 0; n < (int64_t)g->nx * g->ny * g->nz; n++)
        assert_true(node[AIR_VALUES * n + AIR_U] == 0.0f && node[AIR_VALUES * n + AIR_W] == 0.0f);
    air_case_close(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_agrees_with_published_numbers),     cmocka_unit_test(the_air_gains_what_droplets_lose),
        cmocka_unit_test(slow_droplets_slow_the_air),           cmocka_unit_test(the_grid_holds_it),
        cmocka_unit_test(without_a_fan_more_reaches_the_trees), cmocka_unit_test(without_the_key_there_is_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
