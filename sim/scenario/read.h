/* sim/scenario/read.h - a scenario from text that is already in memory; what drupelet_scenario_read()
 * (store/open_scenario.c) is made of. */
#ifndef SCENARIO_READ_H
#define SCENARIO_READ_H

#include <stddef.h>

#include "scenario/node.h"
#include "scenario/scenario.h"

/** @param file name for messages and for the default of name  @param text not taken over; a copy goes into the scenario
 *  @param scenario out: as of drupelet_scenario_read() */
drupelet_status scenario_read_text(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                                   int n_settings, drupelet_scenario **scenario);

/** A scenario file as a tree, with settings. @param root out: ended with scenario_node_free(), also after a failure */
drupelet_status scenario_load(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                              int n_settings, scenario_node **root);
/** The scenario of a tree.
 *  @param measured the canopy that canopy.measured names, taken over, also after a failure; NULL: none
 *  @param root stays the caller's, though groups that are
 *  missing are added to it  @param text kept in the scenario as what was read */
drupelet_status scenario_read_tree(const char *file, scenario_node *root, const char *text, size_t n_bytes,
                                   scenario_measured_canopy *measured, drupelet_scenario **scenario);
/** The file that canopy.measured names, found and readable; "" where the scenario names none (or does not get so far:
 *  the reading proper says why). A name counts from the folder of the file in which it stands, one in a setting from
 *  the current one.
 *  @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status scenario_measured_of_tree(const scenario_node *root, char path[SCENARIO_PLACE]);
/** The file's name without folder and ending, what is no text as blanks: the default of a name. */
void scenario_bare_name(const char *file, char name[SCENARIO_TEXT]);
enum { SCENARIO_MOST_KIB = 256 }; /* of a scenario file */
/** Bytes of a file, with a zero byte behind them. @param what_for such as "a plan"  @param most_KiB that it may have
 *  @param text out: the caller frees it; NULL on failure */
drupelet_status scenario_file_text(const char *path, const char *what_for, int most_KiB, char **text, size_t *n_bytes);

#endif
