/* sim/verify/fan_box.c - small boxes of resolved fan air. */
#include "verify/fan_box.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/elementary.h"
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

/* Share of a rectangle in a circle around 0. */
static double share_in_circle(const double x[2], const double y[2], double radius_m)
{
    enum { PARTS = 20 };
    int n = 0;
    for (int a = 0; a < PARTS; a++)
        for (int b = 0; b < PARTS; b++)
            n += base_hypot(x[0] + (x[1] - x[0]) * (a + 0.5) / PARTS, y[0] + (y[1] - y[0]) * (b + 0.5) / PARTS)
                 < radius_m;
    return (double)n / (PARTS * PARTS);
}

drupelet_status fan_box_cross_jet(double r, int n_across, double growth, air_fan_case *c, fan_options *options)
{
    const double d_m = FAN_BOX_OUTLET_M, fine_m = d_m / n_across, rd_m = r * d_m, wind_m_s = FAN_BOX_JET_M_S / r;
    double x[FAN_BOX_FACES], y[FAN_BOX_FACES], z[FAN_BOX_FACES], flow = 0.0;
    const int nx = fan_box_faces(-2.1 * rd_m, -0.75 * d_m, d_m, 4.9 * rd_m, fine_m, growth, x);
    const int ny = fan_box_faces(0.0, 0.0, 0.75 * d_m, 2.1 * rd_m, fine_m, growth, y);
    const int nz = fan_box_faces(0.0, 0.0, d_m, 4.0 * rd_m, fine_m, growth, z);
    const drupelet_status status = fan_box_make(nx, x, ny, y, nz, z, (n_across + 1) * (n_across + 1), c);
    if (status.code != DRUPELET_OK) return status;
    c->n_sources = 0;
    for (int i = 0; i < nx; i++)
        for (int j = 0; j < ny; j++) {
            const double of = share_in_circle(&x[i], &y[j], 0.5 * d_m) * (x[i + 1] - x[i]) * (y[j + 1] - y[j]);
            if (of == 0.0) continue;
            flow += of;
            c->source[c->n_sources++] = (air_fan_source){i, j, 0, of, {0.0, 0.0, FAN_BOX_JET_M_S}, 4.0, 100.0};
        }
    for (int n = 0; n < c->n_sources; n++)
        c->source[n].flow_m3_s *= FAN_BOX_JET_M_S * BASE_PI * d_m * d_m / 8.0 / flow;
    for (int n = 0; n < nx * nz; n++)
        c->u[n] = (float)wind_m_s;
    *options = (fan_options){.side = {{FAN_OPEN, FAN_OPEN}, {FAN_SLIP, FAN_OPEN}, {FAN_SLIP, FAN_OPEN}},
                             .still = 0.1,
                             .most_rounds = 1000,
                             .step_s = fine_m * 12.0 / FAN_BOX_JET_M_S};
    return status;
}

/* Speeds on the plane y = 0, between four cells: along x and up. */
static void speeds_at(const air_fan_flow *f, const air_fan_case *c, double x_m, double z_m, double speed_m_s[2])
{
    const int i = fan_box_at(f->nx - 1, f->x_m + 1, x_m), k = fan_box_at(f->nz - 1, f->z_m + 1, z_m);
    const double a = (x_m - f->x_m[i]) / (f->x_m[i + 1] - f->x_m[i]);
    const double b = fmax((z_m - f->z_m[k]) / (f->z_m[k + 1] - f->z_m[k]), 0.0);
    speed_m_s[0] = speed_m_s[1] = 0.0;
    for (int n = 0; n < 4; n++) {
        const double share = (n % 2 ? a : 1.0 - a) * (n / 2 ? b : 1.0 - b);
        const size_t at = fan_box_cell(f, i + n % 2, 0, k + n / 2);
        speed_m_s[0] += share * (double)(f->u[at] + c->u[(i + n % 2) * c->nz + k + n / 2]);
        speed_m_s[1] += share * (double)f->w[at];
    }
}

void fan_box_way(const air_fan_flow *f, const air_fan_case *c, int n, const double *at_m, double *height_m)
{
    const double step_m = 0.1 * (c->z_face_m[1] - c->z_face_m[0]);
    double x_m = 0.0, z_m = 0.0;
    int next = 0;
    for (int i = 0; i < n; i++)
        height_m[i] = 0.0;
    for (int step = 0; next < n && step < 100000 && z_m < f->z_m[f->nz - 1]; step++) {
        double speed[2], half[2];
        speeds_at(f, c, x_m, z_m, speed);
        const double h = 0.5 * step_m / base_hypot(speed[0], speed[1]);
        speeds_at(f, c, x_m + h * speed[0], z_m + h * speed[1], half);
        const double way = step_m / base_hypot(half[0], half[1]), before_m = x_m;
        x_m += way * half[0];
        z_m += way * half[1];
        if (before_m < at_m[next] && x_m >= at_m[next]) height_m[next++] = z_m;
    }
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
