/* tests/synthetic_sweep.h - the file of a sweep whose true answers are known: fan speeds by tips, with noise that all
 * cases of a replicate share batch by batch, as common random numbers have it, and noise of each case's own. */
#ifndef SYNTHETIC_SWEEP_H
#define SYNTHETIC_SWEEP_H

#include "store/sweep_file.h"

enum { SYNTHETIC_SPEEDS = 4, SYNTHETIC_TIPS = 2, SYNTHETIC_POINTS = SYNTHETIC_SPEEDS * SYNTHETIC_TIPS };
#define SYNTHETIC_SHARED 1.0 /* deviation of a batch by the noise that all cases of a replicate share */
#define SYNTHETIC_OWN 0.1    /* and by each case's own */

/** Point p has fan speed number p / SYNTHETIC_TIPS, from 300 rpm in steps of 60 rpm, and tip number p % SYNTHETIC_TIPS:
 *  fine, then coarse. */
typedef struct {
    int n_replicates;                           /* 0 is taken as 1 */
    int64_t failed;                             /* 1 plus the case that failed; 0: none */
    double (*truth)(int i_output, int64_t point); /* of an output that has batches */
    double (*aloft)(int64_t point);             /* of the output, percent, without noise; NULL: nothing is */
    const char *key;                            /* of the first factor; NULL: sprayer.fan.speed */
    const char *plan;                           /* its text; NULL: "plan" */
} synthetic_sweep;

/** Writes it into the current folder and reads it back. A failure ends the test.
 *  @param sweep out: ended with synthetic_sweep_done() */
void synthetic_sweep_write(const synthetic_sweep *s, store_sweep *sweep);
/** Frees the sweep and removes its file. */
void synthetic_sweep_done(store_sweep *sweep);

#endif
