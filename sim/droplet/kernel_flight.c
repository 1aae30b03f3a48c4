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
 * frame: written for u / sigma its term u / (2 s2) v grad(s2) vanishes. TL of a component goes with its variance. TL*
 * = TL / sqrt(1 + (beta slip / sigma)^2) for droplets that cross the eddies, beta 1.5 along the slip and twice that
 * across it; between the directions by their squares (G. T. Csanady, J. Atmos. Sci. 20 (1963) 201; B. L. Sawford, F.
 * M. Guest, Boundary-Layer Meteorol. 54 (1991) 147; second hand). Over a step the share (1 - h) / (1 + h) of an eddy
 * is kept, h = dt / (2 TL*): with straight lines between the ends of steps that spreads droplets as fast as the
 * continuous process does, however long the steps, up to 2 TL*.
 *
 * Drag: dv/dt = (u - v) / tau - g, f(Re) held for a step at what it is halfway, the eddy's air changing evenly over
 * it: the linear law has its exact solution.
 *
 * Ground: what turbulence does to the droplet's height reflects at the roughness height (by its turbulent velocity: how
 * its own velocity has answered to the eddies). The mean air, gravity and the droplet's own momentum may carry it down.
 * So what settles is settling speed times concentration, no more. Grass is a thin canopy below its height.
 *
 * Evaporation: -d(d^2)/dt is linear in sqrt(Re), or in Re where that is small, from the droplet's heat balance
 * (kernel.c). */
#include "droplet/kernel.h"

#include <math.h>
#include <string.h>

#include "base/random_lanes.h"
#include "base/vector_math.h"
#include "droplet/kernel_air.h"
#include "droplet/kernel_drying.h"
#include "droplet/kernel_scratch.h"
#include "droplet/kernel_variants.h"

/* Longest step over the time scales. The first keeps the well-mixed tests (tracers: 0.3 would not); a droplet's own
 * relaxation time is added, since it takes up the less of an eddy's drift. Where a jet blows through leaves deposit
 * depends on the step more than elsewhere. docs/validation.md, "Convergence", has what doubling and halving change. */
#define STEP_OVER_TIME_SCALE 0.2f
#define STEP_IN_LEAVES 0.5f
#define STEP_OVER_HEAVY_SCALE 1.0f
#define STEP_OVER_DRAG 0.3f
#define STEP_OVER_DRYING 0.1f
#define STEP_IN_CELL 0.5f
#define LONGEST_STEP_S 0.5f
#define LONGEST_STRIDE_M 1.0f
#define FINE_M 2e-3f      /* slowing down within less than this needs no finer steps */
#define CROSSING 1.5f     /* beta of the heavy-particle time scale */
#define PETROFF ((float)DROPLET_PETROFF)
#define STILL_M2_S2 1e-12f /* keeps a quotient finite in still air, where leaves stand */

/* Three standard normal numbers a lane; keyed by seed, droplet and step. */
static void draw(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    alignas(64) uint32_t word[4][DROPLET_LANES];
    base_random_lanes((uint64_t)s->seed_high << 32 | s->seed_low, BASE_STREAM_FLIGHT, DROPLET_LANES, b->id_low,
                      b->id_high, b->step, (uint32_t *const[4]){word[0], word[1], word[2], word[3]});
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float per = 1.0f / 16777216.0f; /* 24 bits, so that 1 is never reached */
        const float a = ((float)(int32_t)(word[0][i] >> 8) + 0.5f) * per;
        const float c = ((float)(int32_t)(word[2][i] >> 8) + 0.5f) * per;
        const float turn_a = (float)(int32_t)(word[1][i] >> 8) * per, turn_c = (float)(int32_t)(word[3][i] >> 8) * per;
        float sine, cosine;
        base_sincos_turn(turn_a, &sine, &cosine);
        const float size = sqrtf(-2.0f * base_logf(a));
        k->n1[i] = size * cosine;
        k->n2[i] = size * sine;
        base_sincos_turn(turn_c, &sine, &cosine);
        k->n3[i] = sqrtf(-2.0f * base_logf(c)) * cosine;
    }
}

