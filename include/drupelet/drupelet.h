/* include/drupelet/drupelet.h - all of the library: read a scenario, run it, ask the result or write it to a file.
 * docs/c.md has examples.
 *
 *     drupelet_scenario *scenario;
 *     drupelet_result *result = NULL;
 *     drupelet_status status = drupelet_scenario_read("block.yaml", NULL, 0, &scenario);
 *     if (status.code == DRUPELET_OK) status = drupelet_run(scenario, NULL, &result);
 *     if (status.code == DRUPELET_OK) status = drupelet_result_write(result, "block.h5", false);
 *     drupelet_result_free(result);
 *     drupelet_scenario_free(scenario); */
#ifndef DRUPELET_DRUPELET_H
#define DRUPELET_DRUPELET_H

#include "drupelet/quantities.h"
#include "drupelet/run.h"
#include "drupelet/scenario.h"
#include "drupelet/status.h"
#include "drupelet/sweep.h"
#include "drupelet/tree.h"

#endif
