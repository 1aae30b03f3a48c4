/* sim/droplet/droplet.h - flight and fate of one droplet, in double precision: drag, settling, evaporation, impaction,
 * what happens at a leaf, and what leaves and collectors hold. The batch kernel (kernel.h) uses tables and single
 * precision made from these. */
#ifndef DROPLET_DROPLET_H
#define DROPLET_DROPLET_H

#include "base/moist_air.h"
#include "base/sphere.h"
#include "scenario/scenario.h"

/* ---- constants that the batch kernel shares ---- */
#define DROPLET_SLIP_LENGTHS 2.51 /* Cc = 1 + 2.51 lambda / d; K. V. Beard, J. Atmos. Sci. 33 (1976) 851 */
#define DROPLET_VENTILATION_SPLIT 1.4 /* Sc^(1/3) Re^(1/2) where the law of Beard and Pruppacher changes its form */
#define DROPLET_PETROFF 0.47      /* catch of broad leaves (St / (St + 0.47))^2; sources of these in impaction.c */
#define DROPLET_EDGE_LENGTHS 2.0  /* interception at edges: (d / (2 D)) (2 + ln(4 D / d)) */
#define DROPLET_HAIR_M 20e-6      /* and at hairs: share / 3 of d / (d + this) */
#define DROPLET_HAIR_OVER 3.0
#define DROPLET_ROUND 2.0         /* and at a round target: 2 d / D */
#define DROPLET_SKIN_FRICTION 0.664  /* (u_f / u)^2 = this / sqrt(Re) on a leaf */
#define DROPLET_TURBULENT 3.5e-4  /* turbulent impaction: this times tau+^2 of u_f, at most the next */
#define DROPLET_TURBULENT_MOST 0.14

/* ---- drag and settling (drag.c) ---- */
/** Cunningham slip correction, 1 or more. */
double droplet_slip_correction(double diameter_m, double mean_free_path_m);
/** Further drag of a large drop that flattens as it falls, over that of the sphere; 1 for spray droplets. */
double droplet_deformation_factor(double diameter_m, double density_kg_m3, double surface_tension_N_m,
                                  const base_air *air);
/** Relaxation time in Stokes flow with slip, s. */
double droplet_stokes_time_s(double diameter_m, double density_kg_m3, const base_air *air);
/** Terminal speed of fall in still air, m/s. */
double droplet_settling_speed_m_s(double diameter_m, double density_kg_m3, double surface_tension_N_m,
                                  const base_air *air);

/* ---- evaporation (evaporation.c) ---- */
/** Quasi-steady evaporation of a water droplet: its temperature from the heat balance and its mass loss. */
typedef struct {
    double temperature_K;
    double mass_rate_kg_s;       /* above 0: water lost */
    double area_rate_m2_s;       /* -d(diameter^2)/dt */
} droplet_drying;
/** Half the Sherwood (Nusselt) number. @param x Re^(1/2) Sc^(1/3) (Pr for heat) */
double droplet_ventilation(scenario_ventilation law, double x);
/** @param re Reynolds number on diameter and slip speed */
droplet_drying droplet_evaporation_by(scenario_ventilation law, double diameter_m, double re, const base_air *air);
/** By Ranz and Marshall (1952), the default law. */
droplet_drying droplet_evaporation(double diameter_m, double re, const base_air *air);
/** A droplet at a temperature of its own: what it loses, and how fast it warms (its heat capacity times that is the
 * heat that reaches it, less what the vapour takes). Rates are below 0 while it gains water or cools. */
typedef struct { double temperature_rate_K_s, mass_rate_kg_s, area_rate_m2_s; } droplet_warming;
#define DROPLET_HEAT_CAPACITY_J_KG_K 4184.0 /* of liquid water at 20 degC (memory; within 0.3 % from 5 to 50 degC) */
droplet_warming droplet_heat_balance(scenario_ventilation law, double droplet_K, double diameter_m,
                                     double density_kg_m3, double re, const base_air *air);
/** A droplet of a size that falls at its speed of settling: that speed, and -d(diameter^2)/dt. */
typedef struct { double speed_m_s, area_rate_m2_s; } droplet_falling;
droplet_falling droplet_falling_at(scenario_ventilation law, double diameter_m, double density_kg_m3,
                                   double surface_tension_N_m, const base_air *air);
/** Diameter at which a droplet counts as dry. @param nonvolatile share of its volume that stays */
double droplet_dry_diameter_m(double diameter_m, double nonvolatile);
#define DROPLET_SHRINKING_STEPS 300 /* equal ones of d^2 from whole to dry, each at its middle: good to 0.1 % */
/** Life and fall distance of a droplet that falls freely from height 0 until it is dry.
 *  @param nonvolatile share of volume that stays */