/* Rate at which targets are met, over their area density: G(w) |w|, w = e u + slip. The slip is the
 * droplet's own, by momentum and weight. What eddies make of it lasts a relaxation time and carries the droplet no
 * farther than that; it is in E already, by the air's fluctuating speed u. */
static inline float meeting_m_s(float e, float ratio2, float per_area, float u, float v, float w, float own_u,
                                float own_v, float own_w)
{
    const float a = e * u + own_u, c = e * v + own_v, d = e * w + own_w;
    return sqrtf(ratio2 * d * d + a * a + c * c) * per_area;
}

/* The same where all directions are alike: |w|. @param twice twice the product of slip and air */
static inline float approach_m_s(float e, float air2, float twice, float own2)
{
    const float square = e * (e * air2 + twice) + own2;
    return sqrtf(square > 0.0f ? square : 0.0f);
}

/* The step is cut into several loops. In a single one each result hangs on so many before it that the processor
 * waits most of the time; short loops it overlaps. */

/* The air halfway, the droplet's slip in it, and what drag needs to know of the droplet. */
static void take_slip(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const float gravity = (float)BASE_GRAVITY_M_S2, density_air = s->air_density_kg_m3;
    const float re_per_m2_s = density_air / s->air_viscosity_Pa_s, slip_length = s->slip_length_m;
    const float deform_from = s->deform_from_m, deform_1 = s->deform[0], deform_2 = s->deform[1],
                deform_3 = s->deform[2];
    const float stokes_per_d2 = s->stokes_per_d2;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float eddy_u = k->level[i] * b->eddy_x[i], eddy_v = k->level[i] * b->eddy_y[i];
        const float eddy_w = k->sigma[i] * b->eddy_z[i];
        const float air_u = k->air_u[i] + eddy_u, air_v = k->heading[i] * k->air_v[i] + eddy_v,
                    air_w = k->air_w[i] + eddy_w;
        const float slip_u = b->u_m_s[i] - air_u, slip_v = b->v_m_s[i] - air_v, slip_w = b->w_m_s[i] - air_w;
        const float d = b->diameter_m[i], density = b->density_kg_m3[i];
        const float over_raw = (d - deform_from) * 1e3f, over = over_raw > 0.0f ? over_raw : 0.0f;
        k->eddy_u[i] = eddy_u;
        k->eddy_v[i] = eddy_v;
        k->eddy_w[i] = eddy_w;
        k->air_u[i] = air_u;
        k->air_v[i] = air_v;
        k->air_w[i] = air_w;
        k->air_m_s[i] = sqrtf(air_u * air_u + air_v * air_v + air_w * air_w);
        k->slip_u[i] = slip_u;
        k->slip_v[i] = slip_v;
        k->slip_w[i] = slip_w;
        k->re[i] = re_per_m2_s * d * sqrtf(slip_u * slip_u + slip_v * slip_v + slip_w * slip_w);
        k->flat[i] = 1.0f + over * (deform_1 + over * (deform_2 + over * deform_3));
        k->stokes_s[i] = stokes_per_d2 * density * d * (d + slip_length);
        k->weight_m_s2[i] = gravity - gravity * density_air / density;
    }
}

