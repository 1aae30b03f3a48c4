/* tests/test_sprayer.c - flow, exit speed, generic and measured tips, passes, fan. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/csv.h"
#include "check.h"
#include "data_file.h"
#include "sprayer/generic.h"
#include "sprayer/size_class.h"
#include "sprayer/sprayer.h"

#define L_MIN 60000.0 /* L/min in m3/s */

static const scenario_tip_kind kinds[] = {SCENARIO_HOLLOW_CONE_DISC_CORE, SCENARIO_HOLLOW_CONE,
                                          SCENARIO_AIR_INDUCTION_HOLLOW_CONE, SCENARIO_FLAT_FAN,
                                          SCENARIO_AIR_INDUCTION_FLAT_FAN};
enum { KINDS = 5 };

/* The apple wall that is shipped, with up to two other values; the caller frees it. */
static drupelet_scenario *apple_wall(const char *set1, const char *set2)
{
    const char *const set[] = {set1, set2};
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set,
                                                          (set1 != NULL) + (set2 != NULL), &scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return scenario;
}

static sprayer_work *worked_out(const drupelet_scenario *scenario)
{
    sprayer_work *work = malloc(sizeof *work);
    assert_non_null(work);
    const drupelet_status status = sprayer_work_out(scenario, work);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    return work;
}

/* ---- flow ---- */

static void sizes_have_the_colour_of_the_code(void **state)
{
    (void)state;
    verify_table *table = data_file_open("nozzle_sizes");
    assert_int_equal(verify_table_rows(table), 9);
    for (int i = 0; i < 9; i++) {
        const char *size = verify_table_text(table, i, "size");
        assert_true(scenario_size_colour(size)[0] != '\0');
        assert_non_null(strstr(verify_table_text(table, i, "colour"), scenario_size_colour(size)));
    }
    verify_table_free(table);
    assert_true(scenario_size_flow_m3_s("07") == 0.0 && scenario_size_flow_m3_s("") == 0.0);
    assert_string_equal(scenario_size_colour("07"), "");
}

static void rarer_sizes_have_their_colour_and_the_list_rises(void **state)
{
    (void)state;
    verify_table *table = data_file_open("nozzle_sizes_more");
    int n_known = 0;
    for (int i = 0; i < verify_table_rows(table); i++) {
        const char *size = verify_table_text(table, i, "size");
        assert_string_equal(scenario_size_colour(size), verify_table_text(table, i, "colour"));
    }
    double before = 0.0;
    for (const char *size; (size = scenario_size_at(n_known)) != NULL; n_known++) { /* and the list rises */
        assert_true(scenario_size_flow_m3_s(size) > before);
        before = scenario_size_flow_m3_s(size);
    }
    assert_int_equal(n_known, 9 + verify_table_rows(table));
    assert_null(scenario_size_at(-1));
    verify_table_free(table);
}

/* sqrt(2 p / rho) is 37.4 m/s for water at 7 bar. Air induction: the outlet orifice is 2.1 to 2.75 times as large as
 * that of a plain tip of equal flow (Guler, Zhu, Ozkan and others, Trans. ASABE 2007; abstract). */
static void exit_speed_follows_pressure_and_kind(void **state)
{
    (void)state;
    assert_close(sprayer_exit_speed_m_s(1.0, 7e5, 1000.0), 37.417, 1e-4, 0.0);
    assert_close(sprayer_exit_speed_m_s(0.5, 28e5, 1000.0), 37.417, 1e-4, 0.0);
    const double plain = sprayer_generic_tip(SCENARIO_FLAT_FAN).velocity_coefficient;
    assert_between(plain, 0.8, 0.98);
    assert_between(plain / sprayer_generic_tip(SCENARIO_AIR_INDUCTION_FLAT_FAN).velocity_coefficient, 2.1, 2.75);

    drupelet_scenario *scenario = apple_wall(NULL, NULL);
    sprayer_work *work = worked_out(scenario);
    const double expected_m_s = sprayer_exit_speed_m_s(plain, 7e5, scenario->liquid.density_kg_m3);
    for (int i = 0; i < work->n_nozzles; i++)
        assert_close(work->nozzle[i].exit_speed_m_s, expected_m_s, 1e-9, 0.0);
    free(work);
    drupelet_scenario_free(scenario);
}

