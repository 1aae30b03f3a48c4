/* sim/run/runoff.h - the leaves of a run: their accounts, what an impact adds to them, and what drips at the end. */
#ifndef RUN_RUNOFF_H
#define RUN_RUNOFF_H

#include "orchard/orchard.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"
#include "tally/leaves.h"
#include "tally/tally.h"

/** Gives the accounts empty leaves, with the leaf area of every cell. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_leaves_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                  const sprayer_work *work, tally *accounts);

/** Lets the leaves of each cell drip what they cannot hold. Its active ingredient and water move from all accounts of
 *  the leaves to the ground under the row, whole parts, batch by batch; the share that drips is the cell's own, for the
 *  whole run. Stains and numbers of droplets stay: they tell what arrived. After all droplets have met their fate.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_off(const drupelet_scenario *scenario, const orchard_canopy *canopy, tally *accounts);

#endif
