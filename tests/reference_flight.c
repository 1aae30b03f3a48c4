/* tests/reference_flight.c - one droplet, one step, double precision, libm.
 *
 * Midpoint rule, as in the kernel: the droplet's velocity takes it half a step ahead; air, canopy, drag and drying
 * there hold for the whole step, and at its end the length of the next one is chosen. */
#include "reference_flight.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "base/machine.h"
#include "base/random.h"

/* Step rules (docs/theory.md 8.3): those of the kernel, so that both take the same steps. */
#define OVER_TIME_SCALE 0.2
#define IN_LEAVES 0.5
#define OVER_HEAVY_SCALE 1.0
#define OVER_DRAG 0.3
#define OVER_DRYING 0.1
#define IN_CELL 0.5
#define LONGEST_S 0.5
#define SHORTEST_S 5e-4
#define LONGEST_STRIDE_M 1.0
#define FINE_M 2e-3
#define CROSSING 1.5 /* (8.6) */
#define CANOPY_MARGIN_M 0.5

static double squared(double a)
{
    return a * a;
}

static double size_of(const double a[3])
{
    return sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]);
}

static double held(double value, double low, double high)
{
    return value < low ? low : value > high ? high : value;
}

/* ---- air ---- */

/* The one place that knows how the product stores a node. */
static void copy_node(const air_field *field, const air_grid *grid, int k, int i, int j, float value[REFERENCE_VALUES])
{
    const float *n = field->node + grid->first + AIR_VALUES * (((int64_t)k * grid->nx + i) * grid->ny + j);
    value[REFERENCE_U] = n[AIR_U];
    value[REFERENCE_V] = n[AIR_V];
    value[REFERENCE_W] = n[AIR_W];
    value[REFERENCE_GIVEN] = n[AIR_GIVEN];
    value[REFERENCE_SIGMA] = n[AIR_SIGMA];
    value[REFERENCE_RATE] = n[AIR_RATE];
    value[REFERENCE_LEVEL] = n[AIR_SIGMA_LEVEL];
    value[REFERENCE_LEVEL + 1] = 0.0f;
}

static reference_grid copy_grid(const air_field *field, const air_grid *grid, float *node, int64_t *first)
{
    const reference_grid g = {*first, grid->nx, grid->ny, grid->nz, grid->x_first_m, grid->y_first_m, grid->dx_m,
                              grid->dy_m, grid->dz_m, NULL};
    for (int k = 0; k < g.nz; k++)
        for (int i = 0; i < g.nx; i++)
            for (int j = 0; j < g.ny; j++, *first += REFERENCE_VALUES)
                copy_node(field, grid, k, i, j, node + *first);
    return g;
}

static bool copy_air(const air_field *field, const sprayer_work *work, double travel_speed_m_s, reference_air *air)
{
    int64_t n = (int64_t)field->ambient.nx * field->ambient.ny * field->ambient.nz, first = 0;
    for (int p = 0; p < work->n_passes; p++)
        n += (int64_t)field->pass[p].nx * field->pass[p].ny * field->pass[p].nz;
    air->n_floats = REFERENCE_VALUES * n;
    air->node = base_large_alloc((size_t)air->n_floats * sizeof *air->node); /* as the product's */
    if (!air->node)
        return false;
    air->n_passes = work->n_passes;
    air->travel_speed_m_s = travel_speed_m_s;
    for (int p = 0; p < work->n_passes; p++) {
        air->pass[p] = copy_grid(field, &field->pass[p], air->node, &first);
        air->pass_x_m[p] = work->pass[p].x_m;
        air->heading[p] = work->pass[p].heading;
    }
    air->ambient = copy_grid(field, &field->ambient, air->node, &first);
    air->ambient_x_m = malloc((size_t)field->ambient.nx * sizeof *air->ambient_x_m);
    if (!air->ambient_x_m)
        return false;
    for (int i = 0; i < field->ambient.nx; i++)
        air->ambient_x_m[i] = air_grid_x_m(&field->ambient, i);
    if (field->ambient.n_fine > 0)
        air->ambient.x_m = air->ambient_x_m;
    return true;
}

