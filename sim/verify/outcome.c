/* sim/verify/outcome.c - bounce and shatter at a leaf beside an independent working of the published criteria. */
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/outcome.h"
#include "droplet/splash.h"
#include "scenario/keys.h"
#include "verify/checks.h"
#include "verify/table.h"

#define SUBJECT "Bounce and shatter at a leaf"
#define MAO "Mao, Kuhn and Tran, AIChE J. 43 (1997) 2169 (constants: memory); worked values"
#define MUNDO "Mundo, Sommerfeld and Tropea, Int. J. Multiphase Flow 21 (1995) 151; worked values"
#define BAI "Bai, Rusche and Gosman, Atomization Sprays 12 (2002) 1; worked values"
#define RULE "the rule made of both, four classes of leaf, two liquids; worked on its own"

static const verify_target verdicts = {SUBJECT, RULE, "", VERIFY_ABSOLUTE, 0.0, false};
static const verify_target restitution = {SUBJECT, RULE, "", VERIFY_ABSOLUTE, 1e-3, false};
static const verify_target bounce_speed = {SUBJECT, MAO, "m/s", VERIFY_RELATIVE, 0.005, false};
static const verify_target shatter_speed = {SUBJECT, MUNDO, "m/s", VERIFY_RELATIVE, 0.005, false};
static const verify_target splash_size = {SUBJECT, BAI, "um", VERIFY_RELATIVE, 1e-3, false};
#define BORDERS "Bai 2002, Vander Wal 2006 and Cossali 1997 (see tests/data/splash_borders.csv); worked values"
#define ANTONINI "Antonini and others, Langmuir 29 (2013) 16045: rebound only where it is above"
#define MCLAUCHLAN "McLauchlan and others, PNAS 122 (2025): lowest speed of bouncing, 30 to 50 um on solids like PTFE"
#define DONG "Dong, Zhu and Yang, Pest Manag. Sci. 71 (2015) 302: an easy leaf keeps, two hydrophobic ones do not"
static const verify_target border_speed = {SUBJECT, BORDERS, "m/s", VERIFY_RELATIVE, 0.005, false};
static const verify_target receding = {SUBJECT, ANTONINI, "deg", VERIFY_ABSOLUTE, 1.0, false};
/* As high as 6 m/s is the end of a range; the rule is known to begin late. */
static const verify_target first_bounce = {SUBJECT, MCLAUCHLAN, "m/s", VERIFY_RELATIVE, 0.5, false};
static const verify_target seen = {SUBJECT, DONG, "", VERIFY_ABSOLUTE, 0.0, false};
static const verify_target largest = {SUBJECT, BAI, "um", VERIFY_RELATIVE, 1e-3, false};
/* Where fewer drops than this come out, ours are held at the greatest size of the same source. */
#define FEWEST_DROPS 1.38

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

static void compare_rule(verify_list *list, const verify_table *table)
{
    verify_worst rebound = {.target = &restitution};
    int n_agree = 0;
    for (int i = 0; i < verify_table_rows(table); i++) {
        const droplet_liquid liquid = liquid_of(table, i);
        const droplet_leaf_class leaf = class_of(verify_table_text(table, i, "leaf_class"));
        const double d_um = verify_table_number(table, i, "d_um"),
                     v_m_s = verify_table_number(table, i, "normal_speed_m_s");
        const droplet_outcome ours = droplet_leaf_outcome(1e-6 * d_um, v_m_s, &leaf, &liquid);
        n_agree += strcmp(droplet_outcomes[ours].verb, verify_table_text(table, i, "outcome")) == 0;
        if (ours == DROPLET_BOUNCES)
            verify_worst_case(&rebound, verify_table_number(table, i, "e_n"),
                              droplet_restitution(1e-6 * d_um, v_m_s, &leaf, &liquid), "%g um, %g m/s", d_um, v_m_s);
    }
    verify_compare(list, &verdicts, verify_table_rows(table), n_agree, "impacts with the same verdict");
    verify_worst_compare(list, &rebound, "rebound speed over impact speed");
}

