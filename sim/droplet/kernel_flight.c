/* sim/droplet/kernel_flight.c - one step of flight of a batch of droplets. Compiled once for each vector width.
 *
 * Air: trilinear in the pass's grid while the droplet is near the sprayer, in the ambient grid elsewhere.
 *
 * Fluctuation seen by the droplet, each component over its own sigma (one for the vertical, one for both level ones):
 *     d(eddy_i) = -eddy_i dt / TL* + d(sigma_i)/dx_i / (1 + tau / TL*) dt + sqrt(2 / TL*) dW.
 * For a tracer that is Thomson's well-mixed model (D. J. Thomson, J. Fluid Mech. 180 (1987) 529) in the sprayer's
 * frame: written for u / sigma its term u / (2 s2) v grad(s2) vanishes. TL of a component goes with its variance. TL* =
 * TL / sqrt(1 + (1.5 slip / sigma)^2) for droplets that cross the eddies (G. T. Csanady, J. Atmos. Sci. 20 (1963) 201;
 * B. L. Sawford, F. M. Guest, Boundary-Layer Meteorol. 54 (1991) 147; memory).
 *
 * The drift towards larger sigma is taken at a step's start, and mended at the next one's by half of how much the slope
 * of sigma has changed (Heun's rule again): without that tracers would thin out by 2 % where the slope breaks.
 *
 * Drag: dv/dt = (u - v) / tau - g, f(Re) held for a step at what it is halfway, the eddy's air changing evenly over
 * it: the linear law has its exact solution. What the mean air changes along the step is known only at its end; the
 * next step then adds the droplet's exact answer to that, in place and velocity (Heun's rule), so that a small droplet
 * never seems to slip.
 *
 * Ground: what turbulence does to the droplet's height (tossed, its velocity's answer to the eddies) reflects at the
 * roughness height; the mean air, gravity and the droplet's own momentum may carry it down. So what settles is settling
 * speed times concentration, no more. Grass is a thin canopy below its height.
 *
 * Evaporation: -d(d^2)/dt is linear in sqrt(Re), or in Re where that is small, from the droplet's heat balance
 * (kernel.c). */
#include "droplet/kernel.h"

#include <math.h>

#include <Random123/philox.h>

#include "base/random.h"
#include "base/vector_math.h"
#include "droplet/kernel_drying.h"
#include "droplet/kernel_variants.h"

/* Longest step over the time scales; the first two keep the well-mixed test within 2 %. */
#define STEP_OVER_TIME_SCALE 0.1f
#define STEP_OVER_HEAVY_SCALE 0.4f
#define STEP_OVER_DRAG 0.3f
#define STEP_OVER_DRYING 0.1f
#define STEP_IN_CELL 0.5f
#define LONGEST_STEP_S 0.5f
#define SHORTEST_STEP_S 5e-4f
#define LONGEST_STRIDE_M 1.0f
#define FINE_M 2e-3f      /* slowing down within less than this needs no finer steps */
#define CROSSING 1.5f     /* beta of the heavy-particle time scale */
#define PETROFF ((float)DROPLET_PETROFF)

