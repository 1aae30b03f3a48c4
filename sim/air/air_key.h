/* sim/air/air_key.h - by which scenarios with the same air are known. */
#ifndef AIR_AIR_KEY_H
#define AIR_AIR_KEY_H

#include "base/hash.h"
#include "scenario/scenario.h"

/** Hash of all that makes the air of a scenario: where two scenarios have one key, they have the same air. */
base_hash air_key(const drupelet_scenario *scenario);

#endif
