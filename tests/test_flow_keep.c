/* tests/test_flow_keep.c - winds that are kept in a folder: the same bytes, whatever happens to the folder. */
#define _POSIX_C_SOURCE 200809L
#include <dirent.h>
#include <fcntl.h>
#include <math.h>
#include <setjmp.h>
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

#include "air/flow_keep.h"

enum { NX = 24, NZ = 16, PATH = 512 };

/* A hedge in the open, coarse, so that it settles in some hundredths of a second. @param drag_1_m of the hedge */
static air_flow_case hedge(double drag_1_m)
{
    air_flow_case c;
    assert_int_equal(air_flow_case_create(NX, NZ, &c).code, DRUPELET_OK);
    for (int i = 0; i <= NX; i++)
        c.x_face_m[i] = 2.0 * i;
    for (int k = 1; k <= NZ; k++)
        c.z_face_m[k] = c.z_face_m[k - 1] + 0.5 * pow(1.2, k - 1);
    for (int k = 0; k < 4; k++)
        c.drag_1_m[8 * NZ + k] = drag_1_m;
    c.roughness_m = 0.03;
    c.cos_angle = 1.0;
    return c;
}

static void assert_same_flow(const air_flow *a, const air_flow *b)
{
    const size_t nx = (size_t)a->nx, nz = (size_t)a->nz, bytes = nx * nz * sizeof(float);
    assert_int_equal(a->nx, b->nx);
    assert_int_equal(a->nz, b->nz);
    assert_int_equal(a->n_rounds, b->n_rounds);
    assert_memory_equal(a->x_m, b->x_m, nx * sizeof(double));
    assert_memory_equal(a->z_m, b->z_m, nz * sizeof(double));
    assert_memory_equal(a->force, b->force, nx * sizeof(double));
    assert_memory_equal(a->u, b->u, bytes);
    assert_memory_equal(a->v, b->v, bytes);
    assert_memory_equal(a->w, b->w, bytes);
    assert_memory_equal(a->k, b->k, bytes);
    assert_memory_equal(a->epsilon, b->epsilon, bytes);
}

/* ---- a folder ---- */

typedef struct {
    char above[64], folder[PATH]; /* the folder of the cache is made by the first wind */
    bool refused;
    air_flow_store store;
} place;

static place *new_place(void)
{
    place *p = calloc(1, sizeof *p);
    assert_non_null(p);
    snprintf(p->above, sizeof p->above, "/tmp/drupelet-kept-XXXXXX");
    assert_non_null(mkdtemp(p->above));
    snprintf(p->folder, sizeof p->folder, "%s/a/b", p->above);
    p->store = (air_flow_store){.folder = p->folder, .refused = &p->refused};
    return p;
}

static void end_place(place *p)
{
    char command[PATH];
    snprintf(command, sizeof command, "chmod -R u+w %s; rm -rf %s", p->above, p->above);
    assert_int_equal(system(command), 0);
    free(p);
}

static void path_in(const place *p, const char *name, char path[2 * PATH])
{
    snprintf(path, 2 * PATH, "%s/%s", p->folder, name);
}

/* Files in the folder; @param last out: the name of the one that comes last by name, "" where there is none */
static int files_in(const place *p, char last[PATH])
{
    DIR *all = opendir(p->folder);
    int n = 0;
    last[0] = '\0';
    for (const struct dirent *d; all && (d = readdir(all));) {
        if (d->d_name[0] == '.') continue;
        if (strcmp(d->d_name, last) > 0) snprintf(last, PATH, "%s", d->d_name);
        n++;
    }
    if (all) closedir(all);
    return n;
}

/* The only file of the folder. */
static void only_file(const place *p, char path[2 * PATH])
{
    char name[PATH];
    assert_int_equal(files_in(p, name), 1);
    path_in(p, name, path);
}

static unsigned char *bytes_of(const char *path, size_t *n)
{
    struct stat found;
    assert_int_equal(stat(path, &found), 0);
    *n = (size_t)found.st_size;
    unsigned char *bytes = malloc(*n);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    assert_int_equal(fread(bytes, 1, *n, file), *n);
    fclose(file);
    return bytes;
}

static void put(const char *path, const unsigned char *bytes, size_t n)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    assert_int_equal(fclose(file), 0);
}

/* The wind of the hedge by the store. */
static air_flow *obtain(const place *p, double drag_1_m)
{
    air_flow_case c = hedge(drag_1_m);
    air_flow *flow = NULL;
    assert_int_equal(air_flow_obtain(&c, &p->store, (air_watch){NULL, NULL}, &flow).code, DRUPELET_OK);
    assert_non_null(flow);
    air_flow_case_free(&c);
    return flow;
}