/* ---- tips ---- */

static int known_standing(const char *text)
{
    static const char *const known[] = {"published", "common practice", "memory", "assumption", "computed"};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
        if (strcmp(text, known[i]) == 0) return 1;
    return 0;
}

/* Every number about generic tips says where it stands and how far off a real tip may be. */
static void each_generic_number_has_a_standing(void **state)
{
    (void)state;
    base_csv csv;
    base_csv_open(DRUPELET_SOURCE "/sim/sprayer/generic_tips.csv", 100000,
                  "kind quantity value unit lowest highest standing remark", &csv);
    int n = 0;
    for (; base_csv_next(&csv); n++) {
        const double value = base_csv_number(&csv, base_csv_column(&csv, "value"), -1e3, 1e3, "a number");
        const char *standing = base_csv_text(&csv, base_csv_column(&csv, "standing"));
        if (!known_standing(standing)) fail_msg("line %d: standing '%s'", csv.line, standing);
        if (strcmp(standing, "memory") == 0 || strcmp(standing, "assumption") == 0
            || strcmp(standing, "published") == 0) {
            const double low = base_csv_number(&csv, base_csv_column(&csv, "lowest"), -1e3, 1e3, "a number");
            assert_between(value, low, base_csv_number(&csv, base_csv_column(&csv, "highest"), -1e3, 1e3, "a number"));
        }
    }
    assert_string_equal(csv.status.message, "");
    base_csv_close(&csv);
    assert_int_equal(n, KINDS * 10); /* ten quantities a kind */
    for (int k = 0; k < KINDS; k++) {
        const sprayer_generic g = sprayer_generic_tip(kinds[k]);
        assert_between(g.dv50_m, 80e-6, 600e-6);
        assert_between(L_MIN * g.flow_m3_s, 0.3, 3.2);
        assert_between(g.pressure_Pa, 2e5, 20e5);
        assert_between(g.flow_exponent, 0.1, 0.5);
        assert_between(g.velocity_coefficient, 0.2, 0.98);
        sprayer_spectrum s; /* the ratios must suit the form */
        assert_int_equal(sprayer_spectrum_fit(SCENARIO_SPECTRUM_UPPER_LIMIT, g.dv10_over_dv50 * g.dv50_m, g.dv50_m,
                                              g.dv90_over_dv50 * g.dv50_m, &s)
                             .code,
                         DRUPELET_OK);
        /* swirl tips: -0.28 to -0.40 at a fixed tip (Jasuja 1979, Lefebvre 1983, Radcliffe 1960; memory) */
        assert_between(log(sprayer_generic_dv50_m(&g, g.flow_m3_s, 2.0 * g.pressure_Pa) / g.dv50_m) / log(2.0), -0.40,
                       -0.28);
    }
}

/* Size 01 at 7 bar is the one-piece hollow cone's reference point: Dv50 125 um, taken for a fine tip. */
static void a_generic_tip_is_an_assumption_and_says_so(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL, NULL);
    sprayer_work *work = worked_out(scenario);
    assert_int_equal(work->n_sprays, 1);
    const sprayer_spray *s = &work->spray[0];
    assert_true(s->assumed);
    assert_int_equal(strncmp(s->note, "assumed", 7), 0);
    assert_non_null(strstr(s->note, "upper-limit log-normal"));
    assert_close(s->dv50_m, 125e-6, 0.002, 0.0); /* the file's flow has three digits */
    assert_between((s->dv90_m - s->dv10_m) / s->dv50_m, 1.1, 1.2);
    assert_close(s->share_below_100_um, sprayer_spectrum_share_below(&s->spectrum, 100e-6), 1e-12, 0.0);
    assert_true(s->share_below_150_um > s->share_below_100_um);
    free(work);
    drupelet_scenario_free(scenario);

    scenario = apple_wall("sprayer.pressure=14 bar", "tips.fine cone.size='02'");
    work = worked_out(scenario);
    assert_close(work->spray[0].dv50_m, 125e-6 * pow(2.0, -0.32) * pow(2.0, 0.25), 0.002, 0.0);
    free(work);
    drupelet_scenario_free(scenario);
}

