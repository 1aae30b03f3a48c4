/* tests/test_flow_cases.c - the computed wind beside measured stands, fences and rows. Where it misses what was seen,
 * the difference is held from both sides, with its reason; docs/air.md has them in a table. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/flow_constants.h"
#include "base/elementary.h"
#include "check.h"
#include "data_file.h"
#include "verify/section.h"

static air_flow *solved(const section_plan *plan, const section_stand *stands, int n)
{
    air_flow *flow;
    const drupelet_status status = section_solve(plan, stands, n, &flow);
    if (status.code != DRUPELET_OK) print_error("%s\n", status.message);
    assert_int_equal(status.code, DRUPELET_OK);
    return flow;
}

/* Shear stress at a place, u*^2. */
static double stress(const air_flow *f, double x_m, double z_m)
{
    const double k = section_at(f, f->k, x_m, z_m), step_m = 0.1 * z_m;
    const double shear =
        (section_at(f, f->u, x_m, z_m + step_m) - section_at(f, f->u, x_m, z_m - step_m)) / (2 * step_m);
    return FLOW_CMU * k * k / section_at(f, f->epsilon, x_m, z_m) * shear;
}

static double degrees_at(const air_flow *f, double x_m, double z_m)
{
    return atan2(section_at(f, f->v, x_m, z_m), section_at(f, f->u, x_m, z_m)) * 180.0 / acos(-1.0);
}

/* The forest edge and the fences of drupelet verify, and what is shown there without a verdict. */
static void edges_and_fences_meet_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_computed_wind);
}

static void edges_and_fences_miss_what_is_said(void **state)
{
    (void)state;
    static verify_list list;
    int n = 0;
    assert_int_equal(verify_begin(&list).code, DRUPELET_OK);
    assert_int_equal(verify_computed_wind(&list).code, DRUPELET_OK);
    for (int i = 0; i < list.n; i++) {
        const verify_check *c = &list.check[i];
        if (!c->target.informational) continue;
        const double ratio = c->ours / c->published;
        n++;
        if (strcmp(c->target.name, "computed_wind.edge_missed") == 0 && c->published > 0.5)
            assert_between(ratio, 0.80, 0.88); /* the crown 3.6 h in, 0.69 for 0.81: leaves slow it from the edge on */
        else if (strcmp(c->target.name, "computed_wind.edge_missed") == 0)
            assert_between(ratio, 1.7, 2.2); /* the trunks there, 0.28 for 0.14: air pushed in under the crowns */
        else if (strcmp(c->target.name, "computed_wind.fence_low") == 0)
            assert_between(ratio, 1.05, 1.17); /* 7.5 h behind: a round wire's loss is the least for half open */
        else /* 0.37 where 0.4 to 0.5 was seen: the shear makes k, but hardly more eddy viscosity */
            assert_between(ratio, 0.75, 0.90);
    }
    assert_int_equal(n, 4);
    verify_end(&list);
}

/* Recovery behind a fence with the loss of sharp slats, kr 1.9, close to the ground: 10 and 15 h behind between the
 * fits to wind (Perera) and to friction, or 0.1 below; 20 h behind up to 0.2 below both, as k-epsilon wakes recover
 * too slowly (J. D. Wilson, J. Wind Eng. Ind. Aerodyn. 21 (1985) 119). */
static void the_wake_of_a_fence_recovers_too_slowly(void **state)
{
    (void)state;
    const section_plan plan = {-10.25, 59.75, 0.5, 100.0, 200.0, 3.0, 0.2, 60.0, 1.12, 2.0 / 600.0, 0.0, 0.0};
    const section_stand fence = {-0.25, 0.25, 0.0, 2.0, 1.9 / 0.5};
    air_flow *f = solved(&plan, &fence, 1);
    verify_table *lee = data_file_open("fence_lee");
    for (int row = 0; row < verify_table_rows(lee); row++) {
        const double x_h = verify_table_number(lee, row, "x_over_h"), z_h = verify_table_number(lee, row, "z_over_h");
        const double wind = verify_table_number(lee, row, "perera"),
                     friction = verify_table_number(lee, row, "friction");
        const double ours = section_share(f, &plan, 2.0 * x_h, 2.0 * z_h);
        if (z_h >= 1.0)
            assert_between(ours - wind, -0.14, 0.01); /* wider and slower than the fit's */
        else if (x_h == 10.0 || x_h == 15.0)
            assert_between(ours, friction - 0.1, wind);
        else if (x_h == 20.0)
            assert_between(ours - friction, -0.2, -0.12);
    }
    verify_table_free(lee);
    air_flow_free(f);
}

