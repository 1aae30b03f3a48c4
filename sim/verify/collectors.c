/* sim/verify/collectors.c - virtual collectors beside worked values, and beside what they must catch of a cloud that is
 * the same everywhere and settles: the kernel flies it past them. */
#include <math.h>
#include <stdlib.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "run/collect.h"
#include "verify/checks.h"
#include "verify/flight_box.h"

static double line_catch(const verify_table *t, int row)
{
    const base_air air = base_moist_air(293.15, 0.0, 101325.0);
    return droplet_line_efficiency(1e-6 * verify_table_number(t, row, "diameter_um"), 998.2,
                                   1e-3 * verify_table_number(t, row, "line_mm"),
                                   verify_table_number(t, row, "wind_m_s"), &air);
}

static double stain_um2(const verify_table *t, int row)
{
    return 1e12 * droplet_stain_m2(1e-6 * verify_table_number(t, row, "droplet_diameter_um"));
}

static const verify_model models[] = {{"line_catch", line_catch}, {"stain_um2", stain_um2}};

/* ---- the cloud ---- */

enum { UP, SHOULDER, WINDWARD, LEE, DISH, LINE, PIECES };
#define WIND_M_S 2.0
#define CLOUD_M 50.0 /* and as wide a treated area: the whole cloud down on the ground is the rate */
#define START_M 3.0
#define BELOW_ALL_M 0.4
#define DIAMETER_M 100e-6

static box_air steady_air(double z_m)
{
    (void)z_m;
    return (box_air){.u_m_s = WIND_M_S, .sigma_m_s = 1e-6, .time_scale_s = 10.0};
}

/* Collectors around x = 0, 1 m above the ground. */
static void lay_out(drupelet_scenario *s)
{
    const double pi = BASE_PI;
    const scenario_collector all[PIECES] = {
        [UP] = {.kind = SCENARIO_CARD, .width_m = 0.3, .facing_rad = 0.5 * pi, .leaf_like = true,
                .water_sensitive = true},
        [SHOULDER] = {.kind = SCENARIO_CARD, .width_m = 0.3, .facing_rad = 0.75 * pi},
        [WINDWARD] = {.kind = SCENARIO_CARD, .width_m = 0.3, .facing_rad = pi},
        [LEE] = {.kind = SCENARIO_CARD, .width_m = 0.3, .facing_rad = 0.0},
        [DISH] = {.kind = SCENARIO_DISH, .width_m = 0.3, .facing_rad = 0.5 * pi},
        [LINE] = {.kind = SCENARIO_LINE, .width_m = 0.002, .facing_rad = NAN, .segment_m = 1.0}};
    *s = (drupelet_scenario){.orchard = {.n_rows = 10, .row_spacing_m = CLOUD_M / 10.0},
                             .liquid = {.density_kg_m3 = FLIGHT_BOX_DENSITY_KG_M3},
                             .weather = {.temperature_K = 293.15, .relative_humidity = 1.0, .pressure_Pa = 101325.0,
                                         .roughness_m = 0.01},
                             .run = {.open_ground_m = 100.0},
                             .n_collectors = PIECES};
    for (int i = 0; i < PIECES; i++) {
        s->collector[i] = all[i];
        s->collector[i].height_m = i == LINE ? 0.5 : 1.0;
        s->collector[i].top_m = i == LINE ? 1.5 : 1.0;
    }
}

static drupelet_status fly_cloud(const run_collectors *r, tally *accounts,
                                 flight_box *box)
{
    const droplet_flight flight = droplet_flight_pick();
    const int64_t each = TALLY_PARTS / (TALLY_BATCHES * DROPLET_LANES);
    droplet_batch *b = aligned_alloc(64, (sizeof *b + 63) / 64 * 64);
    if (!b)
        return base_error(DRUPELET_MEMORY, "no memory for the checks of collectors");
    for (int batch = 0; batch < TALLY_BATCHES; batch++) {
        flight_box_park(b, (uint32_t)(batch * DROPLET_LANES));
        accounts->emitted[batch][0] = each * DROPLET_LANES;
        for (int i = 0; i < DROPLET_LANES; i++) { /* dealt out evenly: no noise of counting */
            const double x_m = -40.0 + CLOUD_M * (i * TALLY_BATCHES + batch + 0.5) / (TALLY_BATCHES * DROPLET_LANES);
            flight_box_place(box, b, i, x_m, START_M, DIAMETER_M);
        }
        for (int in_flight = DROPLET_LANES; in_flight > 0;) {
            flight(&box->setting, b);
            for (int i = 0; i < DROPLET_LANES; i++) {
                if (b->found[i] & DROPLET_COLLECT)
                    run_collect(r, accounts, batch, each, b, i);
                if (b->aloft[i] > 0.0f && (double)b->z_m[i] < BELOW_ALL_M) {
                    b->aloft[i] = 0.0f;
                    in_flight--;
                }
            }
        }
    }
    free(b);
    return base_ok();
}

