/* sim/air/fan_case.c - which flow around the sprayer a scenario asks for: cells, wind, rows, outlets, and the machine.
 *
 * Outlets blow from where they are: an arc's air leaves along its radius, a slot's and a spout's in one direction, all
 * at the speed that flow and area give, relative to the sprayer. So flow and momentum of an outlet are the scenario's
 * whatever the cells are. Turbulence of the blown air: 10 % of its speed in each direction (choice; fans of sprayers
 * have 5 to 20 %), in eddies of 0.07 of the outlet's width (common practice for air out of ducts).
 *
 * The scenario does not say how large the machine is; choices: a drum or box as wide as the outlets stand apart holds
 * them, from HOUSING_M before to HOUSING_M behind them; what goes ahead (tank and tractor) is a box of that width, up
 * to the highest outlet but not higher than MACHINE_TOP_M, CLEAR_M above the ground. The fan takes its air in from
 * behind (common practice), through a round opening in the end of the housing. Wheels and booms are left out.
 *
 * What the fan blows out it takes in: their sum is 0. */
#include "air/fan_case.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/flow_constants.h"
#include "air/foliage.h"
#include "air/outlets.h"
#include "base/between.h"
#include "base/elementary.h"
#include "base/status.h"

/* Choices: cells of the wanted edge (half of it along the travel) where jets are narrow; from there on they grow. */
#define BESIDE_ROW_M 0.4   /* even so far beyond the crowns beside the sprayer, */
#define EVEN_BEHIND_M 2.0  /* behind the outlets, */
#define EVEN_AHEAD_M 0.8   /* before them, */
#define ABOVE_CANOPY_M 0.8 /* and above the trees */
#define GROWTH 1.13        /* from cell to cell beyond */
#define LARGEST_M 2.0
#define ACROSS_M 14.0   /* from the sprayer to where the wind is taken to be undisturbed, */
#define ACROSS_ROWS 3.5 /* or so many row spacings where that is more, */
#define BEHIND_M 15.0
#define AHEAD_M 8.0
#define TOP_M 14.0
#define HOUSING_M 0.3
#define MACHINE_LENGTH_M 4.0
#define MACHINE_TOP_M 1.4
#define CLEAR_M 0.4
#define INTAKE_SHARE 0.8    /* of the housing's half-width: radius of the opening */
#define INTAKE_HEIGHT_M 0.9 /* where no outlet is an arc */
#define INTENSITY 0.10
#define EDDY_SHARE 0.07
#define CMU_3_4 0.164316767               /* of FAN_CMU */
enum { PIECES = 512, SPOUT_PIECES = 24 }; /* of an outlet: they go to the cells in which they lie */
#define MOST_CELLS 3e6
#define FINE_HEIGHT_M 0.1 /* steps in which the wind is read */

/* ---- mesh ---- */

/* Faces from a place outward. @param face_m NULL: they are only counted  @return how many beyond the first */
static int grow(double first_m, double distance_m, double *face_m)
{
    int n = 0;
    double size_m = first_m;
    for (double way_m = 0.0; way_m < distance_m; n++) {
        size_m = fmin(size_m * GROWTH, LARGEST_M);
        way_m += size_m;
        if (face_m) face_m[n] = way_m;
    }
    return n;
}

/* An axis with even cells from -n_low to n_high around 0, shifted by shift_m, then growing ones. */
typedef struct {
    double step_m, shift_m, low_m, high_m; /* low_m, high_m: lengths of the growing ends; 0: none */
    int n_low, n_high;
} axis;

static int count_axis(const axis *a)
{
    return a->n_low + a->n_high + grow(a->step_m, a->low_m, NULL) + grow(a->step_m, a->high_m, NULL);
}

