/* sim/run/books.h - enters what becomes of a lane's droplet into the accounts. */
#ifndef RUN_BOOKS_H
#define RUN_BOOKS_H

#include "run/thread.h"

/** Books what the lane's droplet did in the step that it has flown: planes that it went through, and collectors that it
 *  came near. @param weight of the droplet, or of what of it is captured (capture.h) */
void run_book_step(run_thread *self, int i, int64_t weight);
/** Books what has evaporated since the last impact of the whole droplet. */
void run_book_vapour(run_thread *self, int i, int64_t weight);
/** Books a weight to a fate, with the water in it. */
void run_book(run_thread *self, int i, tally_fate fate, int64_t weight);
/** Books what happened at a leaf, at wood or in the grass: the impact with its outcome, and what stays there. This is
 *  the only place where an encounter is entered, whether all of a lane's droplet meets the target or a share of it.
 *
 *  An account of impacts counts the amount that meets a target, once for each time it does. A lane's droplet that meets
 *  targets whole books its whole weight. One of which a share is captured (capture.h) meets targets 1 /
 *  RUN_CAPTURE_SHARE times as often: at each it books that share where it adheres, and its whole weight, with that
 *  chance, where it flies on. Both have the mean of the former.
 *  @param met weight that met the target  @param kept what of it stays  @param whole_m, arrives_m diameters as they met
 *  it  @return the fate of what stays */
tally_fate run_book_encounter(run_thread *self, int i, const droplet_encounter *e, int64_t met, int64_t kept,
                              double whole_m, double arrives_m);
/** Books a landing: a weight to the ground below, and to collectors that stand there. This is the only place where one
 *  is entered. @return which ground that is */
tally_fate run_book_landing(run_thread *self, int i, int64_t weight);
/** The fate of a droplet that has left the domain. */
tally_fate run_fate_of_leaver(const run_thread *self, int i);

#endif
