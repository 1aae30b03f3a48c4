/* sim/verify/fan_flow.c - the fan's air as it is solved for (air/fan_flow.h) beside flows that are known: the order of
 * its errors, the far field of free jets as its equations have it, a jet through a row, and jets in a cross flow. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "verify/checks.h"
#include "verify/fan_box.h"

/* Taylor and Green: u = sin x cos z, w = -cos x sin z between walls 0 and pi along which air slips. What changes u but
 * pressure is -sin x cos x - 2 nu u. The solver has no time of its own in which the vortex could decay, and of one that
 * a force holds the errors of convection and of friction all but cancel: so what the equations make of the exact
 * vortex is compared, in one step. @param error  out: the mean error over the mean change, away from the walls */
static drupelet_status vortex_error(int n, double *error)
{
    const double nu = 0.1;
    double face[FAN_BOX_FACES], deep[5], sum = 0.0, mean = 0.0;
    air_fan_case c = {0};
    fan_state s = {0};
    for (int i = 0; i <= n; i++)
        face[i] = BASE_PI * i / n;
    for (int j = 0; j <= 4; j++)
        deep[j] = BASE_PI * j / 4;
    const fan_options options = {.side = {{FAN_SLIP, FAN_SLIP}, {FAN_SLIP, FAN_SLIP}, {FAN_SLIP, FAN_SLIP}},
                                 .viscosity_m2_s = nu};
    drupelet_status status = fan_box_make(n, face, 4, deep, n, face, 0, &c);
    if (status.code == DRUPELET_OK) status = fan_state_create(&c, options, 1, &s);
    for (int i = 0; i <= n && status.code == DRUPELET_OK; i++)
        for (int k = 0; k <= n; k++)
            for (int j = -FAN_HALO; j < 4 + FAN_HALO; j++) {
                const ptrdiff_t at = fan_at(&s, i, k) + j;
                const double x = BASE_PI * i / n, z = BASE_PI * (k + 0.5) / n;
                if (k < n) s.u[at] = (float)(base_sin(x) * base_cos(z));
                if (i < n) s.w[at] = (float)(-base_cos(BASE_PI * (i + 0.5) / n) * base_sin(BASE_PI * k / n));
                s.left[0][at] = 0.0f;
            }
    if (status.code == DRUPELET_OK) {
        s.finding_left = true;
        fan_settle(&s);
        fan_step_momentum(&s);
    }
    for (int i = n / 8; i <= n - n / 8 && status.code == DRUPELET_OK; i++)
        for (int k = n / 8; k < n - n / 8; k++) {
            const double x = BASE_PI * i / n, z = BASE_PI * (k + 0.5) / n;
            const double change = -base_sin(x) * base_cos(x) - 2.0 * nu * base_sin(x) * base_cos(z);
            sum += fabs((double)s.left[0][fan_at(&s, i, k) + 1] - change);
            mean += fabs(change);
        }
    *error = sum / mean;
    if (c.nx > 0) fan_state_free(&s);
    air_fan_case_free(&c);
    return status;
}

/* Half the cell, a quarter of the error. */
static drupelet_status verify_order(verify_list *list)
{
    double error[3] = {0.0, 0.0, 0.0};
    drupelet_status status = base_ok();
    for (int n = 0; n < 3 && status.code == DRUPELET_OK; n++)
        status = vortex_error(32 << n, &error[n]);
    for (int n = 0; n < 2 && status.code == DRUPELET_OK; n++)
        verify_compare(list, "fan_flow.order", 4.0, error[n] / error[n + 1],
                       "error over that of half the cell, %d by %d cells", 32 << n, 32 << n);
    return status;
}

