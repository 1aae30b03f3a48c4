/* tests/test_fan_jets.c - free jets of the fan's air far from the outlet against the exact far field of the k-epsilon
 * equations, and a jet through a row. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "data_file.h"
#include "fan_box.h"

static const double JET_M_S = 20.0;

/* Order of errors, plane and round jets far from the outlet, momentum behind rows: by the one list of tolerances. */
static void flows_that_are_known_are_met(void **state)
{
    (void)state;
    published_numbers_hold(verify_fan_flow);
}

/* An eighth of a flat radial jet from a rim around z; x = 0, y = 0 and z = 0 mirror the rest. */
static const double RIM_M = 0.5, HALF_SLOT_M = 0.06, RING_M = 0.08;

/* Share of a cell, seen from above, that the ring takes which blows. */
static double share_in_ring(const double x[2], const double y[2])
{
    enum { PARTS = 20 };
    int n = 0;
    for (int a = 0; a < PARTS; a++)
        for (int b = 0; b < PARTS; b++) {
            const double r_m =
                hypot(x[0] + (x[1] - x[0]) * (a + 0.5) / PARTS, y[0] + (y[1] - y[0]) * (b + 0.5) / PARTS);
            n += fabs(r_m - RIM_M) < RING_M;
        }
    return (double)n / (PARTS * PARTS);
}

static void radial_case(air_fan_case *c)
{
    double x[FAN_BOX_FACES], z[FAN_BOX_FACES], flow = 0.0;
    const int nx = fan_box_faces(0.0, 0.0, 3.6, 5.5, 0.1, 1.2, x);
    const int nz = fan_box_faces(0.0, 0.0, 0.39, 2.5, 0.02, 1.12, z);
    fan_box_case(nx, x, nx, x, nz, z, 400, c);
    c->n_sources = 0;
    for (int i = 0; i < nx; i++)
        for (int j = 0; j < nx; j++)
            for (int k = 0; air_fan_middle_m(z, k) < HALF_SLOT_M; k++) {
                const double x_m = air_fan_middle_m(x, i), y_m = air_fan_middle_m(x, j), r_m = hypot(x_m, y_m);
                const double of = share_in_ring(&x[i], &x[j]) * (x[i + 1] - x[i]) * (x[j + 1] - x[j]);
                if (of == 0.0) continue;
                flow += of;
                c->source[c->n_sources++] =
                    (air_fan_source){i, j, k, of, {JET_M_S * x_m / r_m, JET_M_S * y_m / r_m, 0.0}, 4.0, 100.0};
            }
    const double whole = JET_M_S * HALF_SLOT_M * 0.5 * acos(-1.0) * RIM_M;
    for (int n = 0; n < c->n_sources; n++)
        c->source[n].flow_m3_s *= whole / flow;
}

/* Means over the cells in a ring of some width, and sums over the height. */
typedef struct {
    double r_m, jet, all, pressure; /* of the squared speed outwards, in the jet and in all air; of the pressure */
    double speed[FAN_BOX_FACES], k;
} ring;

static ring ring_of(const fan_state *s, double r_m)
{
    const double half_m = 0.1;
    const ptrdiff_t plane = s->level_count * s->row;
    double area = 0.0;
    ring q = {0};
    for (int i = 0; i < s->mesh[FAN_X].n; i++)
        for (int j = 0; j < s->mesh[FAN_Y].n; j++) {
            const double x_m = s->mesh[FAN_X].centre_m[i], y_m = s->mesh[FAN_Y].centre_m[j], at_m = hypot(x_m, y_m);
            const double of = s->mesh[FAN_X].size_m[i] * s->mesh[FAN_Y].size_m[j];
            if (fabs(at_m - r_m) > half_m) continue;
            area += of;
            q.r_m += of * at_m;
            q.k += of * (double)s->k[fan_at(s, i, 0) + j];
            for (int k = 0; k < s->mesh[FAN_Z].n; k++) {
                const ptrdiff_t at = fan_at(s, i, k) + j;
                const double u = 0.5 * (double)(s->u[at] + s->u[at + plane]),
                             v = 0.5 * (double)(s->v[at] + s->v[at + 1]);
                const double out = (u * x_m + v * y_m) / at_m, height_m = s->mesh[FAN_Z].size_m[k];
                q.speed[k] += of * out;
                q.all += of * height_m * out * out;
                if (out > 0.0) q.jet += of * height_m * out * out;
                q.pressure += of * height_m * (double)s->p[at];
            }
        }
    double *const means[] = {&q.r_m, &q.k, &q.all, &q.jet, &q.pressure};
    for (size_t n = 0; n < sizeof means / sizeof means[0]; n++)
        *means[n] /= area;
    for (int k = 0; k < s->mesh[FAN_Z].n; k++)
        q.speed[k] /= area;
    return q;
}

