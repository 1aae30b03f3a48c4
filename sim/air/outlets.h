/* sim/air/outlets.h - the fan air of all outlets of a pass: lines of their jets, laid into the pass's grid. */
#ifndef AIR_OUTLETS_H
#define AIR_OUTLETS_H

#include "air/excess.h"
#include "air/jet.h"

#define AIR_SHEET_AXIS_ENERGY 0.063      /* of a sheet's turbulence on its axis, over Ue^2; sources: sheet.c */
#define AIR_SHEET_AXIS_DISSIPATION 0.016 /* over Ue^3 / b */
#define AIR_LN_2 0.69314718056 /* of profiles that are told by their half-width */

/** How far a pass's grid goes from the sprayer's centre line across the rows, and from its outlets along them, m. */
typedef struct { double across_m, behind_m, ahead_m; } air_reach;

/** Does outlet o of the scenario blow on this pass? */
bool air_outlet_blows(const sprayer_work *work, const sprayer_pass *pass, const scenario_outlet *outlet, int o);
/** Start of a line of an outlet's air. @param outward 1 where it faces +x, else -1
 *  @param t 0 to 1: from the lower end of an arc or a slot to the upper one; a spout has one line only */
air_jet_start air_outlet_start(const scenario_outlet *outlet, double outward, double speed_m_s, double t);

/** Adds what the pass's outlets blow to the grid: momentum of the excess over the ambient (excess.h), and turbulence.
 *  @param look    what the jets meet, in the frame of this pass: x from its centre line */
drupelet_status air_outlets_add(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                                air_jet_look look, const void *where, const air_grid *grid, air_excess *excess);

/** Widens the reach to where the pass's jets are still strong, within bounds. */
void air_outlets_widen(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                       air_jet_look look, const void *where, double fade_m, air_reach *reach);

/** The same of the sheet between neighbouring lines.
 *  @param line    [n_lines][AIR_JET_POINTS]  @param n_points points of each line  @param slot_m width of the outlet */
drupelet_status air_sheet_add(const air_grid *grid, air_excess *excess, int n_lines,
                              const air_jet_point (*line)[AIR_JET_POINTS], const int *n_points, double slot_m);
/** The same of a round jet.
 *  @param point   [n_points]  @param diameter_m of the spout */
drupelet_status air_spout_add(const air_grid *grid, air_excess *excess, int n_points, const air_jet_point *point,
                              double diameter_m);

#endif
