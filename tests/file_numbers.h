/* tests/file_numbers.h - every number of a result file that has a standard error, whatever it stands for. */
#ifndef TESTS_FILE_NUMBERS_H
#define TESTS_FILE_NUMBERS_H

#include <stddef.h>

#include "run/run.h"

typedef struct {
    char dataset[64]; /* with its group */
    int i;            /* place in it */
    double value, error;
} file_number;

typedef struct {
    size_t n;
    file_number *of;
} file_numbers;

/** Writes the result to a file of its own and reads the numbers back, in order of names. Fails the test where it
 *  cannot. The caller ends them with file_numbers_end(). */
file_numbers file_numbers_of(const drupelet_result *result);
void file_numbers_end(file_numbers *numbers);

/** What is asked of two lots of numbers that should have the same means: how far apart they are, in standard errors of
 *  the difference. Numbers that are not more than five times their own error in both are left out, for they are too
 *  rare to have a normal error, and so are numbers of all droplets, tiny ones included. */
typedef struct {
    int n;              /* numbers compared */
    double mean_square; /* of the differences; 1 is expected */
    double farthest;    /* the largest of them, without its sign */
    char name[96];      /* of which number */
} file_difference;
/** @param n_files of each lot, over which numbers are averaged  @param dataset NULL: all of them */
file_difference file_numbers_compare(int n_files, const file_numbers a[], const file_numbers b[], const char *dataset);

#endif
