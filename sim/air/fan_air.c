/* sim/air/fan_air.c - from solved flows to the grids of the passes.
 *
 * Turbulence by the closure: sigma_w^2 = 2/3 k - 2 nu_t dW/dz, nu_t = Cmu k^2 / epsilon, and the variance of each level
 * component is half of what remains of 2 k, their mean. sigma_w^2 is held between a third of 2/3 k and twice 2/3 k
 * (choice: k-epsilon's stresses are not bounded by themselves). The wind's variances are added later with their own
 * shares of k, so that here only what exceeds 2/3 of the wind's k is put in. Where the rows have left less
 * turbulence than the wind has, the wind's stays (choice: the wind's own equations have met the rows already). */
#include "air/fan_air.h"

#include <math.h>
#include <stdlib.h>

#include "air/fan_keep.h"
#include "air/fan_lay.h"
#include "air/fan_state.h"
#include "base/status.h"

/* Choices. */
#define FAST_M_S 1.0 /* over the wind: such air is kept within the grid of a pass, */
#define MOST_ACROSS_M 16.0
#define MOST_ALONG_M 12.0

/* A flow, and at its cells what a pass adds to the wind's turbulence. */
typedef struct {
    air_fan_flow *flow;
    fan_turbulence turbulence;
} solved;

struct air_fans {
    air_fan_sharing sharing;
    double roughness_m, top_m; /* top_m: of what grids hold */
    solved *flow;              /* [sharing.n_flows] */
};

static double held(double low, double value, double high)
{
    return fmin(fmax(value, low), high);
}

/* Change of a velocity from the cell below to the one above, 1/s. */
static double change_up(const air_fan_flow *f, const float *w, int k)
{
    const int low = k > 0 ? k - 1 : k, high = k + 1 < f->nz ? k + 1 : k;
    return (double)(w[high] - w[low]) / (f->z_m[high] - f->z_m[low]);
}

static void work_out_turbulence(const air_fan_case *c, solved *s)
{
    const air_fan_flow *f = s->flow;
    for (int i = 0; i < f->nx; i++)
        for (int j = 0; j < f->ny; j++) {
            const size_t line = ((size_t)i * (size_t)f->ny + (size_t)j) * (size_t)f->nz;
            const size_t section = (size_t)i * (size_t)f->nz;
            for (int n = 0; n < f->nz; n++) {
                const double k = (double)f->k[line + (size_t)n], epsilon = (double)f->epsilon[line + (size_t)n];
                const double wind_k = (double)c->k[section + (size_t)n];
                const double jet_k =
                    k - wind_k + (double)fan_k_of_wind(c->k[section + (size_t)n]); /* by its constants */
                const double even = 2.0 / 3.0 * k,
                             viscosity = epsilon > 0.0 ? (double)FAN_CMU * jet_k * jet_k / epsilon : 0.0;
                const double up = held(even / 3.0, even - 2.0 * viscosity * change_up(f, f->w + line, n), 2.0 * even);
                const double wind = 2.0 / 3.0 * wind_k;
                const double variance = fmax(up - wind, 0.0);
                s->turbulence.variance[line + (size_t)n] = (float)variance;
                s->turbulence.level_more[line + (size_t)n] = (float)(fmax(k - 0.5 * up - wind, 0.0) - variance);
                s->turbulence.dissipation[line + (size_t)n] =
                    (float)fmax(epsilon - (double)c->epsilon[section + (size_t)n], 0.0);
            }
        }
}

static drupelet_status complete(const air_fan_case *c, solved *s)
{
    const size_t n = (size_t)s->flow->nx * (size_t)s->flow->ny * (size_t)s->flow->nz;
    s->turbulence.variance = malloc(n * sizeof *s->turbulence.variance);
    s->turbulence.level_more = malloc(n * sizeof *s->turbulence.level_more);
    s->turbulence.dissipation = malloc(n * sizeof *s->turbulence.dissipation);
    if (!s->turbulence.variance || !s->turbulence.level_more || !s->turbulence.dissipation)
        return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    work_out_turbulence(c, s);
    return base_ok();
}

