/* sim/air/projection.c - the change of least cost that takes the divergence out of a grid of nodes.
 *
 * Cost: the square of the change, with a change along the sheet of fan air (x and z) ten times as dear as one across it
 * (y). A thin jet entrains across its sheet; at equal cost the correction would slow its axis by a tenth. With e = 0.1
 * that is d/dx(e dphi/dx) + d2phi/dy2 + d/dz(e dphi/dz) = div(u), u := u - (e dphi/dx, dphi/dy, e dphi/dz).
 *
 * Faces carry the mean of their two nodes; nothing passes the grid's outer faces, so that what the jets move comes back
 * within the grid and no air, and no droplet with it, piles up where the grid ends. Cosine transforms along x and y
 * (cosine.c) make the equation one tridiagonal system along z a wave number (Thomas algorithm), whose factors are the
 * same for all passes. Each layer is transformed and eliminated at once, from the ground up, and on the way down it is
 * substituted and transformed back. Nodes at the ground own half a cell. The correction is taken as the mean of a
 * node's two faces, so that jets stay as sharp as they came: the divergence left over is of second order in the cell.
 */
#include "air/projection.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/cosine.h"
#include "base/elementary.h"
#include "base/machine.h"
#include "base/status.h"

#define ALONG_SHEET 0.1f /* e; choice */
enum { LINE = 64 /* bytes; rows are as long as whole ones, and vectors should not lie across two */ };

struct air_projection {
    air_grid grid;
    air_cosine x, y;
    int row_y, waves_y; /* floats that a row of nodes and a row of wave numbers take */
    size_t layer;       /* the same of a layer of wave numbers [nx][waves_y] */
    float *factor;      /* [nz][nx][waves_y]: of the upper neighbour in the tridiagonal system, after elimination */
};

/* Squared wave number m of a row of n nodes, as differences of neighbours see it, 1/m2. */
static double wave_1_m2(int m, int n, double step_m)
{
    return (2.0 - 2.0 * base_cos(BASE_PI * m / n)) / (step_m * step_m);
}

/* Factors of the systems along z for all wave numbers. */
BASE_WIDEST static void make_factors(air_projection *p)
{
    const air_grid *g = &p->grid;
    const float z2 = ALONG_SHEET * (float)(1.0 / (g->dz_m * g->dz_m));
    for (int l = 0; l < g->ny; l++) {
        const int at = l / 2 + (l % 2 ? p->y.even_row : 0);
        const double across = wave_1_m2(l, g->ny, g->dy_m);
        for (int m = 0; m < g->nx; m++) /* the mean of phi is free: a touch of wave number pins it */
            p->factor[m * p->waves_y + at] =
                (float)fmax((double)ALONG_SHEET * wave_1_m2(m, g->nx, g->dx_m) + across, 1e-5);
    }
    float *wave = p->factor + (size_t)(g->nz - 1) * p->layer; /* kept in the last layer until its turn */
    memcpy(wave, p->factor, p->layer * sizeof *wave);
    for (int k = 0; k < g->nz; k++) {
        const float *below = p->factor + (size_t)(k > 0 ? k - 1 : 0) * p->layer;
        float *here = p->factor + (size_t)k * p->layer;
        /* ground node, half a cell: 2 (phi1 - phi0) / dz^2 - wave phi0 = rhs; top node: nothing passes above */
        const float links = k + 1 < g->nz ? 2.0f * z2 : z2, up = k > 0 ? z2 : 2.0f * z2, down = k > 0 ? z2 : 0.0f;
        for (size_t c = 0; c < p->layer; c++)
            here[c] = up / -(links + wave[c] + down * below[c]);
    }
}

drupelet_status air_projection_create(const air_grid *grid, air_projection **result)
{
    *result = NULL;
    air_projection *p = calloc(1, sizeof *p);
    if (!p)
        return base_error(DRUPELET_MEMORY, "no memory for the air around the sprayer");
    p->grid = *grid;
    p->row_y = air_cosine_padded(grid->ny);
    drupelet_status status = air_cosine_create(grid->nx, &p->x);
    if (status.code == DRUPELET_OK)
        status = air_cosine_create(grid->ny, &p->y);
    p->waves_y = air_cosine_waves(&p->y);
    p->layer = (size_t)grid->nx * (size_t)p->waves_y;
    p->factor = aligned_alloc(LINE, (size_t)grid->nz * p->layer * sizeof *p->factor);
    if (status.code == DRUPELET_OK && !p->factor)
        status = base_error(DRUPELET_MEMORY, "no memory for the air around the sprayer");
    if (status.code != DRUPELET_OK) {
        air_projection_free(p);
        return status;
    }
    memset(p->factor, 0, p->layer * sizeof *p->factor);
    make_factors(p);
    *result = p;
    return base_ok();
}

void air_projection_free(air_projection *p)
{
    if (!p)
        return;
    air_cosine_free(&p->y);
    air_cosine_free(&p->x);
    free(p->factor);
    free(p);
}

/* Rows of nodes around one: offsets to the neighbours, 0 where the grid ends, and the half that a face there takes of
 * its two nodes' sum, 0 on an outer face. */
typedef struct {
    ptrdiff_t east, west, up, down;
    float half_east, half_west, half_up, half_down;
} neighbours;

static neighbours around(const air_grid *g, int k, int i)
{
    const ptrdiff_t row = g->ny, plane = row * g->nx;
    const int east = i + 1 < g->nx, west = i > 0, up = k + 1 < g->nz, down = k > 0;
    return (neighbours){east ? row : 0,      west ? -row : 0,     up ? plane : 0,    down ? -plane : 0,
                        east ? 0.5f : 0.0f,  west ? 0.5f : 0.0f,  up ? 0.5f : 0.0f,  down ? 0.5f : 0.0f};
}