static air_flow *solved(double drag_1_m)
{
    air_flow_case c = hedge(drag_1_m);
    air_flow *flow = NULL;
    assert_int_equal(air_flow_solve(&c, &flow).code, DRUPELET_OK);
    air_flow_case_free(&c);
    return flow;
}

static void assert_obtains(const place *p, double drag_1_m, const air_flow *wanted)
{
    air_flow *flow = obtain(p, drag_1_m);
    assert_same_flow(flow, wanted);
    air_flow_free(flow);
}

/* ---- tests ---- */

static void a_kept_wind_has_the_bytes_of_the_solver(void **state)
{
    (void)state;
    place *p = new_place();
    char path[2 * PATH];
    air_flow *wanted = solved(0.3);
    assert_obtains(p, 0.3, wanted); /* cold */
    only_file(p, path);
    struct stat first, second;
    assert_int_equal(stat(path, &first), 0);
    assert_obtains(p, 0.3, wanted); /* kept */
    only_file(p, path);
    assert_int_equal(stat(path, &second), 0);
    assert_int_equal(first.st_ino, second.st_ino); /* read, not written anew */
    assert_false(p->refused);
    air_flow_free(wanted);
    end_place(p);
}

static void without_a_folder_nothing_is_kept(void **state)
{
    (void)state;
    air_flow *wanted = solved(0.3), *flow = NULL;
    air_flow_case c = hedge(0.3);
    const air_flow_store none = {0};
    const air_flow_store *const store[] = {NULL, &none};
    for (int i = 0; i < 2; i++) {
        assert_int_equal(air_flow_obtain(&c, store[i], (air_watch){NULL, NULL}, &flow).code, DRUPELET_OK);
        assert_same_flow(flow, wanted);
        air_flow_free(flow);
    }
    air_flow_case_free(&c);
    air_flow_free(wanted);
}

/* Each field of a case, changed by the least that a number can be changed by, makes another entry. */
static void every_field_of_the_case_is_in_the_key(void **state)
{
    (void)state;
    place *p = new_place();
    char name[PATH];
    air_flow_case c = hedge(0.3);
    double *const field[] = {&c.roughness_m,          &c.per_obukhov_1_m,           &c.cos_angle,
                             &c.sin_angle,            &c.x_face_m[3],               &c.z_face_m[NZ],
                             &c.drag_1_m[8 * NZ + 2], &c.leaf_drag_1_m[8 * NZ + 2], &c.over_turning,
                             &c.half_exponent};
    const int n = (int)(sizeof field / sizeof field[0]);
    for (int i = -1; i < n; i++) {
        air_flow *flow = NULL;
        const double before = i < 0 ? 0.0 : *field[i];
        if (i >= 0) *field[i] = nextafter(before, 0.5 * before + 0.01);
        assert_int_equal(air_flow_obtain(&c, &p->store, (air_watch){NULL, NULL}, &flow).code, DRUPELET_OK);
        if (i >= 0) *field[i] = before;
        air_flow_free(flow);
        assert_int_equal(files_in(p, name), i + 2);
    }
    air_flow_case_free(&c);
    end_place(p);
}

static void winds_in_any_order_have_the_same_bytes(void **state)
{
    (void)state;
    static const double drag_1_m[] = {0.2, 0.3, 0.4};
    air_flow *wanted[3];
    for (int i = 0; i < 3; i++)
        wanted[i] = solved(drag_1_m[i]);
    for (int order = 0; order < 6; order++) {
        place *p = new_place();
        const int first = order % 3, second = (first + 1 + order / 3) % 3, third = 3 - first - second;
        const int turn[] = {first, second, third, second, first, third};
        for (int i = 0; i < 6; i++)
            assert_obtains(p, drag_1_m[turn[i]], wanted[turn[i]]);
        end_place(p);
    }
    for (int i = 0; i < 3; i++)
        air_flow_free(wanted[i]);
}

/* Whatever a file holds, the wind is right, and the file is whole again. */
static void assert_mends(const place *p, const char *path, const unsigned char *whole, size_t n, const air_flow *wanted)
{
    size_t n_now;
    assert_obtains(p, 0.3, wanted);
    unsigned char *now = bytes_of(path, &n_now);
    assert_int_equal(n_now, n);
    assert_memory_equal(now, whole, n);
    free(now);
    assert_false(p->refused);
}

