/* sim/droplet/kernel_flight.c - one step of flight of a batch of droplets. Compiled once for each vector width.
 *
 * Midpoint rule: a droplet's velocity takes it half a step ahead; there the air and the canopy are read, and what is
 * found there holds for the whole step, which then starts anew from where the droplet was. The length of a step is
 * therefore chosen at the end of the one before.
 *
 * Air: trilinear in the pass's grid while the droplet is near the sprayer, in the ambient grid elsewhere.
 *
 * Fluctuation seen by the droplet, each component over its own sigma (one for the vertical, one for both level ones):
 *     d(eddy_i) = -eddy_i dt / TL* + d(sigma_i)/dx_i / (1 + tau / TL*) dt + sqrt(2 / TL*) dW.
 * For a tracer that is Thomson's well-mixed model (D. J. Thomson, J. Fluid Mech. 180 (1987) 529) in the sprayer's
 * frame: written for u / sigma its term u / (2 s2) v grad(s2) vanishes. TL of a component goes with its variance. TL* =
 * TL / sqrt(1 + (1.5 slip / sigma)^2) for droplets that cross the eddies (G. T. Csanady, J. Atmos. Sci. 20 (1963) 201;
 * B. L. Sawford, F. M. Guest, Boundary-Layer Meteorol. 54 (1991) 147; memory). Over a step the share (1 - h) / (1 + h)
 * of an eddy is kept, h = dt / (2 TL*): with straight lines between the ends of steps that spreads droplets as fast as
 * the continuous process does, however long the steps, up to 2 TL*.
 *
 * Drag: dv/dt = (u - v) / tau - g, f(Re) held for a step at what it is halfway, the eddy's air changing evenly over
 * it: the linear law has its exact solution.
 *
 * Ground: what turbulence does to the droplet's height (tossed, its velocity's answer to the eddies) reflects at the
 * roughness height; the mean air, gravity and the droplet's own momentum may carry it down. So what settles is settling
 * speed times concentration, no more. Grass is a thin canopy below its height.
 *
 * Evaporation: -d(d^2)/dt is linear in sqrt(Re), or in Re where that is small, from the droplet's heat balance
 * (kernel.c). */
#include "droplet/kernel.h"

#include <math.h>
#include <string.h>

#include <Random123/philox.h>

#include "base/random.h"
#include "base/vector_math.h"
#include "droplet/kernel_drying.h"
#include "droplet/kernel_variants.h"

/* Longest step over the time scales. The first keeps the well-mixed tests (tracers: 0.3 would not); a droplet's own
 * relaxation time is added, since it takes up the less of an eddy's drift. Where a jet blows through leaves deposit
 * depends on the step more than elsewhere. docs/theory.md has what doubling and halving change. */
#define STEP_OVER_TIME_SCALE 0.2f
#define STEP_IN_LEAVES 0.5f
#define STEP_OVER_HEAVY_SCALE 1.0f
#define STEP_OVER_DRAG 0.3f
#define STEP_OVER_DRYING 0.1f
#define STEP_IN_CELL 0.5f
#define LONGEST_STEP_S 0.5f
#define SHORTEST_STEP_S 5e-4f
#define LONGEST_STRIDE_M 1.0f
#define FINE_M 2e-3f      /* slowing down within less than this needs no finer steps */
#define LANES_AHEAD 16    /* choice: far enough for the nodes to arrive in time */
#define CROSSING 1.5f     /* beta of the heavy-particle time scale */
#define PETROFF ((float)DROPLET_PETROFF)