typedef struct { /* of one step, lane by lane */
    alignas(64) float n1[DROPLET_LANES], n2[DROPLET_LANES], n3[DROPLET_LANES];
    alignas(64) float sigma[DROPLET_LANES], level[DROPLET_LANES], rate[DROPLET_LANES]; /* vertical, level, vertical */
    alignas(64) float mean_u[DROPLET_LANES], mean_v[DROPLET_LANES], mean_w[DROPLET_LANES];
    alignas(64) float grad_x[DROPLET_LANES], grad_y[DROPLET_LANES], grad_z[DROPLET_LANES];
    alignas(64) float rate_x[DROPLET_LANES], rate_y[DROPLET_LANES], rate_z[DROPLET_LANES];
    alignas(64) float frame_v[DROPLET_LANES]; /* speed along y of the frame in which the air is steady */
    alignas(64) float near_by[DROPLET_LANES];
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

/* The numbers of the setting are copied before each loop: a load inside a condition would keep the loop from being
 * vector code. */
static void read_air(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const float *restrict node = s->node;
    const int32_t near_nx = s->near_nx, near_ny = s->near_ny, near_nz = s->near_nz;
    const int32_t ambient_nx = s->ambient_nx, ambient_ny = s->ambient_ny, ambient_nz = s->ambient_nz;
    const int32_t ambient_first = s->ambient_first;
    const float near_per_dx = s->near_per_dx, near_per_dy = s->near_per_dy, near_per_dz = s->near_per_dz;
    const float ambient_per_dx = s->ambient_per_dx, ambient_per_dz = s->ambient_per_dz;
    const float x_first = s->near_x_first_m, x_last = s->near_x_last_m, y_first = s->near_y_first_m,
                y_last = s->near_y_last_m;
    const float z_last = s->near_z_last_m, ambient_x_first = s->ambient_x_first_m, travel_speed = s->travel_speed_m_s;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const int32_t pass = b->i_pass[i];
        const float heading = s->pass_heading[pass];
        const float across = b->x_m[i] - s->pass_x_m[pass];
        const float along = heading * b->y_m[i] - travel_speed * b->time_s[i];
        const int32_t first = s->pass_first[pass];
        const int near_by =
            (across > x_first) & (across < x_last) & (along > y_first) & (along < y_last) & (b->z_m[i] < z_last);
        const int32_t nx = near_by ? near_nx : ambient_nx, ny = near_by ? near_ny : ambient_ny;
        const int32_t nz = near_by ? near_nz : ambient_nz;
        const float per_dx = near_by ? near_per_dx : ambient_per_dx, per_dz = near_by ? near_per_dz : ambient_per_dz;
        const float per_dy = near_by ? heading * near_per_dy : 0.0f; /* for slopes along +y */
        const float gx = (near_by ? across - x_first : b->x_m[i] - ambient_x_first) * per_dx;
        const float gy = near_by ? (along - y_first) * near_per_dy : 0.0f;
        const float gz = b->z_m[i] * per_dz;
        const float hx = held(gx, 0.0f, (float)nx - 1.01f), hy = held(gy, 0.0f, (float)ny - 1.01f);
        const float hz = held(gz, 0.0f, (float)nz - 1.01f);
        const int32_t ix = (int32_t)hx, iy = (int32_t)hy, iz = (int32_t)hz;
        const float fx = hx - (float)ix, fy = hy - (float)iy, fz = hz - (float)iz;
        const int32_t row = AIR_VALUES * ny, plane = row * nx;
        const int32_t at = (near_by ? first : ambient_first) + iz * plane + ix * row + iy * AIR_VALUES;
        const float ex = 1.0f - fx, ey = 1.0f - fy, ez = 1.0f - fz;
        const float w00 = ex * ey, w01 = ex * fy, w10 = fx * ey, w11 = fx * fy;
#define LAYER(value, offset)                                                                                           \
    (w00 * node[at + (offset) + (value)] + w01 * node[at + (offset) + AIR_VALUES + (value)]                            \
     + w10 * node[at + (offset) + row + (value)] + w11 * node[at + (offset) + row + AIR_VALUES + (value)])
#define VALUE(value) (ez * LAYER(value, 0) + fz * LAYER(value, plane))
        k->mean_u[i] = VALUE(AIR_U);
        const float v = VALUE(AIR_V);
        k->mean_v[i] = near_by ? heading * v : v;
        k->mean_w[i] = VALUE(AIR_W);
#undef VALUE
        /* value and gradient of the level sigma and of the rate, from the eight nodes around */
#define CORNERS(value, name)                                                                                           \
    const float name##000 = node[at + (value)], name##001 = node[at + AIR_VALUES + (value)];                           \
    const float name##010 = node[at + row + (value)], name##011 = node[at + row + AIR_VALUES + (value)];               \
    const float name##100 = node[at + plane + (value)], name##101 = node[at + plane + AIR_VALUES + (value)];           \
    const float name##110 = node[at + plane + row + (value)],                                                          \
                name##111 = node[at + plane + row + AIR_VALUES + (value)];                                             \
    const float name##_low = w00 * name##000 + w01 * name##001 + w10 * name##010 + w11 * name##011;                    \
    const float name##_high = w00 * name##100 + w01 * name##101 + w10 * name##110 + w11 * name##111;                   \
    const float name##_x = (ez * (ey * (name##010 - name##000) + fy * (name##011 - name##001))                         \
                            + fz * (ey * (name##110 - name##100) + fy * (name##111 - name##101)))                      \
                           * per_dx;                                                                                   \
    const float name##_y = (ez * (ex * (name##001 - name##000) + fx * (name##011 - name##010))                         \
                            + fz * (ex * (name##101 - name##100) + fx * (name##111 - name##110)))                      \
                           * per_dy
        CORNERS(AIR_SIGMA_LEVEL, l);
        CORNERS(AIR_RATE, r);
#undef CORNERS
        const float s_low = LAYER(AIR_SIGMA, 0), s_high = LAYER(AIR_SIGMA, plane);
#undef LAYER
        k->sigma[i] = ez * s_low + fz * s_high;
        k->level[i] = ez * l_low + fz * l_high;
        k->grad_x[i] = l_x;
        k->grad_y[i] = l_y;
        k->grad_z[i] = (s_high - s_low) * per_dz;
        k->rate[i] = ez * r_low + fz * r_high;
        k->rate_x[i] = r_x;
        k->rate_y[i] = r_y;
        k->rate_z[i] = (r_high - r_low) * per_dz;
        k->near_by[i] = near_by ? 1.0f : 0.0f;
        k->frame_v[i] = near_by ? heading * travel_speed : 0.0f;
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
        const float row = floorf(0.5f - b->x_m[i] / spacing);
        const float cx = (b->x_m[i] + row * spacing + half_width) * per_edge;
        const float turn = (b->y_m[i] + b->phase_m[i]) * per_period;
        const float cy = (turn - floorf(turn)) * (float)ny;
        const float cz = b->z_m[i] * per_edge;
        const int inside = (row >= 0.0f) & (row < (float)n_rows) & (cx >= 0.0f) & (cx < (float)nx) & (cz >= 0.0f)
                           & (cz < (float)nz);
        const int32_t iy_raw = (int32_t)cy, iy = iy_raw < ny - 1 ? iy_raw : ny - 1;
        const int32_t r = inside ? (int32_t)row : 0, ix = inside ? (int32_t)cx : 0, iz = inside ? (int32_t)cz : 0;
        const int32_t at = ((r * nz + iz) * ny + iy) * nx + ix;
        const float leaf = leaf_area[at], wood = wood_area[at];
        k->leaf[i] = leaf * (float)inside; /* a condition would become a masked load */
        k->wood[i] = wood * (float)inside;
        k->grass[i] = b->z_m[i] < grass_height ? grass_density : 0.0f;
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
    const float step_scale = s->step_scale, half_step = 0.5f * STEP_OVER_TIME_SCALE * step_scale;
    const float plane_0 = s->plane_x_m[0], plane_1 = s->plane_x_m[1];
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float sigma = k->sigma[i], level = k->level[i];
        const float mended_x = b->eddy_x[i] + 0.5f * b->push_level_s[i] * (k->grad_x[i] - b->slope_x_1_s[i]);
        const float mended_y = b->eddy_y[i] + 0.5f * b->push_level_s[i] * (k->grad_y[i] - b->slope_y_1_s[i]);
        const float mended_z = b->eddy_z[i] + 0.5f * b->push_s[i] * (k->grad_z[i] - b->slope_z_1_s[i]);
        const float air_u = k->mean_u[i] + level * mended_x, air_v = k->mean_v[i] + level * mended_y;
        const float air_w = k->mean_w[i] + sigma * mended_z;
        const float turn_u = air_u - b->air_u_m_s[i], turn_v = air_v - b->air_v_m_s[i],
                    turn_w = air_w - b->air_w_m_s[i];
        const float x_0 = b->x_m[i] + b->lag_s[i] * turn_u, y_0 = b->y_m[i] + b->lag_s[i] * turn_v;
        const float z_raw = b->z_m[i] + b->lag_s[i] * turn_w, z_0 = z_raw < floor_z ? 2.0f * floor_z - z_raw : z_raw;
        const float u_0 = b->u_m_s[i] + b->follow[i] * turn_u, v_0 = b->v_m_s[i] + b->follow[i] * turn_v;
        const float w_0 = b->w_m_s[i] + b->follow[i] * turn_w;
        const float slip_u = u_0 - air_u, slip_v = v_0 - air_v, slip_w = w_0 - air_w;
        const float slip_m_s = sqrtf(slip_u * slip_u + slip_v * slip_v + slip_w * slip_w);
        const float air_m_s = sqrtf(air_u * air_u + air_v * air_v + air_w * air_w);
        const float speed_m_s = sqrtf(u_0 * u_0 + v_0 * v_0 + w_0 * w_0);
        const float d = b->diameter_m[i];

        /* drag */
        const float re_per_slip = density_air * d / viscosity, re = re_per_slip * slip_m_s;
        const float root_re = sqrtf(re), log_re = base_logf(re > 1e-12f ? re : 1e-12f);
        const float inertia = 0.15f * base_expf(0.687f * log_re);
        const float sphere = 1.0f + inertia + 0.0175f * re / (1.0f + 42500.0f * base_expf(-1.16f * log_re));
        const float over_raw = (d - deform_from) * 1e3f, over = over_raw > 0.0f ? over_raw : 0.0f;
        const float flat = 1.0f + over * (deform_1 + over * (deform_2 + over * deform_3));
        const float stokes_s = stokes_per_d2 * b->density_kg_m3[i] * d * (d + slip_length);
        const float factor = sphere * flat, tau_s = stokes_s / factor;

        /* How far one step may go. The time scale is that of half a step on, along the path: a step length taken from
         * its start alone would drive tracers to where the scale is short. */
        const float scale_s = 1.0f / k->rate[i];
        const float growth =
            -(u_0 * k->rate_x[i] + (v_0 - k->frame_v[i]) * k->rate_y[i] + w_0 * k->rate_z[i]) * scale_s * scale_s;
        const float time_scale_s = scale_s * (1.0f + half_step * held(growth, -4.0f, 4.0f));
        const float crossing = CROSSING * slip_m_s / sigma;
        const float heavy_s = time_scale_s / sqrtf(1.0f + crossing * crossing);
        const float longer = level / sigma, level_scale_s = time_scale_s * longer * longer;
        const float level_crossing = CROSSING * slip_m_s / level;
        const float level_s = level_scale_s / sqrtf(1.0f + level_crossing * level_crossing);

        /* what is in the way */
        const float eddy_u = level * mended_x, eddy_v = level * mended_y, eddy_w = sigma * mended_z;
        const float tossed_u = b->tossed_u_m_s[i] + b->follow[i] * (eddy_u - b->eddy_u_m_s[i]);
        const float tossed_v = b->tossed_v_m_s[i] + b->follow[i] * (eddy_v - b->eddy_v_m_s[i]);
        const float tossed_w = b->tossed_w_m_s[i] + b->follow[i] * (eddy_w - b->eddy_w_m_s[i]);
        const float own_u = slip_u - tossed_u + eddy_u, own_v = slip_v - tossed_v + eddy_v,
                    own_w = slip_w - tossed_w + eddy_w;
        const float leaf_rate = clump * k->leaf[i] * meeting_m_s(leaf_width, stokes_s, air_m_s, ratio2, per_area, air_u,
                                                                 air_v, air_w, own_u, own_v, own_w);
        const float wood_rate = k->wood[i] * meeting_m_s(wood_width, stokes_s, air_m_s, 1.0f, 0.5f, air_u, air_v,
                                                                 air_w, own_u, own_v, own_w);
        const float grass_rate =
            k->grass[i]
            * meeting_m_s(grass_width, stokes_s, air_m_s, 1.0f, 0.5f, air_u, air_v, air_w, own_u, own_v, own_w);
        const float met_1_s = leaf_rate + wood_rate + grass_rate;

        const float drying = root_re < split ? still + square * re : base + moving * root_re;
        const float smallest = b->whole_m[i] * nonvolatile_root, wet = d > 1.001f * smallest ? 1.0f : 0.0f;
        const int in_block = (b->z_m[i] < canopy_top) & (b->x_m[i] > block_low) & (b->x_m[i] < block_high);
        float stride_m = in_block ? canopy_stride : LONGEST_STRIDE_M;
        stride_m = k->near_by[i] > 0.0f ? near_stride : stride_m;
        const float travel = speed_m_s + air_m_s + (k->near_by[i] > 0.0f ? travel_speed : 0.0f) + 0.01f;
        float dt = STEP_OVER_TIME_SCALE * time_scale_s;
        dt = smaller(dt, STEP_OVER_HEAVY_SCALE * heavy_s);
        dt = smaller(dt, 2.0f * stride_m / travel); /* travel counts droplet and air: about twice the droplet's own */
        const float weight_m_s2 = gravity * (1.0f - density_air / b->density_kg_m3[i]);
        const float fall_m_s = weight_m_s2 * tau_s, sink_w = slip_w + fall_m_s;
        const float unsettled_m =
            sqrtf(slip_u * slip_u + slip_v * slip_v + sink_w * sink_w) * tau_s; /* still to go before it settles */
        /* f - 1 now, and roughly what it comes to as the droplet gathers its speed of fall */
        const float now = factor - 1.0f, coming = smaller(0.12f * re_per_slip * fall_m_s, 4.0f);
        const float curved = now > coming ? now : coming;
        dt = smaller(dt, STEP_OVER_DRAG * stokes_s / (curved + 1e-6f) * (1.0f + FINE_M / (unsettled_m + 1e-9f)));
        dt = smaller(dt, wet > 0.0f ? STEP_OVER_DRYING * d * d / drying : LONGEST_STEP_S);
        dt = held(dt, SHORTEST_STEP_S, LONGEST_STEP_S) * step_scale;
        const float cover = met_1_s * dt, left = b->path_limit[i] - b->path[i];
        const int hit = cover > left;
        dt = hit ? dt * held(left / (cover + 1e-30f), 0.0f, 1.0f) : dt;
        dt *= b->aloft[i];

        /* the eddy it rides in */
        const float kept = base_expf(-dt / heavy_s), fresh = sqrtf(1.0f - kept * kept);
        const float push = heavy_s * (1.0f - kept) / (1.0f + tau_s / heavy_s);
        const float level_kept = base_expf(-dt / level_s), level_fresh = sqrtf(1.0f - level_kept * level_kept);
        const float level_push = level_s * (1.0f - level_kept) / (1.0f + tau_s / level_s);
        const float eddy_x = level_kept * mended_x + level_push * k->grad_x[i] + level_fresh * k->n1[i];
        const float eddy_y = level_kept * mended_y + level_push * k->grad_y[i] + level_fresh * k->n2[i];
        const float eddy_z = kept * mended_z + push * k->grad_z[i] + fresh * k->n3[i];
        const float change_u = level * (eddy_x - mended_x), change_v = level * (eddy_y - mended_y);
        const float change_w = sigma * (eddy_z - mended_z);

        /* drag and drying halfway through the step: the slip dies down to the fall, and the droplet shrinks */
        const float halfway = 0.5f * dt / (tau_s + 0.5f * dt), mid_slip_w = slip_w - sink_w * halfway;
        const float mid_slip_m_s = sqrtf((slip_u * slip_u + slip_v * slip_v) * (1.0f - halfway) * (1.0f - halfway)
                                         + mid_slip_w * mid_slip_w);
        const float re_mid = re_per_slip * mid_slip_m_s, root_re_mid = sqrtf(re_mid);
        const float mid_factor = factor + flat * (0.15f * base_powf(re_mid, 0.687f) - inertia);
        const float drying_mid = root_re_mid < split ? still + square * re_mid : base + moving * root_re_mid;
        const float shrunk_s = 0.5f * stokes_per_d2 * b->density_kg_m3[i] * drying_mid * dt * wet;
        const float tau_mid_s = (stokes_s - smaller(shrunk_s, 0.5f * stokes_s)) / mid_factor;
        const float fall_mid_m_s = weight_m_s2 * tau_mid_s;

        /* flight: air at the start, plus its even change over the step, plus the droplet's slip as it dies away */
        const float gone = base_expf(-dt / tau_mid_s), reach_s = tau_mid_s * (1.0f - gone),
                    per_dt = 1.0f / (dt + 1e-12f);
        const float follow = 1.0f - reach_s * per_dt;       /* share of an even change that it takes up */
        const float lag_s = 0.5f * dt - tau_mid_s * follow; /* and how far that carries it, over the change */
        const float u_1 = air_u + slip_u * gone + change_u * follow, v_1 = air_v + slip_v * gone + change_v * follow;
        const float x = x_0 + air_u * dt + slip_u * reach_s + change_u * lag_s;
        const float y = y_0 + air_v * dt + slip_v * reach_s + change_v * lag_s;
        const float toss = eddy_w * dt + (tossed_w - eddy_w) * reach_s + change_w * lag_s, z_tossed = z_0 + toss;
        const float rest =
            (air_w - eddy_w) * dt + (slip_w - tossed_w + eddy_w + fall_mid_m_s) * reach_s - fall_mid_m_s * dt;
        const float tossed_1 = eddy_w + (tossed_w - eddy_w) * gone + change_w * follow;
        const float w_raw = air_w - fall_mid_m_s + (slip_w + fall_mid_m_s) * gone + change_w * follow;
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
        b->push_level_s[i] = level_push;
        b->push_s[i] = below ? 0.0f : push;
        b->slope_x_1_s[i] = k->grad_x[i];
        b->slope_y_1_s[i] = k->grad_y[i];
        b->slope_z_1_s[i] = k->grad_z[i];
        b->tossed_w_m_s[i] = below ? -tossed_1 : tossed_1;
        b->tossed_u_m_s[i] = eddy_u + (tossed_u - eddy_u) * gone + change_u * follow;
        b->tossed_v_m_s[i] = eddy_v + (tossed_v - eddy_v) * gone + change_v * follow;
        b->eddy_u_m_s[i] = eddy_u + change_u;
        b->eddy_v_m_s[i] = eddy_v + change_v;
        b->eddy_w_m_s[i] = eddy_w + change_w;
        b->follow[i] = below ? 0.0f : follow;
        b->lag_s[i] = below ? 0.0f : lag_s;

        /* drying; the sum of what is lost is kept apart from the diameter, as a check on both */
        const float left2 = d * d - drying_mid * dt * wet, least = smaller(d, smallest);
        const float shrunk = sqrtf(left2 > 0.0f ? left2 : 0.0f), dry = shrunk > least ? shrunk : least;
        const float per_whole = 1.0f / b->whole_m[i], before = d * per_whole, after = dry * per_whole;
        b->evaporated[i] += (before - after) * (before * before + before * after + after * after);
        b->diameter_m[i] = dry;

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
    read_air(s, b, &k);
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
