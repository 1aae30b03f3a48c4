/* sim/report/fan_picture.c - the air around the sprayer on one pass: the highest speed that each place of a section
 * across the rows feels as the sprayer goes by, the speed from above at one height, and the highest speed along the
 * section at heights, with what of it reaches the near side, the middle and the far side of the rows beside. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/axis.h"
#include "base/elementary.h"
#include "base/status.h"
#include "report/contour.h"
#include "report/fan_parts.h"
#include "report/wind_parts.h"

enum { LEVELS = 9, HEIGHTS = 4, ARROW_UNITS = 26 };
/* Borders of the bands, m/s: about even in the logarithm, since jets lose most of their speed close to the outlets. */
static const double LEVEL[LEVELS] = {0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0, 15.0};
static const wind_scale BANDS = {.n = LEVELS + 1};
static const double PER_ROOT = 9.0; /* length of an arrow over the root of its speed in m/s */
/* Place of the two maps and of the lines on the sheet. */
static const double LEFT = 80.0, RIGHT = 1146.0, GAP = 74.0, MAP_TOP = 150.0, MOST_HIGH = 296.0;
static const double LINES_TOP = 520.0, LINES_BOTTOM = 704.0, LINES_RIGHT = 716.0, TABLE_LEFT = 762.0;
static const double HALF_MACHINE_M = 0.5; /* of its mark, seen from above; choice */

static const char style[] =
    ".title{font-size:23px;font-weight:bold}.head{font-size:13.5px;font-weight:bold}.label{font-size:12.5px}\n"
    ".tick{font-size:11.5px;fill:#333}.small{font-size:11px}.note{font-size:11px;fill:#333}\n"
    ".caution{font-size:12px;font-weight:bold}path{fill:none}.axis{stroke:#444;stroke-width:1}\n"
    ".grid{stroke:#dcdcdc;stroke-width:0.8}.ground{stroke:#4a3f33;stroke-width:2.2}\n"
    ".edge{stroke:#333;stroke-width:1;stroke-dasharray:6 4}.row{fill:#dfe6d6}\n"
    ".crown{stroke:#40592f;stroke-width:1.1;stroke-linejoin:round;fill:#40592f;fill-opacity:0.16}\n"
    ".trunk{stroke:#6b5b4a;stroke-width:2}.contour{stroke:#3f5560;stroke-width:0.7;fill-rule:evenodd}\n"
    ".arrow{stroke:#111;stroke-width:1;stroke-linecap:round;stroke-linejoin:round}\n"
    ".machine{fill:#fff;stroke:#8a3b12;stroke-width:2}\n";
static const char *const LINE[HEIGHTS] = {
    "stroke=\"#8a3b12\" stroke-width=\"2.4\"", "stroke=\"#b3701c\" stroke-width=\"1.7\" stroke-dasharray=\"8 3\"",
    "stroke=\"#27589b\" stroke-width=\"1.9\" stroke-dasharray=\"2.5 2.5\"", "stroke=\"#141b52\" stroke-width=\"1.3\""};

/* ---- the air ---- */

static size_t node(const drupelet_result *r, int i, int j, int k)
{
    return ((size_t)k * (size_t)r->fan_ny + (size_t)j) * (size_t)r->fan_nx + (size_t)i;
}

static double component(const drupelet_result *r, run_fan_value which, int i, int j, int k)
{
    return (double)r->fan_value[which][node(r, i, j, k)];
}

double fan_speed_at_node(const drupelet_result *r, int i, int j, int k)
{
    return base_hypot(base_hypot(component(r, RUN_FAN_ACROSS, i, j, k), component(r, RUN_FAN_ALONG, i, j, k)),
                      component(r, RUN_FAN_UP, i, j, k));
}

/* Where along the travel the air is fastest. */
static int fastest(const drupelet_result *r, int i, int k)
{
    int best = 0;
    double most = -1.0;
    for (int j = 0; j < r->fan_ny; j++)
        if (fan_speed_at_node(r, i, j, k) > most) {
            most = fan_speed_at_node(r, i, j, k);
            best = j;
        }
    return best;
}