static void a_damaged_entry_is_solved_again(void **state)
{
    (void)state;
    place *p = new_place();
    char path[2 * PATH];
    size_t n;
    air_flow *wanted = solved(0.3);
    assert_obtains(p, 0.3, wanted);
    only_file(p, path);
    unsigned char *whole = bytes_of(path, &n), *bad = malloc(n + 100);
    assert_non_null(bad);
    for (size_t at = 0; at < n; at += at < 64 ? 1 : n / 97) { /* every byte of the head, and many behind it */
        memcpy(bad, whole, n);
        bad[at] ^= (unsigned char)(1u << at % 8);
        put(path, bad, n);
        assert_mends(p, path, whole, n, wanted);
    }
    const size_t length[] = {0, 1, 7, 8, 47, 48, 49, n / 2, n - 1, n + 1, n + 100};
    memset(bad, 0, n + 100);
    memcpy(bad, whole, n);
    for (size_t i = 0; i < sizeof length / sizeof length[0]; i++) { /* cut short or too long */
        put(path, bad, length[i]);
        assert_mends(p, path, whole, n, wanted);
    }
    memset(bad, 0, n);
    put(path, bad, n); /* of the right size, with nothing in it */
    assert_mends(p, path, whole, n, wanted);
    free(bad);
    free(whole);
    air_flow_free(wanted);
    end_place(p);
}

static void an_entry_of_another_wind_is_not_taken(void **state)
{
    (void)state;
    place *p = new_place();
    char path[2 * PATH];
    size_t n;
    air_flow *wanted = solved(0.3), *other;
    assert_obtains(p, 0.3, wanted);
    only_file(p, path);
    unsigned char *whole = bytes_of(path, &n);
    assert_int_equal(unlink(path), 0);
    other = obtain(p, 0.4); /* whole, of the same size, and of another key */
    char other_path[2 * PATH];
    only_file(p, other_path);
    assert_int_equal(rename(other_path, path), 0);
    assert_mends(p, path, whole, n, wanted);
    air_flow_free(other);
    free(whole);
    air_flow_free(wanted);
    end_place(p);
}

/* A folder or a pipe where the entry should be. Opening a pipe would wait for its other end for ever. */
static void what_is_no_file_makes_way(void **state)
{
    (void)state;
    place *p = new_place();
    char path[2 * PATH], within[2 * PATH + 8];
    size_t n;
    air_flow *wanted = solved(0.3);
    assert_obtains(p, 0.3, wanted);
    only_file(p, path);
    unsigned char *whole = bytes_of(path, &n);
    unlink(path);
    assert_int_equal(mkdir(path, 0700), 0);
    assert_mends(p, path, whole, n, wanted);
    unlink(path);
    assert_int_equal(mkfifo(path, 0600), 0);
    assert_mends(p, path, whole, n, wanted);
    unlink(path);
    assert_int_equal(mkdir(path, 0700), 0); /* with something in it, which is not ours to throw away */
    snprintf(within, sizeof within, "%s/file", path);
    put(within, whole, 1);
    assert_obtains(p, 0.3, wanted);
    assert_true(p->refused);
    assert_int_equal(access(within, F_OK), 0);
    free(whole);
    air_flow_free(wanted);
    end_place(p);
}

/* Processes that all find nothing, all write, and read what others write. */
static void processes_at_once_are_safe(void **state)
{
    (void)state;
    enum { PROCESSES = 4, TIMES = 12 };
    static const double drag_1_m[] = {0.2, 0.3};
    place *p = new_place();
    char name[PATH], path[2 * PATH];
    air_flow *wanted[2] = {solved(drag_1_m[0]), solved(drag_1_m[1])};
    pid_t child[PROCESSES];
    for (int i = 0; i < PROCESSES; i++) {
        child[i] = fork();
        assert_true(child[i] >= 0);
        if (child[i] > 0) continue;
        bool good = true;
        for (int t = 0; t < TIMES; t++) {
            const int which = (t + i) % 2;
            air_flow_case c = hedge(drag_1_m[which]);
            air_flow *flow = NULL;
            const size_t bytes = (size_t)NX * NZ * sizeof(float);
            good = good && air_flow_obtain(&c, &p->store, (air_watch){NULL, NULL}, &flow).code == DRUPELET_OK
                   && memcmp(flow->u, wanted[which]->u, 5 * bytes) == 0;
            air_flow_free(flow);
            air_flow_case_free(&c);
            /* now and then one is gone again; a draft is left to who writes it */
            if (t % 3 == 2 && files_in(p, name) > 0 && !strstr(name, "draft")) {
                path_in(p, name, path);
                unlink(path);
            }
        }
        _exit(good && !p->refused ? 0 : 1);
    }
    for (int i = 0; i < PROCESSES; i++) {
        int end = -1;
        assert_int_equal(waitpid(child[i], &end, 0), child[i]);
        assert_int_equal(end, 0);
    }
    assert_true(files_in(p, name) <= 2); /* no draft is left */
    for (int i = 0; i < 2; i++)
        air_flow_free(wanted[i]);
    end_place(p);
}

