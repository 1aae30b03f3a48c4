/* sim/tally/collectors.c - accounts of virtual collectors. */
#include "tally/collectors.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "base/status.h"

/* Whole numbers of one unit of each account. Room for 1e5 times the application rate, for 2e9 droplets on a cm2 and for
 * 8e6 layers of stains; the share of one droplet of 1e12 still rounds without bias that matters. */
static const double UNITS[TALLY_CATCHES] = {[TALLY_CAUGHT] = 0x1p46, [TALLY_LIQUID] = 0x1p46, [TALLY_PASSED] = 0x1p46,
                                            [TALLY_NET] = 0x1p46,    [TALLY_DROPLETS] = 0x1p32,
                                            [TALLY_STAINS] = 0x1p40};

static size_t numbers(const tally_collectors *c)
{
    return (size_t)TALLY_BATCHES * (size_t)c->n_pieces * TALLY_CATCHES;
}

drupelet_status tally_collectors_create(int n_pieces, tally_collectors **collectors)
{
    assert(n_pieces > 0);
    *collectors = NULL;
    tally_collectors *c = calloc(1, sizeof *c);
    if (c) {
        c->n_pieces = n_pieces;
        c->amount = calloc(numbers(c), sizeof *c->amount);
    }
    if (!c || !c->amount) {
        free(c);
        return base_error(DRUPELET_MEMORY, "no memory for the accounts of the collectors");
    }
    *collectors = c;
    return base_ok();
}

void tally_collectors_free(tally_collectors *collectors)
{
    if (!collectors)
        return;
    free(collectors->amount);
    free(collectors);
}

void tally_collectors_put(tally_collectors *c, int i_batch, int i_piece, tally_catch which, double amount)
{
    int64_t *account = &c->amount[((size_t)i_batch * (size_t)c->n_pieces + (size_t)i_piece) * TALLY_CATCHES + which];
    const double units = amount * UNITS[which];
    *account = tally_sum(*account, fabs(units) < 0x1p62 ? llround(units) : units < 0.0 ? INT64_MIN : INT64_MAX);
}

void tally_collectors_add(tally_collectors *sum, const tally_collectors *more)
{
    assert(sum->n_pieces == more->n_pieces);
    for (size_t i = 0; i < numbers(sum); i++)
        sum->amount[i] = tally_sum(sum->amount[i], more->amount[i]);
}

tally_estimate tally_collected(const tally_collectors *c, const tally *accounts, int first, int n, tally_catch which)
{
    int64_t amount[TALLY_BATCHES] = {0};
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int p = first; p < first + n; p++)
            amount[b] = tally_sum(amount[b],
                               c->amount[((size_t)b * (size_t)c->n_pieces + (size_t)p) * TALLY_CATCHES + which]);
    const tally_estimate e = tally_share(accounts, amount, 1);
    const double per = (double)TALLY_PARTS / (UNITS[which] * n);
    return (tally_estimate){per * e.share, per * e.error};
}

drupelet_status tally_collectors_check(const tally_collectors *c)
{
    for (size_t i = 0; i < numbers(c); i++)
        if (c->amount[i] == INT64_MAX || c->amount[i] == INT64_MIN
            || (c->amount[i] < 0 && i % TALLY_CATCHES != TALLY_NET))
            return base_error(DRUPELET_BALANCE, "the run does not close: a collector has an amount out of range");
    return base_ok();
}
