/* sim/result/fates.c - where the active ingredient and the water went, by size and by outcome at the leaf; how droplets
 * of each size fall and dry.
 *
 * Fall and drying are those of a lone droplet in still air of the scenario's weather, at the mean density of the
 * droplets sprayed (by flow: droplets may hold air). */
#include <math.h>

#include "base/moist_air.h"
#include "base/status.h"
#include "droplet/outcome.h"
#include "result/quantity.h"

static const result_quantity QUANTITIES[] = {
    {"fate", NULL, RESULT_TEXT, NULL, "fate", .length = TALLY_FATES, .word = tally_fate_name, .place.none = true},
    {"label", "fate", RESULT_TEXT, NULL, "fate in words", .word = tally_fate_label, .place.none = true},
    {"active_ingredient", "fate", RESULT_SHARE, "1", "share of the active ingredient emitted (share of the output)",
     RESULT_AT(fate), RESULT_IN_PAGE | RESULT_IN_SUMMARY,
     .summary = {.rank = 50, .key = "fates_L_of_100_L", .factor = 100.0},
     .column = {.rank = 1, .batched = true, .target = SCENARIO_TARGET_FATE}},
    {"water", "fate", RESULT_SHARE, "1",
     "water still in the droplets when they met the fate, share of the water emitted", RESULT_AT(water),
     RESULT_IN_PAGE},
    {"evaporated", "", RESULT_SHARE, "1", "water that evaporated, share of the water emitted", RESULT_AT(evaporated),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY,
     .summary = {.rank = 150, .key = "evaporated_L_of_100_L_of_water", .factor = 100.0, .line = "evaporated in flight",
                 .heading = "Water, L of 100 L of the water sprayed (+/- one standard error)"},
     .column = {.rank = 5, .batched = true, .target = SCENARIO_TARGET_EVAPORATED,
                .meaning = {"water that evaporated, percent of the water emitted"}}},
    {"size", NULL, RESULT_DOUBLE, "um",
     "emitted diameter, geometric middle of the bin (the outermost bins hold what lies beyond them too)",
     RESULT_AT(size_um), .length = TALLY_SIZES},
    {"size_low", "size", RESULT_DOUBLE, "um", "lower edge of the size bin", RESULT_AT(size_low_um),
     RESULT_IN_PAGE | RESULT_ORDERED},
    {"size_high", "size", RESULT_DOUBLE, "um", "upper edge of the size bin", RESULT_AT(size_high_um),
     RESULT_IN_PAGE | RESULT_ORDERED},
    {"emitted", "size", RESULT_SHARE, "1", "share of the output emitted in the size bin", RESULT_AT(size_emitted),
     RESULT_IN_PAGE},
    {"by_size", "size fate", RESULT_SHARE, "1", "share of the output emitted in the size bin that met the fate",
     RESULT_AT(size_fate), RESULT_IN_PAGE},
    {"evaporated_by_size", "size", RESULT_SHARE, "1",
     "water that evaporated from droplets emitted in the size bin, share of all water emitted",
     RESULT_AT(size_evaporated), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .low = -1.0, .high = 1.0},
    {"target", NULL, RESULT_TEXT, NULL, "what an impact is on", .length = TALLY_TARGETS, .word = tally_fate_name,
     .place.none = true},
    {"outcome", NULL, RESULT_TEXT, NULL, "outcome of an impact", .length = TALLY_OUTCOMES, .word = droplet_outcome_name,
     .place.none = true},
    {"impacts", "target outcome", RESULT_SHARE, "1",
     "share of the output times the number of its impacts on the target that had the outcome", RESULT_AT(impacts),
     .high = 1e9},
    {"stayed", "target outcome", RESULT_SHARE, "1",
     "share of the output that stayed on the target at impacts of the outcome, before run-off", RESULT_AT(stayed)},
    {"group", NULL, RESULT_TEXT, NULL, "fates taken together", .length = TALLY_GROUPS, .word = tally_group_name,
     .place.none = true},
    {"group_label", "group", RESULT_TEXT, NULL, "group of fates in words", .word = tally_group_label,
     .place.none = true},
    {"together", "group", RESULT_SHARE, "1",
     "share of the active ingredient emitted (share of the output) that met one of the group's fates",
     RESULT_AT(together), RESULT_IN_PAGE | RESULT_MAY_LACK},
    {"outcome_share", "target outcome", RESULT_SHARE, "1",
     "share of the impacts on the target that had the outcome, by amount", RESULT_AT(outcome_share),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"outcome_by_size", "target size outcome", RESULT_SHARE, "1",
     "share of the impacts of droplets emitted in the size bin on the target that had the outcome, by amount",
     RESULT_AT(size_outcome), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE},
    {"settling_speed", "size", RESULT_DOUBLE, "m/s", "speed of fall in still air at the middle of the size bin",
     RESULT_AT(settling_m_s), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"lifetime", "size", RESULT_DOUBLE, "s",
     "time until the water of a droplet that falls freely has evaporated; not a number where it stays",
     RESULT_AT(lifetime_s), RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
    {"dry_after_fall", "size", RESULT_DOUBLE, "m",
     "height that such a droplet falls meanwhile; not a number where it never dries", RESULT_AT(dry_after_fall_m),
     RESULT_IN_PAGE | RESULT_MAY_LACK | RESULT_MAY_BE_NONE, .high = 1e9},
};

static void fill_falls(const run_outcome *o, drupelet_result *r)
{
    const drupelet_scenario *s = o->scenario;
    const base_air air = base_moist_air(s->weather.temperature_K, s->weather.relative_humidity, s->weather.pressure_Pa);
    const double density_kg_m3 = sprayer_mean_density_kg_m3(&o->sprayer);
#pragma omp parallel for schedule(dynamic) num_threads(o->n_threads > 1 ? o->n_threads : 1)
    for (int i = 0; i < TALLY_SIZES; i++) {
        const double d_m = sqrt(tally_size_edge_m(i) * tally_size_edge_m(i + 1));
        const droplet_life life =
            droplet_free_fall_by(s->run.ventilation, d_m, density_kg_m3, s->liquid.nonvolatile, &air);
        r->settling_m_s[i] = droplet_settling_speed_m_s(d_m, density_kg_m3, s->liquid.surface_tension_N_m, &air);
        r->lifetime_s[i] = isfinite(life.lifetime_s) ? life.lifetime_s : NAN;
        r->dry_after_fall_m[i] = isfinite(life.fall_m) ? life.fall_m : NAN;
    }
}

static void fill_impacts(const tally *a, drupelet_result *r)
{
    for (int t = 0; t < TALLY_TARGETS; t++)
        for (int k = 0; k < TALLY_OUTCOMES; k++) {
            r->impacts[t][k] = tally_share(a, &a->impacts[0][t][k], TALLY_TARGETS * TALLY_OUTCOMES);
            r->stayed[t][k] = tally_share(a, &a->stayed[0][t][k], TALLY_TARGETS * TALLY_OUTCOMES);
            r->outcome_share[t][k] = tally_outcome_share(a, (tally_fate)t, -1, k);
            for (int i = 0; i < TALLY_SIZES; i++)
                r->size_outcome[t][i][k] = tally_outcome_share(a, (tally_fate)t, i, k);
        }
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    const tally *a = o->accounts;
    for (int f = 0; f < TALLY_FATES; f++) {
        r->fate[f] = tally_share(a, &a->fate[0][f], TALLY_FATES);
        r->water[f] = tally_water(a, (tally_fate)f);
    }
    r->evaporated = tally_evaporated(a);
    for (int g = 0; g < TALLY_GROUPS; g++)
        r->together[g] = tally_together(a, (tally_group)g);
    fill_impacts(a, r);
    for (int i = 0; i < TALLY_SIZES; i++) {
        r->size_low_um[i] = 1e6 * tally_size_edge_m(i);
        r->size_high_um[i] = 1e6 * tally_size_edge_m(i + 1);
        r->size_um[i] = sqrt(r->size_low_um[i] * r->size_high_um[i]);
        r->size_evaporated[i] = tally_size_evaporated(a, i);
        r->size_emitted[i] = tally_size_emitted(a, i);
        for (int f = 0; f < TALLY_FATES; f++)
            r->size_fate[i][f] = tally_share(a, &a->size_fate[0][i][f], TALLY_SIZES * TALLY_FATES);
    }
    if (!r->for_sweep)
        fill_falls(o, r);
    return base_ok();
}

const result_group result_fates = {
    "fates", "where the active ingredient and the water went", QUANTITIES, RESULT_COUNT(QUANTITIES), NULL, fill, NULL};
