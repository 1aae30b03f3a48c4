/* sim/report/wind_section.c - the wind in the section across the rows. Arrows show what lies in the section, the wind
 * across and up; they are stretched as the heights are, so that they point along the way of the air as it is drawn. */
#include <math.h>
#include <stdlib.h>

#include "base/status.h"
#include "report/contour.h"
#include "report/wind_parts.h"

/* Lightness falls evenly from cream to a blue that black arrows still stand out on. */
static const char *const SHADE[WIND_MOST_BANDS] = {"#fdfaf1", "#f5f1e2", "#e9ebd9", "#d8e1d2", "#c5d5cc",
                                                   "#b1c9c7", "#9cbbc2", "#88abbc", "#769bb4", "#668bac"};

const char *wind_shade(const wind_scale *scale, int band)
{
    return SHADE[scale->n > 1 ? (band * (WIND_MOST_BANDS - 1) + (scale->n - 1) / 2) / (scale->n - 1) : 0];
}

enum { POINT_UNITS = 4, ARROW_UNITS = 37, ARROW_ROWS = 7 };
static const double HEAD = 4.2, LABEL_GAP = 13.0;

static double width_of(const picture *p)
{
    return p->right - p->left;
}

/* ---- bands and contours ---- */

/* Level speeds all over the section; value is NULL without memory. */
static contour_raster raster_of(const picture *p)
{
    contour_raster a = {.left = p->left, .right = p->right, .bottom = p->side_ground, .top = p->side_top};
    a.n_across = (int)(width_of(p) / POINT_UNITS) + 2;
    a.n_up = (int)((p->side_ground - p->side_top) / POINT_UNITS) + 2;
    a.value = malloc((size_t)a.n_across * (size_t)a.n_up * sizeof *a.value);
    for (int k = 0; a.value && k < a.n_up; k++)
        for (int i = 0; i < a.n_across; i++) {
            const double d_m = p->first_m + (p->last_m - p->first_m) * i / (a.n_across - 1);
            a.value[k * a.n_across + i] = wind_speed_at(p->r, wind_x_m(p, d_m), p->top_m * k / (a.n_up - 1));
        }
    return a;
}

static drupelet_status draw_bands(const picture *p, const wind_scale *scale)
{
    const contour_raster speed = raster_of(p);
    drupelet_status status = speed.value ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the picture");
    if (speed.value)
        fprintf(p->to, "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\"/>\n", p->left,
                p->side_top, width_of(p), p->side_ground - p->side_top, wind_shade(scale, 0));
    for (int band = 1; band < scale->n && status.code == DRUPELET_OK; band++) {
        fprintf(p->to, "<path class=\"contour\" style=\"fill:%s\" d=\"", wind_shade(scale, band));
        status = contour_rings(p->to, &speed, band * scale->step_m_s);
        fputs("\"/>\n", p->to);
    }
    free(speed.value);
    return status;
}

/* Numbers of the contours where they cross an upright, from above, as many as find room. */
static void label_contours(const picture *p, double step_m_s, double x)
{
    const double x_m = wind_x_m(p, p->first_m + (x - p->left) / p->scale);
    double last_y = p->side_top - LABEL_GAP;
    double above = wind_speed_at(p->r, x_m, p->top_m);
    for (double y = p->side_top + 1.0; y < p->side_ground - 4.0; y += 1.0) {
        const double here = wind_speed_at(p->r, x_m, (p->side_ground - y) / p->scale_up);
        const double level = floor(fmax(above, here) / step_m_s) * step_m_s;
        if (fmin(above, here) < level && y > p->side_top + 7.0 && y - last_y >= LABEL_GAP) {
            picture_words(p->to, x, y + 3.5, "number", "middle", "%g", level);
            last_y = y;
        }
        above = here;
    }
}

/* ---- arrows ---- */

void wind_arrow(FILE *to, double x, double y, double across, double up)
{
    const double length = sqrt(across * across + up * up);
    if (length < 1.0) {
        fprintf(to, "M%.1f %.1fh1", x, y);
        return;
    }
    const double head = fmin(HEAD, 0.6 * length) / length, tip_x = x + across, tip_y = y - up;
    fprintf(to, "M%.1f %.1fL%.1f %.1fM%.1f %.1fL%.1f %.1fL%.1f %.1f", x, y, tip_x, tip_y,
            tip_x - head * (across - 0.5 * up), tip_y + head * (up + 0.5 * across), tip_x, tip_y,
            tip_x - head * (across + 0.5 * up), tip_y + head * (up - 0.5 * across));
}

static void draw_arrows(const picture *p, double arrow)
{
    const int n = (int)(width_of(p) / ARROW_UNITS);
    fputs("<path class=\"arrow\" d=\"", p->to);
    for (int k = 0; k < ARROW_ROWS; k++)
        for (int i = 0; i < n; i++) {
            const double x = p->left + ARROW_UNITS * (i + 0.1 + 0.5 * (k % 2));
            const double z_m = p->top_m * (k + 0.4) / ARROW_ROWS;
            const double x_m = wind_x_m(p, p->first_m + (x - p->left) / p->scale);
            wind_arrow(p->to, x, picture_y(p, z_m),
                       p->downwind * arrow * wind_value_at(p->r, RUN_WIND_ACROSS, x_m, z_m),
                       arrow * p->scale_up / p->scale * wind_value_at(p->r, RUN_WIND_UP, x_m, z_m));
        }
    fputs("\"/>\n", p->to);
}

drupelet_status wind_section(const picture *p, const wind_scale *scale)
{
    fprintf(p->to, "<clipPath id=\"section\"><rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/></clipPath>\n",
            p->left, p->side_top, width_of(p), p->side_ground - p->side_top);
    fputs("<g clip-path=\"url(#section)\">\n", p->to);
    const drupelet_status status = draw_bands(p, scale);
    for (int row = 0; row < p->r->n_rows; row++)
        picture_outline(p, row);
    draw_arrows(p, scale->arrow);
    label_contours(p, scale->step_m_s, p->left + 0.055 * width_of(p));
    label_contours(p, scale->step_m_s, picture_x(p, 0.3 * p->last_m));
    label_contours(p, scale->step_m_s, picture_x(p, 0.8 * p->last_m));
    fputs("</g>\n", p->to);
    return status;
}
