/* sim/scenario/read_collectors.c - virtual collectors: where they are, what they look like, and that each has the keys
 * of its kind only. Ranges and defaults stand in keys.c. */
#include "scenario/sections.h"

#include <math.h>
#include <string.h>

#include "base/elementary.h"

#define DISH_M 0.1            /* choice: about the width of dishes and filters laid out in trials */
#define DISH_OVER_DISTANCE 0.1 /* choice: over so much of the distance a drift curve is straight within 0.2 % */

/* x of the collector's middle, from one of three ways to say it. */
static double read_place(scenario_reader *r, const scenario_node *group, const drupelet_scenario *s)
{
    const double low_m = scenario_low_edge_x_m(&s->orchard), high_m = scenario_high_edge_x_m(&s->orchard);
    const bool by_distance = scenario_given(r, group, "distance"), by_row = scenario_given(r, group, "row");
    double x_m = 0.0;
    if (by_distance || by_row)
        scenario_forbid(r, group, "x", "one of distance, x and row");
    if (by_distance)
        scenario_forbid(r, group, "row", "one of distance, x and row");
    if (!by_row)
        scenario_forbid(r, group, "offset", "offset with row only");
    if (by_distance) {
        const double distance_m = scenario_take(r, group, "distance");
        /* downwind as the accounts of a run have it */
        x_m = base_cos(s->weather.wind_angle_rad) >= 0.0 ? high_m + distance_m : low_m - distance_m;
        scenario_take_or(r, group, "x", x_m, "from the distance");
    } else if (by_row) {
        const int row = (int)scenario_take_count_or(r, group, "row", 1);
        if (row > s->orchard.n_rows)
            scenario_refuse(r, group, "row", "at most orchard.rows, %d", s->orchard.n_rows);
        x_m = scenario_take(r, group, "offset") - (row - 1) * s->orchard.row_spacing_m;
        scenario_take_or(r, group, "x", x_m, "from the row");
    } else {
        if (!scenario_given(r, group, "x"))
            scenario_miss(r, group, "distance");
        x_m = scenario_take_or(r, group, "x", 0.0, "");
    }
    const double first_m = low_m - s->run.open_ground_m, last_m = high_m + s->run.open_ground_m;
    if (!(x_m >= first_m && x_m <= last_m))
        scenario_refuse(r, group, by_distance ? "distance" : by_row ? "offset" : "x",
                        "a place inside the simulated space, x from %.6g m to %.6g m", first_m, last_m);
    return x_m;
}

/* ---- the kinds ---- */

/* A dish's defaults depend on where it stands. */
static void dish_defaults(const drupelet_scenario *s, scenario_collector *c)
{
    const double outside_m =
        fmax(c->x_m - scenario_high_edge_x_m(&s->orchard), scenario_low_edge_x_m(&s->orchard) - c->x_m);
    c->height_m = s->orchard.grass_height_m;
    c->width_m = fmax(DISH_M, DISH_OVER_DISTANCE * outside_m);
}

/* Which keys a kind has: keys.c. What it catches: run/collector_kinds.c. */
static const struct {
    const char *name;  /* its word in scenarios, files and texts */
    double facing_rad; /* of its front, where no key says that; NAN: it has no front */
    /* Of height and width, by where it stands; NULL: keys.c has them */
    void (*defaults)(const drupelet_scenario *s, scenario_collector *c);
} KINDS[SCENARIO_COLLECTOR_KINDS] = {
    [SCENARIO_DISH] = {"dish", 0.5 * BASE_PI, dish_defaults},
    [SCENARIO_LINE] = {"line", NAN, NULL},
    [SCENARIO_CARD] = {"card", NAN, NULL},
};

const char *scenario_collector_kind_name(int kind)
{
    return kind < SCENARIO_COLLECTOR_KINDS ? KINDS[kind].name : NULL;
}

static bool has_key(scenario_collector_kind kind, const char *path)
{
    return scenario_key_of(path)->of >> kind & 1;
}

static double read_facing(scenario_reader *r, const scenario_node *group)
{
    if (!scenario_given(r, group, "angle"))
        return BASE_PI * (scenario_take_word(r, group, "facing") / 180.0);
    scenario_forbid(r, group, "facing", "either facing or angle, not both");
    return scenario_take(r, group, "angle");
}

static void read_collector(scenario_reader *r, scenario_node *node, drupelet_scenario *s)
{
    scenario_collector *c = &s->collector[s->n_collectors];
    const scenario_node *group = scenario_take_as_group(r, node);
    scenario_take_keys(r, group, NULL, "distance", c);
    if (scenario_good(r) && c->name[0] == '\0')
        scenario_refuse(r, group, "name", "a name");
    for (int i = 0; i < s->n_collectors; i++)
        if (strcmp(s->collector[i].name, c->name) == 0)
            scenario_refuse(r, group, "name", "a name that no other collector has");
    if (!scenario_given(r, group, "kind"))
        return; /* missing, or refused */
    c->x_m = read_place(r, group, s);
    const bool upright = has_key(c->kind, "collectors.*.to");
    if (KINDS[c->kind].defaults)
        KINDS[c->kind].defaults(s, c);
    else if (!upright && !scenario_given(r, group, "height"))
        scenario_miss(r, group, "height");
    scenario_take_keys(r, group, "height", "size", c);
    if (upright && c->top_m <= c->height_m)
        scenario_refuse(r, group, "to", "more than from, %.6g m", c->height_m);
    if (!upright)
        c->top_m = c->height_m;
    if (c->top_m > s->run.domain_top_m)
        scenario_refuse(r, group, upright ? "to" : "height", "at most run.domain_top, %.6g m", s->run.domain_top_m);
    c->facing_rad =
        has_key(c->kind, "collectors.*.facing") ? read_facing(r, group) : KINDS[c->kind].facing_rad;
    scenario_take_keys(r, group, "size", NULL, c);
    s->n_collectors++;
}

void scenario_read_collectors(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    if (!scenario_given(r, root, "collectors"))
        return;
    const scenario_node *list = scenario_take_list(r, root, "collectors");
    for (scenario_node *node = list ? list->first : NULL; node && scenario_reads(r); node = node->next)
        read_collector(r, node, s);
}
