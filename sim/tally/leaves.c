/* sim/tally/leaves.c - accounts of the leaves, and cover, density of droplets and deposit over leaf area.
 *
 * Cover by stains that fall at random: C = 1 - exp(-n a), n droplets of stain area a over leaf area (Poisson). It is
 * not in proportion to the deposit, so it must not be taken of a mean over unlike places, nor of one batch with its
 * few droplets: each cell's own layers of the whole run go in, and the mean over leaf area comes out. The batches
 * enter by the jackknife (M. H. Quenouille, Biometrika 43 (1956) 353; J. W. Tukey, Ann. Math. Stat. 29 (1958) 614;
 * memory): the cover without each batch in turn gives the standard error, and takes off the first order of what
 * sampling puts below the true value. The leaves of a cell differ (unlike.c), which lowers the cover. Left out: stains
 * that flow together. */
#include "tally/leaves.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "tally/unlike.h"

drupelet_status tally_leaves_create(int n_rows, int nz, int ny, int nx, tally_leaves **leaves)
{
    assert(n_rows > 0 && nz > 0 && ny > 0 && nx > 0);
    const size_t n = (size_t)n_rows * (size_t)nz * (size_t)nx;
    *leaves = NULL;
    tally_leaves *l = calloc(1, sizeof *l);
    if (!l)
        return base_error(DRUPELET_MEMORY, "no memory for the leaves");
    l->n_rows = n_rows;
    l->nz = nz;
    l->nx = nx;
    l->n_voxels = (int64_t)n * ny;
    l->place = calloc(2 * n * (size_t)ny, sizeof *l->place);
    l->leaf_to_leaf = NAN;
    l->cell = calloc(TALLY_BATCHES * n, sizeof *l->cell);
    l->wood = calloc(TALLY_BATCHES * n, sizeof *l->wood);
    l->area_m2 = calloc(n, sizeof *l->area_m2);
    l->wood_area_m2 = calloc(n, sizeof *l->wood_area_m2);
    l->third = calloc((size_t)nz, sizeof *l->third);
    if (!l->place || !l->cell || !l->wood || !l->area_m2 || !l->wood_area_m2 || !l->third) {
        tally_leaves_free(l);
        return base_error(DRUPELET_MEMORY, "no memory for the leaves");
    }
    *leaves = l;
    return base_ok();
}

void tally_leaves_free(tally_leaves *leaves)
{
    if (!leaves)
        return;
    free(leaves->third);
    free(leaves->wood_area_m2);
    free(leaves->area_m2);
    free(leaves->wood);
    free(leaves->cell);
    free(leaves->place);
    free(leaves);
}

/* ---- adding ---- */

int64_t *tally_leaves_array(const tally_leaves *l, int i, int64_t *n)
{
    const int64_t cells = TALLY_BATCHES * tally_leaves_cells(l);
    switch (i) { /* cells are nothing but such numbers, one after the other */
    case 0: *n = cells * (int64_t)(sizeof *l->cell / sizeof(int64_t)); return (int64_t *)l->cell;
    case 1: *n = cells * (int64_t)(sizeof *l->wood / sizeof(int64_t)); return (int64_t *)l->wood;
    case 2: *n = 2 * l->n_voxels; return l->place;
    case 3: *n = (int64_t)(sizeof l->facing / sizeof(int64_t)); return (int64_t *)(uintptr_t)l->facing;
    default: *n = 0; return NULL;
    }
}

void tally_leaves_merge(tally_leaves *sum, const tally_leaves *more)
{
    assert(sum->n_rows == more->n_rows && sum->nz == more->nz && sum->nx == more->nx);
    int64_t n, *to;
    for (int k = 0; (to = tally_leaves_array(sum, k, &n)); k++) {
        const int64_t *from = tally_leaves_array(more, k, &n);
        for (int64_t i = 0; i < n; i++)
            to[i] = tally_sum(to[i], from[i]);
    }
}

int64_t tally_liquid_of(int64_t kept, double whole_m, double arrives_m)
{
    const double left = arrives_m / whole_m;
    return base_nearest((double)kept * left * left * left);
}

/* Of n = V / (pi/6 whole^3) droplets each leaves a stain of pi/4 (spread d)^2, d that of the liquid that stays. */
tally_mark tally_mark_of(int64_t before, int64_t kept, double whole_m, double arrives_m, double spread)
{
    const double whole = fmax(whole_m, TALLY_STAIN_LEAST_M), left = arrives_m / whole_m;
    const double unit = TALLY_STAIN_M / whole, stays = kept == before ? 1.0 : base_cbrt((double)kept / (double)before);
    const double d = left * stays;
    assert(before > 0 && kept >= 0 && kept <= before && spread > 0.0 && spread < 10.0);
    assert(whole_m > 0.0 && left < 2.0); /* a droplet colder than the dew point grows, but not so much */
    const int64_t number = base_nearest((double)before * unit * unit * unit);
    return (tally_mark){.liquid = tally_liquid_of(kept, whole_m, arrives_m),
                        .stain = base_nearest((double)before * unit * spread * spread * d * d),
                        .number = number,
                        .seen = spread * d * whole >= TALLY_SEEN_M ? number : 0};
}