static void compare_borders(verify_list *list, const verify_table *table)
{
    static const int angles_deg[] = {80, 90, 100, 110, 120, 130, 150};
    verify_worst bounce = {.target = &bounce_speed}, shatter = {.target = &shatter_speed};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const droplet_liquid liquid = liquid_of(table, i);
        const double d_um = verify_table_number(table, i, "d_um");
        droplet_leaf_class leaf = {.receding_angle_rad = BASE_PI, .shatter_limit = 57.7}; /* lets go of everything */
        for (size_t a = 0; a < sizeof angles_deg / sizeof angles_deg[0]; a++) {
            char column[24];
            snprintf(column, sizeof column, "v_bounce_m_s_theta%d", angles_deg[a]);
            const double published = verify_table_number(table, i, column);
            leaf.contact_angle_rad = angles_deg[a] * BASE_PI / 180.0;
            const double ours = droplet_bounce_speed_m_s(1e-6 * d_um, &leaf, &liquid);
            if (verify_table_text(table, i, column)[0]
                != '\0') /* blank: no bounce at 30 m/s, where that search began */
                verify_worst_case(&bounce, published, ours, "%g um, %d deg", d_um, angles_deg[a]);
            if (d_um == 300.0 && angles_deg[a] == 130)
                verify_compare(list, &bounce_speed, published, ours, "bounce begins, %g um %s, 130 deg", d_um,
                               verify_table_text(table, i, "liquid"));
        }
        verify_worst_case(&shatter, verify_table_number(table, i, "v_shatter_m_s_K57.7"),
                          droplet_shatter_speed_m_s(1e-6 * d_um, &leaf, &liquid), "%g um", d_um);
        if (d_um == 300.0)
            verify_compare(list, &shatter_speed, verify_table_number(table, i, "v_shatter_m_s_K57.7"),
                           droplet_shatter_speed_m_s(1e-6 * d_um, &leaf, &liquid), "shatter begins, %g um %s", d_um,
                           verify_table_text(table, i, "liquid"));
    }
    verify_worst_compare(list, &bounce, "bounce begins");
    verify_worst_compare(list, &shatter, "shatter begins");
}

static void compare_splash(verify_list *list, const verify_table *table)
{
    verify_worst size = {.target = &splash_size};
    const droplet_leaf_class leaf = {.shatter_limit = 57.7};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const droplet_liquid liquid = liquid_of(table, i);
        const double d_um = verify_table_number(table, i, "d_um"), v_m_s = verify_table_number(table, i, "speed_m_s");
        const double share = verify_table_number(table, i, "mass_share"), u = (share - 0.2) / 0.6;
        if (verify_table_number(table, i, "N_secondary") > FEWEST_DROPS)
            verify_worst_case(&size, verify_table_number(table, i, "d_equal_um"),
                              1e6 * droplet_shatter(1e-6 * d_um, v_m_s, u, &leaf, &liquid).diameter_m, "%g um, %g m/s",
                              d_um, v_m_s);
    }
    verify_worst_compare(list, &size, "size of splashed drops");
    verify_worst most = {.target = &largest};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double d_um = verify_table_number(table, i, "d_um");
        const droplet_splash splash =
            droplet_splash_of(1e-6 * d_um, verify_table_number(table, i, "mass_share"),
                              verify_table_number(table, i, "We_over_We_c"));
        const droplet_splash_law law = droplet_splash_law_of(1e-6 * d_um, &splash);
        verify_worst_case(&most, verify_table_number(table, i, "d_max_um"),
                          1e6 * droplet_splash_quantile_m(&law, 1.0), "%g um", d_um);
    }
    verify_worst_compare(list, &most, "largest splashed drop");
}

