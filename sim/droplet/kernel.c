/* sim/droplet/kernel.c - gathers what the batch kernel needs: the double-precision physics turned into a few numbers.
 */
#include "droplet/kernel.h"

#include <math.h>

#include "base/elementary.h"

/* Drops below this diameter stay round enough (K. V. Beard, J. Atmos. Sci. 33 (1976) 851, third regime begins at 1.07
 * mm). */
#define DEFORM_FROM_M 0.9e-3
#define DEFORM_TO_M 6.0e-3

/* Least squares of (factor - 1) in powers 1 to 3 of the excess diameter in mm. */
static void fit_deformation(double density_kg_m3, double surface_tension_N_m, const base_air *air, float coefficient[3])
{
    double a[3][4] = {{0}};
    for (int i = 1; i <= 200; i++) {
        const double over_mm = 1e3 * (DEFORM_TO_M - DEFORM_FROM_M) * i / 200.0;
        const double d_m = DEFORM_FROM_M + 1e-3 * over_mm;
        const double y = droplet_deformation_factor(d_m, density_kg_m3, surface_tension_N_m, air) - 1.0;
        const double p[3] = {over_mm, over_mm * over_mm, over_mm * over_mm * over_mm};
        for (int r = 0; r < 3; r++) {
            for (int c = 0; c < 3; c++)
                a[r][c] += p[r] * p[c];
            a[r][3] += p[r] * y;
        }
    }
    for (int r = 0; r < 3; r++) /* Gauss-Jordan; the matrix is positive definite */
        for (int q = 0; q < 3; q++) {
            if (q == r)
                continue;
            const double f = a[q][r] / a[r][r];
            for (int c = r; c < 4; c++)
                a[q][c] -= f * a[r][c];
        }
    for (int r = 0; r < 3; r++)
        coefficient[r] = (float)(a[r][3] / a[r][r]);
}

static void set_air(const air_field *field, const sprayer_work *work, droplet_setting *s)
{
    const air_grid *g = &field->pass[0], *a = &field->ambient;
    s->node = field->node;
    for (int p = 0; p < work->n_passes; p++) {
        s->pass_first[p] = (int32_t)field->pass[p].first;
        s->pass_x_m[p] = (float)work->pass[p].x_m;
        s->pass_heading[p] = (float)work->pass[p].heading;
    }
    s->near_nx = g->nx;
    s->near_ny = g->ny;
    s->near_nz = g->nz;
    s->near_x_first_m = (float)g->x_first_m;
    s->near_y_first_m = (float)g->y_first_m;
    s->near_x_last_m = (float)(g->x_first_m + (g->nx - 1) * g->dx_m);
    s->near_y_last_m = (float)(g->y_first_m + (g->ny - 1) * g->dy_m);
    s->near_z_last_m = (float)((g->nz - 1) * g->dz_m);
    s->near_per_dx = (float)(1.0 / g->dx_m);
    s->near_per_dy = (float)(1.0 / g->dy_m);
    s->near_per_dz = (float)(1.0 / g->dz_m);
    s->near_step_m = (float)g->dx_m;
    s->ambient_first = (int32_t)a->first;
    s->ambient_nx = a->nx;
    s->ambient_ny = a->ny;
    s->ambient_nz = a->nz;
    s->ambient_x_first_m = (float)a->x_first_m;
    s->ambient_per_dx = (float)(1.0 / a->dx_m);
    s->ambient_per_dz = (float)(1.0 / a->dz_m);
    s->ambient_fine_from_m = (float)(a->n_before * a->dx_m);
    s->ambient_fine_m = (float)(a->n_fine * a->fine_m);
    s->ambient_finer_1_m = a->n_fine > 0 ? (float)(1.0 / a->fine_m - 1.0 / a->dx_m) : 0.0f;
}

