/* sim/live/live.h - one simulation that flies in pieces, as the workers of a page need it: a scenario comes as a tree
 * of values, droplets fly in ranges, accounts of several workers are added up, and what is known so far is told as
 * the page has it. Rounds, numbers and stopping rule are those of a run (run/rounds.h), so that the end has the same
 * digits. */
#ifndef LIVE_LIVE_H
#define LIVE_LIVE_H

#include <stdint.h>
#include <stdio.h>

#include "run/ready.h"

typedef struct {
    const char *winds;           /* where computed winds are kept (base/kept.h); NULL: they are not */
    drupelet_scenario *scenario; /* NULL: none is open */
    base_hash air_key;
    air_field *air; /* stays for the next scenario with the same key; NULL: none yet */
    run_ready ready;
    run_course course;
    run_round round;        /* in flight */
    run_emission *emission; /* of it; NULL: none flies */
} live_run;

/** Opens a scenario and makes all that its droplets need, the air only where it is another one. What was open is
 *  closed, also after a failure.
 *  @param tree as tree.c tells */
drupelet_status live_open(live_run *live, const char *tree, size_t n_bytes);
void live_close(live_run *live);

/** The next round. @return 1; 0: enough has flown; -1: no memory */
int live_next(live_run *live);
/** The round that another worker's live_next() gave, for one that only flies. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status live_take_round(live_run *live, const run_round *round);
int64_t live_per_batch(const live_run *live); /* of the round in flight */
/** Flies a range of the round's droplets. @param record the paths, which are those of the first round */
drupelet_status live_fly(live_run *live, int64_t from, int64_t up_to, bool record);
/** All droplets of the round have landed, and all accounts have come in. */
void live_look(live_run *live);

/** Accounts as numbers, to be added to those of another worker that has the same scenario open. */
int64_t live_numbers(const live_run *live);
/** Gives them away: they are 0 from then on. @param number [live_numbers()] */
void live_give(live_run *live, int64_t *number);
void live_add(live_run *live, const int64_t *number);

/** Writes what is known so far, as a page has a result. @param at_end run-off and checks as at the end of a run: books
 *  that do not close are an error  @param paths with the recorded ones, and with crowns and air */
drupelet_status live_tell(live_run *live, FILE *to, bool at_end, bool paths);

#endif
