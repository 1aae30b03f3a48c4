/* tests/test_spectrum.c - volume spectra: fits, quantiles, Sauter means, tables. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "sprayer/spectrum.h"

static const scenario_spectrum_form forms[] = {SCENARIO_SPECTRUM_LOG_NORMAL, SCENARIO_SPECTRUM_ROSIN_RAMMLER,
                                               SCENARIO_SPECTRUM_UPPER_LIMIT};
enum { N_FORMS = 3, N_SPECTRA = 4 };

static sprayer_spectrum fitted(scenario_spectrum_form form)
{
    sprayer_spectrum s;
    assert_int_equal(sprayer_spectrum_fit(form, 60e-6, 120e-6, 200e-6, &s).code, DRUPELET_OK);
    return s;
}

static const double diameter_m[] = {20e-6, 60e-6, 120e-6, 200e-6, 400e-6}, share_below[] = {0.0, 0.1, 0.5, 0.9, 1.0};

/* The three named forms and a table. */
static sprayer_spectrum spectrum_of(int i)
{
    sprayer_spectrum s;
    if (i < N_FORMS) return fitted(forms[i]);
    assert_int_equal(sprayer_spectrum_from_table(5, diameter_m, share_below, &s).code, DRUPELET_OK);
    return s;
}

/* Parameters of the same worked example, for Dv10 60, Dv50 120, Dv90 200 um; as many digits as were worked. */
static void parameters_follow_the_worked_example(void **state)
{
    (void)state;
    const sprayer_spectrum n = fitted(SCENARIO_SPECTRUM_LOG_NORMAL), r = fitted(SCENARIO_SPECTRUM_ROSIN_RAMMLER),
                           u = fitted(SCENARIO_SPECTRUM_UPPER_LIMIT);
    assert_close(n.a, 109.54e-6, 1e-4, 0.0);
    assert_close(exp(n.b), 1.5996, 1e-4, 0.0);
    assert_close(r.a, 144.42e-6, 1e-4, 0.0);
    assert_close(r.b, 2.5619, 1e-4, 0.0);
    assert_close(u.a, 360.00e-6, 1e-4, 0.0);
    assert_close(u.b, 2.0, 1e-4, 0.0);
    assert_close(u.c, 0.9890, 1e-4, 0.0);
}

/* Closed forms: Rosin-Rammler d = a (-ln(1 - F))^(1/b); log-normal d = a exp(b z) with the standard normal quantiles z
 * of a printed table (F 0.01, 0.25, 0.75, 0.975, 0.999; memory, sure, ten digits). */
static void quantiles_agree_with_closed_forms(void **state)
{
    (void)state;
    static const double share[] = {0.01, 0.25, 0.75, 0.975, 0.999};
    static const double z[] = {-2.3263478740, -0.6744897502, 0.6744897502, 1.9599639845, 3.0902323062};
    const sprayer_spectrum n = fitted(SCENARIO_SPECTRUM_LOG_NORMAL), r = fitted(SCENARIO_SPECTRUM_ROSIN_RAMMLER);
    for (int i = 0; i < 5; i++) {
        assert_close(sprayer_spectrum_quantile_m(&n, share[i]), n.a * exp(n.b * z[i]), 1e-9, 0.0);
        assert_close(sprayer_spectrum_quantile_m(&r, share[i]), r.a * pow(-log(1.0 - share[i]), 1.0 / r.b), 1e-9, 0.0);
    }
}

static void fits_meet_the_quantiles_they_can(void **state)
{
    (void)state;
    for (int f = 0; f < N_FORMS; f++) {
        const sprayer_spectrum s = fitted(forms[f]);
        assert_close(sprayer_spectrum_share_below(&s, 60e-6), 0.1, 1e-12, 0.0);
        assert_close(sprayer_spectrum_share_below(&s, 200e-6), 0.9, 1e-12, 0.0);
    }
    const sprayer_spectrum u = fitted(SCENARIO_SPECTRUM_UPPER_LIMIT);
    assert_close(sprayer_spectrum_share_below(&u, 120e-6), 0.5, 1e-12, 0.0);
    assert_close(sprayer_spectrum_share_below(&u, 1.01 * u.a), 1.0, 0.0, 0.0);
}

static void quantiles_invert_shares(void **state)
{
    (void)state;
    static const double shares[] = {1e-9, 1e-4, 0.03, 0.1, 0.4, 0.5, 0.6, 0.9, 0.99, 0.9999};
    for (int i = 0; i < N_SPECTRA; i++) {
        const sprayer_spectrum s = spectrum_of(i);
        double before_m = 0.0;
        for (size_t k = 0; k < sizeof shares / sizeof shares[0]; k++) {
            const double d_m = sprayer_spectrum_quantile_m(&s, shares[k]);
            assert_true(d_m > before_m);
            assert_close(sprayer_spectrum_share_below(&s, d_m), shares[k], 1e-6, 0.0); /* rounding, far out in a tail */
            before_m = d_m;
        }
        assert_true(sprayer_spectrum_share_below(&s, 0.0) == 0.0);
        assert_close(sprayer_spectrum_share_below(&s, 0.1), 1.0, 1e-12, 0.0);
    }
}

