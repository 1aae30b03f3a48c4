/* sim/sweep/plan_cases.c - from a point of the design to the settings of a case and its checked scenario. */
#define _POSIX_C_SOURCE 200809L
#include <assert.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/read.h"
#include "store/canopy_file.h"
#include "sweep/plan.h"
#include "sweep/draw.h"

static drupelet_status no_memory(void)
{
    return base_error(DRUPELET_MEMORY, "no memory for the cases of the sweep");
}

uint64_t sweep_plan_seed(const sweep_plan *plan, int64_t i_case)
{
    return plan->seed + (uint64_t)(plan->common ? i_case % plan->n_replicates : i_case);
}

const char *sweep_factor_unit(const sweep_factor *factor)
{
    return factor->numeric && factor->holds && factor->holds->holds == SCENARIO_IS_QUANTITY ? factor->holds->unit : "";
}

/* Place of a point along a factor, in (0, 1). */
static double place(const sweep_plan *plan, int64_t i_point, int i_factor)
{
    if (plan->design == SWEEP_LATIN_HYPERCUBE)
        return sweep_latin(i_point, plan->n_points, i_factor, plan->design_seed);
    if (!plan->indices)
        return sweep_sobol((uint32_t)i_point, i_factor, plan->design_seed);
    /* A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259: points A and B of 2 k dimensions, and k points that are
     * A but for one coordinate of B; here A, the k, B, for each in turn */
    const int k = plan->n_factors, role = (int)(i_point % (k + 2));
    const bool of_b = role == k + 1 || role == i_factor + 1;
    return sweep_sobol((uint32_t)(i_point / (k + 2)), i_factor + (of_b ? k : 0), plan->design_seed);
}

static int level_of(const sweep_plan *plan, int64_t i_point, int i_factor)
{
    const sweep_factor *f = &plan->factor[i_factor];
    if (plan->design == SWEEP_LISTED)
        return plan->listed[i_point * plan->n_factors + i_factor];
    if (plan->design != SWEEP_GRID) {
        const int i = (int)(place(plan, i_point, i_factor) * f->n_levels);
        return i < f->n_levels ? i : f->n_levels - 1;
    }
    for (int i = plan->n_factors - 1; i > i_factor; i--) /* the last factor changes fastest */
        i_point /= plan->factor[i].n_levels;
    return (int)(i_point % f->n_levels);
}

sweep_setting sweep_plan_setting(const sweep_plan *plan, int64_t i_point, int i_factor)
{
    const sweep_factor *f = &plan->factor[i_factor];
    sweep_setting s = {.i_level = -1};
    if (!f->continuous) {
        s.i_level = level_of(plan, i_point, i_factor);
        s.number = f->level[s.i_level].number;
        memcpy(s.text, f->level[s.i_level].label, sizeof s.text);
        return s;
    }
    double value = sweep_quantile(&f->distribution, place(plan, i_point, i_factor));
    if (f->holds->holds == SCENARIO_IS_COUNT)
        value = floor(value + 0.5);
    char digits[40]; /* nine: more than any setting is known to, and fewer than would show the noise of a last bit */
    snprintf(digits, sizeof digits, "%.9g", value);
    s.number = strtod(digits, NULL);
    const char *unit = f->holds->holds == SCENARIO_IS_QUANTITY ? f->holds->unit : "";
    snprintf(s.text, sizeof s.text, "%s%s%s", digits, unit[0] ? " " : "", unit);
    return s;
}

static drupelet_status put_setting(const sweep_plan *plan, int64_t i_point, int i_factor, scenario_node *tree)
{
    const sweep_factor *f = &plan->factor[i_factor];
    const sweep_setting s = sweep_plan_setting(plan, i_point, i_factor);
    drupelet_status status = base_ok();
    if (s.i_level < 0) {
        scenario_node *value = scenario_node_value(s.text, f->node);
        status = value ? scenario_node_put(tree, f->key, value, f->key_node) : no_memory();
        scenario_node_free(value);
        return status;
    }
    const scenario_node *value = f->level[s.i_level].value;
    if (f->key[0])
        return scenario_node_put(tree, f->key, value, f->key_node);
    for (const scenario_node *one = value->first; one && status.code == DRUPELET_OK; one = one->next)
        status = scenario_node_put(tree, one->key, one, one);
    return status;
}

