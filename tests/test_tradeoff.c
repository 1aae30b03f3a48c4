/* tests/test_tradeoff.c - sensitivity indices against the Ishigami function's, and front, limits, effects and errors of
 * differences against sweeps whose answers are known. */
#define _POSIX_C_SOURCE 200809L
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "check.h"
#include "drupelet/run.h"
#include "report/text.h"
#include "report/tradeoff.h"
#include "sweep/draw.h"
#include "synthetic_sweep.h"

#define LOSS result_column_named("ground_5_m")

#define PI 3.14159265358979323846

/* ---- Ishigami's function ----
 * T. Ishigami, T. Homma, Proc. ISUMA '90 (1990) 398: sin x1 + a sin^2 x2 + b x3^4 sin x1, each x uniform from -pi to
 * pi. Its indices follow from V1 = (1 + b pi^4 / 5)^2 / 2, V2 = a^2 / 8, V13 = 8 b^2 pi^8 / 225, V = V1 + V2 + V13. */
enum { SAMPLES = 4096, FACTORS = 3 };
static const double A = 7.0, B = 0.1;

static double ishigami(const double u[FACTORS])
{
    const double x[3] = {PI * (2.0 * u[0] - 1.0), PI * (2.0 * u[1] - 1.0), PI * (2.0 * u[2] - 1.0)};
    return sin(x[0]) + A * sin(x[1]) * sin(x[1]) + B * pow(x[2], 4.0) * sin(x[0]);
}

/* f at A, B and at A with one coordinate of B, as the plan lays them out. */
static void sample(double *a, double *b, double *ab)
{
    for (uint32_t j = 0; j < SAMPLES; j++) {
        double of_a[FACTORS], of_b[FACTORS];
        for (int i = 0; i < FACTORS; i++) {
            of_a[i] = sweep_sobol(j, i, 1);
            of_b[i] = sweep_sobol(j, i + FACTORS, 1);
        }
        a[j] = ishigami(of_a);
        b[j] = ishigami(of_b);
        for (int i = 0; i < FACTORS; i++) {
            const double own = of_a[i];
            of_a[i] = of_b[i];
            ab[i * SAMPLES + (int)j] = ishigami(of_a);
            of_a[i] = own;
        }
    }
}

static void known_indices(double first[FACTORS], double total[FACTORS])
{
    const double v1 = 0.5 * pow(1.0 + B * pow(PI, 4.0) / 5.0, 2.0), v2 = A * A / 8.0;
    const double v13 = 8.0 * B * B * pow(PI, 8.0) / 225.0, v = v1 + v2 + v13;
    first[0] = v1 / v;
    first[1] = v2 / v;
    first[2] = 0.0;
    total[0] = (v1 + v13) / v;
    total[1] = v2 / v;
    total[2] = v13 / v;
}

static void indices_of_ishigami_are_met(void **state)
{
    (void)state;
    static double a[SAMPLES], b[SAMPLES], ab[FACTORS * SAMPLES];
    double first[FACTORS], total[FACTORS];
    report_index index[FACTORS];
    known_indices(first, total);
    assert_close(first[0], 0.3139, 0.0, 5e-5); /* as usually printed */
    assert_close(first[1], 0.4424, 0.0, 5e-5);
    assert_close(total[0], 0.5576, 0.0, 5e-5);
    assert_close(total[2], 0.2437, 0.0, 5e-5);
    sample(a, b, ab);
    assert_int_equal(report_indices(SAMPLES, FACTORS, a, b, ab, NULL, NULL, 400, 1, index).code, DRUPELET_OK);
    for (int i = 0; i < FACTORS; i++) {
        assert_close(index[i].first, first[i], 0.0, 0.01);
        assert_close(index[i].total, total[i], 0.0, 0.01);
        assert_between(first[i], index[i].first_low, index[i].first_high);
        assert_between(total[i], index[i].total_low, index[i].total_high);
        assert_true(index[i].first_low < index[i].first && index[i].first < index[i].first_high);
        assert_true(index[i].first_high - index[i].first_low < 0.15);
    }
}

