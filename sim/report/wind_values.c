/* sim/report/wind_values.c - the wind of a result at any place. */
#include <math.h>

#include "base/between.h"
#include "base/elementary.h"
#include "report/wind_parts.h"

double wind_value_at(const drupelet_result *r, run_wind_value which, double x_m, double z_m)
{
    const int i = base_point_below(r->wind_nx, r->wind_x_m, x_m), k = base_point_below(r->wind_nz, r->wind_z_m, z_m);
    const double across = base_way_from(r->wind_x_m, i, x_m), up = base_way_from(r->wind_z_m, k, z_m);
    const float *at = r->wind_value[which] + (ptrdiff_t)k * r->wind_nx + i, *above = at + r->wind_nx;
    return (1.0 - up) * ((1.0 - across) * (double)at[0] + across * (double)at[1])
           + up * ((1.0 - across) * (double)above[0] + across * (double)above[1]);
}

double wind_speed_at(const drupelet_result *r, double x_m, double z_m)
{
    return base_hypot(wind_value_at(r, RUN_WIND_ACROSS, x_m, z_m), wind_value_at(r, RUN_WIND_ALONG, x_m, z_m));
}

double wind_x_m(const picture *p, double distance_m)
{
    return p->downwind > 0 ? p->r->block_high_x_m + distance_m : p->r->block_low_x_m - distance_m;
}

double wind_open_at(const picture *p, double z_m)
{
    return wind_speed_at(p->r, p->r->wind_x_m[p->downwind > 0 ? 0 : p->r->wind_nx - 1], z_m);
}
