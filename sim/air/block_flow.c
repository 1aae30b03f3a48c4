/* sim/air/block_flow.c - which section of wind a scenario asks for: where its cells are, and what stands in them.
 *
 * Each row stands in the section as it was grown or measured, by the mean along the row of its drag coefficient times
 * area density; that of leaves which give way to the wind apart from the rest. Grass is in the roughness of the ground.
 * Left out: that crowns differ along the row, and that rows have ends. */
#include "air/block_flow.h"

#include <math.h>
#include <stdlib.h>

#include "air/wind.h"
#include "base/elementary.h"
#include "base/status.h"
#include "air/yielding.h"

/* Choices. Cells half as large in both directions change the wind in and behind an apple wall by 1 % at most, within
 * half a metre of the ground behind it by 3 %; cells of a fifth of the row spacing in place of a tenth by 1 %
 * (measured). A log law needs the middle of the lowest cell well above the roughness. */
#define CELLS_A_ROW 13       /* in and near the block, from row to row, */
#define ACROSS_M 0.7         /* not larger than this; */
#define FEWEST_CELLS_A_ROW 5 /* down to so many where a big block would have more */
#define MOST_COLUMNS 340     /* than these */
#define GROWTH_ACROSS 1.05   /* from cell to cell ahead and behind, */
#define LARGEST_M 5.0        /* as far as this */
#define AROUND_M 100.0       /* open ground ahead and behind, at least, */
#define AROUND_HEIGHTS 20.0  /* or so many heights of the canopy */
#define BEYOND_DOMAIN_M 20.0 /* behind what droplets can reach */
#define UP_M 0.2             /* height of the cells in the canopy, */
#define HEIGHT_OVER_UP 18.0  /* or so little of it where that is more, */
#define EVEN_ABOVE_M 1.0     /* and as far above it; */
#define ROUGHNESSES 4.0      /* the lowest has so many roughness lengths at least */
#define GROWTH_UP 1.09       /* above */
#define TOP_M 110.0          /* of the section, at least, */
#define TOP_HEIGHTS 25.0     /* or so many heights of the canopy */
#define STRAIGHT 1e-9        /* a smaller sine or cosine of the angle comes from rounding */

air_block_sides air_block_sides_of(const drupelet_scenario *scenario)
{
    const double angle = scenario->weather.wind_angle_rad;
    return (air_block_sides){base_cos(angle) < 0.0 ? -1.0 : 1.0, base_sin(angle) < 0.0 ? -1.0 : 1.0};
}

/* Cells that grow away from the block over a distance. @param end_m out: how far they reach; NULL: not asked for */
static int cells_outward(double first_m, double distance_m, double from_m, double sense, double *face_m)
{
    int n = 0;
    double size_m = first_m;
    for (double way_m = 0.0; way_m < distance_m; n++) {
        size_m = fmin(size_m * GROWTH_ACROSS, fmax(LARGEST_M, first_m));
        way_m += size_m;
        if (face_m) face_m[n] = from_m + sense * way_m;
    }
    return n;
}

typedef struct {
    double low_m, high_m; /* between these, in x of the section, cells are even */
    double across_m;
    double ahead_m, behind_m;
    int n_even, n_ahead, n_behind;
} columns;

static columns lay_columns(const drupelet_scenario *s, double side_across)
{
    const scenario_orchard *o = &s->orchard;
    const double low_m = scenario_low_edge_x_m(o), high_m = scenario_high_edge_x_m(o), h = s->canopy.height_m;
    columns c = {.ahead_m = fmax(AROUND_M, AROUND_HEIGHTS * h)};
    c.behind_m = fmax(c.ahead_m, s->run.open_ground_m + BEYOND_DOMAIN_M);
    for (int per_row = (int)fmax(CELLS_A_ROW, ceil(o->row_spacing_m / ACROSS_M)); per_row >= FEWEST_CELLS_A_ROW;
         per_row--) {
        c.across_m = o->row_spacing_m / per_row;
        const int n_near = (int)ceil(h / c.across_m); /* a height of the canopy on either side */
        c.n_even = o->n_rows * per_row + 2 * n_near;
        const double middle_m = side_across * 0.5 * (low_m + high_m), half_m = 0.5 * c.n_even * c.across_m;
        c.low_m = middle_m - half_m;
        c.high_m = middle_m + half_m;
        c.n_ahead = cells_outward(c.across_m, c.ahead_m, 0.0, 1.0, NULL);
        c.n_behind = cells_outward(c.across_m, c.behind_m, 0.0, 1.0, NULL);
        if (c.n_even + c.n_ahead + c.n_behind <= MOST_COLUMNS) break;
    }
    return c;
}

static drupelet_status fill_across(const columns *c, double *face_m)
{
    double *ahead_m = malloc((size_t)c->n_ahead * sizeof *ahead_m);
    if (!ahead_m) return base_error(DRUPELET_MEMORY, "no memory for the wind");
    cells_outward(c->across_m, c->ahead_m, c->low_m, -1.0, ahead_m);
    for (int i = 0; i < c->n_ahead; i++)
        face_m[i] = ahead_m[c->n_ahead - 1 - i];
    for (int i = 0; i <= c->n_even; i++)
        face_m[c->n_ahead + i] = c->low_m + i * c->across_m;
    cells_outward(c->across_m, c->behind_m, c->high_m, 1.0, face_m + c->n_ahead + c->n_even + 1);
    free(ahead_m);
    return base_ok();
}

