/* sim/sheet/hours_picture.c - draws the hours of a weather file: the wind and the wet bulb beside their bounds, the
 * drift where it was simulated, and strips that show when there is what to beware of. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/axis.h"
#include "report/picture.h"
#include "report/text.h"
#include "sheet/hours.h"

enum { WIDTH = 720, LEFT = 110, RIGHT = 700, PANEL = 96, BETWEEN = 30, TOP = 24, STRIP = 15, MOST_LABELS = 13 };

static const char style[] = ".grid{stroke:#ddd;stroke-width:.6;fill:none}.axis{stroke:#111;stroke-width:.8;fill:none}"
                            ".curve{stroke:#27589b;stroke-width:1.6;fill:none}.dot{fill:#27589b}"
                            ".bound{stroke:#111;stroke-width:1;stroke-dasharray:5 3;fill:none}"
                            ".yes{fill:#333}.maybe{fill:#bbb}.no{fill:none;stroke:#ddd;stroke-width:.6}"
                            ".tick,.label{font-size:11px;fill:#222}.head{font-size:12px;font-weight:600}";

typedef struct {
    FILE *to;
    const sheet_hours *hours;
    const sheet_hour_found *found;
    sheet_system system;
    double step; /* from hour to hour, on the sheet */
} drawing;

static double at(const drawing *d, int i)
{
    return LEFT + (i + 0.5) * d->step;
}

/* The share of an hour's drift is in percent already; the other values go by their measure. */
typedef struct {
    const char *head;
    sheet_measure measure;
    double value[SHEET_HOURS_MOST], error[SHEET_HOURS_MOST]; /* in SI */
    double bound[2];                                         /* NAN: none */
} panel;

static void draw_panel(const drawing *d, const panel *p, double top)
{
    double most = 0.0;
    for (int i = 0; i < d->hours->n; i++)
        if (isfinite(p->value[i])) most = fmax(most, p->value[i] + (p->error[i] > 0.0 ? p->error[i] : 0.0));
    for (int k = 0; k < 2; k++)
        if (isfinite(p->bound[k])) most = fmax(most, 1.1 * p->bound[k]);
    const double end = most > 0.0 ? sheet_in_unit(p->measure, d->system, most) : 1.0;
    const picture_axis y = {
        .at_low = top + PANEL, .at_high = top, .low = 0.0, .high = end, .step = base_round_step(end, 4.0)};
    picture_ticks_up(d->to, &y, LEFT, RIGHT, "grid", LEFT - 5);
    picture_line(d->to, LEFT, top + PANEL, RIGHT, top + PANEL, "axis");
    picture_words(d->to, LEFT, top - 6, "head", "start", "%s", p->head);
    for (int k = 0; k < 2; k++)
        if (isfinite(p->bound[k])) {
            const double at_y = picture_on(&y, sheet_in_unit(p->measure, d->system, p->bound[k]));
            picture_line(d->to, LEFT, at_y, RIGHT, at_y, "bound");
        }
    for (int i = 0; i < d->hours->n; i++) {
        if (!isfinite(p->value[i])) continue;
        const double v = sheet_in_unit(p->measure, d->system, p->value[i]);
        if (i > 0 && isfinite(p->value[i - 1]))
            picture_line(d->to, at(d, i - 1), picture_on(&y, sheet_in_unit(p->measure, d->system, p->value[i - 1])),
                         at(d, i), picture_on(&y, v), "curve");
        if (p->error[i] > 0.0)
            picture_line(d->to, at(d, i), picture_on(&y, v - p->error[i]), at(d, i), picture_on(&y, v + p->error[i]),
                         "axis");
        fprintf(d->to, "<circle class=\"dot\" cx=\"%.1f\" cy=\"%.1f\" r=\"2.4\"/>\n", at(d, i), picture_on(&y, v));
    }
}

static bool warned(const sheet_hour_found *f, const char *name)
{
    for (int i = 0; i < f->warnings.n; i++)
        if (strcmp(f->warnings.of[i].name, name) == 0) return true;
    return false;
}

/* A strip of squares: yes, maybe, no. */
static void draw_strip(const drawing *d, double top, const char *label, const char *warning)
{
    picture_words(d->to, LEFT - 5, top + 11, "tick", "end", "%s", label);
    for (int i = 0; i < d->hours->n; i++) {
        const sheet_hour_found *f = &d->found[i];
        const bool stable = warning && strcmp(warning, "inversion") == 0;
        const char *class = warning ? (warned(f, warning)              ? "yes"
                                       : stable && !f->stability_known ? "maybe"
                                                                       : "no")
                                    : (f->way == SHEET_TOWARDS                                  ? "yes"
                                       : f->way == SHEET_PARTLY_TOWARDS || f->way == SHEET_CALM ? "maybe"
                                                                                                : "no");
        fprintf(d->to, "<rect class=\"%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%d\"/>\n", class,
                at(d, i) - 0.45 * d->step, top, 0.9 * d->step, STRIP - 3);
    }
}

