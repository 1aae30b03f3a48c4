/* sim/verify/dispersion.c - the batch kernel's turbulence beside exact laws: well-mixed tracers, Taylor's spread. The
 * kernel itself flies the droplets. */
#include <math.h>

#include "base/elementary.h"
#include "base/status.h"
#include "verify/checks.h"
#include "verify/experiment.h"

/* ---- well-mixed ---- */
enum { LAYERS = 20 };

/* M. R. Raupach, Q. J. R. Meteorol. Soc. 115 (1989) 609: sigma_w / u* = 0.25 + z / h below h, 1.25 above;
 * TL u* / h = max(0.3, 0.4 (z - d) / (1.5625 h)), d = 0.75 h (memory). Here h = 2 m, u* = 0.5 m/s. */
static box_air canopy_air(double z_m)
{
    const double z = z_m / 2.0;
    return (box_air){.sigma_m_s = 0.5 * fmin(0.25 + z, 1.25),
                     .time_scale_s = 4.0 * fmax(0.3, 0.4 * (z - 0.75) / 1.5625)};
}

static double start_evenly(const experiment *e, int ordinal)
{
    const double golden = 0.6180339887498949; /* low-discrepancy */
    return e->floor_m + (e->top_m - e->floor_m) * fmod(ordinal * golden, 1.0);
}

static void count_layer(experiment *e, const droplet_batch *b, int i)
{
    const double z_m = (double)b->z_m[i] - (double)b->w_m_s[i] * ((double)b->time_s[i] - e->end_s); /* then */
    const int layer = (int)((z_m - e->floor_m) / (e->top_m - e->floor_m) * LAYERS);
    e->sum[layer < 0 ? 0 : layer < LAYERS ? layer : LAYERS - 1] += 1.0;
}

static drupelet_status check_mixed(verify_list *list)
{
    double layer[LAYERS] = {0};
    experiment e = {.end_s = 4.0,
                    .top_m = 4.0,
                    .floor_m = 0.02,
                    .lid = true,
                    .start_z_m = start_evenly,
                    .diameter_m = 1e-6,
                    .batches = 14400,
                    .look = count_layer,
                    .n_sums = LAYERS,
                    .sum = layer};
    flight_box box;
    drupelet_status status = flight_box_open(&box, canopy_air, e.top_m, 0.1, e.floor_m, 1.0);
    if (status.code == DRUPELET_OK)
        status = experiment_run(&e, &box);
    verify_worst worst = verify_worst_of(list, "dispersion.mixed");
    for (int l = 0; l < LAYERS; l++)
        verify_worst_case(&worst, 1.0, layer[l] * LAYERS / (e.batches * (double)DROPLET_LANES), "layer %d", l + 1);
    verify_worst_compare(list, &worst, "tracers in a canopy's air, by layer");
    flight_box_close(&box);
    return status;
}

/* ---- Taylor ---- */
static box_air even_air(double z_m)
{
    (void)z_m;
    return (box_air){.sigma_m_s = 0.5, .time_scale_s = 2.0};
}

static double start_high(const experiment *e, int ordinal)
{
    (void)ordinal;
    return 0.5 * e->top_m;
}

static void add_square(experiment *e, const droplet_batch *b, int i)
{
    /* back to the time asked for: the last step is short beside TL */
    const double y_m = (double)b->y_m[i] - (double)b->v_m_s[i] * ((double)b->time_s[i] - e->end_s);
    e->sum[0] += y_m * y_m;
}

static drupelet_status check_taylor(verify_list *list)
{
    static const double over_time_scale[] = {0.1, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0};
    enum { TIMES = sizeof over_time_scale / sizeof over_time_scale[0] };
    drupelet_status status = base_ok();
    for (int c = 0; c < TIMES && status.code == DRUPELET_OK; c++) {
        const double r = over_time_scale[c];
        double sum2 = 0.0;
        experiment e = {.end_s = 2.0 * r, .top_m = 2000.0, .floor_m = 0.01, .start_z_m = start_high, .diameter_m = 1e-6,
                        .batches = 320, .look = add_square, .n_sums = 1, .sum = &sum2};
        flight_box box;
        status = flight_box_open(&box, even_air, e.top_m, 500.0, e.floor_m, 1.0);
        if (status.code == DRUPELET_OK)
            status = experiment_run(&e, &box);
        verify_compare(list, "dispersion.spread", 0.5 * 2.0 * sqrt(2.0 * (r - 1.0 + base_exp(-r))),
                       sqrt(sum2 / (e.batches * DROPLET_LANES)), "sigma_y after %g time scales", r);
        flight_box_close(&box);
    }
    return status;
}

drupelet_status verify_dispersion(verify_list *list)
{
    drupelet_status status = check_mixed(list);
    if (status.code == DRUPELET_OK)
        status = check_taylor(list);
    return status;
}
