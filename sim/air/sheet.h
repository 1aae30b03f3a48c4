/* sim/air/sheet.h - lays the jet lines of one outlet into a pass's grid. */
#ifndef AIR_SHEET_H
#define AIR_SHEET_H

#include "air/excess.h"
#include "air/jet.h"

/** Adds the sheet between neighbouring lines to the grid: momentum of its excess velocity (merge.h) and its
 * turbulence.
 *  @param line    [n_lines][AIR_JET_POINTS]  @param n_points points of each line  @param slot_m width of the outlet */
drupelet_status air_sheet_add(const air_grid *grid, air_excess *excess, int n_lines,
                              const air_jet_point (*line)[AIR_JET_POINTS], const int *n_points, double slot_m);

#endif