enum { FENCES = 15 };
#define FENCE_M 2.0
#define FENCES_APART_M 12.0

/* The height at which the drag on fence i acts, over its own. */
static double drag_centre(const air_flow *f, const air_flow_case *c, int i)
{
    double sum = 0.0, moment = 0.0;
    for (int column = 0; column < f->nx; column++)
        for (int k = 0; k < f->nz && fabs(f->x_m[column] - i * FENCES_APART_M) < 0.5; k++) {
            const size_t at = (size_t)column * (size_t)f->nz + (size_t)k;
            const double u = (double)f->u[at],
                         force = c->drag_1_m[at] * fabs(u) * u * (c->z_face_m[k + 1] - c->z_face_m[k]);
            sum += force;
            moment += force * f->z_m[k];
        }
    return moment / sum / FENCE_M;
}

static double drag_of(const air_flow *f, int i)
{
    double sum = 0.0;
    for (int column = 0; column < f->nx; column++)
        if (fabs(f->x_m[column] - i * FENCES_APART_M) < 0.5) sum += f->force[column];
    return sum;
}

/* 15 fences 6 h apart, 60 % open: K. J. McAneney, M. J. Judd, Boundary-Layer Meteorol. 54 (1991) 129 (abstract), and
 * a tunnel's: equilibrium behind the ninth (J. Geophys. Res. 2009, doi 10.1029/2008JD011463, abstract). kr 0.5 (round
 * wire). The five statements one by one. */
static void fences_in_a_row_behave_as_measured(void **state)
{
    (void)state;
    const section_plan plan = {-12.25, 179.75, 0.5, 100.0, 150.0, 4.0, 0.2, 60.0, 1.12, 0.02, 0.0, 0.0};
    section_stand fence[FENCES];
    for (int i = 0; i < FENCES; i++)
        fence[i] = (section_stand){i * FENCES_APART_M - 0.25, i * FENCES_APART_M + 0.25, 0.0, FENCE_M, 0.5 / 0.5};
    air_flow_case c;
    air_flow *f;
    assert_int_equal(section_case(&plan, fence, FENCES, &c).code, DRUPELET_OK);
    assert_int_equal(air_flow_solve(&c, &f).code, DRUPELET_OK);
    /* The first takes almost twice the drag of later ones: 2.15 times, as arrays shelter a little too much. */
    double later = 0.0;
    for (int i = 4; i < 10; i++)
        later += drag_of(f, i) / 6.0;
    assert_between(drag_of(f, 0) / later, 1.6, 2.3);
    /* The wind at 2 h falls and then rises again; here it only stops falling, behind the thirteenth. At h/2 it rises
     * slowly all the way, so that the first gaps are the quietest; here it falls over seven and rises then. */
    double above[FENCES], below[FENCES];
    for (int i = 0; i < FENCES; i++) {
        above[i] = section_share(f, &plan, (i + 0.5) * FENCES_APART_M, 2.0 * FENCE_M);
        below[i] = section_share(f, &plan, (i + 0.5) * FENCES_APART_M, 0.5 * FENCE_M);
    }
    for (int i = 1; i < 12; i++)
        assert_true(above[i] < above[i - 1]);
    assert_between(above[12] - above[13], -0.003, 0.003);
    assert_true(above[14] > above[12]);
    assert_true(below[6] < below[0] && below[13] > below[8]);
    assert_between(below[8] / below[6], 0.98, 1.02);
    /* Midway the air sinks, below h. */
    for (int i = 2; i < FENCES; i++)
        assert_true(section_at(f, f->w, (i + 0.5) * FENCES_APART_M, 0.5 * FENCE_M) < 0.0);
    /* The stress is the same from 1.5 h to 3 h behind the twelfth within 10 %: 13 % here, as the layer is still
     * growing. */
    const double middle_m = 11.5 * FENCES_APART_M;
    assert_between(stress(f, middle_m, 2.0 * FENCE_M) / stress(f, middle_m, 1.5 * FENCE_M), 0.90, 1.10);
    assert_between(stress(f, middle_m, 3.0 * FENCE_M) / stress(f, middle_m, 1.5 * FENCE_M), 0.82, 0.90);
    /* Displacement height 0.8 h, from the wind above; the height at which the drag acts, here 0.60 h, should be the
     * same (0.7 to 0.85): the gaps are too windy below h/2, as stress reaches too far down between the fences. */
    assert_between(drag_centre(f, &c, 9), 0.56, 0.65);
    /* Behind the ninth the drag does not change any more. */
    assert_between(drag_of(f, 11) / drag_of(f, 8), 0.98, 1.02);
    air_flow_free(f);
    air_flow_case_free(&c);
}

