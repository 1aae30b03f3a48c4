/* sim/run/books.h - enters what becomes of a lane's droplet into the accounts. */
#ifndef RUN_BOOKS_H
#define RUN_BOOKS_H

#include "run/crew.h"

/** Books what has evaporated since the last booking; before the droplet's amount changes or ends. */
void run_book_vapour(run_crew *c, int i);
/** Books parts of a lane's droplet to a fate, with the water in them. */
void run_book(run_crew *c, int i, tally_fate fate, int64_t parts);
/** Books parts to the leaves of the voxel where the lane's droplet is, and the stains that they leave.
 *  @param before parts that met the leaf @param kept those that stay @param whole_m, arrives_m diameters as they met it
 */
void run_book_leaf(run_crew *c, int i, const droplet_encounter *e, int64_t before, int64_t kept, double whole_m,
                   double arrives_m);
/** Books parts to the ground below, and says which ground that is. */
tally_fate run_book_ground(run_crew *c, int i, int64_t parts);
/** Books what went through the counting planes in the last step. */
void run_book_crossings(run_crew *c, int i);
/** The fate of a droplet that has left the domain. */
tally_fate run_fate_of_leaver(const run_crew *c, int i);

#endif
