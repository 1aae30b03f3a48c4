/* sim/sheet/air_fit.h - whether the fan's air suits the row: the travel speed that it suits, the gear, outlets that
 * blow past the crown, and where the computed jet reaches. */
#ifndef SHEET_AIR_FIT_H
#define SHEET_AIR_FIT_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"
#include "sheet/typed.h"
#include "sprayer/sprayer.h"

enum { SHEET_GEARS = 16 };

/** What the air of the fan, at the scenario's fan speed, suits by the rule of report/air_rule.h. */
typedef struct {
    double alleys_a_pass; /* from one pass to the next, mean: 2 where every second alley is driven */
    double spacing_m;     /* row spacing times that: the air that a pass has to displace is so wide */
    double speed_m_s[2];  /* slowest, fastest */
} sheet_air_fit;

sheet_air_fit sheet_air_fit_of(const drupelet_scenario *scenario, const sprayer_work *work);
void sheet_put_air_fit(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, int n_gears,
                       const sheet_gear gear[]);

/** Share of an outlet's air that points under, at and over the crown where it meets the row, by straight lines, and the
 *  heights between which it points there. */
typedef struct {
    double low_m, high_m, under, at, over;
} sheet_outlet_aim;
sheet_outlet_aim sheet_outlet_aim_of(const drupelet_scenario *scenario, const scenario_outlet *outlet);

enum { SHEET_HEIGHTS = 64 };
/** Fastest outward air by height at the crown's near and far face as the sprayer passes, without wind. */
typedef struct {
    int n;
    double height_m[SHEET_HEIGHTS], near_m_s[2][SHEET_HEIGHTS], far_m_s[2][SHEET_HEIGHTS]; /* [left, right] */
} sheet_air_reach;
/** Computes it. @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status sheet_air_reach_of(const drupelet_scenario *scenario, double step_m, sheet_air_reach *reach);
void sheet_put_air_reach(sheet *s, const drupelet_scenario *scenario, const sheet_air_reach *reach);

#endif
