/* sim/air/fan_turbulence.c - a step of the energy of the turbulence and of its dissipation in the fan's air. */
#include <math.h>

#include <omp.h>

#include "air/fan_state.h"
#include "air/wind.h"
#include "base/machine.h"

/* Shear on the edges along z, y and x of the cells of plane i: squares, [levels + 1][row] each.
 * du/dy + dv/dx on the corners of face i, du/dz + dw/dx likewise. */
BASE_WIDEST static void shear_of_face(const fan_state *s, int i, float *restrict flat, float *restrict tilted)
{
    const ptrdiff_t plane = s->level_count * s->row, row = s->row;
    const int ny = s->mesh[FAN_Y].n, nz = s->mesh[FAN_Z].n;
    const float *restrict gap_y = s->mesh[FAN_Y].cells.per_gap, *restrict gap_z = s->mesh[FAN_Z].cells.per_gap;
    const float gap_x = s->mesh[FAN_X].cells.per_gap[i];
    for (int k = 0; k <= nz; k++) {
        const ptrdiff_t at = fan_at(s, i, k);
        const float *restrict u = s->u + at, *restrict v = s->v + at, *restrict w = s->w + at;
        float *restrict one = flat + k * row, *restrict other = tilted + k * row;
        for (int j = 0; j <= ny; j++) {
            const float shear = (u[j] - u[j - 1]) * gap_y[j] + (v[j] - v[j - plane]) * gap_x;
            one[j] = shear * shear;
        }
        for (int j = 0; j < ny; j++) {
            const float shear = (u[j] - u[j - row]) * gap_z[k] + (w[j] - w[j - plane]) * gap_x;
            other[j] = shear * shear;
        }
    }
}

/* dv/dz + dw/dy on the edges along x of level face k of plane i. */
BASE_WIDEST static void shear_across(const fan_state *s, int i, int k, float *restrict to)
{
    const ptrdiff_t at = fan_at(s, i, k), row = s->row;
    const float *restrict v = s->v + at, *restrict w = s->w + at, *restrict gap_y = s->mesh[FAN_Y].cells.per_gap;
    const float gap_z = s->mesh[FAN_Z].cells.per_gap[k];
    const int ny = s->mesh[FAN_Y].n;
    for (int j = 0; j <= ny; j++) {
        const float shear = (v[j] - v[j - row]) * gap_z + (w[j] - w[j - 1]) * gap_y[j];
        to[j] = shear * shear;
    }
}

/* Production of level k: nu times the square of the rates of strain, the shear as mean of the four edges around. Its
 * stress is held to what turbulence of that energy can have: no normal stress below 0 in the worst direction (U.
 * Schumann, Phys. Fluids 20 (1977) 721; memory), which equilibrium never reaches. */
BASE_WIDEST static void produce(const fan_state *s, int i, int k, const float *restrict flat,
                                const float *restrict flat_east, const float *restrict tilted,
                                const float *restrict tilted_east, const float *restrict below,
                                const float *restrict above)
{
    const ptrdiff_t at = fan_at(s, i, k), plane = s->level_count * s->row, row = s->row;
    const float *restrict u = s->u + at, *restrict v = s->v + at, *restrict w = s->w + at, *restrict nu = s->nu + at;
    const float *restrict energy = s->k + at, *restrict per_y = s->mesh[FAN_Y].cells.per_size;
    const float per_x = s->mesh[FAN_X].cells.per_size[i], per_z = s->mesh[FAN_Z].cells.per_size[k];
    float *restrict made = s->made + at;
    const int ny = s->mesh[FAN_Y].n;
#pragma omp simd
    for (int j = 0; j < ny; j++) {
        const float a = (u[j + plane] - u[j]) * per_x, b = (v[j + 1] - v[j]) * per_y[j],
                    c = (w[j + row] - w[j]) * per_z;
        const float shear = ((flat[j] + flat[j + 1]) + (flat_east[j] + flat_east[j + 1]))
                            + ((tilted[j] + tilted[j + row]) + (tilted_east[j] + tilted_east[j + row]))
                            + ((below[j] + below[j + 1]) + (above[j] + above[j + 1]));
        const float square = 2.0f * ((a * a + b * b) + c * c) + 0.25f * shear;
        made[j] = fan_less(nu[j] * square, 2.0f / 3.0f * energy[j] * sqrtf(square));
    }
}

/* In lowest cells: friction times the shear that the logarithmic law has there. */
BASE_WIDEST static void produce_on_ground(const fan_state *s, int i)
{
    const ptrdiff_t at = fan_at(s, i, 0);
    const float *restrict energy = s->k + at, *restrict speed = s->speed + at;
    float *restrict made = s->made + at;
    const float kappa = (float)AIR_VON_KARMAN, height_m = (float)s->mesh[FAN_Z].centre_m[0];
    for (int j = 0; j < s->mesh[FAN_Y].n; j++) {
        const float friction = FAN_CMU_1_4 * sqrtf(energy[j]), stress = kappa * friction * speed[j] / s->law;
        made[j] = stress * stress / (kappa * friction * height_m);
    }
}

