/* sim/report/score_read.c - reads measurements from a table, and takes from the result what it has in the same places.
 *
 * Standard errors of sums are those of independent parts: a droplet lies in one strip, so the parts of a sum hardly
 * share any. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "report/score_cells.h"
#include "result/columns.h"
#include "tally/drift.h"

#define MOST_BYTES ((size_t)20000000)
#define VALUE_MOST 1e9
#define SPAN_M 1.0          /* choice: as far along the distance as ground samplers usually lie */
#define UL_CM2_A_L_HA 0.01  /* 1e6 uL over 1e8 cm2 */
#define LAYER "uL/cm2"      /* what a mass of tracer becomes, too */

static const score_group FIXED[SCORE_FIXED] = {
    {SCORE_GROUND, "ground", "percent of rate", "Ground deposit, percent of the application rate"},
    {SCORE_GROUND, "ground", LAYER, "Ground deposit, uL/cm2"},
    {SCORE_AIRBORNE, "airborne", "percent of rate", "Airborne at a height, percent of the application rate"},
    {SCORE_AIRBORNE, "airborne", LAYER, "Airborne at a height, uL/cm2"},
    {SCORE_AIRBORNE, "airborne", "percent of output per m", "Airborne at a height, percent of the output per m"},
    {SCORE_AIRBORNE, "airborne", "percent of output", "Airborne at all heights, percent of the output"},
    {SCORE_CANOPY, "canopy", "percent of output", "On leaves, percent of the output"},
    {SCORE_CANOPY, "canopy", LAYER, "On leaves, uL/cm2 of one-sided leaf area"},
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

score_group report_score_group_of(int i)
{
    if (i < SCORE_FIXED)
        return FIXED[i];
    const int kind = (i - SCORE_FIXED) / SCORE_UNITS;
    score_group g = {SCORE_COLLECTOR + kind, scenario_collector_kind_name(kind),
                     report_score_unit_of_collector((i - SCORE_FIXED) % SCORE_UNITS), ""};
    snprintf(g.title, sizeof g.title, "On a %s, %s", g.kind_name, g.unit);
    return g;
}

/* ---- what the result has ---- */

static score_number ground_at(score_reading *in, double distance_m, double span_m)
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
        score_refuse(in, SCORE_DISTANCE, "a place on the ground of the result, from %.4g m to %.4g m",
                         least_m + 0.5 * span_m, most_m - 0.5 * span_m);
        return (score_number){0.0, 0.0};
    }
    return (score_number){sum / width_m, sqrt(square) / width_m};
}

/* The plane of a distance, or -1. */
static int plane_at(const drupelet_result *r, double distance_m)
{
    for (int p = 0; p < TALLY_PLANES; p++)
        if (fabs(r->plane_distance_m[p] - distance_m) <= SCORE_PLACE_SLACK_M)
            return p;
    return -1;
}

/* @param or_line could a line help, too? */
static void refuse_distance(score_reading *in, bool or_line)
{
    const double *plane_m = in->r->plane_distance_m;
    char list[32 * TALLY_PLANES] = "";
    for (int p = 0; p < TALLY_PLANES; p++)
        snprintf(list + strlen(list), sizeof list - strlen(list), "%s%g m",
                 p == 0 ? "" : p + 1 < TALLY_PLANES ? ", " : " or ", plane_m[p]);
    score_refuse(in, SCORE_DISTANCE, "the distance of an upright plane of the result, %s%s", list,
                 or_line ? ", or one where a line of the result reaches the height" : "");
}

