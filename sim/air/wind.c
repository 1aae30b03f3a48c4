/* sim/air/wind.c - neutral wind and turbulence over open ground, over the block and inside it.
 *
 * Open ground: U = (u* / kappa) ln(z / z0). Over the block: U = (u* / kappa) ln((z - d) / z0), with d, z0 and u* / Uh
 * from the area of leaves and wood (M. R. Raupach, Boundary-Layer Meteorol. 71 (1994) 211-216; memory). Inside:
 * Uh exp(-n (1 - z / h)), n = Cd LAI / (2 beta^2) (W. J. Massman 1997; I. N. Harman, J. J. Finnigan, Boundary-Layer
 * Meteorol. 123 (2007) 339; memory).
 *
 * Turbulence: sigma_w = 1.25 u* above (H. A. Panofsky, J. A. Dutton, 1984; memory), u* (0.25 + z / h) inside and
 * TL u* / h = 0.3 (M. R. Raupach, Q. J. R. Meteorol. Soc. 115 (1989) 609; memory); TL = kappa z / (1.5625 Sc u*) in the
 * surface layer, Sc = 0.64 (J. D. Wilson, G. W. Thurtell, G. E. Kidd 1981; memory).
 *
 * Left out: stability, veering, gusts slower than the turbulence; the horizontal components have a larger variance than
 * the vertical one, here all three have the vertical's. */
#include "air/wind.h"

#include <math.h>

#include "orchard/orchard.h"

#define SIGMA_OVER_FRICTION 1.25
#define SCHMIDT 0.64
#define CANOPY_TIME_SCALE 0.3

/* Choices, not published for orchards: the two profiles agree at three canopy heights; behind the block the wind
 * recovers with a length of eight heights, about what windbreaks need (common practice). Into the block it changes with
 * the drag length h / (Cd LAI), between one and ten heights. */
#define BLEND_HEIGHTS 3.0
#define RECOVER_HEIGHTS 8.0

air_wind air_wind_of(const drupelet_scenario *scenario)
{
    const scenario_weather *weather = &scenario->weather;
    const scenario_canopy *canopy = &scenario->canopy;
    const double h = canopy->height_m, area = fmax(canopy->leaf_area_index + canopy->wood_area_index, 0.02);
    const double drag =
        fmax(canopy->drag_coefficient * canopy->leaf_area_index + ORCHARD_WOOD_DRAG * canopy->wood_area_index, 1e-3);
    air_wind wind = {.top_m = h, .roughness_open_m = weather->roughness_m};

    wind.friction_open_m_s =
        AIR_VON_KARMAN * weather->wind_speed_m_s / log(weather->wind_height_m / weather->roughness_m);

    /* Raupach (1994), equations 4 and 8, with his constants 7.5, 0.003, 0.3 and 0.193. */
    const double root = sqrt(7.5 * area);
    const double beta = fmin(sqrt(0.003 + 0.3 * area / 2.0), 0.3);
    wind.displacement_m = h * (1.0 - (1.0 - exp(-root)) / root);
    wind.roughness_block_m = (h - wind.displacement_m) * exp(-AIR_VON_KARMAN / beta + 0.193);

    wind.blend_height_m = BLEND_HEIGHTS * h;
    const double speed_blend_m_s =
        wind.friction_open_m_s / AIR_VON_KARMAN * log(wind.blend_height_m / wind.roughness_open_m);
    wind.friction_block_m_s = AIR_VON_KARMAN * speed_blend_m_s
                              / log((wind.blend_height_m - wind.displacement_m) / wind.roughness_block_m);
    wind.speed_top_m_s =
        wind.friction_block_m_s / AIR_VON_KARMAN * log((h - wind.displacement_m) / wind.roughness_block_m);
    wind.attenuation = drag / (2.0 * beta * beta);
    wind.shelter =
        1.0 - exp(-1.5 * area); /* choice: dense canopies follow Raupach's profile, bare ones the surface layer's */

    wind.high_edge_m = scenario_high_edge_x_m(&scenario->orchard);
    wind.low_edge_m = scenario_low_edge_x_m(&scenario->orchard);
    wind.adjust_m = fmin(fmax(h / drag, h), 10.0 * h);
    wind.recover_m = RECOVER_HEIGHTS * h;
    wind.cos_angle = cos(weather->wind_angle_rad);
    wind.sin_angle = sin(weather->wind_angle_rad);
    return wind;
}

