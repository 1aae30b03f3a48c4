/* tests/test_threads.c - the same seed gives the same bytes for any number of threads, another seed gives others, and
 * threads can read scenarios at once. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "run_case.h"

static char *bytes_of(const char *seed, const char *wind, int n_threads, long *size)
{
    char path[64];
    snprintf(path, sizeof path, "test_threads.%06d.h5", n_threads);
    const char *const settings[4] = {seed, wind, "orchard.rows=2"};
    run_case c = case_run("apple-wall-full-leaf.yaml", 5000, n_threads, settings);
    const drupelet_status status = drupelet_result_write(c.result, path, true);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    case_end(&c);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    fseek(file, 0, SEEK_END);
    *size = ftell(file);
    rewind(file);
    char *bytes = malloc((size_t)*size);
    assert_non_null(bytes);
    assert_int_equal(fread(bytes, 1, (size_t)*size, file), (size_t)*size);
    fclose(file);
    remove(path);
    return bytes;
}

static void threads_do_not_change_the_file(void **state)
{
    (void)state;
    static const char *const wind[] = {"run.wind=profiles", "run.wind=computed"};
    for (int i = 0; i < 2; i++) {
        long size[3];
        char *one = bytes_of("run.seed=7", wind[i], 1, &size[0]), *two = bytes_of("run.seed=7", wind[i], 2, &size[1]),
             *seven = bytes_of("run.seed=7", wind[i], 7, &size[2]);
        assert_int_equal(size[0], size[1]);
        assert_int_equal(size[0], size[2]);
        assert_memory_equal(one, two, (size_t)size[0]);
        assert_memory_equal(one, seven, (size_t)size[0]);
        free(one);
        free(two);
        free(seven);
    }
}

static void another_seed_changes_the_file(void **state)
{
    (void)state;
    long a_size, b_size;
    char *a = bytes_of("run.seed=7", "run.wind=profiles", 2, &a_size),
         *b = bytes_of("run.seed=8", "run.wind=profiles", 2, &b_size);
    assert_true(a_size != b_size || memcmp(a, b, (size_t)a_size) != 0);
    free(a);
    free(b);
}

/* A reading among many at once says the same as one alone. */
static void threads_read_scenarios_at_once(void **state)
{
    (void)state;
    enum { TIMES = 48 };
    static const char *const path[] = {DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml",
                                       DRUPELET_SCENARIOS "/vineyard.yaml", DRUPELET_SCENARIOS "/drift-trial.yaml"};
    enum { PATHS = sizeof path / sizeof path[0] };
    drupelet_scenario *alone[PATHS];
    for (int i = 0; i < PATHS; i++)
        assert_int_equal(drupelet_scenario_read(path[i], NULL, 0, &alone[i]).code, DRUPELET_OK);
    int n_same = 0;
#pragma omp parallel for num_threads(8) reduction(+ : n_same)
    for (int i = 0; i < TIMES; i++) {
        drupelet_scenario *s = NULL;
        if (drupelet_scenario_read(path[i % PATHS], NULL, 0, &s).code == DRUPELET_OK)
            n_same += strcmp(s->resolved, alone[i % PATHS]->resolved) == 0;
        drupelet_scenario_free(s);
    }
    assert_int_equal(n_same, TIMES);
    for (int i = 0; i < PATHS; i++)
        drupelet_scenario_free(alone[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(threads_do_not_change_the_file),
        cmocka_unit_test(another_seed_changes_the_file),
        cmocka_unit_test(threads_read_scenarios_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
