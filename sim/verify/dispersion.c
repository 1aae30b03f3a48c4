/* sim/verify/dispersion.c - the batch kernel's turbulence beside exact laws: well-mixed tracers, Taylor's spread, a
 * plume that settles. The kernel itself flies the droplets. */
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/status.h"
#include "verify/checks.h"
#include "verify/flight_box.h"

#define SUBJECT "Turbulent dispersion"
#define THOMSON                                                                                                        \
    "Thomson, J. Fluid Mech. 180 (1987) 529: a tracer that starts evenly spread stays so; air after Raupach (1989)"
#define TAYLOR "Taylor, Proc. Lond. Math. Soc. 20 (1921) 196; exact for the Langevin equation"
#define ROUNDS                                                                                                         \
    "Rounds, Trans. Am. Geophys. Union 36 (1955) 395 (form from memory, re-derived); exact for a diffusing plume"

static const verify_target mixed = {SUBJECT, THOMSON, "", VERIFY_RELATIVE, 0.02, false}; /* counting noise 0.7 % */
static const verify_target spread = {SUBJECT, TAYLOR, "m", VERIFY_RELATIVE, 0.02, false}; /* noise 0.5 % */
/* the kernel keeps a time scale (1.5 s at 2 m) and lets inertia gather droplets at the floor (4 %); noise 2 % */
static const verify_target settled = {SUBJECT, ROUNDS, "", VERIFY_RELATIVE, 0.10, false};

/* An experiment in a box: what it does with each lane after each step; true ends the lane's droplet. */
typedef struct experiment experiment;
struct experiment {
    double end_s, top_m, floor_m;
    bool lid;              /* droplets turn back at the top and at the floor */
    double (*start_z_m)(const experiment *e, int ordinal);
    double diameter_m, fall_m_s;
    int batches;
    void (*look)(experiment *e, const droplet_batch *b, int i); /* once, when the lane ends */
    double *sum;           /* what look() fills */
};

/* Turns a droplet back at the lid, or up from the floor where its own small fall took it. */
static void turn_back(const experiment *e, droplet_batch *b, int i)
{
    if ((double)b->z_m[i] > e->top_m) {
        b->z_m[i] = (float)(2.0 * e->top_m) - b->z_m[i];
        b->eddy_z[i] = -b->eddy_z[i];
        b->w_m_s[i] = -b->w_m_s[i];
        b->tossed_m_s[i] = -b->tossed_m_s[i];
        b->follow[i] = b->lag_s[i] = 0.0f;
    }
    if ((double)b->z_m[i] < e->floor_m)
        b->z_m[i] = (float)(2.0 * e->floor_m) - b->z_m[i];
}

static drupelet_status carry_out(experiment *e, flight_box *box)
{
    const droplet_flight flight = droplet_flight_pick();
    droplet_batch *b = aligned_alloc(64, (sizeof *b + 63) / 64 * 64);
    if (!b)
        return base_error(DRUPELET_MEMORY, "no memory for the dispersion checks");
    for (int batch = 0; batch < e->batches; batch++) {
        flight_box_park(b, (uint32_t)(batch * DROPLET_LANES));
        for (int i = 0; i < DROPLET_LANES; i++) {
            flight_box_place(box, b, i, 0.0, e->start_z_m(e, batch * DROPLET_LANES + i), e->diameter_m);
            b->w_m_s[i] -= (float)e->fall_m_s;
        }
        for (int in_flight = DROPLET_LANES; in_flight > 0;) {
            flight(&box->setting, b);
            for (int i = 0; i < DROPLET_LANES; i++) {
                if (b->aloft[i] == 0.0f)
                    continue;
                if (e->lid)
                    turn_back(e, b, i);
                const bool out = !e->lid && (b->found[i] & (DROPLET_LANDED | DROPLET_LEFT)) != 0;
                if (out || (double)b->time_s[i] > e->end_s) {
                    e->look(e, b, i);
                    b->aloft[i] = 0.0f;
                    in_flight--;
                }
            }
        }
    }
    free(b);
    return base_ok();
}

/* ---- well-mixed ---- */
enum { LAYERS = 20 };

/* M. R. Raupach, Q. J. R. Meteorol. Soc. 115 (1989) 609: sigma_w / u* = 0.25 + z / h below h, 1.25 above;
 * TL u* / h = max(0.3, 0.4 (z - d) / (1.5625 h)), d = 0.75 h (memory). Here h = 2 m, u* = 0.5 m/s. */
static box_air canopy_air(double z_m)
{
    const double z = z_m / 2.0;
    return (box_air){.sigma_m_s = 0.5 * fmin(0.25 + z, 1.25), .time_scale_s = 4.0 * fmax(0.3, 0.4 * (z - 0.75) / 1.5625)};
}

static double start_evenly(const experiment *e, int ordinal)
{
    const double golden = 0.6180339887498949; /* low-discrepancy */
    return e->floor_m + (e->top_m - e->floor_m) * fmod(ordinal * golden, 1.0);
}