/* Very coarse field sprays have less than 5 % below 150 um (extension manual on spray application, 2025). */
static void air_induction_leaves_few_fines(void **state)
{
    (void)state;
    drupelet_scenario *scenario =
        apple_wall("tips.fine cone.kind=air_induction_hollow_cone", "tips.fine cone.air_share=20 %");
    sprayer_work *work = worked_out(scenario);
    const sprayer_spray *s = &work->spray[0];
    assert_between(s->share_below_100_um, 0.005, 0.03);
    assert_between(s->share_below_150_um, 0.01, 0.06); /* size 01 is somewhat finer than the reference size 015 */
    assert_close(s->droplet_density_kg_m3, 0.8 * scenario->liquid.density_kg_m3, 1e-12, 0.0);
    free(work);
    drupelet_scenario_free(scenario);
}

/* Every size of every kind: falls with pressure, rises with size, and the three diameters suit the form. */
static void every_kind_has_every_size(void **state)
{
    (void)state;
    for (int k = 0; k < KINDS; k++) {
        const sprayer_generic g = sprayer_generic_tip(kinds[k]);
        assert_true(g.pressure_lowest_Pa < g.pressure_Pa + 1.0 && g.pressure_Pa < g.pressure_highest_Pa);
        assert_between(g.dv50_m, g.dv50_lowest_m, g.dv50_highest_m);
        double before_m = 0.0;
        const char *size;
        for (int i = 0; (size = scenario_size_at(i)) != NULL; i++) {
            const double low_m = sprayer_generic_dv50_m(&g, scenario_size_flow_m3_s(size), g.pressure_lowest_Pa),
                         high_m = sprayer_generic_dv50_m(&g, scenario_size_flow_m3_s(size), g.pressure_highest_Pa);
            assert_true(high_m < low_m && low_m > before_m);
            assert_between(high_m, 50e-6, 1000e-6);
            before_m = low_m;
        }
    }
    assert_string_equal(sprayer_kind_name(SCENARIO_AIR_INDUCTION_HOLLOW_CONE), "air_induction_hollow_cone");
    char text[SPRAYER_STANDING];
    sprayer_generic_standing(SCENARIO_HOLLOW_CONE, text);
    assert_string_equal(text, "Dv50 memory, exponent published");
    sprayer_generic_standing(SCENARIO_AIR_INDUCTION_HOLLOW_CONE, text);
    assert_string_equal(text, "Dv50 memory, exponent assumption");
}

static void measure(scenario_tip *tip, scenario_spectrum_form form, double pressure_Pa)
{
    tip->form = form;
    tip->dv10_m = 60e-6;
    tip->dv50_m = 120e-6;
    tip->dv90_m = 200e-6;
    tip->spectrum_pressure_Pa = pressure_Pa;
}

static void a_measured_spectrum_stands_as_it_is(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL, NULL);
    for (int given = 0; given < 2; given++) { /* pressure of the measurement: left out, or the nozzle's */
        measure(&scenario->tip[0], SCENARIO_SPECTRUM_UPPER_LIMIT, given ? 7e5 : 0.0);
        sprayer_work *work = worked_out(scenario);
        const sprayer_spray *s = &work->spray[0];
        assert_false(s->assumed);
        assert_int_equal(strncmp(s->note, "measured", 8), 0);
        assert_null(strstr(s->note, "its Dv50")); /* this form meets all three */
        assert_close(s->dv10_m, 60e-6, 1e-9, 0.0);
        assert_close(s->dv50_m, 120e-6, 1e-9, 0.0);
        assert_close(s->dv90_m, 200e-6, 1e-9, 0.0);
        free(work);
    }
    measure(&scenario->tip[0], SCENARIO_SPECTRUM_LOG_NORMAL, 0.0);
    sprayer_work *work = worked_out(scenario);
    assert_non_null(strstr(work->spray[0].note, "log-normal"));
    assert_non_null(strstr(work->spray[0].note, "its Dv50 is 110 um, measured 120 um"));
    free(work);
    drupelet_scenario_free(scenario);
}

