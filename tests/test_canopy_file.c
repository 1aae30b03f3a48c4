/* tests/test_canopy_file.c - canopies in files: what is written comes back, what a file says about the scenario, and
 * the message of every fault. */
#define _POSIX_C_SOURCE 200809L
#include <hdf5.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "check.h"
#include "orchard/orchard.h"
#include "run/run.h"
#include "store/store.h"
#include "text_file.h"

typedef struct { char folder[64], yaml[96], file[96]; } place;

/* A scenario of two rows, 4 m of row, on voxels of 0.25 m; the canopy's keys stand where %s is. */
static const char frame[] =
    "orchard: {rows: 2, row_spacing: 4 m, tree_spacing: 2 m%s}\n"
    "canopy:\n"
    "  %s\n"
    "tips: {cone: {kind: hollow_cone, size: 04}}\n"
    "sprayer:\n"
    "  travel_speed: 5 km/h\n"
    "  fan: {reference_speed: 500 rpm, reference_flow: 5 m3/s, reference_power: 12 kW}\n"
    "  outlets: [{kind: arc, centre_height: 1 m, radius: 0.5 m, from: 0 deg, to: 60 deg, slot: 150 mm}]\n"
    "  pressure: 8 bar\n"
    "  nozzles: [{tip: cone, offset: 0.5 m, height: 1.2 m, angle: 20 deg}]\n"
    "weather: {temperature: 15 degC, relative_humidity: 70 %%, wind_speed: 2 m/s}\n";
static const char grown[] = "{crown: cone, height: 2.9 m, base: 0.6 m, width: 1.4 m, leaf_area_index: 1.5, "
                            "voxel: 0.25 m}";
static const char wall[] = /* 4 m of it */
    "# invented\nx,y,z,LAD\n-0.2,2,0.2,0\n0.2,2,0.2,0\n-0.2,2,0.6,1.5\n0.2,2,0.6,2.5\n";

static int make_folder(void **state)
{
    place *at = calloc(1, sizeof *at);
    if (!at)
        return -1;
    strcpy(at->folder, "/tmp/drupelet-canopy-XXXXXX");
    if (!mkdtemp(at->folder))
        return -1;
    snprintf(at->yaml, sizeof at->yaml, "%s/block.yaml", at->folder);
    snprintf(at->file, sizeof at->file, "%s/trees.csv", at->folder);
    *state = at;
    return 0;
}

static int drop_folder(void **state)
{
    place *at = *state;
    char path[128];
    static const char *const names[] = {"block.yaml", "trees.csv", "trees.h5", "other.csv"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        snprintf(path, sizeof path, "%s/%s", at->folder, names[i]);
        unlink(path);
    }
    const int left = rmdir(at->folder); /* and nothing else stayed in it */
    free(at);
    return left;
}

static void put_scenario(const place *at, const char *trees, const char *canopy)
{
    char text[2048];
    snprintf(text, sizeof text, frame, trees, canopy);
    text_file_put(at->yaml, text);
}

static drupelet_scenario *must_read(const place *at)
{
    drupelet_scenario *s = NULL;
    const drupelet_status status = drupelet_scenario_read(at->yaml, NULL, 0, &s);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    return s;
}

static orchard_canopy *must_create(const drupelet_scenario *s)
{
    orchard_canopy *c = NULL;
    const drupelet_status status = orchard_create(s, &c);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    return c;
}

/* The message without the folder. */
static void assert_fault(const place *at, const char *const *set, int n_set, const char *message)
{
    drupelet_scenario *s = NULL;
    const drupelet_status status = drupelet_scenario_read(at->yaml, set, n_set, &s);
    assert_null(s);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    const size_t n = strlen(at->folder) + 1;
    const char *said = strncmp(status.message, at->folder, n - 1) == 0 ? status.message + n : status.message;
    assert_string_equal(said, message);
}

/* ---- there and back ---- */

static void write_canopy(const drupelet_scenario *s, const orchard_canopy *c, const char *path)
{
    const drupelet_status status = store_canopy_write(s, c, path, false);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
}

