/* tests/test_fuzz.c - every reader takes inputs that were found to be bad, and changes of good ones, without a crash.
 *
 * What a search found (scripts/fuzz) lies in tests/fuzz/found/TARGET. The changes here follow from fixed seeds, so that
 * each run tries the same ones. */
#define _POSIX_C_SOURCE 200809L
#include <glob.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "fuzz/targets.h"

enum { MOST = 1 << 24, TEXT_CHANGES = 60, HDF5_CHANGES = 120 };

static uint8_t *bytes, *changed;
static char folder[] = "/tmp/drupelet-fuzz-XXXXXX";

static int set_up(void **state)
{
    (void)state;
    bytes = malloc(MOST);
    changed = malloc(MOST);
    if (!bytes || !changed || !mkdtemp(folder))
        return -1;
    fuzz_make_seeds(folder);
    return 0;
}

static int tear_down(void **state)
{
    char command[64];
    (void)state;
    remove(fuzz_file(bytes, 0));
    free(bytes);
    free(changed);
    snprintf(command, sizeof command, "rm -r %s", folder);
    return system(command);
}

static size_t read_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    const size_t n = fread(bytes, 1, MOST, file);
    assert_true(n < MOST);
    fclose(file);
    return n;
}

/* Some bytes changed, taken out or doubled. */
static size_t change_text(size_t n, unsigned seed)
{
    memcpy(changed, bytes, n);
    srand(seed);
    for (int times = 1 + rand() % 4; times > 0 && n > 1; times--) {
        const size_t at = (size_t)rand() % n, length = 1 + (size_t)rand() % (n - at > 40 ? 40 : n - at);
        switch (rand() % 4) {
        case 0: changed[at] = (uint8_t)rand(); break;
        case 1:
            memmove(changed + at, changed + at + length, n - at - length);
            n -= length;
            break;
        case 2:
            memmove(changed + at + length, changed + at, n - at);
            n += length;
            break;
        case 3: changed[at] = (uint8_t)"[]{}:,\n\"'-#9e"[rand() % 13]; break;
        }
    }
    return n;
}

static int changes_of(const fuzz_target *target)
{
    return target->is_hdf5 ? HDF5_CHANGES : TEXT_CHANGES;
}

/* @param n_taken out: files that the reader takes as they are, without a change  @return number of inputs */
static int try_files(const fuzz_target *target, const char *pattern, int *n_taken)
{
    glob_t found;
    int n_tried = 0;
    *n_taken = 0;
    if (glob(pattern, 0, NULL, &found) != 0)
        return 0;
    for (size_t f = 0; f < found.gl_pathc; f++) {
        const size_t n = read_file(found.gl_pathv[f]);
        *n_taken += target->try_bytes(bytes, n);
        n_tried++;
        for (int seed = 1; seed <= changes_of(target); seed++) {
            size_t n_changed = n;
            memcpy(changed, bytes, n);
            n_changed =
                target->is_hdf5 ? fuzz_change_hdf5(changed, n, MOST, (unsigned)seed) : change_text(n, (unsigned)seed);
            target->try_bytes(changed, n_changed);
            n_tried++;
        }
    }
    globfree(&found);
    return n_tried;
}

static void no_reader_crashes(void **state)
{
    (void)state;
    for (int t = 0; t < fuzz_n_targets; t++) {
        const fuzz_target *target = &fuzz_targets[t];
        char pattern[512];
        if (target->seeds[0])
            snprintf(pattern, sizeof pattern, "%s/%s", DRUPELET_SOURCE, target->seeds);
        else
            snprintf(pattern, sizeof pattern, "%s/%s-[0-9]*", folder, target->name);
        int n_taken, n_taken_of_found;
        const int n_seeded = try_files(target, pattern, &n_taken);
        snprintf(pattern, sizeof pattern, "%s/tests/fuzz/found/%s/*", DRUPELET_SOURCE, target->name);
        const int n_found = try_files(target, pattern, &n_taken_of_found);
        printf("%s: %d inputs from good ones, %d taken, %d from those found before\n", target->name, n_seeded, n_taken,
               n_found);
        assert_true(n_seeded > 0);
        assert_true(target->seeds[0] ? n_taken > 0
                                     : n_taken == n_seeded / (1 + changes_of(target))); /* good ones are */
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(no_reader_crashes)};
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
