/* sim/report/settings.h - the settings sheet: what a sprayer's settings give, before any simulation. */
#ifndef REPORT_SETTINGS_H
#define REPORT_SETTINGS_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"
#include "scenario/scenario.h"

/** Works the sheet out and prints it, for people or as JSON with units in the keys.
 *  @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status report_settings(const drupelet_scenario *scenario, FILE *to, bool json);

#endif