static run_outcome *must_run(const drupelet_scenario *s)
{
    run_outcome *r = NULL;
    const drupelet_run_options options = {.n_droplets = 3200, .n_threads = 1};
    const drupelet_status status = run_in_air(s, &options, NULL, &r);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    return r;
}

/* Height, base and width are no multiples of the edge here, so that the scenario must say them again. */
static void a_canopy_written_and_read_gives_the_same_densities_and_the_same_result(void **state)
{
    const place *at = *state;
    put_scenario(at, ", trees: 2", grown);
    drupelet_scenario *s = must_read(at);
    orchard_canopy *c = must_create(s);
    run_outcome *r = must_run(s);
    const size_t n = (size_t)orchard_voxels(c);
    static const char *const names[] = {"trees.csv", "trees.h5"};
    for (int i = 0; i < 2; i++) {
        char path[128], canopy[256];
        snprintf(path, sizeof path, "%s/%s", at->folder, names[i]);
        write_canopy(s, c, path);
        snprintf(canopy, sizeof canopy, "{measured: %s, height: 2.9 m, base: 0.6 m, width: 1.4 m}", names[i]);
        put_scenario(at, "", canopy);
        drupelet_scenario *s2 = must_read(at);
        orchard_canopy *c2 = must_create(s2);
        assert_int_equal(c2->n_rows, c->n_rows);
        assert_int_equal(c2->nx, c->nx);
        assert_int_equal(c2->ny, c->ny);
        assert_int_equal(c2->nz, c->nz);
        assert_true(c2->edge_m == c->edge_m && c2->edge_y_m == c->edge_y_m && c2->half_width_m == c->half_width_m);
        assert_memory_equal(c2->leaf_area_density_1_m, c->leaf_area_density_1_m, n * sizeof(float));
        assert_memory_equal(c2->wood_area_density_1_m, c->wood_area_density_1_m, n * sizeof(float));
        assert_memory_equal(c2->drag_1_m, c->drag_1_m, (size_t)(c->nz * c->nx) * sizeof(double));
        run_outcome *r2 = must_run(s2);
        assert_memory_equal(r2->accounts->fate, r->accounts->fate, TALLY_BATCHES * sizeof *r->accounts->fate);
        assert_memory_equal(r2->accounts->voxel, r->accounts->voxel, n * sizeof(int64_t));
        run_outcome_free(r2);
        orchard_free(c2);
        drupelet_scenario_free(s2);
    }
    run_outcome_free(r);
    orchard_free(c);
    drupelet_scenario_free(s);
}

static void an_existing_file_is_kept_unless_asked(void **state)
{
    const place *at = *state;
    put_scenario(at, ", trees: 2", grown);
    drupelet_scenario *s = must_read(at);
    orchard_canopy *c = must_create(s);
    char text[8] = "";
    text_file_put(at->file, "old");
    assert_int_equal(store_canopy_write(s, c, at->file, false).code, DRUPELET_FILE);
    FILE *f = fopen(at->file, "rb");
    assert_non_null(f);
    assert_int_equal(fread(text, 1, 3, f), 3);
    fclose(f);
    assert_string_equal(text, "old");
    assert_int_equal(store_canopy_write(s, c, at->file, true).code, DRUPELET_OK);
    orchard_free(c);
    drupelet_scenario_free(s);
}

/* ---- what a file says ---- */

/* The wall: 0.4 m cubes across and up, one voxel of 4 m along. Leaf area (1.5 + 2.5) x 0.4 x 0.4 x 4 = 2.56 m2 over
 * 4 x 4 m of ground. */
