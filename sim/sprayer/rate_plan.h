/* sim/sprayer/rate_plan.h - from a rate back to the flow of each nozzle, and to sizes and pressures that give it. */
#ifndef SPRAYER_RATE_PLAN_H
#define SPRAYER_RATE_PLAN_H

#include "drupelet/status.h"
#include "scenario/scenario.h"
#include "sprayer/sprayer.h"

enum { SPRAYER_CHOICES = 4 }; /* most choices that are kept for a circuit */

/** Nozzles of one tip that must give the same flow; tips taken as new. */
typedef struct {
    int i_tip, i_circuit, n_nozzles;
    double flow_m3_s;   /* of each nozzle */
    double row_share;   /* of the nozzles together: share of the spray that the rows get */
} sprayer_plan_group;

typedef struct {
    const drupelet_scenario *scenario; /* borrowed */
    double rate_m;                     /* m3 per m2; 1e-7 m: 1 L/ha */
    double flow_m3_s;                  /* all nozzles together, all open */
    double machine_flows_a_row;        /* spray that a row gets over what the machine gives with all nozzles open; 1
                                        * where every row is sprayed from both sides and none outward */
    int n_circuits, n_groups;          /* circuit: nozzles that have one pressure in the scenario */
    sprayer_plan_group group[SCENARIO_NOZZLES];
} sprayer_plan;

/** A tip for each group of a circuit, and the pressure to set. */
typedef struct {
    double pressure_Pa;                 /* as a gauge is read: to 0.1 bar below 5 bar, to 0.5 bar above */
    const char *size[SCENARIO_NOZZLES]; /* by group: colour-code size, "" the tip of the scenario, NULL another
                                         * circuit's */
    double rate_m;                      /* that results where the other circuits meet their part */
    double split_error;                 /* largest departure of a nozzle's share from the wanted one, over it */
    bool usual;                         /* every kind lies inside its usual pressures */
} sprayer_plan_choice;

/** Works out what each nozzle must give: rate x travel speed x row spacing, over the passes as the scenario drives
 *  them. Worn and plugged nozzles are taken as new and clean.
 *  @param equal  every nozzle the same flow; otherwise in the proportions of the scenario
 *  @return DRUPELET_OK, DRUPELET_MEMORY or DRUPELET_SCENARIO (a sprayer that stands still; as sprayer_work_out()) */
drupelet_status sprayer_plan_out(const drupelet_scenario *scenario, double rate_m, bool equal, sprayer_plan *plan);
/** Pressure at which a rated tip gives a flow, by the square-root law. */
double sprayer_pressure_for_flow_Pa(double rated_flow_m3_s, double rated_pressure_Pa, double flow_m3_s);
/** Flow at 300 kPa of what a group can be fitted with, m3/s. @param size "" for the tip of the scenario */
double sprayer_plan_rated_flow_m3_s(const sprayer_plan *plan, int i_group, const char *size);
/** Candidate number i of a group, from 0; NULL beyond the last. Sizes of the colour code, or the scenario's own tip
 *  ("") where that has no size; for disc and core, which the code leaves out, the own tip alone. */
const char *sprayer_plan_candidate(const sprayer_plan *plan, int i_group, int i);
/** The best choices for a circuit, best first; the first alone may lie outside the usual pressures.
 *  @return number of choices, 0 where none lies in 0.5 to 60 bar */
int sprayer_plan_choose(const sprayer_plan *plan, int i_circuit, sprayer_plan_choice choice[SPRAYER_CHOICES]);

#endif