/* Noise of a known size, other at every point: without the correction it spoils the totals, with it they come back. */
static void noise_is_taken_off(void **state)
{
    (void)state;
    static double a[SAMPLES], b[SAMPLES], ab[FACTORS * SAMPLES], noise[SAMPLES], noise_ab[FACTORS * SAMPLES];
    static const double DEVIATION = 2.0; /* more than half of the function's own, 3.7 */
    double first[FACTORS], total[FACTORS];
    report_index plain[FACTORS], corrected[FACTORS];
    known_indices(first, total);
    sample(a, b, ab);
    for (int i = 0; i < (FACTORS + 2) * SAMPLES; i++) {
        uint32_t random[4];
        double normal[2];
        base_random_block(3, BASE_STREAM_CHECK, (uint64_t)i, 0, random);
        base_normal_pair(random[0], random[1], normal);
        double *f = i < SAMPLES ? &a[i] : i < 2 * SAMPLES ? &b[i - SAMPLES] : &ab[i - 2 * SAMPLES];
        *f += DEVIATION * normal[0];
    }
    for (int i = 0; i < SAMPLES; i++)
        noise[i] = DEVIATION * DEVIATION;
    for (int i = 0; i < FACTORS * SAMPLES; i++)
        noise_ab[i] = 2.0 * DEVIATION * DEVIATION;
    assert_int_equal(report_indices(SAMPLES, FACTORS, a, b, ab, NULL, NULL, 2, 1, plain).code, DRUPELET_OK);
    assert_int_equal(report_indices(SAMPLES, FACTORS, a, b, ab, noise, noise_ab, 200, 1, corrected).code, DRUPELET_OK);
    for (int i = 0; i < FACTORS; i++) {
        assert_close(corrected[i].total, total[i], 0.0, 0.04);
        assert_close(corrected[i].first, first[i], 0.0, 0.05);
    }
    assert_true(plain[2].total > total[2] + 0.1);
}

static void what_does_not_vary_has_no_indices(void **state)
{
    (void)state;
    static const double flat[4] = {1.0, 1.0, 1.0, 1.0};
    report_index index;
    assert_int_equal(report_indices(4, 1, flat, flat, flat, NULL, NULL, 10, 1, &index).code, DRUPELET_OK);
    assert_true(isnan(index.first) && isnan(index.total) && isnan(index.first_low));
}

/* ---- a sweep of which all is known ---- */

enum { SPEEDS = SYNTHETIC_SPEEDS, TIPS = SYNTHETIC_TIPS, POINTS = SYNTHETIC_POINTS };
#define SHARED SYNTHETIC_SHARED
#define OWN SYNTHETIC_OWN

/* True deposit and drift of a point: speed raises both, the coarse tip lowers drift and a little of the deposit. */
static double deposit(int64_t p) { return 40.0 + 3.0 * (double)(p / TIPS) - 1.0 * (double)(p % TIPS); }
static double drift(int64_t p) { return (4.0 + 1.0 * (double)(p / TIPS)) * (p % TIPS == 1 ? 0.25 : 1.0); }

static double truth(int i_output, int64_t p)
{
    return i_output == result_column_named("leaf") ? deposit(p) : i_output == LOSS ? drift(p) : 1.0;
}

/* @param failed a case that failed, or -1 */
static void write_sweep(int n_replicates, int64_t failed, store_sweep *sweep)
{
    const synthetic_sweep known = {.n_replicates = n_replicates, .failed = failed + 1, .truth = truth};
    synthetic_sweep_write(&known, sweep);
}

static report_question usual(void)
{
    return report_question_usual();
}

static void done(store_sweep *sweep, report_tradeoff *t)
{
    report_tradeoff_free(t);
    synthetic_sweep_done(sweep);
}

