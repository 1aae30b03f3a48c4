/* sim/store/open_scenario.c - a scenario from a file, from text or from a tree of values, and, where it names one, the
 * file with its canopy. */
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/status.h"
#include "scenario/read.h"
#include "scenario/tree.h"
#include "store/canopy_file.h"

/* One a line: a break within a setting means a blank there. */
static drupelet_status note_settings(const char *const *settings, int n_settings, drupelet_scenario *scenario)
{
    size_t n = 1;
    for (int i = 0; i < n_settings; i++)
        n += strlen(settings[i]) + 1;
    char *to = scenario->settings = malloc(n);
    if (!to)
        return base_error(DRUPELET_MEMORY, "no memory for the scenario");
    for (int i = 0; i < n_settings; i++) {
        for (const char *from = settings[i]; *from; from++)
            *to++ = *from == '\n' || *from == '\r' ? ' ' : *from;
        *to++ = '\n';
    }
    *to = '\0';
    return base_ok();
}

/* @param seen false: messages name no lines of the text, for nobody has seen it */
static drupelet_status open_text(const char *name, const char *text, size_t n_bytes, bool seen,
                                 const char *const *settings, int n_settings, drupelet_scenario **scenario)
{
    char *canopy_path = malloc(SCENARIO_PLACE);
    void *former_locale = NULL;
    scenario_node *root = NULL;
    scenario_measured_canopy *measured = NULL;
    drupelet_status status =
        canopy_path ? base_c_locale_enter(&former_locale) : base_error(DRUPELET_MEMORY, "no memory for the scenario");
    if (status.code == DRUPELET_OK) status = scenario_load(name, text, n_bytes, NULL, 0, &root);
    if (status.code == DRUPELET_OK && !seen) scenario_node_forget_lines(root);
    for (int i = 0; i < n_settings && status.code == DRUPELET_OK; i++)
        status = scenario_node_set(root, settings[i]);
    if (status.code == DRUPELET_OK) status = scenario_measured_of_tree(root, canopy_path);
    if (status.code == DRUPELET_OK && canopy_path[0]) status = store_canopy_read(canopy_path, &measured);
    if (status.code == DRUPELET_OK) status = scenario_read_tree(name, root, text, n_bytes, measured, scenario);
    if (status.code == DRUPELET_OK) {
        status = note_settings(settings, n_settings, *scenario);
        if (status.code != DRUPELET_OK) {
            drupelet_scenario_free(*scenario);
            *scenario = NULL;
        }
    }
    scenario_node_free(root);
    base_c_locale_leave(former_locale);
    free(canopy_path);
    return status;
}

drupelet_status drupelet_scenario_read(const char *path, const char *const *settings, int n_settings,
                                       drupelet_scenario **scenario)
{
    char *text = NULL;
    size_t n_bytes = 0;
    *scenario = NULL;
    drupelet_status status = scenario_file_text(path, "a scenario", SCENARIO_MOST_KIB, &text, &n_bytes);
    if (status.code == DRUPELET_OK) status = open_text(path, text, n_bytes, true, settings, n_settings, scenario);
    free(text);
    return status;
}

static drupelet_status check_size(const char *name, size_t n_bytes)
{
    if (n_bytes <= (size_t)SCENARIO_MOST_KIB * 1024) return base_ok();
    return base_error(DRUPELET_SCENARIO, "%.160s: cannot be read: it is larger than %d KiB, too large for a scenario",
                      name, SCENARIO_MOST_KIB);
}

drupelet_status drupelet_scenario_read_text(const char *name, const char *text, size_t n_bytes,
                                            const char *const *settings, int n_settings, drupelet_scenario **scenario)
{
    *scenario = NULL;
    const drupelet_status status = check_size(name, n_bytes);
    return status.code == DRUPELET_OK ? open_text(name, text, n_bytes, true, settings, n_settings, scenario) : status;
}

drupelet_status drupelet_scenario_read_tree(const drupelet_tree *tree, const char *const *settings, int n_settings,
                                            drupelet_scenario **scenario)
{
    const char *name = scenario_tree_name(tree);
    char *text = NULL;
    size_t n_bytes = 0;
    *scenario = NULL;
    drupelet_status status = scenario_tree_text(tree, &text, &n_bytes);
    if (status.code == DRUPELET_OK) status = check_size(name, n_bytes);
    if (status.code == DRUPELET_OK) status = open_text(name, text, n_bytes, false, settings, n_settings, scenario);
    free(text);
    return status;
}
