/* sim/store/store.h - result files: HDF5 that opens as netCDF-4 (docs/result-format.md). The door of the module, and
 * the only module that knows HDF5. The writer is the public drupelet_result_write(). */
#ifndef STORE_STORE_H
#define STORE_STORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "drupelet/run.h"
#include "orchard/orchard.h"
#include "run/measured.h"
#include "tally/groups.h"
#include "tally/tally.h"

enum { STORE_FORMAT = 2 }; /* format number of docs/result-format.md */

/** A row and how its leaves did; thirds from bottom to top. */
typedef struct {
    double x_m;
    tally_estimate leaf[TALLY_THIRDS][TALLY_SIDES];
    tally_estimate together;                                     /* these and the next: NAN where the file lacks it */
    tally_estimate cover_percent[TALLY_THIRDS][TALLY_SIDES][2];  /* lower, upper side of leaves */
    tally_estimate droplets_1_cm2[TALLY_THIRDS][TALLY_SIDES][2]; /* those with a stain that can be seen */
    tally_estimate deposit_uL_cm2[TALLY_THIRDS][TALLY_SIDES];    /* as emitted, over one-sided leaf area */
} store_row;

/** A sampled path: points first to first + n_points - 1. */
typedef struct {
    int64_t droplet, first;
    int32_t n_points, alley, nozzle, bounces, shatters;
    int8_t fate; /* of tally_fate */
    double weight, emitted_diameter_um, last_rebound_s; /* NAN without bounce or shattering */
} store_track;

typedef struct {
    int32_t side, spray; /* side -1 left, 1 right (as the driver sees it); spray: index into spray[] */
    double offset_m, height_m, pressure_bar, flow_L_min;
} store_nozzle;

typedef struct {
    char *tip, *note;
    bool assumed;
    double pressure_bar, dv10_um, dv50_um, dv90_um, share_below_100_um, share_below_150_um;
} store_spray;

typedef struct {
    double x_m;
    int32_t alley, heading, left_open, right_open;
} store_pass;

/** What the weather or the result should warn of (run/warn.h). */
typedef struct {
    char *name, *sentence, *found, *bound; /* found and bound: number and unit */
} store_warning;

/** A virtual collector, and a piece of one. */
typedef struct {
    char *name;
    scenario_collector_kind kind;
    double x_m, distance_m, height_m, top_m, width_m, facing_deg;
    int first_part, n_parts;
    run_measured measured;
} store_collector;

typedef struct {
    double low_m, high_m;
    run_measured measured;
} store_collector_part;

