/* sim/air/sheet.c - from jet lines to a grid.
 *
 * The sheet of an outlet lies across the travel direction, so over each (x, z) column of nodes it has one middle, one
 * thickness and one axis velocity: means of the sheet's points that fall there. Along the column the profile follows: 1
 * in the core, Gaussian edges. A sheet thinner than the grid can carry is widened at the same momentum. Each strip
 * between two lines keeps the width that its momentum was worked out for, so a column that it covers in part holds that
 * part of the momentum. Strips that come down crowd on the ground: what finds no room there lies on top, as deflected
 * air does; strips that wind or travel crowds aloft do not add up. Turbulence on
 * the axis: k = 0.063 Ue^2, flat to one half-width, then like the profile: rms 0.25 along and 0.18 across, measured on
 * a slot (tests/data/jet_axis_turbulence.csv); recalled values of plane jets are 0.06 to 0.09 (E. Gutmark, I.
 * Wygnanski, J. Fluid Mech. 73 (1976) 465; memory). Dissipation 0.016 Ue^3 / b (S. B. Pope, Turbulent Flows, 2000,
 * section 5.3; memory, published range 0.012 to 0.025). */
#include "air/outlets.h"

#include <math.h>
#include <stdlib.h>

#include "base/machine.h"
#include "base/status.h"
#include "base/vector_math.h"

#define THINNEST_IN_STEPS 0.8 /* half-width over the grid's step along the travel direction */
#define REACH_HALF_WIDTHS 4.0 /* beyond its core; there the profile is below 2e-5 */
#define MOST_STRETCH 3.0      /* a sheet seen obliquely looks wider along the travel direction */

typedef struct {
    float area_m2, y_m, core_m, half_width_m, excess[3], stretch; /* sums weighted by area, then means */
} column;
enum { COLUMN_SUMS = 8 };
_Static_assert(sizeof(column) == COLUMN_SUMS * sizeof(float), "put() takes a column for so many numbers");

static air_jet_point between(const air_jet_point *a, const air_jet_point *b, double t)
{
    air_jet_point p;
    const double *from = (const double *)a, *to = (const double *)b;
    double *here = (double *)&p; /* all of a point are doubles */
    for (size_t c = 0; c < sizeof p / sizeof *here; c++)
        here[c] = from[c] + t * (to[c] - from[c]);
    return p;
}

/* Length across and up. */
static double flat_m(double x_m, double z_m)
{
    return sqrt(x_m * x_m + z_m * z_m);
}

/* Distance between two lines, across the first one's direction. */
static double apart_m(const air_jet_point *a, const air_jet_point *b)
{
    const double flat = flat_m(a->tangent[0], a->tangent[2]);
    const double area = a->tangent[0] * (b->z_m - a->z_m) - a->tangent[2] * (b->x_m - a->x_m);
    return fabs(area) / fmax(flat, 0.1);
}

/* Shares the air of a piece of a strip, a share of one step long, among the four columns around it.
 * @param outlet_m width of the strip at the outlet */
static void put(const air_grid *g, column *columns, const air_jet_point *p, double outlet_m, int pieces)
{
    const double fx = (p->x_m - g->x_first_m) / g->dx_m, fz = p->z_m / g->dz_m;
    const int i0 = (int)floor(fx), k0 = (int)floor(fz);
    const double flat = flat_m(p->tangent[0], p->tangent[2]), seen_m = AIR_JET_STEP_M * flat; /* side on */
    const double area_m2 = seen_m * outlet_m * p->width_ratio / pieces;
    const column mean = {1.0f, (float)p->y_m, (float)p->core_m, (float)p->half_width_m,
                         {(float)p->excess[0], (float)p->excess[1], (float)p->excess[2]},
                         (float)fmin(MOST_STRETCH, 1.0 / fmax(flat, 0.1))};
    const float *more = (const float *)&mean;
    for (int dk = 0; dk < 2; dk++)
        for (int di = 0; di < 2; di++) {
            const int i = i0 + di, k = k0 + dk;
            if (i < 0 || i >= g->nx || k < 0 || k >= g->nz)
                continue;
            const float w = (float)(area_m2 * (di ? fx - i0 : 1.0 - (fx - i0)) * (dk ? fz - k0 : 1.0 - (fz - k0)));
            float *sum = (float *)&columns[k * g->nx + i];
#pragma omp simd
            for (int c = 0; c < COLUMN_SUMS; c++)
                sum[c] += w * more[c];
        }
}

