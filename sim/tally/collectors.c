/* sim/tally/collectors.c - the account of what virtual collectors caught, in units of its own. */
#include "tally/tally.h"

#include <math.h>

/* Whole numbers of one unit of each account. Room for 1e5 times the application rate, for 2e9 droplets on a cm2 and for
 * 8e6 layers of stains; the share of one droplet of 1e12 still rounds without bias that matters. */
static const double UNITS[TALLY_CATCHES] = {[TALLY_CAUGHT] = 0x1p46, [TALLY_LIQUID] = 0x1p46, [TALLY_PASSED] = 0x1p46,
                                            [TALLY_NET] = 0x1p46,    [TALLY_DROPLETS] = 0x1p32,
                                            [TALLY_STAINS] = 0x1p40};

static int64_t *account_of(const tally *a, int i_batch, int i_piece, tally_catch which)
{
    return &a->caught[((int64_t)i_batch * a->shape.n_pieces + i_piece) * TALLY_CATCHES + which];
}

void tally_collectors_put(tally *accounts, int i_batch, int i_piece, tally_catch which, double amount)
{
    int64_t *account = account_of(accounts, i_batch, i_piece, which);
    const double units = amount * UNITS[which];
    *account = tally_sum(*account, fabs(units) < 0x1p62 ? llround(units) : units < 0.0 ? INT64_MIN : INT64_MAX);
}

tally_estimate tally_collected(const tally *accounts, int first, int n, tally_catch which)
{
    int64_t amount[TALLY_BATCHES] = {0};
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int p = first; p < first + n; p++)
            amount[b] = tally_sum(amount[b], *account_of(accounts, b, p, which));
    const tally_estimate e = tally_share(accounts, amount, 1);
    const double per = (double)TALLY_PARTS / (UNITS[which] * n);
    return (tally_estimate){per * e.share, per * e.error};
}
