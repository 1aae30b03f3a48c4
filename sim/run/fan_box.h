/* sim/run/fan_box.h - the air around the sprayer on one pass that a result keeps where run.keep_fan_air asks for it. */
#ifndef RUN_FAN_BOX_H
#define RUN_FAN_BOX_H

#include "air/air.h"
#include "drupelet/status.h"

/** Mean speeds over the ground, wind included, m/s; standard deviations of the upward and of each level component. */
typedef enum {
    RUN_FAN_ACROSS,
    RUN_FAN_ALONG,
    RUN_FAN_UP,
    RUN_FAN_SIGMA_UP,
    RUN_FAN_SIGMA_LEVEL,
    RUN_FAN_VALUES
} run_fan_value;

/** At nodes of the grid of the middle pass; each value is [nz][ny][nx]. All 0: none is kept. */
typedef struct {
    int nx, ny, nz;
    double *x_m, *y_m, *z_m; /* rising: across the rows; along the travel from the air outlets; up */
    float *value[RUN_FAN_VALUES];
    double sprayer_x_m;      /* of the sprayer's centre line */
} run_fan_box;

/** Takes it from the air of a run. The caller ends it with run_fan_box_drop(); it is all 0 after a failure.
 *  @return DRUPELET_OK or DRUPELET_MEMORY */
drupelet_status run_fan_box_make(const air_field *field, const sprayer_work *work, run_fan_box *box);
void run_fan_box_drop(run_fan_box *box); /* one that is all 0 is allowed */

#endif
