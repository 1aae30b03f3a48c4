/* sim/report/side_view.c - the rows seen along their length: leaves shaded by deposit, sampled paths, sprayers, wind.
 *
 * The shading is the mean along the row. Paths are chosen evenly within each class of the emitted diameter, so their
 * number says nothing about volume; a path changes its colour where the droplet, as it dries, passes into another
 * class. */
#include <math.h>
#include <stdlib.h>

#include "base/axis.h"
#include "base/elementary.h"
#include "base/order.h"
#include "base/status.h"
#include "report/picture.h"

/* ---- leaves ---- */

/* Deposit per leaf area of one column of voxels along the row, uL/cm2; below 0 where there are no leaves. */
static double column_uL_cm2(const drupelet_result *r, int row, int iz, int ix)
{
    double share = 0.0, density = 0.0;
    for (int iy = 0; iy < r->ny; iy++) {
        const size_t i =
            (((size_t)row * (size_t)r->nz + (size_t)iz) * (size_t)r->ny + (size_t)iy) * (size_t)r->nx + (size_t)ix;
        share += r->leaf_deposit[i];
        density += (double)r->leaf_area_density_1_m[i];
    }
    if (!(density > 0.0))
        return -1.0;
    const double litres =
        share * r->emitted_L_per_100_m / 100.0 * r->ny * r->voxel_y_m; /* over the period of the pattern */
    const double leaf_m2 = density * r->voxel_m * r->voxel_m * r->voxel_y_m;
    return litres * 1e6 / (leaf_m2 * 1e4);
}

/* A round step so that nearly all columns lie within PICTURE_SHADES steps; a few voxels with a single leaf do not
 * count. */
static double shade_step(double *value, size_t n)
{
    if (n == 0)
        return 1.0;
    base_sort(value, n);
    const double wanted = base_ranked(value, n, 0.97) / PICTURE_SHADES;
    return wanted > 0.0 ? base_round_scale(wanted) : 1.0;
}

static bool in_view(const picture *p, double distance_m, double margin_m)
{
    return distance_m > p->first_m - margin_m && distance_m < p->last_m + margin_m;
}

static drupelet_status draw_leaves(picture *p)
{
    const drupelet_result *r = p->r;
    const size_t n = (size_t)r->n_rows * (size_t)r->nz * (size_t)r->nx;
    double *column = malloc(2 * n * sizeof *column), *sorted = column + n; /* [row][nz][nx] */
    if (!column)
        return base_error(DRUPELET_MEMORY, "no memory for the picture");
    size_t n_sorted = 0;
    for (size_t i = 0; i < n; i++) {
        const int ix = (int)(i % (size_t)r->nx), row = (int)(i / ((size_t)r->nx * (size_t)r->nz));
        column[i] = column_uL_cm2(r, row, (int)(i / (size_t)r->nx % (size_t)r->nz), ix);
        if (column[i] >= 0.0)
            sorted[n_sorted++] = column[i];
    }
    p->shade_uL_cm2 = shade_step(sorted, n_sorted);
    const double edge = p->scale * r->voxel_m;
    for (int shade = 0; shade <= PICTURE_SHADES; shade++) {
        fprintf(p->to, "<path style=\"fill:%s\" d=\"M0 0", PICTURE_SHADE[shade]);
        for (size_t i = 0; i < n; i++) {
            const int ix = (int)(i % (size_t)r->nx), iz = (int)(i / (size_t)r->nx % (size_t)r->nz);
            const double d_m = picture_distance_m(p, r->row[i / ((size_t)r->nx * (size_t)r->nz)].x_m + r->x_m[ix]);
            const int of = column[i] > 0.0 ? (int)fmin(1.0 + floor(column[i] / p->shade_uL_cm2), PICTURE_SHADES) : 0;
            if (column[i] >= 0.0 && of == shade && in_view(p, d_m, r->voxel_m))
                fprintf(p->to, "M%.2f %.2fh%.2fv%.2fh%.2fz", picture_x(p, d_m) - 0.5 * edge,
                        picture_y(p, r->z_m[iz]) - 0.5 * edge, edge + 0.15, edge + 0.15, -edge - 0.15);
        }
        fputs("\"/>\n", p->to);
    }
    free(column);
    return base_ok();
}

