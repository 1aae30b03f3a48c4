/* sim/store/groups.c - fates taken together, impacts, and how droplets of each size fall and dry.
 *
 * Fall and drying are those of a lone droplet in still air of the scenario's weather, at the mean density of the
 * droplets sprayed (by flow: droplets may hold air). */
#include "store/groups.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/moist_air.h"
#include "droplet/droplet.h"
#include "tally/groups.h"

static void put(store_out *out, const char *name, const char *dimensions, size_t n, const tally_estimate *estimate,
                const char *units, const char *long_name)
{
    char error_name[64], error_long_name[256];
    double *value = store_out_memory(out, n, sizeof *value);
    if (!value)
        return;
    for (size_t i = 0; i < n; i++)
        value[i] = estimate[i].share;
    store_out_put(out, name, dimensions, STORE_DOUBLE, value, units, long_name);
    for (size_t i = 0; i < n; i++)
        value[i] = estimate[i].error;
    snprintf(error_name, sizeof error_name, "%s_standard_error", name);
    snprintf(error_long_name, sizeof error_long_name, "standard error of: %s", long_name);
    store_out_put(out, error_name, dimensions, STORE_DOUBLE, value, units, error_long_name);
    free(value);
}

static void write_together(store_out *out, const tally *a)
{
    const char *name[TALLY_GROUPS], *label[TALLY_GROUPS];
    tally_estimate together[TALLY_GROUPS];
    for (int g = 0; g < TALLY_GROUPS; g++) {
        name[g] = tally_group_name((tally_group)g);
        label[g] = tally_group_label((tally_group)g);
        together[g] = tally_together(a, (tally_group)g);
    }
    store_out_axis(out, "group", STORE_TEXT, TALLY_GROUPS, name, NULL, NULL, "fates taken together");
    store_out_put(out, "group_label", "group", STORE_TEXT, label, NULL, "group of fates in words");
    put(out, "together", "group", TALLY_GROUPS, together, "1",
        "share of the active ingredient emitted (share of the output) that met one of the group's fates");
}

static void write_impacts(store_out *out, const tally *a)
{
    enum { CELLS = TALLY_TARGETS * TALLY_OUTCOMES };
    static const char *const OUTCOME[TALLY_OUTCOMES] = {
        [DROPLET_ADHERES] = "adhered", [DROPLET_BOUNCES] = "bounced", [DROPLET_SHATTERS] = "shattered"};
    const char *target[TALLY_TARGETS];
    tally_estimate impacts[TALLY_TARGETS][TALLY_OUTCOMES], stayed[TALLY_TARGETS][TALLY_OUTCOMES];
    tally_estimate share[TALLY_TARGETS][TALLY_OUTCOMES], by_size[TALLY_TARGETS][TALLY_SIZES][TALLY_OUTCOMES];
    for (int t = 0; t < TALLY_TARGETS; t++) {
        target[t] = tally_fate_name((tally_fate)t);
        for (int o = 0; o < TALLY_OUTCOMES; o++) {
            impacts[t][o] = tally_share(a, &a->impacts[0][t][o], CELLS);
            stayed[t][o] = tally_share(a, &a->stayed[0][t][o], CELLS);
            share[t][o] = tally_outcome_share(a, (tally_fate)t, -1, o);
            for (int s = 0; s < TALLY_SIZES; s++)
                by_size[t][s][o] = tally_outcome_share(a, (tally_fate)t, s, o);
        }
    }
    store_out_axis(out, "target", STORE_TEXT, TALLY_TARGETS, target, NULL, NULL, "what an impact is on");
    store_out_axis(out, "outcome", STORE_TEXT, TALLY_OUTCOMES, OUTCOME, NULL, NULL, "outcome of an impact");
    put(out, "impacts", "target outcome", CELLS, impacts[0], "1",
        "share of the output times the number of its impacts on the target that had the outcome");
    put(out, "stayed", "target outcome", CELLS, stayed[0], "1",
        "share of the output that stayed on the target at impacts of the outcome, before run-off");
    put(out, "outcome_share", "target outcome", CELLS, share[0], "1",
        "share of the impacts on the target that had the outcome, by amount");
    put(out, "outcome_by_size", "target size outcome", CELLS * TALLY_SIZES, by_size[0][0], "1",
        "share of the impacts of droplets emitted in the size bin on the target that had the outcome, by amount");
}

static double mean_density_kg_m3(const sprayer_work *work)
{
    double flow = 0.0, mass = 0.0;
    for (int i = 0; i < work->n_nozzles; i++) {
        const sprayer_nozzle *n = &work->nozzle[i];
        flow += n->flow_m3_s;
        mass += n->flow_m3_s * work->spray[n->i_spray].droplet_density_kg_m3;
    }
    return mass / flow;
}

void store_work_out_falls(const drupelet_result *result, store_falls *falls)
{
    const drupelet_scenario *s = result->scenario;
    const base_air air =
        base_moist_air(s->weather.temperature_K, s->weather.relative_humidity, s->weather.pressure_Pa);
    const double density_kg_m3 = mean_density_kg_m3(&result->sprayer);
    for (int i = 0; i < TALLY_SIZES; i++)
#pragma omp task
    {
        const double d_m = sqrt(tally_size_edge_m(i) * tally_size_edge_m(i + 1));
        const droplet_life life =
            droplet_free_fall_by(s->run.ventilation, d_m, density_kg_m3, s->liquid.nonvolatile, &air);
        falls->speed_m_s[i] = droplet_settling_speed_m_s(d_m, density_kg_m3, s->liquid.surface_tension_N_m, &air);
        falls->lifetime_s[i] = isfinite(life.lifetime_s) ? life.lifetime_s : NAN;
        falls->fall_m[i] = isfinite(life.fall_m) ? life.fall_m : NAN;
    }
}

static void write_falls(store_out *out, const store_falls *falls)
{
    store_out_put(out, "settling_speed", "size", STORE_DOUBLE, falls->speed_m_s, "m/s",
                  "speed of fall in still air at the middle of the size bin");
    store_out_put(out, "lifetime", "size", STORE_DOUBLE, falls->lifetime_s, "s",
                  "time until the water of a droplet that falls freely has evaporated; not a number where it stays");
    store_out_put(out, "dry_after_fall", "size", STORE_DOUBLE, falls->fall_m, "m",
                  "height that such a droplet falls meanwhile; not a number where it never dries");
}

void store_write_groups(store_out *out, const drupelet_result *result, const store_falls *falls)
{
    write_together(out, result->accounts);
    write_impacts(out, result->accounts);
#pragma omp taskwait
    write_falls(out, falls);
}

void store_write_row_sums(store_out *out, const drupelet_result *result)
{
    const tally *a = result->accounts;
    const int n_rows = a->shape.n_rows;
    tally_estimate third[TALLY_THIRDS][TALLY_SIDES];
    tally_estimate *row = store_out_memory(out, (size_t)n_rows, sizeof *row);
    for (int r = 0; r < n_rows && row; r++)
        row[r] = tally_row(a, r, -1, -1);
    if (row)
        put(out, "deposit_of_row", "row", (size_t)n_rows, row, "1",
            "deposit on leaves of the row, share of the output");
    free(row);
    for (int t = 0; t < TALLY_THIRDS; t++)
        for (int s = 0; s < TALLY_SIDES; s++)
            third[t][s] = tally_row(a, -1, t, s);
    put(out, "deposit_of_third", "third side", TALLY_THIRDS * TALLY_SIDES, third[0], "1",
        "deposit on leaves of all rows, share of the output");
}