typedef struct { /* of one step, lane by lane */
    alignas(64) float n1[DROPLET_LANES], n2[DROPLET_LANES], n3[DROPLET_LANES];
    alignas(64) float sigma[DROPLET_LANES], level[DROPLET_LANES], rate[DROPLET_LANES]; /* vertical, level, vertical */
    alignas(64) float mean_u[DROPLET_LANES], mean_v[DROPLET_LANES], mean_w[DROPLET_LANES];
    alignas(64) float grad_x[DROPLET_LANES], grad_y[DROPLET_LANES], grad_z[DROPLET_LANES]; /* from node to node */
    alignas(64) float rate_x[DROPLET_LANES], rate_y[DROPLET_LANES], rate_z[DROPLET_LANES];
    alignas(64) float frame_v[DROPLET_LANES]; /* speed along y of the frame in which the air is steady */
    alignas(64) float near_by[DROPLET_LANES];
    alignas(64) float dt[DROPLET_LANES]; /* of the step, unless something is met on the way */
    alignas(64) float x_mid[DROPLET_LANES], y_mid[DROPLET_LANES], z_mid[DROPLET_LANES]; /* halfway through it */
    alignas(64) int32_t at[DROPLET_LANES], row[DROPLET_LANES], plane[DROPLET_LANES]; /* first of eight nodes; strides */
    alignas(64) float share_x[DROPLET_LANES], share_y[DROPLET_LANES], share_z[DROPLET_LANES]; /* place between them */
    alignas(64) float per_dx[DROPLET_LANES], per_dy[DROPLET_LANES], per_dz[DROPLET_LANES], heading[DROPLET_LANES];
    alignas(64) float unused[DROPLET_LANES];
    alignas(64) float leaf[DROPLET_LANES], wood[DROPLET_LANES], grass[DROPLET_LANES];
} scratch;

/* Three standard normal numbers a lane; keyed by seed, droplet and step. */
static void draw(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const philox4x32_key_t key = {{s->seed_low, s->seed_high}};
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const philox4x32_ctr_t counter = {{b->id_low[i], b->id_high[i], b->step[i], BASE_STREAM_FLIGHT}};
        const philox4x32_ctr_t r = philox4x32(counter, key);
        const float per = 1.0f / 16777216.0f; /* 24 bits, so that 1 is never reached */
        const float a = ((float)(int32_t)(r.v[0] >> 8) + 0.5f) * per, c = ((float)(int32_t)(r.v[2] >> 8) + 0.5f) * per;
        const float turn_a = (float)(int32_t)(r.v[1] >> 8) * per, turn_c = (float)(int32_t)(r.v[3] >> 8) * per;
        float sine, cosine;
        base_sincos_turn(turn_a, &sine, &cosine);
        const float size = sqrtf(-2.0f * base_logf(a));
        k->n1[i] = size * cosine;
        k->n2[i] = size * sine;
        base_sincos_turn(turn_c, &sine, &cosine);
        k->n3[i] = sqrtf(-2.0f * base_logf(c)) * cosine;
    }
}

static inline float smaller(float a, float b) /* fminf would be a call */
{
    return a < b ? a : b;
}

static inline float held(float value, float low, float high)
{
    value = value > low ? value : low;
    return value < high ? value : high;
}

/* The first where the mask is all ones, the second where it is 0. Many conditions on one thing would make the compiler
 * split the loop in two, which then is no vector code. */
static inline int32_t either_int(int32_t mask, int32_t a, int32_t b)
{
    return (a & mask) | (b & ~mask);
}

static inline float either(int32_t mask, float a, float b)
{
    return base_float_of_bits(either_int(mask, base_bits_of_float(a), base_bits_of_float(b)));
}

/* Half a step ahead: where that is in the air, and what turns differences between nodes into slopes. The numbers of the
 * setting are copied before each loop: a load inside a condition would keep the loop from being vector code. */
static void find_cells(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const int32_t near_nx = s->near_nx, near_ny = s->near_ny, near_nz = s->near_nz;
    const int32_t ambient_nx = s->ambient_nx, ambient_ny = s->ambient_ny, ambient_nz = s->ambient_nz;
    const int32_t ambient_first = s->ambient_first;
    const float near_per_dx = s->near_per_dx, near_per_dy = s->near_per_dy, near_per_dz = s->near_per_dz;
    const float ambient_per_dx = s->ambient_per_dx, ambient_per_dz = s->ambient_per_dz;
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
        const float per_dx = either(near_by, near_per_dx, ambient_per_dx);
        const float per_dz = either(near_by, near_per_dz, ambient_per_dz);
        const float gx = either(near_by, across - x_first, x_mid - ambient_x_first) * per_dx;
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
}

