/* tests/test_hostile_sweeps.c - files of sweeps and canopies that HDF5 takes and nobody writes: refused in one line,
 * without a byte written beyond what is theirs (the sanitizers look on). */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cmocka.h>

#include "hostile_file.h"
#include "report/tradeoff.h"
#include "scenario/scenario.h"
#include "store/canopy_file.h"
#include "store/sweep_file.h"
#include "synthetic_sweep.h"

static const char SWEEP[] = "good.h5", BAD[] = "bad.h5", CANOPY[] = "canopy.h5", PICTURE[] = "picture.svg";
static char folder[64];

static void put_axis(hid_t file, const char *name, hsize_t n, double first)
{
    double place[8];
    for (hsize_t i = 0; i < n; i++)
        place[i] = first + 0.2 * (double)i;
    const hid_t space = H5Screate_simple(1, &n, NULL);
    const hid_t set = H5Dcreate2(file, name, H5T_IEEE_F64LE, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
    assert_true(H5Dwrite(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, place) >= 0);
    H5Dclose(set);
    H5Sclose(space);
}

static void put_canopy(void)
{
    const hid_t file = H5Fcreate(CANOPY, H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT);
    const hsize_t shape[3] = {3, 1, 4};
    put_axis(file, "x", 4, -0.3);
    put_axis(file, "y", 1, 2.0);
    put_axis(file, "z", 3, 0.1);
    const hid_t space = H5Screate_simple(3, shape, NULL);
    const hid_t set = H5Dcreate2(file, "LAD", H5T_IEEE_F32LE, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
    const float density[12] = {1.0f, 2.0f};
    assert_true(H5Dwrite(set, H5T_NATIVE_FLOAT, H5S_ALL, H5S_ALL, H5P_DEFAULT, density) >= 0);
    H5Dclose(set);
    H5Sclose(space);
    assert_true(H5Fclose(file) >= 0);
}

static double truth(int i_output, int64_t point)
{
    return 10.0 + i_output + (double)point;
}

static int set_up(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/drupelet-hostile-XXXXXX");
    if (!mkdtemp(folder) || chdir(folder) != 0)
        return -1;
    store_sweep sweep;
    synthetic_sweep_write(&(synthetic_sweep){.truth = truth, .n_replicates = 2}, &sweep);
    hostile_copy(sweep.path, SWEEP);
    synthetic_sweep_done(&sweep);
    put_canopy();
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    remove(SWEEP);
    remove(BAD);
    remove(CANOPY);
    return chdir("/") != 0 ? -1 : rmdir(folder);
}

static void assert_sweep_refused(const char *says)
{
    store_sweep sweep;
    const drupelet_status status = store_sweep_read(BAD, &sweep);
    if (status.code != DRUPELET_SCENARIO || !strstr(status.message, says))
        print_error("expected '%s', found %d, '%s'\n", says, (int)status.code, status.message);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, says));
    assert_non_null(strstr(status.message, BAD));
    assert_null(sweep.seed);
    store_sweep_free(&sweep);
}

static void assert_canopy_refused(const char *says)
{
    scenario_measured_canopy *canopy;
    const drupelet_status status = store_canopy_read(BAD, &canopy);
    if (status.code != DRUPELET_SCENARIO || !strstr(status.message, says))
        print_error("expected '%s', found %d, '%s'\n", says, (int)status.code, status.message);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, says));
    assert_null(canopy);
}

static void the_good_ones_are_read(void **state)
{
    (void)state;
    store_sweep sweep;
    scenario_measured_canopy *canopy;
    assert_int_equal(store_sweep_read(SWEEP, &sweep).code, DRUPELET_OK);
    store_sweep_free(&sweep);
    assert_int_equal(store_canopy_read(CANOPY, &canopy).code, DRUPELET_OK);
    assert_int_equal(scenario_measured_voxels(canopy), 12);
    scenario_measured_free(canopy);
}

/* Each of these wrote beyond a number on the stack or a text on the heap. */
static void attributes_with_more_than_one_value_are_refused(void **state)
{
    (void)state;
    const hsize_t many = 4000;
    hostile_copy(SWEEP, BAD);
    hostile_note(BAD, "/", "format_number", H5T_STD_I32LE, 1, &many, NULL);
    assert_sweep_refused("attribute format_number");
    assert_false(store_sweep_is_of(BAD, "plan", "base"));
    hostile_copy(SWEEP, BAD);
    hostile_note_texts(BAD, "/", "Conventions", "drupelet-sweep-1", many);
    assert_sweep_refused("attribute Conventions");
    assert_false(store_sweep_is_of(BAD, "plan", "base"));
    static const struct { const char *object, *name; } notes[] = {
        {"/", "caution"}, {"/", "program_version"}, {"factors/fan_speed", "units"}, {"factors/fan_speed", "key"}};
    for (size_t k = 0; k < sizeof notes / sizeof notes[0]; k++) {
        hostile_copy(SWEEP, BAD);
        hostile_note_texts(BAD, notes[k].object, notes[k].name, "bar", many);
        assert_sweep_refused(notes[k].name);
    }
}

