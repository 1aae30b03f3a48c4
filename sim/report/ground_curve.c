/* sim/report/ground_curve.c - ground deposit over the distance, percent of the application rate, logarithmic, with the
 * band of one standard error either way. A strip on which no droplet fell leaves a gap: its logarithm does not exist.
 */
#include <math.h>

#include "base/elementary.h"
#include "report/picture.h"

enum { MOST_DECADES = 5 };

typedef struct { double left, right, top, bottom, first_m, last_m, low, high; } frame; /* low, high: powers of ten */

static double x_of(const frame *f, double distance_m)
{
    return f->left + (f->right - f->left) * (distance_m - f->first_m) / (f->last_m - f->first_m);
}

static double y_of(const frame *f, double percent)
{
    const double power = fmax(base_log10(fmax(percent, 1e-30)), f->low);
    return f->bottom - (f->bottom - f->top) * fmin((power - f->low) / (f->high - f->low), 1.0);
}

static void draw_axes(const picture *p, const frame *f)
{
    const int n_decades = picture_marks(f->low, f->high, 1.0);
    for (int i = 0; i < n_decades; i++) {
        const double power = f->low + i, y = y_of(f, base_pow(10.0, power));
        picture_line(p->to, f->left, y, f->right, y, "grid");
        picture_words(p->to, f->left - 9.0, y + 4.0, "tick", "end", "%g", base_pow(10.0, round(power)));
    }
    const double step_m = f->last_m - f->first_m <= 60.0 ? 5.0 : f->right - f->left > 300.0 ? 10.0 : 20.0;
    const double first_m = step_m * ceil(f->first_m / step_m - 1e-9);
    const int n = picture_marks(first_m, f->last_m, step_m);
    for (int i = 0; i < n; i++) {
        const double d_m = first_m + i * step_m;
        picture_line(p->to, x_of(f, d_m), f->bottom, x_of(f, d_m), f->bottom + 5.0, "axis");
        picture_words(p->to, x_of(f, d_m), f->bottom + 18.0, "tick", "middle", "%g", d_m + 0.0);
    }
    picture_line(p->to, f->left, f->top, f->left, f->bottom, "axis");
    picture_line(p->to, f->left, f->bottom, f->right, f->bottom, "axis");
    picture_upright(p->to, f->left - 52.0, 0.5 * (f->top + f->bottom), "% of the rate");
}

/* Order of the bins along the distance: as x, or against it. */
static int bin(const picture *p, int i)
{
    return p->downwind > 0 ? i : p->r->n_ground - 1 - i;
}

static bool inside(const frame *f, double distance_m)
{
    return distance_m >= f->first_m && distance_m <= f->last_m;
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
    frame f = {left, right, top, bottom, first_m, last_m, -2.0, 2.0};
    if (most > 0.0) {
        f.high = ceil(base_log10(most) - 1e-9);
        f.low = fmax(fmin(floor(base_log10(least)), f.high - 1.0), f.high - MOST_DECADES);
    }
    draw_axes(p, &f);
    for (int i = 0; i < r->n_ground;) {
        int n = 0; /* strips in a row that something fell on */
        while (i + n < r->n_ground && inside(&f, r->ground_distance_m[bin(p, i + n)])
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
            fprintf(p->to, "%.1f %.1f ", x_of(&f, r->ground_distance_m[j]),
                    y_of(&f, r->ground_percent_of_rate[j].share + (k < n ? error : -error)));
        }
        fputs("Z\"/>\n<path class=\"curve\" d=\"M", p->to);
        for (int k = 0; k < n; k++) {
            const int j = bin(p, i + k);
            fprintf(p->to, "%.1f %.1f ", x_of(&f, r->ground_distance_m[j]),
                    y_of(&f, r->ground_percent_of_rate[j].share));
        }
        if (n == 1)
            fputs("h0.1", p->to); /* a point */
        fputs("\"/>\n", p->to);
        i += n;
    }
}