static air_flow *behind_hedge(double height_m, double depth_m, double loss, section_plan *plan)
{
    const double width_m = height_m / 16.0;
    *plan = (section_plan){.low_m = -2.0 * height_m,
                           .high_m = 14.0 * height_m,
                           .width_m = width_m,
                           .ahead_m = 14.0 * height_m,
                           .behind_m = 60.0 * height_m,
                           .fine_m = 1.25 * height_m,
                           .depth_m = height_m / 12.0,
                           .top_m = 25.0 * height_m,
                           .growth = 1.12,
                           .roughness_m = 0.03};
    const section_stand hedge = {-depth_m, 0.0, 0.0, height_m, loss / depth_m};
    return solved(plan, &hedge, 1);
}

/* A cypress hedge of 8 m by 3 m: 0.20 to 0.25 of the open wind at H/4, H/4 behind it (A. Tuzet, J. D. Wilson, Agric.
 * For. Meteorol. 2007, abstract). Its leaf area is not known: with 10 to 20 m2/m3 of leaves, 0.2 x 3 m x that, it is
 * 0.36 to 0.48. So close behind, the bleed flow is what the drag lets through; the quietest place is farther on. */
static void a_dense_hedge_shelters_less_close_behind_than_seen(void **state)
{
    (void)state;
    section_plan plan;
    for (int dense = 0; dense < 2; dense++) {
        air_flow *f = behind_hedge(8.0, 3.0, dense ? 6.0 : 3.0, &plan);
        const double near = section_share(f, &plan, 2.0, 2.0), far = section_share(f, &plan, 30.0, 2.0);
        assert_between(near, dense ? 0.30 : 0.42, dense ? 0.42 : 0.54);
        assert_true(far < near);
        air_flow_free(f);
    }
}

/* Belts of 16 m, wind at 2 m, 3 and 9 heights behind (four belts in Moravia, Contrib. Geophys. Geod., abstract,
 * reading uncertain): in leaf (open share 0.1) 0.4 and 0.7, bare (0.5) 0.8 and 0.9. Leaves: kr = Cd a L = 0.2
 * ln(1/0.1) / 0.5; wood: half the drag coefficient 1 of cylinders, 0.5 ln(1/0.5). In leaf 0.63 and 0.78, bare 0.89
 * and 0.95: the order and the recovery are there; the shelter is two thirds of that seen in leaf, half of that seen
 * bare. */
