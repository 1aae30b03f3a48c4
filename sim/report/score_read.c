/* sim/report/score_read.c - reads measurements from a table, and takes from the result what it has in the same places.
 *
 * Standard errors of sums are those of independent parts: a droplet lies in one strip and on one leaf, so the parts of
 * a sum hardly share any. The layers of a canopy have no error of their own in a result; a layer takes that of its
 * third, with the square of the error in proportion to the deposit. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv.h"
#include "base/status.h"
#include "report/score.h"
#include "result/columns.h"
#include "tally/drift.h"

#define MOST_BYTES ((size_t)20000000)
#define VALUE_MOST 1e9
#define SPAN_M 1.0          /* choice: as far along the distance as ground samplers usually lie */
#define PLANE_SLACK_M 0.25  /* choice: half a step of the flux */
#define UL_CM2_A_L_HA 0.01  /* 1e6 uL over 1e8 cm2 */

const score_group score_groups[SCORE_GROUPS] = {
    {SCORE_GROUND, "ground", "percent of rate", "Ground deposit, percent of the application rate"},
    {SCORE_GROUND, "ground", "uL/cm2", "Ground deposit, uL/cm2"},
    {SCORE_AIRBORNE, "airborne", "percent of rate", "Airborne at a height, percent of the application rate"},
    {SCORE_AIRBORNE, "airborne", "uL/cm2", "Airborne at a height, uL/cm2"},
    {SCORE_AIRBORNE, "airborne", "percent of output per m", "Airborne at a height, percent of the output per m"},
    {SCORE_AIRBORNE, "airborne", "percent of output", "Airborne at all heights, percent of the output"},
    {SCORE_CANOPY, "canopy", "percent of output", "On leaves, percent of the output"},
    {SCORE_CANOPY, "canopy", "uL/cm2", "On leaves, uL/cm2 of one-sided leaf area"},
};
enum {
    GROUND_RATE,
    GROUND_LAYER,
    AIRBORNE_RATE,
    AIRBORNE_LAYER,
    AIRBORNE_PER_M,
    AIRBORNE_ALL,
    LEAF_OUTPUT,
    LEAF_LAYER
};

typedef enum {
    NAME, KIND, DISTANCE, SPAN, HEIGHT, ROW, THIRD_OF, SIDE_OF, VALUE, UNIT, FLOOR, ERROR, COLUMNS
} score_column;
static const char *const COLUMN[COLUMNS] = {"name", "kind", "distance_m", "span_m", "height_m", "row",
                                            "third", "side", "value",      "unit",   "floor",    "error"};

typedef struct {
    base_csv csv;
    int column[COLUMNS];
    const drupelet_result *r;
} reading;

static bool fine(const reading *in)
{
    return in->csv.status.code == DRUPELET_OK;
}

static bool given(const reading *in, score_column c)
{
    return base_csv_text(&in->csv, in->column[c])[0] != '\0';
}

/* A number that may be left out. */
static double number_or(reading *in, score_column c, double low, double high, const char *what, double otherwise)
{
    return given(in, c) ? base_csv_number(&in->csv, in->column[c], low, high, what) : otherwise;
}

static double number_of(reading *in, score_column c, double low, double high, const char *what)
{
    if (in->column[c] < 0)
        base_csv_need(&in->csv, COLUMN[c]);
    return fine(in) ? base_csv_number(&in->csv, in->column[c], low, high, what) : low;
}

/* Number of a word, or -1 where nothing is written. @param word NULL beyond the last */
static int word_or(reading *in, score_column c, const char *(*word)(int i), const char *expected)
{
    const char *text = base_csv_text(&in->csv, in->column[c]);
    if (text[0] == '\0')
        return -1;
    for (int i = 0; word(i); i++)
        if (strcmp(text, word(i)) == 0)
            return i;
    base_csv_refuse(&in->csv, in->column[c], "%s", expected);
    return -1;
}

/* Refuses cells that the kind of measurement has no use for. */
static void leave_empty(reading *in, const char *kind, int n, const score_column column[])
{
    for (int i = 0; i < n; i++)
        if (given(in, column[i]))
            base_csv_refuse(&in->csv, in->column[column[i]], "nothing, for %s has no such place", kind);
}

/* ---- what the result has ---- */

