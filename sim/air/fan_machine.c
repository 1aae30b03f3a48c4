/* sim/air/fan_machine.c - what the sprayer is in the mesh of the fan's air: outlets, intake and body.
 *
 * Air leaves an arc along its radius, a slot and a spout in one direction, all at the speed that flow and area give,
 * relative to the sprayer. It leaves through faces of cells in which the machine stands: the faces along an arc are
 * steps, and through each goes what the direction of the air at that place and the face's area give. Even air that is
 * blown across the cells' diagonal then stays even, and no pressure acts on the steps: an outlet whose cells got the
 * air by the length of arc in them lost up to half of its momentum to the body. What rounding to cells leaves is
 * mended in flow and velocity, so that flow and momentum of an outlet are the scenario's whatever the cells are.
 *
 * Turbulence of the blown air: 10 % of its speed in each direction (choice; fans of sprayers have 5 to 20 %), in eddies
 * of 0.07 of the outlet's width (common practice for air out of ducts).
 *
 * The scenario does not say how large the machine is; choices: a drum or box as wide as the outlets stand apart holds
 * them, from HOUSING_M before to HOUSING_M behind them; spouts are the ends of pipes; what goes ahead (tank and
 * tractor) is a box of that width, up to the highest outlet but not higher than MACHINE_TOP_M, CLEAR_M above the
 * ground. The fan takes its air in from behind (common practice), through a round opening in the end of the housing.
 * Wheels and booms are left out.
 *
 * What the fan blows out it takes in: their sum is 0. */
#include "air/fan_machine.h"

#include <math.h>
#include <stdlib.h>

#include "air/outlets.h"
#include "base/between.h"
#include "base/elementary.h"
#include "base/status.h"

/* Choices. */
#define HOUSING_M 0.3
#define MACHINE_LENGTH_M 4.0
#define MACHINE_TOP_M 1.4
#define CLEAR_M 0.4
#define PIPE_SHARE 1.5      /* of its diameter: length of a spout's pipe */
#define INTAKE_SHARE 0.8    /* of the housing's half-width: radius of the opening */
#define INTAKE_HEIGHT_M 0.9 /* where no outlet is an arc */
#define INTENSITY 0.10
#define EDDY_SHARE 0.07
#define CMU_3_4 0.164316767 /* of FAN_CMU */
#define LEAST_FACING 0.25 /* of the air's direction along a slot's face: slots are not wider than 4 times their width */
enum { PLACES = 16 };     /* on a face along each of its sides, at which an outlet is looked for */

/* ---- body ---- */

/* The housing that the outlets are in. */
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

/* How far a place is beyond the opening of a spout along its air, and from the line through its middle. */
static double beyond_spout(const air_jet_start *spout, const double at_m[3], double *off_m)
{
    const double from_m[3] = {at_m[0] - spout->x_m, at_m[1], at_m[2] - spout->z_m}, *d = spout->direction;
    const double beyond_m = from_m[0] * d[0] + from_m[1] * d[1] + from_m[2] * d[2];
    const double squares = from_m[0] * from_m[0] + from_m[1] * from_m[1] + from_m[2] * from_m[2];
    *off_m = sqrt(fmax(squares - beyond_m * beyond_m, 0.0));
    return beyond_m;
}

static bool in_pipe(const drupelet_scenario *s, int heading, const double at_m[3])
{
    bool inside = false;
    for (int o = 0; o < s->sprayer.n_outlets; o++) {
        const scenario_outlet *outlet = &s->sprayer.outlet[o];
        if (outlet->kind != SCENARIO_SPOUT) continue;
        const air_jet_start spout = air_outlet_start(outlet, outlet->side * heading, 1.0, 0.0);
        double off_m;
        const double beyond_m = beyond_spout(&spout, at_m, &off_m);
        inside = inside
                 || (beyond_m < 0.0 && beyond_m > -PIPE_SHARE * outlet->diameter_m && off_m < 0.5 * outlet->diameter_m);
    }
    return inside;
}

