/* sim/orchard/crown.c - shapes of crowns: where one tree's leaves may be, and how densely beside each other.
 *
 * Analytic shapes, chosen to look like trained trees; no measured profile of an orchard row was at hand. A profile of
 * the scenario multiplies the shape's own density. Leaves thin out below the surface of a crown that is a shell. */
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
    double depth_m = 0.0; /* below the crown's surface, about */
    switch (c->crown) {
    case SCENARIO_WALL: /* a hedge: the trees' crowns have grown into each other */
        inside = fabs(across_m) <= half_m && fabs(along_m) <= 0.5 * tree_spacing_m;
        depth_m = fmin(half_m - fabs(across_m), c->height_m - height_m);
        break;
    case SCENARIO_CONE: { /* spindle: widest at a fifth of its height, pointed */
        const double edge_m = half_m * (t < 0.2 ? 0.6 + 2.0 * t : (1.0 - t) / 0.8 * 0.95 + 0.05);
        inside = r_m <= edge_m;
        depth_m = edge_m - r_m;
        break;
    }
    case SCENARIO_GLOBE: { /* depth: along the line from the middle */
        const double share2 = r_m * r_m / (half_m * half_m) + (2.0 * t - 1.0) * (2.0 * t - 1.0);
        const double half_height_m = 0.5 * (c->height_m - c->base_m);
        inside = share2 <= 1.0;
        depth_m = share2 > 0.0
                      ? base_hypot(r_m, (2.0 * t - 1.0) * half_height_m) * (1.0 / sqrt(share2) - 1.0)
                      : fmin(half_m, half_height_m);
        break;
    }
    case SCENARIO_BOWL: { /* open centre: a shell that widens upwards */
        const double outer_m = half_m * (0.5 + 0.5 * t);
        inside = r_m <= outer_m && r_m >= BOWL_HOLLOW * outer_m * t;
        depth_m = outer_m - r_m;
        break;
    }
    }
    const double shell = c->shell_depth_m > 0.0 ? base_exp(-fmax(0.0, depth_m) / c->shell_depth_m) : 1.0;
    return inside ? profile_at(c, t) * shell : 0.0;
}
