/* sim/report/wind_picture.c - lays out the picture of the wind: the section across the rows with its key, the speed at
 * four heights on the same axis, profiles at places, what wind it is, and the caution. Left out: the fan's air. */
#include <math.h>
#include <string.h>

#include "base/axis.h"
#include "base/status.h"
#include "report/wind_parts.h"

/* What is shown around the block, in heights of the trees; choices: the wind has slowed behind it within the first, and
 * mostly come back within the second. */
static const double AHEAD_HEIGHTS = 8.0, BEHIND_HEIGHTS = 20.0, TOP_HEIGHTS = 3.0, LEAST_TOP_M = 6.0;
static const double SECTION_TOP = 132.0, SECTION_GROUND = 318.0, LINES_TOP = 368.0, LINES_BOTTOM = 472.0;
static const double PROFILES_TOP = 562.0, PROFILES_BOTTOM = 690.0, ARROW = 34.0, ROW_NAME_UNITS = 16.0;

/* What the common rules of picture_head() leave to this picture. */
static const char style[] =
    ".title{font-size:23px;font-weight:bold}.head{font-size:13.5px;font-weight:bold}.label{font-size:12.5px}\n"
    ".tick{font-size:11.5px;fill:#333}.small{font-size:11px}.note{font-size:11px;fill:#333}\n"
    ".number{font-size:11.5px;paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}\n"
    ".caution{font-size:12px;font-weight:bold}path{fill:none}.axis{stroke:#444;stroke-width:1}\n"
    ".grid{stroke:#dcdcdc;stroke-width:0.8}.ground{stroke:#4a3f33;stroke-width:2.2}\n"
    ".edge{stroke:#333;stroke-width:1;stroke-dasharray:6 4}.place{stroke:#333;stroke-width:0.8;stroke-dasharray:1 3}\n"
    ".crown{stroke:#40592f;stroke-width:1.1;stroke-linejoin:round;fill:#40592f;fill-opacity:0.16}\n"
    ".trunk{stroke:#6b5b4a;stroke-width:2}.row{fill:#dfe6d6}.contour{stroke:#3f5560;stroke-width:0.7;fill-rule:evenodd}"
    "\n"
    ".arrow{stroke:#111;stroke-width:1;stroke-linecap:round;stroke-linejoin:round}\n";

static picture lay_out(FILE *to, const drupelet_result *r)
{
    picture p = {
        .to = to, .r = r, .left = 104.0, .right = 1146.0, .side_top = SECTION_TOP, .side_ground = SECTION_GROUND};
    const double h_m = r->canopy_height_m, block_m = r->block_high_x_m - r->block_low_x_m;
    p.downwind = r->n_ground < 2 || r->ground_distance_m[1] > r->ground_distance_m[0] ? 1 : -1;
    const int up = p.downwind > 0 ? 0 : r->wind_nx - 1, down = p.downwind > 0 ? r->wind_nx - 1 : 0;
    p.first_m = fmax(-block_m - AHEAD_HEIGHTS * h_m, picture_distance_m(&p, r->wind_x_m[up]));
    p.last_m = fmin(BEHIND_HEIGHTS * h_m, picture_distance_m(&p, r->wind_x_m[down]));
    p.top_m = fmin(fmax(TOP_HEIGHTS * h_m, LEAST_TOP_M), r->wind_z_m[r->wind_nz - 1]);
    p.scale = (p.right - p.left) / (p.last_m - p.first_m);
    p.scale_up = (p.side_ground - p.side_top) / p.top_m;
    return p;
}

static void write_title(const picture *p)
{
    const drupelet_result *r = p->r;
    const double across_deg = fabs(r->wind_angle_deg), off_deg = p->downwind > 0 ? across_deg : 180.0 - across_deg;
    char off[32] = "";
    if (off_deg >= 0.5) snprintf(off, sizeof off, "%.0f° off ", off_deg);
    picture_words(p->to, 40.0, 46.0, strlen(r->name) > 60 ? "head" : "title", "start", "%.150s", r->name);
    picture_words(
        p->to, 40.0, 66.0, "label", "start",
        "%s wind across %d row%s, without the air of the fan: %.3g m/s at %.3g m over open ground, %sstraight "
        "across the rows.",
        r->computed_wind ? "Computed" : "Assumed", r->n_rows, r->n_rows > 1 ? "s" : "", r->wind_speed_m_s,
        r->wind_height_m, off);
}

