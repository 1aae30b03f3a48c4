/* sim/sweep/plan.h - the plan of a sweep: a base scenario, what varies, and by which design (docs/sweeps.md). */
#ifndef SWEEP_PLAN_H
#define SWEEP_PLAN_H

#include <stdbool.h>
#include <stdint.h>

#include "scenario/keys.h"
#include "scenario/node.h"
#include "scenario/scenario.h"
#include "scenario/units.h"
#include "sweep/draw.h"

enum {
    SWEEP_FACTORS = 24,        /* most of a plan */
    SWEEP_INDEX_FACTORS = 30,  /* more would need more dimensions than the Sobol' sequence here has */
    SWEEP_NAME = 64,           /* bytes of a factor's name, with its end */
    SWEEP_LABEL = 96,          /* bytes of a level as people read it, with the end */
    SWEEP_MOST_CASES = 100000000
};

typedef enum { SWEEP_GRID, SWEEP_LISTED, SWEEP_LATIN_HYPERCUBE, SWEEP_SOBOL } sweep_design;
typedef enum { SWEEP_FATES, SWEEP_PROFILES, SWEEP_FULL } sweep_keep;

typedef struct {
    char label[SWEEP_LABEL];
    double number;         /* in the factor's unit; NAN where it is no number */
    scenario_node *value;  /* owned; of a factor without a key a group of key paths and values */
} sweep_level;

typedef struct {
    char name[SWEEP_NAME];     /* letters, digits and _ */
    char key[SCENARIO_PATH];   /* "": each level sets keys of its own */
    const scenario_key *holds; /* of the key; NULL: a group, or no key */
    const scenario_node *node, *key_node; /* where the plan speaks of it, and of its key */
    bool numeric;              /* every level is a number with the key's unit */
    int n_levels;              /* 0: drawn from the distribution */
    sweep_level *level;
    bool continuous;           /* the distribution counts, in the key's unit */
    sweep_distribution distribution;
} sweep_factor;

typedef struct {
    char *file, *text;         /* of the plan */
    size_t n_text;
    scenario_node *root;
    char *base_file, *base_text;
    size_t n_base_text;
    scenario_node *base;       /* with what the plan sets for all cases */
    char name[SCENARIO_TEXT];
    sweep_design design;
    sweep_keep keep;
    int64_t samples;           /* of a Latin hypercube or a sequence */
    bool indices;              /* a sequence for sensitivity indices: samples * (factors + 2) points */
    bool common;               /* common random numbers: the same seed for every point */
    bool target_error;         /* droplets by their error */
    uint64_t design_seed, seed;
    int n_replicates, n_factors;
    sweep_factor factor[SWEEP_FACTORS];
    const scenario_node *cases; /* of the listed design */
    int *listed;                /* [point][factor] level */
    int64_t n_points, n_cases;  /* case c is replicate c % n_replicates of point c / n_replicates */
    scenario_measured_canopy *canopy; /* of the file that was read last; NULL: none */
    char **canopy_file;         /* [n_canopy_files] all that were read */
    int n_canopy_files;
} sweep_plan;

/** Reads a plan and its base scenario.
 *  @param plan out: the caller ends it with sweep_plan_free(); NULL on failure
 *  @return DRUPELET_OK, DRUPELET_SCENARIO ("file:line:column: key: found ..., expected ...") or DRUPELET_MEMORY */
drupelet_status sweep_plan_read(const char *path, sweep_plan **plan);
/** The same from text; the plan then names no scenario. @param name, base_name stand for the files in messages */
drupelet_status sweep_plan_read_text(const char *name, const char *text, const char *base_name, const char *base,
                                     sweep_plan **plan);
void sweep_plan_free(sweep_plan *plan); /* NULL is allowed */

/** What a factor is at a point. */
typedef struct {
    int i_level;               /* -1: none, the number counts */
    double number;             /* NAN where it is no number */
    char text[SWEEP_LABEL];    /* as people read it */
} sweep_setting;
sweep_setting sweep_plan_setting(const sweep_plan *plan, int64_t i_point, int i_factor);
uint64_t sweep_plan_seed(const sweep_plan *plan, int64_t i_case);
/** Unit of a factor's numbers, "" without. */
const char *sweep_factor_unit(const sweep_factor *factor);

/** The scenario of a case, checked. For many threads at once. @param scenario out: the caller's; NULL on failure
 *  @return as of drupelet_scenario_read(); faults point into the plan where it gave the value */
drupelet_status sweep_plan_scenario(sweep_plan *plan, int64_t i_case, drupelet_scenario **scenario);

#endif
