/* sim/droplet/droplet.h - flight and fate of one droplet, in double precision: drag, settling, evaporation, impaction
 * and what happens at a leaf. The batch kernel (kernel.h) uses tables and single precision made from these. */
#ifndef DROPLET_DROPLET_H
#define DROPLET_DROPLET_H

#include "base/moist_air.h"
#include "scenario/scenario.h"

/* ---- constants that the batch kernel shares ---- */
#define DROPLET_SLIP_LENGTHS 2.51 /* Cc = 1 + 2.51 lambda / d; K. V. Beard, J. Atmos. Sci. 33 (1976) 851 */
#define DROPLET_VENTILATION_SPLIT 1.4 /* Sc^(1/3) Re^(1/2) where the law of Beard and Pruppacher changes its form */
#define DROPLET_PETROFF 0.47      /* catch of broad leaves (St / (St + 0.47))^2; source in impaction.c */

/* ---- drag and settling (drag.c) ---- */
/** Drag over Stokes drag of a rigid sphere. */
double droplet_drag_factor(double re);
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
/** Catch of a smooth cylinder after Langmuir and Blodgett (closed form). @param k radius-based @param phi see leaf data
 */
double droplet_cylinder_efficiency(double k, double phi);
/** Mean projection of unit leaf area, ellipsoidal leaf angles (Campbell 1986). @param theta_rad from the vertical */
double droplet_leaf_projection(double angle_ratio, double theta_rad);

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

#endif
