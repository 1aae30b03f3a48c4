/* sim/report/picture.h - what the parts of the picture share: the sheet, its scales, lines and words. */
#ifndef REPORT_PICTURE_H
#define REPORT_PICTURE_H

#include <stdbool.h>
#include <stdio.h>

#include "drupelet/status.h"
#include "store/store.h"

/* The sheet is A4 landscape, 4 units a millimetre. */
enum { PICTURE_WIDTH = 1188, PICTURE_HEIGHT = 840, PICTURE_SIZES = 5, PICTURE_SHADES = 5 };
enum { PICTURE_MARKS = 250 }; /* of one axis; choice: more cannot be told apart */
enum { PICTURE_PATHS_A_CLASS = 44 }; /* paths drawn of each class of the emitted diameter, at most */

typedef struct {
    FILE *to;
    const drupelet_result *r;
    int downwind;               /* sign of x downwind; the picture always has downwind on the right */
    double left, right;         /* of the side view and the curve below it */
    double side_top, side_ground, near_top, near_bottom, far_top, far_bottom;
    double scale, scale_up;     /* units a metre in the side view, across and up */
    double first_m, last_m;     /* distances downwind at left and right */
    double top_m;               /* height at side_top */
    double shade_uL_cm2;        /* step of the leaf deposit's shading */
    int n_drawn, n_smallest;    /* paths in the side view, and those whose droplets left in the smallest class */
    double smallest_share;      /* of the spray, in droplets that left in the smallest class; NAN without paths */
} picture;

/** Upper ends of the diameter classes (the last is open), their colours and line widths. The colours rise in lightness
 * from blue to ochre, so that they stay apart for colour-blind eyes and in grey; width says it a second time. */
extern const double PICTURE_SIZE_BELOW_UM[PICTURE_SIZES - 1];
extern const char *const PICTURE_SIZE_COLOUR[PICTURE_SIZES], *const PICTURE_SIZE_DASH[PICTURE_SIZES];
extern const double PICTURE_SIZE_WIDTH[PICTURE_SIZES];
extern const char *const PICTURE_SHADE[PICTURE_SHADES + 1]; /* leaf deposit: none, then rising */

/** Begins a picture, up to its white ground. @param height of the sheet; 0: A4 landscape  @param name its title
 *  @param what it shows, in a sentence  @param rules of its style sheet, beside the one of all text */
void picture_head(FILE *to, double height, const char *name, const char *what, const char *rules);
/** A line of words; class is one of the style sheet of the picture (draw.c), anchor "start", "middle" or "end". */
void picture_words(FILE *to, double x, double y, const char *class, const char *anchor, const char *format, ...)
    __attribute__((format(printf, 6, 7)));
/** Words of the class "label" that are read from below, centred on a place. */
void picture_upright(FILE *to, double x, double y, const char *words);
void picture_line(FILE *to, double x1, double y1, double x2, double y2, const char *class);
/** Distance downwind of a place across the rows, and where the side view has a distance and a height. */
double picture_distance_m(const picture *p, double x_m);
double picture_x(const picture *p, double distance_m);
double picture_y(const picture *p, double z_m);
int picture_size_class(double diameter_um);

/** An axis: where its ends lie on the sheet and what they stand for, both powers of ten where it is logarithmic. */
typedef struct { double at_low, at_high, low, high, step; bool logarithmic; } picture_axis;
/** A logarithmic axis of whole decades, at most so many; of two where nothing is above 0. */
picture_axis picture_decades(double least, double most, int most_decades, double at_low, double at_high);
/** Where a value lies on it, held to its ends. */
double picture_on(const picture_axis *a, double value);
/** Its ticks, whole steps: at most PICTURE_MARKS, so that no number makes a loop endless; and what they stand for. */
int picture_ticks(const picture_axis *a);
double picture_tick(const picture_axis *a, int i);
/** Draws the ticks of an upright or a level axis: a line from side to side, and the number. */
void picture_ticks_up(FILE *to, const picture_axis *a, double x1, double x2, const char *class, double words_x);
void picture_ticks_across(FILE *to, const picture_axis *a, double y1, double y2, const char *class, double words_y);

/** Outline of a row's crown, and its trunk; classes "crown" and "trunk". */
void picture_outline(const picture *p, int row);

/** Side view across the rows. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status picture_side_view(picture *p);

/** Ground deposit between two distances, in percent of the application rate on a logarithmic axis, with its error band.
 */
void picture_ground(const picture *p, double left, double right, double top, double bottom, double first_m,
                    double last_m);
/** What passes the upright planes by height. */
void picture_air(const picture *p, double left, double right, double top, double bottom);

#endif
