/* sim/air/fan_axes.h - cells along an axis: small where jets are thin, larger with the way from there. */
#ifndef AIR_FAN_AXES_H
#define AIR_FAN_AXES_H

#include "drupelet/status.h"

/** A stretch of an axis with cells of one size. Beyond it they grow by so much a metre. */
typedef struct {
    double from_m, to_m, size_m, growth_below, growth_above;
} air_fan_stretch;

/** Faces of cells from one place to another: each about as large as the smallest of what the stretches and most_m ask
 *  for there. Their number is rounded, and the size changes smoothly, so that a mesh of other sizes has its faces in
 *  the same proportions.
 *  @param n  out: how many cells  @param face_m  out: [n + 1], the caller's to free; NULL on failure
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status air_fan_faces(double from_m, double to_m, int n_stretches, const air_fan_stretch *stretch,
                              double most_m, int *n, double **face_m);

#endif
