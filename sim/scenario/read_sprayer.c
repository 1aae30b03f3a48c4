/* sim/scenario/read_sprayer.c - alleys, fan, air outlets and nozzles: that they fit inside the alley, that the air is
 * slow enough to be incompressible, that shares add up, that an outlet has the keys of its kind. */
#include "scenario/sections.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "base/spelling.h"

#define OUTLET_MOST_M_S 100.0 /* below Mach 0.3 air may be taken as incompressible (common practice) */
#define SLOWEST_M_S (0.5 / 3.6) /* slower is a slip of the pen (choice), or standing still */
#define SHARES_SLACK 0.01     /* 33.3 % three times is meant to be all */

static void read_alleys(scenario_reader *r, const scenario_node *group, int n_rows, scenario_sprayer *s)
{
    if (!scenario_good(r)) /* which alleys there are may not be known */
        return;
    const scenario_node *node = scenario_node_find(group, "alleys");
    const bool given = scenario_given(r, group, "alleys");
    if (!given || (node->kind == SCENARIO_VALUE && strcmp(node->text, "all") == 0)) {
        for (int i = 0; i <= n_rows; i++)
            s->alley_driven[i] = true;
        scenario_note(r, group, "alleys", given ? "" : "default", "all");
        return;
    }
    if (node->kind != SCENARIO_LIST)
        scenario_refuse_node(r, node, NULL, "all, or a list of numbers from 0 to %d, such as [0, 2]", n_rows);
    const scenario_node *list = scenario_take_list(r, group, "alleys");
    for (node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        const int i = (int)scenario_take_count_at(r, node, 0, n_rows);
        if (s->alley_driven[i])
            scenario_refuse_node(r, node, NULL, "each alley once");
        s->alley_driven[i] = true;
        scenario_note(r, node, NULL, "", "%d", i);
    }
}

/* Sides of alleys that are shut, each named by the row that it faces. */
static void read_shut(scenario_reader *r, const scenario_node *sprayer, int n_rows, scenario_sprayer *s)
{
    const scenario_node *list = scenario_take_list(r, sprayer, "shut");
    for (scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        const scenario_node *group = scenario_take_as_group(r, node);
        scenario_shut_side side = {0};
        scenario_take_keys(r, group, NULL, NULL, &side);
        const int alley = side.alley, row = side.row;
        if (!scenario_good(r))
            return;
        if (alley > n_rows) {
            scenario_refuse(r, group, "alley", "a number from 0 to %d", n_rows);
        } else if (!s->alley_driven[alley]) {
            scenario_refuse(r, group, "alley", "an alley that is driven");
        } else if (row != alley && row != alley + 1) {
            scenario_refuse(r, group, "row", "%d or %d, the two beside alley %d (0 and %d: the open ground)", alley,
                            alley + 1, alley, n_rows + 1);
        } else {
            scenario_shut *shut = &s->shut[alley][row == alley];
            if (shut->nozzles)
                scenario_refuse(r, group, "row", "each row of an alley once");
            *shut = (scenario_shut){.nozzles = true, .air = side.air};
        }
    }
}

static void read_fan(scenario_reader *r, scenario_node *sprayer, drupelet_scenario *s)
{
    const scenario_node *group = scenario_take_group(r, sprayer, "fan");
    scenario_take_keys(r, group, NULL, "speed", s);
    s->sprayer.fan_rpm = s->sprayer.fan_reference_rpm;
    scenario_take_keys(r, group, "speed", NULL, s);
}

static double outlet_area_m2(const scenario_outlet *o)
{
    if (o->kind == SCENARIO_SPOUT)
        return 0.25 * BASE_PI * o->diameter_m * o->diameter_m;
    return o->slot_m * (o->kind == SCENARIO_ARC ? o->radius_m * (o->to_rad - o->from_rad) : o->top_m - o->bottom_m);
}

/* Room from the centre line to the row. */
static void check_inside_alley(scenario_reader *r, const scenario_node *group, const char *name, double reach_m,
                               double spacing_m)
{
    if (reach_m >= 0.5 * spacing_m)
        scenario_refuse(r, group, name, "less than half of orchard.row_spacing, %.6g m", 0.5 * spacing_m);
}

