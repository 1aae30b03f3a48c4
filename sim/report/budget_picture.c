/* sim/report/budget_picture.c - the budget as a picture: for each class of droplet sizes a bar, cut by where its liquid
 * came to rest; beside it the crowns with what first hit each zone and what that hit did. Left out: errors. */
#include <math.h>

#include "droplet/outcome.h"
#include "report/budget.h"
#include "report/picture.h"

/* Greens stay on the trees, browns lie on the ground, blues are in the air; lightness says it a second time. */
static const char *const END_COLOUR[TALLY_ENDS] = {"#3f6b35", "#78a25c", "#b4cf9a", "#8a6a3f",
                                                   "#d9b989", "#27589b", "#a9c4e4"};
/* None, then the outcomes in their order; the last serves for all that come after. */
static const char *const FIRST_COLOUR[] = {"#d8d8d8", "#3f6b35", "#c9a227", "#b0492f", "#7a4b8c"};
enum { N_FIRST_COLOURS = sizeof FIRST_COLOUR / sizeof FIRST_COLOUR[0] };

static const double LEFT = 190.0, RIGHT = 690.0, TOP = 132.0, BAR_STEP = 58.0, BAR = 34.0;
static const double CROWN_LEFT = 780.0, CROWN_TOP = 132.0, BOX = 118.0, BOX_HIGH = 104.0;

static const char style[] =
    ".title{font-size:23px;font-weight:bold}.head{font-size:13.5px;font-weight:bold}.label{font-size:12.5px}\n"
    ".tick{font-size:11.5px;fill:#444}.small{font-size:11px}.note{font-size:10.5px;fill:#333}\n"
    ".in{font-size:11px;fill:#111;paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}\n"
    ".caution{font-size:12px;font-weight:bold}path{fill:none}.axis{stroke:#444;stroke-width:1}\n"
    ".grid{stroke:#dcdcdc;stroke-width:0.8}.box{fill:#f3f6ee;stroke:#40592f;stroke-width:0.9}\n"
    ".bar{stroke:#fff;stroke-width:0.6}\n";

static void fill_box(FILE *to, double x, double y, double width, double height, const char *colour)
{
    if (width > 0.0)
        fprintf(to, "<rect class=\"bar\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\"/>\n", x, y,
                width, height, colour);
}

static const char *first_colour(int first)
{
    return FIRST_COLOUR[first < N_FIRST_COLOURS ? first : N_FIRST_COLOURS - 1];
}

/* ---- bars by size ---- */

static void draw_bar(FILE *to, const tally_estimate *end, double y)
{
    double all = 0.0, x = LEFT;
    for (int e = 0; e < TALLY_ENDS; e++)
        all += end[e].share;
    for (int e = 0; e < TALLY_ENDS && all > 0.0; e++) {
        const double width = (RIGHT - LEFT) * end[e].share / all;
        fill_box(to, x, y, width, BAR, END_COLOUR[e]);
        if (width >= 26.0)
            picture_words(to, x + 0.5 * width, y + 0.5 * BAR + 4.0, "in", "middle", "%.0f", 100.0 * end[e].share / all);
        x += width;
    }
}

static void draw_sizes(FILE *to, const drupelet_result *r)
{
    char words[32];
    picture_words(to, LEFT, TOP - 40.0, "head", "start", "Where the spray of each droplet size came to rest, percent");
    picture_words(to, LEFT - 84.0, TOP - 12.0, "tick", "end", "diameter, µm");
    picture_words(to, LEFT - 10.0, TOP - 12.0, "tick", "end", "L of 100 L");
    for (int i = 0; i <= 4; i++) {
        const double x = LEFT + 0.25 * i * (RIGHT - LEFT);
        picture_line(to, x, TOP - 6.0, x, TOP + TALLY_CLASSES * BAR_STEP, "grid");
        picture_words(to, x, TOP - 12.0, "tick", "middle", "%d", 25 * i);
    }
    for (int c = 0; c < TALLY_CLASSES; c++) {
        const double y = TOP + 8.0 + BAR_STEP * c;
        double all = 0.0;
        for (int f = 0; f < TALLY_FIRSTS; f++)
            all += r->budget.class_first[c][f].share;
        picture_words(to, LEFT - 84.0, y + 21.0, "label", "end", "%s", report_class_words(r, c, words));
        picture_words(to, LEFT - 10.0, y + 21.0, "label", "end", "%.2f", 100.0 * all);
        draw_bar(to, r->budget.class_end[c], y);
        double x = LEFT; /* a thin bar below: what the first hit did */
        for (int f = 0; f < TALLY_FIRSTS && all > 0.0; f++) {
            const double width = (RIGHT - LEFT) * r->budget.class_first[c][f].share / all;
            fill_box(to, x, y + BAR + 2.0, width, 7.0, first_colour(f));
            x += width;
        }
    }
}

