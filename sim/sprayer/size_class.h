/* sim/sprayer/size_class.h - size class of a spray, by borders that were measured on the same instrument. */
#ifndef SPRAYER_SIZE_CLASS_H
#define SPRAYER_SIZE_CLASS_H

#include "scenario/scenario.h"
#include "sprayer/sprayer.h"

enum { SPRAYER_CLASS_TEXT = 64 };

/** Class that one diameter falls into, such as "very fine", "fine or finer" where no finer border is given, or "" where
 *  none is. @param i_diameter 0: diameter_m is a Dv10, 1: a Dv50, 2: a Dv90 */
void sprayer_size_class_by(const scenario_tip *tip, int i_diameter, double diameter_m, char text[SPRAYER_CLASS_TEXT]);
/** Fills size_class of a spray whose Dv10, Dv50 and Dv90 are known: the finest of the three. */
void sprayer_size_class_of(const scenario_tip *tip, sprayer_spray *spray);

#endif
