/* tests/test_against_gsl.c - quantiles, wet bulb and settling speed beside the GNU Scientific Library: its own inverse
 * distributions, and its root finder (Brent-Dekker) on the equations written down again here. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "base/moist_air.h"
#include "check.h"
#include "droplet/droplet.h"
#include "sprayer/spectrum.h"

static double root_of(double (*function)(double, void *), void *user, double low, double high)
{
    gsl_function f = {function, user};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    assert_non_null(solver);
    assert_int_equal(gsl_root_fsolver_set(solver, &f, low, high), GSL_SUCCESS);
    int said = GSL_CONTINUE;
    for (int i = 0; i < 200 && said == GSL_CONTINUE; i++) {
        assert_int_equal(gsl_root_fsolver_iterate(solver), GSL_SUCCESS);
        said = gsl_root_test_interval(gsl_root_fsolver_x_lower(solver), gsl_root_fsolver_x_upper(solver), 0.0, 1e-13);
    }
    assert_int_equal(said, GSL_SUCCESS);
    const double root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return root;
}

static const double share[] = {1e-4, 0.001, 0.01, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 0.99, 0.999, 0.9999};
enum { N_SHARES = sizeof share / sizeof share[0] };
static const double sizes_um[][3] = {{60, 130, 250}, {90, 140, 210}, {150, 320, 560}, {30, 55, 300}};
enum { N_SIZES = sizeof sizes_um / sizeof sizes_um[0] };

/* Both forms go through Dv10 and Dv90: the parameters follow from GSL's quantiles of the unit distributions. */
static void log_normal_quantiles_agree(void **state)
{
    (void)state;
    for (int i = 0; i < N_SIZES; i++) {
        sprayer_spectrum s;
        const double low = 1e-6 * sizes_um[i][0], high = 1e-6 * sizes_um[i][2];
        assert_int_equal(
            sprayer_spectrum_fit(SCENARIO_SPECTRUM_LOG_NORMAL, low, 1e-6 * sizes_um[i][1], high, &s).code, DRUPELET_OK);
        const double sigma = log(high / low) / (gsl_cdf_ugaussian_Pinv(0.9) - gsl_cdf_ugaussian_Pinv(0.1));
        const double zeta = log(low) - sigma * gsl_cdf_ugaussian_Pinv(0.1);
        for (int k = 0; k < N_SHARES; k++) {
            assert_close(sprayer_spectrum_quantile_m(&s, share[k]), gsl_cdf_lognormal_Pinv(share[k], zeta, sigma), 1e-6,
                         0.0);
            assert_close(sprayer_spectrum_share_below(&s, gsl_cdf_lognormal_Pinv(share[k], zeta, sigma)), share[k],
                         1e-6, 0.0);
        }
    }
}

static void rosin_rammler_quantiles_agree(void **state)
{
    (void)state;
    for (int i = 0; i < N_SIZES; i++) {
        sprayer_spectrum s;
        const double low = 1e-6 * sizes_um[i][0], high = 1e-6 * sizes_um[i][2];
        assert_int_equal(
            sprayer_spectrum_fit(SCENARIO_SPECTRUM_ROSIN_RAMMLER, low, 1e-6 * sizes_um[i][1], high, &s).code,
            DRUPELET_OK);
        const double power = log(gsl_cdf_exponential_Pinv(0.9, 1.0) / gsl_cdf_exponential_Pinv(0.1, 1.0))
                             / log(high / low);
        const double scale = low / pow(gsl_cdf_exponential_Pinv(0.1, 1.0), 1.0 / power);
        for (int k = 0; k < N_SHARES; k++) {
            assert_close(sprayer_spectrum_quantile_m(&s, share[k]), gsl_cdf_weibull_Pinv(share[k], scale, power), 1e-6,
                         0.0);
            assert_close(sprayer_spectrum_share_below(&s, gsl_cdf_weibull_Pinv(share[k], scale, power)), share[k],
                         1e-6, 0.0);
        }
    }
}

typedef struct { double temperature_K, humidity, pressure_Pa; } air_state_of;

/* Saturation pressure, W. Wagner, A. Pruss, J. Phys. Chem. Ref. Data 31 (2002) 387, equation 2.5 (IAPWS), Pa. */
static double iapws_saturation_Pa(double t_K)
{
    const double a[] = {-7.85951783, 1.84408259, -11.7866497, 22.6807411, -15.9618719, 1.80122502};
    const double power[] = {1.0, 1.5, 3.0, 3.5, 4.0, 7.5}, critical_K = 647.096;
    double sum = 0.0;
    for (int i = 0; i < 6; i++)
        sum += a[i] * pow(1.0 - t_K / critical_K, power[i]);
    return 22.064e6 * exp(critical_K / t_K * sum);
}

/* Adiabatic saturation: enthalpy of the air plus that of the water it takes on, less that of the saturated air, per
 * kg of dry air. ASHRAE Handbook Fundamentals (2017), chapter 1, equation 31 with its enthalpies, and IAPWS's
 * saturation. */