void droplet_setting_wood(double diameter_m, droplet_setting *s)
{
    const droplet_wood wood = droplet_wood_of(diameter_m);
    for (int w = 0; w < DROPLET_WOODS; w++) {
        s->wood_diameter_m[w] = (float)wood.diameter_m[w];
        s->wood_share[w] = (float)wood.share[w];
    }
}

static void set_canopy(const drupelet_scenario *scenario, const orchard_canopy *canopy, double viscosity_m2_s,
                       droplet_setting *s)
{
    const scenario_canopy *c = &scenario->canopy;
    const scenario_orchard *o = &scenario->orchard;
    s->leaf_area_density_1_m = canopy->leaf_area_density_1_m;
    s->wood_area_density_1_m = canopy->wood_area_density_1_m;
    s->n_rows = canopy->n_rows;
    s->canopy_nx = canopy->nx;
    s->canopy_ny = canopy->ny;
    s->canopy_nz = canopy->nz;
    s->row_spacing_m = (float)canopy->row_spacing_m;
    s->half_width_m = (float)canopy->half_width_m;
    s->per_edge = (float)(1.0 / canopy->edge_m);
    s->per_period = (float)(1.0 / canopy->period_m);
    s->canopy_step_m = (float)fmin(canopy->edge_m, canopy->edge_y_m);
    s->canopy_top_m = (float)(canopy->nz * canopy->edge_m + 0.5);
    s->block_high_m = (float)scenario_high_edge_x_m(o);
    s->block_low_m = (float)scenario_low_edge_x_m(o);
    s->clumping = (float)(c->hidden_by_catch ? 1.0 : c->clumping);
    s->clump_cover = (float)(c->hidden_by_catch ? droplet_clump_cover(c->clumping) : 0.0);
    s->leaf_width_m = (float)c->leaf_width_m;
    droplet_setting_wood(c->wood_diameter_m, s);
    s->angle_ratio = (float)c->leaf_angle_ratio;
    s->per_angle_area = (float)droplet_leaf_projection(c->leaf_angle_ratio, 0.5 * BASE_PI); /* G of a level approach */
    s->grass_height_m = (float)o->grass_height_m;
    s->grass_density_1_m = o->grass_height_m > 0.0 ? (float)(o->grass_leaf_area_index / o->grass_height_m) : 0.0f;
    s->grass_width_m = (float)o->grass_blade_width_m;
    if (!c->fine_catch)
        return;
    s->leaf_edge_1_m = (float)(0.5 / c->leaf_width_m);
    s->leaf_edge_log = (float)(DROPLET_EDGE_LENGTHS + base_log(4.0 * c->leaf_width_m));
    s->leaf_hair = (float)(c->hair_share / DROPLET_HAIR_OVER);
    for (int w = 0; w < DROPLET_WOODS; w++)
        s->wood_round_1_m[w] = (float)DROPLET_ROUND / s->wood_diameter_m[w];
    s->grass_edge_1_m = (float)(0.5 / o->grass_blade_width_m);
    s->grass_edge_log = (float)(DROPLET_EDGE_LENGTHS + base_log(4.0 * o->grass_blade_width_m));
    s->leaf_friction2 = (float)(DROPLET_SKIN_FRICTION * sqrt(viscosity_m2_s / c->leaf_width_m));
    s->per_viscosity_s_m2 = (float)(1.0 / viscosity_m2_s);
}

/* The heat balance hardly depends on the diameter; sqrt(Re) carries the ventilation. Exact at Re 0 and 100 for the law
 * of Ranz and Marshall (elsewhere within 0.02 %), at Re 0, 1, 9 and 100 for that of Beard and Pruppacher. In saturated
 * air rounding must not make droplets grow. */
