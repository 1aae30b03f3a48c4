/* sim/store/open_scenario.c - reads a scenario file and, where it names one, the file with its canopy. */
#include <stdlib.h>

#include "base/number.h"
#include "base/status.h"
#include "scenario/read.h"
#include "store/canopy_file.h"

drupelet_status drupelet_scenario_read(const char *path, const char *const *settings, int n_settings,
                                       drupelet_scenario **scenario)
{
    *scenario = NULL;
    char *text = NULL, *canopy_path = NULL;
    size_t n_bytes = 0;
    void *former_locale = NULL;
    scenario_node *root = NULL;
    scenario_measured_canopy *measured = NULL;
    drupelet_status status = scenario_file_text(path, "a scenario", SCENARIO_MOST_KIB, &text, &n_bytes);
    if (status.code == DRUPELET_OK) status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK) status = scenario_load(path, text, n_bytes, settings, n_settings, &root);
    if (status.code == DRUPELET_OK && !(canopy_path = malloc(SCENARIO_PLACE)))
        status = base_error(DRUPELET_MEMORY, "no memory for the scenario");
    if (status.code == DRUPELET_OK) status = scenario_measured_of_tree(root, canopy_path);
    if (status.code == DRUPELET_OK && canopy_path[0]) status = store_canopy_read(canopy_path, &measured);
    if (status.code == DRUPELET_OK) status = scenario_read_tree(path, root, text, n_bytes, measured, scenario);
    scenario_node_free(root);
    base_c_locale_leave(former_locale);
    free(canopy_path);
    free(text);
    return status;
}
