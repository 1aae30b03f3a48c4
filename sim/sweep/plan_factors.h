/* sim/sweep/plan_factors.h - what the two files that read a plan share. */
#ifndef SWEEP_PLAN_FACTORS_H
#define SWEEP_PLAN_FACTORS_H

#include "sweep/plan.h"

/** Reads factors and listed cases. */
drupelet_status sweep_read_factors(sweep_plan *plan);

/** Refuses a key that is not known, and names the one that was meant, or all. @param known ends with NULL */
drupelet_status sweep_known_keys(const scenario_node *group, const char *const known[]);
/** The entry of a group, if something was written; else NULL. */
const scenario_node *sweep_given(const scenario_node *group, const char *key);
/** A word, a whole number; left alone where the key is not given. */
drupelet_status sweep_take_word(const scenario_node *group, const char *key, const char *const words[], int *word);
drupelet_status sweep_take_count(const scenario_node *group, const char *key, double low, double high, int64_t *count);
/** "a, b or c". */
void sweep_list_names(const char *const names[], char *text, size_t room);

#endif