/* A node, or the half of it that turbulence needs. */
typedef float of_four __attribute__((vector_size(16)));
typedef float of_eight __attribute__((vector_size(32)));
typedef struct { alignas(32) float value[AIR_VALUES], step_x[4], step_y[4], step_z[4]; } reading;

/* Trilinear values, and the differences along each axis, from the eight nodes around. Not lane by lane but node by
 * node: eight loads of whole nodes instead of some forty gathered ones. */
static inline void read_nodes(const float *restrict node, const scratch *restrict k, int i, reading *restrict r)
{
    const float fx = k->share_x[i], fy = k->share_y[i], fz = k->share_z[i];
    const float *first = node + k->at[i];
    const int32_t row = k->row[i], plane = k->plane[i];
    of_eight n[2][2][2]; /* [z][x][y] */
    for (int z = 0; z < 2; z++)
        for (int x = 0; x < 2; x++)
            for (int y = 0; y < 2; y++)
                memcpy(&n[z][x][y], first + z * plane + x * row + y * AIR_VALUES, sizeof n[z][x][y]);
    const of_eight x00 = n[0][1][0] - n[0][0][0], x01 = n[0][1][1] - n[0][0][1];
    const of_eight x10 = n[1][1][0] - n[1][0][0], x11 = n[1][1][1] - n[1][0][1];
    const of_eight low0 = n[0][0][0] + fx * x00, low1 = n[0][0][1] + fx * x01;
    const of_eight high0 = n[1][0][0] + fx * x10, high1 = n[1][0][1] + fx * x11;
    const of_eight z0 = high0 - low0, z1 = high1 - low1, at0 = low0 + fz * z0, at1 = low1 + fz * z1;
    const of_eight x0 = x00 + fz * (x10 - x00), x1 = x01 + fz * (x11 - x01);
    const of_eight step_y = at1 - at0, step_z = z0 + fy * (z1 - z0), step_x = x0 + fy * (x1 - x0);
    const of_eight value = at0 + fy * step_y;
    memcpy(r->value, &value, sizeof value);
    memcpy(r->step_x, (const float *)&step_x + 4, sizeof r->step_x);
    memcpy(r->step_y, (const float *)&step_y + 4, sizeof r->step_y);
    memcpy(r->step_z, (const float *)&step_z + 4, sizeof r->step_z);
}

/* Four lanes' first three numbers of four, a lane after the other, become three arrays. */
static inline void turn(const float *lane, size_t next, float *restrict one, float *restrict two, float *restrict three)
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
}

/* Asks for a lane's nodes: they lie anywhere in the air of a pass, often outside the nearest caches. */
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
        turn(r[0].value, next, k->mean_u + i, k->mean_v + i, k->mean_w + i);
        turn(r[0].value + AIR_SIGMA, next, k->sigma + i, k->rate + i, k->level + i);
        turn(r[0].step_x, next, k->unused + i, k->rate_x + i, k->grad_x + i);
        turn(r[0].step_y, next, k->unused + i, k->rate_y + i, k->grad_y + i);
        turn(r[0].step_z, next, k->grad_z + i, k->rate_z + i, k->unused + i);
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

/* Rate at which targets of a width are met, over their area density: G(w) |w|, w = E u + slip. The slip is the
 * droplet's own, by momentum and weight. What eddies make of it lasts a relaxation time and carries the droplet no
 * farther than that; it is in E already, by the air's fluctuating speed u. */
static inline float meeting_m_s(float width_m, float stokes_s, float air_m_s, float ratio2, float per_area, float u,
                                float v, float w, float own_u, float own_v, float own_w)
{
    const float stokes = stokes_s * air_m_s / width_m, root = stokes / (stokes + PETROFF), e = root * root;
    const float a = e * u + own_u, c = e * v + own_v, d = e * w + own_w;
    return sqrtf(ratio2 * d * d + a * a + c * c) * per_area;
}

