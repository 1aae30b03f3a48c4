/* sim/droplet/encounter.h - a droplet of a batch meets a leaf, wood or grass. */
#ifndef DROPLET_ENCOUNTER_H
#define DROPLET_ENCOUNTER_H

#include "droplet/kernel.h"
#include "droplet/spread.h"

enum { DROPLET_BORDER_POINTS = 96 };

/** Speeds at which bounce and shatter begin, as logarithms, against the logarithm of the diameter. */
typedef struct {
    double log_bounce[DROPLET_BORDER_POINTS], log_shatter[DROPLET_BORDER_POINTS];
} droplet_borders;

/** What leaves and wood are like to this run's droplets. */
typedef struct {
    uint64_t seed;
    droplet_liquid liquid; /* without air */
    double wet_share;      /* of the leaves */
    double log_film[DROPLET_BORDER_POINTS]; /* speed at which a wet wall splashes */
    double log_first, per_log_step;
    droplet_leaf_class side[2], wood; /* 0 lower, 1 upper side of a leaf */
    droplet_spread spread[2];
    droplet_borders side_borders[2], wood_borders;
    /* at or below it nothing bounces or shatters, however leaves differ: lower side, upper side, wood */
    double log_adheres[3][DROPLET_BORDER_POINTS];
} droplet_targets;

void droplet_targets_make(const drupelet_scenario *scenario, uint64_t seed, droplet_targets *targets);

typedef enum { DROPLET_ON_LEAF, DROPLET_ON_WOOD, DROPLET_ON_GRASS } droplet_target;

typedef struct {
    droplet_target target;
    droplet_outcome outcome;
    int upper_side;   /* leaf: 1 upper, 0 lower */
    double normal_speed_m_s; /* leaf, wood: at which the droplet arrives */
    double kept;      /* share of the droplet that stays there; 1: all, 0: none */
    float path_limit; /* cover to the target after this one: exponential */
    /* Secondary droplets fly as two parcels of half of what leaves each; the lane holds the first, this the second.
     * Sizes and directions are drawn for each: either may stand for both. */
    int splashed;
    float second_diameter_m, second_whole_m, second_path_limit, second_velocity_m_s[3];
} droplet_encounter;

/** Settles what happens to lane i, which was found to be hit, and gives it a new path limit. A droplet that bounces
 * keeps its liquid and flies on; one that shatters flies on as its secondary droplets, with smaller diameters. */
droplet_encounter droplet_meet(const droplet_setting *setting, const droplet_targets *targets, droplet_batch *batch,
                               int i);

/** Target, outcome, side and speed of the same encounter; kept is 1, and the lane stays as it is. */
droplet_encounter droplet_look(const droplet_setting *setting, const droplet_targets *targets,
                               const droplet_batch *batch, int i);

#endif