static double saturation_balance(double wet_K, void *user)
{
    const air_state_of *a = user;
    const double t_C = a->temperature_K - BASE_ZERO_CELSIUS_K, wet_C = wet_K - BASE_ZERO_CELSIUS_K;
    const double e = a->humidity * iapws_saturation_Pa(a->temperature_K), e_wet = iapws_saturation_Pa(wet_K);
    const double ratio = 0.621945 * e / (a->pressure_Pa - e), wet_ratio = 0.621945 * e_wet / (a->pressure_Pa - e_wet);
    const double air_kJ = 1.006 * t_C + ratio * (2501.0 + 1.86 * t_C);
    const double wet_air_kJ = 1.006 * wet_C + wet_ratio * (2501.0 + 1.86 * wet_C);
    return air_kJ + (wet_ratio - ratio) * 4.186 * wet_C - wet_air_kJ;
}

/* Above 0 degC. 0.02 K: IAPWS's saturation differs by up to 0.03 % from the one in use. */
static void wet_bulb_agrees(void **state)
{
    (void)state;
    double worst_K = 0.0;
    for (double t_C = 5.0; t_C <= 40.0; t_C += 5.0)
        for (double humidity = 0.2; humidity < 1.0; humidity += 0.1)
            for (double pressure_Pa = 9e4; pressure_Pa < 1.1e5; pressure_Pa += 1e4) {
                air_state_of a = {t_C + BASE_ZERO_CELSIUS_K, humidity, pressure_Pa};
                const double ours_K = base_wet_bulb_K(a.temperature_K, humidity, pressure_Pa);
                if (saturation_balance(BASE_ZERO_CELSIUS_K, &a) < 0.0)
                    continue; /* the wick would freeze */
                const double theirs_K = root_of(saturation_balance, &a, BASE_ZERO_CELSIUS_K, a.temperature_K);
                worst_K = fmax(worst_K, fabs(ours_K - theirs_K));
                assert_close(ours_K, theirs_K, 0.0, 0.02);
            }
    print_message("wet bulb: worst %.4f K\n", worst_K);
    assert_true(worst_K > 0.0);
}

typedef struct { const base_air *air; scenario_ventilation law; } still_of;

static double heat_left_W(double droplet_K, void *user)
{
    const still_of *s = user;
    return droplet_heat_balance(s->law, droplet_K, 80e-6, 1000.0, 4.0, s->air).temperature_rate_K_s;
}

/* The droplet's steady temperature is where its heat balance leaves nothing over. */
static void droplet_temperature_agrees(void **state)
{
    (void)state;
    for (double t_K = 278.15; t_K < 314.0; t_K += 7.0)
        for (double humidity = 0.1; humidity < 1.0; humidity += 0.2)
            for (int law = SCENARIO_RANZ_MARSHALL; law <= SCENARIO_BEARD_PRUPPACHER; law++) {
                const base_air air = base_moist_air(t_K, humidity, 101325.0);
                still_of s = {&air, (scenario_ventilation)law};
                assert_close(droplet_evaporation_by(s.law, 80e-6, 4.0, &air).temperature_K,
                             root_of(heat_left_W, &s, t_K - 50.0, t_K), 0.0, 1e-7);
            }
}

typedef struct { double diameter_m; const base_air *air; } drop_of;

/* Weight less buoyancy, less drag with its coefficient: (pi/6) d^3 (rho_w - rho) g - Cd (pi/8) d^2 rho v^2 / Cc. */
static double force_left(double speed_m_s, void *user)
{
    const drop_of *f = user;
    const double pi = acos(-1.0), d = f->diameter_m, rho = f->air->density_kg_m3, water = 998.2;
    const double re = rho * speed_m_s * d / f->air->viscosity_Pa_s;
    const double cd = 24.0 / re * (1.0 + 0.15 * pow(re, 0.687)) + 0.42 / (1.0 + 42500.0 * pow(re, -1.16));
    const double slip = 1.0 + 2.51 * f->air->mean_free_path_m / d;
    return pi / 6.0 * d * d * d * (water - rho) * BASE_GRAVITY_M_S2
           - cd * pi / 8.0 * d * d * rho * speed_m_s * speed_m_s / slip;
}

/* R. Clift, W. H. Gauvin, Can. J. Chem. Eng. 49 (1971) 439 (memory), round drops up to 1 mm. */
static void settling_speed_agrees(void **state)
{
    (void)state;
    const base_air air = base_moist_air(293.15, 0.5, 101325.0);
    for (double d_m = 1e-6; d_m < 1e-3; d_m *= 1.3) {
        drop_of f = {d_m, &air};
        assert_close(droplet_settling_speed_m_s(d_m, 998.2, 0.0727, &air), root_of(force_left, &f, 1e-9, 20.0), 1e-9,
                     0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(log_normal_quantiles_agree),    cmocka_unit_test(rosin_rammler_quantiles_agree),
        cmocka_unit_test(wet_bulb_agrees),               cmocka_unit_test(droplet_temperature_agrees),
        cmocka_unit_test(settling_speed_agrees),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