/* Text of a picture or a print. */
static char *text_of(const report_tradeoff *t, const report_fan_note *fan,
                     void (*plot)(const report_tradeoff *, FILE *), bool json)
{
    char *text = NULL;
    size_t n;
    FILE *to = open_memstream(&text, &n);
    assert_non_null(to);
    if (plot)
        plot(t, to);
    else
        report_tradeoff_print(t, fan, to, json);
    fclose(to);
    return text;
}

static void common_random_numbers_sharpen_differences(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    const report_question question = usual();
    write_sweep(1, -1, &sweep);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    const double root = sqrt(TALLY_BATCHES);
    for (int64_t p = 1; p < POINTS; p++) {
        const tally_estimate d = report_difference(&t.of[REPORT_GAIN], p, 0);
        assert_close(t.of[REPORT_GAIN].mean[p].error, SHARED / root, 0.5, 0.0); /* of 32 batches: itself good to 13 % */
        assert_close(d.error, sqrt(2.0) * OWN / root, 0.5, 0.0);
        assert_close(d.share, deposit(p) - deposit(0), 0.0, 4.0 * d.error);
    }
    done(&sweep, &t);
}

static void the_front_is_the_known_one(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    report_question question = usual();
    char reason[240];
    assert_true(report_limit_read("ground_5_m < 1.6 %", &question.limit[question.n_limits++], reason));
    assert_true(report_limit_read("leaf>=30percent", &question.limit[question.n_limits++], reason));
    write_sweep(1, -1, &sweep);
    assert_close(question.limit[0].value, 1.6, 0.0, 0.0);
    question.limit[0].value = 0.5 * (sweep.value[LOSS][5] + sweep.value[LOSS][7]);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_int_equal(t.n_front, SPEEDS + 1); /* the coarse tip at each speed, and the fine one at the highest */
    for (int s = 0; s < SPEEDS; s++)
        assert_int_equal(t.front[s], TIPS * s + 1);
    assert_int_equal(t.front[SPEEDS], POINTS - TIPS);
    assert_int_equal(t.n_near, 0);
    assert_int_equal(t.best, TIPS * 2 + 1); /* the third speed of the coarse tip */
    assert_int_equal(t.n_within, 3);
    assert_true(t.safest < t.best); /* the limit is nearer to it than two standard errors */
    assert_false(report_limit_read("ground_5_m", &question.limit[0], reason));
    assert_false(report_limit_read("gruond_5_m < 2 %", &question.limit[0], reason));
    assert_non_null(strstr(reason, "ground_5_m"));
    assert_false(report_limit_read("ground_5_m < 0.02", &question.limit[0], reason)); /* 0.02 % or 2 %? */
    assert_string_equal(reason, "ground_5_m is in percent: write it with its %");
    assert_false(report_limit_read("ground_5_m < 2 bar", &question.limit[0], reason));
    assert_false(report_limit_read("ground_5_m < -x", &question.limit[0], reason));
    done(&sweep, &t);
}

/* Of the coarse tip, the first two speeds differ by less than two standard errors of a difference, 0.1 sqrt(2/32) =
 * 0.025. The last two differ by less than two errors of the points themselves, 0.18, but the difference, which has no
 * shared noise in it, tells them apart. The fine tip's points are far off the front, but for one that is equal to its
 * end. */
static double nearly_equal(int i_output, int64_t p)
{
    static const double along[SPEEDS] = {0.0, 0.03, 2.0, 2.3};
    const double far = p % TIPS == 1 ? 0.0 : 5.0;
    if (i_output == result_column_named("leaf"))
        return p == POINTS - 2 ? 42.28 : 40.0 + along[p / TIPS] - far;
    if (i_output == LOSS)
        return p == POINTS - 2 ? 6.345 : 4.0 + along[p / TIPS] + far;
    return 1.0;
}

