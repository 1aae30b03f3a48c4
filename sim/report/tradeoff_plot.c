/* sim/report/tradeoff_plot.c - pictures of a sweep: the trade-off front, and main effects with error bars. */
#include <math.h>
#include <string.h>

#include "base/axis.h"
#include "base/elementary.h"
#include "report/picture.h"
#include "report/text.h"
#include "report/tradeoff.h"

enum {
    MOST_NAMED = 12,
    MOST_BARS = 60
}; /* of the front, named beside the picture; points with error bars of their own */

/* An axis from low to high, linear, or logarithmic where the values span more than a factor of 30 (choice). */
static picture_axis axis_of(double low, double high, double at_low, double at_high, bool may_be_logarithmic)
{
    if (!(high - low > 1e-9 * fmax(fabs(low), fabs(high)))) { /* one value, as far as a picture can tell */
        low -= fmax(fabs(low) * 0.1, 0.5);
        high = low + 2.0 * fmax(fabs(high) * 0.1, 0.5);
    }
    picture_axis a = {.at_low = at_low, .at_high = at_high, .step = 1.0};
    a.logarithmic = may_be_logarithmic && low > 0.0 && high > 30.0 * low;
    if (a.logarithmic) {
        low = base_log10(low);
        high = base_log10(high);
    } else {
        a.step = base_round_step(high - low, 6.0);
    }
    a.low = a.step * floor(low / a.step);
    a.high = a.step * ceil(high / a.step);
    return a;
}

static bool on_axis(const picture_axis *a, double value)
{
    const double v = a->logarithmic ? base_log10(fmax(value, 1e-300)) : value;
    return v >= a->low && v <= a->high;
}

/* What the common rules of picture_head() leave to these pictures. */
static const char style[] =
    ".title{font-size:23px;font-weight:bold}.head{font-size:14px;font-weight:bold}.label{font-size:12.5px}\n"
    ".tick{font-size:11px;fill:#444}.small{font-size:11.5px}.note{font-size:11.5px;fill:#333}\n"
    ".number{font-size:11px;font-weight:bold}.caution{font-size:12px;font-weight:bold}\n"
    "path{fill:none}.grid{stroke:#dcdcdc;stroke-width:0.8}.axis{stroke:#444;stroke-width:1}\n"
    ".bar{stroke:#777;stroke-width:1}.strong{stroke:#222;stroke-width:1.3}\n"
    ".front{stroke:#27589b;stroke-width:1.8}.equal{stroke:#f0c66f;stroke-width:15;stroke-opacity:0.55;"
    "stroke-linecap:round;stroke-linejoin:round}.limit{stroke:#b3702f;stroke-width:1.4;stroke-dasharray:7 4}\n"
    ".point{fill:#9aa3ad}.aloft{fill:#fff;stroke:#9aa3ad;stroke-width:1.4}"
    ".member{fill:#27589b;stroke:#fff;stroke-width:1}\n"
    ".best{fill:#fff;stroke:#b3702f;stroke-width:2.4}.curve{stroke:#27589b;stroke-width:1.6}\n";

static void write_head(FILE *to, const report_tradeoff *t, double height, const char *what)
{
    picture_head(to, height, t->sweep->head.name, what, style);
    picture_words(to, 40.0, 46.0, strlen(t->sweep->head.name) > 60 ? "head" : "title", "start", "%.120s",
                  t->sweep->head.name);
}

static void write_foot(FILE *to, const report_tradeoff *t, double height, const char *note)
{
    picture_line(to, 40.0, height - 62.0, PICTURE_WIDTH - 42.0, height - 62.0, "grid");
    picture_words(to, 40.0, height - 46.0, "note", "start", "%s", note);
    picture_words(to, 40.0, height - 22.0, "caution", "start", "%s", t->sweep->head.caution);
}

/* ---- the front ---- */

static void find_ends(const report_tradeoff *t, const report_column *c, double *low, double *high)
{
    *low = INFINITY;
    *high = -INFINITY;
    for (int64_t p = 0; p < t->n_points; p++)
        if (isfinite(c->mean[p].share)) {
            const double bar = t->n_known <= MOST_BARS ? c->mean[p].error : 0.0;
            *low = fmin(*low, c->mean[p].share - bar);
            *high = fmax(*high, c->mean[p].share + bar);
        }
}

static void draw_axes(FILE *to, const picture_axis *x, const picture_axis *y, const char *x_name, const char *y_name)
{
    picture_ticks_across(to, x, y->at_low, y->at_high, "grid", y->at_low + 18.0);
    picture_ticks_up(to, y, x->at_low, x->at_high, "grid", x->at_low - 8.0);
    picture_line(to, x->at_low, y->at_low, x->at_high, y->at_low, "axis");
    picture_line(to, x->at_low, y->at_low, x->at_low, y->at_high, "axis");
    picture_words(to, 0.5 * (x->at_low + x->at_high), y->at_low + 40.0, "label", "middle", "%s", x_name);
    picture_upright(to, x->at_low - 52.0, 0.5 * (y->at_low + y->at_high), y_name);
}

