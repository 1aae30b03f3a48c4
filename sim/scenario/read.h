/* sim/scenario/read.h - a scenario from text that is already in memory; drupelet_scenario_read() without the file. */
#ifndef SCENARIO_READ_H
#define SCENARIO_READ_H

#include <stddef.h>

#include "scenario/scenario.h"
#include "scenario/units.h"

/** @param file name for messages and for the default of name  @param text not taken over; a copy goes into the scenario
 *  @param units as from scenario_units_create()  @param scenario out: as of drupelet_scenario_read() */
drupelet_status scenario_read_text(const char *file, const char *text, size_t n_bytes, const char *const *settings,
                                   int n_settings, const scenario_units *units, drupelet_scenario **scenario);

#endif