static void step(const droplet_setting *restrict s, droplet_batch *restrict b, const scratch *restrict k)
{
    const float gravity = (float)BASE_GRAVITY_M_S2, density_air = s->air_density_kg_m3,
                viscosity = s->air_viscosity_Pa_s;
    const float ratio2 = s->angle_ratio * s->angle_ratio, per_area = s->per_angle_area, clump = s->clumping;
    const float leaf_width = s->leaf_width_m, wood_width = s->wood_diameter_m, grass_width = s->grass_width_m;
    const float deform_from = s->deform_from_m, deform_1 = s->deform[0], deform_2 = s->deform[1],
                deform_3 = s->deform[2];
    const float slip_length = s->slip_length_m;
    const float stokes_per_d2 = s->stokes_per_d2, base = s->drying_base_m2_s, moving = s->drying_moving_m2_s;
    const float split = s->drying_split, still = s->drying_still_m2_s, square = s->drying_square_m2_s;
    const float nonvolatile_root = s->nonvolatile_root, travel_speed = s->travel_speed_m_s;
    const float canopy_top = s->canopy_top_m, block_low = s->block_low_m, block_high = s->block_high_m;
    const float canopy_stride = STEP_IN_CELL * s->canopy_step_m, near_stride = STEP_IN_CELL * s->near_step_m;
    const float floor_z = s->floor_m, low_x = s->low_x_m, high_x = s->high_x_m, top = s->top_m,
                limit_s = s->time_limit_s;
    const float step_scale = s->step_scale;
    const float plane_0 = s->plane_x_m[0], plane_1 = s->plane_x_m[1];
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float sigma = k->sigma[i], level = k->level[i];
        const float grad_x = k->grad_x[i] * k->per_dx[i], grad_y = k->grad_y[i] * k->per_dy[i],
                    grad_z = k->grad_z[i] * k->per_dz[i];
        const float mean_u = k->mean_u[i], mean_v = k->heading[i] * k->mean_v[i], mean_w = k->mean_w[i];
        const float eddy_u = level * b->eddy_x[i], eddy_v = level * b->eddy_y[i], eddy_w = sigma * b->eddy_z[i];
        const float air_u = mean_u + eddy_u, air_v = mean_v + eddy_v, air_w = mean_w + eddy_w;
        const float u_0 = b->u_m_s[i], v_0 = b->v_m_s[i], w_0 = b->w_m_s[i];
        const float slip_u = u_0 - air_u, slip_v = v_0 - air_v, slip_w = w_0 - air_w;
        const float air_m_s = sqrtf(air_u * air_u + air_v * air_v + air_w * air_w);
        const float d = b->diameter_m[i], density = b->density_kg_m3[i], step_s = k->dt[i];

        /* drag as the step begins, and from it the slip halfway through: it dies down to the fall */
        const float re_per_slip = density_air * d / viscosity;
        const float re = re_per_slip * sqrtf(slip_u * slip_u + slip_v * slip_v + slip_w * slip_w);
        const float log_re = base_logf(re > 1e-12f ? re : 1e-12f);
        const float inertia = 0.15f * base_expf(0.687f * log_re);
        const float sphere = 1.0f + inertia + 0.0175f * re / (1.0f + 42500.0f * base_expf(-1.16f * log_re));
        const float over_raw = (d - deform_from) * 1e3f, over = over_raw > 0.0f ? over_raw : 0.0f;
        const float flat = 1.0f + over * (deform_1 + over * (deform_2 + over * deform_3));
        const float stokes_s = stokes_per_d2 * density * d * (d + slip_length);
        const float factor = sphere * flat, first_tau_s = stokes_s / factor;
        const float weight_m_s2 = gravity * (1.0f - density_air / density);
        const float half_s = 0.5f * step_s, stays = first_tau_s / (first_tau_s + half_s), relaxed = 1.0f - stays;
        const float first_fall_m_s = weight_m_s2 * first_tau_s;
        const float mid_u = slip_u * stays, mid_v = slip_v * stays, mid_w = slip_w * stays - first_fall_m_s * relaxed;
        const float slip_m_s = sqrtf(mid_u * mid_u + mid_v * mid_v + mid_w * mid_w);

        /* drag and drying halfway through; the droplet shrinks */
        const float re_mid = re_per_slip * slip_m_s, root_re = sqrtf(re_mid);
        const float smallest = b->whole_m[i] * nonvolatile_root, wet = d > 1.001f * smallest ? 1.0f : 0.0f;
        const float drying = root_re < split ? still + square * re_mid : base + moving * root_re;
        const float mid_factor = factor + flat * (0.15f * base_powf(re_mid, 0.687f) - inertia);
        const float shrunk_s = stokes_per_d2 * density * drying * half_s * wet;
        const float tau_s = (stokes_s - smaller(shrunk_s, 0.5f * stokes_s)) / mid_factor;
        const float fall_m_s = weight_m_s2 * tau_s;

        /* time scales of the eddies, for a droplet that crosses them */
        const float time_scale_s = 1.0f / k->rate[i];
        const float crossing = CROSSING * slip_m_s / sigma;
        const float heavy_s = time_scale_s / sqrtf(1.0f + crossing * crossing);
        const float longer = level / sigma, level_scale_s = time_scale_s * longer * longer;
        const float level_crossing = CROSSING * slip_m_s / level;
        const float level_s = level_scale_s / sqrtf(1.0f + level_crossing * level_crossing);

        /* what is in the way */
        const float tossed_u = b->tossed_u_m_s[i], tossed_v = b->tossed_v_m_s[i], tossed_w = b->tossed_w_m_s[i];
        const float own_u = (slip_u - tossed_u + eddy_u) * stays, own_v = (slip_v - tossed_v + eddy_v) * stays;
        const float own_w = (slip_w - tossed_w + eddy_w) * stays - first_fall_m_s * relaxed;
        const float leaf_rate = clump * k->leaf[i] * meeting_m_s(leaf_width, stokes_s, air_m_s, ratio2, per_area, air_u,
                                                                 air_v, air_w, own_u, own_v, own_w);
        const float wood_rate = k->wood[i] * meeting_m_s(wood_width, stokes_s, air_m_s, 1.0f, 0.5f, air_u, air_v,
                                                                 air_w, own_u, own_v, own_w);
        const float grass_rate =
            k->grass[i]
            * meeting_m_s(grass_width, stokes_s, air_m_s, 1.0f, 0.5f, air_u, air_v, air_w, own_u, own_v, own_w);
        const float met_1_s = leaf_rate + wood_rate + grass_rate;

        const float cover = met_1_s * step_s, left = b->path_limit[i] - b->path[i];
        const int hit = cover > left;
        const float dt = (hit ? step_s * held(left / (cover + 1e-30f), 0.0f, 1.0f) : step_s) * b->aloft[i];

        /* the eddy it rides in */
        const float part = 0.5f * dt / heavy_s, kept = (1.0f - part) / (1.0f + part);
        const float level_part = 0.5f * dt / level_s, level_kept = (1.0f - level_part) / (1.0f + level_part);
        const float fresh = sqrtf(1.0f - kept * kept), level_fresh = sqrtf(1.0f - level_kept * level_kept);
        const float push = heavy_s * (1.0f - kept) / (1.0f + tau_s / heavy_s);
        const float level_push = level_s * (1.0f - level_kept) / (1.0f + tau_s / level_s);
        const float eddy_x = level_kept * b->eddy_x[i] + level_push * grad_x + level_fresh * k->n1[i];
        const float eddy_y = level_kept * b->eddy_y[i] + level_push * grad_y + level_fresh * k->n2[i];
        const float eddy_z = kept * b->eddy_z[i] + push * grad_z + fresh * k->n3[i];
        const float change_u = level * (eddy_x - b->eddy_x[i]), change_v = level * (eddy_y - b->eddy_y[i]);
        const float change_w = sigma * (eddy_z - b->eddy_z[i]);

        /* flight: air at the start, plus the even change of its eddy, plus the droplet's slip as it dies away */
        const float gone = base_expf(-dt / tau_s), reach_s = tau_s * (1.0f - gone),
                    per_dt = 1.0f / (dt + 1e-12f);
        const float follow = 1.0f - reach_s * per_dt;       /* share of an even change that it takes up */
        const float lag_s = 0.5f * dt - tau_s * follow; /* and how far that carries it, over the change */
        const float u_1 = air_u + slip_u * gone + change_u * follow, v_1 = air_v + slip_v * gone + change_v * follow;
        const float x = b->x_m[i] + air_u * dt + slip_u * reach_s + change_u * lag_s;
        const float y = b->y_m[i] + air_v * dt + slip_v * reach_s + change_v * lag_s;
        const float toss = eddy_w * dt + (tossed_w - eddy_w) * reach_s + change_w * lag_s, z_tossed = b->z_m[i] + toss;
        const float rest =
            (air_w - eddy_w) * dt + (slip_w - tossed_w + eddy_w + fall_m_s) * reach_s - fall_m_s * dt;
        const float tossed_1 = eddy_w + (tossed_w - eddy_w) * gone + change_w * follow;
        const float w_raw = air_w - fall_m_s + (slip_w + fall_m_s) * gone + change_w * follow;
        const int below = z_tossed < floor_z;
        const float z = (below ? 2.0f * floor_z - z_tossed : z_tossed) + rest;
        const float w_1 = below ? w_raw - 2.0f * tossed_1 : w_raw;
        const float x_before = b->x_m[i];
        b->x_before_m[i] = x_before;
        b->u_m_s[i] = u_1;
        b->v_m_s[i] = v_1;
        b->w_m_s[i] = w_1;
        b->eddy_x[i] = eddy_x;
        b->eddy_y[i] = eddy_y;
        b->eddy_z[i] = below ? -eddy_z : eddy_z;
        b->tossed_w_m_s[i] = below ? -tossed_1 : tossed_1;
        b->tossed_u_m_s[i] = eddy_u + (tossed_u - eddy_u) * gone + change_u * follow;
        b->tossed_v_m_s[i] = eddy_v + (tossed_v - eddy_v) * gone + change_v * follow;
        b->eddy_u_m_s[i] = eddy_u + change_u;
        b->eddy_v_m_s[i] = eddy_v + change_v;
        b->eddy_w_m_s[i] = eddy_w + change_w;

        /* drying; the sum of what is lost is kept apart from the diameter, as a check on both */
        const float left2 = d * d - drying * dt * wet, least = smaller(d, smallest);
        const float shrunk = sqrtf(left2 > 0.0f ? left2 : 0.0f), dry = shrunk > least ? shrunk : least;
        const float per_whole = 1.0f / b->whole_m[i], before = d * per_whole, after = dry * per_whole;
        b->evaporated[i] += (before - after) * (before * before + before * after + after * after);
        b->diameter_m[i] = dry;

        /* How far the next step may go. Its time scale is that of its middle, along the path: a step length taken from
         * what has been would drive tracers to where the scale is short. */
        const float growth = -(u_1 * k->rate_x[i] * k->per_dx[i] + (v_1 - k->frame_v[i]) * k->rate_y[i] * k->per_dy[i]
                               + w_1 * k->rate_z[i] * k->per_dz[i])
                             * time_scale_s * time_scale_s;
        const float ahead = 1.0f + STEP_OVER_TIME_SCALE * step_scale * held(growth, -4.0f, 4.0f);
        const int in_block = (z < canopy_top) & (x > block_low) & (x < block_high);
        float stride_m = in_block ? canopy_stride : LONGEST_STRIDE_M;
        stride_m = k->near_by[i] > 0.0f ? near_stride : stride_m;
        const float speed_m_s = sqrtf(u_1 * u_1 + v_1 * v_1 + w_1 * w_1);
        const float travel = speed_m_s + air_m_s + (k->near_by[i] > 0.0f ? travel_speed : 0.0f) + 0.01f;
        const float in_leaves = k->near_by[i] > 0.0f ? k->leaf[i] > 0.0f ? STEP_IN_LEAVES : 1.0f : 1.0f;
        float next_s = STEP_OVER_TIME_SCALE * in_leaves * (time_scale_s * ahead + tau_s);
        next_s = smaller(next_s, STEP_OVER_HEAVY_SCALE * heavy_s);
        next_s = smaller(next_s, 2.0f * stride_m / travel); /* travel: droplet and air, about twice the droplet's own */
        const float over_fall_w = mid_w + fall_m_s; /* still to lose before it settles, and how far that carries it */
        const float unsettled_m = sqrtf(mid_u * mid_u + mid_v * mid_v + over_fall_w * over_fall_w) * tau_s;
        /* f - 1 now, and roughly what it comes to as the droplet gathers its speed of fall */
        const float now = factor - 1.0f, coming = smaller(0.12f * re_per_slip * fall_m_s, 4.0f);
        const float curved = now > coming ? now : coming;
        const float gentle = 1.0f + FINE_M / (unsettled_m + 1e-9f);
        next_s = smaller(next_s, STEP_OVER_DRAG * stokes_s / (curved + 1e-6f) * gentle);
        next_s = smaller(next_s, wet > 0.0f ? STEP_OVER_DRYING * d * d / drying : LONGEST_STEP_S);
        next_s = held(next_s, SHORTEST_STEP_S, LONGEST_STEP_S) * step_scale;
        b->next_s[i] = next_s;

        const float time_s = b->time_s[i] + dt;
        b->step_s[i] = dt;
        int found = hit ? DROPLET_HIT : 0;
        found |= z < floor_z ? DROPLET_LANDED : 0;
        found |= ((x < low_x) | (x > high_x) | (z > top)) ? DROPLET_LEFT : 0;
        found |= time_s > limit_s ? DROPLET_LATE : 0;
        const int crossed = ((x_before < plane_0) ^ (x < plane_0)) | ((x_before < plane_1) ^ (x < plane_1));
        found |= crossed ? DROPLET_CROSSED : 0;
        found |= b->watched[i];
        b->found[i] = b->aloft[i] > 0.0f ? found : 0;
        b->x_m[i] = x;
        b->y_m[i] = y;
        b->z_m[i] = z;
        b->time_s[i] = time_s;
        b->path[i] += met_1_s * dt;
        b->air_u_m_s[i] = air_u + change_u;
        b->air_v_m_s[i] = air_v + change_v;
        b->air_w_m_s[i] = air_w + change_w;
        b->leaf_rate_1_s[i] = leaf_rate;
        b->wood_rate_1_s[i] = wood_rate;
        b->grass_rate_1_s[i] = grass_rate;
        b->step[i] += 1;
    }
}

