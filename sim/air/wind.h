/* sim/air/wind.h - the wind over open ground, over and inside the block, and on the way from one to the other. */
#ifndef AIR_WIND_H
#define AIR_WIND_H

#include "scenario/scenario.h"

#define AIR_VON_KARMAN 0.40
#define AIR_KOLMOGOROV_C0 3.1           /* field.c has its source */
#define AIR_SIGMA_UP_OVER_FRICTION 1.25 /* over open ground, neutral; wind.c has its source */

/** kappa U / u* at a height over a surface, by Monin and Obukhov's law. */
double air_law(double z_m, double displacement_m, double roughness_m, double per_obukhov_1_m);

/** Wind of a scenario; lengths in m, speeds in m/s. */
typedef struct {
    double friction_open_m_s, roughness_open_m;
    double per_obukhov_open_1_m, per_obukhov_block_1_m; /* 1 / Obukhov length; 0: neutral, above 0: stable */
    double gustiness; /* level fluctuations over those of the similarity laws; 1: by those laws */
    double friction_block_m_s, roughness_block_m, displacement_m, top_m; /* top of the canopy */
    double speed_top_m_s, attenuation;                                   /* inside: exp(-attenuation (1 - z/h)) */
    double open_top_m_s;           /* over the open ground, at the height of the canopy's top */
    double shelter;                /* 0 to 1: how much the canopy damps the turbulence inside it */
    double blend_height_m;         /* where both profiles agree */
    double low_edge_m, high_edge_m;/* edges of the block */
    double adjust_m, recover_m;    /* lengths of the change into and out of the block */
    double cos_angle, sin_angle;
} air_wind;

air_wind air_wind_of(const drupelet_scenario *scenario);

/** Weight of the block's profile at a place across the rows, 0 (open ground) to 1. */
double air_wind_block_weight(const air_wind *wind, double x_m);
/** Mean horizontal speed at a height, for a weight of the block's profile. */
double air_wind_speed_m_s(const air_wind *wind, double weight, double z_m);
/** Integral of the mean speed over the open ground between two heights, m2/s: what settles at w is carried so far,
 * divided by w. */
double air_wind_open_run_m2_s(const air_wind *wind, double low_m, double high_m);
/** The wind of a place at one height: mean speed, standard deviation of the vertical velocity and of each level
 * component, and the Lagrangian time scale of the vertical one. The level one's time scale is longer by (sigma_level /
 * sigma)^2, since both lose energy at one dissipation: TL = 2 sigma^2 / (C0 eps). */
typedef struct { double speed_m_s, sigma_m_s, sigma_level_m_s, time_scale_s; } air_wind_state;
air_wind_state air_wind_at(const air_wind *wind, double weight, double z_m);

/** For grids the same in two steps: over open ground ([0]) and over the block ([1]), then their mean by the block's
 * weight. */
typedef struct { double speed_m_s[2], sigma_m_s[2], sigma_level_m_s[2], time_scale_s[2]; } air_wind_level;
air_wind_level air_wind_at_height(const air_wind *wind, double z_m);

#define AIR_WIND_LEAST_SIGMA_M_S 0.01

static inline double air_wind_between(const double of[2], double weight)
{
    return (1.0 - weight) * of[0] + weight * of[1];
}

/* In the header, so that the compiler leaves out what a caller does not read. */
static inline air_wind_state air_wind_mean(const air_wind_level *level, double weight)
{
    const double sigma_m_s = air_wind_between(level->sigma_m_s, weight);
    const double sigma_level_m_s = air_wind_between(level->sigma_level_m_s, weight);
    return (air_wind_state){air_wind_between(level->speed_m_s, weight),
                            sigma_m_s > AIR_WIND_LEAST_SIGMA_M_S ? sigma_m_s : AIR_WIND_LEAST_SIGMA_M_S,
                            sigma_level_m_s > AIR_WIND_LEAST_SIGMA_M_S ? sigma_level_m_s : AIR_WIND_LEAST_SIGMA_M_S,
                            air_wind_between(level->time_scale_s, weight)};
}

#endif
