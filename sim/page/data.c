/* sim/page/data.c - what a page knows of one result. Amounts are {"v": values, "e": standard errors}. */
#include <math.h>
#include <stdlib.h>

#include "base/status.h"
#include "page/parts.h"
#include "scenario/time_limit.h"
#include "tally/drift.h"

enum { DIGITS = 5, FINE_DIGITS = 10 };

/* @param stride from one amount to the next, in amounts */
static void amounts_by(base_json *j, const char *key, size_t n, const tally_estimate *e, size_t stride, int digits)
{
    base_json_open(j, key, '{');
    base_json_numbers(j, "v", n, &e->share, 2 * stride, digits);
    base_json_numbers(j, "e", n, &e->error, 2 * stride, DIGITS);
    base_json_close(j, '}');
}

static void amounts(base_json *j, const char *key, size_t n, const tally_estimate *e)
{
    amounts_by(j, key, n, e, 1, DIGITS);
}

static void fates(base_json *j, const drupelet_result *r)
{
    amounts_by(j, "fates", TALLY_FATES, r->fate, 1, FINE_DIGITS);
    amounts_by(j, "water", TALLY_FATES, r->water, 1, FINE_DIGITS);
    amounts_by(j, "evaporated", 1, &r->evaporated, 1, FINE_DIGITS);
    amounts_by(j, "groups", TALLY_GROUPS, r->together, 1, FINE_DIGITS);
    base_json_open(j, "fate_names", '[');
    for (int f = 0; f < TALLY_FATES; f++)
        base_json_words(j, NULL, tally_fate_name((tally_fate)f));
    base_json_close(j, ']');
    base_json_open(j, "group_names", '[');
    for (int g = 0; g < TALLY_GROUPS; g++)
        base_json_words(j, NULL, tally_group_name((tally_group)g));
    base_json_close(j, ']');
    base_json_open(j, "group_of", '[');
    for (int f = 0; f < TALLY_FATES; f++)
        base_json_number(j, NULL, tally_group_of((tally_fate)f), 9);
    base_json_close(j, ']');
}

static void sizes(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "sizes", '{');
    base_json_numbers(j, "low_um", TALLY_SIZES, r->size_low_um, 1, DIGITS);
    base_json_numbers(j, "high_um", TALLY_SIZES, r->size_high_um, 1, DIGITS);
    amounts(j, "emitted", TALLY_SIZES, r->size_emitted);
    amounts(j, "fates", TALLY_SIZES * TALLY_FATES, r->size_fate[0]);       /* [size][fate] */
    amounts(j, "outcomes", TALLY_SIZES * TALLY_OUTCOMES, r->size_outcome[TALLY_LEAF][0]); /* [size][outcome] */
    base_json_numbers(j, "settling_m_s", TALLY_SIZES, r->settling_m_s, 1, DIGITS);
    base_json_numbers(j, "lifetime_s", TALLY_SIZES, r->lifetime_s, 1, DIGITS);
    base_json_numbers(j, "dry_after_fall_m", TALLY_SIZES, r->dry_after_fall_m, 1, DIGITS);
    base_json_close(j, '}');
    amounts(j, "outcomes", TALLY_OUTCOMES, r->outcome_share[TALLY_LEAF]);
}

static void leaves(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "leaves", '{');
    amounts(j, "third", TALLY_THIRDS * TALLY_SIDES, r->third[0]); /* [third][side] share of output */
    amounts(j, "leaf_side", 2, r->leaf_side);
    amounts(j, "cover_percent", 2, r->cover_percent);
    amounts(j, "droplets_1_cm2", 2, r->droplets_1_cm2);
    amounts(j, "deposit_uL_cm2", 1, &r->deposit_uL_cm2);
    amounts(j, "run_off", 1, &r->run_off);
    base_json_open(j, "rows", '[');
    for (int i = 0; i < r->n_rows; i++) {
        const result_row *row = &r->row[i];
        base_json_open(j, NULL, '{');
        base_json_number(j, "x_m", row->x_m, 6);
        amounts(j, "together", 1, &row->together);
        amounts(j, "third", TALLY_THIRDS * TALLY_SIDES, row->leaf[0]);
        amounts(j, "cover_percent", TALLY_THIRDS * TALLY_SIDES * 2, row->cover_percent[0][0]); /* ..[leaf side] */
        amounts(j, "droplets_1_cm2", TALLY_THIRDS * TALLY_SIDES * 2, row->droplets_1_cm2[0][0]);
        amounts(j, "deposit_uL_cm2", TALLY_THIRDS * TALLY_SIDES, row->deposit_uL_cm2[0]);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
    base_json_close(j, '}');
}

