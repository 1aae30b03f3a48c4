/* sim/run/allotment.h - which sizes the droplets of a batch have, and what each of them stands for. */
#ifndef RUN_ALLOTMENT_H
#define RUN_ALLOTMENT_H

#include <stdint.h>

#include "drupelet/status.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"

enum { RUN_CELLS = 32, RUN_QUANTILES = 17 };

/** A spray cut into cells of size. */
typedef struct {
    int i_spray;
    int64_t first, n;                   /* droplets of a batch that belong to it */
    int64_t weight;                      /* of a batch that it stands for */
    double share;                       /* of all flow */
    double volume_up_to[RUN_CELLS + 1]; /* share of its volume below each border of cells, 0 to 1 */
    double wish_up_to[RUN_CELLS + 1];   /* share of its droplets below it */
    double log_diameter[RUN_CELLS][RUN_QUANTILES]; /* at equal steps of volume within the cell */
} run_spray;

typedef struct {
    int n_sprays;
    run_spray *spray; /* those that a nozzle gives, in order of first */
    int64_t per_batch, batch_weight;
} run_allotment;

/** @param share [work->n_sprays] of all flow, 0 where no open nozzle gives the spray
 *  @param per_batch at least the number of sprays that have a share
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_allotment_make(const drupelet_scenario *scenario, const sprayer_work *work, const double share[],
                                   int64_t per_batch, int64_t batch_weight, run_allotment *allotment);
void run_allotment_end(run_allotment *allotment);

/** A droplet of a batch. */
typedef struct {
    int i_spray;
    int64_t weight;
    double diameter_m;
} run_drawn;
/** Droplet number i of a batch. @param at somewhere in its piece of the volume, 0 to 1 */
run_drawn run_allotment_draw(const run_allotment *allotment, int64_t i, double at);
/** A droplet by itself. @param spray, size 0 to 1: which spray by flow, which size by volume. Parts are left to do */
run_drawn run_allotment_pick(const run_allotment *allotment, double spray, double size);

#endif
