/* sim/result/result.h - what a run yields and what a result file holds: one object, in the units of the names. The door
 * of the module. quantity.h has the table of everything in it. */
#ifndef RESULT_RESULT_H
#define RESULT_RESULT_H

#include <stdbool.h>
#include <stdint.h>

#include "drupelet/run.h"
#include "run/run.h"
#include "tally/budget.h"
#include "tally/drift.h"
#include "tally/groups.h"
#include "tally/tally.h"

/** A row and how its leaves did; thirds from bottom to top. */
enum { RESULT_UNLIKE = 3 }; /* causes why leaves of a place differ: place along the row, angle, shade */

typedef struct {
    double x_m;
    tally_estimate leaf[TALLY_THIRDS][TALLY_SIDES];              /* share of the output */
    tally_estimate together;                                     /* the same, all places of the row */
    tally_estimate third[TALLY_THIRDS];                          /* the same, both sides */
    double leaf_area_m2_m[TALLY_THIRDS][TALLY_SIDES];            /* one-sided, per length of row */
    tally_estimate cover_percent[TALLY_THIRDS][TALLY_SIDES][2];  /* lower, upper side of leaves */
    tally_estimate all_droplets_1_cm2[TALLY_THIRDS][TALLY_SIDES][2]; /* that left a stain */
    tally_estimate droplets_1_cm2[TALLY_THIRDS][TALLY_SIDES][2]; /* those with a stain that can be seen */
    tally_estimate deposit_uL_cm2[TALLY_THIRDS][TALLY_SIDES];    /* as emitted, over one-sided leaf area */
    tally_estimate liquid_uL_cm2[TALLY_THIRDS][TALLY_SIDES];     /* that arrived and stayed */
    tally_estimate normalised_ug_cm2[TALLY_THIRDS][TALLY_SIDES]; /* for 1 kg/ha */
} result_row;

/** A sampled path: points first to first + n_points - 1. */
typedef struct {
    int64_t droplet, first;
    int32_t n_points, alley, nozzle;  /* nozzle from 1 */
    int32_t n_outcome[TALLY_OUTCOMES]; /* as in tally_track; files have those that the droplet flew on from */
    int8_t fate; /* of tally_fate */
    double weight, emitted_diameter_um, last_rebound_s; /* NAN without any of those */
} result_track;

typedef struct {
    int32_t side, spray; /* side -1 left, 1 right (as the driver sees it); spray from 1 */
    double offset_m, height_m, angle_deg, pressure_bar, flow_L_min, exit_speed_m_s;
} result_nozzle;

typedef struct {
    char *tip, *note;
    int8_t assumed;
    double pressure_bar, dv10_um, dv50_um, dv90_um, share_below_100_um, share_below_150_um;
} result_spray;

typedef struct {
    double x_m, flow_L_min;
    int32_t alley, heading, left_open, right_open, left_air, right_air;
    int32_t fan_flow; /* from 1: which of the flows that were solved for is its fan air; 0: none */
    tally_estimate end[TALLY_ENDS]; /* of what it sprays, share of the output; before run-off */
} result_pass;

/** A virtual collector, and a piece of one. */
typedef struct {
    char *name;
    int8_t kind; /* of scenario_collector_kind */
    double x_m, distance_m, height_m, top_m, width_m, facing_deg;
    int first_part, n_parts;
    run_measured measured;
} result_collector;

typedef struct {
    int32_t collector; /* from 1 */
    double low_m, high_m;
    run_measured measured;
} result_collector_part;

/** What the weather or the result should warn of; value and bound in the unit. */
typedef struct {
    char *name, *unit, *sentence;
    double value, bound;
} result_warning;

/** Droplets alone in the open wind, and at a leaf (alone.c). */
enum { RESULT_ALONE_SIZES = 17, RESULT_ALONE_POINTS = 24, RESULT_ALONE_SPEEDS = 11 };
typedef struct {
    double size_um[RESULT_ALONE_SIZES], fall_m_s[RESULT_ALONE_SIZES], dry_after_s[RESULT_ALONE_SIZES];
    double time_s[RESULT_ALONE_SIZES][RESULT_ALONE_POINTS], distance_m[RESULT_ALONE_SIZES][RESULT_ALONE_POINTS];
    double height_m[RESULT_ALONE_SIZES][RESULT_ALONE_POINTS], diameter_um[RESULT_ALONE_SIZES][RESULT_ALONE_POINTS];
    double speed_m_s[RESULT_ALONE_SPEEDS], hits[RESULT_ALONE_SIZES][RESULT_ALONE_SPEEDS];
    int8_t outcome[2][RESULT_ALONE_SIZES][RESULT_ALONE_SPEEDS]; /* lower, upper side of a leaf */
} result_alone_droplet;