static void set_body(const drupelet_scenario *s, const housing *h, int heading, air_fan_case *c)
{
    const double top_m = fmin(h->high_m, MACHINE_TOP_M);
    for (int i = 0; i < c->nx; i++)
        for (int j = 0; j < c->ny; j++)
            for (int k = 0; k < c->nz; k++) {
                const double at_m[3] = {air_fan_middle_m(c->x_face_m, i), air_fan_middle_m(c->y_face_m, j),
                                        air_fan_middle_m(c->z_face_m, k)};
                const bool beside = fabs(at_m[1]) < HOUSING_M && in_housing(s, h, at_m[0], at_m[2]);
                const bool ahead = at_m[1] >= HOUSING_M && at_m[1] < HOUSING_M + MACHINE_LENGTH_M
                                   && fabs(at_m[0]) < h->half_width_m && at_m[2] > CLEAR_M && at_m[2] < top_m;
                c->body[air_fan_cell(c, i, j, k)] = beside || ahead || in_pipe(s, heading, at_m);
            }
}

/* ---- outlets ---- */

/* The cells that get air, as many as there is room for. */
typedef struct {
    int n, room;
    air_fan_source *source;
} cells;

static drupelet_status add_cell(cells *all, air_fan_source source)
{
    if (all->n == all->room) {
        const int room = 2 * all->room + 64;
        air_fan_source *more = realloc(all->source, (size_t)room * sizeof *more);
        if (!more) return base_error(DRUPELET_MEMORY, "no memory for the fan air");
        all->source = more;
        all->room = room;
    }
    all->source[all->n++] = source;
    return base_ok();
}

typedef struct {
    const scenario_outlet *outlet;
    double outward; /* 1 where it faces +x, else -1 */
    air_jet_start start;
    double low_m, high_m; /* of a slot or an arc, along the travel */
} opening;

/* Angle above the outward horizontal, from -pi/2 to 3 pi/2. */
static double angle_of(double outward_m, double up_m)
{
    if (outward_m == 0.0) return up_m < 0.0 ? -0.5 * BASE_PI : 0.5 * BASE_PI;
    return base_atan(up_m / outward_m) + (outward_m < 0.0 ? BASE_PI : 0.0);
}

/* Is a place on a face of the body in the opening, and where does the air there go? */
static bool in_opening(const opening *o, double cell_m, const double at_m[3], double direction[3])
{
    const scenario_outlet *outlet = o->outlet;
    for (int d = 0; d < 3; d++)
        direction[d] = o->start.direction[d];
    if (outlet->kind == SCENARIO_SPOUT) {
        double off_m;
        return fabs(beyond_spout(&o->start, at_m, &off_m)) < cell_m && off_m < 0.5 * outlet->diameter_m;
    }
    if (at_m[1] < o->low_m || at_m[1] > o->high_m) return false;
    if (outlet->kind == SCENARIO_SLOT)
        return fabs(o->outward * at_m[0] - outlet->offset_m) < cell_m && at_m[2] > outlet->bottom_m
               && at_m[2] < outlet->top_m;
    const double up_m = at_m[2] - outlet->centre_height_m, r_m = base_hypot(at_m[0], up_m);
    const double angle = angle_of(o->outward * at_m[0], up_m);
    if (fabs(r_m - outlet->radius_m) >= cell_m || angle < outlet->from_rad || angle > outlet->to_rad) return false;
    direction[0] = at_m[0] / r_m;
    direction[2] = up_m / r_m;
    return true;
}

/* Adds what comes through the face of a cell: volume a second at a speed of 1, and that times the velocity.
 * @param axis, side of the face  */
static void add_face(const air_fan_case *c, const opening *o, const int at[3], int axis, int side, double sum[4])
{
    const double *const face_m[3] = {c->x_face_m, c->y_face_m, c->z_face_m};
    double low_m[3], size_m[3];
    for (int a = 0; a < 3; a++) {
        low_m[a] = face_m[a][at[a]];
        size_m[a] = face_m[a][at[a] + 1] - low_m[a];
    }
    const int one = axis == 0 ? 1 : 0, other = axis == 2 ? 1 : 2;
    const double area_m2 = size_m[one] * size_m[other] / (PLACES * PLACES);
    const double cell_m = fmax(size_m[0], fmax(size_m[2], o->outlet->kind == SCENARIO_SPOUT ? size_m[1] : 0.0));
    double place_m[3];
    place_m[axis] = low_m[axis] + (side > 0 ? size_m[axis] : 0.0);
    for (int m = 0; m < PLACES; m++)
        for (int n = 0; n < PLACES; n++) {
            double direction[3];
            place_m[one] = low_m[one] + (m + 0.5) / PLACES * size_m[one];
            place_m[other] = low_m[other] + (n + 0.5) / PLACES * size_m[other];
            if (!in_opening(o, cell_m, place_m, direction)) continue;
            const double through = fmax(-side * direction[axis], 0.0) * area_m2; /* the body is on that side */
            sum[0] += through;
            for (int d = 0; d < 3; d++)
                sum[1 + d] += through * direction[d];
        }
}