void droplet_setting_drying(scenario_ventilation law, const base_air *air, droplet_setting *s)
{
    const double still = fmax(droplet_evaporation_by(law, 100e-6, 0.0, air).area_rate_m2_s, 1e-20);
    const double fast = droplet_evaporation_by(law, 100e-6, 100.0, air).area_rate_m2_s;
    double base = still, moving = fmax((fast - still) / 10.0, 0.0), square = 0.0, split = 0.0;
    if (law == SCENARIO_BEARD_PRUPPACHER) {
        const double slow = droplet_evaporation_by(law, 100e-6, 1.0, air).area_rate_m2_s;
        const double middle = droplet_evaporation_by(law, 100e-6, 9.0, air).area_rate_m2_s;
        square = fmax(slow - still, 0.0);
        moving = fmax((fast - middle) / 7.0, 0.0);
        base = fmax(middle - 3.0 * moving, 1e-20);
        split = square > 0.0 ? 0.5 * moving / square : 0.0; /* where both rise alike: they all but touch there */
    }
    s->drying_base_m2_s = (float)base;
    s->drying_moving_m2_s = (float)moving;
    s->drying_split = (float)split;
    s->drying_still_m2_s = (float)still;
    s->drying_square_m2_s = (float)square;
}

/* Excess (K) of the droplet over its steady temperature, and what it adds to the still droplet: to the fall of its
 * temperature times density and d^2, and to -d(d^2)/dt. The size and the density do not matter to either. */
static void excess_rates(scenario_ventilation law, double excess_K, double re, const base_air *air, double *cooling,
                         double *drying)
{
    const double d_m = 100e-6, density_kg_m3 = 1000.0;
    const droplet_drying steady = droplet_evaporation_by(law, d_m, re, air);
    const droplet_warming w =
        droplet_heat_balance(law, steady.temperature_K + excess_K, d_m, density_kg_m3, re, air);
    *cooling = -w.temperature_rate_K_s * density_kg_m3 * d_m * d_m;
    *drying = w.area_rate_m2_s - steady.area_rate_m2_s;
}

/* The steady temperature hardly depends on Re: a tenth of a kelvin from 0 to 100. */
double droplet_first_excess_K(scenario_ventilation law, double liquid_K, const base_air *air)
{
    return liquid_K - droplet_evaporation_by(law, 100e-6, 9.0, air).temperature_K;
}

/* Cooling is a parabola through zero, half the excess and the whole. Water lost over cooling is a line through
 * Gauss's points, so that the whole loss is met. Ventilation is exact at Re 0, 1, 9 and 100, like that of drying. */
void droplet_setting_warmth(scenario_ventilation law, double liquid_K, const base_air *air, droplet_setting *s)
{
    const double excess_K = droplet_first_excess_K(law, liquid_K, air);
    const double whole_K = fabs(excess_K) > 1.0 ? excess_K : 1.0, half_K = 0.5 * whole_K;
    double cooling[2], at_re[3], none;
    excess_rates(law, half_K, 0.0, air, &cooling[0], &none);
    excess_rates(law, whole_K, 0.0, air, &cooling[1], &none);
    const double cool = (4.0 * cooling[0] - cooling[1]) / whole_K;
    const double cool_2 = 2.0 * (cooling[1] - 2.0 * cooling[0]) / (whole_K * whole_K);
    s->cool_kg_m_s = (float)cool;
    s->cool_bend_1_K = (float)(cool_2 / cool);
    const double gauss[2] = {0.5 - sqrt(1.0 / 12.0), 0.5 + sqrt(1.0 / 12.0)};
    double ratio[2];
    for (int i = 0; i < 2; i++) {
        double at, lost;
        excess_rates(law, gauss[i] * whole_K, 9.0, air, &at, &lost);
        ratio[i] = lost / at;
    }
    const double slope = (ratio[1] - ratio[0]) / ((gauss[1] - gauss[0]) * whole_K);
    s->extra_1 = (float)(ratio[0] - slope * gauss[0] * whole_K);
    s->extra_2 = (float)(0.5 * slope);
    for (int i = 0; i < 3; i++)
        excess_rates(law, half_K, i == 0 ? 1.0 : i == 1 ? 9.0 : 100.0, air, &at_re[i], &none);
    const bool pieces = law == SCENARIO_BEARD_PRUPPACHER;
    const double moving =
        pieces ? (at_re[2] - at_re[1]) / (7.0 * cooling[0]) : (at_re[2] - cooling[0]) / (10.0 * cooling[0]);
    s->vent_moving = (float)moving;
    s->vent_base = (float)(pieces ? at_re[1] / cooling[0] - 3.0 * moving : 1.0);
    s->vent_square = (float)(at_re[0] / cooling[0] - 1.0);
    if (pieces)
        s->drying_split = (float)(0.5 * moving / (at_re[0] / cooling[0] - 1.0)); /* as for drying, but in any air */
    s->drying_corrected = 1;
}

