/* sim/tally/collectors.h - what virtual collectors caught: whole-number accounts that add up in any order.
 *
 * A collector has one part, a line one for each piece of its height. Amounts are per area of the part, so that one
 * number suits all sizes. Each account exists once per batch, like those of tally.h. */
#ifndef TALLY_COLLECTORS_H
#define TALLY_COLLECTORS_H

#include <stdint.h>

#include "drupelet/status.h"
#include "tally/tally.h"

typedef enum {
    TALLY_CAUGHT,   /* active ingredient, over the application rate */
    TALLY_LIQUID,   /* liquid that was left when it arrived, over the application rate */
    TALLY_PASSED,   /* active ingredient that came through the outline from the front; what perfect catch would take */
    TALLY_NET,      /* the same, less what came from behind; a line's: downwind less back */
    TALLY_DROPLETS, /* number per cm2 */
    TALLY_STAINS,   /* area of stains per area, overlaps counted twice */
    TALLY_CATCHES
} tally_catch;

typedef struct {
    int n_pieces;
    int64_t *amount; /* [TALLY_BATCHES][n_pieces][TALLY_CATCHES] */
} tally_collectors;

/** @param n_pieces above 0 */
drupelet_status tally_collectors_create(int n_pieces, tally_collectors **collectors);
void tally_collectors_free(tally_collectors *collectors); /* NULL is allowed */
/** Puts an amount on an account, rounded to its whole number. An account that is full stays so; the check finds it. */
void tally_collectors_put(tally_collectors *collectors, int i_batch, int i_piece, tally_catch which, double amount);
void tally_collectors_add(tally_collectors *sum, const tally_collectors *more);
/** Mean over n parts from the first on, in the unit of the account. @param accounts what was emitted by each batch */
tally_estimate tally_collected(const tally_collectors *collectors, const tally *accounts, int first, int n,
                               tally_catch which);
/** No account is full, and none but the net ones is negative; else DRUPELET_BALANCE. */
drupelet_status tally_collectors_check(const tally_collectors *collectors);

#endif
