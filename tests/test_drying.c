/* tests/test_drying.c - droplets that leave warmer or colder than their steady temperature; spray in its own vapour. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "check.h"
#include "run_case.h"
#include "verify/flight_box.h"

#define DENSITY_KG_M3 FLIGHT_BOX_DENSITY_KG_M3

static box_air calm_air(double z_m)
{
    (void)z_m;
    return (box_air){.u_m_s = 0.0, .sigma_m_s = 1e-6, .time_scale_s = 1e9};
}

typedef struct { double w, d2, t; } state; /* velocity (m/s), diameter squared (m2), temperature (K) */

static state rates(const state *s, scenario_ventilation law, double floor2, const base_air *air)
{
    const double d = sqrt(s->d2), re = air->density_kg_m3 * fabs(s->w) * d / air->viscosity_Pa_s;
    const double tau = droplet_stokes_time_s(d, DENSITY_KG_M3, air) / base_sphere_drag_factor(re);
    const droplet_warming h = droplet_heat_balance(law, s->t, d, DENSITY_KG_M3, re, air);
    return (state){-s->w / tau - BASE_GRAVITY_M_S2 * (1.0 - air->density_kg_m3 / DENSITY_KG_M3),
                   s->d2 > floor2 || h.area_rate_m2_s < 0.0 ? -h.area_rate_m2_s : 0.0, h.temperature_rate_K_s};
}

static state ahead(const state *s, const state *r, double dt)
{
    return (state){s->w + dt * r->w, s->d2 + dt * r->d2, s->t + dt * r->t};
}

/* Runge-Kutta of fourth order, steps of 20 us to 1 ms with the droplet's own time. */
static state fly_in_double(state s, double time_s, scenario_ventilation law, double floor2, const base_air *air)
{
    const double finest = fmin(fmax(2e3 * s.d2, 2e-5), 1e-3); /* a twentieth of its thermal time */
    const long n = (long)ceil(time_s / finest);
    const double dt = time_s / (double)n;
    for (long i = 0; i < n; i++) {
        const state a = rates(&s, law, floor2, air), sa = ahead(&s, &a, 0.5 * dt), b = rates(&sa, law, floor2, air);
        const state sb = ahead(&s, &b, 0.5 * dt), c = rates(&sb, law, floor2, air), sc = ahead(&s, &c, dt),
                    e = rates(&sc, law, floor2, air);
        const state mean = {(a.w + 2 * b.w + 2 * c.w + e.w) / 6, (a.d2 + 2 * b.d2 + 2 * c.d2 + e.d2) / 6,
                            (a.t + 2 * b.t + 2 * c.t + e.t) / 6};
        s = ahead(&s, &mean, dt);
    }
    return s;
}

/* Water of 5 to 45 degC in air of 5 to 35 degC and 30 to 100 %: shot upwards at 15 m/s, followed for 20 ms to 1 s. The
 * kernel's temperature follows the heat balance within 5 % of the first excess (its steps are up to a thermal time
 * long), its water within 0.3 % of the droplet's volume, where the temperature moves up to 4.6 % of it. */
