/* tests/test_hostile_results.c - result files that HDF5 takes and no run writes: each is refused in one line that names
 * the place, before memory is taken or a picture begun. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

#include "hostile_file.h"
#include "report/draw.h"
#include "store/store.h"
#include "small_run.h"

typedef struct { char folder[64], good[96], bad[96], svg[96]; } place;

static int set_up(void **state)
{
    static place at;
    strcpy(at.folder, "/tmp/drupelet-hostile-XXXXXX");
    if (!mkdtemp(at.folder))
        return -1;
    snprintf(at.good, sizeof at.good, "%s/good.h5", at.folder);
    snprintf(at.bad, sizeof at.bad, "%s/bad.h5", at.folder);
    snprintf(at.svg, sizeof at.svg, "%s/bad.svg", at.folder);
    run_case *run = small_run(1);
    const drupelet_status status = drupelet_result_write(run->result, at.good, false);
    small_run_end(run);
    *state = &at;
    return status.code == DRUPELET_OK ? 0 : -1;
}

static int tear_down(void **state)
{
    const place *at = *state;
    remove(at->good);
    remove(at->bad);
    return rmdir(at->folder); /* fails if a picture was begun */
}

static void assert_refused(const place *at, const char *says)
{
    drupelet_result *r;
    const drupelet_status status = store_read(at->bad, &r);
    if (status.code != DRUPELET_SCENARIO || !strstr(status.message, says))
        print_error("expected '%s', found %d, '%s'\n", says, (int)status.code, status.message);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, says));
    assert_non_null(strstr(status.message, at->bad));
    assert_null(strchr(status.message, '\n'));
    assert_null(r);
}

static void the_good_one_is_read(void **state)
{
    const place *at = *state;
    drupelet_result *r;
    assert_int_equal(store_read(at->good, &r).code, DRUPELET_OK);
    drupelet_result_free(r);
}

static void numbers_that_no_run_makes_are_refused(void **state)
{
    static const struct { const char *dataset; hsize_t i; double value; } numbers[] = {
        {"inputs/canopy_height", 0, 1e300},   {"inputs/canopy_height", 0, -1.0},  {"inputs/canopy_height", 0, NAN},
        {"inputs/row_spacing", 0, 0.0},       {"inputs/wind_height", 0, INFINITY}, {"inputs/travel_speed", 0, 1e9},
        {"inputs/domain_top", 0, 1e12},       {"ground/distance", 3, 1e300},      {"ground/distance", 3, -1e4},
        {"ground/x", 0, NAN},                 {"ground/percent_of_rate", 2, -1.0}, {"ground/block_high_x", 0, -1e4},
        {"airborne/z", 1, 0.0},               {"canopy/x", 0, 1e20},              {"canopy/z", 1, -5.0},
        {"canopy/voxel_edge", 0, 0.0},        {"canopy/voxel_edge_along", 0, -1.0}, {"canopy/leaf_deposit", 7, 1e30},
        {"canopy/leaf_area_density", 0, -1.0}, {"canopy/row_x", 1, 0.0},          {"fates/active_ingredient", 0, 2.0},
        {"fates/active_ingredient", 0, NAN},  {"fates/size_low", 5, 1e300},       {"sprayer/nozzle_side", 0, 9},
        {"sprayer/nozzle_spray", 0, 0},       {"sprayer/nozzle_spray", 0, 2e9},   {"sprayer/nozzle_height", 0, 1e300},
        {"sprayer/pass_x", 0, -1e300},        {"sprayer/pass_heading", 0, 100},   {"sprayer/assumed", 0, 2},
        {"tracks/row_size", 0, -1},           {"tracks/row_size", 0, 97},         {"tracks/fate", 0, 99},
        {"tracks/nozzle", 0, 0},              {"tracks/alley", 0, -3},            {"tracks/x", 5, 1e30},
        {"tracks/diameter", 5, NAN},          {"tracks/weight", 0, -1.0},         {"air/air_speed", 0, INFINITY},
        {"wind/x", 1, -1e4},                  {"wind/z", 3, 0.0},                 {"wind/z", 0, -1.0},
        {"wind/speed_up", 9, NAN},            {"wind/deviation_up", 9, -1.0},     {"wind/time_scale", 9, INFINITY},
    };
    const place *at = *state;
    for (size_t k = 0; k < sizeof numbers / sizeof numbers[0]; k++) {
        hostile_copy(at->good, at->bad);
        hostile_number(at->bad, numbers[k].dataset, numbers[k].i, numbers[k].value);
        assert_refused(at, strncmp(numbers[k].dataset, "tracks/row_size", 15) == 0 ? "tracks/" : numbers[k].dataset);
        assert_int_equal(report_draw(at->bad, at->svg, false).code, DRUPELET_SCENARIO);
    }
}

/* A picture of it would have no width. */
static void a_wind_that_lies_beside_the_block_is_refused(void **state)
{
    const place *at = *state;
    hostile_copy(at->good, at->bad);
    hostile_number(at->bad, "ground/block_low_x", 0, -1e3);
    assert_refused(at, "wind/x: found points that do not reach beyond the block");
}

