/* sim/sheet/catch_picture.c - draws how far each nozzle is from new: a bar from the middle, left and right apart, and
 * the lines beyond which a tip is replaced or cleaned. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "report/picture.h"
#include "sheet/catch.h"
#include "sprayer/nozzle_names.h"

enum { WIDTH = 720, LEFT = 50, PANEL = 260, GAP = 90, TOP = 28, ROW = 17, MOST_PERCENT = 60 };

static const char style[] = ".good{fill:#8bb173}.bad{fill:#27589b}.axis{stroke:#111;stroke-width:.8;fill:none}"
                            ".bound{stroke:#111;stroke-width:1;stroke-dasharray:5 3;fill:none}"
                            ".tick{font-size:11px;fill:#222}.head{font-size:12px;font-weight:600}";

/* Bars go to 60 %; what is beyond ends there, and its number says how far it is. */
static void draw_side(FILE *to, const drupelet_scenario *scenario, const sheet_catch *caught, scenario_side side,
                      double left, int n_most)
{
    const double middle = left + 0.5 * PANEL, unit = 0.5 * PANEL / MOST_PERCENT, bottom = TOP + n_most * ROW;
    const double bound[] = {100.0 * SHEET_LOW_FROM, 100.0 * SPRAYER_WORN_MOST};
    picture_words(to, middle, TOP - 10, "head", "middle", "%s", side == SCENARIO_LEFT ? "left" : "right");
    for (int i = 0; i < caught->n_nozzles; i++) {
        const sheet_caught *n = &caught->nozzle[i];
        const double y = bottom - n->number * ROW;
        if (scenario->sprayer.nozzle[i].side != side) continue;
        picture_words(to, left - 6, y + 12, "tick", "end", "%d", n->number);
        if (n->line == 0) {
            picture_words(to, middle + 4, y + 12, "tick", "start", "not caught");
            continue;
        }
        const double percent = 100.0 * n->departure, length = unit * fmin(fabs(percent), MOST_PERCENT);
        fprintf(to, "<rect class=\"%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%d\"/>\n",
                n->state == SHEET_IN_ORDER ? "good" : "bad", percent < 0.0 ? middle - length : middle, y + 2.0, length,
                ROW - 4);
        picture_words(to, left + PANEL + 44, y + 12, "tick", "end", "%+.1f %%", percent + 0.0);
    }
    for (int k = 0; k < 2; k++)
        picture_line(to, middle + unit * bound[k], TOP, middle + unit * bound[k], bottom, "bound");
    picture_line(to, middle, TOP, middle, bottom, "axis");
}

char *sheet_catch_picture(const drupelet_scenario *scenario, const sheet_catch *caught)
{
    char *svg = NULL;
    size_t size = 0;
    int n_most = 0;
    FILE *to = open_memstream(&svg, &size);
    if (!to) return NULL;
    for (int i = 0; i < caught->n_nozzles; i++)
        if (caught->nozzle[i].number > n_most) n_most = caught->nozzle[i].number;
    const int height = TOP + n_most * ROW + 24;
    fprintf(to,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" role=\"img\">\n<title>Flow of each nozzle "
            "beside a new one</title>\n<style>%s</style>\n",
            WIDTH, height, style);
    draw_side(to, scenario, caught, SCENARIO_LEFT, LEFT, n_most);
    draw_side(to, scenario, caught, SCENARIO_RIGHT, LEFT + PANEL + GAP, n_most);
    picture_words(to, LEFT, height - 6, "tick", "start",
                  "flow above or below a new tip; dashed: 10 %% either way (common practice); blue: beyond it");
    fputs("</svg>\n", to);
    const bool whole = !ferror(to);
    if (fclose(to) == 0 && whole) return svg;
    free(svg);
    return NULL;
}
