/* sim/report/contour.c - rings around the places of a raster with at least a level: marching squares. Every side of a
 * square that a ring crosses has a number, and next leads from each to the following one with the high places on the
 * left, so that rings are walked without a search. Points that a straight line replaces are left out (D. H. Douglas,
 * T. K. Peucker, Cartographica 10 (1973) 112-122; memory). */
#include "report/contour.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"

#define TOLERANCE 0.3 /* of a ring's place, units of the sheet; choice: less than the eye sees */

typedef struct {
    double x, y;
} point;

/* The raster with a border of low places all around, which closes every ring. */
typedef struct {
    const contour_raster *raster;
    double level;
    int n_across, n_up; /* with the border */
    int *next;          /* [2 n_across n_up] of the sides: to the right of a point, and above it; -1: not crossed */
    point *ring;        /* room, as many */
    bool *kept;
} walk;

static bool on_border(const walk *w, int i, int k)
{
    return i == 0 || k == 0 || i == w->n_across - 1 || k == w->n_up - 1;
}

static double value_at(const walk *w, int i, int k)
{
    return on_border(w, i, k) ? -INFINITY : w->raster->value[(k - 1) * w->raster->n_across + i - 1];
}

static int side_of(const walk *w, int i, int k, bool upward)
{
    return 2 * (k * w->n_across + i) + upward;
}

/* Sides and corners of a square go round from the lower left; side c lies between the corners c and c + 1. */
static void enter_square(walk *w, int i, int k)
{
    const int side[4] = {side_of(w, i, k, false), side_of(w, i + 1, k, true), side_of(w, i, k + 1, false),
                         side_of(w, i, k, true)};
    const double corner[4] = {value_at(w, i, k), value_at(w, i + 1, k), value_at(w, i + 1, k + 1),
                              value_at(w, i, k + 1)};
    bool high[4];
    for (int c = 0; c < 4; c++)
        high[c] = corner[c] >= w->level;
    const bool middle = 0.25 * (corner[0] + corner[1] + corner[2] + corner[3]) >= w->level;
    for (int c = 0; c < 4; c++) {
        if (!high[c] || high[(c + 1) % 4]) continue;
        int to = (c + 1) % 4; /* the next side on which the low places end; of two saddles the middle decides */
        if (high[0] == high[2] && high[1] == high[3] && !middle)
            to = (c + 3) % 4;
        else
            while (high[to] || !high[(to + 1) % 4])
                to = (to + 1) % 4;
        w->next[side[c]] = side[to];
    }
}

/* Where a side is crossed; halfway to the border, which has no value. */
static point crossing(const walk *w, int side)
{
    const contour_raster *r = w->raster;
    const int upward = side % 2, i = side / 2 % w->n_across, k = side / 2 / w->n_across;
    const double a = value_at(w, i, k), b = value_at(w, i + !upward, k + upward);
    const double t = isfinite(a) && isfinite(b) ? (w->level - a) / (b - a) : 0.5;
    const double across = i - 1 + (upward ? 0.0 : t), up = k - 1 + (upward ? t : 0.0);
    return (point){r->left + (r->right - r->left) * across / (r->n_across - 1),
                   r->bottom + (r->top - r->bottom) * up / (r->n_up - 1)};
}

static double off_line(point p, point a, point b)
{
    const double length = base_hypot(b.x - a.x, b.y - a.y);
    if (!(length > 0.0)) return base_hypot(p.x - a.x, p.y - a.y);
    return fabs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / length;
}

/* Keeps the points between two kept ones that a straight line would miss by more than the tolerance. */
static void keep_between(walk *w, int first, int last)
{
    int farthest = first;
    double off = TOLERANCE;
    for (int i = first + 1; i < last; i++) {
        const double d = off_line(w->ring[i], w->ring[first], w->ring[last]);
        if (d > off) {
            off = d;
            farthest = i;
        }
    }
    if (farthest == first) return;
    w->kept[farthest] = true;
    keep_between(w, first, farthest);
    keep_between(w, farthest, last);
}

static void write_ring(FILE *to, walk *w, int start)
{
    int n = 0;
    for (int side = start; w->next[side] >= 0;) {
        const int following = w->next[side];
        w->kept[n] = false;
        w->ring[n++] = crossing(w, side);
        w->next[side] = -1;
        side = following;
    }
    w->kept[0] = w->kept[n - 1] = true;
    keep_between(w, 0, n - 1);
    for (int i = 0; i < n; i++)
        if (w->kept[i]) fprintf(to, "%s%.1f %.1f", i == 0 ? "M" : "L", w->ring[i].x, w->ring[i].y);
    fputc('Z', to);
}

drupelet_status contour_rings(FILE *to, const contour_raster *raster, double level)
{
    walk w = {.raster = raster, .level = level, .n_across = raster->n_across + 2, .n_up = raster->n_up + 2};
    const int n = 2 * w.n_across * w.n_up;
    w.next = malloc((size_t)n * sizeof *w.next);
    w.ring = malloc((size_t)n * sizeof *w.ring);
    w.kept = malloc((size_t)n * sizeof *w.kept);
    const bool there = w.next && w.ring && w.kept;
    for (int s = 0; there && s < n; s++)
        w.next[s] = -1;
    for (int k = 0; there && k + 1 < w.n_up; k++)
        for (int i = 0; i + 1 < w.n_across; i++)
            enter_square(&w, i, k);
    for (int s = 0; there && s < n; s++)
        if (w.next[s] >= 0) write_ring(to, &w, s);
    free(w.next);
    free(w.ring);
    free(w.kept);
    return there ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the picture");
}
