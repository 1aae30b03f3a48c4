/* sim/sweep/plan_keys.c - the keys of a plan, and of its factors. docs/sweeps.md has the table of the plan's. */
#include "scenario/key_rows.h"
#include "sweep/plan_factors.h"

static const scenario_word designs[] = {{"grid", SWEEP_GRID},
                                        {"listed", SWEEP_LISTED},
                                        {"latin_hypercube", SWEEP_LATIN_HYPERCUBE},
                                        {"sobol", SWEEP_SOBOL},
                                        {NULL, 0}};
static const scenario_word keeps[] = {
    {"fates", SWEEP_FATES}, {"profiles", SWEEP_PROFILES}, {"full", SWEEP_FULL}, {NULL, 0}};
static const scenario_word forms[] = {{"uniform", SWEEP_UNIFORM},
                                      {"log_uniform", SWEEP_LOG_UNIFORM},
                                      {"triangular", SWEEP_TRIANGULAR},
                                      {"normal", SWEEP_NORMAL},
                                      {"log_normal", SWEEP_LOG_NORMAL},
                                      {NULL, 0}};
static const scenario_word spacings[] = {{"linear", false}, {"logarithmic", true}, {NULL, 0}};

/* What is no single value of one kind is read by hand. */
#define ANY(path, what, reason, meaning) LIST(path, BY_HAND, what, 0, 0, NO_AIR, "", reason, meaning)
#define SEED_MOST 1e18

static const scenario_key rows[] = {
    TEXT("name", IN(sweep_plan, name), SCENARIO_TEXT, NO_AIR, "", "name of the file", "title of results and pictures"),
    TEXT("scenario", BY_HAND, SCENARIO_PLACE, NO_AIR, NULL, "", "file of the base scenario"),
    ANY("set", "group of keys", "nothing", "paths and values that replace those of the base scenario in all cases"),
    WORD("design", IN(sweep_plan, design), designs, NO_AIR, "grid", "choice", "how the points lie"),
    COUNT("samples", IN_OR(sweep_plan, samples, ""), 1, SWEEP_MOST_CASES, NO_AIR, "", "required where points are drawn",
          "points to draw, of the last two designs"),
    WORD("indices", IN(sweep_plan, indices), scenario_answers, NO_AIR, "no", "choice",
         "`yes`: a `sobol` design for sensitivity indices, `samples` times (factors + 2) points"),
    COUNT("design_seed", IN(sweep_plan, design_seed), 0, SEED_MOST, NO_AIR, "1", "choice",
          "seed of the drawing and scrambling"),
    ANY("factors", "list of factors", "required; optional for `listed`", "what varies, up to 24"),
    ANY("cases", "list of cases", "required for `listed`",
        "of the `listed` design: groups of keys (or names of factors) and values"),
    COUNT("replicates", IN(sweep_plan, n_replicates), 1, 10000, NO_AIR, "1", "choice",
          "cases of each point, each with a seed of its own: other droplets, other trees"),
    COUNT("seed", IN_OR(sweep_plan, seed, ""), 0, SEED_MOST, NO_AIR, "", "that of the base scenario",
          "`run.seed` of the first replicate; the next has the next number"),
    WORD("common_random_numbers", IN(sweep_plan, common), scenario_answers, NO_AIR, "yes", "choice",
         "`no`: every case has a seed of its own"),
    ANY("droplets", "as `run.droplets`", "as the base scenario says", "droplets of a case"),
    ANY("target_error", "as `run.target_error`", "as the base scenario says",
        "relative standard error at which a case stops"),
    ANY("target", "as `run.target`", "as the base scenario says",
        "number that it is about. The usual target, `airborne_5_m`, takes some thousand droplets a case for 2 %; "
        "`ground_5_m` takes 200,000 to a million"),
    WORD("keep", IN(sweep_plan, keep), keeps, NO_AIR, "fates", "choice",
         "`fates`: the table; `profiles`: ground deposit by distance and leaf deposit by height as well; `full`: the "
         "result file of every case, in a folder beside the result"),

    ANY("factors.*.name", "", "", ""),
    ANY("factors.*.key", "", "", ""),
    ANY("factors.*.values", "", "", ""),
    ANY("factors.*.options", "", "", ""),
    ANY("factors.*.from", "", "", ""),
    ANY("factors.*.to", "", "", ""),
    COUNT("factors.*.steps", IN_OR(sweep_steps, n, ""), 2, 100000, NO_AIR, "", "every value between", ""),
    WORD("factors.*.spacing", IN(sweep_steps, logarithmic), spacings, NO_AIR, "linear", "choice", ""),
    WORD("factors.*.distribution", IN(sweep_distribution, form), forms, NO_AIR, NULL, "", ""),
    ANY("factors.*.low", "", "", ""),
    ANY("factors.*.high", "", "", ""),
    ANY("factors.*.mode", "", "", ""),
    ANY("factors.*.mean", "", "", ""),
    ANY("factors.*.standard_deviation", "", "", ""),
};

const scenario_table sweep_plan_keys = {rows, sizeof rows / sizeof rows[0]};
