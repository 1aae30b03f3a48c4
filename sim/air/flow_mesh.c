/* sim/air/flow_mesh.c - axes of the cells and of the shifted cells. */
#include "air/flow_mesh.h"

#include <stdlib.h>

#include "base/status.h"

static bool make_room(int n, air_flow_axis *axis)
{
    axis->n = n;
    axis->face = malloc((size_t)(n + 1) * sizeof *axis->face);
    axis->point = malloc((size_t)n * sizeof *axis->point);
    axis->size = malloc((size_t)n * sizeof *axis->size);
    axis->gap = malloc((size_t)(n + 1) * sizeof *axis->gap);
    axis->per_size = malloc((size_t)n * sizeof *axis->per_size);
    axis->per_gap = malloc((size_t)(n + 1) * sizeof *axis->per_gap);
    return axis->face && axis->point && axis->size && axis->gap && axis->per_size && axis->per_gap;
}

static void measure(air_flow_axis *axis, double before)
{
    const int n = axis->n;
    for (int i = 0; i < n; i++)
        axis->size[i] = axis->face[i + 1] - axis->face[i];
    axis->gap[0] = axis->point[0] - before;
    for (int i = 1; i < n; i++)
        axis->gap[i] = axis->point[i] - axis->point[i - 1];
    axis->gap[n] = axis->face[n] - axis->point[n - 1];
    for (int i = 0; i < n; i++)
        axis->per_size[i] = 1.0 / axis->size[i];
    for (int i = 0; i <= n; i++)
        axis->per_gap[i] = axis->gap[i] > 0.0 ? 1.0 / axis->gap[i] : 0.0;
}

/* @param face [n + 1] */
static bool make_axes(int n, const double *face, air_flow_axis *cells, air_flow_axis *shifted)
{
    if (!make_room(n, cells) || !make_room(n, shifted)) return false;
    for (int i = 0; i <= n; i++)
        cells->face[i] = face[i];
    for (int i = 0; i < n; i++) {
        cells->point[i] = 0.5 * (face[i] + face[i + 1]);
        shifted->face[i] = cells->point[i];
        shifted->point[i] = face[i + 1];
    }
    shifted->face[n] = face[n];
    measure(cells, face[0]);
    measure(shifted, face[0]); /* the point before the first stands on face 0 */
    return true;
}

static void axis_free(air_flow_axis *axis)
{
    free(axis->face);
    free(axis->point);
    free(axis->size);
    free(axis->gap);
    free(axis->per_size);
    free(axis->per_gap);
}

drupelet_status air_flow_mesh_create(const air_flow_case *flow_case, air_flow_mesh *mesh)
{
    *mesh = (air_flow_mesh){.nx = flow_case->nx, .nz = flow_case->nz};
    const bool across = make_axes(flow_case->nx, flow_case->x_face_m, &mesh->x, &mesh->x_of_u);
    const bool up = make_axes(flow_case->nz, flow_case->z_face_m, &mesh->z, &mesh->z_of_w);
    return across && up ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the wind");
}

void air_flow_mesh_free(air_flow_mesh *mesh)
{
    axis_free(&mesh->x);
    axis_free(&mesh->z);
    axis_free(&mesh->x_of_u);
    axis_free(&mesh->z_of_w);
}
