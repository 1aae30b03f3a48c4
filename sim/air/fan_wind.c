/* sim/air/fan_wind.c - the wind far from the sprayer on the mesh of the fan's air.
 *
 * It is given in the middles of cells. On faces across x and z stand means of the cells beside them, and then the least
 * change that leaves no divergence on this mesh (flow_pressure.c): what flows into a cell flows out of it. The wind's k
 * follows from the constants of flow_constants.h, in which the same stress goes with more energy than in those of jets:
 * here k is scaled so that its eddy viscosity is the wind's, k = k_wind sqrt(FLOW_CMU / FAN_CMU), which keeps
 * u* = Cmu^(1/4) sqrt(k), too. */
#include <math.h>
#include <stdlib.h>

#include "air/fan_state.h"
#include "air/flow_constants.h"
#include "air/flow_mesh.h"
#include "air/flow_pressure.h"
#include "base/status.h"

float fan_k_of_wind(float k_m2_s2)
{
    return fan_more(k_m2_s2 * (float)sqrt(FLOW_CMU / (double)FAN_CMU), FAN_LEAST_K);
}

/* @param u [nx + 1][nz] and w [nx][nz + 1] on faces, in and out */
static drupelet_status take_divergence(const fan_state *s, double *u, double *w)
{
    const int nx = s->c->nx, nz = s->c->nz;
    air_flow_case section;
    air_flow_mesh mesh = {0};
    air_flow_pressure *pressure = NULL;
    drupelet_status status = air_flow_case_create(nx, nz, &section);
    const size_t cells = (size_t)nx * (size_t)nz;
    double *source = malloc(2 * cells * sizeof *source), *phi = source + cells;
    if (status.code == DRUPELET_OK && !source) status = base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    if (status.code == DRUPELET_OK) {
        for (int i = 0; i <= nx; i++)
            section.x_face_m[i] = s->c->x_face_m[i];
        for (int k = 0; k <= nz; k++)
            section.z_face_m[k] = s->c->z_face_m[k];
        status = air_flow_mesh_create(&section, &mesh);
    }
    if (status.code == DRUPELET_OK) status = air_flow_pressure_create(&mesh, &pressure);
    if (status.code == DRUPELET_OK) {
        for (int i = 0; i < nx; i++)
            for (int k = 0; k < nz; k++)
                source[i * nz + k] = (u[(i + 1) * nz + k] - u[i * nz + k]) * mesh.z.size[k]
                                     + (w[i * (nz + 1) + k + 1] - w[i * (nz + 1) + k]) * mesh.x.size[i];
        air_flow_pressure_solve(pressure, source, phi);
        for (int i = 0; i < nx; i++)
            for (int k = 0; k < nz; k++) {
                const double here = phi[i * nz + k], east = i + 1 < nx ? phi[(i + 1) * nz + k] : 0.0;
                u[(i + 1) * nz + k] -= (east - here) / mesh.x.gap[i + 1];
                if (k + 1 < nz) w[i * (nz + 1) + k + 1] -= (phi[i * nz + k + 1] - here) / mesh.z.gap[k + 1];
            }
    }
    free(source);
    air_flow_pressure_free(pressure);
    air_flow_mesh_free(&mesh);
    air_flow_case_free(&section);
    return status;
}

static int within(int i, int last)
{
    return i < 0 ? 0 : i > last ? last : i;
}

/* One number in all of a row. */
static void fill(const fan_state *s, float *array, int i, int k, float value)
{
    float *at = array + fan_at(s, i, k) - FAN_HALO;
    for (ptrdiff_t j = 0; j < s->row; j++)
        at[j] = value;
}

drupelet_status fan_fill_with_wind(fan_state *s)
{
    const air_fan_case *c = s->c;
    const int nx = c->nx, nz = c->nz;
    const fan_axis *x = &s->mesh[FAN_X].cells, *z = &s->mesh[FAN_Z].cells;
    double *u = calloc((size_t)(nx + 1) * (size_t)nz + (size_t)nx * (size_t)(nz + 1), sizeof *u);
    double *w = u + (size_t)(nx + 1) * (size_t)nz;
    if (!u) return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    for (int i = 0; i <= nx; i++)
        for (int k = 0; k < nz; k++)
            u[i * nz + k] = (double)x->low[i] * (double)c->u[within(i - 1, nx - 1) * nz + k]
                            + (double)x->high[i] * (double)c->u[within(i, nx - 1) * nz + k];
    const bool lid = s->options.side[FAN_Z][1] != FAN_OPEN;
    for (int i = 0; i < nx; i++)
        for (int k = 1; k <= nz - lid; k++)
            w[i * (nz + 1) + k] = (double)z->low[k] * (double)c->w[i * nz + k - 1]
                                  + (double)z->high[k] * (double)c->w[i * nz + within(k, nz - 1)];
    const drupelet_status status = take_divergence(s, u, w);
    for (int i = -FAN_HALO; i <= nx + FAN_HALO; i++)
        for (int k = -FAN_HALO; k <= nz + FAN_HALO; k++) {
            const int cell = within(i, nx - 1) * nz + within(k, nz - 1);
            fill(s, s->u, i, k, (float)u[within(i, nx) * nz + within(k, nz - 1)]);
            fill(s, s->v, i, k, c->v[cell]);
            fill(s, s->w, i, k, (float)w[within(i, nx - 1) * (nz + 1) + within(k, nz)]);
            fill(s, s->k, i, k, fan_k_of_wind(c->k[cell]));
            fill(s, s->e, i, k, fan_more(c->epsilon[cell], FAN_LEAST_EPSILON));
            fill(s, s->nu, i, k,
                 s->options.viscosity_m2_s > 0.0 ? (float)s->options.viscosity_m2_s
                                                 : FAN_CMU * fan_k_of_wind(c->k[cell]) * fan_k_of_wind(c->k[cell])
                                                       / fan_more(c->epsilon[cell], FAN_LEAST_EPSILON));
        }
    free(u);
    return status;
}
