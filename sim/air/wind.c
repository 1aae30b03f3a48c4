/* sim/air/wind.c - wind and turbulence over open ground, over the block and inside it.
 *
 * Open ground: U = (u* / kappa) (ln(z / z0) - psi(z / L) + psi(z0 / L)), Monin and Obukhov's law (stability.c). Over
 * the block the same with z - d, and d, z0 and u* / Uh from the area of leaves and wood (M. R. Raupach, Boundary-Layer
 * Meteorol. 71 (1994) 211-216; memory); the heat flux is that of the open ground, so L goes with u*^3. Inside:
 * Uh exp(-n (1 - z / h)), n = Cd LAI / (2 beta^2) (W. J. Massman 1997; I. N. Harman, J. J. Finnigan, Boundary-Layer
 * Meteorol. 123 (2007) 339; memory), Cd LAI of leaves that give way as at the canopy's top (yielding.c).
 *
 * Turbulence: sigma_w / u* by stability above, 1.25 when neutral (H. A. Panofsky, J. A. Dutton, 1984; memory), u* (0.25
 * + z / h) inside and TL u* / h = 0.3 (M. R. Raupach, Q. J. R. Meteorol. Soc. 115 (1989) 609; memory); TL = 0.5 z /
 * sigma_w in the neutral surface layer (J. D. Wilson, G. W. Thurtell, G. E. Kidd 1981; memory). Each level component
 * has the root mean square of 2.39 u* along and 1.92 u* across the wind (Panofsky, Dutton), more when unstable: (12 -
 * 0.5 zi / L)^(1/3) (H. A. Panofsky et al., Boundary-Layer Meteorol. 11 (1977) 355; memory), here with the neutral
 * value in place of 12; 1.48 sigma_w in a canopy (1.8, 1.4 and 1.1 u* at its top: M. R. Raupach, J. J. Finnigan, Y.
 * Brunet 1996; memory).
 *
 * Left out: veering, the correlation of u and w, differences of heat flux between trees and open ground. */
#include "air/wind.h"

#include <math.h>

#include "air/stability.h"
#include "air/yielding.h"
#include "base/elementary.h"
#include "orchard/orchard.h"

#define LEVEL_OVER_FRICTION 2.168 /* root of (2.39^2 + 1.92^2) / 2 */
#define LEVEL_OVER_UP 1.48        /* in a canopy */
#define TIME_SCALE_OVER_HEIGHT 0.5 /* times sigma_w */
#define CANOPY_TIME_SCALE 0.3

/* Choices, not published for orchards: the two profiles agree at three canopy heights; behind the block the wind
 * recovers with a length of eight heights, about what windbreaks need (common practice). Into the block it changes with
 * the drag length h / (Cd LAI), between one and ten heights. A wind along the rows feels the block's sides over one
 * height. The boundary layer is 1000 m deep where that matters: sunny days. */
#define BLEND_HEIGHTS 3.0
#define RECOVER_HEIGHTS 8.0
#define SIDE_HEIGHTS 1.0
#define LENGTHWISE 0.2            /* cosine of the angle below which the wind counts as along the rows */
#define BOUNDARY_LAYER_M 1000.0

double air_law(double z_m, double displacement_m, double roughness_m, double per_obukhov_1_m)
{
    const double up_m = z_m - displacement_m;
    return base_log(up_m / roughness_m) - air_psi_momentum(up_m * per_obukhov_1_m)
           + air_psi_momentum(roughness_m * per_obukhov_1_m);
}

/* 1 / L over the open ground: as given, or from the day's conditions, which need the wind at 10 m. */
static double per_obukhov_of(const scenario_weather *w)
{
    if (!w->day_given)
        return w->per_obukhov_1_m;
    double per_obukhov_1_m = 0.0;
    for (int i = 0; i < 4; i++) { /* the class needs the wind at 10 m, and that the class */
        const double wind_10_m_s = w->wind_speed_m_s * air_law(10.0, 0.0, w->roughness_m, per_obukhov_1_m)
                                   / air_law(w->wind_height_m, 0.0, w->roughness_m, per_obukhov_1_m);
        per_obukhov_1_m = air_per_obukhov_of_class_1_m(air_stability_class(w, wind_10_m_s), w->roughness_m);
    }
    return per_obukhov_1_m;
}

