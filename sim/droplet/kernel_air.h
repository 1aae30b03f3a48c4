/* sim/droplet/kernel_air.h - what a step of the kernel reads: the air and the canopy where each lane is halfway through
 * it. Included by kernel_flight.c. */
#ifndef DROPLET_KERNEL_AIR_H
#define DROPLET_KERNEL_AIR_H

#include <string.h>

#include "droplet/kernel_scratch.h"

#define LANES_AHEAD 16 /* choice: far enough for the nodes to arrive in time */

/* Half a step ahead: where that is in the air, and what turns differences between nodes into slopes. The numbers of the
 * setting are copied before each loop: a load inside a condition would keep the loop from being vector code. */
static void find_cells(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const int32_t near_nx = s->near_nx, near_ny = s->near_ny, near_nz = s->near_nz;
    const int32_t ambient_nx = s->ambient_nx, ambient_ny = s->ambient_ny, ambient_nz = s->ambient_nz;
    const int32_t ambient_first = s->ambient_first;
    const float near_per_dx = s->near_per_dx, near_per_dy = s->near_per_dy, near_per_dz = s->near_per_dz;
    const float ambient_per_dx = s->ambient_per_dx, ambient_per_dz = s->ambient_per_dz;
    const float fine_from = s->ambient_fine_from_m, fine = s->ambient_fine_m, finer = s->ambient_finer_1_m;
    const float x_first = s->near_x_first_m, x_last = s->near_x_last_m, y_first = s->near_y_first_m,
                y_last = s->near_y_last_m;
    const float z_last = s->near_z_last_m, ambient_x_first = s->ambient_x_first_m, travel_speed = s->travel_speed_m_s;
    const float shortest = SHORTEST_STEP_S * s->step_scale;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float next_s = b->next_s[i], dt = next_s > shortest ? next_s : shortest, half = 0.5f * dt * b->aloft[i];
        const float x_mid = b->x_m[i] + b->u_m_s[i] * half, y_mid = b->y_m[i] + b->v_m_s[i] * half;
        const float z_mid = b->z_m[i] + b->w_m_s[i] * half;
        const int32_t pass = b->i_pass[i];
        const float heading = s->pass_heading[pass];
        const float across = x_mid - s->pass_x_m[pass];
        const float along = heading * y_mid - travel_speed * (b->time_s[i] + half);
        const int32_t first = s->pass_first[pass];
        const int32_t near_by =
            -((across > x_first) & (across < x_last) & (along > y_first) & (along < y_last) & (z_mid < z_last));
        const int32_t nx = either_int(near_by, near_nx, ambient_nx), ny = either_int(near_by, near_ny, ambient_ny);
        const int32_t nz = either_int(near_by, near_nz, ambient_nz);
        /* node numbers rise with x by straight lines, steeper where the ambient nodes are closer */
        const float from_first = x_mid - ambient_x_first, in_fine = from_first - fine_from;
        const float ambient_gx = from_first * ambient_per_dx + held(in_fine, 0.0f, fine) * finer;
        const int32_t closer = -((in_fine >= 0.0f) & (in_fine < fine));
        const float per_dx = either(near_by, near_per_dx, ambient_per_dx + either(closer, finer, 0.0f));
        const float per_dz = either(near_by, near_per_dz, ambient_per_dz);
        const float gx = either(near_by, (across - x_first) * near_per_dx, ambient_gx);
        const float gy = either(near_by, (along - y_first) * near_per_dy, 0.0f), gz = z_mid * per_dz;
        const float hx = held(gx, 0.0f, (float)nx - 1.01f), hy = held(gy, 0.0f, (float)ny - 1.01f);
        const float hz = held(gz, 0.0f, (float)nz - 1.01f);
        const int32_t ix = (int32_t)hx, iy = (int32_t)hy, iz = (int32_t)hz;
        const int32_t row = AIR_VALUES * ny, plane = row * nx;
        k->share_x[i] = hx - (float)ix;
        k->share_y[i] = hy - (float)iy;
        k->share_z[i] = hz - (float)iz;
        k->at[i] = either_int(near_by, first, ambient_first) + iz * plane + ix * row + iy * AIR_VALUES;
        k->row[i] = row;
        k->plane[i] = plane;
        k->per_dx[i] = per_dx;
        k->per_dy[i] = either(near_by, heading * near_per_dy, 0.0f); /* for slopes along +y */
        k->per_dz[i] = per_dz;
        k->heading[i] = either(near_by, heading, 1.0f);
        k->near_by[i] = either(near_by, 1.0f, 0.0f);
        k->frame_v[i] = either(near_by, heading * travel_speed, 0.0f);
        k->dt[i] = dt;
        k->x_mid[i] = x_mid;
        k->y_mid[i] = y_mid;
        k->z_mid[i] = z_mid;
    }
    /* Fetches the nodes around, which lie anywhere in the air of a pass, into the second cache: the first does not
     * hold those of all lanes. Two nodes side by side may share a cache line or not. This stands here, not in a
     * function: gcc 12 drops the call of one that only fetches, since it changes no value. */
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float *first = s->node + k->at[i];
        for (int corner = 0; corner < 4; corner++) {
            const float *pair = first + (corner & 1 ? k->row[i] : 0) + (corner & 2 ? k->plane[i] : 0);
            __builtin_prefetch(pair, 0, 2);
            __builtin_prefetch(pair + 2 * AIR_VALUES - 1, 0, 2);
        }
    }
}