/* @param decay_scale what the outlet makes of the decay  @param power of the way that the speed falls by */
static drupelet_status compare(verify_list *list, const char *jet, const fan_box_axis *a, double decay_scale,
                               double power)
{
    verify_table *t = NULL;
    const drupelet_status status = verify_table_open("jet_k_epsilon", &t);
    if (status.code != DRUPELET_OK) return status;
    int row = 0;
    while (row + 1 < verify_table_rows(t) && strcmp(verify_table_text(t, row, "jet"), jet) != 0)
        row++;
    double begin_m, decay = 0.0, k = 0.0;
    const double spread = fan_box_spread(a, &begin_m);
    for (int i = 0; i < a->n; i++) {
        const double way_m = a->at_m[i] - begin_m;
        decay += a->speed[i] * (power == 0.5 ? sqrt(way_m) : way_m) / decay_scale / a->n;
        k += a->k[i] / (a->speed[i] * a->speed[i]) / a->n;
    }
    verify_compare(list, "fan_flow.jet", verify_table_number(t, row, "spread"), spread, "%s jet: spread", jet);
    verify_compare(list, "fan_flow.jet", verify_table_number(t, row, "decay"), decay, "%s jet: decay", jet);
    verify_compare(list, "fan_flow.jet", verify_table_number(t, row, "k_axis"), k, "%s jet: k on the axis", jet);
    verify_table_free(t);
    return status;
}

static drupelet_status verify_plane(verify_list *list)
{
    air_fan_case c = {0};
    air_fan_flow *f = NULL;
    drupelet_status status = fan_box_plane_jet(0.0, 0.0, 0.0, true, 0.006, &c, &f);
    fan_box_axis axis = {0};
    for (int i = 0; status.code == DRUPELET_OK && i < f->nx; i++) {
        if (f->x_m[i] < 3.0 || f->x_m[i] > 4.9) continue;
        double value[FAN_BOX_FACES] = {0.0};
        for (int j = 0; j < f->ny; j++)
            value[j] = (double)f->u[fan_box_cell(f, i, j, 1)];
        fan_box_add(&axis, f->x_m[i], f->ny, f->y_m, value, (double)f->k[fan_box_cell(f, i, 0, 1)]);
    }
    if (status.code == DRUPELET_OK) status = compare(list, "plane", &axis, FAN_BOX_JET_M_S * sqrt(FAN_BOX_SLOT_M), 0.5);
    air_fan_flow_free(f);
    air_fan_case_free(&c);
    return status;
}

/* A quarter of a round jet along x, of which y = 0 and z = 0 mirror the rest, out of a wall. */
static drupelet_status verify_round(verify_list *list)
{
    double x[FAN_BOX_FACES], y[FAN_BOX_FACES], area_m2 = 0.0;
    const int nx = fan_box_faces(0.0, 0.0, 4.0, 6.0, 0.1, 1.2, x);
    const int ny = fan_box_faces(0.0, 0.0, 0.48, 2.5, 0.03, 1.15, y);
    air_fan_case c = {0};
    air_fan_flow *f = NULL;
    drupelet_status status = fan_box_make(nx, x, ny, y, ny, y, 16, &c);
    if (status.code == DRUPELET_OK) {
        c.n_sources = 0;
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++) {
                if (base_hypot(j + 0.5, k + 0.5) > 2.9) continue;
                area_m2 += 0.03 * 0.03;
                c.source[c.n_sources++] =
                    (air_fan_source){0, j, k, FAN_BOX_JET_M_S * 0.03 * 0.03, {FAN_BOX_JET_M_S, 0.0, 0.0}, 4.0, 100.0};
            }
        const fan_options options = {.side = {{FAN_SLIP, FAN_OPEN}, {FAN_SLIP, FAN_OPEN}, {FAN_SLIP, FAN_OPEN}},
                                     .still = 0.01,
                                     .most_rounds = 3000,
                                     .step_s = 0.15};
        status = fan_solve(&c, options, 1, (air_watch){NULL, NULL}, &f);
    }
    fan_box_axis axis = {0};
    for (int i = 0; status.code == DRUPELET_OK && i < f->nx; i++) {
        if (f->x_m[i] < 2.0 || f->x_m[i] > 3.9) continue;
        double value[FAN_BOX_FACES] = {0.0};
        for (int j = 0; j < f->ny; j++)
            value[j] = 0.5 * (double)(f->u[fan_box_cell(f, i, j, 0)] + f->u[fan_box_cell(f, i, 0, j)]);
        fan_box_add(&axis, f->x_m[i], f->ny, f->y_m, value, (double)f->k[fan_box_cell(f, i, 0, 0)]);
    }
    if (status.code == DRUPELET_OK)
        status = compare(list, "round", &axis, FAN_BOX_JET_M_S * sqrt(16.0 * area_m2 / BASE_PI), 1.0);
    air_fan_flow_free(f);
    air_fan_case_free(&c);
    return status;
}