/* Leaf area of a row's voxels, or their wood where the row has no leaf. */
static const float *crown_density(const drupelet_result *r, int row)
{
    const size_t n = (size_t)r->nz * (size_t)r->ny * (size_t)r->nx;
    const float *leaf = r->leaf_area_density_1_m + (size_t)row * n;
    for (size_t i = 0; i < n; i++)
        if (leaf[i] > 0.0f)
            return leaf;
    return r->wood_area_density_1_m + (size_t)row * n;
}

/* Leftmost (end 0) or rightmost (end 1) voxel of a crown at a height, distance from the row line; false where there is
 * none. */
static bool crown_end(const drupelet_result *r, const float *density, int iz, int end, double *across_m)
{
    for (int k = 0; k < r->nx; k++) {
        const int ix = end ? r->nx - 1 - k : k;
        for (int iy = 0; iy < r->ny; iy++) {
            if (density[((size_t)iz * (size_t)r->ny + (size_t)iy) * (size_t)r->nx + (size_t)ix] > 0.0f) {
                *across_m = r->x_m[ix] + (end ? 0.5 : -0.5) * r->voxel_m;
                return true;
            }
        }
    }
    return false;
}

void picture_outline(const picture *p, int row)
{
    const drupelet_result *r = p->r;
    const float *density = crown_density(r, row);
    double across_m, lowest_m = -1.0;
    char how = 'M';
    fputs("<path class=\"crown\" d=\"", p->to);
    for (int end = 0; end < 2; end++)
        for (int k = 0; k < r->nz; k++) {
            const int iz = end ? r->nz - 1 - k : k;
            if (!crown_end(r, density, iz, end, &across_m))
                continue;
            const double x = picture_x(p, picture_distance_m(p, r->row[row].x_m + across_m));
            const double half_m = (end ? -0.5 : 0.5) * r->voxel_m;
            fprintf(p->to, "%c%.2f %.2fV%.2f", how, x, picture_y(p, r->z_m[iz] - half_m),
                    picture_y(p, r->z_m[iz] + half_m));
            how = 'L';
            lowest_m = lowest_m < 0.0 ? r->z_m[iz] - half_m : lowest_m;
        }
    fprintf(p->to, "%s\"/>\n", how == 'L' ? "Z" : "M0 0");
    const double x = picture_x(p, picture_distance_m(p, r->row[row].x_m));
    picture_line(p->to, x, p->side_ground, x, picture_y(p, fmax(lowest_m, 0.0)), "trunk");
}

/* ---- paths ---- */

/* One class of the diameter out of a path: pieces of line; neighbouring points closer than the eye tells apart are left
 * out. */
static void draw_path(const picture *p, const result_track *t, int class)
{
    const drupelet_result *r = p->r;
    double x_drawn = 0.0, y_drawn = 0.0;
    bool drawing = false;
    for (int64_t i = t->first; i + 1 < t->first + t->n_points; i++) {
        if (picture_size_class((double)r->diameter_um[i]) != class) {
            drawing = false;
            continue;
        }
        const double x1 = picture_x(p, picture_distance_m(p, (double)r->track_x_m[i]));
        const double x2 = picture_x(p, picture_distance_m(p, (double)r->track_x_m[i + 1]));
        const double y1 = picture_y(p, (double)r->track_z_m[i]), y2 = picture_y(p, (double)r->track_z_m[i + 1]);
        if (fmax(x1, x2) < p->left || fmin(x1, x2) > p->right || fmin(y1, y2) > PICTURE_HEIGHT
            || fmax(y1, y2) < p->side_top) {
            drawing = false;
            continue;
        }
        if (!drawing) {
            fprintf(p->to, "M%.1f %.1f", x1, y1);
            x_drawn = x1;
            y_drawn = y1;
        }
        const bool last = i + 2 == t->first + t->n_points || picture_size_class((double)r->diameter_um[i + 1]) != class;
        if (!drawing || last || base_hypot(x2 - x_drawn, y2 - y_drawn) > 0.8) {
            fprintf(p->to, "L%.1f %.1f", x2, y2);
            x_drawn = x2;
            y_drawn = y2;
        }
        drawing = true;
    }
}

