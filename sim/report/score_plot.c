/* sim/report/score_plot.c - measured against simulated values, logarithmic both ways, a panel for each kind and unit.
 *
 * Inside the band the two differ by less than a factor of two. Bars show one standard error: upright that of the
 * simulation, level that of the measurement where one was given. A value below its floor stands at the floor and is
 * drawn hollow; a 0 without a floor stands at the edge of the panel, hollow too. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/elementary.h"
#include "drupelet/run.h"
#include "report/picture.h"
#include "report/score.h"
#include "report/text.h"

enum { MOST_DECADES = 6 };

typedef struct {
    double left, top, side;
    picture_axis x, y; /* of the same decades */
    bool beside;       /* statistics stand to the right of it, not below */
} panel;

static double x_of(const panel *f, double value) { return picture_on(&f->x, value); }
static double y_of(const panel *f, double value) { return picture_on(&f->y, value); }

static double shown(double value, double floor)
{
    return fmax(value, floor);
}

static void find_range(const score_report *s, int i_group, panel *f)
{
    double least = INFINITY, most = 0.0;
    for (int i = 0; i < s->list->n; i++) {
        const score_values *v = &s->list->pair[i].value;
        const double both[2] = {shown(v->measured, v->floor), shown(v->simulated, v->floor)};
        for (int k = 0; k < 2; k++)
            if (s->list->pair[i].i_group == i_group && both[k] > 0.0) {
                least = fmin(least, both[k]);
                most = fmax(most, both[k]);
            }
    }
    f->x = picture_decades(least / 1.2, most * 1.2, MOST_DECADES, f->left, f->left + f->side);
    f->y = f->x;
    f->y.at_low = f->top + f->side;
    f->y.at_high = f->top;
}

static void draw_frame(FILE *to, const panel *f, const char *title, const char *unit)
{
    const double right = f->left + f->side, bottom = f->top + f->side;
    const double low = base_pow(10.0, f->x.low), high = base_pow(10.0, f->x.high);
    fprintf(to, "<path class=\"within\" d=\"M%.1f %.1fL%.1f %.1fL%.1f %.1fL%.1f %.1fL%.1f %.1fL%.1f %.1fZ\"/>\n",
            f->left, bottom, f->left, y_of(f, SCORE_FACTOR * low), x_of(f, high / SCORE_FACTOR), f->top, right, f->top,
            right, y_of(f, high / SCORE_FACTOR), x_of(f, SCORE_FACTOR * low), bottom);
    const int n_decades = picture_ticks(&f->x);
    for (int i = 0; i < n_decades; i++) {
        const double value = picture_tick(&f->x, i), x = x_of(f, value), y = y_of(f, value);
        picture_line(to, x, f->top, x, bottom, "grid");
        picture_line(to, f->left, y, right, y, "grid");
        picture_words(to, x, bottom + 16.0, "tick", "middle", "%g", value);
        picture_words(to, f->left - 7.0, y + 4.0, "tick", "end", "%g", value);
    }
    picture_line(to, f->left, bottom, right, f->top, "equal");
    fprintf(to, "<rect class=\"frame\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n", f->left, f->top,
            f->side, f->side);
    const char *comma = strchr(title, ',');
    picture_words(to, f->left, f->top - 22.0, "head", "start", "%.*s", (int)(comma - title), title);
    picture_words(to, f->left, f->top - 8.0, "small", "start", "%s", unit);
    picture_words(to, f->left + 0.5 * f->side, bottom + 33.0, "label", "middle", "measured");
    picture_upright(to, f->left - 46.0, f->top + 0.5 * f->side, "simulated");
}

static void draw_pair(FILE *to, const panel *f, const score_pair *p)
{
    const score_values *v = &p->value;
    const double least = base_pow(10.0, f->x.low), o = fmax(shown(v->measured, v->floor), least),
                 s = fmax(shown(v->simulated, v->floor), least);
    const double x = x_of(f, o), y = y_of(f, s);
    const bool hollow = !(v->measured > v->floor && v->simulated > v->floor);
    if (v->error > 0.0)
        picture_line(to, x, y_of(f, fmax(v->simulated - v->error, least)), x, y_of(f, v->simulated + v->error), "bar");
    if (p->measured_error > 0.0)
        picture_line(to, x_of(f, fmax(v->measured - p->measured_error, least)), y,
                     x_of(f, v->measured + p->measured_error), y, "bar");
    fputs("<g><title>", to); /* a browser shows it where the pointer rests */
    report_xml_text(to, p->place);
    fprintf(to, ": measured %.4g, simulated %.4g</title>", v->measured, v->simulated);
    if (report_score_within(v))
        fprintf(to, "<circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"4\"/>", hollow ? "hollow" : "near", x, y);
    else /* another shape, not only another colour */
        fprintf(to, "<path class=\"%s\" d=\"M%.1f %.1fl5 5l-5 5l-5 -5Z\"/>", hollow ? "hollow" : "off", x, y - 5.0);
    fputs("</g>\n", to);
}

