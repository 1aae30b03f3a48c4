/* tests/synthetic_result.h - a result made by hand: no physics of the project in it, but accounts that close, so that
 * tally, store and report can be tested on their own. Droplets fly through a rough caricature of fan and wind. */
#ifndef SYNTHETIC_RESULT_H
#define SYNTHETIC_RESULT_H

#include "run/run.h"

typedef struct {
    drupelet_scenario scenario; /* borrowed by the result */
    drupelet_result *result;
} synthetic_run;

enum { SYNTHETIC_DROPLETS = 8192, SYNTHETIC_ROWS = 8 };

/** @param downwind 1 or -1: the way the wind blows across the rows. Ends the test without memory. */
synthetic_run *synthetic_run_create(int downwind);
void synthetic_run_free(synthetic_run *run);

#endif
