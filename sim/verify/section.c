/* sim/verify/section.c - meshes for stands of simple shape. */
#include "verify/section.h"

#include <math.h>
#include <stdlib.h>

#include "air/stability.h"
#include "air/wind.h"
#include "base/elementary.h"
#include "base/status.h"

/* Sizes from size_m on, each larger than the last by growth, that fill length_m; the last is stretched or shrunk a
 * little with all others. @param sizes room for most of them; NULL: only counted  @return their number */
static int grow(double size_m, double growth, double length_m, double *sizes)
{
    double sum_m = 0.0, next_m = size_m;
    int n = 0;
    for (; sum_m + 0.5 * next_m * growth < length_m; n++) {
        next_m *= growth;
        sum_m += next_m;
    }
    next_m = size_m;
    for (int i = 0; sizes && i < n; i++) {
        next_m *= growth;
        sizes[i] = next_m * length_m / sum_m;
    }
    return n;
}

static double overlap_m(double low_m, double high_m, double from_m, double to_m)
{
    return fmax(fmin(high_m, to_m) - fmax(low_m, from_m), 0.0);
}

static void stand_in(const section_stand *s, air_flow_case *c)
{
    for (int i = 0; i < c->nx; i++) {
        const double west_m = c->x_face_m[i], east_m = c->x_face_m[i + 1];
        const double along = overlap_m(west_m, east_m, s->low_m, s->high_m) / (east_m - west_m);
        for (int k = 0; k < c->nz && along > 0.0; k++) {
            const double below_m = c->z_face_m[k], above_m = c->z_face_m[k + 1];
            const double up = overlap_m(below_m, above_m, s->bottom_m, s->top_m) / (above_m - below_m);
            c->drag_1_m[(size_t)i * (size_t)c->nz + (size_t)k] += s->drag_1_m * along * up;
        }
    }
}

drupelet_status section_case(const section_plan *p, const section_stand *stands, int n, air_flow_case *c)
{
    const int n_ahead = grow(p->width_m, p->growth, p->ahead_m, NULL);
    const int n_behind = grow(p->width_m, p->growth, p->behind_m, NULL);
    const int n_middle = (int)lround((p->high_m - p->low_m) / p->width_m), n_low = (int)lround(p->fine_m / p->depth_m);
    const int n_above = grow(p->depth_m, p->growth, p->top_m - p->fine_m, NULL);
    double *size_m = malloc((size_t)(n_ahead + n_behind + n_above + 1) * sizeof *size_m);
    const drupelet_status status = air_flow_case_create(n_ahead + n_middle + n_behind, n_low + n_above, c);
    if (status.code != DRUPELET_OK || !size_m) {
        free(size_m);
        return base_error(DRUPELET_MEMORY, "no memory for a section of wind");
    }
    c->roughness_m = p->roughness_m;
    c->per_obukhov_1_m = p->per_obukhov_1_m;
    c->cos_angle = base_cos(p->angle_rad);
    c->sin_angle = base_sin(p->angle_rad);
    double *x = c->x_face_m + n_ahead, *z = c->z_face_m;
    for (int i = 0; i <= n_middle; i++)
        x[i] = p->low_m + (p->high_m - p->low_m) * i / n_middle;
    grow(p->width_m, p->growth, p->ahead_m, size_m);
    for (int i = 0; i < n_ahead; i++)
        x[-i - 1] = x[-i] - size_m[i];
    grow(p->width_m, p->growth, p->behind_m, size_m);
    for (int i = 0; i < n_behind; i++)
        x[n_middle + i + 1] = x[n_middle + i] + size_m[i];
    for (int k = 0; k <= n_low; k++)
        z[k] = p->fine_m * k / n_low;
    grow(p->depth_m, p->growth, p->top_m - p->fine_m, size_m);
    for (int k = 0; k < n_above; k++)
        z[n_low + k + 1] = z[n_low + k] + size_m[k];
    for (int i = 0; i < n; i++)
        stand_in(&stands[i], c);
    free(size_m);
    return base_ok();
}

drupelet_status section_solve(const section_plan *p, const section_stand *stands, int n, air_flow **flow)
{
    air_flow_case c = {0};
    *flow = NULL;
    drupelet_status status = section_case(p, stands, n, &c);
    if (status.code == DRUPELET_OK) status = air_flow_solve(&c, flow);
    air_flow_case_free(&c);
    return status;
}

/* The last of n - 1 points that is not beyond at. */
static int point_before(const double *point, int n, double at)
{
    int i = 0;
    while (i + 2 < n && point[i + 1] <= at)
        i++;
    return i;
}

double section_at(const air_flow *f, const float *values, double x_m, double z_m)
{
    const int i = point_before(f->x_m, f->nx, x_m), k = point_before(f->z_m, f->nz, z_m);
    const double right = fmin(fmax((x_m - f->x_m[i]) / (f->x_m[i + 1] - f->x_m[i]), 0.0), 1.0);
    const double up = fmin(fmax((z_m - f->z_m[k]) / (f->z_m[k + 1] - f->z_m[k]), 0.0), 1.0);
    const float *west = values + (size_t)i * (size_t)f->nz + k, *east = west + f->nz;
    return (1.0 - right) * ((1.0 - up) * (double)west[0] + up * (double)west[1])
           + right * ((1.0 - up) * (double)east[0] + up * (double)east[1]);
}

/* Kappa times the wind of the open ground over u*. */
static double open_law(const section_plan *p, double z_m)
{
    return base_log(z_m / p->roughness_m) - air_psi_momentum(z_m * p->per_obukhov_1_m)
           + air_psi_momentum(p->roughness_m * p->per_obukhov_1_m);
}

double section_share(const air_flow *f, const section_plan *p, double x_m, double z_m)
{
    /* Shares vary less with height than speeds do: they are what is worked out between the cells. */
    const int k = point_before(f->z_m, f->nz, z_m);
    const double scale = AIR_VON_KARMAN / base_cos(p->angle_rad);
    const double below = section_at(f, f->u, x_m, f->z_m[k]) * scale / open_law(p, f->z_m[k]);
    const double above = section_at(f, f->u, x_m, f->z_m[k + 1]) * scale / open_law(p, f->z_m[k + 1]);
    const double up = fmin(fmax((z_m - f->z_m[k]) / (f->z_m[k + 1] - f->z_m[k]), 0.0), 1.0);
    return (1.0 - up) * below + up * above;
}