/* Strips outside the block, downwind, and those inside it: the far upwind end says nothing. */
static void ground(base_json *j, const drupelet_result *r)
{
    int first = r->n_ground, n = 0;
    const double block_m = r->block_high_x_m - r->block_low_x_m;
    for (int i = r->n_ground - 1; i >= 0; i--)
        if (r->ground_distance_m[i] >= -block_m - 20.0) {
            first = i;
            n++;
        }
    first = n > 0 ? first : 0;
    base_json_open(j, "ground", '{');
    base_json_numbers(j, "distance_m", (size_t)n, r->ground_distance_m + first, 1, 6);
    base_json_numbers(j, "v", (size_t)n, &r->ground_percent_of_rate[first].share, 2, DIGITS);
    base_json_numbers(j, "e", (size_t)n, &r->ground_percent_of_rate[first].error, 2, DIGITS);
    base_json_numbers(j, "curve_m", SCENARIO_CURVE, r->curve_distance_m, 1, DIGITS);
    amounts(j, "curve_percent", SCENARIO_CURVE, r->curve_percent);
    base_json_numbers(j, "sum_m", SCENARIO_SUMS, r->drift_distance_m, 1, DIGITS);
    amounts(j, "sum_percent", SCENARIO_SUMS, r->drift_sum_percent);
    base_json_close(j, '}');
    base_json_open(j, "flux", '{');
    base_json_numbers(j, "plane_m", TALLY_PLANES, r->plane_distance_m, 1, DIGITS);
    base_json_numbers(j, "z_m", (size_t)r->n_flux, r->flux_z_m, 1, DIGITS);
    base_json_numbers(j, "v", TALLY_PLANES * (size_t)r->n_flux, &r->flux_percent_per_m->share, 2, DIGITS);
    base_json_numbers(j, "e", TALLY_PLANES * (size_t)r->n_flux, &r->flux_percent_per_m->error, 2, DIGITS);
    amounts(j, "all_percent", TALLY_PLANES, r->flux_percent);
    base_json_open(j, "bands_from_m", '[');
    for (int i = 0; i < TALLY_BANDS; i++)
        base_json_number(j, NULL, r->band_from_m[i], DIGITS);
    base_json_close(j, ']');
    base_json_close(j, '}');
}

