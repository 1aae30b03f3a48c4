/* sim/air/jet.h - one line of a fan-air sheet, followed from the outlet outwards by its integral of momentum. */
#ifndef AIR_JET_H
#define AIR_JET_H

enum { AIR_JET_POINTS = 160 };
#define AIR_JET_STEP_M 0.06

/* Spreading rate of a sheet's half-width. With 0.110 a Gaussian profile that keeps its momentum decays with C = 2.457,
 * next to the recommended 2.47 (N. Rajaratnam, Turbulent Jets, 1976, chapter 1; memory). */
#define AIR_JET_SPREAD 0.110
/* Integrals of a Gaussian profile exp(-ln 2 (y / b)^2) over y, in half-widths: of U^2 and of U. */
#define AIR_JET_MOMENTUM 1.50538
#define AIR_JET_FLOW 2.12893

/** What the jet meets: horizontal ambient velocity in the sprayer's frame along x and the travel direction, and the
 * drag coefficient times leaf and wood area density, 1/m. */
typedef struct { double u_m_s, v_m_s, drag_1_m; } air_jet_surroundings;
typedef air_jet_surroundings (*air_jet_look)(const void *where, double x_m, double z_m);

/** Start of a line: place, direction of the outlet's air in the sprayer's frame (unit vector along x, travel, up),
 * speed, slot width, and the radius from which an arc's sheet diverges (0: straight slot). */
typedef struct {
    double x_m, y_m, z_m;
    double direction[3];
    double speed_m_s, slot_m, radius_m;
} air_jet_start;

/** A point of the centre line. The air moves at the ambient velocity plus excess[] times the profile, which is 1 within
 * core_m of the sheet's middle and falls to a half at core_m + half_width_m. */
typedef struct {
    double x_m, y_m, z_m;
    double tangent[3];
    double excess[3];       /* velocity over the ambient on the axis, m/s */
    double core_m, half_width_m;
    double width_ratio;     /* sector width over its width at the outlet */
} air_jet_point;

/** Follows a line. @return points filled */
int air_jet_follow(const air_jet_start *start, air_jet_look look, const void *where, double reach_m,
                   air_jet_point point[AIR_JET_POINTS]);

#endif
