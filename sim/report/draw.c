/* sim/report/draw.c - lays the picture out: side view and ground deposit on one axis, the deposit out to 100 m, what
 * passes in the air by height, where the spray went, key, settings, tips and caution, and a warning where much is still
 * aloft. Left out: the air (the result file has a slice of it). */
#include "report/draw.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/status.h"
#include "report/picture.h"
#include "report/text.h"
#include "store/store.h"
#include "tally/drift.h"

enum { MOST_ROWS = 5, LINE_LETTERS = 165, TIP_LINES = 3 };
static const double GROUND_RIGHT = 284.0, CURVE_LEFT = 300.0, CURVE_RIGHT = 410.0, AIR_LEFT = 470.0, AIR_RIGHT = 600.0;
static const double LIST_STEP = 13.7, DOWNWIND_M = 27.0, SIDE_HEIGHT = 240.0, FAR_M = 100.0;

/* Scales: the last rows and the first metres of open ground, equal both ways, and never so large that a tall tree
 * sticks out. */
static picture lay_out(FILE *to, const drupelet_result *r)
{
    picture p = {.to = to, .r = r, .left = 104.0, .right = 1146.0, .side_top = 86.0};
    const int n_rows = r->n_rows < MOST_ROWS ? r->n_rows : MOST_ROWS;
    const double width = p.right - p.left, block_m = n_rows * r->row_spacing_m;
    /* the middle of the first strip is upwind of the block if distances rise with x */
    p.downwind = r->n_ground < 2 || r->ground_distance_m[1] > r->ground_distance_m[0] ? 1 : -1;
    p.scale = fmin(width / (block_m + DOWNWIND_M), SIDE_HEIGHT / (1.3 * r->canopy_height_m + 1.0));
    p.scale_up = p.scale;
    p.first_m = -block_m;
    p.last_m = width / p.scale - block_m;
    p.top_m = fmin(fmax(2.6 * r->canopy_height_m, 8.0), SIDE_HEIGHT / p.scale);
    p.side_ground = p.side_top + p.top_m * p.scale;
    p.near_top = p.side_ground + 34.0;
    p.near_bottom = p.near_top + 104.0 + 0.6 * (SIDE_HEIGHT - p.top_m * p.scale);
    p.far_top = p.near_bottom + 74.0;
    p.far_bottom = 684.0;
    return p;
}

/* What the common rules of picture_head() leave to this picture. */
static const char style[] =
    ".title{font-size:23px;font-weight:bold}.head{font-size:13.5px;font-weight:bold}.label{font-size:12.5px}\n"
    ".tick{font-size:11.5px;fill:#444}.small{font-size:11px}.note{font-size:10.5px;fill:#333}\n"
    ".caution{font-size:12px;font-weight:bold}.warning{font-size:10.5px;font-weight:bold;fill:#9c1c1c}\n"
    "path{fill:none}.axis{stroke:#444;stroke-width:1}.grid{stroke:#dcdcdc;stroke-width:0.8}\n"
    ".ground{stroke:#4a3f33;stroke-width:2.2}.grass{fill:#dfe3d3}.edge{stroke:#333;stroke-width:1;stroke-"
    "dasharray:6 4}\n"
    ".crown{stroke:#40592f;stroke-width:0.9;stroke-linejoin:round}.trunk{stroke:#6b5b4a;stroke-width:2.4}\n"
    ".path{stroke-linejoin:round;stroke-linecap:round;stroke-opacity:0.85}\n"
    ".sprayer{fill:#8d9299;stroke:#33373d;stroke-width:1}.wheel{fill:#33373d}\n"
    ".open{fill:#111}.shut{fill:#fff;stroke:#111;stroke-width:0.8}\n"
    ".wind{fill:#555;stroke:none}.band{fill:#9aa7b8;fill-opacity:0.55}.curve{stroke:#1a2740;stroke-width:1.5}\n"
    ".curve{stroke-linejoin:round;stroke-linecap:round}\n";

/* Letters of a text in UTF-8: bytes that continue a letter do not count. */
static bool starts_letter(char c)
{
    return ((unsigned char)c & 0xc0) != 0x80;
}

static int letters(const char *text)
{
    int n = 0;
    for (const char *c = text; *c != '\0'; c++)
        n += starts_letter(*c);
    return n;
}

/* Cuts a text after a number of letters. */
static void shorten(char *text, int most)
{
    for (char *c = text; *c != '\0'; c++)
        if (starts_letter(*c) && --most < 0) {
            *c = '\0';
            return;
        }
}

