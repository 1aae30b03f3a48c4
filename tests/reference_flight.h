/* tests/reference_flight.h - the flight of one droplet in double precision, written plainly: what the batch kernel
 * (sim/droplet/kernel_flight.c) is held against.
 *
 * The equations are those of docs/theory.md, sections 7 to 9; their numbers stand beside the lines. Nothing is shared
 * with the kernel but the numbers that describe the case: velocities and turbulence at the air's nodes (single
 * precision, as they are stored), leaf area by voxel, the fitted drying law and drag of flattened drops. Left out: a
 * temperature of the droplet's own and the spray's own vapour (section 7.4). */
#ifndef TESTS_REFERENCE_FLIGHT_H
#define TESTS_REFERENCE_FLIGHT_H

#include <stdbool.h>
#include <stdint.h>

#include "air/air.h"
#include "droplet/kernel.h"
#include "orchard/orchard.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"

/** A grid of air: node (k, i, j) is the eight numbers from node[first + 8 ((k nx + i) ny + j)] on; k up, i across, j
 * along. Their order is that of the enumeration. */
enum {
    REFERENCE_U, REFERENCE_V, REFERENCE_W, REFERENCE_GIVEN, REFERENCE_SIGMA, REFERENCE_RATE, REFERENCE_LEVEL,
    REFERENCE_VALUES = 8
};
typedef struct {
    int64_t first;
    int nx, ny, nz;
    double x_first_m, y_first_m, dx_m, dy_m, dz_m;
    const double *x_m; /* [nx] places of the nodes across, where they are not even; NULL: they are */
} reference_grid;

typedef struct {
    float *node; /* all grids; owned */
    double *ambient_x_m; /* owned */
    int64_t n_floats;
    int n_passes;
    reference_grid pass[DROPLET_PASSES], ambient;
    double pass_x_m[DROPLET_PASSES], heading[DROPLET_PASSES], travel_speed_m_s;
} reference_air;

/** All that a flight depends on. */
typedef struct {
    reference_air air;
    bool turbulent;     /* false: no eddies, and no step is shorter for their sake */
    double step_scale;  /* of every limit on the length of a step, as run.step */
    uint64_t seed;
    /* canopy, [row][z][y][x], borrowed; grass */
    const float *leaf_area_density_1_m, *wood_area_density_1_m;
    int n_rows, canopy_nx, canopy_ny, canopy_nz;
    double row_spacing_m, half_width_m, edge_m, edge_y_m, period_m, block_low_m, block_high_m;
    double clumping, leaf_width_m, leaf_angle_ratio, per_angle_area;
    droplet_wood wood;
    double grass_height_m, grass_density_1_m, grass_width_m;
    bool fine_catch, hidden_by_catch; /* (9.1) to (9.3) */
    double hair_share;
    /* air and liquid */
    double air_density_kg_m3, air_viscosity_Pa_s, mean_free_path_m, nonvolatile;
    double drying_base_m2_s, drying_moving_m2_s, drying_split, drying_still_m2_s, drying_square_m2_s;
    double deform_from_m, deform[DROPLET_DEFORM];
    /* domain */
    double floor_m, low_x_m, high_x_m, top_m, time_limit_s;
} reference_setting;

/** State of a droplet. Names as in droplet_batch (kernel.h). */
typedef struct {
    double place_m[3], velocity_m_s[3];
    double eddy[3];             /* fluctuation of the air over its sigma */
    double air_m_s[3];          /* as the last step left it, fluctuation included */
    double turbulent_m_s[3], eddy_m_s[3];
    double diameter_m, whole_m, density_kg_m3, evaporated;
    double time_s, path, path_limit, phase_m;
    double next_s;              /* length of the next step; 0, after a start or an impact: the shortest */
    int i_pass;
    uint64_t id;
    uint32_t step;
    /* out */
    double step_s, leaf_rate_1_s, wood_rate_1_s, grass_rate_1_s;
    double given;               /* share of the leaves that has given way */
    int voxel;                  /* of the canopy, or -1 */
} reference_droplet;

/** What the air says at a place; without turbulence all that concerns it is 0. */
typedef struct {
    double mean_m_s[3], given, sigma_m_s[3], rate_1_s;
    double slope_1_s[3];        /* d sigma_i / dx_i */
    double rate_slope_1_m_s[3]; /* gradient of the rate */
    double frame_v_m_s;         /* speed along y of the frame in which the air is steady */
    bool near_by;               /* in the grid of the pass */
} reference_reading;

/** Gathers the setting from a case; the kernel's setting gives the drying law, the drag of flattened drops and the
 * domain. The caller ends it with reference_setting_free(). @return false where there is no memory */
bool reference_setting_make(const drupelet_scenario *scenario, const sprayer_work *work, const orchard_canopy *canopy,
                            const air_field *field, const droplet_setting *kernel, reference_setting *setting);
void reference_setting_free(reference_setting *setting);

/** Takes over lane i of a batch, and puts back what an encounter needs to know of it. */
reference_droplet reference_of_lane(const droplet_batch *batch, int i);
void reference_to_lane(const reference_droplet *droplet, droplet_batch *batch, int i);

/** The grid that a droplet of a pass reads at a place, and where in it, in cells. @return true: the grid of the pass */
bool reference_locate(const reference_air *air, int i_pass, const double place_m[3], double time_s,
                      const reference_grid **grid, double at[3]);
/** The three standard normal numbers of the droplet's next step. */
void reference_normals(const reference_setting *setting, const reference_droplet *droplet, double normal[3]);
/** One step, of the length that the step before chose, but of longest_s at most. @return DROPLET_HIT, DROPLET_LANDED,
 * DROPLET_LEFT, DROPLET_LATE (kernel.h), or 0 */
int reference_step(const reference_setting *setting, reference_droplet *droplet, const double normal[3],
                   double longest_s);

/** The same flight as a system of ordinary differential equations, without turbulence, canopy and ground: x, y, z (m),
 * u, v, w (m/s), and d^2 over the square of the diameter at the start. */
enum { REFERENCE_STATES = 7 };
void reference_rates(const reference_setting *setting, const reference_droplet *start, double time_s,
                     const double state[REFERENCE_STATES], double rate[REFERENCE_STATES]);
/** Flies on to a time without turbulence, canopy and ground, with steps of step_scale times the usual ones. */
void reference_fly_calm(const reference_setting *setting, double step_scale, double time_s, reference_droplet *droplet);
/** The same with ever finer steps, until two halvings in a row move the end by less than within_m. @return how far the
 * last halving moved it, m */
double reference_fly_finely(const reference_setting *setting, double within_m, double time_s,
                            reference_droplet *droplet);

#endif
