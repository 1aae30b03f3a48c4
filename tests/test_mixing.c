/* tests/test_mixing.c - a passing sprayer's air neither gathers tracers nor drives them off. */
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

enum { BATCHES = 2400, LAYERS = 6, STRIPS = 5 };

/* Tracers fill this box evenly, sprayer's frame at the start: it stands at 0 and drives on for TIME_S. */
#define HALF_WIDTH_M 9.0
#define TOP_M 8.0
#define FIRST_M (-2.0)
#define LAST_M 28.0
#define TIME_S 18.0

typedef struct {
    drupelet_scenario *scenario;
    orchard_canopy *canopy;
    air_field *field;
    sprayer_work work;
    droplet_setting setting;
} bare_pass;

/* The apple wall's sprayer without trees, grass, wind or drying; nothing catches a tracer and the domain has no end. */
/* @param outlets override of the outlets, or NULL */
static void open_pass(bare_pass *p, const char *outlets)
{
    const char *const set[] = {"weather.wind_speed=0.01 m/s", "canopy.leaf_area_index=0",
                                      "canopy.wood_area_index=0.0001", "orchard.grass_height=0",
                                      "weather.relative_humidity=100 %", outlets};
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", set, outlets ? 6 : 5, &p->scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s", status.message);
    assert_int_equal(orchard_create(p->scenario, &p->canopy).code, DRUPELET_OK);
    assert_int_equal(sprayer_work_out(p->scenario, &p->work).code, DRUPELET_OK);
    assert_int_equal(air_field_create(p->scenario, p->canopy, &p->work, NULL, 2, &p->field).code, DRUPELET_OK);
    droplet_setting_make(p->scenario, &p->work, p->canopy, p->field, 1, NULL, &p->setting);
    memset(p->canopy->wood_area_density_1_m, 0, sizeof(float) * (size_t)orchard_voxels(p->canopy));
    p->setting.low_x_m = -1e9f;
    p->setting.high_x_m = p->setting.top_m = p->setting.time_limit_s = 1e9f;
}

static void close_pass(bare_pass *p)
{
    air_field_free(p->field);
    orchard_free(p->canopy);
    drupelet_scenario_free(p->scenario);
}

static void fill(const bare_pass *p, int i_pass, droplet_batch *b, int batch)
{
    memset(b, 0, sizeof *b);
    for (int i = 0; i < DROPLET_LANES; i++) {
        const uint64_t id = (uint64_t)(batch * DROPLET_LANES + i);
        uint32_t bits[8];
        double normals[4];
        base_random_block(9, BASE_STREAM_CHECK, id, 0, bits);
        base_random_block(9, BASE_STREAM_CHECK, id, 1, bits + 4);
        base_normal_pair(bits[4], bits[5], normals);
        base_normal_pair(bits[6], bits[7], normals + 2);
        const double along_m = FIRST_M + (LAST_M - FIRST_M) * base_uniform(bits[2]);
        b->x_m[i] = p->setting.pass_x_m[i_pass] + (float)(HALF_WIDTH_M * (2.0 * base_uniform(bits[0]) - 1.0));
        b->y_m[i] = p->setting.pass_heading[i_pass] * (float)along_m;
        b->z_m[i] = p->setting.floor_m + (float)(TOP_M * base_uniform(bits[1]));
        b->eddy_x[i] = (float)normals[0];
        b->eddy_y[i] = (float)normals[1];
        b->eddy_z[i] = (float)normals[2];
        b->diameter_m[i] = b->whole_m[i] = 1e-6f;
        b->density_kg_m3[i] = 998.2f;
        b->path_limit[i] = 1e30f;
        b->aloft[i] = 1.0f;
        b->i_pass[i] = i_pass;
        b->id_low[i] = (uint32_t)id;
    }
}

/* Thomson's well-mixed condition (J. Fluid Mech. 180 (1987) 529) for the whole field of a pass: jets, entrained air,
 * borders of the grid. Counted well inside the box, after the sprayer has gone by. 8 %: counting noise is 2 to 3 %. */
static void check_pass(const char *outlets)
{
    static bare_pass p;
    static droplet_batch b;
    double layer[LAYERS] = {0}, strip[STRIPS] = {0};
    open_pass(&p, outlets);
    const int i_pass = p.work.n_passes / 2;
    const droplet_flight flight = droplet_flight_pick();
    for (int batch = 0; batch < BATCHES; batch++) {
        fill(&p, i_pass, &b, batch);
        for (int in_flight = DROPLET_LANES; in_flight > 0;) {
            flight(&p.setting, &b);
            for (int i = 0; i < DROPLET_LANES; i++) {
                if (b.aloft[i] == 0.0f)
                    continue;
                if (b.z_m[i] < p.setting.floor_m) /* its own small fall */
                    b.z_m[i] = 2.0f * p.setting.floor_m - b.z_m[i];
                if ((double)b.time_s[i] < TIME_S)
                    continue;
                b.aloft[i] = 0.0f;
                in_flight--;
                const float over_s = b.time_s[i] - (float)TIME_S; /* back to the time asked for: steps differ */
                const double across_m = (double)(b.x_m[i] - b.u_m_s[i] * over_s - p.setting.pass_x_m[i_pass]);
                const double up_m = fabs((double)(b.z_m[i] - b.w_m_s[i] * over_s - p.setting.floor_m));
                const double along_m =
                    (double)(p.setting.pass_heading[i_pass] * (b.y_m[i] - b.v_m_s[i] * over_s));
                if (fabs(across_m) >= 5.0 || along_m < 6.0 || along_m >= 16.0 || up_m >= LAYERS)
                    continue;
                layer[(int)up_m] += 1.0;
                strip[(int)((across_m + 5.0) / 2.0)] += 1.0;
            }
        }
    }
    const double per_m3 = BATCHES * DROPLET_LANES / (2.0 * HALF_WIDTH_M * TOP_M * (LAST_M - FIRST_M));
    for (int l = 0; l < LAYERS; l++)
        print_message("layer %d to %d m: %.3f\n", l, l + 1, layer[l] / (per_m3 * 10.0 * 10.0));
    for (int s = 0; s < STRIPS; s++)
        print_message("strip %d to %d m across: %.3f\n", 2 * s - 5, 2 * s - 3,
                      strip[s] / (per_m3 * 2.0 * 10.0 * LAYERS));
    close_pass(&p);
    for (int l = 0; l < LAYERS; l++)
        assert_close(layer[l] / (per_m3 * 10.0 * 10.0), 1.0, 0.08, 0.0);
    for (int s = 0; s < STRIPS; s++)
        assert_close(strip[s] / (per_m3 * 2.0 * 10.0 * LAYERS), 1.0, 0.08, 0.0);
}

static void passing_sprayer_leaves_tracers_even(void **state)
{
    (void)state;
    check_pass(NULL);
}

/* Round jets have sharper edges and gaps between them. */
static void passing_spouts_leave_tracers_even(void **state)
{
    (void)state;
    check_pass("sprayer.outlets=[{kind: spout, diameter: 20 cm, offset: 0.4 m, height: 1.2 m},"
               "{kind: spout, diameter: 20 cm, offset: 0.4 m, height: 1.8 m, tilt: 20 deg},"
               "{kind: spout, diameter: 20 cm, offset: 0.4 m, height: 2.4 m, tilt: 30 deg, back: 20 deg}]");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(passing_sprayer_leaves_tracers_even),
                                       cmocka_unit_test(passing_spouts_leave_tracers_even)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