BASE_WIDEST static void produce_planes(const fan_state *s, int first, int last, float *room)
{
    const ptrdiff_t each = s->level_count * s->row, row = s->row;
    float *flat[2] = {room, room + each}, *tilted[2] = {room + 2 * each, room + 3 * each};
    float *across[2] = {room + 4 * each, room + 4 * each + row};
    if (first <= last) shear_of_face(s, first, flat[first % 2], tilted[first % 2]);
    for (int i = first; i <= last; i++) {
        const int west = i % 2, east = 1 - west;
        shear_of_face(s, i + 1, flat[east], tilted[east]);
        shear_across(s, i, 0, across[0]);
        for (int k = 0; k < s->mesh[FAN_Z].n; k++) {
            const ptrdiff_t of = k * row;
            shear_across(s, i, k + 1, across[(k + 1) % 2]);
            produce(s, i, k, flat[west] + of, flat[east] + of, tilted[west] + of, tilted[east] + of, across[k % 2],
                    across[(k + 1) % 2]);
        }
        if (s->law > 0.0f) produce_on_ground(s, i);
    }
}

static void find_production(fan_state *s)
{
    const int n = s->mesh[FAN_X].n;
#pragma omp parallel num_threads(s->n_threads)
    {
        const int t = omp_get_thread_num(), team = omp_get_num_threads();
        produce_planes(s, n * t / team, n * (t + 1) / team - 1, s->room[t] + FAN_HALO);
    }
}

BASE_WIDEST static void balance_k(const fan_state *s, int i, float *source, float *sink)
{
    const int ny = s->mesh[FAN_Y].n, nz = s->mesh[FAN_Z].n;
    for (int k = 0; k < nz; k++) {
        const ptrdiff_t at = fan_at(s, i, k);
        const float *restrict made = s->made + at, *restrict drag = s->drag + at, *restrict speed = s->speed + at;
        const float *restrict energy = s->k + at, *restrict e = s->e + at, *restrict left = s->left[3] + at;
        const float wind = fan_k_of_wind(s->c->k[(ptrdiff_t)i * nz + k]), per_wind = 1.0f / wind;
        float *restrict to = source + k * s->row, *restrict back = sink + k * s->row;
#pragma omp simd
        for (int j = 0; j < ny; j++) {
            const float leaves = drag[j], per_k = 1.0f / energy[j], falls = FAN_BD * leaves + e[j] * per_k;
            const float taken = fan_more(left[j], 0.0f);
            to[j] =
                (made[j] + leaves * speed[j] * speed[j]) - falls * energy[j] + taken * per_wind * (wind - energy[j]);
            back[j] = falls + taken * per_wind;
        }
    }
    fan_add_blown(s, &s->blown[3], i, s->k, source, sink);
}

/* 1/s: so fast dissipation follows where it is given (choice). */
#define GIVEN_1_S 1e4f

BASE_WIDEST static void balance_e(const fan_state *s, int i, float *source, float *sink)
{
    const int ny = s->mesh[FAN_Y].n, nz = s->mesh[FAN_Z].n;
    const float per_height = (float)(1.0 / (AIR_VON_KARMAN * s->mesh[FAN_Z].centre_m[0]));
    for (int k = 0; k < nz; k++) {
        const ptrdiff_t at = fan_at(s, i, k);
        const float *restrict made = s->made + at, *restrict drag = s->drag + at, *restrict speed = s->speed + at;
        const float *restrict energy = s->k + at, *restrict e = s->e + at, *restrict left = s->left[4] + at;
        const float wind = fan_more(s->c->epsilon[(ptrdiff_t)i * nz + k], FAN_LEAST_EPSILON), per_wind = 1.0f / wind;
        float *restrict to = source + k * s->row, *restrict back = sink + k * s->row;
#pragma omp simd
        for (int j = 0; j < ny; j++) {
            const float leaves = drag[j], per_k = e[j] / energy[j], falls = FAN_CE2 * per_k + FAN_C5 * FAN_BD * leaves;
            const float taken = fan_more(left[j], 0.0f);
            to[j] = (FAN_CE1 * made[j] + FAN_C4 * leaves * speed[j] * speed[j]) * per_k - falls * e[j]
                    + taken * per_wind * (wind - e[j]);
            back[j] = falls + taken * per_wind;
        }
        if (k == 0 && s->law > 0.0f)
            for (int j = 0; j < ny; j++) {
                const float friction = FAN_CMU_1_4 * sqrtf(energy[j]);
                to[j] = GIVEN_1_S * (friction * friction * friction * per_height - e[j]);
                back[j] = GIVEN_1_S;
            }
    }
    fan_add_blown(s, &s->blown[4], i, s->e, source, sink);
}

void fan_step_turbulence(fan_state *s)
{
    const fan_equation k = {.place = FAN_CELL,
                            .left = 3,
                            .spread = 1.0f / FAN_SIGMA_K,
                            .value = s->k,
                            .least = FAN_LEAST_K,
                            .balance = balance_k};
    const fan_equation e = {.place = FAN_CELL,
                            .left = 4,
                            .spread = 1.0f / FAN_SIGMA_E,
                            .value = s->e,
                            .least = FAN_LEAST_EPSILON,
                            .balance = balance_e};
    find_production(s);
    fan_step(s, &k);
    fan_step(s, &e);
}