/* Drag as the step begins, and from it the slip halfway through: it dies down to the fall. */
static void take_first_drag(scratch *restrict k)
{
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float re = k->re[i];
        k->log_re[i] = base_logf(re > 1e-8f ? re : 1e-8f);
    }
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        k->inertia[i] = 0.15f * base_expf(0.687f * k->log_re[i]);
        k->late[i] = 1.0f + 42500.0f * base_expf(-1.16f * k->log_re[i]); /* beyond Re 1000 it counts */
    }
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float re = k->re[i], inertia = k->inertia[i], late = k->late[i];
        const float stokes_s = k->stokes_s[i], half_s = 0.5f * k->dt[i];
        const float factor_late = k->flat[i] * ((1.0f + inertia) * late + 0.0175f * re);
        const float halved = stokes_s * late + half_s * factor_late, per_both = 1.0f / (late * halved);
        const float stays = stokes_s * late * late * per_both; /* tau / (tau + half_s), tau = stokes_s / factor */
        const float fallen_m_s = k->weight_m_s2[i] * half_s * stays; /* towards its speed of fall */
        const float mid_u = k->slip_u[i] * stays, mid_v = k->slip_v[i] * stays;
        const float mid_w = k->slip_w[i] * stays - fallen_m_s;
        k->factor[i] = factor_late * halved * per_both;
        k->stays[i] = stays;
        k->fallen_m_s[i] = fallen_m_s;
        k->mid_u[i] = mid_u;
        k->mid_v[i] = mid_v;
        k->mid_w[i] = mid_w;
        k->slip2[i] = mid_u * mid_u + mid_v * mid_v + mid_w * mid_w;
    }
}

/* Drag and drying halfway through; the droplet shrinks. */
static void take_drag(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const float re_per_m2_s = s->air_density_kg_m3 / s->air_viscosity_Pa_s;
    const float stokes_per_d2 = s->stokes_per_d2, base = s->drying_base_m2_s, moving = s->drying_moving_m2_s;
    const float split = s->drying_split, still = s->drying_still_m2_s, square = s->drying_square_m2_s;
    const float nonvolatile_root = s->nonvolatile_root;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float d = b->diameter_m[i], stokes_s = k->stokes_s[i];
        const float re = re_per_m2_s * d * sqrtf(k->slip2[i]), root_re = sqrtf(re);
        const float smallest = b->whole_m[i] * nonvolatile_root, wet = d > 1.001f * smallest ? 1.0f : 0.0f;
        const float drying = wet * (root_re < split ? still + square * re : base + moving * root_re);
        const float factor = k->factor[i] + k->flat[i] * (0.15f * base_powf(re, 0.687f) - k->inertia[i]);
        const float shrunk_s = stokes_per_d2 * b->density_kg_m3[i] * drying * 0.5f * k->dt[i];
        const float mid_s = stokes_s - smaller(shrunk_s, 0.5f * stokes_s), per_drag = 1.0f / (mid_s * factor);
        k->tau_s[i] = mid_s * mid_s * per_drag;
        k->per_tau[i] = factor * factor * per_drag;
        k->drying[i] = drying;
    }
}

/* How targets catch small droplets besides impaction (impaction.c). All 0 where the scenario leaves it out. */
static void take_fine_catch(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const float leaf_edge = s->leaf_edge_1_m, leaf_log = s->leaf_edge_log, hair = s->leaf_hair;
    const float grass_edge = s->grass_edge_1_m, grass_log = s->grass_edge_log;
    const float friction = s->leaf_friction2, per_viscosity = s->per_viscosity_s_m2;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float d = b->diameter_m[i], log_d = base_logf(d), air_m_s = k->air_m_s[i];
        const float friction2 = friction * air_m_s * sqrtf(air_m_s);
        const float tau_plus = k->stokes_s[i] * friction2 * per_viscosity;
        k->fine_leaf[i] = leaf_edge * d * (leaf_log - log_d) + hair * d / (d + (float)DROPLET_HAIR_M);
        k->fine_grass[i] = grass_edge * d * (grass_log - log_d);
        k->thrown_m_s[i] = sqrtf(friction2)
                           * smaller((float)DROPLET_TURBULENT * tau_plus * tau_plus, (float)DROPLET_TURBULENT_MOST);
    }
}

