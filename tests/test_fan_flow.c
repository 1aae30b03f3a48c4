/* tests/test_fan_flow.c - the fan's air in three dimensions: what must hold exactly. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/elementary.h"
#include "check.h"
#include "fan_box.h"

/* A sprayer between two rows in a slanting wind: it blows to both sides and takes the air in behind. */
static void sprayer_case(air_fan_case *c, bool with_fan)
{
    double x[FAN_BOX_FACES], y[FAN_BOX_FACES], z[FAN_BOX_FACES];
    const int nx = fan_box_faces(-6.0, -2.4, 2.4, 6.0, 0.4, 1.2, x);
    const int ny = fan_box_faces(-4.0, -0.6, 0.6, 3.0, 0.15, 1.25, y);
    const int nz = fan_box_faces(0.0, 0.0, 2.4, 7.0, 0.4, 1.25, z);
    enum { MOST = 200 };
    fan_box_case(nx, x, ny, y, nz, z, MOST, c);
    c->travel_m_s = 1.7;
    c->roughness_m = 0.03;
    c->yielding = (air_yielding){
        .of_wind = 1.0, .of_jet = 1.0, .per_turning_s_m = 1.0 / 6.0, .half_exponent = -0.5, .response_s = 0.05};
    for (int i = 0; i < nx; i++)
        for (int k = 0; k < nz; k++) {
            const double z_m = 0.5 * (z[k] + z[k + 1]), x_m = 0.5 * (x[i] + x[i + 1]), friction = 0.2;
            const double speed = friction / 0.40 * base_log(z_m / 0.03);
            const int at = i * nz + k;
            c->u[at] = (float)(0.8 * speed * (1.0 - 0.02 * x_m));
            c->v[at] = (float)(0.6 * speed);
            c->w[at] = (float)(0.02 * speed);
            c->k[at] = (float)(friction * friction / 0.1776);
            c->epsilon[at] = (float)(friction * friction * friction / (0.40 * z_m));
            if (fabs(fabs(x_m) - 1.75) < 0.5 && z_m > 0.5 && z_m < 3.0) {
                c->drag_1_m[at] = 0.05;
                c->leaf_drag_1_m[at] = 0.35;
            }
        }
    c->n_sources = 0;
    for (int i = 0; with_fan && i < nx; i++)
        for (int j = 0; j < ny; j++)
            for (int k = 0; k < nz; k++) {
                const double z_m = 0.5 * (z[k] + z[k + 1]), x_m = 0.5 * (x[i] + x[i + 1]),
                             y_m = 0.5 * (y[j] + y[j + 1]);
                if (fabs(x_m) < 0.4 && fabs(y_m) < 0.5 && z_m > 0.4 && z_m < 2.0) {
                    c->body[((size_t)i * (size_t)ny + (size_t)j) * (size_t)nz + (size_t)k] = 1;
                } else if (fabs(x_m) < 0.8 && fabs(y_m) < 0.1 && z_m > 0.4 && z_m < 2.0) {
                    c->source[c->n_sources++] =
                        (air_fan_source){i, j, k, 1.2, {x_m > 0.0 ? 20.0 : -20.0, 0.0, 5.0}, 4.0, 50.0};
                } else if (fabs(x_m) < 0.4 && y_m < 0.0 && y_m > -0.85 && z_m > 0.4 && z_m < 2.0) {
                    c->source[c->n_sources++] = (air_fan_source){i, j, k, -0.8, {0}, 0.0, 0.0};
                }
                assert_true(c->n_sources < MOST);
            }
}

static air_fan_flow *solved(const air_fan_case *c, int n_threads)
{
    air_fan_flow *flow;
    const drupelet_status status = air_fan_flow_solve(c, n_threads, (air_watch){NULL, NULL}, &flow);
    if (status.code != DRUPELET_OK) print_error("%s\n", status.message);
    assert_int_equal(status.code, DRUPELET_OK);
    return flow;
}

/* All of the wind over rows, with its own drag, is left as it is. */
static void without_a_fan_the_wind_stays_to_the_last_bit(void **state)
{
    (void)state;
    air_fan_case c;
    sprayer_case(&c, false);
    air_fan_flow *f = solved(&c, 1);
    assert_true(f->n_rounds > 0);
    for (int i = 0; i < c.nx; i++)
        for (int j = 0; j < c.ny; j++)
            for (int k = 0; k < c.nz; k++) {
                const size_t at = fan_box_cell(f, i, j, k);
                const int column = i * c.nz + k;
                assert_true(f->u[at] == 0.0f && f->v[at] == 0.0f && f->w[at] == 0.0f);
                assert_true(f->k[at] == c.k[column] && f->epsilon[at] == c.epsilon[column]);
            }
    air_fan_flow_free(f);
    air_fan_case_free(&c);
}

