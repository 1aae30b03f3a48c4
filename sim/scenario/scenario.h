/* sim/scenario/scenario.h - a checked scenario: what the YAML file says, in SI units, every default filled in.
 * The door of the module. Behind it: sections and what they must fit in read.c, single values in reader.c, every key
 * with its range, default, words and meaning in keys.c, numbers with units in units.c, the YAML tree and the form of
 * messages in node.c. */
#ifndef SCENARIO_SCENARIO_H
#define SCENARIO_SCENARIO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/hash.h"
#include "drupelet/run.h"
#include "scenario/drift.h"

enum {
    SCENARIO_TEXT = 128,     /* bytes of a name, with its end */
    SCENARIO_FILE = 1024,    /* bytes of the name of a file, with its end */
    SCENARIO_PLACE = 4096,   /* bytes of the path of a file, with its end */
    SCENARIO_TIPS = 16,      /* most kinds of tip in one scenario */
    SCENARIO_NOZZLES = 64,   /* most nozzles, both sides together */
    SCENARIO_OUTLETS = 32,   /* most air outlets, both sides together */
    SCENARIO_ROWS = 64,
    SCENARIO_SPECTRUM = 64,  /* most lines of a measured volume table */
    SCENARIO_PROFILE = 16,   /* most points of a leaf area density profile */
    SCENARIO_LIMITS = 7,     /* most borders between size classes */
    SCENARIO_TENSIONS = 16,  /* most points of a dynamic surface tension */
    SCENARIO_COLLECTORS = 64, /* most virtual collectors */
    SCENARIO_AT = 192        /* bytes of the place of a value in a message, with the end */
};

typedef enum { SCENARIO_WALL, SCENARIO_CONE, SCENARIO_GLOBE, SCENARIO_BOWL } scenario_crown;
/** How readily a leaf side is wetted; what each means is in leaf.c. */
typedef enum { SCENARIO_EASY, SCENARIO_MEDIUM, SCENARIO_HARD, SCENARIO_VERY_HARD } scenario_wetting;
/** A leaf side as droplets meet it: static and receding contact angle, and the limit of We^(1/2) Re^(1/4) (by the
 * droplet's diameter and normal speed) above which they shatter. */
typedef struct { double contact_angle_rad, receding_angle_rad, shatter_limit; } scenario_leaf_surface;
typedef enum { SCENARIO_NO_SURFACTANT, SCENARIO_WETTER, SCENARIO_SPREADER } scenario_surfactant;
typedef enum { SCENARIO_LEFT = -1, SCENARIO_RIGHT = 1 } scenario_side; /* seen by the driver, looking ahead */
enum { SCENARIO_BOTH_SIDES = 0 }; /* of an entry of the file, which stands for one on either side */
typedef enum { SCENARIO_ARC, SCENARIO_SLOT, SCENARIO_SPOUT } scenario_outlet_kind;
typedef enum { SCENARIO_HOLLOW_CONE_DISC_CORE, SCENARIO_HOLLOW_CONE, SCENARIO_AIR_INDUCTION_HOLLOW_CONE,
               SCENARIO_FLAT_FAN, SCENARIO_AIR_INDUCTION_FLAT_FAN } scenario_tip_kind;
typedef enum { SCENARIO_SPECTRUM_GENERIC, SCENARIO_SPECTRUM_TABLE, SCENARIO_SPECTRUM_LOG_NORMAL,
               SCENARIO_SPECTRUM_ROSIN_RAMMLER, SCENARIO_SPECTRUM_UPPER_LIMIT } scenario_spectrum_form;
/** What slip does to heat and vapour; the equations are in droplet/evaporation.c. */
typedef enum { SCENARIO_RANZ_MARSHALL, SCENARIO_BEARD_PRUPPACHER } scenario_ventilation;

/** Size classes of ISO 25358, finest first (names: memory, sure). No class has micrometres of its own. */
typedef enum { SCENARIO_EXTREMELY_FINE, SCENARIO_VERY_FINE, SCENARIO_FINE, SCENARIO_MEDIUM_SIZE, SCENARIO_COARSE,
               SCENARIO_VERY_COARSE, SCENARIO_EXTREMELY_COARSE, SCENARIO_ULTRA_COARSE,
               SCENARIO_SIZE_CLASSES } scenario_size_class;

/** The reference spray that bounds a class from above, as measured on the instrument of the tip's spectrum. */
typedef struct {
    scenario_size_class up_to;
    double dv10_m, dv50_m, dv90_m;
} scenario_class_limit;

