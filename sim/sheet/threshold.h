/* sim/sheet/threshold.h - how far the ground drift of a result stays above a threshold, and how much less it drifts
 * than a reference. */
#ifndef SHEET_THRESHOLD_H
#define SHEET_THRESHOLD_H

#include "result/result.h"
#include "sheet/sheet.h"

enum { SHEET_THRESHOLDS = 8 };

/** Distance downwind of the block from which the ground drift stays below a threshold, m; by the drift one standard
 * error lower and higher, too. 0: below from the first strip on; INFINITY: not within what was simulated. */
typedef struct {
    double at_m, near_m, far_m;
} sheet_distance;
/** @param percent of the application rate, above 0 */
sheet_distance sheet_distance_below(const drupelet_result *result, double percent);
/** The farthest distance that was simulated, m. */
double sheet_distance_end_m(const drupelet_result *result);

/** How much less a number is than that of a reference, percent of the latter, with the error from the batches of both:
 *  what chance does to both alike drops out.
 *  @param target of run.target  @return NAN where the reference is 0 or a number is not known */
tally_estimate sheet_percent_less(const drupelet_result *result, const drupelet_result *reference, int target);
/** Whether two results may be compared so. @param reason out: why not, as a sentence; "" else */
bool sheet_comparable(const drupelet_result *result, const drupelet_result *reference, char *reason, size_t room);

/** Puts distances, and the comparison where there is a reference, into a sheet. @param reference NULL: none
 *  @param percent [n] thresholds */
void sheet_put_distances(sheet *s, const drupelet_result *result, const drupelet_result *reference, int n,
                         const double percent[]);
/** The picture: SVG, to be freed; NULL without memory. */
char *sheet_distances_picture(const drupelet_result *result, const drupelet_result *reference, int n,
                              const double percent[], sheet_system system);

#endif
