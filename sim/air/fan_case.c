/* sim/air/fan_case.c - which flow around the sprayer a scenario asks for: cells, wind, rows, outlets, and the machine.
 *
 * Jets are thin at first: the slot of an arc, 0.12 m, is less than a cell of the rows. So cells are small at the
 * outlets, and most along the travel, across the jets; they grow with the way from there as the jets do, by a tenth of
 * it. */
#include "air/fan_case.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/fan_axes.h"
#include "air/fan_machine.h"
#include "air/flow_constants.h"
#include "air/foliage.h"
#include "air/outlets.h"
#include "base/elementary.h"
#include "base/status.h"

/* Choices. Cells are as large as run.fan_air_cell says in the rows beside the sprayer and */
#define BESIDE_ROW_M 0.4   /* so far beyond their crowns, */
#define ABOVE_CANOPY_M 0.8 /* and so far above the trees; */
#define NEAR_SHARE 0.4     /* they are this share of it at the outlets */
#define NEAR_M 0.15        /* and so far around, */
#define SPOUT_SHARE 0.25   /* but at most this share of a spout's diameter; */
#define ALONG_SHARE 0.125  /* along the travel they are this share of it at the outlets, */
#define SLOT_SHARE 0.25    /* but at most this share of the narrowest slot, */
#define SLOT_HALF 0.7      /* from its middle over this share of its width, */
#define MOST_SLOT_M 0.2    /* or of this one where it is wider */
/* The same where cells have the edge DEFAULT_CELL_M, and with other edges in proportion: */
#define DEFAULT_CELL_M 0.2
#define GROWTH 0.10        /* from there on cells grow by so much a metre, */
#define BEHIND_GROWTH 0.08 /* by so much behind the sprayer, where the jets go, */
#define LARGEST_M 2.0      /* up to this */
#define ACROSS_M 14.0      /* from the sprayer to where the wind is taken to be undisturbed, */
#define ACROSS_ROWS 3.5    /* or so many row spacings where that is more, */
#define BEHIND_M 15.0
#define AHEAD_M 8.0
#define TOP_M 14.0
enum { PLACES = 64 }; /* of an outlet, which tell where it is */
#define MOST_CELLS 3e6
#define FINE_HEIGHT_M 0.1      /* steps in which the wind is read */
#define CLEAR_OF_ROUGHNESS 1.5 /* middle of the lowest cell over the roughness length, at least */

/* ---- mesh ---- */

/* Where outlets are, and how narrow the narrowest of them is: across the jet along the travel, and in the section. */
typedef struct {
    double across_m[2], up_m[2], slot_m, spout_m;
} outlets_place;

static outlets_place place_of(const drupelet_scenario *s)
{
    outlets_place p = {{INFINITY, 0.0}, {INFINITY, 0.0}, INFINITY, INFINITY};
    for (int o = 0; o < s->sprayer.n_outlets; o++) {
        const scenario_outlet *outlet = &s->sprayer.outlet[o];
        const bool spout = outlet->kind == SCENARIO_SPOUT;
        const double half_m = spout ? 0.5 * outlet->diameter_m : 0.0;
        p.slot_m = fmin(p.slot_m, spout ? outlet->diameter_m : outlet->slot_m);
        if (spout) p.spout_m = fmin(p.spout_m, outlet->diameter_m);
        for (int n = 0; n <= PLACES; n++) {
            const air_jet_start start = air_outlet_start(outlet, 1.0, 1.0, (double)n / PLACES);
            p.across_m[0] = fmin(p.across_m[0], fmax(fabs(start.x_m) - half_m, 0.0));
            p.across_m[1] = fmax(p.across_m[1], fabs(start.x_m) + half_m);
            p.up_m[0] = fmin(p.up_m[0], fmax(start.z_m - half_m, 0.0));
            p.up_m[1] = fmax(p.up_m[1], start.z_m + half_m);
        }
    }
    return p;
}

/* Faces across the rows: those of one side and their images. */
static drupelet_status faces_across(double to_m, const air_fan_stretch stretch[2], double most_m, int *n,
                                    double **face_m)
{
    double *half_m = NULL;
    int n_half = 0;
    drupelet_status status = air_fan_faces(0.0, to_m, 2, stretch, most_m, &n_half, &half_m);
    *n = 2 * n_half;
    *face_m = malloc(((size_t)*n + 1) * sizeof **face_m);
    if (status.code == DRUPELET_OK && !*face_m) status = base_error(DRUPELET_MEMORY, "no memory for the fan air");
    for (int i = 0; i <= n_half && status.code == DRUPELET_OK; i++) {
        (*face_m)[n_half - i] = -half_m[i];
        (*face_m)[n_half + i] = half_m[i];
    }
    free(half_m);
    return status;
}

typedef struct {
    int n[3];
    double *face_m[3];
} mesh;

/* Joins the lowest cells until the middle of the lowest stands clear of what makes the ground rough, which the law of
 * the wall asks for; fine cells at low outlets would reach the ground. */
