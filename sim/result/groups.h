/* sim/result/groups.h - the groups of quantities, each in a file of its own. */
#ifndef RESULT_GROUPS_H
#define RESULT_GROUPS_H

#include "base/elementary.h"
#include "result/quantity.h"

extern const result_group result_fates, result_tracks, result_canopy, result_ground, result_airborne, result_collectors,
    result_air, result_sprayer, result_inputs, result_warnings;

#define RESULT_COUNT(array) ((int)(sizeof(array) / sizeof((array)[0])))
#define RESULT_UL_CM2_A_METRE 1e5 /* a layer of 1 m is 1e9 uL over 1e4 cm2 */

/** A text of the result's own; NULL without memory. */
char *result_copy(const char *text);

#endif
