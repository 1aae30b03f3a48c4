/* sim/air/fan_axes.c - cells along an axis: small where jets are thin, larger with the way from there.
 *
 * With h the size wanted at a place, 1 / h is the number of cells a metre. Its integral from one end to the other,
 * rounded, is the number of cells, and each gets the same share of it. */
#include "air/fan_axes.h"

#include <math.h>
#include <stdlib.h>

#include "base/status.h"

enum { STEPS = 20000 }; /* of the integral: a thousandth of a metre on most axes */

static double size_at(double place_m, int n, const air_fan_stretch *stretch, double most_m)
{
    double size_m = most_m;
    for (int i = 0; i < n; i++) {
        const air_fan_stretch *s = &stretch[i];
        const double beyond_m = place_m < s->from_m ? (s->from_m - place_m) * s->growth_below
                                : place_m > s->to_m ? (place_m - s->to_m) * s->growth_above
                                                    : 0.0;
        size_m = fmin(size_m, s->size_m + beyond_m);
    }
    return size_m;
}

drupelet_status air_fan_faces(double from_m, double to_m, int n_stretches, const air_fan_stretch *stretch,
                              double most_m, int *n, double **face_m)
{
    const double step_m = (to_m - from_m) / STEPS;
    double cells = 0.0;
    for (int i = 0; i < STEPS; i++)
        cells += step_m / size_at(from_m + (i + 0.5) * step_m, n_stretches, stretch, most_m);
    *n = cells < 1.0 ? 1 : (int)lround(cells);
    double *face = *face_m = malloc(((size_t)*n + 1) * sizeof *face);
    if (!face) return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    double so_far = 0.0;
    int next = 1;
    face[0] = from_m;
    for (int i = 0; i < STEPS && next < *n; i++) {
        const double more = step_m / size_at(from_m + (i + 0.5) * step_m, n_stretches, stretch, most_m);
        for (double at = cells * next / *n; next < *n && so_far + more >= at; at = cells * next / *n)
            face[next++] = from_m + (i + (at - so_far) / more) * step_m;
        so_far += more;
    }
    face[*n] = to_m;
    return base_ok();
}