/* Does nothing between two points come near a node? */
static bool off_grid(const air_grid *g, const air_jet_point *a, const air_jet_point *b)
{
    const double low_m = g->x_first_m - g->dx_m, high_m = g->x_first_m + g->nx * g->dx_m, top_m = g->nz * g->dz_m;
    return fmax(a->x_m, b->x_m) < low_m || fmin(a->x_m, b->x_m) > high_m || fmin(a->z_m, b->z_m) > top_m;
}

static double node_area_m2(const air_grid *g, int k)
{
    return g->dx_m * g->dz_m * (k > 0 ? 1.0 : 0.5); /* a node on the ground owns half a cell */
}

/* Moves what a column holds beyond its area to the one above, from the ground up to the first that has room. */
static void stack(const air_grid *g, column *columns, int i)
{
    for (int k = 0; k + 1 < g->nz; k++) {
        column *here = &columns[k * g->nx + i], *above = &columns[(k + 1) * g->nx + i];
        const float too_much = here->area_m2 - (float)node_area_m2(g, k);
        if (too_much <= 0.0f)
            return;
        const float moves = too_much / here->area_m2, stays = 1.0f - moves;
        float *from = (float *)here, *to = (float *)above; /* sums only */
        for (size_t c = 0; c < sizeof *here / sizeof *from; c++) {
            to[c] += moves * from[c];
            from[c] *= stays;
        }
    }
}

/* What a column gives to its nodes. */
typedef struct {
    float from_m, step_m;          /* of the first node, off the sheet's middle, and on to the next */
    float core_m, half_width_m, ln2_per_b2_1_m2;
    float across, along, up, square; /* momentum on the axis, |e| e and e^2, m2/s2 */
    float variance, dissipation;
} bell;

BASE_WIDEST static void add_bell(const bell *c, int n, float *restrict u, float *restrict v, float *restrict w,
                                 float *restrict squares, float *restrict variance, float *restrict dissipation)
{
    const bell a = *c;
#pragma omp simd
    for (int j = 0; j < n; j++) {
        const float past = fabsf(a.from_m + (float)j * a.step_m) - a.core_m, off = past > 0.0f ? past : 0.0f;
        const float outer = off > a.half_width_m ? off - a.half_width_m : 0.0f;
        const float momentum = base_expf_within(-2.0f * a.ln2_per_b2_1_m2 * off * off);
        const float turbulent = base_expf_within(-a.ln2_per_b2_1_m2 * outer * outer);
        u[j] += momentum * a.across;
        v[j] += momentum * a.along;
        w[j] += momentum * a.up;
        squares[j] += momentum * a.square;
        variance[j] += turbulent * a.variance;
        dissipation[j] += turbulent * a.dissipation;
    }
}

