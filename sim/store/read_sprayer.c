/* sim/store/read_sprayer.c - the sprayer and the inputs of a result file. */
#include <math.h>
#include <stdlib.h>

#include "scenario/keys.h"
#include "scenario/scenario.h"
#include "store/read.h"

/* Columns of real numbers of one length; NULL after a failure. */
static void read_columns(store_in *in, int n_columns, const char *const name[], hsize_t n[1], double *column[])
{
    for (int k = 0; k < n_columns; k++)
        column[k] = store_read_numbers(in, name[k], 1, n, STORE_PLACE);
}

static void read_nozzles(store_in *in, store_result *r)
{
    enum { REAL = 4 };
    static const char *const NAME[REAL] = {"sprayer/nozzle_offset", "sprayer/nozzle_height", "sprayer/nozzle_pressure",
                                           "sprayer/nozzle_flow"};
    hsize_t n[1] = {0};
    double *real[REAL] = {0};
    int32_t *side = store_read_counts(in, "sprayer/nozzle_side", n, -1, 1);
    int32_t *spray = store_read_counts(in, "sprayer/nozzle_spray", n, 1, r->n_sprays);
    read_columns(in, REAL, NAME, n, real);
    r->n_nozzles = store_in_size(in, "sprayer/nozzle_side", n[0], SCENARIO_NOZZLES);
    r->nozzle = store_in_memory(in, (size_t)n[0], sizeof *r->nozzle);
    for (int i = 0; i < r->n_nozzles && r->nozzle; i++)
        r->nozzle[i] = (store_nozzle){.side = side[i], .spray = spray[i] - 1, .offset_m = real[0][i],
                                      .height_m = real[1][i], .pressure_bar = real[2][i], .flow_L_min = real[3][i]};
    for (int k = 0; k < REAL; k++)
        free(real[k]);
    free(spray);
    free(side);
}

static void free_texts(char **text, hsize_t n)
{
    for (hsize_t i = 0; i < n && text; i++)
        free(text[i]);
}

static void read_sprays(store_in *in, store_result *r)
{
    enum { REAL = 6 };
    static const char *const NAME[REAL] = {"sprayer/pressure", "sprayer/dv10", "sprayer/dv50", "sprayer/dv90",
                                           "sprayer/share_below_100_um", "sprayer/share_below_150_um"};
    hsize_t n[1] = {0};
    double *real[REAL] = {0};
    int32_t *assumed = store_read_counts(in, "sprayer/assumed", n, 0, 1);
    read_columns(in, REAL, NAME, n, real);
    const int n_sprays = store_in_size(in, "sprayer/assumed", n[0], SCENARIO_NOZZLES);
    char **tip = store_in_texts(in, "sprayer/tip", 1, n, SCENARIO_NOZZLES);
    char **note = store_in_texts(in, "sprayer/note", 1, n, SCENARIO_NOZZLES);
    r->spray = store_in_memory(in, (size_t)n[0], sizeof *r->spray);
    for (int i = 0; i < n_sprays && r->spray; i++)
        r->spray[i] = (store_spray){.tip = tip[i], .note = note[i], .assumed = assumed[i] != 0,
                                    .pressure_bar = real[0][i], .dv10_um = real[1][i], .dv50_um = real[2][i],
                                    .dv90_um = real[3][i], .share_below_100_um = real[4][i],
                                    .share_below_150_um = real[5][i]};
    r->n_sprays = r->spray ? n_sprays : 0;
    if (!r->spray) {
        free_texts(tip, n[0]);
        free_texts(note, n[0]);
    }
    free(note);
    free(tip);
    for (int k = 0; k < REAL; k++)
        free(real[k]);
    free(assumed);
}