static void a_spectrum_moved_in_pressure_is_an_assumption(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL, NULL);
    scenario_tip *tip = &scenario->tip[0];
    const double factor = pow(7.0 / 5.0, -0.32);
    for (int form = SCENARIO_SPECTRUM_TABLE; form <= SCENARIO_SPECTRUM_UPPER_LIMIT; form++) {
        measure(tip, (scenario_spectrum_form)form, 5e5);
        tip->n_table = 3;
        memcpy(tip->table_diameter_m, (const double[]){30e-6, 120e-6, 300e-6}, 3 * sizeof(double));
        memcpy(tip->table_share_below, (const double[]){0.0, 0.5, 1.0}, 3 * sizeof(double));
        sprayer_work *moved = worked_out(scenario);
        tip->spectrum_pressure_Pa = 0.0;
        sprayer_work *there = worked_out(scenario);
        assert_true(moved->spray[0].assumed);
        assert_int_equal(strncmp(moved->spray[0].note, "assumed: measured at 5 bar", 26), 0);
        assert_non_null(strstr(moved->spray[0].note, "moved to 7 bar by an assumed exponent of -0.32"));
        assert_close(moved->spray[0].dv10_m, factor * there->spray[0].dv10_m, 1e-9, 0.0);
        assert_close(moved->spray[0].dv50_m, factor * there->spray[0].dv50_m, 1e-9, 0.0);
        assert_close(moved->spray[0].dv90_m, factor * there->spray[0].dv90_m, 1e-9, 0.0);
        free(there);
        free(moved);
    }
    drupelet_scenario_free(scenario);
}

static void a_spectrum_that_fits_no_form_is_refused(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL, NULL);
    sprayer_work *work = malloc(sizeof *work);
    assert_non_null(work);
    measure(&scenario->tip[0], SCENARIO_SPECTRUM_UPPER_LIMIT, 0.0);
    scenario->tip[0].dv50_m = 100e-6;
    const drupelet_status status = sprayer_work_out(scenario, work);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_int_equal(strncmp(status.message, "tips.fine cone.spectrum: found Dv10 60 um", 41), 0);
    free(work);
    drupelet_scenario_free(scenario);
}

static void nozzles_share_a_spray_at_the_same_tip_and_pressure(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL, NULL);
    scenario->sprayer.nozzle[3].pressure_Pa = 5e5;
    scenario->sprayer.nozzle[9].pressure_Pa = 5e5;
    sprayer_work *work = worked_out(scenario);
    assert_int_equal(work->n_sprays, 2);
    for (int i = 0; i < work->n_nozzles; i++) {
        const sprayer_spray *s = &work->spray[work->nozzle[i].i_spray];
        assert_true(s->pressure_Pa == scenario->sprayer.nozzle[i].pressure_Pa);
        assert_ptr_equal(work->nozzle[i].nozzle, &scenario->sprayer.nozzle[i]);
    }
    assert_close(work->nozzle[3].flow_m3_s / work->nozzle[0].flow_m3_s, sqrt(5.0 / 7.0), 1e-12, 0.0);
    free(work);
    drupelet_scenario_free(scenario);
}

/* ---- worn and plugged ---- */

