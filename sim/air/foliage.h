/* sim/air/foliage.h - what leaves and wood of the rows do to the air at a place, as all fan air meets them: the mean
 * along the row and over all rows, each row standing where it stands. */
#ifndef AIR_FOLIAGE_H
#define AIR_FOLIAGE_H

#include <stdbool.h>

#include "orchard/orchard.h"

/** Drag coefficient times area density, 1/m: what gives way, and what does not. */
typedef struct {
    double leaf_1_m, stiff_1_m;
} air_foliage;

/** @param yields leaves give way to the air; otherwise all counts as stiff */
air_foliage air_foliage_at(const orchard_canopy *canopy, bool yields, double x_m, double z_m);
/** Its mean over a box across the rows. */
air_foliage air_foliage_mean(const orchard_canopy *canopy, bool yields, const double x_m[2], const double z_m[2]);

#endif