/* ---- the section's surroundings ---- */

static void write_key(const picture *p, const wind_scale *scale)
{
    const double y = p->side_top - 50.0, width = 320.0 / scale->n;
    const double arrow_m_s = base_round_step(scale->n * scale->step_m_s, 2.0);
    double x = p->left;
    picture_words(p->to, x, y + 11.0, "head", "start", "Level speed, m/s");
    x += 122.0;
    for (int band = 0; band < scale->n; band++) {
        fprintf(p->to,
                "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"13\" fill=\"%s\" stroke=\"#3f5560\" "
                "stroke-width=\"0.7\"/>\n",
                x + width * band, y, width, wind_shade(scale, band));
        if (band > 0) picture_words(p->to, x + width * band, y + 25.0, "tick", "middle", "%g", band * scale->step_m_s);
    }
    x += width * scale->n + 34.0;
    const double length = scale->arrow * arrow_m_s;
    fprintf(p->to, "<path class=\"arrow\" d=\"M%.1f %.1fh%.1fm-4.2 -2.1l4.2 2.1l-4.2 2.1\"/>\n", x, y + 7.0, length);
    picture_words(p->to, x + length + 8.0, y + 11.0, "label", "start", "%g m/s in the section (across and up)",
                  arrow_m_s);
    picture_words(p->to, p->right, y + 11.0, "label", "end", "Heights are drawn %.2g times as large as distances.",
                  p->scale_up / p->scale);
}

static void write_frame(const picture *p)
{
    const picture_axis z = {
        .at_low = p->side_ground, .at_high = p->side_top, .high = p->top_m, .step = base_round_step(p->top_m, 5.0)};
    const drupelet_result *r = p->r;
    picture_ticks_up(p->to, &z, p->left - 5.0, p->left, "axis", p->left - 9.0);
    picture_line(p->to, p->left, p->side_top, p->left, p->side_ground, "axis");
    picture_upright(p->to, p->left - 44.0, 0.5 * (p->side_top + p->side_ground), "height, m");
    picture_line(p->to, p->left, p->side_ground, p->right, p->side_ground, "ground");
    const int every = (int)fmax(ceil(ROW_NAME_UNITS / (r->row_spacing_m * p->scale)), 1.0);
    for (int row = 0; row < r->n_rows; row += every)
        picture_words(p->to, picture_x(p, picture_distance_m(p, r->row[row].x_m)), p->side_ground + 14.0, "small",
                      "middle", "%d", row + 1);
    picture_words(p->to,
                  picture_x(p, p->downwind > 0 ? picture_distance_m(p, r->row[r->n_rows - 1].x_m)
                                               : picture_distance_m(p, r->row[0].x_m))
                      - 16.0,
                  p->side_ground + 14.0, "small", "end", "row");
    const double x = picture_x(p, 0.0);
    picture_line(p->to, x, p->side_top, x, p->side_ground, "edge"); /* not through the words between */
    picture_line(p->to, x, LINES_TOP, x, LINES_BOTTOM, "edge");
    picture_words(p->to, x + 6.0, p->side_ground + 14.0, "small", "start", "edge of the block");
}

/* ---- places ---- */

