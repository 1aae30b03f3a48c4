/* sim/air/jet.c - integral model of fan air, a plane or radial sheet or a round jet, in a moving ambient with foliage.
 *
 * Carried along the line: J, the flux of velocity excess over the ambient. Entrained air brings no excess with it, so
 * in open air J keeps both size and direction; in foliage dJ/ds = -Cd a J (a: one-sided leaf area density, of leaves
 * that give way what still stands: passing_jet.c; exact for a thin jet in still air). The middle of the jet moves with
 * the ambient plus the flux-weighted mean excess: that alone bends the jet with the wind and against the travel.
 * Half-width: db/ds = S Ue / (Ue + 2 Ua), Abramovich's law for a stream along the jet (G. N. Abramovich, Theory of
 * turbulent jets, 1963; memory), with Ua the ambient's component along the line. A core at outlet speed remains until
 * the edges meet; a radial sheet widens like r. Profile: Gaussian edges, whose integrals close J exactly.
 *
 * A round jet in a cross flow also entrains air as a line of turning air does: db/ds grows by beta Vn / U, Vn the
 * ambient across the line and U the jet's mean speed, beta = 0.4 on the radius of the top-hat jet of equal flow and
 * momentum, sqrt(2 / ln 2) = 1.70 half-widths (G. A. Briggs, Lectures on air pollution and environmental impact
 * analyses, Am. Meteorol. Soc. 1975: 1/3 + V/Uj; D. P. Hoult, J. A. Fay, L. J. Forney 1969: 0.6; memory).
 *
 * The ground removes the downward momentum of a jet that meets it. A round jet on the ground spreads as a
 * three-dimensional wall jet, 0.26 sideways and 0.048 upwards (B. E. Launder, W. Rodi, Annu. Rev. Fluid Mech. 15 (1983)
 * 429; memory): their geometric mean keeps the area of the section. Left out: pressure drag in a cross flow (no
 * measured constant), lateral spread of a sheet's ends, friction on the ground (some 2 to 4 % of the momentum a
 * metre). */
#include "air/jet.h"

#include <math.h>

#include "air/passing_jet.h"
#include "base/elementary.h"

#define CROSS_SPREAD (0.4 / 1.70)
#define WALL_SPREAD 0.112
#define TURNED_BACK 0.1 /* cosine between a line and what is left of its own motion; choice */

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* Integrals of the profile and of its square: a core, edges of half-width b. */
static double section(bool round, double core_m, double half_width_m, double edge, double round_edge)
{
    return round ? BASE_PI * core_m * core_m + BASE_PI * edge * core_m * half_width_m
                       + round_edge * half_width_m * half_width_m
                 : 2.0 * core_m + edge * half_width_m;
}

double air_jet_momentum_section(bool round, double core_m, double half_width_m)
{
    return section(round, core_m, half_width_m, AIR_JET_MOMENTUM, AIR_JET_ROUND_MOMENTUM);
}

static double flow_section(bool round, double core_m, double half_width_m)
{
    return section(round, core_m, half_width_m, AIR_JET_FLOW, AIR_JET_ROUND_FLOW);
}

/* Axis excess Ue without core: J = m Ue^2 g + q Ue Ua, m and q the integrals over the section, g: excess along the
 * line. */
static double axis_excess_m_s(bool round, double flux, double half_width_m, double ambient_along_m_s, double along)
{
    const double a = air_jet_momentum_section(round, 0.0, half_width_m) * along,
                 b = flow_section(round, 0.0, half_width_m) * ambient_along_m_s;
    const double root = sqrt(b * b + 4.0 * a * flux);
    return b > 0.0 ? 2.0 * flux / (b + root) : (root - b) / (2.0 * a);
}

/* The core that closes J at an axis excess; 0 where the edges hold it all. */
static double core_m_of(bool round, double flux, double half_width_m, double axis_m_s, double ambient_along_m_s,
                        double along)
{
    const double whole = axis_m_s * (ambient_along_m_s + axis_m_s * along);
    const double edges = axis_m_s
                         * (flow_section(round, 0.0, half_width_m) * ambient_along_m_s
                            + air_jet_momentum_section(round, 0.0, half_width_m) * axis_m_s * along);
    if (!round)
        return fmax(0.0, (flux - edges) / (2.0 * whole));
    const double a = BASE_PI * whole, c = edges - flux;
    const double b =
        BASE_PI * half_width_m * axis_m_s * (AIR_JET_FLOW * ambient_along_m_s + AIR_JET_MOMENTUM * axis_m_s * along);
    return c < 0.0 && a > 0.0 ? (-b + sqrt(b * b - 4.0 * a * c)) / (2.0 * a) : 0.0;
}

/* Drag coefficient times area density of what stands in the jet. */
static double foliage_1_m(const air_jet_surroundings *around, const air_jet_point *p)
{
    if (around->leaf_drag_1_m <= 0.0) return around->drag_1_m;
    const air_passage passage = {.wind_u_m_s = around->u_m_s,
                                 .wind_v_m_s = around->v_m_s + around->passing_m_s,
                                 .excess = {p->excess[0], p->excess[1], p->excess[2]},
                                 .core_m = p->core_m,
                                 .half_width_m = p->half_width_m,
                                 .passing_m_s = around->passing_m_s};
    return around->drag_1_m + around->leaf_drag_1_m * air_standing_in_passage(around->yielding, &passage);
}