void droplet_setting_air(const base_air *air, double density_kg_m3, double surface_tension_N_m, droplet_setting *s)
{
    s->air_density_kg_m3 = (float)air->density_kg_m3;
    s->air_viscosity_Pa_s = (float)air->viscosity_Pa_s;
    s->slip_length_m = (float)(DROPLET_SLIP_LENGTHS * air->mean_free_path_m);
    s->stokes_per_d2 = (float)(1.0 / (18.0 * air->viscosity_Pa_s));
    droplet_setting_drying(SCENARIO_RANZ_MARSHALL, air, s);
    s->deform_from_m = (float)DEFORM_FROM_M;
    fit_deformation(density_kg_m3, surface_tension_N_m, air, s->deform);
}

void droplet_setting_make(const drupelet_scenario *scenario, const sprayer_work *work, const orchard_canopy *canopy,
                          const air_field *field, uint64_t seed, const double plane_x_m[DROPLET_PLANES],
                          droplet_setting *setting)
{
    const scenario_weather *weather = &scenario->weather;
    const scenario_liquid *liquid = &scenario->liquid;
    const base_air air = base_moist_air(weather->temperature_K, weather->relative_humidity, weather->pressure_Pa);
    droplet_setting s = {0};
    set_air(field, work, &s);
    set_canopy(scenario, canopy, air.viscosity_Pa_s / air.density_kg_m3, &s);
    s.travel_speed_m_s = (float)scenario->sprayer.travel_speed_m_s;
    s.floor_m = (float)weather->roughness_m;
    droplet_setting_air(&air, liquid->density_kg_m3, liquid->surface_tension_N_m, &s);
    droplet_setting_drying(scenario->run.ventilation, &air, &s);
    if (scenario->run.transient_temperature || scenario->run.spray_humidity)
        droplet_setting_warmth(scenario->run.ventilation, liquid->temperature_K, &air, &s);
    if (scenario->run.spray_humidity || scenario->run.spray_sink) {
        droplet_humidity humidity;
        droplet_humidity_estimate(scenario, work, &humidity);
        for (int a = 0; a <= DROPLET_AGES; a++) {
            s.moister[a] = scenario->run.spray_humidity ? (float)humidity.moister[a] : 0.0f;
            s.sink_rate_1_s[a] = (float)humidity.sink_rate_1_s[a];
            s.sink_m_s[a] = (float)humidity.sink_m_s[a];
        }
        s.sinks = scenario->run.spray_sink;
    }
    s.nonvolatile_root =
        (float)base_cbrt(fmax(liquid->nonvolatile, 1e-6)); /* pure water ends as a speck of a hundredth */
    s.low_x_m = (float)field->ambient.x_first_m;
    s.high_x_m = (float)(scenario_high_edge_x_m(&scenario->orchard) + scenario->run.open_ground_m);
    s.top_m = (float)scenario->run.domain_top_m;
    s.time_limit_s = (float)scenario->run.time_limit_s;
    s.step_scale = (float)scenario->run.step_scale;
    for (int p = 0; p < DROPLET_PLANES; p++)
        s.plane_x_m[p] = plane_x_m ? (float)plane_x_m[p] : INFINITY;
    s.seed_low = (uint32_t)seed;
    s.seed_high = (uint32_t)(seed >> 32);
    *setting = s;
}