/* The paths show where droplets of each size go, not how much goes there; whoever looks must know. */
static void write_paths_note(const picture *p, double y)
{
    const double drawn = (double)p->n_smallest / fmax(p->n_drawn, 1.0);
    if (p->n_drawn == 0 || !isfinite(p->smallest_share))
        return;
    picture_words(p->to, 40.0, y, "small", "start",
                  "As many paths are drawn of each size class: droplets sprayed below %g µm have %.2g %% of the paths "
                  "and %.2g %% of the spray%s",
                  PICTURE_SIZE_BELOW_UM[0], 100.0 * drawn, 100.0 * p->smallest_share,
                  drawn > p->smallest_share ? ", so small droplets are over-drawn." : ".");
}

static void write_title(const picture *p)
{
    const drupelet_result *r = p->r;
    char text[512];
    picture_words(p->to, 40.0, 46.0, letters(r->name) > 60 ? "head" : "title", "start", "%s", r->name);
    char rate[48] = "Standing still, no rate per area,";
    if (isfinite(r->application_rate_L_ha))
        snprintf(rate, sizeof rate, "%.0f L/ha on %.4g m of treated width,", r->application_rate_L_ha,
                 r->treated_width_m);
    snprintf(text, sizeof text,
             "%s %d rows%s%s. Side view across the rows, to scale, with %d sampled droplet paths.",
             rate, r->n_rows, r->place[0] != '\0' ? ", " : "", r->place, p->n_drawn);
    shorten(text, 155);
    picture_words(p->to, 40.0, 66.0, "label", "start", "%s", text);
    write_paths_note(p, 81.0);
}

/* The edge of the block runs through both upper panels. */
static void write_edge(const picture *p)
{
    const double x = picture_x(p, 0.0);
    picture_line(p->to, x, p->side_top, x, p->near_bottom, "edge");
    picture_words(p->to, x + 6.0, p->side_ground + 15.0, "small", "start", "edge of the block");
}

/* A line of a list: words at the left, an amount at the right. */
static void write_amount(const picture *p, double x, double right, double y, const char *class, const char *words,
                         double percent, double error)
{
    char amount[64];
    report_amount(amount, sizeof amount, percent, error, " ± ");
    picture_words(p->to, x, y, class, "start", "%s", words);
    picture_words(p->to, right, y, class, "end", "%s", amount);
}

static void write_fates(const picture *p, double x, double right)
{
    static const struct { tally_fate fate; const char *label; } line[] = {
        {TALLY_LEAF, "on leaves"}, {TALLY_WOOD, "on wood"}, {TALLY_GROUND_ALLEY, "ground in alleys"},
        {TALLY_GROUND_ROW, "ground under rows"}, {TALLY_GROUND_DOWNWIND, "ground downwind"},
        {TALLY_GROUND_UPWIND, "ground upwind"}, {TALLY_AIR_DOWNWIND, "left downwind in the air"},
        {TALLY_AIR_ABOVE, "left through the top"}, {TALLY_AIR_UPWIND, "left upwind in the air"},
        {TALLY_ALOFT, "still aloft at the end"},
    };
    const drupelet_result *r = p->r;
    double y = p->far_top - 14.0;
    picture_words(p->to, x, y, "head", "start", "Of 100 L sprayed, L");
    y += 3.0;
    for (size_t i = 0; i < sizeof line / sizeof line[0]; i++) {
        const tally_estimate *e = &r->fate[line[i].fate];
        write_amount(p, x, right, y += LIST_STEP, "label", line[i].label, 100.0 * e->share, 100.0 * e->error);
    }
    y += 5.0;
    for (int i = 0; i < TALLY_PLANES; i++) {
        char words[64];
        snprintf(words, sizeof words, "passes %g m in the air", r->plane_distance_m[i]);
        write_amount(p, x, right, y += LIST_STEP, "label", words, r->flux_percent[i].share, r->flux_percent[i].error);
    }
}

/* The ground curve in numbers. */
static void write_curve(const picture *p, double x, double right)
{
    const drupelet_result *r = p->r;
    double y = p->far_top - 10.0;
    for (int i = 0; i < SCENARIO_CURVE; i++) {
        char words[32];
        snprintf(words, sizeof words, "%g m", r->curve_distance_m[i]);
        write_amount(p, x, right, y += LIST_STEP, "small", words, r->curve_percent[i].share, r->curve_percent[i].error);
    }
}