bool reference_setting_make(const drupelet_scenario *scenario, const sprayer_work *work, const orchard_canopy *canopy,
                            const air_field *field, const droplet_setting *kernel, reference_setting *s)
{
    const base_air air = base_moist_air(scenario->weather.temperature_K, scenario->weather.relative_humidity,
                                        scenario->weather.pressure_Pa);
    assert(!kernel->drying_corrected); /* left out here */
    *s = (reference_setting){
        .turbulent = true,
        .step_scale = scenario->run.step_scale,
        .seed = (uint64_t)kernel->seed_high << 32 | kernel->seed_low,
        .leaf_area_density_1_m = canopy->leaf_area_density_1_m,
        .wood_area_density_1_m = canopy->wood_area_density_1_m,
        .n_rows = canopy->n_rows,
        .canopy_nx = canopy->nx,
        .canopy_ny = canopy->ny,
        .canopy_nz = canopy->nz,
        .row_spacing_m = canopy->row_spacing_m,
        .half_width_m = canopy->half_width_m,
        .edge_m = canopy->edge_m,
        .edge_y_m = canopy->edge_y_m,
        .period_m = canopy->period_m,
        .block_low_m = scenario_low_edge_x_m(&scenario->orchard),
        .block_high_m = scenario_high_edge_x_m(&scenario->orchard),
        .clumping = scenario->canopy.clumping,
        .leaf_width_m = scenario->canopy.leaf_width_m,
        .wood = droplet_wood_of(scenario->canopy.wood_diameter_m),
        .leaf_angle_ratio = scenario->canopy.leaf_angle_ratio,
        .per_angle_area = droplet_leaf_projection(scenario->canopy.leaf_angle_ratio, 0.5 * acos(-1.0)),
        .fine_catch = scenario->canopy.fine_catch,
        .hidden_by_catch = scenario->canopy.hidden_by_catch,
        .hair_share = scenario->canopy.hair_share,
        .grass_height_m = scenario->orchard.grass_height_m,
        .grass_width_m = scenario->orchard.grass_blade_width_m,
        .air_density_kg_m3 = air.density_kg_m3,
        .air_viscosity_Pa_s = air.viscosity_Pa_s,
        .mean_free_path_m = air.mean_free_path_m,
        .nonvolatile = fmax(scenario->liquid.nonvolatile, 1e-6),
        .drying_base_m2_s = (double)kernel->drying_base_m2_s,
        .drying_moving_m2_s = (double)kernel->drying_moving_m2_s,
        .drying_split = (double)kernel->drying_split,
        .drying_still_m2_s = (double)kernel->drying_still_m2_s,
        .drying_square_m2_s = (double)kernel->drying_square_m2_s,
        .deform_from_m = (double)kernel->deform_from_m,
        .floor_m = scenario->weather.roughness_m,
        .low_x_m = (double)kernel->low_x_m,
        .high_x_m = (double)kernel->high_x_m,
        .top_m = scenario->run.domain_top_m,
        .time_limit_s = scenario->run.time_limit_s,
    };
    if (s->grass_height_m > 0.0)
        s->grass_density_1_m = scenario->orchard.grass_leaf_area_index / s->grass_height_m;
    for (int n = 0; n < DROPLET_DEFORM; n++)
        s->deform[n] = (double)kernel->deform[n];
    return copy_air(field, work, scenario->sprayer.travel_speed_m_s, &s->air);
}

void reference_setting_free(reference_setting *setting)
{
    free(setting->air.ambient_x_m);
    free(setting->air.node);
    setting->air.ambient_x_m = NULL;
    setting->air.node = NULL;
}

/* Index of the cell and place in it, 0 to 1, of a grid coordinate that is held inside the grid. */
static int cell_of(double at, int n, double *part)
{
    const double inside = held(at, 0.0, n - 1.0);
    const int i = inside < n - 2.0 ? (int)inside : n - 2;
    *part = inside - i;
    return i;
}

typedef struct { double value, x, y, z; } slope; /* a number and its gradient, per cell */

/* corner[4 up + 2 across + along] */
static slope trilinear(const double c[8], double fx, double fy, double fz)
{
    const double ex = 1.0 - fx, ey = 1.0 - fy, ez = 1.0 - fz;
    const double low = ex * (ey * c[0] + fy * c[1]) + fx * (ey * c[2] + fy * c[3]);
    const double high = ex * (ey * c[4] + fy * c[5]) + fx * (ey * c[6] + fy * c[7]);
    return (slope){
        .value = ez * low + fz * high,
        .x = ez * (ey * (c[2] - c[0]) + fy * (c[3] - c[1])) + fz * (ey * (c[6] - c[4]) + fy * (c[7] - c[5])),
        .y = ez * (ex * (c[1] - c[0]) + fx * (c[3] - c[2])) + fz * (ex * (c[5] - c[4]) + fx * (c[7] - c[6])),
        .z = high - low,
    };
}

/* Node number of a place, with the share of the way to the next. */
static double uneven_at(const reference_grid *g, double x_m)
{
    int i = 0;
    while (i < g->nx - 2 && g->x_m[i + 1] <= x_m)
        i++;
    return i + (x_m - g->x_m[i]) / (g->x_m[i + 1] - g->x_m[i]);
}

