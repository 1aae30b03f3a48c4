/* sim/report/air_curve.c - what passes each upright plane by height, percent of the output per metre of height, without
 * the errors (their totals stand in the list of the picture). Where more comes back than goes downwind the line lies on
 * the axis. */
#include <math.h>

#include "base/axis.h"
#include "report/picture.h"

static const char *const STYLE[TALLY_PLANES] = {
    "stroke=\"#1a2740\" stroke-width=\"1.8\"", "stroke=\"#1a2740\" stroke-width=\"1.2\" stroke-dasharray=\"7 3\"",
    "stroke=\"#b3701c\" stroke-width=\"1.8\"", "stroke=\"#b3701c\" stroke-width=\"1.2\" stroke-dasharray=\"2.5 2.5\""};

static void draw_axes(const picture *p, const picture_axis *x, const picture_axis *z)
{
    const int n = picture_ticks(z);
    for (int i = 0; i < n; i++) {
        const double y = picture_on(z, picture_tick(z, i));
        picture_line(p->to, x->at_low, y, x->at_high, y, i > 0 ? "grid" : "axis");
        picture_words(p->to, x->at_low - 7.0, y + 4.0, "tick", "end", "%g", picture_tick(z, i));
    }
    picture_line(p->to, x->at_low, z->at_high, x->at_low, z->at_low, "axis");
    for (int i = 0; i <= 1; i++)
        picture_words(p->to, i ? x->at_high : x->at_low, z->at_low + 18.0, "tick", "middle", "%g", i * x->high);
    picture_upright(p->to, x->at_low - 30.0, 0.5 * (z->at_low + z->at_high), "height, m");
}

void picture_air(const picture *p, double left, double right, double top, double bottom)
{
    const drupelet_result *r = p->r;
    const double top_m = r->n_flux * TALLY_FLUX_STEP_M;
    const picture_axis z = {.at_low = bottom, .at_high = top, .high = top_m,
                            .step = top_m > 40.0 ? 20.0 : top_m > 12.0 ? 5.0 : 2.0};
    picture_axis x = {.at_low = left, .at_high = right};
    for (int i = 0; i < TALLY_PLANES * r->n_flux; i++)
        x.high = fmax(x.high, r->flux_percent_per_m[i].share); /* passes by what is not a number */
    x.high = x.high > 0.0 ? base_one_digit_up(x.high) : 1.0;
    draw_axes(p, &x, &z);
    for (int plane = 0; plane < TALLY_PLANES; plane++) {
        const tally_estimate *flux = r->flux_percent_per_m + (ptrdiff_t)plane * r->n_flux;
        fprintf(p->to, "<path %s d=\"M", STYLE[plane]);
        for (int i = 0; i < r->n_flux; i++)
            fprintf(p->to, "%.1f %.1f ", picture_on(&x, isfinite(flux[i].share) ? flux[i].share : 0.0),
                    picture_on(&z, r->flux_z_m[i]));
        const double y = top + 8.0 + 13.0 * plane;
        fprintf(p->to, "\"/>\n<path %s d=\"M%.1f %.1fh24\"/>\n", STYLE[plane], right - 58.0, y);
        picture_words(p->to, right, y + 4.0, "tick", "end", "%g m", r->plane_distance_m[plane]);
    }
}