/* A row four cells deep, 0.4 m, as dense as holds back what one of 0.5 m does in the file: momentum behind it over that
 * a metre ahead. */
static drupelet_status verify_row(verify_list *list)
{
    verify_table *t = NULL;
    drupelet_status status = verify_table_open("jet_through_row", &t);
    for (int row = 0; status.code == DRUPELET_OK && row < verify_table_rows(t); row += 16) {
        const double exponent = verify_table_number(t, row, "Cd_a_per_m") * verify_table_number(t, row, "depth_m");
        air_fan_case c = {0};
        air_fan_flow *f = NULL;
        status = fan_box_plane_jet(2.0, 2.4, exponent / 0.4, false, 0.002, &c, &f);
        if (status.code == DRUPELET_OK)
            verify_compare(list, "fan_flow.row", verify_table_number(t, row, "momentum_ratio"),
                           fan_box_momentum(f, &c, 2.9) / fan_box_momentum(f, &c, 1.0),
                           "momentum behind a row of drag %.2g over that ahead", exponent);
        air_fan_flow_free(f);
        air_fan_case_free(&c);
    }
    verify_table_free(t);
    return status;
}

/* A jet of the file's speed over the wind's: heights of its way at the file's distances. */
static drupelet_status cross_jet(verify_list *list, const verify_table *t, int first, int n)
{
    enum { MOST = 8 };
    const double r = verify_table_number(t, first, "r"), rd_m = r * FAN_BOX_OUTLET_M;
    double at_m[MOST], height_m[MOST];
    air_fan_case c = {0};
    air_fan_flow *f = NULL;
    fan_options options;
    drupelet_status status = fan_box_cross_jet(r, 4, 1.12, &c, &options);
    if (status.code == DRUPELET_OK) status = fan_solve(&c, options, 1, (air_watch){NULL, NULL}, &f);
    for (int i = 0; i < n; i++)
        at_m[i] = rd_m * verify_table_number(t, first + i, "x_over_rd");
    if (status.code == DRUPELET_OK) fan_box_way(f, &c, n, at_m, height_m);
    for (int i = 0; i < n && status.code == DRUPELET_OK; i++) {
        char what[80];
        snprintf(what, sizeof what, "jet of %g winds, %g r d behind", r, at_m[i] / rd_m);
        verify_compare_range(list, "fan_flow.cross", verify_table_number(t, first + i, "y_over_rd_lowest"),
                             verify_table_number(t, first + i, "y_over_rd_highest"), height_m[i] / rd_m, what);
    }
    air_fan_flow_free(f);
    air_fan_case_free(&c);
    return status;
}

/* The file's two slowest jets, which need the smallest boxes. */
static drupelet_status verify_cross(verify_list *list)
{
    enum { JETS = 2, DISTANCES = 4 };
    verify_table *t = NULL;
    drupelet_status status = verify_table_open("round_jet_crossflow", &t);
    for (int jet = 0; jet < JETS && status.code == DRUPELET_OK; jet++)
        status = cross_jet(list, t, jet * DISTANCES, DISTANCES);
    verify_table_free(t);
    return status;
}

drupelet_status verify_fan_flow(verify_list *list)
{
    drupelet_status status = verify_order(list);
    if (status.code == DRUPELET_OK) status = verify_plane(list);
    if (status.code == DRUPELET_OK) status = verify_round(list);
    if (status.code == DRUPELET_OK) status = verify_row(list);
    return status.code == DRUPELET_OK ? verify_cross(list) : status;
}