/** The way of the spray, shares of the output; tally/budget.h. */
typedef struct {
    tally_estimate path[TALLY_CLASSES][TALLY_ZONES][TALLY_FIRSTS][TALLY_ENDS];
    /* sums of it, with errors of their own */
    tally_estimate class_end[TALLY_CLASSES][TALLY_ENDS], class_first[TALLY_CLASSES][TALLY_FIRSTS];
    tally_estimate zone_end[TALLY_ZONES][TALLY_ENDS], zone_first[TALLY_ZONES][TALLY_FIRSTS];
} result_budget;

/** All arrays belong to it. */
struct drupelet_result {
    int n_threads;        /* that may write it */
    bool for_sweep;       /* what is in no column of a sweep may be missing */
    run_outcome *outcome; /* the run that it comes from, with all its accounts; NULL: it was read from a file */
    /* whose it is */
    char *name, *place, *version, *caution, *scenario_text, *settings, *resolved;
    uint64_t seed;
    int64_t n_droplets, n_steps;
    drupelet_target target; /* what the run was to find out */
    char *target_name;      /* NULL: no target error was given */
    double target_asked;    /* relative standard error */
    int32_t target_rounds;
    /* the spray's own vapour */
    double spray_vapour_g_m3, spray_humidity_percent, spray_cooling_K, spray_slower_drying_percent;
    /* fates, shares of what was emitted (of the active ingredient, or of the water) */
    tally_estimate fate[TALLY_FATES], water[TALLY_FATES], evaporated;
    double size_um[TALLY_SIZES], size_low_um[TALLY_SIZES], size_high_um[TALLY_SIZES];
    tally_estimate size_evaporated[TALLY_SIZES];
    tally_estimate size_emitted[TALLY_SIZES], size_fate[TALLY_SIZES][TALLY_FATES];
    /* of the impacts on TALLY_LEAF or TALLY_WOOD; shares: NAN where nothing met it */
    tally_estimate impacts[TALLY_TARGETS][TALLY_OUTCOMES], stayed[TALLY_TARGETS][TALLY_OUTCOMES];
    tally_estimate outcome_share[TALLY_TARGETS][TALLY_OUTCOMES];
    tally_estimate size_outcome[TALLY_TARGETS][TALLY_SIZES][TALLY_OUTCOMES];
    tally_estimate together[TALLY_GROUPS];
    double settling_m_s[TALLY_SIZES], lifetime_s[TALLY_SIZES], dry_after_fall_m[TALLY_SIZES];
    result_alone_droplet alone;
    double class_low_um[TALLY_CLASSES], class_high_um[TALLY_CLASSES]; /* of the budget; NAN: open */
    result_budget budget;
    /* canopy */
    int n_rows, nx, ny, nz;
    result_row *row;                       /* [n_rows] */
    double voxel_m, voxel_y_m;             /* edges across and up, and along the row */
    double *x_m, *y_m, *z_m;               /* [nx], [ny], [nz] centres; x from the row line */
    double *leaf_deposit;                  /* [row][nz][ny][nx] share of output */
    float *leaf_deposit_uL_cm2;            /* same shape; over one-sided leaf area */
    float *leaf_area_density_1_m, *wood_area_density_1_m; /* same shape */
    tally_estimate third[TALLY_THIRDS][TALLY_SIDES]; /* deposit on leaves of all rows, share of output */
    tally_estimate third_together[TALLY_THIRDS], leaves_together; /* the same, both sides; all thirds too */
    tally_estimate leaf_side[2];           /* lower, upper */
    tally_estimate cover_percent[2], all_droplets_1_cm2[2], droplets_1_cm2[2]; /* lower, upper */
    tally_estimate deposit_uL_cm2, liquid_uL_cm2, normalised_ug_cm2, run_off, wood_run_off;
    double retention_L_m2, spread_at_rest[2];
    double leaf_to_leaf_percent; /* of the deposit of single leaves: standard deviation over the mean, all leaves */
    double unlike_percent[TALLY_THIRDS][TALLY_SIDES][RESULT_UNLIKE]; /* the same within a place, by its cause */
    double unlike_all_percent[RESULT_UNLIKE]; /* the same of all together */
    /* ground: n_ground strips; distance from the downwind edge of the block, negative inside it and upwind */
    int n_ground;
    double *ground_x_m, *ground_distance_m;
    tally_estimate *ground_percent_of_rate, *ground_percent_of_output;
    double strip_m, block_low_x_m, block_high_x_m, treated_width_m, downwind;
    double curve_distance_m[SCENARIO_CURVE], drift_distance_m[SCENARIO_SUMS];
    tally_estimate curve_percent[SCENARIO_CURVE];    /* ground deposit, of the rate */
    tally_estimate drift_sum_percent[SCENARIO_SUMS]; /* on the ground beyond or airborne out downwind, of the output */
    /* airborne */
    int n_flux;
    double plane_distance_m[TALLY_PLANES], *flux_z_m;
    tally_estimate flux_percent[TALLY_PLANES]; /* all heights */
    double band_from_m[TALLY_BANDS];           /* the last is open at the top */
    tally_estimate band_percent[TALLY_PLANES][TALLY_BANDS];
    tally_estimate *flux_percent_per_m;        /* [plane][n_flux] percent of output per metre of height */
    /* headline numbers by batch, [n_batched][TALLY_BATCHES], in the order of scenario_target; n_batched 0: not known */
    int n_batched;
    float *batch_percent;
    /* virtual collectors */
    int n_collectors, n_collector_parts;
    result_collector *collector;           /* [n_collectors] */
    result_collector_part *collector_part; /* [n_collector_parts] */
    /* paths */
    int n_tracks, n_points;
    result_track *track;                                                   /* [n_tracks] */
    float *time_s, *track_x_m, *track_y_m, *track_z_m, *diameter_um, *speed_m_s; /* [n_points] */
    /* highest air speed as the sprayer passes, [air_nz][air_nx] */
    int air_nx, air_nz;
    double *air_x_m, *air_z_m;
    float *air_speed_m_s;
    /* wind across the rows, [wind_nz][wind_nx], in the order of run_wind_value; none where run.keep_wind is no */
    int wind_nx, wind_nz;
    double *wind_x_m, *wind_z_m;
    float *wind_value[RUN_WIND_VALUES];
    /* air around the sprayer on a pass, [fan_nz][fan_ny][fan_nx], in the order of run_fan_value; none where
     * run.keep_fan_air is no */
    int fan_nx, fan_ny, fan_nz;
    double *fan_x_m, *fan_y_m, *fan_z_m, fan_sprayer_x_m;
    float *fan_value[RUN_FAN_VALUES];
    /* sprayer */
    int n_nozzles, n_sprays, n_passes;
    result_nozzle *nozzle;
    result_spray *spray;
    result_pass *pass;
    char *worn_nozzles, *plugged_nozzles; /* in words; "" where there are none */
    double application_rate_L_ha, emitted_L_per_100_m, fan_flow_m3_s, fan_power_kW;
    int n_warnings;
    result_warning *warning;
    /* inputs */
    double row_spacing_m, tree_spacing_m, grass_height_m;
    double canopy_height_m, canopy_base_m, canopy_width_m, leaf_area_index;
    double temperature_degC, relative_humidity_percent, wind_speed_m_s, wind_height_m, wind_angle_deg;
    double travel_speed_km_h, domain_top_m, time_limit_s;
    double air_pressure_hPa, nonvolatile_percent, fan_speed_rpm;
    int8_t computed_wind, resolved_fan_air;
};

static inline tally_estimate result_times(double factor, tally_estimate e)
{
    return (tally_estimate){factor * e.share, factor * e.error};
}

/** Words for a third of the crown's height and a side of a row, as in files and tables; NULL beyond the last. */
const char *result_third_name(int i);
const char *result_side_name(int i);

/** Makes a result of a run, and takes the run over: it ends with the result, or here after a failure.
 *  @param for_sweep leave out what takes long and is in no column of a sweep: how lone droplets fall and dry
 *  @param result out: ended with drupelet_result_free(); NULL on failure  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status result_of_run(run_outcome *outcome, bool for_sweep, drupelet_result **result);
/** A result with nothing in it, for a reader. NULL without memory. */
drupelet_result *result_create(void);

#endif