static score_number ground_at(reading *in, double distance_m, double span_m)
{
    const drupelet_result *r = in->r;
    const double low_m = distance_m - 0.5 * span_m, high_m = distance_m + 0.5 * span_m;
    double width_m = 0.0, sum = 0.0, square = 0.0, least_m = INFINITY, most_m = -INFINITY;
    for (int i = 0; i < r->n_ground; i++) {
        const double from_m = r->ground_distance_m[i] - 0.5 * TALLY_GROUND_STEP_M,
                     to_m = r->ground_distance_m[i] + 0.5 * TALLY_GROUND_STEP_M;
        const double part_m = fmin(to_m, high_m) - fmax(from_m, low_m);
        least_m = fmin(least_m, from_m);
        most_m = fmax(most_m, to_m);
        if (!(part_m > 0.0))
            continue;
        width_m += part_m;
        sum += part_m * r->ground_percent_of_rate[i].share;
        square += part_m * part_m * r->ground_percent_of_rate[i].error * r->ground_percent_of_rate[i].error;
    }
    if (!(width_m > 0.999 * span_m)) {
        base_csv_refuse(&in->csv, in->column[DISTANCE], "a place on the ground of the result, from %.4g m to %.4g m",
                         least_m + 0.5 * span_m, most_m - 0.5 * span_m);
        return (score_number){0.0, 0.0};
    }
    return (score_number){sum / width_m, sqrt(square) / width_m};
}

/* The plane of a distance. */
static int plane_at(reading *in, double distance_m)
{
    const double *plane_m = in->r->plane_distance_m;
    for (int p = 0; p < TALLY_PLANES; p++)
        if (fabs(plane_m[p] - distance_m) <= PLANE_SLACK_M)
            return p;
    char list[32 * TALLY_PLANES] = "";
    for (int p = 0; p < TALLY_PLANES; p++)
        snprintf(list + strlen(list), sizeof list - strlen(list), "%s%g m",
                 p == 0 ? "" : p + 1 < TALLY_PLANES ? ", " : " or ", plane_m[p]);
    base_csv_refuse(&in->csv, in->column[DISTANCE], "the distance of an upright plane of the result, %s", list);
    return 0;
}

/* Percent of the output per metre of height. */
static score_number airborne_at(reading *in, int plane, double height_m)
{
    const drupelet_result *r = in->r;
    const tally_estimate *flux = r->flux_percent_per_m + (ptrdiff_t)plane * r->n_flux;
    const int i = (int)(height_m / TALLY_FLUX_STEP_M);
    if (i < r->n_flux)
        return (score_number){flux[i].share, flux[i].error};
    base_csv_refuse(&in->csv, in->column[HEIGHT], "a height below the top of the result, %g m",
                     r->n_flux * TALLY_FLUX_STEP_M);
    return (score_number){0.0, 0.0};
}

/* A part of the canopy; -1: all rows (from 0), thirds, sides, layers. */
typedef struct { int row, third, side, layer; } part;

static int third_of_layer(const drupelet_result *r, int iz)
{
    return tally_third(r->z_m[iz], r->canopy_base_m, r->canopy_height_m);
}

/* Deposit by the accounts that have standard errors, share of the output. */
static score_number booked(const drupelet_result *r, part p)
{
    double sum = 0.0, square = 0.0;
    if (p.row < 0 && p.third < 0 && p.side < 0)
        return (score_number){r->fate[TALLY_LEAF].share, r->fate[TALLY_LEAF].error};
    for (int row = 0; row < r->n_rows; row++)
        for (int t = 0; t < TALLY_THIRDS; t++)
            for (int s = 0; s < TALLY_SIDES; s++)
                if ((p.row < 0 || p.row == row) && (p.third < 0 || p.third == t) && (p.side < 0 || p.side == s)) {
                    sum += r->row[row].leaf[t][s].share;
                    square += r->row[row].leaf[t][s].error * r->row[row].leaf[t][s].error;
                }
    return (score_number){sum, sqrt(square)};
}

/* Deposit (share of the output) and leaf area (m2 of one period) of the voxels of a part. */
static void sum_voxels(const drupelet_result *r, part p, double *deposit, double *leaf_m2)
{
    const double voxel_m3 = r->voxel_m * r->voxel_m * r->voxel_y_m;
    *deposit = *leaf_m2 = 0.0;
    size_t v = 0;
    for (int row = 0; row < r->n_rows; row++)
        for (int iz = 0; iz < r->nz; iz++)
            for (int iy = 0; iy < r->ny; iy++)
                for (int ix = 0; ix < r->nx; ix++, v++) {
                    const int side = 2 * ix + 1 > r->nx;
                    if ((p.row >= 0 && p.row != row) || (p.side >= 0 && p.side != side)
                        || (p.layer >= 0 && p.layer != iz) || (p.third >= 0 && p.third != third_of_layer(r, iz)))
                        continue;
                    *deposit += r->leaf_deposit[v];
                    *leaf_m2 += voxel_m3 * (double)r->leaf_area_density_1_m[v];
                }
}