static bool is_body(const air_fan_case *c, const int at[3], int axis, int side)
{
    const int n[3] = {c->nx, c->ny, c->nz};
    int to[3] = {at[0], at[1], at[2]};
    to[axis] += side;
    return to[axis] >= 0 && to[axis] < n[axis] && c->body[air_fan_cell(c, to[0], to[1], to[2])];
}

/* Air that comes into a cell through faces of the body. An arc and a slot blow sideways and up only, a slot through its
 * upright faces. */
static void look_at_cell(const air_fan_case *c, const opening *o, const int at[3], double sum[4])
{
    for (int axis = 0; axis < 3; axis++) {
        if ((axis == 1 && o->outlet->kind != SCENARIO_SPOUT) || (axis == 2 && o->outlet->kind == SCENARIO_SLOT))
            continue;
        for (int side = -1; side <= 1; side += 2)
            if (is_body(c, at, axis, side)) add_face(c, o, at, axis, side, sum);
    }
}

/* Mean direction of an outlet's air. */
static void mean_direction(const opening *o, double mean[3])
{
    const scenario_outlet *outlet = o->outlet;
    const double half_rad = outlet->kind == SCENARIO_ARC ? 0.5 * (outlet->to_rad - outlet->from_rad) : 0.0;
    const air_jet_start middle = air_outlet_start(outlet, o->outward, 1.0, 0.5);
    for (int d = 0; d < 3; d++)
        mean[d] = (half_rad > 0.0 ? base_sin(half_rad) / half_rad : 1.0) * middle.direction[d];
}

/* Cells whose places are less than a cell's size off cannot be told from here: all that are near are looked at. */
static drupelet_status add_outlet(const air_fan_case *c, const scenario_outlet *outlet, double outward,
                                  double speed_m_s, double flow_m3_s, cells *all)
{
    opening o = {.outlet = outlet, .outward = outward, .start = air_outlet_start(outlet, outward, speed_m_s, 0.0)};
    /* a slot's air that leaves at an angle needs a wider opening for the same speed */
    const double facing = outlet->kind == SCENARIO_SLOT ? fmax(fabs(o.start.direction[0]), LEAST_FACING) : 1.0;
    o.high_m = 0.5 * outlet->slot_m / facing;
    o.low_m = -o.high_m;
    const double reach_m = outlet->kind == SCENARIO_SPOUT ? outlet->diameter_m : o.high_m;
    const int first = all->n;
    double flow = 0.0, momentum[3] = {0.0, 0.0, 0.0}, mean[3];
    drupelet_status status = base_ok();
    for (int i = 0; i < c->nx; i++)
        for (int j = 0; j < c->ny; j++) {
            if (c->y_face_m[j + 1] < -reach_m || c->y_face_m[j] > reach_m) continue;
            for (int k = 0; k < c->nz && status.code == DRUPELET_OK; k++) {
                double sum[4] = {0.0, 0.0, 0.0, 0.0};
                if (c->body[air_fan_cell(c, i, j, k)]) continue;
                look_at_cell(c, &o, (const int[3]){i, j, k}, sum);
                if (!(sum[0] > 0.0)) continue;
                air_fan_source to = {.i = i, .j = j, .k = k, .flow_m3_s = sum[0]};
                flow += sum[0];
                for (int d = 0; d < 3; d++) {
                    to.velocity_m_s[d] = sum[1 + d] / sum[0];
                    momentum[d] += sum[1 + d];
                }
                status = add_cell(all, to);
            }
        }
    mean_direction(&o, mean);
    if (status.code == DRUPELET_OK && all->n == first) { /* smaller than the cells: into the one in its middle */
        const air_jet_start middle = air_outlet_start(outlet, outward, speed_m_s, 0.5);
        const int i = base_point_below(c->nx + 1, c->x_face_m, fabs(middle.x_m));
        air_fan_source to = {.i = middle.x_m < 0.0 ? c->nx - 1 - i : i,
                             .j = base_point_below(c->ny + 1, c->y_face_m, 0.0),
                             .k = base_point_below(c->nz + 1, c->z_face_m, fmax(middle.z_m, 0.0)),
                             .flow_m3_s = flow = 1.0};
        for (int d = 0; d < 3; d++)
            momentum[d] = to.velocity_m_s[d] = mean[d];
        c->body[air_fan_cell(c, to.i, to.j, to.k)] = 0;
        status = add_cell(all, to);
    }
    const double sigma_m_s = INTENSITY * speed_m_s, k = 1.5 * sigma_m_s * sigma_m_s;
    for (int n = first; n < all->n && status.code == DRUPELET_OK; n++) {
        air_fan_source *to = &all->source[n];
        to->flow_m3_s *= flow_m3_s / flow;
        for (int d = 0; d < 3; d++)
            to->velocity_m_s[d] =
                speed_m_s * (to->velocity_m_s[d] + mean[d] - momentum[d] / flow) + (d == 1 ? c->travel_m_s : 0.0);
        to->k_m2_s2 = k;
        to->epsilon_m2_s3 = CMU_3_4 * k * sqrt(k) / (EDDY_SHARE * o.start.slot_m);
    }
    return status;
}

