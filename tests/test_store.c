/* tests/test_store.c - result files: what was written is read back, the bytes depend on the result alone, other readers
 * take them, and a file is there whole or not at all. */
#define _POSIX_C_SOURCE 200809L
#include <dirent.h>
#include <math.h>
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "check.h"
#include "result/quantity.h"
#include "small_run.h"
#include "store/store.h"
#include "tally/leaves.h"

typedef struct {
    run_case *run;
    char folder[64], file[96], other[96];
} place;

static char *bytes_of(const char *path, size_t *n)
{
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    assert_int_equal(fseek(f, 0, SEEK_END), 0);
    *n = (size_t)ftell(f);
    rewind(f);
    char *bytes = malloc(*n + 1);
    assert_non_null(bytes);
    assert_int_equal(fread(bytes, 1, *n, f), *n);
    fclose(f);
    return bytes;
}

static void put_bytes(const char *path, const char *bytes, size_t n)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, n, f), n);
    assert_int_equal(fclose(f), 0);
}

static int files_in(const char *folder)
{
    DIR *d = opendir(folder);
    assert_non_null(d);
    int n = 0;
    for (struct dirent *e; (e = readdir(d));)
        n += e->d_name[0] != '.';
    closedir(d);
    return n;
}

static bool contains(const char *bytes, size_t n, const char *text)
{
    const size_t length = strlen(text);
    for (size_t i = 0; i + length <= n; i++)
        if (memcmp(bytes + i, text, length) == 0)
            return true;
    return false;
}

/* Runs a program of the PATH with arguments; its exit code, or -1 where the shell finds no such program. */
static int run(const char *command)
{
    const int answer = system(command);
    return WIFEXITED(answer) && WEXITSTATUS(answer) != 127 ? WEXITSTATUS(answer) : -1;
}

/* The first python3 of the PATH that has the readers; 77 where none has. */
static int run_python(const char *arguments)
{
    char command[1024];
    snprintf(command, sizeof command,
             "IFS=:; for d in $PATH; do if [ -x \"$d/python3\" ] && \"$d/python3\" -c 'import xarray, h5py, netCDF4, "
             "h5netcdf' "
             "2>/dev/null; then exec \"$d/python3\" '%s/tests/check_result.py' %s; fi; done; exit 77",
             DRUPELET_SOURCE, arguments);
    return run(command);
}

static void skip_visibly(const char *what)
{
    print_message("SKIPPED: %s is not installed, so this reader was not tried\n", what);
    skip();
}

/* ---- tests ---- */

