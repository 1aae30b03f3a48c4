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
    tally_collectors *collected; /* this thread's own; NULL without collectors */
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

#endif
