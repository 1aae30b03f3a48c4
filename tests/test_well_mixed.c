/* tests/test_well_mixed.c - tracers that start evenly spread stay so: across the edge of the block in the assumed wind,
 * across edges and crowns in the computed one, and across the edge of a jet that passes. One more field, the air of a
 * canopy, is in `drupelet verify`; a whole pass in test_mixing.c. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "air/air.h"
#include "base/random.h"
#include "check.h"
#include "droplet/kernel.h"
#include "verify/flight_box.h"

enum { LAYERS = 20 };

/* A tracer: so small that it follows the air; its own fall is taken back at the floor. */
static void put(const droplet_setting *s, droplet_batch *b, int i, uint32_t id, double x_m, double y_m, double z_m)
{
    uint32_t bits[4];
    double normals[4];
    base_random_block(11, BASE_STREAM_CHECK, id, 1, bits);
    base_normal_pair(bits[0], bits[1], normals);
    base_normal_pair(bits[2], bits[3], normals + 2);
    b->x_m[i] = (float)x_m;
    b->y_m[i] = (float)y_m;
    b->z_m[i] = s->floor_m + (float)z_m;
    b->eddy_x[i] = (float)normals[0];
    b->eddy_y[i] = (float)normals[1];
    b->eddy_z[i] = (float)normals[2];
    b->diameter_m[i] = b->whole_m[i] = 1e-6f;
    b->density_kg_m3[i] = 998.2f;
    b->path_limit[i] = 1e30f;
    b->aloft[i] = 1.0f;
    b->id_low[i] = id;
}

typedef void (*start)(const droplet_setting *s, droplet_batch *b, int i, uint32_t id);
/* Layer of a tracer at the end, or -1. */
typedef int (*layer_of)(const droplet_setting *s, const droplet_batch *b, int i);

static void count_layers(const droplet_setting *s, int batches, double end_s, start begin, layer_of find,
                         int64_t layer[LAYERS])
{
#pragma omp parallel
    {
        const droplet_flight flight = droplet_flight_pick();
        droplet_batch *b = aligned_alloc(64, (sizeof *b + 63) / 64 * 64);
        int64_t own[LAYERS] = {0};
#pragma omp for schedule(dynamic, 16)
        for (int batch = 0; batch < batches; batch++) {
            memset(b, 0, sizeof *b);
            for (int i = 0; i < DROPLET_LANES; i++)
                begin(s, b, i, (uint32_t)(batch * DROPLET_LANES + i));
            for (int in_flight = DROPLET_LANES; in_flight > 0;) {
                for (int i = 0; i < DROPLET_LANES; i++) /* to the time asked for: where steps are long more would end */
                    b->next_s[i] = fminf(b->next_s[i], (float)end_s - b->time_s[i]);
                flight(s, b);
                for (int i = 0; i < DROPLET_LANES; i++) {
                    if (b->aloft[i] == 0.0f)
                        continue;
                    if (b->z_m[i] < s->floor_m)
                        b->z_m[i] = 2.0f * s->floor_m - b->z_m[i];
                    if ((double)b->time_s[i] < end_s)
                        continue;
                    b->aloft[i] = 0.0f;
                    in_flight--;
                    const int at = find(s, b, i);
                    if (at >= 0)
                        own[at]++;
                }
            }
        }
#pragma omp critical
        for (int l = 0; l < LAYERS; l++)
            layer[l] += own[l];
        free(b);
    }
}

/* 1 %, or three standard errors of the count where that is more. */
static void assert_even(const char *what, const int64_t layer[LAYERS], double expected)
{
    double worst = 0.0;
    for (int l = 0; l < LAYERS; l++)
        worst = fmax(worst, fabs((double)layer[l] / expected - 1.0));
    print_message("%s: worst of %d layers off by %.2f %% (one standard error: %.2f %%)\n", what, LAYERS, 100.0 * worst,
                  100.0 / sqrt(expected));
    assert_true(worst < fmax(0.01, 3.0 / sqrt(expected)));
}

/* ---- in the wind over and around the block ---- */
#define WIND_TIME_S 5.0
#define WIND_TOP_M 16.0 /* tracers start below it */
#define SEEN_TOP_M 6.0  /* and are counted below this */

/* Between which places tracers start and are counted: the first reach farther by what the wind may carry them. */
typedef struct { double start_low_m, start_high_m, seen_low_m, seen_high_m; } stretch;
static const stretch leeward_edge = {-28.0, 30.0, -4.0, 12.0};
static const stretch whole_block = {-58.0, 34.0, -34.0, 12.0}; /* rows from -24.5 to 0 m, edges at -26.25 and 1.75 m */

