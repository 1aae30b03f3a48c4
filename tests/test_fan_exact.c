/* tests/test_fan_exact.c - the equations of the fan's air with a constant viscosity against flows that are known:
 * Taylor and Green's vortex, and the cavity under a moving lid. Both are plane, across and up, four cells deep. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/elementary.h"
#include "check.h"
#include "data_file.h"
#include "fan_box.h"

#define PI 3.14159265358979323846

static void square_state(int n, double length_m, double viscosity_m2_s, fan_side side, air_fan_case *c, fan_state *s)
{
    double face[FAN_BOX_FACES], deep[5];
    for (int i = 0; i <= n; i++)
        face[i] = length_m * i / n;
    for (int j = 0; j <= 4; j++)
        deep[j] = length_m * j / 4;
    fan_box_case(n, face, 4, deep, n, face, 0, c);
    const fan_options options = {.side = {{side, side}, {FAN_SLIP, FAN_SLIP}, {side, side}},
                                 .viscosity_m2_s = viscosity_m2_s};
    assert_int_equal(fan_state_create(c, options, 1, s).code, DRUPELET_OK);
}

static void end(air_fan_case *c, fan_state *s)
{
    fan_state_free(s);
    air_fan_case_free(c);
}

/* Until the speed changes by less than a share of itself in a second. */
static void settle(fan_state *s, double step_s, double still)
{
    s->step_s = step_s;
    fan_settle(s);
    for (int round = 0; round < 4000; round++) {
        fan_step_momentum(s);
        fan_project(s);
        const fan_norm norm = fan_settle(s);
        if (sqrt(norm.change / norm.fan) < still * step_s) return;
    }
    fail_msg("the flow does not settle");
}

/* Taylor and Green: u = sin x cos z, w = -cos x sin z between walls 0 and pi along which air slips. What changes u
 * but pressure is -sin x cos x - 2 nu u. The solver has no time of its own in which the vortex could decay, and of
 * one that a force holds the errors of convection and of friction all but cancel: so what the equations make of the
 * exact vortex is compared, in one step. @return the mean error over the mean change, away from the walls */
static double vortex_error(int n)
{
    const double nu = 0.1;
    air_fan_case c;
    fan_state s;
    square_state(n, PI, nu, FAN_SLIP, &c, &s);
    for (int i = 0; i <= n; i++)
        for (int k = 0; k <= n; k++)
            for (int j = -FAN_HALO; j < 4 + FAN_HALO; j++) {
                const ptrdiff_t at = fan_at(&s, i, k) + j;
                const double x = PI * i / n, z = PI * (k + 0.5) / n, x_mid = PI * (i + 0.5) / n, z_face = PI * k / n;
                if (k < n) s.u[at] = (float)(base_sin(x) * base_cos(z));
                if (i < n) s.w[at] = (float)(-base_cos(x_mid) * base_sin(z_face));
                s.left[0][at] = 0.0f;
            }
    s.finding_left = true;
    fan_settle(&s);
    fan_step_momentum(&s);
    double error = 0.0, mean = 0.0;
    for (int i = n / 8; i <= n - n / 8; i++)
        for (int k = n / 8; k < n - n / 8; k++) {
            const double x = PI * i / n, z = PI * (k + 0.5) / n;
            const double change = -base_sin(x) * base_cos(x) - 2.0 * nu * base_sin(x) * base_cos(z);
            error += fabs((double)s.left[0][fan_at(&s, i, k) + 1] - change);
            mean += fabs(change);
        }
    end(&c, &s);
    return error / mean;
}

/* Second order: half the cell, a quarter of the error. */
static void a_vortex_is_of_second_order(void **state)
{
    (void)state;
    const double coarse = vortex_error(32), middle = vortex_error(64), fine = vortex_error(128);
    print_message("errors %g %g %g, ratios %g %g\n", coarse, middle, fine, coarse / middle, middle / fine);
    assert_between(coarse / middle, 3.6, 4.4);
    assert_between(middle / fine, 3.6, 4.4);
}

/* U. Ghia, K. N. Ghia, C. T. Shin, J. Comput. Phys. 48 (1982) 387, tables I and II: speed along the lid on the upright
 * middle line, upright speed on the level one. */
static void cavity(double reynolds, const char *column)
{
    enum { N = 64 };
    air_fan_case c;
    fan_state s;
    square_state(N, 1.0, 1.0 / reynolds, FAN_WALL, &c, &s);
    for (int i = 0; i <= N; i++)
        for (int k = N; k <= N + 1; k++)
            for (int j = -FAN_HALO; j < 4 + FAN_HALO; j++)
                s.u[fan_at(&s, i, k) + j] = 1.0f;
    settle(&s, 0.05, 1e-4);
    verify_table *known = data_file_open("cavity");
    double farthest = 0.0;
    for (int row = 0; row < verify_table_rows(known); row++) {
        const bool upright = verify_table_text(known, row, "line")[0] == 'v';
        const double at = verify_table_number(known, row, "at") * N - 0.5;
        if (at <= 0.0 || at >= N - 1.0) continue; /* on the walls */
        const int below = (int)at;
        const ptrdiff_t one = upright ? fan_at(&s, below, N / 2) : fan_at(&s, N / 2, below);
        const ptrdiff_t other = upright ? fan_at(&s, below + 1, N / 2) : fan_at(&s, N / 2, below + 1);
        const float *value = upright ? s.w : s.u;
        const double found = (below + 1.0 - at) * (double)value[one + 1] + (at - below) * (double)value[other + 1];
        farthest = fmax(farthest, fabs(found - verify_table_number(known, row, column)));
    }
    verify_table_free(known);
    print_message("farthest from Ghia: %g\n", farthest);
    assert_true(farthest < 0.01);
    end(&c, &s);
}

static void a_cavity_at_100(void **state)
{
    (void)state;
    cavity(100.0, "re_100");
}

static void a_cavity_at_400(void **state)
{
    (void)state;
    cavity(400.0, "re_400");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_vortex_is_of_second_order),
        cmocka_unit_test(a_cavity_at_100),
        cmocka_unit_test(a_cavity_at_400),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
