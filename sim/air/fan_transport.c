/* sim/air/fan_transport.c - one implicit step of what the air carries along in three dimensions.
 *
 * d(phi)/dt + U . grad(phi) = div(nu grad(phi)) + source - sink phi, over the volume of a cell: in a cell's balance
 * a face counts with the difference of its value to the cell's own. Where the divergence is what it ought to be that
 * is the balance of what flows, and air blown out brings its value less the cell's, air taken in leaves with the
 * cell's.
 *
 * What is solved for is the change in the step. Upwind values are implicit; what van Leer's limiter adds to them,
 * second order without new extremes, is taken from the values before (B. van Leer, J. Comput. Phys. 14 (1974) 361;
 * memory). Lines up and lines across the rows are solved one after the other, each with the whole diagonal,
 * neighbours along the travel wait for the next round (diagonally dominant alternating directions, J. Bardina, C. K.
 * Lombard, AIAA 87-1193 (1987); memory). The errors of all this vanish with the change itself.
 *
 * y is the axis along which numbers lie next to each other: all work is on rows along it. */
#include <math.h>
#include <stdlib.h>

#include <omp.h>

#include "air/fan_state.h"
#include "base/machine.h"

/* What passes the faces of a row of cells: speed, conductance, and speed times what the limiter adds. */
typedef struct {
    float *speed, *spread, *over;
} face_row;

/* What they follow from: a mean of two speeds, a mean of four viscosities. */
typedef struct {
    const float *one, *other;
    float of_one, of_other;
    const float *along_one, *along_other; /* further shares, along the row */
    float less;                           /* taken from the speed */
    const float *nu[4];
} carriers;

/* As fabsf and the rest, without a branch. */
static inline float limited(float here, float beside)
{
    const float product = here * beside;
    return product > 0.0f ? 2.0f * product / (here + beside) : 0.0f;
}

/* Across x or z: phi points to the rows before last, last, next and after next of the face. */
static inline void across_rows(const carriers *c, const fan_axis *a, int f, float share, const float *const phi[4],
                               ptrdiff_t first, ptrdiff_t last, face_row to)
{
    const float *restrict one = c->one, *restrict other = c->other, *restrict along_one = c->along_one,
                          *restrict along_other = c->along_other;
    const float of_one = c->of_one, of_other = c->of_other;
    const float *restrict n0 = c->nu[0], *restrict n1 = c->nu[1], *restrict n2 = c->nu[2], *restrict n3 = c->nu[3];
    const float *restrict b = phi[0], *restrict l = phi[1], *restrict r = phi[2], *restrict d = phi[3];
    const float behind = a->slope[f - 1], middle = a->slope[f], ahead = a->slope[f + 1];
    const float reach_low = a->reach_low[f], reach_high = -a->reach_high[f], per_gap = 0.25f * share * a->per_gap[f];
    float *restrict speed = to.speed, *restrict spread = to.spread, *restrict over = to.over;
#pragma omp simd
    for (ptrdiff_t j = first; j <= last; j++) {
        const float flux = of_one * along_one[j] * one[j] + of_other * along_other[j] * other[j];
        const float here = (r[j] - l[j]) * middle;
        const float up = flux > 0.0f ? (l[j] - b[j]) * behind : (d[j] - r[j]) * ahead;
        speed[j] = flux;
        spread[j] = ((n0[j] + n1[j]) + (n2[j] + n3[j])) * per_gap;
        over[j] = flux * (flux > 0.0f ? reach_low : reach_high) * limited(here, up);
    }
}

/* Across y: faces first to last + 1 of a row. */
static inline void along_row(const carriers *c, const fan_axis *a, float share, const float *restrict phi,
                             ptrdiff_t first, ptrdiff_t last, face_row to)
{
    const float *restrict one = c->one, *restrict other = c->other, *restrict along_one = c->along_one,
                          *restrict along_other = c->along_other;
    const float of_one = c->of_one, of_other = c->of_other, less = c->less, quarter = 0.25f * share;
    const float *restrict n0 = c->nu[0], *restrict n1 = c->nu[1], *restrict n2 = c->nu[2], *restrict n3 = c->nu[3];
    const float *restrict slope = a->slope, *restrict low = a->reach_low, *restrict high = a->reach_high;
    const float *restrict per_gap = a->per_gap;
    float *restrict speed = to.speed, *restrict spread = to.spread, *restrict over = to.over;
#pragma omp simd
    for (ptrdiff_t j = first; j <= last + 1; j++) {
        const float flux = of_one * along_one[j] * one[j] + of_other * along_other[j] * other[j] - less;
        const float here = (phi[j] - phi[j - 1]) * slope[j];
        const float up = flux > 0.0f ? (phi[j - 1] - phi[j - 2]) * slope[j - 1] : (phi[j + 1] - phi[j]) * slope[j + 1];
        speed[j] = flux;
        spread[j] = ((n0[j] + n1[j]) + (n2[j] + n3[j])) * quarter * per_gap[j];
        over[j] = flux * (flux > 0.0f ? low[j] : -high[j]) * limited(here, up);
    }
}

