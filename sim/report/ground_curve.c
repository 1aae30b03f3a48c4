/* sim/report/ground_curve.c - ground deposit over the distance, percent of the application rate, logarithmic, with the
 * band of one standard error either way. A strip on which no droplet fell leaves a gap: its logarithm does not exist.
 */
#include <math.h>

#include "report/picture.h"

enum { MOST_DECADES = 5 };

static void draw_axes(const picture *p, const picture_axis *x, const picture_axis *y)
{
    picture_ticks_up(p->to, y, x->at_low, x->at_high, "grid", x->at_low - 9.0);
    picture_ticks_across(p->to, x, y->at_low, y->at_low + 5.0, "axis", y->at_low + 18.0);
    picture_line(p->to, x->at_low, y->at_high, x->at_low, y->at_low, "axis");
    picture_line(p->to, x->at_low, y->at_low, x->at_high, y->at_low, "axis");
    picture_upright(p->to, x->at_low - 52.0, 0.5 * (y->at_low + y->at_high), "% of the rate");
}

/* Order of the bins along the distance: as x, or against it. */
static int bin(const picture *p, int i)
{
    return p->downwind > 0 ? i : p->r->n_ground - 1 - i;
}

static bool inside(const picture_axis *x, double distance_m)
{
    return distance_m >= x->low && distance_m <= x->high;
}

void picture_ground(const picture *p, double left, double right, double top, double bottom, double first_m,
                    double last_m)
{
    const drupelet_result *r = p->r;
    double least = INFINITY, most = 0.0;
    for (int i = 0; i < r->n_ground; i++) {
        const double value = r->ground_percent_of_rate[i].share, d_m = r->ground_distance_m[i];
        if (value > 0.0 && d_m >= first_m && d_m <= last_m) {
            least = fmin(least, value);
            most = fmax(most, value + r->ground_percent_of_rate[i].error);
        }
    }
    const picture_axis y = picture_decades(least, most, MOST_DECADES, bottom, top);
    const picture_axis x = {.at_low = left, .at_high = right, .low = first_m, .high = last_m,
                            .step = last_m - first_m <= 60.0 ? 5.0 : right - left > 300.0 ? 10.0 : 20.0};
    draw_axes(p, &x, &y);
    for (int i = 0; i < r->n_ground;) {
        int n = 0; /* strips in a row that something fell on */
        while (i + n < r->n_ground && inside(&x, r->ground_distance_m[bin(p, i + n)])
               && r->ground_percent_of_rate[bin(p, i + n)].share > 0.0)
            n++;
        if (n == 0) {
            i++;
            continue;
        }
        fputs("<path class=\"band\" d=\"M", p->to);
        for (int k = 0; k < 2 * n; k++) {
            const int j = bin(p, k < n ? i + k : i + 2 * n - 1 - k);
            const double error = r->ground_percent_of_rate[j].error;
            fprintf(p->to, "%.1f %.1f ", picture_on(&x, r->ground_distance_m[j]),
                    picture_on(&y, r->ground_percent_of_rate[j].share + (k < n ? error : -error)));
        }
        fputs("Z\"/>\n<path class=\"curve\" d=\"M", p->to);
        for (int k = 0; k < n; k++) {
            const int j = bin(p, i + k);
            fprintf(p->to, "%.1f %.1f ", picture_on(&x, r->ground_distance_m[j]),
                    picture_on(&y, r->ground_percent_of_rate[j].share));
        }
        if (n == 1)
            fputs("h0.1", p->to); /* a point */
        fputs("\"/>\n", p->to);
        i += n;
    }
}