static void what_was_written_is_read_back(void **state)
{
    const place *at = *state;
    const drupelet_result *d = at->run->result;
    const run_outcome *r = at->run->outcome;
    const tally *a = r->accounts;
    drupelet_result *s;
    assert_ok(store_read(at->file, &s));
    assert_string_equal(s->name, r->scenario->name);
    assert_string_equal(s->place, r->scenario->place);
    assert_string_equal(s->version, drupelet_version());
    assert_string_equal(s->caution, drupelet_caution());
    assert_string_equal(s->scenario_text, r->scenario->text);
    assert_string_equal(s->resolved, r->scenario->resolved);
    assert_true(s->seed == r->seed && s->n_droplets == r->n_droplets);
    for (int f = 0; f < TALLY_FATES; f++) {
        const drupelet_share share = drupelet_result_fate(d, (drupelet_fate)f);
        assert_close(s->fate[f].share, share.share, 0.0, 0.0);
        assert_close(s->fate[f].error, share.standard_error, 0.0, 0.0);
        assert_close(s->water[f].share, tally_water(a, (tally_fate)f).share, 0.0, 0.0);
    }
    assert_close(s->evaporated.share, drupelet_result_evaporated(d).share, 0.0, 0.0);
    assert_close(s->size_fate[12][TALLY_LEAF].share,
                 tally_share(a, &a->size_fate[0][12][TALLY_LEAF], TALLY_SIZES * TALLY_FATES).share, 0.0, 0.0);
    assert_close(1e-6 * s->size_low_um[7], tally_size_edge_m(7), 1e-15, 0.0);
    assert_close(1e-6 * s->size_high_um[7], tally_size_edge_m(8), 1e-15, 0.0);
    for (int t = 0; t < TALLY_TARGETS; t++)
        for (int o = 0; o < TALLY_OUTCOMES; o++) {
            const int64_t stride = TALLY_TARGETS * TALLY_OUTCOMES;
            assert_close(s->impacts[t][o].share, tally_share(a, &a->impacts[0][t][o], stride).share, 0.0, 0.0);
            assert_close(s->stayed[t][o].error, tally_share(a, &a->stayed[0][t][o], stride).error, 0.0, 0.0);
        }

    assert_int_equal(s->n_rows, SMALL_RUN_ROWS);
    assert_true(s->nx == SMALL_RUN_NX && s->ny == SMALL_RUN_NY && s->nz == SMALL_RUN_NZ);
    double leaf = 0.0;
    for (int64_t i = 0; i < orchard_voxels(r->canopy); i++) {
        leaf += s->leaf_deposit[i];
        assert_true(s->leaf_area_density_1_m[i] == r->canopy->leaf_area_density_1_m[i]);
        assert_true(s->wood_area_density_1_m[i] == r->canopy->wood_area_density_1_m[i]);
    }
    assert_close(leaf, s->fate[TALLY_LEAF].share, 1e-12, 0.0);
    assert_close(s->row[3].x_m, -10.5, 1e-15, 0.0);
    assert_close(s->row[3].leaf[1][0].share, tally_row(a, 3, 1, 0).share, 0.0, 0.0);
    assert_close(s->row[3].leaf[1][0].error, tally_row(a, 3, 1, 0).error, 0.0, 0.0);
    assert_close(s->x_m[0], -0.5, 1e-12, 0.0);
    assert_close(s->z_m[17], 3.5, 1e-12, 0.0);

    tally_coverage *coverage;
    assert_ok(tally_coverage_create(a, &coverage));
    for (int side = 0; side < 2; side++) {
        const tally_where where = {-1, -1, -1, side};
        assert_close(s->cover_percent[side].share, 100.0 * tally_cover(coverage, where).share, 1e-14, 0.0);
        assert_close(s->cover_percent[side].error, 100.0 * tally_cover(coverage, where).error, 1e-14, 0.0);
        assert_close(s->droplets_1_cm2[side].share, 1e-4 * tally_seen_1_m2(coverage, where).share, 1e-14, 0.0);
    }
    assert_close(s->deposit_uL_cm2.share, 1e5 * tally_leaf_deposit_m(coverage, (tally_where){-1, -1, -1, -1}).share,
                 1e-14, 0.0);
    assert_close(s->run_off.share, tally_run_off(a).share, 0.0, 0.0);
    tally_coverage_free(coverage);

    assert_int_equal(s->n_ground, a->shape.n_ground);
    for (int i = 0; i < s->n_ground; i++) {
        const tally_estimate e = tally_ground_of_rate(a, s->ground_x_m[i] - 0.25, s->ground_x_m[i] + 0.25);
        assert_close(s->ground_percent_of_rate[i].share, 100.0 * e.share, 1e-9, 1e-12);
        assert_close(s->ground_percent_of_rate[i].error, 100.0 * e.error, 1e-9, 1e-12);
        assert_close(s->ground_distance_m[i], tally_distance_m(&a->shape, s->ground_x_m[i]), 0.0, 1e-12);
    }
    for (int i = 0; i < SCENARIO_SUMS; i++) {
        assert_close(s->drift_sum_percent[i].share, 100.0 * drupelet_result_drift_sum(d, s->drift_distance_m[i]).share,
                     1e-14, 0.0);
        assert_true(s->drift_sum_percent[i].error > 0.0);
    }
    for (int i = 0; i < SCENARIO_CURVE; i++) {
        const drupelet_share deposit = drupelet_result_ground_deposit(d, s->curve_distance_m[i]);
        assert_close(s->curve_percent[i].share, 100.0 * deposit.share, 1e-12, 0.0);
        assert_close(s->curve_percent[i].error, 100.0 * deposit.standard_error, 1e-12, 0.0);
    }
    for (int i = 0; i < TALLY_PLANES; i++)
        assert_close(s->flux_percent[i].share, 100.0 * drupelet_result_airborne(d, s->plane_distance_m[i]).share, 1e-14,
                     0.0);
    assert_close(s->treated_width_m, r->sprayer.treated_width_m, 0.0, 0.0);
    double through = 0.0;
    for (int i = 0; i < s->n_flux; i++)
        through += 0.5 * s->flux_percent_per_m[i].share;
    assert_close(through, 100.0 * tally_plane(a, 0, 0, s->n_flux).share, 1e-12, 0.0);

    assert_int_equal(s->n_tracks, r->n_tracks);
    for (int i = 0; i < s->n_tracks; i++) {
        const result_track *t = &s->track[i];
        const tally_track *u = &r->track[i];
        assert_true(t->droplet == u->droplet && t->n_points == u->n_points && t->fate == (int8_t)u->fate);
        assert_true(t->alley == u->i_alley && t->nozzle == u->i_nozzle + 1);
        for (int o = DROPLET_ADHERES + 1; o < TALLY_OUTCOMES; o++)
            assert_int_equal(t->n_outcome[o], u->n_outcome[o]);
        assert_close(t->emitted_diameter_um, 1e6 * u->emitted_diameter_m, 1e-15, 0.0);
        for (int k = 0; k < t->n_points; k++) {
            const tally_point *p = &u->point[k];
            const int64_t j = t->first + k;
            assert_true(s->time_s[j] == p->time_s && s->track_x_m[j] == p->x_m && s->track_y_m[j] == p->y_m);
            assert_true(s->track_z_m[j] == p->z_m && s->diameter_um[j] == p->diameter_um
                        && s->speed_m_s[j] == p->speed_m_s);
        }
    }
    assert_true(s->air_nx == r->slice.nx && s->air_nz == r->slice.nz);
    assert_close(s->air_x_m[1], r->slice.x_first_m + r->slice.dx_m, 1e-12, 0.0);
    assert_true(s->air_speed_m_s[35] == r->slice.speed_m_s[35]);
    assert_true(s->n_nozzles == 14 && s->n_sprays == 2 && s->n_passes == 9);
    assert_true(s->nozzle[0].side == -1 && s->nozzle[13].side == 1 && s->nozzle[13].spray == 2);
    assert_close(s->nozzle[0].flow_L_min, 6e4 * r->sprayer.nozzle[0].flow_m3_s, 1e-12, 0.0);
    assert_true(s->spray[0].assumed && !s->spray[1].assumed);
    assert_string_equal(s->spray[0].note, r->sprayer.spray[0].note);
    assert_string_equal(s->spray[1].tip, "coarse cone");
    assert_close(s->spray[1].dv50_um, 1e6 * r->sprayer.spray[1].dv50_m, 1e-12, 0.0);
    assert_true(s->pass[8].alley == 8 && !s->pass[8].left_open && s->pass[8].right_open);
    assert_close(s->application_rate_L_ha, 1e7 * r->sprayer.application_rate_m, 1e-14, 0.0);
    assert_close(s->wind_speed_m_s, 3.0, 0.0, 0.0);
    assert_close(s->temperature_degC, 20.0, 1e-12, 0.0);
    drupelet_result_free(s);
    drupelet_result_free(NULL); /* harmless */
}