static void a_format_that_is_no_number_is_refused(void **state)
{
    (void)state;
    const hsize_t one = 1;
    const hid_t opaque = H5Tcreate(H5T_OPAQUE, 4000);
    hostile_copy(SWEEP, BAD);
    hostile_note(BAD, "/", "format_number", opaque, 1, &one, NULL);
    assert_sweep_refused("attribute format_number");
    hostile_copy(SWEEP, BAD);
    hostile_note(BAD, "/", "format_number", H5T_IEEE_F64LE, 1, &one, &(double){1.0});
    assert_sweep_refused("attribute format_number");
    H5Tclose(opaque);
}

static void numbers_of_a_sweep_that_cannot_be_are_refused(void **state)
{
    (void)state;
    static const struct { const char *dataset; double value; } numbers[] = {
        {"inputs/replicates", 0.0},        {"inputs/replicates", -1.0},
        {"inputs/replicates", 7.0},        {"inputs/indices", 5.0},
        {"cases/n_droplets", -1.0},        {"factors/tip", 2.0},
        {"factors/tip", -1.0},             {"factors/fan_speed", NAN},
        {"factors/fan_speed", 1e300},      {"results/leaf", INFINITY},
        {"results/leaf_standard_error", -1.0}, {"results/application_rate", -INFINITY},
    };
    for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++) {
        hostile_copy(SWEEP, BAD);
        hostile_number(BAD, numbers[k].dataset, 0, numbers[k].value);
        assert_sweep_refused(numbers[k].value == 7.0 ? "inputs/replicates" : numbers[k].dataset);
    }
}

static void a_sweep_that_claims_more_than_it_holds_is_refused(void **state)
{
    (void)state;
    const hsize_t many = (hsize_t)1 << 27;
    hostile_copy(SWEEP, BAD);
    hostile_claim(BAD, "cases/seed", H5T_STD_I64LE, 1, &many);
    assert_sweep_refused("cases/seed: found more numbers than the file can hold");
}

static void an_error_is_no_lack(void **state)
{
    (void)state;
    hostile_copy(SWEEP, BAD);
    hostile_link(BAD, "factors/tip_levels", SWEEP, "factors/tip_levels"); /* without levels a factor would be numeric */
    assert_sweep_refused("factors/tip_levels");
    hostile_copy(SWEEP, BAD);
    hostile_remove(BAD, "factors");
    assert_sweep_refused("factors: found nothing");
}

/* Numbers so large that a step of the axis does not change them: the marks were counted by adding steps. */
static void pictures_of_huge_numbers_have_an_end(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    const report_question question = {
        .output = {result_column_named("leaf"), result_column_named("evaporated")}, .a = -1, .b = -1};
    const struct rlimit most = {50000000, 50000000};
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &most), 0); /* what does not end is ended by the system */
    hostile_copy(SWEEP, BAD);
    for (hsize_t i = 0; i < 2 * SYNTHETIC_POINTS; i++) {
        hostile_number(BAD, "results/leaf", i, 1e15 - 1.0 + 0.125 * (double)(i / 2));
        hostile_number(BAD, "results/evaporated", i, -1e15 + 0.125 * (double)(i / 2));
    }
    assert_int_equal(store_sweep_read(BAD, &sweep).code, DRUPELET_OK);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_int_equal(report_plot_to(&t, report_front_plot, PICTURE, false).code, DRUPELET_OK);
    assert_int_equal(report_plot_to(&t, report_effects_plot, PICTURE, true).code, DRUPELET_OK);
    report_tradeoff_free(&t);
    store_sweep_free(&sweep);
    assert_int_equal(remove(PICTURE), 0);
}

static void a_canopy_that_claims_more_than_it_holds_is_refused(void **state)
{
    (void)state;
    const hsize_t many = 190000000;
    hostile_copy(CANOPY, BAD);
    hostile_claim(BAD, "y", H5T_IEEE_F64LE, 1, &many);
    assert_canopy_refused("/y: found more numbers than the file can hold");
}

static void a_canopy_of_another_kind_is_refused(void **state)
{
    (void)state;
    const hsize_t many[1] = {4000};
    hostile_copy(CANOPY, BAD);
    hostile_note_texts(BAD, "LAD", "units", "m2/m3", 4000);
    assert_canopy_refused("/LAD, attribute units: found none, or values of another kind or number");
    hostile_copy(CANOPY, BAD);
    hostile_note(BAD, "LAD", "DIMENSION_LIST", H5T_STD_I64LE, 1, many, NULL);
    assert_canopy_refused("/LAD: found another dimension in place 1");
    hostile_copy(CANOPY, BAD);
    hostile_link(BAD, "WAD", CANOPY, "LAD");
    assert_canopy_refused("/WAD");
    hostile_copy(SWEEP, BAD);
    assert_canopy_refused("is the result of a sweep, not a canopy file");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_good_ones_are_read),
        cmocka_unit_test(attributes_with_more_than_one_value_are_refused),
        cmocka_unit_test(a_format_that_is_no_number_is_refused),
        cmocka_unit_test(numbers_of_a_sweep_that_cannot_be_are_refused),
        cmocka_unit_test(a_sweep_that_claims_more_than_it_holds_is_refused),
        cmocka_unit_test(an_error_is_no_lack),
        cmocka_unit_test(pictures_of_huge_numbers_have_an_end),
        cmocka_unit_test(a_canopy_that_claims_more_than_it_holds_is_refused),
        cmocka_unit_test(a_canopy_of_another_kind_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
