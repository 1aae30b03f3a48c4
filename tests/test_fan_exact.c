/* tests/test_fan_exact.c - the equations of the fan's air with a constant viscosity against a flow that is known: the
 * cavity under a moving lid, plane, across and up, four cells deep. sim/verify/fan_flow.c has the order of errors. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "fan_box.h"

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
        cmocka_unit_test(a_cavity_at_100),
        cmocka_unit_test(a_cavity_at_400),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