/* What is in the way, and whether it is met before the step is over. */
static void look_ahead(const droplet_setting *restrict s, droplet_batch *restrict b, scratch *restrict k)
{
    const float ratio2 = s->angle_ratio * s->angle_ratio, per_area = s->per_angle_area, clump = s->clumping,
                clump_cover = s->clump_cover;
    /* stopping distances of which a quarter is caught */
    const float leaf_half = PETROFF * s->leaf_width_m, grass_half = PETROFF * s->grass_width_m;
    const float half_0 = PETROFF * s->wood_diameter_m[0], half_1 = PETROFF * s->wood_diameter_m[1],
                half_2 = PETROFF * s->wood_diameter_m[2], half_3 = PETROFF * s->wood_diameter_m[3];
    const float share_0 = s->wood_share[0], share_1 = s->wood_share[1], share_2 = s->wood_share[2],
                share_3 = s->wood_share[3];
    const float round_0 = s->wood_round_1_m[0], round_1 = s->wood_round_1_m[1], round_2 = s->wood_round_1_m[2],
                round_3 = s->wood_round_1_m[3];
    _Static_assert(DROPLET_WOODS == 4, "one line of the loop for each");
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float stays = k->stays[i], air_u = k->air_u[i], air_v = k->air_v[i], air_w = k->air_w[i];
        const float own_u = (k->slip_u[i] - b->turbulent_u_m_s[i] + k->eddy_u[i]) * stays;
        const float own_v = (k->slip_v[i] - b->turbulent_v_m_s[i] + k->eddy_v[i]) * stays;
        const float own_w = (k->slip_w[i] - b->turbulent_w_m_s[i] + k->eddy_w[i]) * stays - k->fallen_m_s[i];
        const float stop_m = k->stokes_s[i] * k->air_m_s[i]; /* over a width: Stokes number */
        const float leaf_stop = stop_m + leaf_half, grass_stop = stop_m + grass_half;
        const float stop_0 = stop_m + half_0, stop_1 = stop_m + half_1, stop_2 = stop_m + half_2,
                    stop_3 = stop_m + half_3;
        /* one division for six */
        const float thin = stop_0 * stop_1, thick = stop_2 * stop_3, wide = leaf_stop * grass_stop;
        const float share_stop = stop_m / (thin * thick * wide), off_wide = share_stop * wide;
        const float off_thin = share_stop * thin * thick, in_thin = off_wide * thick, in_thick = off_wide * thin;
        const float leaf_root = off_thin * grass_stop, grass_root = off_thin * leaf_stop;
        /* leaves that give way to the air meet so much less of what comes along it */
        const float own_along = own_u * air_u + own_v * air_v + own_w * air_w;
        const float air2 = k->air_m_s[i] * k->air_m_s[i], given = k->given[i];
        const float along = own_along / (air2 + STILL_M2_S2), twice = 2.0f * own_along;
        const float own2 = own_u * own_u + own_v * own_v + own_w * own_w;
        const float leaf_e = leaf_root * leaf_root + k->fine_leaf[i];
        const float leaf_m_s = meeting_m_s(leaf_e - given * (leaf_e + along), ratio2, per_area, air_u, air_v, air_w,
                                           own_u, own_v, own_w);
        /* a leaf of a clump hides others from what it catches of all that flies towards it as it stands in still air */
        const float straight_m_s = meeting_m_s(1.0f, ratio2, per_area, air_u, air_v, air_w, own_u, own_v, own_w);
        const float hidden = clump_cover * leaf_m_s / (straight_m_s + 1e-9f);
        const float leaf_rate = clump * k->leaf[i]
                                * (leaf_m_s / (1.0f + hidden * (0.5f + hidden * (1.0f / 12.0f)))
                                   + 2.0f * k->thrown_m_s[i]); /* on both sides */
        const float root_0 = in_thin * stop_1, root_1 = in_thin * stop_0, root_2 = in_thick * stop_3,
                    root_3 = in_thick * stop_2, d = b->diameter_m[i];
        const float wood_rate = 0.5f * k->wood[i]
                                * (share_0 * approach_m_s(root_0 * root_0 + round_0 * d, air2, twice, own2)
                                   + share_1 * approach_m_s(root_1 * root_1 + round_1 * d, air2, twice, own2)
                                   + share_2 * approach_m_s(root_2 * root_2 + round_2 * d, air2, twice, own2)
                                   + share_3 * approach_m_s(root_3 * root_3 + round_3 * d, air2, twice, own2));
        const float grass_rate = k->grass[i]
                                 * meeting_m_s(grass_root * grass_root + k->fine_grass[i], 1.0f, 0.5f, air_u, air_v,
                                               air_w, own_u, own_v, own_w);
        const float met_1_s = leaf_rate + wood_rate + grass_rate, step_s = k->dt[i];
        const float cover = met_1_s * step_s, left = b->path_limit[i] - b->path[i];
        const int hit = cover > left;
        const float dt = (hit ? step_s * held(left / (cover + 1e-30f), 0.0f, 1.0f) : step_s) * b->aloft[i];
        k->hit[i] = hit ? DROPLET_HIT : 0;
        k->dt[i] = dt;
        b->path[i] += met_1_s * dt;
        b->leaf_rate_1_s[i] = leaf_rate;
        b->wood_rate_1_s[i] = wood_rate;
        b->grass_rate_1_s[i] = grass_rate;
        b->given[i] = given;
    }
}

