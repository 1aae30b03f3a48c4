/* sim/air/jet.c - integral model of a plane or radial sheet of fan air in a moving ambient with foliage.
 *
 * Carried along the line: J, the flux of velocity excess over the ambient. Entrained air brings no excess with it, so
 * in open air J keeps both size and direction; in foliage dJ/ds = -Cd a J (a: one-sided leaf area density; exact for a
 * thin jet in still air). The middle of the sheet moves with the ambient plus the flux-weighted mean excess: that alone
 * bends the jet with the wind and against the travel. Half-width: db/ds = S Ue / (Ue + 2 Ua), Abramovich's law for a
 * stream along the jet (G. N. Abramovich, Theory of turbulent jets, 1963; memory), with Ua the ambient's component
 * along the line. A core at outlet speed remains until the edges meet; a radial sheet widens like r. Profile: Gaussian
 * edges, whose integrals close J exactly. Left out: pressure drag of the sheet in a cross flow (no measured constant),
 * lateral spread of the sheet's ends. */
#include "air/jet.h"

#include <math.h>

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* Axis excess Ue of a sheet of half-width b without core: J/w = b (1.505 Ue^2 g + 2.129 Ue Ua), g: excess along the
 * line. */
static double axis_excess_m_s(double flux_m3_s2, double half_width_m, double ambient_along_m_s, double along)
{
    const double a = AIR_JET_MOMENTUM * along, b = AIR_JET_FLOW * ambient_along_m_s, c = -flux_m3_s2 / half_width_m;
    return (-b + sqrt(b * b - 4.0 * a * c)) / (2.0 * a);
}

int air_jet_follow(const air_jet_start *start, air_jet_look look, const void *where, double reach_m,
                   air_jet_point point[AIR_JET_POINTS])
{
    const double ground_m = 0.15; /* a line that comes down turns along the ground here */
    air_jet_surroundings around = look(where, start->x_m, start->z_m);
    const double ambient_start[3] = {around.u_m_s, around.v_m_s, 0.0};
    double excess[3], direction[3];
    for (int i = 0; i < 3; i++)
        excess[i] = start->speed_m_s * start->direction[i] - ambient_start[i];
    const double excess_start_m_s = sqrt(dot(excess, excess));
    for (int i = 0; i < 3; i++)
        direction[i] = excess[i] / excess_start_m_s;

    const double flux_start = start->speed_m_s * start->slot_m * excess_start_m_s; /* per unit of outlet length */
    double flux = flux_start, path_m = 0.0, half_width_m = 0.0;
    air_jet_point p = {.x_m = start->x_m, .y_m = start->y_m, .z_m = start->z_m};
    for (int i = 0; i < 3; i++)
        p.tangent[i] = start->direction[i];
    int n = 0;
    while (n < AIR_JET_POINTS && path_m <= reach_m) {
        around = look(where, p.x_m, p.z_m);
        const double ambient[3] = {around.u_m_s, around.v_m_s, 0.0};
        p.width_ratio = start->radius_m > 0.0 ? (start->radius_m + path_m) / start->radius_m : 1.0;
        const double ambient_along = dot(ambient, p.tangent);
        const double along = fmax(0.2, dot(direction, p.tangent));
        const double per_width = flux / p.width_ratio;
        const double most_m_s = excess_start_m_s * sqrt(flux / flux_start); /* no faster than the core, worn by drag */
        double axis_m_s =
            half_width_m > 0.0 ? axis_excess_m_s(per_width, half_width_m, ambient_along, along) : most_m_s;
        p.core_m = 0.0;
        if (axis_m_s >= most_m_s) {
            axis_m_s = most_m_s;
            const double edges =
                half_width_m * axis_m_s * (AIR_JET_FLOW * ambient_along + AIR_JET_MOMENTUM * axis_m_s * along);
            p.core_m = fmax(0.0, (per_width - edges) / (2.0 * axis_m_s * (ambient_along + axis_m_s * along)));
        }
        p.half_width_m = half_width_m;
        for (int i = 0; i < 3; i++)
            p.excess[i] = axis_m_s * direction[i];
        point[n++] = p;

        /* one step on: the middle moves with the ambient and the mean excess over the section */
        const double mean = (2.0 * p.core_m + AIR_JET_MOMENTUM * half_width_m)
                            / (2.0 * p.core_m + AIR_JET_FLOW * half_width_m + 1e-12) * axis_m_s;
        double motion[3];
        for (int i = 0; i < 3; i++)
            motion[i] = ambient[i] + mean * direction[i];
        const double speed_m_s = sqrt(dot(motion, motion));
        if (speed_m_s < 0.3 || axis_m_s < 0.1)
            break;
        for (int i = 0; i < 3; i++)
            p.tangent[i] = motion[i] / speed_m_s;
        const double coflow = fmax(0.0, dot(ambient, p.tangent));
        half_width_m += AIR_JET_STEP_M * AIR_JET_SPREAD * axis_m_s / (axis_m_s + 2.0 * coflow);
        flux *= exp(-around.drag_1_m * AIR_JET_STEP_M);
        path_m += AIR_JET_STEP_M;
        p.x_m += AIR_JET_STEP_M * p.tangent[0];
        p.y_m += AIR_JET_STEP_M * p.tangent[1];
        p.z_m += AIR_JET_STEP_M * p.tangent[2];
        if (p.z_m < ground_m) {
            p.z_m = ground_m;
            direction[2] = fmax(direction[2], 0.0);
            const double size = sqrt(dot(direction, direction));
            flux *= size; /* the ground takes the momentum that points into it */
            for (int i = 0; i < 3; i++)
                direction[i] /= size;
        }
    }
    return n;
}