/* Byte by byte, so that "not a number" equals itself. */
static void every_quantity_of_the_run_is_in_the_file(void **state)
{
    const place *at = *state;
    const drupelet_result *r = at->run->result;
    drupelet_result *s;
    int64_t n_values = 0;
    assert_ok(store_read(at->file, &s));
    for (int g = 0; g < result_n_groups; g++)
        for (int k = 0; k < result_groups[g]->n; k++) {
            const result_group *group = result_groups[g];
            const result_quantity *q = &group->quantity[k];
            const size_t n = result_size(r, group, q);
            assert_true(result_size(s, group, q) == n);
            for (size_t i = 0; i < n && !q->place.none; i++, n_values++) {
                const void *run = result_value(r, group, q, i), *file = result_value(s, group, q, i);
                if (q->type == RESULT_TEXT)
                    assert_string_equal(*(char *const *)run, *(char *const *)file);
                else if (memcmp(run, file, result_value_size(q->type)) != 0)
                    fail_msg("%s/%s: value %zu differs", group->name, q->name, i);
            }
        }
    assert_true(n_values > 100000);
    drupelet_result_free(s);
}

static void equal_results_give_equal_bytes(void **state)
{
    const place *at = *state;
    char folder[128], path[192], host[256] = "";
    size_t n, m;
    sleep(1); /* a time stamp of a second would show */
    snprintf(folder, sizeof folder, "%s/another folder", at->folder);
    snprintf(path, sizeof path, "%s/a longer name of the file.h5", folder);
    assert_int_equal(mkdir(folder, 0777), 0);
    run_case *again = small_run(1);
    assert_ok(drupelet_result_write(again->result, path, false));
    small_run_end(again);
    char *one = bytes_of(at->file, &n), *two = bytes_of(path, &m);
    assert_int_equal(n, m);
    assert_memory_equal(one, two, n);
    assert_false(contains(one, n, at->folder));
    assert_false(contains(one, n, ".tmp."));
    assert_int_equal(gethostname(host, sizeof host - 1), 0);
    if (strlen(host) >= 5)
        assert_false(contains(one, n, host));
    free(one);
    free(two);
    assert_int_equal(files_in(folder), 1); /* no draft is left */
    assert_int_equal(remove(path), 0);
    assert_int_equal(rmdir(folder), 0);
}

