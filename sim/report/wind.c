/* sim/report/wind.c - reads a result that keeps its wind, and writes what is asked for. */
#include "report/wind.h"

#include "base/status.h"
#include "report/vtk.h"
#include "report/wind_parts.h"
#include "store/store.h"

static drupelet_status read_wind(const char *path, drupelet_result **result)
{
    drupelet_status status = store_read(path, result);
    if (status.code == DRUPELET_OK && (*result)->wind_nx == 0) {
        status = base_error(DRUPELET_SCENARIO, "%s: does not hold the wind: run it again with --set run.keep_wind=yes",
                            path);
        drupelet_result_free(*result);
        *result = NULL;
    }
    return status;
}

/* One layer along the rows, since nothing changes there. */
void wind_grid(FILE *to, const drupelet_result *r)
{
    const vtk_grid grid = {
        .group = &result_wind,
        .what = "wind across the rows; x across (row 1 at 0), y along, z up",
        .n = {r->wind_nx, 1, r->wind_nz},
        .at_m = {r->wind_x_m, &(double){0.0}, r->wind_z_m},
        .velocity = {r->wind_value[RUN_WIND_ACROSS], r->wind_value[RUN_WIND_ALONG], r->wind_value[RUN_WIND_UP]}};
    vtk_write(to, r, &grid);
}

drupelet_status report_air_files(drupelet_result *result,
                                 drupelet_status (*draw)(FILE *to, const drupelet_result *result), const char *svg_path,
                                 void (*write)(FILE *to, const drupelet_result *result), const char *vtk_path,
                                 bool overwrite)
{
    store_draft draft;
    FILE *to;
    drupelet_status status = base_ok();
    if (svg_path) {
        status = store_text_begin(svg_path, overwrite, &draft, &to);
        if (to) status = store_text_end(&draft, to, draw(to, result));
    }
    if (status.code == DRUPELET_OK && vtk_path) {
        status = store_text_begin(vtk_path, overwrite, &draft, &to);
        if (to) {
            write(to, result);
            status = store_text_end(&draft, to, base_ok());
        }
    }
    drupelet_result_free(result);
    return status;
}

drupelet_status report_wind(const char *result_path, const char *svg_path, const char *vtk_path, bool overwrite)
{
    drupelet_result *result;
    const drupelet_status status = read_wind(result_path, &result);
    return status.code == DRUPELET_OK ? report_air_files(result, wind_picture, svg_path, wind_grid, vtk_path, overwrite)
                                      : status;
}
