/* tests/synthetic_result.c - a caricature of a run; see the header. */
#include "synthetic_result.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "tally/leaves.h"

enum { PER_BATCH = SYNTHETIC_DROPLETS / TALLY_BATCHES, NOZZLES_A_SIDE = 7 };
static const int64_t EACH = TALLY_PARTS / SYNTHETIC_DROPLETS; /* both powers of two: nothing is left over */
static const double STEP_S = 0.02;

static void *memory(size_t n, size_t size)
{
    void *m = calloc(n, size);
    if (!m) {
        fputs("no memory for a synthetic result\n", stderr);
        exit(EXIT_FAILURE);
    }
    return m;
}

/* SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014): good enough for a caricature. */
static double uniform(uint64_t *state)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return ((double)((z ^ (z >> 31)) >> 11) + 0.5) * 0x1p-53;
}

static double normal(uint64_t *state)
{
    const double u = uniform(state);
    return sqrt(-2.0 * log(u)) * cos(6.283185307179586 * uniform(state));
}

static void fill_scenario(drupelet_scenario *s, int downwind)
{
    static const char text[] = "name: made by hand\nrun:\n  seed: 7 # \xc2\xb5\n";
    static const char resolved[] = "orchard.rows: 8\norchard.row_spacing: 3.5 m\n";
    snprintf(s->name, sizeof s->name, "Apple wall <by hand> & \"half a \xc2\xb5\"");
    snprintf(s->place, sizeof s->place, "Nether Thistle (invented)");
    s->text = memcpy(memory(1, sizeof text), text, sizeof text);
    s->resolved = memcpy(memory(1, sizeof resolved), resolved, sizeof resolved);
    s->orchard = (scenario_orchard){.n_rows = SYNTHETIC_ROWS, .row_spacing_m = 3.5, .tree_spacing_m = 1.0, .n_trees = 3,
                                    .grass_height_m = 0.1};
    s->canopy = (scenario_canopy){.crown = SCENARIO_WALL, .height_m = 3.5, .base_m = 0.5, .width_m = 1.2,
                                  .leaf_area_index = 2.0, .voxel_m = 0.2};
    s->n_tips = 2;
    snprintf(s->tip[0].name, sizeof s->tip[0].name, "fine cone");
    snprintf(s->tip[1].name, sizeof s->tip[1].name, "coarse cone");
    s->sprayer.travel_speed_m_s = 6.0 / 3.6;
    s->sprayer.n_nozzles = 2 * NOZZLES_A_SIDE;
    for (int i = 0; i < 2 * NOZZLES_A_SIDE; i++) {
        const int k = i % NOZZLES_A_SIDE;
        s->sprayer.nozzle[i] = (scenario_nozzle){.side = i < NOZZLES_A_SIDE ? SCENARIO_LEFT : SCENARIO_RIGHT,
                                                 .i_tip = k == 6,
                                                 .offset_m = 0.5 - 0.008 * k * k,
                                                 .height_m = 0.85 + 0.1 * k,
                                                 .angle_rad = -0.1 + 0.2 * k,
                                                 .pressure_Pa = 7e5};
    }
    s->liquid.nonvolatile = 0.005;
    s->weather = (scenario_weather){.temperature_K = 293.15,
                                    .relative_humidity = 0.6,
                                    .pressure_Pa = 101325.0,
                                    .wind_speed_m_s = 3.0,
                                    .wind_height_m = 2.0,
                                    .wind_angle_rad = downwind > 0 ? 0.2 : 3.141592653589793 - 0.2,
                                    .roughness_m = 0.03};
    s->run = (scenario_run){.n_droplets = SYNTHETIC_DROPLETS, .seed = 7, .time_limit_s = 60.0, .domain_top_m = 12.0,
                            .open_ground_m = 100.0};
}

