/* sim/sweep/plan_factors.h - what the two files that read a plan share. */
#ifndef SWEEP_PLAN_FACTORS_H
#define SWEEP_PLAN_FACTORS_H

#include "scenario/reader.h"
#include "sweep/plan.h"

/** Reads factors and listed cases; the reader's status says what is wrong, if it is not in the one returned. */
drupelet_status sweep_read_factors(scenario_reader *r, sweep_plan *plan);

/** The entry of a group, if something was written; else NULL. */
const scenario_node *sweep_given(const scenario_node *group, const char *key);
/** The keys of a plan and of its factors (plan_keys.c). */
extern const scenario_table sweep_plan_keys;
/** Steps of a range: how many values (0: not given), and how they lie. */
typedef struct { int n; bool logarithmic; } sweep_steps;

#endif
