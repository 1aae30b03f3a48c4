/* sim/result/wind.c - the wind across the rows, where the scenario asks for it. */
#include <string.h>

#include "base/status.h"
#include "result/quantity.h"

enum { MOST_ACROSS = 1 << 14, MOST_UP = 1 << 12 }; /* places on an axis; choice: far more than a run keeps */

#define VALUE(which) RESULT_APART(wind_value[which])

static const result_quantity QUANTITIES[] = {
    {"z", NULL, RESULT_DOUBLE, "m", "height above the ground", RESULT_APART(wind_z_m), RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, wind_nz), .mark = "Z", .high = 1e3, .most = MOST_UP},
    {"x", NULL, RESULT_DOUBLE, "m", "place across the rows", RESULT_APART(wind_x_m), RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, wind_nx), .mark = "X", .most = MOST_ACROSS},
    {"speed_across", "z x", RESULT_FLOAT, "m/s", "mean wind across the rows, along +x", VALUE(RUN_WIND_ACROSS),
     .low = -1e3, .high = 1e3},
    {"speed_along", "z x", RESULT_FLOAT, "m/s", "mean wind along the rows, along +y", VALUE(RUN_WIND_ALONG),
     .low = -1e3, .high = 1e3},
    {"speed_up", "z x", RESULT_FLOAT, "m/s", "mean wind upwards", VALUE(RUN_WIND_UP), .low = -1e3, .high = 1e3},
    {"deviation_up", "z x", RESULT_FLOAT, "m/s", "standard deviation of the upward wind", VALUE(RUN_WIND_SIGMA_UP),
     .high = 1e3},
    {"deviation_level", "z x", RESULT_FLOAT, "m/s", "standard deviation of the wind across, and of that along",
     VALUE(RUN_WIND_SIGMA_LEVEL), .high = 1e3},
    {"time_scale", "z x", RESULT_FLOAT, "s",
     "Lagrangian time scale of the upward wind; that of the level wind is longer by the ratio of the variances",
     VALUE(RUN_WIND_TIME_SCALE), .high = 1e9},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->wind_nx = o->wind.nx;
    r->wind_nz = o->wind.nz;
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const run_wind_section *w = &o->wind;
    const size_t n = (size_t)w->nx * (size_t)w->nz;
    if (n == 0)
        return base_ok();
    memcpy(r->wind_x_m, w->x_m, (size_t)w->nx * sizeof *w->x_m);
    memcpy(r->wind_z_m, w->z_m, (size_t)w->nz * sizeof *w->z_m);
    for (int v = 0; v < RUN_WIND_VALUES; v++)
        memcpy(r->wind_value[v], w->value[v], n * sizeof *w->value[v]);
    return base_ok();
}

static bool rises(int n, const double *at)
{
    for (int i = 1; i < n; i++)
        if (!(at[i] > at[i - 1]))
            return false;
    return true;
}

/* Both axes or none, with something between their ends, and beyond the block: pictures find places between the points,
 * and show the block with what is around it. */
static const char *settle(drupelet_result *r, const char **found)
{
    const bool none = r->wind_nx == 0 && r->wind_nz == 0;
    *found = "fewer than two points";
    if (!none && r->wind_nx < 2)
        return "x";
    if (!none && r->wind_nz < 2)
        return "z";
    *found = "points that do not rise";
    if (!rises(r->wind_nz, r->wind_z_m))
        return "z";
    if (!rises(r->wind_nx, r->wind_x_m))
        return "x";
    *found = "points that do not reach beyond the block";
    return none || (r->wind_x_m[0] < r->block_low_x_m && r->wind_x_m[r->wind_nx - 1] > r->block_high_x_m) ? NULL : "x";
}

const result_group result_wind = {
    "wind", "wind across the rows, apart from the air of the fan", QUANTITIES, RESULT_COUNT(QUANTITIES), count, fill,
    settle};