static void fill_sprayer(const drupelet_scenario *s, sprayer_work *w)
{
    w->n_nozzles = s->sprayer.n_nozzles;
    w->n_sprays = 2;
    for (int i = 0; i < w->n_nozzles; i++)
        w->nozzle[i] = (sprayer_nozzle){.nozzle = &s->sprayer.nozzle[i],
                                        .flow_m3_s = 0.6e-3 / 60.0,
                                        .exit_speed_m_s = 30.0,
                                        .i_spray = s->sprayer.nozzle[i].i_tip};
    w->spray[0] = (sprayer_spray){.i_tip = 0, .pressure_Pa = 7e5, .dv10_m = 88e-6, .dv50_m = 160e-6, .dv90_m = 292e-6,
                                  .share_below_100_um = 0.158, .share_below_150_um = 0.445, .assumed = true};
    snprintf(w->spray[0].note, sizeof w->spray[0].note, "assumed: a generic hollow cone of that size & pressure");
    w->spray[1] = (sprayer_spray){.i_tip = 1, .pressure_Pa = 7e5, .dv10_m = 150e-6, .dv50_m = 260e-6, .dv90_m = 420e-6,
                                  .share_below_100_um = 0.02, .share_below_150_um = 0.1};
    snprintf(w->spray[1].note, sizeof w->spray[1].note, "measured Dv10, Dv50 and Dv90, log-normal form");
    w->n_passes = SYNTHETIC_ROWS + 1;
    double flow_m3_s = 0.0;
    for (int i = 0; i < w->n_passes; i++) {
        /* outermost alleys: the side that faces away from the block is shut; all drive along +y, so right is +x */
        w->pass[i] = (sprayer_pass){.i_alley = i, .x_m = (0.5 - i) * 3.5, .heading = 1, .left_open = i < SYNTHETIC_ROWS,
                                    .right_open = i > 0};
        w->pass[i].flow_m3_s = (w->pass[i].left_open + w->pass[i].right_open) * NOZZLES_A_SIDE * 0.6e-3 / 60.0;
        flow_m3_s += w->pass[i].flow_m3_s;
    }
    w->fan_flow_m3_s = 6.0;
    w->fan_power_W = 14e3;
    w->emitted_per_length_m2 = flow_m3_s / s->sprayer.travel_speed_m_s;
    w->treated_width_m = SYNTHETIC_ROWS * 3.5;
    w->application_rate_m = w->emitted_per_length_m2 / w->treated_width_m;
}

static orchard_canopy *make_canopy(void)
{
    orchard_canopy *c = memory(1, sizeof *c);
    *c = (orchard_canopy){.n_rows = SYNTHETIC_ROWS, .row_spacing_m = 3.5, .period_m = 3.0, .nx = 6, .ny = 15, .nz = 18,
                          .edge_m = 0.2, .edge_y_m = 0.2, .half_width_m = 0.6};
    const size_t n = (size_t)orchard_voxels(c);
    c->leaf_area_density_1_m = memory(n, sizeof(float));
    c->wood_area_density_1_m = memory(n, sizeof(float));
    c->drag_1_m = memory((size_t)(c->nx * c->nz), sizeof(double));
    uint64_t random = 11;
    for (size_t i = 0; i < n; i++) {
        const int ix = (int)(i % 6), iz = (int)(i / 90 % 18);
        const int shoulder = iz >= 15 && (ix == 0 || ix == 5); /* rounded top */
        if (iz >= 3 && !shoulder && uniform(&random) > 0.1)
            c->leaf_area_density_1_m[i] = (float)(1.0 + 2.0 * uniform(&random));
        c->wood_area_density_1_m[i] = iz >= 3 && !shoulder ? 0.1f : 0.0f;
    }
    return c;
}

/* ---- one droplet ---- */

typedef struct {
    drupelet_result *r;
    const drupelet_scenario *s;
    uint64_t random;
    int b, i_size;
    int64_t water; /* still in it, of EACH */
} book;

