/* tests/test_flight_against_gsl.c - single droplets flown by the batch kernel in single precision, and by the GNU
 * Scientific Library (implicit Runge-Kutta, relative tolerance 1e-10) on the same equations in double precision. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "check.h"
#include "gsl/stiff.h"
#include "verify/flight_box.h"

#define N_DROPLETS 50
#define TOLERANCE 1e-10
#define START_Z_M 60.0
#define TENSION_N_M 0.0727
#define DENSITY_KG_M3 FLIGHT_BOX_DENSITY_KG_M3

/* d2: square of the diameter over that at the start */
enum { X, Y, Z, U, V, W, D2, PATH, STATES };

typedef struct {
    base_air air;
    scenario_ventilation law;
    double wind_m_s, shear_1_s; /* the air's velocity along x at START_Z_M, and how it rises with height */
    double diameter_m, nonvolatile, velocity_m_s[3], time_s;
    double last_d2; /* at the residue */
    int dry;
} trial;

/* Newton's law with drag, weight and buoyancy; evaporation by the heat balance of the droplet. */
static int rates(double t, const double y[], double r[], void *user)
{
    (void)t;
    const trial *c = user;
    const double d_m = c->diameter_m * sqrt(fmax(y[D2], 1e-12));
    const double slip_u = y[U] - (c->wind_m_s + c->shear_1_s * (y[Z] - START_Z_M)), slip_v = y[V], slip_w = y[W];
    const double slip = sqrt(slip_u * slip_u + slip_v * slip_v + slip_w * slip_w);
    const double re = c->air.density_kg_m3 * slip * d_m / c->air.viscosity_Pa_s;
    const double tau_s = droplet_stokes_time_s(d_m, DENSITY_KG_M3, &c->air) / base_sphere_drag_factor(re)
                         / droplet_deformation_factor(d_m, DENSITY_KG_M3, TENSION_N_M, &c->air);
    r[X] = y[U];
    r[Y] = y[V];
    r[Z] = y[W];
    r[U] = -slip_u / tau_s;
    r[V] = -slip_v / tau_s;
    r[W] = -slip_w / tau_s - BASE_GRAVITY_M_S2 * (1.0 - c->air.density_kg_m3 / DENSITY_KG_M3);
    r[D2] = c->dry ? 0.0
                   : -droplet_evaporation_by(c->law, d_m, re, &c->air).area_rate_m2_s
                         / (c->diameter_m * c->diameter_m);
    r[PATH] = sqrt(y[U] * y[U] + y[V] * y[V] + y[W] * y[W]);
    return 0;
}

/* The same with the shrinking square of the diameter as what runs on, and time in its place: so a flight ends where the
 * droplet is down to its residue (M. Henon, Physica D 5 (1982) 412-414; memory). */
static int rates_by_d2(double d2, const double y[], double r[], void *user)
{
    double at[STATES];
    memcpy(at, y, sizeof at);
    at[D2] = d2;
    rates(0.0, at, r, user);
    const double per_d2 = 1.0 / r[D2];
    for (int i = 0; i < STATES; i++)
        r[i] *= per_d2;
    r[D2] = per_d2;
    return 0;
}

/* Flies the trial to its time; the droplet stops shrinking where it is down to its residue. */
static void fly_by_gsl(trial *c, double y[STATES])
{
    stiff *by_time = stiff_create(rates, STATES, TOLERANCE, 1e-11, c);
    stiff *by_d2 = stiff_create(rates_by_d2, STATES, TOLERANCE, 1e-11, c);
    assert_non_null(by_time);
    assert_non_null(by_d2);
    for (int i = 0; i < STATES; i++)
        y[i] = i == Z ? START_Z_M : i >= U && i <= W ? c->velocity_m_s[i - U] : i == D2 ? 1.0 : 0.0;
    c->dry = c->last_d2 >= 1.0;
    double t_s = 0.0, before_s = 0.0, before[STATES];
    stiff_start(by_time, t_s, c->time_s);
    while (t_s < c->time_s && (c->dry || y[D2] > c->last_d2)) {
        before_s = t_s;
        memcpy(before, y, sizeof before);
        assert_true(stiff_step(by_time, &t_s, c->time_s, y));
    }
    if (!c->dry && y[D2] <= c->last_d2) {
        memcpy(y, before, sizeof before);
        y[D2] = before_s;
        assert_true(stiff_go(by_d2, before[D2], c->last_d2, y) >= 0);
        t_s = y[D2];
        y[D2] = c->last_d2;
        c->dry = 1;
        assert_true(stiff_go(by_time, t_s, c->time_s, y) >= 0);
    }
    stiff_free(by_d2);
    stiff_free(by_time);
}

static double between(uint32_t bits, double low, double high)
{
    return low + (high - low) * base_uniform(bits);
}

/* Trial i of 50: 20 to 600 um, 5 to 35 degC, 20 to 95 % humidity, up to 5 m/s of wind and 0.3 m/s a metre of shear, up
 * to 5 % residue, 0.1 to 8 s. Every fourth is let go at rest with the air, the others at up to 30 m/s in any direction;
 * every third flies in air without shear. */