/* The eddies it rides in. One division for several reciprocals: it takes as long as five to ten products. */
static void advance_eddies(droplet_batch *restrict b, scratch *restrict k)
{
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float sigma = k->sigma[i], level = k->level[i], rate = k->rate[i], dt = k->dt[i], tau_s = k->tau_s[i];
        const float per_all = 1.0f / (sigma * level * rate), per_sigma = level * rate * per_all;
        const float per_level = sigma * rate * per_all, narrower = sigma * per_level;
        /* twice beta across the slip: 4 s^2 - 3 s_i^2 of the vertical, mean of that of both level components */
        const float slip2 = CROSSING * CROSSING * k->slip2[i], fall2 = CROSSING * CROSSING * k->mid_w[i] * k->mid_w[i];
        const float crossing2 = 4.0f * slip2 - 3.0f * fall2, level_crossing2 = 2.5f * slip2 + 1.5f * fall2;
        const float eddy_1_s = rate * per_sigma * sqrtf(sigma * sigma + crossing2);
        const float level_1_s = rate * per_level * narrower * narrower * sqrtf(level * level + level_crossing2);
        const float half = 0.5f * dt * eddy_1_s, level_half = 0.5f * dt * level_1_s;
        const float heavy = 1.0f + tau_s * eddy_1_s, level_heavy = 1.0f + tau_s * level_1_s;
        const float slow = (1.0f + half) * heavy, level_slow = (1.0f + level_half) * level_heavy, some = dt + 1e-12f;
        const float slows = slow * level_slow, per_three = 1.0f / (slows * some), per_slows = some * per_three;
        const float per_slow = level_slow * per_slows, per_level_slow = slow * per_slows;
        const float per_half = heavy * per_slow, per_level_half = level_heavy * per_level_slow;
        const float kept = (1.0f - half) * per_half, level_kept = (1.0f - level_half) * per_level_half;
        const float fresh = 2.0f * sqrtf(half) * per_half, level_fresh = 2.0f * sqrtf(level_half) * per_level_half;
        const float push = dt * per_slow, level_push = dt * per_level_slow;
        const float x = b->eddy_x[i], y = b->eddy_y[i], z = b->eddy_z[i];
        const float eddy_x = level_kept * x + level_push * k->grad_x[i] * k->per_dx[i] + level_fresh * k->n1[i];
        const float eddy_y = level_kept * y + level_push * k->grad_y[i] * k->per_dy[i] + level_fresh * k->n2[i];
        const float eddy_z = kept * z + push * k->grad_z[i] * k->per_dz[i] + fresh * k->n3[i];
        k->change_u[i] = level * (eddy_x - x);
        k->change_v[i] = level * (eddy_y - y);
        k->change_w[i] = sigma * (eddy_z - z);
        b->eddy_x[i] = eddy_x;
        b->eddy_y[i] = eddy_y;
        b->eddy_z[i] = eddy_z;
        k->time_scale_s[i] = sigma * level * per_all;
        k->eddy_1_s[i] = eddy_1_s;
        k->per_dt[i] = slows * per_three;
    }
}

