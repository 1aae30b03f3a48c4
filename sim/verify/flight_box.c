/* sim/verify/flight_box.c - makes a droplet_setting by hand: one column of air, no canopy, no grass, no sprayer. */
#include "verify/flight_box.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "base/status.h"

drupelet_status flight_box_open(flight_box *box, box_profile profile, double top_m, double dz_m, double floor_m,
                                double humidity)
{
    const base_air air = base_moist_air(293.15, humidity, 101325.0);
    const int nz = (int)ceil(top_m / dz_m) + 2;
    droplet_setting *s = &box->setting;
    memset(box, 0, sizeof *box);
    box->node = calloc((size_t)(nz * 2 * 2 * AIR_VALUES), sizeof *box->node);
    if (!box->node)
        return base_error(DRUPELET_MEMORY, "no memory for the air of a check");
    for (int k = 0; k < nz; k++) {
        const box_air a = profile(k * dz_m);
        for (int n = 0; n < 4; n++) {
            float *node = box->node + AIR_VALUES * (4 * k + n);
            node[AIR_U] = (float)a.u_m_s;
            node[AIR_SIGMA] = (float)a.sigma_m_s;
            node[AIR_RATE] = (float)(1.0 / a.time_scale_s);
            node[AIR_SIGMA_LEVEL] = (float)(a.sigma_level_m_s > 0.0 ? a.sigma_level_m_s : a.sigma_m_s);
        }
    }
    s->node = box->node;
    s->ambient_nx = s->ambient_ny = 2;
    s->ambient_nz = nz;
    s->near_nx = s->near_ny = s->near_nz = 2;
    s->near_x_first_m = 1.0f; /* an empty box: nothing is near the sprayer */
    s->near_x_last_m = -1.0f;
    s->near_per_dx = s->near_per_dy = s->near_per_dz = 1.0f;
    s->near_step_m = 1.0f;
    s->ambient_x_first_m = -1e6f;
    s->ambient_per_dx = 5e-7f;
    s->ambient_per_dz = (float)(1.0 / dz_m);
    s->pass_heading[0] = 1.0f;
    s->leaf_area_density_1_m = s->wood_area_density_1_m = box->no_leaf;
    s->canopy_nx = s->canopy_ny = s->canopy_nz = 1;
    s->row_spacing_m = s->per_edge = s->per_period = 1.0f;
    s->canopy_step_m = 1.0f;
    s->canopy_top_m = -1.0f;
    s->leaf_width_m = s->grass_width_m = 0.01f;
    droplet_setting_wood(0.01, s);
    s->angle_ratio = 1.0f;
    s->per_angle_area = 0.5f;
    s->clumping = 1.0f;
    s->grass_height_m = -1.0f;
    s->floor_m = (float)floor_m;
    droplet_setting_air(&air, FLIGHT_BOX_DENSITY_KG_M3, 0.0727, s); /* water at 20 degC */
    s->nonvolatile_root = 0.1f;
    s->low_x_m = -1e9f;
    s->high_x_m = 1e9f;
    s->top_m = (float)top_m;
    s->time_limit_s = 1e9f;
    s->step_scale = 1.0f;
    for (int p = 0; p < DROPLET_PLANES; p++)
        s->plane_x_m[p] = INFINITY;
    s->seed_low = 12345;
    return base_ok();
}

void flight_box_close(flight_box *box)
{
    free(box->node);
    box->node = NULL;
}

void flight_box_park(droplet_batch *b, uint32_t first_id)
{
    memset(b, 0, sizeof *b);
    for (int i = 0; i < DROPLET_LANES; i++) {
        b->diameter_m[i] = b->whole_m[i] = 1e-4f;
        b->density_kg_m3[i] = (float)FLIGHT_BOX_DENSITY_KG_M3;
        b->z_m[i] = 1.0f;
        b->path_limit[i] = 1e30f;
        b->id_low[i] = first_id + (uint32_t)i;
    }
}

void flight_box_place(const flight_box *box, droplet_batch *b, int i, double x_m, double z_m, double diameter_m)
{
    uint32_t bits[4];
    double normals[4];
    const droplet_setting *s = &box->setting;
    base_random_block(77, BASE_STREAM_CHECK, b->id_low[i], 0, bits);
    base_normal_pair(bits[0], bits[1], normals);
    base_normal_pair(bits[2], bits[3], normals + 2);
    const int k = (int)(z_m * (double)s->ambient_per_dz);
    b->x_m[i] = (float)x_m;
    b->y_m[i] = 0.0f;
    b->z_m[i] = (float)z_m;
    b->eddy_x[i] = (float)normals[0];
    b->eddy_y[i] = (float)normals[1];
    b->eddy_z[i] = (float)normals[2];
    const float *node = box->node + AIR_VALUES * 4 * k;
    b->u_m_s[i] = node[AIR_U] + node[AIR_SIGMA_LEVEL] * b->eddy_x[i];
    b->v_m_s[i] = node[AIR_SIGMA_LEVEL] * b->eddy_y[i];
    b->turbulent_u_m_s[i] = node[AIR_SIGMA_LEVEL] * b->eddy_x[i];
    b->turbulent_v_m_s[i] = node[AIR_SIGMA_LEVEL] * b->eddy_y[i];
    b->w_m_s[i] = b->turbulent_w_m_s[i] = node[AIR_SIGMA] * b->eddy_z[i];
    b->next_s[i] = 0.0f;
    b->diameter_m[i] = b->whole_m[i] = (float)diameter_m;
    b->time_s[i] = 0.0f;
    b->evaporated[i] = 0.0f;
    b->step[i] = 0;
    b->aloft[i] = 1.0f;
}
