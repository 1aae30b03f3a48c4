/* sim/scenario/scenario.h - a checked scenario: what the YAML file says, in SI units, every default filled in.
 * The door of the module. Behind it: sections and what they must fit in read.c, single values in reader.c, every key
 * with its range and default in keys.c, numbers with units in units.c, the YAML tree and the form of messages in
 * node.c. */
#ifndef SCENARIO_SCENARIO_H
#define SCENARIO_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "drupelet/scenario.h"

enum {
    SCENARIO_TEXT = 128,     /* bytes of a name, with its end */
    SCENARIO_TIPS = 16,      /* most kinds of tip in one scenario */
    SCENARIO_NOZZLES = 64,   /* most nozzles, both sides together */
    SCENARIO_OUTLETS = 8,    /* most air outlets, both sides together */
    SCENARIO_ROWS = 64,
    SCENARIO_SPECTRUM = 64,  /* most lines of a measured volume table */
    SCENARIO_PROFILE = 16    /* most points of a leaf area density profile */
};

typedef enum { SCENARIO_WALL, SCENARIO_CONE, SCENARIO_GLOBE, SCENARIO_BOWL } scenario_crown;
/** How readily a leaf side is wetted; what each means is in droplet/outcome.h. */
typedef enum { SCENARIO_EASY, SCENARIO_MEDIUM, SCENARIO_HARD, SCENARIO_VERY_HARD } scenario_wetting;
typedef enum { SCENARIO_LEFT = -1, SCENARIO_RIGHT = 1 } scenario_side; /* seen by the driver, looking ahead */
typedef enum { SCENARIO_ARC, SCENARIO_SLOT } scenario_outlet_kind;
typedef enum { SCENARIO_HOLLOW_CONE_DISC_CORE, SCENARIO_HOLLOW_CONE, SCENARIO_AIR_INDUCTION_HOLLOW_CONE,
               SCENARIO_FLAT_FAN, SCENARIO_AIR_INDUCTION_FLAT_FAN } scenario_tip_kind;
typedef enum { SCENARIO_SPECTRUM_GENERIC, SCENARIO_SPECTRUM_TABLE, SCENARIO_SPECTRUM_LOG_NORMAL,
               SCENARIO_SPECTRUM_ROSIN_RAMMLER, SCENARIO_SPECTRUM_UPPER_LIMIT } scenario_spectrum_form;
/** What slip does to heat and vapour; the equations are in droplet/evaporation.c. */
typedef enum { SCENARIO_RANZ_MARSHALL, SCENARIO_BEARD_PRUPPACHER } scenario_ventilation;

/** Rows lie at x = 0, -spacing, -2 spacing, ...; row 1 is at x = 0. Alley k (0 to n_rows) lies between row k and row
 *  k + 1; alley 0 is outside row 1, alley n_rows outside the last row. */
typedef struct {
    int n_rows;
    double row_spacing_m, tree_spacing_m;
    int n_trees; /* trees along the row before the pattern repeats */
    double grass_height_m, grass_leaf_area_index, grass_blade_width_m;
} scenario_orchard;

/** Edges of the treated area, half a row outside the outermost rows. */
static inline double scenario_high_edge_x_m(const scenario_orchard *orchard)
{
    return 0.5 * orchard->row_spacing_m;
}

static inline double scenario_low_edge_x_m(const scenario_orchard *orchard)
{
    return (0.5 - orchard->n_rows) * orchard->row_spacing_m;
}

typedef struct {
    scenario_crown crown;
    double height_m, base_m, width_m; /* top of the crown, lowest leaves, width across the row */
    double leaf_area_index;           /* one side of the leaves, m2 per m2 of orchard ground */
    int n_profile;                    /* 0: uniform within the crown */
    double profile_height[SCENARIO_PROFILE];  /* 0 at the base, 1 at the top, rising */
    double profile_density[SCENARIO_PROFILE]; /* relative leaf area density, any scale */
    double gap_fraction;              /* share of crown voxels without leaves, 0 to 0.9 */
    double tree_variation;            /* standard deviation of leaf area between trees over the mean, 0 to 0.5 */
    double wood_area_index;           /* half the wood surface, m2 per m2 of orchard ground */
    double wood_diameter_m;           /* of the branches that catch */
    double clumping;                  /* 0 to 1; 1: leaves placed at random within a voxel */
    double drag_coefficient;          /* on one-sided leaf area, about 0.2 */
    double voxel_m;
    double leaf_width_m;
    double leaf_angle_ratio;          /* ellipsoidal leaf-angle parameter: 1 spherical, above 1 flatter leaves */
    scenario_wetting upper_side, lower_side;
} scenario_canopy;

