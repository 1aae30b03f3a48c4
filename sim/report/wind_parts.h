/* sim/report/wind_parts.h - what shows the wind of a result, of one that holds it. */
#ifndef REPORT_WIND_PARTS_H
#define REPORT_WIND_PARTS_H

#include <stdio.h>

#include "drupelet/status.h"
#include "report/picture.h"

/** The picture. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status wind_picture(FILE *to, const drupelet_result *result);
/** The grid, all numbers as decimals that give the same bits back. */
void wind_grid(FILE *to, const drupelet_result *result);

/** Writes what is asked for of a result, which ends with it: a picture, a grid, each whole or not at all. */
drupelet_status report_air_files(drupelet_result *result,
                                 drupelet_status (*draw)(FILE *to, const drupelet_result *result),
                                 const char *svg_path, void (*write)(FILE *to, const drupelet_result *result),
                                 const char *vtk_path, bool overwrite);

/** Writes an arrow as moves and lines of a path: from a place on the sheet, so many units to the right and up. */
void wind_arrow(FILE *to, double x, double y, double across, double up);

/* ---- parts of the picture; p has the scales of the section, its height stretched ---- */

enum { WIND_MOST_BANDS = 10, WIND_MOST_PLACES = 6, WIND_HEIGHTS = 4 };

/** Bands of level speed, and the arrows' units for 1 m/s. */
typedef struct {
    int n;
    double step_m_s, arrow;
} wind_scale;
/** Shade of a band: the faster the darker, in grey too. */
const char *wind_shade(const wind_scale *scale, int band);

/** Where profiles are shown, from upwind: distance downwind of the block, and what is there. */
typedef struct {
    double distance_m;
    char words[48];
} wind_place;

/** Place across of a distance downwind of the block. */
double wind_x_m(const picture *p, double distance_m);
/** A value at a place, linear between the points of the result and held inside them. */
double wind_value_at(const drupelet_result *result, run_wind_value which, double x_m, double z_m);
/** Level speed there, m/s; and that over the open ground ahead, where the wind comes in. */
double wind_speed_at(const drupelet_result *result, double x_m, double z_m);
double wind_open_at(const picture *p, double z_m);

/** The section: bands of speed with contours and their numbers, arrows, crowns.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status wind_section(const picture *p, const wind_scale *scale);
/** The speed along the section at heights, over that of the open ground. */
void wind_lines(const picture *p, double top, double bottom);
/** Profiles at places, side by side. */
void wind_profiles(const picture *p, const wind_place *place, int n, double top, double bottom);

#endif