double air_wind_block_weight(const air_wind *wind, double x_m)
{
    if (fabs(wind->cos_angle) < 0.05) /* along the rows: nothing changes downwind */
        return x_m > wind->low_edge_m && x_m < wind->high_edge_m ? 1.0 : 0.0;
    const double along = 1.0 / fabs(wind->cos_angle); /* path of the wind over distance across the rows */
    const double in_m = (wind->cos_angle > 0.0 ? x_m - wind->low_edge_m : wind->high_edge_m - x_m) * along;
    const double length_m = (wind->high_edge_m - wind->low_edge_m) * along;
    if (in_m <= 0.0)
        return 0.0;
    const double grown = 1.0 - exp(-fmin(in_m, length_m) / wind->adjust_m);
    return in_m <= length_m ? grown : grown * exp(-(in_m - length_m) / wind->recover_m);
}

static double open_speed_m_s(const air_wind *wind, double z_m)
{
    return z_m > wind->roughness_open_m ? wind->friction_open_m_s / AIR_VON_KARMAN * log(z_m / wind->roughness_open_m)
                                        : 0.0;
}

static double block_speed_m_s(const air_wind *wind, double z_m)
{
    if (z_m >= wind->blend_height_m)
        return open_speed_m_s(wind, z_m);
    if (z_m >= wind->top_m)
        return wind->friction_block_m_s / AIR_VON_KARMAN * log((z_m - wind->displacement_m) / wind->roughness_block_m);
    const double inside_m_s = wind->speed_top_m_s * exp(-wind->attenuation * (1.0 - z_m / wind->top_m));
    return fmin(inside_m_s, open_speed_m_s(wind, z_m) * wind->speed_top_m_s / open_speed_m_s(wind, wind->top_m) * 1.5);
}

double air_wind_speed_m_s(const air_wind *wind, double weight, double z_m)
{
    return (1.0 - weight) * open_speed_m_s(wind, z_m) + weight * block_speed_m_s(wind, z_m);
}

double air_wind_sigma_m_s(const air_wind *wind, double weight, double z_m)
{
    const double open = SIGMA_OVER_FRICTION * wind->friction_open_m_s;
    const double depth = fmax(0.0, 1.0 - z_m / wind->top_m); /* 1 at the ground, 0 at the canopy's top and above */
    double friction = wind->friction_block_m_s;
    if (z_m > wind->top_m) { /* the block's stronger turbulence fades upwards with its wind profile */
        const double fade = fmin(1.0, (z_m - wind->top_m) / (wind->blend_height_m - wind->top_m));
        friction += fade * (wind->friction_open_m_s - friction);
    }
    const double block = friction * (SIGMA_OVER_FRICTION - wind->shelter * depth);
    return fmax(0.01, (1.0 - weight) * open + weight * block);
}

double air_wind_time_scale_s(const air_wind *wind, double weight, double z_m)
{
    const double z_low_m = fmax(z_m, wind->roughness_open_m);
    const double per_height = AIR_VON_KARMAN / (SIGMA_OVER_FRICTION * SIGMA_OVER_FRICTION * SCHMIDT);
    const double open_s = per_height * z_low_m / fmax(wind->friction_open_m_s, 0.005);
    const double friction = fmax(wind->friction_block_m_s, 0.005);
    double block_s =
        fmax(CANOPY_TIME_SCALE * wind->top_m / friction, per_height * (z_m - wind->displacement_m) / friction);
    /* near the ground no eddy is larger than its distance from it */
    const double sigma = air_wind_sigma_m_s(wind, 1.0, z_m);
    block_s = fmin(block_s, AIR_VON_KARMAN * z_low_m / (SCHMIDT * SIGMA_OVER_FRICTION * sigma));
    return (1.0 - weight) * open_s + weight * block_s;
}
