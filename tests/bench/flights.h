/* tests/bench/flights.h - droplets flown by the kernel without books, and by GSL. */
#ifndef TESTS_BENCH_FLIGHTS_H
#define TESTS_BENCH_FLIGHTS_H

#include "flight_case.h"
#include "yardstick.h"

#define BENCH_SHORTEST_S 5e-4 /* the kernel's shortest step */

/** Room for n places, a whole number of batches. @return false where there is no memory; free it in either case */
bool bench_visits_make(int64_t n, yardstick_visits *visits);
/** Notes where a batch's next step will read the air. @param i_step steps before it of the run; the first few hundred
 * are left out. @return false: all that there is room for was noted before */
bool bench_note_visits(const reference_air *air, const droplet_batch *batch, int64_t i_step, yardstick_visits *visits);
void bench_free_visits(yardstick_visits *visits);
yardstick_grids bench_grids(const reference_air *air);

/** Where a flight without turbulence and capture ends: on the ground, outside the domain, or at a time. */
typedef struct { double place_m[3], time_s; } bench_end;
/** Droplets spread over the whole emission; the number of the i-th of n. */
int64_t bench_id(const flight_case *c, int i, int n);
/** Flies n of them in a calm case, by the kernel. @return steps */
int64_t bench_fly_kernel(const flight_case *c, droplet_flight flight, int n, double time_s, bench_end *end);
/** The same one by one to the times of ends, by an implicit method of GSL, with one tolerance, relative and (m,
 * m/s, share of d^2) absolute. @return steps, or -1 where it failed */
int64_t bench_fly_gsl(const flight_case *c, int n, double tolerance, const bench_end *end, bench_end *by_gsl);

#endif
