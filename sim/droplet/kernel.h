/* sim/droplet/kernel.h - many droplets at once: one step of flight for a batch, in single precision. */
#ifndef DROPLET_KERNEL_H
#define DROPLET_KERNEL_H

#include <stdalign.h>
#include <stdint.h>

#include "air/air.h"
#include "base/moist_air.h"
#include "droplet/droplet.h"
#include "droplet/humidity.h"
#include "orchard/orchard.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"

enum {
    DROPLET_LANES = 64, /* a batch and what a step works out for it stay in the nearest cache */
    DROPLET_DEFORM = 3,
    DROPLET_PASSES = SCENARIO_ROWS + 1,
    DROPLET_PLANES = SCENARIO_PLANES
};

/** What a lane needs someone to look at after a step. */
enum {
    DROPLET_HIT = 1,     /* met a leaf, wood or grass */
    DROPLET_LANDED = 2,  /* on the ground */
    DROPLET_LEFT = 4,    /* through a face of the domain */
    DROPLET_LATE = 8,    /* time limit */
    DROPLET_CROSSED = 16,/* went through one of the counting planes */
    DROPLET_WATCHED = 32,/* its path is recorded */
    DROPLET_COLLECT = 64 /* came near a virtual collector */
};

/** All that the flight of a run's droplets depends on; read only, shared by threads. */
typedef struct {
    /* air */
    const float *node;
    int32_t pass_first[DROPLET_PASSES];
    float pass_x_m[DROPLET_PASSES], pass_heading[DROPLET_PASSES];
    int32_t near_nx, near_ny, near_nz, ambient_first, ambient_nx, ambient_ny, ambient_nz;
    float near_x_first_m, near_y_first_m, near_x_last_m, near_y_last_m, near_z_last_m;
    float near_per_dx, near_per_dy, near_per_dz;
    float ambient_x_first_m, ambient_per_dx, ambient_per_dz;
    /* nodes of the ambient grid are closer between two places, measured from its first: air_grid; all 0: nowhere */
    float ambient_fine_from_m, ambient_fine_m, ambient_finer_1_m; /* length; so many more nodes a metre */
    float travel_speed_m_s, near_step_m;
    /* canopy and grass */
    const float *leaf_area_density_1_m, *wood_area_density_1_m;
    int32_t n_rows, canopy_nx, canopy_ny, canopy_nz;
    float row_spacing_m, half_width_m, per_edge, per_period, canopy_step_m, canopy_top_m, block_low_m, block_high_m;
    float clumping, leaf_width_m, angle_ratio, per_angle_area; /* angle ratio squared is used */
    float wood_diameter_m[DROPLET_WOODS], wood_share[DROPLET_WOODS];
    float grass_height_m, grass_density_1_m, grass_width_m, floor_m;
    /* how they catch small droplets besides impaction (impaction.c); 0: they do not */
    float leaf_edge_1_m, leaf_edge_log, leaf_hair, wood_round_1_m[DROPLET_WOODS], grass_edge_1_m, grass_edge_log;
    float leaf_friction2, per_viscosity_s_m2; /* friction velocity on a leaf, squared, over |u|^1.5 */
    float clump_cover;               /* 0: clumping is that of what flies straight */
    /* air and liquid */
    float air_density_kg_m3, air_viscosity_Pa_s, slip_length_m,
        stokes_per_d2;                           /* tau = stokes_per_d2 * rho d^2 * slip */
    /* -d(d^2)/dt = base + moving * sqrt(re); where sqrt(re) < split, still + square * re */
    float drying_base_m2_s, drying_moving_m2_s, drying_split, drying_still_m2_s, drying_square_m2_s;
    /* what kernel_drying.h adds; drying_corrected 0: nothing, and the rest is not read */
    int32_t drying_corrected;
    float cool_kg_m_s, cool_bend_1_K;
    float extra_1, extra_2; /* lost of d^2, over density d^2: of the fall of the excess, of that of its square */
    float vent_base, vent_moving, vent_square;          /* ventilation: the form of drying, over that of still air */
    float moister[DROPLET_AGES + 1];
    /* the spray's air comes down by the age of a droplet, in proportion to the height up to a most; sinks 0: not so */
    int32_t sinks;
    float sink_rate_1_s[DROPLET_AGES + 1], sink_m_s[DROPLET_AGES + 1];
    float deform_from_m, deform[DROPLET_DEFORM]; /* extra drag of flattened drops: powers 1 to 3 of the excess in mm */
    float nonvolatile_root; /* cube root of the share that stays: smallest diameter over emitted diameter */
    /* domain */
    float low_x_m, high_x_m, top_m, time_limit_s, plane_x_m[DROPLET_PLANES];
    float step_scale; /* of every limit on the length of a step; 1 but for studies of convergence */
    uint32_t seed_low, seed_high;
    /* virtual collectors; n_gaps 0: none */
    const float *gap_m; /* [n_gaps], borrowed: from any place of a strip across to the nearest collector */
    int32_t n_gaps;
    float gap_first_x_m, per_gap, collector_low_m, collector_high_m; /* strips; heights between which all lie */
} droplet_setting;

/** State of a batch; element i of every array is lane i. A lane that is not in use has aloft = 0 and never moves. y is
 * measured from where the sprayer stood when it let the droplet go; the canopy is met at y + phase. Every array holds
 * four bytes a lane: lane.h moves droplets between lanes by that, and takes steps back. */