/* As much of a node as the registers of any processor of a width take at once: all of it, or a half. */
#if defined(__AVX__)
typedef float of_node __attribute__((vector_size(32)));
#else
typedef float of_node __attribute__((vector_size(16)));
#endif
typedef float of_four __attribute__((vector_size(16)));
enum { AIR_AT_ONCE = sizeof(of_node) / sizeof(float) };

/* One lane's: values, and differences from node to node of the second half of a node, which turbulence needs. */
enum { HALF_NODE = AIR_VALUES - AIR_SIGMA };
typedef struct {
    alignas(32) float value[AIR_VALUES], step_x[HALF_NODE], step_y[HALF_NODE], step_z[HALF_NODE];
} reading;

static inline of_node node_at(const float *from)
{
    of_node node;
    memcpy(&node, from, sizeof node);
    return node;
}

/* Trilinear values, and the differences along each axis, from the eight nodes around. Not lane by lane but node by
 * node: eight loads of whole nodes instead of some forty gathered ones. */
static inline void read_nodes(const float *restrict node, const scratch *restrict k, int i, reading *restrict r)
{
    const float fx = k->share_x[i], fy = k->share_y[i], fz = k->share_z[i];
    const int32_t row = k->row[i], plane = k->plane[i];
    for (int i_value = 0; i_value < AIR_VALUES; i_value += AIR_AT_ONCE) {
        const float *first = node + k->at[i] + i_value;
        of_node at[2], x_step[2], z_step[2];
        for (int y = 0; y < 2; y++, first += AIR_VALUES) { /* by turns: all eight at once would not find registers */
            const of_node low = node_at(first), high = node_at(first + plane);
            const of_node x_low = node_at(first + row) - low, x_high = node_at(first + plane + row) - high;
            const of_node at_low = low + fx * x_low;
            z_step[y] = high + fx * x_high - at_low;
            at[y] = at_low + fz * z_step[y];
            x_step[y] = x_low + fz * (x_high - x_low);
        }
        const of_node step_y = at[1] - at[0], step_z = z_step[0] + fy * (z_step[1] - z_step[0]);
        const of_node step_x = x_step[0] + fy * (x_step[1] - x_step[0]), value = at[0] + fy * step_y;
        memcpy(r->value + i_value, &value, sizeof value);
        if (i_value + AIR_AT_ONCE > AIR_SIGMA) {
            memcpy(r->step_x, (const float *)&step_x + AIR_SIGMA - i_value, sizeof r->step_x);
            memcpy(r->step_y, (const float *)&step_y + AIR_SIGMA - i_value, sizeof r->step_y);
            memcpy(r->step_z, (const float *)&step_z + AIR_SIGMA - i_value, sizeof r->step_z);
        }
    }
}

