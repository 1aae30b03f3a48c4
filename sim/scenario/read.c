/* sim/scenario/read.c - the sections of a scenario file, key by key, and the checks that take more than one key.
 *
 * Ranges and defaults stand in keys.c. What is checked here: that the parts fit one another (a crown between the
 * rows, nozzles and outlets inside the alley, air below the speed where it is no longer incompressible, a number of
 * voxels that can be counted), and that a tip, an outlet and a spectrum have the keys of their kind. */
#define _POSIX_C_SOURCE 200809L
#include "scenario/read.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/moist_air.h"
#include "base/status.h"
#include "scenario/leaf.h"
#include "scenario/measured.h"
#include "scenario/mix.h"
#include "scenario/node.h"
#include "scenario/read_classes.h"
#include "scenario/read_collectors.h"
#include "scenario/reader.h"

#define PI 3.14159265358979323846
#define PERIOD_M 10.0         /* choice: the trees of about so much row differ, then the pattern repeats */
#define PERIOD_MOST_M 100.0   /* choice */
#define OUTLET_MOST_M_S 100.0 /* below Mach 0.3 air may be taken as incompressible (common practice) */
#define OBUKHOV_LEAST_M 3.0   /* choice: nearer to 0 the similarity laws say nothing about the air over an orchard */
#define SLOWEST_M_S (0.5 / 3.6) /* slower is a slip of the pen (choice), or standing still */
#define SHARES_SLACK 0.01     /* 33.3 % three times is meant to be all */

enum { MOST_BYTES = 256 * 1024 }; /* of a scenario file */

/* ---- orchard and canopy ---- */

static void read_orchard(scenario_reader *r, scenario_node *root, const scenario_measured_canopy *measured,
                         scenario_orchard *o)
{
    const double period_m = measured ? measured->length_m : PERIOD_M;
    const scenario_node *group = scenario_take_group(r, root, "orchard");
    o->n_rows = (int)scenario_take_count(r, group, "rows");
    o->row_spacing_m = scenario_take(r, group, "row_spacing");
    o->tree_spacing_m = scenario_take(r, group, "tree_spacing");
    const long usual = scenario_good(r) ? lround(period_m / o->tree_spacing_m) : 1;
    o->n_trees = (int)scenario_take_count_or(r, group, "trees", usual < 1 ? 1 : usual);
    if (o->n_trees * o->tree_spacing_m > PERIOD_MOST_M)
        scenario_refuse(r, group, "trees", "trees for at most %g m of row", PERIOD_MOST_M);
    o->grass_height_m = scenario_take(r, group, "grass_height");
    o->grass_leaf_area_index = scenario_take(r, group, "grass_leaf_area_index");
    o->grass_blade_width_m = scenario_take(r, group, "grass_blade_width");
}

static void read_profile(scenario_reader *r, const scenario_node *group, scenario_canopy *c)
{
    static const scenario_key height = {.unit = "", .kind = SCENARIO_SHARE, .low = 0, .high = 1};
    static const scenario_key density = {.unit = "", .kind = SCENARIO_RATIO, .low = 0, .high = 1000};
    if (!scenario_given(r, group, "profile")) {
        scenario_note(r, group, "profile", "default", "uniform");
        return;
    }
    const scenario_node *list = scenario_take_list(r, group, "profile");
    double most = 0.0;
    for (const scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        const scenario_node *pair[2];
        if (!scenario_take_pair(r, node, "a pair [height, density]", pair))
            return;
        const int i = c->n_profile++;
        c->profile_height[i] = scenario_take_number(r, pair[0], &height);
        c->profile_density[i] = scenario_take_number(r, pair[1], &density);
        most = fmax(most, c->profile_density[i]);
        if (i > 0 && c->profile_height[i] <= c->profile_height[i - 1])
            scenario_refuse_node(r, pair[0], NULL, "more than the height before it");
        scenario_note(r, node, NULL, "", "[%.12g, %.12g]", c->profile_height[i], c->profile_density[i]);
    }
    if (scenario_good(r) && most <= 0.0)
        scenario_refuse_node(r, list, "no leaves at any height", "a density above 0");
}