static drupelet_status fill_axis(const axis *a, double *face_m)
{
    const int n_low = grow(a->step_m, a->low_m, NULL);
    double *low_m = malloc((size_t)(n_low + 1) * sizeof *low_m);
    if (!low_m) return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    grow(a->step_m, a->low_m, low_m);
    const double first_m = a->shift_m - a->n_low * a->step_m, last_m = a->shift_m + a->n_high * a->step_m;
    for (int i = 0; i < n_low; i++)
        face_m[i] = first_m - low_m[n_low - 1 - i];
    for (int i = 0; i <= a->n_low + a->n_high; i++)
        face_m[n_low + i] = a->shift_m + (i - a->n_low) * a->step_m;
    double *beyond_m = face_m + n_low + a->n_low + a->n_high + 1;
    const int n_high = grow(a->step_m, a->high_m, beyond_m);
    for (int i = 0; i < n_high; i++)
        beyond_m[i] += last_m;
    free(low_m);
    return base_ok();
}

typedef struct {
    axis x, y, z;
} mesh;

static mesh mesh_of(const drupelet_scenario *s)
{
    const double cell_m = s->run.fan_air_cell_m, along_m = 0.5 * cell_m, spacing_m = s->orchard.row_spacing_m;
    const double even_m = 0.5 * spacing_m + 0.5 * s->canopy.width_m + BESIDE_ROW_M;
    const int n_across = (int)ceil(even_m / cell_m);
    const double across_m = fmax(ACROSS_M, ACROSS_ROWS * spacing_m) - n_across * cell_m;
    const int n_up = (int)ceil((s->canopy.height_m + ABOVE_CANOPY_M) / cell_m);
    return (mesh){.x = {cell_m, 0.0, across_m, across_m, n_across, n_across},
                  /* the middle of a cell at the outlets */
                  .y = {along_m, 0.5 * along_m, BEHIND_M, AHEAD_M, (int)ceil(EVEN_BEHIND_M / along_m) + 1,
                        (int)ceil(EVEN_AHEAD_M / along_m)},
                  .z = {cell_m, 0.0, 0.0, TOP_M, 0, n_up}};
}

static int cell_of(int n, const double *face_m, double place_m)
{
    return base_point_below(n + 1, face_m, place_m);
}

/* Across, places on either side of the sprayer go to cells that are images of one another. */
static int cell_across(const air_fan_case *c, double x_m)
{
    const int i = cell_of(c->nx, c->x_face_m, fabs(x_m));
    return x_m < 0.0 ? c->nx - 1 - i : i;
}

static double middle_m(const double *face_m, int i)
{
    return 0.5 * (face_m[i] + face_m[i + 1]);
}

static size_t cell(const air_fan_case *c, int i, int j, int k)
{
    return ((size_t)i * (size_t)c->ny + (size_t)j) * (size_t)c->nz + (size_t)k;
}

/* ---- outlets, as what they bring to each cell of the section in which they lie, over their width ---- */

typedef struct {
    double flow_m3_s, momentum_m4_s2[3], k_flow, epsilon_flow; /* the last three: times the flow */
} brought;

static void bring(brought *b, double flow_m3_s, const air_jet_start *start, double length_share, double width_m)
{
    const double sigma_m_s = INTENSITY * start->speed_m_s, k = 1.5 * sigma_m_s * sigma_m_s;
    b->flow_m3_s += flow_m3_s;
    for (int d = 0; d < 3; d++)
        b->momentum_m4_s2[d] += flow_m3_s * length_share * start->speed_m_s * start->direction[d];
    b->k_flow += flow_m3_s * k;
    b->epsilon_flow += flow_m3_s * CMU_3_4 * k * sqrt(k) / (EDDY_SHARE * width_m);
}

/* Spreads what leaves around the plane of the outlets over a width along the travel. */
static void spread_along(const air_fan_case *c, int i, int k, double y_m, double width_m, double flow_m3_s,
                         const air_jet_start *start, double length_share, brought *all)
{
    const double low_m = y_m - 0.5 * width_m, high_m = y_m + 0.5 * width_m;
    for (int j = cell_of(c->ny, c->y_face_m, low_m); j < c->ny && c->y_face_m[j] < high_m; j++) {
        const double share = (fmin(high_m, c->y_face_m[j + 1]) - fmax(low_m, c->y_face_m[j])) / width_m;
        if (share > 0.0) bring(&all[cell(c, i, j, k)], share * flow_m3_s, start, length_share, start->slot_m);
    }
}

/* An arc or a slot: pieces of its length. The mean direction over a piece of an arc is that of its middle, and a little
 * shorter than 1. */