static void bare_belts_shelter_less_than_leafy_ones(void **state)
{
    (void)state;
    const double loss[2] = {0.2 * log(1.0 / 0.1) / 0.5, 0.5 * log(1.0 / 0.5)};
    double near[2], far[2];
    for (int bare = 0; bare < 2; bare++) {
        section_plan plan;
        air_flow *f = behind_hedge(16.0, 10.0, loss[bare], &plan);
        near[bare] = section_share(f, &plan, 50.0, 2.0);
        far[bare] = section_share(f, &plan, 150.0, 2.0);
        assert_between(section_share(f, &plan, -26.0, 6.4), 0.80, 0.97); /* 0.8 or less seen 1 H ahead of dense belts */
        air_flow_free(f);
    }
    assert_between(near[0], 0.56, 0.70); /* seen: 0.4 */
    assert_between(far[0], 0.72, 0.84);  /* 0.7 */
    assert_between(near[1], 0.85, 0.92); /* 0.8 */
    assert_between(far[1], 0.92, 0.98);  /* 0.9 */
}

/* The height of a stand whose roughness (0.1 of it) and displacement (0.65) give this U/u* at z. */
static double aerodynamic_height_m(double z_m, double ratio)
{
    double low_m = 0.01 * z_m, high_m = 1.5 * z_m;
    for (int i = 0; i < 60; i++) {
        const double middle_m = 0.5 * (low_m + high_m);
        const double left_m = z_m - 0.65 * middle_m;
        if (left_m <= 0.0 || log(left_m / (0.1 * middle_m)) < 0.4 * ratio)
            high_m = middle_m;
        else
            low_m = middle_m;
    }
    return low_m;
}

/* Leaves fall, and the stand stays rough: aerodynamic height bare over that in leaf 0.84 (0.67 to 0.96) in the mean
 * of 13 deciduous forests (H. Chu and others, Geophys. Res. Lett. 45 (2018) 9275). A walnut orchard, 10 m, plant area
 * 0.7 bare and 2.7 in leaf (G. Bonan, S. Burns, E. Patton 2026; density x^1.6 (1 - x)^0.3), tower at 23 m, 60 heights
 * in; wood at twice the drag of leaves. Here 1.05: the sparser stand is as rough, as its displacement is smaller and
 * more of it takes part; the wind inside differs, as it should. */
static void a_bare_stand_stays_rough(void **state)
{
    (void)state;
    const double h_m = 10.0, z_m = 23.0, x_m = 600.0, area[2] = {2.7, 0.7}, coefficient[2] = {0.2, 0.41};
    double height_m[2], inside[2], all = 0.0;
    for (int i = 0; i < 10; i++)
        all += pow((i + 0.5) / 10, 1.6) * pow(1 - (i + 0.5) / 10, 0.3);
    for (int bare = 0; bare < 2; bare++) {
        section_stand layer[10];
        for (int i = 0; i < 10; i++) {
            const double share = pow((i + 0.5) / 10, 1.6) * pow(1 - (i + 0.5) / 10, 0.3) / all;
            layer[i] = (section_stand){0.0, 1e9, h_m * i / 10, h_m * (i + 1) / 10,
                                       coefficient[bare] * area[bare] * share * 10 / h_m};
        }
        const section_plan plan = {0.0, 600.0, 10.0, 400.0, 600.0, 14.0, 1.0, 300.0, 1.12, 0.03, 0.0, 0.0};
        air_flow *f = solved(&plan, layer, 10);
        height_m[bare] = aerodynamic_height_m(z_m, section_at(f, f->u, x_m, z_m) / sqrt(stress(f, x_m, z_m)));
        inside[bare] = section_at(f, f->u, x_m, 0.5 * h_m) / section_at(f, f->u, x_m, z_m);
        air_flow_free(f);
    }
    assert_between(height_m[1] / height_m[0], 0.96, 1.12);
    assert_between(height_m[0] / h_m, 0.8, 1.1);
    assert_true(inside[1] > 1.5 * inside[0]);
}

enum { MOST_ROWS = 40 };

