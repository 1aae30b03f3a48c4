/* sim/report/wind_lines.c - the speed of the wind along the section at four heights, and its profiles at places. */
#include <math.h>

#include "base/axis.h"
#include "report/wind_parts.h"

static const double STEP = 3.0, KEY_STEP = 104.0; /* between points of a line; between entries of the key */
enum { PROFILE_POINTS = 60, MOST_RATIO = 100 };

static const char *const LINE[WIND_HEIGHTS] = {
    "stroke=\"#8a3b12\" stroke-width=\"2.4\"", "stroke=\"#b3701c\" stroke-width=\"1.7\" stroke-dasharray=\"8 3\"",
    "stroke=\"#27589b\" stroke-width=\"1.9\" stroke-dasharray=\"2.5 2.5\"", "stroke=\"#141b52\" stroke-width=\"1.3\""};

/* Over the open ground and low crops of leaves, at half a metre, one and two; and the top of the trees, or 3 m where
 * that is no higher than the other lines. */
static void set_heights(const drupelet_result *r, double height_m[WIND_HEIGHTS])
{
    const double top_m = r->canopy_height_m;
    height_m[0] = 0.5;
    height_m[1] = 1.0;
    height_m[2] = 2.0;
    height_m[3] = fmin(top_m > 2.2 ? top_m : 3.0, r->wind_z_m[r->wind_nz - 1]);
}

/* Held to what an axis can show, whatever a file says. */
static double ratio_at(const picture *p, double distance_m, double z_m)
{
    const double open_m_s = wind_open_at(p, z_m);
    return open_m_s > 0.0 ? fmin(wind_speed_at(p->r, wind_x_m(p, distance_m), z_m) / open_m_s, MOST_RATIO) : 0.0;
}

static void shade_rows(const picture *p, double top, double bottom)
{
    const drupelet_result *r = p->r;
    for (int row = 0; row < r->n_rows; row++) {
        const double d_m = picture_distance_m(p, r->row[row].x_m);
        fprintf(p->to, "<rect class=\"row\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n",
                picture_x(p, d_m - 0.5 * r->canopy_width_m), top, r->canopy_width_m * p->scale, bottom - top);
    }
}

void wind_lines(const picture *p, double top, double bottom)
{
    double height_m[WIND_HEIGHTS], most = 1.0;
    set_heights(p->r, height_m);
    picture_words(p->to, p->left, top - 9.0, "head", "start", "Speed over that of the open ground ahead, at heights");
    if (!(wind_open_at(p, height_m[0]) > 0.0)) {
        picture_words(p->to, 0.5 * (p->left + p->right), 0.5 * (top + bottom), "label", "middle",
                      "There is no wind ahead to compare with.");
        return;
    }
    for (double x = p->left; x <= p->right; x += STEP)
        for (int h = 0; h < WIND_HEIGHTS; h++)
            most = fmax(most, ratio_at(p, p->first_m + (x - p->left) / p->scale, height_m[h]));
    picture_axis y = {.at_low = bottom, .at_high = top, .step = base_round_step(most, 5.0)};
    y.high = y.step * ceil(most / y.step + 0.2); /* the open wind's own line has room above it */
    const picture_axis x = {.at_low = p->left,
                            .at_high = p->right,
                            .low = p->first_m,
                            .high = p->last_m,
                            .step = base_round_step(p->last_m - p->first_m, 13.0)};
    shade_rows(p, top, bottom);
    picture_ticks_up(p->to, &y, p->left, p->right, "grid", p->left - 8.0);
    picture_ticks_across(p->to, &x, bottom, bottom + 5.0, "axis", bottom + 18.0);
    picture_line(p->to, p->left, bottom, p->right, bottom, "axis");
    picture_line(p->to, p->left, top, p->left, bottom, "axis");
    picture_upright(p->to, p->left - 44.0, 0.5 * (top + bottom), "speed / open");
    picture_words(p->to, 0.5 * (p->left + p->right), bottom + 35.0, "label", "middle",
                  "distance downwind of the block, m (negative: in it, or upwind)");
    for (int h = 0; h < WIND_HEIGHTS; h++) {
        const double key_x = p->right - KEY_STEP * (WIND_HEIGHTS - h) + 20.0;
        fprintf(p->to, "<path %s d=\"", LINE[h]);
        for (double at = p->left; at <= p->right; at += STEP)
            fprintf(p->to, "%s%.1f %.1f", at > p->left ? "L" : "M", at,
                    picture_on(&y, ratio_at(p, p->first_m + (at - p->left) / p->scale, height_m[h])));
        fprintf(p->to, "\"/>\n<path %s d=\"M%.1f %.1fh36\"/>\n", LINE[h], key_x, top - 13.0);
        picture_words(p->to, key_x + 42.0, top - 9.0, "label", "start", "%.3g m", height_m[h]);
    }
}