static void a_different_result_gives_different_bytes(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run->result;
    size_t n, m;
    r->leaf_side[0].share += 1e-12;
    assert_ok(drupelet_result_write(r, at->other, true));
    r->leaf_side[0].share -= 1e-12;
    char *one = bytes_of(at->file, &n), *two = bytes_of(at->other, &m);
    assert_true(n != m || memcmp(one, two, n) != 0);
    free(one);
    free(two);
    assert_int_equal(remove(at->other), 0);
}

static void an_existing_file_stays_unless_asked(void **state)
{
    const place *at = *state;
    size_t n;
    put_bytes(at->other, "precious", 8);
    const drupelet_status status = drupelet_result_write(at->run->result, at->other, false);
    assert_int_equal(status.code, DRUPELET_FILE);
    assert_non_null(strstr(status.message, at->other));
    char *bytes = bytes_of(at->other, &n);
    assert_int_equal(n, 8);
    assert_memory_equal(bytes, "precious", 8);
    free(bytes);
    assert_ok(drupelet_result_write(at->run->result, at->other, true));
    bytes = bytes_of(at->other, &n);
    assert_true(n > 1000 && memcmp(bytes, "\211HDF", 4) == 0);
    free(bytes);
    assert_int_equal(remove(at->other), 0);
    assert_int_equal(files_in(at->folder), 1);
}

static void a_name_that_appears_meanwhile_is_not_replaced(void **state)
{
    const place *at = *state;
    size_t n;
    store_draft draft;
    assert_ok(store_draft_begin(at->other, false, &draft));
    put_bytes(draft.draft, "new", 3);
    put_bytes(at->other, "mine", 4); /* somebody else's, after the run began */
    assert_int_equal(store_draft_keep(&draft).code, DRUPELET_FILE);
    char *bytes = bytes_of(at->other, &n);
    assert_int_equal(n, 4);
    free(bytes);
    assert_int_equal(files_in(at->folder), 2);
    assert_ok(store_draft_begin(at->other, true, &draft));
    put_bytes(draft.draft, "new", 3);
    assert_int_equal(files_in(at->folder), 3);
    store_draft_drop(&draft);
    assert_int_equal(files_in(at->folder), 2);
    assert_int_equal(remove(at->other), 0);
}

static void places_that_take_no_file_are_named(void **state)
{
    const place *at = *state;
    char path[192];
    snprintf(path, sizeof path, "%s/no such folder/r.h5", at->folder);
    drupelet_status status = drupelet_result_write(at->run->result, path, false);
    assert_int_equal(status.code, DRUPELET_FILE);
    assert_non_null(strstr(status.message, "No such file"));
    status = drupelet_result_write(at->run->result, at->folder, true); /* a folder */
    assert_int_equal(status.code, DRUPELET_FILE);
    assert_int_equal(files_in(at->folder), 1);
}

static void a_full_disk_leaves_nothing(void **state)
{
    const place *at = *state;
    /* a limit on the size of files stands for a full disk; in a child, since it holds for the whole process */
    fflush(NULL);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        char command[256];
        snprintf(command, sizeof command, "ulimit -f 64; exec \"$0\" --write '%s'", at->other);
        execlp("sh", "sh", "-c", command, getenv("DRUPELET_TEST_SELF"), (char *)NULL);
        _exit(99);
    }
    int answer;
    assert_int_equal(waitpid(child, &answer, 0), child);
    assert_true(WIFEXITED(answer));
    assert_int_equal(WEXITSTATUS(answer), 10 + DRUPELET_FILE);
    assert_int_equal(files_in(at->folder), 1);
}

static void assert_refused(const char *path, const char *says)
{
    drupelet_result *s;
    const drupelet_status status = store_read(path, &s);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, path));
    if (!strstr(status.message, says))
        print_error("%s\n", status.message);
    assert_non_null(strstr(status.message, says));
    assert_null(strchr(status.message, '\n'));
    assert_null(s);
}