/* The crown that the trees are grown in. */
static void read_crown(scenario_reader *r, const scenario_node *group, const scenario_orchard *o, scenario_canopy *c)
{
    c->crown = (scenario_crown)scenario_take_word(r, group, "crown");
    c->height_m = scenario_take(r, group, "height");
    c->base_m = scenario_take(r, group, "base");
    c->width_m = scenario_take(r, group, "width");
    c->leaf_area_index = scenario_take(r, group, "leaf_area_index");
    if (c->base_m >= c->height_m)
        scenario_refuse(r, group, "base", "less than canopy.height, %.6g m", c->height_m);
    if (c->width_m > o->row_spacing_m)
        scenario_refuse(r, group, "width", "at most orchard.row_spacing, %.6g m", o->row_spacing_m);
    read_profile(r, group, c);
    c->gap_fraction = scenario_take(r, group, "gaps");
    c->tree_variation = scenario_take(r, group, "tree_variation");
}

static void read_canopy(scenario_reader *r, scenario_node *root, const scenario_orchard *o, scenario_canopy *c)
{
    const scenario_node *group = scenario_take_group(r, root, "canopy");
    const bool measured = scenario_given(r, group, "measured");
    if (measured) {
        scenario_take_measured(r, group, o, c);
    } else {
        scenario_note(r, group, "measured", "default", "none");
        read_crown(r, group, o, c);
    }
    if (!measured || !c->measured || !c->measured->wood_area_density_1_m)
        c->wood_area_index = scenario_take(r, group, "wood_area_index");
    c->wood_diameter_m = scenario_take(r, group, "wood_diameter");
    c->clumping = scenario_take(r, group, "clumping");
    c->drag_coefficient = scenario_take(r, group, "drag_coefficient");
    c->leaf_width_m = scenario_take(r, group, "leaf_width");
    c->leaf_angle_ratio = scenario_take(r, group, "leaf_angle_ratio");
    scenario_read_leaf(r, root, group, c);
    c->retention_m = scenario_take(r, group, "retention");
    if (measured)
        return; /* the file has its own voxels */
    c->voxel_m = scenario_take(r, group, "voxel");
    if (!scenario_good(r))
        return;
    if (c->voxel_m > c->width_m)
        scenario_refuse(r, group, "voxel", "at most canopy.width, %.6g m", c->width_m);
    if (c->voxel_m > c->height_m - c->base_m)
        scenario_refuse(r, group, "voxel", "at most the depth of the crown, %.6g m", c->height_m - c->base_m);
    const double voxels = o->n_rows * ceil(o->n_trees * o->tree_spacing_m / c->voxel_m) * ceil(c->width_m / c->voxel_m)
                          * ceil(c->height_m / c->voxel_m);
    if (voxels > SCENARIO_VOXELS_MOST)
        scenario_refuse(r, group, "voxel", "an edge that makes at most %g million voxels (this one: %.0f million)",
                        1e-6 * SCENARIO_VOXELS_MOST, 1e-6 * voxels);
}

/* ---- tips ---- */

static void read_flow(scenario_reader *r, const scenario_node *group, scenario_tip *tip)
{
    if (scenario_given(r, group, "size")) {
        scenario_take_word(r, group, "size");
        if (tip->kind == SCENARIO_HOLLOW_CONE_DISC_CORE)
            scenario_refuse(r, group, "size", "flow and flow_pressure (the colour code leaves disc-and-core sets out)");
        scenario_forbid(r, group, "flow", "either size or flow, not both");
        scenario_forbid(r, group, "flow_pressure", "either size or flow, not both");
        if (!scenario_good(r))
            return;
        snprintf(tip->size, sizeof tip->size, "%s", scenario_node_find(group, "size")->text);
        tip->flow_m3_s = scenario_take_or(r, group, "flow", scenario_size_flow_m3_s(tip->size), "from the size");
        tip->flow_pressure_Pa = scenario_take_or(r, group, "flow_pressure", SCENARIO_SIZE_PRESSURE_PA, "from the size");
        return;
    }
    if (!scenario_given(r, group, "flow"))
        scenario_miss(r, group, tip->kind == SCENARIO_HOLLOW_CONE_DISC_CORE ? "flow" : "size");
    if (!scenario_given(r, group, "flow_pressure"))
        scenario_miss(r, group, "flow_pressure");
    tip->flow_m3_s = scenario_take_or(r, group, "flow", 0.0, "");
    tip->flow_pressure_Pa = scenario_take_or(r, group, "flow_pressure", 0.0, "");
}

