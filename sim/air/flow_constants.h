/* sim/air/flow_constants.h - constants of the k-epsilon equations with the canopy's terms; flow.c has the sources. */
#ifndef AIR_FLOW_CONSTANTS_H
#define AIR_FLOW_CONSTANTS_H

#include "air/wind.h"

#define FLOW_CMU 0.0315348    /* (u*^2 / k)^2 over open ground */
#define FLOW_CMU_1_4 0.421402 /* roots of it: u* = FLOW_CMU_1_4 sqrt(k) */
#define FLOW_CMU_1_2 0.177580
#define FLOW_CMU_3_4 0.0748328
#define FLOW_CE1 1.44
#define FLOW_CE2 1.92
#define FLOW_SIGMA_K 1.0
#define FLOW_SIGMA_E 1.87708
#define FLOW_BD 5.07699  /* leaves turn k into heat; they make c |U|^3 of it */
#define FLOW_C4 0.899323 /* and so for epsilon */
#define FLOW_C5 (0.899323 * FLOW_BD)

#endif