void tally_wood_add(tally_wood *wood, int64_t kept, int64_t liquid)
{
#pragma omp atomic
    wood->active += kept;
#pragma omp atomic
    wood->liquid += liquid;
}

void tally_leaves_add(tally_cell *cell, int leaf_side, int64_t kept, const tally_mark *mark)
{
#pragma omp atomic
    cell->active[leaf_side] += kept;
#pragma omp atomic
    cell->liquid[leaf_side] += mark->liquid;
#pragma omp atomic
    cell->stain[leaf_side] += mark->stain;
#pragma omp atomic
    cell->number[leaf_side] += mark->number;
#pragma omp atomic
    cell->seen[leaf_side] += mark->seen;
}

void tally_leaves_face(tally_leaves *l, int i_batch, int64_t voxel, int third, int side, int leaf_side, int kind,
                       const float towards[3], int64_t kept)
{
    const int half = i_batch % 2;
    tally_facing *f = &l->facing[half][third][side];
#pragma omp atomic
    l->place[half * l->n_voxels + voxel] += kept;
#pragma omp atomic
    f->on[leaf_side][kind] += kept;
    for (int c = 0; c < 3; c++) {
        const int64_t part = base_nearest((double)towards[c] * (double)kept);
#pragma omp atomic
        f->towards[c] += part;
    }
}

/* ---- sums ---- */

#define ALIKE 1e-6 /* below it leaves count as alike: the cover differs by less than that of itself */

/* Mean of 1 - exp(-n X) over a gamma distribution of mean 1 and variance v^2: 1 - (1 + n v^2)^(-1/v^2). */
double tally_covered(double layers, double unlike2)
{
    return unlike2 < ALIKE ? -base_expm1(-layers) : -base_expm1(-base_log1p(layers * unlike2) / unlike2);
}

/* Of one row, third, side and leaf side. */
typedef enum { ACTIVE, LIQUID, NUMBER, SEEN, AMOUNTS } amount;
typedef struct {
    double area_m2;
    double covered_m2[1 + TALLY_BATCHES]; /* by all batches; without each of them */
    double of[AMOUNTS][TALLY_BATCHES];
} bucket;

struct tally_coverage {
    const tally *accounts;
    int n_rows;
    bucket *place; /* [n_rows][TALLY_THIRDS][TALLY_SIDES][2] */
};

static void add_cell(bucket *to, const tally *a, int64_t i_cell, int leaf_side)
{
    const tally_leaves *l = a->leaves;
    const int64_t n = tally_leaves_cells(l);
    const double area_m2 = l->area_m2[i_cell];
    double stain[TALLY_BATCHES], all = 0.0, emitted = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        const tally_cell *c = &l->cell[b * n + i_cell];
        stain[b] = (double)c->stain[leaf_side];
        all += stain[b];
        emitted += (double)a->emitted[b][0];
        to->of[ACTIVE][b] += (double)c->active[leaf_side];
        to->of[LIQUID][b] += (double)c->liquid[leaf_side];
        to->of[NUMBER][b] += (double)c->number[leaf_side];
        to->of[SEEN][b] += (double)c->seen[leaf_side];
    }
    to->area_m2 += area_m2;
    const double layers = 1.5 * l->emitted_m3 / (TALLY_STAIN_M * area_m2);
    const double unlike2 = tally_unlike_side(
        &l->unlike[l->third[i_cell / l->nx % l->nz]][tally_leaves_side(l, (int)(i_cell % l->nx))], leaf_side);
    to->covered_m2[0] += area_m2 * tally_covered(layers * all / emitted, unlike2);
    for (int b = 0; b < TALLY_BATCHES; b++)
        to->covered_m2[1 + b] +=
            area_m2 * tally_covered(layers * (all - stain[b]) / (emitted - (double)a->emitted[b][0]), unlike2);
}

drupelet_status tally_coverage_create(const tally *accounts, tally_coverage **coverage)
{
    const tally_leaves *l = accounts->leaves;
    assert(l);
    *coverage = NULL;
    tally_coverage *c = calloc(1, sizeof *c);
    if (c) {
        c->accounts = accounts;
        c->n_rows = l->n_rows;
        c->place = calloc((size_t)l->n_rows * TALLY_THIRDS * TALLY_SIDES * 2, sizeof *c->place);
    }
    if (!c || !c->place) {
        tally_coverage_free(c);
        return base_error(DRUPELET_MEMORY, "no memory for the cover of the leaves");
    }
    for (int64_t i = 0; i < tally_leaves_cells(l); i++) {
        const int ix = (int)(i % l->nx), iz = (int)(i / l->nx % l->nz), row = (int)(i / ((int64_t)l->nx * l->nz));
        bucket *two =
            &c->place[((row * TALLY_THIRDS + l->third[iz]) * TALLY_SIDES + tally_leaves_side(l, ix)) * 2];
        for (int leaf_side = 0; leaf_side < 2 && l->area_m2[i] > 0.0; leaf_side++)
            add_cell(&two[leaf_side], accounts, i, leaf_side);
    }
    *coverage = c;
    return base_ok();
}