static void files_that_are_no_result_get_one_clear_line(void **state)
{
    const place *at = *state;
    size_t n;
    assert_refused(at->other, "No such file");
    put_bytes(at->other, "name: a scenario\n", 17);
    assert_refused(at->other, "no result of drupelet");
    put_bytes(at->other, "", 0);
    assert_refused(at->other, "no result of drupelet");
    assert_refused(at->folder, "no result of drupelet");
    char *bytes = bytes_of(at->file, &n);
    for (size_t cut = 1; cut < 8; cut++) {
        put_bytes(at->other, bytes, n * cut / 8);
        assert_refused(at->other, "is damaged: "); /* HDF5 finds the end missing */
    }
    free(bytes);
    assert_int_equal(remove(at->other), 0);
}

/* A bit that flips anywhere is noticed; in the line with the sum, at the end, it hurts nothing. */
static void every_flipped_bit_is_noticed_or_harmless(void **state)
{
    enum { FLIPS = 150, LINE = 66 /* bytes of the line */, IN_LINE = LINE / 3 };
    const place *at = *state;
    size_t n;
    char *bytes = bytes_of(at->file, &n);
    int harmless = 0;
    for (size_t k = 0; k < FLIPS; k++) {
        const size_t i = k < IN_LINE ? n - 1 - 3 * k : k * n / FLIPS; /* of the line, and all over the file */
        const char bit = (char)(1 << k % 8);
        drupelet_result *s;
        bytes[i] = (char)(bytes[i] ^ bit);
        put_bytes(at->other, bytes, n);
        bytes[i] = (char)(bytes[i] ^ bit);
        const drupelet_status status = store_read(at->other, &s);
        if (status.code == DRUPELET_OK) {
            assert_true(i >= n - LINE);
            harmless++;
            drupelet_result_free(s);
            continue;
        }
        assert_int_equal(status.code, DRUPELET_SCENARIO);
        assert_non_null(strstr(status.message, at->other));
    }
    assert_in_range(harmless, 1, IN_LINE);
    put_bytes(at->other, bytes, n - LINE); /* a program that wrote into it has cut the line off */
    drupelet_result *s;
    assert_ok(store_read(at->other, &s));
    drupelet_result_free(s);
    free(bytes);
    assert_int_equal(remove(at->other), 0);
}

static void a_draft_of_a_killed_writer_goes(void **state)
{
    const place *at = *state;
    char killed[256];
    store_draft draft, second;
    snprintf(killed, sizeof killed, "%s/drupelet-draft-0123456789abcdef", at->folder);
    put_bytes(killed, "half", 4);
    assert_ok(store_draft_begin(at->other, false, &draft));
    assert_int_equal(files_in(at->folder), 2); /* the result of the set-up, and this draft */
    assert_ok(store_draft_begin(at->other, false, &second)); /* the first one's writer lives */
    assert_int_equal(files_in(at->folder), 3);
    store_draft_drop(&draft);
    store_draft_drop(&second);
    assert_int_equal(files_in(at->folder), 1);
}

static void a_run_without_paths_is_a_result_too(void **state)
{
    const place *at = *state;
    drupelet_result *r = at->run->result;
    drupelet_result *s;
    char arguments[512];
    const int n_tracks = r->n_tracks, n_points = r->n_points, air_nx = r->air_nx, air_nz = r->air_nz;
    r->n_tracks = r->n_points = 0;
    r->air_nx = r->air_nz = 0;
    drupelet_status status = drupelet_result_write(r, at->other, true);
    r->n_tracks = n_tracks;
    r->n_points = n_points;
    r->air_nx = air_nx;
    r->air_nz = air_nz;
    assert_ok(status);
    assert_ok(store_read(at->other, &s));
    assert_true(s->n_tracks == 0 && s->n_points == 0 && s->air_nx == 0);
    drupelet_result_free(s);
    snprintf(arguments, sizeof arguments, "'%s' '%s/docs/result-format.md'", at->other, DRUPELET_SOURCE);
    const int answer = run_python(arguments);
    assert_true(answer == 0 || answer == 77);
    assert_int_equal(remove(at->other), 0);
}

static void netcdf_tools_list_it(void **state)
{
    const place *at = *state;
    char command[512];
    if (run("command -v ncdump >/dev/null") != 0)
        skip_visibly("ncdump");
    snprintf(command, sizeof command, "ncdump -h '%s' > '%s'", at->file, at->other);
    assert_int_equal(run(command), 0);
    size_t n;
    char *text = bytes_of(at->other, &n);
    assert_true(contains(text, n, "string fate(fate)"));
    assert_true(contains(text, n, "double leaf_deposit(row, z, y, x)"));
    assert_true(contains(text, n, "time:units = \"s\""));
    assert_true(contains(text, n, ":seed = 7"));
    assert_false(contains(text, n, "phony_dim"));
    free(text);
    assert_int_equal(remove(at->other), 0);
}

