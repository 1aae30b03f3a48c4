/* sim/report/fan_parts.h - what shows the air around the sprayer of a result, of one that holds it. */
#ifndef REPORT_FAN_PARTS_H
#define REPORT_FAN_PARTS_H

#include <stdio.h>

#include "drupelet/status.h"
#include "report/picture.h"

/** The picture. @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status fan_picture(FILE *to, const drupelet_result *result);
/** The grid, all numbers as decimals that give the same bits back. */
void fan_grid(FILE *to, const drupelet_result *result);
/** How the fan's air was found, in a sentence. */
const char *fan_air_words(const drupelet_result *result);

/** Speed at a node, m/s. */
double fan_speed_at_node(const drupelet_result *result, int i, int j, int k);
/** Highest speed that a place feels as the sprayer goes by, m/s; linear between the nodes and held inside them. */
double fan_highest_speed(const drupelet_result *result, double x_m, double z_m);

#endif
