/* tests/fan_box.c - small boxes of fan air for tests. */
#include "fan_box.h"

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
