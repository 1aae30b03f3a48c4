/* sim/scenario/uncertain.h - keys whose values nobody knows well, each with the range in which it may lie and the
 * source of that range: what `drupelet run --uncertain` varies. */
#ifndef SCENARIO_UNCERTAIN_H
#define SCENARIO_UNCERTAIN_H

#include <stdbool.h>

#include "scenario/node.h"

/** What the bounds of a range are. */
typedef enum {
    SCENARIO_BETWEEN,    /* values in the unit of the key */
    SCENARIO_TIMES,      /* factors of the value that the scenario gives */
    SCENARIO_TO_TREETOPS,/* the upper one counts from the top of the trees */
    SCENARIO_BY_TIP      /* those of the generic tip of the kind (sprayer/generic_tips.csv) */
} scenario_uncertain_bounds;

typedef struct {
    const char *path;      /* general path of the key, such as "tips.*.generic_factor" */
    scenario_uncertain_bounds bounds;
    double low, high;
    bool logarithmic;      /* evenly spread by logarithms: a factor up is as likely as the same factor down */
    bool though_given;     /* also where the scenario gives the key: it has to be given, and is an estimate */
    bool of_leaves;        /* without leaves it changes nothing */
    const char *source;    /* of the range */
} scenario_uncertain;

extern const scenario_uncertain scenario_uncertain_keys[];
extern const int scenario_n_uncertain_keys;

enum { SCENARIO_INPUTS = 24, SCENARIO_INPUT_TEXT = 64 };

/** An input that varies, with the range that it has in a scenario, and one that could and does not. */
typedef struct {
    char key[SCENARIO_PATH];
    char low[SCENARIO_INPUT_TEXT], high[SCENARIO_INPUT_TEXT]; /* as they would be written */
    bool logarithmic;
    const char *source; /* "as asked" where the range came with the question */
} scenario_uncertain_input;
typedef struct { char key[SCENARIO_PATH]; const char *reason; } scenario_certain_input;

/** What varies in a scenario. */
typedef struct {
    int n, n_certain;
    scenario_uncertain_input input[SCENARIO_INPUTS];
    scenario_certain_input certain[SCENARIO_INPUTS];
} scenario_inputs;

#endif
