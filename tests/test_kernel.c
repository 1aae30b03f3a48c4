/* tests/test_kernel.c - the batch kernel against the same physics in double precision with small steps, and its
 * variants. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"
#include "base/vector_math.h"
#include "check.h"
#include "verify/flight_box.h"

static box_air sheared_air(double z_m)
{
    return (box_air){.u_m_s = 1.0 + 0.2 * z_m, .sigma_m_s = 1e-6, .time_scale_s = 10.0};
}

typedef struct { double x, z, u, w, d; } flier; /* place (m), velocity (m/s), diameter (m) */

/* Rates of change of a flier in the sheared air: Newton's law with the drag of droplet.h, evaporation by its heat
 * balance. */
static flier rates(const flier *f, const base_air *air, int dries)
{
    const double slip_u = f->u - (1.0 + 0.2 * f->z), slip_w = f->w, slip = hypot(slip_u, slip_w);
    const double re = air->density_kg_m3 * slip * f->d / air->viscosity_Pa_s;
    const double tau = droplet_stokes_time_s(f->d, 998.2, air) / base_sphere_drag_factor(re);
    flier r = {f->u, f->w, -slip_u / tau, -slip_w / tau - BASE_GRAVITY_M_S2 * (1.0 - air->density_kg_m3 / 998.2), 0.0};
    if (dries)
        r.d = -droplet_evaporation(f->d, re, air).area_rate_m2_s / (2.0 * f->d);
    return r;
}

static flier ahead(const flier *f, const flier *r, double dt)
{
    return (flier){f->x + dt * r->x, f->z + dt * r->z, f->u + dt * r->u, f->w + dt * r->w, f->d + dt * r->d};
}

/* Runge-Kutta of fourth order, 50 us a step. */
static flier fly_in_double(flier f, double time_s, const base_air *air, int dries)
{
    const double dt = 5e-5;
    for (long n = lround(time_s / dt); n > 0; n--) {
        const flier a = rates(&f, air, dries), fa = ahead(&f, &a, 0.5 * dt), b = rates(&fa, air, dries);
        const flier fb = ahead(&f, &b, 0.5 * dt), c = rates(&fb, air, dries), fc = ahead(&f, &c, dt),
                    e = rates(&fc, air, dries);
        const flier mean = {(a.x + 2 * b.x + 2 * c.x + e.x) / 6, (a.z + 2 * b.z + 2 * c.z + e.z) / 6,
                            (a.u + 2 * b.u + 2 * c.u + e.u) / 6, (a.w + 2 * b.w + 2 * c.w + e.w) / 6,
                            (a.d + 2 * b.d + 2 * c.d + e.d) / 6};
        f = ahead(&f, &mean, dt);
    }
    return f;
}

/* Shots of 20 to 800 um at 5 to 40 m/s in all directions, 1 s of flight in sheared air. Allowed: 5 mm, for the kernel
 * steps some ten times a relaxation time; a twentieth of the finest voxel. */
