/* sim/droplet/facing.c - kinds of leaves by the way that they face: three classes of slope, eight of the compass.
 *
 * Leaf area by slope after the ellipsoidal distribution (G. S. Campbell, Agric. For. Meteorol. 36 (1986) 317): the area
 * of a spheroid of unlike axes by the direction of its normals, any azimuth alike. */
#include <math.h>

#include "base/elementary.h"
#include "droplet/droplet.h"

enum { SLOPES = DROPLET_LEAF_KINDS / 8, STEPS = 90 };
static const double BELOW_DEG[SLOPES] = {30.0, 60.0, 90.0};

int droplet_leaf_kind(const double axis[3])
{
    const double up = fabs(axis[2]), sign = axis[2] < 0.0 ? -1.0 : 1.0, x = sign * axis[0], y = sign * axis[1];
    const int slope = up > 0.866025403784 ? 0 : up > 0.5 ? 1 : 2;
    return slope * 8 + (x > 0.0) * 4 + (y > 0.0) * 2 + (fabs(x) > fabs(y));
}

/* Leaf area of a slope, up to a factor. */
static double area_at(double ratio, double slope_rad)
{
    const double sine = base_sin(slope_rad), cosine = base_cos(slope_rad);
    const double axes = cosine * cosine + ratio * ratio * sine * sine;
    return sine / (axes * axes);
}

double droplet_leaf_kind_share(double ratio, int kind)
{
    double of[SLOPES] = {0.0}, all = 0.0;
    for (int s = 0; s < SLOPES; s++) {
        const double from_deg = s > 0 ? BELOW_DEG[s - 1] : 0.0, step_deg = (BELOW_DEG[s] - from_deg) / STEPS;
        for (int i = 0; i < STEPS; i++)
            of[s] += step_deg * area_at(ratio, (from_deg + (i + 0.5) * step_deg) * BASE_DEGREE);
        all += of[s];
    }
    return of[kind / 8] / (8.0 * all);
}
