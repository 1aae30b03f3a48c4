/* sim/air/air_key.c - by which scenarios with the same air are known: all values of which the table of keys does not
 * say that the air does not depend on them (scenario/keys.c), to the last bit, as the reader of the scenario has hashed
 * them (drupelet_scenario's of_air). Cases that share an air must not depend on which of them made it.
 * tests/test_sweep_air.c compares keys with airs.
 *
 * Three things that make the air are no single value: on which sides nozzles spray, for a pass on which nothing sprays
 * is none; what the file of a measured canopy holds; and, where run.spray_air is yes, the sprays of the nozzles, by
 * what of them moves the air and not by all that they follow from. */
#include "air/air.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "air/spray_air.h"

static int sides_that_spray(const drupelet_scenario *s)
{
    int sides = 0;
    for (int i = 0; i < s->sprayer.n_nozzles; i++)
        if (!s->sprayer.nozzle[i].plugged)
            sides |= s->sprayer.nozzle[i].side == SCENARIO_LEFT ? 1 : 2;
    return sides;
}

static base_hash add_measured(base_hash key, const scenario_measured_canopy *m)
{
    const size_t n = (size_t)scenario_measured_voxels(m) * sizeof(float);
    const int32_t shape[4] = {m->n_rows, m->nx, m->ny, m->nz};
    const double edges[2] = {m->edge_m, m->length_m};
    key = base_hash_on(key, shape, sizeof shape);
    key = base_hash_on(key, edges, sizeof edges);
    key = base_hash_on(key, m->leaf_area_density_1_m, n);
    return m->wood_area_density_1_m ? base_hash_on(key, m->wood_area_density_1_m, n) : key;
}

/* What the air that the spray moves follows from (spray_air.h). */
static base_hash add_sprays(base_hash key, const drupelet_scenario *scenario)
{
    sprayer_work *work = malloc(sizeof *work);
    air_spray spray;
    if (work && sprayer_work_out(scenario, work).code == DRUPELET_OK) {
        for (int i = 0; i < work->n_nozzles; i++)
            if (air_spray_of(scenario, work, i, &spray)) key = base_hash_on(key, &spray, sizeof spray);
    } else { /* where memory has run out, by all values: two airs that differ never have one key */
        key = base_hash_on(key, scenario->resolved, strlen(scenario->resolved));
    }
    free(work);
    return key;
}

base_hash air_key(const drupelet_scenario *scenario)
{
    const int32_t sides = sides_that_spray(scenario);
    base_hash key = base_hash_on(scenario->of_air, &sides, sizeof sides);
    if (scenario->run.spray_air) key = add_sprays(key, scenario);
    return scenario->canopy.measured ? add_measured(key, scenario->canopy.measured) : key;
}