static void draw_keys(FILE *to)
{
    const double y = TOP + TALLY_CLASSES * BAR_STEP + 30.0;
    picture_words(to, LEFT - 150.0, y, "head", "start", "Wide bars: it came to rest");
    picture_words(to, LEFT - 150.0, y + 76.0, "head", "start", "Thin bars, and those of the crowns: the first hit");
    for (int e = 0; e < TALLY_ENDS; e++) {
        const double x = LEFT - 150.0 + 176.0 * (e % 4), at = y + 12.0 + 22.0 * (e / 4);
        fill_box(to, x, at, 16.0, 12.0, END_COLOUR[e]);
        picture_words(to, x + 22.0, at + 10.5, "small", "start", "%s", tally_end_label(e));
    }
    for (int f = 0; f < TALLY_FIRSTS; f++) {
        const double x = LEFT - 150.0 + 176.0 * f;
        fill_box(to, x, y + 88.0, 16.0, 12.0, first_colour(f));
        picture_words(to, x + 22.0, y + 98.5, "small", "start", "%s",
                      f == TALLY_FIRST_NONE ? "there was none" : tally_first_name(f));
    }
}

/* ---- the crowns ---- */

/* What never met leaf or wood, by where it came to rest. */
static void draw_ends(FILE *to, const tally_estimate *end, double all, double x, double y, double width)
{
    for (int e = 0; e < TALLY_ENDS && all > 0.0; e++) {
        const double part = width * end[e].share / all;
        fill_box(to, x, y, part, 12.0, END_COLOUR[e]);
        x += part;
    }
}

static void draw_zone(FILE *to, const drupelet_result *r, int zone, double x, double y, double width, double height)
{
    const tally_estimate *first = r->budget.zone_first[zone];
    double all = 0.0, at = x + 10.0;
    for (int f = 0; f < TALLY_FIRSTS; f++)
        all += first[f].share;
    fprintf(to, "<rect class=\"box\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n", x, y, width, height);
    picture_words(to, x + 10.0, y + 19.0, "small", "start", "%s", tally_zone_label(zone));
    picture_words(to, x + 10.0, y + 44.0, "title", "start", "%.3g", 100.0 * all);
    if (zone == TALLY_ZONE_NONE) {
        draw_ends(to, r->budget.zone_end[zone], all, at, y + 54.0, width - 20.0);
        return;
    }
    for (int f = 0; f < TALLY_FIRSTS && all > 0.0; f++) {
        const double part = (width - 20.0) * first[f].share / all;
        fill_box(to, at, y + 54.0, part, 12.0, first_colour(f));
        at += part;
    }
    const double stayed = all > 0.0 ? 100.0 * r->budget.zone_end[zone][TALLY_END_FIRST].share / all : 0.0;
    if (all > 0.0) picture_words(to, x + 10.0, y + 86.0, "small", "start", "%.0f %% stays there", stayed);
}

static void draw_crowns(FILE *to, const drupelet_result *r)
{
    const double high = TALLY_THIRDS * BOX_HIGH, wide = 2.0 * (BOX + 60.0);
    picture_words(to, CROWN_LEFT, CROWN_TOP - 40.0, "head", "start", "Where it first met leaf or wood, L of 100 L");
    picture_words(
        to, CROWN_LEFT, CROWN_TOP - 14.0, "small", "start",
        "crowns beside the sprayer's alley, other rows below; bars: what that hit did");
    for (int side = 0; side < TALLY_SIDES; side++)
        for (int third = 0; third < TALLY_THIRDS; third++)
            draw_zone(to, r, TALLY_ZONE_OWN + side * TALLY_THIRDS + third, CROWN_LEFT + side * 0.5 * wide,
                      CROWN_TOP + (TALLY_THIRDS - 1 - third) * BOX_HIGH, 0.5 * wide, BOX_HIGH);
    draw_zone(to, r, TALLY_ZONE_NEXT, CROWN_LEFT, CROWN_TOP + high + 14.0, 0.5 * wide, BOX_HIGH);
    draw_zone(to, r, TALLY_ZONE_BEYOND, CROWN_LEFT + 0.5 * wide, CROWN_TOP + high + 14.0, 0.5 * wide, BOX_HIGH);
    draw_zone(to, r, TALLY_ZONE_NONE, CROWN_LEFT, CROWN_TOP + high + BOX_HIGH + 28.0, wide, 76.0);
}

void report_budget_picture(FILE *to, const drupelet_result *r)
{
    picture_head(
        to, 0.0, r->name,
        "The way of the spray: where droplets of each size came to rest, and where in the crowns they first met "
        "leaf or wood.",
        style);
    picture_words(to, 40.0, 46.0, "title", "start", "%.90s", r->name);
    picture_words(to, 40.0, 66.0, "label", "start",
                  "The way of 100 L of spray, by diameter at the nozzle; before anything drips off the leaves.");
    draw_sizes(to, r);
    draw_keys(to);
    draw_crowns(to, r);
    picture_words(to, 40.0, 796.0, "note", "start", "%lld droplets followed, seed %llu, drupelet %s. %s",
                  (long long)r->n_droplets, (unsigned long long)r->seed, r->version,
                  r->place[0] != '\0' ? r->place : "");
    picture_words(to, 40.0, 820.0, "caution", "start", "%s", r->caution);
    fputs("</svg>\n", to);
}
