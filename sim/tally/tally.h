/* sim/tally/tally.h - where every litre went: whole-number accounts that add up in any order, and standard errors.
 *
 * An amount is a whole number of parts; all that a run may emit is TALLY_PARTS of them. Integer sums do not depend on
 * the order in which threads add, so the same scenario and seed give the same file for any number of threads. Each
 * account exists once per batch; batches are independent samples, from which the standard errors come. */
#ifndef TALLY_TALLY_H
#define TALLY_TALLY_H

#include <stdbool.h>
#include <stdint.h>

#include "droplet/outcome.h"
#include "drupelet/status.h"
#include "scenario/scenario.h"

#define TALLY_PARTS ((int64_t)1 << 52)
enum {
    TALLY_BATCHES = 32,
    TALLY_THIRDS = 3,      /* of the crown's height: bottom, middle, top */
    TALLY_SIDES = 2,       /* of a row: 0 towards -x, 1 towards +x */
    TALLY_SIZES = 24,      /* bins of the emitted diameter, equal steps of the logarithm */
    TALLY_PLANES = SCENARIO_PLANES, /* upright planes downwind of the block */
    TALLY_TARGETS = 2,     /* of an impact: the first two fates, leaf and wood */
    TALLY_OUTCOMES = DROPLET_OUTCOMES, /* of an impact on a leaf or wood: adhered, ... */
    /* of the budget (budget.h) */
    TALLY_CLASSES = 8,     /* of the emitted diameter, between round numbers */
    TALLY_ZONES = 2 + 1 + TALLY_THIRDS * TALLY_SIDES, /* of the crowns: where a droplet first met a leaf or wood */
    TALLY_FIRSTS = 1 + TALLY_OUTCOMES, /* what the first hit did: there was none, then the outcomes */
    TALLY_ENDS = 7         /* where it came to rest */
};
#define TALLY_SIZE_FIRST_M 10e-6 /* lower edge of the first size bin; smaller droplets are counted in it */
#define TALLY_SIZE_LAST_M 2000e-6 /* upper edge of the last size bin; larger ones are counted in it */
#define TALLY_GROUND_STEP_M 0.5
#define TALLY_FLUX_STEP_M 0.5

/** The fates of the public header, by the names that the accounts have for them. */
typedef enum {
    TALLY_LEAF = DRUPELET_FATE_LEAF,
    TALLY_WOOD = DRUPELET_FATE_WOOD,
    TALLY_GROUND_ALLEY = DRUPELET_FATE_GROUND_ALLEY,
    TALLY_GROUND_ROW = DRUPELET_FATE_GROUND_ROW,
    TALLY_GROUND_DOWNWIND = DRUPELET_FATE_GROUND_DOWNWIND,
    TALLY_GROUND_UPWIND = DRUPELET_FATE_GROUND_UPWIND,
    TALLY_AIR_DOWNWIND = DRUPELET_FATE_AIR_DOWNWIND,
    TALLY_AIR_ABOVE = DRUPELET_FATE_AIR_ABOVE,
    TALLY_AIR_UPWIND = DRUPELET_FATE_AIR_UPWIND,
    TALLY_ALOFT = DRUPELET_FATE_ALOFT,
    TALLY_FATES = DRUPELET_FATES
} tally_fate;
/** Short name for files and columns ("leaf", "ground_alley", ...), the fate in words, and these with what a share of it
 *  is a percentage of. */
const char *tally_fate_name(int fate);
const char *tally_fate_label(int fate);
const char *tally_fate_meaning(int fate);

/** What is counted of each piece of a virtual collector, per area of it, so that one number suits all sizes. */
typedef enum {
    TALLY_CAUGHT,   /* active ingredient, over the application rate */
    TALLY_LIQUID,   /* liquid that was left when it arrived, over the application rate */
    TALLY_PASSED,   /* active ingredient that came through the outline from the front; what perfect catch would take */
    TALLY_NET,      /* the same, less what came from behind; a line's: downwind less back */
    TALLY_DROPLETS, /* number per cm2 */
    TALLY_STAINS,   /* area of stains per area, overlaps counted twice */
    TALLY_CATCHES
} tally_catch;