static void read_passes(store_in *in, store_result *r)
{
    enum { WHOLE = 4 };
    static const struct { const char *name; int32_t low, high; } WHOLES[WHOLE] = {
        {"sprayer/pass_alley", 0, SCENARIO_ROWS},
        {"sprayer/pass_heading", -1, 1},
        {"sprayer/pass_left_open", 0, 1},
        {"sprayer/pass_right_open", 0, 1}};
    hsize_t n[1] = {0};
    int32_t *whole[WHOLE] = {0};
    for (int k = 0; k < WHOLE; k++)
        whole[k] = store_read_counts(in, WHOLES[k].name, n, WHOLES[k].low, WHOLES[k].high);
    double *x_m = store_read_numbers(in, "sprayer/pass_x", 1, n, STORE_PLACE);
    r->n_passes = store_in_size(in, "sprayer/pass_x", n[0], SCENARIO_ROWS + 1);
    r->pass = store_in_memory(in, (size_t)n[0], sizeof *r->pass);
    for (int i = 0; i < r->n_passes && r->pass; i++)
        r->pass[i] = (store_pass){.x_m = x_m[i], .alley = whole[0][i], .heading = whole[1][i],
                                  .left_open = whole[2][i], .right_open = whole[3][i]};
    free(x_m);
    for (int k = 0; k < WHOLE; k++)
        free(whole[k]);
}

void store_read_sprayer(store_in *in, store_result *r)
{
    read_sprays(in, r);
    read_nozzles(in, r);
    read_passes(in, r);
    r->application_rate_L_ha = store_in_number(in, "sprayer/application_rate", STORE_AMOUNT_OR_NONE);
    r->emitted_L_per_100_m = store_in_number(in, "sprayer/emitted_per_100_m", STORE_AMOUNT_OR_NONE);
    r->fan_flow_m3_s = store_in_number(in, "sprayer/fan_flow", STORE_AMOUNT);
    r->fan_power_kW = store_in_number(in, "sprayer/fan_power", STORE_AMOUNT);
}

/* The range of a scenario's key, in whose unit the file has it; what unit conversions round is let pass. */
static store_range range_of(const char *key)
{
    const scenario_key *k = scenario_key_of(key);
    const double slack = 1e-9 * (k->high - k->low);
    return (store_range){k->low - slack, k->high + slack, false};
}

void store_read_inputs(store_in *in, store_result *r)
{
    const struct { const char *name, *key; double *value; bool may_lack; } number[] = {
        {"inputs/row_spacing", "orchard.row_spacing", &r->row_spacing_m, false},
        {"inputs/tree_spacing", "orchard.tree_spacing", &r->tree_spacing_m, false},
        {"inputs/grass_height", "orchard.grass_height", &r->grass_height_m, false},
        {"inputs/canopy_height", "canopy.height", &r->canopy_height_m, false},
        {"inputs/canopy_base", "canopy.base", &r->canopy_base_m, false},
        {"inputs/canopy_width", "canopy.width", &r->canopy_width_m, false},
        {"inputs/leaf_area_index", "canopy.leaf_area_index", &r->leaf_area_index, false},
        {"inputs/travel_speed", "sprayer.travel_speed", &r->travel_speed_km_h, false},
        {"inputs/temperature", "weather.temperature", &r->temperature_degC, false},
        {"inputs/relative_humidity", "weather.relative_humidity", &r->relative_humidity_percent, false},
        {"inputs/wind_speed", "weather.wind_speed", &r->wind_speed_m_s, false},
        {"inputs/wind_height", "weather.wind_height", &r->wind_height_m, false},
        {"inputs/wind_angle", "weather.wind_angle", &r->wind_angle_deg, false},
        {"inputs/domain_top", "run.domain_top", &r->domain_top_m, false},
        {"inputs/air_pressure", "weather.pressure", &r->air_pressure_hPa, true},
        {"inputs/nonvolatile", "liquid.nonvolatile", &r->nonvolatile_percent, true},
        {"inputs/fan_speed", "sprayer.fan.speed", &r->fan_speed_rpm, true},
    };
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++)
        *number[i].value = number[i].may_lack && !store_in_has(in, number[i].name)
                               ? NAN : store_in_number(in, number[i].name, range_of(number[i].key));
    r->name = store_in_text(in, "inputs/name");
    r->place = store_in_text(in, "inputs/place");
    r->scenario_text = store_in_text(in, "inputs/scenario");
    r->resolved = store_in_text(in, "inputs/resolved");
}