typedef struct { double lifetime_s, fall_m; } droplet_life;
droplet_life droplet_free_fall_by(scenario_ventilation law, double diameter_m, double density_kg_m3, double nonvolatile,
                                  const base_air *air);
droplet_life droplet_free_fall(double diameter_m, double density_kg_m3, double nonvolatile, const base_air *air);

/* ---- leaf (impaction.c, bounce.c, shatter.c; which of them happens: outcome.h) ---- */
/** Share of the droplets in the path of a leaf-like target that hit it. @param stokes tau U / D, diameter-based */
double droplet_impaction_efficiency(double stokes);
/** Wood by diameter, as it meets droplets. */
enum { DROPLET_WOODS = 4 };
typedef struct { double diameter_m[DROPLET_WOODS], share[DROPLET_WOODS]; } droplet_wood; /* of the area: 1 in all */
/** That of a measured tree, or one diameter for all. @param diameter_m 0: the measured tree's */
droplet_wood droplet_wood_of(double diameter_m);
/** The same by the edges of a flat target as the air takes droplets past them within their radius, by hairs on it, and
 *  by a round target. @param hair_share of the target's drag, by hairs */
double droplet_edge_interception(double diameter_m, double width_m);
double droplet_hair_interception(double diameter_m, double hair_share);
double droplet_round_interception(double diameter_m, double width_m);
/** Speed at which turbulence next to a target throws droplets on its surface, m/s. @param stokes_s relaxation time
 *  @param viscosity_m2_s kinematic */
double droplet_turbulent_impaction_m_s(double stokes_s, double air_m_s, double width_m, double viscosity_m2_s);
/** Of a clump of leaves: its cover, from the share of it that is met by what flies straight; and the share that is met
 *  by droplets of which a leaf catches so many of those in its path. */
double droplet_clump_cover(double clumping);
double droplet_clump_met(double cover, double caught);
/** What all of these need to know of a target. */
typedef struct { double width_m, edge, hair_share, round; } droplet_collector;
droplet_collector droplet_leaf_collector(const scenario_canopy *canopy);
droplet_collector droplet_wood_collector(const scenario_canopy *canopy, int i_wood); /* of one of its diameters */
/** Share of the droplets in a target's path that hit it by impaction and interception; it may exceed 1 a little. */
double droplet_target_efficiency(const droplet_collector *target, double diameter_m, double stokes);
/** Catch of a smooth cylinder after Langmuir and Blodgett (closed form). @param k radius-based @param phi see leaf data
 */
double droplet_cylinder_efficiency(double k, double phi);
/** Mean projection of unit leaf area, ellipsoidal leaf angles (Campbell 1986). @param theta_rad from the vertical */
double droplet_leaf_projection(double angle_ratio, double theta_rad);
enum { DROPLET_LEAF_KINDS = 24 };
/** Which kind of leaves one belongs to that faces (up or down) along an axis of length 1, and the share that a kind has
 *  of the leaf area (facing.c). */
int droplet_leaf_kind(const double axis[3]);
double droplet_leaf_kind_share(double angle_ratio, int kind);

/** What a leaf side is like to a droplet; the four classes are choices inside published ranges. */
typedef scenario_leaf_surface droplet_leaf_class;
droplet_leaf_class droplet_leaf_class_of(scenario_wetting wetting);
typedef struct { double density_kg_m3, surface_tension_N_m, viscosity_Pa_s; } droplet_liquid;
/** Energy left for a rebound over the droplet's surface energy (Mao, Kuhn and Tran 1997); below 0: none; NAN when the
 * spread equation has no root of 1 or more (counts as adhering). */
double droplet_rebound_energy(double diameter_m, double speed_m_s, double contact_angle_rad,
                              const droplet_liquid *liquid);
/** Normal rebound speed over normal impact speed, 0 to 0.9. */
double droplet_restitution(double diameter_m, double normal_speed_m_s, const droplet_leaf_class *leaf,
                           const droplet_liquid *liquid);
/** Lowest normal speed that shatters, m/s. */
double droplet_shatter_speed_m_s(double diameter_m, const droplet_leaf_class *leaf, const droplet_liquid *liquid);
/** Lowest normal speed that bounces, m/s; INFINITY where the leaf class never lets go or none is found below 40 m/s. */
double droplet_bounce_speed_m_s(double diameter_m, const droplet_leaf_class *leaf, const droplet_liquid *liquid);
/** Secondary droplets of a shattering impact. @param u uniform on (0, 1) */
typedef struct { double mass_share, count, diameter_m; } droplet_splash;
droplet_splash droplet_shatter(double diameter_m, double normal_speed_m_s, double u, const droplet_leaf_class *leaf,
                               const droplet_liquid *liquid);

