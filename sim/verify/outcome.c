/* sim/verify/outcome.c - bounce and shatter at a leaf beside an independent working of the published criteria. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "droplet/outcome.h"
#include "droplet/droplet.h"
#include "scenario/keys.h"
#include "verify/checks.h"

static droplet_liquid liquid_of(const verify_table *table, int row)
{
    const int water = strcmp(verify_table_text(table, row, "liquid"), "water") == 0;
    return (droplet_liquid){998.2, water ? 72.74e-3 : 30e-3, 1.0016e-3}; /* as the tables say */
}

static droplet_leaf_class class_of(const char *name)
{
    int wetting = SCENARIO_EASY;
    scenario_key_value(scenario_key_of("canopy.upper_side"), name, &wetting);
    return droplet_leaf_class_of((scenario_wetting)wetting);
}

static droplet_leaf_class class_at(const verify_table *t, int row)
{
    return class_of(verify_table_text(t, row, "leaf_class"));
}

static double diameter_m(const verify_table *t, int row)
{
    return 1e-6 * verify_table_number(t, row, "d_um");
}

static drupelet_status compare_verdicts(verify_list *list)
{
    verify_table *t;
    const drupelet_status status = verify_table_open("leaf_outcome", &t);
    if (status.code != DRUPELET_OK)
        return status;
    int n_agree = 0;
    for (int row = 0; row < verify_table_rows(t); row++) {
        const droplet_liquid liquid = liquid_of(t, row);
        const droplet_leaf_class leaf = class_at(t, row);
        const droplet_outcome ours =
            droplet_leaf_outcome(diameter_m(t, row), verify_table_number(t, row, "normal_speed_m_s"), &leaf, &liquid);
        n_agree += strcmp(droplet_outcomes[ours].verb, verify_table_text(t, row, "outcome")) == 0;
    }
    verify_compare(list, "outcome.verdicts", verify_table_rows(t), n_agree, "impacts with the same verdict");
    verify_table_free(t);
    return status;
}

/* Where the published drop bounces: the verdicts are compared apart from it. */
static double rebound(const verify_table *t, int row)
{
    const droplet_liquid liquid = liquid_of(t, row);
    const droplet_leaf_class leaf = class_at(t, row);
    return droplet_restitution(diameter_m(t, row), verify_table_number(t, row, "normal_speed_m_s"), &leaf, &liquid);
}

/* Speed from which a leaf of a contact angle that lets go of everything lets a drop bounce. A blank cell of the table:
 * no bounce at 30 m/s, where that search began. */
static drupelet_status compare_bounces(verify_list *list)
{
    static const int angles_deg[] = {80, 90, 100, 110, 120, 130, 150};
    verify_table *t;
    const drupelet_status status = verify_table_open("critical_speeds", &t);
    if (status.code != DRUPELET_OK)
        return status;
    verify_worst bounce = verify_worst_of(list, "outcome.bounce_speed");
    int n_blank = 0, n_none = 0;
    for (int row = 0; row < verify_table_rows(t); row++)
        for (size_t a = 0; a < sizeof angles_deg / sizeof angles_deg[0]; a++) {
            char column[24];
            snprintf(column, sizeof column, "v_bounce_m_s_theta%d", angles_deg[a]);
            const droplet_liquid liquid = liquid_of(t, row);
            const droplet_leaf_class leaf = {angles_deg[a] * BASE_DEGREE, BASE_PI, 57.7};
            const double published = verify_table_number(t, row, column), d_um = verify_table_number(t, row, "d_um");
            const double ours = droplet_bounce_speed_m_s(1e-6 * d_um, &leaf, &liquid);
            if (isnan(published)) {
                n_blank++;
                n_none += !(droplet_rebound_energy(1e-6 * d_um, 30.0, leaf.contact_angle_rad, &liquid) > 0.0);
                continue;
            }
            verify_worst_case(&bounce, published, ours, "%g um, %d deg", d_um, angles_deg[a]);
            if (d_um == 300.0 && angles_deg[a] == 130)
                verify_compare(list, "outcome.bounce_speed", published, ours, "bounce begins, %g um %s, 130 deg", d_um,
                               verify_table_text(t, row, "liquid"));
        }
    verify_worst_compare(list, &bounce, "bounce begins");
    verify_compare(list, "outcome.no_bounce", n_blank, n_none, "no bounce at 30 m/s");
    verify_table_free(t);
    return status;
}

static double shatter_m_s(const verify_table *t, int row)
{
    const droplet_liquid liquid = liquid_of(t, row);
    const droplet_leaf_class leaf = {.shatter_limit = 57.7};
    return droplet_shatter_speed_m_s(diameter_m(t, row), &leaf, &liquid);
}

static droplet_splash splash_at(const verify_table *t, int row)
{
    const droplet_liquid liquid = liquid_of(t, row);
    const droplet_leaf_class leaf = {.shatter_limit = 57.7};
    const double u = (verify_table_number(t, row, "mass_share") - 0.2) / 0.6;
    return droplet_shatter(diameter_m(t, row), verify_table_number(t, row, "speed_m_s"), u, &leaf, &liquid);
}