static void write_key(const picture *p, double x)
{
    double y = p->far_top - 14.0;
    picture_words(p->to, x, y, "head", "start", "Droplet diameter there, µm");
    y += 4.0;
    for (int i = 0; i < PICTURE_SIZES; i++) {
        y += 15.5;
        fprintf(p->to, "<path class=\"path\" stroke=\"%s\" stroke-width=\"%g\"%s d=\"M%.1f %.1fh44\"/>\n",
                PICTURE_SIZE_COLOUR[i], 1.3 * PICTURE_SIZE_WIDTH[i], PICTURE_SIZE_DASH[i], x, y - 4.0);
        if (i == 0)
            picture_words(p->to, x + 54.0, y, "label", "start", "below %g", PICTURE_SIZE_BELOW_UM[0]);
        else if (i == PICTURE_SIZES - 1)
            picture_words(p->to, x + 54.0, y, "label", "start", "%g and more", PICTURE_SIZE_BELOW_UM[i - 1]);
        else
            picture_words(p->to, x + 54.0, y, "label", "start", "%g to %g", PICTURE_SIZE_BELOW_UM[i - 1],
                          PICTURE_SIZE_BELOW_UM[i]);
    }
    picture_words(p->to, x, y += 24.0, "head", "start", "On leaves, µL of spray per cm²");
    y += 8.0;
    for (int i = 0; i <= PICTURE_SHADES; i++) {
        fprintf(p->to, "<rect x=\"%.1f\" y=\"%.1f\" width=\"38\" height=\"12\" fill=\"%s\" stroke=\"#40592f\" "
                       "stroke-width=\"0.6\"/>\n", x + 38.0 * i, y, PICTURE_SHADE[i]);
        if (i > 0)
            picture_words(p->to, x + 38.0 * i, y + 24.0, "tick", "middle", "%g", (i - 1) * p->shade_uL_cm2);
    }
    picture_words(p->to, x, y += 42.0, "small", "start", "one-sided leaf area, mean along the row");
    fprintf(p->to, "<circle class=\"open\" cx=\"%.1f\" cy=\"%.1f\" r=\"2.4\"/>\n", x + 4.0, y + 12.0);
    picture_words(p->to, x + 12.0, y + 16.0, "small", "start", "nozzle that sprays");
    fprintf(p->to, "<circle class=\"shut\" cx=\"%.1f\" cy=\"%.1f\" r=\"2.4\"/>\n", x + 130.0, y + 12.0);
    picture_words(p->to, x + 138.0, y + 16.0, "small", "start", "nozzle shut");
}

/* Letters of the text that go on a line: up to the last blank that fits. */
static size_t line_end(const char *text)
{
    size_t end = 0, blank = 0;
    for (int n = 0; text[end] != '\0'; end++) {
        if (starts_letter(text[end]) && ++n > LINE_LETTERS)
            return blank > 0 ? blank : end;
        if (text[end] == ' ')
            blank = end;
    }
    return end;
}

/* Tips with an assumed spectrum come first; what finds no room is counted. */
static void write_tips(const picture *p, double y, int most_lines)
{
    const drupelet_result *r = p->r;
    int lines = 0, left = r->n_sprays;
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < r->n_sprays; i++) {
            const result_spray *s = &r->spray[i];
            char text[1024];
            if (s->assumed != (pass == 0))
                continue;
            snprintf(text, sizeof text,
                     "%s at %.3g bar: Dv10 %.0f, Dv50 %.0f, Dv90 %.0f µm; %.1f %% below 100 µm. Droplets %s", s->tip,
                     s->pressure_bar, s->dv10_um, s->dv50_um, s->dv90_um, 100.0 * s->share_below_100_um, s->note);
            if (lines + (int)(strlen(text) > line_end(text)) >= most_lines)
                continue;
            left--;
            for (const char *from = text; *from != '\0' && lines < most_lines;) {
                const size_t n = line_end(from);
                picture_words(p->to, 40.0, y + 14.0 * lines++, "note", "start", "%.*s", (int)n, from);
                from += n + (from[n] == ' ');
            }
        }
    if (left > 0)
        picture_words(p->to, 1146.0, 820.0, "note", "end", "and %d more tip%s in the result file", left,
                      left > 1 ? "s" : "");
}