static void temperature_relaxes_by_the_heat_balance(void **unused)
{
    (void)unused;
    static const double air_C[] = {5.0, 20.0, 35.0}, water_C[] = {5.0, 20.0, 45.0}, humidity[] = {0.3, 0.8, 1.0};
    static const double size_um[] = {30.0, 80.0, 200.0, 500.0}, time_s[] = {0.02, 0.2, 1.0};
    const droplet_flight flight = droplet_flight_pick();
    double worst_K = 0.0, worst_lost = 0.0, most_effect = 0.0;
    for (int law = SCENARIO_RANZ_MARSHALL; law <= SCENARIO_BEARD_PRUPPACHER; law++)
        for (int i = 0; i < 27; i += law == SCENARIO_RANZ_MARSHALL ? 1 : 4) { /* the slow answer is slow */
            const base_air air =
                base_moist_air(air_C[i % 3] + BASE_ZERO_CELSIUS_K, humidity[i / 3 % 3], 101325.0);
            const double water_K = water_C[i / 9] + BASE_ZERO_CELSIUS_K;
            const double steady_K = droplet_evaporation_by((scenario_ventilation)law, 1e-4, 9.0, &air).temperature_K;
            flight_box box;
            static droplet_batch b;
            assert_int_equal(flight_box_open(&box, calm_air, 100.0, 1.0, 0.01, 1.0).code, DRUPELET_OK);
            droplet_setting_air(&air, DENSITY_KG_M3, 0.0727, &box.setting);
            droplet_setting_drying((scenario_ventilation)law, &air, &box.setting);
            droplet_setting_warmth((scenario_ventilation)law, water_K, &air, &box.setting);
            flight_box_park(&b, 0);
            for (int k = 0; k < 12; k++) {
                flight_box_place(&box, &b, k, 0.0, 50.0, 1e-6 * size_um[k / 3]);
                b.u_m_s[k] = b.v_m_s[k] = b.turbulent_w_m_s[k] = 0.0f;
                b.w_m_s[k] = 15.0f;
                b.excess_K[k] =
                    (float)droplet_first_excess_K((scenario_ventilation)law, water_K, &air);
            }
            for (int waiting = 1; waiting;) {
                flight(&box.setting, &b);
                waiting = 0;
                for (int k = 0; k < 12; k++) {
                    if ((double)b.time_s[k] >= time_s[k % 3])
                        b.aloft[k] = 0.0f;
                    waiting += b.aloft[k] > 0.0f;
                }
            }
            for (int k = 0; k < 12; k++) {
                const double first2 = 1e-12 * size_um[k / 3] * size_um[k / 3];
                state s = {15.0, first2, water_K}, at_steady = {15.0, first2, steady_K};
                s = fly_in_double(s, (double)b.time_s[k], (scenario_ventilation)law, 0.01 * first2, &air);
                at_steady = fly_in_double(at_steady, (double)b.time_s[k], (scenario_ventilation)law, 0.01 * first2,
                                          &air);
                const double lost = 1.0 - pow(s.d2 / first2, 1.5);
                const double effect = lost - 1.0 + pow(at_steady.d2 / first2, 1.5);
                const double off_K = steady_K + (double)b.excess_K[k] - s.t, off = (double)b.evaporated[k] - lost;
                worst_K = fmax(worst_K, fabs(off_K) / fmax(fabs(water_K - steady_K), 5.0));
                worst_lost = fmax(worst_lost, fabs(off));
                most_effect = fmax(most_effect, fabs(effect));
            }
            flight_box_close(&box);
        }
    print_message("temperature within %.2f %% of the first excess (or of 5 K), water within %.3f %% of the droplet; "
                  "temperature moves up to %.2f %%\n", 100.0 * worst_K, 100.0 * worst_lost, 100.0 * most_effect);
    assert_true(worst_K < 0.05);
    assert_true(worst_lost < 0.003);
    assert_true(most_effect > 0.03);
}

/* A droplet colder than the dew point grows: warming it by 15 K from the vapour alone would take 15 cp / L = 2.6 % of
 * its mass; about two thirds of the heat come that way in saturated air at 20 degC. */
static void cold_droplets_take_on_water(void **unused)
{
    (void)unused;
    const base_air air = base_moist_air(293.15, 1.0, 101325.0);
    const droplet_flight flight = droplet_flight_pick();
    flight_box box;
    static droplet_batch b;
    assert_int_equal(flight_box_open(&box, calm_air, 100.0, 1.0, 0.01, 1.0).code, DRUPELET_OK);
    droplet_setting_warmth(SCENARIO_RANZ_MARSHALL, 278.15, &air, &box.setting);
    flight_box_park(&b, 0);
    flight_box_place(&box, &b, 0, 0.0, 50.0, 100e-6);
    b.excess_K[0] = (float)droplet_first_excess_K(SCENARIO_RANZ_MARSHALL, 278.15, &air);
    while (b.time_s[0] < 2.0f)
        flight(&box.setting, &b);
    const double grown = pow((double)b.diameter_m[0] / (double)b.whole_m[0], 3.0) - 1.0;
    assert_close((double)b.excess_K[0], 0.0, 0.0, 0.01);
    assert_between(grown, 0.4 * 0.026, 0.8 * 0.026);
    assert_close((double)b.evaporated[0], -grown, 0.0, 1e-4);
    flight_box_close(&box);
}