static void add_slit(const air_fan_case *c, const scenario_outlet *o, double outward, double speed_m_s,
                     double flow_m3_s, brought *all)
{
    const double half_rad = o->kind == SCENARIO_ARC ? 0.5 * (o->to_rad - o->from_rad) / PIECES : 0.0;
    const double length_share = half_rad > 0.0 ? base_sin(half_rad) / half_rad : 1.0;
    for (int p = 0; p < PIECES; p++) {
        const air_jet_start start = air_outlet_start(o, outward, speed_m_s, (p + 0.5) / PIECES);
        const int k = cell_of(c->nz, c->z_face_m, fmax(start.z_m, 0.0));
        spread_along(c, cell_across(c, start.x_m), k, 0.0, o->slot_m, flow_m3_s / PIECES, &start, length_share, all);
    }
}

/* A spout: rings of pieces of its opening, each of the same area. */
static void add_spout(const air_fan_case *c, const scenario_outlet *o, double outward, double speed_m_s,
                      double flow_m3_s, brought *all)
{
    const air_jet_start start = air_outlet_start(o, outward, speed_m_s, 0.0);
    const double *d = start.direction, level = base_hypot(d[0], d[1]);
    /* two directions in the opening */
    const double side[3] = {level > 0.0 ? -d[1] / level : 1.0, level > 0.0 ? d[0] / level : 0.0, 0.0};
    const double up[3] = {-d[2] * side[1], d[2] * side[0], d[0] * side[1] - d[1] * side[0]};
    for (int ring = 0; ring < SPOUT_PIECES; ring++)
        for (int p = 0; p < SPOUT_PIECES; p++) {
            const double r_m = 0.5 * o->diameter_m * sqrt((ring + 0.5) / SPOUT_PIECES);
            const double angle = 2.0 * BASE_PI * (p + 0.5) / SPOUT_PIECES;
            const double a_m = r_m * base_cos(angle), b_m = r_m * base_sin(angle);
            const double x_m = start.x_m + a_m * side[0] + b_m * up[0], y_m = a_m * side[1] + b_m * up[1];
            const double z_m = start.z_m + a_m * side[2] + b_m * up[2];
            const int j = cell_of(c->ny, c->y_face_m, y_m), k = cell_of(c->nz, c->z_face_m, fmax(z_m, 0.0));
            bring(&all[cell(c, cell_across(c, x_m), j, k)], flow_m3_s / (SPOUT_PIECES * SPOUT_PIECES), &start, 1.0,
                  o->diameter_m);
        }
}

/* What stands where: the housing that the outlets of a pass are in. */
typedef struct {
    double half_width_m, low_m, high_m, intake_m; /* intake_m: height of its middle */
} housing;

static housing housing_of(const drupelet_scenario *s, const sprayer_work *work)
{
    housing h = {0.0, INFINITY, 0.0, 0.0};
    double weight = 0.0;
    for (int o = 0; o < s->sprayer.n_outlets; o++) {
        const scenario_outlet *outlet = &s->sprayer.outlet[o];
        const double share = work->outlet_speed_m_s[o] > 0.0 ? outlet->share : 0.0;
        for (int end = 0; end < 2; end++) {
            const air_jet_start start = air_outlet_start(outlet, 1.0, 1.0, end);
            const double arc_m = outlet->kind == SCENARIO_ARC ? outlet->radius_m : fabs(start.x_m);
            h.half_width_m = fmax(h.half_width_m, arc_m);
            h.low_m = fmin(h.low_m, start.z_m);
            h.high_m = fmax(h.high_m, start.z_m);
        }
        h.intake_m += share * (outlet->kind == SCENARIO_ARC ? outlet->centre_height_m : INTAKE_HEIGHT_M);
        weight += share;
    }
    h.intake_m = weight > 0.0 ? h.intake_m / weight : INTAKE_HEIGHT_M;
    return h;
}