void tally_coverage_free(tally_coverage *coverage)
{
    if (!coverage)
        return;
    free(coverage->place);
    free(coverage);
}

static bucket sum_of(const tally_coverage *c, tally_where where)
{
    bucket sum = {0};
    const bucket *from = c->place;
    for (int r = 0; r < c->n_rows; r++)
        for (int t = 0; t < TALLY_THIRDS; t++)
            for (int s = 0; s < TALLY_SIDES; s++)
                for (int f = 0; f < 2; f++, from++) {
                    if ((where.row >= 0 && where.row != r) || (where.third >= 0 && where.third != t)
                        || (where.side >= 0 && where.side != s) || (where.leaf_side >= 0 && where.leaf_side != f))
                        continue;
                    sum.area_m2 += from->area_m2;
                    for (int b = 0; b <= TALLY_BATCHES; b++)
                        sum.covered_m2[b] += from->covered_m2[b];
                    for (int k = 0; k < AMOUNTS; k++)
                        for (int b = 0; b < TALLY_BATCHES; b++)
                            sum.of[k][b] += from->of[k][b];
                }
    return sum;
}

double tally_leaf_area_m2(const tally_coverage *c, tally_where where)
{
    return sum_of(c, where).area_m2 / (where.leaf_side < 0 ? 2.0 : 1.0);
}

tally_estimate tally_cover(const tally_coverage *c, tally_where where)
{
    const bucket sum = sum_of(c, where);
    if (!(sum.area_m2 > 0.0) || !isfinite(c->accounts->leaves->emitted_m3)) /* no leaves; a sprayer that stands */
        return (tally_estimate){NAN, NAN};
    double mean = 0.0, squares = 0.0;
    for (int b = 0; b < TALLY_BATCHES; b++)
        mean += sum.covered_m2[1 + b] / (sum.area_m2 * TALLY_BATCHES);
    for (int b = 0; b < TALLY_BATCHES; b++) {
        const double off = sum.covered_m2[1 + b] / sum.area_m2 - mean;
        squares += off * off;
    }
    const double cover = TALLY_BATCHES * sum.covered_m2[0] / sum.area_m2 - (TALLY_BATCHES - 1.0) * mean;
    return (tally_estimate){fmin(fmax(cover, 0.0), 1.0), sqrt((TALLY_BATCHES - 1.0) / TALLY_BATCHES * squares)};
}

/* An amount at a place over leaf area. @param whole what everything emitted would be  @param per_side numbers of
 * droplets: the area of both leaf sides counts where both are asked for */
static tally_estimate over_area(const tally_coverage *c, tally_where where, amount of, double whole, bool per_side)
{
    const bucket sum = sum_of(c, where);
    const double area_m2 = sum.area_m2 / (where.leaf_side < 0 && !per_side ? 2.0 : 1.0);
    if (!(area_m2 > 0.0))
        return (tally_estimate){NAN, NAN};
    const tally_estimate e = tally_share_of(c->accounts, sum.of[of]);
    return (tally_estimate){e.share * whole / area_m2, e.error * whole / area_m2};
}

static double units_emitted(const tally_coverage *c) /* droplets of TALLY_STAIN_M */
{
    return c->accounts->leaves->emitted_m3 / (BASE_PI / 6.0 * TALLY_STAIN_M * TALLY_STAIN_M * TALLY_STAIN_M);
}

tally_estimate tally_droplets_1_m2(const tally_coverage *c, tally_where where)
{
    return over_area(c, where, NUMBER, units_emitted(c), true);
}

tally_estimate tally_seen_1_m2(const tally_coverage *c, tally_where where)
{
    return over_area(c, where, SEEN, units_emitted(c), true);
}

tally_estimate tally_leaf_deposit_m(const tally_coverage *c, tally_where where)
{
    return over_area(c, where, ACTIVE, c->accounts->leaves->emitted_m3, false);
}

tally_estimate tally_leaf_liquid_m(const tally_coverage *c, tally_where where)
{
    return over_area(c, where, LIQUID, c->accounts->leaves->emitted_m3, false);
}

tally_estimate tally_leaf_deposit_of_rate(const tally_coverage *c, tally_where where)
{
    return over_area(c, where, ACTIVE, c->accounts->leaves->treated_m2, false);
}

static tally_estimate dripped(const tally *accounts, const int64_t *parts, double error)
{
    return (tally_estimate){tally_share(accounts, parts, 1).share, error};
}

tally_estimate tally_run_off(const tally *accounts)
{
    const tally_leaves *l = accounts->leaves;
    return l ? dripped(accounts, l->run_off, l->run_off_error) : (tally_estimate){NAN, NAN};
}

tally_estimate tally_wood_run_off(const tally *accounts)
{
    const tally_leaves *l = accounts->leaves;
    return l ? dripped(accounts, l->wood_run_off, l->wood_run_off_error) : (tally_estimate){NAN, NAN};
}