/* 20 % more flow at the same pressure, the exit speed as before; a generic tip becomes one of 1.2 times the size. */
static void a_worn_tip_gives_more_and_coarser(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("sprayer.nozzles.1.worn=20 %", NULL);
    sprayer_work *work = worked_out(scenario);
    assert_int_equal(work->n_sprays, 2);
    assert_int_equal(work->nozzle[2].i_spray, 1);
    assert_close(work->nozzle[2].flow_m3_s, 1.2 * work->nozzle[0].flow_m3_s, 1e-12, 0.0);
    assert_close(work->nozzle[2].exit_speed_m_s, work->nozzle[0].exit_speed_m_s, 1e-12, 0.0);
    const sprayer_spray *fresh = &work->spray[0], *worn = &work->spray[1];
    assert_close(worn->dv50_m / fresh->dv50_m, pow(1.2, 0.25), 1e-9, 0.0);
    assert_non_null(strstr(worn->note, "worn by 20 %, taken for a larger tip"));
    assert_null(strstr(fresh->note, "worn"));
    /* 14 nozzles, two of them give a fifth more */
    assert_close(1e7 * work->application_rate_m, 241.2 * 14.4 / 14.0, 1e-3, 0.0);
    free(work);
    drupelet_scenario_free(scenario);
}

static void wear_leaves_a_measured_spectrum_as_it_is_and_says_so(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("sprayer.nozzles.0.worn=10 %", NULL);
    measure(&scenario->tip[0], SCENARIO_SPECTRUM_UPPER_LIMIT, 0.0);
    sprayer_work *work = worked_out(scenario);
    const sprayer_spray *worn = &work->spray[0], *fresh = &work->spray[1];
    assert_close(worn->dv50_m, 120e-6, 1e-9, 0.0);
    assert_true(worn->assumed && !fresh->assumed);
    assert_int_equal(strncmp(worn->note, "assumed: measured", 17), 0);
    assert_non_null(strstr(worn->note, "worn by 10 %, sizes kept"));
    free(work);
    drupelet_scenario_free(scenario);
}

static void a_plugged_nozzle_gives_nothing_and_the_others_what_they_did(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("sprayer.nozzles.6.plugged=yes", NULL), *whole = apple_wall(NULL, NULL);
    sprayer_work *work = worked_out(scenario), *clean = worked_out(whole);
    assert_int_equal(work->n_nozzles, 14);
    for (int i = 0; i < 14; i++)
        assert_true(work->nozzle[i].flow_m3_s == (i < 12 ? clean->nozzle[i].flow_m3_s : 0.0));
    assert_close(work->application_rate_m, clean->application_rate_m * 12.0 / 14.0, 1e-12, 0.0);
    assert_int_equal(work->n_passes, clean->n_passes);
    free(clean);
    free(work);
    drupelet_scenario_free(whole);
    drupelet_scenario_free(scenario);
}

/* ---- size classes ---- */

static void class_is(const scenario_tip *tip, double dv10_um, double dv50_um, double dv90_um, const char *expected)
{
    sprayer_spray spray = {.dv10_m = 1e-6 * dv10_um, .dv50_m = 1e-6 * dv50_um, .dv90_m = 1e-6 * dv90_um};
    sprayer_size_class_of(tip, &spray);
    assert_string_equal(spray.size_class, expected);
}

/* The borders are invented: ISO 25358 has none in micrometres. */
static void a_class_needs_borders_of_the_user(void **state)
{
    (void)state;
    scenario_tip tip = {.n_limits = 0};
    class_is(&tip, 80, 150, 250, "");
    tip.n_limits = 3;
    tip.limit[0] = (scenario_class_limit){SCENARIO_VERY_FINE, 60e-6, 110e-6, 180e-6};
    tip.limit[1] = (scenario_class_limit){SCENARIO_FINE, 100e-6, 200e-6, 350e-6};
    tip.limit[2] = (scenario_class_limit){SCENARIO_COARSE, 170e-6, 380e-6, 650e-6}; /* no border of medium and coarse */
    class_is(&tip, 50, 100, 170, "very fine or finer");
    class_is(&tip, 60, 110, 180, "very fine or finer"); /* on the border */
    class_is(&tip, 80, 150, 250, "fine");
    class_is(&tip, 120, 250, 400, "medium to coarse");
    class_is(&tip, 180, 400, 700, "very coarse or coarser");
    /* a curve that crosses: the finest of the three counts */
    class_is(&tip, 55, 150, 400, "very fine or finer");
    class_is(&tip, 110, 150, 400, "fine");
    class_is(&tip, 120, 250, 340, "fine");
    tip.limit[2].up_to = SCENARIO_EXTREMELY_COARSE;
    class_is(&tip, 180, 400, 700, "ultra coarse");
    tip.limit[0].up_to = SCENARIO_EXTREMELY_FINE;
    class_is(&tip, 50, 100, 170, "extremely fine");
    char text[SPRAYER_CLASS_TEXT];
    sprayer_size_class_by(&tip, 2, 250e-6, text);
    assert_string_equal(text, "very fine to fine");
}