/* Flight along a level axis: air at the start, plus the even change of its eddy, plus the droplet's slip as it dies
 * away. Out: the droplet's place and speed, its answer to the eddies, and eddy and air as the step ends. */
static inline void fly_level(const scratch *restrict k, const float *restrict air, const float *restrict slip,
                             const float *restrict eddy, const float *restrict change, float *restrict place_m,
                             float *restrict speed_m_s, float *restrict turbulent_m_s, float *restrict eddy_m_s,
                             float *restrict air_m_s)
{
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float gone = k->gone[i], reach_s = k->reach_s[i], follow = k->follow[i];
        place_m[i] = place_m[i] + air[i] * k->dt[i] + slip[i] * reach_s + change[i] * k->lag_s[i];
        speed_m_s[i] = air[i] + slip[i] * gone + change[i] * follow;
        turbulent_m_s[i] = eddy[i] + (turbulent_m_s[i] - eddy[i]) * gone + change[i] * follow;
        eddy_m_s[i] = eddy[i] + change[i];
        air_m_s[i] = air[i] + change[i];
    }
}

/* Flight; upwards what turbulence does to the height reflects at the floor. */
static void fly(const droplet_setting *restrict s, droplet_batch *restrict b, scratch *restrict k)
{
    const float floor_z = s->floor_m;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float dt = k->dt[i], tau_s = k->tau_s[i];
        const float gone = base_expf(-dt * k->per_tau[i]), reach_s = tau_s * (1.0f - gone);
        const float follow = 1.0f - reach_s * k->per_dt[i]; /* share of an even change that it takes up */
        k->gone[i] = gone;
        k->reach_s[i] = reach_s;
        k->follow[i] = follow;
        k->lag_s[i] = 0.5f * dt - tau_s * follow; /* how far that carries it, over the change */
    }
    memcpy(b->x_before_m, b->x_m, sizeof b->x_before_m);
    fly_level(k, k->air_u, k->slip_u, k->eddy_u, k->change_u, b->x_m, b->u_m_s, b->turbulent_u_m_s, b->eddy_u_m_s,
              b->air_u_m_s);
    fly_level(k, k->air_v, k->slip_v, k->eddy_v, k->change_v, b->y_m, b->v_m_s, b->turbulent_v_m_s, b->eddy_v_m_s,
              b->air_v_m_s);
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float dt = k->dt[i], gone = k->gone[i], reach_s = k->reach_s[i], follow = k->follow[i];
        const float air_w = k->air_w[i], slip_w = k->slip_w[i], change_w = k->change_w[i], eddy_w = k->eddy_w[i];
        const float z = b->z_m[i], turbulent_w = b->turbulent_w_m_s[i], fall_m_s = k->weight_m_s2[i] * k->tau_s[i];
        const float eddy_z = b->eddy_z[i];
        const float turbulent_m = eddy_w * dt + (turbulent_w - eddy_w) * reach_s + change_w * k->lag_s[i];
        const float z_turbulent = z + turbulent_m;
        const float rest =
            (air_w - eddy_w) * dt + (slip_w - turbulent_w + eddy_w + fall_m_s) * reach_s - fall_m_s * dt;
        const float turbulent_1 = eddy_w + (turbulent_w - eddy_w) * gone + change_w * follow;
        const float w_raw = air_w - fall_m_s + (slip_w + fall_m_s) * gone + change_w * follow;
        const int below = z_turbulent < floor_z;
        b->z_m[i] = (below ? 2.0f * floor_z - z_turbulent : z_turbulent) + rest;
        b->w_m_s[i] = below ? w_raw - 2.0f * turbulent_1 : w_raw;
        b->turbulent_w_m_s[i] = below ? -turbulent_1 : turbulent_1;
        b->eddy_z[i] = below ? -eddy_z : eddy_z;
        b->eddy_w_m_s[i] = eddy_w + change_w;
        b->air_w_m_s[i] = air_w + change_w;
    }
}

