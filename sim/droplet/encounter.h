/* sim/droplet/encounter.h - a droplet of a batch meets a leaf, wood or grass. */
#ifndef DROPLET_ENCOUNTER_H
#define DROPLET_ENCOUNTER_H

#include "droplet/droplet.h"
#include "droplet/outcome.h"

enum { DROPLET_BORDER_POINTS = 96 };

/** Speeds at which the outcomes begin, as logarithms, against the logarithm of the diameter. */
typedef struct { double log_speed[DROPLET_OUTCOMES][DROPLET_BORDER_POINTS]; } droplet_borders;

/** What leaves and wood are like to this run's droplets. */
typedef struct {
    uint64_t seed;
    droplet_liquid liquid; /* without air */
    double wet_share;      /* of the leaves */
    bool wet_bounce, along_leaf; /* canopy.wet_leaves, canopy.splash */
    const droplet_outcome_kind *outcome; /* [DROPLET_OUTCOMES] borrowed */
    droplet_borders wet_borders, wet_ends; /* on a wet leaf */
    double log_first, per_log_step;
    droplet_leaf_class side[2], wood; /* 0 lower, 1 upper side of a leaf */
    droplet_spread spread[2];
    droplet_collector leaf, branch[DROPLET_WOODS];
    droplet_borders side_borders[2], wood_borders;
    /* at or below it all adhere, however leaves differ: lower side, upper side, wood */
    double log_adheres[3][DROPLET_BORDER_POINTS];
} droplet_targets;

void droplet_targets_make(const drupelet_scenario *scenario, uint64_t seed, droplet_targets *targets);
/** The same with other outcomes than those of the table. @param outcome [DROPLET_OUTCOMES] borrowed */
void droplet_targets_make_by(const droplet_outcome_kind *outcome, const drupelet_scenario *scenario, uint64_t seed,
                             droplet_targets *targets);

/** Settles what happens to lane i, which was found to be hit, and gives it a new path limit. A droplet that bounces
 * keeps its liquid and flies on; one that shatters flies on as its secondary droplets, with smaller diameters. */
droplet_encounter droplet_meet(const droplet_setting *setting, const droplet_targets *targets, droplet_batch *batch,
                               int i);

/** Target, outcome, side and speed of the same encounter; kept is 1, and the lane stays as it is. */
droplet_encounter droplet_preview(const droplet_setting *setting, const droplet_targets *targets,
                               const droplet_batch *batch, int i);

#endif