/* ---- intake ---- */

/* Cells of the opening: a layer behind the end of the housing. */
static drupelet_status add_intake(const air_fan_case *c, const housing *h, double flow_m3_s, cells *all)
{
    int j = base_point_below(c->ny + 1, c->y_face_m, -HOUSING_M);
    while (j > 0 && air_fan_middle_m(c->y_face_m, j) > -HOUSING_M) /* the last one that the housing does not hold */
        j--;
    /* a small housing still has an opening: the cells around its middle */
    const double radius_m = INTAKE_SHARE * h->half_width_m;
    const int middle = base_point_below(c->nz + 1, c->z_face_m, h->intake_m), first = all->n;
    double sum_m2 = 0.0;
    drupelet_status status = base_ok();
    for (int i = 0; i < c->nx; i++)
        for (int k = 0; k < c->nz && status.code == DRUPELET_OK; k++) {
            const double x_m = air_fan_middle_m(c->x_face_m, i), z_m = air_fan_middle_m(c->z_face_m, k);
            const bool least = k == middle && (i == c->nx / 2 || i == c->nx / 2 - 1);
            if (!least && base_hypot(x_m, z_m - h->intake_m) >= radius_m) continue;
            const double face_m2 = (c->x_face_m[i + 1] - c->x_face_m[i]) * (c->z_face_m[k + 1] - c->z_face_m[k]);
            sum_m2 += face_m2;
            c->body[air_fan_cell(c, i, j, k)] = 0;
            status = add_cell(all, (air_fan_source){.i = i, .j = j, .k = k, .flow_m3_s = -face_m2});
        }
    for (int n = first; n < all->n; n++)
        all->source[n].flow_m3_s *= flow_m3_s / sum_m2;
    return status;
}

drupelet_status air_fan_set_machine(const drupelet_scenario *s, const sprayer_work *work, const sprayer_pass *pass,
                                    air_fan_case *c)
{
    const housing h = housing_of(s, work);
    cells all = {0, 0, NULL};
    double flow_m3_s = 0.0;
    drupelet_status status = base_ok();
    set_body(s, &h, pass->heading, c);
    for (int o = 0; o < s->sprayer.n_outlets && status.code == DRUPELET_OK; o++) {
        const scenario_outlet *outlet = &s->sprayer.outlet[o];
        if (!air_outlet_blows(work, pass, outlet, o)) continue;
        const double of_it_m3_s = outlet->share * work->fan_flow_m3_s;
        flow_m3_s += of_it_m3_s;
        status = add_outlet(c, outlet, outlet->side * pass->heading, work->outlet_speed_m_s[o], of_it_m3_s, &all);
    }
    if (status.code == DRUPELET_OK) status = add_intake(c, &h, flow_m3_s, &all);
    free(c->source); /* which is empty so far */
    c->source = all.source;
    c->n_sources = status.code == DRUPELET_OK ? all.n : 0;
    return status;
}