static void clear_of_ground(double roughness_m, int *n, double *face_m)
{
    while (*n > 2 && 0.5 * face_m[1] < CLEAR_OF_ROUGHNESS * roughness_m) {
        memmove(face_m + 1, face_m + 2, (size_t)(*n - 1) * sizeof *face_m);
        --*n;
    }
}

static drupelet_status mesh_of(const drupelet_scenario *s, mesh *m)
{
    const double cell_m = s->run.fan_air_cell_m, spacing_m = s->orchard.row_spacing_m,
                 per_cell = cell_m / DEFAULT_CELL_M;
    const outlets_place at = place_of(s);
    const double near_m = fmin(NEAR_SHARE * cell_m, SPOUT_SHARE * per_cell * at.spout_m);
    const double along_m = fmin(ALONG_SHARE * cell_m, SLOT_SHARE * per_cell * at.slot_m);
    const double growth = GROWTH * per_cell, behind = BEHIND_GROWTH * per_cell, most_m = LARGEST_M * per_cell;
    const double row_m = 0.5 * spacing_m + 0.5 * s->canopy.width_m + BESIDE_ROW_M;
    const double top_m = s->canopy.height_m + ABOVE_CANOPY_M, half_m = SLOT_HALF * fmin(at.slot_m, MOST_SLOT_M);
    const air_fan_stretch across[2] = {{at.across_m[0], at.across_m[1] + NEAR_M, near_m, growth, growth},
                                       {0.0, row_m, cell_m, growth, growth}};
    const air_fan_stretch along = {-half_m, half_m, along_m, behind, growth};
    const air_fan_stretch up[2] = {{at.up_m[0] - NEAR_M, at.up_m[1] + NEAR_M, near_m, growth, growth},
                                   {0.0, top_m, cell_m, growth, growth}};
    drupelet_status status =
        faces_across(fmax(ACROSS_M, ACROSS_ROWS * spacing_m), across, most_m, &m->n[0], &m->face_m[0]);
    if (status.code == DRUPELET_OK)
        status = air_fan_faces(-BEHIND_M, AHEAD_M, 1, &along, most_m, &m->n[1], &m->face_m[1]);
    if (status.code == DRUPELET_OK) status = air_fan_faces(0.0, top_m + TOP_M, 2, up, most_m, &m->n[2], &m->face_m[2]);
    if (status.code == DRUPELET_OK) clear_of_ground(s->weather.roughness_m, &m->n[2], m->face_m[2]);
    return status;
}

static void free_mesh(mesh *m)
{
    for (int a = 0; a < 3; a++)
        free(m->face_m[a]);
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
        place[i] = (air_ambient_place){
            pass->x_m + air_fan_middle_m(c->x_face_m, i),
            i > 0 ? air_fan_middle_m(c->x_face_m, i) - air_fan_middle_m(c->x_face_m, i - 1) : LARGEST_M,
            i + 1 < c->nx ? air_fan_middle_m(c->x_face_m, i + 1) - air_fan_middle_m(c->x_face_m, i) : LARGEST_M};
    if (status.code == DRUPELET_OK) status = air_ambient_fill(ambient, c->nx, place, n_heights, FINE_HEIGHT_M, state);
    for (int i = 0; i < c->nx && status.code == DRUPELET_OK; i++)
        for (int k = 0; k < c->nz; k++) {
            const double f = air_fan_middle_m(c->z_face_m, k) / FINE_HEIGHT_M;
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
    mesh m = {0};
    int pass[SCENARIO_ROWS + 1];
    const int n = passes_of(sharing, work->n_passes, i_flow, pass);
    const sprayer_pass *middle = &work->pass[pass[n / 2]];
    *c = (air_fan_case){0};
    drupelet_status status = mesh_of(s, &m);
    const int nx = m.n[0], ny = m.n[1], nz = m.n[2];
    if (status.code == DRUPELET_OK && (double)nx * ny * nz > MOST_CELLS)
        status = base_error(DRUPELET_SCENARIO,
                            "run.fan_air_cell: too fine for this orchard: %.3g million cells, of at most %g",
                            1e-6 * nx * ny * nz, 1e-6 * MOST_CELLS);
    if (status.code == DRUPELET_OK) status = air_fan_case_create(nx, ny, nz, 0, c);
    if (status.code == DRUPELET_OK) {
        memcpy(c->x_face_m, m.face_m[0], ((size_t)nx + 1) * sizeof *c->x_face_m);
        memcpy(c->y_face_m, m.face_m[1], ((size_t)ny + 1) * sizeof *c->y_face_m);
        memcpy(c->z_face_m, m.face_m[2], ((size_t)nz + 1) * sizeof *c->z_face_m);
    }
    free_mesh(&m);
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
    return status.code == DRUPELET_OK ? air_fan_set_machine(s, work, middle, c) : status;
}
