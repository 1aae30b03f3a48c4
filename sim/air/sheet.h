/* sim/air/sheet.h - lays the jet lines of one outlet into a pass's grid. */
#ifndef AIR_SHEET_H
#define AIR_SHEET_H

#include "air/air.h"
#include "air/jet.h"

/* Spare numbers of a node while the field is made: variance of the jets' velocity (m2/s2) and their dissipation
 * (m2/s3). */
enum { AIR_JET_VARIANCE = 6, AIR_JET_DISSIPATION = 7 };

/** Adds the sheet between neighbouring lines to the grid: excess velocity to AIR_U, AIR_V, AIR_W, turbulence to the
 * spare numbers.
 *  @param line    [n_lines][AIR_JET_POINTS]  @param n_points points of each line  @param slot_m width of the outlet */
drupelet_status air_sheet_add(const air_grid *grid, float *node, int n_lines,
                              const air_jet_point (*line)[AIR_JET_POINTS], const int *n_points, double slot_m);

#endif