static void draw_bars(FILE *to, const picture_axis *x, const picture_axis *y, tally_estimate loss, tally_estimate gain,
                      const char *class)
{
    const double at_x = picture_on(x, loss.share), at_y = picture_on(y, gain.share);
    picture_line(to, picture_on(x, loss.share - loss.error), at_y, picture_on(x, loss.share + loss.error), at_y, class);
    picture_line(to, at_x, picture_on(y, gain.share - gain.error), at_x, picture_on(y, gain.share + gain.error), class);
}

static void draw_point(FILE *to, const report_tradeoff *t, int64_t p, const picture_axis *x, const picture_axis *y,
                       const char *class, double radius)
{
    fputs("<g><title>", to); /* a browser shows it where the pointer rests */
    fprintf(to, "point %lld:", (long long)p + 1);
    for (int f = 0; f < t->sweep->head.n_factors; f++) {
        char text[96];
        report_setting(t->sweep, p, f, text);
        fprintf(to, " %s ", t->sweep->head.factor[f].name);
        report_xml_text(to, text);
        fputc(';', to);
    }
    fprintf(to, "</title><circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\"/></g>\n", class,
            picture_on(x, t->of[REPORT_LOSS].mean[p].share), picture_on(y, t->of[REPORT_GAIN].mean[p].share), radius);
}

/* A band under each group of points that are equal to one another. */
static void draw_equals(FILE *to, const report_tradeoff *t, const picture_axis *x, const picture_axis *y)
{
    const tally_estimate *gain = t->of[REPORT_GAIN].mean, *loss = t->of[REPORT_LOSS].mean;
    for (int64_t i = 0; i < t->n_front; i++) {
        if (t->equals[i] == 0)
            continue;
        const bool first = i == 0 || t->equals[i - 1] != t->equals[i];
        const bool last = i + 1 == t->n_front || t->equals[i + 1] != t->equals[i];
        fprintf(to, "%s%.1f %.1f%s", first ? "<path class=\"equal\" d=\"M" : "L",
                picture_on(x, loss[t->front[i]].share), picture_on(y, gain[t->front[i]].share),
                last ? "\"/>\n" : "");
    }
}

/* Which of the front are named: all of few, else evenly spread with both ends. */
static bool is_named(const report_tradeoff *t, int64_t i)
{
    if (t->n_front <= MOST_NAMED)
        return true;
    for (int k = 0; k < MOST_NAMED; k++)
        if (i == k * (t->n_front - 1) / (MOST_NAMED - 1))
            return true;
    return false;
}

static void name_point(FILE *to, const report_tradeoff *t, int64_t p, const char *number, double x, double *y)
{
    char amount[REPORT_ROLES][64];
    for (int role = 0; role < t->n_told; role++) {
        const tally_estimate e = t->of[role].mean[p];
        report_amount(amount[role], sizeof amount[role], e.share, e.error, " ± ");
    }
    picture_words(to, x, *y, "number", "start", "%s", number);
    picture_words(to, x + 20.0, *y, "small", "start", "%s: %s, %s: %s", t->of[REPORT_GAIN].output.name,
                  amount[REPORT_GAIN], t->of[REPORT_LOSS].output.name, amount[REPORT_LOSS]);
    char line[160] = "";
    if (t->question.tells_beside)
        snprintf(line, sizeof line, "%s: %s", t->of[REPORT_BESIDE].output.name, amount[REPORT_BESIDE]);
    for (int f = 0; f < t->sweep->head.n_factors; f++) {
        char text[96], part[160];
        report_setting(t->sweep, p, f, text);
        snprintf(part, sizeof part, "%.40s %.40s", t->sweep->head.factor[f].name, text);
        if (line[0] && strlen(line) + strlen(part) > 58) {
            *y += 14.0;
            picture_words(to, x + 20.0, *y, "note", "start", "%s", line);
            line[0] = '\0';
        }
        snprintf(line + strlen(line), sizeof line - strlen(line), "%s%.90s", line[0] ? ", " : "", part);
    }
    *y += 14.0;
    picture_words(to, x + 20.0, *y, "note", "start", "%s", line);
    *y += 20.0;
}

