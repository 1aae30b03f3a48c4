/* sim/orchard/texture.h - how the leaves of a crown differ from place to place: boughs with leaves, and gaps. */
#ifndef ORCHARD_TEXTURE_H
#define ORCHARD_TEXTURE_H

#include "orchard/orchard.h"

typedef struct orchard_texture orchard_texture;

/** Texture of all rows of a canopy whose grid is known. The same seed gives the same texture, whatever the voxels.
 *  @param texture out: the caller ends it with orchard_texture_free(); NULL where leaves are even, and on failure
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status orchard_texture_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                       orchard_texture **texture);
void orchard_texture_free(orchard_texture *texture); /* NULL is allowed */

/** Mean over a voxel of what multiplies its leaf area; 1 everywhere without a texture. Its mean over a crown is not 1:
 *  the caller scales. */
double orchard_texture_of(const orchard_texture *texture, int row, int iz, int iy, int ix);

#endif
