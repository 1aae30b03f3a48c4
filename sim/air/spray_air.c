/* sim/air/spray_air.c - the momentum that droplets lose to drag near their nozzle becomes momentum of the air.
 *
 * A nozzle's spray is AIR_SPRAY_RAYS rays, spread evenly over its sheet, each with AIR_SPRAY_SIZES sizes of droplets
 * that hold the same share of its volume. Along a ray the droplets slow down by the drag of a sphere in the air as it
 * is there (wind, fan air, and what the spray itself has set moving). What they lose, and their weight, the air gains:
 *     dK/ds = sum over sizes of (m / rho_a) (-dv/dt - g) / v - Cd a K,
 * K the flux of excess momentum over the density of air, m the mass flow, Cd a the drag of leaves, as for jets of fan
 * air. That the sources of momentum are those of the droplets, found along their paths, is the particle-source-in-cell
 * method (C. T. Crowe, M. P. Sharma, D. E. Stock, J. Fluids Eng. 99 (1977) 325; memory).
 *
 * How wide the moving air is: the sheet of droplets, as thick as the tip throws it, with edges whose half-width b grows
 * as that of a plane jet, db/ds = 0.110 E / (E + 2 A) (jet.c), E the excess on the middle and A the air before along
 * it. A hollow cone's sheet is a ring; where its edges meet in the middle it is a round jet, whose speed and flow come
 * out within 4 % of those of a round jet with the same momentum. Excess and flux: K = M E (A + E), M the integral of
 * the profile squared. While K grows in proportion to the distance from the nozzle, the flow of air grows as its power
 * 1.5, later in proportion to it: as measured in dense sprays (tests/data/spray_driven_air.csv).
 *
 * On the grid each piece of a ray leaves K ds as momentum, in a bell of its own width or as wide as the grid can carry.
 * The momentum that the nozzles leave at a node adds as vectors, P; the excess there is P's direction times
 * 2 P / (A + sqrt(A^2 + 4 P)), which is K = M E (A + E) node by node. So what a nozzle blows into fan air adds little
 * speed and its whole momentum, and droplets that are slower than fan air slow it. Turbulence as in a sheet (sheet.c).
 *
 * The ray follows the mean of its droplets, and the air once they move with it; how they fall through the air then does
 * not bend it.
 *
 * Left out: droplets that leaves catch before they have slowed down (their momentum goes to the leaf); sizes that part
 * from one another on the way count where the mean of the droplets is; the mean drag of droplets in one another's
 * wake; the sheet of liquid before it breaks up; the small vortex inside a hollow cone, but for what the removal of
 * divergence makes of it. */
#include "air/spray_air.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/outlets.h"
#include "base/elementary.h"
#include "base/moist_air.h"
#include "base/sphere.h"
#include "base/status.h"

/* Choices: steps along a ray, as a share of the path so far and between bounds; where a ray ends. */
#define STEP_SHARE 0.15
#define STEP_LEAST_M 0.01
#define STEP_MOST_M 0.06
#define LONGEST_M 6.0
#define YOUNG_M 0.3       /* before that a ray does not end for being weak: its air is only starting to move */
#define SLOWEST_SHARE 0.3 /* a size that falls behind the mean moves at least so fast along the ray */
#define SLOWEST_M_S 0.02
#define THINNEST_IN_STEPS 0.9 /* half-width over the grid's step, as for round jets */
#define REACH_HALF_WIDTHS 2.0 /* beyond, the momentum is below half a percent of that in the middle */
enum { MOST_NODES = 256 };    /* along an edge of a bell */

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