/* One number for all of a row. */
static const float *ones(const fan_state *s)
{
    return s->room[s->n_threads];
}

static int within(int i, int last)
{
    return i < 0 ? 0 : i > last ? last : i;
}

/* Speed and viscosity on face f across an axis, for the unknowns of a place at (i, k); i or k is the face. */
static carriers carriers_of(const fan_state *s, fan_place place, int axis, int i, int k)
{
    const float *of[FAN_AXES] = {s->u, s->v, s->w};
    const float *speed = of[axis], *nu = s->nu;
    const int nx = s->mesh[FAN_X].n, nz = s->mesh[FAN_Z].n;
    carriers c = {.of_one = 1.0f, .of_other = 0.0f, .along_one = ones(s), .along_other = ones(s), .less = 0.0f};
    const int mean_over = place == FAN_CELL ? -1 : (int)place - 1; /* the axis along which the unknown is shifted */
    const ptrdiff_t here = fan_at(s, i, k);
    c.one = c.other = speed + here;
    if (mean_over == FAN_X || mean_over == FAN_Z) {
        const fan_axis *a = mean_over == axis ? &s->mesh[axis].faces : &s->mesh[mean_over].cells;
        const int f = mean_over == FAN_X ? i : k;
        c.one = speed + (mean_over == FAN_X ? fan_at(s, i - 1, k) : fan_at(s, i, k - 1));
        c.of_one = a->low[f];
        c.of_other = a->high[f];
    } else if (mean_over == FAN_Y) {
        const fan_axis *a = axis == FAN_Y ? &s->mesh[FAN_Y].faces : &s->mesh[FAN_Y].cells;
        c.one = speed + here - 1;
        c.of_one = c.of_other = 1.0f;
        c.along_one = a->low;
        c.along_other = a->high;
    }
    /* viscosities: of the two cells beside the face, each with its neighbour along the shift */
    const bool same = mean_over == axis;
    for (int n = 0; n < 4; n++) {
        const int back = n % 2, shift = n / 2;
        int at_i = i, at_k = k, at_j = 0;
        if (same) { /* the face is the middle of the cell before */
            at_i -= axis == FAN_X;
            at_k -= axis == FAN_Z;
            at_j -= axis == FAN_Y;
        } else {
            at_i -= (axis == FAN_X && back) || (mean_over == FAN_X && shift);
            at_k -= (axis == FAN_Z && back) || (mean_over == FAN_Z && shift);
            at_j -= (axis == FAN_Y && back) + (mean_over == FAN_Y && shift);
        }
        c.nu[n] = nu + fan_at(s, within(at_i, nx - 1), within(at_k, nz - 1)) + at_j;
    }
    return c;
}

/* Room of a thread: planes first, then rows. */
typedef struct {
    face_row x[2], z[2], y;                                      /* x: planes [levels][row] */
    float *source, *sink;                                        /* planes */
    float *gain, *rest;                                          /* planes: of the elimination upwards */
    float *diagonal, *low, *high, *right, *link_low, *link_high; /* planes but for the four */
} plane_room;

enum { PLANES = 12, ROWS = 16 };