typedef struct {
    char name[SCENARIO_TEXT];
    scenario_tip_kind kind;
    double flow_m3_s, flow_pressure_Pa; /* rated flow and the pressure it holds at */
    char size[8];                       /* flow colour code size such as "02", or "" where the flow was given */
    double cone_angle_rad;              /* full angle of the spray at the exit */
    scenario_spectrum_form form;
    double dv10_m, dv50_m, dv90_m;      /* for the three named forms; 0 otherwise */
    double spectrum_pressure_Pa;        /* pressure of the measurement; 0: holds at the nozzle's own pressure */
    int n_table;                        /* for SCENARIO_SPECTRUM_TABLE */
    double table_diameter_m[SCENARIO_SPECTRUM], table_share_below[SCENARIO_SPECTRUM]; /* rising, 0 to 1 */
    double air_share;                   /* share of a droplet's volume that is air, 0 to 0.6 */
} scenario_tip;

/** A nozzle seen from behind the sprayer: offset outward from the centre line, angle above the outward horizontal. */
typedef struct {
    scenario_side side;
    int i_tip;
    double offset_m, height_m, behind_m; /* behind_m: distance behind the air outlets, may be negative */
    double angle_rad;
    double pressure_Pa;
} scenario_nozzle;

typedef struct {
    scenario_side side;
    scenario_outlet_kind kind;
    double slot_m;                                   /* width of the slot along the travel direction */
    double centre_height_m, radius_m, from_rad, to_rad; /* arc: angles above the outward horizontal, from < to */
    double offset_m, bottom_m, top_m, tilt_rad;      /* straight vertical slot; tilt of the air above the horizontal */
    double share;                                    /* of the fan's air, all outlets together 1 */
} scenario_outlet;

typedef struct {
    double travel_speed_m_s; /* 0 is not accepted yet */
    bool alley_driven[SCENARIO_ROWS + 1];
    bool alternate;          /* drives every second alley the other way; otherwise always along +y */
    bool shut_outside;       /* nozzles that face away from the block are shut in the outermost alleys */
    double tank_m3;
    double fan_reference_rpm, fan_reference_flow_m3_s, fan_reference_power_W, fan_rpm; /* fan_rpm 0: fan off */
    int n_outlets;
    scenario_outlet outlet[SCENARIO_OUTLETS];
    int n_nozzles;
    scenario_nozzle nozzle[SCENARIO_NOZZLES];
} scenario_sprayer;

typedef struct {
    double nonvolatile;  /* share of volume that does not evaporate, 0 to 0.5 */
    double density_kg_m3;
    double surface_tension_N_m; /* dynamic, at a few ms of age */
    double viscosity_Pa_s;
    double temperature_K; /* as it leaves the nozzles */
} scenario_liquid;

typedef struct {
    double temperature_K, relative_humidity, pressure_Pa;
    double wind_speed_m_s, wind_height_m; /* over the open ground */
    double wind_angle_rad;                /* 0: along +x, straight across the rows; pi/2: along +y; -pi to pi */
    double roughness_m;                   /* of the open ground */
} scenario_weather;

typedef struct {
    int64_t n_droplets;
    uint64_t seed;
    double time_limit_s, domain_top_m, open_ground_m;
    double air_cell_m; /* edge of the air grid near the sprayer, across the row and upwards; half of it along travel */
    scenario_ventilation ventilation;
    bool transient_temperature; /* droplets leave at the liquid's temperature; otherwise at their steady one */
    bool spray_humidity;        /* drying is slowed by the vapour and the cooling that the spray gives its air */
} scenario_run;

struct drupelet_scenario {
    char name[SCENARIO_TEXT], place[SCENARIO_TEXT];
    scenario_orchard orchard;
    scenario_canopy canopy;
    scenario_sprayer sprayer;
    int n_tips;
    scenario_tip tip[SCENARIO_TIPS];
    scenario_liquid liquid;
    scenario_weather weather;
    scenario_run run;
    char *text;     /* the file as read */
    char *resolved; /* every value used, one "key.path: value unit" a line, defaults marked, in a fixed order */
};

#define SCENARIO_SIZE_PRESSURE_PA 300e3 /* at which the flow of a size is stated */
/** Flow at that pressure of a size of the flow colour code of ISO 10625 ("01" to "08"), m3/s; 0 for an unknown size. */
double scenario_size_flow_m3_s(const char *size);
const char *scenario_size_colour(const char *size); /* "" for an unknown size */

#endif