static void compare_cloud(verify_list *list, const run_collectors *r, const tally *accounts)
{
    const double fall_m_s = droplet_settling_speed_m_s(DIAMETER_M, FLIGHT_BOX_DENSITY_KG_M3, 0.0727, &r->air);
    const double number_m2 = r->application_rate_m / (BASE_PI / 6.0 * base_pow(DIAMETER_M, 3.0));
    const double per = WIND_M_S / fall_m_s; /* across over down */
    const double line = droplet_line_efficiency(DIAMETER_M, FLIGHT_BOX_DENSITY_KG_M3, 0.002, WIND_M_S, &r->air);
    const struct { const char *what; int piece; tally_catch which; double expected; } check[] = {
        {"card facing up", UP, TALLY_CAUGHT, 1.0},
        {"droplets a cm2 of it", UP, TALLY_DROPLETS, 1e-4 * number_m2},
        {"stains on it, area over area", UP, TALLY_STAINS, number_m2 * droplet_stain_m2(DIAMETER_M)},
        {"dish, 1 m up", DISH, TALLY_CAUGHT, 1.0},
        {"card facing the wind, all caught", WINDWARD, TALLY_CAUGHT, per},
        {"card halfway between, all caught", SHOULDER, TALLY_CAUGHT, (1.0 + per) / sqrt(2.0)},
        {"line, passed", LINE, TALLY_PASSED, per},
        {"line, net", LINE, TALLY_NET, per},
        {"2 mm line, caught", LINE, TALLY_CAUGHT, per * line},
    };
    for (size_t i = 0; i < sizeof check / sizeof check[0]; i++)
        verify_compare(list, "collectors.balance", check[i].expected,
                       tally_collected(accounts, r->collector[check[i].piece].first_piece, 1, check[i].which)
                           .share,
                       "%s", check[i].what);
    verify_compare(list, "collectors.nothing", 0.0,
                   tally_collected(accounts, r->collector[LEE].first_piece, 1, TALLY_CAUGHT).share,
                   "card facing away from the wind");
}

static drupelet_status check_cloud(verify_list *list)
{
    drupelet_scenario *scenario = calloc(1, sizeof *scenario);
    sprayer_work *work = calloc(1, sizeof *work);
    tally_shape shape = {.n_rows = 1, .n_ground = 1, .n_flux = 1, .downwind = 1};
    run_collectors *r = NULL;
    tally *accounts = NULL;
    flight_box box = {0};
    drupelet_status status = scenario && work ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the checks");
    if (status.code == DRUPELET_OK) {
        lay_out(scenario);
        work->application_rate_m = 2e-5; /* 200 L/ha */
        work->treated_width_m = CLOUD_M;
        status = run_collectors_create(scenario, work, &r);
    }
    if (status.code == DRUPELET_OK) {
        shape.n_pieces = r->n_pieces;
        status = tally_create(&shape, &accounts);
    }
    if (status.code == DRUPELET_OK)
        status = flight_box_open(&box, steady_air, 10.0, 1.0, 0.01, 1.0);
    if (status.code == DRUPELET_OK) {
        run_collectors_watch(r, &box.setting);
        status = fly_cloud(r, accounts, &box);
    }
    if (status.code == DRUPELET_OK)
        compare_cloud(list, r, accounts);
    flight_box_close(&box);
    tally_free(accounts);
    run_collectors_free(r);
    free(work);
    free(scenario);
    return status;
}

drupelet_status verify_collectors(verify_list *list)
{
    const drupelet_status status = verify_columns(list, "collectors", models, sizeof models / sizeof models[0]);
    return status.code == DRUPELET_OK ? check_cloud(list) : status;
}
