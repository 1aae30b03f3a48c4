/* sim/droplet/spread.h - how wide a droplet that adheres lies on a leaf. */
#ifndef DROPLET_SPREAD_H
#define DROPLET_SPREAD_H

#include "droplet/droplet.h"

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

#endif