static bool in_housing(const drupelet_scenario *s, const housing *h, double x_m, double z_m)
{
    bool inside = false;
    for (int o = 0; o < s->sprayer.n_outlets; o++) {
        const scenario_outlet *outlet = &s->sprayer.outlet[o];
        if (outlet->kind == SCENARIO_ARC)
            inside = inside || base_hypot(x_m, z_m - outlet->centre_height_m) < outlet->radius_m;
        else if (outlet->kind == SCENARIO_SLOT)
            inside = inside || (fabs(x_m) < outlet->offset_m && z_m > outlet->bottom_m && z_m < outlet->top_m);
    }
    return inside || (fabs(x_m) < h->half_width_m && z_m > CLEAR_M && z_m < fmin(h->low_m, MACHINE_TOP_M));
}

static void set_body(const drupelet_scenario *s, const housing *h, air_fan_case *c)
{
    const double top_m = fmin(h->high_m, MACHINE_TOP_M);
    for (int i = 0; i < c->nx; i++)
        for (int j = 0; j < c->ny; j++)
            for (int k = 0; k < c->nz; k++) {
                const double x_m = middle_m(c->x_face_m, i), y_m = middle_m(c->y_face_m, j),
                             z_m = middle_m(c->z_face_m, k);
                const bool beside = fabs(y_m) < HOUSING_M && in_housing(s, h, x_m, z_m);
                const bool ahead = y_m >= HOUSING_M && y_m < HOUSING_M + MACHINE_LENGTH_M && fabs(x_m) < h->half_width_m
                                   && z_m > CLEAR_M && z_m < top_m;
                c->body[cell(c, i, j, k)] = beside || ahead;
            }
}

/* Cells of the opening: the last before the end of the housing, as a layer behind it.
 * @param source NULL: only its volume is asked for  @return the sum of the cells' faces, m2 */
static double for_intake(const air_fan_case *c, const housing *h, double flow_m3_s, double area_m2,
                         air_fan_source *source, int *n)
{
    const int at_outlets = cell_of(c->ny, c->y_face_m, 0.0);
    const double cell_m = c->y_face_m[at_outlets + 1] - c->y_face_m[at_outlets];
    const int j = cell_of(c->ny, c->y_face_m, -HOUSING_M - 0.25 * cell_m);
    /* a small housing still has an opening: the cells around its middle */
    const double radius_m = INTAKE_SHARE * h->half_width_m;
    const int middle = cell_of(c->nz, c->z_face_m, h->intake_m);
    double sum_m2 = 0.0;
    for (int i = 0; i < c->nx; i++)
        for (int k = 0; k < c->nz; k++) {
            const double x_m = middle_m(c->x_face_m, i), z_m = middle_m(c->z_face_m, k);
            const bool least = k == middle && (i == c->nx / 2 || i == c->nx / 2 - 1);
            if (!least && base_hypot(x_m, z_m - h->intake_m) >= radius_m) continue;
            const double face_m2 = (c->x_face_m[i + 1] - c->x_face_m[i]) * (c->z_face_m[k + 1] - c->z_face_m[k]);
            sum_m2 += face_m2;
            if (source)
                source[*n] = (air_fan_source){.i = i, .j = j, .k = k, .flow_m3_s = -flow_m3_s * face_m2 / area_m2};
            (*n)++;
        }
    return sum_m2;
}

static void blow(const drupelet_scenario *s, const sprayer_work *work, const sprayer_pass *pass, const air_fan_case *c,
                 brought *all)
{
    for (int o = 0; o < s->sprayer.n_outlets; o++) {
        const scenario_outlet *outlet = &s->sprayer.outlet[o];
        const double speed_m_s = work->outlet_speed_m_s[o], flow_m3_s = outlet->share * work->fan_flow_m3_s;
        if (!air_outlet_blows(work, pass, outlet, o)) continue;
        (outlet->kind == SCENARIO_SPOUT ? add_spout : add_slit)(c, outlet, outlet->side * pass->heading, speed_m_s,
                                                                flow_m3_s, all);
    }
}

