/* sim/verify/small_catch.c - deposition of small particles on grass by the law of catch, beside measured velocities.
 *
 * A level stand of grass, as the default of a scenario has it, in steady wind: what the leaves of each height take
 * out of the air, by impaction, interception and settling (9.1, 9.2 of theory.md), against what eddies and settling
 * bring down from a height of 0.5 m: d/dz(K dC/dz + v_s C) = rate C, solved in even layers. Wind and diffusivity:
 * logarithmic above the grass (displacement 0.67 h, roughness 0.1 h: common practice), exponential inside it.
 * Friction velocity 0.57 m/s, the geometric middle of the published curves. */
#include <math.h>
#include <string.h>

#include "base/elementary.h"
#include "droplet/droplet.h"
#include "verify/checks.h"

enum { LAYERS = 1000 };
#define TOP_M 0.5
#define FRICTION_M_S 0.57
#define GRASS_M 0.10 /* height, area index and blades: the defaults of orchard.grass_* */
#define GRASS_INDEX 1.5
#define BLADE_M 5e-3
#define DISPLACEMENT 0.67 /* over the height; common practice */
#define ROUGHNESS 0.1
#define ATTENUATION 2.5 /* of wind and eddies inside short grass (choice: 2 to 3 is usual; memory) */
#define KARMAN 0.4

typedef struct {
    double diameter_m, stokes_s, settling_m_s, top_wind_m_s;
} particle;

static double wind_m_s(const particle *p, double z_m)
{
    return p->top_wind_m_s * base_exp(ATTENUATION * (z_m / GRASS_M - 1.0));
}

static double diffusivity_m2_s(double z_m)
{
    const double top_m2_s = KARMAN * FRICTION_M_S * GRASS_M * (1.0 - DISPLACEMENT);
    return z_m < GRASS_M ? top_m2_s * base_exp(ATTENUATION * (z_m / GRASS_M - 1.0))
                         : KARMAN * FRICTION_M_S * (z_m - DISPLACEMENT * GRASS_M);
}

/* Rate at which the grass of a height takes particles out of the air. */
static double rate_1_s(const particle *p, double z_m)
{
    const double u = wind_m_s(p, z_m);
    const double e =
        droplet_impaction_efficiency(p->stokes_s * u / BLADE_M) + droplet_edge_interception(p->diameter_m, BLADE_M);
    return z_m < GRASS_M ? 0.5 * base_hypot(e * u, p->settling_m_s) * GRASS_INDEX / GRASS_M : 0.0;
}

/* Flux through the top over the concentration there. */
static double deposition_m_s(double diameter_um)
{
    const base_air air = base_moist_air(293.15, 0.5, 101325.0);
    const double d_m = 1e-6 * diameter_um, dz_m = TOP_M / LAYERS, density_kg_m3 = 1000.0;
    const particle p = {d_m, droplet_stokes_time_s(d_m, density_kg_m3, &air),
                        droplet_settling_speed_m_s(d_m, density_kg_m3, 0.0727, &air),
                        FRICTION_M_S / KARMAN * base_log((1.0 - DISPLACEMENT) / ROUGHNESS)};
    double middle[LAYERS], given[LAYERS], above = 0.0;
    for (int i = 0; i < LAYERS; i++) { /* Thomas' elimination from the ground up; concentration 1 at the top */
        const double below = i > 0 ? diffusivity_m2_s(i * dz_m) / dz_m : 0.0;
        const double top = diffusivity_m2_s((i + 1) * dz_m) / dz_m;
        middle[i] =
            -rate_1_s(&p, (i + 0.5) * dz_m) * dz_m - p.settling_m_s - below - (i < LAYERS - 1 ? top : 2.0 * top);
        given[i] = i < LAYERS - 1 ? 0.0 : -2.0 * top - p.settling_m_s;
        if (i > 0) {
            const double factor = below / middle[i - 1];
            middle[i] -= factor * above;
            given[i] -= factor * given[i - 1];
        }
        above = top + p.settling_m_s;
    }
    const double uppermost = given[LAYERS - 1] / middle[LAYERS - 1];
    return 2.0 * diffusivity_m2_s(TOP_M) / dz_m * (1.0 - uppermost) + p.settling_m_s;
}

static double velocity_cm_s(const verify_table *t, int row)
{
    return 100.0 * deposition_m_s(verify_table_number(t, row, "diameter_um"));
}

static double over_friction_percent(const verify_table *t, int row)
{
    return 100.0 * deposition_m_s(verify_table_number(t, row, "diameter_um")) / FRICTION_M_S;
}

static const verify_model models[] = {
    {"deposition_velocity", velocity_cm_s},
    {"deposition_over_friction_percent", over_friction_percent},
};

drupelet_status verify_small_catch(verify_list *list)
{
    return verify_columns(list, "small_catch", models, sizeof models / sizeof models[0]);
}