static void words_with_error(char *text, size_t size, const char *name, score_number n)
{
    char amount[64];
    report_score_amount(amount, sizeof amount, n, " ± ");
    snprintf(text, size, "%s %s", name, amount);
}

static void write_statistics(FILE *to, const panel *f, const score_statistics *s)
{
    const struct { const char *name; score_number n; } all[5] = {{"within a factor of two:", s->fac2},
                                                                 {"FB", s->fb},
                                                                 {"NMSE", s->nmse},
                                                                 {"MG", s->mg},
                                                                 {"VG", s->vg}};
    const double x = f->beside ? f->left + f->side + 18.0 : f->left;
    double y = f->beside ? f->top + 12.0 : f->top + f->side + 52.0;
    for (int i = 0; i < 5; i++, y += 15.0) {
        char text[96];
        if (!report_score_tells(s, i)) {
            y -= 15.0;
            continue;
        }
        words_with_error(text, sizeof text, all[i].name, all[i].n);
        picture_words(to, x, y, "note", "start", "%s", text);
    }
    if (s->n_below > 0)
        picture_words(to, x, y, "note", "start", "%d pairs, %d more below the floor", s->n, s->n_below);
    else
        picture_words(to, x, y, "note", "start", "%d pair%s", s->n, s->n == 1 ? ": no statistics" : "s");
}

/* What the common rules of picture_head() leave to this picture. */
static const char style[] =
    ".title{font-size:23px;font-weight:bold}.head{font-size:13.5px;font-weight:bold}.label{font-size:12.5px}\n"
    ".tick{font-size:11px;fill:#444}.small{font-size:11px}.note{font-size:11.5px;fill:#333}\n"
    ".caution{font-size:12px;font-weight:bold}path,.frame{fill:none}.grid{stroke:#dcdcdc;stroke-width:0.8}\n"
    ".within{fill:#e2ead6}.equal{stroke:#40592f;stroke-width:1.2;stroke-dasharray:7 4}\n"
    ".frame{stroke:#444;stroke-width:1}.bar{stroke:#333;stroke-width:1}\n"
    ".near{fill:#27589b;stroke:#fff;stroke-width:0.8}.off{fill:#b3702f;stroke:#fff;stroke-width:0.8}\n"
    ".hollow{fill:#fff;stroke:#333;stroke-width:1.2}\n";

static void write_head(FILE *to, const score_report *s)
{
    picture_head(to, 0.0, s->r->name, "Simulated against measured values, with the band of a factor of two.", style);
    const char *slash = strrchr(s->measured, '/');
    picture_words(to, 40.0, 46.0, strlen(s->r->name) > 60 ? "head" : "title", "start", "%.120s", s->r->name);
    picture_words(to, 40.0, 68.0, "label", "start", "Measurements of %.100s beside the simulation.",
                  slash ? slash + 1 : s->measured);
}

static void write_foot(FILE *to, const score_report *s)
{
    picture_line(to, 40.0, 768.0, 1146.0, 768.0, "grid");
    picture_words(to, 40.0, 782.0, "note", "start",
                  "Green: a factor of two either way. Round: inside it, diamond: outside; hollow: a value at or below "
                  "its detection floor. Bars: one standard error.");
    picture_words(to, 40.0, 798.0, "note", "start",
                  "%lld droplets followed, seed %llu, drupelet %s. ± covers the sampling of droplets, not what the "
                  "model gets wrong. Statistics after Chang and Hanna (2004).",
                  (long long)s->r->n_droplets, (unsigned long long)s->r->seed, s->r->version);
    picture_words(to, 40.0, 818.0, "caution", "start", "%s", s->r->caution);
}

void report_score_plot(FILE *to, const score_report *s)
{
    int n = 0, i_panel = 0;
    for (int g = 0; g < SCORE_GROUPS; g++)
        n += s->statistics[g].n + s->statistics[g].n_below > 0;
    const int lines = n > 8 ? 3 : n > 3 ? 2 : 1, across = (n + lines - 1) / lines;
    const double width = (PICTURE_WIDTH - 80.0) / across, height = 670.0 / lines;
    const double with_below = fmin(width - 90.0, height - 190.0), with_beside = fmin(width - 280.0, height - 95.0);
    write_head(to, s);
    for (int g = 0; g < SCORE_GROUPS; g++) {
        if (s->statistics[g].n + s->statistics[g].n_below == 0)
            continue;
        panel f = {.left = 40.0 + width * (i_panel % across) + 62.0,
                   .top = 126.0 + height * (i_panel / across),
                   .side = fmin(fmax(with_below, with_beside), 520.0), .beside = with_beside > with_below};
        i_panel++;
        find_range(s, g, &f);
        const score_group group = report_score_group_of(g);
        draw_frame(to, &f, group.title, group.unit);
        for (int i = 0; i < s->list->n; i++)
            if (s->list->pair[i].i_group == g)
                draw_pair(to, &f, &s->list->pair[i]);
        write_statistics(to, &f, &s->statistics[g]);
    }
    write_foot(to, s);
    fputs("</svg>\n", to);
}
