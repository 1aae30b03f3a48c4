/* sim/air/fan_coarse.c - a flow on a mesh of half the cells along each axis, and what it tells the finer one.
 *
 * Slow changes, of the air far from the outlets, take as many rounds on a coarse mesh but an eighth of the time
 * each, and longer steps. So a flow begins with what the fan adds to the wind on the coarser mesh, and that one
 * likewise. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "air/fan_state.h"
#include "base/status.h"

enum { FEWEST = 8, LEAST_CELLS = 4000 };

bool fan_can_be_coarser(const air_fan_case *c)
{
    return c->nx / 2 >= FEWEST && c->ny / 2 >= FEWEST && c->nz / 2 >= FEWEST
           && (long)c->nx * c->ny * c->nz >= LEAST_CELLS * 8;
}

static void every_other(int n, const double *face, double *to)
{
    for (int i = 0; i <= (n + 1) / 2; i++)
        to[i] = face[2 * i < n ? 2 * i : n];
}

/* Mean over the columns that become one. */
static double mean_of(const air_fan_case *c, const float *single, const double *of, int i, int k)
{
    double sum = 0.0, area = 0.0;
    for (int a = 2 * i; a < 2 * i + 2 && a < c->nx; a++)
        for (int b = 2 * k; b < 2 * k + 2 && b < c->nz; b++) {
            const double size = (c->x_face_m[a + 1] - c->x_face_m[a]) * (c->z_face_m[b + 1] - c->z_face_m[b]);
            sum += size * (single ? (double)single[a * c->nz + b] : of[a * c->nz + b]);
            area += size;
        }
    return sum / area;
}

/* A coarse cell is body where more than half of it is. */
static unsigned char mostly_body(const air_fan_case *c, int i, int j, int k)
{
    double body = 0.0, all = 0.0;
    for (int a = 2 * i; a < 2 * i + 2 && a < c->nx; a++)
        for (int b = 2 * j; b < 2 * j + 2 && b < c->ny; b++)
            for (int d = 2 * k; d < 2 * k + 2 && d < c->nz; d++) {
                const double volume = (c->x_face_m[a + 1] - c->x_face_m[a]) * (c->y_face_m[b + 1] - c->y_face_m[b])
                                      * (c->z_face_m[d + 1] - c->z_face_m[d]);
                all += volume;
                if (c->body[((size_t)a * (size_t)c->ny + (size_t)b) * (size_t)c->nz + (size_t)d]) body += volume;
            }
    return body > 0.5 * all;
}

drupelet_status fan_coarser_case(const air_fan_case *c, air_fan_case *to)
{
    const int nx = (c->nx + 1) / 2, ny = (c->ny + 1) / 2, nz = (c->nz + 1) / 2;
    const drupelet_status status = air_fan_case_create(nx, ny, nz, c->n_sources, to);
    if (status.code != DRUPELET_OK) return status;
    every_other(c->nx, c->x_face_m, to->x_face_m);
    every_other(c->ny, c->y_face_m, to->y_face_m);
    every_other(c->nz, c->z_face_m, to->z_face_m);
    to->travel_m_s = c->travel_m_s;
    to->roughness_m = c->roughness_m;
    to->yielding = c->yielding;
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++) {
            const int at = i * nz + k;
            to->u[at] = (float)mean_of(c, c->u, NULL, i, k);
            to->v[at] = (float)mean_of(c, c->v, NULL, i, k);
            to->w[at] = (float)mean_of(c, c->w, NULL, i, k);
            to->k[at] = (float)mean_of(c, c->k, NULL, i, k);
            to->epsilon[at] = (float)mean_of(c, c->epsilon, NULL, i, k);
            to->drag_1_m[at] = mean_of(c, NULL, c->drag_1_m, i, k);
            to->leaf_drag_1_m[at] = mean_of(c, NULL, c->leaf_drag_1_m, i, k);
            for (int j = 0; j < ny; j++)
                to->body[((size_t)i * (size_t)ny + (size_t)j) * (size_t)nz + (size_t)k] = mostly_body(c, i, j, k);
        }
    for (int n = 0; n < c->n_sources; n++) {
        air_fan_source *of = &to->source[n];
        *of = c->source[n];
        of->i /= 2;
        of->j /= 2;
        of->k /= 2;
        to->body[((size_t)of->i * (size_t)ny + (size_t)of->j) * (size_t)nz + (size_t)of->k] = 0;
    }
    return status;
}

