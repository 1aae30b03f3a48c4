/* sim/report/picture.c - the sheet that all pictures share: its head, words, lines and axes. */
#include "report/picture.h"

#include <math.h>
#include <stdarg.h>

#include "base/axis.h"
#include "base/elementary.h"
#include "report/text.h"

const double PICTURE_SIZE_BELOW_UM[PICTURE_SIZES - 1] = {50.0, 100.0, 150.0, 250.0};
const char *const PICTURE_SIZE_COLOUR[PICTURE_SIZES] = {"#141b52", "#27589b", "#4f8f94", "#b3923f", "#dfae55"};
const char *const PICTURE_SIZE_DASH[PICTURE_SIZES] = {" stroke-dasharray=\"2.5 1.8\"", "", "", "", ""};
const double PICTURE_SIZE_WIDTH[PICTURE_SIZES] = {0.9, 0.8, 1.0, 1.4, 2.0};
const char *const PICTURE_SHADE[PICTURE_SHADES + 1] = {"#f6f7f1", "#e2ead6", "#c8d9b7",
                                                       "#aac694", "#8bb173", "#6c9b55"};

void picture_head(FILE *to, double height, const char *name, const char *what, const char *rules)
{
    fputs("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" ", to);
    if (height > 0.0)
        fprintf(to, "width=\"%d\" height=\"%.0f\" viewBox=\"0 0 %d %.0f\"", PICTURE_WIDTH, height, PICTURE_WIDTH,
                height);
    else
        fprintf(to, "width=\"297mm\" height=\"210mm\" viewBox=\"0 0 %d %d\"", PICTURE_WIDTH, PICTURE_HEIGHT);
    fputs(" role=\"img\">\n<title>", to);
    report_xml_text(to, name);
    fprintf(to, "</title>\n<desc>%s</desc>\n<style>\n", what);
    fputs("text{font-family:'Source Sans 3','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;"
          "fill:#222}\n", to);
    fputs(rules, to);
    fputs("</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n", to);
}

void picture_words(FILE *to, double x, double y, const char *class, const char *anchor, const char *format, ...)
{
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    fprintf(to, "<text class=\"%s\" text-anchor=\"%s\" x=\"%.1f\" y=\"%.1f\">", class, anchor, x, y);
    report_xml_text(to, text);
    fputs("</text>\n", to);
}

void picture_upright(FILE *to, double x, double y, const char *words)
{
    fprintf(to, "<g transform=\"translate(%.1f %.1f) rotate(-90)\">", x, y);
    picture_words(to, 0.0, 0.0, "label", "middle", "%s", words);
    fputs("</g>\n", to);
}

void picture_line(FILE *to, double x1, double y1, double x2, double y2, const char *class)
{
    fprintf(to, "<path class=\"%s\" d=\"M%.1f %.1fL%.1f %.1f\"/>\n", class, x1, y1, x2, y2);
}

double picture_distance_m(const picture *p, double x_m)
{
    return p->downwind > 0 ? x_m - p->r->block_high_x_m : p->r->block_low_x_m - x_m;
}

double picture_x(const picture *p, double distance_m)
{
    return p->left + (distance_m - p->first_m) * p->scale;
}

double picture_y(const picture *p, double z_m)
{
    return p->side_ground - z_m * p->scale_up;
}

int picture_size_class(double diameter_um)
{
    int class = 0;
    while (class < PICTURE_SIZES - 1 && diameter_um >= PICTURE_SIZE_BELOW_UM[class])
        class++;
    return class;
}

/* ---- axes ---- */

double picture_on(const picture_axis *a, double value)
{
    const double v = a->logarithmic ? base_log10(fmax(value, 1e-300)) : value;
    return a->at_low + (a->at_high - a->at_low) * fmin(fmax(v - a->low, 0.0), a->high - a->low) / (a->high - a->low);
}

picture_axis picture_decades(double least, double most, int most_decades, double at_low, double at_high)
{
    picture_axis a = {.at_low = at_low, .at_high = at_high, .low = -1.0, .high = 1.0, .step = 1.0, .logarithmic = true};
    if (most > 0.0) {
        a.high = ceil(base_log10(most) - 1e-9);
        a.low = fmax(fmin(floor(base_log10(least)), a.high - 1.0), a.high - most_decades);
    }
    return a;
}

static double first_tick(const picture_axis *a)
{
    return ceil(a->low / a->step - 1e-9);
}

int picture_ticks(const picture_axis *a)
{
    const double n = floor(a->high / a->step - first_tick(a) + 1e-9) + 1.0;
    return n >= 1.0 ? (int)fmin(n, PICTURE_MARKS) : 0; /* not a number: none */
}

double picture_tick(const picture_axis *a, int i)
{
    const double v = a->step * (first_tick(a) + i);
    return a->logarithmic ? base_pow(10.0, v) : v + 0.0; /* no -0 */
}

void picture_ticks_up(FILE *to, const picture_axis *a, double x1, double x2, const char *class, double words_x)
{
    const int n = picture_ticks(a);
    for (int i = 0; i < n; i++) {
        const double y = picture_on(a, picture_tick(a, i));
        picture_line(to, x1, y, x2, y, class);
        picture_words(to, words_x, y + 4.0, "tick", "end", "%g", picture_tick(a, i));
    }
}

void picture_ticks_across(FILE *to, const picture_axis *a, double y1, double y2, const char *class, double words_y)
{
    const int n = picture_ticks(a);
    for (int i = 0; i < n; i++) {
        const double x = picture_on(a, picture_tick(a, i));
        picture_line(to, x, y1, x, y2, class);
        picture_words(to, x, words_y, "tick", "middle", "%g", picture_tick(a, i));
    }
}