static void collectors(base_json *j, const drupelet_result *r)
{
    static const char *const KIND[] = {[SCENARIO_DISH] = "dish", [SCENARIO_LINE] = "line", [SCENARIO_CARD] = "card"};
    base_json_open(j, "collectors", '[');
    for (int i = 0; i < r->n_collectors; i++) {
        const result_collector *c = &r->collector[i];
        base_json_open(j, NULL, '{');
        base_json_words(j, "name", c->name);
        base_json_words(j, "kind", (unsigned)c->kind <= SCENARIO_CARD ? KIND[c->kind] : "");
        base_json_number(j, "distance_m", c->distance_m, DIGITS);
        base_json_number(j, "x_m", c->x_m, DIGITS);
        base_json_number(j, "low_m", c->height_m, DIGITS);
        base_json_number(j, "high_m", c->top_m, DIGITS);
        base_json_number(j, "facing_deg", c->facing_deg, DIGITS);
        for (int m = 0; m < RUN_MEASURES; m++)
            amounts(j, run_measure_name((run_measure)m), 1, &c->measured.of[m]);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void sprayer(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "nozzles", '[');
    for (int i = 0; i < r->n_nozzles; i++) {
        const result_nozzle *n = &r->nozzle[i];
        const double value[] = {n->side, n->offset_m, n->height_m, n->pressure_bar, n->flow_L_min, n->spray - 1};
        base_json_numbers(j, NULL, sizeof value / sizeof value[0], value, 1, DIGITS);
    }
    base_json_close(j, ']');
    base_json_open(j, "passes", '[');
    for (int i = 0; i < r->n_passes; i++) {
        const result_pass *p = &r->pass[i];
        const double value[] = {p->x_m, p->alley, p->heading, p->left_open, p->right_open};
        base_json_numbers(j, NULL, sizeof value / sizeof value[0], value, 1, 7);
    }
    base_json_close(j, ']');
    base_json_open(j, "sprays", '[');
    for (int i = 0; i < r->n_sprays; i++) {
        const result_spray *s = &r->spray[i];
        base_json_open(j, NULL, '{');
        base_json_words(j, "tip", s->tip);
        base_json_words(j, "note", s->note);
        base_json_truth(j, "assumed", s->assumed);
        base_json_number(j, "pressure_bar", s->pressure_bar, DIGITS);
        base_json_number(j, "dv10_um", s->dv10_um, DIGITS);
        base_json_number(j, "dv50_um", s->dv50_um, DIGITS);
        base_json_number(j, "dv90_um", s->dv90_um, DIGITS);
        base_json_number(j, "below_100_um", s->share_below_100_um, DIGITS);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void inputs(base_json *j, const drupelet_result *r)
{
    const struct { const char *name; double value; } number[] = {
        {"rate_L_ha", r->application_rate_L_ha}, {"per_100_m_L", r->emitted_L_per_100_m},
        {"fan_flow_m3_s", r->fan_flow_m3_s}, {"fan_power_kW", r->fan_power_kW}, {"fan_speed_rpm", r->fan_speed_rpm},
        {"row_spacing_m", r->row_spacing_m}, {"tree_spacing_m", r->tree_spacing_m}, {"grass_m", r->grass_height_m},
        {"crown_top_m", r->canopy_height_m}, {"crown_base_m", r->canopy_base_m}, {"crown_width_m", r->canopy_width_m},
        {"leaf_area_index", r->leaf_area_index}, {"travel_speed_km_h", r->travel_speed_km_h},
        {"temperature_degC", r->temperature_degC}, {"humidity_percent", r->relative_humidity_percent},
        {"wind_speed_m_s", r->wind_speed_m_s}, {"wind_height_m", r->wind_height_m},
        {"wind_angle_deg", r->wind_angle_deg},
        {"pressure_hPa", r->air_pressure_hPa}, {"nonvolatile_percent", r->nonvolatile_percent},
        {"domain_top_m", r->domain_top_m}, {"treated_low_x_m", r->block_low_x_m},
        {"treated_high_x_m", r->block_high_x_m},
    };
    base_json_open(j, "inputs", '{');
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++)
        base_json_number(j, number[i].name, number[i].value, 7);
    /* the middle of the first strip is upwind of the block if distances rise with x */
    base_json_number(j, "downwind", r->n_ground < 2 || r->ground_distance_m[1] > r->ground_distance_m[0] ? 1 : -1, 2);
    base_json_truth(j, "still", r->wind_speed_m_s < SCENARIO_STILL_M_S);
    base_json_words(j, "resolved", r->resolved);
    base_json_close(j, '}');
}

static void number_and_unit(base_json *j, const char *key, int digits, double number, const char *unit)
{
    char text[48];
    snprintf(text, sizeof text, "%.*g %s", digits, number, unit);
    base_json_words(j, key, text);
}

static void warnings(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "warnings", '[');
    for (int i = 0; i < r->n_warnings; i++) {
        base_json_open(j, NULL, '{');
        base_json_words(j, "name", r->warning[i].name);
        base_json_words(j, "text", r->warning[i].sentence);
        number_and_unit(j, "found", 3, r->warning[i].value, r->warning[i].unit);
        number_and_unit(j, "bound", 6, r->warning[i].bound, r->warning[i].unit);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

drupelet_status page_result(base_json *j, const char *file_name, const drupelet_result *r)
{
    char seed[24];
    snprintf(seed, sizeof seed, "%llu", (unsigned long long)r->seed);
    base_json_open(j, NULL, '{');
    base_json_words(j, "file", file_name);
    base_json_words(j, "name", r->name);
    base_json_words(j, "place", r->place);
    base_json_words(j, "version", r->version);
    base_json_words(j, "seed", seed);
    base_json_number(j, "droplets", (double)r->n_droplets, 15);
    fates(j, r);
    sizes(j, r);
    leaves(j, r);
    ground(j, r);
    collectors(j, r);
    sprayer(j, r);
    inputs(j, r);
    warnings(j, r);
    drupelet_status status = page_tracks(j, r);
    if (status.code == DRUPELET_OK)
        status = page_canopy(j, r);
    base_json_close(j, '}');
    return status;
}