/* The node below a place on an even axis, of those that have one above them, and the share of that one. */
static int below(int n, const double *at, double place, double *share)
{
    const double f = fmin(fmax((place - at[0]) / (at[1] - at[0]), 0.0), n - 1.0);
    const int i = (int)fmin(floor(f), n - 2.0);
    *share = f - i;
    return i;
}

double fan_highest_speed(const drupelet_result *r, double x_m, double z_m)
{
    double across, up, sum = 0.0;
    const int i = below(r->fan_nx, r->fan_x_m, x_m, &across), k = below(r->fan_nz, r->fan_z_m, z_m, &up);
    for (int c = 0; c < 4; c++) {
        const int di = c % 2, dk = c / 2;
        sum += (di ? across : 1.0 - across) * (dk ? up : 1.0 - up)
               * fan_speed_at_node(r, i + di, fastest(r, i + di, k + dk), k + dk);
    }
    return sum;
}

static void set_heights(const drupelet_result *r, double height_m[HEIGHTS])
{
    const double top_m = r->canopy_height_m, share[HEIGHTS] = {0.25, 0.5, 0.75, 1.0};
    for (int h = 0; h < HEIGHTS; h++)
        height_m[h] = fmin(share[h] * top_m, r->fan_z_m[r->fan_nz - 1]);
}

/* ---- maps ---- */

/* Two axes of the air on the sheet: across always with downwind on the right. */
typedef struct {
    FILE *to;
    const drupelet_result *r;
    int sense; /* 1: x rises to the right */
    double left, right, bottom, top;
    double scale; /* units a metre */
} map;

static double map_x(const map *m, double x_m)
{
    const double from_m = m->sense > 0 ? x_m - m->r->fan_x_m[0] : m->r->fan_x_m[m->r->fan_nx - 1] - x_m;
    return m->left + m->scale * from_m;
}

/* Node from the left. */
static int from_left(const map *m, int n)
{
    return m->sense > 0 ? n : m->r->fan_nx - 1 - n;
}

static drupelet_status draw_bands(const map *m, const contour_raster *speed)
{
    drupelet_status status = speed->value ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the picture");
    if (!speed->value) return status;
    fprintf(m->to, "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\"/>\n", m->left, m->top,
            m->right - m->left, m->bottom - m->top, wind_shade(&BANDS, 0));
    for (int level = 0; level < LEVELS && status.code == DRUPELET_OK; level++) {
        fprintf(m->to, "<path class=\"contour\" style=\"fill:%s\" d=\"", wind_shade(&BANDS, level + 1));
        status = contour_rings(m->to, speed, LEVEL[level]);
        fputs("\"/>\n", m->to);
    }
    return status;
}

static void draw_arrow(const map *m, double x, double y, double across_m_s, double up_m_s)
{
    const double speed_m_s = base_hypot(across_m_s, up_m_s), per_speed = PER_ROOT / sqrt(fmax(speed_m_s, 1e-6));
    wind_arrow(m->to, x, y, m->sense * per_speed * across_m_s, per_speed * up_m_s);
}

/* Nodes from one arrow to the next. */
static int arrow_step(const map *m, const double *at_m)
{
    return (int)fmax(ceil(ARROW_UNITS / (m->scale * (at_m[1] - at_m[0]))), 1.0);
}

static void begin_map(const map *m, const char *clip)
{
    fprintf(m->to, "<clipPath id=\"%s\"><rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/></clipPath>\n",
            clip, m->left, m->top, m->right - m->left, m->bottom - m->top);
    fprintf(m->to, "<g clip-path=\"url(#%s)\">\n", clip);
}

