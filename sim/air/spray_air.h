/* sim/air/spray_air.h - the air that the droplets of a nozzle set moving near it. */
#ifndef AIR_SPRAY_AIR_H
#define AIR_SPRAY_AIR_H

#include "air/excess.h"
#include "air/jet.h"

enum { AIR_SPRAY_RAYS = 12, AIR_SPRAY_SIZES = 5, AIR_SPRAY_POINTS = 160 }; /* rays and sizes: choices */

/** A nozzle that sprays, in numbers alone, so that their bytes can stand for it in the air's key. */
typedef struct {
    double side, offset_m, behind_m, height_m;    /* side as in the scenario */
    double direction[AIR_SPRAY_RAYS][3];          /* outward, along the travel, up */
    double is_fan, middle_rad, half_thickness_rad; /* the sheet (sprayer_sheet_of) */
    double mass_flow_kg_s, exit_speed_m_s, droplet_density_kg_m3;
    double diameter_m[AIR_SPRAY_SIZES];           /* each stands for the same share of the volume */
    double air_density_kg_m3, air_viscosity_Pa_s;
} air_spray;

/** @return false where nozzle i gives nothing */
bool air_spray_of(const drupelet_scenario *scenario, const sprayer_work *work, int i, air_spray *spray);

/** Air before the spray moves it, in the sprayer's frame, and the drag coefficient times leaf and wood area. */
typedef struct { double velocity_m_s[3], drag_1_m; } air_spray_surroundings;
typedef air_spray_surroundings (*air_spray_look)(const void *where, const double place_m[3]);

/** A place on a ray: what the spray has made of the air there. */
typedef struct {
    double place_m[3], path_m; /* path_m: from the orifice */
    double step_m;             /* length of the ray for which it stands */
    double flux_m4_s2[3];      /* of the excess momentum, over the density of air; of this ray */
    double axis_m_s;           /* excess speed in the middle of the sheet */
    double half_width_m;       /* of the sheet: at that distance from its middle the excess is a half or less */
    double flow_m3_s;          /* of air that moves with the excess; of this ray */
} air_spray_point;

/** Follows ray i_ray of a nozzle that points towards +x (outward 1) or -x (-1).
 *  @return points filled */
int air_spray_follow(const air_spray *spray, int i_ray, int outward, air_spray_look look, const void *where,
                     air_spray_point point[AIR_SPRAY_POINTS]);

/** Adds the air that the open nozzles of a pass set moving to what the jets have put there.
 *  @param excess  velocities over the ambient (merged, not yet faded)
 *  @param look    the ambient and leaves, in the frame of this pass
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_spray_add(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                              air_jet_look look, const void *where, const air_grid *grid, air_excess *excess);

#endif
