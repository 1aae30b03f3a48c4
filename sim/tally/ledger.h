/* sim/tally/ledger.h - the one table of the accounts: what each is called, its shape, where it stands and what it
 * closes to. Making, adding, ending and checking the accounts of a run all follow it. */
#ifndef TALLY_LEDGER_H
#define TALLY_LEDGER_H

#include <stddef.h>

#include "tally/tally.h"

/** What the numbers of an account are counted along. */
typedef enum {
    LEDGER_NONE, LEDGER_FATE, LEDGER_SIZE, LEDGER_LEAF_SIDE, LEDGER_ROW, LEDGER_THIRD, LEDGER_SIDE, LEDGER_GROUND,
    LEDGER_PLANE, LEDGER_HEIGHT, LEDGER_TARGET, LEDGER_OUTCOME, LEDGER_CLASS, LEDGER_ZONE, LEDGER_FIRST, LEDGER_END,
    LEDGER_PASS, LEDGER_PIECE, LEDGER_CATCH, LEDGER_VOXEL
} ledger_axis;
enum { LEDGER_AXES = 4 };

typedef struct {
    const char *name;              /* in messages: "the run does not close: NAME is off by ..." */
    size_t at;                     /* of its pointer in a tally */
    ledger_axis axis[LEDGER_AXES]; /* shape of one batch, the slowest first; none: one number */
    bool all_batches;              /* kept for all batches together */
    bool is_signed;                /* its numbers may be negative */
    /* What it closes to: its sums over all axes but those of `by` are to be what `expected` gives for each place along
     * them, within a share of what the batch emitted. NULL: what it closes to is no sum (check.c) */
    ledger_axis by[LEDGER_AXES];
    double (*expected)(const tally *accounts, int i_batch, int i_place);
    double tolerance;
    /* Each of its numbers is between these; NULL: neither is asked. `beside` names it in messages */
    const char *beside;
    double (*least)(const tally *accounts, int i_batch, int i);
    double (*most)(const tally *accounts, int i_batch, int i);
} ledger_account;

#define LEDGER_ACTIVE 1e-9 /* parts are dealt out exactly: this is for sums in floating point */
#define LEDGER_WATER 1e-5  /* rounded to whole parts at every booking, of diameters in single precision */

extern const ledger_account ledger[];
extern const int ledger_accounts;

/** Places along an axis. */
int64_t ledger_extent(ledger_axis axis, const tally_shape *shape);
/** Numbers of an account, of one batch. */
int64_t ledger_numbers(const ledger_account *account, const tally_shape *shape);
/** Its numbers, [batch][...]. */
int64_t *ledger_values(const ledger_account *account, const tally *accounts);

#endif
