/* sim/result/air.c - a coarse slice of the air across the rows. */
#include <string.h>

#include "base/status.h"
#include "result/quantity.h"

enum { MOST_SLICE = 1 << 14 }; /* places on an axis; choice: the largest domain has some thousand */

static const result_quantity QUANTITIES[] = {
    {"z", NULL, RESULT_DOUBLE, "m", "height above the ground", RESULT_APART(air_z_m), RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, air_nz), .mark = "Z", .most = MOST_SLICE},
    {"x", NULL, RESULT_DOUBLE, "m", "place across the rows", RESULT_APART(air_x_m), RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, air_nx), .mark = "X", .most = MOST_SLICE},
    {"air_speed", "z x", RESULT_FLOAT, "m/s",
     "highest air speed over the ground that a place feels while the sprayer passes", RESULT_APART(air_speed_m_s),
     RESULT_MAY_LACK, .high = 1e4},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->air_nx = o->slice.nx;
    r->air_nz = o->slice.nz;
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const run_air_slice *s = &o->slice;
    for (int i = 0; i < s->nz; i++)
        r->air_z_m[i] = s->z_first_m - 0.5 * s->dz_m + (i + 0.5) * s->dz_m;
    for (int i = 0; i < s->nx; i++)
        r->air_x_m[i] = s->x_first_m - 0.5 * s->dx_m + (i + 0.5) * s->dx_m;
    if (r->air_speed_m_s) memcpy(r->air_speed_m_s, s->speed_m_s, (size_t)s->nx * (size_t)s->nz * sizeof *s->speed_m_s);
    return base_ok();
}

const result_group result_air = {
    "air", "coarse slice of the air across the rows", QUANTITIES, RESULT_COUNT(QUANTITIES), count, fill, NULL};