static trial trial_of(int i, scenario_ventilation law)
{
    uint32_t r[12];
    for (uint32_t block = 0; block < 3; block++)
        base_random_block(2024, BASE_STREAM_CHECK, (uint64_t)i, block, r + 4 * block);
    trial c = {.air = base_moist_air(between(r[0], 278.15, 308.15), between(r[1], 0.2, 0.95), 101325.0), .law = law};
    c.wind_m_s = between(r[2], -5.0, 5.0);
    c.shear_1_s = i % 3 == 0 ? 0.0 : between(r[3], -0.3, 0.3);
    c.diameter_m = 20e-6 * pow(30.0, base_uniform(r[4]));
    c.nonvolatile = between(r[5], 0.0, 0.05);
    c.last_d2 = pow(c.nonvolatile, 2.0 / 3.0);
    c.time_s = 0.1 * pow(80.0, base_uniform(r[6]));
    const double speed = i % 4 == 0 ? 0.0 : between(r[7], 1.0, 30.0), turn = between(r[8], 0.0, 2.0 * acos(-1.0));
    const double up = between(r[9], -1.0, 1.0), level = sqrt(1.0 - up * up);
    c.velocity_m_s[0] = c.wind_m_s + speed * level * cos(turn);
    c.velocity_m_s[1] = speed * level * sin(turn);
    c.velocity_m_s[2] = speed * up;
    return c;
}

/* Air without turbulence: a thousandth of a millimetre a second that never changes. */
static box_air calm_air(double z_m)
{
    (void)z_m;
    return (box_air){.u_m_s = 0.0, .sigma_m_s = 1e-6, .time_scale_s = 1e9};
}

typedef struct { double path_m, diameter_m, evaporated, x_m, y_m, z_m, time_s; } landing;

static landing fly_by_kernel(const trial *c, droplet_flight flight)
{
    static droplet_batch b;
    flight_box box;
    assert_int_equal(flight_box_open(&box, calm_air, 200.0, 1.0, 0.01, 1.0).code, DRUPELET_OK);
    for (int k = 0; k < box.setting.ambient_nz; k++)
        for (int n = 0; n < 4; n++)
            box.node[AIR_VALUES * (4 * k + n) + AIR_U] = (float)(c->wind_m_s + c->shear_1_s * (k * 1.0 - START_Z_M));
    droplet_setting_air(&c->air, DENSITY_KG_M3, TENSION_N_M, &box.setting);
    droplet_setting_drying(c->law, &c->air, &box.setting);
    box.setting.nonvolatile_root = (float)cbrt(fmax(c->nonvolatile, 1e-6));
    flight_box_park(&b, 0);
    flight_box_place(&box, &b, 0, 0.0, START_Z_M, c->diameter_m);
    b.u_m_s[0] = (float)c->velocity_m_s[0];
    b.v_m_s[0] = (float)c->velocity_m_s[1];
    b.w_m_s[0] = (float)c->velocity_m_s[2];
    b.turbulent_w_m_s[0] = 0.0f;
    landing l = {0};
    while ((double)b.time_s[0] < c->time_s) {
        const double x = (double)b.x_m[0], y = (double)b.y_m[0], z = (double)b.z_m[0];
        flight(&box.setting, &b);
        l.path_m += sqrt(pow((double)b.x_m[0] - x, 2.0) + pow((double)b.y_m[0] - y, 2.0)
                         + pow((double)b.z_m[0] - z, 2.0));
    }
    l.x_m = (double)b.x_m[0];
    l.y_m = (double)b.y_m[0];
    l.z_m = (double)b.z_m[0];
    l.diameter_m = (double)b.diameter_m[0];
    l.evaporated = (double)b.evaporated[0];
    l.time_s = (double)b.time_s[0];
    flight_box_close(&box);
    return l;
}

static void kernel_flies_like_gsl(scenario_ventilation law)
{
    const droplet_flight flight = droplet_flight_pick();
    double worst_path = 0.0, worst_d = 0.0, worst_lost = 0.0, worst_place = 0.0;
    for (int i = 0; i < N_DROPLETS; i++) {
        trial c = trial_of(i, law);
        const landing l = fly_by_kernel(&c, flight);
        double y[STATES];
        c.time_s = l.time_s; /* the kernel ends with a whole step */
        fly_by_gsl(&c, y);
        const double d_m = c.diameter_m * sqrt(y[D2]), lost = 1.0 - pow(y[D2], 1.5);
        const double place = sqrt(pow(l.x_m - y[X], 2.0) + pow(l.y_m - y[Y], 2.0) + pow(l.z_m - y[Z], 2.0)) / y[PATH];
        worst_path = fmax(worst_path, fabs(l.path_m / y[PATH] - 1.0));
        worst_place = fmax(worst_place, place);
        worst_d = fmax(worst_d, fabs(l.diameter_m / d_m - 1.0));
        worst_lost = fmax(worst_lost, fabs(l.evaporated / lost - 1.0));
    }
    print_message("worst of %d: path %.3f %%, place %.3f %% of it, diameter %.3f %%, evaporated %.3f %%\n", N_DROPLETS,
                  100.0 * worst_path, 100.0 * worst_place, 100.0 * worst_d, 100.0 * worst_lost);
    assert_true(worst_path < 0.005);
    assert_true(worst_d < 0.005);
    assert_true(worst_lost < 0.005);
}

static void droplets_fly_alike_by_ranz_and_marshall(void **state)
{
    (void)state;
    kernel_flies_like_gsl(SCENARIO_RANZ_MARSHALL);
}

static void droplets_fly_alike_by_beard_and_pruppacher(void **state)
{
    (void)state;
    kernel_flies_like_gsl(SCENARIO_BEARD_PRUPPACHER);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(droplets_fly_alike_by_ranz_and_marshall),
        cmocka_unit_test(droplets_fly_alike_by_beard_and_pruppacher),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
