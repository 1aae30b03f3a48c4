/* sim/result/fan_air.c - the air around the sprayer on one pass, where the scenario asks for it. */
#include <string.h>

#include "base/status.h"
#include "result/quantity.h"

enum { MOST_PLACES = 1 << 12 }; /* on an axis; choice: far more than a run keeps */

#define VALUE(which) RESULT_APART(fan_value[which])

static const result_quantity QUANTITIES[] = {
    {"z", NULL, RESULT_DOUBLE, "m", "height above the ground", RESULT_APART(fan_z_m), RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, fan_nz), .mark = "Z", .high = 1e3, .most = MOST_PLACES},
    {"y", NULL, RESULT_DOUBLE, "m", "place along the travel, from the air outlets; behind the sprayer below 0",
     RESULT_APART(fan_y_m), RESULT_MAY_LACK, .count = offsetof(drupelet_result, fan_ny), .mark = "Y", .low = -1e3,
     .high = 1e3, .most = MOST_PLACES},
    {"x", NULL, RESULT_DOUBLE, "m", "place across the rows", RESULT_APART(fan_x_m), RESULT_MAY_LACK,
     .count = offsetof(drupelet_result, fan_nx), .mark = "X", .most = MOST_PLACES},
    {"speed_across", "z y x", RESULT_FLOAT, "m/s", "mean speed across the rows, along +x", VALUE(RUN_FAN_ACROSS),
     RESULT_MAY_LACK, .low = -1e3, .high = 1e3},
    {"speed_along", "z y x", RESULT_FLOAT, "m/s", "mean speed over the ground along the travel", VALUE(RUN_FAN_ALONG),
     RESULT_MAY_LACK, .low = -1e3, .high = 1e3},
    {"speed_up", "z y x", RESULT_FLOAT, "m/s", "mean speed upwards", VALUE(RUN_FAN_UP), RESULT_MAY_LACK, .low = -1e3,
     .high = 1e3},
    {"deviation_up", "z y x", RESULT_FLOAT, "m/s", "standard deviation of the upward speed", VALUE(RUN_FAN_SIGMA_UP),
     RESULT_MAY_LACK, .high = 1e3},
    {"deviation_level", "z y x", RESULT_FLOAT, "m/s", "standard deviation of the speed across, and of that along",
     VALUE(RUN_FAN_SIGMA_LEVEL), RESULT_MAY_LACK, .high = 1e3},
    {"sprayer_x", "", RESULT_DOUBLE, "m", "place across of the sprayer's centre line on this pass",
     RESULT_AT(fan_sprayer_x_m), RESULT_MAY_LACK},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->fan_nx = o->fan.nx;
    r->fan_ny = o->fan.ny;
    r->fan_nz = o->fan.nz;
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const run_fan_box *b = &o->fan;
    const size_t n = (size_t)b->nx * (size_t)b->ny * (size_t)b->nz;
    r->fan_sprayer_x_m = b->sprayer_x_m;
    if (n == 0) return base_ok();
    memcpy(r->fan_x_m, b->x_m, (size_t)b->nx * sizeof *b->x_m);
    memcpy(r->fan_y_m, b->y_m, (size_t)b->ny * sizeof *b->y_m);
    memcpy(r->fan_z_m, b->z_m, (size_t)b->nz * sizeof *b->z_m);
    for (int v = 0; v < RUN_FAN_VALUES; v++)
        memcpy(r->fan_value[v], b->value[v], n * sizeof *b->value[v]);
    return base_ok();
}

/* Evenly spaced, to the rounding of a file: pictures count on it. */
static bool rises_evenly(int n, const double *at)
{
    const double step = (at[n - 1] - at[0]) / (n - 1);
    bool good = step > 0.0;
    for (int i = 1; i < n && good; i++)
        good = at[i] - at[i - 1] > 0.999 * step && at[i] - at[i - 1] < 1.001 * step;
    return good;
}

/* All three axes or none, with something between their ends; from the ground up, and around outlets and sprayer. */
static const char *settle(drupelet_result *r, const char **found)
{
    if (r->fan_nx == 0 && r->fan_ny == 0 && r->fan_nz == 0) return NULL;
    const struct {
        const char *name;
        int n;
        const double *at;
        double within;
    } AXES[] = {{"x", r->fan_nx, r->fan_x_m, r->fan_sprayer_x_m},
                {"y", r->fan_ny, r->fan_y_m, 0.0},
                {"z", r->fan_nz, r->fan_z_m, 0.0}};
    for (int a = 0; a < 3; a++) {
        *found = "fewer than two points";
        if (AXES[a].n < 2) return AXES[a].name;
        *found = "points that do not rise in even steps";
        if (!rises_evenly(AXES[a].n, AXES[a].at)) return AXES[a].name;
        *found = "points that do not lie around the sprayer";
        if (!(AXES[a].at[0] <= AXES[a].within && AXES[a].at[AXES[a].n - 1] > AXES[a].within)) return AXES[a].name;
    }
    *found = "points that do not begin at the ground";
    return r->fan_z_m[0] < 0.0 || r->fan_z_m[0] > 0.0 ? "z" : NULL;
}

const result_group result_fan_air = {"fan_air",  "air around the sprayer on the middle pass, with the wind",
                                     QUANTITIES, RESULT_COUNT(QUANTITIES),
                                     count,      fill,
                                     settle};
