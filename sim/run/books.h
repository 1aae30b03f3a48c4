/* sim/run/books.h - enters what becomes of a lane's droplet into the accounts. */
#ifndef RUN_BOOKS_H
#define RUN_BOOKS_H

#include "run/crew.h"

/** Books what some parts of a lane's droplet did in the step that they have flown: planes that they went through, and
 *  collectors that they came near. */
void run_book_step(run_crew *c, int i, int64_t parts);
/** Books what has evaporated from parts of a lane's droplet since the last impact of all of it. */
void run_book_vapour(run_crew *c, int i, int64_t parts);
/** Books parts of a lane's droplet to a fate, with the water in them. */
void run_book(run_crew *c, int i, tally_fate fate, int64_t parts);
/** Books what happened at a leaf, at wood or in the grass: the impact with its outcome, and what stays there. This is
 *  the only place where an encounter is entered, whether all of a lane's droplet meets the target or a part of it.
 *
 *  An account of impacts counts the amount that meets a target, once for each time it does. A lane's droplet that meets
 *  targets whole books all its parts. One that leaves parts (parts.h) meets targets 1 / RUN_PART_MET times as often: at
 *  each it books that part where it adheres, and all its parts, with that chance, where it bounces or shatters. Both
 *  have the mean of the former.
 *  @param met parts that met the target  @param kept those of them that stay  @param whole_m, arrives_m diameters as
 *  they met it  @return the fate of what stays */
tally_fate run_book_encounter(run_crew *c, int i, const droplet_encounter *e, int64_t met, int64_t kept,
                              double whole_m, double arrives_m);
/** Books a landing: parts of a lane's droplet to the ground below, and to collectors that stand there. This is the only
 *  place where one is entered. @return which ground that is */
tally_fate run_book_landing(run_crew *c, int i, int64_t parts);
/** The fate of a droplet that has left the domain. */
tally_fate run_fate_of_leaver(const run_crew *c, int i);

#endif