bool air_spray_of(const drupelet_scenario *scenario, const sprayer_work *work, int i, air_spray *s)
{
    const sprayer_nozzle *n = &work->nozzle[i];
    const sprayer_spray *spray = &work->spray[n->i_spray];
    const scenario_tip_kind kind = scenario->tip[n->nozzle->i_tip].kind;
    const scenario_weather *w = &scenario->weather;
    if (!(n->flow_m3_s > 0.0)) return false;
    const base_air air = base_moist_air(w->temperature_K, w->relative_humidity, w->pressure_Pa);
    const sprayer_spray_sheet sheet = sprayer_sheet_of(n, kind);
    memset(s, 0, sizeof *s);
    s->side = n->nozzle->side;
    s->offset_m = n->nozzle->offset_m;
    s->behind_m = n->nozzle->behind_m;
    s->height_m = n->nozzle->height_m;
    for (int r = 0; r < AIR_SPRAY_RAYS; r++) {
        const double even = (r + 0.5) / AIR_SPRAY_RAYS;
        sprayer_spray_direction(n, kind, sheet.is_fan ? even : 0.5, sheet.is_fan ? 0.5 : even, s->direction[r]);
    }
    s->is_fan = sheet.is_fan;
    s->middle_rad = sheet.middle_rad;
    s->half_thickness_rad = sheet.half_thickness_rad;
    s->mass_flow_kg_s = n->flow_m3_s * scenario->liquid.density_kg_m3;
    s->exit_speed_m_s = n->exit_speed_m_s;
    s->droplet_density_kg_m3 = spray->droplet_density_kg_m3;
    for (int c = 0; c < AIR_SPRAY_SIZES; c++)
        s->diameter_m[c] = sprayer_spectrum_quantile_m(&spray->spectrum, (c + 0.5) / AIR_SPRAY_SIZES);
    s->air_density_kg_m3 = air.density_kg_m3;
    s->air_viscosity_Pa_s = air.viscosity_Pa_s;
    return true;
}

/* Section of the whole spray whose sheet is thick_m thick, at throw_m from the tip. */
static double section_m2(const air_spray *s, double throw_m, double thick_m)
{
    if (s->is_fan > 0.0) return thick_m * (2.0 * s->middle_rad * throw_m + 0.25 * BASE_PI * thick_m);
    const double radius_m = throw_m * base_sin(s->middle_rad), outer_m = radius_m + 0.5 * thick_m;
    return 0.5 * thick_m < radius_m ? 2.0 * BASE_PI * radius_m * thick_m : BASE_PI * outer_m * outer_m;
}

/* Excess speed at which momentum per volume P (m2/s2) moves in air of a speed. */
static double excess_m_s(double momentum, double air_m_s)
{
    const double both = air_m_s + sqrt(air_m_s * air_m_s + 4.0 * momentum);
    return both > 0.0 ? 2.0 * momentum / both : 0.0;
}

/* Moves one size of droplets on; its lost momentum and its weight go into the flux.
 * @param flow  volume of air with the mass of this ray's droplets of this size, m3/s
 * @return their speed of fall through the air at the present drag */
static double slow_down(const air_spray *s, double diameter_m, const double air_m_s[3], double time_s, double flow,
                        double velocity_m_s[3], double flux[3])
{
    double slip[3];
    for (int d = 0; d < 3; d++)
        slip[d] = velocity_m_s[d] - air_m_s[d];
    const double re = s->air_density_kg_m3 * sqrt(dot(slip, slip)) * diameter_m / s->air_viscosity_Pa_s;
    const double rate_1_s = 18.0 * s->air_viscosity_Pa_s * base_sphere_drag_factor(re)
                            / (s->droplet_density_kg_m3 * diameter_m * diameter_m);
    const double left = base_exp(-rate_1_s * time_s);
    for (int d = 0; d < 3; d++) {
        const double pull_m_s2 = d == 2 ? -BASE_GRAVITY_M_S2 : 0.0, end_m_s = air_m_s[d] + pull_m_s2 / rate_1_s;
        const double now_m_s = end_m_s + (velocity_m_s[d] - end_m_s) * left;
        flux[d] += flow * (velocity_m_s[d] - now_m_s + pull_m_s2 * time_s);
        velocity_m_s[d] = now_m_s;
    }
    return BASE_GRAVITY_M_S2 / rate_1_s;
}