/** Shape of the accounts of one run. */
typedef struct {
    int n_rows;
    double edge_low_x_m, edge_high_x_m;   /* edges of the block, half a row outside the outermost trunks */
    double treated_width_m;               /* width of the ground that the output is for (sprayer.h) */
    bool no_rate;                         /* the sprayer stands still: there is no rate to be a percentage of */
    double domain_low_x_m, domain_high_x_m;
    int downwind;                         /* +1: the wind's x component is 0 or more; -1: it is negative */
    int n_ground;                         /* bins of TALLY_GROUND_STEP_M from domain_low_x_m to domain_high_x_m */
    int n_flux;                           /* bins of TALLY_FLUX_STEP_M from the ground to the domain's top */
    double plane_distance_m[TALLY_PLANES];/* from the downwind edge of the block */
    int64_t n_voxels;                     /* 0: accounts without voxels (of one thread) */
    int n_pieces;                         /* of all virtual collectors; one has one, a line one for each segment */
    int n_passes;                         /* of the sprayer through the block */
} tally_shape;

/** What lies on the leaves by cell; leaves.h. */
typedef struct tally_leaves tally_leaves;

/** All accounts; the arrays are [batch][...], parts of what was emitted. An array is a member here, for its users, and
 *  a row in the table of ledger.c, from which all else about it follows. */
typedef struct {
    tally_shape shape;
    int64_t to_emit;   /* that all batches together set out to emit: TALLY_PARTS, less where a run stops early */
    int64_t (*emitted)[1];                          /* [TALLY_BATCHES] */
    int64_t (*fate)[TALLY_FATES];                   /* active ingredient (stays whole as water leaves) */
    int64_t (*water)[TALLY_FATES];                  /* water still in the droplets when they met their fate */
    int64_t (*evaporated)[1];                       /* water lost, summed step by step */
    int64_t (*water_emitted)[1];
    int64_t (*size_evaporated)[TALLY_SIZES];        /* water lost, by emitted diameter */
    int64_t (*size_fate)[TALLY_SIZES][TALLY_FATES]; /* active ingredient by emitted diameter */
    int64_t (*leaf_side)[2];                        /* leaf deposit on the 0 lower, 1 upper side of leaves */
    int64_t *row;      /* [TALLY_BATCHES][n_rows][TALLY_THIRDS][TALLY_SIDES] leaf deposit */
    int64_t *ground;   /* [TALLY_BATCHES][n_ground] */
    int64_t *flux;     /* [TALLY_BATCHES][TALLY_PLANES][n_flux] net, positive downwind */
    int64_t (*impacts)[TALLY_TARGETS][TALLY_OUTCOMES]; /* amount of active ingredient times number of times */
    int64_t (*size_impacts)[TALLY_TARGETS][TALLY_SIZES][TALLY_OUTCOMES]; /* the same by emitted diameter */
    int64_t (*stayed)[TALLY_TARGETS][TALLY_OUTCOMES]; /* what stayed there at those impacts; before run-off */
    int64_t (*budget)[TALLY_CLASSES][TALLY_ZONES][TALLY_FIRSTS][TALLY_ENDS]; /* budget.h; before run-off */
    int64_t *pass_end;         /* [TALLY_BATCHES][n_passes][TALLY_ENDS] by the pass that sprayed it; before run-off */
    int64_t *caught;           /* [TALLY_BATCHES][n_pieces][TALLY_CATCHES] in units of collectors.c */
    int64_t *voxel;            /* [n_voxels] leaf deposit, all batches together; NULL without voxels */
    tally_leaves *leaves;      /* leaf deposit by cell, shared by threads; NULL: none kept. Belongs to the accounts */
} tally;

drupelet_status tally_create(const tally_shape *shape, tally **accounts);
void tally_free(tally *accounts); /* NULL is allowed */
/** Adds the second to the first (same shape); what the second does not keep (voxels, leaves: threads of one flight
 *  share them) stays as it is. A sum that leaves the range of the numbers stays at its end, where tally_check() finds
 *  it. */
void tally_add(tally *sum, const tally *more);
/** The sum of two numbers of accounts, as above. */
int64_t tally_sum(int64_t a, int64_t b);

/** Third of the crown's height, 0 (bottom) to TALLY_THIRDS - 1, that a height counts to; what is outside counts to the
 * end that is nearer. */
int tally_third(double height_m, double base_m, double top_m);
int tally_size_bin(double diameter_m);
double tally_size_edge_m(int i); /* 0 to TALLY_SIZES */
int tally_ground_bin(const tally_shape *shape, double x_m); /* clamped to the domain */
/** Lower (side 0) or upper (side 1) end of a ground bin; the last bin ends with the domain. */
double tally_ground_edge_x_m(const tally_shape *shape, int i_bin, int side);
/** Distance downwind of the block (negative inside it and upwind), and the x at such a distance. */
double tally_distance_m(const tally_shape *shape, double x_m);
double tally_x_m(const tally_shape *shape, double distance_m);

