/* tests/synthetic_sweep.c - writes a sweep of known answers through the program's own writer. */
#define _POSIX_C_SOURCE 200809L
#include "synthetic_sweep.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/random.h"

enum { MOST_REPLICATES = 4 };

static double noise_of(int64_t id, int batch, double deviation)
{
    uint32_t random[4];
    double normal[2];
    base_random_block(9, BASE_STREAM_CHECK, (uint64_t)id, (uint32_t)batch, random);
    base_normal_pair(random[0], random[1], normal);
    return deviation * normal[0];
}

static void fill(const synthetic_sweep *s, int64_t c, int n_replicates, store_sweep_row *row)
{
    const int64_t p = c / n_replicates, r = c % n_replicates;
    memset(row, 0, sizeof *row);
    row->seed = 1 + r;
    row->n_droplets = 1000;
    row->setting[0] = 300.0 + 60.0 * (double)(p / SYNTHETIC_TIPS);
    row->setting[1] = (double)(p % SYNTHETIC_TIPS);
    for (int k = 0; k < result_columns_batched(); k++) {
        if (k == result_column_named("aloft")) {
            const double aloft = s->aloft ? s->aloft(p) : 0.0;
            for (int b = 0; b < TALLY_BATCHES; b++)
                row->measures.batch[k][b] = (float)aloft;
            row->measures.value[k] = (tally_estimate){aloft, 0.0};
            continue;
        }
        const double truth = s->truth(k, p);
        double mean = 0.0, squares = 0.0;
        for (int b = 0; b < TALLY_BATCHES; b++) {
            const double x = truth + noise_of(1000 + r, b + 100 * k, SYNTHETIC_SHARED)
                             + noise_of(2000 + c, b + 100 * k, SYNTHETIC_OWN);
            row->measures.batch[k][b] = (float)x;
            mean += x / TALLY_BATCHES;
        }
        for (int b = 0; b < TALLY_BATCHES; b++)
            squares += pow((double)row->measures.batch[k][b] - mean, 2.0);
        row->measures.value[k] = (tally_estimate){mean, sqrt(squares / (TALLY_BATCHES - 1.0) / TALLY_BATCHES)};
    }
}

static void path_of(char path[64])
{
    snprintf(path, 64, "synthetic_sweep.%ld.h5", (long)getpid());
}

void synthetic_sweep_write(const synthetic_sweep *s, store_sweep *sweep)
{
    static char speed[] = "fan_speed", tip[] = "tip", rpm[] = "rpm", none[] = "", fine[] = "fine",
                coarse[] = "coarse, \"big\"", grid[] = "grid", name[] = "A known <sweep>", base[] = "base",
                version[] = "0", caution[] = "Caution.";
    char *levels[SYNTHETIC_TIPS] = {fine, coarse}, path[64], key[64], plan[512];
    const int n_replicates = s->n_replicates > 0 ? s->n_replicates : 1;
    assert_true(n_replicates <= MOST_REPLICATES);
    snprintf(key, sizeof key, "%s", s->key ? s->key : "sprayer.fan.speed");
    snprintf(plan, sizeof plan, "%s", s->plan ? s->plan : "plan");
    const store_sweep_head head = {
        .name = name, .version = version, .caution = caution, .plan_text = plan, .scenario_text = base, .design = grid,
        .n_replicates = n_replicates, .n_factors = 2, .n_cases = SYNTHETIC_POINTS * n_replicates,
        .factor = {{.name = speed, .key = key, .units = rpm, .numeric = true},
                   {.name = tip, .key = none, .units = none, .n_levels = SYNTHETIC_TIPS, .level = levels}}};
    static store_sweep_row row[SYNTHETIC_POINTS * MOST_REPLICATES];
    store_sweep_writer *writer;
    path_of(path);
    for (int64_t c = 0; c < head.n_cases; c++) {
        fill(s, c, n_replicates, &row[c]);
        if (c + 1 == s->failed) {
            row[c].reason = "a reason";
            for (int k = 0; k < RESULT_COLUMNS_MOST; k++)
                row[c].measures.value[k] = (tally_estimate){NAN, NAN};
        }
    }
    assert_int_equal(store_sweep_begin(&head, path, true, &writer).code, DRUPELET_OK);
    assert_int_equal(store_sweep_add(writer, row, (int)head.n_cases).code, DRUPELET_OK);
    assert_int_equal(store_sweep_end(writer, true).code, DRUPELET_OK);
    const drupelet_status status = store_sweep_read(path, sweep);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    assert_int_equal(sweep->head.n_factors, 2);
    assert_string_equal(sweep->head.factor[1].level[1], coarse);
    assert_true(store_sweep_is_of(path, plan, base) && !store_sweep_is_of(path, "another plan", base));
}

void synthetic_sweep_done(store_sweep *sweep)
{
    char path[64];
    path_of(path);
    store_sweep_free(sweep);
    remove(path);
}
