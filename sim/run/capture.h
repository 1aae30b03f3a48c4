/* sim/run/capture.h - implicit capture: a share of a lane's droplet stays where it hits, the rest flies on.
 *
 * A lane's droplet stands for many. Instead of all of them meeting the next leaf or none, targets come 1 /
 * RUN_CAPTURE_SHARE times as often, and at each of them that share of the droplets hits it while the others pass. Where
 * droplets adhere, the share stays; where they bounce or shatter, the lane's droplet as a whole does so with that
 * chance. What is expected is the same, the scatter is far less (implicit capture, or survival biasing, of neutron
 * transport: H. Kahn, T. E. Harris, Natl. Bur. Stand. Appl. Math. Ser. 12 (1951) 27; J. Spanier, E. M. Gelbard, Monte
 * Carlo Principles and Neutron Transport Problems (1969); memory). Droplets of little of their first weight fly on
 * whole, so that they come to an end; unlike a roulette that leaves the books exact.
 *
 * The kernel ends a step at the target, since what happens there happens to the droplet as it is then. A droplet that
 * passes is put back to where the step began and flies it again, with the same random numbers, to its end or to the
 * next target. So what is passed leaves no trace in the flight, and the steps of plain and of stratified sampling are
 * the same. (Flights that went on from the target had finer steps in leaves, and 0.12 % less on them.)
 */
#ifndef RUN_CAPTURE_H
#define RUN_CAPTURE_H

#include <stdbool.h>
#include <stdint.h>

#include "run/thread.h"

#define RUN_CAPTURE_SHARE 0.125 /* choice: half of it gains some percent of variance and costs more in time */
#define RUN_CAPTURE_LEAST 0.2   /* of a droplet's weight at the nozzle: below it flies whole; choice */
#define RUN_CAPTURE_FEWEST 64   /* parts of the account: below it flies whole, since rounding would tell */

/** Share of a droplet that meets a target: RUN_CAPTURE_SHARE, or 1 where it flies whole. Its path to the next target is
 *  that share of an exponential one. @param started weight of its nozzle droplet at the start */
static inline double run_capture_share(bool plain, int64_t weight, int64_t started)
{
    const bool whole = plain || weight < RUN_CAPTURE_FEWEST || (double)weight < RUN_CAPTURE_LEAST * (double)started;
    return whole ? 1.0 : RUN_CAPTURE_SHARE;
}

/** What is left to do for the lane's droplet that has met a target. */
typedef enum {
    RUN_MEETS_WHOLE, /* all of it hits the target: nothing is booked yet */
    RUN_FLIES_ON,    /* the share is booked, or all passes; the rest is to be put back to where the step began */
    RUN_FLIES_ON_UNSEEN /* the same, and a recorded droplet was among those that stay */
} run_captured;

/** Lets the share of lane i's droplet that meets a target stay there.
 *  @param fate out: where, for RUN_FLIES_ON_UNSEEN */
run_captured run_capture(run_thread *self, int i, tally_fate *fate);

/** Does the recorded path of lane i end where a share `kept` of its droplet stays and the rest flies on? By chance:
 *  paths with their weights then end where the liquid does. */
bool run_capture_ends_path(const run_thread *self, int i, double kept);

#endif