/** A share of everything emitted, with the standard error of the mean of the batches. */
typedef struct { double share, error; } tally_estimate;
/** Share of an account: value[b] parts out of emitted[b]. @param stride between batches, in numbers */
tally_estimate tally_share(const tally *accounts, const int64_t *value, int64_t stride);
/** The same of parts by batch: out of what each batch emitted, or out of its water. */
tally_estimate tally_ratio(const double parts[TALLY_BATCHES], int64_t (*whole)[1]);
tally_estimate tally_share_of(const tally *accounts, const double parts[TALLY_BATCHES]);
/** Water that evaporated, over the water emitted. */
tally_estimate tally_evaporated(const tally *accounts);
/** The same of the droplets emitted in a size bin, over all water emitted. */
tally_estimate tally_size_evaporated(const tally *accounts, int i_size);
/** Water still in the droplets that met a fate, over the water emitted. */
tally_estimate tally_water(const tally *accounts, tally_fate fate);
/** Leaf deposit of a row (from 0), a third and a side; -1 stands for all. */
tally_estimate tally_row(const tally *accounts, int i_row, int i_third, int i_side);
/** Active ingredient emitted in a size bin. */
tally_estimate tally_size_emitted(const tally *accounts, int i_size);
/** Net flux through a plane between two of its bins of height, 0 to n_flux: as a share, and parts by batch. */
tally_estimate tally_plane(const tally *accounts, int i_plane, int from_bin, int to_bin);
void tally_plane_parts(const tally *accounts, int i_plane, int from_bin, int to_bin, double parts[TALLY_BATCHES]);
/** What lies on the ground from low_x_m to high_x_m; of a bin that is only partly inside, that part. */
tally_estimate tally_ground_between(const tally *accounts, double low_x_m, double high_x_m);
/** Share of all that was emitted which lies on the ground at least distance_m downwind of the block, or left the domain
 *  downwind. NAN where the domain does not reach that far. */
tally_estimate tally_drift_sum(const tally *accounts, double distance_m);
/** Parts by batch of this and of the ground between two places. False (and all 0) where the domain does not reach that
 *  far. */
bool tally_sum_parts(const tally *accounts, double distance_m, double parts[TALLY_BATCHES]);
bool tally_ground_parts(const tally *accounts, double low_x_m, double high_x_m, double parts[TALLY_BATCHES]);
/** By which the share of the output on a strip of that width is to be multiplied to get its deposit per area over the
 *  application rate (volume emitted per treated area): treated width over strip width. NAN without a rate. */
double tally_rate_over_output(const tally_shape *shape, double strip_m);
/** Deposit per area on a strip of ground over the application rate. NAN outside the domain and without a rate. */
tally_estimate tally_ground_of_rate(const tally *accounts, double low_x_m, double high_x_m);
/** Adds what a collector's piece caught, rounded to a whole number of its unit. An account that is full stays so, and
 *  tally_check() finds it. */
void tally_collectors_put(tally *accounts, int i_batch, int i_piece, tally_catch which, double amount);
/** Mean over n pieces from the first on. */
tally_estimate tally_collected(const tally *accounts, int first, int n, tally_catch which);
/** Every account closes (ledger.c and check.c list which, against what and how well); else DRUPELET_BALANCE
 *  and the first that does not. */
drupelet_status tally_check(const tally *accounts);

/* ---- sampled paths of droplets ---- */
enum {
    TALLY_TRACKS = 2048,
    TALLY_TRACK_POINTS = 96
}; /* tracks of a run (fewer if it has fewer droplets); points of one, at most */

typedef struct { float time_s, x_m, y_m, z_m, diameter_um, speed_m_s; } tally_point;

/** One path; y is measured from where the sprayer stood when it let the droplet go. */
typedef struct {
    int64_t droplet;       /* its ordinal in the run */
    int32_t i_alley, i_nozzle;
    double weight;         /* share of everything emitted that it stands for when released */
    double emitted_diameter_m;
    tally_fate fate;
    int32_t n_outcome[TALLY_OUTCOMES]; /* times that the droplet as a whole met with each outcome */
    float last_rebound_s;  /* time of the last impact that it did not adhere at; 0 without any */
    int32_t n_points;
    tally_point point[TALLY_TRACK_POINTS];
} tally_track;

#endif