static double open_speed_m_s(const air_wind *wind, double z_m)
{
    return z_m > wind->roughness_open_m
               ? wind->friction_open_m_s / AIR_VON_KARMAN
                     * air_law(z_m, 0.0, wind->roughness_open_m, wind->per_obukhov_open_1_m)
               : 0.0;
}

/* Friction velocity and stability over the block: its wind is the open ground's at the height where both agree. */
static void settle_block(air_wind *wind)
{
    const double above_m_s =
        wind->friction_open_m_s / AIR_VON_KARMAN
        * air_law(wind->blend_height_m, 0.0, wind->roughness_open_m, wind->per_obukhov_open_1_m);
    wind->per_obukhov_block_1_m = wind->per_obukhov_open_1_m;
    for (int i = 0; i < 20; i++) {
        wind->friction_block_m_s = AIR_VON_KARMAN * above_m_s
                                   / air_law(wind->blend_height_m, wind->displacement_m, wind->roughness_block_m,
                                             wind->per_obukhov_block_1_m);
        const double rougher = wind->friction_block_m_s / fmax(wind->friction_open_m_s, 1e-9);
        const double next = wind->per_obukhov_open_1_m / fmax(rougher * rougher * rougher, 1.0);
        wind->per_obukhov_block_1_m = 0.5 * (wind->per_obukhov_block_1_m + next);
    }
}

air_wind air_wind_of(const drupelet_scenario *scenario)
{
    const scenario_weather *weather = &scenario->weather;
    const scenario_canopy *canopy = &scenario->canopy;
    const double h = canopy->height_m, area = fmax(canopy->leaf_area_index + canopy->wood_area_index, 0.02);
    air_wind wind = {.top_m = h, .roughness_open_m = weather->roughness_m, .gustiness = 1.0};

    wind.per_obukhov_open_1_m = per_obukhov_of(weather);
    wind.friction_open_m_s = AIR_VON_KARMAN * weather->wind_speed_m_s
                             / air_law(weather->wind_height_m, 0.0, weather->roughness_m, wind.per_obukhov_open_1_m);

    /* Raupach (1994), equations 4 and 8, with his constants 7.5, 0.003, 0.3 and 0.193. */
    const double root = sqrt(7.5 * area);
    const double beta = fmin(sqrt(0.003 + 0.3 * area / 2.0), 0.3);
    wind.displacement_m = h * (1.0 - (1.0 - base_exp(-root)) / root);
    wind.roughness_block_m = (h - wind.displacement_m) * base_exp(-AIR_VON_KARMAN / beta + 0.193);

    wind.blend_height_m = BLEND_HEIGHTS * h;
    settle_block(&wind);
    wind.speed_top_m_s = wind.friction_block_m_s / AIR_VON_KARMAN
                         * air_law(h, wind.displacement_m, wind.roughness_block_m, wind.per_obukhov_block_1_m);
    wind.open_top_m_s = open_speed_m_s(&wind, h);
    const air_yielding leaves = air_yielding_of(canopy); /* as they stand at the top of the canopy */
    const double leaf_area = canopy->leaf_area_index * air_standing_share(&leaves, leaves.of_wind * wind.speed_top_m_s);
    const double drag = fmax(orchard_drag_1_m(canopy, leaf_area, canopy->wood_area_index), 1e-3);
    wind.attenuation = drag / (2.0 * beta * beta);
    wind.shelter =
        1.0
        - base_exp(-1.5 * area); /* choice: dense canopies follow Raupach's profile, bare ones the surface layer's */

    wind.high_edge_m = scenario_high_edge_x_m(&scenario->orchard);
    wind.low_edge_m = scenario_low_edge_x_m(&scenario->orchard);
    wind.adjust_m = fmin(fmax(h / drag, h), 10.0 * h);
    wind.recover_m = RECOVER_HEIGHTS * h;
    wind.cos_angle = base_cos(weather->wind_angle_rad);
    wind.sin_angle = base_sin(weather->wind_angle_rad);
    if (weather->gusts > 0.0 && weather->wind_speed_m_s > 0.0)
        wind.gustiness = weather->gusts * weather->wind_speed_m_s
                         / air_wind_at(&wind, 0.0, weather->wind_height_m).sigma_level_m_s;
    return wind;
}