static contour_raster raster_of(const map *m, int n_up)
{
    return (contour_raster){.n_across = m->r->fan_nx,
                            .n_up = n_up,
                            .value = malloc((size_t)m->r->fan_nx * (size_t)n_up * sizeof(double)),
                            .left = m->left,
                            .right = m->right,
                            .bottom = m->bottom,
                            .top = m->top};
}

/* Distances from the sprayer's centre line under a map. */
static void scale_across(const map *m, double y)
{
    const drupelet_result *r = m->r;
    const double low_m = r->fan_x_m[0] - r->fan_sprayer_x_m, high_m = r->fan_x_m[r->fan_nx - 1] - r->fan_sprayer_x_m;
    picture_axis x = {.at_low = m->left,
                      .at_high = m->right,
                      .low = m->sense > 0 ? low_m : -high_m,
                      .high = m->sense > 0 ? high_m : -low_m};
    x.step = base_round_step(x.high - x.low, 8.0);
    picture_ticks_across(m->to, &x, y, y + 5.0, "axis", y + 18.0);
}

static drupelet_status draw_section(const map *m)
{
    const drupelet_result *r = m->r;
    contour_raster speed = raster_of(m, r->fan_nz);
    for (int k = 0; speed.value && k < r->fan_nz; k++)
        for (int n = 0; n < r->fan_nx; n++) {
            const int i = from_left(m, n);
            speed.value[k * r->fan_nx + n] = fan_speed_at_node(r, i, fastest(r, i, k), k);
        }
    picture_words(m->to, m->left, m->top - 9.0, "head", "start", "As the sprayer goes by: highest speed, and its way");
    begin_map(m, "section");
    const drupelet_status status = draw_bands(m, &speed);
    free(speed.value);
    picture p = {.to = m->to, .r = r, .left = m->left, .right = m->right, .side_top = m->top, .side_ground = m->bottom};
    p.downwind = m->sense;
    p.scale = p.scale_up = m->scale;
    p.first_m = picture_distance_m(&p, r->fan_x_m[m->sense > 0 ? 0 : r->fan_nx - 1]);
    for (int row = 0; row < r->n_rows; row++)
        if (r->row[row].x_m > r->fan_x_m[0] - r->canopy_width_m
            && r->row[row].x_m < r->fan_x_m[r->fan_nx - 1] + r->canopy_width_m)
            picture_outline(&p, row);
    fputs("<path class=\"arrow\" d=\"", m->to);
    const int step = arrow_step(m, r->fan_x_m);
    for (int k = step / 2; k < r->fan_nz; k += step)
        for (int n = step / 2; n < r->fan_nx; n += step) {
            const int i = from_left(m, n), j = fastest(r, i, k);
            draw_arrow(m, map_x(m, r->fan_x_m[i]), m->bottom - m->scale * r->fan_z_m[k],
                       component(r, RUN_FAN_ACROSS, i, j, k), component(r, RUN_FAN_UP, i, j, k));
        }
    fputs("\"/>\n</g>\n", m->to);
    const double top_m = r->fan_z_m[r->fan_nz - 1];
    const picture_axis z = {.at_low = m->bottom, .at_high = m->top, .high = top_m, .step = base_round_step(top_m, 6.0)};
    picture_ticks_up(m->to, &z, m->left - 5.0, m->left, "axis", m->left - 9.0);
    picture_line(m->to, m->left, m->bottom, m->right, m->bottom, "ground");
    picture_upright(m->to, m->left - 36.0, 0.5 * (m->top + m->bottom), "height, m");
    scale_across(m, m->bottom);
    return status;
}

/* The value between two layers of nodes. */
static double at_height(const drupelet_result *r, run_fan_value which, int i, int j, int k, double share)
{
    return (1.0 - share) * component(r, which, i, j, k) + share * component(r, which, i, j, k + 1);
}