/* Divergence of one row of nodes. @param out [ny] */
static inline void divergence(const air_grid *g, const air_excess *e, int k, int i, float *restrict out)
{
    const size_t first = air_node(g, k, i, 0);
    const float *u = e->u_m_s + first, *v = e->v_m_s + first, *w = e->w_m_s + first;
    const neighbours n = around(g, k, i);
    const float per_x = (float)(1.0 / g->dx_m), per_y = (float)(1.0 / g->dy_m),
                per_z = (float)((k > 0 ? 1.0 : 2.0) / g->dz_m);
    const int last = g->ny - 1;
    for (int j = 0; j <= last; j++)
        out[j] = (n.half_east * (u[j] + u[j + n.east]) - n.half_west * (u[j] + u[j + n.west])) * per_x
                 + (n.half_up * (w[j] + w[j + n.up]) - n.half_down * (w[j] + w[j + n.down])) * per_z;
    for (int j = 1; j < last; j++)
        out[j] += 0.5f * (v[j + 1] - v[j - 1]) * per_y;
    if (last > 0) {
        out[0] += 0.5f * (v[0] + v[1]) * per_y;
        out[last] -= 0.5f * (v[last - 1] + v[last]) * per_y;
    }
}

/* From the ground up: divergence, its transform, elimination. @param spectrum [nz][nx][waves_y]
 * @param work [2][nx][row_y], then [nx][waves_y]; what fills up its rows is 0 and stays so */
BASE_WIDEST static void eliminate(const air_projection *p, const air_excess *e, float *work, float *spectrum)
{
    const air_grid *g = &p->grid;
    const size_t plane = (size_t)g->nx * (size_t)p->row_y;
    float *nodes = work, *waves_x = work + plane, *folded = work + 2 * plane;
    const float per_z2 = (float)(g->dz_m * g->dz_m) / ALONG_SHEET;
    for (int k = 0; k < g->nz; k++) {
        for (int i = 0; i < g->nx; i++)
            divergence(g, e, k, i, nodes + (ptrdiff_t)i * p->row_y);
        float *restrict here = spectrum + (size_t)k * p->layer;
        air_cosine_forward(&p->x, p->row_y, nodes, waves_x);
        air_cosine_forward_rows(&p->y, g->nx, p->row_y, waves_x, folded, here);
        const float *below = k > 0 ? here - p->layer : here;
        const float *factor = p->factor + (size_t)k * p->layer;
        const float scale = k > 0 ? per_z2 : 0.5f * per_z2, chain = k > 0 ? 1.0f : 0.0f;
        for (size_t c = 0; c < p->layer; c++)
            here[c] = (here[c] * scale - chain * below[c]) * factor[c];
    }
}

/* From the top down: substitution, transform back to phi. */
BASE_WIDEST static void substitute(const air_projection *p, float *work, float *spectrum, float *phi)
{
    const air_grid *g = &p->grid;
    const size_t plane = (size_t)g->nx * (size_t)p->row_y;
    float *nodes = work, *waves_x = work + plane, *folded = work + 2 * plane;
    for (int k = g->nz - 1; k >= 0; k--) {
        float *restrict here = spectrum + (size_t)k * p->layer;
        if (k + 1 < g->nz) {
            const float *above = here + p->layer, *factor = p->factor + (size_t)k * p->layer;
            for (size_t c = 0; c < p->layer; c++)
                here[c] -= factor[c] * above[c];
        }
        air_cosine_back_rows(&p->y, g->nx, p->row_y, here, folded, waves_x);
        air_cosine_back(&p->x, p->row_y, waves_x, nodes);
        for (int i = 0; i < g->nx; i++)
            memcpy(phi + air_node(g, k, i, 0), nodes + (ptrdiff_t)i * p->row_y, (size_t)g->ny * sizeof *phi);
    }
}

BASE_WIDEST static void correct(const air_grid *g, air_excess *e)
{
    const float per_x = ALONG_SHEET * (float)(0.5 / g->dx_m), per_y = (float)(0.5 / g->dy_m);
    const int last = g->ny - 1;
    for (int k = 0; k < g->nz; k++)
        for (int i = 0; i < g->nx; i++) {
            const neighbours n = around(g, k, i);
            const size_t first = air_node(g, k, i, 0);
            const float *restrict phi = e->squares_m2_s2 + first;
            float *restrict u = e->u_m_s + first, *restrict v = e->v_m_s + first, *restrict w = e->w_m_s + first;
            const float per_z = k > 0 ? ALONG_SHEET * (float)(0.5 / g->dz_m) : 0.0f;
            for (int j = 0; j <= last; j++) {
                u[j] -= (phi[j + n.east] - phi[j + n.west]) * per_x;
                w[j] -= (phi[j + n.up] - phi[j + n.down]) * per_z;
            }
            for (int j = 1; j < last; j++)
                v[j] -= (phi[j + 1] - phi[j - 1]) * per_y;
            if (last > 0) {
                v[0] -= (phi[1] - phi[0]) * per_y;
                v[last] -= (phi[last] - phi[last - 1]) * per_y;
            }
        }
}

/* The spectrum, then what one layer of it is worked out in. */
size_t air_projection_room(const air_projection *p)
{
    return (size_t)(p->grid.nz + 1) * p->layer + 2 * (size_t)p->grid.nx * (size_t)p->row_y;
}

void air_project(const air_projection *p, air_excess *e)
{
    float *spectrum = e->room, *work = spectrum + (size_t)p->grid.nz * p->layer;
    eliminate(p, e, work, spectrum);
    substitute(p, work, spectrum, e->squares_m2_s2);
    correct(&p->grid, e);
}
