/* sim/verify/experiment.h - many droplets in a box of air, flown by the batch kernel, and what is looked at. */
#ifndef VERIFY_EXPERIMENT_H
#define VERIFY_EXPERIMENT_H

#include <stdbool.h>

#include "verify/flight_box.h"

/** What a check does with droplets in a box. */
typedef struct experiment experiment;
struct experiment {
    double end_s, top_m, floor_m;
    bool lid;              /* droplets turn back at the top and at the floor */
    double (*start_z_m)(const experiment *e, int ordinal);
    double diameter_m, fall_m_s;
    int batches;
    void (*each)(experiment *e, const droplet_batch *b, int i); /* after every step; NULL: not wanted */
    void (*look)(experiment *e, const droplet_batch *b, int i); /* once, when the lane ends; NULL: not wanted */
    int n_sums;
    double *sum;           /* [n_sums] what each() and look() fill: of a part while it flies, in the end of all */
    const void *about;     /* what they need to know; may be NULL */
};

/** Flies all droplets of an experiment, on all threads; the sums do not depend on how many they are.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status experiment_run(experiment *e, flight_box *box);

#endif