static drupelet_status draw_from_above(const map *m, double height_m)
{
    const drupelet_result *r = m->r;
    double share;
    const int k = below(r->fan_nz, r->fan_z_m, height_m, &share);
    contour_raster speed = raster_of(m, r->fan_ny);
    for (int j = 0; speed.value && j < r->fan_ny; j++)
        for (int n = 0; n < r->fan_nx; n++) {
            const int i = from_left(m, n);
            speed.value[j * r->fan_nx + n] =
                (1.0 - share) * fan_speed_at_node(r, i, j, k) + share * fan_speed_at_node(r, i, j, k + 1);
        }
    picture_words(m->to, m->left, m->top - 9.0, "head", "start", "From above, at a height of %.3g m", height_m);
    begin_map(m, "above");
    const drupelet_status status = draw_bands(m, &speed);
    free(speed.value);
    for (int row = 0; row < r->n_rows; row++) {
        const double x1 = map_x(m, r->row[row].x_m - 0.5 * r->canopy_width_m),
                     x2 = map_x(m, r->row[row].x_m + 0.5 * r->canopy_width_m);
        fprintf(m->to, "<rect class=\"crown\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n", fmin(x1, x2),
                m->top, fabs(x2 - x1), m->bottom - m->top);
    }
    fputs("<path class=\"arrow\" d=\"", m->to);
    const int step = arrow_step(m, r->fan_x_m);
    for (int j = step / 2; j < r->fan_ny; j += step)
        for (int n = step / 2; n < r->fan_nx; n += step) {
            const int i = from_left(m, n);
            draw_arrow(m, map_x(m, r->fan_x_m[i]), m->bottom - m->scale * (r->fan_y_m[j] - r->fan_y_m[0]),
                       at_height(r, RUN_FAN_ACROSS, i, j, k, share), at_height(r, RUN_FAN_ALONG, i, j, k, share));
        }
    const double x = map_x(m, r->fan_sprayer_x_m), y = m->bottom + m->scale * r->fan_y_m[0],
                 half = m->scale * HALF_MACHINE_M;
    fprintf(m->to, "\"/>\n<path class=\"machine\" d=\"M%.1f %.1fV%.1fL%.1f %.1fL%.1f %.1fV%.1fZ\"/>\n</g>\n", x - half,
            y + 0.4 * half, y - half, x, y - 2.0 * half, x + half, y - half, y + 0.4 * half);
    const picture_axis along = {.at_low = m->bottom,
                                .at_high = m->top,
                                .low = r->fan_y_m[0],
                                .high = r->fan_y_m[r->fan_ny - 1],
                                .step = base_round_step(r->fan_y_m[r->fan_ny - 1] - r->fan_y_m[0], 7.0)};
    picture_ticks_up(m->to, &along, m->left - 5.0, m->left, "axis", m->left - 9.0);
    picture_line(m->to, m->left, m->bottom, m->left, m->top, "axis");
    picture_upright(m->to, m->left - 36.0, 0.5 * (m->top + m->bottom), "ahead of the outlets, m");
    scale_across(m, m->bottom);
    return status;
}

/* ---- lines and table ---- */

