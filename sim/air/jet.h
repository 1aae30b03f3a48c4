/* sim/air/jet.h - one line of fan air, followed from the outlet outwards by its integral of momentum: a strip of a
 * sheet, or a whole round jet. */
#ifndef AIR_JET_H
#define AIR_JET_H

#include <stdbool.h>

#include "air/yielding.h"

enum { AIR_JET_POINTS = 320 };
#define AIR_JET_STEP_M 0.06
#define AIR_JET_WEAKEST_M_S 0.1 /* over the ambient; what is left then counts as none; choice */
#define AIR_JET_GROUND_M 0.15 /* a line that comes down turns along the ground at this height; choice */

/* Spreading rate of a sheet's half-width. With 0.110 a Gaussian profile that keeps its momentum decays with C = 2.457,
 * next to the recommended 2.47 (N. Rajaratnam, Turbulent Jets, 1976, chapter 1; memory). */
#define AIR_JET_SPREAD 0.110
/* Integrals of a Gaussian profile exp(-ln 2 (y / b)^2) over y, in half-widths: of U^2 and of U. */
#define AIR_JET_MOMENTUM 1.50538
#define AIR_JET_FLOW 2.12893
/* Spreading rate of a round jet's half-width. With 0.098 a Gaussian profile that keeps its momentum decays with B =
 * 6.01: published S 0.094 to 0.102, B 5.8 to 6.1 (H. J. Hussein, S. P. Capp, W. K. George, J. Fluid Mech. 258 (1994)
 * 31; N. R. Panchapakesan, J. L. Lumley, J. Fluid Mech. 246 (1993) 197; memory). */
#define AIR_JET_ROUND_SPREAD 0.098
/* Integrals of the round profile over the section, in half-widths squared: pi / (2 ln 2) and pi / ln 2. */
#define AIR_JET_ROUND_MOMENTUM 2.26618
#define AIR_JET_ROUND_FLOW 4.53236

/** What the jet meets: horizontal ambient velocity in the sprayer's frame along x and the travel direction; the drag
 * coefficient times area density of what does not give way, 1/m; that of leaves that do, how they do, and how fast the
 * jet passes them. */
typedef struct {
    double u_m_s, v_m_s, drag_1_m, leaf_drag_1_m;
    const air_yielding *yielding; /* NULL where leaf_drag_1_m is 0 */
    double passing_m_s;
} air_jet_surroundings;
typedef air_jet_surroundings (*air_jet_look)(const void *where, double x_m, double z_m);

/** Start of a line: place, direction of the outlet's air in the sprayer's frame (unit vector along x, travel, up),
 * speed. Sheet: slot width, and the radius from which an arc's sheet diverges (0: straight slot). Round jet: slot_m is
 * the diameter. */
typedef struct {
    double x_m, y_m, z_m;
    double direction[3];
    double speed_m_s, slot_m, radius_m;
    bool round;
} air_jet_start;

/** A point of the centre line. The air moves at the ambient velocity plus excess[] times the profile, which is 1 within
 * core_m of the sheet's middle (the round jet's axis) and falls to a half at core_m + half_width_m. */
typedef struct {
    double x_m, y_m, z_m;
    double tangent[3];
    double excess[3];       /* velocity over the ambient on the axis, m/s */
    double core_m, half_width_m;
    double width_ratio;     /* sector width over its width at the outlet */
} air_jet_point;

/** Follows a line until it is reach_m long or, on its axis, slower than weakest_m_s over the ambient.
 * @return points filled */
int air_jet_follow(const air_jet_start *start, air_jet_look look, const void *where, double reach_m,
                   double weakest_m_s, air_jet_point point[AIR_JET_POINTS]);

/** Integral of the profile squared across a line: over the thickness of a sheet (m), over the section of a round jet
 * (m2). Times the axis speed squared it is the momentum flux in still air, per unit width of a sheet. */
double air_jet_momentum_section(bool round, double core_m, double half_width_m);

#endif
