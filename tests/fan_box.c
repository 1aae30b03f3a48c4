/* tests/fan_box.c - small boxes of fan air for tests. */
#include "fan_box.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

void fan_box_case(int nx, const double *x_m, int ny, const double *y_m, int nz, const double *z_m, int n_sources,
                  air_fan_case *c)
{
    assert_int_equal(fan_box_make(nx, x_m, ny, y_m, nz, z_m, n_sources, c).code, DRUPELET_OK);
}

air_fan_flow *fan_box_solved(const air_fan_case *c, fan_options options)
{
    air_fan_flow *flow;
    const drupelet_status status = fan_solve(c, options, 1, (air_watch){NULL, NULL}, &flow);
    if (status.code != DRUPELET_OK) print_error("%s\n", status.message);
    assert_int_equal(status.code, DRUPELET_OK);
    return flow;
}

static int settle(const air_fan_case *c, fan_options options, double still, int most_rounds, fan_state *s)
{
    assert_int_equal(fan_state_create(c, options, 1, s).code, DRUPELET_OK);
    if (fan_can_be_coarser(c)) {
        air_fan_case coarser;
        fan_state below;
        assert_int_equal(fan_coarser_case(c, &coarser).code, DRUPELET_OK);
        settle(&coarser, options, 0.05, 600, &below);
        assert_int_equal(fan_begin_from(s, &below).code, DRUPELET_OK);
        fan_state_free(&below);
        air_fan_case_free(&coarser);
    }
    s->step_s = options.step_s;
    fan_settle(s);
    for (int round = 1; round <= most_rounds; round++) {
        fan_step_momentum(s);
        fan_project(s);
        const fan_norm norm = fan_settle(s);
        fan_step_turbulence(s);
        if (sqrt(norm.change / norm.fan) < still * s->step_s) return round;
    }
    return most_rounds + 1;
}

int fan_box_settled(const air_fan_case *c, fan_options options, double still, int most_rounds, fan_state *s)
{
    const int rounds = settle(c, options, still, most_rounds, s);
    assert_true(rounds <= most_rounds);
    return rounds;
}
