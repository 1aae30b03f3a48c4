/* sim/scenario/measured.c - what a canopy given voxel by voxel says about the scenario, and what the scenario may still
 * say about it.
 *
 * Leaf area, height, base and width follow from the voxels. A tape reads a crown finer than voxels do, so height, base
 * and width may be given beside the file; they must then agree with it within the edge of a voxel. What only serves to
 * grow a canopy is refused: it would have no effect. */
#define _POSIX_C_SOURCE 200809L
#include "scenario/sections.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "scenario/read.h"

#define LENGTH_SLACK 0.005 /* of the canopy's length: places are written with a few digits */
#define EDGE_SLACK 0.01    /* of the edge of a voxel */

void scenario_measured_free(scenario_measured_canopy *measured)
{
    if (!measured)
        return;
    free(measured->wood_area_density_1_m);
    free(measured->leaf_area_density_1_m);
    free(measured);
}

/* ---- which file ---- */

static drupelet_status resolve(const char *file, const scenario_node *node, char path[SCENARIO_PLACE])
{
    const char *slash = strrchr(file, '/');
    const int n_folder = slash && node->text[0] != '/' && !node->setting ? (int)(slash - file) + 1 : 0;
    const int n = snprintf(path, SCENARIO_PLACE, "%.*s%s", n_folder, file, node->text);
    if (n >= SCENARIO_PLACE || strlen(node->text) >= SCENARIO_FILE)
        return scenario_node_error(node, NULL, NULL, "a shorter name of a file");
    FILE *canopy = fopen(path, "rb");
    const bool there = canopy && (fgetc(canopy) != EOF || !ferror(canopy)); /* a folder opens, but cannot be read */
    const int cause = errno;
    if (canopy)
        fclose(canopy);
    return there ? base_ok()
                 : scenario_node_error(node, NULL, NULL, "the file of a canopy (%s)", strerror(cause));
}

drupelet_status scenario_measured_of_tree(const scenario_node *root, char path[SCENARIO_PLACE])
{
    path[0] = '\0';
    const scenario_node *canopy = root->kind == SCENARIO_GROUP ? scenario_node_find(root, "canopy") : NULL;
    const scenario_node *node = canopy ? scenario_node_find(canopy, "measured") : NULL;
    if (!node || node->kind != SCENARIO_VALUE || scenario_node_empty(node))
        return base_ok();
    return resolve(node->file ? node->file : "", node, path);
}

/* ---- what it says ---- */

typedef struct {
    double height_m, base_m, width_m; /* 0 where there is neither leaf nor wood */
    double leaf_area_index, wood_area_index;
    bool leafless;
} measured_facts;

/* Single precision holds no more than six digits of a sum; so rounded, a canopy of our own comes back as it was. */
static double six_digits(double value)
{
    char text[32];
    snprintf(text, sizeof text, "%.6g", value);
    return strtod(text, NULL);
}

static measured_facts facts_of(const scenario_measured_canopy *m, double row_spacing_m)
{
    measured_facts f = {.base_m = m->nz * m->edge_m};
    const int64_t n = scenario_measured_voxels(m);
    double leaf = 0.0, wood = 0.0;
    int top = 0, lowest = m->nz, out = 0;
    for (int64_t v = 0; v < n; v++) {
        const int ix = (int)(v % m->nx), iz = (int)(v / ((int64_t)m->nx * m->ny) % m->nz);
        const double here_leaf = (double)m->leaf_area_density_1_m[v];
        const double here_wood = m->wood_area_density_1_m ? (double)m->wood_area_density_1_m[v] : 0.0;
        const int off = ix < m->nx / 2 ? m->nx / 2 - ix : ix - m->nx / 2 + 1; /* edges between row line and far side */
        leaf += here_leaf;
        wood += here_wood;
        if (here_leaf > 0.0 && iz < lowest)
            lowest = iz;
        if (here_leaf > 0.0 || here_wood > 0.0) {
            top = iz + 1 > top ? iz + 1 : top;
            out = off > out ? off : out;
        }
    }
    const double voxel_m3 = m->edge_m * m->edge_m * m->length_m / m->ny;
    const double ground_m2 = row_spacing_m * m->length_m * m->n_rows;
    f.leafless = !(leaf > 0.0);
    f.height_m = top * m->edge_m;
    f.base_m = f.leafless ? 0.0 : lowest * m->edge_m;
    f.width_m = 2.0 * out * m->edge_m;
    f.leaf_area_index = six_digits(leaf * voxel_m3 / ground_m2);
    f.wood_area_index = six_digits(wood * voxel_m3 / ground_m2);
    return f;
}

/* A key that may be given beside the file. */
static double take_near(scenario_reader *r, const scenario_node *group, const char *name, double of_file_m,
                        double slack_m)
{
    const double value_m = scenario_take_or(r, group, name, of_file_m, "from the canopy's file");
    if (fabs(value_m - of_file_m) > slack_m * (1.0 + 1e-9))
        scenario_refuse(r, group, name, "%.6g m, as in the canopy's file, or within %.6g m (a voxel) of it", of_file_m,
                        slack_m);
    return value_m;
}

/* Refuses a fact of the file that is out of the range of its key. */
static void check_range(scenario_reader *r, const scenario_node *node, const char *path, const char *what, double value)
{
    const scenario_key *key = scenario_key_of(path);
    char found[96];
    snprintf(found, sizeof found, "a canopy with %s of %.6g%s%s", what, value, key->unit[0] ? " " : "", key->unit);
    if (value < key->low * (1.0 - 1e-9) || value > key->high * (1.0 + 1e-9))
        scenario_refuse_node(r, node, found, "%g to %g", key->low, key->high);
}