static void height_width_and_leaf_area_come_from_the_file(void **state)
{
    const place *at = *state;
    text_file_put(at->file, wall);
    put_scenario(at, "", "measured: trees.csv");
    drupelet_scenario *s = must_read(at);
    assert_int_equal(s->orchard.n_trees, 2); /* 4 m of trees 2 m apart */
    assert_close(s->canopy.height_m, 0.8, 1e-12, 0.0);
    assert_close(s->canopy.base_m, 0.4, 1e-12, 0.0);
    assert_close(s->canopy.width_m, 0.8, 1e-12, 0.0);
    assert_close(s->canopy.leaf_area_index, 0.16, 1e-12, 0.0);
    assert_close(s->canopy.wood_area_index, 0.15, 1e-12, 0.0); /* the default: the file has no wood */
    assert_non_null(strstr(s->resolved, "canopy.measured: trees.csv\n"));
    assert_non_null(strstr(s->resolved, "canopy.height: 0.8 m (from the canopy's file)\n"));
    assert_null(strstr(s->resolved, "canopy.gaps"));
    orchard_canopy *c = must_create(s);
    assert_int_equal(c->n_rows, 2);
    assert_int_equal(c->nx, 2);
    assert_int_equal(c->ny, 1);
    assert_int_equal(c->nz, 2);
    double wood_m2 = 0.0;
    for (int row = 0; row < 2; row++) {
        assert_close((double)c->leaf_area_density_1_m[row * 4 + 2], 1.5, 0.0, 0.0);
        assert_close((double)c->leaf_area_density_1_m[row * 4 + 3], 2.5, 0.0, 0.0);
        for (int v = 0; v < 4; v++)
            wood_m2 += (double)c->wood_area_density_1_m[row * 4 + v] * 0.4 * 0.4 * 4.0;
    }
    assert_close(wood_m2, 0.15 * 2 * 4 * 4, 1e-6, 0.0); /* single precision */
    orchard_free(c);
    drupelet_scenario_free(s);
}

static void each_row_may_have_its_own_trees_and_wood(void **state)
{
    const place *at = *state;
    text_file_put(at->file,
                  "row,WAD,z,x,y,LAD\n2,0.1,0.2,-0.2,2,3\n\n  2 , 0.1, 0.2 ,0.2,2,\"4\"\r\n1,0.3,0.6,0.2,2,0\n");
    put_scenario(at, "", "measured: trees.csv");
    drupelet_scenario *s = must_read(at);
    assert_close(s->canopy.height_m, 0.8, 1e-12, 0.0); /* wood is a part of the canopy */
    assert_close(s->canopy.base_m, 0.0, 0.0, 0.0);
    assert_close(s->canopy.wood_area_index, (0.1 + 0.1 + 0.3) * 0.4 * 0.4 * 4 / (2 * 4 * 4), 1e-6, 0.0);
    orchard_canopy *c = must_create(s);
    static const float leaf[8] = {0, 0, 0, 0, 3, 4, 0, 0}, wood[8] = {0, 0, 0, 0.3f, 0.1f, 0.1f, 0, 0};
    assert_memory_equal(c->leaf_area_density_1_m, leaf, sizeof leaf);
    assert_memory_equal(c->wood_area_density_1_m, wood, sizeof wood);
    orchard_free(c);
    drupelet_scenario_free(s);
}

/* The edge is 0.33 m and a third; places with two decimals are near enough. */
static void rounded_places_find_their_voxels(void **state)
{
    const place *at = *state;
    char text[2048] = "x,y,z,LAD\n";
    for (int ix = -2; ix < 2; ix++)
        for (int iy = 0; iy < 12; iy++)
            snprintf(text + strlen(text), sizeof text - strlen(text), "%.2f,%.2f,%.2f,%d.%d\n", (ix + 0.5) / 3,
                     (iy + 0.5) / 3, 2.5 / 3, ix + 3, iy % 10);
    text_file_put(at->file, text);
    put_scenario(at, "", "measured: trees.csv");
    drupelet_scenario *s = must_read(at);
    const scenario_measured_canopy *m = s->canopy.measured;
    assert_int_equal(m->nx, 4);
    assert_int_equal(m->ny, 12);
    assert_int_equal(m->nz, 3);
    assert_close(m->edge_m, 1.0 / 3.0, 0.005, 0.0);
    for (int ix = 0; ix < 4; ix++)
        for (int iy = 0; iy < 12; iy++)
            assert_close((double)m->leaf_area_density_1_m[(2 * 12 + iy) * 4 + ix], ix + 1 + 0.1 * (iy % 10), 1e-6, 0.0);
    drupelet_scenario_free(s);
}

/* ---- faults ---- */

