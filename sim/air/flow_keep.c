/* sim/air/flow_keep.c - air that was computed once is kept in a folder and read back; here what all of it has in
 * common, and the winds.
 *
 * A wind is known by a hash of all that it follows from: the case, and the sources of the solver. So neither a wind of
 * another case nor one of another state of the program is ever taken. Same sources mean same bytes: they do not
 * depend on compiler, processor or threads. */
#include "air/flow_keep.h"

#include <math.h>
#include <string.h>

#include "base/hash.h"
#include "base/status.h"

extern const char air_sources_sha256[]; /* of the sources of base and air (scripts/cmake/embedded_data.cmake) */

base_hash air_keep_key(void)
{
    return base_hash_on((base_hash){{0, 0}}, air_sources_sha256, strlen(air_sources_sha256));
}

bool air_keep_read(const air_flow_store *store, base_hash key, int n_pieces, const base_kept_piece *piece)
{
    return store && store->folder && base_kept_read(store->folder, key, n_pieces, piece);
}

void air_keep_write(const air_flow_store *store, base_hash key, int n_pieces, const base_kept_piece *piece)
{
    if (!store || !store->folder) return;
    const int64_t most_bytes = store->most_bytes > 0 ? store->most_bytes : AIR_FLOW_STORE_BYTES;
    if (!base_kept_write(store->folder, key, n_pieces, piece, most_bytes) && store->refused) {
#pragma omp atomic write
        *store->refused = true; /* several threads may have one store */
    }
}

bool air_keep_inside(int n, const double *face, const double *point)
{
    bool good = true;
    for (int i = 0; i < n; i++)
        good = good && point[i] > face[i] && point[i] < face[i + 1];
    return good;
}

drupelet_status air_keep_obtain(const air_flow_store *store, base_hash key, air_watch watch, air_keep_ways ways)
{
    if (!store || !store->folder) return ways.solve(ways.of);
    FILE *claim;
    bool found = false;
    drupelet_status status = ways.read(ways.of, &found);
    while (status.code == DRUPELET_OK && !found && !base_kept_claim(store->folder, key, &claim)) {
        if (watch.go_on && !watch.go_on(0.0, watch.user))
            status = base_error(DRUPELET_STOPPED, "stopped before the end; no result was kept");
        else
            status = ways.read(ways.of, &found);
    }
    if (status.code != DRUPELET_OK || found) return status;
    status = ways.read(ways.of, &found); /* it may have come just before the claim */
    if (status.code == DRUPELET_OK && !found) status = ways.solve(ways.of);
    base_kept_release(store->folder, key, claim);
    return status;
}

/* ---- winds ---- */

/* A case with one more field needs it in the key. */
#define BEFORE_NUMBERS (2 * sizeof(int) + 4 * sizeof(double *))
#define NUMBERS_FROM ((BEFORE_NUMBERS + _Alignof(double) - 1) / _Alignof(double) * _Alignof(double))
_Static_assert(sizeof(air_flow_case) == NUMBERS_FROM + 6 * sizeof(double),
               "the key of a wind covers every field of its case");

static base_hash key_of(const air_flow_case *c)
{
    const int32_t shape[] = {c->nx, c->nz};
    const double number[] = {c->over_turning,    c->half_exponent, c->roughness_m,
                             c->per_obukhov_1_m, c->cos_angle,     c->sin_angle};
    const size_t nx = (size_t)c->nx, nz = (size_t)c->nz;
    base_hash key = base_hash_on(air_keep_key(), shape, sizeof shape);
    key = base_hash_on(key, number, sizeof number);
    key = base_hash_on(key, c->x_face_m, (nx + 1) * sizeof *c->x_face_m);
    key = base_hash_on(key, c->z_face_m, (nz + 1) * sizeof *c->z_face_m);
    key = base_hash_on(key, c->drag_1_m, nx * nz * sizeof *c->drag_1_m);
    return base_hash_on(key, c->leaf_drag_1_m, nx * nz * sizeof *c->leaf_drag_1_m);
}

/* An entry holds a wind in these pieces. */
enum { PIECES = 9 };
static void pieces_of(air_flow *f, base_kept_piece piece[PIECES])
{
    const size_t nx = (size_t)f->nx, nz = (size_t)f->nz, n = nx * nz;
    float *const value[] = {f->u, f->v, f->w, f->k, f->epsilon};
    piece[0] = (base_kept_piece){&f->n_rounds, sizeof f->n_rounds};
    piece[1] = (base_kept_piece){f->x_m, nx * sizeof *f->x_m};
    piece[2] = (base_kept_piece){f->z_m, nz * sizeof *f->z_m};
    piece[3] = (base_kept_piece){f->force, nx * sizeof *f->force};
    for (int i = 0; i < 5; i++)
        piece[4 + i] = (base_kept_piece){value[i], n * sizeof *value[i]};
}

/* Can these be the numbers of a wind? An entry that is whole need not come from us. */
static bool is_wind(const air_flow_case *c, const air_flow *f)
{
    bool good =
        f->n_rounds > 0 && air_keep_inside(f->nx, c->x_face_m, f->x_m) && air_keep_inside(f->nz, c->z_face_m, f->z_m);
    for (int i = 0; i < f->nx; i++)
        good = good && isfinite(f->force[i]);
    for (size_t i = 0; i < (size_t)f->nx * (size_t)f->nz; i++)
        good = good && isfinite(f->u[i]) && isfinite(f->v[i]) && isfinite(f->w[i]) && f->k[i] > 0.0f
               && isfinite(f->k[i]) && f->epsilon[i] > 0.0f && isfinite(f->epsilon[i]);
    return good;
}

/* A wind that is wanted. */
typedef struct {
    const air_flow_case *c;
    const air_flow_store *store;
    base_hash key;
    air_watch watch;
    air_flow **flow;
} wanted;

static drupelet_status read_back(void *of, bool *found)
{
    const wanted *w = of;
    base_kept_piece piece[PIECES];
    const drupelet_status status = air_flow_create(w->c->nx, w->c->nz, w->flow);
    if (status.code != DRUPELET_OK) return status;
    pieces_of(*w->flow, piece);
    *found = air_keep_read(w->store, w->key, PIECES, piece) && is_wind(w->c, *w->flow);
    if (!*found) {
        air_flow_free(*w->flow);
        *w->flow = NULL;
    }
    return status;
}

static drupelet_status solve_and_keep(void *of)
{
    const wanted *w = of;
    const drupelet_status status = air_flow_solve_watched(w->c, w->watch, w->flow);
    if (status.code != DRUPELET_OK) return status;
    base_kept_piece piece[PIECES];
    pieces_of(*w->flow, piece);
    air_keep_write(w->store, w->key, PIECES, piece);
    return status;
}

drupelet_status air_flow_obtain(const air_flow_case *c, const air_flow_store *store, air_watch watch, air_flow **flow)
{
    wanted w = {c, store, key_of(c), watch, flow};
    *flow = NULL;
    return air_keep_obtain(store, w.key, watch, (air_keep_ways){&w, read_back, solve_and_keep});
}