/* Fills one column of nodes from its means. @param cover share of the column's area that the sheet takes */
static void fill(const air_grid *g, air_excess *e, size_t first, const column *c, double cover, double slot_m)
{
    const double mean = 1.0 / (double)c->area_m2, stretch = (double)c->stretch * mean;
    const double y_m = (double)c->y_m * mean, core_m = (double)c->core_m * mean * stretch;
    const double b_true_m = (double)c->half_width_m * mean, b_seen_m = b_true_m * stretch;
    const double b_m = fmax(b_seen_m, THINNEST_IN_STEPS * g->dy_m);
    const double thinner2 =
        (2.0 * core_m + AIR_JET_MOMENTUM * b_seen_m) / (2.0 * core_m + AIR_JET_MOMENTUM * b_m) * cover;
    double speed2 = 0.0;
    for (int d = 0; d < 3; d++)
        speed2 += (double)c->excess[d] * mean * (double)c->excess[d] * mean;
    const double axis_m_s = sqrt(speed2);
    /* nodes within REACH_HALF_WIDTHS of the core */
    const double reach_m = core_m + REACH_HALF_WIDTHS * b_m, middle = (y_m - g->y_first_m) / g->dy_m;
    const int low = (int)fmin(fmax(ceil(middle - reach_m / g->dy_m), 0.0), g->ny);
    const int high = (int)fmin(fmax(floor(middle + reach_m / g->dy_m), -1.0), g->ny - 1);
    if (low > high)
        return;
    const double pull = thinner2 * axis_m_s * mean;
    const bell here = {.from_m = (float)((low - middle) * g->dy_m),
                       .step_m = (float)g->dy_m,
                       .core_m = (float)core_m,
                       .half_width_m = (float)b_m,
                       .ln2_per_b2_1_m2 = (float)(AIR_LN_2 / (b_m * b_m)),
                       .across = (float)(pull * (double)c->excess[0]),
                       .along = (float)(pull * (double)c->excess[1]),
                       .up = (float)(pull * (double)c->excess[2]),
                       .square = (float)(thinner2 * speed2),
                       .variance = (float)(2.0 / 3.0 * AIR_SHEET_AXIS_ENERGY * speed2 * cover),
                       .dissipation = (float)(AIR_SHEET_AXIS_DISSIPATION * speed2 * axis_m_s
                                              / fmax(b_true_m, 0.5 * slot_m) * cover)};
    const size_t n = first + (size_t)low;
    add_bell(&here, high - low + 1, e->u_m_s + n, e->v_m_s + n, e->w_m_s + n, e->squares_m2_s2 + n,
             e->variance_m2_s2 + n, e->dissipation_m2_s3 + n);
}

/* Lays a strip between two lines of n points into the columns, in pieces no wider than half a cell. */
BASE_WIDEST static void add_strip(const air_grid *g, column *columns, int n, const air_jet_point *one,
                                  const air_jet_point *other)
{
    const double outlet_m = n > 0 ? apart_m(&one[0], &other[0]) : 0.0;
    for (int s = 0; s < n; s++) {
        const air_jet_point *a = &one[s], *b = &other[s];
        if (off_grid(g, a, b))
            continue;
        const int pieces = 1 + (int)(flat_m(b->x_m - a->x_m, b->z_m - a->z_m) / (0.4 * g->dx_m));
        for (int q = 0; q < pieces; q++) {
            const air_jet_point p = between(a, b, (q + 0.5) / pieces);
            put(g, columns, &p, outlet_m, pieces);
        }
    }
}

drupelet_status air_sheet_add(const air_grid *g, air_excess *excess, int n_lines,
                              const air_jet_point (*line)[AIR_JET_POINTS], const int *n_points, double slot_m)
{
    column *columns = calloc((size_t)g->nx * (size_t)g->nz, sizeof *columns);
    if (!columns)
        return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    for (int l = 0; l + 1 < n_lines; l++)
        add_strip(g, columns, n_points[l] < n_points[l + 1] ? n_points[l] : n_points[l + 1], line[l], line[l + 1]);
    for (int i = 0; i < g->nx; i++)
        stack(g, columns, i);
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++) {
            const column *c = &columns[k * g->nx + i];
            if (c->area_m2 > 0.0f)
                fill(g, excess, air_node(g, k, i, 0), c, fmin(1.0, (double)c->area_m2 / node_area_m2(g, k)),
                     slot_m);
        }
    free(columns);
    return base_ok();
}