/* Outlets, intake and body of a pass. */
static drupelet_status set_machine(const drupelet_scenario *s, const sprayer_work *work, const sprayer_pass *pass,
                                   air_fan_case *c)
{
    const size_t n_cells = (size_t)c->nx * (size_t)c->ny * (size_t)c->nz;
    brought *all = calloc(n_cells, sizeof *all);
    if (!all) return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    const housing h = housing_of(s, work);
    double flow_m3_s = 0.0;
    int n = 0, n_intake = 0;
    blow(s, work, pass, c, all);
    for (size_t i = 0; i < n_cells; i++) {
        n += all[i].flow_m3_s > 0.0;
        flow_m3_s += all[i].flow_m3_s;
    }
    const double area_m2 = for_intake(c, &h, 0.0, 1.0, NULL, &n_intake);
    free(c->source); /* which is empty so far */
    c->source = calloc((size_t)(n + n_intake), sizeof *c->source);
    c->n_sources = c->source ? n + n_intake : 0;
    n = 0;
    for (size_t at = 0; c->source && at < n_cells; at++) {
        const brought *b = &all[at];
        if (!(b->flow_m3_s > 0.0)) continue;
        air_fan_source *to = &c->source[n++];
        *to = (air_fan_source){.i = (int)(at / ((size_t)c->ny * (size_t)c->nz)),
                               .j = (int)(at / (size_t)c->nz % (size_t)c->ny),
                               .k = (int)(at % (size_t)c->nz),
                               .flow_m3_s = b->flow_m3_s,
                               .k_m2_s2 = b->k_flow / b->flow_m3_s,
                               .epsilon_m2_s3 = b->epsilon_flow / b->flow_m3_s};
        for (int d = 0; d < 3; d++)
            to->velocity_m_s[d] = b->momentum_m4_s2[d] / b->flow_m3_s + (d == 1 ? c->travel_m_s : 0.0);
    }
    if (c->source) for_intake(c, &h, flow_m3_s, area_m2, c->source, &n);
    set_body(s, &h, c);
    for (int i = 0; i < c->n_sources; i++)
        c->body[cell(c, c->source[i].i, c->source[i].j, c->source[i].k)] = 0;
    free(all);
    return c->source ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the fan air");
}

/* ---- wind and rows ---- */

/* Adds the wind around a pass to the means. @param share of it in them */
static drupelet_status add_wind(const air_ambient *ambient, const sprayer_pass *pass, double share, air_fan_case *c)
{
    const double top_m = c->z_face_m[c->nz];
    const int n_heights = (int)ceil(top_m / FINE_HEIGHT_M) + 2;
    air_ambient_place *place = malloc((size_t)c->nx * sizeof *place);
    air_ambient_state *state = malloc((size_t)c->nx * (size_t)n_heights * sizeof *state);
    drupelet_status status = place && state ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the fan air");
    for (int i = 0; i < c->nx && status.code == DRUPELET_OK; i++)
        place[i] =
            (air_ambient_place){pass->x_m + middle_m(c->x_face_m, i),
                                i > 0 ? middle_m(c->x_face_m, i) - middle_m(c->x_face_m, i - 1) : LARGEST_M,
                                i + 1 < c->nx ? middle_m(c->x_face_m, i + 1) - middle_m(c->x_face_m, i) : LARGEST_M};
    if (status.code == DRUPELET_OK) status = air_ambient_fill(ambient, c->nx, place, n_heights, FINE_HEIGHT_M, state);
    for (int i = 0; i < c->nx && status.code == DRUPELET_OK; i++)
        for (int k = 0; k < c->nz; k++) {
            const double f = middle_m(c->z_face_m, k) / FINE_HEIGHT_M;
            const air_ambient_state *low = &state[(size_t)f * (size_t)c->nx + (size_t)i], *high = low + c->nx;
            const double up = share * (f - floor(f)), rest = share - up;
            const double variance_low = low->sigma_m_s * low->sigma_m_s,
                         variance_high = high->sigma_m_s * high->sigma_m_s;
            const double per_k = AIR_SIGMA_UP_OVER_FRICTION * AIR_SIGMA_UP_OVER_FRICTION * FLOW_CMU_1_2;
            const double per_rate = 2.0 / AIR_KOLMOGOROV_C0;
            const size_t at = (size_t)i * (size_t)c->nz + (size_t)k;
            c->u[at] += (float)(rest * low->u_m_s + up * high->u_m_s);
            c->v[at] += (float)(pass->heading * (rest * low->v_m_s + up * high->v_m_s));
            c->w[at] += (float)(rest * low->w_m_s + up * high->w_m_s);
            c->k[at] += (float)((rest * variance_low + up * variance_high) / per_k);
            c->epsilon[at] +=
                (float)(per_rate * (rest * variance_low / low->time_scale_s + up * variance_high / high->time_scale_s));
        }
    free(state);
    free(place);
    return status;
}

