/* sim/air/ambient.h - the wind at a place: by the assumed profiles of wind.h, or by the section of wind that was solved
 * for (flow.h). All that needs the wind around the block reads it here. */
#ifndef AIR_AMBIENT_H
#define AIR_AMBIENT_H

#include "air/flow_keep.h"
#include "air/wind.h"
#include "orchard/orchard.h"

typedef struct air_ambient air_ambient;

/** Solves for the wind where the scenario asks for that and there is any. The caller ends it with air_ambient_free().
 *  @param store where computed winds are kept; NULL: they are not
 *  @param watch asked while the wind is solved for
 *  @return DRUPELET_OK, DRUPELET_MEMORY, DRUPELET_STOPPED, or why there is no solution */
drupelet_status air_ambient_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                   const air_flow_store *store, air_watch watch, air_ambient **ambient);
void air_ambient_free(air_ambient *ambient); /* NULL is allowed */

/** The profiles: what is assumed, or what scales the wind that was solved for. */
const air_wind *air_ambient_profiles(const air_ambient *ambient);

/** Mean wind across the rows (towards +x) and along them (towards +y). */
void air_ambient_level_wind(const air_ambient *ambient, double x_m, double z_m, double *u_m_s, double *v_m_s);

/** The wind at a node of a grid. @see air_wind_state */
typedef struct {
    double u_m_s, v_m_s, w_m_s, sigma_m_s, sigma_level_m_s, time_scale_s;
} air_ambient_state;

/** A place of a grid across the rows, and how far those beside it are. */
typedef struct {
    double x_m, before_m, after_m;
} air_ambient_place;

/** Fills a grid [nz][nx]; heights are k * dz_m. The vertical velocity makes the wind of these very nodes free of
 *  divergence: at each node the flows through the four middles between it and its neighbours add up to nothing.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_ambient_fill(const air_ambient *ambient, int nx, const air_ambient_place *place, int nz,
                                 double dz_m, air_ambient_state *state);

#endif