/* Moister air takes its share off the drying: with 30 % at every age, 30 % less is lost of d^2. */
static void moister_air_slows_drying(void **unused)
{
    (void)unused;
    const base_air air = base_moist_air(293.15, 0.5, 101325.0);
    const droplet_flight flight = droplet_flight_pick();
    flight_box box;
    static droplet_batch b;
    assert_int_equal(flight_box_open(&box, calm_air, 100.0, 1.0, 0.01, 0.5).code, DRUPELET_OK);
    double lost2[2];
    for (int moist = 0; moist < 2; moist++) {
        if (moist) {
            droplet_setting_warmth(SCENARIO_RANZ_MARSHALL, 293.15, &air, &box.setting);
            for (int a = 0; a <= DROPLET_AGES; a++)
                box.setting.moister[a] = 0.3f;
        }
        flight_box_park(&b, 0);
        flight_box_place(&box, &b, 0, 0.0, 50.0, 150e-6);
        for (int n = 0; n < 20; n++)
            flight(&box.setting, &b);
        const double ratio = (double)b.diameter_m[0] / (double)b.whole_m[0];
        lost2[moist] = 1.0 - ratio * ratio;
        assert_close((double)b.evaporated[0], 1.0 - ratio * ratio * ratio, 1e-3, 0.0);
    }
    assert_true(lost2[0] > 0.05);
    assert_close(lost2[1] / lost2[0], 0.7, 0.01, 0.0);
    flight_box_close(&box);
}

/* Same bits for every vector width, with temperature and humidity on. */
static void variants_give_the_same_bits(void **unused)
{
    (void)unused;
    static const char *const name[] = {"base", "v3", "v4"};
    static droplet_batch first, b;
    const base_air air = base_moist_air(293.15, 0.5, 101325.0);
    flight_box box;
    assert_int_equal(flight_box_open(&box, calm_air, 100.0, 1.0, 0.01, 0.5).code, DRUPELET_OK);
    droplet_setting_warmth(SCENARIO_BEARD_PRUPPACHER, 303.15, &air, &box.setting);
    for (int a = 0; a <= DROPLET_AGES; a++)
        box.setting.moister[a] = 0.5f * (float)a / (float)DROPLET_AGES;
    int tried = 0;
    for (int v = 0; v < 3; v++) {
        const droplet_flight flight = droplet_flight_named(name[v]);
        if (!flight)
            continue;
        flight_box_park(&b, 0);
        for (int i = 0; i < DROPLET_LANES; i++) {
            flight_box_place(&box, &b, i, 0.0, 50.0, 20e-6 + 4e-6 * i);
            b.excess_K[i] = 10.0f;
        }
        for (int n = 0; n < 50; n++)
            flight(&box.setting, &b);
        if (tried++ == 0)
            first = b;
        assert_memory_equal(first.diameter_m, b.diameter_m, sizeof b.diameter_m);
        assert_memory_equal(first.excess_K, b.excess_K, sizeof b.excess_K);
        assert_memory_equal(first.evaporated, b.evaporated, sizeof b.evaporated);
    }
    assert_true(tried >= 1);
    flight_box_close(&box);
}

static droplet_humidity humidity_of(const char *a, const char *b)
{
    const char *const set[2] = {a, b};
    drupelet_scenario *scenario = NULL;
    static sprayer_work work;
    droplet_humidity h;
    assert_int_equal(
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set, b ? 2 : 1, &scenario).code,
        DRUPELET_OK);
    assert_int_equal(sprayer_work_out(scenario, &work).code, DRUPELET_OK);
    droplet_humidity_estimate(scenario, &work, &h);
    drupelet_scenario_free(scenario);
    return h;
}