static void more_than_the_file_can_hold_is_refused(void **state)
{
    const place *at = *state;
    const hsize_t n = (hsize_t)1 << 27, flux[2] = {TALLY_PLANES, n};
    hostile_copy(at->good, at->bad);
    hostile_claim(at->bad, "airborne/z", H5T_IEEE_F32LE, 1, &n);
    hostile_claim(at->bad, "airborne/net_flux", H5T_IEEE_F32LE, 2, flux);
    hostile_claim(at->bad, "airborne/net_flux_standard_error", H5T_IEEE_F32LE, 2, flux);
    struct stat found;
    assert_int_equal(stat(at->bad, &found), 0);
    assert_true(found.st_size < 10000000); /* and claims 9 GB */
    assert_refused(at, "airborne/z: found more numbers than the file can hold");
}

static void a_size_beyond_any_run_is_refused(void **state)
{
    const place *at = *state;
    const hsize_t n = 5000;
    static const char *const columns[] = {"alley", "heading", "left_open", "right_open", "x"};
    char name[64];
    hostile_copy(at->good, at->bad);
    hostile_claim(at->bad, "sprayer/pass", H5T_STD_I32LE, 1, &n);
    for (size_t k = 0; k < sizeof columns / sizeof columns[0]; k++) {
        snprintf(name, sizeof name, "sprayer/pass_%s", columns[k]);
        hostile_claim(at->bad, name, k < 4 ? H5T_STD_I32LE : H5T_IEEE_F64LE, 1, &n);
    }
    assert_refused(at, "sprayer/pass: found 5000 places");
}

static void what_is_no_number_is_refused(void **state)
{
    const place *at = *state;
    const hid_t opaque = H5Tcreate(H5T_OPAQUE, 1 << 20), text = H5Tcopy(H5T_C_S1);
    const hsize_t four = 4;
    hostile_copy(at->good, at->bad);
    hostile_single(at->bad, "inputs/wind_speed", opaque, NULL);
    assert_refused(at, "inputs/wind_speed: found no numbers");
    hostile_copy(at->good, at->bad);
    hostile_single(at->bad, "inputs/wind_speed", text, NULL);
    assert_refused(at, "inputs/wind_speed: found no numbers");
    hostile_copy(at->good, at->bad);
    hostile_claim(at->bad, "inputs/wind_speed", H5T_IEEE_F64LE, 1, &four);
    assert_refused(at, "inputs/wind_speed: found 4 numbers, expected one number");
    hostile_copy(at->good, at->bad);
    hostile_single(at->bad, "inputs/name", H5T_IEEE_F64LE, &(double){1.0});
    assert_refused(at, "inputs/name: found no texts");
    H5Tclose(text);
    H5Tclose(opaque);
}

static void attributes_of_another_shape_are_refused(void **state)
{
    const place *at = *state;
    const hsize_t many = 4000;
    hostile_copy(at->good, at->bad);
    hostile_note(at->bad, "/", "format_number", H5T_STD_I32LE, 1, &many, NULL);
    assert_refused(at, "attribute format_number");
    hostile_copy(at->good, at->bad);
    hostile_note_texts(at->bad, "/", "Conventions", "drupelet-result-1", many);
    assert_refused(at, "Conventions");
    hostile_copy(at->good, at->bad);
    hostile_note_texts(at->bad, "/", "caution", "Caution.", many);
    assert_refused(at, "caution");
}

static void a_link_into_another_file_is_not_followed(void **state)
{
    const place *at = *state;
    hostile_copy(at->good, at->bad);
    hostile_link(at->bad, "inputs/wind_speed", at->good, "inputs/wind_speed");
    assert_refused(at, "inputs/wind_speed");
    hostile_copy(at->good, at->bad);
    hostile_link(at->bad, "collectors", at->good, "collectors"); /* may lack; an error is no lack */
    assert_refused(at, "collectors");
    hostile_copy(at->good, at->bad);
    hostile_link(at->bad, "tracks/last_rebound", NULL, "nowhere");
    assert_refused(at, "tracks/last_rebound");
}

static void what_may_lack_may_lack(void **state)
{
    const place *at = *state;
    drupelet_result *r;
    hostile_copy(at->good, at->bad);
    hostile_remove(at->bad, "tracks/last_rebound");
    hostile_remove(at->bad, "air");
    const drupelet_status status = store_read(at->bad, &r);
    if (status.code != DRUPELET_OK)
        print_error("%s\n", status.message);
    assert_int_equal(status.code, DRUPELET_OK);
    assert_int_equal(r->air_nx, 0);
    drupelet_result_free(r);
    hostile_remove(at->bad, "inputs/wind_speed");
    assert_refused(at, "inputs/wind_speed: found no such dataset");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_good_one_is_read),
        cmocka_unit_test(numbers_that_no_run_makes_are_refused),
        cmocka_unit_test(a_wind_that_lies_beside_the_block_is_refused),
        cmocka_unit_test(more_than_the_file_can_hold_is_refused),
        cmocka_unit_test(a_size_beyond_any_run_is_refused),
        cmocka_unit_test(what_is_no_number_is_refused),
        cmocka_unit_test(attributes_of_another_shape_are_refused),
        cmocka_unit_test(a_link_into_another_file_is_not_followed),
        cmocka_unit_test(what_may_lack_may_lack),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
