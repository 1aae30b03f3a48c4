/* sim/air/outlets.h - the fan air of all outlets of a pass: lines of their jets, laid into the pass's grid. */
#ifndef AIR_OUTLETS_H
#define AIR_OUTLETS_H

#include "air/excess.h"
#include "air/jet.h"

/** How far a pass's grid goes from the sprayer's centre line across the rows, and from its outlets along them, m. */
typedef struct { double across_m, behind_m, ahead_m; } air_reach;

/** Adds the velocity that the pass's outlets blow to the grid (excess over the ambient, m/s) and its turbulence.
 *  @param look    what the jets meet, in the frame of this pass: x from its centre line */
drupelet_status air_outlets_add(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                                air_jet_look look, const void *where, const air_grid *grid, air_excess *excess);

/** Widens the reach to where the pass's jets are still strong, within bounds. */
void air_outlets_widen(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                       air_jet_look look, const void *where, double fade_m, air_reach *reach);

#endif
