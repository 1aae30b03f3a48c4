/* sim/air/flow.c - the wind over rows of trees by the k-epsilon equations.
 *
 * div(U U) = -grad p + div(nu (grad U + grad U^T)) - c |U| U,  nu = Cmu k^2 / epsilon, c: drag coefficient times area
 * density, of leaves that give way what stands at the speed of their cell; k: production - epsilon + c (|U|^3 - bd |U|
 * k); epsilon: (Ce1 production - Ce2 epsilon) epsilon / k + c (C4 |U|^3 epsilon / k - C5 bd |U| epsilon). The constants
 * of the terms of the canopy and those that keep the logarithmic law belong together (G. G. Katul, L. Mahrt, D. Poggi,
 * C. Sanz, Boundary-Layer Meteorol. 113 (2004) 81; C. Sanz, Boundary-Layer Meteorol. 108 (2003) 191, alpha 0.05: the
 * formulas as read second hand, Cmu from k = 5.63 u*^2, sigma_epsilon from von Karman's constant of 0.40).
 *
 * Steps of false time: momentum and turbulence implicitly, column after column as the wind goes; then a pressure that
 * takes out the divergence. The length of a step cancels when nothing changes any more.
 *
 * The inflow is that of endless open ground: Monin and Obukhov's law for the wind, and k and epsilon that follow from
 * it: epsilon = u*^3 / (kappa z) (phi_m - zeta), nu = u* kappa z / phi_m (H. A. Panofsky, J. A. Dutton, 1984; memory).
 * On a mesh, and with stability, this is not quite a solution of the equations: factors of production, close to 1, make
 * it one, height by height (flow_inflow.c). flow_turbulence.c says what buoyancy does.
 */
#include "air/flow.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/flow_state.h"
#include "base/elementary.h"
#include "base/machine.h"
#include "base/status.h"
#include "air/yielding.h"

enum { MOST_ROUNDS = 3000, ROUNDS_APART = 10, PATIENCE = 90 };
/* Choices: measured on blocks, belts and forest edges in all directions, the fewest rounds. Steps are lengths of false
 * time, in m / u*; they shorten where changes do not fade. */
#define STEP_M 3.2
#define SHORTEST_STEP_M 0.1
/* Changes of the speed in a unit of false time, over the speed aloft: below the one it looks ahead, below the other
 * the wind has settled. */
#define QUIET_1_M 5e-3
#define STILL_1_M 5e-6
/* Steps are halved where in PATIENCE rounds changes hardly fell, below LITTLE, and go up and down by UNEVEN. */
#define LITTLE 0.8
#define UNEVEN 1.3
/* Looking ahead: the least share of a change that goes on, and the farthest reach. */
#define LEAST_SHARE 0.1
#define FARTHEST 6.0

static drupelet_status create(const air_flow_case *c, flow_state *s)
{
    *s = (flow_state){.c = c, .nx = c->nx, .nz = c->nz, .step_m = STEP_M};
    drupelet_status status = air_flow_mesh_create(c, &s->mesh);
    if (status.code == DRUPELET_OK) status = air_flow_inflow_create(c, &s->mesh, &s->inflow);
    if (status.code == DRUPELET_OK) status = air_flow_pressure_create(&s->mesh, &s->pressure);
    if (status.code == DRUPELET_OK) status = air_flow_room_create(&s->mesh, &s->room);
    if (status.code != DRUPELET_OK) return status;
    const size_t nx = (size_t)s->nx, nz = (size_t)s->nz, most = (nx + 1) * (nz + 1);
    double **const array[] = {&s->u,      &s->w,        &s->v,        &s->k,      &s->e,    &s->p,
                              &s->nu,     &s->nu_z,     &s->made,     &s->speed,  &s->drag, &s->flux_x,
                              &s->flux_z, &s->spread_x, &s->spread_z, &s->source, &s->sink, &s->edge};
    const size_t n = sizeof array / sizeof array[0];
    s->memory = calloc(n * most, sizeof *s->memory);
    if (!s->memory) return base_error(DRUPELET_MEMORY, "no memory for the wind");
    for (size_t i = 0; i < n; i++)
        *array[i] = s->memory + i * most;
    memcpy(s->drag, c->drag_1_m, nx * nz * sizeof *s->drag);
    return base_ok();
}

static void discard(flow_state *s)
{
    air_flow_mesh_free(&s->mesh);
    air_flow_inflow_free(&s->inflow);
    air_flow_pressure_free(s->pressure);
    air_flow_room_free(&s->room);
    free(s->memory);
}

/* The wind ahead, everywhere. */
static void begin(flow_state *s)
{
    for (int i = 0; i <= s->nx; i++)
        for (int k = 0; k < s->nz; k++) {
            const size_t at = flow_cell(s, i, k);
            s->u[at] = s->inflow.speed[k] * s->c->cos_angle;
            if (i == s->nx) continue;
            s->v[at] = s->inflow.speed[k] * s->c->sin_angle;
            s->k[at] = s->inflow.k[k];
            s->e[at] = s->inflow.epsilon[k];
        }
}