/* A draft that another process has under way has its own name, and is left to it. */
static void drafts_of_others_are_left_alone(void **state)
{
    (void)state;
    place *p = new_place();
    char path[2 * PATH], draft[2 * PATH + 16], name[PATH];
    size_t n;
    air_flow *wanted = solved(0.3);
    assert_obtains(p, 0.3, wanted);
    only_file(p, path);
    unsigned char *whole = bytes_of(path, &n);
    unlink(path);
    snprintf(draft, sizeof draft, "%s.draft-0", path);
    put(draft, (const unsigned char *)"half", 4);
    assert_mends(p, path, whole, n, wanted);
    free(whole);
    whole = bytes_of(draft, &n);
    assert_int_equal(n, 4);
    assert_memory_equal(whole, "half", 4);
    assert_int_equal(files_in(p, name), 2);
    free(whole);
    air_flow_free(wanted);
    end_place(p);
}

/* Sets the time of a file so many seconds before now. */
static void make_older(const char *path, int seconds)
{
    struct stat found;
    assert_int_equal(stat(path, &found), 0);
    const struct timespec then[2] = {{found.st_mtim.tv_sec - seconds, 0}, {found.st_mtim.tv_sec - seconds, 0}};
    assert_int_equal(utimensat(AT_FDCWD, path, then, 0), 0);
}

static void what_was_used_longest_ago_goes_first(void **state)
{
    (void)state;
    static const double drag_1_m[] = {0.2, 0.3, 0.4};
    place *p = new_place();
    char path[3][2 * PATH], name[PATH], foreign[2 * PATH], draft[2 * PATH + 16];
    size_t n;
    for (int i = 0; i < 3; i++) { /* each alone, to learn its name */
        air_flow_free(obtain(p, drag_1_m[i]));
        only_file(p, path[i]);
        unlink(path[i]);
    }
    air_flow_free(obtain(p, drag_1_m[0]));
    free(bytes_of(path[0], &n));
    air_flow_free(obtain(p, drag_1_m[1]));
    path_in(p, "letter.txt", foreign);
    put(foreign, (const unsigned char *)"mine", 4);
    snprintf(draft, sizeof draft, "%s.draft-7", path[1]); /* of a process that was killed long ago */
    put(draft, (const unsigned char *)"half", 4);
    make_older(path[0], 20);
    make_older(path[1], 10);
    make_older(foreign, 100000);
    make_older(draft, 100000);
    air_flow_free(obtain(p, drag_1_m[0])); /* the older one is used */
    p->store.most_bytes = (int64_t)(2 * n + n / 2);
    air_flow_free(obtain(p, drag_1_m[2])); /* room is for two */
    assert_int_equal(access(path[0], F_OK), 0);
    assert_int_not_equal(access(path[1], F_OK), 0);
    assert_int_equal(access(path[2], F_OK), 0);
    assert_int_equal(access(foreign, F_OK), 0); /* what is not ours stays */
    assert_int_not_equal(access(draft, F_OK), 0);
    assert_false(p->refused);
    p->store.most_bytes = (int64_t)(n / 2);
    air_flow *wanted = solved(drag_1_m[1]);
    assert_obtains(p, drag_1_m[1], wanted); /* room is for none */
    assert_true(p->refused);
    assert_int_equal(files_in(p, name), 3);
    air_flow_free(wanted);
    end_place(p);
}

/* A file stands where the folder should be, so that not even root can make it. */
static void a_folder_that_takes_no_file_is_no_error(void **state)
{
    (void)state;
    place *p = new_place();
    char file[PATH];
    snprintf(file, sizeof file, "%s/a", p->above);
    put(file, (const unsigned char *)"", 0);
    air_flow *wanted = solved(0.3);
    assert_obtains(p, 0.3, wanted);
    assert_true(p->refused);
    p->store.refused = NULL; /* nobody asks */
    assert_obtains(p, 0.3, wanted);
    air_flow_free(wanted);
    end_place(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_kept_wind_has_the_bytes_of_the_solver),
        cmocka_unit_test(without_a_folder_nothing_is_kept),
        cmocka_unit_test(every_field_of_the_case_is_in_the_key),
        cmocka_unit_test(winds_in_any_order_have_the_same_bytes),
        cmocka_unit_test(a_damaged_entry_is_solved_again),
        cmocka_unit_test(an_entry_of_another_wind_is_not_taken),
        cmocka_unit_test(what_is_no_file_makes_way),
        cmocka_unit_test(processes_at_once_are_safe),
        cmocka_unit_test(drafts_of_others_are_left_alone),
        cmocka_unit_test(what_was_used_longest_ago_goes_first),
        cmocka_unit_test(a_folder_that_takes_no_file_is_no_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