/** What a result file holds, in the units of the names. All arrays belong to it. */
typedef struct {
    char *name, *place, *version, *caution, *scenario_text, *resolved;
    uint64_t seed;
    int64_t n_droplets;
    /* fates, shares of what was emitted (of the active ingredient, or of the water) */
    tally_estimate fate[TALLY_FATES], water[TALLY_FATES], evaporated;
    double size_low_um[TALLY_SIZES], size_high_um[TALLY_SIZES];
    tally_estimate size_fate[TALLY_SIZES][TALLY_FATES];
    /* of the impacts on TALLY_LEAF or TALLY_WOOD; shares: NAN where nothing met it */
    tally_estimate impacts[TALLY_TARGETS][TALLY_OUTCOMES], stayed[TALLY_TARGETS][TALLY_OUTCOMES];
    tally_estimate outcome_share[TALLY_TARGETS][TALLY_OUTCOMES];
    tally_estimate size_outcome[TALLY_TARGETS][TALLY_SIZES][TALLY_OUTCOMES];
    /* NAN where the file lacks them: */
    tally_estimate together[TALLY_GROUPS], size_emitted[TALLY_SIZES];
    double settling_m_s[TALLY_SIZES], lifetime_s[TALLY_SIZES], dry_after_fall_m[TALLY_SIZES];
    tally_estimate third[TALLY_THIRDS][TALLY_SIDES]; /* deposit on leaves of all rows, share of output */
    /* canopy */
    int n_rows, nx, ny, nz;
    store_row *row;                        /* [n_rows] */
    double voxel_m, voxel_y_m;             /* edges across and up, and along the row */
    double *x_m, *z_m;                     /* [nx], [nz] centres; x from the row line */
    double *leaf_deposit;                  /* [row][nz][ny][nx] share of output */
    float *leaf_area_density_1_m, *wood_area_density_1_m; /* same shape */
    tally_estimate leaf_side[2];           /* lower, upper */
    tally_estimate cover_percent[2], droplets_1_cm2[2]; /* lower, upper; visible ones; NAN where the file lacks it */
    tally_estimate deposit_uL_cm2, run_off;             /* as emitted, over one-sided leaf area; share of output */
    /* ground: n_ground bins; distance from the downwind edge of the block, negative inside it and upwind */
    int n_ground;
    double *ground_x_m, *ground_distance_m, *ground_percent_of_rate, *ground_percent_of_rate_error;
    double block_low_x_m, block_high_x_m, treated_width_m;
    double curve_distance_m[SCENARIO_CURVE], drift_distance_m[SCENARIO_SUMS];
    tally_estimate curve_percent[SCENARIO_CURVE];    /* ground deposit, of the rate */
    tally_estimate drift_sum_percent[SCENARIO_SUMS]; /* on the ground beyond or airborne out downwind, of the output */
    /* airborne */
    int n_flux;
    double plane_distance_m[TALLY_PLANES], *flux_z_m;
    tally_estimate flux_percent[TALLY_PLANES]; /* all heights, of the output */
    double *flux_percent_per_m, *flux_percent_per_m_error; /* [plane][n_flux] percent of output per metre of height */
    /* virtual collectors */
    int n_collectors, n_collector_parts;
    store_collector *collector;            /* [n_collectors] */
    store_collector_part *collector_part;  /* [n_collector_parts] */
    /* paths */
    int n_tracks;
    int64_t n_points;
    store_track *track;                                                   /* [n_tracks] */
    float *time_s, *track_x_m, *track_y_m, *track_z_m, *diameter_um, *speed_m_s; /* [n_points] */
    /* highest air speed as the sprayer passes, [air_nz][air_nx] */
    int air_nx, air_nz;
    double *air_x_m, *air_z_m;
    float *air_speed_m_s;
    /* sprayer */
    int n_nozzles, n_sprays, n_passes;
    store_nozzle *nozzle;
    store_spray *spray;
    store_pass *pass;
    double application_rate_L_ha, emitted_L_per_100_m, fan_flow_m3_s, fan_power_kW;
    /* inputs that a picture names */
    double row_spacing_m, tree_spacing_m, grass_height_m;
    double canopy_height_m, canopy_base_m, canopy_width_m, leaf_area_index;
    double temperature_degC, relative_humidity_percent, wind_speed_m_s, wind_height_m, wind_angle_deg;
    double travel_speed_km_h, domain_top_m;
    double air_pressure_hPa, nonvolatile_percent, fan_speed_rpm; /* NAN where the file lacks them */
    int n_warnings;
    store_warning *warning;
} store_result;

/** Reads a result file. The caller ends it with store_free(), also after a failure (it is empty then).
 *  @return DRUPELET_OK, DRUPELET_MEMORY, or DRUPELET_SCENARIO with one line: no such file, no result of this program,
 *          another format number, or damaged (and where) */
drupelet_status store_read(const char *path, store_result *result);
void store_free(store_result *result);

/** Kinds of canopy file, by the ending of the name: .csv; .h5 or .nc; anything else. */
typedef enum { STORE_CANOPY_UNKNOWN, STORE_CANOPY_CSV, STORE_CANOPY_HDF5 } store_canopy_form;
store_canopy_form store_canopy_form_of(const char *path);
/** Writes a canopy voxel by voxel (docs/canopy-format.md), as HDF5 where the name ends so, else as comma-separated
 *  values; under a temporary name first. Rows that are all alike are written once.
 *  @return DRUPELET_OK, DRUPELET_FILE or DRUPELET_MEMORY */
drupelet_status store_canopy_write(const drupelet_scenario *scenario, const orchard_canopy *canopy, const char *path,
                                   bool overwrite);

/** A file that is there whole or not at all: it is written under another name in the same folder and renamed at the
 * end. */
typedef struct {
    char *path, *draft; /* final name; name to write to */
    bool overwrite;
} store_draft;
/** Makes an empty draft. @return DRUPELET_FILE where path exists (unless overwrite) or the folder takes no file */
drupelet_status store_draft_begin(const char *path, bool overwrite, store_draft *draft);
/** Writes bytes to the draft, after those that are there. @return DRUPELET_FILE where the disk does not take them */
drupelet_status store_draft_fill(const store_draft *draft, const void *bytes, size_t n);
/** Flushes the draft to the disk and gives it its final name; the draft is ended either way. Whoever wrote it has
 * closed it. */
drupelet_status store_draft_keep(store_draft *draft);
/** Ends a draft without keeping it. */
void store_draft_drop(store_draft *draft);

#endif