static void count_layer(experiment *e, const droplet_batch *b, int i)
{
    const int layer = (int)(((double)b->z_m[i] - e->floor_m) / (e->top_m - e->floor_m) * LAYERS);
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
                    .batches = 3600,
                    .look = count_layer,
                    .sum = layer};
    flight_box box;
    drupelet_status status = flight_box_open(&box, canopy_air, e.top_m, 0.1, e.floor_m, 1.0);
    if (status.code == DRUPELET_OK)
        status = carry_out(&e, &box);
    verify_worst worst = {.target = &mixed};
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
    static const double over_time_scale[] = {0.5, 2.0, 10.0};
    drupelet_status status = base_ok();
    for (int c = 0; c < 3 && status.code == DRUPELET_OK; c++) {
        const double r = over_time_scale[c];
        double sum2 = 0.0;
        experiment e = {.end_s = 2.0 * r, .top_m = 2000.0, .floor_m = 0.01, .start_z_m = start_high, .diameter_m = 1e-6,
                        .batches = 160, .look = add_square, .sum = &sum2};
        flight_box box;
        status = flight_box_open(&box, even_air, e.top_m, 500.0, e.floor_m, 1.0);
        if (status.code == DRUPELET_OK)
            status = carry_out(&e, &box);
        verify_compare(list, &spread, 0.5 * 2.0 * sqrt(2.0 * (r - 1.0 + exp(-r))),
                       sqrt(sum2 / (e.batches * DROPLET_LANES)), "sigma_y after %g time scales", r);
        flight_box_close(&box);
    }
    return status;
}

/* ---- settling plume: u = 3 m/s, K = sigma^2 TL = 0.12 z, released 2 m up, vs = 0.01 m/s, so that its inertia is small
 * ---- */
enum { PLACES = 3 };
static const double place_m[PLACES] = {200.0, 300.0, 400.0};
#define PLUME_FALL_M_S 0.01

static box_air plume_air(double z_m)
{
    return (box_air){.u_m_s = 3.0, .sigma_m_s = 0.4, .time_scale_s = fmax(z_m, 0.03) * 0.12 / (0.4 * 0.4)};
}

static double start_at_2_m(const experiment *e, int ordinal)
{
    (void)e;
    (void)ordinal;
    return 2.0;
}

static void count_settled(experiment *e, const droplet_batch *b, int i)
{
    for (int p = 0; p < PLACES; p++)
        e->sum[p] += (b->found[i] & DROPLET_LANDED) != 0 && (double)b->x_m[i] <= place_m[p];
}

/* Deposit density (b / x)^p exp(-b / x) / (x Gamma(p)), p = vs / 0.12, b = u h / 0.12, by the midpoint rule. */
static double settled_by(double p, double b_m, double x_m)
{
    enum { STEPS = 4000 };
    double sum = 0.0;
    for (int i = 0; i < STEPS; i++) {
        const double x = x_m * (i + 0.5) / STEPS;
        sum += pow(b_m / x, p) * exp(-b_m / x) / (x * tgamma(p)) * x_m / STEPS;
    }
    return sum;
}

static double diameter_that_falls_m(double speed_m_s, const base_air *air)
{
    double low = 5e-6, high = 100e-6;
    for (int k = 0; k < 60; k++) {
        const double middle = 0.5 * (low + high);
        if (droplet_settling_speed_m_s(middle, FLIGHT_BOX_DENSITY_KG_M3, 0.0727, air) < speed_m_s)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static drupelet_status check_plume(verify_list *list)
{
    const base_air air = base_moist_air(293.15, 1.0, 101325.0);
    double down[PLACES] = {0};
    experiment e = {.end_s = 1e6,
                    .top_m = 120.0,
                    .floor_m = 0.03,
                    .start_z_m = start_at_2_m,
                    .diameter_m = diameter_that_falls_m(PLUME_FALL_M_S, &air),
                    .fall_m_s = PLUME_FALL_M_S,
                    .batches = 240,
                    .look = count_settled,
                    .sum = down};
    flight_box box;
    drupelet_status status = flight_box_open(&box, plume_air, e.top_m, 0.05, e.floor_m, 1.0);
    if (status.code == DRUPELET_OK) {
        box.setting.high_x_m = (float)(place_m[PLACES - 1] + 20.0);
        status = carry_out(&e, &box);
    }
    for (int p = 0; p < PLACES; p++)
        verify_compare(list, &settled, settled_by(PLUME_FALL_M_S / 0.12, 50.0, place_m[p]),
                       down[p] / (e.batches * DROPLET_LANES), "share of a plume settled within %g m", place_m[p]);
    flight_box_close(&box);
    return status;
}

drupelet_status verify_dispersion(verify_list *list)
{
    drupelet_status status = check_mixed(list);
    if (status.code == DRUPELET_OK)
        status = check_taylor(list);
    if (status.code == DRUPELET_OK)
        status = check_plume(list);
    return status;
}