static void set_rows(const orchard_canopy *canopy, const sprayer_pass *pass, air_fan_case *c)
{
    const bool yields = c->yielding.half_exponent < 0.0;
    for (int i = 0; i < c->nx; i++)
        for (int k = 0; k < c->nz; k++) {
            const air_foliage here = air_foliage_mean(
                canopy, yields, (const double[2]){pass->x_m + c->x_face_m[i], pass->x_m + c->x_face_m[i + 1]},
                &c->z_face_m[k]);
            c->drag_1_m[i * c->nz + k] = here.stiff_1_m;
            c->leaf_drag_1_m[i * c->nz + k] = here.leaf_1_m;
        }
}

/* ---- sharing ---- */

_Static_assert(sizeof(scenario_outlet) == 2 * sizeof(int) + 13 * sizeof(double), "outlets are compared byte by byte");

static bool same_outlets(const drupelet_scenario *s, const sprayer_work *work, const sprayer_pass *a,
                         const sprayer_pass *b)
{
    for (int o = 0; o < s->sprayer.n_outlets; o++) {
        const scenario_outlet *outlet = &s->sprayer.outlet[o];
        if (!air_outlet_blows(work, a, outlet, o)) continue;
        bool found = false; /* an outlet of the other pass that blows the same from the same place */
        for (int p = 0; p < s->sprayer.n_outlets && !found; p++) {
            const scenario_outlet *other = &s->sprayer.outlet[p];
            if (!air_outlet_blows(work, b, other, p) || outlet->side * a->heading != other->side * b->heading) continue;
            scenario_outlet image = *other;
            image.side = outlet->side;
            found = memcmp(&image, outlet, sizeof image) == 0;
        }
        if (!found) return false;
    }
    return true;
}

static bool row_beside(const drupelet_scenario *s, const sprayer_pass *p, int side)
{
    const int row = side > 0 ? p->i_alley - 1 : p->i_alley; /* from 0 */
    return row >= 0 && row < s->orchard.n_rows;
}

static bool same_place(const drupelet_scenario *s, const sprayer_work *work, const sprayer_pass *a,
                       const sprayer_pass *b)
{
    return row_beside(s, a, 1) == row_beside(s, b, 1) && row_beside(s, a, -1) == row_beside(s, b, -1)
           && same_outlets(s, work, a, b) && same_outlets(s, work, b, a);
}

static bool any_air(const drupelet_scenario *s, const sprayer_work *work, const sprayer_pass *p)
{
    bool any = false;
    for (int o = 0; o < s->sprayer.n_outlets; o++)
        any = any || air_outlet_blows(work, p, &s->sprayer.outlet[o], o);
    return any;
}

/* Winds that are compared: at places within a row spacing of the sprayer, up to half above the trees. */
enum { LOOK_ACROSS = 9, LOOK_UP = 8, LOOKED = 2 * LOOK_ACROSS * LOOK_UP };

static void look_around(const drupelet_scenario *s, const air_ambient *ambient, const sprayer_pass *p, double *wind_m_s)
{
    for (int i = 0; i < LOOK_ACROSS; i++)
        for (int k = 0; k < LOOK_UP; k++, wind_m_s += 2) {
            const double x_m = p->x_m + s->orchard.row_spacing_m * (2.0 * i / (LOOK_ACROSS - 1) - 1.0);
            air_ambient_level_wind(ambient, x_m, 1.5 * s->canopy.height_m * (k + 1) / LOOK_UP, &wind_m_s[0],
                                   &wind_m_s[1]);
            wind_m_s[1] *= p->heading;
        }
}

