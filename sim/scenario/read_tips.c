/* sim/scenario/read_tips.c - flow, spectrum and size classes of each tip, with the keys of its kind. */
#include "scenario/sections.h"

#include <stdio.h>
#include <string.h>


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
    const bool by_flow = tip->kind == SCENARIO_HOLLOW_CONE_DISC_CORE || scenario_given(r, group, "flow");
    if (!by_flow)
        scenario_miss(r, group, "size");
    else
        tip->flow_m3_s = scenario_take(r, group, "flow");
    if (by_flow || scenario_given(r, group, "flow_pressure"))
        tip->flow_pressure_Pa = scenario_take(r, group, "flow_pressure");
}

static void read_volume_table(scenario_reader *r, const scenario_node *group, scenario_tip *tip)
{
    tip->n_table = scenario_take_pairs(r, group, "table", tip->table_diameter_m, tip->table_share_below);
    const double *share = tip->table_share_below;
    const scenario_node *row = scenario_good(r) ? scenario_node_find(group, "table")->first : NULL;
    for (int i = 0; row; i++, row = row->next) {
        if (i == 0 && share[i] > 0.0)
            scenario_refuse_node(r, row->last, NULL,
                                 "0 %% in the first line: the largest diameter that no droplet is below");
        if (i > 0 && share[i] <= share[i - 1])
            scenario_refuse_node(r, row->last, NULL, "more than the share before it");
        if (!row->next && share[i] < 1.0)
            scenario_refuse_node(r, row->last, NULL, "100 %% in the last line");
    }
}

static void read_quantiles(scenario_reader *r, const scenario_node *group, scenario_tip *tip)
{
    scenario_take_keys(r, group, NULL, "pressure", tip);
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
    scenario_forbid(r, tip_group, "generic_factor", "either spectrum or generic_factor, not both");
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
    scenario_take_keys(r, group, "pressure", NULL, tip);
}

void scenario_read_tips(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_node *tips = scenario_take_group(r, root, "tips");
    static const char expected[] = "1 to %d, each with its name as key";
    char found[32];
    snprintf(found, sizeof found, "%d tips", tips ? tips->n : 0);
    if (tips && tips->n == 0)
        scenario_miss_all_of(r, tips, found, expected, SCENARIO_TIPS);
    if (tips && tips->n > SCENARIO_TIPS)
        scenario_refuse_node(r, tips, found, expected, SCENARIO_TIPS);
    for (scenario_node *node = tips ? tips->first : NULL; node && scenario_reads(r); node = node->next) {
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
        scenario_take_keys(r, group, NULL, "size", tip);
        if (!scenario_given(r, group, "kind"))
            continue; /* which other keys it needs is not known */
        read_flow(r, group, tip);
        const bool flat = tip->kind == SCENARIO_FLAT_FAN || tip->kind == SCENARIO_AIR_INDUCTION_FLAT_FAN;
        if (flat && !scenario_given(r, group, "cone_angle"))
            scenario_miss(r, group, "cone_angle"); /* the default is a hollow cone's */
        scenario_take_keys(r, group, "cone_angle", "spectrum", tip);
        read_spectrum(r, group, tip);
        scenario_read_classes(r, group, tip);
    }
}