/* How far the next step may go. Its time scale is that of its middle, along the path: a step length taken from what has
 * been would drive tracers to where the scale is short. Then drying; the sum of what is lost is kept apart from the
 * diameter, as a check on both. */
static void choose_next(const droplet_setting *restrict s, droplet_batch *restrict b, const scratch *restrict k)
{
    const float re_per_m2_s = s->air_density_kg_m3 / s->air_viscosity_Pa_s, travel_speed = s->travel_speed_m_s;
    const float canopy_top = s->canopy_top_m, block_low = s->block_low_m, block_high = s->block_high_m;
    const float per_canopy_stride = 0.5f / (STEP_IN_CELL * s->canopy_step_m),
                per_near_stride = 0.5f / (STEP_IN_CELL * s->near_step_m), per_longest_stride = 0.5f / LONGEST_STRIDE_M;
    const float step_scale = s->step_scale, nonvolatile_root = s->nonvolatile_root;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float u = b->u_m_s[i], v = b->v_m_s[i], w = b->w_m_s[i], tau_s = k->tau_s[i];
        const float time_scale_s = k->time_scale_s[i], near_by = k->near_by[i],
                    leaf = k->leaf[i];
        const float growth = -(u * k->rate_x[i] * k->per_dx[i] + (v - k->frame_v[i]) * k->rate_y[i] * k->per_dy[i]
                               + w * k->rate_z[i] * k->per_dz[i])
                             * time_scale_s * time_scale_s;
        const float ahead = 1.0f + STEP_OVER_TIME_SCALE * step_scale * held(growth, -4.0f, 4.0f);
        const int in_block = (b->z_m[i] < canopy_top) & (b->x_m[i] > block_low) & (b->x_m[i] < block_high);
        float per_stride = in_block ? per_canopy_stride : per_longest_stride;
        per_stride = near_by > 0.0f ? per_near_stride : per_stride;
        const float speed_m_s = sqrtf(u * u + v * v + w * w);
        const float travel = speed_m_s + k->air_m_s[i] + near_by * travel_speed + 0.01f;
        const float in_leaves = near_by > 0.0f ? leaf > 0.0f ? STEP_IN_LEAVES : 1.0f : 1.0f;
        const float fall_m_s = k->weight_m_s2[i] * tau_s;
        const float mid_u = k->mid_u[i], mid_v = k->mid_v[i];
        const float over_fall_w = k->mid_w[i] + fall_m_s; /* still to lose before it settles, and how far that goes */
        const float unsettled_m = sqrtf(mid_u * mid_u + mid_v * mid_v + over_fall_w * over_fall_w) * tau_s + 1e-9f;
        /* f - 1 now, and roughly what it comes to as the droplet gathers its speed of fall */
        const float d = b->diameter_m[i], now = k->factor[i] - 1.0f;
        const float coming = smaller(0.12f * re_per_m2_s * d * fall_m_s, 4.0f);
        const float curved = (now > coming ? now : coming) + 1e-6f;
        const float d2 = d * d, harsh = k->stokes_s[i] * (unsettled_m + FINE_M), per_limits = 1.0f / (harsh * d2);
        const float drying = k->drying[i];
        float least_1_s = larger(1.0f / STEP_OVER_HEAVY_SCALE * k->eddy_1_s[i], 1.0f / LONGEST_STEP_S);
        least_1_s = larger(least_1_s, per_stride * travel); /* droplet and air, about twice the droplet's own */
        least_1_s = larger(least_1_s, 1.0f / STEP_OVER_DRAG * curved * unsettled_m * d2 * per_limits);
        least_1_s = larger(least_1_s, 1.0f / STEP_OVER_DRYING * drying * harsh * per_limits);
        const float mixing_s = STEP_OVER_TIME_SCALE * in_leaves * (time_scale_s * ahead + tau_s);
        b->next_s[i] = held(smaller(mixing_s, 1.0f / least_1_s), SHORTEST_STEP_S, LONGEST_STEP_S) * step_scale;
    }
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float d = b->diameter_m[i], whole_m = b->whole_m[i];
        const float left2 = d * d - k->drying[i] * k->dt[i], least = smaller(d, whole_m * nonvolatile_root);
        const float shrunk = sqrtf(left2 > 0.0f ? left2 : 0.0f), dry = shrunk > least ? shrunk : least;
        const float per_whole = 1.0f / whole_m, before = d * per_whole, after = dry * per_whole;
        b->evaporated[i] += (before - after) * (before * before + before * after + after * after);
        b->diameter_m[i] = dry;
    }
}

