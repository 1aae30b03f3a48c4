/* sim/sheet/canopy_dose.h - the spray beside the size of the canopy: tree row volume and leaf wall area. */
#ifndef SHEET_CANOPY_DOSE_H
#define SHEET_CANOPY_DOSE_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"
#include "sprayer/sprayer.h"

/** m3 of tree row per m2 of ground, m2 of leaf wall per m2 of ground. */
double sheet_row_volume_m(const drupelet_scenario *scenario);
double sheet_wall_area_m2_m2(const drupelet_scenario *scenario);
void sheet_put_canopy_dose(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work);

#endif