static void the_class_stands_in_the_note(void **state)
{
    (void)state;
    drupelet_scenario *scenario =
        apple_wall("tips.fine cone.spectrum={form: upper_limit, dv10: 60 um, dv50: 120 um, dv90: 200 um}",
                   "tips.fine cone.classes=[[very_fine, 50 um, 100 um, 160 um], [fine, 90 um, 190 um, 320 um]]");
    sprayer_work *work = worked_out(scenario);
    assert_string_equal(work->spray[0].size_class, "fine");
    assert_string_equal(work->spray[0].note,
                        "measured (as the scenario says), upper-limit log-normal form; size class fine");
    free(work);
    drupelet_scenario_free(scenario);
}

/* ---- passes ---- */

/* 14 nozzles of size 01 at 7 bar: 14 x 0.3948 x sqrt(7/3) = 8.443 L/min; at 6 km/h, 100 m/min, in rows of 3.5 m:
 * 241.2 L/ha. The shut halves of the two outermost passes leave just that for every row. */
static void rate_of_the_apple_wall(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall("sprayer.travel_speed=6 km/h", "orchard.row_spacing=3.5 m");
    assert_int_equal(scenario->orchard.n_rows, 8);
    assert_int_equal(scenario->sprayer.n_nozzles, 14);
    sprayer_work *work = worked_out(scenario);
    assert_int_equal(work->n_passes, 9);
    for (int p = 0; p < 9; p++) {
        assert_int_equal(work->pass[p].i_alley, p);
        assert_close(work->pass[p].x_m, 1.75 - 3.5 * p, 0.0, 1e-12);
        assert_close(L_MIN * work->pass[p].flow_m3_s, p == 0 || p == 8 ? 8.443 / 2.0 : 8.443, 1e-3, 0.0);
    }
    assert_close(1e7 * work->application_rate_m, 241.2, 1e-3, 0.0);
    assert_close(work->emitted_per_length_m2, work->application_rate_m * 8 * 3.5, 1e-12, 0.0);
    free(work);
    drupelet_scenario_free(scenario);
}

/* By hand, eight rows 3.5 m apart: half a spacing, 1.75 m, for each side that sprays, 3.5 m for each alley that is not
 * driven but lies between driven ones. The rate is the flow of both sides, 8.443 L/min, over it. */
static void the_treated_width_is_what_is_sprayed(void **state)
{
    (void)state;
    static const struct { const char *alleys, *shut; double width_m, rate_L_ha; } block[] = {
        {"sprayer.alleys=all", NULL, 28.0, 241.2},                          /* 16 sides */
        {"sprayer.alleys=[4]", NULL, 3.5, 241.2},                           /* one alley in the middle */
        {"sprayer.alleys=[0]", NULL, 1.75, 241.2},                          /* its outward side is shut */
        {"sprayer.alleys=[1, 3, 5, 7]", NULL, 24.5, 241.2 * 4.0 / 7.0},     /* 8 sides, 3 alleys between */
        {"sprayer.alleys=[0, 2, 4, 6, 8]", NULL, 28.0, 241.2 * 4.0 / 8.0},  /* 8 sides, 4 alleys between */
        {"sprayer.alleys=[2, 3]", NULL, 7.0, 241.2},                        /* the rows outside do not count */
        {"sprayer.alleys=all", "sprayer.shut_outside=no", 31.5, 241.2},     /* 18 sides: outside is treated, too */
        {"sprayer.alleys=[4]", "sprayer.nozzles.0.plugged=yes", 3.5, 241.2 * 12.0 / 14.0}, /* less on the same ground */
        {"sprayer.alleys=[3, 4]", "sprayer.shut=[{alley: 3, row: 3}]", 5.25, 241.2}, /* 3 sides */
    };
    for (size_t i = 0; i < sizeof block / sizeof block[0]; i++) {
        drupelet_scenario *scenario = apple_wall(block[i].alleys, block[i].shut);
        sprayer_work *work = worked_out(scenario);
        assert_close(work->treated_width_m, block[i].width_m, 1e-12, 0.0);
        assert_close(1e7 * work->application_rate_m, block[i].rate_L_ha, 1e-3, 0.0);
        free(work);
        drupelet_scenario_free(scenario);
    }
}

