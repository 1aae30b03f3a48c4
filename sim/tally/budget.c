/* sim/tally/budget.c - words, borders and shares of the budget. */
#include "tally/budget.h"

#include <assert.h>
#include <math.h>

/* Round borders (choice): below 100 um droplets drift, from some 200 um on they may shatter. */
static const double EDGE_M[TALLY_CLASSES - 1] = {30e-6, 60e-6, 100e-6, 150e-6, 200e-6, 300e-6, 400e-6};

static const struct {
    const char *name, *label;
} ZONE[TALLY_ZONES] = {
    [TALLY_ZONE_NONE] = {"none", "met neither leaf nor wood"},
    [TALLY_ZONE_OWN] = {"facing_bottom", "facing the sprayer, bottom"},
    [TALLY_ZONE_OWN + 1] = {"facing_middle", "facing the sprayer, middle"},
    [TALLY_ZONE_OWN + 2] = {"facing_top", "facing the sprayer, top"},
    [TALLY_ZONE_OWN + 3] = {"behind_bottom", "turned away, bottom"},
    [TALLY_ZONE_OWN + 4] = {"behind_middle", "turned away, middle"},
    [TALLY_ZONE_OWN + 5] = {"behind_top", "turned away, top"},
    [TALLY_ZONE_NEXT] = {"next_row", "next rows"},
    [TALLY_ZONE_BEYOND] = {"rows_beyond", "rows beyond"},
};

static const struct {
    const char *name, *label;
    tally_group group;
} END[TALLY_ENDS] = {
    [TALLY_END_FIRST] = {"first_hit", "where it hit first", TALLY_TREES},
    [TALLY_END_SAME_ROW] = {"same_row", "later, in the same row", TALLY_TREES},
    [TALLY_END_OTHER_ROW] = {"other_row", "later, in another row", TALLY_TREES},
    [TALLY_END_FLOOR] = {"orchard_floor", "ground inside the block", TALLY_FLOOR},
    [TALLY_END_BEYOND] = {"ground_beyond", "ground outside the block", TALLY_BEYOND},
    [TALLY_END_AIRBORNE] = {"airborne", "left in the air", TALLY_AIRBORNE},
    [TALLY_END_ALOFT] = {"aloft", "still aloft at the end", TALLY_UNDECIDED},
};

const char *tally_zone_name(int zone)
{
    return ZONE[zone].name;
}
const char *tally_zone_label(int zone)
{
    return ZONE[zone].label;
}
const char *tally_end_name(int end)
{
    return END[end].name;
}
const char *tally_end_label(int end)
{
    return END[end].label;
}
tally_group tally_end_group(int end)
{
    return END[end].group;
}

const char *tally_first_name(int first)
{
    return first == TALLY_FIRST_NONE ? "none" : droplet_outcome_name(first - TALLY_FIRST_HIT);
}

tally_end tally_end_of(tally_fate fate)
{
    const tally_group group = tally_group_of(fate);
    assert(group != TALLY_TREES);
    int end = TALLY_END_FLOOR;
    while (END[end].group != group)
        end++;
    return (tally_end)end;
}

/* The sprayer stands between rows, half the spacing from the crowns that it sprays. */
int tally_zone(double pass_x_m, double row_x_m, double row_spacing_m, double x_m, int third)
{
    const double rows_off = fabs(row_x_m - pass_x_m) / row_spacing_m;
    if (rows_off >= 1.0) return rows_off < 2.0 ? TALLY_ZONE_NEXT : TALLY_ZONE_BEYOND;
    const bool facing = (x_m > row_x_m) == (pass_x_m > row_x_m);
    return TALLY_ZONE_OWN + (facing ? 0 : TALLY_THIRDS) + third;
}

double tally_class_edge_m(int i)
{
    return i == 0 ? 0.0 : i < TALLY_CLASSES ? EDGE_M[i - 1] : (double)INFINITY;
}

int tally_class(double diameter_m)
{
    int i = 0;
    while (i < TALLY_CLASSES - 1 && diameter_m >= EDGE_M[i])
        i++;
    return i;
}

tally_estimate tally_budget(const tally *accounts, int i_class, int zone, int first, int end)
{
    double parts[TALLY_BATCHES] = {0.0};
    for (int b = 0; b < TALLY_BATCHES; b++)
        for (int c = 0; c < TALLY_CLASSES; c++)
            for (int z = 0; z < TALLY_ZONES && (i_class < 0 || c == i_class); z++)
                for (int f = 0; f < TALLY_FIRSTS && (zone < 0 || z == zone); f++)
                    for (int e = 0; e < TALLY_ENDS && (first < 0 || f == first); e++)
                        parts[b] += end < 0 || e == end ? (double)accounts->budget[b][c][z][f][e] : 0.0;
    return tally_share_of(accounts, parts);
}

tally_estimate tally_pass_end(const tally *accounts, int i_pass, int end)
{
    double parts[TALLY_BATCHES] = {0.0};
    for (int b = 0; b < TALLY_BATCHES; b++) {
        const int64_t *of_pass = accounts->pass_end + ((int64_t)b * accounts->shape.n_passes + i_pass) * TALLY_ENDS;
        for (int e = 0; e < TALLY_ENDS; e++)
            parts[b] += end < 0 || e == end ? (double)of_pass[e] : 0.0;
    }
    return tally_share_of(accounts, parts);
}