/** Rows lie at x = 0, -spacing, -2 spacing, ...; row 1 is at x = 0. Alley k (0 to n_rows) lies between row k and row
 *  k + 1; alley 0 is outside row 1, alley n_rows outside the last row. */
typedef struct {
    int n_rows;
    double row_spacing_m, tree_spacing_m;
    int n_trees; /* trees along the row before the pattern repeats */
    double grass_height_m, grass_leaf_area_index, grass_blade_width_m;
} scenario_orchard;

/** Edges of the block, half a row outside the outermost rows. */
static inline double scenario_high_edge_x_m(const scenario_orchard *orchard)
{
    return 0.5 * orchard->row_spacing_m;
}

static inline double scenario_low_edge_x_m(const scenario_orchard *orchard)
{
    return (0.5 - orchard->n_rows) * orchard->row_spacing_m;
}

/** A canopy given voxel by voxel in a file (canopy.measured; docs/canopy-format.md). */
typedef struct {
    int n_rows;                   /* 1: every row of the orchard is like it */
    int nx, ny, nz;               /* voxels across (half on either side of the row line), along, up from the ground */
    double edge_m, length_m;      /* edge across and up; length along the row, after which the pattern repeats */
    float *leaf_area_density_1_m; /* [row][nz][ny][nx], one side of the leaf, m2/m3 */
    float *wood_area_density_1_m; /* the same shape, half of the wood's surface; NULL: the file has none */
    char file[SCENARIO_PLACE];    /* it was read from */
} scenario_measured_canopy;

void scenario_measured_free(scenario_measured_canopy *measured); /* NULL is allowed */

#define SCENARIO_VOXELS_MOST 2e8 /* choice: 1.6 GB of leaves and wood, and a number that fits 32 bits */

/** Voxels of all rows of the file. */
static inline int64_t scenario_measured_voxels(const scenario_measured_canopy *m)
{
    return (int64_t)m->n_rows * m->nz * m->ny * m->nx;
}

typedef struct {
    scenario_measured_canopy *measured; /* owned by the scenario; NULL: grown from the keys below */
    scenario_crown crown;
    double height_m, base_m, width_m; /* top of the crown, lowest leaves, width across the row */
    double leaf_area_index;           /* one side of the leaves, m2 per m2 of orchard ground */
    int n_profile;                    /* 0: uniform within the crown */
    double profile_height[SCENARIO_PROFILE];  /* 0 at the base, 1 at the top, rising */
    double profile_density[SCENARIO_PROFILE]; /* relative leaf area density, any scale */
    double gap_fraction;              /* share of the crown's volume without leaves, 0 to 0.9 */
    double bough_variation, bough_size_m; /* relative standard deviation of leaf area density from bough to bough */
    double shell_depth_m;             /* below a crown's surface, over which leaf area density falls to 1/e; 0: even */
    double tree_variation;            /* standard deviation of leaf area between trees over the mean, 0 to 0.5 */
    double wood_area_index;           /* half the wood surface, m2 per m2 of orchard ground */
    bool wood_by_height;              /* as in felled trees; otherwise evenly over the crown */
    double wood_diameter_m;           /* of all wood; 0: several, as on a measured tree (droplet_wood_of()) */
    double clumping;                  /* 0 to 1; 1: leaves placed at random within a voxel */
    double drag_coefficient;          /* on one-sided leaf area, about 0.2 */
    bool yields_to_wind, yields_to_jet; /* leaves reconfigure (air/yielding.h); otherwise they are rigid */
    double turning_speed_m_s;         /* air speed around which they begin to */
    double vogel_exponent;            /* of their area over air speed, far above that: -1.5 to 0 */
    double leaf_response_s;           /* time in which they take up a new shape */
    double voxel_m;
    double leaf_width_m;
    bool fine_catch;                  /* interception and turbulent impaction besides impaction and settling */
    double hair_share;                /* of a leaf's catch that hairs of some 10 um have */
    bool hidden_by_catch;             /* leaves hide from droplets only what they would catch of them */
    double leaf_angle_ratio;          /* ellipsoidal leaf-angle parameter: 1 spherical, above 1 flatter leaves */
    scenario_wetting upper_side, lower_side; /* class, or the nearest one of a leaf given by name */
    scenario_leaf_surface leaf_surface[2];   /* 0 lower, 1 upper side: what counts, surfactant and numbers included */
    double wet_share;                        /* of the leaves that are wet already, 0 to 1 */
    bool wet_bounce;                         /* droplets rebound from wet leaves, too */
    bool splash_along_leaf;                  /* droplets of a splash leave along the leaf, not off it */
    double retention_m;               /* liquid that a leaf holds, both sides together, m3 per m2 of one side */
    double wood_retention_m;          /* the same of wood, per m2 of half its surface */
} scenario_canopy;