/* Between which points of the coarse axis a point of the fine one is. */
typedef struct {
    int before;
    float share;
} between; /* share of the point after */

static void find_between(const fan_mesh *fine, const fan_mesh *coarse, bool on_faces, between *to)
{
    const int n = on_faces ? fine->n + 1 : fine->n, most = on_faces ? coarse->n : coarse->n - 1;
    const double *at = on_faces ? fine->face_m : fine->centre_m, *of = on_faces ? coarse->face_m : coarse->centre_m;
    for (int i = 0, b = 0; i < n; i++) {
        while (b + 2 <= most && of[b + 1] <= at[i])
            b++;
        const double share = most > 0 ? (at[i] - of[b]) / (of[b + 1] - of[b]) : 0.0;
        to[i] = (between){b, (float)fmin(fmax(share, 0.0), 1.0)};
    }
}

/* Adds to what stands in the fine array what the coarse one has more than the wind. */
static void add_excess(const fan_state *s, const fan_state *from, fan_place place, const between *const at[FAN_AXES],
                       const float *coarse, float *fine, float least)
{
    const fan_axis *x = fan_axis_of(s, FAN_X, place), *y = fan_axis_of(s, FAN_Y, place),
                   *z = fan_axis_of(s, FAN_Z, place);
    for (int i = x->first; i <= x->last; i++)
        for (int k = z->first; k <= z->last; k++) {
            const between a = at[FAN_X][i], c = at[FAN_Z][k];
            const float *row[4];
            float of[4];
            for (int n = 0; n < 4; n++) {
                row[n] = coarse + fan_at(from, a.before + n % 2, c.before + n / 2);
                of[n] = (n % 2 ? a.share : 1.0f - a.share) * (n / 2 ? c.share : 1.0f - c.share);
            }
            float *to = fine + fan_at(s, i, k);
            const float floor = fan_more(least, least > 0.0f ? 0.25f * to[-1] : 0.0f);
            for (int j = y->first; j <= y->last; j++) {
                const between b = at[FAN_Y][j];
                float sum = 0.0f;
                for (int n = 0; n < 4; n++) {
                    const float *r = row[n];
                    sum += of[n] * ((1.0f - b.share) * (r[b.before] - r[-1]) + b.share * (r[b.before + 1] - r[-1]));
                }
                to[j] = least > 0.0f ? fan_more(to[j] + sum, floor) : to[j] + sum;
            }
        }
}

drupelet_status fan_begin_from(fan_state *s, const fan_state *from)
{
    between *room[2][FAN_AXES] = {{NULL}};
    drupelet_status status = base_ok();
    for (int f = 0; f < 2; f++)
        for (int a = 0; a < FAN_AXES; a++) {
            room[f][a] = malloc(((size_t)s->mesh[a].n + 1) * sizeof(between));
            if (!room[f][a])
                status = base_error(DRUPELET_MEMORY, "no memory for the fan's air");
            else
                find_between(&s->mesh[a], &from->mesh[a], f == 1, room[f][a]);
        }
    const struct {
        fan_place place;
        const float *from;
        float *to, least;
    } all[] = {
        {FAN_U, from->u, s->u, 0.0f},           {FAN_V, from->v, s->v, 0.0f},
        {FAN_W, from->w, s->w, 0.0f},           {FAN_CELL, from->p, s->p, 0.0f},
        {FAN_CELL, from->k, s->k, FAN_LEAST_K}, {FAN_CELL, from->e, s->e, FAN_LEAST_EPSILON},
    };
    for (size_t n = 0; status.code == DRUPELET_OK && n < sizeof all / sizeof all[0]; n++) {
        const between *at[FAN_AXES];
        for (int a = 0; a < FAN_AXES; a++)
            at[a] = room[(int)all[n].place == a + 1][a];
        add_excess(s, from, all[n].place, at, all[n].from, all[n].to, all[n].least);
    }
    for (int f = 0; f < 2; f++)
        for (int a = 0; a < FAN_AXES; a++)
            free(room[f][a]);
    return status;
}
