/* sim/run/wind_section.h - the wind across the rows that a result keeps where run.keep_wind asks for it. */
#ifndef RUN_WIND_SECTION_H
#define RUN_WIND_SECTION_H

#include "air/air.h"
#include "drupelet/status.h"
#include "scenario/scenario.h"

/** Mean speeds, m/s; standard deviations of the upward and of each level component, m/s; time scale of the upward one
 * as a droplet in the air feels it (Lagrangian), s. */
typedef enum {
    RUN_WIND_ACROSS,
    RUN_WIND_ALONG,
    RUN_WIND_UP,
    RUN_WIND_SIGMA_UP,
    RUN_WIND_SIGMA_LEVEL,
    RUN_WIND_TIME_SCALE,
    RUN_WIND_VALUES
} run_wind_value;

/** At nodes of the ambient grid; each value is [nz][nx]. All 0: none is kept. */
typedef struct {
    int nx, nz;
    double *x_m, *z_m; /* rising */
    float *value[RUN_WIND_VALUES];
} run_wind_section;

/** Takes it from the air of a run. The caller ends it with run_wind_section_drop(); it is all 0 after a failure.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_wind_section_make(const drupelet_scenario *scenario, const air_field *field,
                                      run_wind_section *section);
void run_wind_section_drop(run_wind_section *section); /* one that is all 0 is allowed */

#endif
