/* sim/report/summary_json.c - the summary as JSON: the quantities that their table (result/quantity.h) marks for it,
 * and between them what has a shape of its own. Units stand in the keys. */
#include <math.h>
#include <string.h>

#include "report/model_error.h"
#include "report/summary.h"
#include "report/text.h"
#include "result/quantity.h"
#include "tally/drift.h"

/* A share of the output, told in percent. */
static void put_percent(base_json *j, const char *key, tally_estimate e)
{
    report_json_estimate(j, key, result_times(100.0, e));
}

/* ---- quantities by their table ---- */

enum { LAST_IN_RECORD = 2 };

/* Name and unit; the name without that of its axis in front, the unit unless the name begins with it. */
static const char *key_of(const result_quantity *q, char key[96])
{
    const size_t n = q->axes ? strlen(q->axes) : 0;
    const char *name = n > 0 && strncmp(q->name, q->axes, n) == 0 && q->name[n] == '_' ? q->name + n + 1 : q->name;
    const bool unit = q->unit && strcmp(q->unit, "1") != 0 && strncmp(name, q->unit, strlen(q->unit)) != 0;
    if (q->summary.key)
        return q->summary.key;
    snprintf(key, 96, "%s%s%s", name, unit ? "_" : "", unit ? q->unit : "");
    for (char *c = key; *c; c++)
        *c = *c == '/' ? '_' : *c;
    return key;
}

static void put_value(base_json *j, const char *key, const drupelet_result *r, const result_group *group,
                      const result_quantity *q, size_t i)
{
    const void *at = result_value(r, group, q, i);
    const double number = result_number(q, at, i), factor = q->summary.factor > 0.0 ? q->summary.factor : 1.0;
    const int digits = q->summary.digits > 0 ? q->summary.digits : REPORT_JSON_DIGITS;
    if (q->type == RESULT_SHARE)
        report_json_estimate(j, key, result_times(factor, *(const tally_estimate *)at));
    else if (q->type == RESULT_TEXT)
        base_json_words(j, key, *(char *const *)at);
    else if (!q->word)
        base_json_number(j, key, factor * number, digits);
    else if (strcmp(q->word(1), q->name) == 0) /* a flag that is on or off */
        base_json_truth(j, key, number > 0.0);
    else
        base_json_words(j, key, q->word((int)number));
}

/* Name of point i of an axis; NULL: it is a number. */
static const char *point_name(const result_quantity *q, const result_quantity *axis, int i)
{
    return q->column.batched ? scenario_target_name((int)q->column.target + i) : axis->word ? axis->word(i) : NULL;
}

/* n values of a quantity from the first on, by the points of the axis. */
static void put_values(base_json *j, const drupelet_result *r, const result_group *group, const result_quantity *q,
                       const result_quantity *axis, size_t first)
{
    const size_t n = result_size(r, group, axis);
    for (size_t i = 0; i < n; i++)
        put_value(j, point_name(q, axis, (int)i), r, group, q, first + i);
}

static bool is_list(const result_quantity *axis)
{
    return axis && !axis->axes && (axis->use & RESULT_IN_SUMMARY);
}

/* The list whose records have a quantity in them; NULL: it stands by itself. */
static const result_quantity *list_of(const result_group *group, const result_quantity *q)
{
    const result_quantity *axis = result_axis_of(group, q, 0);
    return is_list(axis) ? axis : NULL;
}

/* The record of a point of a list: its own value, then the quantities along it, those with a rank last. */
static void put_record(base_json *j, const drupelet_result *r, const result_group *group, const result_quantity *list,
                       size_t i)
{
    if (list->summary.own_key)
        put_value(j, list->summary.own_key, r, group, list, i);
    for (int rank = 0; rank <= LAST_IN_RECORD; rank++)
        for (int k = 0; k < group->n; k++) {
            const result_quantity *q = &group->quantity[k], *words = result_axis_of(group, q, 1);
            char key[96];
            if (!(q->use & RESULT_IN_SUMMARY) || list_of(group, q) != list || q->summary.rank != rank)
                continue;
            if (words)
                put_values(j, r, group, q, words, i * (size_t)words->length);
            else
                put_value(j, key_of(q, key), r, group, q, i);
        }
}