static void take_note(const droplet_setting *restrict s, droplet_batch *restrict b, const scratch *restrict k)
{
    const float floor_z = s->floor_m, low_x = s->low_x_m, high_x = s->high_x_m, top = s->top_m,
                limit_s = s->time_limit_s;
    float plane_x_m[DROPLET_PLANES];
    for (int p = 0; p < DROPLET_PLANES; p++)
        plane_x_m[p] = s->plane_x_m[p];
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float x = b->x_m[i], z = b->z_m[i], x_before = b->x_before_m[i];
        const float time_s = b->time_s[i] + k->dt[i];
        int found = k->hit[i];
        found |= z < floor_z ? DROPLET_LANDED : 0;
        found |= ((x < low_x) | (x > high_x) | (z > top)) ? DROPLET_LEFT : 0;
        found |= time_s > limit_s ? DROPLET_LATE : 0;
        int crossed = 0;
        for (int p = 0; p < DROPLET_PLANES; p++)
            crossed |= (x_before < plane_x_m[p]) ^ (x < plane_x_m[p]);
        found |= crossed ? DROPLET_CROSSED : 0;
        found |= b->watched[i];
        b->found[i] = b->aloft[i] > 0.0f ? found : 0;
        b->time_s[i] = time_s;
        b->step_s[i] = k->dt[i];
        b->step[i] += 1;
    }
}

static void step(const droplet_setting *restrict s, droplet_batch *restrict b, scratch *restrict k)
{
    take_slip(s, b, k);
    take_first_drag(k);
    take_drag(s, b, k);
    take_fine_catch(s, b, k);
    look_ahead(s, b, k);
    advance_eddies(b, k);
    fly(s, b, k);
    choose_next(s, b, k);
    take_note(s, b, k);
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

/* The spray's air comes down, or rises, by its weight and temperature (humidity.h). */
static void sink_air(const droplet_setting *restrict s, const droplet_batch *restrict b, scratch *restrict k)
{
    const float *restrict rate_1_s = s->sink_rate_1_s, *restrict most_m_s = s->sink_m_s;
#pragma omp simd
    for (int i = 0; i < DROPLET_LANES; i++) {
        const float age_s = b->time_s[i] + 0.5f * k->dt[i], z = k->z_mid[i] > 0.0f ? k->z_mid[i] : 0.0f;
        const float here = at_age(rate_1_s, age_s) * z, most = at_age(most_m_s, age_s);
        const float size = most < 0.0f ? -most : most;
        k->air_w[i] -= held(here, -size, size);
    }
}

void DROPLET_FLIGHT_FUNCTION(const droplet_setting *s, droplet_batch *b)
{
    scratch k;
    find_cells(s, b, &k);
    draw(s, b, &k); /* while the nodes come */
    read_air(s, &k);
    if (s->sinks) sink_air(s, b, &k);
    read_canopy(s, b, &k);
    if (s->n_gaps > 0)
        remember(b);
    if (s->drying_corrected) {
        drying_memory before;
        remember_drying(b, &before);
        step(s, b, &k);
        correct_drying(s, &before, b);
    } else {
        step(s, b, &k);
    }
    if (s->n_gaps > 0)
        find_collectors(s, b);
}