static void read_volume_table(scenario_reader *r, const scenario_node *group, scenario_tip *tip)
{
    static const scenario_key diameter = {.unit = "um", .kind = SCENARIO_LENGTH, .low = 1, .high = 6000};
    static const scenario_key share = {.unit = "%", .kind = SCENARIO_SHARE, .low = 0, .high = 100};
    const scenario_node *list = scenario_take_list(r, group, "table");
    for (const scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        const scenario_node *pair[2];
        if (!scenario_take_pair(r, node, "a pair [diameter, share of the volume below]", pair))
            return;
        const int i = tip->n_table++;
        tip->table_diameter_m[i] = scenario_take_number(r, pair[0], &diameter);
        tip->table_share_below[i] = scenario_take_number(r, pair[1], &share);
        if (i == 0 && tip->table_share_below[i] > 0.0)
            scenario_refuse_node(r, pair[1], NULL,
                                 "0 %% in the first line: the largest diameter that no droplet is below");
        if (i > 0 && tip->table_diameter_m[i] <= tip->table_diameter_m[i - 1])
            scenario_refuse_node(r, pair[0], NULL, "more than the diameter before it");
        if (i > 0 && tip->table_share_below[i] <= tip->table_share_below[i - 1])
            scenario_refuse_node(r, pair[1], NULL, "more than the share before it");
        if (!node->next && tip->table_share_below[i] < 1.0)
            scenario_refuse_node(r, pair[1], NULL, "100 %% in the last line");
        scenario_note(r, node, NULL, "", "[%.12g um, %.12g %%]", 1e6 * tip->table_diameter_m[i],
                      100.0 * tip->table_share_below[i]);
    }
}

static void read_quantiles(scenario_reader *r, const scenario_node *group, scenario_tip *tip)
{
    tip->form = (scenario_spectrum_form)(SCENARIO_SPECTRUM_LOG_NORMAL + scenario_take_word(r, group, "form"));
    tip->dv10_m = scenario_take(r, group, "dv10");
    tip->dv50_m = scenario_take(r, group, "dv50");
    tip->dv90_m = scenario_take(r, group, "dv90");
    if (tip->dv50_m <= tip->dv10_m)
        scenario_refuse(r, group, "dv50", "more than dv10, %.6g um", 1e6 * tip->dv10_m);
    if (tip->dv90_m <= tip->dv50_m)
        scenario_refuse(r, group, "dv90", "more than dv50, %.6g um", 1e6 * tip->dv50_m);
    /* R. A. Mugele, H. D. Evans, Ind. Eng. Chem. 43 (1951) 1317: the largest droplet is finite only then */
    if (tip->form == SCENARIO_SPECTRUM_UPPER_LIMIT && tip->dv50_m * tip->dv50_m <= tip->dv10_m * tip->dv90_m)
        scenario_refuse(r, group, "form", "log_normal: the upper limit wants dv50 squared above dv10 times dv90");
}

static void read_spectrum(scenario_reader *r, scenario_node *tip_group, scenario_tip *tip)
{
    if (!scenario_given(r, tip_group, "spectrum")) {
        scenario_note(r, tip_group, "spectrum", "default", "generic, assumed from kind, size and pressure");
        return;
    }
    const scenario_node *group = scenario_take_group(r, tip_group, "spectrum");
    if (scenario_given(r, group, "table")) {
        tip->form = SCENARIO_SPECTRUM_TABLE;
        static const char *const other[] = {"form", "dv10", "dv50", "dv90"};
        for (size_t i = 0; i < sizeof other / sizeof other[0]; i++)
            scenario_forbid(r, group, other[i], "either table or form with dv10, dv50, dv90");
        read_volume_table(r, group, tip);
    } else if (!scenario_given(r, group, "form")) {
        scenario_miss(r, group, "form");
    } else {
        read_quantiles(r, group, tip);
    }
    if (scenario_given(r, group, "pressure"))
        tip->spectrum_pressure_Pa = scenario_take_or(r, group, "pressure", 0.0, "");
    else
        scenario_note(r, group, "pressure", "default", "the nozzle's own");
}

