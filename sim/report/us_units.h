/* sim/report/us_units.h - customary US units that the settings sheet prints beside metric ones. */
#ifndef REPORT_US_UNITS_H
#define REPORT_US_UNITS_H

#define REPORT_US_GALLON_L 3.785411784
#define REPORT_L_HA_PER_US_GAL_ACRE 9.35391934691422 /* acre of 4046.8726 m2, from survey feet, as UDUNITS-2 has it */
#define REPORT_PSI_PA 6894.757293168
#define REPORT_MPH_M_S 0.44704
#define REPORT_FOOT_M 0.3048
#define REPORT_HP_KW 0.745699872 /* 550 foot pounds a second */
#define REPORT_CFM_M3_H 1.69901079552 /* a cubic foot a minute, in m3/h */

#endif