static void compare_walls(verify_list *list, const verify_table *table)
{
    verify_worst dry = {.target = &border_speed}, smooth = dry, film = dry;
    for (int i = 0; i < verify_table_rows(table); i++) {
        const droplet_liquid liquid = liquid_of(table, i);
        const double d_um = verify_table_number(table, i, "d_um"), d_m = 1e-6 * d_um;
        verify_worst_case(&dry, verify_table_number(table, i, "dry_wall_m_s"),
                          droplet_dry_wall_splash_m_s(d_m, &liquid), "%g um", d_um);
        verify_worst_case(&smooth, verify_table_number(table, i, "smooth_wall_m_s"),
                          droplet_smooth_wall_splash_m_s(&liquid), "%g um", d_um);
        verify_worst_case(&film, verify_table_number(table, i, "thin_film_m_s"),
                          droplet_thin_film_splash_m_s(d_m, &liquid), "%g um", d_um);
    }
    verify_worst_compare(list, &dry, "splash on a dry wall");
    verify_worst_compare(list, &smooth, "splash on a smooth wall");
    verify_worst_compare(list, &film, "splash on a thin film");
}

/* What was seen on leaves and solids, beside the rule. */
static void compare_seen(verify_list *list)
{
    static const struct { double d_um, v_m_s; } impacts[] = {
        {175, 5.0}, {306, 5.0}, {481, 5.0}, {306, 3.5}, {306, 7.0}};
    enum { N = sizeof impacts / sizeof impacts[0] };
    const droplet_liquid water = {998.2, 72.74e-3, 1.0016e-3};
    droplet_leaf_class easy = droplet_leaf_class_of(SCENARIO_EASY), hard = droplet_leaf_class_of(SCENARIO_HARD);
    int n_kept = 0, n_lost = 0;
    for (int i = 0; i < N; i++) {
        const double d_m = 1e-6 * impacts[i].d_um;
        n_kept += droplet_leaf_outcome(d_m, impacts[i].v_m_s, &easy, &water) == DROPLET_ADHERES;
        n_lost += droplet_leaf_outcome(d_m, impacts[i].v_m_s, &hard, &water) != DROPLET_ADHERES;
    }
    verify_compare(list, &seen, N, n_kept, "impacts of 175 to 481 um that an easy leaf keeps");
    verify_compare(list, &seen, N, n_lost, "the same that a hard leaf does not keep");

    double none_deg = 60.0, some_deg = 180.0; /* least receding angle that lets 300 um go at 3 m/s */
    for (int i = 0; i < 30; i++) {
        const double middle_deg = 0.5 * (none_deg + some_deg);
        hard.receding_angle_rad = middle_deg * BASE_DEGREE;
        if (droplet_leaf_outcome(300e-6, 3.0, &hard, &water) == DROPLET_BOUNCES)
            some_deg = middle_deg;
        else
            none_deg = middle_deg;
    }
    verify_compare(list, &receding, 100.0, some_deg, "least receding angle that lets a droplet bounce");
    const droplet_leaf_class ptfe = {114.0 * BASE_DEGREE, 108.0 * BASE_DEGREE, 57.7}; /* 108 to 120 degrees: memory */
    verify_compare(list, &first_bounce, 6.0, droplet_bounce_speed_m_s(50e-6, &ptfe, &water),
                   "bounce begins, 50 um, 114 deg");
}

drupelet_status verify_outcome(verify_list *list)
{
    verify_table *rule = NULL, *borders = NULL, *splash = NULL, *walls = NULL;
    drupelet_status status = verify_table_open("leaf_outcome", &rule);
    if (status.code == DRUPELET_OK) status = verify_table_open("critical_speeds", &borders);
    if (status.code == DRUPELET_OK) status = verify_table_open("splash", &splash);
    if (status.code == DRUPELET_OK) status = verify_table_open("splash_borders", &walls);
    if (status.code == DRUPELET_OK) {
        compare_rule(list, rule);
        compare_borders(list, borders);
        compare_splash(list, splash);
        compare_walls(list, walls);
        compare_seen(list);
    }
    verify_table_free(walls);
    verify_table_free(splash);
    verify_table_free(borders);
    verify_table_free(rule);
    return status;
}
