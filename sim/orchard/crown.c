/* sim/orchard/crown.c - shapes of crowns: where one tree's leaves may be, and how densely beside each other.
 *
 * Analytic shapes, chosen to look like trained trees; no measured profile of an orchard row was at hand. A profile of
 * the scenario multiplies the shape's own density. */
#include "orchard/orchard.h"

#include <math.h>

#include "base/elementary.h"

#define BOWL_HOLLOW 0.55 /* inner edge of an open bowl over its radius at the top; choice */

static double profile_at(const scenario_canopy *c, double t)
{
    if (c->n_profile == 0) return 1.0;
    if (t <= c->profile_height[0]) return c->profile_density[0];
    for (int i = 1; i < c->n_profile; i++)
        if (t <= c->profile_height[i]) {
            const double f = (t - c->profile_height[i - 1]) / (c->profile_height[i] - c->profile_height[i - 1]);
            return c->profile_density[i - 1] + f * (c->profile_density[i] - c->profile_density[i - 1]);
        }
    return c->profile_density[c->n_profile - 1];
}

double orchard_crown_density(const scenario_canopy *c, double tree_spacing_m, double across_m, double along_m,
                             double height_m)
{
    const double t = (height_m - c->base_m) / (c->height_m - c->base_m); /* 0 at the lowest leaves, 1 at the top */
    if (t < 0.0 || t > 1.0) return 0.0;
    const double half_m = 0.5 * c->width_m;
    if (fabs(across_m) > half_m) return 0.0; /* no shape is wider */
    const double r_m = c->crown == SCENARIO_WALL ? 0.0 : base_hypot(across_m, along_m);
    bool inside = false;
    switch (c->crown) {
    case SCENARIO_WALL: /* a hedge: the trees' crowns have grown into each other */
        inside = fabs(across_m) <= half_m && fabs(along_m) <= 0.5 * tree_spacing_m;
        break;
    case SCENARIO_CONE: /* spindle: widest at a fifth of its height, pointed */
        inside = r_m <= half_m * (t < 0.2 ? 0.6 + 2.0 * t : (1.0 - t) / 0.8 * 0.95 + 0.05);
        break;
    case SCENARIO_GLOBE: inside = r_m * r_m / (half_m * half_m) + (2.0 * t - 1.0) * (2.0 * t - 1.0) <= 1.0; break;
    case SCENARIO_BOWL: { /* open centre: a shell that widens upwards */
        const double outer_m = half_m * (0.5 + 0.5 * t);
        inside = r_m <= outer_m && r_m >= BOWL_HOLLOW * outer_m * t;
        break;
    }
    }
    return inside ? profile_at(c, t) : 0.0;
}
