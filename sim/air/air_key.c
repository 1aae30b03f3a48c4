/* sim/air/air_key.c - by which scenarios with the same air are known: the list of used values (drupelet_scenario's
 * resolved), less those of which the table of keys says that the air does not depend on them (scenario/keys.c). What
 * the table does not know counts. Numbers count to the last bit: cases that share an air must not depend on which of
 * them made it.
 * tests/test_sweep_air.c compares keys with airs.
 *
 * Two things that make the air are no single value: on which sides nozzles spray, for a pass on which nothing sprays is
 * none; and what the file of a measured canopy holds. */
#include "air/air_key.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "scenario/keys.h"

enum { MOST_LINE = 512 }; /* bytes of a line that is looked at; a longer one counts as a whole */

/* Does a path name a group of keys none of which touches the air, such as "tips.red cone.spectrum"? */
static bool group_without_air(const char *path)
{
    bool any = false;
    for (int i = 0; i < scenario_n_keys; i++)
        if (scenario_key_lies_in(&scenario_keys[i], path)) {
            if (!scenario_keys[i].not_of_air)
                return false;
            any = true;
        }
    return any;
}

/* The list that a path is an entry of, such as "canopy.profile.0", or NULL. */
static const scenario_key *list_of(const char *path)
{
    char list[MOST_LINE];
    const char *dot = strrchr(path, '.');
    if (!dot || dot[1] == '\0' || dot[1 + strspn(dot + 1, "0123456789")] != '\0')
        return NULL;
    snprintf(list, sizeof list, "%.*s", (int)(dot - path), path);
    const scenario_key *key = scenario_key_at(list);
    return key && key->holds == SCENARIO_IS_LIST ? key : NULL;
}

bool air_key_counts(const char *path)
{
    const scenario_key *key = scenario_key_at(path);
    if (!key)
        key = list_of(path);
    return key ? !key->not_of_air : !group_without_air(path);
}

static int sides_that_spray(const drupelet_scenario *s)
{
    int sides = 0;
    for (int i = 0; i < s->sprayer.n_nozzles; i++)
        if (!s->sprayer.nozzle[i].plugged)
            sides |= s->sprayer.nozzle[i].side == SCENARIO_LEFT ? 1 : 2;
    return sides;
}

/* Adds "path: value" of a line, without the mark "(default)": where a value comes from does not matter. */
static base_hash add_line(base_hash key, const char *line, size_t n)
{
    char text[MOST_LINE];
    if (n < sizeof text) {
        snprintf(text, sizeof text, "%.*s", (int)n, line);
        char *value = strstr(text, ": ");
        char *mark = value ? strstr(value, " (") : NULL;
        if (value) {
            *value = '\0';
            if (!air_key_counts(text))
                return key;
            *value = ':';
        }
        if (mark)
            n = (size_t)(mark - text);
    }
    return base_hash_on(key, line, n);
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

base_hash air_key(const drupelet_scenario *scenario)
{
    const int32_t sides = sides_that_spray(scenario);
    base_hash key = base_hash_on((base_hash){{0, 0}}, &sides, sizeof sides);
    for (const char *line = scenario->resolved; *line;) {
        const size_t n = strcspn(line, "\n");
        key = add_line(key, line, n);
        line += n + (line[n] == '\n');
    }
    key = base_hash_on(key, &scenario->exact_air, sizeof scenario->exact_air);
    return scenario->canopy.measured ? add_measured(key, scenario->canopy.measured) : key;
}