static void check_fit(scenario_reader *r, const scenario_node *node, const scenario_orchard *o,
                      const scenario_measured_canopy *m, const measured_facts *f)
{
    char found[96];
    const double period_m = o->n_trees * o->tree_spacing_m;
    snprintf(found, sizeof found, "canopies of %d rows", m->n_rows);
    if (m->n_rows != 1 && m->n_rows != o->n_rows)
        scenario_refuse_node(r, node, found, "one row, or all of orchard.rows, %d", o->n_rows);
    snprintf(found, sizeof found, "a canopy %.6g m long", m->length_m);
    if (fabs(period_m - m->length_m) > LENGTH_SLACK * m->length_m)
        scenario_refuse_node(r, node, found, "orchard.trees times orchard.tree_spacing, %.6g m", period_m);
    snprintf(found, sizeof found, "a canopy %.6g m wide", m->nx * m->edge_m);
    if ((m->nx - 2) * m->edge_m > o->row_spacing_m - 1e-9) /* voxels may stick out where the crown does not */
        scenario_refuse_node(r, node, found, "at most orchard.row_spacing, %.6g m", o->row_spacing_m);
    const double voxels = (double)o->n_rows * m->nz * m->ny * m->nx;
    snprintf(found, sizeof found, "%.0f million voxels in all rows", 1e-6 * voxels);
    if (voxels > SCENARIO_VOXELS_MOST)
        scenario_refuse_node(r, node, found, "at most %g million", 1e-6 * SCENARIO_VOXELS_MOST);
    if (!(f->height_m > 0.0))
        scenario_refuse_node(r, node, "a canopy with neither leaves nor wood", "some of them");
    check_range(r, node, "canopy.height", "a height", f->height_m);
    check_range(r, node, "canopy.width", "a width", f->width_m);
    check_range(r, node, "canopy.base", "a base", f->base_m);
    check_range(r, node, "canopy.leaf_area_index", "a leaf area index", f->leaf_area_index);
    check_range(r, node, "canopy.wood_area_index", "a wood area index", f->wood_area_index);
}

/* Keys of the group canopy that a file of a measured canopy answers: of the leaves, and of the wood where it has it. */
static const char *const OF_LEAVES[] = {"crown",          "leaf_area_index", "profile",    "gaps",
                                        "tree_variation", "bough_variation", "bough_size", "shell_depth"};
static const char *const OF_WOOD[] = {"wood_area_index", "wood_heights"};
enum { N_OF_LEAVES = sizeof OF_LEAVES / sizeof OF_LEAVES[0], N_OF_WOOD = sizeof OF_WOOD / sizeof OF_WOOD[0] };

bool scenario_is_measured(const scenario_canopy *c, const char *key)
{
    for (int i = 0; c->measured && i < N_OF_LEAVES; i++)
        if (strcmp(key, OF_LEAVES[i]) == 0)
            return true;
    for (int i = 0; c->measured && c->measured->wood_area_density_1_m && i < N_OF_WOOD; i++)
        if (strcmp(key, OF_WOOD[i]) == 0)
            return true;
    return false;
}

void scenario_take_measured(scenario_reader *r, const scenario_node *canopy, const scenario_orchard *o,
                            scenario_canopy *c)
{
    const scenario_measured_canopy *m = c->measured;
    const scenario_node *node = scenario_good(r) ? scenario_node_find(canopy, "measured") : NULL;
    char name[SCENARIO_FILE] = "";
    scenario_take_text(r, canopy, "measured", name, sizeof name);
    if (!m)
        scenario_refuse(r, canopy, "measured", "no file, for none was read with this text");
    for (int i = 0; i < N_OF_LEAVES; i++)
        scenario_forbid(r, canopy, OF_LEAVES[i], "no such key beside canopy.measured, whose file has the leaves");
    for (int i = 0; i < N_OF_WOOD && m && m->wood_area_density_1_m; i++)
        scenario_forbid(r, canopy, OF_WOOD[i], "no such key beside a canopy file that has the wood");
    if (!scenario_good(r))
        return;
    const measured_facts f = facts_of(m, o->row_spacing_m);
    check_fit(r, node, o, m, &f);
    c->height_m = take_near(r, canopy, "height", f.height_m, m->edge_m);
    c->base_m = take_near(r, canopy, "base", f.base_m, f.leafless ? f.height_m : m->edge_m);
    if (c->base_m >= c->height_m)
        scenario_refuse(r, canopy, "base", "less than canopy.height, %.6g m", c->height_m);
    c->width_m = take_near(r, canopy, "width", f.width_m, m->edge_m);
    c->leaf_area_index = f.leaf_area_index;
    scenario_note(r, canopy, "leaf_area_index", "from the canopy's file", "%.6g", f.leaf_area_index);
    if (m->wood_area_density_1_m) {
        c->wood_area_index = f.wood_area_index;
        scenario_note(r, canopy, "wood_area_index", "from the canopy's file", "%.6g", f.wood_area_index);
    }
    c->voxel_m = m->edge_m;
    const double edge_m = scenario_take_or(r, canopy, "voxel", m->edge_m, "from the canopy's file");
    if (fabs(edge_m - m->edge_m) > EDGE_SLACK * m->edge_m)
        scenario_refuse(r, canopy, "voxel", "%.6g m, the edge in the canopy's file", m->edge_m);
}
