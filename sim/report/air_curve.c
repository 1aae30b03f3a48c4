/* sim/report/air_curve.c - what passes each upright plane by height, percent of the output per metre of height, without
 * the errors (their totals stand in the list of the picture). Where more comes back than goes downwind the line lies on
 * the axis. */
#include <math.h>

#include "base/axis.h"
#include "base/elementary.h"
#include "report/picture.h"

typedef struct { double left, right, top, bottom, top_m, most; } frame; /* most: percent per metre at the right end */

static const char *const STYLE[TALLY_PLANES] = {
    "stroke=\"#1a2740\" stroke-width=\"1.8\"", "stroke=\"#1a2740\" stroke-width=\"1.2\" stroke-dasharray=\"7 3\"",
    "stroke=\"#b3701c\" stroke-width=\"1.8\"", "stroke=\"#b3701c\" stroke-width=\"1.2\" stroke-dasharray=\"2.5 2.5\""};

static double x_of(const frame *f, double percent_per_m)
{
    return f->left + (f->right - f->left) * fmin(fmax(percent_per_m, 0.0) / f->most, 1.0);
}

static double y_of(const frame *f, double z_m)
{
    return f->bottom - (f->bottom - f->top) * fmin(z_m / f->top_m, 1.0);
}

static void draw_axes(const picture *p, const frame *f)
{
    const double step_m = f->top_m > 40.0 ? 20.0 : f->top_m > 12.0 ? 5.0 : 2.0;
    const int n = picture_marks(0.0, f->top_m, step_m);
    for (int i = 0; i < n; i++) {
        const double y = y_of(f, i * step_m);
        picture_line(p->to, f->left, y, f->right, y, i > 0 ? "grid" : "axis");
        picture_words(p->to, f->left - 7.0, y + 4.0, "tick", "end", "%g", i * step_m);
    }
    picture_line(p->to, f->left, f->top, f->left, f->bottom, "axis");
    for (int i = 0; i <= 1; i++)
        picture_words(p->to, i ? f->right : f->left, f->bottom + 18.0, "tick", "middle", "%g", i * f->most);
    picture_upright(p->to, f->left - 30.0, 0.5 * (f->top + f->bottom), "height, m");
}

void picture_air(const picture *p, double left, double right, double top, double bottom)
{
    const drupelet_result *r = p->r;
    frame f = {left, right, top, bottom, r->n_flux * TALLY_FLUX_STEP_M, 0.0};
    for (int i = 0; i < TALLY_PLANES * r->n_flux; i++)
        f.most = fmax(f.most, r->flux_percent_per_m[i].share); /* passes by what is not a number */
    f.most = f.most > 0.0 ? base_one_digit_up(f.most) : 1.0;
    draw_axes(p, &f);
    for (int plane = 0; plane < TALLY_PLANES; plane++) {
        const tally_estimate *flux = r->flux_percent_per_m + (ptrdiff_t)plane * r->n_flux;
        fprintf(p->to, "<path %s d=\"M", STYLE[plane]);
        for (int i = 0; i < r->n_flux; i++)
            fprintf(p->to, "%.1f %.1f ", x_of(&f, isfinite(flux[i].share) ? flux[i].share : 0.0),
                    y_of(&f, r->flux_z_m[i]));
        const double y = f.top + 8.0 + 13.0 * plane;
        fprintf(p->to, "\"/>\n<path %s d=\"M%.1f %.1fh24\"/>\n", STYLE[plane], f.right - 58.0, y);
        picture_words(p->to, f.right, y + 4.0, "tick", "end", "%g m", r->plane_distance_m[plane]);
    }
}