/* Faces from the ground up. @param face_m NULL: they are only counted */
static int fill_up(const drupelet_scenario *s, double *face_m)
{
    const double h = s->canopy.height_m, top_m = fmax(fmax(TOP_M, TOP_HEIGHTS * h), s->run.domain_top_m);
    const double even_m = fmax(UP_M, h / HEIGHT_OVER_UP);
    double z_m = 0.0, size_m = fmax(even_m, ROUGHNESSES * s->weather.roughness_m);
    int n = 0;
    if (face_m) face_m[0] = 0.0;
    while (z_m < top_m) {
        z_m += size_m;
        size_m = z_m < h + EVEN_ABOVE_M ? even_m : size_m * GROWTH_UP;
        n++;
        if (face_m) face_m[n] = z_m;
    }
    return n;
}

/* The first cell that reaches beyond a place. */
static int cell_of(int n, const double *face_m, double place_m)
{
    int i = 0;
    while (i < n && face_m[i + 1] <= place_m)
        i++;
    return i;
}

/* Spreads the drag of a column of voxels over the cells by the area in which they overlap. */
static void add_drag(const orchard_canopy *canopy, double west_m, const double *drag_1_m, const air_flow_case *c,
                     double *to_1_m)
{
    const double edge_m = canopy->edge_m, east_m = west_m + edge_m;
    for (int i = cell_of(c->nx, c->x_face_m, west_m); i < c->nx && c->x_face_m[i] < east_m; i++) {
        const double share_x =
            (fmin(east_m, c->x_face_m[i + 1]) - fmax(west_m, c->x_face_m[i])) / (c->x_face_m[i + 1] - c->x_face_m[i]);
        for (int iz = 0; iz < canopy->nz; iz++) {
            const double low_m = iz * edge_m, high_m = low_m + edge_m;
            for (int k = cell_of(c->nz, c->z_face_m, low_m); k < c->nz && c->z_face_m[k] < high_m; k++)
                to_1_m[i * c->nz + k] += share_x * drag_1_m[iz]
                                         * (fmin(high_m, c->z_face_m[k + 1]) - fmax(low_m, c->z_face_m[k]))
                                         / (c->z_face_m[k + 1] - c->z_face_m[k]);
        }
    }
}

static drupelet_status fill_drag(const drupelet_scenario *s, const orchard_canopy *canopy, double side_across,
                                 air_flow_case *c)
{
    double *drag_1_m = malloc(2 * (size_t)canopy->nz * sizeof *drag_1_m), *leaf_1_m = drag_1_m + canopy->nz;
    if (!drag_1_m) return base_error(DRUPELET_MEMORY, "no memory for the wind");
    const bool gives_way = c->over_turning > 0.0;
    for (int row = 0; row < canopy->n_rows; row++)
        for (int ix = 0; ix < canopy->nx; ix++) {
            for (int iz = 0; iz < canopy->nz; iz++) {
                double sum = 0.0, leaf_sum = 0.0;
                for (int iy = 0; iy < canopy->ny; iy++) {
                    const int64_t at = (((int64_t)row * canopy->nz + iz) * canopy->ny + iy) * canopy->nx + ix;
                    const double of_leaves_1_m = (double)canopy->leaf_area_density_1_m[at];
                    sum += orchard_drag_1_m(&s->canopy, gives_way ? 0.0 : of_leaves_1_m,
                                            (double)canopy->wood_area_density_1_m[at]);
                    leaf_sum += orchard_drag_1_m(&s->canopy, of_leaves_1_m, 0.0);
                }
                drag_1_m[iz] = sum / canopy->ny;
                leaf_1_m[iz] = leaf_sum / canopy->ny;
            }
            const double low_m = -row * canopy->row_spacing_m - canopy->half_width_m + ix * canopy->edge_m;
            const double west_m = side_across > 0.0 ? low_m : -low_m - canopy->edge_m;
            add_drag(canopy, west_m, drag_1_m, c, c->drag_1_m);
            if (gives_way) add_drag(canopy, west_m, leaf_1_m, c, c->leaf_drag_1_m);
        }
    free(drag_1_m);
    return base_ok();
}

static bool has_leaves(const orchard_canopy *canopy)
{
    bool any = false;
    for (int v = 0; v < canopy->nz * canopy->nx; v++)
        any = any || canopy->leaf_drag_1_m[v] > 0.0;
    return any;
}

drupelet_status air_block_flow_case(const drupelet_scenario *s, const orchard_canopy *canopy, air_flow_case *c)
{
    const air_block_sides sides = air_block_sides_of(s);
    const columns across = lay_columns(s, sides.side_across);
    drupelet_status status =
        air_flow_case_create(across.n_ahead + across.n_even + across.n_behind, fill_up(s, NULL), c);
    if (status.code == DRUPELET_OK) status = fill_across(&across, c->x_face_m);
    if (status.code == DRUPELET_OK) {
        const double cosine = fabs(base_cos(s->weather.wind_angle_rad));
        const double sine = fabs(base_sin(s->weather.wind_angle_rad));
        fill_up(s, c->z_face_m);
        c->roughness_m = s->weather.roughness_m;
        const air_wind wind = air_wind_of(s);
        const air_yielding leaves = air_yielding_of(&s->canopy);
        c->per_obukhov_1_m = wind.per_obukhov_open_1_m;
        if (leaves.of_wind > 0.0 && has_leaves(canopy)) { /* otherwise one solution serves all speeds */
            c->over_turning = leaves.per_turning_s_m * wind.friction_open_m_s;
            c->half_exponent = leaves.half_exponent;
        }
        c->cos_angle = cosine < STRAIGHT ? 0.0 : sine < STRAIGHT ? 1.0 : cosine;
        c->sin_angle = sine < STRAIGHT ? 0.0 : cosine < STRAIGHT ? 1.0 : sine;
        status = fill_drag(s, canopy, sides.side_across, c);
    }
    return status;
}