int air_jet_follow(const air_jet_start *start, air_jet_look look, const void *where, double reach_m,
                   double weakest_m_s, air_jet_point point[AIR_JET_POINTS])
{
    const bool round = start->round;
    air_jet_surroundings around = look(where, start->x_m, start->z_m);
    const double ambient_start[3] = {around.u_m_s, around.v_m_s, 0.0};
    double excess[3], direction[3];
    for (int i = 0; i < 3; i++)
        excess[i] = start->speed_m_s * start->direction[i] - ambient_start[i];
    const double excess_start_m_s = sqrt(dot(excess, excess));
    for (int i = 0; i < 3; i++)
        direction[i] = excess[i] / excess_start_m_s;

    /* of a sheet: per unit of outlet length */
    const double outlet = round ? 0.25 * BASE_PI * start->slot_m * start->slot_m : start->slot_m;
    const double flux_start = start->speed_m_s * outlet * excess_start_m_s;
    double flux = flux_start, path_m = 0.0, half_width_m = 0.0;
    bool landed = false;
    air_jet_point p = {.x_m = start->x_m, .y_m = start->y_m, .z_m = start->z_m};
    for (int i = 0; i < 3; i++)
        p.tangent[i] = start->direction[i];
    int n = 0;
    while (n < AIR_JET_POINTS && path_m <= reach_m) {
        around = look(where, p.x_m, p.z_m);
        const double ambient[3] = {around.u_m_s, around.v_m_s, 0.0};
        p.width_ratio = start->radius_m > 0.0 ? (start->radius_m + path_m) / start->radius_m : 1.0;
        const double ambient_along = dot(ambient, p.tangent);
        const double along = fmax(round ? 0.02 : 0.2, dot(direction, p.tangent));
        const double per_width = flux / p.width_ratio;
        const double most_m_s = excess_start_m_s * sqrt(flux / flux_start); /* no faster than the core, worn by drag */
        double axis_m_s =
            half_width_m > 0.0 ? axis_excess_m_s(round, per_width, half_width_m, ambient_along, along) : most_m_s;
        p.core_m = 0.0;
        if (axis_m_s >= most_m_s) {
            axis_m_s = most_m_s;
            p.core_m = core_m_of(round, per_width, half_width_m, axis_m_s, ambient_along, along);
        }
        p.half_width_m = half_width_m;
        for (int i = 0; i < 3; i++)
            p.excess[i] = axis_m_s * direction[i];
        point[n++] = p;

        /* one step on: the middle moves with the ambient and the mean excess over the section */
        const double mean = air_jet_momentum_section(round, p.core_m, half_width_m)
                            / (flow_section(round, p.core_m, half_width_m) + 1e-12) * axis_m_s;
        double motion[3];
        for (int i = 0; i < 3; i++)
            motion[i] = ambient[i] + mean * direction[i];
        const double speed_m_s = sqrt(dot(motion, motion));
        if (speed_m_s < 0.3 || axis_m_s < weakest_m_s)
            break;
        for (int i = 0; i < 3; i++)
            p.tangent[i] = motion[i] / speed_m_s;
        if (!round && dot(direction, p.tangent) < TURNED_BACK)
            break; /* blown back over itself: a sheet has one layer, and the ambient has the better of it */
        const double ahead = dot(ambient, p.tangent), coflow = fmax(0.0, ahead);
        const double spread = round ? landed ? WALL_SPREAD : AIR_JET_ROUND_SPREAD : AIR_JET_SPREAD;
        double growth = spread * axis_m_s / (axis_m_s + 2.0 * coflow);
        if (round)
            growth += CROSS_SPREAD * sqrt(fmax(0.0, dot(ambient, ambient) - ahead * ahead)) / speed_m_s;
        half_width_m += AIR_JET_STEP_M * growth;
        const double drag_1_m = foliage_1_m(&around, &p);
        if (drag_1_m > 0.0)
            flux *= base_exp(-drag_1_m * AIR_JET_STEP_M);
        path_m += AIR_JET_STEP_M;
        p.x_m += AIR_JET_STEP_M * p.tangent[0];
        p.y_m += AIR_JET_STEP_M * p.tangent[1];
        p.z_m += AIR_JET_STEP_M * p.tangent[2];
        if (p.z_m < AIR_JET_GROUND_M) {
            p.z_m = AIR_JET_GROUND_M;
            landed = true;
            direction[2] = fmax(direction[2], 0.0);
            const double size = sqrt(dot(direction, direction));
            flux *= size; /* the ground takes the momentum that points into it */
            for (int i = 0; i < 3; i++)
                direction[i] = size > 0.0 ? direction[i] / size : 0.0;
        }
    }
    return n;
}