/* ---- splashing (splash.c) ---- */
/** Lowest normal speed, m/s, that splashes by published borders which know nothing of the leaf. */
double droplet_dry_wall_splash_m_s(double diameter_m, const droplet_liquid *liquid);    /* We > 2630 La^-0.183 */
double droplet_wet_wall_splash_m_s(double diameter_m, const droplet_liquid *liquid);    /* We > 1320 La^-0.183 */
double droplet_smooth_wall_splash_m_s(const droplet_liquid *liquid);                    /* sqrt(Ca) > 0.35 */
double droplet_thin_film_splash_m_s(double diameter_m, const droplet_liquid *liquid);   /* We Oh^-0.4 > 2100 */

/** Secondary droplets when a share of the mass leaves. @param over square of the speed over that of the border */
droplet_splash droplet_splash_of(double diameter_m, double mass_share, double over);

/** Exponential law of the number of secondary droplets by size, between a least and a most. */
typedef struct { double scale_m, least_m, most_m; } droplet_splash_law;
droplet_splash_law droplet_splash_law_of(double diameter_m, const droplet_splash *splash);
/** Diameter below which a share of the volume lies. @param share 0 to 1 */
double droplet_splash_quantile_m(const droplet_splash_law *law, double share);
/** Volume over surface, times six. */
double droplet_splash_sauter_m(const droplet_splash_law *law);

/* ---- spots of droplets that adhere (spread.c) ---- */
/** Contact diameter of a droplet at rest, a spherical cap, over the diameter of the sphere. Above 90 degrees its
 * silhouette is wider than its contact by 1 / sin(angle).
 *  @param contact_angle_rad above 0, below pi */
double droplet_sessile_spread(double contact_angle_rad);
/** Greatest contact diameter of a spreading droplet over its diameter (T. Mao, D. C. S. Kuhn, H. Tran, AIChE J. 43
 *  (1997) 2169; constants: memory); NAN where their equation has no root of 1 or more (slow, on a repellent leaf). */
double droplet_greatest_spread(double we, double re, double contact_angle_rad);
/** The same where 1 - cos(contact angle) is known. */
double droplet_greatest_spread_by(double we, double re, double one_less_cosine);
/** What a leaf's angles and the liquid decide of the spots on it. */
typedef struct {
    double gentle, most; /* spot over droplet: set down gently, at most */
    double per_rest;     /* gentle over the greatest spread without speed, or over 1 */
    double still;        /* Mao's (1 - cos theta) / 4 */
    double per_tension;  /* m/N */
    double lost;         /* 0.2 We^0.83 / Re^0.33 over (density diameter)^0.5 speed^1.33 */
} droplet_spread;
droplet_spread droplet_spread_of(const droplet_leaf_class *leaf, const droplet_liquid *liquid);
/** Diameter of the wetted spot of a droplet that adheres, over the diameter of the droplet as it arrives.
 *  @param normal_speed_m_s 0 or more; 0: as set down gently
 *  @param density_kg_m3 of the droplet itself, air in it included */
double droplet_spread_factor(const droplet_spread *leaf, double diameter_m, double normal_speed_m_s,
                             double density_kg_m3);

/* ---- what leaves hold (retention.c) ---- */
/** Regularised incomplete gamma function Q(a, x), the upper part; a above 0, x 0 or more. */
double droplet_gamma_above(double a, double x);

/** What drips when the mean deposit of unlike leaves is so many times what a leaf holds; they differ as a gamma
 *  distribution. */
typedef struct {
    double lost;     /* share of the liquid that drips: mean of the excess over the mean deposit */
    double marginal; /* share that drips of the next little bit added to every leaf in proportion */
} droplet_runoff;
/** @param filling mean deposit over retention, 0 or more  @param variation standard deviation over mean, 0 or more */
droplet_runoff droplet_run_off(double filling, double variation);

/* ---- collectors (collector.c) ---- */
/** What a smooth upright line takes out of the air: droplets caught over those in the air that blows through its
 *  outline; interception included, so it may exceed 1. For droplets that move with the air.
 *  @param air_speed_m_s across the line */
double droplet_line_efficiency(double diameter_m, double density_kg_m3, double line_m, double air_speed_m_s,
                               const base_air *air);
/** Speed with which a line sweeps droplets out of the air: catch per time over concentration and outline, m/s.
 *  @param air_m_s, speed_m_s velocity of air and droplet across the line (two components each) */
double droplet_line_catch_m_s(double diameter_m, double density_kg_m3, double line_m, const double air_m_s[2],
                              const double speed_m_s[2], const base_air *air);
/** Area of the stain on water-sensitive paper, m2. */
double droplet_stain_m2(double diameter_m);

#endif