/* Four lanes' four numbers, a lane after the other, become four arrays. @param four NULL: nobody wants the last */
static inline void turn(const float *lane, size_t next, float *restrict one, float *restrict two, float *restrict three,
                        float *restrict four)
{
    of_four a, b, c, d;
    memcpy(&a, lane, sizeof a);
    memcpy(&b, lane + next, sizeof b);
    memcpy(&c, lane + 2 * next, sizeof c);
    memcpy(&d, lane + 3 * next, sizeof d);
    const of_four ab = __builtin_shufflevector(a, b, 0, 4, 1, 5), cd = __builtin_shufflevector(c, d, 0, 4, 1, 5);
    const of_four ab_high = __builtin_shufflevector(a, b, 2, 6, 3, 7);
    const of_four cd_high = __builtin_shufflevector(c, d, 2, 6, 3, 7);
    a = __builtin_shufflevector(ab, cd, 0, 1, 4, 5);
    b = __builtin_shufflevector(ab, cd, 2, 3, 6, 7);
    c = __builtin_shufflevector(ab_high, cd_high, 0, 1, 4, 5);
    memcpy(one, &a, sizeof a);
    memcpy(two, &b, sizeof b);
    memcpy(three, &c, sizeof c);
    if (four) {
        d = __builtin_shufflevector(ab_high, cd_high, 2, 3, 6, 7);
        memcpy(four, &d, sizeof d);
    }
}

/* Asks for those of a lane that is soon to be read. */
static inline void fetch_nodes(const float *restrict node, const scratch *restrict k, int i)
{
    const float *first = node + k->at[i];
    __builtin_prefetch(first);
    __builtin_prefetch(first + k->row[i]);
    __builtin_prefetch(first + k->plane[i]);
    __builtin_prefetch(first + k->plane[i] + k->row[i]);
}

static void read_air(const droplet_setting *restrict s, scratch *restrict k)
{
    const size_t next = sizeof(reading) / sizeof(float);
    for (int i = 0; i < LANES_AHEAD; i++)
        fetch_nodes(s->node, k, i);
    for (int i = 0; i < DROPLET_LANES; i += 4) {
        reading r[4];
        for (int n = 0; n < 4; n++) {
            fetch_nodes(s->node, k, (i + n + LANES_AHEAD) % DROPLET_LANES);
            read_nodes(s->node, k, i + n, &r[n]);
        }
        turn(r[0].value, next, k->air_u + i, k->air_v + i, k->air_w + i, k->given + i);
        turn(r[0].value + AIR_SIGMA, next, k->sigma + i, k->rate + i, k->level + i, NULL);
        turn(r[0].step_x, next, k->unused + i, k->rate_x + i, k->grad_x + i, NULL);
        turn(r[0].step_y, next, k->unused + i, k->rate_y + i, k->grad_y + i, NULL);
        turn(r[0].step_z, next, k->grad_z + i, k->rate_z + i, k->unused + i, NULL);
    }
}

static void read_canopy(const droplet_setting *restrict s, droplet_batch *restrict b, scratch *restrict k)
{
    const float *restrict leaf_area = s->leaf_area_density_1_m, *restrict wood_area = s->wood_area_density_1_m;
    const int32_t n_rows = s->n_rows, nx = s->canopy_nx, ny = s->canopy_ny, nz = s->canopy_nz;
    const float spacing = s->row_spacing_m, half_width = s->half_width_m, per_edge = s->per_edge,
                per_period = s->per_period;
    const float grass_height = s->grass_height_m, grass_density = s->grass_density_1_m;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float row = base_floorf(0.5f - k->x_mid[i] / spacing);
        const float cx = (k->x_mid[i] + row * spacing + half_width) * per_edge;
        const float turn = (k->y_mid[i] + b->phase_m[i]) * per_period;
        const float cy = (turn - base_floorf(turn)) * (float)ny;
        const float cz = k->z_mid[i] * per_edge;
        const int inside = (row >= 0.0f) & (row < (float)n_rows) & (cx >= 0.0f) & (cx < (float)nx) & (cz >= 0.0f)
                           & (cz < (float)nz);
        const int32_t iy_raw = (int32_t)cy, iy = iy_raw < ny - 1 ? iy_raw : ny - 1;
        const int32_t r = inside ? (int32_t)row : 0, ix = inside ? (int32_t)cx : 0, iz = inside ? (int32_t)cz : 0;
        const int32_t at = ((r * nz + iz) * ny + iy) * nx + ix;
        const float leaf = leaf_area[at], wood = wood_area[at];
        k->leaf[i] = leaf * (float)inside; /* a condition would become a masked load */
        k->wood[i] = wood * (float)inside;
        k->grass[i] = k->z_mid[i] < grass_height ? grass_density : 0.0f;
        b->voxel[i] = inside ? at : -1;
    }
}

#endif