/* Weight where the wind comes across the rows. */
static double weight_across(const air_wind *wind, double x_m)
{
    const double along = 1.0 / fmax(fabs(wind->cos_angle), LENGTHWISE); /* path of the wind over distance across */
    const double in_m = (wind->cos_angle > 0.0 ? x_m - wind->low_edge_m : wind->high_edge_m - x_m) * along;
    const double length_m = (wind->high_edge_m - wind->low_edge_m) * along;
    if (in_m <= 0.0)
        return 0.0;
    const double grown = 1.0 - base_exp(-fmin(in_m, length_m) / wind->adjust_m);
    return in_m <= length_m ? grown : grown * base_exp(-(in_m - length_m) / wind->recover_m);
}

/* Weight where it blows along the rows: the block has taken effect, its sides are as wide as it is high. */
static double weight_along(const air_wind *wind, double x_m)
{
    const double wide_m = SIDE_HEIGHTS * wind->top_m;
    return 0.5 * (base_tanh((x_m - wind->low_edge_m) / wide_m) - base_tanh((x_m - wind->high_edge_m) / wide_m));
}

double air_wind_block_weight(const air_wind *wind, double x_m)
{
    const double across = fmin(fabs(wind->cos_angle) / LENGTHWISE, 1.0);
    const double share = across * across * (3.0 - 2.0 * across);
    return share * weight_across(wind, x_m) + (share < 1.0 ? (1.0 - share) * weight_along(wind, x_m) : 0.0);
}

/* @param open_m_s the open ground's at that height */
static double block_speed_m_s(const air_wind *wind, double open_m_s, double z_m)
{
    if (z_m >= wind->blend_height_m)
        return open_m_s;
    if (z_m >= wind->top_m)
        return wind->friction_block_m_s / AIR_VON_KARMAN
               * air_law(z_m, wind->displacement_m, wind->roughness_block_m, wind->per_obukhov_block_1_m);
    const double inside_m_s = wind->speed_top_m_s * base_exp(-wind->attenuation * (1.0 - z_m / wind->top_m));
    return wind->open_top_m_s > 0.0 ? fmin(inside_m_s, open_m_s * wind->speed_top_m_s / wind->open_top_m_s * 1.5) : 0.0;
}

double air_wind_speed_m_s(const air_wind *wind, double weight, double z_m)
{
    const double open_m_s = open_speed_m_s(wind, z_m), speed_m_s[2] = {open_m_s, block_speed_m_s(wind, open_m_s, z_m)};
    return air_wind_between(speed_m_s, weight);
}

/* Simpson's rule in ln z, in which the speed is nearly a line; pieces of a tenth of ln z are good to 1e-7. */
double air_wind_open_run_m2_s(const air_wind *wind, double low_m, double high_m)
{
    const double from_m = fmax(low_m, wind->roughness_open_m); /* no wind below */
    if (high_m <= from_m)
        return 0.0;
    const double all = base_log(high_m / from_m);
    const int n = 2 * (1 + (int)(all / 0.2));
    double sum = from_m * open_speed_m_s(wind, from_m) + high_m * open_speed_m_s(wind, high_m);
    for (int i = 1; i < n; i++) {
        const double z_m = from_m * base_exp(all * i / n);
        sum += (i % 2 ? 4.0 : 2.0) * z_m * open_speed_m_s(wind, z_m);
    }
    return sum * all / (3.0 * n);
}