/* The share of one flow as that of all. */
typedef struct {
    air_watch watch;
    int i, n;
} share_of_all;

static bool tell(double share_done, void *user)
{
    const share_of_all *s = user;
    return s->watch.go_on((s->i + share_done) / s->n, s->watch.user);
}

drupelet_status air_fans_create(const drupelet_scenario *scenario, const orchard_canopy *canopy,
                                const air_ambient *ambient, const sprayer_work *work, const air_flow_store *store,
                                int n_threads, air_watch watch, air_fans **result)
{
    air_fans *fans = calloc(1, sizeof *fans);
    *result = NULL;
    if (!fans) return base_error(DRUPELET_MEMORY, "no memory for the fan air");
    fans->roughness_m = scenario->weather.roughness_m;
    fans->top_m = scenario->canopy.height_m;
    drupelet_status status = air_fan_share(scenario, canopy, ambient, work, &fans->sharing);
    const int n = fans->sharing.n_flows;
    if (status.code == DRUPELET_OK && n > 0 && !(fans->flow = calloc((size_t)n, sizeof *fans->flow)))
        status = base_error(DRUPELET_MEMORY, "no memory for the fan air");
    for (int i = 0; i < n && status.code == DRUPELET_OK; i++) {
        air_fan_case c = {0};
        share_of_all so_far = {watch, i, n};
        status = air_fan_case_of(scenario, canopy, ambient, work, &fans->sharing, i, &c);
        if (status.code == DRUPELET_OK)
            status = air_fan_flow_obtain(&c, store, n_threads,
                                         watch.go_on ? (air_watch){tell, &so_far} : (air_watch){NULL, NULL},
                                         &fans->flow[i].flow);
        if (status.code == DRUPELET_OK) status = complete(&c, &fans->flow[i]);
        air_fan_case_free(&c);
    }
    if (status.code == DRUPELET_OK)
        *result = fans;
    else
        air_fans_free(fans);
    return status;
}

void air_fans_free(air_fans *fans)
{
    if (!fans) return;
    for (int i = 0; fans->flow && i < fans->sharing.n_flows; i++) {
        air_fan_flow_free(fans->flow[i].flow);
        free(fans->flow[i].turbulence.variance);
        free(fans->flow[i].turbulence.level_more);
        free(fans->flow[i].turbulence.dissipation);
    }
    free(fans->flow);
    free(fans);
}

const air_fan_sharing *air_fans_sharing(const air_fans *fans)
{
    return &fans->sharing;
}

double air_fans_unsure(const air_fans *fans)
{
    double most = 0.0;
    for (int i = 0; i < fans->sharing.n_flows; i++)
        most = fmax(most, fans->flow[i].flow->unsure);
    return most;
}

void air_fans_widen(const air_fans *fans, double fade_m, air_reach *reach)
{
    for (int l = 0; l < fans->sharing.n_flows; l++) {
        const air_fan_flow *f = fans->flow[l].flow;
        size_t at = 0;
        for (int i = 0; i < f->nx; i++)
            for (int j = 0; j < f->ny; j++)
                for (int k = 0; k < f->nz; k++, at++) {
                    const double u = (double)f->u[at], v = (double)f->v[at], w = (double)f->w[at];
                    if (f->z_m[k] > fans->top_m || u * u + v * v + w * w < FAST_M_S * FAST_M_S) continue;
                    reach->across_m = fmax(reach->across_m, fmin(fabs(f->x_m[i]) + fade_m, MOST_ACROSS_M));
                    reach->behind_m = fmax(reach->behind_m, fmin(fade_m - f->y_m[j], MOST_ALONG_M));
                    reach->ahead_m = fmax(reach->ahead_m, fmin(fade_m + f->y_m[j], MOST_ALONG_M));
                }
    }
}

drupelet_status air_fans_add(const air_fans *fans, int i_pass, const air_grid *g, air_excess *e)
{
    const int i_flow = fans->sharing.flow_of_pass[i_pass];
    if (i_flow < 0) return base_ok();
    return fan_lay(fans->flow[i_flow].flow, &fans->flow[i_flow].turbulence, fans->roughness_m, g, e);
}
