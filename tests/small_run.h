/* tests/small_run.h - a small real run (tests/data/small-run.yaml), for tests of the books, of the result file and of
 * what is shown of it. A test that needs an account which a run fills takes it from here. */
#ifndef TESTS_SMALL_RUN_H
#define TESTS_SMALL_RUN_H

#include "run_case.h"

enum { SMALL_RUN_ROWS = 8, SMALL_RUN_NX = 6, SMALL_RUN_NY = 15, SMALL_RUN_NZ = 18 };

/** @param downwind 1 or -1: the way the wind blows across the rows. Ends the program where it cannot run. The
 *  caller ends it with small_run_end(). */
run_case *small_run(int downwind);
void small_run_end(run_case *run); /* NULL is allowed */
/** For groups of tests whose state is such a run, downwind. @return 0 */
int small_run_set_up(void **state);
int small_run_tear_down(void **state);

#endif