static void draw_lines(const map *m)
{
    const drupelet_result *r = m->r;
    double height_m[HEIGHTS], most = 0.0;
    set_heights(r, height_m);
    for (int i = 0; i < r->fan_nx; i++)
        for (int h = 0; h < HEIGHTS; h++)
            most = fmax(most, fan_highest_speed(r, r->fan_x_m[i], height_m[h]));
    const picture_axis y = picture_decades(0.3, most, 3, m->bottom, m->top);
    picture_words(m->to, m->left, m->top - 27.0, "head", "start",
                  "Highest speed as the sprayer goes by, m/s, at heights");
    for (int row = 0; row < r->n_rows; row++) {
        const double x1 = fmin(fmax(map_x(m, r->row[row].x_m - 0.5 * r->canopy_width_m), m->left), m->right),
                     x2 = fmin(fmax(map_x(m, r->row[row].x_m + 0.5 * r->canopy_width_m), m->left), m->right);
        if (fabs(x2 - x1) > 0.5)
            fprintf(m->to, "<rect class=\"row\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n", fmin(x1, x2),
                    m->top, fabs(x2 - x1), m->bottom - m->top);
    }
    picture_ticks_up(m->to, &y, m->left, m->right, "grid", m->left - 8.0);
    for (int h = 0; h < HEIGHTS; h++) {
        const double key_x = m->left + 104.0 * h;
        fprintf(m->to, "<path %s d=\"", LINE[h]);
        for (int n = 0; n < r->fan_nx; n++) {
            const double x_m = r->fan_x_m[from_left(m, n)], speed_m_s = fan_highest_speed(r, x_m, height_m[h]);
            fprintf(m->to, "%s%.1f %.1f", n > 0 ? "L" : "M", map_x(m, x_m), picture_on(&y, fmax(speed_m_s, 1e-9)));
        }
        fprintf(m->to, "\"/>\n<path %s d=\"M%.1f %.1fh36\"/>\n", LINE[h], key_x, m->top - 12.0);
        picture_words(m->to, key_x + 42.0, m->top - 8.0, "label", "start", "%.2g m", height_m[h]);
    }
    picture_line(m->to, m->left, m->bottom, m->right, m->bottom, "axis");
    picture_line(m->to, m->left, m->top, m->left, m->bottom, "axis");
    scale_across(m, m->bottom);
    picture_words(m->to, 0.5 * (m->left + m->right), m->bottom + 35.0, "label", "middle",
                  "across the rows from the sprayer's centre line, m; downwind on the right");
}

/* What reaches the rows on either side. */
static void draw_table(const map *m, double top)
{
    static const char *const PLACE[] = {"near side", "middle", "far side"};
    static const double COLUMN[HEIGHTS] = {196.0, 258.0, 320.0, 382.0};
    const drupelet_result *r = m->r;
    double height_m[HEIGHTS], y = top;
    set_heights(r, height_m);
    picture_words(m->to, TABLE_LEFT, y - 27.0, "head", "start", "Highest speed at the rows beside, m/s");
    for (int h = 0; h < HEIGHTS; h++)
        picture_words(m->to, TABLE_LEFT + COLUMN[h], y - 4.0, "label", "end", "%.2g m", height_m[h]);
    for (int side = -1; side <= 1; side += 2) { /* upwind first */
        const int sense = side * m->sense;
        const double row_x_m = r->fan_sprayer_x_m + 0.5 * sense * r->row_spacing_m;
        bool there = false;
        for (int row = 0; row < r->n_rows; row++)
            there = there || fabs(r->row[row].x_m - row_x_m) < 0.25 * r->row_spacing_m;
        picture_words(m->to, TABLE_LEFT, y += 20.0, "label", "start", "%s side%s", side < 0 ? "upwind" : "downwind",
                      there ? "" : ": no row");
        for (int place = 0; place < 3; place++) {
            picture_words(m->to, TABLE_LEFT + 14.0, y += 18.0, "label", "start", "%s%s", PLACE[place],
                          place == 0 ? " of the row" : "");
            for (int h = 0; h < HEIGHTS; h++)
                picture_words(
                    m->to, TABLE_LEFT + COLUMN[h], y, "label", "end", "%.2g",
                    fan_highest_speed(r, row_x_m + 0.5 * sense * (place - 1) * r->canopy_width_m, height_m[h]));
        }
    }
}