/* What stands in the wind at its speed. */
static void give_way(flow_state *s)
{
    const air_yielding leaves = {.per_turning_s_m = s->c->over_turning, .half_exponent = s->c->half_exponent};
    for (size_t i = 0; i < flow_cell(s, s->nx, 0); i++) {
        const double leaf_1_m = s->c->leaf_drag_1_m[i];
        if (leaf_1_m > 0.0) s->drag[i] = s->c->drag_1_m[i] + leaf_1_m * air_standing_share(&leaves, s->speed[i]);
    }
}

/* Eddy viscosity in the cells and on faces across z. */
BASE_WIDEST static void settle_viscosity(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    for (int i = 0; i < nx; i++) {
        const size_t at = flow_cell(s, i, 0);
        const double *energy = s->k + at, *e = s->e + at;
        double *nu = s->nu + at, *nu_z = s->nu_z + flow_face_z(s, i, 0);
        for (int k = 0; k < nz; k++)
            nu[k] = FLOW_CMU * energy[k] * energy[k] / e[k];
        nu_z[0] = nu[0];
        for (int k = 1; k < nz; k++)
            nu_z[k] = air_flow_between(nu[k - 1], nu[k]);
        nu_z[nz] = air_flow_between(nu[nz - 1], s->inflow.viscosity_top);
    }
}

/* Speed in the cells. */
BASE_WIDEST static void settle_speed(flow_state *s)
{
    const int nx = s->nx, nz = s->nz;
    for (int i = 0; i < nx; i++) {
        const size_t at = flow_cell(s, i, 0);
        const double *west = s->u + at, *east = west + nz, *w = s->w + at, *v = s->v + at;
        double *speed = s->speed + at;
        const double u = 0.5 * (west[0] + east[0]);
        speed[0] = sqrt(u * u + v[0] * v[0] + 0.25 * w[0] * w[0]);
        for (int k = 1; k < nz; k++) {
            const double across = 0.5 * (west[k] + east[k]), up = 0.5 * (w[k] + w[k - 1]);
            speed[k] = sqrt(across * across + v[k] * v[k] + up * up);
        }
    }
    if (s->c->over_turning > 0.0) give_way(s);
}

/* Not a number where a speed is none. */
static double greatest_change(const flow_state *s, const double *before)
{
    double most = 0.0;
    for (size_t i = 0; i < flow_cell(s, s->nx, 0); i++) {
        const double change = fabs(s->speed[i] - before[i]);
        most = change <= most ? most : change;
    }
    return most;
}

static drupelet_status keep(const flow_state *s, int n_rounds, air_flow **result)
{
    const drupelet_status status = air_flow_create(s->nx, s->nz, result);
    if (status.code != DRUPELET_OK) return status;
    air_flow *f = *result;
    f->n_rounds = n_rounds;
    memcpy(f->x_m, s->mesh.x.point, (size_t)s->nx * sizeof *f->x_m);
    memcpy(f->z_m, s->mesh.z.point, (size_t)s->nz * sizeof *f->z_m);
    for (int i = 0; i < s->nx; i++)
        for (int k = 0; k < s->nz; k++) {
            const size_t at = flow_cell(s, i, k);
            const double u = 0.5 * (s->u[at] + s->u[at + (size_t)s->nz]);
            f->u[at] = (float)u;
            f->v[at] = (float)s->v[at];
            f->w[at] = (float)(0.5 * (flow_up(s, i, k) + flow_up(s, i, k + 1)));
            f->k[at] = (float)s->k[at];
            f->epsilon[at] = (float)s->e[at];
            f->force[i] += s->drag[at] * s->speed[at] * u * s->mesh.x.size[i] * s->mesh.z.size[k];
        }
    return status;
}

/* What changes last changes by a constant share from round to round. Three states some rounds apart tell it, and
 * with it where the changes end (A. C. Aitken, Proc. R. Soc. Edinb. 46 (1926) 289; memory). Sums of winds without
 * divergence have none; k and epsilon, which must stay above 0, are at most halved or doubled. */
static void look_ahead(flow_state *s, const double *old, const double *middle, size_t n_values)
{
    double product = 0.0, square = 0.0;
    for (size_t i = 0; i < flow_cell(s, s->nx + 1, 0); i++) {
        const double first = middle[i] - old[i], second = s->u[i] - middle[i];
        product += first * second;
        square += first * first;
    }
    if (product < LEAST_SHARE * square || product > square) return;
    const double reach = fmin(product / fmax(square - product, 1e-9 * square), FARTHEST);
    for (size_t i = 0; i < n_values; i++) {
        const double now = s->u[i], next = now + reach * (now - middle[i]);
        const bool positive = s->u + i >= s->k && s->u + i < s->p;
        s->u[i] = positive ? fmin(fmax(next, 0.5 * now), 2.0 * now) : next;
    }
    settle_viscosity(s);
    settle_speed(s);
}

static void one_round(flow_state *s)
{
    flow_step_u(s);
    flow_step_w(s);
    flow_project(s);
    flow_step_v(s);
    settle_speed(s);
    flow_step_turbulence(s);
    settle_viscosity(s);
}

