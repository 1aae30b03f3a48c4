/* sim/droplet/splash.h - borders of splashing beside the leaf's own limit, and the sizes of what splashes off. */
#ifndef DROPLET_SPLASH_H
#define DROPLET_SPLASH_H

#include "droplet/droplet.h"

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

#endif
