/* sim/air/fan_result.c - cases and results of the fan's air: room for them, and what a solved flow returns. */
#include <stdlib.h>
#include <string.h>

#include "air/fan_state.h"
#include "base/status.h"

drupelet_status air_fan_case_create(int nx, int ny, int nz, int n_sources, air_fan_case *c)
{
    const size_t x = (size_t)nx, y = (size_t)ny, z = (size_t)nz, section = x * z;
    *c = (air_fan_case){.nx = nx,
                        .ny = ny,
                        .nz = nz,
                        .x_face_m = calloc(x + 1, sizeof(double)),
                        .y_face_m = calloc(y + 1, sizeof(double)),
                        .z_face_m = calloc(z + 1, sizeof(double)),
                        .u = calloc(section, sizeof(float)),
                        .v = calloc(section, sizeof(float)),
                        .w = calloc(section, sizeof(float)),
                        .k = calloc(section, sizeof(float)),
                        .epsilon = calloc(section, sizeof(float)),
                        .drag_1_m = calloc(section, sizeof(double)),
                        .leaf_drag_1_m = calloc(section, sizeof(double)),
                        .body = calloc(x * y * z, 1),
                        .n_sources = n_sources,
                        .source = calloc((size_t)n_sources + 1, sizeof(air_fan_source))};
    if (c->x_face_m && c->y_face_m && c->z_face_m && c->u && c->v && c->w && c->k && c->epsilon && c->drag_1_m
        && c->leaf_drag_1_m && c->body && c->source)
        return base_ok();
    air_fan_case_free(c);
    return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
}

void air_fan_case_free(air_fan_case *c)
{
    free(c->x_face_m);
    free(c->y_face_m);
    free(c->z_face_m);
    free(c->u);
    free(c->v);
    free(c->w);
    free(c->k);
    free(c->epsilon);
    free(c->drag_1_m);
    free(c->leaf_drag_1_m);
    free(c->body);
    free(c->source);
    *c = (air_fan_case){0};
}

drupelet_status air_fan_flow_create(int nx, int ny, int nz, air_fan_flow **flow)
{
    enum { ARRAYS = 6 };
    const size_t n = (size_t)nx * (size_t)ny * (size_t)nz;
    air_fan_flow *f = *flow = calloc(1, sizeof *f);
    if (!f) return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    *f = (air_fan_flow){.nx = nx,
                        .ny = ny,
                        .nz = nz,
                        .x_m = calloc((size_t)(nx + ny + nz), sizeof(double)),
                        .u = calloc(ARRAYS * n, sizeof(float))};
    if (!f->x_m || !f->u) {
        air_fan_flow_free(f);
        *flow = NULL;
        return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    }
    f->y_m = f->x_m + nx;
    f->z_m = f->y_m + ny;
    f->v = f->u + n;
    f->w = f->v + n;
    f->k = f->w + n;
    f->epsilon = f->k + n;
    f->given = f->epsilon + n;
    return base_ok();
}

void air_fan_flow_free(air_fan_flow *f)
{
    if (!f) return;
    free(f->x_m);
    free(f->u);
    free(f);
}

/* k of a cell on the wind's scale where there is no fan: the wind's own, and what the fan adds. */
static float k_of(const fan_state *s, ptrdiff_t row, int j, float wind_k)
{
    return wind_k + (s->k[row + j] - s->k[row - 1]);
}

drupelet_status fan_result(fan_state *s, fan_end end, air_fan_flow **flow)
{
    const air_fan_case *c = s->c;
    const int nx = c->nx, ny = c->ny, nz = c->nz;
    const ptrdiff_t plane = s->level_count * s->row;
    const drupelet_status status = air_fan_flow_create(nx, ny, nz, flow);
    if (status.code != DRUPELET_OK) return status;
    air_fan_flow *f = *flow;
    f->n_rounds = end.n_rounds;
    f->residual = end.residual;
    f->unsure = end.unsure;
    fan_find_budget(s, &f->budget);
    memcpy(f->x_m, s->mesh[FAN_X].centre_m, (size_t)nx * sizeof *f->x_m);
    memcpy(f->y_m, s->mesh[FAN_Y].centre_m, (size_t)ny * sizeof *f->y_m);
    memcpy(f->z_m, s->mesh[FAN_Z].centre_m, (size_t)nz * sizeof *f->z_m);
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++) {
            const ptrdiff_t at = fan_at(s, i, k);
            const float *u = s->u + at, *v = s->v + at, *w = s->w + at;
            const float wind_u = 0.5f * (u[-1] + u[plane - 1]), wind_v = v[-1], wind_w = 0.5f * (w[-1] + w[s->row - 1]);
            const float wind_k = c->k[i * nz + k];
            for (int j = 0; j < ny; j++) {
                const size_t to = ((size_t)i * (size_t)ny + (size_t)j) * (size_t)nz + (size_t)k;
                f->u[to] = 0.5f * (u[j] + u[j + plane]) - wind_u;
                f->v[to] = 0.5f * (v[j] + v[j + 1]) - wind_v;
                f->w[to] = 0.5f * (w[j] + w[j + s->row]) - wind_w;
                f->k[to] = k_of(s, at, j, wind_k);
                f->epsilon[to] = s->e[at + j];
                f->given[to] = s->given[at + j];
            }
        }
    return status;
}
