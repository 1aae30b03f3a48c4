/* sim/scenario/leaf.h - what a leaf side is like to a droplet: classes, leaves by name, and what a wetter does to them.
 */
#ifndef SCENARIO_LEAF_H
#define SCENARIO_LEAF_H

#include "scenario/scenario.h"

/** Contact angle of water (static, a range), by age and side, of a named leaf. */
typedef struct {
    const char *name;                                            /* the word of canopy.leaf */
    struct { double low_deg, high_deg; } angle[2][2];            /* by age and [0 lower, 1 upper side] */
    const char *source;
} scenario_leaf_preset;

typedef enum { SCENARIO_YOUNG_LEAF, SCENARIO_OLD_LEAF } scenario_leaf_age;
enum { SCENARIO_LEAF_PRESETS = 13 };
extern const scenario_leaf_preset scenario_leaf_presets[SCENARIO_LEAF_PRESETS];

/** Word i of canopy.leaf: "none", then the names of the presets; NULL beyond the last. */
const char *scenario_leaf_word(int i);

/** Receding angle and shatter limit that go with a contact angle: straight lines between the classes, the end classes'
 * own limit beyond them. Choice. */
scenario_leaf_surface scenario_leaf_of_angle(double contact_angle_rad);
/** The class whose contact angle is nearest. */
scenario_wetting scenario_leaf_nearest_class(double contact_angle_rad);
/** The surface as it is to a liquid that makes it so many classes easier, at the easiest the easy class. */
scenario_leaf_surface scenario_leaf_eased(const scenario_leaf_surface *surface, double n_classes);

#endif