static void xarray_and_h5py_read_it_and_it_adds_up(void **state)
{
    const place *at = *state;
    char arguments[512];
    snprintf(arguments, sizeof arguments, "'%s' '%s/docs/result-format.md'", at->file, DRUPELET_SOURCE);
    const int answer = run_python(arguments);
    if (answer == 77)
        skip_visibly("a python3 with xarray, h5py, netCDF4 and h5netcdf");
    assert_int_equal(answer, 0);
}

static void a_wind_the_other_way_adds_up_too(void **state)
{
    const place *at = *state;
    char arguments[512];
    run_case *back = small_run(-1);
    drupelet_result *s;
    assert_int_equal(tally_check(back->outcome->accounts).code, DRUPELET_OK);
    assert_ok(drupelet_result_write(back->result, at->other, true));
    assert_ok(store_read(at->other, &s));
    assert_true(s->ground_distance_m[0] > 99.0 && s->ground_distance_m[s->n_ground - 1] < -100.0);
    drupelet_result_free(s);
    small_run_end(back);
    snprintf(arguments, sizeof arguments, "'%s' '%s/docs/result-format.md'", at->other, DRUPELET_SOURCE);
    const int answer = run_python(arguments);
    assert_true(answer == 0 || answer == 77);
    assert_int_equal(remove(at->other), 0);
}

static void another_format_number_is_refused(void **state)
{
    const place *at = *state;
    char arguments[512];
    assert_ok(drupelet_result_write(at->run->result, at->other, true));
    snprintf(arguments, sizeof arguments, "'%s' --set-format 1", at->other);
    const int answer = run_python(arguments);
    if (answer == 77) {
        assert_int_equal(remove(at->other), 0);
        skip_visibly("a python3 with h5py");
    }
    assert_int_equal(answer, 0);
    assert_refused(at->other, "format 1, and this program reads format 2");
    assert_int_equal(remove(at->other), 0);
}

static int set_up(void **state)
{
    static place at;
    snprintf(at.folder, sizeof at.folder, "/tmp/drupelet-store-XXXXXX");
    if (!mkdtemp(at.folder))
        return -1;
    snprintf(at.file, sizeof at.file, "%s/result.h5", at.folder);
    snprintf(at.other, sizeof at.other, "%s/other.h5", at.folder);
    at.run = small_run(1);
    *state = &at;
    return drupelet_result_write(at.run->result, at.file, false).code == DRUPELET_OK ? 0 : -1;
}

static int tear_down(void **state)
{
    const place *at = *state;
    small_run_end(at->run);
    remove(at->other);
    remove(at->file);
    return rmdir(at->folder);
}

int main(int argc, char **argv)
{
    if (argc == 3 && strcmp(argv[1], "--write") == 0) { /* the child of a_full_disk_leaves_nothing */
        signal(SIGXFSZ, SIG_IGN); /* the limit then makes write() fail, as a full disk does */
        run_case *child = small_run(1);
        const drupelet_status status = drupelet_result_write(child->result, argv[2], false);
        small_run_end(child);
        return 10 + (int)status.code;
    }
    setenv("DRUPELET_TEST_SELF", argv[0], 1);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_written_is_read_back),
        cmocka_unit_test(every_quantity_of_the_run_is_in_the_file),
        cmocka_unit_test(equal_results_give_equal_bytes),
        cmocka_unit_test(a_different_result_gives_different_bytes),
        cmocka_unit_test(an_existing_file_stays_unless_asked),
        cmocka_unit_test(a_name_that_appears_meanwhile_is_not_replaced),
        cmocka_unit_test(places_that_take_no_file_are_named),
        cmocka_unit_test(a_full_disk_leaves_nothing),
        cmocka_unit_test(files_that_are_no_result_get_one_clear_line),
        cmocka_unit_test(every_flipped_bit_is_noticed_or_harmless),
        cmocka_unit_test(a_draft_of_a_killed_writer_goes),
        cmocka_unit_test(a_run_without_paths_is_a_result_too),
        cmocka_unit_test(netcdf_tools_list_it),
        cmocka_unit_test(xarray_and_h5py_read_it_and_it_adds_up),
        cmocka_unit_test(a_wind_the_other_way_adds_up_too),
        cmocka_unit_test(another_format_number_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