static void a_fault_in_a_table_is_told_with_line_and_column(void **state)
{
    const place *at = *state;
    static const struct { const char *text, *message; } cases[] = {
        {"", "trees.csv:1:1: found the end of the file, expected a line that names the columns"},
        {"# nothing\n", "trees.csv:2:1: found the end of the file, expected a line that names the columns"},
        {"x,y,LAD\n", "trees.csv:1:1: z: found no such column, expected one"},
        {"x,y,z\n", "trees.csv:1:1: LAD: found no such column, expected one"},
        {"x,y,z,lad\n", "trees.csv:1:7: found lad, expected the name of a column, one of: x y z LAD WAD row"},
        {"x;y;z;LAD\n", "trees.csv:1:1: found x;y;z;LAD, expected the name of a column, one of: x y z LAD WAD row"},
        {"x,y,z,LAD, y\n", "trees.csv:1:12: found y, expected each column once"},
        {"x,y,z,LAD\n", "trees.csv:1:1: found no voxels, expected one a line"},
        {"x,y,z,LAD\n0.1,1,0.1\n", "trees.csv:2:7: found 3 values, expected 4, as there are columns"},
        {"x,y,z,LAD\n0.1,1,0.1,2,3\n", "trees.csv:2:13: found 5 values, expected 4, as there are columns"},
        {"# µµ\nx,y,z,LAD\n0.1,1,0.1,-2\n",
         "trees.csv:3:11: LAD: found -2, expected a leaf area density in m2/m3 from 0 to 100"},
        {"x,y,z,LAD\n0.1, 1, 0.1, nan\n",
         "trees.csv:2:14: LAD: found nan, expected a leaf area density in m2/m3 from 0 to 100"},
        {"x,y,z,LAD\n0.1,1,0.1,\n",
         "trees.csv:2:11: LAD: found nothing, expected a leaf area density in m2/m3 from 0 to 100"},
        {"x,y,z,LAD,WAD\n0.1,1,0.1,1,1e3\n",
         "trees.csv:2:13: WAD: found 1e3, expected a wood area density in m2/m3 from 0 to 100"},
        {"x,y,z,LAD\n0.1 m,1,0.1,1\n", "trees.csv:2:1: x: found 0.1 m, expected a place in m from -200 to 200"},
        {"x,y,z,LAD\n0.1,1,-0.1,1\n", "trees.csv:2:7: z: found -0.1, expected a place in m from 0 to 200"},
        {"x,y,z,LAD,row\n0.1,1,0.1,1,0\n", "trees.csv:2:13: row: found 0, expected the number of a row from 1 to 64"},
        {"x,y,z,LAD,row\n0.1,1,0.1,1,1.5\n",
         "trees.csv:2:13: row: found 1.5, expected a whole number from 1 to 64"},
        {"x,y,z,LAD,row\n0.1,2,0.1,1,2\n0.1,2,0.3,1,2\n",
         "trees.csv:3:1: row: found no voxel of row 1, expected voxels of every row from 1 to 2"},
        {"x,y,z,LAD\n0.1,2,0.1,1\n",
         "trees.csv:2:1: found no regular grid, expected voxels that differ in x or z, so that their edge is known"},
        {"x,y,z,LAD\n0.1,2,0.1,1\n0.1,2,5.1,1\n",
         "trees.csv:2:1: found no regular grid, expected voxels with an edge of 0.02 m to 1 m (x and z may be rounded, "
         "but all in the same way)"},
        {"x,y,z,LAD\n0.1,0,0.1,1\n0.1,0,0.3,1\n",
         "trees.csv:2:1: found no regular grid, expected y above 0: the middle of the first voxel is half an edge from "
         "where the pattern begins"},
        {"x,y,z,LAD\n0.1,2,0.1,1\n0.1,2,0.3,1\n0.1,2,0.5,1\n 0.03,2,0.3,1\n",
         "trees.csv:5:2: x: found 0.03, expected the middle of a voxel: half an edge and whole edges of 0.2 m from the "
         "row line"},
        {"x,y,z,LAD\n0,2,0.1,1\n0,2,0.3,1\n0.2,2,0.3,1\n",
         "trees.csv:2:1: x: found 0, expected the middle of a voxel: half an edge and whole edges of 0.2 m from the "
         "row line"},
        {"x,y,z,LAD\n0.1,2,0.2,1\n0.1,2,0.4,1\n",
         "trees.csv:2:7: z: found 0.2, expected the middle of a voxel: half an edge and whole edges of 0.2 m from the "
         "ground"},
        {"x,y,z,LAD\n0.1,0.5,0.1,1\n0.1,1.5,0.3,1\n0.1,2.5,0.3,1\n0.1,2.9,0.3,1\n0.1,3.5,0.3,1\n",
         "trees.csv:5:5: y: found 2.9, expected the middle of a voxel: half an edge and whole edges of 1 m from the "
         "start of the pattern"},
        {"x,y,z,LAD\n0.1,2,0.1,1\n0.1,2,0.3,1\n 0.1 ,2,0.1,1\n",
         "trees.csv:4:2: found a voxel for the second time, expected each voxel once (it stands in line 2)"},
        {"x,y,z,LAD\n0.01,0.01,0.01,1\n0.01,0.03,0.03,1\n150.01,100.01,100.01,1\n",
         "trees.csv:2:1: found a grid of 375200 million voxels, expected at most 20 million"},
    };
    put_scenario(at, "", "measured: trees.csv");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        text_file_put(at->file, cases[i].text);
        assert_fault(at, NULL, 0, cases[i].message);
    }
}