/* The records of n points of a list. */
static void put_list(base_json *j, const drupelet_result *r, const result_group *group, const result_quantity *list,
                     size_t first, size_t n)
{
    base_json_open(j, list->summary.key, '[');
    for (size_t i = first; i < first + n; i++) {
        base_json_open(j, NULL, '{');
        put_record(j, r, group, list, i);
        for (int k = 0; k < group->n && list->summary.rank > 0; k++) { /* the parts of a collector */
            const result_quantity *parts = &group->quantity[k];
            if (is_list(parts) && parts->summary.rank == 0 && r->collector[i].n_parts > 1)
                put_list(j, r, group, parts, (size_t)r->collector[i].first_part, (size_t)r->collector[i].n_parts);
        }
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void put_quantity(base_json *j, const drupelet_result *r, const result_group *group, const result_quantity *q)
{
    const result_quantity *axis = result_axis_of(group, q, 0);
    char key[96];
    if (!q->axes) {
        put_list(j, r, group, q, 0, result_size(r, group, q));
    } else if (axis) {
        const bool named = point_name(q, axis, 0) != NULL;
        base_json_open(j, key_of(q, key), named ? '{' : '[');
        put_values(j, r, group, q, axis, 0);
        base_json_close(j, named ? '}' : ']');
    } else {
        put_value(j, key_of(q, key), r, group, q, 0);
    }
}

/* ---- what has a shape of its own ---- */

static void put_airborne(base_json *j, const drupelet_result *r)
{
    put_percent(j, "airborne_L_of_100_L", r->together[TALLY_AIRBORNE]);
}

/* What is not known is null here. */
static void put_known(base_json *j, const char *key, double factor, tally_estimate e)
{
    if (!isfinite(e.share) || !isfinite(e.error)) {
        base_json_null(j, key);
        return;
    }
    base_json_open(j, key, '{');
    base_json_number(j, "value", factor * e.share, REPORT_JSON_DIGITS);
    base_json_number(j, "standard_error", factor * e.error, REPORT_JSON_DIGITS);
    base_json_close(j, '}');
}

static void put_number(base_json *j, const char *key, double value)
{
    if (isfinite(value))
        base_json_number(j, key, value, REPORT_JSON_DIGITS);
    else
        base_json_null(j, key);
}

static void put_leaves(base_json *j, const drupelet_result *r)
{
    static const char *const SIDE[2] = {"lower_side", "upper_side"};
    base_json_open(j, "leaves", '{');
    for (int side = 1; side >= 0; side--) {
        base_json_open(j, SIDE[side], '{');
        put_known(j, "covered_percent", 1.0, r->cover_percent[side]);
        put_known(j, "droplets_per_cm2", 1.0, r->all_droplets_1_cm2[side]);
        put_known(j, "visible_droplets_per_cm2", 1.0, r->droplets_1_cm2[side]);
        base_json_close(j, '}');
    }
    put_known(j, "deposit_uL_per_cm2", 1.0, r->deposit_uL_cm2);
    put_known(j, "liquid_uL_per_cm2", 1.0, r->liquid_uL_cm2);
    put_known(j, "normalised_deposit_ug_per_cm2_for_1_kg_per_ha", 1.0, r->normalised_ug_cm2);
    put_number(j, "leaf_to_leaf_deviation_percent", r->leaf_to_leaf_percent);
    put_number(j, "upper_over_lower_side_deposit", r->leaf_side[1].share / r->leaf_side[0].share);
    put_known(j, "run_off_L_of_100_L", 100.0, r->run_off);
    put_known(j, "wood_run_off_L_of_100_L", 100.0, r->wood_run_off);
    base_json_close(j, '}');
}

static void put_heights(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "airborne_by_height_percent_of_output", '[');
    for (int p = 0; p < TALLY_PLANES; p++)
        for (int i = 0; i < TALLY_BANDS; i++) {
            const double to_m = i + 1 < TALLY_BANDS ? r->band_from_m[i + 1] : r->n_flux * TALLY_FLUX_STEP_M;
            base_json_open(j, NULL, '{');
            base_json_number(j, "distance_m", r->plane_distance_m[p], REPORT_JSON_DIGITS);
            base_json_number(j, "from_m", r->band_from_m[i], REPORT_JSON_DIGITS);
            base_json_number(j, "to_m", to_m, REPORT_JSON_DIGITS);
            report_json_estimate(j, "passes", r->band_percent[p][i]);
            base_json_close(j, '}');
        }
    base_json_close(j, ']');
}

static void put_elsewhere(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "drift_elsewhere_percent_of_output", '{');
    for (int i = 0; i < REPORT_ELSEWHERE; i++)
        put_percent(j, tally_fate_name(report_elsewhere[i]), r->fate[report_elsewhere[i]]);
    base_json_close(j, '}');
}

/* Before quantities of that rank and above. */
static const struct { int rank; void (*put)(base_json *j, const drupelet_result *r); } SHAPED[] = {
    {60, put_airborne}, {90, put_leaves}, {120, put_heights}, {125, put_elsewhere}};
enum { N_SHAPED = sizeof SHAPED / sizeof SHAPED[0] };

/* ---- the whole ---- */

static void put_aim(base_json *j, const drupelet_result *r)
{
    if (!r->target_name)
        return;
    base_json_open(j, "target", '{');
    base_json_words(j, "name", r->target_name);
    base_json_number(j, "error_wanted_percent", 100.0 * r->target_asked, REPORT_JSON_DIGITS);
    base_json_number(j, "error_percent", 100.0 * r->target.error, REPORT_JSON_DIGITS);
    base_json_truth(j, "reached", r->target.reached);
    base_json_whole(j, "rounds", (uint64_t)r->target_rounds);
    base_json_close(j, '}');
}

static void put_ranked(base_json *j, const drupelet_result *r, int rank)
{
    for (int i = 0; i < N_SHAPED; i++)
        if (SHAPED[i].rank == rank)
            SHAPED[i].put(j, r);
    for (int g = 0; g < result_n_groups; g++)
        for (int k = 0; k < result_groups[g]->n; k++) {
            const result_quantity *q = &result_groups[g]->quantity[k];
            if ((q->use & RESULT_IN_SUMMARY) && q->summary.rank == rank && !list_of(result_groups[g], q))
                put_quantity(j, r, result_groups[g], q);
        }
}

void report_summary_json(const drupelet_result *r, FILE *to)
{
    base_json j = {.to = to, .lines = 2};
    const run_warnings warnings = report_warnings_of(r);
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "program_version", r->version);
    base_json_words(&j, "name", r->name);
    base_json_words(&j, "place", r->place);
    base_json_whole(&j, "seed", r->seed);
    base_json_whole(&j, "n_droplets", (uint64_t)r->n_droplets);
    base_json_whole(&j, "n_steps", (uint64_t)r->n_steps);
    put_aim(&j, r);
    for (int rank = 1; rank <= RESULT_LAST_RANK; rank++)
        put_ranked(&j, r, rank);
    report_model_error_json(&j);
    report_warnings_json(&j, &warnings);
    base_json_words(&j, "caution", r->caution);
    base_json_close(&j, '}');
}