int air_spray_follow(const air_spray *s, int i_ray, int outward, air_spray_look look, const void *where,
                     air_spray_point point[AIR_SPRAY_POINTS])
{
    const double start[3] = {outward * s->offset_m, -s->behind_m, s->height_m};
    const double flow = s->mass_flow_kg_s / (s->air_density_kg_m3 * AIR_SPRAY_RAYS * AIR_SPRAY_SIZES);
    double velocity[AIR_SPRAY_SIZES][3], fall_m_s[AIR_SPRAY_SIZES] = {0.0}, flux[3] = {0.0, 0.0, 0.0}, place_m[3];
    for (int d = 0; d < 3; d++) {
        const double direction = (d == 0 ? outward : 1) * s->direction[i_ray][d];
        place_m[d] = start[d] + SPRAYER_BREAKUP_M * direction;
        for (int c = 0; c < AIR_SPRAY_SIZES; c++)
            velocity[c][d] = s->exit_speed_m_s * direction;
    }
    double path_m = SPRAYER_BREAKUP_M, throw_m = SPRAYER_BREAKUP_M;
    double half_width_m = AIR_JET_SPREAD * SPRAYER_BREAKUP_M; /* as if it had grown from the orifice on */
    int n = 0;
    while (n < AIR_SPRAY_POINTS && path_m < LONGEST_M && place_m[2] > 0.0) {
        const air_spray_surroundings around = look(where, place_m);
        const double *air = around.velocity_m_s, air_m_s = sqrt(dot(air, air)), size = sqrt(dot(flux, flux));
        const double core_m = s->half_thickness_rad * throw_m;
        const double momentum_m2 =
            section_m2(s, throw_m, 2.0 * core_m + AIR_JET_MOMENTUM * half_width_m) / AIR_SPRAY_RAYS;
        const double flow_m2 = section_m2(s, throw_m, 2.0 * core_m + AIR_JET_FLOW * half_width_m) / AIR_SPRAY_RAYS;
        const double axis_m_s = excess_m_s(size / momentum_m2, air_m_s);
        const double step_m = fmin(fmax(STEP_SHARE * path_m, STEP_LEAST_M), STEP_MOST_M);
        point[n] = (air_spray_point){.path_m = path_m,
                                     .step_m = step_m,
                                     .axis_m_s = axis_m_s,
                                     .half_width_m = core_m + half_width_m,
                                     .flow_m3_s = axis_m_s * flow_m2};
        memcpy(point[n].place_m, place_m, sizeof place_m);
        memcpy(point[n].flux_m4_s2, flux, sizeof flux);
        n++;
        if (path_m > YOUNG_M && axis_m_s < AIR_JET_WEAKEST_M_S) break;

        double seen[3], motion[3] = {0.0, 0.0, 0.0}, own[3], along = 0.0; /* air that droplets see; their mean */
        for (int d = 0; d < 3; d++) {
            seen[d] = air[d] + (size > 0.0 ? flux[d] / size * axis_m_s * momentum_m2 / flow_m2 : 0.0);
            for (int c = 0; c < AIR_SPRAY_SIZES; c++)
                motion[d] += (velocity[c][d] + (d == 2 ? fall_m_s[c] : 0.0)) / AIR_SPRAY_SIZES;
            own[d] = motion[d] - air[d];
            along += size > 0.0 ? air[d] * flux[d] / size : 0.0;
        }
        if (dot(motion, motion) < dot(seen, seen)) memcpy(motion, seen, sizeof motion); /* they have stopped in it */
        const double speed_m_s = sqrt(dot(motion, motion));
        if (n > 1 && speed_m_s < SLOWEST_M_S) break;
        for (int c = 0; c < AIR_SPRAY_SIZES; c++) {
            const double forward_m_s = fmax(dot(velocity[c], motion) / speed_m_s, SLOWEST_SHARE * speed_m_s);
            fall_m_s[c] = slow_down(s, s->diameter_m[c], seen, step_m / forward_m_s, flow, velocity[c], flux);
        }
        const double left = around.drag_1_m > 0.0 ? base_exp(-around.drag_1_m * step_m) : 1.0;
        throw_m += step_m * fmin(sqrt(dot(own, own)) / speed_m_s, 1.0);
        if (axis_m_s > 0.0) half_width_m += step_m * AIR_JET_SPREAD * axis_m_s / (axis_m_s + 2.0 * fmax(along, 0.0));
        path_m += step_m;
        for (int d = 0; d < 3; d++) {
            flux[d] *= left;
            place_m[d] += step_m * motion[d] / speed_m_s;
        }
    }
    return n;
}

