/* tests/test_coverage.c - stains, numbers of droplets and cover of leaves: what an impact leaves, what is averaged,
 * what few droplets do, and what a run says. Cells are filled by hand only where the cover must be known beforehand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/random.h"
#include "check.h"
#include "run_case.h"
#include "tally/leaves.h"

static const int64_t EACH = TALLY_PARTS / TALLY_BATCHES;
static const tally_where ALL = {-1, -1, -1, -1}, UPPER = {-1, -1, -1, 1}, LOWER = {-1, -1, -1, 0};

static tally *leaves(int n_rows, int nz, int nx)
{
    const tally_shape shape = {.n_rows = n_rows, .edge_high_x_m = 1.0, .domain_high_x_m = 1.0, .downwind = 1,
                               .n_ground = 1, .n_flux = 1};
    tally *a;
    assert_int_equal(tally_create(&shape, &a).code, DRUPELET_OK);
    assert_int_equal(tally_leaves_create(n_rows, nz, 1, nx, &a->leaves).code, DRUPELET_OK);
    for (int b = 0; b < TALLY_BATCHES; b++)
        a->emitted[b][0] = EACH;
    return a;
}

static tally_estimate cover(const tally *a, tally_where where)
{
    tally_coverage *c;
    assert_int_equal(tally_coverage_create(a, &c).code, DRUPELET_OK);
    const tally_estimate e = tally_cover(c, where);
    tally_coverage_free(c);
    return e;
}

static void an_impact_leaves_its_liquid_its_stain_and_its_number(void **state)
{
    (void)state;
    /* droplets of 100 um that shrank to 80 um: number (20/100)^3, liquid 0.8^3, stain 20/100 (spread 0.8)^2 of parts */
    tally_mark m = tally_mark_of(EACH, EACH, 100e-6, 80e-6, 1.5);
    assert_close((double)m.number, 0.008 * (double)EACH, 1e-9, 0.0);
    assert_close((double)m.liquid, 0.512 * (double)EACH, 1e-9, 0.0);
    assert_close((double)m.stain, 0.2 * 1.44 * (double)EACH, 1e-9, 0.0);
    assert_true(m.seen == m.number); /* 120 um */
    /* shattered, an eighth stays: as many stains, half as wide */
    m = tally_mark_of(EACH, EACH / 8, 100e-6, 80e-6, 1.5);
    assert_close((double)m.number, 0.008 * (double)EACH, 1e-9, 0.0);
    assert_close((double)m.liquid, 0.064 * (double)EACH, 1e-9, 0.0);
    assert_close((double)m.stain, 0.05 * 1.44 * (double)EACH, 1e-9, 0.0);
    assert_true(tally_mark_of(EACH, EACH, 50e-6, 49e-6, 1.0).seen == 0);
    assert_true(tally_mark_of(EACH, EACH, 50e-6, 50e-6, 1.0).seen > 0);
    /* a cold droplet that took on water brings more liquid than was sprayed */
    m = tally_mark_of(EACH, EACH, 100e-6, 101e-6, 1.5);
    assert_close((double)m.liquid, 1.030301 * (double)EACH, 1e-9, 0.0);
    assert_close((double)m.stain, 0.2 * 1.5 * 1.5 * 1.0201 * (double)EACH, 1e-9, 0.0);
    /* the smallest droplets stay inside 64 bits, all output in them */
    m = tally_mark_of(TALLY_PARTS, TALLY_PARTS, 1e-9, 1e-9, 5.0);
    assert_true(m.number > 0 && m.number <= INT64_MAX / 2 && m.stain >= 0);
}