static bool starts_in_view(const picture *p, const result_track *t)
{
    return t->n_points > 1 && in_view(p, picture_distance_m(p, (double)p->r->track_x_m[t->first]), 0.0);
}

/* Marks the paths to draw: of each class of the emitted diameter the same number, evenly over the run. */
static void choose_paths(picture *p, bool *chosen)
{
    const drupelet_result *r = p->r;
    for (int class = 0; class < PICTURE_SIZES; class++) {
        int n = 0, seen = 0;
        for (int i = 0; i < r->n_tracks; i++)
            n += starts_in_view(p, &r->track[i]) && picture_size_class(r->track[i].emitted_diameter_um) == class;
        const int wanted = n < PICTURE_PATHS_A_CLASS ? n : PICTURE_PATHS_A_CLASS;
        for (int i = 0; i < r->n_tracks; i++) {
            if (!starts_in_view(p, &r->track[i]) || picture_size_class(r->track[i].emitted_diameter_um) != class)
                continue;
            chosen[i] = (int64_t)(seen + 1) * wanted / n > (int64_t)seen * wanted / n;
            p->n_drawn += chosen[i];
            p->n_smallest += chosen[i] && class == 0;
            seen++;
        }
    }
}

/* The weights of the paths say how much of the spray each stands for, as their number does not. */
static double smallest_share(const drupelet_result *r)
{
    double smallest = 0.0, all = 0.0;
    for (int i = 0; i < r->n_tracks; i++) {
        all += r->track[i].weight;
        smallest += picture_size_class(r->track[i].emitted_diameter_um) == 0 ? r->track[i].weight : 0.0;
    }
    return smallest / all;
}

static drupelet_status draw_paths(picture *p)
{
    const drupelet_result *r = p->r;
    bool *chosen = calloc((size_t)r->n_tracks + 1, sizeof *chosen);
    if (!chosen)
        return base_error(DRUPELET_MEMORY, "no memory for the picture");
    choose_paths(p, chosen);
    p->smallest_share = smallest_share(r);
    for (int class = PICTURE_SIZES - 1; class >= 0; class--) {
        fprintf(p->to, "<path class=\"path\" stroke=\"%s\" stroke-width=\"%g\"%s d=\"M0 0", PICTURE_SIZE_COLOUR[class],
                PICTURE_SIZE_WIDTH[class], PICTURE_SIZE_DASH[class]);
        for (int i = 0; i < r->n_tracks; i++)
            if (chosen[i])
                draw_path(p, &r->track[i], class);
        fputs("\"/>\n", p->to);
    }
    free(chosen);
    return base_ok();
}

/* ---- sprayers and wind ---- */

static void draw_sprayer(const picture *p, const result_pass *pass)
{
    const drupelet_result *r = p->r;
    const double x = picture_x(p, picture_distance_m(p, pass->x_m));
    double top_m = 0.8, half_m = 0.5;
    for (int i = 0; i < r->n_nozzles; i++) {
        top_m = fmax(top_m, r->nozzle[i].height_m);
        half_m = fmax(half_m, r->nozzle[i].offset_m);
    }
    half_m = fmin(0.75 * half_m, 0.45);
    top_m = fmin(top_m, 1.3);
    fprintf(p->to, "<rect class=\"sprayer\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" rx=\"3\"/>\n",
            x - half_m * p->scale, picture_y(p, top_m), 2.0 * half_m * p->scale, (top_m - 0.3) * p->scale);
    for (int side = -1; side <= 1; side += 2)
        fprintf(p->to, "<rect class=\"wheel\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" rx=\"1.5\"/>\n",
                x + (side * half_m * 0.8 - 0.11) * p->scale, picture_y(p, 0.6), 0.22 * p->scale, 0.6 * p->scale);
    for (int i = 0; i < r->n_nozzles; i++) {
        const result_nozzle *n = &r->nozzle[i];
        /* right of a driver who goes along +y is +x */
        const double at_m = pass->x_m + n->side * pass->heading * n->offset_m;
        const bool open = n->side < 0 ? pass->left_open : pass->right_open;
        fprintf(p->to, "<circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"1.7\"/>\n", open ? "open" : "shut",
                picture_x(p, picture_distance_m(p, at_m)), picture_y(p, n->height_m));
    }
}