/* The estimate: nothing in saturated air, more with more water in the same air, less with more air or more wind; and
 * vapour, humidity and cooling are one state of air with the weather's wet bulb. */
static void spray_moistens_its_air(void **unused)
{
    (void)unused;
    const droplet_humidity usual = humidity_of("run.seed=1", NULL);
    const droplet_humidity saturated = humidity_of("weather.relative_humidity=100 %", NULL);
    const droplet_humidity strong = humidity_of("sprayer.pressure=20 bar", NULL);
    const droplet_humidity windy = humidity_of("weather.wind_speed=8 m/s", NULL);
    const droplet_humidity fast = humidity_of("sprayer.travel_speed=12 km/h", NULL);
    const droplet_humidity calm = humidity_of("weather.wind_speed=0 m/s", "sprayer.fan.speed=0 rpm");
    assert_close(saturated.most, 0.0, 0.0, 0.0);
    assert_close(saturated.slower, 0.0, 0.0, 0.0);
    assert_between(usual.most, 0.02, 0.5);
    assert_between(usual.slower, 0.01, 0.3);
    assert_true(strong.most > 1.2 * usual.most);
    assert_true(windy.slower < usual.slower);
    assert_true(fast.slower < usual.slower);
    assert_true(calm.slower > usual.slower);
    const double cooler_K = 293.15 - usual.cooling_K;
    const double humidity = 0.6 + usual.relative_humidity;
    assert_close(base_wet_bulb_K(cooler_K, humidity, 101325.0), base_wet_bulb_K(293.15, 0.6, 101325.0), 0.0, 0.05);
    const double rise_kg_m3 = BASE_MOLAR_MASS_WATER_KG_MOL / (BASE_GAS_CONSTANT_J_MOL_K * 293.15)
                              * (humidity * base_saturation_pressure_Pa(cooler_K)
                                 - 0.6 * base_saturation_pressure_Pa(293.15));
    assert_close(usual.vapour_kg_m3, rise_kg_m3, 0.03, 0.0);
}

/* A run that reckons with it loses less water by about what the estimate says (here 5 %): between half and double. And
 * one with warm water loses more than one with cold. */
static void runs_reckon_with_humidity_and_temperature(void **unused)
{
    (void)unused;
    static const char *const set[][4] = {{NULL},
                                         {"run.spray_humidity=yes"},
                                         {"run.droplet_temperature=transient", "liquid.temperature=40 degC"},
                                         {"run.droplet_temperature=transient", "liquid.temperature=5 degC"}};
    double evaporated[4], slower = 0.0;
    for (int i = 0; i < 4; i++) {
        run_case c = case_run("apple-wall-full-leaf.yaml", 12000, 2, set[i]);
        evaporated[i] = drupelet_result_evaporated(c.result).share;
        slower = c.outcome->humidity.slower;
        case_end(&c);
    }
    print_message("evaporated: %.4f; %.4f in its own vapour; %.4f of 40 degC, %.4f of 5 degC\n", evaporated[0],
                  evaporated[1], evaporated[2], evaporated[3]);
    assert_between((1.0 - evaporated[1] / evaporated[0]) / slower, 0.5, 2.0);
    assert_true(evaporated[2] > evaporated[0] + 0.01);
    assert_true(evaporated[3] < evaporated[0] - 0.005);
}