/* ---- from rays to a grid ---- */

/* Sums of all rays of a pass at a node. */
typedef struct {
    float momentum[3], amount, wide;
} heap; /* amount: without directions; wide: times half-width, m */

/* One edge of a bell of momentum: weights of n nodes from the first on, which add up to 1. */
typedef struct {
    int first, n;
    double weight[MOST_NODES];
} edge;

static bool edge_of(double middle_m, double first_m, double step_m, int n_nodes, double half_width_m, bool half_first,
                    edge *e)
{
    const double b_m = fmax(half_width_m, THINNEST_IN_STEPS * step_m), reach = REACH_HALF_WIDTHS * b_m / step_m;
    const double at = (middle_m - first_m) / step_m;
    if (!(at > -1.0) || !(at < n_nodes)) return false;
    const int low = (int)fmax(ceil(at - reach), 0.0), high = (int)fmin(floor(at + reach), n_nodes - 1);
    double sum = 0.0;
    e->first = low;
    e->n = high - low + 1 < MOST_NODES ? high - low + 1 : MOST_NODES;
    for (int i = 0; i < e->n; i++) {
        const double off = (low + i - at) * step_m / b_m;
        e->weight[i] = base_exp(-2.0 * AIR_LN_2 * off * off) * (half_first && low + i == 0 ? 0.5 : 1.0);
        sum += e->weight[i];
    }
    for (int i = 0; i < e->n; i++)
        e->weight[i] /= sum;
    return e->n > 0 && sum > 0.0;
}

static void leave(const air_grid *g, const air_spray_point *p, edge room[3], heap *heaps)
{
    edge *x = &room[0], *y = &room[1], *z = &room[2];
    const double size = sqrt(dot(p->flux_m4_s2, p->flux_m4_s2)), b_m = p->half_width_m;
    if (!(size > 0.0) || !edge_of(p->place_m[0], g->x_first_m, g->dx_m, g->nx, b_m, false, x)
        || !edge_of(p->place_m[1], g->y_first_m, g->dy_m, g->ny, b_m, false, y)
        || !edge_of(p->place_m[2], 0.0, g->dz_m, g->nz, b_m, true, z))
        return;
    const double per_m3 = p->step_m / (g->dx_m * g->dy_m * g->dz_m);
    for (int k = 0; k < z->n; k++)
        for (int i = 0; i < x->n; i++) {
            const double column = per_m3 * z->weight[k] * x->weight[i] * (z->first + k == 0 ? 2.0 : 1.0);
            const float of[3] = {(float)(column * p->flux_m4_s2[0]), (float)(column * p->flux_m4_s2[1]),
                                 (float)(column * p->flux_m4_s2[2])};
            const float amount = (float)(column * size), wide = (float)(column * size * b_m);
            heap *row = heaps + air_node(g, z->first + k, x->first + i, y->first);
            for (int j = 0; j < y->n; j++) {
                const float w = (float)y->weight[j];
                for (int d = 0; d < 3; d++)
                    row[j].momentum[d] += w * of[d];
                row[j].amount += w * amount;
                row[j].wide += w * wide;
            }
        }
}

/* What a ray flies through: the ambient and leaves as the jets see them, and the jets. */
typedef struct {
    air_jet_look look;
    const void *where;
    const air_grid *grid;
    const air_excess *excess;
} through;

