/* sim/report/rate_sheet.h - the settings sheet read backwards: from a rate to flows, sizes, pressures and fan speed. */
#ifndef REPORT_RATE_SHEET_H
#define REPORT_RATE_SHEET_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"
#include "scenario/scenario.h"

/** Works out the settings for a rate and prints them, for people or as JSON with units in the keys.
 *  @param rate_m m3 per m2; 1e-7 m: 1 L/ha
 *  @param equal  every nozzle the same flow; otherwise in the proportions of the scenario
 *  @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status report_rate_sheet(const drupelet_scenario *scenario, double rate_m, bool equal, FILE *to, bool json);

#endif