bool reference_locate(const reference_air *air, int i_pass, const double place_m[3], double time_s,
                      const reference_grid **grid, double at[3])
{
    const reference_grid *g = &air->pass[i_pass];
    const double x_m = place_m[0] - air->pass_x_m[i_pass], z_m = place_m[2];
    const double y_m = air->heading[i_pass] * place_m[1] - air->travel_speed_m_s * time_s;
    const bool near_by = x_m > g->x_first_m && x_m < g->x_first_m + (g->nx - 1) * g->dx_m && y_m > g->y_first_m
                         && y_m < g->y_first_m + (g->ny - 1) * g->dy_m && z_m < (g->nz - 1) * g->dz_m;
    if (!near_by)
        g = &air->ambient; /* no change along y */
    *grid = g;
    at[0] = g->x_m ? uneven_at(g, place_m[0]) : ((near_by ? x_m : place_m[0]) - g->x_first_m) / g->dx_m;
    at[1] = near_by ? (y_m - g->y_first_m) / g->dy_m : 0.0;
    at[2] = z_m / g->dz_m;
    return near_by;
}

static reference_reading read_at(const reference_setting *s, int i_pass, const double place_m[3], double time_s)
{
    const reference_air *air = &s->air;
    const reference_grid *g;
    double place[3], fx, fy, fz;
    const bool near_by = reference_locate(air, i_pass, place_m, time_s, &g, place);
    const double heading = air->heading[i_pass], sense = near_by ? heading : 1.0; /* of the second axis along y */
    const int i = cell_of(place[0], g->nx, &fx), j = cell_of(place[1], g->ny, &fy), k = cell_of(place[2], g->nz, &fz);
    slope at[REFERENCE_LEVEL + 1];
    const float *node = air->node + g->first + REFERENCE_VALUES * (((int64_t)k * g->nx + i) * g->ny + j);
    for (int v = 0; v <= (s->turbulent ? REFERENCE_LEVEL : REFERENCE_GIVEN); v++) {
        double corner[8];
        for (int c = 0; c < 8; c++)
            corner[c] = (double)node[REFERENCE_VALUES * (((c >> 2) * g->nx + (c >> 1 & 1)) * g->ny + (c & 1)) + v];
        at[v] = trilinear(corner, fx, fy, fz);
    }
    reference_reading r = {
        .mean_m_s = {at[REFERENCE_U].value, sense * at[REFERENCE_V].value, at[REFERENCE_W].value},
        .given = at[REFERENCE_GIVEN].value,
        .near_by = near_by,
        .frame_v_m_s = near_by ? heading * air->travel_speed_m_s : 0.0,
    };
    if (s->turbulent) {
        const slope *level = &at[REFERENCE_LEVEL], *rate = &at[REFERENCE_RATE];
        const double dx_m = g->x_m ? g->x_m[i + 1] - g->x_m[i] : g->dx_m;
        r.sigma_m_s[0] = r.sigma_m_s[1] = level->value;
        r.sigma_m_s[2] = at[REFERENCE_SIGMA].value;
        r.slope_1_s[0] = level->x / dx_m;
        r.slope_1_s[1] = near_by ? sense * level->y / g->dy_m : 0.0;
        r.slope_1_s[2] = at[REFERENCE_SIGMA].z / g->dz_m;
        r.rate_1_s = rate->value;
        r.rate_slope_1_m_s[0] = rate->x / dx_m;
        r.rate_slope_1_m_s[1] = near_by ? sense * rate->y / g->dy_m : 0.0;
        r.rate_slope_1_m_s[2] = rate->z / g->dz_m;
    }
    return r;
}

void reference_normals(const reference_setting *setting, const reference_droplet *droplet, double normal[3])
{
    uint32_t bits[4];
    double pair[2];
    base_random_block(setting->seed, BASE_STREAM_FLIGHT, droplet->id, droplet->step, bits);
    base_normal_pair(bits[0], bits[1], normal);
    base_normal_pair(bits[2], bits[3], pair);
    normal[2] = pair[0];
}

/* ---- canopy ---- */

typedef struct { double leaf_1_m, wood_1_m, grass_1_m; int voxel; } cover;

static cover read_canopy(const reference_setting *s, const double place_m[3], double phase_m)
{
    const double x_m = place_m[0], z_m = place_m[2];
    const double row = floor(0.5 - x_m / s->row_spacing_m); /* rows lie at x = 0, -S, -2S, ... */
    const double cx = (x_m + row * s->row_spacing_m + s->half_width_m) / s->edge_m;
    const double turn = (place_m[1] + phase_m) / s->period_m;
    const double cy = (turn - floor(turn)) * s->canopy_ny, cz = z_m / s->edge_m;
    cover c = {.grass_1_m = z_m < s->grass_height_m ? s->grass_density_1_m : 0.0, .voxel = -1};
    if (row < 0.0 || row >= s->n_rows || cx < 0.0 || cx >= s->canopy_nx || cz < 0.0 || cz >= s->canopy_nz)
        return c;
    const int iy = (int)cy < s->canopy_ny ? (int)cy : s->canopy_ny - 1;
    c.voxel = (((int)row * s->canopy_nz + (int)cz) * s->canopy_ny + iy) * s->canopy_nx + (int)cx;
    c.leaf_1_m = (double)s->leaf_area_density_1_m[c.voxel];
    c.wood_1_m = (double)s->wood_area_density_1_m[c.voxel];
    return c;
}