/* Two cells of leaf area 3 and 1, one of them with two layers of stains on the upper side. */
static void cover_is_the_mean_over_leaf_area(void **state)
{
    (void)state;
    tally *a = leaves(1, 2, 2);
    tally_leaves *l = a->leaves;
    l->area_m2[0] = 3.0; /* bottom, towards -x */
    l->area_m2[3] = 1.0; /* top, towards +x */
    l->third[1] = 2;
    l->emitted_m3 = 2.0 * TALLY_STAIN_M / 1.5; /* so that a stain account of all parts is 2 layers of 1 m2 */
    for (int b = 0; b < TALLY_BATCHES; b++)
        l->cell[b * 4 + 3].stain[1] = EACH;
    const double two = 1.0 - exp(-2.0);
    assert_close(cover(a, UPPER).share, two / 4.0, 1e-12, 0.0);
    assert_close(cover(a, UPPER).error, 0.0, 0.0, 1e-12);
    assert_close(cover(a, LOWER).share, 0.0, 0.0, 1e-12);
    assert_close(cover(a, ALL).share, two / 8.0, 1e-12, 0.0);
    assert_close(cover(a, (tally_where){0, 2, 1, 1}).share, two, 1e-12, 0.0);
    assert_close(cover(a, (tally_where){0, 0, 0, 1}).share, 0.0, 0.0, 1e-12);
    assert_true(isnan(cover(a, (tally_where){0, 2, 0, 1}).share)); /* no leaves there */
    tally_coverage *c;
    assert_int_equal(tally_coverage_create(a, &c).code, DRUPELET_OK);
    assert_close(tally_leaf_area_m2(c, ALL), 4.0, 1e-15, 0.0);
    assert_close(tally_leaf_area_m2(c, UPPER), 4.0, 1e-15, 0.0);
    assert_close(tally_leaf_area_m2(c, (tally_where){-1, 2, -1, -1}), 1.0, 1e-15, 0.0);
    tally_coverage_free(c);
    tally_free(a);
}

/* Few droplets: a cell's layers are then known badly, and a bent law takes the noise for less cover. The jackknife must
 * take that off, and know how far it may be off. 400 samples of some 20 droplets on a cell, 1.5 layers on the mean;
 * half of the droplets miss, or the number on all cells together would be known. */
static void few_droplets_do_not_cover_less(void **state)
{
    (void)state;
    enum { SAMPLES = 400, HITS = 20, CELLS = 8 };
    double sum = 0.0, squares = 0.0, errors2 = 0.0, plain = 0.0;
    for (int s = 0; s < SAMPLES; s++) {
        tally *a = leaves(1, 1, CELLS);
        a->leaves->emitted_m3 = CELLS * 1.5 * TALLY_STAIN_M / 1.5;
        for (int i = 0; i < CELLS; i++)
            a->leaves->area_m2[i] = 1.0;
        for (int k = 0; k < 2 * HITS * CELLS; k++) { /* each on a random cell, in turn of a batch */
            uint32_t bits[4];
            base_random_block(9, BASE_STREAM_CHECK, (uint64_t)s, (uint32_t)k, bits);
            const int i = (int)(CELLS * base_uniform(bits[0]));
            if (base_uniform(bits[1]) > 0.5)
                continue;
            a->leaves->cell[k % TALLY_BATCHES * CELLS + i].stain[1] += TALLY_PARTS / (HITS * CELLS);
        }
        const tally_estimate e = cover(a, UPPER);
        double raw = 0.0;
        for (int i = 0; i < CELLS; i++) {
            double layers = 0.0;
            for (int b = 0; b < TALLY_BATCHES; b++)
                layers += CELLS * 1.5 * (double)a->leaves->cell[b * CELLS + i].stain[1] / (double)TALLY_PARTS;
            raw += tally_covered(layers, 0.0) / CELLS;
        }
        sum += e.share;
        squares += e.share * e.share;
        errors2 += e.error * e.error;
        plain += raw / SAMPLES;
        tally_free(a);
    }
    const double true_cover = 1.0 - exp(-1.5), mean = sum / SAMPLES;
    const double spread = sqrt(squares / SAMPLES - mean * mean), said = sqrt(errors2 / SAMPLES);
    print_message("cover %.4f, true %.4f, without the jackknife %.4f; spread %.4f, said %.4f\n", mean, true_cover,
                  plain, spread, said);
    assert_true(plain < true_cover - 0.008); /* the fault that is to be taken off */
    assert_close(mean, true_cover, 0.0, 0.002);
    assert_close(said, spread, 0.15, 0.0);
}