void report_front_plot(const report_tradeoff *t, FILE *to)
{
    const double height = PICTURE_HEIGHT, right = 760.0;
    const tally_estimate *gain = t->of[REPORT_GAIN].mean, *loss = t->of[REPORT_LOSS].mean;
    double low, high;
    find_ends(t, &t->of[REPORT_LOSS], &low, &high);
    const picture_axis x = axis_of(low, high, 110.0, right, true);
    find_ends(t, &t->of[REPORT_GAIN], &low, &high);
    const picture_axis y = axis_of(low, high, height - 140.0, 100.0, false);
    write_head(to, t, height, "Trade-off between on-target deposit and off-target drift of a sweep.");
    picture_words(to, 40.0, 70.0, "label", "start",
                  "%lld points; no point has more %s at no more %s than those on the line.%s", (long long)t->n_known,
                  t->of[REPORT_GAIN].output.name, t->of[REPORT_LOSS].output.name,
                  t->n_equals > 0 ? " Those on one band, with one letter, are equal within two standard errors." : "");
    if (t->n_known == 0) {
        picture_words(to, 110.0, 200.0, "label", "start", "No point is known: every case failed.");
        write_foot(to, t, height, "");
        fputs("</svg>\n", to);
        return;
    }
    draw_axes(to, &x, &y, t->of[REPORT_LOSS].output.long_name, t->of[REPORT_GAIN].output.long_name);
    for (int i = 0; i < t->question.n_limits; i++) {
        const report_limit *limit = &t->question.limit[i];
        if (limit->i_output == t->question.output[REPORT_LOSS] && on_axis(&x, limit->value))
            picture_line(to, picture_on(&x, limit->value), y.at_low, picture_on(&x, limit->value), y.at_high, "limit");
        if (limit->i_output == t->question.output[REPORT_GAIN] && on_axis(&y, limit->value))
            picture_line(to, x.at_low, picture_on(&y, limit->value), x.at_high, picture_on(&y, limit->value), "limit");
    }
    int64_t next_aloft = 0;
    for (int64_t p = 0; p < t->n_points; p++)
        if (isfinite(gain[p].share) && isfinite(loss[p].share)) {
            if (t->n_known <= MOST_BARS)
                draw_bars(to, &x, &y, loss[p], gain[p], "bar");
            while (next_aloft < t->n_left_out && t->aloft[next_aloft] < p)
                next_aloft++;
            const bool aloft = next_aloft < t->n_left_out && t->aloft[next_aloft] == p;
            draw_point(to, t, p, &x, &y, aloft ? "aloft" : "point", t->n_known > 2000 ? 1.6 : 3.2);
        }
    draw_equals(to, t, &x, &y);
    fputs("<path class=\"front\" d=\"", to);
    for (int64_t i = 0; i < t->n_front; i++) {
        const int64_t p = t->front[i];
        const double at_x = picture_on(&x, loss[p].share), at_y = picture_on(&y, gain[p].share);
        if (i > 0) /* what lies between two points is at best a mixture: steps promise nothing */
            fprintf(to, "H%.1fV%.1f", at_x, at_y);
        else
            fprintf(to, "M%.1f %.1f", at_x, at_y);
    }
    fputs("\"/>\n", to);
    double row = 112.0;
    int number = 0;
    picture_words(to, right + 40.0, 86.0, "head", "start", "On the front");
    for (int64_t i = 0; i < t->n_front; i++) {
        const int64_t p = t->front[i];
        draw_bars(to, &x, &y, loss[p], gain[p], "strong");
        draw_point(to, t, p, &x, &y, "member", 5.0);
        if (!is_named(t, i) || row > height - 110.0)
            continue;
        char name[24], letters[8];
        report_equals_letters(t->equals[i], letters);
        snprintf(name, sizeof name, "%d%s", ++number, letters);
        picture_words(to, picture_on(&x, loss[p].share) - 8.0, picture_on(&y, gain[p].share) - 8.0,
                      "number", "end", "%s", name);
        name_point(to, t, p, name, right + 40.0, &row);
    }
    if (t->best >= 0)
        draw_point(to, t, t->best, &x, &y, "best", 8.0);
    char note[320];
    snprintf(note, sizeof note,
             "Bars: one standard error of the sampling of droplets; they do not tell what the model gets "
             "wrong.%s%s drupelet %.20s.",
             t->best >= 0 ? " Dashed: limit; ring: most within it." : "",
             t->n_left_out > 0 ? " Hollow: much is still aloft, drift is not known." : "", t->sweep->head.version);
    write_foot(to, t, height, note);
    fputs("</svg>\n", to);
}

/* ---- main effects ---- */