/* Rate at which targets are met of which e takes from the air, over their area density: G(w) |w|, w = E u + o (9.2); of
 * targets that give way so much of w along the air is not met (9.3). */
static double meeting_m_s(double e, double angle_ratio, double per_area, double given, const double air_m_s[3],
                          const double own_m_s[3])
{
    const double speed_m_s = size_of(air_m_s);
    double w[3], along_m_s = 0.0;
    for (int c = 0; c < 3; c++) {
        w[c] = e * air_m_s[c] + own_m_s[c];
        along_m_s += w[c] * (speed_m_s > 0.0 ? air_m_s[c] / speed_m_s : 0.0);
    }
    for (int c = 0; c < 3; c++)
        w[c] -= given * along_m_s * (speed_m_s > 0.0 ? air_m_s[c] / speed_m_s : 0.0);
    w[2] *= angle_ratio;
    return size_of(w) * per_area;
}

/* By impaction alone (9.1). */
static double impaction(double width_m, double stokes_s, const double air_m_s[3])
{
    return droplet_impaction_efficiency(stokes_s * size_of(air_m_s) / width_m);
}

/* Of leaves, over their area density: those of a clump hide one another, and turbulence throws droplets on both sides
 * (9.2). */
static double meeting_leaves_m_s(const reference_setting *s, double d_m, double given, double stokes_s,
                                 const double air_m_s[3], const double own_m_s[3])
{
    double e = impaction(s->leaf_width_m, stokes_s, air_m_s), thrown_m_s = 0.0;
    if (s->fine_catch) {
        const double viscosity_m2_s = s->air_viscosity_Pa_s / s->air_density_kg_m3;
        e += droplet_edge_interception(d_m, s->leaf_width_m) + droplet_hair_interception(d_m, s->hair_share);
        thrown_m_s =
            droplet_turbulent_impaction_m_s(stokes_s, size_of(air_m_s), s->leaf_width_m, viscosity_m2_s);
    }
    const double met_m_s = meeting_m_s(e, s->leaf_angle_ratio, s->per_angle_area, given, air_m_s, own_m_s);
    const double straight_m_s = meeting_m_s(1.0, s->leaf_angle_ratio, s->per_angle_area, 0.0, air_m_s, own_m_s);
    if (!s->hidden_by_catch)
        return s->clumping * (met_m_s + 2.0 * thrown_m_s);
    const double clump = droplet_clump_cover(s->clumping);
    return met_m_s * droplet_clump_met(clump, straight_m_s > 0.0 ? met_m_s / straight_m_s : 0.0) + 2.0 * thrown_m_s;
}

/* ---- drag and drying ---- */

typedef struct { double stokes_s, flat, inertia, factor; } drag; /* tau = stokes / factor */

static double stokes_time_s(const reference_setting *s, double d_m, double density_kg_m3)
{
    return density_kg_m3 * d_m * d_m * droplet_slip_correction(d_m, s->mean_free_path_m)
           / (18.0 * s->air_viscosity_Pa_s); /* (7.2) */
}

static drag drag_of(const reference_setting *s, double d_m, double density_kg_m3, double re)
{
    const double over_mm = fmax(1e3 * (d_m - s->deform_from_m), 0.0);
    drag g = {.stokes_s = stokes_time_s(s, d_m, density_kg_m3), .inertia = 0.15 * pow(re, 0.687)};
    g.flat = 1.0 + over_mm * (s->deform[0] + over_mm * (s->deform[1] + over_mm * s->deform[2]));
    g.factor = g.flat * base_sphere_drag_factor(re); /* (7.3) */
    return g;
}

/* -d(d^2)/dt (7.14) */
static double drying_m2_s(const reference_setting *s, double re)
{
    const double root = sqrt(re);
    return root < s->drying_split ? s->drying_still_m2_s + s->drying_square_m2_s * re
                                  : s->drying_base_m2_s + s->drying_moving_m2_s * root;
}

static bool is_wet(const reference_setting *s, double d_m, double whole_m)
{
    return d_m > 1.001 * whole_m * cbrt(s->nonvolatile);
}

/* ---- one step ---- */

typedef struct { double vertical_s, heavy_s, level_s; } scales; /* T; T* of the vertical, of both level components */

/* T over T* of a component of the eddies: beta along the slip, twice that across it (8.6). @param own2 (m/s)^2, of the
 * slip, along the component */
static double crossing(double slip2, double own2, double sigma_m_s)
{
    return sqrt(1.0 + squared(CROSSING / sigma_m_s) * (own2 + 4.0 * (slip2 - own2)));
}