/* 1 over the volume mean of 1/d, summed over narrow ranges of size. */
static void sauter_means_agree_with_a_sum(void **state)
{
    (void)state;
    for (int i = 0; i < N_SPECTRA; i++) {
        const sprayer_spectrum s = spectrum_of(i);
        const int n = 20000;
        double sum_1_m = 0.0, before = 0.0;
        for (int k = 1; k <= n; k++) {
            const double low_m = 1e-8 * pow(1e5, (k - 1.0) / n), high_m = 1e-8 * pow(1e5, (double)k / n);
            const double share = sprayer_spectrum_share_below(&s, high_m);
            sum_1_m += (share - before) / sqrt(low_m * high_m);
            before = share;
        }
        /* 0.05 %: the Rosin-Rammler tail below 0.01 um is cut */
        assert_close(sprayer_spectrum_sauter_m(&s), 1.0 / sum_1_m, 5e-4, 0.0);
    }
}

static void diameters_that_do_not_fit_are_refused(void **state)
{
    (void)state;
    static const double bad[][3] = {{0.0, 120e-6, 200e-6},
                                    {60e-6, 60e-6, 200e-6},
                                    {60e-6, 120e-6, 100e-6},
                                    {NAN, 1e-4, 2e-4},
                                    {1e-4, 2e-4, INFINITY}};
    sprayer_spectrum s;
    for (int f = 0; f < N_FORMS; f++)
        for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
            assert_int_equal(sprayer_spectrum_fit(forms[f], bad[i][0], bad[i][1], bad[i][2], &s).code,
                             DRUPELET_SCENARIO);
    /* Dv50 below the root of Dv10 Dv90: no largest diameter */
    const drupelet_status status = sprayer_spectrum_fit(SCENARIO_SPECTRUM_UPPER_LIMIT, 60e-6, 100e-6, 200e-6, &s);
    assert_int_equal(status.code, DRUPELET_SCENARIO);
    assert_non_null(strstr(status.message, "expected Dv50 above 109.5"));
    assert_int_equal(sprayer_spectrum_fit(SCENARIO_SPECTRUM_LOG_NORMAL, 60e-6, 100e-6, 200e-6, &s).code, DRUPELET_OK);
}

static void tables_are_straight_between_their_lines(void **state)
{
    (void)state;
    const sprayer_spectrum s = spectrum_of(N_FORMS);
    for (int i = 0; i < 5; i++)
        assert_close(sprayer_spectrum_share_below(&s, diameter_m[i]), share_below[i], 1e-12, 0.0);
    for (int i = 1; i < 5; i++) {
        const double middle_m = sqrt(diameter_m[i - 1] * diameter_m[i]),
                     half = 0.5 * (share_below[i - 1] + share_below[i]);
        assert_close(sprayer_spectrum_share_below(&s, middle_m), half, 1e-12, 0.0);
        assert_close(sprayer_spectrum_quantile_m(&s, half), middle_m, 1e-12, 0.0);
    }
}

static void tables_with_faults_are_refused(void **state)
{
    (void)state;
    static const struct {
        int n;
        double d[3], share[3];
    } bad[] = {{1, {1e-4}, {1.0}},                       /* one line */
               {3, {1e-4, 1e-4, 2e-4}, {0.0, 0.5, 1.0}}, /* the same diameter twice */
               {3, {0.0, 1e-4, 2e-4}, {0.0, 0.5, 1.0}},  /* no diameter */
               {3, {1e-4, 2e-4, NAN}, {0.0, 0.5, 1.0}},
               {3, {1e-4, 2e-4, 3e-4}, {0.0, 0.0, 1.0}},  /* a share that does not rise */
               {3, {1e-4, 2e-4, 3e-4}, {0.1, 0.5, 1.0}},  /* does not begin at 0 */
               {3, {1e-4, 2e-4, 3e-4}, {0.0, 0.5, 0.9}}}; /* does not end at 1 */
    sprayer_spectrum s;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        assert_int_equal(sprayer_spectrum_from_table(bad[i].n, bad[i].d, bad[i].share, &s).code, DRUPELET_SCENARIO);
    assert_int_equal(sprayer_spectrum_from_table(SCENARIO_SPECTRUM + 1, diameter_m, share_below, &s).code,
                     DRUPELET_SCENARIO);
}

static void scaling_keeps_the_shape(void **state)
{
    (void)state;
    for (int i = 0; i < N_SPECTRA; i++) {
        sprayer_spectrum s = spectrum_of(i);
        const sprayer_spectrum before = s;
        sprayer_spectrum_scale(&s, 0.8);
        for (double share = 0.01; share < 1.0; share += 0.07)
            assert_close(sprayer_spectrum_quantile_m(&s, share), 0.8 * sprayer_spectrum_quantile_m(&before, share),
                         1e-12, 0.0);
        assert_close(sprayer_spectrum_sauter_m(&s), 0.8 * sprayer_spectrum_sauter_m(&before), 1e-12, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parameters_follow_the_worked_example),
        cmocka_unit_test(quantiles_agree_with_closed_forms),
        cmocka_unit_test(fits_meet_the_quantiles_they_can),
        cmocka_unit_test(quantiles_invert_shares),
        cmocka_unit_test(sauter_means_agree_with_a_sum),
        cmocka_unit_test(diameters_that_do_not_fit_are_refused),
        cmocka_unit_test(tables_are_straight_between_their_lines),
        cmocka_unit_test(tables_with_faults_are_refused),
        cmocka_unit_test(scaling_keeps_the_shape),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