static void write_key(FILE *to)
{
    const double y = 92.0, width = 46.0;
    double x = LEFT;
    picture_words(to, x, y + 11.0, "head", "start", "Speed over the ground, m/s");
    x += 200.0;
    for (int band = 0; band < BANDS.n; band++) {
        fprintf(to,
                "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"13\" fill=\"%s\" stroke=\"#3f5560\" "
                "stroke-width=\"0.7\"/>\n",
                x + width * band, y, width, wind_shade(&BANDS, band));
        if (band > 0) picture_words(to, x + width * band, y + 25.0, "tick", "middle", "%g", LEVEL[band - 1]);
    }
    x += width * BANDS.n + 30.0;
    for (int i = 0; i < 2; i++, x += 118.0) {
        const double speed_m_s = i ? 9.0 : 1.0, length = PER_ROOT * sqrt(speed_m_s);
        fputs("<path class=\"arrow\" d=\"", to);
        wind_arrow(to, x, y + 7.0, length, 0.0);
        fputs("\"/>\n", to);
        picture_words(to, x + length + 7.0, y + 11.0, "label", "start", "%g m/s", speed_m_s);
    }
}

static void write_words(FILE *to, const drupelet_result *r)
{
    picture_words(to, 40.0, 46.0, strlen(r->name) > 60 ? "head" : "title", "start", "%.150s", r->name);
    picture_words(to, 40.0, 66.0, "label", "start",
                  "The air around the sprayer on its middle pass, wind and fan together: fan at %.4g rpm, %.3g m3/s, "
                  "travel %.3g km/h.",
                  r->fan_speed_rpm, r->fan_flow_m3_s, r->travel_speed_km_h);
    const double y = 776.0;
    picture_line(to, 40.0, y - 18.0, 1146.0, y - 18.0, "grid");
    picture_words(to, 40.0, y, "note", "start",
                  "Means over time, as the droplets of the run met them. From above the sprayer drives up the sheet, "
                  "and its air streams away behind it. Arrows grow with the root of the speed.");
    picture_words(to, 40.0, y + 15.0, "note", "start",
                  "%s Rows %.3g m apart, crown from %.3g to %.3g m high and %.3g m wide. drupelet %s%s%s.",
                  fan_air_words(r), r->row_spacing_m, r->canopy_base_m, r->canopy_height_m, r->canopy_width_m,
                  r->version, r->place[0] != '\0' ? "; " : "", r->place);
    picture_words(to, 40.0, 820.0, "caution", "start", "%s", r->caution);
}

/* A map of so many metres in a frame, as large as fits. */
static map lay_out(FILE *to, const drupelet_result *r, double left, double right, double across_m, double up_m)
{
    map m = {.to = to, .r = r, .left = left, .top = MAP_TOP};
    m.sense = r->n_ground < 2 || r->ground_distance_m[1] > r->ground_distance_m[0] ? 1 : -1;
    m.scale = fmin((right - left) / across_m, MOST_HIGH / up_m);
    m.right = left + m.scale * across_m;
    m.bottom = MAP_TOP + m.scale * up_m;
    return m;
}

drupelet_status fan_picture(FILE *to, const drupelet_result *r)
{
    const double half = 0.5 * (RIGHT - LEFT - GAP), across_m = r->fan_x_m[r->fan_nx - 1] - r->fan_x_m[0];
    const map section = lay_out(to, r, LEFT, LEFT + half, across_m, r->fan_z_m[r->fan_nz - 1]);
    const map above = lay_out(to, r, LEFT + half + GAP, RIGHT, across_m, r->fan_y_m[r->fan_ny - 1] - r->fan_y_m[0]);
    map lines = lay_out(to, r, LEFT, LINES_RIGHT, across_m, 0.0);
    lines.scale = (LINES_RIGHT - LEFT) / across_m;
    lines.right = LINES_RIGHT;
    lines.top = LINES_TOP;
    lines.bottom = LINES_BOTTOM;
    picture_head(to, 0.0, r->name,
                 "The air of the fan on one pass: highest speed in a section across the rows, speed from above, and "
                 "what reaches the rows.",
                 style);
    write_words(to, r);
    write_key(to);
    drupelet_status status = draw_section(&section);
    if (status.code == DRUPELET_OK) status = draw_from_above(&above, 0.5 * r->canopy_height_m);
    draw_lines(&lines);
    draw_table(&lines, LINES_TOP);
    fputs("</svg>\n", to);
    return status;
}
