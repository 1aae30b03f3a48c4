/* tests/fan_box.c - small boxes of fan air for tests. */
#include "fan_box.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

int fan_box_faces(double low_m, double a_m, double b_m, double high_m, double fine_m, double growth, double *face_m)
{
    double below[FAN_BOX_FACES];
    int n = 0, n_below = 0;
    for (double at = a_m, size = fine_m; at > low_m + 1e-9;) {
        size *= growth;
        at = at - 1.5 * size < low_m ? low_m : at - size;
        below[n_below++] = at;
    }
    while (n_below > 0)
        face_m[n++] = below[--n_below];
    const int inner = (int)(0.5 + (b_m - a_m) / fine_m);
    for (int i = 0; i <= inner; i++)
        face_m[n++] = a_m + (b_m - a_m) * i / inner;
    for (double at = b_m, size = fine_m; at < high_m - 1e-9;) {
        size *= growth;
        at = at + 1.5 * size > high_m ? high_m : at + size;
        face_m[n++] = at;
    }
    assert_true(n <= FAN_BOX_FACES);
    return n - 1;
}

void fan_box_case(int nx, const double *x_m, int ny, const double *y_m, int nz, const double *z_m, int n_sources,
                  air_fan_case *c)
{
    assert_int_equal(air_fan_case_create(nx, ny, nz, n_sources, c).code, DRUPELET_OK);
    memcpy(c->x_face_m, x_m, ((size_t)nx + 1) * sizeof *x_m);
    memcpy(c->y_face_m, y_m, ((size_t)ny + 1) * sizeof *y_m);
    memcpy(c->z_face_m, z_m, ((size_t)nz + 1) * sizeof *z_m);
    for (int n = 0; n < nx * nz; n++) {
        c->k[n] = 1e-4f;
        c->epsilon[n] = 1e-5f;
    }
}

air_fan_flow *fan_box_solved(const air_fan_case *c, fan_options options)
{
    air_fan_flow *flow;
    const drupelet_status status = fan_solve(c, options, 1, (air_watch){NULL, NULL}, &flow);
    if (status.code != DRUPELET_OK) print_error("%s\n", status.message);
    assert_int_equal(status.code, DRUPELET_OK);
    return flow;
}

int fan_box_at(int n, const double *centre_m, double at_m)
{
    int i = 0;
    while (i + 1 < n && centre_m[i] < at_m)
        i++;
    return i;
}