/* Deposit on the leaves of a part: share of the output. */
static score_number canopy_at(const drupelet_result *r, part p, double *leaf_m2)
{
    double deposit, third_deposit, third_leaf_m2;
    sum_voxels(r, p, &deposit, leaf_m2);
    if (p.layer < 0)
        return booked(r, p);
    const part third = {p.row, third_of_layer(r, p.layer), p.side, -1};
    const score_number of_third = booked(r, third);
    sum_voxels(r, third, &third_deposit, &third_leaf_m2);
    return (score_number){deposit, third_deposit > 0.0 ? of_third.error * sqrt(deposit / third_deposit) : 0.0};
}

/* ---- measurements by name ---- */

/* A headline number of drift. Sums of drift are in no trial. */
static bool is_headline(int i_number)
{
    return i_number >= 0 && scenario_drift_numbers[i_number].kind != SCENARIO_DRIFT_SUM;
}

static void take_headline(const drupelet_result *r, int i_number, score_pair *pair)
{
    const scenario_drift_number *n = &scenario_drift_numbers[i_number];
    const tally_estimate e = result_column_value(r, result_column_named(n->name));
    pair->value.simulated = e.share;
    pair->value.error = e.error;
    pair->i_group = n->kind == SCENARIO_DRIFT_GROUND ? GROUND_RATE : AIRBORNE_ALL;
    snprintf(pair->place, SCORE_PLACE, "%s", n->name);
}

static void read_named(reading *in, score_pair *pair)
{
    static const score_column said[] = {KIND, DISTANCE, SPAN, HEIGHT, ROW, THIRD_OF, SIDE_OF, UNIT};
    const int i_number = scenario_drift_named(base_csv_text(&in->csv, in->column[NAME]));
    if (!is_headline(i_number)) {
        base_csv_refuse(&in->csv, in->column[NAME], "one of %s to %s, or %s to %s",
                         scenario_drift_numbers[0].name, scenario_drift_numbers[SCENARIO_CURVE - 1].name,
                         scenario_drift_numbers[SCENARIO_CURVE].name,
                         scenario_drift_numbers[SCENARIO_CURVE + SCENARIO_PLANES - 1].name);
        return;
    }
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++)
        if (given(in, said[i]))
            base_csv_refuse(&in->csv, in->column[said[i]], "nothing: the name says it");
    if (fine(in))
        take_headline(in->r, i_number, pair);
}

/* The headline number that is measured at a distance, or -1. */
static int headline_at(scenario_drift_kind kind, double distance_m)
{
    const int first = scenario_drift_first(kind), end = first + scenario_drift_count(kind);
    for (int i = first; i < end; i++)
        if (scenario_drift_numbers[i].distance_m == distance_m)
            return i;
    return -1;
}

/* ---- the kinds of measurement ---- */

static void scale(score_pair *pair, score_number n, double factor)
{
    pair->value.simulated = factor * n.value;
    pair->value.error = factor * n.error;
}

static void read_ground(reading *in, score_pair *pair)
{
    static const score_column unused[] = {HEIGHT, ROW, THIRD_OF, SIDE_OF};
    leave_empty(in, "ground", 4, unused);
    const double distance_m = number_of(in, DISTANCE, -10000, 10000, "a distance in m");
    const double span_m = number_or(in, SPAN, 0.01, 100, "a length in m", SPAN_M);
    if (!fine(in))
        return;
    const int headline = headline_at(SCENARIO_DRIFT_GROUND, distance_m);
    if (pair->i_group == GROUND_RATE && headline >= 0 && span_m == TALLY_CURVE_SPAN_M) {
        take_headline(in->r, headline, pair);
        return;
    }
    const double rate_uL_cm2 = UL_CM2_A_L_HA * in->r->application_rate_L_ha;
    scale(pair, ground_at(in, distance_m, span_m), pair->i_group == GROUND_RATE ? 1.0 : 0.01 * rate_uL_cm2);
    snprintf(pair->place, SCORE_PLACE, "%g m", distance_m);
}

