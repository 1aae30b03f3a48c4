/* sim/air/flow_inflow.c - the wind over endless open ground, and the factors that keep it as it is. */
#include "air/flow_inflow.h"

#include <math.h>
#include <stdlib.h>

#include "air/flow_constants.h"
#include "air/stability.h"
#include "base/status.h"

/* The law of the wind over open ground, kappa U / u*. */
static double law(const air_flow_case *c, double z_m)
{
    return air_law(z_m, 0.0, c->roughness_m, c->per_obukhov_1_m);
}

/* phi_m = z dU/dz kappa / u*, by the same law. */
static double shear_function(const air_flow_case *c, double z_m)
{
    const double zeta = z_m * c->per_obukhov_1_m, step = 1e-3;
    if (zeta == 0.0) return 1.0;
    return 1.0 - (air_psi_momentum(zeta * (1.0 + step)) - air_psi_momentum(zeta * (1.0 - step))) / (2.0 * step);
}

static double viscosity(double k, double epsilon)
{
    return FLOW_CMU * k * k / epsilon;
}

static void at_height(const air_flow_case *c, double z_m, double *speed, double *k, double *epsilon)
{
    const double phi = shear_function(c, z_m), zeta = z_m * c->per_obukhov_1_m;
    *speed = fmax(law(c, z_m), 0.0) / AIR_VON_KARMAN;
    *epsilon = (phi - zeta) / (AIR_VON_KARMAN * z_m);
    *k = sqrt(AIR_VON_KARMAN * z_m / phi * *epsilon / FLOW_CMU);
}

/* What diffusion carries into a cell, a depth. */
static double diffusion(const air_flow_mesh *mesh, const air_flow_inflow *f, const double *value, double top,
                        double sigma, int level)
{
    const int nz = mesh->nz;
    double sum = 0.0;
    for (int side = 0; side < 2; side++) {
        const int face = level + side, below = face - 1;
        if (face == 0) continue; /* nothing passes the ground */
        const double nu_below = viscosity(f->k[below], f->epsilon[below]);
        const double nu_above = face < nz ? viscosity(f->k[face], f->epsilon[face]) : f->viscosity_top;
        const double next = face < nz ? value[face] : top;
        const double flux = air_flow_between(nu_below, nu_above) / sigma * (next - value[below]) / mesh->z.gap[face];
        sum += side ? flux : -flux;
    }
    return sum / mesh->z.size[level];
}

/* Production by shear as flow.c works it out. */
static double production(const air_flow_mesh *mesh, const air_flow_inflow *f, int level)
{
    const int nz = mesh->nz;
    if (level == 0) return f->phi_shear / (AIR_VON_KARMAN * mesh->z.point[0]);
    double sum = 0.0;
    for (int face = level; face <= level + 1; face++) {
        const double nu_below = viscosity(f->k[face - 1], f->epsilon[face - 1]);
        const double nu_above = face < nz ? viscosity(f->k[face], f->epsilon[face]) : f->viscosity_top;
        const double nu = air_flow_between(nu_below, nu_above);
        const double shear = face < nz ? (f->speed[face] - f->speed[face - 1]) / mesh->z.gap[face] : 1.0 / nu;
        sum += 0.5 * nu * shear * shear;
    }
    return sum;
}

drupelet_status air_flow_inflow_create(const air_flow_case *c, const air_flow_mesh *mesh, air_flow_inflow *f)
{
    const int nz = mesh->nz;
    const size_t bytes = (size_t)nz * sizeof(double);
    *f = (air_flow_inflow){.speed = malloc(bytes),
                           .k = malloc(bytes),
                           .epsilon = malloc(bytes),
                           .per_viscosity = malloc(bytes),
                           .production = malloc(bytes),
                           .ce1 = malloc(bytes),
                           .carried = malloc(bytes),
                           .cold_share = malloc(bytes)};
    if (!f->speed || !f->k || !f->epsilon || !f->per_viscosity || !f->production || !f->ce1 || !f->carried
        || !f->cold_share)
        return base_error(DRUPELET_MEMORY, "no memory for the wind");
    for (int k = 0; k < nz; k++)
        at_height(c, mesh->z.point[k], &f->speed[k], &f->k[k], &f->epsilon[k]);
    at_height(c, mesh->z.face[nz], &f->speed_top, &f->k_top, &f->epsilon_top);
    f->viscosity_top = viscosity(f->k_top, f->epsilon_top);
    const double lowest_m = mesh->z.point[0];
    f->law = law(c, lowest_m);
    if (!(f->law > 0.0))
        return base_error(DRUPELET_SCENARIO,
                          "the cells of the wind are too low for a ground of %g m roughness: the middle "
                          "of the lowest is at %g m",
                          c->roughness_m, lowest_m);
    f->phi_shear = shear_function(c, lowest_m);
    f->phi_epsilon = f->phi_shear - lowest_m * c->per_obukhov_1_m;
    const double buoyant = f->buoyant = -c->per_obukhov_1_m / AIR_VON_KARMAN;
    for (int k = 0; k < nz; k++) {
        f->per_viscosity[k] = 1.0 / viscosity(f->k[k], f->epsilon[k]);
        f->production[k] = (f->epsilon[k] - buoyant) / production(mesh, f, k);
        f->cold_share[k] = fmax(-buoyant, 0.0) / (f->epsilon[k] - buoyant);
        f->carried[k] = -diffusion(mesh, f, f->k, f->k_top, FLOW_SIGMA_K, k);
        f->ce1[k] = (FLOW_CE2 * f->epsilon[k]
                     - diffusion(mesh, f, f->epsilon, f->epsilon_top, FLOW_SIGMA_E, k) * f->k[k] / f->epsilon[k])
                    / (f->epsilon[k] - fmin(buoyant, 0.0));
    }
    return base_ok();
}

void air_flow_inflow_free(air_flow_inflow *f)
{
    free(f->speed);
    free(f->k);
    free(f->epsilon);
    free(f->per_viscosity);
    free(f->production);
    free(f->ce1);
    free(f->carried);
    free(f->cold_share);
}