static void start_between(const stretch *between, const droplet_setting *s, droplet_batch *b, int i, uint32_t id)
{
    uint32_t bits[4];
    base_random_block(11, BASE_STREAM_CHECK, id, 0, bits);
    put(s, b, i, id, between->start_low_m + (between->start_high_m - between->start_low_m) * base_uniform(bits[0]), 0.0,
        WIND_TOP_M * base_uniform(bits[1]));
}

static bool is_seen(const stretch *between, const droplet_setting *s, const droplet_batch *b, int i)
{
    return (double)b->x_m[i] >= between->seen_low_m && (double)b->x_m[i] < between->seen_high_m
           && (double)(b->z_m[i] - s->floor_m) < SEEN_TOP_M;
}

static int layer_up(const stretch *between, const droplet_setting *s, const droplet_batch *b, int i)
{
    return is_seen(between, s, b, i) ? (int)((double)(b->z_m[i] - s->floor_m) / SEEN_TOP_M * LAYERS) : -1;
}

static void start_at_edge(const droplet_setting *s, droplet_batch *b, int i, uint32_t id)
{
    start_between(&leeward_edge, s, b, i, id);
}

static int layer_at_edge(const droplet_setting *s, const droplet_batch *b, int i)
{
    return layer_up(&leeward_edge, s, b, i);
}

static void start_around_block(const droplet_setting *s, droplet_batch *b, int i, uint32_t id)
{
    start_between(&whole_block, s, b, i, id);
}

static int layer_over_block(const droplet_setting *s, const droplet_batch *b, int i)
{
    return layer_up(&whole_block, s, b, i);
}

static int layer_across_block(const droplet_setting *s, const droplet_batch *b, int i)
{
    const double width_m = whole_block.seen_high_m - whole_block.seen_low_m;
    return is_seen(&whole_block, s, b, i) ? (int)(((double)b->x_m[i] - whole_block.seen_low_m) / width_m * LAYERS) : -1;
}

/* D. J. Thomson, J. Fluid Mech. 180 (1987) 529. Wind of 3 m/s around the full-leaf wall, no fan, no grass, and nothing
 * that catches. */
static void check_wind(const char *what, const char *wind, const stretch *between, int batches, start begin,
                       layer_of find)
{
    const char *const set[] = {"sprayer.fan.speed=0 rpm", "orchard.grass_height=0", "weather.relative_humidity=100 %",
                               "sprayer.alleys=[4]", wind};
    static droplet_setting setting;
    drupelet_scenario *scenario = NULL;
    orchard_canopy *canopy = NULL;
    air_field *field = NULL;
    static sprayer_work work;
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set, 5, &scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    assert_int_equal(orchard_create(scenario, &canopy).code, DRUPELET_OK);
    assert_int_equal(sprayer_work_out(scenario, &work).code, DRUPELET_OK);
    assert_int_equal(air_field_create(scenario, canopy, &work, NULL, 2, &field).code, DRUPELET_OK);
    droplet_setting_make(scenario, &work, canopy, field, 1, NULL, &setting);
    memset(canopy->leaf_area_density_1_m, 0, sizeof(float) * (size_t)orchard_voxels(canopy));
    memset(canopy->wood_area_density_1_m, 0, sizeof(float) * (size_t)orchard_voxels(canopy));
    setting.near_x_first_m = 1.0f; /* nothing is near the sprayer: the wind alone */
    setting.near_x_last_m = -1.0f;
    setting.low_x_m = -1e9f;
    setting.high_x_m = setting.top_m = setting.time_limit_s = 1e9f;
    int64_t layer[LAYERS] = {0};
    count_layers(&setting, batches, WIND_TIME_S, begin, find, layer);
    air_field_free(field);
    orchard_free(canopy);
    drupelet_scenario_free(scenario);
    assert_even(what, layer,
                (double)batches * DROPLET_LANES * (between->seen_high_m - between->seen_low_m) * SEEN_TOP_M
                    / ((between->start_high_m - between->start_low_m) * WIND_TOP_M * LAYERS));
}

static void tracers_stay_even_across_the_edge_of_the_block(void **state)
{
    (void)state;
    check_wind("edge of the block", "run.wind=profiles", &leeward_edge, 96000, start_at_edge, layer_at_edge);
}

static void tracers_stay_even_in_the_computed_wind(void **state)
{
    (void)state;
    check_wind("computed wind, by height", "run.wind=computed", &whole_block, 24000, start_around_block,
               layer_over_block);
    check_wind("computed wind, across edges and crowns", "run.wind=computed", &whole_block, 24000, start_around_block,
               layer_across_block);
}

/* ---- across a jet that passes ---- */
#define JET_HALF_WIDTH_M 0.3
#define JET_SPEED_M_S 12.0
#define JET_STEP_M 0.1
#define JET_TRAVEL_M_S 1.6
#define JET_REACH_M 3.0
#define JET_TIME_S 6.0
#define JET_BOX_LOW_M (-1.0)
#define JET_BOX_HIGH_M 14.0