static double open_zeta(const air_wind *wind, double z_m)
{
    return fmax(z_m, wind->roughness_open_m) * wind->per_obukhov_open_1_m;
}

/* Inside the canopy that of its top holds. */
static double block_zeta(const air_wind *wind, double z_m)
{
    return (fmax(z_m, wind->top_m) - wind->displacement_m) * wind->per_obukhov_block_1_m;
}

/* 0 at the canopy's top and inside, 1 where the block's profile meets the open ground's. */
static double above_block(const air_wind *wind, double z_m)
{
    return fmin(1.0, fmax(0.0, (z_m - wind->top_m) / (wind->blend_height_m - wind->top_m)));
}

static double open_sigma_m_s(const air_wind *wind, double z_m)
{
    return wind->friction_open_m_s * air_sigma_up_over_friction(open_zeta(wind, z_m));
}

static double block_sigma_m_s(const air_wind *wind, double z_m)
{
    const double depth = fmax(0.0, 1.0 - z_m / wind->top_m); /* 1 at the ground, 0 at the canopy's top and above */
    const double fade = above_block(wind, z_m); /* the block's stronger turbulence fades upwards with its wind */
    const double near_m_s =
        wind->friction_block_m_s
        * fmax(air_sigma_up_over_friction(block_zeta(wind, z_m)) - wind->shelter * depth, 0.0);
    return near_m_s + fade * (open_sigma_m_s(wind, z_m) - near_m_s);
}

static double open_sigma_level_m_s(const air_wind *wind)
{
    const double convective = fmax(0.0, -0.5 * BOUNDARY_LAYER_M * wind->per_obukhov_open_1_m);
    const double neutral3 = LEVEL_OVER_FRICTION * LEVEL_OVER_FRICTION * LEVEL_OVER_FRICTION;
    return wind->friction_open_m_s * base_cbrt(neutral3 + convective);
}

static double block_sigma_level_m_s(const air_wind *wind, double z_m)
{
    const double canopy_m_s = LEVEL_OVER_UP * block_sigma_m_s(wind, z_m);
    return canopy_m_s + above_block(wind, z_m) * (open_sigma_level_m_s(wind) - canopy_m_s);
}

static double open_time_scale_s(const air_wind *wind, double z_m)
{
    return TIME_SCALE_OVER_HEIGHT * fmax(z_m, wind->roughness_open_m) / fmax(open_sigma_m_s(wind, z_m), 0.006)
           * air_time_scale_ratio(open_zeta(wind, z_m));
}

static double block_time_scale_s(const air_wind *wind, double z_m)
{
    const double friction = fmax(wind->friction_block_m_s, 0.005), sigma = fmax(block_sigma_m_s(wind, z_m), 0.006);
    const double block_s = fmax(CANOPY_TIME_SCALE * wind->top_m / friction,
                                TIME_SCALE_OVER_HEIGHT * (z_m - wind->displacement_m) / sigma)
                           * air_time_scale_ratio(block_zeta(wind, z_m));
    /* near the ground no eddy is larger than its distance from it */
    return fmin(block_s, TIME_SCALE_OVER_HEIGHT * fmax(z_m, wind->roughness_open_m) / sigma);
}

air_wind_level air_wind_at_height(const air_wind *wind, double z_m)
{
    const double gusts = wind->gustiness;
    const double open_m_s = open_speed_m_s(wind, z_m);
    return (air_wind_level){
        {open_m_s, block_speed_m_s(wind, open_m_s, z_m)},
        {open_sigma_m_s(wind, z_m), block_sigma_m_s(wind, z_m)},
        {gusts * open_sigma_level_m_s(wind), gusts * block_sigma_level_m_s(wind, z_m)},
        {open_time_scale_s(wind, z_m), block_time_scale_s(wind, z_m)}};
}

air_wind_state air_wind_at(const air_wind *wind, double weight, double z_m)
{
    const air_wind_level level = air_wind_at_height(wind, z_m);
    return air_wind_mean(&level, weight);
}
