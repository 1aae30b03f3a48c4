/* sim/report/settings_droplets.h - the droplets of a settings sheet: how they settle, dry and drift in its weather. */
#ifndef REPORT_SETTINGS_DROPLETS_H
#define REPORT_SETTINGS_DROPLETS_H

#include <stdio.h>

#include "air/wind.h"
#include "base/json.h"
#include "base/moist_air.h"
#include "droplet/humidity.h"
#include "sprayer/sprayer.h"

typedef struct {
    const drupelet_scenario *scenario;
    const sprayer_work *work;
    base_air air;
    air_wind wind;
    double wind_m_s, fall_from_m; /* wind at 2 m over open ground */
    droplet_humidity humidity;    /* what the spray does to its own air */
} report_droplets;

/** @param scenario, work outlive it */
report_droplets report_droplets_of(const drupelet_scenario *scenario, const sprayer_work *work);
void report_droplets_print(FILE *to, const report_droplets *droplets);
/** Where they are let go, and what the spray does to its air; then each spray. */
void report_droplets_json_air(base_json *j, const report_droplets *droplets);
void report_droplets_json(base_json *j, const report_droplets *droplets);

#endif