typedef struct {
    /* what a step changes */
    alignas(64) float x_m[DROPLET_LANES], y_m[DROPLET_LANES], z_m[DROPLET_LANES];
    alignas(64) float u_m_s[DROPLET_LANES], v_m_s[DROPLET_LANES], w_m_s[DROPLET_LANES];
    /* fluctuation of the air's velocity over sigma */
    alignas(64) float eddy_x[DROPLET_LANES], eddy_y[DROPLET_LANES], eddy_z[DROPLET_LANES];
    /* what of the droplet's velocity answers to the eddies */
    alignas(64) float turbulent_u_m_s[DROPLET_LANES], turbulent_v_m_s[DROPLET_LANES], turbulent_w_m_s[DROPLET_LANES];
    alignas(64) float diameter_m[DROPLET_LANES];
    alignas(64) float evaporated[DROPLET_LANES];  /* share of its whole volume, summed step by step */
    alignas(64) float excess_K[DROPLET_LANES];    /* temperature over the steady one; read where drying is corrected */
    alignas(64) float time_s[DROPLET_LANES];
    alignas(64) float next_s[DROPLET_LANES];      /* length of the next step; 0, after a start or an impact: shortest */
    alignas(64) float path[DROPLET_LANES];        /* leaf cover passed since the last impact */
    alignas(64) uint32_t step[DROPLET_LANES];     /* how many it has flown; the last of what a step changes */
    /* what stays */
    alignas(64) float path_limit[DROPLET_LANES];  /* cover at which it meets the next target: exponential */
    alignas(64) float whole_m[DROPLET_LANES];     /* diameter that it would have, had nothing evaporated */
    alignas(64) float density_kg_m3[DROPLET_LANES];
    alignas(64) float phase_m[DROPLET_LANES];
    alignas(64) float aloft[DROPLET_LANES];       /* 1 in flight, 0 not in use */
    alignas(64) int32_t i_pass[DROPLET_LANES];
    alignas(64) uint32_t id_low[DROPLET_LANES];
    alignas(64) uint32_t id_high[DROPLET_LANES];
    alignas(64) uint32_t passed[DROPLET_LANES];   /* targets that it has met and passed: for its random numbers */
    alignas(64) int32_t watched[DROPLET_LANES];   /* DROPLET_WATCHED or 0 */
    /* out: what the step found */
    alignas(64) int32_t found[DROPLET_LANES];
    /* as the step began; y and z are filled where there are collectors */
    alignas(64) float x_before_m[DROPLET_LANES], y_before_m[DROPLET_LANES], z_before_m[DROPLET_LANES];
    alignas(64) float step_s[DROPLET_LANES];
    /* air at the droplet as the step ended, fluctuation included */
    alignas(64) float air_u_m_s[DROPLET_LANES], air_v_m_s[DROPLET_LANES], air_w_m_s[DROPLET_LANES];
    /* the eddies' velocity then */
    alignas(64) float eddy_u_m_s[DROPLET_LANES], eddy_v_m_s[DROPLET_LANES], eddy_w_m_s[DROPLET_LANES];
    /* rates at which targets are met */
    alignas(64) float leaf_rate_1_s[DROPLET_LANES], wood_rate_1_s[DROPLET_LANES], grass_rate_1_s[DROPLET_LANES];
    alignas(64) float given[DROPLET_LANES];       /* share of the leaves that has given way to the air */
    alignas(64) int32_t voxel[DROPLET_LANES];     /* of the canopy, or -1 */
} droplet_batch;

/** Slip of lane i by its own momentum and weight, m/s: without its answer to the eddies, which lasts a relaxation time.
 */
static inline void droplet_own_slip(const droplet_batch *b, int i, double slip_m_s[3])
{
    slip_m_s[0] = (double)(b->u_m_s[i] - b->turbulent_u_m_s[i] - (b->air_u_m_s[i] - b->eddy_u_m_s[i]));
    slip_m_s[1] = (double)(b->v_m_s[i] - b->turbulent_v_m_s[i] - (b->air_v_m_s[i] - b->eddy_v_m_s[i]));
    slip_m_s[2] = (double)(b->w_m_s[i] - b->turbulent_w_m_s[i] - (b->air_w_m_s[i] - b->eddy_w_m_s[i]));
}

/** Gathers the setting. The air field and the canopy are borrowed. @param plane_x_m NULL: nothing is counted */
void droplet_setting_make(const drupelet_scenario *scenario, const sprayer_work *work, const orchard_canopy *canopy,
                          const air_field *field, uint64_t seed, const double plane_x_m[DROPLET_PLANES],
                          droplet_setting *setting);

/** The wood that droplets meet. @param diameter_m as of droplet_wood_of() */
void droplet_setting_wood(double diameter_m, droplet_setting *setting);

/** How slip quickens drying, by one of the laws, in the form that the kernel takes. */
void droplet_setting_drying(scenario_ventilation law, const base_air *air, droplet_setting *setting);
/** What a droplet of a liquid at a temperature of its own does until it is at its steady one. */
void droplet_setting_warmth(scenario_ventilation law, double liquid_K, const base_air *air, droplet_setting *setting);
/** Excess of such a droplet over its steady temperature as it leaves the nozzle, K. */
double droplet_first_excess_K(scenario_ventilation law, double liquid_K, const base_air *air);
/** The part of the setting that air and liquid decide; drying by the default law. */
void droplet_setting_air(const base_air *air, double density_kg_m3, double surface_tension_N_m,
                         droplet_setting *setting);

/** One step of every lane in use; found[] says which lanes need a look. Picks the widest vectors that the processor
 * has. */
typedef void (*droplet_flight)(const droplet_setting *setting, droplet_batch *batch);
droplet_flight droplet_flight_pick(void);
/** The name of the variant that it picks. */
const char *droplet_flight_name(void);
/** The variant of a name ("base", "v3", "v4"), or NULL where the program or the processor lacks it. */
droplet_flight droplet_flight_named(const char *name);

#endif
