/* sim/scenario/read_classes.c - borders of size classes: rows [class, dv10, dv50, dv90], finest first. A row is the
 * reference spray that parts the class it names from the next coarser one (ISO 25358 names the tips to measure; it
 * gives no micrometres). */
#include "scenario/sections.h"

#include <string.h>

static const char *const names[SCENARIO_SIZE_CLASSES] = {
    [SCENARIO_EXTREMELY_FINE] = "extremely_fine",
    [SCENARIO_VERY_FINE] = "very_fine",
    [SCENARIO_FINE] = "fine",
    [SCENARIO_MEDIUM_SIZE] = "medium",
    [SCENARIO_COARSE] = "coarse",
    [SCENARIO_VERY_COARSE] = "very_coarse",
    [SCENARIO_EXTREMELY_COARSE] = "extremely_coarse",
    [SCENARIO_ULTRA_COARSE] = "ultra_coarse"};

const char *scenario_size_class_name(scenario_size_class size_class)
{
    return names[size_class];
}

const char *scenario_border_class(int i)
{
    return i >= 0 && i < SCENARIO_ULTRA_COARSE ? names[i] : NULL; /* the coarsest class has no border above it */
}

static void read_row(scenario_reader *r, const scenario_node *node, scenario_tip *tip)
{
    if (node->kind != SCENARIO_LIST || node->n != 4) {
        scenario_refuse_node(r, node, NULL, "a row [class, dv10, dv50, dv90]");
        return;
    }
    const scenario_class_limit *before = tip->n_limits > 0 ? &tip->limit[tip->n_limits - 1] : NULL;
    scenario_class_limit *limit = &tip->limit[tip->n_limits++];
    const scenario_key *key = scenario_key_of("tips.*.classes.*.0");
    limit->up_to = (scenario_size_class)scenario_take_word_at(r, node->first, key, key->meaning);
    if (before && limit->up_to <= before->up_to)
        scenario_refuse_node(r, node->first, NULL, "a coarser class than the row before, %s", names[before->up_to]);
    const scenario_node *cell = node->first;
    double *const dv[] = {&limit->dv10_m, &limit->dv50_m, &limit->dv90_m};
    const double above_m[] = {before ? before->dv10_m : 0.0, before ? before->dv50_m : 0.0,
                              before ? before->dv90_m : 0.0};
    for (int i = 0; i < 3; i++) {
        cell = cell->next;
        *dv[i] = scenario_take_number(r, cell, key + 1 + i); /* their rows follow that of the class */
        if (i > 0 && *dv[i] <= *dv[i - 1])
            scenario_refuse_node(r, cell, NULL, "more than the diameter before it");
        if (*dv[i] <= above_m[i])
            scenario_refuse_node(r, cell, NULL, "more than in the row before, %.6g um", 1e6 * above_m[i]);
    }
    scenario_note(r, node, NULL, "", "[%s, %.12g um, %.12g um, %.12g um]", names[limit->up_to], 1e6 * limit->dv10_m,
                  1e6 * limit->dv50_m, 1e6 * limit->dv90_m);
}

void scenario_read_classes(scenario_reader *r, const scenario_node *tip_group, scenario_tip *tip)
{
    if (!scenario_given(r, tip_group, "classes")) return;
    const scenario_node *list = scenario_take_list(r, tip_group, "classes");
    if (tip->form == SCENARIO_SPECTRUM_GENERIC)
        scenario_forbid(r, tip_group, "classes",
                        "a spectrum of the tip, measured on the instrument that measured the borders");
    for (const scenario_node *node = list ? list->first : NULL; node && scenario_good(r); node = node->next)
        read_row(r, node, tip);
}