static void a_file_that_is_not_there_or_no_table_is_told(void **state)
{
    const place *at = *state;
    put_scenario(at, "", "measured: trees.csv");
    assert_fault(at, NULL, 0,
                 "block.yaml:3:13: canopy.measured: found trees.csv, expected the file of a canopy (No such file or "
                 "directory)");
    put_scenario(at, "", "measured: .");
    assert_fault(at, NULL, 0, "block.yaml:3:13: canopy.measured: found ., expected the file of a canopy (Is a "
                              "directory)");
    put_scenario(at, "", "measured: [trees.csv]");
    assert_fault(at, NULL, 0,
                 "block.yaml:3:13: canopy.measured: found a list, expected a text on one line, shorter than "
                 "1024 bytes");
    put_scenario(at, "", "measured: trees.csv");
    text_file_put(at->file, "CDF\001");
    assert_fault(at, NULL, 0, "trees.csv: is a netCDF file of the classic format, expected netCDF-4 (HDF5) or "
                              "comma-separated values");
    text_file_put(at->file, "\x89HDF\r\n");
    assert_fault(at, NULL, 0, "trees.csv: is damaged: HDF5 cannot open it (its end may be missing)");
}

/* In a setting, as in a shell, names count from the current folder. */
static void a_setting_names_a_file_from_the_current_folder(void **state)
{
    const place *at = *state;
    char setting[160];
    const char *set[1] = {setting};
    put_scenario(at, "", "measured: elsewhere.csv");
    snprintf(setting, sizeof setting, "canopy.measured=%s", at->file);
    text_file_put(at->file, wall);
    drupelet_scenario *s = NULL;
    const drupelet_status status = drupelet_scenario_read(at->yaml, set, 1, &s);
    assert_string_equal(status.message, "");
    drupelet_scenario_free(s);
    strcpy(setting, "canopy.measured=no-such-trees.csv");
    assert_fault(at, set, 1,
                 "--set canopy.measured=no-such-trees.csv: canopy.measured: found no-such-trees.csv, expected the file "
                 "of a canopy (No such file or directory)");
}

