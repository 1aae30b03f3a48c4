/* sim/verify/flight_box.h - a piece of air without trees or sprayer, in which the kernel can be tried. */
#ifndef VERIFY_FLIGHT_BOX_H
#define VERIFY_FLIGHT_BOX_H

#include "droplet/kernel.h"

/** Mean wind along x, sigma and Lagrangian time scale of the vertical velocity at a height, and sigma of each level
 * component (0: the vertical's). */
typedef struct { double u_m_s, sigma_m_s, time_scale_s, sigma_level_m_s; } box_air;
typedef box_air (*box_profile)(double z_m);

typedef struct {
    droplet_setting setting;
    float *node;          /* owned */
    float no_leaf[1];
} flight_box;

#define FLIGHT_BOX_DENSITY_KG_M3 998.2 /* of the droplets: water at 20 degC */

/** Air at 20 degC, 1013.25 hPa and the given relative humidity (1: nothing evaporates), the same everywhere along x and
 * y.
 *  @return DRUPELET_OK or DRUPELET_MEMORY; close the box in either case */
drupelet_status flight_box_open(flight_box *box, box_profile profile, double top_m, double dz_m, double floor_m,
                                double humidity);
void flight_box_close(flight_box *box);

/** Empties a batch and gives its lanes ids from first_id on. */
void flight_box_park(droplet_batch *batch, uint32_t first_id);
/** Puts a water droplet into lane i at a place, at rest with the mean air, with a fresh eddy. */
void flight_box_place(const flight_box *box, droplet_batch *batch, int i, double x_m, double z_m, double diameter_m);

#endif