static double splashed_um(const verify_table *t, int row)
{
    return 1e6 * splash_at(t, row).diameter_m;
}

static double splashed_drops(const verify_table *t, int row)
{
    return splash_at(t, row).count;
}

static double largest_um(const verify_table *t, int row)
{
    const droplet_splash splash = droplet_splash_of(diameter_m(t, row), verify_table_number(t, row, "mass_share"),
                                                    verify_table_number(t, row, "We_over_We_c"));
    const droplet_splash_law law = droplet_splash_law_of(diameter_m(t, row), &splash);
    return 1e6 * droplet_splash_quantile_m(&law, 1.0);
}

static double dry_wall_m_s(const verify_table *t, int row)
{
    const droplet_liquid liquid = liquid_of(t, row);
    return droplet_dry_wall_splash_m_s(diameter_m(t, row), &liquid);
}

static double smooth_wall_m_s(const verify_table *t, int row)
{
    const droplet_liquid liquid = liquid_of(t, row);
    return droplet_smooth_wall_splash_m_s(&liquid);
}

static double thin_film_m_s(const verify_table *t, int row)
{
    const droplet_liquid liquid = liquid_of(t, row);
    return droplet_thin_film_splash_m_s(diameter_m(t, row), &liquid);
}

static const verify_model models[] = {
    {"rebound", rebound},
    {"shatter_m_s", shatter_m_s},
    {"splashed_um", splashed_um},
    {"splashed_drops", splashed_drops},
    {"largest_um", largest_um},
    {"dry_wall_m_s", dry_wall_m_s},
    {"smooth_wall_m_s", smooth_wall_m_s},
    {"thin_film_m_s", thin_film_m_s},
};

/* What was seen on leaves and solids, beside the rule. */
static void compare_seen(verify_list *list)
{
    static const struct { double d_um, v_m_s; } impacts[] = {
        {175, 5.0}, {306, 5.0}, {481, 5.0}, {306, 3.5}, {306, 7.0}};
    enum { N = sizeof impacts / sizeof impacts[0] };
    const droplet_liquid water = {998.2, 72.74e-3, 1.0016e-3};
    const droplet_leaf_class easy = droplet_leaf_class_of(SCENARIO_EASY),
                             very_hard = droplet_leaf_class_of(SCENARIO_VERY_HARD);
    droplet_leaf_class hard = droplet_leaf_class_of(SCENARIO_HARD);
    int n_kept = 0, n_lost = 0, n_lost_of_very_hard = 0;
    for (int i = 0; i < N; i++) {
        const double d_m = 1e-6 * impacts[i].d_um;
        n_kept += droplet_leaf_outcome(d_m, impacts[i].v_m_s, &easy, &water) == DROPLET_ADHERES;
        n_lost += droplet_leaf_outcome(d_m, impacts[i].v_m_s, &hard, &water) != DROPLET_ADHERES;
        n_lost_of_very_hard += droplet_leaf_outcome(d_m, impacts[i].v_m_s, &very_hard, &water) != DROPLET_ADHERES;
    }
    verify_compare(list, "outcome.seen", N, n_kept, "impacts of 175 to 481 um that an easy leaf keeps");
    verify_compare(list, "outcome.seen", N, n_lost, "the same that a hard leaf does not keep");
    verify_compare(list, "outcome.seen", N, n_lost_of_very_hard, "the same that a very hard leaf does not keep");

    double none_deg = 60.0, some_deg = 180.0; /* least receding angle that lets 300 um go at 3 m/s */
    for (int i = 0; i < 30; i++) {
        const double middle_deg = 0.5 * (none_deg + some_deg);
        hard.receding_angle_rad = middle_deg * BASE_DEGREE;
        if (droplet_leaf_outcome(300e-6, 3.0, &hard, &water) == DROPLET_BOUNCES)
            some_deg = middle_deg;
        else
            none_deg = middle_deg;
    }
    verify_compare(list, "outcome.receding", 100.0, some_deg, "least receding angle that lets a droplet bounce");
    const droplet_leaf_class ptfe = {114.0 * BASE_DEGREE, 108.0 * BASE_DEGREE, 57.7}; /* 108 to 120 degrees: memory */
    verify_compare(list, "outcome.first_bounce", 6.0, droplet_bounce_speed_m_s(50e-6, &ptfe, &water),
                   "bounce begins, 50 um, 114 deg");
}

drupelet_status verify_outcome(verify_list *list)
{
    drupelet_status status = compare_verdicts(list);
    if (status.code == DRUPELET_OK)
        status = compare_bounces(list);
    if (status.code == DRUPELET_OK)
        status = verify_columns(list, "outcome", models, sizeof models / sizeof models[0]);
    if (status.code == DRUPELET_OK)
        compare_seen(list);
    return status;
}