/* Where each lane is before its step. */
static void remember(droplet_batch *restrict b)
{
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        b->y_before_m[i] = b->y_m[i];
        b->z_before_m[i] = b->z_m[i];
    }
}

/* Which lanes' steps may have touched a collector, however long they were; the exact look is not for the kernel. */
static void find_collectors(const droplet_setting *restrict s, droplet_batch *restrict b)
{
    const float *restrict gap_m = s->gap_m;
    const float first = s->gap_first_x_m, per_gap = s->per_gap, last = (float)(s->n_gaps - 1);
    const float low = s->collector_low_m, high = s->collector_high_m;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float gap = gap_m[(int32_t)held((b->x_before_m[i] - first) * per_gap, 0.0f, last)];
        const float move = b->x_m[i] - b->x_before_m[i], across = move < 0.0f ? -move : move;
        const float z = b->z_m[i], z_before = b->z_before_m[i];
        const int near_by = (across >= gap) & ((z <= high) | (z_before <= high)) & ((z >= low) | (z_before >= low))
                            & (b->aloft[i] > 0.0f);
        b->found[i] |= near_by ? DROPLET_COLLECT : 0;
    }
}

void DROPLET_FLIGHT_FUNCTION(const droplet_setting *s, droplet_batch *b)
{
    scratch k;
    draw(s, b, &k);
    find_cells(s, b, &k);
    read_air(s, &k);
    read_canopy(s, b, &k);
    if (s->n_gaps > 0)
        remember(b);
    if (s->drying_mended) {
        drying_memory before;
        remember_drying(b, &before);
        step(s, b, &k);
        mend_drying(s, &before, b);
    } else {
        step(s, b, &k);
    }
    if (s->n_gaps > 0)
        find_collectors(s, b);
}