/* Do the winds of these passes lie close enough to their mean? */
static bool winds_agree(int n, const int *pass, const double (*wind_m_s)[LOOKED])
{
    for (int l = 0; l < LOOKED; l++) {
        double mean = 0.0;
        for (int p = 0; p < n; p++)
            mean += wind_m_s[pass[p]][l] / n;
        for (int p = 0; p < n; p++)
            if (fabs(wind_m_s[pass[p]][l] - mean) >= AIR_FAN_SHARED_WIND_M_S) return false;
    }
    return true;
}

/* The passes of a flow. @return how many */
static int passes_of(const air_fan_sharing *sharing, int n_passes, int flow, int pass[SCENARIO_ROWS + 1])
{
    int n = 0;
    for (int p = 0; p < n_passes; p++)
        if (sharing->flow_of_pass[p] == flow) pass[n++] = p;
    return n;
}

/* A pass joins the first flow that it may. */
drupelet_status air_fan_share(const drupelet_scenario *s, const orchard_canopy *canopy, const air_ambient *ambient,
                              const sprayer_work *work, air_fan_sharing *sharing)
{
    (void)canopy;
    double(*wind_m_s)[LOOKED] = malloc((size_t)work->n_passes * sizeof *wind_m_s);
    if (!wind_m_s) return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    *sharing = (air_fan_sharing){0};
    for (int p = 0; p < work->n_passes; p++) {
        int member[SCENARIO_ROWS + 1];
        sharing->flow_of_pass[p] = -1;
        if (!any_air(s, work, &work->pass[p])) continue;
        look_around(s, ambient, &work->pass[p], wind_m_s[p]);
        for (int f = 0; f < sharing->n_flows && sharing->flow_of_pass[p] < 0; f++) {
            const int n = passes_of(sharing, p, f, member);
            member[n] = p;
            if (same_place(s, work, &work->pass[member[0]], &work->pass[p])
                && winds_agree(n + 1, member, (const double(*)[LOOKED])wind_m_s))
                sharing->flow_of_pass[p] = f;
        }
        if (sharing->flow_of_pass[p] < 0) sharing->flow_of_pass[p] = sharing->n_flows++;
    }
    free(wind_m_s);
    return base_ok();
}

drupelet_status air_fan_case_of(const drupelet_scenario *s, const orchard_canopy *canopy, const air_ambient *ambient,
                                const sprayer_work *work, const air_fan_sharing *sharing, int i_flow, air_fan_case *c)
{
    const mesh m = mesh_of(s);
    const int nx = count_axis(&m.x), ny = count_axis(&m.y), nz = count_axis(&m.z);
    *c = (air_fan_case){0};
    if ((double)nx * ny * nz > MOST_CELLS)
        return base_error(DRUPELET_SCENARIO,
                          "run.fan_air_cell: too fine for this orchard: %.3g million cells, of at most %g",
                          1e-6 * nx * ny * nz, 1e-6 * MOST_CELLS);
    int pass[SCENARIO_ROWS + 1];
    const int n = passes_of(sharing, work->n_passes, i_flow, pass);
    const sprayer_pass *middle = &work->pass[pass[n / 2]];
    drupelet_status status = air_fan_case_create(nx, ny, nz, 0, c);
    if (status.code == DRUPELET_OK) status = fill_axis(&m.x, c->x_face_m);
    if (status.code == DRUPELET_OK) status = fill_axis(&m.y, c->y_face_m);
    if (status.code == DRUPELET_OK) status = fill_axis(&m.z, c->z_face_m);
    if (status.code != DRUPELET_OK) return status;
    c->travel_m_s = s->sprayer.travel_speed_m_s;
    c->roughness_m = s->weather.roughness_m;
    c->yielding = air_yielding_of(&s->canopy);
    const size_t section = (size_t)nx * (size_t)nz;
    float *const wind[] = {c->u, c->v, c->w, c->k, c->epsilon};
    for (int v = 0; v < 5; v++)
        memset(wind[v], 0, section * sizeof *wind[v]);
    for (int p = 0; p < n && status.code == DRUPELET_OK; p++)
        status = add_wind(ambient, &work->pass[pass[p]], 1.0 / n, c);
    set_rows(canopy, middle, c);
    return status.code == DRUPELET_OK ? set_machine(s, work, middle, c) : status;
}