static void flight_agrees_with_double_precision(void **state)
{
    (void)state;
    for (int dries = 0; dries < 2; dries++) {
        const double humidity = dries ? 0.5 : 1.0;
        const base_air air = base_moist_air(293.15, humidity, 101325.0);
        flight_box box;
        static droplet_batch b;
        double worst_mm = 0.0, worst_d = 0.0;
        assert_int_equal(flight_box_open(&box, sheared_air, 100.0, 1.0, 0.01, humidity).code, DRUPELET_OK);
        flight_box_park(&b, 0);
        static flier start[DROPLET_LANES];
        for (int i = 0; i < DROPLET_LANES; i++) {
            const double d = 20e-6 * pow(40.0, (i % 32) / 31.0), speed = 5.0 + 35.0 * (i / 32) / 3.0, angle = 0.7 * i;
            flight_box_place(&box, &b, i, 0.0, 50.0, d);
            start[i] = (flier){0.0, 50.0, 11.0 + speed * cos(angle), speed * sin(angle), d};
            b.u_m_s[i] = (float)start[i].u;
            b.w_m_s[i] = (float)start[i].w;
            b.turbulent_w_m_s[i] = 0.0f;
        }
        const droplet_flight flight = droplet_flight_pick();
        for (int waiting = 1; waiting;) {
            flight(&box.setting, &b);
            waiting = 0;
            for (int i = 0; i < DROPLET_LANES; i++) {
                if (b.aloft[i] > 0.0f && b.time_s[i] >= 1.0f)
                    b.aloft[i] = 0.0f;
                waiting += b.aloft[i] > 0.0f;
            }
        }
        for (int i = 0; i < DROPLET_LANES; i += dries ? 5 : 1) { /* the heat balance makes the slow answer slower */
            const flier f = fly_in_double(start[i], (double)b.time_s[i], &air, dries);
            const double off = hypot((double)b.x_m[i] - f.x, (double)b.z_m[i] - f.z);
            worst_mm = fmax(worst_mm, 1e3 * off);
            worst_d = fmax(worst_d, fabs((double)b.diameter_m[i] / f.d - 1.0));
        }
        print_message("%s: worst %.1f mm; diameter %.3f %%\n", dries ? "drying" : "moist", worst_mm, 100.0 * worst_d);
        assert_true(worst_mm < 5.0);
        assert_true(worst_d < 0.01);
        flight_box_close(&box);
    }
}

/* The elementary functions hold the bounds that their header states. */
static void elementary_functions_are_close(void **state)
{
    (void)state;
    for (int i = 0; i <= 20000; i++) {
        const float x = -80.0f + 160.0f * (float)i / 20000.0f, u = (float)i / 20001.0f;
        assert_close((double)base_expf(x), exp((double)x), 3e-7, 0.0);
        const float y = expf(x);
        assert_close((double)base_logf(y), log((double)y), 3e-7, 3e-7);
        const float z = expf(x / 10.0f);
        assert_close((double)base_powf(z, 0.687f), pow((double)z, (double)0.687f), 2e-6, 0.0);
        float sine, cosine;
        base_sincos_turn(u, &sine, &cosine);
        assert_close((double)sine, sin(2.0 * acos(-1.0) * (double)u), 0.0, 4e-7);
        assert_close((double)cosine, cos(2.0 * acos(-1.0) * (double)u), 0.0, 4e-7);
    }
}

static box_air gusty_air(double z_m)
{
    return (box_air){.u_m_s = 3.0, .sigma_m_s = 0.2 + 0.1 * z_m, .time_scale_s = 0.5 + 0.1 * z_m};
}

/* Same bits for every vector width: nothing is fused, reordered or left to a library. */
static void variants_give_the_same_bits(void **state)
{
    (void)state;
    static droplet_batch first, b;
    static const char *const name[] = {"base", "v3", "v4"};
    flight_box box;
    assert_int_equal(flight_box_open(&box, gusty_air, 10.0, 0.5, 0.03, 0.5).code, DRUPELET_OK);
    int tried = 0;
    for (int v = 0; v < 3; v++) {
        const droplet_flight flight = droplet_flight_named(name[v]);
        if (!flight)
            continue;
        flight_box_park(&b, 0);
        for (int i = 0; i < DROPLET_LANES; i++)
            flight_box_place(&box, &b, i, 0.0, 1.0 + 0.05 * i, 20e-6 + 4e-6 * i);
        for (int n = 0; n < 200; n++)
            flight(&box.setting, &b);
        if (tried++ == 0)
            first = b;
        assert_memory_equal(first.x_m, b.x_m, sizeof b.x_m);
        assert_memory_equal(first.z_m, b.z_m, sizeof b.z_m);
        assert_memory_equal(first.w_m_s, b.w_m_s, sizeof b.w_m_s);
        assert_memory_equal(first.diameter_m, b.diameter_m, sizeof b.diameter_m);
    }
    print_message("%d variants compared\n", tried);
    assert_true(tried >= 1);
    flight_box_close(&box);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flight_agrees_with_double_precision),
        cmocka_unit_test(elementary_functions_are_close),
        cmocka_unit_test(variants_give_the_same_bits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