/* The air beside a radial jet flows inwards as fast as it flows towards the jet. The far field of the file leaves that
 * out, and the momentum that the jet loses by it (docs/theory.md 3.7 has how much). So what is missing in the jet must
 * be found in the pressure of the air beside, and the decay is compared for the momentum that the jet has. */
static void a_radial_jet_spreads_as_the_equations_say(void **state)
{
    (void)state;
    air_fan_case c;
    fan_state s;
    radial_case(&c);
    const fan_options options = {.side = {{FAN_SLIP, FAN_OPEN}, {FAN_SLIP, FAN_OPEN}, {FAN_SLIP, FAN_OPEN}},
                                 .step_s = 0.2};
    const int rounds = fan_box_settled(&c, options, 0.004, 3000, &s);
    const double given = RIM_M * HALF_SLOT_M * JET_M_S * JET_M_S; /* in a radian, upper half */
    double inside = 0.0, jet = 0.0, all = 0.0;
    fan_box_axis p = {0};
    for (int n = 0; n < 18; n++) {
        const ring q = ring_of(&s, 0.1 + 0.2 * n);
        inside += 0.2 * q.pressure;
        if (q.r_m < 1.8) continue;
        const double sum = (q.r_m * (q.all + q.pressure) - (inside - 0.1 * q.pressure)) / given;
        all += sum;
        fan_box_add(&p, q.r_m, c.nz, s.mesh[FAN_Z].centre_m, q.speed, q.k);
        jet += q.r_m * q.jet / given;
    }
    jet /= p.n;
    all /= p.n;
    verify_table *t = data_file_open("jet_k_epsilon");
    const int row = verify_table_rows(t) - 1;
    assert_string_equal(verify_table_text(t, row, "jet"), "radial");
    double begin_m, k = 0.0, decay = 0.0;
    const double spread = fan_box_spread(&p, &begin_m);
    for (int i = 0; i < p.n; i++) { /* wide as its radius, thick as its way from the virtual origin */
        decay += p.speed[i] * sqrt((p.at_m[i] - begin_m) * p.at_m[i] / (RIM_M * 2.0 * HALF_SLOT_M)) / JET_M_S / p.n;
        k += p.k[i] / (p.speed[i] * p.speed[i]) / p.n;
    }
    print_message(
        "radial, %d rounds: in the jet %.3f of the momentum, %.3f with what the air beside holds; spread %.4f, "
        "decay %.3f, for its momentum %.3f, k %.4f, from %.2f m\n",
        rounds, jet, all, spread, decay, decay / sqrt(jet), k, begin_m);
    assert_close(all, 1.0, 0.02, 0.0);
    assert_close(spread, verify_table_number(t, row, "spread"), 0.05, 0.0);
    assert_close(decay / sqrt(jet), verify_table_number(t, row, "decay"), 0.05, 0.0);
    assert_close(k, verify_table_number(t, row, "k_axis"), 0.05, 0.0);
    verify_table_free(t);
    fan_state_free(&s);
    air_fan_case_free(&c);
}

/* Momentum and air that a jet through a row brings are found again. */
static void a_row_and_what_leaves_are_all_of_a_jet(void **state)
{
    (void)state;
    air_fan_case c;
    air_fan_flow *f;
    assert_int_equal(fan_box_plane_jet(2.0, 2.4, 0.5, false, 0.002, &c, &f).code, DRUPELET_OK);
    const air_fan_budget *b = &f->budget;
    print_message("blown %g, out %g, row %g\n", b->blown_m4_s2[0], b->out_m4_s2[0], b->rows_m4_s2[0]);
    assert_close(b->out_m4_s2[0] + b->rows_m4_s2[0], b->blown_m4_s2[0], 0.01, 0.0);
    assert_close(b->out_m3_s, b->blown_m3_s, 1e-3, 0.0);
    assert_true(b->rows_m4_s2[0] > 0.0);
    air_fan_flow_free(f);
    air_fan_case_free(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flows_that_are_known_are_met),
        cmocka_unit_test(a_radial_jet_spreads_as_the_equations_say),
        cmocka_unit_test(a_row_and_what_leaves_are_all_of_a_jet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