static scales time_scales(const reference_setting *s, const reference_reading *air, const double slip_m_s[3])
{
    if (!s->turbulent)
        return (scales){INFINITY, INFINITY, INFINITY};
    const double t_s = 1.0 / air->rate_1_s, sigma_m_s = air->sigma_m_s[2], level_m_s = air->sigma_m_s[0];
    const double level_t_s = t_s * squared(level_m_s / sigma_m_s);
    const double slip2 = squared(size_of(slip_m_s)), fall2 = squared(slip_m_s[2]), level2 = 0.5 * (slip2 - fall2);
    return (scales){t_s, t_s / crossing(slip2, fall2, sigma_m_s), level_t_s / crossing(slip2, level2, level_m_s)};
}

/* What is found halfway through a step and holds for all of it. */
typedef struct {
    reference_reading air;
    cover around;
    double air_m_s[3], eddy_m_s[3]; /* with the fluctuation that the step begins with; that alone */
    double slip_m_s[3], own_m_s[3]; /* halfway; own: without the droplet's answer to the eddies (9.2) */
    drag first;                     /* as the step begins */
    double tau_s, fall_m_s, drying_m2_s;
    bool wet;
    scales scale;
} middle;

static middle look_halfway(const reference_setting *s, const reference_droplet *p, double step_s)
{
    const double half_s = 0.5 * step_s;
    double place_m[3], slip_m_s[3];
    for (int c = 0; c < 3; c++)
        place_m[c] = p->place_m[c] + half_s * p->velocity_m_s[c];
    middle m = {.air = read_at(s, p->i_pass, place_m, p->time_s + half_s),
                .around = read_canopy(s, place_m, p->phase_m)};
    for (int c = 0; c < 3; c++) {
        m.eddy_m_s[c] = m.air.sigma_m_s[c] * p->eddy[c];
        m.air_m_s[c] = m.air.mean_m_s[c] + m.eddy_m_s[c];
        slip_m_s[c] = p->velocity_m_s[c] - m.air_m_s[c];
    }

    /* With the drag of the start the slip dies down to the fall (7.2). */
    const double d_m = p->diameter_m, re_per_slip = s->air_density_kg_m3 * d_m / s->air_viscosity_Pa_s;
    const double weight_m_s2 = BASE_GRAVITY_M_S2 * (1.0 - s->air_density_kg_m3 / p->density_kg_m3);
    m.first = drag_of(s, d_m, p->density_kg_m3, re_per_slip * size_of(slip_m_s));
    const double first_tau_s = m.first.stokes_s / m.first.factor, relaxed = half_s / (first_tau_s + half_s);
    for (int c = 0; c < 3; c++) {
        const double sink_m_s = c == 2 ? weight_m_s2 * first_tau_s : 0.0;
        const double own_m_s = slip_m_s[c] - p->turbulent_m_s[c] + m.eddy_m_s[c];
        m.slip_m_s[c] = slip_m_s[c] - (slip_m_s[c] + sink_m_s) * relaxed;
        m.own_m_s[c] = own_m_s - (own_m_s + sink_m_s) * relaxed;
    }

    /* Drag and drying at that slip, and at the size that the droplet then has. */
    const double slip = size_of(m.slip_m_s), re = re_per_slip * slip;
    m.wet = is_wet(s, d_m, p->whole_m);
    m.drying_m2_s = m.wet ? drying_m2_s(s, re) : 0.0;
    const double shrunk_s = m.drying_m2_s * half_s * p->density_kg_m3 / (18.0 * s->air_viscosity_Pa_s);
    const double factor = m.first.factor + m.first.flat * (0.15 * pow(re, 0.687) - m.first.inertia);
    m.tau_s = (m.first.stokes_s - fmin(shrunk_s, 0.5 * m.first.stokes_s)) / factor;
    m.fall_m_s = weight_m_s2 * m.tau_s;
    m.scale = time_scales(s, &m.air, m.slip_m_s);
    return m;
}