static void finish(book *k, tally_fate fate)
{
    tally *a = k->r->accounts;
    a->fate[k->b][fate] += EACH;
    a->size_fate[k->b][k->i_size][fate] += EACH;
    a->water[k->b][fate] += k->water;
}

static tally_fate ground_fate(const book *k, double x_m)
{
    const tally_shape *s = &k->r->accounts->shape;
    k->r->accounts->ground[k->b * s->n_ground + tally_ground_bin(s, x_m)] += EACH;
    if (x_m > s->edge_high_x_m || x_m < s->edge_low_x_m)
        return tally_distance_m(s, x_m) > 0.0 ? TALLY_GROUND_DOWNWIND : TALLY_GROUND_UPWIND;
    return fabs(x_m - 3.5 * floor(x_m / 3.5 + 0.5)) < 0.6 ? TALLY_GROUND_ROW : TALLY_GROUND_ALLEY;
}

static void leaf_books(book *k, int64_t voxel, double whole_um, double now_um)
{
    tally *a = k->r->accounts;
    const int ix = (int)(voxel % 6), iz = (int)(voxel / 90 % 18), row = (int)(voxel / 1620);
    a->voxel[voxel] += EACH;
    const int upper = uniform(&k->random) < 0.6;
    const tally_mark mark = tally_mark_of(EACH, EACH, 1e-6 * whole_um, 1e-6 * now_um, upper ? 1.15 : 0.79);
    a->leaf_side[k->b][upper] += EACH;
    tally_leaves_add(&a->leaves->cell[k->b * tally_leaves_cells(a->leaves) + voxel / 90 * 6 + ix], upper, EACH, &mark);
    a->row[((k->b * SYNTHETIC_ROWS + row) * TALLY_THIRDS + (iz - 3) / 5) * TALLY_SIDES + (ix >= 3)] += EACH;
}

static void cross(book *k, double from_m, double to_m, double z_m)
{
    tally *a = k->r->accounts;
    for (int p = 0; p < TALLY_PLANES; p++) {
        const double at = a->shape.plane_distance_m[p];
        const int i = (int)fmin(z_m / TALLY_FLUX_STEP_M, a->shape.n_flux - 1);
        if ((from_m < at) != (to_m < at))
            a->flux[(k->b * TALLY_PLANES + p) * a->shape.n_flux + i] += from_m < at ? EACH : -EACH;
    }
}

/* Voxel at a place, or -1. */
static int64_t voxel_at(const orchard_canopy *c, double x_m, double y_m, double z_m)
{
    const int row = (int)floor(-x_m / 3.5 + 0.5);
    const double across_m = x_m + 3.5 * row + 0.6;
    if (row < 0 || row >= SYNTHETIC_ROWS || across_m < 0.0 || across_m >= 1.2 || z_m < 0.0 || z_m >= 3.6)
        return -1;
    const int iy = (int)((y_m - 3.0 * floor(y_m / 3.0)) / 0.2) % c->ny;
    return (((int64_t)row * c->nz + (int)(z_m / 0.2)) * c->ny + iy) * c->nx + (int)(across_m / 0.2);
}