/** Does the file of a measured canopy answer a key of the group canopy, such as "gaps"? False without such a file. */
bool scenario_is_measured(const scenario_canopy *canopy, const char *key);

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
    double generic_factor;              /* diameters over those of the generic spectrum */
    int n_limits;                       /* borders of size classes, finest first; 0: none given, no class */
    scenario_class_limit limit[SCENARIO_LIMITS];
} scenario_tip;

/** A nozzle seen from behind the sprayer: offset outward from the centre line, angle above the outward horizontal. */
typedef struct {
    scenario_side side;
    int i_tip;
    double offset_m, height_m, behind_m; /* behind_m: distance behind the air outlets, may be negative */
    double angle_rad;
    double pressure_Pa;
    double worn;   /* flow above that of a new tip, over it; -0.9 to 1, below 0: partly plugged */
    bool plugged;  /* gives nothing; the pressure at the others stays */
} scenario_nozzle;

typedef struct {
    scenario_side side;
    scenario_outlet_kind kind;
    double slot_m;                                   /* width of the slot along the travel direction */
    double centre_height_m, radius_m, from_rad, to_rad; /* arc: angles above the outward horizontal, from < to */
    double offset_m, bottom_m, top_m, tilt_rad;      /* straight vertical slot; tilt of the air above the horizontal */
    double diameter_m, height_m, back_rad;           /* round spout, with offset and tilt; turned backwards by back */
    double share;                                    /* of the fan's air, all outlets together 1 */
} scenario_outlet;

/** What is shut towards one side of an alley. */
typedef struct { bool nozzles, air; } scenario_shut;
/** The same as a scenario has it, the side named by the row that it faces. */
typedef struct { int alley, row; bool air; } scenario_shut_side;

typedef struct {
    double travel_speed_m_s; /* 0: the sprayer stands still */
    bool alley_driven[SCENARIO_ROWS + 1];
    bool alternate;          /* drives every second alley the other way; otherwise always along +y */
    bool shut_outside;       /* nozzles that face away from the block are shut in the outermost alleys */
    scenario_shut shut[SCENARIO_ROWS + 1][2]; /* [alley][1]: towards +x, row number alley; [0]: row alley + 1 */
    double tank_m3;
    double fan_reference_rpm, fan_reference_flow_m3_s, fan_reference_power_W, fan_rpm; /* fan_rpm 0: fan off */
    int n_outlets;
    scenario_outlet outlet[SCENARIO_OUTLETS];
    double pressure_Pa; /* of nozzles without one of their own; 0: all have their own */
    int n_nozzles;
    scenario_nozzle nozzle[SCENARIO_NOZZLES];
} scenario_sprayer;

typedef struct {
    double nonvolatile;  /* share of volume that does not evaporate, solids included, 0 to 0.5 */
    double solids;       /* share of volume, 0 to 0.4; they are in the viscosity */
    double density_kg_m3;
    double surface_tension_N_m; /* dynamic, at the age of a surface that spreads on a leaf, about 2 ms */
    double atomization_tension_N_m; /* at the age of a spray sheet that breaks up, about 20 ms */
    double viscosity_Pa_s;
    scenario_surfactant surfactant;
    double temperature_K; /* as it leaves the nozzles */
} scenario_liquid;

typedef struct {
    double temperature_K, relative_humidity, pressure_Pa;
    double wind_speed_m_s, wind_height_m; /* over the open ground */
    double wind_angle_rad;                /* 0: along +x, straight across the rows; pi/2: along +y; -pi to pi */
    double roughness_m;                   /* of the open ground */
    double per_obukhov_1_m;               /* 1 / Obukhov length over the open ground; 0: neutral */
    bool day_given;                       /* then stability follows from the next four instead */
    double hour, latitude_rad, cloud;     /* local solar time; south negative; share of the sky */
    int day_of_year;
    double gusts;                         /* standard deviation of the level wind over its mean; 0: by similarity */
} scenario_weather;

/** The number whose error ends a run early: those of drift in the order of drift.h, water evaporated, then the fates in
 * the order of drupelet_fate. */
