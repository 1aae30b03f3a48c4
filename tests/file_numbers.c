/* tests/file_numbers.c - reads what a result file says with a standard error, and compares two lots of it. */
#define _POSIX_C_SOURCE 200809L
#include "file_numbers.h"

#include <hdf5.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#define ENDING "_standard_error"
#define TOO_RARE 5.0 /* times its error */

static double *read_all(hid_t file, const char *name, hssize_t *n)
{
    const hid_t set = H5Dopen2(file, name, H5P_DEFAULT), space = H5Dget_space(set);
    assert_true(set >= 0 && space >= 0);
    *n = H5Sget_simple_extent_npoints(space);
    assert_true(*n > 0);
    double *values = malloc((size_t)*n * sizeof *values);
    assert_non_null(values);
    assert_true(H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) >= 0);
    H5Sclose(space);
    H5Dclose(set);
    return values;
}

static herr_t take(hid_t file, const char *name, const H5L_info_t *info, void *list)
{
    (void)info;
    file_numbers *all = list;
    const char *ending = strstr(name, ENDING);
    file_number number = {.i = 0};
    if (!ending || ending[strlen(ENDING)] != '\0')
        return 0;
    assert_true((size_t)(ending - name) < sizeof number.dataset);
    memcpy(number.dataset, name, (size_t)(ending - name));
    hssize_t n, n_errors;
    double *value = read_all(file, number.dataset, &n), *error = read_all(file, name, &n_errors);
    assert_true(n == n_errors);
    all->of = realloc(all->of, (all->n + (size_t)n) * sizeof *all->of);
    assert_non_null(all->of);
    for (; number.i < n; number.i++) {
        number.value = value[number.i];
        number.error = error[number.i];
        all->of[all->n++] = number;
    }
    free(value);
    free(error);
    return 0;
}

file_numbers file_numbers_of(const drupelet_result *result)
{
    file_numbers all = {0, NULL};
    char path[] = "/tmp/drupelet-numbers-XXXXXX";
    const int made = mkstemp(path);
    assert_true(made >= 0);
    close(made);
    const drupelet_status status = drupelet_result_write(result, path, true);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    const hid_t file = H5Fopen(path, H5F_ACC_RDONLY, H5P_DEFAULT);
    assert_true(file >= 0);
    assert_true(H5Lvisit(file, H5_INDEX_NAME, H5_ITER_INC, take, &all) >= 0);
    H5Fclose(file);
    remove(path);
    assert_true(all.n > 0);
    return all;
}

void file_numbers_end(file_numbers *numbers)
{
    free(numbers->of);
    *numbers = (file_numbers){0, NULL};
}

/* Mean over the files, the square of its error, and the smallest ratio of a value to its error. */
typedef struct { double value, variance, least; } mean_number;

static mean_number mean_of(int n_files, const file_numbers files[], size_t i)
{
    mean_number m = {0.0, 0.0, INFINITY};
    for (int k = 0; k < n_files; k++) {
        const file_number *e = &files[k].of[i];
        m.value += e->value / n_files;
        m.variance += e->error * e->error / n_files / n_files;
        m.least = fmin(m.least, e->error > 0.0 ? fabs(e->value) / e->error : 0.0);
    }
    return m;
}

/* How many droplets there are is told by the smallest, of which a plain sample has few that stand for thousands each:
 * neither the number nor its error is near normal (with other seeds other cells are 4 to 5 errors apart). Shares of the
 * liquid and visible stains hold the same droplets by what they carry. */
static bool is_skewed(const char *dataset)
{
    return strcmp(dataset, "canopy/droplet_density") == 0;
}

file_difference file_numbers_compare(int n_files, const file_numbers a[], const file_numbers b[], const char *dataset)
{
    file_difference d = {.n = 0};
    for (int k = 0; k < n_files; k++)
        assert_true(a[k].n == a[0].n && b[k].n == a[0].n);
    for (size_t i = 0; i < a[0].n; i++) {
        const file_number *number = &a[0].of[i];
        for (int k = 0; k < n_files; k++)
            assert_true(strcmp(number->dataset, b[k].of[i].dataset) == 0 && number->i == b[k].of[i].i);
        const mean_number one = mean_of(n_files, a, i), other = mean_of(n_files, b, i);
        if ((dataset && strcmp(number->dataset, dataset) != 0) || !(fmin(one.least, other.least) > TOO_RARE)
            || is_skewed(number->dataset))
            continue;
        const double off = (other.value - one.value) / sqrt(one.variance + other.variance);
        if (fabs(off) > 3.5)
            print_message("%s[%d]: %g and %g, %.1f errors apart\n", number->dataset, number->i, one.value, other.value,
                          off);
        if (fabs(off) > d.farthest) {
            d.farthest = fabs(off);
            snprintf(d.name, sizeof d.name, "%s[%d]", number->dataset, number->i);
        }
        d.mean_square += off * off;
        d.n++;
    }
    d.mean_square /= d.n > 0 ? d.n : 1;
    return d;
}