/* Percent of the output per metre of height. */
static score_number airborne_at(score_reading *in, int plane, double height_m)
{
    const drupelet_result *r = in->r;
    const tally_estimate *flux = r->flux_percent_per_m + (ptrdiff_t)plane * r->n_flux;
    const int i = (int)(height_m / TALLY_FLUX_STEP_M);
    if (i < r->n_flux)
        return (score_number){flux[i].share, flux[i].error};
    score_refuse(in, SCORE_HEIGHT, "a height below the top of the result, %g m",
                     r->n_flux * TALLY_FLUX_STEP_M);
    return (score_number){0.0, 0.0};
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

static void read_named(score_reading *in, score_pair *pair)
{
    static const score_column said[] = {SCORE_KIND,   SCORE_DISTANCE, SCORE_SPAN, SCORE_HEIGHT,
                                        SCORE_ROW,    SCORE_THIRD,    SCORE_SIDE, SCORE_UNIT,
                                        SCORE_COLLECTOR_NAME, SCORE_TRACER, SCORE_AREA};
    const int i_number = scenario_drift_named(score_text(in, SCORE_NAME));
    if (!is_headline(i_number)) {
        score_refuse(in, SCORE_NAME, "one of %s to %s, or %s to %s",
                         scenario_drift_numbers[0].name, scenario_drift_numbers[SCENARIO_CURVE - 1].name,
                         scenario_drift_numbers[SCENARIO_CURVE].name,
                         scenario_drift_numbers[SCENARIO_CURVE + SCENARIO_PLANES - 1].name);
        return;
    }
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++)
        if (score_given(in, said[i]))
            score_refuse(in, said[i], "nothing: the name says it");
    if (score_fine(in))
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

static void read_ground(score_reading *in, score_pair *pair)
{
    static const score_column unused[] = {SCORE_HEIGHT, SCORE_ROW, SCORE_THIRD, SCORE_SIDE, SCORE_COLLECTOR_NAME};
    score_leave_empty(in, "ground", 5, unused);
    const double distance_m = score_number_of(in, SCORE_DISTANCE, -10000, 10000, "a distance in m");
    const double span_m = score_number_or(in, SCORE_SPAN, 0.01, 100, "a length in m", SPAN_M);
    if (!score_fine(in))
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

static void read_airborne(score_reading *in, score_pair *pair)
{
    static const score_column unused[] = {SCORE_SPAN, SCORE_ROW, SCORE_THIRD, SCORE_SIDE, SCORE_COLLECTOR_NAME};
    const drupelet_result *r = in->r;
    score_leave_empty(in, "airborne", 5, unused);
    const double distance_m = score_number_of(in, SCORE_DISTANCE, -10000, 10000, "a distance in m");
    const bool all = pair->i_group == AIRBORNE_ALL;
    if (all && score_given(in, SCORE_HEIGHT))
        score_refuse(in, SCORE_HEIGHT, "nothing: percent of output is of all heights");
    const double height_m = all ? 0.0 : score_number_of(in, SCORE_HEIGHT, 0, 1000, "a height in m");
    if (!score_fine(in))
        return;
    const int plane = plane_at(r, distance_m);
    if (all && plane >= 0) {
        take_headline(r, scenario_drift_first(SCENARIO_DRIFT_AIRBORNE) + plane, pair);
        return;
    }
    /* share per metre of height, times the width whose output it is a share of: over the rate */
    const double width_m = r->treated_width_m, layer = 0.01 * width_m * UL_CM2_A_L_HA * r->application_rate_L_ha;
    const double factor = pair->i_group == AIRBORNE_RATE ? width_m : pair->i_group == AIRBORNE_LAYER ? layer : 1.0;
    score_number net;
    if (plane >= 0)
        scale(pair, airborne_at(in, plane, height_m), factor);
    else if (!all && score_line_at(in, distance_m, height_m, &net)) /* of a line: uL/cm2 */
        scale(pair, net, factor / layer);
    else
        refuse_distance(in, !all);
    snprintf(pair->place, SCORE_PLACE, "%g m, %g m high", distance_m, height_m);
}

/* ---- lines ---- */

/* The unit as the groups spell it: "%" may stand for percent. A mass of tracer is told as the volume that held it. */
static void spell_unit(score_reading *in, char unit[64])
{
    const char *text = score_text(in, SCORE_UNIT);
    const bool sign = text[0] == '%';
    in->amount = strcmp(text, "ug/cm2") == 0 ? SCORE_MASS_AN_AREA : strcmp(text, "ug") == 0 ? SCORE_MASS : SCORE_VOLUME;
    if (in->amount == SCORE_VOLUME)
        snprintf(unit, 64, "%s%s", sign ? "percent" : "", sign ? text + 1 : text);
    else
        snprintf(unit, 64, LAYER);
}

static const char *kind_name(int kind)
{
    for (int g = 0; g < SCORE_GROUPS; g++)
        if (report_score_group_of(g).kind == kind)
            return report_score_group_of(g).kind_name;
    return NULL;
}

static int read_group(score_reading *in)
{
    char unit[64], expected[240] = "", kinds[120] = "";
    for (int i = 0; kind_name(i); i++)
        base_add_word(kinds, sizeof kinds, kind_name(i + 1) ? ", " : " or ", kind_name(i));
    const int kind = score_word_or(in, SCORE_KIND, kind_name, kinds);
    if (score_fine(in) && kind < 0)
        score_refuse(in, SCORE_KIND, "%s", kinds);
    spell_unit(in, unit);
    for (int g = 0; g < SCORE_GROUPS; g++) {
        const score_group group = report_score_group_of(g);
        if (group.kind != kind)
            continue;
        if (strcmp(group.unit, unit) == 0)
            return g;
        base_add_word(expected, sizeof expected, ", ", group.unit);
    }
    score_refuse(in, SCORE_UNIT, "%s, ug/cm2, or ug", expected);
    return 0;
}

/* Turns a mass of tracer into the volume of spray that held it, per area. */
static void take_tracer(score_reading *in, score_pair *pair)
{
    static const score_column of_mass[] = {SCORE_TRACER, SCORE_AREA};
    for (int i = (int)in->amount; i < 2; i++) /* a volume needs neither, a mass per area only the first */
        if (score_given(in, of_mass[i]))
            score_refuse(in, of_mass[i], "nothing: the unit is %s", score_text(in, SCORE_UNIT));
    if (in->amount == SCORE_VOLUME || !score_fine(in))
        return;
    double volume = 1.0 / score_number_of(in, SCORE_TRACER, 1e-9, 1000, "grams of tracer in a litre of spray");
    if (in->amount == SCORE_MASS) {
        if (in->area_cm2 > 0.0)
            volume /= score_number_or(in, SCORE_AREA, 1e-3, 1e6, "the sampler's area in cm2", in->area_cm2);
        else
            volume /= score_number_of(in, SCORE_AREA, 1e-3, 1e6, "the sampler's area in cm2");
    }
    pair->value.measured *= volume;
    pair->value.floor *= volume;
    pair->measured_error *= volume;
}

static void read_line(score_reading *in, score_pair *pair)
{
    const bool named = score_given(in, SCORE_NAME);
    in->amount = SCORE_VOLUME;
    in->area_cm2 = 0.0;
    if (!named && in->column[SCORE_KIND] < 0)
        base_csv_need(&in->csv, score_column_names[SCORE_KIND]);
    if (!named && in->column[SCORE_UNIT] < 0)
        base_csv_need(&in->csv, score_column_names[SCORE_UNIT]);
    *pair = (score_pair){.line = in->csv.line, .i_group = named || !score_fine(in) ? GROUND_RATE : read_group(in)};
    pair->value.measured = score_number_of(in, SCORE_VALUE, 0, VALUE_MOST, "a measured value");
    pair->value.floor = score_number_or(in, SCORE_FLOOR, 0, VALUE_MOST, "a detection floor", 0.0);
    pair->measured_error = score_number_or(in, SCORE_ERROR, 0, VALUE_MOST, "a standard error", 0.0);
    if (!score_fine(in))
        return;
    if (named) {
        read_named(in, pair);
        return;
    }
    const int kind = report_score_group_of(pair->i_group).kind;
    switch (kind) {
    case SCORE_GROUND: read_ground(in, pair); break;
    case SCORE_AIRBORNE: read_airborne(in, pair); break;
    case SCORE_CANOPY: score_read_canopy(in, pair->i_group == LEAF_OUTPUT, pair); break;
    default: score_read_collector(in, kind - SCORE_COLLECTOR, (pair->i_group - SCORE_FIXED) % SCORE_UNITS, pair);
    }
    if (score_fine(in))
        take_tracer(in, pair);
}

static void read_lines(score_reading *in, score_list *list)
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
    if (score_fine(in) && list->n == 0)
        base_csv_refuse_at(&in->csv, in->csv.line, 1, "", "no measurements", "one a line");
}

drupelet_status report_score_read(const char *measured_path, const drupelet_result *result, score_list *list)
{
    /* the last two unless lines can have names */
    static const score_column needed[] = {SCORE_VALUE, SCORE_KIND, SCORE_UNIT};
    score_reading in = {.r = result};
    char known[256] = "";
    *list = (score_list){0};
    for (int c = 0; c < SCORE_COLUMNS; c++)
        snprintf(known + strlen(known), sizeof known - strlen(known), "%s%s", c > 0 ? " " : "", score_column_names[c]);
    base_csv_open(measured_path, MOST_BYTES, known, &in.csv);
    const bool names = base_csv_column(&in.csv, score_column_names[SCORE_NAME]) >= 0;
    for (size_t i = 0; i < (names ? 1 : sizeof needed / sizeof needed[0]); i++)
        base_csv_need(&in.csv, score_column_names[needed[i]]);
    for (int c = 0; c < SCORE_COLUMNS; c++)
        in.column[c] = base_csv_column(&in.csv, score_column_names[c]);
    if (score_fine(&in))
        read_lines(&in, list);
    const drupelet_status status = in.csv.status;
    free(in.leaves);
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