typedef enum {
    SCENARIO_TARGET_DRIFT,
    SCENARIO_TARGET_EVAPORATED = SCENARIO_TARGET_DRIFT + SCENARIO_DRIFT_NUMBERS,
    SCENARIO_TARGET_FATE,
    SCENARIO_TARGETS = SCENARIO_TARGET_FATE + DRUPELET_FATES
} scenario_target;
/** Its name in scenarios, files and texts; NULL beyond the last. */
const char *scenario_target_name(int target);

typedef struct {
    int64_t n_droplets;   /* the most that fly where target_error is given */
    char droplets_at[SCENARIO_AT]; /* "file:line:column: " of run.droplets; "" where it is the default */
    uint64_t seed;
    double target_error;  /* relative standard error at which the run stops; 0: not given */
    scenario_target target;
    bool plain_sampling;  /* every droplet by itself, all of one weight, each wholly caught or not */
    double time_limit_s, domain_top_m, open_ground_m;
    double air_cell_m; /* edge of the air grid near the sprayer, across the row and upwards; half of it along travel */
    double step_scale; /* of the droplets' steps, over the usual length */
    scenario_ventilation ventilation;
    bool transient_temperature; /* droplets leave at the liquid's temperature; otherwise at their steady one */
    bool computed_wind;         /* the wind around the block is solved for; otherwise profiles are assumed */
    bool resolved_fan_air;      /* the flow around the sprayer is solved for; otherwise jets by integral laws */
    double fan_air_cell_m;      /* edge of the cells of that flow near the sprayer; half of it along the travel */
    bool spray_humidity;        /* drying is slowed by the vapour and the cooling that the spray gives its air */
    bool spray_sink;            /* the spray's air comes down by the spray's weight and cooling */
    bool spray_air;             /* droplets set the air near their nozzle moving */
    bool keep_wind;             /* the result holds the wind across the rows */
    bool keep_fan_air;          /* the result holds the air around the sprayer on one pass */
} scenario_run;

/** Kinds of collector: read_collectors.c has their words, keys.c their keys, run/collector_kinds.c what they catch. */
typedef enum { SCENARIO_DISH, SCENARIO_LINE, SCENARIO_CARD, SCENARIO_COLLECTOR_KINDS } scenario_collector_kind;
/** The kind's word in scenarios, files and texts; NULL beyond the last. */
const char *scenario_collector_kind_name(int kind);

/** A virtual collector. It stands everywhere along the rows: deposits are means over the length of the row. */
typedef struct {
    char name[SCENARIO_TEXT];
    scenario_collector_kind kind;
    double x_m;               /* of its middle */
    double height_m, top_m;   /* dish, card: of its middle, twice; line: its lower and upper end */
    double width_m;           /* dish: across the rows; line: its diameter; card: its edge across the rows */
    double segment_m;         /* line: height of the pieces that are counted apart */
    double facing_rad;        /* direction of the front above +x; pi/2: up; NAN: it has no front */
    bool leaf_like;           /* card: impaction as on a leaf of that width; false: all that reaches it */
    bool water_sensitive;     /* card */
} scenario_collector;

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
    int n_collectors;
    scenario_collector collector[SCENARIO_COLLECTORS];
    char *text;     /* the file as read */
    char *settings; /* what was set beside it, one "key.path=value" a line, in order; NULL: nothing */
    base_hash of_air; /* hash of those among them that the air may depend on, numbers to the last bit */
    char *resolved; /* every value used, one "key.path: value unit" a line, defaults marked, in a fixed order */
};

/** The leaf side of a class (leaf.c). */
scenario_leaf_surface scenario_leaf_of_class(scenario_wetting wetting);

/** Below this wind the air counts as still: anemometers of the trade do not turn, and the direction is nobody's to tell
 *  (common practice: starting speeds of cup anemometers are 0.2 to 0.5 m/s; choice: half of the least). */
#define SCENARIO_STILL_M_S 0.1

/** Default of run.time_limit, s; needs orchard, weather and run.open_ground. */
double scenario_usual_time_limit_s(const drupelet_scenario *scenario);

#define SCENARIO_SIZE_PRESSURE_PA 300e3 /* at which the flow of a size is stated */
/** Flow at that pressure of a size of the flow colour code of ISO 10625 ("01", "015", ...), m3/s; 0 for an unknown
 *  size. */
double scenario_size_flow_m3_s(const char *size);
const char *scenario_size_colour(const char *size); /* "" for an unknown size */
const char *scenario_size_at(int i);                /* sizes by flow from 0; NULL beyond the last */
const char *scenario_size_class_name(scenario_size_class size_class); /* as in a scenario: "very_fine" */
const char *scenario_border_class(int i); /* classes that have a border to a coarser one, finest first; NULL beyond */

#endif
