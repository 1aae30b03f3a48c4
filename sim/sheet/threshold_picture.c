/* sim/sheet/threshold_picture.c - draws the ground drift over the distance, that of the reference beside it, and the
 * thresholds with the distances from which it stays below. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/axis.h"
#include "report/picture.h"
#include "sheet/threshold.h"

enum { WIDTH = 720, HEIGHT = 320, LEFT = 70, RIGHT = 700, TOP = 20, BOTTOM = 270, MOST_DECADES = 5 };

static const char style[] = ".grid{stroke:#ddd;stroke-width:.6;fill:none}.axis{stroke:#111;stroke-width:.8;fill:none}"
                            ".this{stroke:#27589b;stroke-width:1.8;fill:none}"
                            ".reference{stroke:#b3923f;stroke-width:1.8;stroke-dasharray:6 3;fill:none}"
                            ".bound{stroke:#111;stroke-width:1;stroke-dasharray:2 3;fill:none}"
                            ".tick,.label{font-size:11px;fill:#222}";

/* A strip on which nothing fell leaves a gap: its logarithm does not exist. */
static void draw_curve(FILE *to, const drupelet_result *r, const picture_axis *x, const picture_axis *y, double unit_m,
                       const char *class)
{
    bool pen = false;
    fprintf(to, "<path class=\"%s\" d=\"M0 0", class);
    for (int k = 0; k < r->n_ground; k++) {
        const int i = r->downwind > 0.0 ? k : r->n_ground - 1 - k;
        const double d = r->ground_distance_m[i] / unit_m, percent = r->ground_percent_of_rate[i].share;
        const bool shown = d > 0.0 && d <= x->high && percent > 0.0;
        if (shown) fprintf(to, "%c%.1f %.1f", pen ? 'L' : 'M', picture_on(x, d), picture_on(y, percent));
        pen = shown;
    }
    fputs("\"/>\n", to);
}

static void find_range(const drupelet_result *r, double *least, double *most)
{
    for (int i = 0; i < r->n_ground; i++) {
        const double percent = r->ground_percent_of_rate[i].share;
        if (!(r->ground_distance_m[i] > 0.0) || !(percent > 0.0)) continue;
        *least = fmin(*least, percent);
        *most = fmax(*most, percent);
    }
}

char *sheet_distances_picture(const drupelet_result *r, const drupelet_result *ref, int n, const double percent[],
                              sheet_system system)
{
    char *svg = NULL;
    size_t size = 0;
    double least = INFINITY, most = 0.0;
    FILE *to = open_memstream(&svg, &size);
    if (!to) return NULL;
    find_range(r, &least, &most);
    if (ref) find_range(ref, &least, &most);
    for (int i = 0; i < n; i++) {
        least = fmin(least, percent[i]);
        most = fmax(most, percent[i]);
    }
    const double unit_m = 1.0 / sheet_in_unit(SHEET_LENGTH, system, 1.0), end = sheet_distance_end_m(r) / unit_m;
    const picture_axis y = picture_decades(least, most, MOST_DECADES, BOTTOM, TOP);
    const picture_axis x = {.at_low = LEFT,
                            .at_high = RIGHT,
                            .low = 0.0,
                            .high = end > 0.0 ? end : 1.0,
                            .step = base_round_step(end > 0.0 ? end : 1.0, 8.0)};
    fprintf(
        to,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" role=\"img\">\n<title>Ground drift over the "
        "distance</title>\n<style>%s</style>\n",
        WIDTH, HEIGHT, style);
    picture_ticks_up(to, &y, LEFT, RIGHT, "grid", LEFT - 6);
    picture_ticks_across(to, &x, BOTTOM, BOTTOM + 5, "axis", BOTTOM + 18);
    picture_line(to, LEFT, BOTTOM, RIGHT, BOTTOM, "axis");
    picture_line(to, LEFT, TOP, LEFT, BOTTOM, "axis");
    picture_upright(to, 18, 0.5 * (TOP + BOTTOM), "% of the application rate");
    picture_words(to, 0.5 * (LEFT + RIGHT), BOTTOM + 36, "label", "middle", "distance downwind of the block, %s%s",
                  sheet_unit(SHEET_LENGTH, system), ref ? "; dashed: the reference" : "");
    if (ref) draw_curve(to, ref, &x, &y, unit_m, "reference");
    draw_curve(to, r, &x, &y, unit_m, "this");
    for (int i = 0; i < n; i++) {
        const sheet_distance d = sheet_distance_below(r, percent[i]);
        const double at_y = picture_on(&y, percent[i]);
        picture_line(to, LEFT, at_y, RIGHT, at_y, "bound");
        picture_words(to, RIGHT - 3, at_y - 3, "tick", "end", "%g %%", percent[i]);
        if (isfinite(d.at_m))
            picture_line(to, picture_on(&x, d.at_m / unit_m), at_y, picture_on(&x, d.at_m / unit_m), BOTTOM, "bound");
    }
    fputs("</svg>\n", to);
    const bool whole = !ferror(to);
    if (fclose(to) == 0 && whole) return svg;
    free(svg);
    return NULL;
}