static void read_airborne(reading *in, score_pair *pair)
{
    static const score_column unused[] = {SPAN, ROW, THIRD_OF, SIDE_OF};
    const drupelet_result *r = in->r;
    leave_empty(in, "airborne", 4, unused);
    const double distance_m = number_of(in, DISTANCE, -10000, 10000, "a distance in m");
    const bool all = pair->i_group == AIRBORNE_ALL;
    if (all && given(in, HEIGHT))
        base_csv_refuse(&in->csv, in->column[HEIGHT], "nothing: percent of output is of all heights");
    const double height_m = all ? 0.0 : number_of(in, HEIGHT, 0, 1000, "a height in m");
    if (!fine(in))
        return;
    const int plane = plane_at(in, distance_m);
    if (all && fine(in)) {
        take_headline(r, scenario_drift_first(SCENARIO_DRIFT_AIRBORNE) + plane, pair);
        return;
    }
    /* share per metre of height, times the width whose output it is a share of: over the rate */
    const double width_m = r->treated_width_m;
    const double factor = pair->i_group == AIRBORNE_RATE    ? width_m
                          : pair->i_group == AIRBORNE_LAYER ? 0.01 * width_m * UL_CM2_A_L_HA * r->application_rate_L_ha
                                                       : 1.0;
    scale(pair, airborne_at(in, plane, height_m), factor);
    snprintf(pair->place, SCORE_PLACE, "%g m, %g m high", distance_m, height_m);
}

/* Words for a part of the canopy. */
static void name_part(const reading *in, part p, double height_m, char place[SCORE_PLACE])
{
    int n = p.row < 0 ? snprintf(place, SCORE_PLACE, "all rows") : snprintf(place, SCORE_PLACE, "row %d", p.row + 1);
    if (p.layer >= 0)
        n += snprintf(place + n, (size_t)(SCORE_PLACE - n), ", %g m high", height_m);
    else if (p.third >= 0)
        n += snprintf(place + n, (size_t)(SCORE_PLACE - n), ", %s", result_third_name(p.third));
    if (p.side >= 0)
        snprintf(place + n, (size_t)(SCORE_PLACE - n), ", %s", base_csv_text(&in->csv, in->column[SIDE_OF]));
}

static int read_side(reading *in)
{
    static const char *const wind[] = {"upwind", "downwind"};
    const char *text = base_csv_text(&in->csv, in->column[SIDE_OF]);
    const drupelet_result *r = in->r;
    const bool rises = r->n_ground < 2 || r->ground_distance_m[1] > r->ground_distance_m[0]; /* distance with x */
    for (int i = 0; i < 2; i++)
        if (strcmp(text, wind[i]) == 0)
            return rises ? i : 1 - i;
    return word_or(in, SIDE_OF, result_side_name, "towards_minus_x, towards_plus_x, upwind or downwind");
}

static void read_canopy(reading *in, score_pair *pair)
{
    static const score_column unused[] = {DISTANCE, SPAN};
    const drupelet_result *r = in->r;
    leave_empty(in, "canopy", 2, unused);
    part p = {-1, -1, -1, -1};
    const double row = number_or(in, ROW, 1, r->n_rows, "the number of a row", 0.0);
    if (row > floor(row))
        base_csv_refuse(&in->csv, in->column[ROW], "a whole number from 1 to %d", r->n_rows);
    p.row = (int)row - 1;
    p.third = word_or(in, THIRD_OF, result_third_name, "bottom, middle or top");
    p.side = read_side(in);
    const double height_m = number_or(in, HEIGHT, 0, r->nz * r->voxel_m, "a height in m inside the canopy", -1.0);
    if (height_m >= 0.0 && p.third >= 0)
        base_csv_refuse(&in->csv, in->column[HEIGHT], "nothing: either third or height_m");
    if (!fine(in))
        return;
    if (height_m >= 0.0)
        p.layer = (int)fmin(height_m / r->voxel_m, r->nz - 1);
    double leaf_m2;
    const score_number share = canopy_at(r, p, &leaf_m2);
    name_part(in, p, height_m, pair->place);
    if (!(leaf_m2 > 0.0)) {
        base_csv_refuse(&in->csv, in->column[KIND], "a part of the canopy with leaves");
        return;
    }
    const double emitted_uL = 1e6 * 0.01 * r->emitted_L_per_100_m * r->ny * r->voxel_y_m; /* over one period */
    scale(pair, share, pair->i_group == LEAF_OUTPUT ? 100.0 : emitted_uL / (1e4 * leaf_m2));
}

/* ---- lines ---- */

/* The unit as score_groups spells it: "%" may stand for percent. */
static void spell_unit(const char *text, char unit[64])
{
    const bool sign = text[0] == '%';
    snprintf(unit, 64, "%s%s", sign ? "percent" : "", sign ? text + 1 : text);
}

static const char *kind_name(int kind)
{
    for (int g = 0; g < SCORE_GROUPS; g++)
        if ((int)score_groups[g].kind == kind)
            return score_groups[g].kind_name;
    return NULL;
}

