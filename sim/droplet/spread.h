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
/** What a leaf's angles alone decide of the spots on it. */
typedef struct {
    double contact_angle_rad;
    double gentle, most; /* spot over droplet: set down gently, at most */
    double per_rest;     /* gentle over the greatest spread without speed, or over 1 */
} droplet_spread;
droplet_spread droplet_spread_of(const droplet_leaf_class *leaf);
/** Diameter of the wetted spot of a droplet that adheres, over the diameter of the droplet as it arrives.
 *  @param normal_speed_m_s 0 or more; 0: as set down gently
 *  @param liquid density of the droplet itself, air in it included */
double droplet_spread_factor(const droplet_spread *leaf, double diameter_m, double normal_speed_m_s,
                             const droplet_liquid *liquid);

#endif