static air_spray_surroundings look_around(const void *where, const double place_m[3])
{
    const through *t = where;
    const air_grid *g = t->grid;
    const air_jet_surroundings ambient = t->look(t->where, place_m[0], place_m[2]);
    air_spray_surroundings around = {{ambient.u_m_s, ambient.v_m_s, 0.0}, ambient.drag_1_m};
    const double f[3] = {place_m[2] / g->dz_m, (place_m[0] - g->x_first_m) / g->dx_m,
                         (place_m[1] - g->y_first_m) / g->dy_m};
    const int n[3] = {g->nz, g->nx, g->ny};
    bool jets = true; /* beside the grid there are none */
    for (int d = 0; d < 3; d++)
        jets = jets && f[d] >= 0.0 && f[d] < n[d] - 1;
    for (int corner = 0; jets && corner < 8; corner++) {
        double weight = 1.0;
        int index[3];
        for (int d = 0; d < 3; d++) {
            const int bit = corner >> d & 1;
            index[d] = (int)f[d] + bit;
            weight *= bit ? f[d] - (int)f[d] : 1.0 - (f[d] - (int)f[d]);
        }
        const size_t i = air_node(g, index[0], index[1], index[2]);
        around.velocity_m_s[0] += weight * (double)t->excess->u_m_s[i];
        around.velocity_m_s[1] += weight * (double)t->excess->v_m_s[i];
        around.velocity_m_s[2] += weight * (double)t->excess->w_m_s[i];
    }
    if (ambient.leaf_drag_1_m > 0.0) {
        const double *v = around.velocity_m_s;
        const double over_ground[3] = {v[0], v[1] + ambient.passing_m_s, v[2]};
        around.drag_1_m +=
            ambient.leaf_drag_1_m * air_standing_share(ambient.yielding, sqrt(dot(over_ground, over_ground)));
    }
    return around;
}

/* Turns the momentum at the nodes into velocity and turbulence. */
static void set_moving(const air_grid *g, air_jet_look look, const void *where, const heap *heaps, air_excess *e)
{
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++) {
            const air_jet_surroundings around = look(where, air_grid_x_m(g, i), k * g->dz_m);
            for (int j = 0; j < g->ny; j++) {
                const size_t n = air_node(g, k, i, j);
                const heap *h = &heaps[n];
                if (!(h->amount > 0.0f)) continue;
                const double p[3] = {(double)h->momentum[0], (double)h->momentum[1], (double)h->momentum[2]};
                const double air[3] = {around.u_m_s + (double)e->u_m_s[n], around.v_m_s + (double)e->v_m_s[n],
                                       (double)e->w_m_s[n]};
                const double size = sqrt(dot(p, p)), axis_m_s = excess_m_s(size, sqrt(dot(air, air)));
                if (!(axis_m_s > 0.0)) continue;
                const double per = axis_m_s / size, speed2 = axis_m_s * axis_m_s;
                e->u_m_s[n] += (float)(per * p[0]);
                e->v_m_s[n] += (float)(per * p[1]);
                e->w_m_s[n] += (float)(per * p[2]);
                e->variance_m2_s2[n] += (float)(2.0 / 3.0 * AIR_SHEET_AXIS_ENERGY * speed2);
                e->dissipation_m2_s3[n] +=
                    (float)(AIR_SHEET_AXIS_DISSIPATION * speed2 * axis_m_s * (double)h->amount / (double)h->wide);
            }
        }
}

drupelet_status air_spray_add(const drupelet_scenario *scenario, const sprayer_work *work, const sprayer_pass *pass,
                              air_jet_look look, const void *where, const air_grid *g, air_excess *excess)
{
    const through t = {look, where, g, excess};
    heap *heaps = calloc((size_t)g->nx * (size_t)g->ny * (size_t)g->nz, sizeof *heaps);
    edge *room = malloc(3 * sizeof *room);
    air_spray_point *point = malloc(AIR_SPRAY_POINTS * sizeof *point);
    const bool enough = heaps && room && point;
    for (int i = 0; enough && i < work->n_nozzles; i++) {
        air_spray spray;
        const scenario_side side = work->nozzle[i].nozzle->side;
        if (!(side == SCENARIO_LEFT ? pass->left_open : pass->right_open) || !air_spray_of(scenario, work, i, &spray))
            continue;
        for (int r = 0; r < AIR_SPRAY_RAYS; r++) {
            const int n = air_spray_follow(&spray, r, (int)side * pass->heading, look_around, &t, point);
            for (int p = 0; p < n; p++)
                leave(g, &point[p], room, heaps);
        }
    }
    if (enough) set_moving(g, look, where, heaps, excess);
    free(point);
    free(room);
    free(heaps);
    return enough ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the air that the spray moves");
}
