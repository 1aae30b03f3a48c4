/* sim/store/canopy_csv.c - reads a canopy from comma-separated values: one voxel a line. */
#include <stdio.h>
#include <stdlib.h>

#include "base/csv.h"
#include "base/status.h"
#include "store/canopy_file.h"

#define MOST_LINES 5000000   /* choices: larger canopies are for HDF5 */
#define MOST_VOXELS 20e6
#define MOST_BYTES ((size_t)400000000)

static const char *const AXIS[STORE_CANOPY_AXES] = {"x", "y", "z"};

typedef struct {
    double place[STORE_CANOPY_AXES];
    float leaf, wood;
    int row, line, column[STORE_CANOPY_AXES]; /* line and columns where the places stand */
} voxel_line;

typedef struct {
    int64_t n, room;
    voxel_line *line;
} lines;

static bool grow(lines *l)
{
    if (l->n < l->room)
        return true;
    const int64_t room = l->room > 0 ? 2 * l->room : 4096;
    voxel_line *more = realloc(l->line, (size_t)room * sizeof *more);
    if (!more)
        return false;
    l->line = more;
    l->room = room;
    return true;
}

static void read_lines(base_csv *csv, lines *l, int *n_rows)
{
    const int leaf = base_csv_column(csv, "LAD"), wood = base_csv_column(csv, "WAD"),
              row = base_csv_column(csv, "row");
    int column[STORE_CANOPY_AXES];
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++)
        column[axis] = base_csv_column(csv, AXIS[axis]);
    *n_rows = 1;
    while (base_csv_next(csv)) {
        if (!grow(l)) {
            csv->status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", csv->path);
            return;
        }
        if (l->n == MOST_LINES) {
            base_csv_refuse_at(csv, csv->line, 1, "", "more voxels", "at most %d (an HDF5 file may hold more)",
                                MOST_LINES);
            return;
        }
        voxel_line *v = &l->line[l->n++];
        for (int axis = 0; axis < STORE_CANOPY_AXES; axis++) {
            v->place[axis] = base_csv_number(csv, column[axis], axis == 0 ? -STORE_CANOPY_PLACE_MOST_M : 0.0,
                                              STORE_CANOPY_PLACE_MOST_M, "a place in m");
            v->column[axis] = csv->cell[column[axis]].column;
        }
        v->leaf = (float)base_csv_number(csv, leaf, 0.0, STORE_CANOPY_DENSITY_MOST, "a leaf area density in m2/m3");
        v->wood = 0.0f;
        if (wood >= 0)
            v->wood =
                (float)base_csv_number(csv, wood, 0.0, STORE_CANOPY_DENSITY_MOST, "a wood area density in m2/m3");
        const double number = row >= 0 ? base_csv_number(csv, row, 1, SCENARIO_ROWS, "the number of a row") : 1.0;
        v->row = (int)number;
        if ((double)v->row < number)
            base_csv_refuse(csv, row, "a whole number from 1 to %d", SCENARIO_ROWS);
        *n_rows = v->row > *n_rows ? v->row : *n_rows;
        v->line = csv->line;
    }
}

/* Puts the voxels on the grid. @param first [voxel] line that filled a voxel, 0: none */
static void place_voxels(base_csv *csv, const lines *l, const store_canopy_grid *grid, scenario_measured_canopy *m,
                         int *first)
{
    char found[64], expected[160];
    for (int64_t i = 0; i < l->n && csv->status.code == DRUPELET_OK; i++) {
        const voxel_line *from = &l->line[i];
        int index[STORE_CANOPY_AXES];
        for (int axis = 0; axis < STORE_CANOPY_AXES; axis++) {
            index[axis] = store_canopy_index(grid, axis, from->place[axis]);
            if (index[axis] >= 0)
                continue;
            snprintf(found, sizeof found, "%.6g", from->place[axis]);
            store_canopy_expected(grid, axis, expected);
            base_csv_refuse_at(csv, from->line, from->column[axis], AXIS[axis], found, "%s", expected);
            return;
        }
        const int64_t v = (((int64_t)(from->row - 1) * m->nz + index[2]) * m->ny + index[1]) * m->nx + index[0];
        if (first[v]) {
            base_csv_refuse_at(csv, from->line, from->column[0], "", "a voxel for the second time",
                                "each voxel once (it stands in line %d)", first[v]);
            return;
        }
        first[v] = from->line;
        m->leaf_area_density_1_m[v] = from->leaf;
        if (m->wood_area_density_1_m)
            m->wood_area_density_1_m[v] = from->wood;
    }
}