/* Time of day: the last five letters. */
static void draw_times(const drawing *d, double y)
{
    const int every = (d->hours->n + MOST_LABELS - 1) / MOST_LABELS;
    for (int i = 0; i < d->hours->n; i += every) {
        const char *label = d->hours->hour[i].label;
        const size_t n = strlen(label);
        picture_words(d->to, at(d, i), y, "tick", "middle", "%s", n > 5 ? label + n - 5 : label);
    }
}

static void draw(const drawing *d, const sheet_hours_ask *ask, panel *p)
{
    static const struct {
        const char *label, *warning;
    } strips[] = {
        {"strong wind", "strong_wind"}, {"calm", "calm"}, {"inversion", "inversion"}, {"hot and dry", "hot_and_dry"}};
    const run_warning_bounds b = run_weather_bounds();
    const int n = d->hours->n;
    double top = TOP;
    char head[96];
    snprintf(head, sizeof head, "wind at %s above open ground, %s", d->system == SHEET_US ? "6.6 ft" : "2 m",
             sheet_unit(SHEET_AIR_SPEED, d->system));
    *p = (panel){.head = head, .measure = SHEET_AIR_SPEED, .bound = {b.calm_m_s, b.strong_wind_m_s}};
    for (int i = 0; i < n; i++)
        p->value[i] = d->found[i].wind_low_m_s;
    draw_panel(d, p, top);
    top += PANEL + BETWEEN;
    snprintf(head, sizeof head, "wet bulb below the air, %s", sheet_unit(SHEET_WARMTH, d->system));
    *p = (panel){.head = head, .measure = SHEET_WARMTH, .bound = {b.wet_bulb_difference_K, (double)NAN}};
    for (int i = 0; i < n; i++)
        p->value[i] = d->found[i].wet_bulb_difference_K;
    draw_panel(d, p, top);
    top += PANEL + BETWEEN;
    if (ask->i_drift >= 0) {
        snprintf(head, sizeof head, "simulated ground drift at %g m, %% of the rate",
                 scenario_drift_numbers[ask->i_drift].distance_m);
        *p = (panel){.head = head, .measure = SHEET_RATIO, .bound = {(double)NAN, (double)NAN}};
        for (int i = 0; i < n; i++) {
            p->value[i] = d->found[i].drift.share;
            p->error[i] = d->found[i].drift.error;
        }
        draw_panel(d, p, top);
        top += PANEL + BETWEEN;
    }
    top -= 14;
    for (size_t i = 0; i < sizeof strips / sizeof strips[0]; i++, top += STRIP)
        draw_strip(d, top, strips[i].label, strips[i].warning);
    if (!isnan(ask->side_deg)) {
        snprintf(head, sizeof head, "to %.14s", ask->side);
        draw_strip(d, top, head, NULL);
        top += STRIP;
    }
    draw_times(d, top + 12);
    picture_words(d->to, LEFT, top + 28, "tick", "start",
                  "dashed: bounds of common practice; black: yes, grey: in part or not known");
}

char *sheet_hours_picture(const sheet_hours_ask *ask, const sheet_hours *hours, const sheet_hour_found found[],
                          sheet_system system)
{
    char *svg = NULL;
    size_t size = 0;
    panel *p = malloc(sizeof *p);
    FILE *to = p ? open_memstream(&svg, &size) : NULL;
    if (!to) {
        free(p);
        return NULL;
    }
    const int n_panels = ask->i_drift >= 0 ? 3 : 2, n_strips = isnan(ask->side_deg) ? 4 : 5;
    const drawing d = {to, hours, found, system, (double)(RIGHT - LEFT) / hours->n};
    fprintf(to,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" role=\"img\">\n<title>The hours</title>\n"
            "<style>%s</style>\n",
            WIDTH, TOP + n_panels * (PANEL + BETWEEN) - 14 + n_strips * STRIP + 34, style);
    draw(&d, ask, p);
    fputs("</svg>\n", to);
    free(p);
    const bool whole = !ferror(to);
    if (fclose(to) == 0 && whole) return svg;
    free(svg);
    return NULL;
}