/* Along the travel direction, in a frame that moves: air across the rows like exp(-ln 2 (y / b)^2), its turbulence k =
 * 0.075 Ue^2 and dissipation 0.016 Ue^3 / b on the axis, in calm air. The same everywhere along x and z, so that the
 * mean flow is free of divergence. */
static void fill_jet(droplet_setting *s, float *node, int ny)
{
    for (int j = 0; j < ny; j++) {
        const double off_m = (j * JET_STEP_M - JET_REACH_M) / JET_HALF_WIDTH_M;
        const double shape = exp(-log(2.0) * off_m * off_m), k = 0.075 * JET_SPEED_M_S * JET_SPEED_M_S * shape;
        const double calm = 0.15 * 0.15, rate_calm_1_s = 0.5,
                     dissipation = 0.016 * pow(JET_SPEED_M_S, 3.0) / 0.3 * shape;
        const double variance = calm + k / 1.5;
        for (int n = 0; n < 4; n++) {
            float *at = node + AIR_VALUES * (n * ny + j);
            at[AIR_U] = (float)(JET_SPEED_M_S * shape);
            at[AIR_SIGMA] = at[AIR_SIGMA_LEVEL] = (float)sqrt(variance);
            at[AIR_RATE] = (float)((calm * rate_calm_1_s + 0.5 * 3.1 * dissipation) / variance);
        }
    }
    s->near_nx = s->near_nz = 2;
    s->near_ny = ny;
    s->near_x_first_m = -1e5f;
    s->near_x_last_m = 1e5f;
    s->near_per_dx = 5e-6f;
    s->near_y_first_m = -(float)JET_REACH_M;
    s->near_y_last_m = (float)JET_REACH_M;
    s->near_per_dy = (float)(1.0 / JET_STEP_M);
    s->near_z_last_m = 1e5f;
    s->near_per_dz = 1e-5f;
    s->near_step_m = (float)JET_STEP_M;
    s->travel_speed_m_s = (float)JET_TRAVEL_M_S;
}

static box_air calm_air(double z_m)
{
    (void)z_m;
    return (box_air){.sigma_m_s = 0.15, .time_scale_s = 2.0};
}

static void start_before_jet(const droplet_setting *s, droplet_batch *b, int i, uint32_t id)
{
    uint32_t bits[4];
    base_random_block(11, BASE_STREAM_CHECK, id, 0, bits);
    put(s, b, i, id, 0.0, JET_BOX_LOW_M + (JET_BOX_HIGH_M - JET_BOX_LOW_M) * base_uniform(bits[0]), 50.0);
}

/* Layers of the jet's frame, from far behind to far ahead of it. */
static int layer_by_jet(const droplet_setting *s, const droplet_batch *b, int i)
{
    /* back to the time asked for: ahead of the jet steps are long, and the jet comes nearer by them */
    const double over_s = (double)b->time_s[i] - JET_TIME_S;
    const double y_m = (double)b->y_m[i] - (double)b->v_m_s[i] * over_s - (double)s->travel_speed_m_s * JET_TIME_S;
    return fabs(y_m) < 2.0 ? (int)((y_m + 2.0) / 4.0 * LAYERS) : -1;
}

static void tracers_stay_even_across_a_passing_jet(void **state)
{
    (void)state;
    flight_box box;
    assert_int_equal(flight_box_open(&box, calm_air, 200.0, 100.0, 0.01, 1.0).code, DRUPELET_OK);
    const int ny = (int)lround(2.0 * JET_REACH_M / JET_STEP_M) + 1, batches = 18000;
    const int64_t ambient = (int64_t)AIR_VALUES * 2 * 2 * box.setting.ambient_nz;
    float *node = calloc((size_t)(ambient + (int64_t)AIR_VALUES * 4 * ny), sizeof *node);
    assert_non_null(node);
    memcpy(node, box.node, sizeof *node * (size_t)ambient);
    fill_jet(&box.setting, node + ambient, ny);
    box.setting.node = node;
    box.setting.pass_first[0] = (int32_t)ambient;
    int64_t layer[LAYERS] = {0};
    count_layers(&box.setting, batches, JET_TIME_S, start_before_jet, layer_by_jet, layer);
    free(node);
    flight_box_close(&box);
    assert_even("passing jet", layer,
                (double)batches * DROPLET_LANES * 4.0 / ((JET_BOX_HIGH_M - JET_BOX_LOW_M) * LAYERS));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tracers_stay_even_across_the_edge_of_the_block),
        cmocka_unit_test(tracers_stay_even_in_the_computed_wind),
        cmocka_unit_test(tracers_stay_even_across_a_passing_jet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
