/* sim/droplet/kernel_scratch.h - what a step of the kernel works out on its way, and small functions that stay vector
 * code. Included by the parts of kernel_flight.c. */
#ifndef DROPLET_KERNEL_SCRATCH_H
#define DROPLET_KERNEL_SCRATCH_H

#include <stdalign.h>
#include <stdint.h>

#include "base/vector_math.h"
#include "droplet/kernel.h"

#define SHORTEST_STEP_S 5e-4f /* and the first after a start or an impact */

typedef struct { /* of one step, lane by lane */
    alignas(64) float n1[DROPLET_LANES], n2[DROPLET_LANES], n3[DROPLET_LANES];
    alignas(64) float sigma[DROPLET_LANES], level[DROPLET_LANES], rate[DROPLET_LANES]; /* vertical, level, vertical */
    alignas(64) float air_u[DROPLET_LANES], air_v[DROPLET_LANES], air_w[DROPLET_LANES]; /* mean, then with eddies */
    alignas(64) float grad_x[DROPLET_LANES], grad_y[DROPLET_LANES], grad_z[DROPLET_LANES]; /* from node to node */
    alignas(64) float rate_x[DROPLET_LANES], rate_y[DROPLET_LANES], rate_z[DROPLET_LANES];
    alignas(64) float frame_v[DROPLET_LANES]; /* speed along y of the frame in which the air is steady */
    alignas(64) float near_by[DROPLET_LANES];
    alignas(64) float dt[DROPLET_LANES]; /* of the step, unless something is met on the way */
    alignas(64) float x_mid[DROPLET_LANES], y_mid[DROPLET_LANES], z_mid[DROPLET_LANES]; /* halfway through it */
    alignas(64) int32_t at[DROPLET_LANES], row[DROPLET_LANES], plane[DROPLET_LANES]; /* first of eight nodes; strides */
    alignas(64) float share_x[DROPLET_LANES], share_y[DROPLET_LANES], share_z[DROPLET_LANES]; /* place between them */
    alignas(64) float per_dx[DROPLET_LANES], per_dy[DROPLET_LANES], per_dz[DROPLET_LANES], heading[DROPLET_LANES];
    alignas(64) float unused[DROPLET_LANES]; /* what turn() gives and nobody wants */
    alignas(64) float leaf[DROPLET_LANES], wood[DROPLET_LANES], grass[DROPLET_LANES];
    alignas(64) float given[DROPLET_LANES]; /* share of the leaves that has given way to the air */
    /* catch of small droplets besides impaction: efficiencies; speed at which turbulence throws them on a leaf */
    alignas(64) float fine_leaf[DROPLET_LANES], fine_grass[DROPLET_LANES];
    alignas(64) float thrown_m_s[DROPLET_LANES];
    /* what the pieces of a step hand on */
    alignas(64) float eddy_u[DROPLET_LANES], eddy_v[DROPLET_LANES], eddy_w[DROPLET_LANES];
    alignas(64) float slip_u[DROPLET_LANES], slip_v[DROPLET_LANES], slip_w[DROPLET_LANES], air_m_s[DROPLET_LANES];
    alignas(64) float re[DROPLET_LANES], stokes_s[DROPLET_LANES], flat[DROPLET_LANES], weight_m_s2[DROPLET_LANES];
    alignas(64) float log_re[DROPLET_LANES], late[DROPLET_LANES];
    alignas(64) float inertia[DROPLET_LANES], factor[DROPLET_LANES], stays[DROPLET_LANES], fallen_m_s[DROPLET_LANES];
    alignas(64) float mid_u[DROPLET_LANES], mid_v[DROPLET_LANES], mid_w[DROPLET_LANES], slip2[DROPLET_LANES];
    alignas(64) float tau_s[DROPLET_LANES], per_tau[DROPLET_LANES], drying[DROPLET_LANES], per_dt[DROPLET_LANES];
    alignas(64) float time_scale_s[DROPLET_LANES], eddy_1_s[DROPLET_LANES];
    alignas(64) float change_u[DROPLET_LANES], change_v[DROPLET_LANES], change_w[DROPLET_LANES], gone[DROPLET_LANES];
    alignas(64) float reach_s[DROPLET_LANES], follow[DROPLET_LANES], lag_s[DROPLET_LANES];
    alignas(64) int32_t hit[DROPLET_LANES]; /* DROPLET_HIT or 0 */
} scratch;

static inline float smaller(float a, float b) /* fminf would be a call */
{
    return a < b ? a : b;
}

static inline float larger(float a, float b)
{
    return a > b ? a : b;
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

#endif
