/* sim/sweep/uncertain.h - the plan of a sweep over what nobody knows well of a scenario (scenario/uncertain.h). */
#ifndef SWEEP_UNCERTAIN_H
#define SWEEP_UNCERTAIN_H

#include <stdbool.h>
#include <stdint.h>

#include "scenario/node.h"
#include "scenario/scenario.h"
#include "scenario/uncertain.h"

/** What is asked for. Texts are borrowed. */
typedef struct {
    int64_t n_samples, n_droplets;    /* droplets: 0: as the scenario says */
    bool seed_given;
    uint64_t seed;
    int n_settings, n_known, n_ranges;
    const char *const *setting;       /* "KEY=VALUE", of --set; they hold for all cases */
    const char *const *known;         /* keys to be left alone, as they stand or by their general path */
    const char *const *range;         /* "KEY=LOW to HIGH": instead of what the table has, or of another key */
} sweep_uncertain_question;

typedef struct {
    scenario_inputs inputs; /* the factors of the plan, in their order */
    char *text;             /* the plan, without the name of its scenario */
} sweep_uncertain_plan;

/** Makes the plan. The caller ends it with sweep_uncertain_free(), also after a failure.
 *  @param root the tree of the scenario, settings in it: tells which keys are given
 *  @return DRUPELET_OK, DRUPELET_SCENARIO (a key or a range that is none; nothing that varies) or DRUPELET_MEMORY */
drupelet_status sweep_uncertain_make(const drupelet_scenario *scenario, const scenario_node *root,
                                     const sweep_uncertain_question *question, sweep_uncertain_plan *plan);
void sweep_uncertain_free(sweep_uncertain_plan *plan);

#endif