/* Rounds until nothing changes any more. @param room for three copies of what is solved for, n_values each */
static drupelet_status settle(flow_state *s, air_watch watch, double *room, size_t n_values, int *n_rounds)
{
    const double scale = s->inflow.speed[s->nz / 2];
    const size_t n_speeds = flow_cell(s, s->nx, 0);
    double *const before = room, *const old = room + n_values, *const middle = room + 2 * n_values;
    double change = 1.0, least = 1.0, earlier = 1.0; /* the least of the last PATIENCE rounds, of those before */
    begin(s);
    settle_viscosity(s);
    settle_speed(s);
    for (*n_rounds = 0; *n_rounds < MOST_ROUNDS && change > STILL_1_M;) {
        if (*n_rounds % ROUNDS_APART == 0 && watch.go_on && !watch.go_on(0.0, watch.user))
            return base_error(DRUPELET_STOPPED, "stopped before the end; no result was kept");
        memcpy(before, s->speed, n_speeds * sizeof *before);
        one_round(s);
        change = greatest_change(s, before) / (scale * s->step_m);
        const int turn = ++*n_rounds % (3 * ROUNDS_APART);
        if (turn == ROUNDS_APART) {
            memcpy(old, s->u, n_values * sizeof *old);
        } else if (turn == 2 * ROUNDS_APART) {
            memcpy(middle, s->u, n_values * sizeof *middle);
        } else if (turn == 0 && change < QUIET_1_M) {
            look_ahead(s, old, middle, n_values);
        }
        least = fmin(least, change);
        if (*n_rounds % PATIENCE == 0) {
            if (least > LITTLE * earlier && change > UNEVEN * least) s->step_m = fmax(0.5 * s->step_m, SHORTEST_STEP_M);
            earlier = least;
            least = 1.0;
        }
    }
    return change <= STILL_1_M /* not a number is not */
               ? base_ok()
               : base_error(DRUPELET_BALANCE,
                            "the wind over the block does not settle: after %d rounds it still changes "
                            "by %.2g of its speed in a metre's time",
                            *n_rounds, change);
}

drupelet_status air_flow_solve(const air_flow_case *c, air_flow **flow)
{
    return air_flow_solve_watched(c, (air_watch){NULL, NULL}, flow);
}

drupelet_status air_flow_solve_watched(const air_flow_case *c, air_watch watch, air_flow **flow)
{
    flow_state s;
    int n_rounds = 0;
    *flow = NULL;
    drupelet_status status = create(c, &s);
    const size_t n_values = status.code == DRUPELET_OK ? (size_t)(s.nu - s.u) : 0; /* u, w, v, k, epsilon, p */
    double *room = malloc(3 * n_values * sizeof *room + 1);
    if (status.code == DRUPELET_OK && !room) status = base_error(DRUPELET_MEMORY, "no memory for the wind");
    if (status.code == DRUPELET_OK) status = settle(&s, watch, room, n_values, &n_rounds);
    if (status.code == DRUPELET_OK) status = keep(&s, n_rounds, flow);
    free(room);
    discard(&s);
    return status;
}

drupelet_status air_flow_create(int nx, int nz, air_flow **flow)
{
    const size_t n = (size_t)nx * (size_t)nz;
    air_flow *f = *flow = calloc(1, sizeof *f);
    if (!f) return base_error(DRUPELET_MEMORY, "no memory for the wind");
    *f = (air_flow){.nx = nx,
                    .nz = nz,
                    .x_m = malloc((size_t)nx * sizeof(double)),
                    .z_m = malloc((size_t)nz * sizeof(double)),
                    .force = calloc((size_t)nx, sizeof(double)),
                    .u = malloc(5 * n * sizeof(float))};
    if (!f->x_m || !f->z_m || !f->force || !f->u) {
        air_flow_free(f);
        *flow = NULL;
        return base_error(DRUPELET_MEMORY, "no memory for the wind");
    }
    f->v = f->u + n;
    f->w = f->v + n;
    f->k = f->w + n;
    f->epsilon = f->k + n;
    return base_ok();
}

void air_flow_free(air_flow *f)
{
    if (!f) return;
    free(f->x_m);
    free(f->z_m);
    free(f->u);
    free(f->force);
    free(f);
}

drupelet_status air_flow_case_create(int nx, int nz, air_flow_case *c)
{
    *c = (air_flow_case){.nx = nx,
                         .nz = nz,
                         .x_face_m = calloc((size_t)nx + 1, sizeof(double)),
                         .z_face_m = calloc((size_t)nz + 1, sizeof(double)),
                         .drag_1_m = calloc((size_t)nx * (size_t)nz, sizeof(double)),
                         .leaf_drag_1_m = calloc((size_t)nx * (size_t)nz, sizeof(double))};
    return c->x_face_m && c->z_face_m && c->drag_1_m && c->leaf_drag_1_m
               ? base_ok()
               : base_error(DRUPELET_MEMORY, "no memory for the wind");
}

void air_flow_case_free(air_flow_case *c)
{
    free(c->x_face_m);
    free(c->z_face_m);
    free(c->drag_1_m);
    free(c->leaf_drag_1_m);
    *c = (air_flow_case){0};
}
