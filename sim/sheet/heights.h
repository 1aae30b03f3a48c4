/* sim/sheet/heights.h - the flow of the nozzles by height beside the leaves by height. */
#ifndef SHEET_HEIGHTS_H
#define SHEET_HEIGHTS_H

#include "scenario/scenario.h"
#include "sheet/sheet.h"
#include "sprayer/sprayer.h"

enum { SHEET_LAYERS = 48 };

/** Where a nozzle's cone meets the near face of the crown, by straight lines: heights of its axis and of its edges
 * (held at the ground and at twice the canopy), and the shares of its flow. */
typedef struct {
    double axis_m, low_m, high_m, under, at, over;
} sheet_aim;

/** Layers of equal thickness from the ground up; the last holds all that is above, too. */
typedef struct {
    int n_layers;
    double step_m;
    double leaf[SHEET_LAYERS];       /* shares of the leaf area */
    double flow[2][SHEET_LAYERS];    /* left, right: shares of the flow of all nozzles */
    double ground[2];                /* what points at the ground before the crown */
    sheet_aim aim[SCENARIO_NOZZLES]; /* in the scenario's order */
    double over, under;              /* share of all flow that points over or under the crown */
} sheet_heights;

/** @param step_m thickness of a layer  @return DRUPELET_OK, DRUPELET_SCENARIO or DRUPELET_MEMORY */
drupelet_status sheet_heights_of(const drupelet_scenario *scenario, const sprayer_work *work, double step_m,
                                 sheet_heights *h);
/** Puts table and picture into a sheet. */
void sheet_put_heights(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_heights *h);
/** The picture: SVG, to be freed; NULL without memory. */
char *sheet_heights_picture(const drupelet_scenario *scenario, const sheet_heights *h, sheet_system system);

#endif
