/* sim/droplet/humidity.h - an estimate of what the spray does to the air that it flies in: by its evaporation, and by
 * its weight. */
#ifndef DROPLET_HUMIDITY_H
#define DROPLET_HUMIDITY_H

#include "scenario/scenario.h"
#include "sprayer/sprayer.h"

enum { DROPLET_AGES = 64 };
#define DROPLET_AGE_SCALE_S 1.0f /* entry i of a table over ages is for age / (age + scale) = i / DROPLET_AGES */

/** One pass with all nozzles open. "Moister" is the share of the way from the weather's air to air that the spray has
 * saturated; drying is slower by that share. */
typedef struct {
    double moister[DROPLET_AGES + 1];                /* by the age of the spray */
    /* at which that air comes down, the same: over the height up to that at its top; below 0: it rises */
    double sink_rate_1_s[DROPLET_AGES + 1], sink_m_s[DROPLET_AGES + 1];
    double most, most_at_s;                          /* largest of them, and its age */
    double vapour_kg_m3, relative_humidity, cooling_K; /* rises (cooling: fall) that go with the largest */
    double slower;                                   /* share by which the water evaporated in flight is less for it */
} droplet_humidity;

void droplet_humidity_estimate(const drupelet_scenario *scenario, const sprayer_work *work, droplet_humidity *humidity);

#define DROPLET_HUMIDITY_MATTERS 0.05 /* share of slower drying from which the sheet says so; choice */

#endif
