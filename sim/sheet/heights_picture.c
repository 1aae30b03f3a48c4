/* sim/sheet/heights_picture.c - draws flow by height beside leaves by height: the flow of the left nozzles to the left,
 * of the right ones to the right, and the leaves in the middle. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/axis.h"
#include "report/picture.h"
#include "sheet/heights.h"

enum { WIDTH = 720, HEIGHT = 330, TOP = 34, BOTTOM = 292, PANEL = 190, GAP = 30, LEFT = 60 };

static const char style[] = ".bar{fill:#27589b}.leaf{fill:#8bb173}.grid{stroke:#ccc;stroke-width:.6;fill:none}"
                            ".edge{stroke:#111;stroke-width:1;stroke-dasharray:5 3;fill:none}"
                            ".tick,.label{font-size:11px;fill:#222}.head{font-size:12px;font-weight:600}";

typedef struct {
    FILE *to;
    const sheet_heights *h;
    picture_axis up; /* height in the sheet's unit */
    double most;     /* share at the end of an axis */
    double unit_m;   /* metres in the unit of length */
} drawing;

/* Bars of shares, from x towards the right (1) or the left (-1). */
static void draw_bars(const drawing *d, const double share[], double x, int way, const char *class)
{
    for (int k = 0; k < d->h->n_layers; k++) {
        const double low = k * d->h->step_m / d->unit_m, high = (k + 1) * d->h->step_m / d->unit_m;
        const double y = picture_on(&d->up, high), length = PANEL * share[k] / d->most;
        fprintf(d->to, "<rect class=\"%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n", class,
                way > 0 ? x : x - length, y + 0.5, length, picture_on(&d->up, low) - y - 1.0);
    }
}

static void draw_scale(const drawing *d, double x, int way, const char *head)
{
    const double step = base_round_step(100.0 * d->most, 3.0);
    for (int i = 0; i * step <= 100.0 * d->most * 1.0001; i++) {
        const double at = x + way * PANEL * i * step / (100.0 * d->most);
        picture_line(d->to, at, TOP, at, BOTTOM, "grid");
        picture_words(d->to, at, BOTTOM + 15, "tick", "middle", "%g", i * step);
    }
    picture_words(d->to, x + 0.5 * way * PANEL, 16, "head", "middle", "%s", head);
}

static void draw(const drawing *d, const drupelet_scenario *scenario, sheet_system system)
{
    const double right = LEFT + 3 * PANEL + 2 * GAP;
    draw_scale(d, LEFT + PANEL, -1, "flow, left");
    draw_scale(d, LEFT + PANEL + GAP, 1, "leaves");
    draw_scale(d, LEFT + 2 * PANEL + 2 * GAP, 1, "flow, right");
    draw_bars(d, d->h->flow[0], LEFT + PANEL, -1, "bar");
    draw_bars(d, d->h->leaf, LEFT + PANEL + GAP, 1, "leaf");
    draw_bars(d, d->h->flow[1], LEFT + 2 * PANEL + 2 * GAP, 1, "bar");
    picture_ticks_up(d->to, &d->up, LEFT, right, "grid", LEFT - 6);
    const double edges_m[] = {scenario->canopy.base_m, scenario->canopy.height_m};
    const char *const names[] = {"lowest leaves", "top of the crown"};
    for (int i = 0; i < 2; i++) {
        const double y = picture_on(&d->up, edges_m[i] / d->unit_m);
        picture_line(d->to, LEFT, y, right, y, "edge");
        picture_words(d->to, right - 3, y - 3, "tick", "end", "%s", names[i]);
    }
    picture_upright(d->to, 18, 0.5 * (TOP + BOTTOM), system == SHEET_US ? "height, ft" : "height, m");
    picture_words(d->to, LEFT + 1.5 * PANEL + GAP, BOTTOM + 32, "label", "middle", "%s",
                  "% of the flow of all nozzles, % of the leaf area, in each layer");
}

char *sheet_heights_picture(const drupelet_scenario *scenario, const sheet_heights *h, sheet_system system)
{
    char *svg = NULL;
    size_t size = 0;
    FILE *to = open_memstream(&svg, &size);
    if (!to) return NULL;
    drawing d = {.to = to, .h = h, .unit_m = 1.0 / sheet_in_unit(SHEET_LENGTH, system, 1.0)};
    const double top = h->n_layers * h->step_m / d.unit_m;
    d.up = (picture_axis){.at_low = BOTTOM, .at_high = TOP, .low = 0.0, .high = top, .step = base_round_step(top, 6.0)};
    for (int k = 0; k < h->n_layers; k++)
        d.most = fmax(d.most, fmax(h->leaf[k], fmax(h->flow[0][k], h->flow[1][k])));
    d.most = d.most > 0.0 ? base_round_scale(d.most) : 1.0;
    fprintf(to,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" role=\"img\">\n<title>Flow by height "
            "beside leaves by height</title>\n<style>%s</style>\n",
            WIDTH, HEIGHT, style);
    draw(&d, scenario, system);
    fputs("</svg>\n", to);
    const bool whole = !ferror(to);
    if (fclose(to) == 0 && whole) return svg;
    free(svg);
    return NULL;
}