/* ---- profiles ---- */

typedef enum { OPEN, DEVIATION, SPEED, CURVES } curve; /* in the order in which they are drawn */

static const char *const CURVE[CURVES] = {"stroke=\"#8d8d8d\" stroke-width=\"2.6\"",
                                          "stroke=\"#b3701c\" stroke-width=\"1.7\" stroke-dasharray=\"2.5 2.5\"",
                                          "stroke=\"#141b52\" stroke-width=\"1.8\""};
static const char *const CURVE_NAME[CURVES] = {"speed over the open ground ahead",
                                               "standard deviation of the upward wind", "speed"};

static double value_of(const picture *p, curve which, double x_m, double z_m)
{
    return which == OPEN    ? wind_open_at(p, z_m)
           : which == SPEED ? wind_speed_at(p->r, x_m, z_m)
                            : wind_value_at(p->r, RUN_WIND_SIGMA_UP, x_m, z_m);
}

static double height_at(const picture *p, int i)
{
    return p->top_m * i / (PROFILE_POINTS - 1);
}

static void draw_key(const picture *p, double y)
{
    static const double KEY[CURVES] = {562.0, 822.0, 466.0};
    picture_words(p->to, p->left, y, "head", "start", "Profiles at the places A, B, ... of the section, m/s");
    for (curve c = OPEN; c < CURVES; c++) {
        fprintf(p->to, "<path %s d=\"M%.1f %.1fh36\"/>\n", CURVE[c], KEY[c], y - 4.0);
        picture_words(p->to, KEY[c] + 42.0, y, "label", "start", "%s", CURVE_NAME[c]);
    }
}

void wind_profiles(const picture *p, const wind_place *place, int n, double top, double bottom)
{
    const double pitch = (p->right - p->left) / n, width = fmin(pitch - 34.0, 190.0);
    const picture_axis z = {.at_low = bottom, .at_high = top, .high = p->top_m, .step = base_round_step(p->top_m, 5.0)};
    double most = 0.0;
    for (int i = 0; i < n * PROFILE_POINTS; i++)
        for (curve c = OPEN; c < CURVES; c++)
            most = fmax(most, value_of(p, c, wind_x_m(p, place[i / PROFILE_POINTS].distance_m),
                                       height_at(p, i % PROFILE_POINTS)));
    const double step = most > 0.0 ? base_round_step(most, 4.0) : 1.0;
    draw_key(p, top - 26.0);
    for (int i = 0; i < n; i++) {
        const double left = p->left + i * pitch;
        const picture_axis x = {
            .at_low = left, .at_high = left + width, .step = step, .high = step * fmax(ceil(most / step - 0.02), 1.0)};
        picture_words(p->to, left, top - 7.0, "label", "start", "%c: %s", 'A' + i, place[i].words);
        picture_ticks_up(p->to, &z, left, left + width, "grid", left - 6.0);
        picture_ticks_across(p->to, &x, bottom, bottom + 4.0, "axis", bottom + 16.0);
        picture_line(p->to, left, bottom, left + width, bottom, "ground");
        picture_line(p->to, left, top, left, bottom, "axis");
        const double crown_y = picture_on(&z, p->r->canopy_height_m);
        picture_line(p->to, left, crown_y, left + width, crown_y, "edge");
        for (curve c = OPEN; c < CURVES; c++) {
            fprintf(p->to, "<path %s d=\"", CURVE[c]);
            for (int k = 0; k < PROFILE_POINTS; k++)
                fprintf(p->to, "%s%.1f %.1f", k > 0 ? "L" : "M",
                        picture_on(&x, value_of(p, c, wind_x_m(p, place[i].distance_m), height_at(p, k))),
                        picture_on(&z, height_at(p, k)));
            fputs("\"/>\n", p->to);
        }
    }
    picture_upright(p->to, p->left - 44.0, 0.5 * (top + bottom), "height, m");
}
