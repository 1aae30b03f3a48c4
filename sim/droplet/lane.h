/* sim/droplet/lane.h - takes one droplet out of a batch, puts it into another lane, and takes back a step. */
#ifndef DROPLET_LANE_H
#define DROPLET_LANE_H

#include <stddef.h>
#include <string.h>

#include "droplet/kernel.h"

/* Every array of a batch has one number of four bytes a lane, without gaps: the batch is a table of such rows. */
enum { DROPLET_LANE_ROWS = sizeof(droplet_batch) / (4 * DROPLET_LANES) };
_Static_assert(sizeof(droplet_batch) == 4u * DROPLET_LANES * DROPLET_LANE_ROWS, "an array that is not four bytes wide");

/** All that a batch knows of one droplet. */
typedef struct { uint32_t row[DROPLET_LANE_ROWS]; } droplet_lane;

static inline void droplet_lane_take(const droplet_batch *batch, int i, droplet_lane *lane)
{
    for (int k = 0; k < DROPLET_LANE_ROWS; k++)
        memcpy(&lane->row[k], (const char *)batch + 4 * (DROPLET_LANES * k + i), 4);
}

static inline void droplet_lane_put(const droplet_lane *lane, droplet_batch *batch, int i)
{
    for (int k = 0; k < DROPLET_LANE_ROWS; k++)
        memcpy((char *)batch + 4 * (DROPLET_LANES * k + i), &lane->row[k], 4);
}

/* The first rows of a batch are all that a step changes and the next one reads. */
enum { DROPLET_STEP_ROWS = offsetof(droplet_batch, path_limit) / (4 * DROPLET_LANES) };

/** A batch before a step. */
typedef struct { alignas(64) uint32_t row[DROPLET_STEP_ROWS][DROPLET_LANES]; } droplet_before;

static inline void droplet_remember(const droplet_batch *batch, droplet_before *before)
{
    memcpy(before->row, batch, sizeof before->row);
}

/** Puts lane i back to where its last step began. Flown again, it goes the same way: its random numbers are those of
 *  droplet and step. */
static inline void droplet_step_back(const droplet_before *before, droplet_batch *batch, int i)
{
    for (int k = 0; k < DROPLET_STEP_ROWS; k++)
        memcpy((char *)batch + 4 * (DROPLET_LANES * k + i), &before->row[k][i], 4);
}

#endif
