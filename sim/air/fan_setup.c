/* sim/air/fan_setup.c - the arrays of the fan's air, with the wind in all of them, and what the equations leave of
 * it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/fan_state.h"
#include "air/passing_jet.h"
#include "base/elementary.h"
#include "base/machine.h"
#include "base/status.h"

enum { LANES = 16 };

static drupelet_status make_arrays(fan_state *s)
{
    const size_t nx = (size_t)s->c->nx, ny = (size_t)s->c->ny, nz = (size_t)s->c->nz;
    const size_t row = (ny + 1 + 2 * FAN_HALO + LANES - 1) / LANES * LANES;
    s->row = (ptrdiff_t)row;
    s->level_count = (ptrdiff_t)nz + 1 + 2 * FAN_HALO;
    s->n_values = (nx + 1 + 2 * FAN_HALO) * (size_t)s->level_count * row;
    float **const array[] = {&s->u,       &s->v,       &s->w,     &s->k,      &s->e,        &s->p,         &s->nu,
                             &s->made,    &s->speed,   &s->drag,  &s->given,  &s->left[0],  &s->left[1],   &s->left[2],
                             &s->left[3], &s->left[4], &s->still, &s->change, &s->link_low, &s->link_high, &s->phi};
    const size_t n = sizeof array / sizeof array[0];
    const size_t floats = n * s->n_values + row; /* a vector may read beyond the end */
    s->memory = base_large_alloc(floats * sizeof *s->memory);
    s->room = calloc((size_t)s->n_threads + 1, sizeof *s->room);
    s->sums = calloc(2 * (nx + 1), sizeof *s->sums);
    s->stays = malloc(ny * sizeof *s->stays);
    s->leaf = malloc(nx * nz * sizeof *s->leaf);
    if (!s->memory || !s->room || !s->sums || !s->stays || !s->leaf)
        return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    memset(s->memory, 0, floats * sizeof *s->memory);
    for (size_t i = 0; i < n; i++)
        *array[i] = s->memory + i * s->n_values;
    const size_t each = fan_transport_room(s);
    for (int t = 0; t <= s->n_threads; t++) {
        s->room[t] = calloc(each, sizeof **s->room);
        if (!s->room[t]) return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    }
    for (size_t j = 0; j < row; j++)
        s->room[s->n_threads][j] = 1.0f;
    return base_ok();
}

static drupelet_status prepare(fan_state *s)
{
    const air_fan_case *c = s->c;
    const air_yielding *y = &c->yielding;
    s->leaves_yield = (y->of_wind > 0.0 || y->of_jet > 0.0) && y->half_exponent < 0.0;
    for (int i = 0; i < c->nx * c->nz; i++)
        s->leaf[i] = (float)c->leaf_drag_1_m[i];
    for (int j = 0; j < c->ny; j++) { /* from the middle of the cell before */
        const double way_m = j + 1 < c->ny ? s->mesh[FAN_Y].centre_m[j + 1] - s->mesh[FAN_Y].centre_m[j] : 0.0;
        s->stays[j] = c->travel_m_s > 0.0 ? (float)air_leaf_lag(y, way_m / c->travel_m_s) : 0.0f;
    }
    if (c->roughness_m > 0.0 && s->options.side[FAN_Z][0] == FAN_SLIP) {
        s->law = (float)base_log(s->mesh[FAN_Z].centre_m[0] / c->roughness_m);
        if (!(s->law > 0.0f))
            return base_error(
                DRUPELET_SCENARIO,
                "the cells of the fan's air are too low for a ground of %g m roughness: the middle of the "
                "lowest is at %g m",
                c->roughness_m, s->mesh[FAN_Z].centre_m[0]);
    }
    return base_ok();
}

/* What the equations leave of the wind alone, so that it can be taken off: the wind is then their solution. */
static void find_left(fan_state *s)
{
    s->finding_left = true;
    fan_settle(s);
    fan_step_momentum(s);
    if (s->options.viscosity_m2_s == 0.0) fan_step_turbulence(s);
    s->finding_left = false;
}

drupelet_status fan_state_create(const air_fan_case *c, fan_options options, int n_threads, fan_state *s)
{
    if (options.side[FAN_Z][0] == FAN_OPEN) options.side[FAN_Z][0] = FAN_SLIP;
    *s = (fan_state){.c = c, .options = options, .n_threads = n_threads};
    const int n[FAN_AXES] = {c->nx, c->ny, c->nz};
    const double *const face_m[FAN_AXES] = {c->x_face_m, c->y_face_m, c->z_face_m};
    drupelet_status status = base_ok();
    for (int a = 0; a < FAN_AXES && status.code == DRUPELET_OK; a++)
        status = fan_mesh_create(n[a], face_m[a], options.side[a], &s->mesh[a]);
    if (status.code == DRUPELET_OK) status = make_arrays(s);
    if (status.code == DRUPELET_OK) status = prepare(s);
    if (status.code == DRUPELET_OK)
        status = fan_pressure_create(s->mesh, (const fan_side(*)[2])s->options.side, n_threads, &s->pressure);
    if (status.code == DRUPELET_OK) status = fan_fill_with_wind(s);
    if (status.code == DRUPELET_OK) status = fan_list_places(s);
    if (status.code != DRUPELET_OK) return status;
    s->step_s = 1.0;
    s->weight = FAN_HEAVY;
    for (int i = 0; i < c->nx; i++)
        for (int k = 0; k < c->nz; k++)
            fan_find_divergence(s, i, k, 1.0f, s->still + fan_at(s, i, k));
    find_left(s);
    return status;
}

void fan_state_free(fan_state *s)
{
    for (int a = 0; a < FAN_AXES; a++)
        fan_mesh_free(&s->mesh[a]);
    fan_pressure_free(s->pressure);
    fan_free_places(s);
    for (int t = 0; s->room && t <= s->n_threads; t++)
        free(s->room[t]);
    free(s->room);
    free(s->sums);
    free(s->stays);
    free(s->leaf);
    free(s->memory);
}
