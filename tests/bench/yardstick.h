/* tests/bench/yardstick.h - the fixed yardstick: trilinear reads of five fields, and nothing else.
 *
 * It never changes with the product: eight interleaved single-precision numbers a node, of which five are read, each by
 * a gather of its eight corners; one loop over lanes. What the droplet kernel does to a droplet in a step is measured
 * against it. */
#ifndef TESTS_BENCH_YARDSTICK_H
#define TESTS_BENCH_YARDSTICK_H

#include <stdint.h>

enum { YARDSTICK_LANES = 128, YARDSTICK_VALUES = 8, YARDSTICK_READ = 5 };

/** Grids of one array of nodes: those of the near kind and those of the far kind have each one shape; node (k, i, j) of
 * a grid is at first + 8 ((k nx + i) ny + j). */
typedef struct {
    const float *node;
    int32_t far_first;              /* the only grid of the far kind */
    int32_t nx[2], ny[2], nz[2];    /* 0 near, 1 far */
} yardstick_grids;

/** Places in the order of the visits, n of them (a whole number of YARDSTICK_LANES): which grid, and where in it in
 * cells. */
typedef struct {
    int64_t n;
    int32_t *first;
    float *x, *y, *z;
} yardstick_visits;

/** Reads all places; the sums of what was read, by lane and field, are added to sum[5][YARDSTICK_LANES]. */
typedef void (*yardstick)(const yardstick_grids *grids, const yardstick_visits *visits, float *sum);
void yardstick_base(const yardstick_grids *grids, const yardstick_visits *visits, float *sum);
void yardstick_v3(const yardstick_grids *grids, const yardstick_visits *visits, float *sum);
void yardstick_v4(const yardstick_grids *grids, const yardstick_visits *visits, float *sum);

#endif