static void read_tips(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_node *tips = scenario_take_group(r, root, "tips");
    if (scenario_good(r) && (tips->n == 0 || tips->n > SCENARIO_TIPS)) {
        char found[32];
        snprintf(found, sizeof found, "%d tips", tips->n);
        scenario_refuse_node(r, tips, found, "1 to %d, each with its name as key", SCENARIO_TIPS);
    }
    for (scenario_node *node = tips ? tips->first : NULL; node && scenario_good(r); node = node->next) {
        scenario_tip *tip = &s->tip[s->n_tips++];
        if (strlen(node->key) >= sizeof tip->name)
            scenario_refuse_node(r, node, "a long name", "one shorter than %d bytes", SCENARIO_TEXT);
        for (const char *c = node->key; *c; c++)
            if ((unsigned char)*c < 0x20 || *c == 0x7F)
                scenario_refuse_node(r, node, "a name with a control character", "a name on one line");
        snprintf(tip->name, sizeof tip->name, "%s", node->key);
        if (scenario_node_empty(node))
            scenario_refuse_node(r, node, NULL, "the keys of a tip: kind, size and so on");
        scenario_node *group = scenario_take_as_group(r, node);
        tip->kind = (scenario_tip_kind)scenario_take_word(r, group, "kind");
        read_flow(r, group, tip);
        const bool flat = tip->kind == SCENARIO_FLAT_FAN || tip->kind == SCENARIO_AIR_INDUCTION_FLAT_FAN;
        if (scenario_good(r) && flat && !scenario_given(r, group, "cone_angle"))
            scenario_miss(r, group, "cone_angle"); /* the default is a hollow cone's */
        tip->cone_angle_rad = scenario_take(r, group, "cone_angle");
        tip->air_share = scenario_take(r, group, "air_share");
        read_spectrum(r, group, tip);
        scenario_read_classes(r, group, tip);
    }
}

/* ---- sprayer ---- */

static void read_alleys(scenario_reader *r, const scenario_node *group, int n_rows, scenario_sprayer *s)
{
    const scenario_node *node = scenario_good(r) ? scenario_node_find(group, "alleys") : NULL;
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
    if (!scenario_given(r, sprayer, "shut")) {
        scenario_note(r, sprayer, "shut", "default", "none");
        return;
    }
    const scenario_node *list = scenario_take_list(r, sprayer, "shut");
    for (scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        const scenario_node *group = scenario_take_as_group(r, node);
        const int alley = (int)scenario_take_count(r, group, "alley"), row = (int)scenario_take_count(r, group, "row");
        const bool air = scenario_take_word(r, group, "air") % 2 == 0;
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
            *shut = (scenario_shut){.nozzles = true, .air = air};
        }
    }
}

static void read_fan(scenario_reader *r, scenario_node *sprayer, scenario_sprayer *s)
{
    const scenario_node *group = scenario_take_group(r, sprayer, "fan");
    s->fan_reference_rpm = scenario_take(r, group, "reference_speed");
    s->fan_reference_flow_m3_s = scenario_take(r, group, "reference_flow");
    s->fan_reference_power_W = scenario_take(r, group, "reference_power");
    s->fan_rpm = scenario_take_or(r, group, "speed", s->fan_reference_rpm, "default");
}

static double outlet_area_m2(const scenario_outlet *o)
{
    if (o->kind == SCENARIO_SPOUT)
        return 0.25 * PI * o->diameter_m * o->diameter_m;
    return o->slot_m * (o->kind == SCENARIO_ARC ? o->radius_m * (o->to_rad - o->from_rad) : o->top_m - o->bottom_m);
}