static void draw_effect(FILE *to, const report_tradeoff *t, int f, report_role role, const picture_axis *y, double left,
                        double width)
{
    const report_effect *e = &t->effect[f];
    const bool numeric = t->sweep->head.factor[f].numeric && e->n_levels > 1;
    const double first = numeric ? e->level[0].number : 0.0;
    const double span = numeric ? e->level[e->n_levels - 1].number - first : fmax(e->n_levels - 1.0, 1.0);
    picture_ticks_up(to, y, left, left + width, "grid", left - 6.0);
    picture_line(to, left, y->at_low, left, y->at_high, "axis");
    picture_line(to, left, y->at_low, left + width, y->at_low, "axis");
    for (int l = 0; l < e->n_levels && numeric; l++) {
        const double x = left + width * (0.08 + 0.84 * (e->level[l].number - first) / span);
        fprintf(to, "%s%.1f %.1f", l > 0 ? "L" : "<path class=\"curve\" d=\"M", x,
                picture_on(y, e->level[l].mean[role].share));
    }
    if (numeric)
        fputs("\"/>\n", to);
    const int every = (e->n_levels + 5) / 6, shown = (e->n_levels + every - 1) / every;
    bool crowded = false; /* words then stand in two rows */
    for (int l = 0; l < e->n_levels && !numeric; l++)
        crowded = crowded || 6.2 * (double)strlen(e->level[l].label) * shown > width;
    for (int l = 0; l < e->n_levels; l++) {
        const double at = numeric ? (e->level[l].number - first) / span : e->n_levels > 1 ? l / span : 0.5;
        const double x = left + width * (0.08 + 0.84 * at);
        const tally_estimate v = e->level[l].mean[role];
        picture_line(to, x, picture_on(y, v.share - v.error), x, picture_on(y, v.share + v.error), "strong");
        fprintf(to, "<circle class=\"member\" cx=\"%.1f\" cy=\"%.1f\" r=\"4.5\"/>\n", x, picture_on(y, v.share));
        if (role == REPORT_GAIN || l % every != 0)
            continue;
        char label[24];
        if (numeric)
            snprintf(label, sizeof label, t->drawn ? "%.3g" : "%.4g", e->level[l].number);
        else
            snprintf(label, sizeof label, "%.19s", e->level[l].label);
        picture_words(to, x, y->at_low + 15.0 + (crowded ? 13.0 * (l / every % 2) : 0.0), "tick", "middle", "%s",
                      label);
    }
}

void report_effects_plot(const report_tradeoff *t, FILE *to)
{
    enum { ACROSS = 4 };
    const int n = t->sweep->head.n_factors, lines = (n + ACROSS - 1) / ACROSS;
    const double panel = 150.0, block = 2.0 * panel + 130.0, height = 110.0 + lines * block + 80.0;
    const double step = (PICTURE_WIDTH - 100.0) / ACROSS, width = step - 66.0;
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    for (int f = 0; f < n; f++)
        for (int l = 0; l < t->effect[f].n_levels; l++)
            for (int k = 0; k < 2; k++) {
                const tally_estimate e = t->effect[f].level[l].mean[k];
                low[k] = fmin(low[k], e.share - e.error);
                high[k] = fmax(high[k], e.share + e.error);
            }
    write_head(to, t, height, "Main effects of the factors of a sweep, with error bars.");
    picture_words(to, 40.0, 70.0, "label", "start", "Means over all points of a level. Above: %s. Below: %s.",
                  t->of[REPORT_GAIN].output.long_name, t->of[REPORT_LOSS].output.long_name);
    for (int f = 0; f < n && isfinite(low[0]); f++) {
        const double left = 96.0 + step * (f % ACROSS), top = 120.0 + block * (f / ACROSS);
        const picture_axis gain = axis_of(low[0], high[0], top + panel, top, false);
        const picture_axis loss = axis_of(low[1], high[1], top + 2.0 * panel + 26.0, top + panel + 26.0, false);
        const store_sweep_factor *factor = &t->sweep->head.factor[f];
        picture_words(to, left, top - 12.0, "head", "start", "%.34s", factor->name);
        draw_effect(to, t, f, REPORT_GAIN, &gain, left, width);
        draw_effect(to, t, f, REPORT_LOSS, &loss, left, width);
        if (factor->units[0])
            picture_words(to, left + 0.5 * width, top + 2.0 * panel + 62.0, "label", "middle", "%s", factor->units);
        if (f % ACROSS == 0) {
            picture_upright(to, left - 52.0, top + 0.5 * panel, t->of[REPORT_GAIN].output.name);
            picture_upright(to, left - 52.0, top + 1.5 * panel + 26.0, t->of[REPORT_LOSS].output.name);
        }
    }
    write_foot(to, t, height,
               t->drawn ? "Bars: one standard error, the scatter of the other factors in it. They do not tell "
                          "what the model gets wrong."
                        : "Bars: one standard error of the sampling of droplets; they do not tell what the "
                          "model gets wrong.");
    fputs("</svg>\n", to);
}