/* Rates of meeting leaf, wood and grass (9.2). @return their sum */
static double find_targets(const reference_setting *s, const middle *m, reference_droplet *p)
{
    const double stokes_s = m->first.stokes_s;
    p->leaf_rate_1_s = p->wood_rate_1_s = p->grass_rate_1_s = 0.0;
    p->voxel = m->around.voxel;
    p->given = m->air.given;
    const double grass_e = impaction(s->grass_width_m, stokes_s, m->air_m_s)
                           + (s->fine_catch ? droplet_edge_interception(p->diameter_m, s->grass_width_m) : 0.0);
    if (m->around.leaf_1_m > 0.0)
        p->leaf_rate_1_s = m->around.leaf_1_m
                           * meeting_leaves_m_s(s, p->diameter_m, m->air.given, stokes_s, m->air_m_s, m->own_m_s);
    if (m->around.wood_1_m > 0.0)
        for (int w = 0; w < DROPLET_WOODS; w++) {
            const double width_m = s->wood.diameter_m[w];
            const double e = impaction(width_m, stokes_s, m->air_m_s)
                             + (s->fine_catch ? droplet_round_interception(p->diameter_m, width_m) : 0.0);
            p->wood_rate_1_s +=
                m->around.wood_1_m * s->wood.share[w] * meeting_m_s(e, 1.0, 0.5, 0.0, m->air_m_s, m->own_m_s);
        }
    if (m->around.grass_1_m > 0.0)
        p->grass_rate_1_s = m->around.grass_1_m * meeting_m_s(grass_e, 1.0, 0.5, 0.0, m->air_m_s, m->own_m_s);
    return p->leaf_rate_1_s + p->wood_rate_1_s + p->grass_rate_1_s;
}

/* How far the next step may go (theory.md 8.3), from where the droplet now is and what was found on the way here. d_m:
 * its diameter then. */
static double choose_step_s(const reference_setting *s, const reference_droplet *p, const middle *m, double d_m)
{
    double longest_s = INFINITY;
    if (s->turbulent) { /* the time scale in the middle of the next step, along the path (8.10) */
        const double against = p->velocity_m_s[0] * m->air.rate_slope_1_m_s[0]
                               + (p->velocity_m_s[1] - m->air.frame_v_m_s) * m->air.rate_slope_1_m_s[1]
                               + p->velocity_m_s[2] * m->air.rate_slope_1_m_s[2];
        const double growth = held(-against / squared(m->air.rate_1_s), -4.0, 4.0);
        const double ahead_s = m->scale.vertical_s * (1.0 + OVER_TIME_SCALE * s->step_scale * growth);
        const double in_leaves = m->air.near_by && m->around.leaf_1_m > 0.0 ? IN_LEAVES : 1.0;
        longest_s = fmin(OVER_TIME_SCALE * in_leaves * (ahead_s + m->tau_s), OVER_HEAVY_SCALE * m->scale.heavy_s);
    }

    const bool in_block = p->place_m[2] < s->canopy_nz * s->edge_m + CANOPY_MARGIN_M && p->place_m[0] > s->block_low_m
                          && p->place_m[0] < s->block_high_m;
    const double stride_m = m->air.near_by ? IN_CELL * s->air.pass[p->i_pass].dx_m
                            : in_block     ? IN_CELL * fmin(s->edge_m, s->edge_y_m)
                                           : LONGEST_STRIDE_M;
    const double travel_m_s = size_of(p->velocity_m_s) + size_of(m->air_m_s)
                              + (m->air.near_by ? s->air.travel_speed_m_s : 0.0) + 0.01;
    longest_s = fmin(longest_s, 2.0 * stride_m / travel_m_s);

    const double over_fall_m_s[3] = {m->slip_m_s[0], m->slip_m_s[1], m->slip_m_s[2] + m->fall_m_s};
    const double unsettled_m = size_of(over_fall_m_s) * m->tau_s;
    const double re_of_fall = s->air_density_kg_m3 * d_m / s->air_viscosity_Pa_s * m->fall_m_s;
    const double curved = fmax(m->first.factor - 1.0, fmin(0.12 * re_of_fall, 4.0));
    const double gentle = 1.0 + FINE_M / (unsettled_m + 1e-9);
    longest_s = fmin(longest_s, OVER_DRAG * m->first.stokes_s / (curved + 1e-6) * gentle);
    if (m->wet)
        longest_s = fmin(longest_s, OVER_DRYING * d_m * d_m / m->drying_m2_s);
    return held(longest_s, SHORTEST_S, LONGEST_S) * s->step_scale;
}