/* Room from the centre line to the row. */
static void check_inside_alley(scenario_reader *r, const scenario_node *group, const char *name, double reach_m,
                               double spacing_m)
{
    if (reach_m >= 0.5 * spacing_m)
        scenario_refuse(r, group, name, "less than half of orchard.row_spacing, %.6g m", 0.5 * spacing_m);
}

/* Refuses the keys of other kinds of outlet. */
static void forbid_other_kinds(scenario_reader *r, const scenario_node *group, scenario_outlet_kind kind)
{
    enum { ARC = 1 << SCENARIO_ARC, SLOT = 1 << SCENARIO_SLOT, SPOUT = 1 << SCENARIO_SPOUT };
    static const struct { const char *name; int of; } keys[] = {
        {"centre_height", ARC}, {"radius", ARC},         {"from", ARC},         {"to", ARC},
        {"offset", SLOT | SPOUT}, {"bottom", SLOT},      {"top", SLOT},         {"tilt", SLOT | SPOUT},
        {"slot", ARC | SLOT},   {"diameter", SPOUT},     {"height", SPOUT},     {"back", SPOUT}};
    static const char *const expected[] = {"centre_height, radius, from and to for an arc",
                                           "offset, bottom, top and tilt for a slot",
                                           "diameter, offset, height, tilt and back for a spout"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
        if (!(keys[i].of >> kind & 1))
            scenario_forbid(r, group, keys[i].name, expected[kind]);
}

static scenario_outlet read_outlet(scenario_reader *r, scenario_node *node, double row_spacing_m, int *side)
{
    scenario_outlet o = {0};
    const scenario_node *group = scenario_take_as_group(r, node);
    o.kind = (scenario_outlet_kind)scenario_take_word(r, group, "kind");
    if (scenario_good(r))
        forbid_other_kinds(r, group, o.kind);
    *side = scenario_take_word(r, group, "side");
    if (o.kind == SCENARIO_SPOUT) {
        o.diameter_m = scenario_take(r, group, "diameter");
        o.offset_m = scenario_take(r, group, "offset");
        check_inside_alley(r, group, "offset", o.offset_m, row_spacing_m);
        o.height_m = scenario_take(r, group, "height");
        o.tilt_rad = scenario_take(r, group, "tilt");
        o.back_rad = scenario_take(r, group, "back");
        return o;
    }
    o.slot_m = scenario_take(r, group, "slot");
    if (o.kind == SCENARIO_ARC) {
        o.centre_height_m = scenario_take(r, group, "centre_height");
        o.radius_m = scenario_take(r, group, "radius");
        check_inside_alley(r, group, "radius", o.radius_m, row_spacing_m);
        o.from_rad = scenario_take(r, group, "from");
        o.to_rad = scenario_take(r, group, "to");
        if (o.to_rad - o.from_rad < PI / 180.0)
            scenario_refuse(r, group, "to", "at least 1 deg more than from, %.6g deg", o.from_rad * 180.0 / PI);
        if (o.centre_height_m + o.radius_m * sin(o.from_rad) <= 0.0)
            scenario_refuse(r, group, "from", "an arc that ends above the ground");
    } else {
        o.offset_m = scenario_take(r, group, "offset");
        check_inside_alley(r, group, "offset", o.offset_m, row_spacing_m);
        o.bottom_m = scenario_take(r, group, "bottom");
        o.top_m = scenario_take(r, group, "top");
        if (o.top_m <= o.bottom_m)
            scenario_refuse(r, group, "top", "more than bottom, %.6g m", o.bottom_m);
        o.tilt_rad = scenario_take(r, group, "tilt");
    }
    return o;
}

enum { BOTH = 2 }; /* the third word of a side */

/* Sides that a word stands for, left first. */
static int sides_of(int word, scenario_side side[2])
{
    side[0] = word == 1 ? SCENARIO_RIGHT : SCENARIO_LEFT;
    side[1] = SCENARIO_RIGHT;
    return word == BOTH ? 2 : 1;
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
    for (scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        int word = 0;
        scenario_side side[2];
        const scenario_outlet outlet = read_outlet(r, node, row_spacing_m, &word);
        n_sides[n] = sides_of(word, side);
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
    scenario_take_text(r, group, "tip", NULL, name, sizeof name);
    for (int i = 0; i < s->n_tips; i++)
        if (strcmp(s->tip[i].name, name) == 0)
            return i;
    const int near = scenario_nearest(name, name_of_tip, s);
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
    for (scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next) {
        scenario_nozzle nozzle = {0};
        scenario_side side[2];
        const scenario_node *entry = scenario_take_as_group(r, node);
        const int n = sides_of(scenario_take_word(r, entry, "side"), side);
        nozzle.i_tip = read_tip_name(r, entry, s);
        nozzle.offset_m = scenario_take(r, entry, "offset");
        check_inside_alley(r, entry, "offset", nozzle.offset_m, s->orchard.row_spacing_m);
        nozzle.height_m = scenario_take(r, entry, "height");
        nozzle.angle_rad = scenario_take(r, entry, "angle");
        nozzle.behind_m = scenario_take(r, entry, "behind");
        if (scenario_given(r, entry, "pressure") || !scenario_given(r, group, "pressure")) {
            if (!scenario_given(r, entry, "pressure"))
                scenario_miss(r, group, "pressure");
            nozzle.pressure_Pa = scenario_take_or(r, entry, "pressure", 0.0, "");
        } else {
            const scenario_node *common = scenario_node_find(group, "pressure");
            nozzle.pressure_Pa = scenario_take_number(r, common, scenario_key_of("sprayer.pressure"));
            scenario_take_or(r, entry, "pressure", nozzle.pressure_Pa, "default");
        }
        nozzle.worn = scenario_take(r, entry, "worn");
        nozzle.plugged = scenario_take_word(r, entry, "plugged") % 2 == 0;
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

static void read_sprayer(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_sprayer *sprayer = &s->sprayer;
    scenario_node *group = scenario_take_group(r, root, "sprayer");
    sprayer->travel_speed_m_s = scenario_take(r, group, "travel_speed");
    if (sprayer->travel_speed_m_s > 0.0 && sprayer->travel_speed_m_s < SLOWEST_M_S * (1.0 - 1e-9))
        scenario_refuse(r, group, "travel_speed", "0 (the sprayer stands still), or at least 0.5 km/h");
    read_alleys(r, group, s->orchard.n_rows, sprayer);
    sprayer->alternate = scenario_take_word(r, group, "direction") == 0;
    sprayer->shut_outside = scenario_take_word(r, group, "shut_outside") % 2 == 0;
    read_shut(r, group, s->orchard.n_rows, sprayer);
    sprayer->tank_m3 = scenario_take(r, group, "tank");
    read_fan(r, group, sprayer);
    read_outlets(r, group, s->orchard.row_spacing_m, sprayer);
    if (scenario_given(r, group, "pressure"))
        scenario_take_or(r, group, "pressure", 0.0, ""); /* checked even where no nozzle takes it */
    read_nozzles(r, group, s);
}

/* ---- weather, liquid, run ---- */

static void read_stability(scenario_reader *r, const scenario_node *group, scenario_weather *w)
{
    static const char *const of_day[] = {"cloud", "day_of_year", "latitude"};
    w->day_given = scenario_given(r, group, "hour");
    if (w->day_given) {
        scenario_forbid(r, group, "obukhov_length", "either obukhov_length or hour, not both");
        w->hour = scenario_take_or(r, group, "hour", 0.0, "") / 3600.0;
        if (!scenario_given(r, group, "cloud"))
            scenario_miss(r, group, "cloud");
        w->cloud = scenario_take_or(r, group, "cloud", 0.0, "");
        w->day_of_year = (int)scenario_take_count(r, group, "day_of_year");
        w->latitude_rad = scenario_take(r, group, "latitude");
        return;
    }
    for (size_t i = 0; i < sizeof of_day / sizeof of_day[0]; i++)
        scenario_forbid(r, group, of_day[i], "weather.hour beside it");
    if (!scenario_given(r, group, "obukhov_length")) {
        scenario_note(r, group, "obukhov_length", "default", "neutral");
        return;
    }
    const double length_m = scenario_take_or(r, group, "obukhov_length", 0.0, "");
    if (fabs(length_m) < OBUKHOV_LEAST_M)
        scenario_refuse(r, group, "obukhov_length", "%g m or more, or -%g m or less", OBUKHOV_LEAST_M,
                        OBUKHOV_LEAST_M);
    w->per_obukhov_1_m = 1.0 / length_m;
}

static void read_weather(scenario_reader *r, scenario_node *root, scenario_weather *w)
{
    const scenario_node *group = scenario_take_group(r, root, "weather");
    w->temperature_K = scenario_take(r, group, "temperature");
    w->relative_humidity = scenario_take(r, group, "relative_humidity");
    w->pressure_Pa = scenario_take(r, group, "pressure");
    w->wind_speed_m_s = scenario_take(r, group, "wind_speed");
    w->wind_height_m = scenario_take(r, group, "wind_height");
    w->wind_angle_rad = remainder(scenario_take(r, group, "wind_angle"), 2.0 * PI);
    w->roughness_m = scenario_take(r, group, "roughness");
    read_stability(r, group, w);
    if (scenario_given(r, group, "gusts"))
        w->gusts = scenario_take_or(r, group, "gusts", 0.0, "");
    else
        scenario_note(r, group, "gusts", "default", "as turbulence of the surface layer has it");
}

static void read_liquid(scenario_reader *r, scenario_node *root, double temperature_K, scenario_liquid *l)
{
    const scenario_node *group = scenario_take_group(r, root, "liquid");
    if (!scenario_good(r))
        return;
    scenario_read_solids(r, group, l);
    l->density_kg_m3 = scenario_take_or(r, group, "density", base_water_density_kg_m3(temperature_K), "default");
    scenario_read_tension(r, group, base_water_surface_tension_N_m(temperature_K), l);
    l->viscosity_Pa_s =
        scenario_take_or(r, group, "viscosity",
                         base_water_viscosity_Pa_s(temperature_K) * scenario_suspension_factor(l->solids), "default");
    l->temperature_K = scenario_take_or(r, group, "temperature", temperature_K, "default");
}

static void read_run(scenario_reader *r, scenario_node *root, double canopy_height_m, scenario_run *run)
{
    const scenario_node *group = scenario_take_group(r, root, "run");
    run->n_droplets = scenario_take_count(r, group, "droplets");
    run->seed = scenario_take_seed(r, group, "seed");
    run->time_limit_s = scenario_take(r, group, "time_limit");
    run->domain_top_m = scenario_take(r, group, "domain_top");
    if (run->domain_top_m <= canopy_height_m)
        scenario_refuse(r, group, "domain_top", "more than canopy.height, %.6g m", canopy_height_m);
    run->open_ground_m = scenario_take(r, group, "open_ground");
    run->air_cell_m = scenario_take(r, group, "air_cell");
    run->step_scale = scenario_take(r, group, "step");
    run->ventilation = (scenario_ventilation)scenario_take_word(r, group, "ventilation");
    run->transient_temperature = scenario_take_word(r, group, "droplet_temperature") == 1;
    run->spray_humidity = scenario_take_word(r, group, "spray_humidity") % 2 == 1;
}

/* ---- the whole ---- */

/* The file's name without folder and ending. */
static void bare_name(const char *file, char name[SCENARIO_TEXT])
{
    const char *slash = strrchr(file, '/'), *start = slash ? slash + 1 : file, *dot = strrchr(start, '.');
    size_t n = dot && dot != start ? (size_t)(dot - start) : strlen(start);
    if (n >= SCENARIO_TEXT)
        n = SCENARIO_TEXT - 1;
    for (size_t i = 0; i < n; i++)
        name[i] = (unsigned char)start[i] < 0x20 || start[i] == 0x7F ? ' ' : start[i];
    name[n] = '\0';
}

static void read_sections(scenario_reader *r, const char *file, scenario_node *root, drupelet_scenario *s)
{
    if (scenario_node_empty(root))
        scenario_refuse_node(r, root, NULL, "sections: orchard, canopy, tips, sprayer, weather and so on");
    const scenario_node *top = scenario_take_as_group(r, root);
    char name[SCENARIO_TEXT];
    bare_name(file, name);
    scenario_take_text(r, top, "name", name, s->name, sizeof s->name);
    scenario_take_text(r, top, "place", "", s->place, sizeof s->place);
    read_orchard(r, root, s->canopy.measured, &s->orchard);
    read_canopy(r, root, &s->orchard, &s->canopy);
    read_tips(r, root, s); /* before the sprayer, whose nozzles name them */
    read_sprayer(r, root, s);
    read_weather(r, root, &s->weather); /* before the liquid, which is water at the air's temperature unless given */
    read_liquid(r, root, s->weather.temperature_K, &s->liquid);
    read_run(r, root, s->canopy.height_m, &s->run);
    scenario_read_collectors(r, root, s); /* last: they are placed in all of the above */
}

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the scenario");
}

static drupelet_status fill(const char *file, scenario_node *root, const scenario_units *units, drupelet_scenario *s)
{
    size_t n_resolved = 0;
    FILE *resolved = open_memstream(&s->resolved, &n_resolved);
    if (!resolved)
        return no_memory();
    scenario_reader r = {.status = base_ok(), .units = units, .resolved = resolved};
    read_sections(&r, file, root, s);
    const bool written = !ferror(resolved);
    if ((fclose(resolved) != 0 || !written) && r.status.code == DRUPELET_OK)
        r.status = no_memory();
    return r.status;
}

drupelet_status scenario_read_with(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                                   int n_settings, const scenario_units *units, scenario_measured_canopy *measured,
                                   drupelet_scenario **result)
{
    *result = NULL;
    drupelet_scenario *s = calloc(1, sizeof *s);
    scenario_node *root = NULL;
    if (s)
        s->canopy.measured = measured;
    else
        scenario_measured_free(measured);
    drupelet_status status = s ? scenario_node_load(file, text, n_bytes, &root) : no_memory();
    for (int i = 0; i < n_settings && status.code == DRUPELET_OK; i++)
        status = scenario_node_set(root, settings[i]);
    if (status.code == DRUPELET_OK) status = fill(file, root, units, s);
    if (status.code == DRUPELET_OK) {
        s->text = strndup(text, n_bytes);
        if (!s->text)
            status = no_memory();
    }
    scenario_node_free(root);
    if (status.code == DRUPELET_OK)
        *result = s;
    else
        drupelet_scenario_free(s);
    return status;
}

drupelet_status scenario_read_text(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                                   int n_settings, const scenario_units *units, drupelet_scenario **scenario)
{
    return scenario_read_with(file, text, n_bytes, settings, n_settings, units, NULL, scenario);
}

static drupelet_status cannot_read(const char *path, const char *reason)
{
    enum { MOST = 240 };
    const size_t n = strlen(path);
    return base_error(DRUPELET_SCENARIO, "%s%s: cannot be read: %s", n > MOST ? "..." : "",
                      n > MOST ? path + (n - MOST) : path, reason);
}

drupelet_status scenario_file_text(const char *path, char **text, size_t *n_bytes)
{
    *text = NULL;
    FILE *file = fopen(path, "rb");
    if (!file)
        return cannot_read(path, strerror(errno));
    char *bytes = malloc(MOST_BYTES + 1);
    drupelet_status status = bytes ? base_ok() : no_memory();
    errno = 0;
    *n_bytes = bytes ? fread(bytes, 1, MOST_BYTES + 1, file) : 0;
    if (ferror(file))
        status = cannot_read(path, strerror(errno));
    else if (*n_bytes > MOST_BYTES)
        status = cannot_read(path, "it is larger than 256 KiB, too large for a scenario");
    fclose(file);
    if (status.code == DRUPELET_OK)
        *text = bytes;
    else
        free(bytes);
    return status;
}

void drupelet_scenario_free(drupelet_scenario *scenario)
{
    if (!scenario)
        return;
    scenario_measured_free(scenario->canopy.measured);
    free(scenario->resolved);
    free(scenario->text);
    free(scenario);
}