static int choose_places(const picture *p, wind_place place[WIND_MOST_PLACES])
{
    const drupelet_result *r = p->r;
    const double block_m = r->block_high_x_m - r->block_low_x_m, h_m = r->canopy_height_m, alley_m = r->row_spacing_m;
    int n = 0;
    place[n] = (wind_place){fmax(-block_m - 2.0 * h_m, p->first_m), ""};
    snprintf(place[n].words, sizeof place[n].words, "%.2g m ahead", -block_m - place[n].distance_m);
    n++;
    if (r->n_rows == 1)
        place[n++] = (wind_place){-0.5 * block_m, "in the row"};
    else
        place[n++] = (wind_place){-block_m + alley_m, "first alley"};
    if (r->n_rows >= 4) place[n++] = (wind_place){-alley_m * (r->n_rows / 2), "middle alley"};
    if (r->n_rows >= 3) place[n++] = (wind_place){-alley_m, "last alley"};
    for (int behind = 0; behind < 2; behind++) {
        place[n] = (wind_place){fmin((behind > 0 ? 12.0 : 3.0) * h_m, p->last_m), ""};
        snprintf(place[n].words, sizeof place[n].words, "%.2g m behind", place[n].distance_m);
        n++;
    }
    return n;
}

static void mark_places(const picture *p, const wind_place *place, int n)
{
    for (int i = 0; i < n; i++) {
        const double x = picture_x(p, place[i].distance_m);
        picture_line(p->to, x, p->side_top, x, p->side_ground, "place");
        picture_words(p->to, x, p->side_top - 3.0, "head", "middle", "%c", 'A' + i);
    }
}

/* ---- foot ---- */

static void write_foot(const picture *p)
{
    const drupelet_result *r = p->r;
    const double y = 750.0;
    picture_line(p->to, 40.0, y - 18.0, 1146.0, y - 18.0, "grid");
    picture_words(p->to, 40.0, y, "note", "start", "%s",
                  r->computed_wind
                      ? "The wind is computed over, in and behind the rows as they stand, from the wind over the "
                        "open ground ahead (run.wind: computed)."
                      : "The wind is assumed: profiles over the open ground and over the block, which pass into "
                        "one another at its edges; it knows no single row.");
    picture_words(p->to, 40.0, y + 15.0, "note", "start",
                  "Means over time; the dashed lines of the profiles stand at the top of the trees. Rows %.3g m apart, "
                  "crown from %.3g to %.3g m high and %.3g m wide, leaf area index %.3g.",
                  r->row_spacing_m, r->canopy_base_m, r->canopy_height_m, r->canopy_width_m, r->leaf_area_index);
    picture_words(p->to, 40.0, y + 30.0, "note", "start", "drupelet %s, as the droplets of the run met it%s%s.",
                  r->version, r->place[0] != '\0' ? "; " : "", r->place);
    picture_words(p->to, 40.0, 820.0, "caution", "start", "%s", r->caution);
}

/* Round steps of speed, so that the bands hold all of the section. */
static wind_scale scale_of(const picture *p)
{
    double most = 0.0;
    for (int i = 0; i < p->r->wind_nx; i++)
        for (int k = 0; k < p->r->wind_nz && p->r->wind_z_m[k] <= p->top_m; k++)
            most = fmax(most, wind_speed_at(p->r, p->r->wind_x_m[i], p->r->wind_z_m[k]));
    wind_scale scale = {.n = 1, .step_m_s = most > 0.0 ? base_round_scale(most / WIND_MOST_BANDS) : 1.0};
    scale.n = (int)fmin(fmax(ceil(most / scale.step_m_s - 0.02), 1.0), WIND_MOST_BANDS);
    scale.arrow = ARROW / (scale.step_m_s * scale.n);
    return scale;
}

drupelet_status wind_picture(FILE *to, const drupelet_result *r)
{
    const picture p = lay_out(to, r);
    const wind_scale scale = scale_of(&p);
    wind_place place[WIND_MOST_PLACES];
    const int n = choose_places(&p, place);
    picture_head(
        to, 0.0, r->name,
        "The wind across the rows: speed and direction in a section, speed at four heights, profiles at places.",
        style);
    write_title(&p);
    write_key(&p, &scale);
    const drupelet_status status = wind_section(&p, &scale);
    wind_lines(&p, LINES_TOP, LINES_BOTTOM);
    write_frame(&p);
    mark_places(&p, place, n);
    wind_profiles(&p, place, n, PROFILES_TOP, PROFILES_BOTTOM);
    write_foot(&p);
    fputs("</svg>\n", to);
    return status;
}
