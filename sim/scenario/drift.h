/* sim/scenario/drift.h - the numbers by which drift is told, with their distances downwind of the block: the one list
 * for run.target, the accounts, result files, sweeps, scores and texts. */
#ifndef SCENARIO_DRIFT_H
#define SCENARIO_DRIFT_H

typedef enum {
    SCENARIO_DRIFT_GROUND,   /* deposit on the ground at a distance, mean over 1 m, over the application rate */
    SCENARIO_DRIFT_AIRBORNE, /* net flux through the upright plane there, all heights, over the output */
    SCENARIO_DRIFT_SUM       /* on the ground beyond it or airborne out of the domain downwind, over the output */
} scenario_drift_kind;

typedef struct {
    const char *name;           /* as scenarios, files and options have it: "ground_5_m" */
    scenario_drift_kind kind;
    double distance_m;          /* downwind of the block */
    const char *meaning;        /* in words, with what it is a percentage of */
} scenario_drift_number;

/** How many there are of each kind; they stand in the order of the kinds, each from near to far. */
enum {
    SCENARIO_CURVE = 8,
    SCENARIO_PLANES = 4,
    SCENARIO_SUMS = 4,
    SCENARIO_DRIFT_NUMBERS = SCENARIO_CURVE + SCENARIO_PLANES + SCENARIO_SUMS
};
extern const scenario_drift_number scenario_drift_numbers[SCENARIO_DRIFT_NUMBERS];

/** First number of a kind, and how many there are of it. */
int scenario_drift_first(scenario_drift_kind kind);
int scenario_drift_count(scenario_drift_kind kind);
/** Number of a name, or -1. */
int scenario_drift_named(const char *name);

#endif