static int read_group(reading *in)
{
    char unit[64], expected[160] = "";
    const int kind = word_or(in, KIND, kind_name, "ground, airborne or canopy");
    if (fine(in) && kind < 0)
        base_csv_refuse(&in->csv, in->column[KIND], "ground, airborne or canopy");
    spell_unit(base_csv_text(&in->csv, in->column[UNIT]), unit);
    for (int g = 0; g < SCORE_GROUPS; g++) {
        if ((int)score_groups[g].kind != kind)
            continue;
        if (strcmp(score_groups[g].unit, unit) == 0)
            return g;
        const size_t n = strlen(expected);
        snprintf(expected + n, sizeof expected - n, "%s%s", n > 0 ? ", or " : "", score_groups[g].unit);
    }
    base_csv_refuse(&in->csv, in->column[UNIT], "%s", expected);
    return 0;
}

static void read_line(reading *in, score_pair *pair)
{
    const bool named = given(in, NAME);
    if (!named && in->column[KIND] < 0)
        base_csv_need(&in->csv, COLUMN[KIND]);
    if (!named && in->column[UNIT] < 0)
        base_csv_need(&in->csv, COLUMN[UNIT]);
    *pair = (score_pair){.line = in->csv.line, .i_group = named || !fine(in) ? GROUND_RATE : read_group(in)};
    pair->value.measured = number_of(in, VALUE, 0, VALUE_MOST, "a measured value");
    pair->value.floor = number_or(in, FLOOR, 0, VALUE_MOST, "a detection floor", 0.0);
    pair->measured_error = number_or(in, ERROR, 0, VALUE_MOST, "a standard error", 0.0);
    if (!fine(in))
        return;
    if (named) {
        read_named(in, pair);
        return;
    }
    switch (score_groups[pair->i_group].kind) {
    case SCORE_GROUND: read_ground(in, pair); break;
    case SCORE_AIRBORNE: read_airborne(in, pair); break;
    case SCORE_CANOPY: read_canopy(in, pair); break;
    }
}

static void read_lines(reading *in, score_list *list)
{
    int room = 0;
    while (base_csv_next(&in->csv)) {
        if (list->n == room) {
            room = room > 0 ? 2 * room : 64;
            score_pair *more = realloc(list->pair, (size_t)room * sizeof *more);
            if (!more) {
                in->csv.status = base_error(DRUPELET_MEMORY, "%s: no memory to read it", in->csv.path);
                return;
            }
            list->pair = more;
        }
        read_line(in, &list->pair[list->n++]);
    }
    if (fine(in) && list->n == 0)
        base_csv_refuse_at(&in->csv, in->csv.line, 1, "", "no measurements", "one a line");
}

drupelet_status report_score_read(const char *measured_path, const drupelet_result *result, score_list *list)
{
    static const score_column needed[] = {VALUE, KIND, UNIT}; /* the last two unless lines can have names */
    reading in = {.r = result};
    char known[128] = "";
    *list = (score_list){0};
    for (int c = 0; c < COLUMNS; c++)
        snprintf(known + strlen(known), sizeof known - strlen(known), "%s%s", c > 0 ? " " : "", COLUMN[c]);
    base_csv_open(measured_path, MOST_BYTES, known, &in.csv);
    const bool names = base_csv_column(&in.csv, COLUMN[NAME]) >= 0;
    for (size_t i = 0; i < (names ? 1 : sizeof needed / sizeof needed[0]); i++)
        base_csv_need(&in.csv, COLUMN[needed[i]]);
    for (int c = 0; c < COLUMNS; c++)
        in.column[c] = base_csv_column(&in.csv, COLUMN[c]);
    if (fine(&in))
        read_lines(&in, list);
    const drupelet_status status = in.csv.status;
    base_csv_close(&in.csv);
    if (status.code != DRUPELET_OK)
        report_score_free(list);
    return status;
}

void report_score_free(score_list *list)
{
    free(list->pair);
    *list = (score_list){0};
}

drupelet_status report_score_group(const score_list *list, int i_group, score_statistics *statistics)
{
    score_values *value = malloc((size_t)(list->n + 1) * sizeof *value);
    int n = 0;
    if (!value)
        return base_error(DRUPELET_MEMORY, "no memory for the statistics");
    for (int i = 0; i < list->n; i++)
        if (list->pair[i].i_group == i_group)
            value[n++] = list->pair[i].value;
    *statistics = report_score_statistics(n, value);
    free(value);
    return base_ok();
}
