/* sim/tally/tracks.h - sampled paths of droplets, as a ragged array. */
#ifndef TALLY_TRACKS_H
#define TALLY_TRACKS_H

#include <stdint.h>

#include "tally/tally.h"

enum {
    TALLY_TRACKS = 2048,
    TALLY_TRACK_POINTS = 96
}; /* tracks of a run (fewer if it has fewer droplets); points of one, at most */

typedef struct { float time_s, x_m, y_m, z_m, diameter_um, speed_m_s; } tally_point;

/** One path; y is measured from where the sprayer stood when it let the droplet go. */
typedef struct {
    int64_t droplet;       /* its ordinal in the run */
    int32_t i_alley, i_nozzle;
    double weight;         /* share of everything emitted that it stands for when released */
    double emitted_diameter_m;
    tally_fate fate;
    int32_t n_outcome[TALLY_OUTCOMES]; /* times that the droplet as a whole met with each outcome */
    float last_rebound_s;  /* time of the last impact that it did not adhere at; 0 without any */
    int32_t n_points;
    tally_point point[TALLY_TRACK_POINTS];
} tally_track;

#endif