/* A row without a single line counts as forgotten. */
static void check_rows(base_csv *csv, const lines *l, int n_rows)
{
    bool there[SCENARIO_ROWS + 1] = {false};
    char found[64];
    for (int64_t i = 0; i < l->n; i++)
        there[l->line[i].row] = true;
    for (int row = 1; row <= n_rows; row++)
        if (!there[row]) {
            snprintf(found, sizeof found, "no voxel of row %d", row);
            base_csv_refuse_at(csv, csv->line, 1, "row", found, "voxels of every row from 1 to %d", n_rows);
            return;
        }
}

/* The grid of all lines. */
static drupelet_status find_grid(const lines *l, store_canopy_grid *grid, const char **fault)
{
    double *place[STORE_CANOPY_AXES];
    bool room = true;
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++) {
        place[axis] = malloc((size_t)l->n * sizeof *place[axis]);
        room = room && place[axis];
        for (int64_t i = 0; i < l->n && place[axis]; i++)
            place[axis][i] = l->line[i].place[axis];
    }
    const int64_t n[STORE_CANOPY_AXES] = {l->n, l->n, l->n};
    const double *const of[STORE_CANOPY_AXES] = {place[0], place[1], place[2]};
    *fault = NULL;
    const drupelet_status status = room ? store_canopy_grid_find(n, of, grid, fault)
                                        : base_error(DRUPELET_MEMORY, "no memory for the canopy");
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++)
        free(place[axis]);
    return status;
}

static void make(base_csv *csv, const lines *l, int n_rows, scenario_measured_canopy **m)
{
    store_canopy_grid grid;
    const char *fault;
    csv->status = find_grid(l, &grid, &fault);
    if (fault)
        base_csv_refuse_at(csv, l->line[0].line, 1, "", "no regular grid", "%s", fault);
    if (csv->status.code != DRUPELET_OK)
        return;
    csv->status = store_canopy_create(&grid, n_rows, base_csv_column(csv, "WAD") >= 0, MOST_VOXELS, m);
    if (csv->status.code == DRUPELET_SCENARIO)
        csv->status = base_error(DRUPELET_SCENARIO, "%s:%d:1: %s", csv->path, l->line[0].line, csv->status.message);
    if (csv->status.code != DRUPELET_OK)
        return;
    int *first = calloc((size_t)scenario_measured_voxels(*m), sizeof *first);
    if (first)
        place_voxels(csv, l, &grid, *m, first);
    else
        csv->status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", csv->path);
    free(first);
}

drupelet_status store_canopy_read_csv(const char *path, scenario_measured_canopy **canopy)
{
    base_csv csv;
    lines l = {0};
    int n_rows = 1;
    *canopy = NULL;
    base_csv_open(path, MOST_BYTES, "x y z LAD WAD row", &csv);
    for (int axis = 0; axis < STORE_CANOPY_AXES; axis++)
        base_csv_need(&csv, AXIS[axis]);
    base_csv_need(&csv, "LAD");
    if (csv.status.code == DRUPELET_OK)
        read_lines(&csv, &l, &n_rows);
    if (csv.status.code == DRUPELET_OK && l.n == 0)
        base_csv_refuse_at(&csv, csv.line, 1, "", "no voxels", "one a line");
    if (csv.status.code == DRUPELET_OK)
        check_rows(&csv, &l, n_rows);
    if (csv.status.code == DRUPELET_OK)
        make(&csv, &l, n_rows, canopy);
    const drupelet_status status = csv.status;
    free(l.line);
    base_csv_close(&csv);
    if (status.code != DRUPELET_OK) {
        scenario_measured_free(*canopy);
        *canopy = NULL;
    }
    return status;
}
