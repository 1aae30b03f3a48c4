/* tests/bench/flights.h - droplets flown by the kernel without books, and by CVODE. */
#ifndef TESTS_BENCH_FLIGHTS_H
#define TESTS_BENCH_FLIGHTS_H

#include "flight_case.h"
#include "yardstick.h"

/** Flies droplets as a run does (refilled lanes, encounters, but no accounts) and notes where each step reads the air,
 * until n places are noted, a whole number of batches; the first droplets' flights are left out, as all lanes then are
 * of one age. @return false where there is no memory; free the visits in either case */
bool bench_record_visits(const flight_case *c, droplet_flight flight, int64_t n, yardstick_visits *visits);
void bench_free_visits(yardstick_visits *visits);
yardstick_grids bench_grids(const reference_air *air);

/** Where a flight without turbulence and capture ends: on the ground, outside the domain, or at a time. */
typedef struct { double place_m[3], time_s; } bench_end;
/** Droplets spread over the whole emission; the number of the i-th of n. */
int64_t bench_id(const flight_case *c, int i, int n);
/** Flies n of them in a calm case, by the kernel. @return steps */
int64_t bench_fly_kernel(const flight_case *c, droplet_flight flight, int n, double time_s, bench_end *end);
/** The same one by one to the times of ends, by CVODE's backward differentiation, with one tolerance, relative and (m,
 * m/s, share of d^2) absolute. @return steps, or -1 where it failed */
int64_t bench_fly_cvode(const flight_case *c, int n, double tolerance, const bench_end *end, bench_end *by_cvode);

#endif