static void draw_wind(const picture *p)
{
    const drupelet_result *r = p->r;
    const double x = p->right - 14.0, y = p->side_top + 26.0;
    fprintf(p->to, "<rect x=\"%.1f\" y=\"%.1f\" width=\"220\" height=\"70\" fill=\"#fff\" fill-opacity=\"0.85\"/>\n",
            x - 214.0, p->side_top + 1.0);
    if (!(r->wind_speed_m_s > 0.0)) {
        picture_words(p->to, x, y + 4.0, "label", "end", "no wind");
        return;
    }
    fprintf(p->to, "<path class=\"wind\" d=\"M%.1f %.1fh-104v-6h104v-7l18 10l-18 10z\"/>\n", x - 18.0, y - 1.0);
    const double across_deg = fabs(r->wind_angle_deg);
    const double off_deg = p->downwind > 0 ? across_deg : 180.0 - across_deg;
    picture_words(p->to, x, y + 22.0, "label", "end", "wind %.3g m/s at %.3g m", r->wind_speed_m_s, r->wind_height_m);
    if (off_deg >= 0.5)
        picture_words(p->to, x, y + 37.0, "small", "end", "%.0f° off straight across the rows", off_deg);
}

static void draw_axes(const picture *p)
{
    const picture_axis z = {.at_low = p->side_ground, .at_high = p->side_top, .high = p->top_m,
                            .step = p->top_m > 12.0 ? 4.0 : 2.0};
    picture_ticks_up(p->to, &z, p->left - 5.0, p->left, "axis", p->left - 9.0);
    picture_line(p->to, p->left, p->side_top, p->left, p->side_ground, "axis");
    picture_upright(p->to, p->left - 44.0, 0.5 * (p->side_top + p->side_ground), "height, m");
    picture_line(p->to, p->left, p->side_ground, p->right, p->side_ground, "ground");
}

drupelet_status picture_side_view(picture *p)
{
    const drupelet_result *r = p->r;
    fprintf(p->to, "<clipPath id=\"view\"><rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/></clipPath>\n",
            p->left, p->side_top, p->right - p->left, p->side_ground - p->side_top);
    fputs("<g clip-path=\"url(#view)\">\n", p->to);
    fprintf(p->to, "<rect class=\"grass\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n", p->left,
            picture_y(p, r->grass_height_m), p->right - p->left, p->scale * r->grass_height_m);
    drupelet_status status = draw_leaves(p);
    for (int i = 0; i < r->n_passes; i++)
        if (in_view(p, picture_distance_m(p, r->pass[i].x_m), 0.0))
            draw_sprayer(p, &r->pass[i]);
    if (status.code == DRUPELET_OK)
        status = draw_paths(p);
    draw_wind(p);
    fputs("</g>\n", p->to);
    for (int row = 0; row < r->n_rows; row++)
        if (in_view(p, picture_distance_m(p, r->row[row].x_m), 0.0)) {
            picture_outline(p, row);
            picture_words(p->to, picture_x(p, picture_distance_m(p, r->row[row].x_m)), p->side_ground + 15.0, "small",
                          "middle", "row %d", row + 1);
        }
    draw_axes(p);
    return status;
}