int reference_step(const reference_setting *s, reference_droplet *p, const double normal[3], double longest_s)
{
    const double step_s = fmin(fmax(p->next_s, SHORTEST_S * s->step_scale), longest_s);
    const middle m = look_halfway(s, p, step_s);
    const double met_1_s = find_targets(s, &m, p), left = p->path_limit - p->path;
    const bool hit = met_1_s * step_s > left;
    const double dt = hit ? left / met_1_s : step_s;

    /* The eddy at the step's end (8.8), by the trapezoidal rule: K = (1 - h) / (1 + h), h = dt / (2 T*). */
    double eddy[3], change_m_s[3] = {0};
    for (int c = 0; c < 3; c++) {
        eddy[c] = p->eddy[c];
        if (!s->turbulent)
            continue;
        const double t_s = c < 2 ? m.scale.level_s : m.scale.heavy_s, h = 0.5 * dt / t_s, kept = (1.0 - h) / (1.0 + h);
        const double push_s = t_s * (1.0 - kept) / (1.0 + m.tau_s / t_s);
        eddy[c] = kept * p->eddy[c] + push_s * m.air.slope_1_s[c] + sqrt(1.0 - kept * kept) * normal[c];
        change_m_s[c] = m.air.sigma_m_s[c] * (eddy[c] - p->eddy[c]);
    }

    /* Flight (7.6 to 7.8); in z what the eddies do is kept apart, for it reflects (8.11 to 8.13). */
    const double gone = exp(-dt / m.tau_s), reach_s = m.tau_s * (1.0 - gone);
    const double follow = dt > 0.0 ? 1.0 - reach_s / dt : 0.0, lag_s = 0.5 * dt - m.tau_s * follow;
    const double z_0_m = p->place_m[2];
    double turbulent_m_s[3], turbulent_m[3];
    for (int c = 0; c < 3; c++) {
        const double sink_m_s = c == 2 ? m.fall_m_s : 0.0, slip_m_s = p->velocity_m_s[c] - m.air_m_s[c];
        const double lead_m_s = p->turbulent_m_s[c] - m.eddy_m_s[c]; /* of the answer before the eddy */
        turbulent_m_s[c] = m.eddy_m_s[c] + lead_m_s * gone + change_m_s[c] * follow;
        turbulent_m[c] = m.eddy_m_s[c] * dt + lead_m_s * reach_s + change_m_s[c] * lag_s;
        p->place_m[c] += (m.air.mean_m_s[c] - sink_m_s) * dt + (slip_m_s - lead_m_s + sink_m_s) * reach_s;
        p->velocity_m_s[c] =
            m.air_m_s[c] - sink_m_s + (slip_m_s + sink_m_s) * gone + change_m_s[c] * follow;
    }
    if (s->turbulent && z_0_m + turbulent_m[2] < s->floor_m) {
        turbulent_m[2] = 2.0 * (s->floor_m - z_0_m) - turbulent_m[2];
        p->velocity_m_s[2] -= 2.0 * turbulent_m_s[2];
        turbulent_m_s[2] = -turbulent_m_s[2];
        eddy[2] = -eddy[2];
    }
    for (int c = 0; c < 3; c++) {
        p->place_m[c] += turbulent_m[c];
        p->eddy[c] = eddy[c];
        p->turbulent_m_s[c] = turbulent_m_s[c];
        p->eddy_m_s[c] = m.eddy_m_s[c] + change_m_s[c];
        p->air_m_s[c] = m.air_m_s[c] + change_m_s[c];
    }

    /* Drying; the volume lost is summed on its own. */
    const double d_m = p->diameter_m, least_m = fmin(p->whole_m * cbrt(s->nonvolatile), d_m);
    const double dry_m = fmax(sqrt(fmax(d_m * d_m - m.drying_m2_s * dt, 0.0)), least_m);
    const double before = d_m / p->whole_m, after = dry_m / p->whole_m;
    p->evaporated += (before - after) * (before * before + before * after + after * after);
    p->diameter_m = dry_m;

    p->next_s = choose_step_s(s, p, &m, d_m);
    p->path += met_1_s * dt;
    p->time_s += dt;
    p->step_s = dt;
    p->step++;
    int found = hit ? DROPLET_HIT : 0;
    if (p->place_m[2] < s->floor_m)
        found |= DROPLET_LANDED;
    if (p->place_m[0] < s->low_x_m || p->place_m[0] > s->high_x_m || p->place_m[2] > s->top_m)
        found |= DROPLET_LEFT;
    if (p->time_s > s->time_limit_s)
        found |= DROPLET_LATE;
    return found;
}

/* ---- without turbulence ---- */

void reference_rates(const reference_setting *s, const reference_droplet *start, double time_s,
                     const double y[REFERENCE_STATES], double rate[REFERENCE_STATES])
{
    const reference_reading air = read_at(s, start->i_pass, y, time_s);
    const double least_m = start->whole_m * cbrt(s->nonvolatile);
    const double d_m = fmax(start->diameter_m * sqrt(fmax(y[6], 0.0)), least_m);
    const double slip_m_s[3] = {y[3] - air.mean_m_s[0], y[4] - air.mean_m_s[1], y[5] - air.mean_m_s[2]};
    const double re = s->air_density_kg_m3 * d_m / s->air_viscosity_Pa_s * size_of(slip_m_s);
    const drag now = drag_of(s, d_m, start->density_kg_m3, re);
    for (int c = 0; c < 3; c++) {
        rate[c] = y[3 + c];
        rate[3 + c] = -slip_m_s[c] * now.factor / now.stokes_s; /* (7.1) */
    }
    rate[5] -= BASE_GRAVITY_M_S2 * (1.0 - s->air_density_kg_m3 / start->density_kg_m3);
    rate[6] = is_wet(s, d_m, start->whole_m) ? -drying_m2_s(s, re) / squared(start->diameter_m) : 0.0;
}

