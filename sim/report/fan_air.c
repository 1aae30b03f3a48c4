/* sim/report/fan_air.c - reads a result that keeps its fan air, and writes what is asked for. */
#include "report/fan_air.h"

#include "base/status.h"
#include "report/fan_parts.h"
#include "report/vtk.h"
#include "report/wind_parts.h"

static drupelet_status read_fan_air(const char *path, drupelet_result **result)
{
    drupelet_status status = store_read(path, result);
    if (status.code == DRUPELET_OK && (*result)->fan_nx == 0) {
        status = base_error(DRUPELET_SCENARIO,
                            "%s: does not hold the fan's air: run it again with --set run.keep_fan_air=yes", path);
        drupelet_result_free(*result);
        *result = NULL;
    }
    return status;
}

const char *fan_air_words(const drupelet_result *r)
{
    return r->resolved_fan_air ? "Fan air: the flow around the sprayer, solved for (run.fan_air: resolved)."
                               : "Fan air: jets by integral laws (run.fan_air: integral).";
}

void fan_grid(FILE *to, const drupelet_result *r)
{
    const vtk_grid grid = {
        .group = &result_fan_air,
        .what = "air around the sprayer on its middle pass; x across (row 1 at 0), y along the travel from the air "
                "outlets, z up",
        .n = {r->fan_nx, r->fan_ny, r->fan_nz},
        .at_m = {r->fan_x_m, r->fan_y_m, r->fan_z_m},
        .velocity = {r->fan_value[RUN_FAN_ACROSS], r->fan_value[RUN_FAN_ALONG], r->fan_value[RUN_FAN_UP]}};
    vtk_write(to, r, &grid);
}

drupelet_status report_fan_air(const char *result_path, const char *svg_path, const char *vtk_path, bool overwrite)
{
    drupelet_result *result;
    const drupelet_status status = read_fan_air(result_path, &result);
    return status.code == DRUPELET_OK ? report_air_files(result, fan_picture, svg_path, fan_grid, vtk_path, overwrite)
                                      : status;
}