static scenario_outlet read_outlet(scenario_reader *r, scenario_node *node, double row_spacing_m)
{
    scenario_outlet o = {0};
    const scenario_node *group = scenario_take_as_group(r, node);
    scenario_take_keys(r, group, NULL, "share", &o); /* shares follow when all outlets are known */
    if (o.kind == SCENARIO_ARC) {
        check_inside_alley(r, group, "radius", o.radius_m, row_spacing_m);
        if (o.to_rad - o.from_rad < BASE_DEGREE)
            scenario_refuse(r, group, "to", "at least 1 deg more than from, %.6g deg",
                            BASE_DEGREES_A_RADIAN * o.from_rad);
        if (o.centre_height_m + o.radius_m * base_sin(o.from_rad) <= 0.0)
            scenario_refuse(r, group, "from", "an arc that ends above the ground");
    } else {
        check_inside_alley(r, group, "offset", o.offset_m, row_spacing_m);
    }
    if (o.kind == SCENARIO_SLOT && o.top_m <= o.bottom_m)
        scenario_refuse(r, group, "top", "more than bottom, %.6g m", o.bottom_m);
    return o;
}

/* Sides that a word stands for, left first. */
static int sides_of(int word, scenario_side side[2])
{
    side[0] = word == SCENARIO_RIGHT ? SCENARIO_RIGHT : SCENARIO_LEFT;
    side[1] = SCENARIO_RIGHT;
    return word == SCENARIO_BOTH_SIDES ? 2 : 1;
}

/* Shares of the air: as given, by area, or an error where only some are given. */
static void read_shares(scenario_reader *r, const scenario_node *list, const int n_sides[SCENARIO_OUTLETS],
                        scenario_sprayer *s)
{
    double area_m2 = 0.0, sum = 0.0;
    int n_given = 0, i = 0;
    for (int o = 0; o < s->n_outlets; o++)
        area_m2 += outlet_area_m2(&s->outlet[o]);
    for (const scenario_node *node = list->first; node; node = node->next)
        n_given += scenario_given(r, node, "share");
    for (const scenario_node *node = list->first; node && scenario_good(r); node = node->next, i++) {
        scenario_outlet *first = &s->outlet[0];
        for (int k = 0; k < i; k++)
            first += n_sides[k];
        if (n_given > 0 && !scenario_given(r, node, "share"))
            scenario_miss(r, node, "share"); /* all or none */
        const double by_area = n_sides[i] * outlet_area_m2(first) / area_m2;
        const double share = scenario_take_or(r, node, "share", by_area, "default"); /* of both sides together */
        for (int k = 0; k < n_sides[i]; k++)
            first[k].share = share / n_sides[i];
        sum += share;
    }
    if (!scenario_good(r))
        return;
    char found[64];
    snprintf(found, sizeof found, "shares that add up to %.6g %%", 100.0 * sum);
    if (fabs(sum - 1.0) > SHARES_SLACK)
        scenario_refuse_node(r, list, found, "100 %%");
    for (int o = 0; o < s->n_outlets; o++)
        s->outlet[o].share /= sum;
}

static void read_outlets(scenario_reader *r, const scenario_node *group, double row_spacing_m, scenario_sprayer *s)
{
    const scenario_node *list = scenario_take_list(r, group, "outlets");
    int n_sides[SCENARIO_OUTLETS], n = 0;
    for (scenario_node *node = list ? list->first : NULL; node && scenario_reads(r); node = node->next) {
        scenario_side side[2];
        const scenario_outlet outlet = read_outlet(r, node, row_spacing_m);
        n_sides[n] = sides_of(outlet.side, side);
        if (s->n_outlets + n_sides[n] > SCENARIO_OUTLETS) {
            scenario_refuse_node(r, list, "too many air outlets", "at most %d, both sides together", SCENARIO_OUTLETS);
            return;
        }
        for (int k = 0; k < n_sides[n]; k++) {
            s->outlet[s->n_outlets] = outlet;
            s->outlet[s->n_outlets++].side = side[k];
        }
        n++;
    }
    if (!scenario_good(r))
        return;
    read_shares(r, list, n_sides, s);
    const double flow_m3_s = s->fan_reference_flow_m3_s * s->fan_rpm / s->fan_reference_rpm; /* fan law */
    for (int o = 0; o < s->n_outlets && scenario_good(r); o++) {
        const double speed_m_s = s->outlet[o].share * flow_m3_s / outlet_area_m2(&s->outlet[o]);
        char found[64];
        snprintf(found, sizeof found, "air that leaves at %.0f m/s", speed_m_s);
        if (speed_m_s > OUTLET_MOST_M_S)
            scenario_refuse_node(r, list, found, "at most %g m/s: more slot or less air", OUTLET_MOST_M_S);
    }
}

