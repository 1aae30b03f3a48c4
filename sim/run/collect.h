/* sim/run/collect.h - virtual collectors in a run: where they stand, what flies past them and what they catch. */
#ifndef RUN_COLLECT_H
#define RUN_COLLECT_H

#include "base/moist_air.h"
#include "droplet/kernel.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"
#include "tally/tally.h"

/** A collector as a thin slab seen along the rows: a face from from_m to to_m along its length, low_m to high_m along
 *  its normal, both from (x_m, z_m). One on the ground has no slab: it takes what lands. */
typedef struct {
    const scenario_collector *as; /* borrowed */
    int first_piece, n_pieces;      /* pieces along its length that are counted apart */
    bool on_ground;
    double x_m, z_m, along[2], normal[2], from_m, to_m, low_m, high_m; /* unit vectors: x, z */
} run_collector;

typedef struct {
    int n, n_pieces, downwind; /* downwind: sign of x */
    run_collector collector[SCENARIO_COLLECTORS];
    base_air air;
    double treated_m, application_rate_m, liquid_density_kg_m3;
    /* for the kernel: strips across the domain, and how far the nearest slab is from each */
    int n_gaps;
    double gap_first_x_m, lowest_m, highest_m;
    float *gap_m;
} run_collectors;

/** The step of a droplet that passes a collector. */
typedef struct {
    double from[3], move[3]; /* of the step, m */
    double air[3], slip[3];  /* at its end, m/s; slip: by momentum and weight (droplet_own_slip) */
    double motion[2], step_s; /* level velocity of the droplet as its own slip gives it, m/s; length of the step, s */
    double diameter_m, density_kg_m3;
} run_passage;

/** What one droplet brings to a collector: per area of it, over the application rate. For a kind's function: m, for a
 *  whole step in a slab of one square metre. */
typedef struct { double caught, passed, net; } run_catch;

typedef struct {
    const char *what, *law; /* for docs: what it is; with which speed it sweeps droplets out of the air */
    double slab_m;          /* thickness of its slab */
    bool lets_pass;         /* it catches less than what comes through its outline */
    void (*place)(const drupelet_scenario *scenario, run_collector *collector); /* changes the slab; NULL: as it is */
    /* Finds what came through the outline from the front, and net; says what is caught of it. */
    void (*catches)(const run_collectors *collectors, const run_collector *collector, const run_passage *passage,
                    run_catch *catch);
} run_collector_kind;
extern const run_collector_kind run_collector_kinds[SCENARIO_COLLECTOR_KINDS];

/** @param collectors out: ended with run_collectors_free(); NULL where the scenario has none and after a failure
 *  @return DRUPELET_OK or DRUPELET_MEMORY. Borrows the scenario */
drupelet_status run_collectors_create(const drupelet_scenario *scenario, const sprayer_work *work,
                                      run_collectors **collectors);
void run_collectors_free(run_collectors *collectors); /* NULL is allowed */
/** Lets the kernel look out for them; the setting borrows the gaps. */
void run_collectors_watch(const run_collectors *collectors, droplet_setting *setting);

/** Books what the last step of lane i brought to every collector.
 *  @param weight of the lane's droplet, in parts of TALLY_PARTS */
void run_collect(const run_collectors *collectors, tally *accounts, int i_batch, int64_t weight,
                 const droplet_batch *batch, int i);
/** Books a droplet that landed to the dishes on the ground. */
void run_collect_landed(const run_collectors *collectors, tally *accounts, int i_batch, int64_t weight,
                        const droplet_batch *batch, int i);

/** Lower (side 0) or upper (side 1) end of a piece, m above the ground. */
double run_collector_piece_height_m(const run_collector *collector, int i_piece, int side);

#endif