/* A droplet in air that comes down by 0.02 /s of its height, at most by 0.1 m/s, falls faster by just that. */
static void sinking_air_takes_droplets_along(void **unused)
{
    (void)unused;
    const droplet_flight flight = droplet_flight_pick();
    flight_box box;
    static droplet_batch b;
    assert_int_equal(flight_box_open(&box, calm_air, 100.0, 1.0, 0.01, 1.0).code, DRUPELET_OK);
    static const double height_m[] = {2.0, 50.0}, taken_m_s[] = {0.04, 0.1};
    for (int h = 0; h < 2; h++) {
        double fallen_m[2], time_s[2];
        for (int sinks = 0; sinks < 2; sinks++) {
            box.setting.sinks = sinks;
            for (int a = 0; a <= DROPLET_AGES; a++) {
                box.setting.sink_rate_1_s[a] = 0.02f;
                box.setting.sink_m_s[a] = 0.1f;
            }
            flight_box_park(&b, 0);
            flight_box_place(&box, &b, 0, 0.0, height_m[h], 50e-6);
            for (int n = 0; n < 60 && b.time_s[0] < 2.0f; n++)
                flight(&box.setting, &b);
            fallen_m[sinks] = height_m[h] - (double)b.z_m[0];
            time_s[sinks] = (double)b.time_s[0];
        }
        print_message("from %.0f m: falls %.4f m/s, in sinking air %.4f m/s\n", height_m[h], fallen_m[0] / time_s[0],
                      fallen_m[1] / time_s[1]);
        assert_close(fallen_m[1] / time_s[1] - fallen_m[0] / time_s[0], taken_m_s[h], 0.1, 0.0);
    }
    flight_box_close(&box);
}

static double greatest(const double table[DROPLET_AGES + 1])
{
    double most = 0.0;
    for (int a = 0; a < DROPLET_AGES; a++)
        most = fabs(table[a]) > fabs(most) ? table[a] : most;
    return most;
}

/* More spray in the same air sinks faster, more wind mixes it off, and a fan of much power lifts it. */
static void spray_weighs_its_air_down(void **unused)
{
    (void)unused;
    const droplet_humidity usual = humidity_of("run.seed=1", NULL), more = humidity_of("sprayer.pressure=20 bar", NULL),
                           windy = humidity_of("weather.wind_speed=8 m/s", NULL),
                           hot = humidity_of("sprayer.fan.reference_power=200 kW", NULL);
    print_message("sinks by at most %.3f m/s; at 20 bar %.3f, in wind of 8 m/s %.3f, fan of 200 kW %.3f\n",
                  greatest(usual.sink_m_s), greatest(more.sink_m_s), greatest(windy.sink_m_s), greatest(hot.sink_m_s));
    assert_between(greatest(usual.sink_m_s), 0.005, 0.2);
    assert_true(greatest(more.sink_m_s) > 1.2 * greatest(usual.sink_m_s));
    assert_true(greatest(windy.sink_m_s) < greatest(usual.sink_m_s));
    assert_true(greatest(hot.sink_m_s) < 0.0);
}

static double airborne(const tally *a, int b)
{
    return (double)(a->fate[b][TALLY_AIR_DOWNWIND] + a->fate[b][TALLY_AIR_ABOVE]) / (double)a->emitted[b][0];
}

static void less_leaves_in_the_air_that_sinks(void **unused)
{
    (void)unused;
    run_case sinks = case_run("apple-wall-full-leaf.yaml", 12000, 2,
                              (const char *const[4]){"run.wind=profiles", "run.spray_sink=yes"}),
             stays = case_run("apple-wall-full-leaf.yaml", 12000, 2, (const char *const[4]){"run.wind=profiles"});
    assert_true(case_difference_in_errors(&sinks, &stays, airborne) > 3.0);
    case_end(&sinks);
    case_end(&stays);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(temperature_relaxes_by_the_heat_balance),
        cmocka_unit_test(cold_droplets_take_on_water),
        cmocka_unit_test(moister_air_slows_drying),
        cmocka_unit_test(variants_give_the_same_bits),
        cmocka_unit_test(spray_moistens_its_air),
        cmocka_unit_test(runs_reckon_with_humidity_and_temperature),
        cmocka_unit_test(sinking_air_takes_droplets_along),
        cmocka_unit_test(spray_weighs_its_air_down),
        cmocka_unit_test(less_leaves_in_the_air_that_sinks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