/* Which of the two sides of space a pass sprays to. */
static void sprayed_sides(const sprayer_pass *p, int *high, int *low)
{
    *high = p->heading > 0 ? p->right_open : p->left_open; /* who drives along +y has +x on the right */
    *low = p->heading > 0 ? p->left_open : p->right_open;
}

static void outermost_passes_spray_inward(void **state)
{
    (void)state;
    for (int alternate = 0; alternate < 2; alternate++)
        for (int shut = 0; shut < 2; shut++) {
            drupelet_scenario *scenario = apple_wall(NULL, NULL);
            scenario->sprayer.alternate = alternate;
            scenario->sprayer.shut_outside = shut;
            scenario->sprayer.alley_driven[4] = false; /* the last alley is then driven the other way */
            sprayer_work *work = worked_out(scenario);
            assert_int_equal(work->n_passes, 8);
            for (int p = 0; p < 8; p++) {
                int high, low;
                sprayed_sides(&work->pass[p], &high, &low);
                assert_int_equal(work->pass[p].heading, alternate && p % 2 == 1 ? -1 : 1);
                assert_int_equal(high, !shut || work->pass[p].i_alley != 0);
                assert_int_equal(low, !shut || work->pass[p].i_alley != 8);
            }
            free(work);
            drupelet_scenario_free(scenario);
        }
}

static void passes_without_spray_are_dropped(void **state)
{
    (void)state;
    drupelet_scenario *scenario = apple_wall(NULL, NULL);
    for (int i = 0; i < scenario->sprayer.n_nozzles; i++)
        scenario->sprayer.nozzle[i].side = SCENARIO_LEFT;
    sprayer_work *work = worked_out(scenario); /* alley 8 may spray to +x alone, where no nozzle is */
    assert_int_equal(work->n_passes, 8);
    assert_int_equal(work->pass[7].i_alley, 7);
    for (int a = 0; a < 8; a++)
        scenario->sprayer.alley_driven[a] = false;
    assert_int_equal(sprayer_work_out(scenario, work).code, DRUPELET_SCENARIO);
    free(work);
    drupelet_scenario_free(scenario);
}

/* ---- air ---- */

static void outlets_have_the_area_of_their_slots(void **state)
{
    (void)state;
    const scenario_outlet arc = {.kind = SCENARIO_ARC, .slot_m = 0.1, .radius_m = 0.5, .from_rad = -0.5, .to_rad = 1.5};
    const scenario_outlet slot = {.kind = SCENARIO_SLOT, .slot_m = 0.05, .bottom_m = 0.5, .top_m = 2.5};
    assert_close(sprayer_outlet_area_m2(&arc), 0.1, 1e-12, 0.0);
    assert_close(sprayer_outlet_area_m2(&slot), 0.1, 1e-12, 0.0);
}

