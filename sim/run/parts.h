/* sim/run/parts.h - droplets that leave a part of what they stand for where they hit, and fly on with the rest.
 *
 * A lane's droplet stands for many. Instead of all of them meeting the next leaf or none, targets come 1 / RUN_PART_MET
 * times as often, and at each of them that part of the droplets hits it while the others pass: where it adheres, the
 * part stays; where it bounces or shatters, the lane's droplet as a whole does so with that chance. What is expected is
 * the same, the scatter is far less (implicit capture, or survival biasing, of neutron transport: H. Kahn, T. E.
 * Harris, Natl. Bur. Stand. Appl. Math. Ser. 12 (1951) 27; J. Spanier, E. M. Gelbard, Monte Carlo Principles and
 * Neutron Transport Problems (1969); memory). Droplets that stand for little of what they began with fly on whole, so
 * that they come to an end; unlike a roulette that leaves the books exact.
 *
 * The kernel ends a step at the target, since what happens there happens to the droplet as it is then. A droplet that
 * passes is put back to where the step began and flies it again, with the same random numbers, to its end or to the
 * next target: so what is passed leaves no trace in the flight, and the steps of plain and of stratified sampling are
 * the same. (Flights that went on from the target had finer steps in leaves, and 0.12 % less on them.)
 */
#ifndef RUN_PARTS_H
#define RUN_PARTS_H

#include <stdbool.h>
#include <stdint.h>

#include "run/crew.h"

#define RUN_PART_MET 0.125   /* choice: half of it gains a few percent of variance and takes more than that in time */
#define RUN_PART_LEAST 0.2   /* of what a droplet stood for at the nozzle: below it flies whole; choice */
#define RUN_PART_PARTS 64    /* fewer parts are not shared: rounding would tell */

/** Part of a droplet that meets a target: RUN_PART_MET, or 1 where it flies whole. Its path to the next target is that
 *  part of an exponential one. @param started parts it had when its nozzle droplet started */
static inline double run_part_met(bool plain, int64_t parts, int64_t started)
{
    const bool whole = plain || parts < RUN_PART_PARTS || (double)parts < RUN_PART_LEAST * (double)started;
    return whole ? 1.0 : RUN_PART_MET;
}

/** What is left to do for the lane's droplet that has met a target. */
typedef enum {
    RUN_MEETS_WHOLE, /* all of it hits the target: nothing is booked yet */
    RUN_FLIES_ON,    /* its part is booked, or it passes; the rest is to be put back to where the step began */
    RUN_FLIES_ON_UNSEEN /* the same, and a recorded droplet was among those that stay */
} run_part_done;

/** Lets the part of lane i's droplet that meets a target stay there. @param fate out: where, for RUN_FLIES_ON_UNSEEN */
run_part_done run_part_stays(run_crew *c, int i, tally_fate *fate);

#endif
