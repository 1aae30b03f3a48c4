/* sim/sprayer/sprayer.h - what leaves the sprayer: flow, exit speed and spectrum of each nozzle, air of each outlet,
 * and the passes through the orchard. The door of the module. */
#ifndef SPRAYER_SPRAYER_H
#define SPRAYER_SPRAYER_H

#include <stdbool.h>

#include "drupelet/status.h"
#include "scenario/scenario.h"
#include "sprayer/spectrum.h"

/** A nozzle at work. */
typedef struct {
    const scenario_nozzle *nozzle; /* borrowed from the scenario */
    double flow_m3_s, exit_speed_m_s; /* flow 0: plugged */
    double half_angle_rad;   /* half of the spray's full angle */
    int i_spray;             /* which spray (tip at a pressure) it gives */
} sprayer_nozzle;

/** A spray: one tip at one pressure, as worn as it is. A plugged nozzle has that which it would give. */
typedef struct {
    int i_tip;
    double pressure_Pa, worn; /* worn: flow above that of a new tip, over it; may be below 0 */
    sprayer_spectrum spectrum;
    double dv10_m, dv50_m, dv90_m, share_below_100_um, share_below_150_um;
    double droplet_density_kg_m3; /* lower than the liquid where droplets hold air */
    bool assumed;                 /* a generic tip, or a measured spectrum that was moved to another pressure */
    char size_class[64];          /* "" where the scenario gives no borders of classes */
    char note[320];               /* one line on where the spectrum comes from; starts with "assumed" or "measured" */
} sprayer_spray;

typedef struct {
    int i_alley;       /* 0 to n_rows */
    double x_m;        /* of the sprayer's centre line */
    int heading;       /* +1 drives along +y, -1 along -y */
    bool left_open, right_open; /* are the nozzles on that side (as the driver sees it) spraying? */
    bool left_air, right_air;   /* are the outlets on that side blowing? */
    double flow_m3_s;  /* of all open nozzles */
} sprayer_pass;

typedef struct {
    int n_nozzles;
    sprayer_nozzle nozzle[SCENARIO_NOZZLES];
    int n_sprays;
    sprayer_spray spray[SCENARIO_NOZZLES];
    int n_passes;
    sprayer_pass pass[SCENARIO_ROWS + 1];
    double fan_flow_m3_s, fan_power_W;            /* by the fan laws, at the scenario's fan speed */
    double outlet_speed_m_s[SCENARIO_OUTLETS];
    double emitted_per_length_m2;                 /* all passes together, m3 of spray per m of row */
    double treated_width_m;                       /* width of the ground that all passes together treat (work.c) */
    double application_rate_m;                    /* m3 per m2 of treated ground; 1e-7 m: 1 L/ha */
    bool stands;                                  /* no travel: length and rate are not a number */
} sprayer_work;

/** Works the sprayer out.
 *  @return DRUPELET_OK or DRUPELET_SCENARIO (a spectrum that does not fit its form, no open nozzle) */
drupelet_status sprayer_work_out(const drupelet_scenario *scenario, sprayer_work *work);

/** Square-root law: flow at a pressure from a rated flow. */
double sprayer_flow_m3_s(double rated_flow_m3_s, double rated_pressure_Pa, double pressure_Pa);
/** Flow of a nozzle of the scenario at its pressure: more where it is worn, none where it is plugged. */
double sprayer_nozzle_flow_m3_s(const scenario_tip *tip, const scenario_nozzle *nozzle);
/** Speed at which liquid leaves a tip, m/s: velocity coefficient (generic.h) times sqrt(2 p / density). */
double sprayer_exit_speed_m_s(double velocity_coefficient, double pressure_Pa, double density_kg_m3);
/** Direction of a droplet off the nozzle (unit vector: outward, along the travel, up), before the sprayer's own motion
 *  is added.
 *  @param u1, u2 evenly from 0 to 1: off the cone's axis and around it; across a fan and through its thickness */
void sprayer_spray_direction(const sprayer_nozzle *nozzle, scenario_tip_kind kind, double u1, double u2,
                             double direction[3]);
/** Droplets start this far from the orifice; common practice. */
#define SPRAYER_BREAKUP_M 0.03
/** The sheet that the spray is: a cone's lies middle_rad off its axis, a fan reaches middle_rad to either side. */
typedef struct { bool is_fan; double middle_rad, half_thickness_rad; } sprayer_spray_sheet;
sprayer_spray_sheet sprayer_sheet_of(const sprayer_nozzle *nozzle, scenario_tip_kind kind);
/** Density of the droplets that all nozzles give, mean by flow: droplets may hold air. */
double sprayer_mean_density_kg_m3(const sprayer_work *work);
/** Area of an outlet, m2. */
double sprayer_outlet_area_m2(const scenario_outlet *outlet);

#endif