static plane_room room_of(const fan_state *s, float *memory)
{
    const ptrdiff_t plane = s->level_count * s->row;
    float *at = memory + FAN_HALO;
    plane_room r;
    float **const planes[PLANES] = {&r.x[0].speed,  &r.x[0].spread, &r.x[0].over, &r.x[1].speed,
                                    &r.x[1].spread, &r.x[1].over,   &r.source,    &r.sink,
                                    &r.gain,        &r.rest,        &r.link_low,  &r.link_high};
    for (int n = 0; n < PLANES; n++, at += plane)
        *planes[n] = at;
    float **const rows[] = {&r.z[0].speed, &r.z[0].spread, &r.z[0].over, &r.z[1].speed, &r.z[1].spread,
                            &r.z[1].over,  &r.y.speed,     &r.y.spread,  &r.y.over,     &r.diagonal,
                            &r.low,        &r.high,        &r.right};
    for (size_t n = 0; n < sizeof rows / sizeof rows[0]; n++, at += s->row)
        *rows[n] = at;
    return r;
}

size_t fan_transport_room(const fan_state *s)
{
    return (size_t)(PLANES * s->level_count * s->row + ROWS * s->row);
}

static face_row row_of(face_row plane, ptrdiff_t offset)
{
    return (face_row){plane.speed + offset, plane.spread + offset, plane.over + offset};
}

/* What passes face f across x of all levels. */
static inline void fill_across_x(const fan_state *s, const fan_equation *e, int f, face_row plane)
{
    const fan_axis *x = fan_axis_of(s, FAN_X, e->place), *y = fan_axis_of(s, FAN_Y, e->place),
                   *z = fan_axis_of(s, FAN_Z, e->place);
    for (int k = z->first; k <= z->last; k++) {
        const carriers c = carriers_of(s, e->place, FAN_X, f, k);
        const float *const phi[4] = {e->value + fan_at(s, f - 2, k), e->value + fan_at(s, f - 1, k),
                                     e->value + fan_at(s, f, k), e->value + fan_at(s, f + 1, k)};
        across_rows(&c, x, f, e->spread, phi, y->first, y->last, row_of(plane, k * s->row));
    }
}

static inline void fill_across_z(const fan_state *s, const fan_equation *e, int i, int f, face_row row)
{
    const fan_axis *y = fan_axis_of(s, FAN_Y, e->place), *z = fan_axis_of(s, FAN_Z, e->place);
    const carriers c = carriers_of(s, e->place, FAN_Z, i, f);
    const float *const phi[4] = {e->value + fan_at(s, i, f - 2), e->value + fan_at(s, i, f - 1),
                                 e->value + fan_at(s, i, f), e->value + fan_at(s, i, f + 1)};
    across_rows(&c, z, f, e->spread, phi, y->first, y->last, row);
}

/* The balance of a row: what changes it, and the coefficients of its neighbours. */
static inline void balance_row(const plane_room *r, face_row west, face_row east, face_row below, face_row above,
                               const float *restrict phi, ptrdiff_t plane, ptrdiff_t row, float per_x, float per_z,
                               float weight, float per_step, const float *restrict per_y, const float *restrict source,
                               const float *restrict sink, const float *restrict left, ptrdiff_t first, ptrdiff_t last,
                               float *restrict link_low, float *restrict link_high)
{
    float *restrict diagonal = r->diagonal, *restrict low = r->low, *restrict high = r->high,
                    *restrict right = r->right;
    const float *restrict ws = west.speed, *restrict wd = west.spread, *restrict wo = west.over;
    const float *restrict es = east.speed, *restrict ed = east.spread, *restrict eo = east.over;
    const float *restrict bs = below.speed, *restrict bd = below.spread, *restrict bo = below.over;
    const float *restrict as = above.speed, *restrict ad = above.spread, *restrict ao = above.over;
    const float *restrict ys = r->y.speed, *restrict yd = r->y.spread, *restrict yo = r->y.over;
#pragma omp simd
    for (ptrdiff_t j = first; j <= last; j++) {
        const float a_w = (wd[j] + fan_more(ws[j], 0.0f)) * per_x, a_e = (ed[j] + fan_more(-es[j], 0.0f)) * per_x;
        const float a_b = (bd[j] + fan_more(bs[j], 0.0f)) * per_z, a_a = (ad[j] + fan_more(-as[j], 0.0f)) * per_z;
        const float a_s = (yd[j] + fan_more(ys[j], 0.0f)) * per_y[j];
        const float a_n = (yd[j + 1] + fan_more(-ys[j + 1], 0.0f)) * per_y[j];
        const float here = phi[j];
        const float x = a_w * (phi[j - plane] - here) + a_e * (phi[j + plane] - here) - (eo[j] - wo[j]) * per_x;
        const float y = a_s * (phi[j - 1] - here) + a_n * (phi[j + 1] - here) - (yo[j + 1] - yo[j]) * per_y[j];
        const float z = a_b * (phi[j - row] - here) + a_a * (phi[j + row] - here) - (ao[j] - bo[j]) * per_z;
        right[j] = (((x + y) + z) + source[j]) - left[j];
        diagonal[j] = weight * (((a_w + a_e) + (a_b + a_a)) + (a_s + a_n)) + (per_step + sink[j]);
        low[j] = a_b;
        high[j] = a_a;
        link_low[j] = a_w;
        link_high[j] = a_e;
    }
}

