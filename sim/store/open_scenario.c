/* sim/store/open_scenario.c - reads a scenario file and, where it names one, the file with its canopy. */
#include <stdlib.h>

#include "base/c_locale.h"
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
    scenario_measured_canopy *measured = NULL;
    drupelet_status status = scenario_file_text(path, &text, &n_bytes);
    if (status.code == DRUPELET_OK) status = base_c_locale_enter(&former_locale);
    if (status.code == DRUPELET_OK) {
        canopy_path = malloc(SCENARIO_PLACE);
        status = canopy_path ? scenario_measured_file(path, text, n_bytes, settings, n_settings, canopy_path)
                             : base_error(DRUPELET_MEMORY, "no memory for the scenario");
    }
    if (status.code == DRUPELET_OK && canopy_path[0]) status = store_canopy_read(canopy_path, &measured);
    if (status.code == DRUPELET_OK)
        status = scenario_read_with(path, text, n_bytes, settings, n_settings, measured, scenario);
    base_c_locale_leave(former_locale);
    free(canopy_path);
    free(text);
    return status;
}