static void equal_points_of_a_front_are_told(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    report_question question = usual();
    char reason[240], letters[8];
    assert_true(report_limit_read("ground_5_m < 20 %", &question.limit[question.n_limits++], reason));
    const synthetic_sweep known = {.truth = nearly_equal};
    synthetic_sweep_write(&known, &sweep);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_int_equal(t.n_front, SPEEDS);
    for (int i = 0; i < SPEEDS; i++)
        assert_int_equal(t.front[i], TIPS * i + 1);
    assert_true(report_equal(&t, 1, 3) && report_equal(&t, 3, 1));
    assert_false(report_equal(&t, 5, 7));
    assert_true(2.0 * t.of[REPORT_GAIN].mean[5].error > 0.3 && 2.0 * t.of[REPORT_LOSS].mean[7].error > 0.3);
    assert_int_equal(t.n_equals, 1);
    assert_true(t.equals[0] == 1 && t.equals[1] == 1 && t.equals[2] == 0 && t.equals[3] == 0);
    assert_int_equal(t.n_near, 1);
    assert_int_equal(t.near[0], POINTS - 2);
    assert_int_equal(t.best, POINTS - 1);
    assert_int_equal(t.n_as_good, 1);
    assert_int_equal(t.as_good[0], POINTS - 2);
    report_equals_letters(1, letters);
    assert_string_equal(letters, "a");
    report_equals_letters(28, letters);
    assert_string_equal(letters, "ab");
    report_fan_note fan;
    assert_int_equal(report_fan_note_of(&sweep, &fan).code, DRUPELET_OK);
    char *front = text_of(&t, NULL, report_front_plot, false), *print = text_of(&t, &fan, NULL, false);
    char *json = text_of(&t, &fan, NULL, true);
    assert_non_null(strstr(front, "class=\"equal\""));
    assert_non_null(strstr(front, ">2a<"));
    assert_null(strstr(front, ">3b<"));
    assert_non_null(strstr(print, "Points with one letter are equal: neither leaf nor "));
    assert_non_null(strstr(print, "Equal to a point of the front, and so perhaps part of it: point 7.\n"));
    assert_non_null(strstr(print, "As good within two standard errors of the difference: point 7.\n"));
    assert_non_null(strstr(json, "\"equal_on_front\": [[2, 4]],"));
    assert_non_null(strstr(json, "\"equal_to_front\": [7],"));
    assert_non_null(strstr(json, "\"as_good_as_best\": [7],"));
    free(front);
    free(print);
    free(json);
    done(&sweep, &t);
}

/* The point that would be safest, the coarse tip at the lowest speed: nothing of it comes down while it is followed. */
static double calm(int64_t p) { return p == 1 ? 5.0 : 0.0; }
static double lost_in_calm(int i_output, int64_t p) { return i_output == LOSS && p == 1 ? 0.01 : truth(i_output, p); }

static void calm_air_does_not_look_safe(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    report_question question = usual();
    char reason[240];
    const synthetic_sweep known = {.truth = lost_in_calm, .aloft = calm};
    synthetic_sweep_write(&known, &sweep);
    assert_true(report_limit_read("ground_5_m < 0.9 %", &question.limit[question.n_limits++], reason));
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_true(t.of[REPORT_LOSS].mean[1].share < 0.9); /* so the limit takes it for safe, and it alone */
    assert_int_equal(t.n_aloft, 1);
    assert_int_equal(t.n_left_out, 1);
    assert_int_equal(t.aloft[0], 1);
    assert_int_equal(t.best, -1);
    assert_int_equal(t.n_within, 0);
    assert_int_equal(t.n_known, POINTS);
    assert_true(t.n_front > 0);
    for (int64_t i = 0; i < t.n_front; i++)
        assert_int_not_equal(t.front[i], 1);
    report_fan_note fan;
    assert_int_equal(report_fan_note_of(&sweep, &fan).code, DRUPELET_OK);
    char *front = text_of(&t, NULL, report_front_plot, false), *print = text_of(&t, &fan, NULL, false);
    char *json = text_of(&t, &fan, NULL, true);
    assert_non_null(strstr(print, "Still aloft: in 1 of 8 points"));
    assert_non_null(strstr(print, "left out of front and best settings"));
    assert_non_null(strstr(print, "       2  5 % of the output aloft  fan_speed 300 rpm"));
    assert_non_null(strstr(print, "With ground_5_m <= 0.9 percent: no point of those whose drift is known."));
    assert_non_null(strstr(json, "\"aloft_left_out\": true,\n  \"aloft\": [\n    {\"point\": 2, \"aloft\": 5}\n  ]"));
    assert_non_null(strstr(front, "class=\"aloft\""));
    assert_non_null(strstr(front, "Hollow: much is still aloft"));
    free(front);
    free(print);
    free(json);
    report_tradeoff_free(&t);
    /* What is aloft says nothing of this; the limit is about drift still. */
    question.output[REPORT_LOSS] = result_column_named("evaporated");
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_int_equal(t.n_left_out, 1);
    report_tradeoff_free(&t);
    question.n_limits = 0;
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_int_equal(t.n_aloft, 1);
    assert_int_equal(t.n_left_out, 0);
    done(&sweep, &t);
}