/* Elimination upwards of one level; below: that of the level below. */
static inline void eliminate_row(const plane_room *r, ptrdiff_t offset, bool lowest, ptrdiff_t row, ptrdiff_t first,
                                 ptrdiff_t last, float *restrict link_low, float *restrict link_high)
{
    const float *restrict diagonal = r->diagonal, *restrict low = r->low, *restrict high = r->high,
                          *restrict right = r->right;
    float *restrict gain = r->gain + offset, *restrict rest = r->rest + offset;
    const float *gain_below = gain - (lowest ? 0 : row), *rest_below = rest - (lowest ? 0 : row);
    const float is_above = lowest ? 0.0f : 1.0f;
#pragma omp simd
    for (ptrdiff_t j = first; j <= last; j++) {
        const float from_below = is_above * low[j], per_diagonal = 1.0f / diagonal[j];
        const float before = lowest ? 0.0f : gain_below[j], carried = lowest ? 0.0f : rest_below[j];
        const float per_pivot = 1.0f / (diagonal[j] - from_below * before);
        gain[j] = high[j] * per_pivot;
        rest[j] = (right[j] + from_below * carried) * per_pivot;
        link_low[j] *= per_diagonal;
        link_high[j] *= per_diagonal;
    }
}

static inline void hold(const fan_state *s, const fan_equation *e, const plane_room *r, int i, int k, float *link_low,
                        float *link_high)
{
    const fan_held *held = &s->held[e->place];
    if (!held->start || s->finding_left) return;
    const ptrdiff_t at = (ptrdiff_t)i * s->level_count + k;
    for (int n = held->start[at]; n < held->start[at + 1]; n++) {
        const int j = held->j[n];
        r->diagonal[j] = 1.0f;
        r->low[j] = r->high[j] = link_low[j] = link_high[j] = 0.0f;
        r->right[j] = held->value - e->value[fan_at(s, i, k) + j];
    }
}

static inline void substitute(const plane_room *r, float *change, ptrdiff_t row, const fan_axis *z, ptrdiff_t first,
                              ptrdiff_t last)
{
    for (int k = z->last; k >= z->first; k--) {
        const float *restrict gain = r->gain + k * row, *restrict rest = r->rest + k * row;
        float *here = change + k * row;
        const float *above = k < z->last ? here + row : here;
        if (k == z->last)
            for (ptrdiff_t j = first; j <= last; j++)
                here[j] = rest[j];
        else
            for (ptrdiff_t j = first; j <= last; j++)
                here[j] = rest[j] + gain[j] * above[j];
    }
}

/* Planes from first_i to last_i: balances, and lines up. */
BASE_WIDEST static void step_planes(fan_state *s, const fan_equation *e, int first_i, int last_i, float *memory)
{
    const fan_axis *x = fan_axis_of(s, FAN_X, e->place), *y = fan_axis_of(s, FAN_Y, e->place),
                   *z = fan_axis_of(s, FAN_Z, e->place);
    const plane_room r = room_of(s, memory);
    const ptrdiff_t row = s->row, plane = s->level_count * row;
    const float per_step = (float)(1.0 / s->step_s);
    if (first_i <= last_i) fill_across_x(s, e, first_i, r.x[first_i % 2]);
    for (int i = first_i; i <= last_i; i++) {
        const face_row west = r.x[i % 2], east = r.x[(i + 1) % 2];
        fill_across_x(s, e, i + 1, east);
        e->balance(s, i, r.source, r.sink);
        fill_across_z(s, e, i, z->first, r.z[z->first % 2]);
        for (int k = z->first; k <= z->last; k++) {
            const ptrdiff_t at = fan_at(s, i, k), offset = k * row;
            float *const link_low = s->link_low + at, *const link_high = s->link_high + at;
            float *const left = s->left[e->left] + at;
            fill_across_z(s, e, i, k + 1, r.z[(k + 1) % 2]);
            carriers c = carriers_of(s, e->place, FAN_Y, i, k);
            c.less = (float)s->c->travel_m_s;
            along_row(&c, y, e->spread, e->value + at, y->first, y->last, r.y);
            balance_row(&r, row_of(west, offset), row_of(east, offset), r.z[k % 2], r.z[(k + 1) % 2], e->value + at,
                        plane, row, x->per_size[i], z->per_size[k], s->weight, per_step, y->per_size, r.source + offset,
                        r.sink + offset, left, y->first, y->last, link_low, link_high);
            if (s->finding_left) {
                for (int j = y->first; j <= y->last; j++)
                    left[j] = r.right[j];
                continue;
            }
            hold(s, e, &r, i, k, link_low, link_high);
            eliminate_row(&r, offset, k == z->first, row, y->first, y->last, link_low, link_high);
        }
        if (!s->finding_left) substitute(&r, s->change + fan_at(s, i, 0), row, z, y->first, y->last);
    }
}