static void what_does_not_go_with_the_file_is_told(void **state)
{
    const place *at = *state;
    static const struct { const char *trees, *canopy, *message; } cases[] = {
        {"", "{measured: trees.csv, crown: wall}",
         "block.yaml:3:25: canopy.crown: found this key, expected no such key beside canopy.measured, whose file has "
         "the leaves"},
        {"", "{measured: trees.csv, leaf_area_index: 1}",
         "block.yaml:3:25: canopy.leaf_area_index: found this key, expected no such key beside canopy.measured, whose "
         "file has the leaves"},
        {"", "{measured: trees.csv, gaps: 0}",
         "block.yaml:3:25: canopy.gaps: found this key, expected no such key beside canopy.measured, whose file has "
         "the "
         "leaves"},
        {"", "{measured: trees.csv, height: 1.3 m}",
         "block.yaml:3:33: canopy.height: found 1.3 m, expected 0.8 m, as in the canopy's file, or within 0.4 m (a "
         "voxel) of it"},
        {"", "{measured: trees.csv, base: 0.9 m}",
         "block.yaml:3:31: canopy.base: found 0.9 m, expected 0.4 m, as in the canopy's file, or within 0.4 m (a "
         "voxel) of it"},
        {"", "{measured: trees.csv, height: 0.6 m, base: 0.6 m}",
         "block.yaml:3:46: canopy.base: found 0.6 m, expected less than canopy.height, 0.6 m"},
        {"", "{measured: trees.csv, voxel: 0.2 m}",
         "block.yaml:3:32: canopy.voxel: found 0.2 m, expected 0.4 m, the edge in the canopy's file"},
        {", trees: 3", "{measured: trees.csv}",
         "block.yaml:3:14: canopy.measured: found a canopy 4 m long, expected orchard.trees times "
         "orchard.tree_spacing, "
         "6 m"},
    };
    text_file_put(at->file, wall);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        put_scenario(at, cases[i].trees, cases[i].canopy);
        assert_fault(at, NULL, 0, cases[i].message);
    }
    put_scenario(at, "", "{measured: trees.csv, wood_area_index: 0.1}");
    drupelet_scenario_free(must_read(at));
    text_file_put(at->file, "x,y,z,LAD,WAD\n-0.2,2,0.6,1,0\n0.2,2,0.6,2,0\n");
    assert_fault(at, NULL, 0,
                 "block.yaml:3:25: canopy.wood_area_index: found this key, expected no such key beside a canopy file "
                 "that has the wood");
    put_scenario(at, "", "measured: trees.csv");
    text_file_put(at->file, "x,y,z,LAD\n-0.2,2,0.6,0\n0.2,2,0.6,0\n");
    assert_fault(at, NULL, 0,
                 "block.yaml:3:13: canopy.measured: found a canopy with neither leaves nor wood, expected some of "
                 "them");
    text_file_put(at->file, "x,y,z,LAD\n-0.2,2,0.6,99\n0.2,2,0.6,99\n0.6,2,0.6,99\n");
    assert_fault(at, NULL, 0, /* 3 x 99 m2/m3 x 0.4 m x 0.4 m x 4 m over 16 m2 */
                 "block.yaml:3:13: canopy.measured: found a canopy with a leaf area index of 11.88, expected 0 to 10");
    text_file_put(at->file, "x,y,z,LAD\n-0.5,2,0.5,1\n2.5,2,0.5,2\n-2.5,2,0.5,0\n-1.5,2,0.5,0\n-3.5,2,0.5,0\n");
    assert_fault(at, NULL, 0,
                 "block.yaml:3:13: canopy.measured: found a canopy 8 m wide, expected at most orchard.row_spacing, "
                 "4 m");
    text_file_put(at->file, "x,y,z,LAD,row\n-0.2,2,0.6,1,1\n0.2,2,0.6,2,2\n0.2,2,0.6,2,3\n");
    assert_fault(at, NULL, 0,
                 "block.yaml:3:13: canopy.measured: found canopies of 3 rows, expected one row, or all of "
                 "orchard.rows, "
                 "2");
}

/* ---- HDF5 ---- */

static hid_t open_copy(const place *at, char path[128])
{
    snprintf(path, 128, "%s/trees.h5", at->folder);
    put_scenario(at, ", trees: 2", grown);
    drupelet_scenario *s = must_read(at);
    orchard_canopy *c = must_create(s);
    assert_int_equal(store_canopy_write(s, c, path, true).code, DRUPELET_OK);
    orchard_free(c);
    drupelet_scenario_free(s);
    put_scenario(at, "", "measured: trees.h5");
    const hid_t file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
    assert_true(file >= 0);
    return file;
}

static void poke(hid_t file, const char *name, hsize_t i, double value)
{
    double all[8192];
    const hid_t set = H5Dopen2(file, name, H5P_DEFAULT);
    assert_true(set >= 0);
    assert_true(H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, all) >= 0);
    all[i] = value;
    assert_true(H5Dwrite(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, all) >= 0);
    H5Dclose(set);
}