static void fly(book *k, int i_droplet, tally_track *track)
{
    const drupelet_result *r = k->r;
    const tally_shape *shape = &r->accounts->shape;
    const orchard_canopy *c = r->canopy;
    const sprayer_pass *pass = &r->sprayer.pass[(int)(uniform(&k->random) * r->sprayer.n_passes)];
    int i_nozzle = (int)(uniform(&k->random) * 2 * NOZZLES_A_SIDE);
    if (i_nozzle < NOZZLES_A_SIDE ? !pass->left_open : !pass->right_open)
        i_nozzle = 2 * NOZZLES_A_SIDE - 1 - i_nozzle; /* the other side sprays */
    const scenario_nozzle *n = &k->s->sprayer.nozzle[i_nozzle];
    const double whole_um = 160.0 * exp(0.5 * normal(&k->random)), stays = k->s->liquid.nonvolatile;
    const double sigma = 0.35, out = n->side, angle = n->angle_rad + 0.3 * normal(&k->random);
    double x = pass->x_m + out * n->offset_m, y = 0.0, z = n->height_m, u = 0.0, v = 0.0, w = 0.0, d = whole_um,
           path = 0.0;
    int every = 1, since = 0, bounces = 0;
    tally_fate fate = TALLY_ALOFT;
    k->i_size = tally_size_bin(1e-6 * whole_um);
    k->water = EACH;
    r->accounts->emitted[k->b][0] += EACH;
    r->accounts->water_emitted[k->b][0] += EACH;
    for (double t = 0.0; t < k->s->run.time_limit_s; t += STEP_S) {
        if (track && since++ % every == 0) {
            if (track->n_points == TALLY_TRACK_POINTS - 1) {
                for (int j = 1; 2 * j < track->n_points; j++)
                    track->point[j] = track->point[2 * j];
                track->n_points /= 2;
                every *= 2;
            }
            track->point[track->n_points++] =
                (tally_point){(float)t, (float)x, (float)y, (float)z, (float)d, (float)hypot(u, w)};
        }
        const double fan = 14.0 * exp(-path / 1.6), fall = d < 100.0 ? 3e-5 * d * d : 0.3 * pow(0.01 * d, 1.2);
        const double wind = shape->downwind * fmax(0.0, 0.7 * log(fmax(z, 0.03) / 0.03))
                            * (z < 3.5 && x < 1.75 && x > -26.25 ? 0.25 : 1.0);
        u += -0.05 * u + 0.32 * sigma * normal(&k->random);
        v += -0.05 * v + 0.32 * sigma * normal(&k->random);
        w += -0.05 * w + 0.32 * sigma * normal(&k->random);
        const double from_m = tally_distance_m(shape, x);
        const double vx = wind + u + out * fan * cos(angle), vz = w - fall + fan * sin(angle);
        x += vx * STEP_S;
        y += v * STEP_S;
        z += vz * STEP_S;
        path += hypot(vx, vz) * STEP_S;
        cross(k, from_m, tally_distance_m(shape, x), fmax(z, 0.0));
        const double smaller_um = sqrt(fmax(d * d - 360.0 * STEP_S, 0.0)), least_um = whole_um * cbrt(stays);
        d = fmax(smaller_um, least_um);
        const double wet = (pow(d / whole_um, 3.0) - stays) / (1.0 - stays);
        const int64_t left = llround(fmin(fmax(wet, 0.0), 1.0) * (double)EACH);
        r->accounts->evaporated[k->b][0] += k->water - left;
        k->water = left;
        const int64_t voxel = voxel_at(c, x, y, z);
        const double cover =
            voxel >= 0 ? (double)c->leaf_area_density_1_m[voxel] * 0.5 * hypot(vx, vz) * STEP_S * fmin(1.0, d / 80.0)
                       : 0.0;
        if (uniform(&k->random) < 1.0 - exp(-cover)) {
            const int bounced = d > 250.0 && hypot(vx, vz) > 4.0 && bounces < 3;
            r->accounts->impacts[k->b][TALLY_LEAF][bounced] += EACH;
            r->accounts->size_impacts[k->b][TALLY_LEAF][tally_size_bin(1e-6 * whole_um)][bounced] += EACH;
            if (!bounced) {
                r->accounts->stayed[k->b][TALLY_LEAF][0] += EACH;
                leaf_books(k, voxel, whole_um, d);
                fate = TALLY_LEAF;
                break;
            }
            bounces++;
            path += 1.0;
        }
        if (z < 0.02) {
            fate = ground_fate(k, x);
            break;
        }
        if (z > k->s->run.domain_top_m || x > shape->domain_high_x_m || x < shape->domain_low_x_m) {
            const bool down = tally_distance_m(shape, x) > 0.0;
            fate = z > k->s->run.domain_top_m ? TALLY_AIR_ABOVE : down ? TALLY_AIR_DOWNWIND : TALLY_AIR_UPWIND;
            break;
        }
    }
    finish(k, fate);
    if (!track)
        return;
    tally_point *last = &track->point[track->n_points - 1];
    track->point[track->n_points++] = (tally_point){last->time_s + (float)(every * STEP_S), (float)x, (float)y,
                                                    (float)fmax(z, 0.0), (float)d, (float)hypot(u, w)};
    track->droplet = i_droplet;
    track->i_alley = pass->i_alley;
    track->i_nozzle = i_nozzle;
    track->weight = 1.0 / SYNTHETIC_DROPLETS;
    track->emitted_diameter_m = 1e-6 * whole_um;
    track->fate = fate;
    track->bounces = bounces;
}