static void the_other_drift_is_told_beside(void **state)
{
    (void)state;
    static const struct { const char *gain, *loss, *beside; } cases[] = {
        {"leaf", "ground_5_m", "airborne_5_m"},     {"leaf", "ground_3_m", "airborne_5_m"},
        {"leaf", "ground_50_m", "airborne_50_m"},   {"leaf", "airborne_10_m", "ground_10_m"},
        {"leaf", "drift_sum_20_m", "airborne_20_m"}, {"leaf", "evaporated", NULL},
        {"airborne_5_m", "ground_5_m", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        report_question question = {.output = {result_column_named(cases[i].gain), result_column_named(cases[i].loss)}};
        report_question_tell_beside(&question);
        assert_int_equal(question.tells_beside, cases[i].beside != NULL);
        if (cases[i].beside)
            assert_string_equal(result_column_of(question.output[REPORT_BESIDE]).name, cases[i].beside);
    }
    store_sweep sweep;
    report_tradeoff t;
    report_question question = usual();
    question.b = 1;
    question.a = 0;
    report_question_tell_beside(&question);
    write_sweep(1, -1, &sweep);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    const report_effect *speed = &t.effect[0];
    /* All points have one truth. */
    assert_close(speed->level[2].mean[REPORT_BESIDE].share, t.of[REPORT_BESIDE].mean[4].share, 0.1, 0.0);
    report_fan_note fan;
    assert_int_equal(report_fan_note_of(&sweep, &fan).code, DRUPELET_OK);
    char *print = text_of(&t, &fan, NULL, false), *json = text_of(&t, &fan, NULL, true);
    assert_non_null(strstr(print, "leaf            ground_5_m          airborne_5_m"));
    assert_non_null(strstr(print, "\nairborne_5_m: passes 5 m"));
    const tally_estimate d = report_difference(&t.of[REPORT_BESIDE], 0, 1);
    char amount[64], told[96];
    report_amount(amount, sizeof amount, fabs(d.share), d.error, " +/- ");
    snprintf(told, sizeof told, ", airborne_5_m %s%s.\n", d.share < 0.0 ? "-" : "", amount);
    assert_non_null(strstr(print, told));
    assert_non_null(strstr(json, "\"airborne_5_m_standard_error\": "));
    free(print);
    free(json);
    done(&sweep, &t);
}

static void main_effects_are_the_known_ones(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    const report_question question = usual();
    write_sweep(1, -1, &sweep);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    const report_effect *speed = &t.effect[0], *tip = &t.effect[1];
    assert_int_equal(speed->n_levels, SPEEDS);
    assert_int_equal(tip->n_levels, TIPS);
    assert_string_equal(speed->level[0].label, "300 rpm");
    assert_close(speed->range[REPORT_GAIN].share, 3.0 * (SPEEDS - 1), 0.0, 4.0 * speed->range[REPORT_GAIN].error);
    assert_close(speed->range[REPORT_GAIN].error, OWN * sqrt(2.0 / TIPS / TALLY_BATCHES), 0.5, 0.0);
    assert_close(tip->range[REPORT_GAIN].share, 1.0, 0.0, 4.0 * tip->range[REPORT_GAIN].error);
    assert_close(tip->range[REPORT_LOSS].share, 0.75 * 5.5, 0.0, 4.0 * tip->range[REPORT_LOSS].error);
    assert_int_equal(tip->level[1].n, SPEEDS);
    done(&sweep, &t);
}

static void replicates_show_their_own_scatter(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    const report_question question = usual();
    write_sweep(4, -1, &sweep);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_int_equal(t.n_points, POINTS);
    for (int64_t p = 0; p < POINTS; p++) {
        assert_close(t.of[REPORT_GAIN].mean[p].share, deposit(p), 0.0, 4.0 * SHARED / sqrt(4.0 * TALLY_BATCHES));
        assert_true(t.of[REPORT_GAIN].mean[p].error > 0.5 * SHARED / sqrt(4.0 * TALLY_BATCHES));
    }
    done(&sweep, &t);
}

static void a_failed_case_is_left_out(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    const report_question question = usual();
    write_sweep(1, 3, &sweep);
    assert_true(sweep.failed[3] && !sweep.failed[2]);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    assert_int_equal(t.n_known, POINTS - 1);
    for (int64_t i = 0; i < t.n_front; i++)
        assert_int_not_equal(t.front[i], 3);
    assert_int_equal(t.effect[1].level[1].n, SPEEDS - 1);
    done(&sweep, &t);
}

static void pictures_and_prints_hold_what_they_should(void **state)
{
    (void)state;
    store_sweep sweep;
    report_tradeoff t;
    report_question question = usual();
    question.a = 0;
    question.b = 1;
    write_sweep(1, -1, &sweep);
    assert_int_equal(report_tradeoff_create(&sweep, &question, &t).code, DRUPELET_OK);
    report_fan_note fan;
    assert_int_equal(report_fan_note_of(&sweep, &fan).code, DRUPELET_OK);
    char *front = text_of(&t, NULL, report_front_plot, false), *effects = text_of(&t, NULL, report_effects_plot, false);
    char *print = text_of(&t, &fan, NULL, false), *json = text_of(&t, &fan, NULL, true);
    assert_non_null(strstr(front, "A known &lt;sweep&gt;"));
    assert_null(strstr(front, "<sweep>"));
    assert_non_null(strstr(front, "coarse, &quot;big&quot;"));
    assert_null(strstr(front, "nan"));
    assert_null(strstr(effects, "nan"));
    assert_non_null(strstr(front, "Caution."));
    assert_non_null(strstr(effects, "Caution."));
    int members = 0;
    for (const char *at = front; (at = strstr(at, "class=\"member\"")) != NULL; at++)
        members++;
    assert_int_equal(members, SPEEDS + 1);
    assert_non_null(strstr(print, "Point 1 less point 2: leaf "));
    assert_non_null(strstr(json, "\"tip\": \"coarse, \\\"big\\\"\""));
    free(front);
    free(effects);
    free(print);
    free(json);
    done(&sweep, &t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(indices_of_ishigami_are_met),
        cmocka_unit_test(noise_is_taken_off),
        cmocka_unit_test(what_does_not_vary_has_no_indices),
        cmocka_unit_test(common_random_numbers_sharpen_differences),
        cmocka_unit_test(the_front_is_the_known_one),
        cmocka_unit_test(calm_air_does_not_look_safe),
        cmocka_unit_test(the_other_drift_is_told_beside),
        cmocka_unit_test(equal_points_of_a_front_are_told),
        cmocka_unit_test(main_effects_are_the_known_ones),
        cmocka_unit_test(replicates_show_their_own_scatter),
        cmocka_unit_test(a_failed_case_is_left_out),
        cmocka_unit_test(pictures_and_prints_hold_what_they_should),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