static void write_foot(const picture *p)
{
    const drupelet_result *r = p->r;
    double y = 744.0, percent[TALLY_FATES];
    char warning[TALLY_WARNING];
    picture_line(p->to, 40.0, y - 16.0, 1146.0, y - 16.0, "grid");
    for (int f = 0; f < TALLY_FATES; f++)
        percent[f] = 100.0 * r->fate[f].share;
    tally_aloft_warning(percent, r->wind_speed_m_s, warning);
    int tip_lines = TIP_LINES;
    for (const char *from = warning; *from != '\0';) { /* at the cost of lines for tips */
        const size_t n = line_end(from);
        picture_words(p->to, 40.0, y, "warning", "start", "%.*s", (int)n, from);
        from += n + (from[n] == ' ');
        y += 14.0;
        tip_lines--;
    }
    picture_words(p->to, 40.0, y, "note", "start",
                  "%.3g km/h, fan %.3g m³/s, rows %.3g m apart, crown from %.3g to %.3g m high and "
                  "%.3g m wide, leaf area index %.3g, %.3g °C, %.3g %% relative humidity.",
                  r->travel_speed_km_h, r->fan_flow_m3_s, r->row_spacing_m, r->canopy_base_m, r->canopy_height_m,
                  r->canopy_width_m, r->leaf_area_index, r->temperature_degC, r->relative_humidity_percent);
    picture_words(
        p->to, 40.0, y + 14.0, "note", "start",
        "%.3g %% of the water evaporates in flight. %lld droplets followed, seed %llu, "
        "drupelet %s. ± is one standard error: it covers the sampling of droplets, not what the model gets wrong.",
        100.0 * r->evaporated.share, (long long)r->n_droplets, (unsigned long long)r->seed, r->version);
    write_tips(p, y + 28.0, tip_lines);
    picture_words(p->to, 40.0, 820.0, "caution", "start", "%s", r->caution);
}

static drupelet_status draw(FILE *to, const drupelet_result *r)
{
    picture p = lay_out(to, r);
    picture_head(to, 0.0, r->name,
                 "Side view across the rows with sampled droplet paths, ground deposit by distance, and where the "
                 "spray went.",
                 style);
    drupelet_status status = picture_side_view(&p);
    if (status.code != DRUPELET_OK)
        return status;
    write_title(&p);
    picture_ground(&p, p.left, p.right, p.near_top, p.near_bottom, p.first_m, p.last_m);
    if (!isfinite(r->application_rate_L_ha))
        picture_words(to, 0.5 * (p.left + p.right), 0.5 * (p.near_top + p.near_bottom), "label", "middle",
                      "The sprayer stands still: there is no rate to be a percentage of.");
    write_edge(&p);
    picture_words(to, 0.5 * (p.left + p.right), p.near_bottom + 34.0, "label", "middle",
                  "distance downwind of the block, m (negative inside it); deposit on the ground in percent of "
                  "the application "
                  "rate, band: ± one standard error");
    const double reach_m = fmax(r->ground_distance_m[0], r->ground_distance_m[r->n_ground - 1]);
    picture_words(to, p.left, p.far_top - 14.0, "head", "start", "On the ground, %% of the rate");
    picture_ground(&p, p.left, GROUND_RIGHT, p.far_top, p.far_bottom, 0.0, fmin(FAR_M, round(reach_m)));
    picture_words(to, 0.5 * (p.left + GROUND_RIGHT), p.far_bottom + 34.0, "label", "middle", "distance downwind, m");
    write_curve(&p, CURVE_LEFT, CURVE_RIGHT);
    picture_words(to, AIR_LEFT - 30.0, p.far_top - 14.0, "head", "start", "In the air, %% per m of height");
    picture_air(&p, AIR_LEFT, AIR_RIGHT, p.far_top, p.far_bottom);
    picture_words(to, 0.5 * (AIR_LEFT + AIR_RIGHT), p.far_bottom + 34.0, "label", "middle", "%% of the output per m");
    write_fates(&p, 640.0, 866.0);
    write_key(&p, 900.0);
    write_foot(&p);
    fputs("</svg>\n", to);
    return base_ok();
}

drupelet_status report_draw(const char *result_path, const char *svg_path, bool overwrite)
{
    drupelet_result *result;
    store_draft draft;
    FILE *to;
    drupelet_status status = store_read(result_path, &result);
    if (status.code != DRUPELET_OK)
        return status;
    status = store_text_begin(svg_path, overwrite, &draft, &to);
    if (to)
        status = store_text_end(&draft, to, draw(to, result));
    drupelet_result_free(result);
    return status;
}