static void make_leaves(const drupelet_result *r)
{
    const orchard_canopy *c = r->canopy;
    if (tally_leaves_create(c->n_rows, c->nz, c->nx, &r->accounts->leaves).code != DRUPELET_OK)
        exit(EXIT_FAILURE);
    tally_leaves *l = r->accounts->leaves;
    for (int64_t v = 0; v < orchard_voxels(c); v++)
        l->area_m2[v / 90 * 6 + v % 6] += (double)c->leaf_area_density_1_m[v] * 0.008;
    for (int iz = 3; iz < c->nz; iz++)
        l->third[iz] = (iz - 3) / 5;
    l->emitted_m3 = r->sprayer.emitted_per_length_m2 * c->period_m;
    l->treated_m2 = SYNTHETIC_ROWS * 3.5 * c->period_m;
    l->nonvolatile = r->scenario->liquid.nonvolatile;
    l->spread[0] = 0.79;
    l->spread[1] = 1.15;
}

synthetic_run *synthetic_run_create(int downwind)
{
    synthetic_run *run = memory(1, sizeof *run);
    drupelet_result *r = run->result = memory(1, sizeof *r);
    fill_scenario(&run->scenario, downwind);
    r->scenario = &run->scenario;
    r->seed = 7;
    r->n_droplets = SYNTHETIC_DROPLETS;
    r->n_steps = 1000000;
    fill_sprayer(&run->scenario, &r->sprayer);
    r->canopy = make_canopy();
    const tally_shape shape = {.n_rows = SYNTHETIC_ROWS,
                               .edge_low_x_m = -26.25,
                               .edge_high_x_m = 1.75,
                               .treated_width_m = 28.0,
                               .domain_low_x_m = -126.25,
                               .domain_high_x_m = 101.75,
                               .downwind = downwind,
                               .n_ground = 456,
                               .n_flux = 24,
                               .plane_distance_m = {5.0, 10.0, 20.0, 50.0},
                               .n_voxels = orchard_voxels(r->canopy)};
    if (tally_create(&shape, &r->accounts).code != DRUPELET_OK)
        exit(EXIT_FAILURE);
    make_leaves(r);
    r->n_tracks = TALLY_TRACKS;
    r->track = memory(TALLY_TRACKS, sizeof *r->track);
    for (int i = 0; i < SYNTHETIC_DROPLETS; i++) {
        book k = {.r = r, .s = &run->scenario, .random = (uint64_t)i * 0xd1342543de82ef95u, .b = i / PER_BATCH};
        fly(&k, i, i % 4 == 0 ? &r->track[i / 4] : NULL);
    }
    r->slice = (run_air_slice){.nx = 20, .nz = 10, .x_first_m = -18.0, .dx_m = 0.4, .z_first_m = 0.0, .dz_m = 0.4};
    r->slice.speed_m_s = memory(200, sizeof(float));
    for (int i = 0; i < 200; i++)
        r->slice.speed_m_s[i] = (float)(20.0 / (1.0 + abs(i % 20 - 10)));
    return run;
}

void synthetic_run_free(synthetic_run *run)
{
    if (!run)
        return;
    drupelet_result_free(run->result);
    free(run->scenario.text);
    free(run->scenario.resolved);
    free(run);
}
