/* sim/run/thread.h - the state of one thread while it flies droplets. */
#ifndef RUN_THREAD_H
#define RUN_THREAD_H

#include "droplet/lane.h"
#include "run/flight.h"

/* Secondary droplets: a droplet that shatters flies on as two parcels where each would have at least the share 1 /
 * RUN_SPLIT_PARCELS of the droplet's weight at the nozzle, else as one. Parcels that wait are flown before new droplets
 * start. So no more nozzle droplets are in flight than there are lanes, each with at most RUN_SPLIT_PARCELS parcels
 * that wait, and the stack cannot overflow. An eighth costs a few percent of the run's time. */
enum { RUN_SPLIT_PARCELS = 8, RUN_STACK = DROPLET_LANES * RUN_SPLIT_PARCELS };
/* A parcel's number: that of its nozzle droplet below, and one bit for each shattering that it began as the second of
 * two. The first of two keeps its number. */
enum { RUN_ORDINAL_BITS = 40, RUN_MOST_SPLITS = 64 - RUN_ORDINAL_BITS };

/* What the accounts need to know of a lane's droplet. */
typedef struct {
    run_start start;
    int size_bin, i_track, n_outcome[TALLY_OUTCOMES], splits;
    int64_t weight; /* of what is still in flight, in parts of TALLY_PARTS */
    int64_t stride, since; /* steps between recorded points, and since the last one */
    /* of the budget: class of the emitted diameter; where it first met leaf or wood, what that did, and in which row */
    int i_class, zone, first, first_row;
} run_passenger;

/* A parcel of secondary droplets that has no lane yet. */
typedef struct {
    droplet_lane droplet;
    run_passenger passenger;
} run_waiting;

/* A thread's lanes, its accounts, and the parcels that wait. */
typedef struct {
    const run_flight_plan *plan;
    tally *accounts;      /* this thread's own, but for the voxels */
    int64_t *voxel;       /* shared */
    tally_leaves *leaves; /* shared */
    int n_tracks;
    tally_track *track;   /* shared; each droplet writes its own */
    droplet_batch batch;
    droplet_before before; /* batch as its last step began; not kept where nothing is passed */
    run_passenger lane[DROPLET_LANES];
    int n_waiting;
    run_waiting stack[RUN_STACK];
    int64_t next, end;    /* of the chunk in hand */
    int64_t n_steps;
    int in_flight;
} run_thread;

/* ---- what becomes of a lane's droplet is entered into the accounts (books.c) ---- */
/** Books what the lane's droplet did in the step that it has flown: planes that it went through, and collectors that it
 *  came near. @param weight of the droplet, or of what of it is captured (capture.h) */
void run_book_step(run_thread *self, int i, int64_t weight);
/** Books what has evaporated since the last impact of the whole droplet. */
void run_book_vapour(run_thread *self, int i, int64_t weight);
/** Notes the first hit of the lane's droplet as a whole, of which something flies on; later ones change nothing. */
void run_book_first_hit(run_thread *self, int i, const droplet_encounter *e);
/** Books a weight to a fate other than leaf and wood, with the water in it. */
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
