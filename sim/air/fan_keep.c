/* sim/air/fan_keep.c - fan air that was computed once is kept in a folder and read back, as winds are (flow_keep.c). */
#include "air/fan_keep.h"

#include <math.h>
#include <string.h>

#include "base/status.h"

/* A case with one more field needs it in the key. */
_Static_assert(sizeof(air_yielding) == 5 * sizeof(double), "the key of fan air covers all of how leaves give way");
_Static_assert(sizeof(air_fan_source) == 4 * sizeof(int) + 6 * sizeof(double), "a source is hashed field by field");
#define POINTERS (3 * sizeof(double *) + 5 * sizeof(float *) + 2 * sizeof(double *) + sizeof(unsigned char *))
_Static_assert(sizeof(void *) < 8
                   || sizeof(air_fan_case)
                          == POINTERS + sizeof(air_fan_source *) + 2 * sizeof(double) + sizeof(air_yielding)
                                 + 6 * sizeof(int),
               "the key of fan air covers every field of its case");

static base_hash with_sources(base_hash key, const air_fan_case *c)
{
    for (int i = 0; i < c->n_sources; i++) {
        const air_fan_source *s = &c->source[i];
        const int32_t place[] = {s->i, s->j, s->k};
        const double number[] = {s->flow_m3_s,       s->velocity_m_s[0], s->velocity_m_s[1],
                                 s->velocity_m_s[2], s->k_m2_s2,         s->epsilon_m2_s3};
        key = base_hash_on(key, place, sizeof place);
        key = base_hash_on(key, number, sizeof number);
    }
    return key;
}

static base_hash key_of(const air_fan_case *c)
{
    const int32_t shape[] = {c->nx, c->ny, c->nz, c->n_sources};
    const double number[] = {c->travel_m_s, c->roughness_m};
    const size_t nx = (size_t)c->nx, ny = (size_t)c->ny, nz = (size_t)c->nz, section = nx * nz;
    const float *const wind[] = {c->u, c->v, c->w, c->k, c->epsilon};
    base_hash key = base_hash_on(air_keep_key(), shape, sizeof shape);
    key = base_hash_on(key, number, sizeof number);
    key = base_hash_on(key, &c->yielding, sizeof c->yielding);
    key = base_hash_on(key, c->x_face_m, (nx + 1) * sizeof *c->x_face_m);
    key = base_hash_on(key, c->y_face_m, (ny + 1) * sizeof *c->y_face_m);
    key = base_hash_on(key, c->z_face_m, (nz + 1) * sizeof *c->z_face_m);
    for (int v = 0; v < 5; v++)
        key = base_hash_on(key, wind[v], section * sizeof *wind[v]);
    key = base_hash_on(key, c->drag_1_m, section * sizeof *c->drag_1_m);
    key = base_hash_on(key, c->leaf_drag_1_m, section * sizeof *c->leaf_drag_1_m);
    key = base_hash_on(key, c->body, nx * ny * nz);
    return with_sources(key, c);
}

/* An entry holds a flow in these pieces. */
enum { PIECES = 13 };
static void pieces_of(air_fan_flow *f, base_kept_piece piece[PIECES])
{
    const size_t n = (size_t)f->nx * (size_t)f->ny * (size_t)f->nz;
    float *const value[] = {f->u, f->v, f->w, f->k, f->epsilon, f->given};
    piece[0] = (base_kept_piece){&f->n_rounds, sizeof f->n_rounds};
    piece[1] = (base_kept_piece){&f->residual, sizeof f->residual};
    piece[2] = (base_kept_piece){&f->budget, sizeof f->budget};
    piece[12] = (base_kept_piece){&f->unsure, sizeof f->unsure};
    piece[3] = (base_kept_piece){f->x_m, (size_t)f->nx * sizeof *f->x_m};
    piece[4] = (base_kept_piece){f->y_m, (size_t)f->ny * sizeof *f->y_m};
    piece[5] = (base_kept_piece){f->z_m, (size_t)f->nz * sizeof *f->z_m};
    for (int i = 0; i < 6; i++)
        piece[6 + i] = (base_kept_piece){value[i], n * sizeof *value[i]};
}

/* Can these be the numbers of a flow? An entry that is whole need not come from us. */
static bool is_flow(const air_fan_case *c, const air_fan_flow *f)
{
    bool good = f->n_rounds > 0 && isfinite(f->residual) && f->unsure >= 0.0 && isfinite(f->unsure)
                && air_keep_inside(f->nx, c->x_face_m, f->x_m) && air_keep_inside(f->ny, c->y_face_m, f->y_m)
                && air_keep_inside(f->nz, c->z_face_m, f->z_m);
    const air_fan_budget *b = &f->budget;
    const double told[] = {b->blown_m3_s,      b->out_m3_s,           b->blown_m4_s2[0],     b->blown_m4_s2[1],
                           b->blown_m4_s2[2],  b->out_m4_s2[0],       b->out_m4_s2[1],       b->out_m4_s2[2],
                           b->rows_m4_s2[0],   b->rows_m4_s2[1],      b->rows_m4_s2[2],      b->ground_m4_s2[0],
                           b->ground_m4_s2[1], b->ground_m4_s2[2],    b->body_m4_s2[0],      b->body_m4_s2[1],
                           b->body_m4_s2[2],   b->unsettled_m4_s2[0], b->unsettled_m4_s2[1], b->unsettled_m4_s2[2]};
    _Static_assert(sizeof told == sizeof *b, "all numbers of the budget are looked at");
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++)
        good = good && isfinite(told[i]);
    for (size_t i = 0; good && i < (size_t)f->nx * (size_t)f->ny * (size_t)f->nz; i++)
        good = isfinite(f->u[i]) && isfinite(f->v[i]) && isfinite(f->w[i]) && f->k[i] >= 0.0f && isfinite(f->k[i])
               && f->epsilon[i] >= 0.0f && isfinite(f->epsilon[i]) && f->given[i] >= 0.0f && f->given[i] <= 1.0f;
    return good;
}

/* A flow that is wanted. */
typedef struct {
    const air_fan_case *c;
    const air_flow_store *store;
    base_hash key;
    int n_threads;
    air_watch watch;
    air_fan_flow **flow;
} wanted;

static drupelet_status read_back(void *of, bool *found)
{
    const wanted *w = of;
    base_kept_piece piece[PIECES];
    const drupelet_status status = air_fan_flow_create(w->c->nx, w->c->ny, w->c->nz, w->flow);
    if (status.code != DRUPELET_OK) return status;
    pieces_of(*w->flow, piece);
    *found = air_keep_read(w->store, w->key, PIECES, piece) && is_flow(w->c, *w->flow);
    if (!*found) {
        air_fan_flow_free(*w->flow);
        *w->flow = NULL;
    }
    return status;
}

static drupelet_status solve_and_keep(void *of)
{
    const wanted *w = of;
    const drupelet_status status = air_fan_flow_solve(w->c, w->n_threads, w->watch, w->flow);
    if (status.code != DRUPELET_OK) return status;
    base_kept_piece piece[PIECES];
    pieces_of(*w->flow, piece);
    air_keep_write(w->store, w->key, PIECES, piece);
    return status;
}

drupelet_status air_fan_flow_obtain(const air_fan_case *c, const air_flow_store *store, int n_threads, air_watch watch,
                                    air_fan_flow **flow)
{
    wanted w = {c, store, key_of(c), n_threads, watch, flow};
    *flow = NULL;
    return air_keep_obtain(store, w.key, watch, (air_keep_ways){&w, read_back, solve_and_keep});
}
