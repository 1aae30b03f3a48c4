/* sim/air/fan_places.c - which unknowns the body holds, and which ones air blown out acts on.
 *
 * Speeds on the faces of cells in which the machine stands are the machine's. Air blown out of a cell takes its
 * momentum to the two faces of the cell, half to each; all of it to one where the machine or the end of the box
 * holds the other. */
#include <stdlib.h>
#include <string.h>

#include "air/fan_state.h"
#include "base/status.h"

static bool is_body(const air_fan_case *c, int i, int j, int k)
{
    if (i < 0 || j < 0 || k < 0 || i >= c->nx || j >= c->ny || k >= c->nz) return false;
    return c->body[((size_t)i * (size_t)c->ny + (size_t)j) * (size_t)c->nz + (size_t)k] != 0;
}

/* Is the unknown on the low face of cell (i, j, k), across the axis of its place? */
static bool held_on_face(const fan_state *s, fan_place place, int i, int j, int k)
{
    if (place == FAN_CELL) return false;
    const int axis = (int)place - 1, at = axis == FAN_X ? i : axis == FAN_Y ? j : k;
    const fan_axis *a = &s->mesh[axis].faces;
    if (at < a->first || at > a->last) return true;
    return is_body(s->c, i, j, k) || is_body(s->c, i - (axis == FAN_X), j - (axis == FAN_Y), k - (axis == FAN_Z));
}

static drupelet_status list_held(const fan_state *s, fan_place place, fan_held *held)
{
    const fan_axis *x = fan_axis_of(s, FAN_X, place), *y = fan_axis_of(s, FAN_Y, place),
                   *z = fan_axis_of(s, FAN_Z, place);
    const size_t rows = (size_t)(x->last + 1) * (size_t)s->level_count;
    held->start = calloc(rows + 1, sizeof *held->start);
    held->value = place == FAN_V ? (float)s->c->travel_m_s : 0.0f;
    for (int fills = 0; fills < 2 && held->start; fills++) {
        int n = 0;
        for (int i = 0; i <= x->last; i++)
            for (int k = 0; k < s->level_count; k++) {
                held->start[(ptrdiff_t)i * s->level_count + k] = n;
                if (i < x->first || k < z->first || k > z->last) continue;
                for (int j = y->first; j <= y->last; j++) {
                    if (!held_on_face(s, place, i, j, k)) continue;
                    if (fills) held->j[n] = j;
                    n++;
                }
            }
        held->start[rows] = n;
        if (!fills) held->j = malloc(((size_t)n + 1) * sizeof *held->j);
        if (!held->j) break;
    }
    return held->start && held->j ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the fan's air");
}

static int in_order(const void *a, const void *b)
{
    const struct fan_blown_point *one = a, *other = b;
    if (one->i != other->i) return one->i < other->i ? -1 : 1;
    if (one->k != other->k) return one->k < other->k ? -1 : 1;
    if (one->j != other->j) return one->j < other->j ? -1 : 1;
    return one->gain < other->gain ? -1 : one->gain > other->gain;
}

static double volume_of(const fan_state *s, fan_place place, int i, int j, int k)
{
    return 1.0
           / ((double)fan_axis_of(s, FAN_X, place)->per_size[i] * (double)fan_axis_of(s, FAN_Y, place)->per_size[j]
              * (double)fan_axis_of(s, FAN_Z, place)->per_size[k]);
}

/* @param which 0 to 2: u, v, w; 3: k; 4: epsilon */
static drupelet_status list_blown(const fan_state *s, int which, fan_blown *blown)
{
    const fan_place place = which < 3 ? (fan_place)(which + 1) : FAN_CELL;
    const int planes = s->mesh[FAN_X].n + 1, n_sources = s->c->n_sources;
    blown->held = place == FAN_CELL ? 0.0f : s->held[place].value;
    blown->start = calloc((size_t)planes + 1, sizeof *blown->start);
    blown->point = malloc((2 * (size_t)n_sources + 1) * sizeof *blown->point);
    if (!blown->start || !blown->point) return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    int n = 0;
    for (int m = 0; m < n_sources; m++) {
        const air_fan_source *of = &s->c->source[m];
        if (!(of->flow_m3_s > 0.0)) continue;
        const double value = which < 3 ? of->velocity_m_s[which] : which == 3 ? of->k_m2_s2 : of->epsilon_m2_s3;
        const int far_i = of->i + (which == 0), far_j = of->j + (which == 1), far_k = of->k + (which == 2);
        const bool holds[2] = {held_on_face(s, place, of->i, of->j, of->k),
                               held_on_face(s, place, far_i, far_j, far_k)};
        for (int side = 0; side < (place == FAN_CELL ? 1 : 2); side++) {
            if (holds[side]) continue;
            const int i = side ? far_i : of->i, j = side ? far_j : of->j, k = side ? far_k : of->k;
            const double whole = of->flow_m3_s / volume_of(s, place, i, j, k);
            const double part = place == FAN_CELL ? whole : 0.5 * whole, share = holds[1 - side] ? whole : part;
            float per_area = 0.0f;
            bool on_side = false;
            if (place != FAN_CELL && holds[1 - side]) {
                const fan_axis *across = fan_axis_of(s, which, place);
                const int cell[FAN_AXES] = {of->i, of->j, of->k}, point[FAN_AXES] = {i, j, k};
                const int other = cell[which] + 1 - side;
                per_area = across->per_size[point[which]] * across->per_gap[cell[which] + 1];
                on_side = other < across->first || other > across->last;
            }
            blown->point[n++] = (struct fan_blown_point){
                i, k, j, (float)(share * value), (float)part, per_area, on_side, fan_at(s, of->i, of->k) + of->j};
        }
    }
    qsort(blown->point, (size_t)n, sizeof *blown->point, in_order);
    for (int m = 0, i = 0; i <= planes; i++) {
        while (m < n && blown->point[m].i < i)
            m++;
        blown->start[i] = m;
    }
    return base_ok();
}

drupelet_status fan_list_places(fan_state *s)
{
    drupelet_status status = base_ok();
    for (int place = FAN_U; place <= FAN_W && status.code == DRUPELET_OK; place++)
        status = list_held(s, (fan_place)place, &s->held[place]);
    for (int which = 0; which < 5 && status.code == DRUPELET_OK; which++)
        status = list_blown(s, which, &s->blown[which]);
    return status;
}

void fan_free_places(fan_state *s)
{
    for (int place = 0; place < 4; place++) {
        free(s->held[place].start);
        free(s->held[place].j);
    }
    for (int which = 0; which < 5; which++) {
        free(s->blown[which].start);
        free(s->blown[which].point);
    }
}