/* A dataset of one number a place, instead of the one that is there. */
static void replace(hid_t file, const char *name, int rank, const hsize_t *shape)
{
    assert_true(H5Ldelete(file, name, H5P_DEFAULT) >= 0);
    const hid_t space = H5Screate_simple(rank, shape, NULL);
    const hid_t set = H5Dcreate2(file, name, H5T_IEEE_F32LE, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
    assert_true(set >= 0);
    H5Dclose(set);
    H5Sclose(space);
}

static void a_fault_in_an_hdf5_file_is_told_with_its_dataset(void **state)
{
    const place *at = *state;
    char path[128]; /* 12 voxels up, 16 along, 6 across */
    hid_t file = open_copy(at, path);
    poke(file, "LAD", 16 * 6 * 2 + 6 * 3 + 4, -0.5);
    H5Fclose(file);
    assert_fault(at, NULL, 0,
                 "trees.h5: /LAD: found -0.5 at row 0, z 2, y 3, x 4 (counted from 0), expected a density from 0 to "
                 "100 "
                 "m2/m3");
    file = open_copy(at, path);
    poke(file, "WAD", 1, NAN);
    H5Fclose(file);
    assert_fault(at, NULL, 0,
                 "trees.h5: /WAD: found nan at row 0, z 0, y 0, x 1 (counted from 0), expected a density from 0 to 100 "
                 "m2/m3");
    file = open_copy(at, path);
    poke(file, "x", 1, -0.45);
    H5Fclose(file);
    assert_fault(at, NULL, 0,
                 "trees.h5: /x: found -0.45 at number 1, expected the middle of a voxel: half an edge and whole edges "
                 "of 0.25 m from the row line");
    file = open_copy(at, path);
    assert_true(H5Ldelete(file, "z", H5P_DEFAULT) >= 0);
    H5Fclose(file);
    assert_fault(at, NULL, 0, "trees.h5: /z: found no such dataset, expected one");
    file = open_copy(at, path);
    replace(file, "LAD", 3, (const hsize_t[]){6, 16, 12});
    H5Fclose(file);
    assert_fault(at, NULL, 0,
                 "trees.h5: /LAD: found 6 x 16 x 12 numbers, expected 12 x 16 x 6, as z, y and x have");
    file = open_copy(at, path);
    replace(file, "LAD", 2, (const hsize_t[]){16, 12});
    H5Fclose(file);
    assert_fault(at, NULL, 0,
                 "trees.h5: /LAD: found another number of dimensions, expected z, y, x, or row, z, y, x");
    file = open_copy(at, path);
    replace(file, "WAD", 3, (const hsize_t[]){12, 16, 6});
    H5Fclose(file);
    assert_fault(at, NULL, 0, "trees.h5: /WAD: found another number of rows, expected as many as LAD has");
    file = open_copy(at, path);
    const hid_t set = H5Dopen2(file, "x", H5P_DEFAULT), unit = H5Aopen(set, "units", H5P_DEFAULT);
    const hid_t type = H5Aget_type(unit);
    assert_true(H5Awrite(unit, type, "k") >= 0);
    H5Tclose(type);
    H5Aclose(unit);
    H5Dclose(set);
    H5Fclose(file);
    assert_fault(at, NULL, 0, "trees.h5: /x: found k, expected m");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define IN_FOLDER(f) cmocka_unit_test_setup_teardown(f, make_folder, drop_folder)
        IN_FOLDER(a_canopy_written_and_read_gives_the_same_densities_and_the_same_result),
        IN_FOLDER(an_existing_file_is_kept_unless_asked),
        IN_FOLDER(height_width_and_leaf_area_come_from_the_file),
        IN_FOLDER(each_row_may_have_its_own_trees_and_wood),
        IN_FOLDER(rounded_places_find_their_voxels),
        IN_FOLDER(a_fault_in_a_table_is_told_with_line_and_column),
        IN_FOLDER(a_file_that_is_not_there_or_no_table_is_told),
        IN_FOLDER(a_setting_names_a_file_from_the_current_folder),
        IN_FOLDER(what_does_not_go_with_the_file_is_told),
        IN_FOLDER(a_fault_in_an_hdf5_file_is_told_with_its_dataset),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
