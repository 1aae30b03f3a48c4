/* tests/air_case.h - the air of a shipped scenario with overrides, and the momentum that crosses upright planes. */
#ifndef TESTS_AIR_CASE_H
#define TESTS_AIR_CASE_H

#include "air/air.h"

typedef struct {
    drupelet_scenario *scenario;
    orchard_canopy *canopy;
    air_field *field;
    sprayer_work work;
} air_case;

/** Makes the air. Fails the test if it cannot.
 *  @param set     up to 16 overrides "key.path=value", NULL ends them */
void air_case_open(air_case *c, const char *file, const char *const *set);
void air_case_close(air_case *c);

/** Flux of momentum outward through the plane at a distance from the centre line, m4/s2: integral of u |u| over the
 * plane, on the side of +x (side 1) or -x (-1). Nodes with less air than still_m_s do not count (what is entrained). */
double air_case_flux(const air_grid *grid, const float *node, int side, double across_m, double still_m_s);
/** The same for the nodes of a pass. */
double air_case_pass_flux(const air_case *c, int i_pass, int side, double across_m, double still_m_s);

#endif
