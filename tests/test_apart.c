/* tests/test_apart.c - a file is read for a try in a process of its own: a crash there is a sentence here. */
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/status.h"
#include "store/apart.h"
#include "store/store.h"

static int calls; /* of readings in this process */

static drupelet_status read_well(const char *path)
{
    (void)path;
    calls++;
    return base_ok();
}

static drupelet_status refuse(const char *path)
{
    return base_error(DRUPELET_SCENARIO, "%s: is refused", path);
}

static drupelet_status crash(const char *path)
{
    (void)path;
    signal(SIGSEGV, SIG_DFL); /* past a sanitizer's report */
    raise(SIGSEGV);
    return base_ok();
}

static drupelet_status give_up(const char *path)
{
    (void)path;
    abort();
}

static drupelet_status be_stopped(const char *path)
{
    (void)path;
    raise(SIGTERM);
    return base_ok();
}

static void without_asking_nothing_is_tried(void **state)
{
    (void)state;
    assert_int_equal(store_try("x.h5", refuse).code, DRUPELET_OK);
}

static void what_the_try_says_is_handed_on(void **state)
{
    (void)state;
    store_read_apart();
    assert_int_equal(store_try("x.h5", read_well).code, DRUPELET_OK);
    assert_int_equal(calls, 0); /* it was another process that called */
    const drupelet_status status = store_try("x.h5", refuse);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_string_equal(status.message, "x.h5: is refused");
}

static void a_crash_is_a_sentence(void **state)
{
    (void)state;
    drupelet_status (*const bad[])(const char *) = {crash, give_up};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        const drupelet_status status = store_try("x.h5", bad[i]);
        assert_int_equal(status.code, DRUPELET_SCENARIO);
        assert_string_equal(status.message, "x.h5: is damaged: HDF5 crashes on it");
    }
    assert_int_equal(store_try("x.h5", be_stopped).code, DRUPELET_STOPPED);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_asking_nothing_is_tried),
        cmocka_unit_test(what_the_try_says_is_handed_on),
        cmocka_unit_test(a_crash_is_a_sentence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