static scenario_measured_canopy *copy_of(const scenario_measured_canopy *m)
{
    const size_t n = (size_t)scenario_measured_voxels(m);
    scenario_measured_canopy *copy = malloc(sizeof *copy);
    if (!copy)
        return NULL;
    *copy = *m;
    copy->leaf_area_density_1_m = malloc(n * sizeof(float));
    copy->wood_area_density_1_m = m->wood_area_density_1_m ? malloc(n * sizeof(float)) : NULL;
    if (!copy->leaf_area_density_1_m || (m->wood_area_density_1_m && !copy->wood_area_density_1_m)) {
        scenario_measured_free(copy);
        return NULL;
    }
    memcpy(copy->leaf_area_density_1_m, m->leaf_area_density_1_m, n * sizeof(float));
    if (m->wood_area_density_1_m)
        memcpy(copy->wood_area_density_1_m, m->wood_area_density_1_m, n * sizeof(float));
    return copy;
}

/* Keeps the name of a canopy file: no output may take its place. */
static drupelet_status note_file(sweep_plan *plan, const char *path)
{
    for (int i = 0; i < plan->n_canopy_files; i++)
        if (strcmp(plan->canopy_file[i], path) == 0)
            return base_ok();
    char **more = realloc(plan->canopy_file, ((size_t)plan->n_canopy_files + 1) * sizeof *more);
    if (!more)
        return no_memory();
    plan->canopy_file = more;
    more[plan->n_canopy_files] = strdup(path);
    if (!more[plan->n_canopy_files])
        return no_memory();
    plan->n_canopy_files++;
    return base_ok();
}

/* The canopy of a file; it is read again only when the name changes. */
static drupelet_status open_canopy(sweep_plan *plan, const char *path, scenario_measured_canopy **canopy)
{
    drupelet_status status = base_ok();
    if (!plan->canopy || strcmp(path, plan->canopy->file) != 0) {
        scenario_measured_free(plan->canopy);
        plan->canopy = NULL;
        status = store_canopy_read(path, &plan->canopy);
        if (status.code == DRUPELET_OK) status = note_file(plan, path);
    }
    if (status.code == DRUPELET_OK && !(*canopy = copy_of(plan->canopy)))
        status = no_memory();
    return status;
}

/* The canopy's file, if the tree names one. Threads share what was read, and HDF5 may not be built for several. */
static drupelet_status take_canopy(sweep_plan *plan, const scenario_node *tree, scenario_measured_canopy **canopy)
{
    *canopy = NULL;
    char *path = malloc(SCENARIO_PLACE);
    drupelet_status status = path ? scenario_measured_of_tree(tree, path) : no_memory();
    if (status.code == DRUPELET_OK && path[0]) {
#pragma omp critical(sweep_hdf5)
        status = open_canopy(plan, path, canopy);
    }
    free(path);
    return status;
}

drupelet_status sweep_plan_scenario(sweep_plan *plan, int64_t i_case, drupelet_scenario **scenario)
{
    assert(i_case >= 0 && i_case < plan->n_cases);
    *scenario = NULL;
    scenario_measured_canopy *canopy = NULL;
    scenario_node *tree = scenario_node_copy(plan->base), *seed = NULL;
    drupelet_status status = tree ? base_ok() : no_memory();
    for (int i = 0; i < plan->n_factors && status.code == DRUPELET_OK; i++)
        status = put_setting(plan, i_case / plan->n_replicates, i, tree);
    if (status.code == DRUPELET_OK) {
        char text[32];
        snprintf(text, sizeof text, "%" PRIu64, sweep_plan_seed(plan, i_case));
        seed = scenario_node_value(text, plan->root);
        status = seed ? scenario_node_put(tree, "run.seed", seed, plan->root) : no_memory();
    }
    if (status.code == DRUPELET_OK)
        status = take_canopy(plan, tree, &canopy);
    if (status.code == DRUPELET_OK)
        status = scenario_read_tree(plan->base_file, tree, plan->base_text, plan->n_base_text, canopy, scenario);
    scenario_node_free(seed);
    scenario_node_free(tree);
    return status;
}