/* Rows along y, the first at x = 0. */
static int plant(int n, double apart_m, double width_m, double skirt_m, double height_m, double drag_1_m,
                 section_stand *row)
{
    for (int i = 0; i < n; i++)
        row[i] = (section_stand){apart_m * i - 0.5 * width_m, apart_m * i + 0.5 * width_m, skirt_m, height_m, drag_1_m};
    return n;
}

static section_plan block_plan(int n, double apart_m, double height_m, double width_m, double depth_m)
{
    const double low_m = -3.0 * apart_m, columns = floor((apart_m * (n + 6)) / width_m);
    return (section_plan){low_m,   low_m + columns * width_m, width_m, 120.0, 200.0, 1.5 * height_m,
                          depth_m, 18.0 * height_m,           1.12,    0.03,  0.0,   0.0};
}

/* Wind in a citrus grove over that at 10 m, 1-s values: never above 0.20 at 0.6 m and 0.59 at 3.6 m, almost nil in
 * light wind (M. Al-Jumaili, M. Salyani, Agric. Eng. Int. CIGR J. 2014, abstract). Trees of 4.5 m, crowns that touch
 * the ground at 0.3 m (choices: the grove's are not printed): well below, deep in the grove. */
static void a_citrus_grove_is_as_still_as_seen(void **state)
{
    (void)state;
    section_stand row[15];
    const int n = plant(15, 6.5, 4.5, 0.3, 4.5, 0.2 * 2.0, row);
    const section_plan plan = block_plan(n, 6.5, 4.5, 0.65, 0.3);
    air_flow *f = solved(&plan, row, n);
    for (int i = 3; i < 14; i++) {
        const double x_m = 6.5 * (i + 0.5), above = section_at(f, f->u, x_m, 10.0);
        assert_between(section_at(f, f->u, x_m, 0.6) / above, -0.10, 0.20);
        assert_between(section_at(f, f->u, x_m, 3.6) / above, 0.05, 0.59);
    }
    air_flow_free(f);
}

/* Half-standard fruit trees behind a hedge: 40 % less wind at 1 m, 20 % at 2 m, little at 3 m, none at 4 m, all
 * directions together (W. Dierickx, Biosyst. Eng. 85 (2003) 159, abstract). Trees of 2.5 m with little leaf, behind a
 * hedge of 3 m (choices: neither is printed): 38, 35, 23 and 13 %. The share is taken of the open wind at the same
 * height, his probably of that at 4 m inside, and winds along the rows are in his mean. */
static void fruit_trees_behind_a_hedge_slow_the_wind_near_the_ground(void **state)
{
    (void)state;
    section_stand row[9];
    const int n = plant(8, 3.5, 1.2, 0.6, 2.5, 0.2 * 0.7, row);
    row[n] = (section_stand){-8.0, -7.0, 0.0, 3.0, 0.4};
    const section_plan plan = block_plan(n, 3.5, 3.0, 0.5, 0.25);
    air_flow *f = solved(&plan, row, n + 1);
    double loss[4] = {0.0};
    for (int i = 1; i < 7; i++)
        for (int z_m = 1; z_m <= 4; z_m++)
            loss[z_m - 1] += (1.0 - section_share(f, &plan, 3.5 * (i + 0.5), z_m)) / 6.0;
    assert_between(loss[0], 0.32, 0.45);
    assert_between(loss[1], 0.28, 0.42);
    assert_true(loss[1] < loss[0] && loss[2] < loss[1] && loss[3] < loss[2]);
    assert_between(loss[3], 0.08, 0.20);
    air_flow_free(f);
}

/* In vineyards the wind is turned along the rows, whatever the wind above (N. Miller and others, Boundary-Layer
 * Meteorol. 2017, abstract). Here it turns the other way: at 45 degrees, 34 degrees off the normal after five rows,
 * 43 far in. Pressure drives air through the rows and none along them, and the drag of leaves is the same both ways;
 * a row of leaf walls, which lets air pass along more easily than across, is not in it. The wind aloft keeps its
 * direction. */