static const char *name_of_tip(const void *scenario, int i, int *n)
{
    const drupelet_scenario *s = scenario;
    if (i >= s->n_tips)
        return NULL;
    *n = (int)strlen(s->tip[i].name);
    return s->tip[i].name;
}

static int read_tip_name(scenario_reader *r, const scenario_node *group, const drupelet_scenario *s)
{
    char name[SCENARIO_TEXT] = "";
    scenario_take_text(r, group, "tip", name, sizeof name);
    for (int i = 0; i < s->n_tips; i++)
        if (strcmp(s->tip[i].name, name) == 0)
            return i;
    const int near = base_meant(name, name_of_tip, s);
    if (near >= 0)
        scenario_refuse(r, group, "tip", "%s, which stands under tips", s->tip[near].name);
    else
        scenario_refuse(r, group, "tip", "a name that stands under tips");
    return 0;
}

static void read_nozzles(scenario_reader *r, const scenario_node *group, drupelet_scenario *s)
{
    const scenario_node *list = scenario_take_list(r, group, "nozzles");
    int n_open = 0;
    for (scenario_node *node = list ? list->first : NULL; node && scenario_reads(r); node = node->next) {
        scenario_nozzle nozzle = {0};
        scenario_side side[2];
        const scenario_node *entry = scenario_take_as_group(r, node);
        scenario_take_keys(r, entry, NULL, "tip", &nozzle);
        const int n = sides_of(nozzle.side, side);
        nozzle.i_tip = read_tip_name(r, entry, s);
        nozzle.pressure_Pa = s->sprayer.pressure_Pa;
        if (!scenario_given(r, group, "pressure") && !scenario_given(r, entry, "pressure"))
            scenario_miss(r, group, "pressure");
        scenario_take_keys(r, entry, "tip", NULL, &nozzle);
        check_inside_alley(r, entry, "offset", nozzle.offset_m, s->orchard.row_spacing_m);
        n_open += !nozzle.plugged;
        for (int k = 0; k < n && scenario_good(r); k++) {
            if (s->sprayer.n_nozzles == SCENARIO_NOZZLES) {
                scenario_refuse_node(r, list, "too many nozzles", "at most %d, both sides together", SCENARIO_NOZZLES);
                return;
            }
            nozzle.side = side[k];
            s->sprayer.nozzle[s->sprayer.n_nozzles++] = nozzle;
        }
    }
    if (scenario_good(r) && n_open == 0)
        scenario_refuse_node(r, list, "nozzles that are all plugged", "one at least that sprays");
}

void scenario_read_sprayer(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_sprayer *sprayer = &s->sprayer;
    scenario_node *group = scenario_take_group(r, root, "sprayer");
    scenario_take_keys(r, group, NULL, "direction", s);
    if (sprayer->travel_speed_m_s > 0.0 && sprayer->travel_speed_m_s < SLOWEST_M_S * (1.0 - 1e-9))
        scenario_refuse(r, group, "travel_speed", "0 (the sprayer stands still), or at least 0.5 km/h");
    read_alleys(r, group, s->orchard.n_rows, sprayer);
    scenario_take_keys(r, group, "direction", "tank", s);
    if (scenario_given(r, group, "shut"))
        read_shut(r, group, s->orchard.n_rows, sprayer);
    scenario_take_keys(r, group, "tank", "outlets", s);
    read_fan(r, group, s);
    read_outlets(r, group, s->orchard.row_spacing_m, sprayer);
    scenario_take_keys(r, group, "outlets", NULL, s);
    read_nozzles(r, group, s);
}
