/* sim/verify/fan_box.c - small boxes of resolved fan air. */
#include "verify/fan_box.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/status.h"

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
    assert(n <= FAN_BOX_FACES);
    return n - 1;
}

drupelet_status fan_box_make(int nx, const double *x_m, int ny, const double *y_m, int nz, const double *z_m,
                             int n_sources, air_fan_case *c)
{
    const drupelet_status status = air_fan_case_create(nx, ny, nz, n_sources, c);
    if (status.code != DRUPELET_OK) return status;
    memcpy(c->x_face_m, x_m, ((size_t)nx + 1) * sizeof *x_m);
    memcpy(c->y_face_m, y_m, ((size_t)ny + 1) * sizeof *y_m);
    memcpy(c->z_face_m, z_m, ((size_t)nz + 1) * sizeof *z_m);
    for (int n = 0; n < nx * nz; n++) {
        c->k[n] = 1e-4f;
        c->epsilon[n] = 1e-5f;
    }
    return status;
}

int fan_box_at(int n, const double *centre_m, double at_m)
{
    int i = 0;
    while (i + 1 < n && centre_m[i] < at_m)
        i++;
    return i;
}

drupelet_status fan_box_plane_jet(double row_from_m, double row_to_m, double drag_1_m, bool far, double still,
                                  air_fan_case *c, air_fan_flow **flow)
{
    enum { DEEP = 3 };
    double x[FAN_BOX_FACES], y[FAN_BOX_FACES], z[DEEP + 1];
    const int nx = fan_box_faces(far ? -8.0 : -0.3, 0.0, far ? 5.0 : 3.0, far ? 8.0 : 3.6, 0.1, 1.15, x);
    const int ny = fan_box_faces(0.0, 0.0, 0.5, far ? 8.0 : 1.4, 0.025, 1.12, y);
    for (int k = 0; k <= DEEP; k++)
        z[k] = 0.1 * k;
    *flow = NULL;
    const drupelet_status status = fan_box_make(nx, x, ny, y, DEEP, z, DEEP, c);
    if (status.code != DRUPELET_OK) return status;
    c->n_sources = 0;
    const int first = fan_box_at(nx, x, -1e-6);
    for (int j = 0; j < ny; j++)
        for (int k = 0; k < DEEP; k++)
            if (0.5 * (y[j] + y[j + 1]) < 0.5 * FAN_BOX_SLOT_M)
                c->source[c->n_sources++] = (air_fan_source){
                    first, j, k, FAN_BOX_JET_M_S * 0.1 * (y[j + 1] - y[j]), {FAN_BOX_JET_M_S, 0.0, 0.0}, 4.0, 100.0};
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < DEEP; k++) {
            const double x_m = 0.5 * (x[i] + x[i + 1]);
            if (x_m > row_from_m && x_m < row_to_m) c->drag_1_m[i * DEEP + k] = drag_1_m;
        }
    const fan_options options = {.side = {{FAN_OPEN, FAN_OPEN}, {FAN_SLIP, FAN_OPEN}, {FAN_SLIP, FAN_SLIP}},
                                 .still = still,
                                 .most_rounds = 5000,
                                 .step_s = 0.05};
    return fan_solve(c, options, 1, (air_watch){NULL, NULL}, flow);
}

double fan_box_momentum(const air_fan_flow *f, const air_fan_case *c, double x_m)
{
    const int i = fan_box_at(f->nx, f->x_m, x_m);
    double sum = 0.0;
    for (int j = 0; j < f->ny; j++) {
        const double u = (double)f->u[fan_box_cell(f, i, j, 1)];
        sum += u * fabs(u) * (c->y_face_m[j + 1] - c->y_face_m[j]);
    }
    return sum;
}

/* By straight lines between the points; a profile that does not fall to half has no half-width. */
static double half_width(int n, const double *at_m, const double *value)
{
    for (int i = 1; i < n; i++)
        if (value[i] < 0.5 * value[0])
            return at_m[i - 1] + (at_m[i] - at_m[i - 1]) * (value[i - 1] - 0.5 * value[0]) / (value[i - 1] - value[i]);
    return NAN;
}

void fan_box_add(fan_box_axis *a, double distance_m, int n, const double *at_m, const double *value, double k)
{
    assert(a->n < (int)(sizeof a->at_m / sizeof a->at_m[0]));
    a->at_m[a->n] = distance_m;
    a->half_m[a->n] = half_width(n, at_m, value);
    a->speed[a->n] = value[0];
    a->k[a->n++] = k;
}

double fan_box_spread(const fan_box_axis *a, double *begin_m)
{
    double mx = 0.0, my = 0.0, xx = 0.0, xy = 0.0;
    for (int i = 0; i < a->n; i++) {
        mx += a->at_m[i] / a->n;
        my += a->half_m[i] / a->n;
    }
    for (int i = 0; i < a->n; i++) {
        xx += (a->at_m[i] - mx) * (a->at_m[i] - mx);
        xy += (a->at_m[i] - mx) * (a->half_m[i] - my);
    }
    *begin_m = mx - my * xx / xy;
    return xy / xx;
}