static void an_oblique_wind_turns_across_the_rows(void **state)
{
    (void)state;
    section_stand row[MOST_ROWS];
    const int n = plant(MOST_ROWS, 2.5, 0.5, 0.7, 2.2, 0.2 * 4.0, row);
    section_plan plan = block_plan(n, 2.5, 2.2, 0.5, 0.25);
    plan.angle_rad = acos(-1.0) / 4.0;
    air_flow *f = solved(&plan, row, n);
    assert_between(degrees_at(f, -6.0, 1.1), 44.0, 48.0); /* the wind across is slowed ahead */
    assert_between(degrees_at(f, 2.5 * 5.5, 1.1), 30.0, 38.0);
    assert_between(degrees_at(f, 2.5 * 20.5, 1.1), 40.0, 45.0);
    assert_between(degrees_at(f, 2.5 * 20.5, 10.0), 42.0, 46.5);
    air_flow_free(f);
}

/* Wind along endless rows: nothing crosses them, the alleys keep more of it than the rows. */
static void wind_along_the_rows_stays_in_the_alleys(void **state)
{
    (void)state;
    section_stand row[10];
    const int n = plant(10, 3.5, 1.5, 0.5, 3.5, 0.2 * 2.0, row);
    section_plan plan = block_plan(n, 3.5, 3.5, 0.5, 0.25);
    plan.angle_rad = 0.5 * acos(-1.0);
    air_flow *f = solved(&plan, row, n);
    for (int i = 1; i < 9; i++) {
        assert_between(section_at(f, f->u, 3.5 * i, 1.5), -0.01, 0.01);
        assert_true(section_at(f, f->v, 3.5 * (i + 0.5), 1.5) > 1.1 * section_at(f, f->v, 3.5 * i, 1.5));
    }
    air_flow_free(f);
}

/* Cells of half the size change the wind by less than 1 % of the open wind: in the first, a middle and the last
 * alley, and 10 and 20 m behind; 50 m behind by 2 %, below 1 m, where the wake's new layer over the ground is of few
 * cells. */
static void cells_of_half_the_size_change_little(void **state)
{
    (void)state;
    section_stand row[10];
    const int n = plant(10, 3.5, 1.5, 0.5, 3.5, 0.2 * 2.0, row);
    const section_plan plan = block_plan(n, 3.5, 3.5, 0.5, 0.25), half = block_plan(n, 3.5, 3.5, 0.25, 0.125);
    air_flow *f = solved(&plan, row, n), *fine = solved(&half, row, n);
    const double x_m[] = {1.75, 15.75, 29.75, 41.5, 51.5, 81.5}, z_m[] = {0.5, 1.0, 2.0, 3.0, 5.0, 10.0};
    for (int i = 0; i < 6; i++)
        for (int k = 0; k < 6; k++)
            assert_close(section_share(f, &plan, x_m[i], z_m[k]), section_share(fine, &half, x_m[i], z_m[k]), 0.0,
                         i == 5 && k < 2 ? 0.025 : 0.01);
    air_flow_free(f);
    air_flow_free(fine);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(edges_and_fences_meet_published_numbers),
        cmocka_unit_test(edges_and_fences_miss_what_is_said),
        cmocka_unit_test(the_wake_of_a_fence_recovers_too_slowly),
        cmocka_unit_test(fences_in_a_row_behave_as_measured),
        cmocka_unit_test(a_dense_hedge_shelters_less_close_behind_than_seen),
        cmocka_unit_test(bare_belts_shelter_less_than_leafy_ones),
        cmocka_unit_test(a_bare_stand_stays_rough),
        cmocka_unit_test(a_citrus_grove_is_as_still_as_seen),
        cmocka_unit_test(fruit_trees_behind_a_hedge_slow_the_wind_near_the_ground),
        cmocka_unit_test(an_oblique_wind_turns_across_the_rows),
        cmocka_unit_test(wind_along_the_rows_stays_in_the_alleys),
        cmocka_unit_test(cells_of_half_the_size_change_little),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
