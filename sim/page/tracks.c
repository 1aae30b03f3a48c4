/* sim/page/tracks.c - recorded paths for a page: points that lie on a straight line between their neighbours are left
 * out, the rest are packed into bytes.
 *
 * A point goes if every coordinate is met within TIGHT_M + LOOSE_M_S t (WIDE_M at most: a droplet that has been on its
 * way for long is far off and drawn small; twice that along the rows, which most views do not show) and the diameter
 * within SIZE (choices: half a pixel of a close view). Points are kept by halving: D. H. Douglas, T. K. Peucker,
 * Cartographica 10 (1973) 112-122 (memory), with the distance taken at equal times.
 *
 * Bytes: unsigned numbers seven bits at a time, low ones first, the eighth bit set while more follow; signed ones fold
 * -1, 1, -2 to 1, 2, 3. A path: number of points, alley, nozzle (from 0), fate, impacts that it flew on from (a number
 * for each outcome but the first), time of the last of these in ms plus 1 (0: none), weight in 1e-9 of the output,
 * emitted diameter in 0.01 um. A point, each number less the one of the point before: time in ms (unsigned), x in cm, y
 * in 2 cm, z in cm, 200 ln(diameter in um), 40 ln(speed in m/s + 0.05). */
#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "page/parts.h"

static const double TIGHT_M = 0.01, LOOSE_M_S = 0.015, WIDE_M = 0.2, SIZE = 0.03;

typedef struct {
    uint8_t *byte;
    size_t n, room;
    bool full;
} packing;

static void put(packing *p, uint64_t number)
{
    do {
        if (p->n == p->room) {
            const size_t room = 2 * p->room + 4096;
            uint8_t *more = realloc(p->byte, room);
            if (!more) {
                p->full = true;
                return;
            }
            p->byte = more;
            p->room = room;
        }
        p->byte[p->n++] = (uint8_t)((number & 127u) | (number > 127u ? 128u : 0u));
        number >>= 7;
    } while (number > 0);
}

/* A damaged file may have a negative one. */
static void put_count(packing *p, int64_t number)
{
    put(p, number > 0 ? (uint64_t)number : 0u);
}

/* A number that is none, or far out of range, of a damaged file becomes 0. */
static int64_t whole(double value)
{
    return fabs(value) < 1e15 ? llround(value) : 0;
}

static void put_change(packing *p, int64_t *before, double value)
{
    const int64_t now = whole(value), change = now - *before;
    put(p, change < 0 ? 2 * (uint64_t)(-(change + 1)) + 1 : 2 * (uint64_t)change);
    *before = now;
}

/* How far point i is from where points a and b have it, over what is allowed. */
static double off(const drupelet_result *r, int64_t a, int64_t b, int64_t i)
{
    const double t = (double)r->time_s[i], span = (double)r->time_s[b] - (double)r->time_s[a];
    const double u = span > 0.0 ? (t - (double)r->time_s[a]) / span : 0.0;
    const double may_m = fmin(TIGHT_M + LOOSE_M_S * t, WIDE_M);
    const float *value[4] = {r->track_x_m, r->track_z_m, r->track_y_m, r->diameter_um};
    double from[4];
    for (int k = 0; k < 4; k++) {
        const double first = (double)value[k][a], last = (double)value[k][b];
        from[k] = fabs(first + u * (last - first) - (double)value[k][i]);
    }
    const double size = from[3] / (SIZE * (double)r->diameter_um[i]);
    return fmax(base_hypot(from[0], from[1]) / may_m, fmax(0.5 * from[2] / may_m, size));
}

/* Marks the points to keep between a and b, both kept; span holds pairs yet to do, at most as many as points. */
static void thin(const drupelet_result *r, int64_t a, int64_t b, bool *keep, int64_t (*span)[2])
{
    int n = 0;
    span[n][0] = a;
    span[n++][1] = b;
    keep[a] = keep[b] = true;
    while (n > 0) {
        const int64_t first = span[--n][0], last = span[n][1];
        int64_t worst = first;
        double most = 1.0;
        for (int64_t i = first + 1; i < last; i++) {
            const double o = off(r, first, last, i);
            if (o > most) {
                most = o;
                worst = i;
            }
        }
        if (worst == first)
            continue;
        keep[worst] = true;
        span[n][0] = first;
        span[n++][1] = worst;
        span[n][0] = worst;
        span[n++][1] = last;
    }
}

static void pack(packing *p, const drupelet_result *r, const result_track *t, const bool *keep)
{
    int64_t n_kept = 0, time = 0, before[5] = {0};
    for (int64_t i = t->first; i < t->first + t->n_points; i++)
        n_kept += keep[i];
    put_count(p, n_kept);
    put_count(p, t->alley);
    put_count(p, t->nozzle - 1);
    put_count(p, t->fate);
    for (int o = DROPLET_ADHERES + 1; o < TALLY_OUTCOMES; o++)
        put_count(p, t->n_outcome[o]);
    put_count(p, isfinite(t->last_rebound_s) ? whole(1e3 * t->last_rebound_s) + 1 : 0);
    put_count(p, whole(1e9 * t->weight));
    put_count(p, whole(100.0 * t->emitted_diameter_um));
    for (int64_t i = t->first; i < t->first + t->n_points; i++) {
        if (!keep[i])
            continue;
        const int64_t now = whole(1e3 * (double)r->time_s[i]);
        put(p, now > time ? (uint64_t)(now - time) : 0u);
        time = now > time ? now : time;
        put_change(p, &before[0], 100.0 * (double)r->track_x_m[i]);
        put_change(p, &before[1], 50.0 * (double)r->track_y_m[i]);
        put_change(p, &before[2], 100.0 * (double)r->track_z_m[i]);
        put_change(p, &before[3], 200.0 * base_log(fmax((double)r->diameter_um[i], 0.01)));
        put_change(p, &before[4], 40.0 * base_log(fmax((double)r->speed_m_s[i], 0.0) + 0.05));
    }
}

drupelet_status page_tracks(base_json *j, const drupelet_result *r)
{
    int most = 1;
    for (int i = 0; i < r->n_tracks; i++)
        most = r->track[i].n_points > most ? r->track[i].n_points : most;
    bool *keep = calloc((size_t)r->n_points + 1, sizeof *keep);
    int64_t(*span)[2] = malloc(((size_t)most + 1) * sizeof *span);
    packing p = {0};
    p.full = !keep || !span;
    int n = 0;
    for (int i = 0; i < r->n_tracks && !p.full; i++) {
        const result_track *t = &r->track[i];
        if (t->n_points == 0)
            continue;
        thin(r, t->first, t->first + t->n_points - 1, keep, span);
        pack(&p, r, t, keep);
        n++;
    }
    if (!p.full) {
        base_json_open(j, "tracks", '{');
        base_json_number(j, "n", n, 9);
        base_json_bytes(j, "bytes", p.n, p.byte);
        base_json_close(j, '}');
    }
    free(p.byte);
    free(span);
    free(keep);
    return p.full ? base_error(DRUPELET_MEMORY, "no memory for the paths of the page") : base_ok();
}
