/* sim/droplet/carry.h - how far the wind carries a droplet that is let go at a height. */
#ifndef DROPLET_CARRY_H
#define DROPLET_CARRY_H

#include <stdbool.h>

#include "air/wind.h"
#include "base/moist_air.h"
#include "scenario/scenario.h"

/** A droplet as let go. */
typedef struct {
    double diameter_m, density_kg_m3, surface_tension_N_m;
    double nonvolatile; /* share of its volume that stays */
    scenario_ventilation ventilation;
} droplet_let_go;

/** Its way to the ground, as a droplet and then as the residue that is left of it. */
typedef struct {
    double distance_m, time_s; /* where and when it is on the ground */
    bool dries;                /* before that: then where its water is gone; the droplet is NAN high otherwise */
    double dry_distance_m, dry_time_s, dry_height_m;
} droplet_carry;

/** @param wind the mean wind over open ground counts  @param height_m where it is let go, 0 or more */
droplet_carry droplet_carried(const droplet_let_go *droplet, double height_m, const base_air *air,
                              const air_wind *wind);

#endif
