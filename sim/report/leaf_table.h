/* sim/report/leaf_table.h - what a scenario's droplets do at its leaves, by size and speed. */
#ifndef REPORT_LEAF_TABLE_H
#define REPORT_LEAF_TABLE_H

#include <stdio.h>

#include "drupelet/status.h"
#include "scenario/scenario.h"

/** Speeds at which bounce and shatter begin, beside published borders, and outcomes by diameter and speed. */
void report_leaf_table(const drupelet_scenario *scenario, FILE *to);
/** The leaves that canopy.leaf knows by name, with range and source. */
void report_leaf_names(FILE *to);

#endif