void reference_fly_calm(const reference_setting *setting, double step_scale, double time_s, reference_droplet *p)
{
    static const double none[3] = {0.0, 0.0, 0.0};
    reference_setting calm = *setting;
    calm.turbulent = false;
    calm.step_scale = step_scale;
    p->path_limit = INFINITY;
    for (int c = 0; c < 3; c++)
        p->eddy[c] = 0.0;
    while (p->time_s < time_s - 1e-12)
        reference_step(&calm, p, none, time_s - p->time_s);
}

double reference_fly_finely(const reference_setting *setting, double within_m, double time_s, reference_droplet *p)
{
    const reference_droplet start = *p;
    reference_droplet coarse = start;
    double moved_m = INFINITY, before_m;
    int n = 3;
    reference_fly_calm(setting, ldexp(1.0, -n), time_s, &coarse);
    do {
        before_m = moved_m;
        *p = start;
        reference_fly_calm(setting, ldexp(1.0, -++n), time_s, p);
        moved_m = 0.0;
        for (int c = 0; c < 3; c++)
            moved_m += squared(p->place_m[c] - coarse.place_m[c]);
        moved_m = sqrt(moved_m);
        coarse = *p;
    } while ((moved_m >= within_m || before_m >= within_m) && n < 13);
    return moved_m;
}

/* ---- from and to the kernel's lanes ---- */

reference_droplet reference_of_lane(const droplet_batch *b, int i)
{
    return (reference_droplet){
        .place_m = {(double)b->x_m[i], (double)b->y_m[i], (double)b->z_m[i]},
        .velocity_m_s = {(double)b->u_m_s[i], (double)b->v_m_s[i], (double)b->w_m_s[i]},
        .eddy = {(double)b->eddy_x[i], (double)b->eddy_y[i], (double)b->eddy_z[i]},
        .diameter_m = (double)b->diameter_m[i],
        .whole_m = (double)b->whole_m[i],
        .density_kg_m3 = (double)b->density_kg_m3[i],
        .evaporated = (double)b->evaporated[i],
        .time_s = (double)b->time_s[i],
        .next_s = (double)b->next_s[i],
        .path = (double)b->path[i],
        .path_limit = (double)b->path_limit[i],
        .phase_m = (double)b->phase_m[i],
        .i_pass = b->i_pass[i],
        .id = (uint64_t)b->id_high[i] << 32 | b->id_low[i],
        .step = b->step[i],
        .voxel = -1,
    };
}

void reference_to_lane(const reference_droplet *p, droplet_batch *b, int i)
{
    b->x_m[i] = (float)p->place_m[0];
    b->y_m[i] = (float)p->place_m[1];
    b->z_m[i] = (float)p->place_m[2];
    b->u_m_s[i] = (float)p->velocity_m_s[0];
    b->v_m_s[i] = (float)p->velocity_m_s[1];
    b->w_m_s[i] = (float)p->velocity_m_s[2];
    b->eddy_x[i] = (float)p->eddy[0];
    b->eddy_y[i] = (float)p->eddy[1];
    b->eddy_z[i] = (float)p->eddy[2];
    b->air_u_m_s[i] = (float)p->air_m_s[0];
    b->air_v_m_s[i] = (float)p->air_m_s[1];
    b->air_w_m_s[i] = (float)p->air_m_s[2];
    b->turbulent_u_m_s[i] = (float)p->turbulent_m_s[0];
    b->turbulent_v_m_s[i] = (float)p->turbulent_m_s[1];
    b->turbulent_w_m_s[i] = (float)p->turbulent_m_s[2];
    b->eddy_u_m_s[i] = (float)p->eddy_m_s[0];
    b->eddy_v_m_s[i] = (float)p->eddy_m_s[1];
    b->eddy_w_m_s[i] = (float)p->eddy_m_s[2];
    b->diameter_m[i] = (float)p->diameter_m;
    b->whole_m[i] = (float)p->whole_m;
    b->density_kg_m3[i] = (float)p->density_kg_m3;
    b->evaporated[i] = (float)p->evaporated;
    b->time_s[i] = (float)p->time_s;
    b->next_s[i] = (float)p->next_s;
    b->path[i] = (float)p->path;
    b->path_limit[i] = (float)p->path_limit;
    b->phase_m[i] = (float)p->phase_m;
    b->i_pass[i] = p->i_pass;
    b->id_low[i] = (uint32_t)p->id;
    b->id_high[i] = (uint32_t)(p->id >> 32);
    b->step[i] = p->step;
    b->leaf_rate_1_s[i] = (float)p->leaf_rate_1_s;
    b->wood_rate_1_s[i] = (float)p->wood_rate_1_s;
    b->grass_rate_1_s[i] = (float)p->grass_rate_1_s;
    b->given[i] = (float)p->given;
    b->voxel[i] = p->voxel;
}