/* Lines across the rows of one level, and the change made. */
BASE_WIDEST static void step_level(fan_state *s, const fan_equation *e, int k)
{
    const fan_axis *x = fan_axis_of(s, FAN_X, e->place), *y = fan_axis_of(s, FAN_Y, e->place);
    const ptrdiff_t plane = s->level_count * s->row;
    const int first = y->first, last = y->last;
    for (int i = x->first; i <= x->last; i++) {
        const ptrdiff_t at = fan_at(s, i, k), before = i > x->first ? at - plane : at;
        const float *restrict low = s->link_low + at, *gain_before = s->link_high + before;
        const float *carried = s->change + before;
        float *gain = s->link_high + at, *rest = s->change + at;
        const float is_after = i > x->first ? 1.0f : 0.0f;
#pragma omp simd
        for (int j = first; j <= last; j++) {
            const float from_before = is_after * low[j];
            const float per_pivot = 1.0f / (1.0f - from_before * gain_before[j]);
            gain[j] *= per_pivot;
            rest[j] = (rest[j] + from_before * carried[j]) * per_pivot;
        }
    }
    for (int i = x->last; i >= x->first; i--) {
        const ptrdiff_t at = fan_at(s, i, k);
        const float *restrict gain = s->link_high + at;
        float *change = s->change + at, *restrict value = e->value + at;
        const float *after = i < x->last ? change + plane : change;
        const float is_before = i < x->last ? 1.0f : 0.0f, least = e->least;
        if (e->least > 0.0f)
#pragma omp simd
            for (int j = first; j <= last; j++) {
                const float by = change[j] + is_before * gain[j] * after[j], next = value[j] + by;
                change[j] = by;
                value[j] = fan_more(fan_less(fan_more(next, 0.25f * value[j]), 4.0f * value[j]), least);
            }
        else
#pragma omp simd
            for (int j = first; j <= last; j++) {
                const float by = change[j] + is_before * gain[j] * after[j];
                change[j] = by;
                value[j] += by;
            }
    }
}

void fan_step(fan_state *s, const fan_equation *e)
{
    const fan_axis *x = fan_axis_of(s, FAN_X, e->place), *z = fan_axis_of(s, FAN_Z, e->place);
    const int n = x->last - x->first + 1;
#pragma omp parallel num_threads(s->n_threads)
    {
        const int t = omp_get_thread_num(), team = omp_get_num_threads();
        step_planes(s, e, x->first + n * t / team, x->first + n * (t + 1) / team - 1, s->room[t]);
    }
    if (s->finding_left) return;
#pragma omp parallel for num_threads(s->n_threads) schedule(static)
    for (int k = z->first; k <= z->last; k++)
        step_level(s, e, k);
}

void fan_add_blown(const fan_state *s, const fan_blown *b, int i, const float *value, float *source, float *sink)
{
    if (!b->start || s->finding_left) return;
    for (int n = b->start[i]; n < b->start[i + 1]; n++) {
        const struct fan_blown_point *at = &b->point[n];
        const ptrdiff_t in_plane = at->k * s->row + at->j;
        source[in_plane] += fan_given(s, b, at, value[fan_at(s, i, at->k) + at->j]);
        sink[in_plane] += at->rate;
    }
}