/* Fan laws: flow ~ speed, shaft power ~ speed^3. */
static void fan_follows_the_fan_laws(void **state)
{
    (void)state;
    static const double speed[] = {1.0, 0.5, 1.2, 0.0};
    for (int k = 0; k < 4; k++) {
        drupelet_scenario *scenario = apple_wall(NULL, NULL);
        scenario->sprayer.fan_rpm = speed[k] * scenario->sprayer.fan_reference_rpm;
        sprayer_work *work = worked_out(scenario);
        assert_close(work->fan_flow_m3_s, speed[k] * scenario->sprayer.fan_reference_flow_m3_s, 1e-12, 0.0);
        assert_close(work->fan_power_W, pow(speed[k], 3.0) * scenario->sprayer.fan_reference_power_W, 1e-12, 0.0);
        double flow_m3_s = 0.0;
        for (int i = 0; i < scenario->sprayer.n_outlets; i++)
            flow_m3_s += work->outlet_speed_m_s[i] * sprayer_outlet_area_m2(&scenario->sprayer.outlet[i]);
        assert_close(flow_m3_s, work->fan_flow_m3_s, 1e-9, 1e-12);
        free(work);
        drupelet_scenario_free(scenario);
    }
}

static void flow_and_sizes_follow_published_numbers(void **state)
{
    (void)state;
    published_numbers_hold(verify_flow);
}

/* Measured medians of orchard cones lie within what generic ones of usual sizes and pressures may have, and that of a
 * very fine one within what the one of reference may have. */
static void measured_cones_lie_in_the_range(void **state)
{
    (void)state;
    const sprayer_generic g = sprayer_generic_tip(SCENARIO_HOLLOW_CONE);
    verify_table *t = data_file_open("cone_sizes");
    assert_int_equal(verify_table_rows(t), 3);
    for (int row = 0; row < verify_table_rows(t); row++) {
        const double dv50_m = 1e-6 * verify_table_number(t, row, "dv50_um");
        const double from_m3_s = scenario_size_flow_m3_s(verify_table_text(t, row, "from_size")),
                     to_m3_s = scenario_size_flow_m3_s(verify_table_text(t, row, "to_size"));
        const double high_Pa = 1e5 * verify_table_number(t, row, "high_bar"),
                     low_Pa = 1e5 * verify_table_number(t, row, "low_bar");
        const double least_m = sprayer_generic_dv50_m(&g, from_m3_s, high_Pa),
                     most_m = sprayer_generic_dv50_m(&g, to_m3_s, low_Pa);
        assert_between(dv50_m, least_m * g.dv50_lowest_m / g.dv50_m, most_m * g.dv50_highest_m / g.dv50_m);
        if (row == 0) assert_between(dv50_m, g.dv50_lowest_m, g.dv50_highest_m);
    }
    verify_table_free(t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flow_and_sizes_follow_published_numbers),
        cmocka_unit_test(sizes_have_the_colour_of_the_code),
        cmocka_unit_test(rarer_sizes_have_their_colour_and_the_list_rises),
        cmocka_unit_test(exit_speed_follows_pressure_and_kind),
        cmocka_unit_test(each_generic_number_has_a_standing),
        cmocka_unit_test(a_generic_tip_is_an_assumption_and_says_so),
        cmocka_unit_test(every_kind_has_every_size),
        cmocka_unit_test(air_induction_leaves_few_fines),
        cmocka_unit_test(a_measured_spectrum_stands_as_it_is),
        cmocka_unit_test(a_spectrum_moved_in_pressure_is_an_assumption),
        cmocka_unit_test(a_spectrum_that_fits_no_form_is_refused),
        cmocka_unit_test(nozzles_share_a_spray_at_the_same_tip_and_pressure),
        cmocka_unit_test(a_worn_tip_gives_more_and_coarser),
        cmocka_unit_test(wear_leaves_a_measured_spectrum_as_it_is_and_says_so),
        cmocka_unit_test(a_plugged_nozzle_gives_nothing_and_the_others_what_they_did),
        cmocka_unit_test(a_class_needs_borders_of_the_user),
        cmocka_unit_test(the_class_stands_in_the_note),
        cmocka_unit_test(rate_of_the_apple_wall),
        cmocka_unit_test(the_treated_width_is_what_is_sprayed),
        cmocka_unit_test(outermost_passes_spray_inward),
        cmocka_unit_test(passes_without_spray_are_dropped),
        cmocka_unit_test(outlets_have_the_area_of_their_slots),
        cmocka_unit_test(fan_follows_the_fan_laws),
        cmocka_unit_test(measured_cones_lie_in_the_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