static void a_run_says_what_is_on_its_leaves(void **state)
{
    (void)state;
    run_case c = case_run("apple-wall-full-leaf.yaml", 40000, 2, NULL);
    const tally *a = c.outcome->accounts;
    tally_coverage *on;
    assert_int_equal(tally_coverage_create(a, &on).code, DRUPELET_OK);
    /* leaf area: the index times the ground; deposit: the share on leaves over it */
    const double index = c.scenario->canopy.leaf_area_index, leaf = tally_row(a, -1, -1, -1).share;
    assert_close(tally_leaf_area_m2(on, ALL), index * a->leaves->treated_m2, 1e-5, 0.0);
    assert_close(tally_leaf_deposit_of_rate(on, ALL).share, leaf / index, 1e-5, 0.0);
    assert_close(tally_leaf_deposit_m(on, ALL).share, leaf * c.outcome->sprayer.application_rate_m / index, 1e-5, 0.0);
    assert_close(tally_leaf_deposit_of_rate(on, ALL).error, tally_row(a, -1, -1, -1).error / index, 1e-5, 0.0);
    assert_close(tally_leaf_deposit_m(on, UPPER).share + tally_leaf_deposit_m(on, LOWER).share,
                 tally_leaf_deposit_m(on, ALL).share, 1e-12, 0.0);
    for (int r = 0; r < 8; r++)
        for (int t = 0; t < TALLY_THIRDS; t++) {
            const tally_where where = {r, t, -1, -1};
            assert_close(tally_leaf_deposit_m(on, where).share * tally_leaf_area_m2(on, where) / a->leaves->emitted_m3,
                         tally_row(a, r, t, -1).share, 1e-9, 0.0);
        }
    /* water that evaporated is not on the leaf */
    const double liquid = tally_leaf_liquid_m(on, ALL).share / tally_leaf_deposit_m(on, ALL).share;
    const double water = tally_water(a, TALLY_LEAF).share / leaf, stays = c.scenario->liquid.nonvolatile;
    assert_close(liquid, stays + (1.0 - stays) * water, 1e-6, 0.0);
    /* the leaf's upper side is the easier one to wet */
    assert_true(tally_cover(on, UPPER).share > tally_cover(on, LOWER).share);
    assert_true(tally_seen_1_m2(on, UPPER).share < tally_droplets_1_m2(on, UPPER).share);
    assert_true(tally_cover(on, UPPER).share < 1.0 && tally_cover(on, LOWER).share > 0.0);
    tally_coverage_free(on);
    case_end(&c);
}

static void easy_leaves_are_covered_more_and_drier_air_leaves_less(void **state)
{
    (void)state;
    run_case hard = case_run("apple-wall-full-leaf.yaml", 20000, 2, NULL),
             easy = case_run("apple-wall-full-leaf.yaml", 20000, 2,
                             (const char *[4]){"canopy.upper_side=easy", "canopy.lower_side=easy"}),
             dry = case_run("apple-wall-full-leaf.yaml", 20000, 2,
                            (const char *[4]){"weather.relative_humidity=20 %", "weather.temperature=30 degC"});
    const tally_estimate h = cover(hard.outcome->accounts, ALL), e = cover(easy.outcome->accounts, ALL),
                         d = cover(dry.outcome->accounts, ALL);
    assert_true(e.share > h.share + 5.0 * hypot(e.error, h.error));
    assert_true(d.share < h.share - 5.0 * hypot(d.error, h.error));
    case_end(&hard);
    case_end(&easy);
    case_end(&dry);
}

static void leafless_trees_have_no_cover(void **state)
{
    (void)state;
    run_case c = case_run("apple-wall-dormant.yaml", 10000, 2, NULL);
    assert_true(isnan(cover(c.outcome->accounts, ALL).share));
    assert_true(tally_run_off(c.outcome->accounts).share == 0.0);
    case_end(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_impact_leaves_its_liquid_its_stain_and_its_number),
        cmocka_unit_test(cover_is_the_mean_over_leaf_area),
        cmocka_unit_test(few_droplets_do_not_cover_less),
        cmocka_unit_test(a_run_says_what_is_on_its_leaves),
        cmocka_unit_test(easy_leaves_are_covered_more_and_drier_air_leaves_less),
        cmocka_unit_test(leafless_trees_have_no_cover),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