static void any_number_of_threads_gives_the_same_bytes(void **state)
{
    (void)state;
    air_fan_case c;
    sprayer_case(&c, true);
    air_fan_flow *one = solved(&c, 1);
    const size_t n = (size_t)c.nx * (size_t)c.ny * (size_t)c.nz;
    for (int n_threads = 2; n_threads <= 4; n_threads *= 2) {
        air_fan_flow *more = solved(&c, n_threads);
        assert_int_equal(one->n_rounds, more->n_rounds);
        assert_memory_equal(one->u, more->u, 6 * n * sizeof *one->u);
        air_fan_flow_free(more);
    }
    air_fan_flow_free(one);
    air_fan_case_free(&c);
}

static bool twice(double share_done, void *user)
{
    assert_true(share_done >= 0.0 && share_done <= 1.0);
    return ++*(int *)user < 3;
}

static void solving_can_be_stopped(void **state)
{
    (void)state;
    air_fan_case c;
    air_fan_flow *flow;
    int asked = 0;
    sprayer_case(&c, true);
    assert_int_equal(air_fan_flow_solve(&c, 1, (air_watch){twice, &asked}, &flow).code, DRUPELET_STOPPED);
    assert_null(flow);
    assert_int_equal(asked, 3);
    air_fan_case_free(&c);
}

/* What is not a number is nobody's air. */
static void what_is_no_number_does_not_settle(void **state)
{
    (void)state;
    air_fan_case c;
    air_fan_flow *flow;
    sprayer_case(&c, true);
    c.source[0].velocity_m_s[0] = NAN;
    const drupelet_status status = air_fan_flow_solve(&c, 1, (air_watch){NULL, NULL}, &flow);
    assert_int_equal(status.code, DRUPELET_BALANCE);
    assert_null(flow);
    assert_true(status.message[0] != '\0');
    air_fan_case_free(&c);
}

/* What is blown out is found again: in the rows, on the ground, in the machine, through the sides, and in what the
 * flow still changes. */
static void momentum_of_a_sprayer_is_found_again(void **state)
{
    (void)state;
    air_fan_case c;
    sprayer_case(&c, true);
    air_fan_flow *f = solved(&c, 1);
    const air_fan_budget *b = &f->budget;
    double blown = 0.0;
    for (int n = 0; n < c.n_sources; n++)
        if (c.source[n].flow_m3_s > 0.0 && c.source[n].velocity_m_s[0] > 0.0)
            blown += c.source[n].flow_m3_s * c.source[n].velocity_m_s[0];
    for (int a = 0; a < 3; a++) {
        const double found =
            b->out_m4_s2[a] + b->rows_m4_s2[a] + b->ground_m4_s2[a] + b->body_m4_s2[a] + b->unsettled_m4_s2[a];
        print_message("axis %d: blown %g, out %g, rows %g, ground %g, body %g, unsettled %g; of %g to one side\n", a,
                      b->blown_m4_s2[a], b->out_m4_s2[a], b->rows_m4_s2[a], b->ground_m4_s2[a], b->body_m4_s2[a],
                      b->unsettled_m4_s2[a], blown);
        assert_close(found, b->blown_m4_s2[a], 0.0, 5e-3 * blown);
        assert_close(b->unsettled_m4_s2[a], 0.0, 0.0, 0.02 * blown);
    }
    assert_true(b->rows_m4_s2[0] < 0.0 && fabs(b->body_m4_s2[1]) > 0.01 * blown);
    assert_close(b->out_m3_s, b->blown_m3_s, 0.0, 1e-4);
    air_fan_flow_free(f);
    air_fan_case_free(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_fan_the_wind_stays_to_the_last_bit),
        cmocka_unit_test(momentum_of_a_sprayer_is_found_again),
        cmocka_unit_test(any_number_of_threads_gives_the_same_bytes),
        cmocka_unit_test(solving_can_be_stopped),
        cmocka_unit_test(what_is_no_number_does_not_settle),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
