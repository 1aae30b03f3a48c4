/* sim/droplet/carry.c - a droplet falls in the wind over open ground, shrinks as it falls, and what is left flies on.
 *
 * dz/dt = -v(d), dx/dt = U(z), d(d^2)/dt = -K(d): at any moment it falls at the settling speed of its size, goes with
 * the mean wind of its height, and dries as one that falls freely (evaporation.c), until the residue is left; that
 * falls on at its own speed. Over a step of d^2, v is that of its middle, so that the way is the integral of U over the
 * height passed, over v; a step that would pass the ground is cut there. So all that comes out is a continuous function
 * of size, height and wind.
 *
 * Left out: the fan's air and the speed at which it leaves the nozzle, the shelter of the block, turbulence (which
 * brings some to the ground sooner and others later), leaves, grass, the spray's own vapour, and a temperature other
 * than the steady one. */
#include "droplet/carry.h"

#include <math.h>

#include "droplet/droplet.h"

static droplet_falling falling(const droplet_let_go *droplet, double d2, const base_air *air)
{
    return droplet_falling_at(droplet->ventilation, sqrt(d2), droplet->density_kg_m3, droplet->surface_tension_N_m,
                              air);
}

droplet_carry droplet_carried(const droplet_let_go *droplet, double height_m, const base_air *air, const air_wind *wind)
{
    const double last_m = droplet_dry_diameter_m(droplet->diameter_m, droplet->nonvolatile), last2 = last_m * last_m;
    const double step2 = (droplet->diameter_m * droplet->diameter_m - last2) / DROPLET_SHRINKING_STEPS;
    droplet_carry way = {.dry_distance_m = NAN, .dry_time_s = NAN, .dry_height_m = NAN};
    double z_m = height_m;
    double d2 = droplet->diameter_m * droplet->diameter_m;
    droplet_falling fall = falling(droplet, d2, air);
    way.dries = fall.area_rate_m2_s > 0.0 || step2 <= 0.0;
    for (int i = 0; i < DROPLET_SHRINKING_STEPS && step2 > 0.0 && way.dries; i++) {
        double fraction = 1.0; /* of the step, until it is on the ground */
        for (int k = 0; k < 2; k++) { /* the second time at the middle of that fraction */
            fall = falling(droplet, d2 - 0.5 * fraction * step2, air);
            fraction = fmin(1.0, z_m * fall.area_rate_m2_s / (fall.speed_m_s * step2));
            if (fraction == 1.0)
                break;
        }
        const double dt_s = fraction * step2 / fall.area_rate_m2_s;
        const double below_m = fraction < 1.0 ? 0.0 : fmax(0.0, z_m - fall.speed_m_s * dt_s);
        way.distance_m += air_wind_open_run_m2_s(wind, below_m, z_m) / fall.speed_m_s;
        way.time_s += dt_s;
        way.dries = fraction == 1.0;
        z_m = below_m;
        d2 -= step2;
    }
    if (way.dries) {
        way.dry_distance_m = way.distance_m;
        way.dry_time_s = way.time_s;
        way.dry_height_m = z_m;
        fall = falling(droplet, last2, air);
    }
    if (z_m > 0.0) { /* the residue, or a droplet that does not dry */
        way.distance_m += air_wind_open_run_m2_s(wind, 0.0, z_m) / fall.speed_m_s;
        way.time_s += z_m / fall.speed_m_s;
    }
    return way;
}
