/* tests/air_case.c - the air of a shipped scenario with overrides, and the momentum that crosses upright planes. */
#include "air_case.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

void air_case_open(air_case *c, const char *file, const char *const *set)
{
    char path[1024];
    int n = 0;
    while (n < 16 && set && set[n])
        n++;
    *c = (air_case){0};
    snprintf(path, sizeof path, "%s/%s", DRUPELET_SCENARIOS, file);
    const drupelet_status status = drupelet_scenario_read(path, set, n, &c->scenario);
    if (status.code != DRUPELET_OK) fail_msg("%s", status.message);
    assert_int_equal(orchard_create(c->scenario, &c->canopy).code, DRUPELET_OK);
    assert_int_equal(sprayer_work_out(c->scenario, &c->work).code, DRUPELET_OK);
    assert_int_equal(air_field_create(c->scenario, c->canopy, &c->work, NULL, 2, &c->field).code, DRUPELET_OK);
}

void air_case_close(air_case *c)
{
    air_field_free(c->field);
    orchard_free(c->canopy);
    drupelet_scenario_free(c->scenario);
}

double air_case_flux(const air_grid *g, const float *node, int side, double across_m, double still_m_s)
{
    const double f = (side * across_m - g->x_first_m) / g->dx_m;
    const int i = (int)floor(f);
    double sum = 0.0;
    for (int k = 0; k < g->nz; k++)
        for (int j = 0; j < g->ny; j++)
            for (int next = 0; next < 2; next++) {
                const float *n = node + AIR_VALUES * (((int64_t)k * g->nx + i + next) * g->ny + j);
                const double u = side * (double)n[AIR_U], weight = next ? f - i : 1.0 - (f - i);
                if (fabs(u) > still_m_s) sum += weight * u * fabs(u) * g->dy_m * g->dz_m * (k > 0 ? 1.0 : 0.5);
            }
    return sum;
}

double air_case_pass_flux(const air_case *c, int i_pass, int side, double across_m, double still_m_s)
{
    const air_grid *g = &c->field->pass[i_pass];
    return air_case_flux(g, c->field->node + g->first, side, across_m, still_m_s);
}
